//! The table as a whole, and what the checks' own tests share.

use super::{Finding, Kind, Severity, TABLE, check};
use crate::plan::notation::parse;
use crate::rules::{Luminaire, Mount, Rules};

/// Findings of one kind on a plan in the notation, under the default rules.
pub fn check_of(plan: &str, kind: Kind) -> Vec<Finding> {
    check_with(plan, &Rules::default(), kind)
}

/// The same under other rules; a schedule of one entry holds for every light.
pub fn check_with(plan: &str, rules: &Rules, kind: Kind) -> Vec<Finding> {
    let mut plan = parse(plan).unwrap();
    if rules.luminaires.len() == 1 {
        plan.lights.iter_mut().for_each(|l| l.schedule = Some(0));
    }
    let mut found = check(&plan, rules);
    found.retain(|f| f.kind == kind);
    found
}

pub fn only(plan: &str, kind: Kind) -> Finding {
    only_with(plan, &Rules::default(), kind)
}

pub fn only_with(plan: &str, rules: &Rules, kind: Kind) -> Finding {
    let mut found = check_with(plan, rules, kind);
    assert_eq!(found.len(), 1, "{found:?}");
    found.remove(0)
}

/// A light between two joists, so far from their faces.
pub fn bay(left: f64, right: f64) -> String {
    format!(
        "member joist ({},0) ({0},96)\nmember joist ({},0) ({1},96)\nlight (0,48)\n\
         bay L1 along=(0,1) left={left},M1 right={right},M2",
        -left - 0.75,
        right + 0.75
    )
}

/// Rules whose schedule has one entry.
pub fn housing(luminaire: Luminaire) -> Rules {
    Rules {
        luminaires: vec![luminaire],
        ..Rules::default()
    }
}

/// An old-work housing with clips that need 1/2 in around the opening.
pub fn old_work() -> Rules {
    housing(Luminaire {
        mount: Mount::OldWork,
        ..Luminaire::default()
    })
}

#[test]
fn the_table_is_in_the_order_of_the_kinds() {
    for (i, row) in TABLE.iter().enumerate() {
        assert_eq!(row.kind as usize, i);
        assert_eq!((Kind::ALL[i], Kind::ALL[i].name()), (row.kind, row.name));
    }
    assert_eq!(Kind::NoSupport.severity(), Severity::Must);
    assert!(Severity::Must > Severity::Should && Severity::Should > Severity::Note);
}

#[test]
fn findings_come_by_kind_then_light_and_are_numbered() {
    let plan = parse(
        "member joist (0,0) (0,96)\nlight (200,0)\nlight (2,48) stacked=(2,48)\nlight (1,20) stacked=(1,20)",
    )
    .unwrap();
    let found = check(&plan, &Rules::default());
    let said: Vec<_> = found
        .iter()
        .map(|f| format!("{} {} {}", f.id, f.kind.name(), f.lights[0]))
        .collect();
    assert_eq!(
        said,
        [
            "F1 hits-member L2",
            "F2 hits-member L3",
            "F3 stacked L2",
            "F4 stacked L3",
            "F5 no-schedule L1"
        ]
    );
}

#[test]
fn numbers_that_are_none_trip_nothing() {
    let mut plan = parse(&bay(7.25, 7.25)).unwrap();
    plan.lights[0].at.x = f64::NAN;
    plan.members[0].thickness = f64::NAN;
    plan.members[1].from.x = f64::INFINITY;
    plan.members.push(plan.members[0].clone());
    let found = check(&plan, &Rules::default());
    assert_eq!(
        found.iter().map(|f| f.kind).collect::<Vec<_>>(),
        [Kind::NoSchedule]
    );
}
