//! Symbols in legends and schedules are no lights of a room.

use super::{Sheet, has_note};

/// A plan of three lights, and a legend of two of its symbols beside it.
fn with_legend(heading: &str) -> Sheet {
    let mut sheet = Sheet::default();
    for x in [24.0, 72.0, 120.0] {
        sheet.light("LT-R6", (x, 60.0));
    }
    sheet.text("A-ANNO", (300.0, 200.0), heading);
    for (y, block, words) in [
        (180.0, "LT-R6", "RECESSED LIGHT, TYPE R6"),
        (160.0, "LT-R4", "RECESSED LIGHT, TYPE R4"),
    ] {
        sheet.light(block, (306.0, y));
        sheet.text("A-ANNO", (330.0, y - 3.0), words);
    }
    sheet
}

#[test]
fn symbols_under_a_heading_with_words_beside_them_are_no_lights() {
    let (plan, notes) = with_legend("LIGHTING LEGEND").read();
    assert_eq!(plan.lights.len(), 3);
    assert!(has_note(&notes, "legend-symbols"));
    let counts = plan.counts;
    assert_eq!(
        counts.entities,
        counts.claimed + counts.unclaimed + counts.dropped
    );
}

#[test]
fn without_a_heading_they_are_counted() {
    let (plan, notes) = with_legend("NORTH ELEVATION").read();
    assert_eq!(plan.lights.len(), 5);
    assert!(!has_note(&notes, "legend-symbols"));
}

#[test]
fn lights_above_a_heading_or_far_below_it_are_counted() {
    let mut sheet = with_legend("LEGEND");
    for y in [230.0, 40.0] {
        sheet.light("LT-R6", (306.0, y));
        sheet.text("A-ANNO", (330.0, y - 3.0), "NOTE ON THIS LIGHT");
    }
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights.len(), 5);
}

#[test]
fn a_tag_to_the_right_does_not_explain() {
    let mut sheet = Sheet::default();
    sheet.text("A-ANNO", (0.0, 100.0), "SCHEDULE");
    for x in [24.0, 72.0, 120.0] {
        sheet.light("LT-R6", (x, 60.0));
        sheet.text("E-LITE", (x + 6.0, 57.0), "R6");
    }
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights.len(), 3);
}
