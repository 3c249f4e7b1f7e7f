//! `stacked`: two symbols on one spot. A light drawn twice would be bought twice.

use super::work::Work;
use super::{Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    let limit = work.rules.tolerance.stacked;
    for (id, light, ..) in work.lights() {
        if light.stacked.is_empty() {
            continue;
        }
        let apart = light
            .stacked
            .iter()
            .map(|p| (*p - light.at).x.hypot((*p - light.at).y));
        let furthest = apart.fold(0.0, f64::max);
        let symbols = light.stacked.len() + 1;
        let message = work.say(|| {
            format!(
                "{symbols} symbols stand within {} of each other at {id}: counted as one light.",
                feet_inches(limit)
            )
        });
        findings.push(Finding {
            lights: vec![id],
            room: light.room,
            ..Finding::new(Kind::Stacked, light.at, furthest, limit, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{check_of, only};

    #[test]
    fn a_second_symbol_half_an_inch_off() {
        let f = only("light (0,0) stacked=(0.3,0.4),(0,0)\nlight (50,0)", Kind::Stacked);
        assert_eq!((f.measured, f.limit, f.lights.len()), (0.5, 1.0, 1));
        assert!(f.message.starts_with("3 symbols"), "{}", f.message);
        assert!(check_of("light (0,0)\nlight (50,0)", Kind::Stacked).is_empty());
    }
}
