//! Walls traced by hand: lines whose ends miss, run past or stand beside what they were drawn to meet by more than a
//! drafting slip, at every corner.
//!
//! They are *squared up*: a line nearly along the walls' main direction, or square to it, is turned to it about its
//! middle, and lines that go on in each other are put in one line. Then ends go where their lines cross. What meets
//! others at both its ends already stays. It is done only where rooms melt without it, or nearly nothing is drawn
//! exactly, by the slip that parts the most of them, and only where no name loses the room it had to itself and half of
//! what hung loose does not.

use geo::Coord;

use super::super::shape::{canonical, contains, cross, distance, dot, finite, left_of, unit};
use super::super::walls::axis;
use super::from_walls::as_room;
use super::gaps::Closed;
use super::weld::{Reach, ends_met, weld_by};
use crate::note::Note;
use crate::plan::Room;

/// Slips that are tried, inches. Twice the greatest is still less than the thinnest walls.
const SLIPS: [f64; 4] = [0.5, 1.0, 1.5, 2.0];
/// Of a line's own length an end goes no further than this share: the cap of a thin wall at the greatest slip.
const SHARE: f64 = 0.4;
/// Sine of the greatest angle that a line is turned by (20°), the cap of a thin wall.
const TURN: f64 = 0.35;
/// Where fewer than one line in so many meets others at both its ends, nothing is drawn exactly.
const CARELESS: usize = 4;
/// More lines are not squared up.
const MOST: usize = 5000;

type Segment = (Coord, Coord);

/// What a slip closes, where that is more than `before`; with the slip, inches.
pub fn better(
    walls: &[Segment],
    before: &Closed,
    names: &[(Coord, String)],
    close: impl Fn(&[Segment]) -> Option<(Closed, Vec<Note>)>,
) -> Option<(Closed, Vec<Note>)> {
    let open = !before.loose.is_empty() || !before.short.is_empty();
    if !open || walls.len() > MOST || names.is_empty() {
        return None;
    }
    let stood = Told::new(before, names);
    let lines: Vec<Segment> = (walls.iter().copied())
        .filter(|(a, b)| finite(*a) && finite(*b))
        .collect();
    let held = ends_met(&lines);
    let careless = held.iter().filter(|held| **held).count() * CARELESS < held.len();
    if !careless && stood.own.iter().all(|own| *own) {
        return None;
    }
    let mut best: Option<(Told, f64, Closed, Vec<Note>)> = None;
    for slip in SLIPS {
        let Some((closed, notes)) = close(&squared(lines.clone(), &held, slip)) else {
            continue;
        };
        let told = Told::new(&closed, names);
        let most = best.as_ref().map_or(&stood, |b| &b.0);
        let fewer = told.apart == most.apart && (careless || best.is_some()) && told.loose < most.loose;
        if (told.apart > most.apart || fewer) && told.keeps(&stood, careless) {
            best = Some((told, slip, closed, notes));
        }
    }
    let (told, slip, closed, mut notes) = best?;
    notes.push(Note::warning(
        "walls-traced",
        format!(
            "the ends of wall lines miss what they were drawn to meet: brought together by up to {slip} in, they part {} named \
             rooms, without that {}; what is measured from walls may be off by as much: see whether the rooms are right, or draw \
             outlines of rooms",
            told.apart, stood.apart
        ),
    ));
    Some((closed, notes))
}

/// What walls close.
struct Told {
    rooms: usize,
    /// Of each name whether it is the only one of its room.
    own: Vec<bool>,
    /// Rooms with one name.
    apart: usize,
    /// Ends of lines that meet nothing.
    loose: usize,
}

