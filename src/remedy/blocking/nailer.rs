//! A piece along a wall that is all there is on a side: on the wall's plate, flush with its face.

use geo::{Coord, Vector2DOps};

use super::THICKNESS;
use crate::check::work::unsupported;
use crate::length::feet_inches;
use crate::plan::{Bay, Light, LightId, Plan};
use crate::remedy::{Action, Offer, Piece};
use crate::rules::Luminaire;

/// Longer than the housing is wide by this at each end, inches, for the bars' feet and their nails (a choice).
const OVER: f64 = 2.0;
/// A wall whose face steps by no more than this runs on, inches.
const FLUSH: f64 = 1.0 / 16.0;

/// A piece on each side of the bay that has a wall and no member. `None` where a side has neither, or none is open, or
/// the wall does not run along the whole piece.
pub fn offer(plan: &Plan, id: LightId, light: &Light, bay: &Bay, housing: &Luminaire) -> Option<Offer> {
    let left = bay.along.left();
    let cut = ((2.0 * (housing.half_width + OVER) - 1e-6) * 16.0).ceil() / 16.0;
    let mut pieces = Vec::new();
    for (side, d) in [(bay.left, left), (bay.right, left * -1.0)] {
        if !unsupported(&side) {
            continue;
        }
        let face = side.wall.filter(|w| w.is_finite() && *w > 0.0)?;
        let runs = |end: f64| {
            let from = light.at + bay.along * end;
            let met = faces(plan, light).filter_map(|(a, b)| met(from, d, a, b));
            met.fold(f64::INFINITY, f64::min)
        };
        let flush = [-cut / 2.0, 0.0, cut / 2.0].map(|end| (runs(end) - face).abs() <= FLUSH);
        if flush != [true; 3] {
            return None;
        }
        let middle = light.at + d * (face + THICKNESS / 2.0);
        pieces.push(Piece {
            from: middle - bay.along * (cut / 2.0),
            to: middle + bay.along * (cut / 2.0),
            thickness: THICKNESS,
            cut,
            between: Vec::new(),
        });
    }
    let member = [bay.left, bay.right]
        .iter()
        .filter(|s| !unsupported(s))
        .find_map(|s| s.member);
    let message = match (pieces.len(), member) {
        (1, Some(member)) => format!(
            "Blocking for {id}: cut a piece of two-by to {} and nail it along the wall on its plate, level with the members, flush with \
             the wall's face and centred on the light; hang the bars between {member} and it.",
            feet_inches(cut)
        ),
        (2, None) => format!(
            "Blocking for {id}: cut two pieces of two-by to {} and nail one along each wall on its plate, level with the members, flush \
             with the wall's face and centred on the light; hang the bars between them.",
            feet_inches(cut)
        ),
        _ => return None,
    };
    Some(Offer {
        lights: vec![id],
        action: Action::Block { pieces },
        message,
    })
}

/// Walls that bound a light: its room's outline where that was drawn, else all walls.
fn faces(plan: &Plan, light: &Light) -> impl Iterator<Item = (Coord, Coord)> {
    let room = light.room.and_then(|r| plan.rooms.get(r.0)).filter(|r| r.drawn);
    let ring = room.map(|r| {
        let next = r.outline.iter().cycle().skip(1);
        r.outline.iter().copied().zip(next.copied()).collect()
    });
    ring.unwrap_or_else(|| plan.walls.clone()).into_iter()
}

/// How far along the unit vector `d` from `p` a segment is met ahead.
fn met(p: Coord, d: Coord, a: Coord, b: Coord) -> Option<f64> {
    let (a, b) = (a - p, b - p);
    let (sa, sb) = (d.wedge_product(a), d.wedge_product(b));
    if sa == sb || sa * sb > 0.0 {
        return None;
    }
    let (xa, xb) = (d.dot_product(a), d.dot_product(b));
    let x = xa + (xb - xa) * (sa / (sa - sb));
    (x > 0.0).then_some(x)
}
