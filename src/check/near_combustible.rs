//! `near-combustible`: a housing that is not Type IC with wood too near its body.
//!
//! NFPA 70, 410.116(A)(1): recessed parts at least 1/2 in from combustible material. Type IC may
//! touch (410.116(A)(2)). New-work and old-work alike.

use super::work::Work;
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    let limit = work.rules.tolerance.combustible;
    for (id, light, housing, near) in work.lights() {
        if housing.ic {
            continue;
        }
        let clearance = |distance: f64| (distance - housing.body / 2.0).max(0.0);
        let close: Vec<_> = near
            .iter()
            .filter(|n| clearance(n.distance) < limit - EPSILON)
            .collect();
        let Some(nearest) = close.first() else { continue };
        let gap = clearance(nearest.distance);
        let message = work.say(|| {
        let stands = if gap > EPSILON {
            format!("stands {} from", feet_inches(gap))
        } else {
            "touches".into()
        };
        format!(
            "{id} is not Type IC and its body {stands} {}; keep {} clear of wood (NFPA 70, 410.116(A)(1)).",
            work.call(nearest.member),
            feet_inches(limit),
        )});
        findings.push(Finding {
            lights: vec![id],
            members: close.iter().map(|n| n.member).collect(),
            room: light.room,
            ..Finding::new(Kind::NearCombustible, light.at, gap, limit, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{check_of, check_with, housing, old_work, only_with};
    use crate::rules::Luminaire;

    /// Body of 6 3/4 in: its edge `gap` from the face of a joist.
    fn beside(gap: f64) -> String {
        format!("member joist (0,0) (0,96)\nlight ({},48)", 0.75 + 3.375 + gap)
    }

    fn not_ic() -> crate::rules::Rules {
        housing(Luminaire {
            ic: false,
            ..Luminaire::default()
        })
    }

    #[test]
    fn nearer_than_half_an_inch() {
        // 1/2 in: NFPA 70, 410.116(A)(1).
        let f = only_with(&beside(0.25), &not_ic(), Kind::NearCombustible);
        assert_eq!((f.measured, f.limit), (0.25, 0.5));
        assert!(check_with(&beside(0.5), &not_ic(), Kind::NearCombustible).is_empty());
        assert_eq!(
            only_with(&beside(-0.1), &not_ic(), Kind::NearCombustible).measured,
            0.0
        );
    }

    #[test]
    fn type_ic_may_touch() {
        // 410.116(A)(2), from memory.
        assert!(check_of(&beside(0.0), Kind::NearCombustible).is_empty());
    }

    #[test]
    fn old_work_is_no_exception() {
        let mut rules = old_work();
        for l in &mut rules.luminaires {
            l.ic = false;
        }
        assert_eq!(
            only_with(&beside(0.375), &rules, Kind::NearCombustible).measured,
            0.375
        );
    }
}
