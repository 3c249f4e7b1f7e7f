//! Fixtures of unknown names that stand beside well-named lights.

use super::{Sheet, has_note};
use crate::note::Note;
use crate::plan::Plan;
use crate::recognise::shape::bounds;
use crate::rules::{Luminaire, Rules};

fn symbols(sheet: &mut Sheet, layer: &str, block: &str, count: usize, y: f64) {
    for i in 0..count {
        let at = (60.0 * i as f64, y);
        let insert = sheet.insert(layer, block, at);
        let circle = sheet.circle("0", at, 3.0);
        sheet.put(circle, insert);
    }
}

/// Twelve lights, and four of another block on their layer.
fn beside(block: &str) -> Sheet {
    let mut sheet = Sheet::default();
    symbols(&mut sheet, "E-LITE-CLNG", "RL-6", 12, 0.0);
    symbols(&mut sheet, "E-LITE-CLNG", block, 4, 100.0);
    sheet
}

fn asks<'a>(notes: &'a [Note], block: &str) -> Vec<&'a Note> {
    let about = format!("block {block} stands 4 times on light layer E-LITE-CLNG");
    let asked = notes.iter().filter(|n| n.code == "evidence-asks");
    asked.filter(|n| n.message.starts_with(&about)).collect()
}

#[test]
fn a_fixture_known_by_name_or_short_is_no_recessed_light() {
    for (block, obstacles) in [
        ("SURF MTD", 4),
        ("CHAND", 4),
        ("2X4", 4),
        ("EF", 4),
        ("SPKR", 4),
        ("STEP LIGHT", 0),
        ("COVE", 0),
    ] {
        let (plan, notes) = beside(block).read_by(&Rules::default());
        assert_eq!(
            (plan.lights.len(), plan.obstacles.len()),
            (12, obstacles),
            "{block}"
        );
        assert!(!has_note(&notes, "evidence-asks"), "{block}: {notes:?}");
        assert_eq!(
            has_note(&notes, "not-recessed"),
            block != "SPKR",
            "{block}: {notes:?}"
        );
    }
}

#[test]
fn a_name_that_nobody_knows_is_asked_about_and_one_that_says_nothing_is_not() {
    for block in ["BLIMP", "DOORKNOB-X", "S3", "AP"] {
        let (plan, notes) = beside(block).read_by(&Rules::default());
        assert_eq!(plan.lights.len(), 12, "{block}");
        assert_eq!(asks(&notes, block).len(), 1, "{block}: {notes:?}");
    }
    for block in ["R4", "B", "HI-HAT", "WAFER", "RECSD", "D/L"] {
        let (plan, notes) = beside(block).read_by(&Rules::default());
        assert_eq!(plan.lights.len(), 16, "{block}");
        assert!(!has_note(&notes, "evidence-asks"), "{block}: {notes:?}");
    }
    // Where no name says it, the layer does.
    let mut sheet = Sheet::default();
    symbols(&mut sheet, "E-LITE-CLNG", "BLIMP", 4, 0.0);
    symbols(&mut sheet, "E-LITE-CLNG", "ZEPHYR", 4, 100.0);
    assert_eq!(sheet.read_by(&Rules::default()).0.lights.len(), 8);
}

#[test]
fn a_mark_of_the_schedule_says_what_an_unknown_name_does_not() {
    let rules = Rules {
        luminaires: vec![Luminaire {
            tag: "B".into(),
            ..Luminaire::default()
        }],
        ..Rules::default()
    };
    let mut sheet = beside("BLIMP");
    let read = |sheet: &Sheet| -> (Plan, Vec<Note>) { sheet.read_by(&rules) };
    assert_eq!(read(&sheet).0.lights.len(), 12);
    for i in 0..4 {
        sheet.text("E-ANNO", (60.0 * f64::from(i) + 6.0, 104.0), "B");
    }
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.lights.len(), 16, "{notes:?}");
    // One without its mark leaves it open.
    let mut three = beside("BLIMP");
    for i in 0..3 {
        three.text("E-ANNO", (60.0 * f64::from(i) + 6.0, 104.0), "B");
    }
    let (plan, notes) = read(&three);
    assert_eq!(
        (plan.lights.len(), asks(&notes, "BLIMP").len()),
        (12, 1),
        "{notes:?}"
    );
}

#[test]
fn hatches_and_skylights_are_in_the_way_as_areas_and_soffits_by_their_edges() {
    for (layer, expected) in [
        ("A-CLNG-ACCS", 1),
        ("A-ROOF-SKLT", 1),
        ("SCUTTLE", 1),
        ("A-CLNG-SOFF", 4),
        ("FURRDOWN", 4),
    ] {
        let mut sheet = Sheet::default();
        let corners = [(0.0, 0.0), (30.0, 0.0), (30.0, 22.0), (0.0, 22.0)];
        for (i, &p) in corners.iter().enumerate() {
            sheet.line(layer, p, corners[(i + 1) % 4]);
        }
        let (plan, notes) = sheet.read_by(&Rules::default());
        assert_eq!(plan.obstacles.len(), expected, "{layer}: {notes:?}");
        let (low, high) = bounds(plan.obstacles[0].outline.iter().copied()).unwrap();
        let area = (high.x - low.x) * (high.y - low.y);
        let edge = 1.5 * 30.0;
        assert!(
            (area - if expected == 1 { 660.0 } else { edge }).abs() < 1e-6,
            "{layer}: {area}"
        );
    }
}
