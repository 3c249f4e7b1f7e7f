//! `housing-clash`: the opening is clear, but the housing does not go between the members.
//!
//! It is tried both ways round. What bending the tabs gains is allowed for: up to that,
//! `hard-against` speaks instead.

use super::work::Work;
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    let gain = work.rules.tolerance.tab_gain;
    for h in work.hung() {
        let short = -h.spare();
        if short.is_nan() || short <= gain + EPSILON {
            continue;
        }
        let room = |room: f64| feet_inches(room.max(0.0));
        let message = work.say(|| { let beside = h
            .members()
            .into_iter()
            .map(|m| work.call(m))
            .collect::<Vec<_>>()
            .join(" and ");
        match (h.bay.left.room.is_finite(), h.bay.right.room.is_finite()) {
            (true, true) => format!(
                "The housing of {} is {} short of room beside {beside}: {} and {} are there, {} and {} are wanted.",
                h.id,
                feet_inches(short),
                room(h.bay.left.room),
                room(h.bay.right.room),
                feet_inches(h.housing.short_side),
                feet_inches(h.housing.box_side),
            ),
            _ => format!(
                "The housing of {} is {} short of room beside {beside}.",
                h.id,
                feet_inches(short)
            ),
        }});
        findings.push(Finding {
            lights: vec![h.id],
            members: h.members(),
            room: h.light.room,
            ..Finding::new(Kind::HousingClash, h.light.at, short, gain, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{bay, check_of, check_with, old_work, only};

    #[test]
    fn short_by_more_than_the_tabs_gain() {
        // Default housing: 4 1/2 and 6 1/2 in from the centre. 14 1/2 in is the clear bay of
        // joists 16 in on centre (derived from PS 20's 1 1/2).
        let f = only(&bay(3.75, 10.75), Kind::HousingClash);
        assert_eq!((f.measured, f.limit), (0.75, 0.5));
        assert_eq!(f.members.len(), 2);
        // The other way round it is the same housing.
        assert_eq!(only(&bay(10.75, 3.75), Kind::HousingClash).measured, 0.75);
    }

    #[test]
    fn in_the_middle_of_every_usual_bay_it_fits() {
        // Clear bays, derived: 14 1/2, 17.7, 22 1/2; I-joist flanges 13 11/16, 20 1/2.
        for clear in [14.5, 17.7, 22.5, 13.6875, 20.5] {
            assert!(check_of(&bay(clear / 2.0, clear / 2.0), Kind::HousingClash).is_empty());
        }
    }

    #[test]
    fn the_tab_gain_exactly_is_not_a_clash() {
        assert!(check_of(&bay(4.0, 10.5), Kind::HousingClash).is_empty());
        assert_eq!(check_of(&bay(3.99, 10.51), Kind::HousingClash).len(), 1);
    }

    #[test]
    fn a_bay_short_for_both_sides_clashes_whichever_way() {
        assert_eq!(only(&bay(5.0, 5.0), Kind::HousingClash).measured, 1.5);
    }

    #[test]
    fn old_work_and_an_opening_that_hits_say_nothing_of_the_housing() {
        assert!(check_with(&bay(3.75, 10.75), &old_work(), Kind::HousingClash).is_empty());
        assert!(check_of(&bay(3.0, 11.5), Kind::HousingClash).is_empty());
        assert_eq!(check_of(&bay(3.0, 11.5), Kind::HitsMember).len(), 1);
    }
}
