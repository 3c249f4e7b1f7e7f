//! Lights that are marked as existing, to be demolished or not in contract.

use super::Sheet;
use crate::note::Note;
use crate::rules::Rules;

fn told(notes: &[Note]) -> Vec<&str> {
    let marked = notes.iter().filter(|n| n.code == "lights-marked");
    marked.map(|n| &*n.message).collect()
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
