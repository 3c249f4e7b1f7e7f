//! `outside`: a light in no room, where the plan has rooms.
//!
//! It may hang on a porch, or a room's outline may not have been found: worth a look.

use geo::Coord;

use super::work::Work;
use super::{Finding, Kind};

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    // Rooms taken from walls may leave some out: that says nothing of a light.
    if !work.plan.rooms.iter().any(|r| r.drawn) {
        return;
    }
    for (id, light, ..) in work.lights() {
        if light.room.is_some() {
            continue;
        }
        let message = format!("{id} stands in no room that was found.");
        findings.push(Finding {
            lights: vec![id],
            ..Finding::new(Kind::Outside, light.at, to_rooms(work, light.at), 0.0, message)
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
        assert!(check_of("light (120,50)", Kind::Outside).is_empty());
    }
}
