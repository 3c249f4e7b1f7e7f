//! `wide-bay`: the bars do not reach from member to member; blocking is needed.

use super::work::Work;
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    for h in work.carried() {
        let (clear, limit) = (h.clear(), h.housing.bars.greatest);
        if clear.is_nan() || clear <= limit + EPSILON {
            continue;
        }
        let message = work.say(|| {
            format!(
                "The bay at {} is {} clear and its bars reach {}: add blocking to hang it from.",
                h.id,
                feet_inches(clear),
                feet_inches(limit),
            )
        });
        findings.push(Finding {
            lights: vec![h.id],
            members: h.members(),
            room: h.light.room,
            ..Finding::new(Kind::WideBay, h.light.at, clear, limit, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{bay, check_of, check_with, old_work, only};

    #[test]
    fn two_feet_is_the_reach() {
        // Bars reach about 24 in (common practice).
        assert!(check_of(&bay(12.0, 12.0), Kind::WideBay).is_empty());
        let f = only(&bay(12.0, 18.5), Kind::WideBay);
        assert_eq!((f.measured, f.limit), (30.5, 24.0));
    }

    #[test]
    fn no_usual_bay_is_wide() {
        // Clear bays, derived: 14 1/2, 17.7, 22 1/2 for 1 1/2 in stock (PS 20); I-joist flanges
        // 13 11/16 and 20 1/2.
        for clear in [14.5, 17.7, 22.5, 13.6875, 20.5] {
            assert!(check_of(&bay(clear / 2.0, clear / 2.0), Kind::WideBay).is_empty());
        }
    }

    #[test]
    fn old_work_has_no_bars() {
        assert!(check_with(&bay(12.0, 18.5), &old_work(), Kind::WideBay).is_empty());
    }
}
