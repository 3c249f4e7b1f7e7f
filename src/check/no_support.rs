//! `no-support`: on one side there is no member to hang a bar from before the room's wall.
//!
//! A bay does not reach across a wall, so a member beyond it does not count. Where this fires
//! the bay has no width, and the bay checks are silent.

use super::work::{Work, unsupported};
use super::{Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    for h in work.hung() {
        let bare: Vec<_> = [("left", &h.bay.left), ("right", &h.bay.right)]
            .into_iter()
            .filter(|(_, side)| unsupported(side))
            .collect();
        let Some((_, side)) = bare.first() else { continue };
        let (measured, limit) = (side.room, side.wall.unwrap_or(f64::INFINITY));
        let message = work.say(|| {
            let nothing = match bare.as_slice() {
                [_, _] => "on either side".to_string(),
                _ => match side.wall.filter(|w| w.is_finite()) {
                    Some(wall) => format!("on one side before the wall {} away", feet_inches(wall)),
                    None => "on one side".to_string(),
                },
            };
            format!(
                "{} has no member {nothing} to hang its bars from: add blocking.",
                h.id
            )
        });
        findings.push(Finding {
            lights: vec![h.id],
            members: h.members(),
            room: h.light.room,
            ..Finding::new(Kind::NoSupport, h.light.at, measured, limit, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{check_of, check_with, old_work, only};

    const NONE: &str =
        "member joist (0,0) (0,96)\nlight (8,48)\nbay L1 along=(0,1) left=7.25,M1 right=inf right-wall=20";

    #[test]
    fn no_member_on_one_side() {
        let f = only(NONE, Kind::NoSupport);
        assert_eq!((f.measured, f.limit), (f64::INFINITY, 20.0));
        assert!(check_with(NONE, &old_work(), Kind::NoSupport).is_empty());
    }

    #[test]
    fn a_member_beyond_the_wall_carries_nothing_and_makes_no_bay() {
        let plan = |wall: f64| {
            format!(
                "member joist (0,0) (0,96)\nmember joist (40,0) (40,96)\nlight (8,48)\n\
                 bay L1 along=(0,1) left=7.25,M1 right=31.25,M2 right-wall={wall}"
            )
        };
        let f = only(&plan(12.0), Kind::NoSupport);
        assert_eq!((f.measured, f.limit), (31.25, 12.0));
        assert!(check_of(&plan(12.0), Kind::WideBay).is_empty());
        // At the wall itself it carries, and upon the wall's plate, which is 4 1/2 in wide.
        for wall in [31.25, 30.75, 31.25 - 4.25] {
            assert!(check_of(&plan(wall), Kind::NoSupport).is_empty());
            assert_eq!(check_of(&plan(wall), Kind::WideBay).len(), 1);
        }
        assert_eq!(check_of(&plan(31.25 - 4.5), Kind::NoSupport).len(), 1);
    }

    #[test]
    fn of_an_opening_that_hits_nothing_more_is_said() {
        let plan = "member joist (0,0) (0,96)\nlight (2,48)\nbay L1 along=(0,1) left=1.25,M1 right=inf";
        assert!(check_of(plan, Kind::NoSupport).is_empty());
        assert_eq!(check_of(plan, Kind::HitsMember).len(), 1);
    }
}
