//! Type marks: attributes, and texts beside the symbols.

use super::Sheet;

/// Bare lights of radius 3 on these places.
fn lights(sheet: &mut Sheet, at: &[(f64, f64)]) {
    for &p in at {
        sheet.circle("E-LITE", p, 3.0);
    }
}

fn read(sheet: &Sheet) -> (Vec<String>, Vec<&'static str>) {
    let (plan, notes) = sheet.read();
    let tags = plan.lights.iter().map(|l| l.tag.clone().unwrap_or_default());
    (tags.collect(), notes.iter().map(|n| n.code).collect())
}

#[test]
fn attributes_empty_or_twice_give_the_one_that_is_filled_in() {
    let mut sheet = Sheet::default();
    let symbol = sheet.insert("E-LITE", "LT-X", (0.0, 0.0));
    let circle = sheet.circle("E-LITE", (0.0, 0.0), 3.0);
    sheet.put(circle, symbol);
    for (tag, text) in [("TAG", " "), ("tag", ""), ("TAG", "Z9"), ("MARK", "Z8")] {
        sheet.attrib(symbol, tag, text);
    }
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights[0].tag.as_deref(), Some("Z9"));
    assert_eq!(plan.lights[0].at, super::xy(0.0, 0.0));
    assert_eq!(plan.lights[0].drawn_radius, 3.0);
}

#[test]
fn two_marks_equally_near_are_asked_about() {
    let mut sheet = Sheet::default();
    lights(&mut sheet, &[(0.0, 0.0)]);
    sheet.text("E-LITE", (6.0, 0.0), "R6");
    sheet.text("E-LITE", (-6.0, 0.0), "R4");
    let (tags, notes) = read(&sheet);
    assert_eq!(tags, [""]);
    assert!(notes.contains(&"tag-ambiguous"), "{notes:?}");
    // Saying the same they are no doubt.
    let mut sheet = Sheet::default();
    lights(&mut sheet, &[(0.0, 0.0)]);
    sheet.text("E-LITE", (6.0, 0.0), "R6");
    sheet.text("E-LITE", (-6.0, 0.0), "r6");
    let (tags, notes) = read(&sheet);
    assert_eq!(tags, ["R6"]);
    assert!(!notes.contains(&"tag-ambiguous"), "{notes:?}");
}

#[test]
fn the_usual_offset_settles_a_tie() {
    // Marks 12 in to the right of lights 24 in apart: the one on the left is as near.
    let mut sheet = Sheet::default();
    lights(&mut sheet, &[(0.0, 0.0), (24.0, 0.0), (0.0, 90.0), (200.0, 0.0)]);
    for (at, tag) in [
        ((12.0, 0.0), "R6"),
        ((36.0, 0.0), "R4"),
        ((12.0, 90.0), "R6"),
        ((212.0, 0.0), "R4"),
    ] {
        sheet.text("E-LITE", at, tag);
    }
    let (tags, notes) = read(&sheet);
    assert_eq!(tags, ["R6", "R4", "R6", "R4"]);
    assert!(!notes.contains(&"tag-ambiguous"), "{notes:?}");
}

#[test]
fn a_leader_goes_before_what_stands_nearer_and_one_mark_may_have_several() {
    let mut sheet = Sheet::default();
    lights(&mut sheet, &[(0.0, 0.0), (40.0, 0.0), (80.0, 0.0)]);
    sheet.text("E-LITE", (6.0, 0.0), "R4");
    sheet.text("E-LITE", (30.0, 60.0), "R6");
    sheet.line("E-LITE", (0.0, 3.0), (32.0, 59.0));
    sheet.line("E-LITE", (40.0, 3.0), (34.0, 59.0));
    // A switch leg from the second light to the third is no leader.
    sheet.line("E-LITE", (43.0, 0.0), (77.0, 0.0));
    let (tags, _) = read(&sheet);
    assert_eq!(tags, ["R6", "R6", ""]);
}

#[test]
fn marks_on_another_layer_count_where_they_stand_alike() {
    let at = [(0.0, 0.0), (48.0, 0.0), (96.0, 5.0), (144.0, 0.0)];
    let mut sheet = Sheet::default();
    lights(&mut sheet, &at);
    for ((x, y), tag) in at.into_iter().zip(["R6", "R4", "R6", "R6"]) {
        sheet.text("G-ANNO", (x + 5.0, y + 5.0), tag);
    }
    let (tags, notes) = read(&sheet);
    assert_eq!(tags, ["R6", "R4", "R6", "R6"]);
    assert!(notes.contains(&"tags-beside"), "{notes:?}");
    // Scattered they may be anything.
    let mut sheet = Sheet::default();
    lights(&mut sheet, &at);
    for ((x, y), (dx, dy)) in at
        .into_iter()
        .zip([(5.0, 5.0), (-9.0, 3.0), (0.0, 8.0), (8.0, -8.0)])
    {
        sheet.text("G-ANNO", (x + dx, y + dy), "R6");
    }
    let (tags, notes) = read(&sheet);
    assert_eq!(tags, [""; 4]);
    assert!(!notes.contains(&"tags-beside"), "{notes:?}");
}
