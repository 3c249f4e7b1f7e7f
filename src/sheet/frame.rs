//! What part of the drawing the sheet shows, and at what scale.

use geo::Coord;

use super::measure::Rect;
use crate::plan::{Linework, Plan};

/// Height of capitals in print: 3/32 in (common practice for sheets), in points.
pub const CAPITAL: f64 = 72.0 * 3.0 / 32.0;

/// Scales a tape or scale rule reads, as (inches on paper a foot, its words), largest first. From
/// common practice for building plans. None is larger than 1/4 in to the foot: at that plans are plotted, and what a
/// redline says must be legible on them.
const SCALES: [(f64, &str); 6] = [
    (0.25, "1/4\" = 1'-0\""),
    (0.1875, "3/16\" = 1'-0\""),
    (0.125, "1/8\" = 1'-0\""),
    (0.09375, "3/32\" = 1'-0\""),
    (0.0625, "1/16\" = 1'-0\""),
    (0.03125, "1/32\" = 1'-0\""),
];

/// Most room for the plan on paper, points: what an ARCH D sheet (24 × 36 in) leaves beside the list.
const MOST: (f64, f64) = (1580.0, 1400.0);

#[derive(Clone, Debug, PartialEq)]
pub struct Frame {
    pub bounds: Rect,
    /// Points on paper an inch of plan.
    pub scale: f64,
    pub words: String,
    /// Height of a capital on the plan, inches.
    pub text: f64,
    /// Some of the architect's lines lie beyond the frame.
    pub cut: bool,
}

/// Frames what was checked, and the drawing around it as far as that is near.
pub fn frame(plan: &Plan) -> Frame {
    let all = Rect::of(drawn(plan));
    let core = Rect::of(checked(plan));
    let (bounds, cut) = match (core, all) {
        (Some(core), Some(all)) => {
            let all = all.join(core);
            let reach = core.grown((0.4 * core.width().max(core.height())).max(120.0));
            let seen = Rect {
                least: Coord {
                    x: all.least.x.max(reach.least.x),
                    y: all.least.y.max(reach.least.y),
                },
                greatest: Coord {
                    x: all.greatest.x.min(reach.greatest.x),
                    y: all.greatest.y.min(reach.greatest.y),
                },
            };
            (seen, seen != all)
        }
        (Some(only), None) | (None, Some(only)) => (only, false),
        (None, None) => (Rect::around(Coord { x: 0.0, y: 0.0 }, 120.0, 120.0), false),
    };
    let (scale, words) = fit(bounds.width(), bounds.height());
    Frame {
        bounds,
        scale,
        words,
        text: CAPITAL / scale,
        cut,
    }
}

/// The largest usual scale at which the plan has room; beyond those, halved until it has.
fn fit(width: f64, height: f64) -> (f64, String) {
    let fits = |points: f64| width * points <= MOST.0 && height * points <= MOST.1;
    for (paper, words) in SCALES {
        if fits(paper * 6.0) {
            return (paper * 6.0, words.to_string());
        }
    }
    let mut denominator = 768.0;
    while !fits(72.0 / denominator) && denominator < 1e9 {
        denominator *= 2.0;
    }
    (72.0 / denominator, format!("1:{denominator}"))
}

/// Points of what was checked.
fn checked(plan: &Plan) -> impl Iterator<Item = Coord> + '_ {
    let lights = plan.lights.iter().flat_map(|l| {
        let reach = 12.0;
        [
            l.at + Coord { x: reach, y: reach },
            l.at - Coord { x: reach, y: reach },
        ]
    });
    let members = plan.members.iter().flat_map(|m| [m.from, m.to]);
    let rooms = plan.rooms.iter().flat_map(|r| r.outline.iter().copied());
    lights.chain(members).chain(rooms)
}

/// Points of everything else drawn.
fn drawn(plan: &Plan) -> impl Iterator<Item = Coord> + '_ {
    let walls = plan.walls.iter().flat_map(|w| [w.0, w.1]);
    let obstacles = plan.obstacles.iter().flat_map(|o| o.outline.iter().copied());
    // Lettering does not count: sheet titles stand far below the house they name.
    let lines = plan.linework.iter().flat_map(|l| match l {
        Linework::Path { points, .. } => points.as_slice(),
        Linework::Text { .. } => &[],
    });
    let lines = lines.copied();
    walls.chain(obstacles).chain(lines)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn scales_are_those_of_a_scale_rule() {
        // Derived: 1/4 in = 1 ft is 1:48, so an inch of plan is 72/48 = 1.5 points.
        let (points, words) = fit(720.0, 480.0);
        assert_eq!((points, words.as_str()), (1.5, "1/4\" = 1'-0\""));
        assert_eq!(fit(100.0, 100.0).0, 1.5, "what is small is not drawn larger");
        let (points, _) = fit(40_000.0, 30_000.0);
        assert!(40_000.0 * points <= MOST.0 && points > 0.0);
    }
}
