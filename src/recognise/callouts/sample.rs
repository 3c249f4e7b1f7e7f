//! A joist or two drawn for all of them: the words beside say how far apart the others stand.
//!
//! One joist alone in a room that has space for many, with words for their spacing, shows which way they run and most
//! often not where they stand. Two or three at the written spacing, and a line that runs on from them, show both.

use geo::Coord;

use super::{SAME_WAY, Written, way};
use crate::length::inches_only;
use crate::note::Note;
use crate::plan::{Member, MemberKind, MemberSource, Plan};
use crate::recognise::shape::{between_degrees, canonical, dot, left_of, point_to_segment, unit};

/// More than this are the framing itself.
const MOST: usize = 3;
/// A room holds so many times as many as are drawn, and two more, where these stand for all.
const ROOM_FOR: f64 = 2.0;
/// Drawn and written spacings, and thicknesses, are the same within these, inches.
const SAME_SPACING: f64 = 0.5;
const SAME_THICKNESS: f64 = 0.13;
/// A line runs across members where it makes at least this angle with them, degrees.
const ACROSS: f64 = 60.0;

/// What a joist or two stand for.
pub struct Sample {
    /// The members, by number.
    pub members: Vec<usize>,
    /// Which way all of them run.
    pub along: Coord,
    /// They stand where they are drawn, and the others at the written spacing from them.
    pub placed: bool,
}

/// Whether the members that run through a room are drawn for all that the words tell of.
pub fn of(plan: &Plan, w: &Written, members: &[usize], outline: &[Coord]) -> Option<Sample> {
    let these: Vec<&Member> = members.iter().filter_map(|&m| plan.members.get(m)).collect();
    let first = these.first()?;
    let along = canonical(unit(first.to - first.from)?);
    let n = left_of(along);
    let one_way = |m: &&Member| between_degrees(m.to - m.from, along) <= SAME_WAY;
    let alike = |m: &&Member| {
        let kind = m.kind == MemberKind::Truss || w.kind != MemberKind::Truss;
        // Of a single line nothing tells the width.
        let wide = m.source == MemberSource::Centreline || w.kind == MemberKind::Truss;
        kind && (wide || (m.thickness - w.thickness).abs() <= SAME_THICKNESS)
    };
    if these.len() > MOST || !these.iter().all(one_way) || !these.iter().all(alike) {
        return None;
    }
    let offsets = outline.iter().map(|p| dot(*p, n));
    let (low, high) = offsets.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), o| {
        (l.min(o), h.max(o))
    });
    let room_for = (high - low) / w.spacing;
    if !room_for.is_finite() || room_for < ROOM_FOR * these.len() as f64 + 2.0 {
        return None;
    }
    let across = match w.line {
        Some((a, b)) => {
            let angle = between_degrees(way((a, b))?, along);
            let near = |m: &&Member| {
                let ends = [a, b]
                    .into_iter()
                    .any(|p| point_to_segment(p, m.from, m.to) <= w.spacing);
                let cut = |p: Coord| dot(p - m.from, n);
                ends || cut(a) * cut(b) < 0.0
            };
            if angle >= ACROSS && !these.iter().any(near) || (SAME_WAY..ACROSS).contains(&angle) {
                return None;
            }
            angle >= ACROSS
        }
        None => false,
    };
    if these.len() == 1 {
        return Some(Sample {
            members: members.to_vec(),
            along,
            placed: false,
        });
    }
    let mut at: Vec<f64> = these.iter().map(|m| dot((m.from + m.to) * 0.5, n)).collect();
    at.sort_by(f64::total_cmp);
    let spaced = at
        .windows(2)
        .all(|p| (p[1] - p[0] - w.spacing).abs() <= SAME_SPACING);
    let typical = w
        .text
        .split(|c: char| !c.is_alphabetic())
        .any(|t| t.to_uppercase().starts_with("TYP"));
    (spaced && (across || typical)).then(|| Sample {
        members: members.to_vec(),
        along,
        placed: true,
    })
}

/// What is said of one member that is left out.
pub fn left_out(plan: &Plan, w: &Written, sample: &Sample, room: &str) -> Option<Note> {
    let m = sample.members.first().and_then(|&m| plan.members.get(m))?;
    let middle = (m.from + m.to) * (0.5 / plan.units.inches_per_unit);
    Some(w.note(
        true,
        "callout-sample",
        &format!(
            "stands beside the one member drawn {room}, where many have space: it is taken to show which way they run and \
             not where they stand, and is no member; if it stands where it is drawn, give measured = [[{:.3}, {:.3}]] \
             under [framing] in bayline.toml, else draw all",
            middle.x, middle.y
        ),
    ))
}

/// The members that the drawn ones stand for, without these, as far as the line beside the words runs.
pub fn others(plan: &Plan, w: &Written, sample: &Sample, all: Vec<Member>) -> Vec<Member> {
    let n = left_of(sample.along);
    let drawn: Vec<f64> = (sample.members.iter().filter_map(|&m| plan.members.get(m)))
        .map(|m| dot((m.from + m.to) * 0.5, n))
        .collect();
    let across = w
        .line
        .filter(|l| way(*l).is_some_and(|u| between_degrees(u, sample.along) >= ACROSS));
    let ends = across.map(|(a, b)| [dot(a, n), dot(b, n)]);
    let reach = ends.iter().flatten().chain(&drawn);
    let (low, high) = reach.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), o| {
        (l.min(*o), h.max(*o))
    });
    all.into_iter()
        .filter(|m| {
            let o = dot((m.from + m.to) * 0.5, n);
            let within = ends.is_none() || (low - w.spacing..=high + w.spacing).contains(&o);
            within && drawn.iter().all(|d| (d - o).abs() > w.spacing / 2.0)
        })
        .collect()
}

/// What is said of members that are laid out.
pub fn laid_out(w: &Written, sample: &Sample, more: usize, room: &str) -> Note {
    w.note(
        true,
        "callout-sample",
        &format!(
            "stands beside {} members drawn {room} at its spacing: {more} more are laid out {} on centre from them; draw \
             all of them if they stand otherwise",
            sample.members.len(),
            inches_only(w.spacing)
        ),
    )
}