impl Told {
    fn new(closed: &Closed, names: &[(Coord, String)]) -> Told {
        let rooms: Vec<Room> = closed.network.faces().iter().filter_map(as_room).collect();
        let mut told = Told {
            rooms: rooms.len(),
            own: vec![false; names.len()],
            apart: 0,
            loose: closed.loose.len(),
        };
        for room in &rooms {
            let inside = (0..names.len()).filter(|&n| contains(&room.outline, names[n].0));
            let inside: Vec<usize> = inside.collect();
            let Some(&first) = inside.first() else { continue };
            if inside.iter().all(|&n| names[n].1 == names[first].1) {
                inside.into_iter().for_each(|n| told.own[n] = true);
                told.apart += 1;
            }
        }
        told
    }

    /// Whether no name lost the room it had to itself, no fewer rooms are closed and half of what hung loose does not.
    /// Rooms without a name among careless lines may be slivers of others.
    fn keeps(&self, before: &Told, careless: bool) -> bool {
        let kept = self.own.iter().zip(&before.own).all(|(own, had)| *own || !had);
        kept && (careless || self.rooms >= before.rooms) && 2 * self.loose <= before.loose
    }
}

/// A line along one of the two directions of the walls.
struct Level {
    line: usize,
    offset: f64,
    /// Its stations along the direction.
    from: f64,
    to: f64,
    held: bool,
}

/// The lines squared up, and their ends brought to where they cross others.
fn squared(mut lines: Vec<Segment>, held: &[bool], slip: f64) -> Vec<Segment> {
    if let Some(main) = axis(&lines, &[]).map(canonical) {
        for way in [main, left_of(main)] {
            let mut level = levels(&lines, held, way, slip);
            in_line(&mut level, slip);
            for l in level.iter().filter(|l| !l.held) {
                let at = |station: f64| way * station + left_of(way) * l.offset;
                lines[l.line] = (at(l.from), at(l.to));
            }
        }
    }
    weld_by(&lines, Reach { slip, share: SHARE })
}

/// The lines that run along a direction within a slip at each end.
fn levels(lines: &[Segment], held: &[bool], way: Coord, slip: f64) -> Vec<Level> {
    let level = |line: usize| {
        let (a, b) = lines[line];
        let on = unit(b - a)?;
        let turned = cross(on, way).abs();
        (turned <= TURN.min(2.0 * slip / distance(a, b))).then(|| Level {
            line,
            offset: dot(left_of(way), (a + b) * 0.5),
            from: dot(way, a),
            to: dot(way, b),
            held: held[line],
        })
    };
    (0..lines.len()).filter_map(level).collect()
}

/// Puts lines that go on in each other, and lie no further apart than a slip, in one line: that of one that is held,
/// else their mean by length.
fn in_line(levels: &mut [Level], slip: f64) {
    levels.sort_by(|a, b| a.offset.total_cmp(&b.offset).then(a.line.cmp(&b.line)));
    // Lines side by side are two faces.
    let beside = |a: &Level, b: &Level| {
        let over = a.from.max(a.to).min(b.from.max(b.to)) - a.from.min(a.to).max(b.from.min(b.to));
        over > 2.0 * slip
    };
    let mut rows: Vec<Vec<usize>> = Vec::new();
    for (i, level) in levels.iter().enumerate() {
        let fits = |row: &&mut Vec<usize>| {
            level.offset - levels[row[0]].offset <= slip && !row.iter().any(|&j| beside(level, &levels[j]))
        };
        match rows.iter_mut().rev().take(8).find(fits) {
            Some(row) => row.push(i),
            None => rows.push(vec![i]),
        }
    }
    for row in rows {
        let long = |i: usize| (levels[i].to - levels[i].from).abs();
        let held = (row.iter().copied())
            .filter(|&i| levels[i].held)
            .max_by(|&i, &j| long(i).total_cmp(&long(j)).then(j.cmp(&i)));
        let all: f64 = row.iter().map(|&i| long(i)).sum();
        let mean = row.iter().map(|&i| levels[i].offset * long(i)).sum::<f64>() / all.max(1e-9);
        let offset = held.map_or(mean, |i| levels[i].offset);
        row.into_iter().for_each(|i| levels[i].offset = offset);
    }
}
