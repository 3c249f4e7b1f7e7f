//! `trim-bars`: the bay is narrower than the bars at their shortest; they must be cut.

use super::work::Work;
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    for h in work.carried() {
        let (clear, limit) = (h.clear(), h.housing.bars.least);
        if clear.is_nan() || clear >= limit - EPSILON || clear < h.housing.bars.trimmed - EPSILON {
            continue;
        }
        let message = work.say(|| {
            format!(
                "The bay at {} is {} clear and its bars close to {}: cut the bars to fit.",
                h.id,
                feet_inches(clear),
                feet_inches(limit),
            )
        });
        findings.push(Finding {
            lights: vec![h.id],
            members: h.members(),
            room: h.light.room,
            ..Finding::new(Kind::TrimBars, h.light.at, clear, limit, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{bay, check_of, check_with, old_work, only};

    #[test]
    fn an_i_joist_bay_at_sixteen_inches_wants_shorter_bars() {
        // 16 - 2 5/16 = 13 11/16 (derived); bars of 14 in close no further. The 1 1/2 in
        // stock's 14 1/2 needs no cutting.
        let f = only(&bay(6.84375, 6.84375), Kind::TrimBars);
        assert_eq!((f.measured, f.limit), (13.6875, 14.0));
        assert!(check_of(&bay(7.25, 7.25), Kind::TrimBars).is_empty());
    }

    #[test]
    fn between_trimmed_and_least_both_ends_in() {
        assert!(check_of(&bay(7.0, 7.0), Kind::TrimBars).is_empty());
        // Tight bays of about 10 in need them shortened (common practice).
        assert_eq!(check_of(&bay(5.0, 5.0), Kind::TrimBars).len(), 1);
        assert_eq!(check_of(&bay(4.5, 4.5), Kind::TrimBars).len(), 1);
        assert!(check_of(&bay(4.5, 4.49), Kind::TrimBars).is_empty());
    }

    #[test]
    fn old_work_has_no_bars() {
        assert!(check_with(&bay(6.5, 6.5), &old_work(), Kind::TrimBars).is_empty());
    }
}
