//! Storeys that are drawn over one another on layers of their own.

use super::questions::follow;
use super::{Sheet, has_note};
use crate::note::Level;
use crate::rules::Rules;

/// Lights of two storeys, the second's set off by `dx`.
fn two(first: &str, second: &str, dx: f64) -> Sheet {
    let mut sheet = Sheet::default();
    for (layer, dx) in [(first, 0.0), (second, dx)] {
        for i in 0..4 {
            let at = (50.0 * f64::from(i) + dx, 40.0 + dx / 10.0);
            let insert = sheet.insert(layer, "RL-6", at);
            let circle = sheet.circle("0", at, 3.0);
            sheet.put(circle, insert);
        }
    }
    sheet.text("SECOND FLOOR TEXT", (0.0, 300.0), "HALL");
    sheet
}

#[test]
fn storeys_over_one_another_are_a_loss_with_the_line_for_each() {
    for (first, second, lines) in [
        (
            "FIRST FLOOR LIGHTS",
            "SECOND FLOOR LIGHTS",
            ["\"SECOND FLOOR*\"", "\"FIRST FLOOR LIGHTS\""],
        ),
        ("1F-E-LITE", "2F-E-LITE", ["\"2F-E-LITE\"", "\"1F-E-LITE\""]),
        (
            "LIGHTS LEVEL 1",
            "LIGHTS LEVEL 2",
            ["\"LIGHTS LEVEL 2\"", "\"LIGHTS LEVEL 1\""],
        ),
    ] {
        let (_, notes) = two(first, second, 30.0).read_by(&Rules::default());
        let told = notes.iter().find(|n| n.code == "storeys-overlaid").expect(first);
        assert_eq!(told.level, Level::Loss);
        for line in lines {
            assert!(told.message.contains(line), "{line}: {}", told.message);
        }
        // The line leaves out one storey, and nothing else that was.
        let (plan, notes) = follow(&two(first, second, 30.0), &told.message);
        assert_eq!(plan.lights.len(), 4, "{}", told.message);
        assert!(!has_note(&notes, "storeys-overlaid") && !has_note(&notes, "read-narrowed"));
    }
}

#[test]
fn storeys_beside_one_another_and_other_words_are_none() {
    for (first, second, dx) in [
        ("FIRST FLOOR LIGHTS", "SECOND FLOOR LIGHTS", 600.0),
        ("E-LITE-1", "E-LITE-2", 30.0),
        ("FIRST FLOOR LIGHTS", "LIGHTS", 30.0),
        ("UPPER LIGHTS", "LOWER LIGHTS", 30.0),
    ] {
        let (_, notes) = two(first, second, dx).read_by(&Rules::default());
        assert!(
            notes.iter().all(|n| n.code != "storeys-overlaid"),
            "{first}: {notes:?}"
        );
    }
}

#[test]
fn what_an_unbound_reference_may_show_is_a_loss() {
    let mut sheet = two("LIGHTS", "LIGHTS", 30.0);
    assert!(!has_note(&sheet.read_by(&Rules::default()).1, "xref-needed"));
    sheet.item("A-XREF", "INSERT", crate::flatten::Prim::Opaque);
    let (_, notes) = sheet.read_by(&Rules::default());
    let told = notes.iter().find(|n| n.code == "xref-needed").expect("a loss");
    assert_eq!(told.level, Level::Loss);
    assert!(
        told.message
            .starts_with("neither walls nor framing are in this file"),
        "{}",
        told.message
    );
}
