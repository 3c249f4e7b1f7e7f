//! A plan without a rules file whose light schedule is drawn beside it.

use std::fmt::Write as _;

use bayline::batch::audit::audit_bytes;
use bayline::batch::legend::legend_bytes;
use bayline::rules::{self, Rules};

/// Three lights with their type beside them, and a schedule of that type.
fn plan() -> String {
    let mut text = String::from("0\nSECTION\n2\nENTITIES\n");
    let mut words = |x: f64, y: f64, layer: &str, said: &str| {
        write!(text, "0\nTEXT\n8\n{layer}\n10\n{x}\n20\n{y}\n40\n6\n1\n{said}\n").unwrap();
    };
    for (x, y, said) in [
        (300.0, 200.0, "LIGHTING SCHEDULE"),
        (300.0, 185.0, "TYPE"),
        (350.0, 185.0, "DESCRIPTION"),
        (300.0, 170.0, "R4"),
        (350.0, 170.0, "4\" RECESSED LED, IC"),
    ] {
        words(x, y, "A-ANNO", said);
    }
    for x in [24.0, 72.0, 120.0] {
        words(x + 5.0, 57.0, "E-LITE", "R4");
    }
    for x in [24.0, 72.0, 120.0] {
        write!(text, "0\nCIRCLE\n8\nE-LITE\n10\n{x}\n20\n60\n40\n3\n").unwrap();
    }
    text + "0\nENDSEC\n0\nEOF\n"
}

fn inches() -> Rules {
    rules::parse("units = \"in\"\n", None).unwrap()
}

#[test]
fn it_is_used_and_said_where_the_rules_have_none() {
    let audited = audit_bytes("plan.dxf", plan().as_bytes(), &inches()).unwrap();
    let report = audited.report;
    assert_eq!(report.plan.lights.len(), 3);
    for light in &report.plan.lights {
        assert_eq!(report.luminaire(light).aperture, 4.0);
    }
    let note = report.notes.iter().find(|n| n.code == "schedule-drawn").unwrap();
    assert!(
        note.message.contains("R4 4\"") && note.message.contains("confirm"),
        "{}",
        note.message
    );
}

#[test]
fn a_schedule_in_the_rules_comes_first() {
    let given = rules::parse(
        "units = \"in\"\n[[luminaire]]\ntag = \"R4\"\naperture = 5\n",
        None,
    )
    .unwrap();
    let report = audit_bytes("plan.dxf", plan().as_bytes(), &given).unwrap().report;
    assert!(
        report
            .plan
            .lights
            .iter()
            .all(|l| report.luminaire(l).aperture == 5.0)
    );
}

#[test]
fn the_rules_that_are_written_have_it_for_confirmation() {
    let legend = legend_bytes("plan.dxf", plan().as_bytes(), &inches()).unwrap();
    let again = rules::parse(&legend.rules, None).unwrap();
    let read: Vec<(&str, f64)> = (again.luminaires.iter())
        .map(|l| (l.tag.as_str(), l.aperture))
        .collect();
    assert_eq!(read, [("R4", 4.0)]);
    assert!(legend.notes.iter().all(|n| n.code != "starter-differs"));
}
