//! What findings look like on the plan: arrows for lights off their line, rings around lights, and the
//! clear bay drawn out where the bay is the matter.
//!
//! An off-line arrow is drawn at a length that can be seen and says the true distance in words: 3/8 in
//! at 1:48 would be half a point.

use geo::Coord;

use super::badge::layer;
use super::frame::Frame;
use super::ground::{line, radius};
use super::labels::Wanted;
use super::place::Ground;
use super::{Layer, Mark, MarkShape, Style};
use crate::check::{Finding, Kind, Severity};
use crate::geom::finite;
use crate::length::inches_only;
use crate::plan::{Light, Plan};
use crate::rules::Rules;

/// Cost of a label over an arrow or a dimension, in rings.
const KEEP_CLEAR: f64 = 6.0;

pub fn draw(
    plan: &Plan,
    findings: &[Finding],
    rules: &Rules,
    frame: &Frame,
    ground: &mut Ground,
    marks: &mut Vec<Mark>,
    wanted: &mut Vec<Wanted>,
) {
    // Gravest last, so that it is drawn on top.
    let mut order: Vec<&Finding> = findings.iter().collect();
    order.sort_by_key(|f| (f.severity, f.id));
    for f in order {
        let lights = || {
            f.lights
                .iter()
                .filter_map(|l| plan.lights.get(l.0))
                .filter(|l| finite(l.at))
        };
        if f.kind == Kind::OffLine {
            for l in lights() {
                off_line(f, l, radius(l, rules), frame, ground, marks, wanted);
            }
            continue;
        }
        for l in lights() {
            ring(f, l, radius(l, rules), frame, marks);
            if matches!(
                f.kind,
                Kind::WideBay | Kind::NarrowBay | Kind::HousingClash | Kind::NoSupport
            ) {
                bay(f, l, rules, frame, ground, marks);
            }
        }
        if let (Kind::WideGap, [a, .., b]) = (f.kind, &f.lights[..])
            && let (Some(a), Some(b)) = (plan.lights.get(a.0), plan.lights.get(b.0))
            && finite(a.at)
            && finite(b.at)
        {
            marks.push(line(layer(f.severity), a.at, b.at).of(f.id).style(Style::Dashed));
            ground.avoid(a.at, b.at, 2.0);
        }
    }
}

/// An arrow from the light to where its line is, and the distance in words at its head.
fn off_line(
    f: &Finding,
    l: &Light,
    r: f64,
    frame: &Frame,
    ground: &mut Ground,
    marks: &mut Vec<Mark>,
    wanted: &mut Vec<Wanted>,
) {
    let by = f.mend.x.hypot(f.mend.y);
    if !(by.is_finite() && by > 0.0) {
        return;
    }
    let d = f.mend / by;
    let tip = l.at + d * (by.max(r + 2.6 * frame.text));
    marks.push(
        Mark::new(
            Layer::Deviation,
            MarkShape::Circle {
                center: l.at,
                radius: r + 0.3 * frame.text,
                filled: false,
            },
        )
        .of(f.id),
    );
    marks.push(
        Mark::new(
            Layer::Deviation,
            MarkShape::Arrow {
                from: l.at,
                to: tip,
                head: frame.text,
            },
        )
        .of(f.id),
    );
    ground.avoid(l.at, tip, KEEP_CLEAR);
    wanted.push(Wanted::value(
        tip,
        0.4 * frame.text,
        inches_only(by),
        f.id.to_string(),
    ));
}

/// A ring close around a light, so that the eye finds what a badge speaks of.
fn ring(f: &Finding, l: &Light, r: f64, frame: &Frame, marks: &mut Vec<Mark>) {
    let (off, style) = match f.severity {
        Severity::Must => (0.55, Style::Heavy),
        Severity::Should => (0.3, Style::Plain),
        Severity::Note => return,
    };
    let shape = MarkShape::Circle {
        center: l.at,
        radius: r + off * frame.text,
        filled: false,
    };
    marks.push(Mark::new(layer(f.severity), shape).of(f.id).style(style));
}

/// The bars' way from face to face, where both are known; to the wall where there is no member.
fn bay(f: &Finding, l: &Light, rules: &Rules, frame: &Frame, ground: &mut Ground, marks: &mut Vec<Mark>) {
    let Some(bay) = l.bay else { return };
    let left = Coord {
        x: -bay.along.y,
        y: bay.along.x,
    };
    let reach = rules.luminaire(l).bars.greatest;
    for (side, d) in [(bay.left, left), (bay.right, left * -1.0)] {
        let wall = side.wall.filter(|w| w.is_finite());
        let room = if side.member.is_some() && side.room.is_finite() {
            side.room.min(wall.unwrap_or(side.room))
        } else {
            wall.unwrap_or(reach)
        };
        if !room.is_finite() || room <= 0.0 || !finite(d) {
            continue;
        }
        let end = l.at + d * room;
        marks.push(
            Mark::new(
                layer(f.severity),
                MarkShape::Arrow {
                    from: l.at,
                    to: end,
                    head: frame.text * 0.7,
                },
            )
            .of(f.id)
            .style(Style::Fine),
        );
        ground.avoid(l.at, end, 3.0);
    }
}
