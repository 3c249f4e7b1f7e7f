//! A piece along a wall that is all there is on a side: on the wall's plate, flush with its face.

use geo::Vector2DOps;

use super::THICKNESS;
use crate::check::work::unsupported;
use crate::length::feet_inches;
use crate::plan::{Bay, Light, LightId, Plan};
use crate::recognise::bays::{Near, wall};
use crate::remedy::{Action, Offer, Piece};
use crate::rules::Luminaire;

/// Longer than the housing is wide by this at each end, inches, for the bars' feet and their nails (a choice).
pub const OVER: f64 = 2.0;
/// A wall whose face steps by no more than this runs on, inches.
pub const FLUSH: f64 = 1.0 / 16.0;

/// A piece on each side of the bay that has a wall and no member. `None` where a side has neither, or none is open, or
/// the wall does not run along the whole piece.
pub fn offer(plan: &Plan, id: LightId, light: &Light, bay: &Bay, housing: &Luminaire) -> Option<Offer> {
    let left = bay.along.left();
    let cut = ((2.0 * (housing.half_width + OVER) - 1e-6) * 16.0).ceil() / 16.0;
    let near = Near::new(plan);
    let mut pieces = Vec::new();
    for (side, d) in [(bay.left, left), (bay.right, left * -1.0)] {
        if !unsupported(&side) {
            continue;
        }
        let face = side.wall.filter(|w| w.is_finite() && *w > 0.0)?;
        let flush = |end: f64| {
            let beside = Light {
                at: light.at + bay.along * end,
                ..light.clone()
            };
            wall(plan, &near, &beside, d).is_some_and(|met| (met - face).abs() <= FLUSH)
        };
        if ![-cut / 2.0, 0.0, cut / 2.0].into_iter().all(flush) {
            return None;
        }
        let middle = light.at + d * (face + THICKNESS / 2.0);
        pieces.push(Piece {
            from: middle - bay.along * (cut / 2.0),
            to: middle + bay.along * (cut / 2.0),
            thickness: THICKNESS,
            cut,
            between: Vec::new(),
            serves: vec![id],
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
