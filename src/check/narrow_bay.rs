//! `narrow-bay`: the bay is narrower than the bars can be cut.

use super::work::Work;
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    for h in work.carried() {
        let (clear, limit) = (h.clear(), h.housing.bars.trimmed);
        if clear.is_nan() || clear >= limit - EPSILON {
            continue;
        }
        let message = work.say(|| {
            format!(
                "The bay at {} is {} clear; even cut, its bars need {}: move the light to another bay.",
                h.id,
                feet_inches(clear.max(0.0)),
                feet_inches(limit),
            )
        });
        findings.push(Finding {
            lights: vec![h.id],
            members: h.members(),
            room: h.light.room,
            ..Finding::new(Kind::NarrowBay, h.light.at, clear, limit, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{bay, check_of, check_with, old_work, only};

    #[test]
    fn narrower_than_the_cut_bars() {
        let f = only(&bay(4.0, 4.5), Kind::NarrowBay);
        assert_eq!((f.measured, f.limit), (8.5, 9.0));
        assert!(check_of(&bay(4.5, 4.5), Kind::NarrowBay).is_empty());
        assert!(check_of(&bay(4.0, 4.5), Kind::TrimBars).is_empty());
    }

    #[test]
    fn old_work_has_no_bars() {
        assert!(check_with(&bay(4.0, 4.5), &old_work(), Kind::NarrowBay).is_empty());
    }
}
