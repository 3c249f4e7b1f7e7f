//! Tags drawn as bubbles beside lights: on light layers, as blocks with attributes, with circuits and switches.

use super::{Sheet, has_note};
use crate::note::Note;

const AT: [(f64, f64); 6] = [
    (0.0, 0.0),
    (60.0, 0.0),
    (120.0, 0.0),
    (0.0, 70.0),
    (60.0, 70.0),
    (120.0, 70.0),
];

fn tags(sheet: &Sheet) -> (Vec<String>, Vec<Note>) {
    let (plan, notes) = sheet.read();
    let tags = plan.lights.iter().map(|l| l.tag.clone().unwrap_or_default());
    (tags.collect(), notes)
}

fn mark(k: usize) -> &'static str {
    if k < 4 { "R6" } else { "R4" }
}

/// A block with a circle 9 in across about its place and an attribute.
fn tag_block(sheet: &mut Sheet, layer: &str, (x, y): (f64, f64), attribs: &[(&str, &str)]) {
    let tag = sheet.insert(layer, "X7", (x, y));
    let circle = sheet.circle(layer, (x, y), 4.5);
    sheet.put(circle, tag);
    attribs
        .iter()
        .for_each(|(name, text)| sheet.attrib(tag, name, text));
}

#[test]
fn bubbles_on_the_light_layer_are_tags() {
    let mut sheet = Sheet::default();
    for (k, &(x, y)) in AT.iter().enumerate() {
        sheet.circle("E-LITE", (x, y), 3.0);
        sheet.circle("E-LITE", (x + 9.0, y + 8.0), 4.5);
        sheet.text("E-LITE", (x + 5.0, y + 5.0), mark(k));
    }
    let (got, notes) = tags(&sheet);
    assert_eq!(got, ["R6", "R6", "R6", "R6", "R4", "R4"]);
    assert!(has_note(&notes, "tag-bubbles"), "{notes:?}");
}

#[test]
fn lights_with_their_own_mark_in_them_are_lights() {
    let mut sheet = Sheet::default();
    for (k, &(x, y)) in AT.iter().enumerate() {
        sheet.circle("E-LITE", (x, y), 4.5);
        sheet.text("E-LITE", (x - 4.0, y - 3.0), mark(k));
    }
    // One without, further off.
    sheet.circle("E-LITE", (200.0, 0.0), 4.5);
    let (got, notes) = tags(&sheet);
    assert_eq!(got, ["R6", "R6", "R6", "R6", "R4", "R4", ""]);
    assert!(!has_note(&notes, "tag-bubbles"), "{notes:?}");
}

#[test]
fn some_that_stand_beside_other_lights_are_asked_about() {
    let mut sheet = Sheet::default();
    for (k, &(x, y)) in AT.iter().enumerate() {
        sheet.circle("E-LITE", (x, y), 4.5);
        sheet.text("E-LITE", (x - 4.0, y - 3.0), "R6");
        if k < 3 {
            sheet.circle("E-LITE", (x + 16.0, y), 3.0);
        }
    }
    let (got, notes) = tags(&sheet);
    assert_eq!(got.len(), 9);
    assert!(has_note(&notes, "tag-bubbles-asked"), "{notes:?}");
}

#[test]
fn blocks_with_an_attribute_beside_each_light_are_tags() {
    for layer in ["G-ANNO", "0", "E-LITE"] {
        let mut sheet = Sheet::default();
        for (k, &(x, y)) in AT.iter().enumerate() {
            let light = sheet.insert("E-LITE", "LT-X", (x, y));
            let circle = sheet.circle("E-LITE", (x, y), 3.0);
            sheet.put(circle, light);
            tag_block(
                &mut sheet,
                layer,
                (x + 9.0, y + 8.0),
                &[("CKT", "R4"), ("TAG", mark(k))],
            );
        }
        let (got, _) = tags(&sheet);
        assert_eq!(got, ["R6", "R6", "R6", "R6", "R4", "R4"], "{layer}");
    }
}

#[test]
fn without_a_schedule_such_blocks_are_tags_too() {
    let mut sheet = Sheet::default();
    for (k, &(x, y)) in AT.iter().enumerate() {
        sheet.circle("E-LITE", (x, y), 3.0);
        tag_block(&mut sheet, "E-LITE", (x + 9.0, y + 8.0), &[("TAG", mark(k))]);
    }
    let mut rules = super::rules();
    rules.luminaires.clear();
    let (plan, notes) = sheet.read_by(&rules);
    let got: Vec<_> = plan.lights.iter().map(|l| l.tag.as_deref()).collect();
    assert_eq!(
        got,
        [
            Some("R6"),
            Some("R6"),
            Some("R6"),
            Some("R6"),
            Some("R4"),
            Some("R4")
        ]
    );
    assert!(has_note(&notes, "tags-unlisted"), "{notes:?}");
}

#[test]
fn marks_with_circuits_are_read_where_the_type_is_known_and_else_asked_about() {
    let sheet = |text: &dyn Fn(usize) -> String| {
        let mut sheet = Sheet::default();
        for (k, &(x, y)) in AT.iter().enumerate() {
            sheet.circle("E-LITE", (x, y), 3.0);
            sheet.text("G-ANNO", (x + 5.0, y + 4.0), &text(k));
        }
        sheet
    };
    let (got, notes) = tags(&sheet(&|k| format!("{}-{}", mark(k), k + 1)));
    assert_eq!(got, ["R6", "R6", "R6", "R6", "R4", "R4"]);
    assert!(has_note(&notes, "tags-circuit"), "{notes:?}");
    // A type that the schedule does not list, and no schedule at all.
    let unknown = sheet(&|k| format!("D-{}", k % 2 + 1));
    let (got, notes) = tags(&unknown);
    assert_eq!(got, [""; 6]);
    let asked = notes.iter().find(|n| n.code == "tags-asked").expect("a question");
    assert!(asked.message.contains("D (6)"), "{asked:?}");
    let mut rules = super::rules();
    rules.luminaires.clear();
    let (plan, notes) = unknown.read_by(&rules);
    assert!(plan.lights.iter().all(|l| l.tag.is_none()));
    assert!(has_note(&notes, "tags-asked"), "{notes:?}");
}

#[test]
fn small_letters_are_of_switches() {
    let mut sheet = Sheet::default();
    for (k, &(x, y)) in AT.iter().enumerate() {
        sheet.circle("E-LITE", (x, y), 3.0);
        sheet.text("E-LITE", (x + 5.0, y + 4.0), if k < 4 { "a" } else { "b" });
    }
    let mut rules = super::rules();
    rules.luminaires[0].tag = "A".into();
    rules.luminaires[1].tag = "B".into();
    let (plan, notes) = sheet.read_by(&rules);
    assert!(plan.lights.iter().all(|l| l.tag.is_none()));
    let said = notes.iter().find(|n| n.code == "switch-letters").expect("a note");
    assert!(said.message.contains("a (4), b (2)"), "{said:?}");
}
