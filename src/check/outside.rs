//! `outside`: a light in no room, where the plan has rooms.
//!
//! It may hang on a porch, be of a detail or of no plan at all, or a room's outline may not have been found: worth
//! a look. Outlines count alike, drawn or made from walls.

use geo::Coord;

use super::work::Work;
use super::{Finding, Kind};
use crate::length::feet_inches;

/// So near a room its distance tells nothing, inches.
const NEAR: f64 = 24.0;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    if work.plan.rooms.is_empty() {
        return;
    }
    for (id, light, ..) in work.lights() {
        if light.room.is_some() {
            continue;
        }
        let off = to_rooms(work, light.at);
        let message = work.say(|| {
            if off > NEAR {
                format!(
                    "{id} stands in no room that was found, {} from the nearest.",
                    feet_inches(off)
                )
            } else {
                format!("{id} stands in no room that was found.")
            }
        });
        findings.push(Finding {
            lights: vec![id],
            ..Finding::new(Kind::Outside, light.at, off, 0.0, message)
        });
    }
}

/// Distance to the nearest room's outline.
fn to_rooms(work: &Work<'_>, at: Coord) -> f64 {
    let edges = work
        .plan
        .rooms
        .iter()
        .flat_map(|r| r.outline.iter().zip(r.outline.iter().cycle().skip(1)));
    let distance = |(a, b): (&Coord, &Coord)| {
        let (run, to) = (*b - *a, at - *a);
        let squared = run.x * run.x + run.y * run.y;
        let t = if squared > 0.0 {
            ((to.x * run.x + to.y * run.y) / squared).clamp(0.0, 1.0)
        } else {
            0.0
        };
        let off = to - run * t;
        off.x.hypot(off.y)
    };
    edges.map(distance).fold(f64::INFINITY, f64::min)
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{check_of, only};

    #[test]
    fn only_where_there_are_rooms() {
        let room = "room (0,0) (100,0) (100,100) (0,100)\n";
        let f = only(
            &format!("{room}light (50,50) room=R1\nlight (103,-4)"),
            Kind::Outside,
        );
        assert_eq!(f.measured, 5.0);
        assert_eq!(f.lights[0].to_string(), "L2");
        // An outline made from walls is one too.
        let made = "room inferred (0,0) (100,0) (100,100) (0,100)\n";
        let f = only(
            &format!("{made}light (50,50) room=R1\nlight (103,-4)"),
            Kind::Outside,
        );
        assert_eq!(f.measured, 5.0);
        assert!(check_of("light (120,50)", Kind::Outside).is_empty());
    }

    #[test]
    fn far_from_the_rooms_it_says_how_far() {
        let room = "room (0,0) (100,0) (100,100) (0,100)\n";
        let f = only(
            &format!("{room}light (50,50) room=R1\nlight (4900,50)"),
            Kind::Outside,
        );
        assert_eq!(f.measured, 4800.0);
        assert!(f.message.contains("400' 0\" from the nearest"), "{}", f.message);
    }
}
