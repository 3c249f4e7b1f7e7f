//! Lights that are marked as existing, to be demolished or not in contract.

use super::Sheet;
use crate::note::Note;
use crate::rules::Rules;

fn told(notes: &[Note]) -> Vec<&str> {
    let marked = notes.iter().filter(|n| n.code == "lights-marked");
    marked.map(|n| &*n.message).collect()
}

#[test]
fn usual_marks_of_remodels_are_known() {
    for (mark, meaning) in [
        ("ETR", "existing to remain"),
        ("(ER)", "existing and removed or relocated"),
        ("(R)", "removed or relocated"),
        ("EX.", "existing"),
        ("To be removed", "to be demolished"),
        ("RELOCATED", "relocated"),
        ("EXISTANT", "existing"),
        ("Existente", "existing"),
        ("BESTAND", "existing"),
        ("VOID", "void or superseded"),
        ("Omit", "void or superseded"),
        ("DELETED", "void or superseded"),
    ] {
        let mut sheet = Sheet::default();
        for x in [0.0, 60.0] {
            let insert = sheet.insert("E-LITE-CLNG", "RL-6", (x, 40.0));
            let circle = sheet.circle("0", (x, 40.0), 3.0);
            sheet.put(circle, insert);
        }
        // The text's middle beside the first light.
        sheet.text("E-ANNO", (-2.5 * mark.len() as f64, 45.0), mark);
        let (_, notes) = sheet.read_by(&Rules::default());
        let told = told(&notes);
        let begins = format!("1 light(s) is marked as {meaning} (");
        assert!(
            told.len() == 1 && told[0].starts_with(&begins),
            "{mark}: {told:?}"
        );
    }
    // A type's letter, and a register's, are no marks.
    for mark in ["R", "ER", "EX", "RETURN"] {
        let mut sheet = Sheet::default();
        let insert = sheet.insert("E-LITE-CLNG", "RL-6", (0.0, 40.0));
        let circle = sheet.circle("0", (0.0, 40.0), 3.0);
        sheet.put(circle, insert);
        sheet.text("E-ANNO", (5.0, 45.0), mark);
        assert!(told(&sheet.read_by(&Rules::default()).1).is_empty(), "{mark}");
    }
}

#[test]
fn marks_and_attributes_that_say_existing_are_told_by_light() {
    let mut sheet = Sheet::default();
    for i in 0..5 {
        let at = (50.0 * f64::from(i), 40.0);
        let insert = sheet.insert("E-LITE-CLNG", "RL-6", at);
        let circle = sheet.circle("0", at, 3.0);
        sheet.put(circle, insert);
        sheet.attrib(insert, "STATUS", if i == 4 { "Existing" } else { "New" });
    }
    sheet.text("E-ANNO", (5.0, 45.0), "(E)");
    sheet.text("E-ANNO", (105.0, 45.0), "(e)");
    // Beside no light, and within other words.
    sheet.text("E-ANNO", (100.0, 200.0), "(E)");
    sheet.text("E-ANNO", (155.0, 45.0), "(E) JOISTS");
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert_eq!(plan.lights.len(), 5);
    let told = told(&notes);
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(
        told[0].starts_with("2 light(s) are marked as existing ((E) beside), and counted as new: L1, L3;"),
        "{told:?}"
    );
    assert!(
        told[1].contains("(STATUS = Existing), and counted as new: L5"),
        "{told:?}"
    );
}

/// Four lights of a block, and a cross of two lines over the first `struck`.
fn crossed(struck: usize, layer: &str, reach: f64) -> Sheet {
    let mut sheet = Sheet::default();
    for i in 0..4 {
        let x = 60.0 * i as f64;
        let insert = sheet.insert("E-LITE-CLNG", "RL-6", (x, 40.0));
        let circle = sheet.circle("0", (x, 40.0), 3.0);
        sheet.put(circle, insert);
        if i < struck {
            sheet.line(layer, (x - reach, 40.0 - reach), (x + reach, 40.0 + reach));
            sheet.line(layer, (x - reach, 40.0 + reach), (x + reach, 40.0 - reach));
        }
    }
    sheet
}

#[test]
fn a_cross_over_a_light_strikes_it_out() {
    for layer in ["E-REV", "E-LITE-CLNG", "0"] {
        let (plan, notes) = crossed(1, layer, 6.0).read_by(&Rules::default());
        let told = told(&notes);
        assert_eq!(plan.lights.len(), 4, "{layer}");
        let begins =
            "1 light(s) is marked as void or superseded (a cross drawn over), and counted as new: L1";
        assert!(
            told.len() == 1 && told[0].starts_with(begins),
            "{layer}: {told:?}"
        );
    }
    // Where most lights have one it is part of how they are drawn, and one line is a wire.
    let mut wired = crossed(0, "E-REV", 6.0);
    wired.line("E-REV", (-6.0, 34.0), (6.0, 46.0));
    for sheet in [crossed(4, "E-REV", 6.0), crossed(1, "E-REV", 60.0), wired] {
        assert!(told(&sheet.read_by(&Rules::default()).1).is_empty());
    }
}
