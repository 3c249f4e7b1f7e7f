//! What is drawn in layouts (paper space): a light schedule, lights, and viewports that freeze layers.

use std::fmt::Write as _;

use bayline::batch::audit::audit_bytes;
use bayline::report::Report;
use bayline::rules::{self, Rules};

use crate::framing::{LIGHTS, WALLS, drawing, joists};

/// The plan with further entities.
fn with(lights: &[(f64, f64)], more: &str) -> String {
    let text = drawing(&WALLS, &joists(), lights);
    let end = "0\nENDSEC\n0\nEOF\n";
    text.strip_suffix(end).unwrap().to_string() + more + end
}

fn report(text: &str) -> Report {
    let rules: Rules = rules::parse("units = \"in\"\n", None).unwrap();
    audit_bytes("plan.dxf", text.as_bytes(), &rules).unwrap().report
}

fn said<'r>(report: &'r Report, code: &str) -> Option<&'r str> {
    let note = report.notes.iter().find(|n| n.code == code);
    note.map(|n| n.message.as_str())
}

/// A text on paper, a fortieth as high as on the plan.
fn on_paper(text: &mut String, x: f64, y: f64, words: &str) {
    write!(
        text,
        "0\nTEXT\n100\nAcDbEntity\n67\n1\n8\nA-ANNO\n100\nAcDbText\n10\n{x}\n20\n{y}\n40\n0.15\n1\n{words}\n100\nAcDbText\n"
    )
    .unwrap();
}

#[test]
fn a_schedule_in_a_layout_is_read() {
    let mut more = String::new();
    for (x, y, words) in [
        (10.0, 8.0, "LIGHTING FIXTURE SCHEDULE"),
        (10.0, 7.6, "TYPE"),
        (11.25, 7.6, "DESCRIPTION"),
        (10.0, 7.2, "A"),
        (11.25, 7.2, "4\" RECESSED LED, IC"),
    ] {
        on_paper(&mut more, x, y, words);
    }
    for (x, y) in LIGHTS {
        write!(
            more,
            "0\nTEXT\n100\nAcDbEntity\n8\nE-LITE\n100\nAcDbText\n10\n{}\n20\n{}\n40\n4\n1\nA\n100\nAcDbText\n",
            x + 6.0,
            y + 4.0
        )
        .unwrap();
    }
    let report = report(&with(&LIGHTS, &more));
    assert_eq!(report.plan.lights.len(), 4);
    for light in &report.plan.lights {
        assert_eq!(light.tag.as_deref(), Some("A"));
        assert_eq!(report.luminaire(light).aperture, 4.0);
    }
    assert!(said(&report, "schedule-in-layout").is_some());
    assert!(said(&report, "schedule-drawn").is_some_and(|m| m.contains("A 4\"")));
}

#[test]
fn lights_in_a_layout_alone_are_named() {
    let mut more = String::new();
    for x in [3.0, 4.0, 5.0] {
        write!(
            more,
            "0\nCIRCLE\n100\nAcDbEntity\n67\n1\n8\nE-LITE\n100\nAcDbCircle\n10\n{x}\n20\n4\n30\n0\n40\n0.1\n"
        )
        .unwrap();
    }
    let report = self::report(&with(&[], &more));
    let message = said(&report, "no-lights").expect("a note");
    assert!(message.contains("holds 3 symbols that are lights"), "{message}");
    assert!(message.contains("move them to model space"), "{message}");
    // A frame and a title are no plan.
    let mut frame = String::new();
    on_paper(&mut frame, 1.0, 1.0, "SHEET E-1");
    let report = self::report(&with(&[], &frame));
    assert!(said(&report, "no-lights").is_some_and(|m| !m.contains("layout")));
}

#[test]
fn lights_that_no_viewport_shows_are_told() {
    let view = |id: u32, x: f64, frozen: &str| {
        format!(
            "0\nVIEWPORT\n5\n{:X}\n100\nAcDbEntity\n67\n1\n8\n0\n100\nAcDbViewport\n10\n5\n20\n4\n40\n10\n41\n8\n68\n2\n69\n{id}\n\
             12\n{x}\n22\n70\n16\n0\n26\n0\n36\n1\n17\n0\n27\n0\n45\n400\n51\n0\n{frozen}",
            0x9000 + id
        )
    };
    let (hides, shows) = ("1001\nACAD\n1003\nE-LITE\n", "");
    // The viewport looks at 500 by 400 in about its middle.
    let told = |views: &str| {
        let report = self::report(&with(&LIGHTS, views));
        assert_eq!(report.plan.lights.len(), 4, "they are counted");
        said(&report, "frozen-in-viewports").map(str::to_string)
    };
    let message = told(&view(2, 250.0, hides)).expect("a note");
    assert!(
        message.starts_with("4 lights on layer E-LITE, which is frozen"),
        "{message}"
    );
    assert_eq!(told(&view(2, 250.0, shows)), None);
    assert_eq!(
        told(&(view(2, 250.0, hides) + &view(3, 250.0, shows))),
        None,
        "one shows them"
    );
    assert_eq!(told(&view(2, 2500.0, hides)), None, "it looks elsewhere");
    assert_eq!(told(&view(1, 250.0, hides)), None, "the paper itself");
    // The third and the fourth stand beyond the right edge of this one.
    let message = told(&view(2, 0.0, hides)).expect("a note");
    assert!(message.starts_with("2 lights on layer E-LITE"), "{message}");
}
