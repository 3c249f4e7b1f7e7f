//! `hard-against`: the housing goes in, but only pushed hard against a member.
//!
//! Bending the tabs gains about 1/4 to 1/2 in (common practice).

use super::work::Work;
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    let gain = work.rules.tolerance.tab_gain;
    for h in work.hung() {
        let spare = h.spare();
        if spare.is_nan() || spare >= gain - EPSILON || spare < -(gain + EPSILON) {
            continue;
        }
        let nearest = if h.bay.left.room <= h.bay.right.room {
            &h.bay.left
        } else {
            &h.bay.right
        };
        let message = work.say(|| {
            let call = |m| work.call(m);
            let against = nearest.member.map_or_else(|| "the member".into(), call);
            let by = feet_inches(spare.abs());
            if spare > EPSILON {
            format!(
                "The housing of {} fits with only {by} to spare: install it hard against {against}.",
                h.id
            )
        } else if spare >= -EPSILON {
            format!(
                "The housing of {} just fits: install it hard against {against}.",
                h.id
            )
        } else {
            format!(
                "The housing of {} is {by} short of room: bend the tabs and install it hard against {against}.",
                h.id
            )
        }});
        findings.push(Finding {
            lights: vec![h.id],
            members: h.members(),
            room: h.light.room,
            ..Finding::new(Kind::HardAgainst, h.light.at, spare, gain, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{bay, check_of, check_with, old_work, only};

    #[test]
    fn less_than_the_gain_to_spare_either_way() {
        assert_eq!(only(&bay(4.75, 9.75), Kind::HardAgainst).measured, 0.25);
        assert_eq!(only(&bay(9.75, 4.75), Kind::HardAgainst).measured, 0.25);
        assert_eq!(only(&bay(4.25, 10.25), Kind::HardAgainst).measured, -0.25);
        assert_eq!(only(&bay(4.5, 10.0), Kind::HardAgainst).measured, 0.0);
    }

    #[test]
    fn the_gain_exactly_to_spare_is_free_and_exactly_short_is_hard_against() {
        assert!(check_of(&bay(5.0, 9.5), Kind::HardAgainst).is_empty());
        assert_eq!(only(&bay(4.0, 10.5), Kind::HardAgainst).measured, -0.5);
        assert!(check_of(&bay(3.99, 10.51), Kind::HardAgainst).is_empty());
    }

    #[test]
    fn old_work_has_no_tabs() {
        assert!(check_with(&bay(4.75, 9.75), &old_work(), Kind::HardAgainst).is_empty());
    }
}
