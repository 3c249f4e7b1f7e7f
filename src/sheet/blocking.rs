//! Remedies on the plan: blocking hatched to its true size, and lights moved from old place to new.

use geo::{Coord, Vector2DOps};

use super::frame::Frame;
use super::ground::{bar, line, path, radius};
use super::labels::Wanted;
use super::place::Ground;
use super::{Layer, Mark, MarkShape, Style};
use crate::check::{Finding, Kind};
use crate::geom::{finite, unit};
use crate::length::{feet_inches, inches_only};
use crate::plan::Plan;
use crate::remedy::set_out::Measure;
use crate::remedy::{Action, Piece, Remedy};
use crate::rules::Rules;

/// Most strokes of hatching in one piece.
const STROKES: f64 = 200.0;

#[allow(clippy::too_many_arguments)]
pub fn draw(
    plan: &Plan,
    findings: &[Finding],
    remedies: &[Remedy],
    rules: &Rules,
    frame: &Frame,
    ground: &mut Ground,
    marks: &mut Vec<Mark>,
    wanted: &mut Vec<Wanted>,
) {
    for r in remedies {
        match &r.action {
            Action::Block { pieces } => {
                for p in pieces {
                    piece(p, r, frame, ground, marks, wanted);
                }
            }
            Action::Move { to, .. } => {
                // The off-line arrow already says a small move.
                let said = r
                    .mends
                    .iter()
                    .any(|id| findings.iter().any(|f| f.id == *id && f.kind == Kind::OffLine));
                let mut drawn = false;
                for (id, &to) in r.lights.iter().zip(to) {
                    let Some(l) = plan.lights.get(id.0) else { continue };
                    let d = to - l.at;
                    let by = d.x.hypot(d.y);
                    if !(by.is_finite() && by > 0.0) {
                        continue;
                    }
                    let size = radius(l, rules);
                    if said && by < size {
                        continue;
                    }
                    moved(r, l.at, to, size, frame, ground, marks, wanted);
                    drawn = true;
                }
                // The others of a row follow from the first and the pitch.
                let first = r.set_out.first().filter(|_| drawn);
                for m in first.iter().flat_map(|s| &s.measures) {
                    tape(r, first.map_or(m.at, |s| s.at), m, frame, ground, marks, wanted);
                }
            }
            Action::None { .. } => {}
        }
    }
}

/// The opening at its new place, and an arrow to it that is long enough to see.
#[allow(clippy::too_many_arguments)]
fn moved(
    r: &Remedy,
    from: Coord,
    to: Coord,
    size: f64,
    frame: &Frame,
    ground: &mut Ground,
    marks: &mut Vec<Mark>,
    wanted: &mut Vec<Wanted>,
) {
    let d = to - from;
    let by = d.x.hypot(d.y);
    let unit = d / by;
    if by > 0.2 * frame.text {
        let shape = MarkShape::Circle {
            center: to,
            radius: size,
            filled: false,
        };
        marks.push(Mark::new(Layer::Move, shape).of(r.id).style(Style::Dashed));
        ground.take_disc(to, size);
    }
    let tip = if by < size {
        from + unit * (size + 2.4 * frame.text)
    } else {
        to
    };
    let shape = MarkShape::Arrow {
        from,
        to: tip,
        head: frame.text,
    };
    marks.push(Mark::new(Layer::Move, shape).of(r.id));
    ground.avoid(from, tip, 6.0);
    wanted.push(Wanted::moved(
        tip,
        0.4 * frame.text + if by < size { 0.0 } else { size },
        format!("move {}", inches_only(by)),
        r.id.to_string(),
    ));
}

/// A measure from a light's new place to a face: a fine line, a tick at the face, and the length beside it.
fn tape(
    r: &Remedy,
    from: Coord,
    m: &Measure,
    frame: &Frame,
    ground: &mut Ground,
    marks: &mut Vec<Mark>,
    wanted: &mut Vec<Wanted>,
) {
    let Some(d) = unit(m.at - from).filter(|_| finite(from) && finite(m.at)) else {
        return;
    };
    let tick = d.left() * (0.5 * frame.text);
    for (a, b) in [(from, m.at), (m.at - tick, m.at + tick)] {
        marks.push(line(Layer::Move, a, b).of(r.id).style(Style::Fine));
    }
    ground.avoid(from, m.at, 4.0);
    wanted.push(Wanted::moved(
        from + (m.at - from) * 0.5,
        0.3 * frame.text,
        feet_inches(m.distance),
        r.id.to_string(),
    ));
}

/// Outline, hatching and cut length of one piece.
fn piece(
    p: &Piece,
    r: &Remedy,
    frame: &Frame,
    ground: &mut Ground,
    marks: &mut Vec<Mark>,
    wanted: &mut Vec<Wanted>,
) {
    if !(finite(p.from) && finite(p.to)) {
        return;
    }
    let Some(outline) = bar(p.from, p.to, p.thickness) else {
        return;
    };
    marks.push(path(Layer::Blocking, outline, true, true).of(r.id));
    for (a, b) in hatch(p, frame.text * 0.45) {
        marks.push(line(Layer::Blocking, a, b).of(r.id).style(Style::Fine));
    }
    ground.avoid(p.from, p.to, 6.0);
    wanted.push(Wanted::cut(
        (p.from, p.to),
        p.thickness / 2.0 + 0.3 * frame.text,
        format!("cut {}", feet_inches(p.cut)),
        r.id.to_string(),
    ));
}

/// Strokes at 45° across the piece, kept inside it, about `step` apart along it.
fn hatch(p: &Piece, step: f64) -> Vec<(Coord, Coord)> {
    let d = p.to - p.from;
    let long = d.x.hypot(d.y);
    let t = p.thickness;
    if !(long > 0.0 && t > 0.0 && step > 0.0 && long.is_finite() && t.is_finite()) {
        return Vec::new();
    }
    let (x, y) = (
        d / long,
        Coord {
            x: -d.y / long,
            y: d.x / long,
        },
    );
    let step = step.max(long / STROKES);
    let count = ((long + t) / step).floor() as usize;
    (1..=count)
        .filter_map(|i| {
            // The stroke's foot on the near edge is `s - t`, its head on the far edge `s`.
            let s = i as f64 * step;
            let (a, b) = ((s - t).max(0.0), s.min(long));
            let at = |u: f64| p.from + x * u + y * (u - (s - t) - t / 2.0);
            (b > a).then(|| (at(a), at(b)))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatching_stays_inside_the_piece() {
        let p = Piece {
            from: Coord { x: 0.0, y: 0.0 },
            to: Coord { x: 22.5, y: 0.0 },
            thickness: 1.5,
            cut: 22.5,
            between: vec![],
            serves: vec![],
        };
        let strokes = hatch(&p, 2.0);
        assert!(strokes.len() > 8, "{strokes:?}");
        for (a, b) in strokes {
            for q in [a, b] {
                assert!(
                    (-1e-9..=22.5 + 1e-9).contains(&q.x) && q.y.abs() <= 0.75 + 1e-9,
                    "{q:?}"
                );
            }
        }
    }
}
