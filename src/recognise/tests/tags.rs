//! Type marks: attributes, and texts beside the symbols.

use super::{Sheet, has_note};
use crate::flatten::Prim;

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
    // At offsets of their own each is still nearest to one light and to no other.
    let scattered = |sheet: &mut Sheet, tags: [&str; 4]| {
        let offsets = [(5.0, 5.0), (-9.0, 3.0), (0.0, 8.0), (8.0, -8.0)];
        for (((x, y), (dx, dy)), tag) in at.into_iter().zip(offsets).zip(tags) {
            sheet.text("G-ANNO", (x + dx, y + dy), tag);
        }
    };
    let mut sheet = Sheet::default();
    lights(&mut sheet, &at);
    scattered(&mut sheet, ["R6", "R6", "R4", "R4"]);
    let (tags, notes) = read(&sheet);
    assert_eq!(tags, ["R6", "R6", "R4", "R4"]);
    assert!(
        notes.contains(&"tags-nearest") && !notes.contains(&"tags-asked"),
        "{notes:?}"
    );
    assert!(!notes.contains(&"tags-beside"), "{notes:?}");
}

#[test]
fn marks_that_may_be_either_lights_are_asked_about() {
    // Each mark is as far from the light before it as from the one after it.
    let at = [(0.0, 0.0), (24.0, 0.0), (48.0, 0.0), (72.0, 0.0)];
    let mut sheet = Sheet::default();
    lights(&mut sheet, &at);
    for (x, tag) in [(12.0, "R6"), (36.0, "R4"), (60.0, "R6")] {
        let text = sheet.text("G-ANNO", (x, if x > 30.0 { 3.0 } else { -2.0 }), tag);
        if let Prim::Text { centred, .. } = &mut sheet.flat.items[text].prim {
            *centred = true;
        }
    }
    let (plan, notes) = sheet.read();
    assert!(plan.lights.iter().all(|l| l.tag.is_none()));
    let asked: Vec<_> = notes.iter().filter(|n| n.code == "tags-asked").collect();
    assert!(
        asked.len() == 1
            && asked[0].message.starts_with("4 light(s)")
            && asked[0].message.contains("R4 (1), R6 (2)"),
        "{asked:?}"
    );
    // So are marks further off that are too many to be a table's.
    for (count, said) in [(1, 0), (2, 1)] {
        let mut sheet = Sheet::default();
        lights(&mut sheet, &[(0.0, 0.0), (60.0, 0.0), (120.0, 0.0)]);
        for k in 0..count {
            sheet.text("G-ANNO", (60.0 * f64::from(k), 40.0), "R6");
            sheet.text("G-ANNO", (60.0 * f64::from(k), 50.0), "R4");
        }
        let (tags, notes) = read(&sheet);
        assert_eq!(tags, [""; 3]);
        assert_eq!(notes.iter().filter(|n| **n == "tags-asked").count(), said);
    }
}

#[test]
fn what_is_usual_around_a_mark_is_left_off() {
    for (text, tag) in [
        ("TYPE R6", "R6"),
        ("R6 (TYP.)", "R6"),
        ("R6/a", "R6"),
        ("r6/B", "R6"),
        ("R6/R4", ""),
        ("SEE R6", ""),
        ("R6 @ 4'-0\" O.C.", ""),
    ] {
        let mut sheet = Sheet::default();
        lights(&mut sheet, &[(0.0, 0.0)]);
        sheet.text("E-LITE", (6.0, 0.0), text);
        assert_eq!(read(&sheet).0, [tag], "{text}");
    }
}

#[test]
fn symbol_and_mark_that_say_two_types_are_told_of() {
    let at = [(0.0, 0.0), (48.0, 0.0), (96.0, 0.0)];
    for (mark, told) in [("R4", 1), ("R6", 0)] {
        let mut sheet = Sheet::default();
        for p in at {
            sheet.light("LT-R6", p);
            sheet.text("G-ANNO", (p.0 + 6.0, p.1 + 6.0), mark);
        }
        let (plan, notes) = sheet.read();
        assert!(plan.lights.iter().all(|l| l.tag.as_deref() == Some("R6")));
        let found: Vec<_> = notes.iter().filter(|n| n.code == "tag-conflict").collect();
        assert_eq!(found.len(), told, "{found:?}");
        if let Some(note) = found.first() {
            let message = &note.message;
            assert!(
                message.starts_with("L1, L2 and L3 are by the symbol R6"),
                "{message}"
            );
            assert!(message.contains("R4"), "{message}");
        }
    }
    // By a leader too.
    let mut sheet = Sheet::default();
    sheet.light("LT-R6", (0.0, 0.0));
    sheet.text("G-ANNO", (30.0, 60.0), "R4");
    sheet.line("G-ANNO", (0.0, 4.0), (32.0, 59.0));
    let (_, notes) = read(&sheet);
    assert!(notes.contains(&"tag-conflict"), "{notes:?}");
}

#[test]
fn attributes_and_blocks_that_disagree_are_told_of() {
    let symbol = |attribs: &[(&str, &str)], block: &str| {
        let mut sheet = Sheet::default();
        for x in [0.0, 60.0] {
            let symbol = sheet.light(block, (x, 0.0));
            attribs
                .iter()
                .for_each(|(tag, text)| sheet.attrib(symbol, tag, text));
        }
        sheet.read()
    };
    for (attribs, block, tag, told) in [
        (vec![("TYPE", "R6"), ("TYPE", "R4")], "LT-X", "R6", true),
        (vec![("TYPE", "R6"), ("TYPE", "r6")], "LT-X", "R6", false),
        (vec![("TYPE", "R6")], "LT-R4", "R6", true),
        (vec![("TYPE", "R4")], "LT-R4", "R4", false),
        (vec![("TYPE", "B1"), ("TYPE", "B2")], "LT-X", "B1", true),
    ] {
        let (plan, notes) = symbol(&attribs, block);
        assert!(plan.lights.iter().all(|l| l.tag.as_deref() == Some(tag)));
        let found: Vec<_> = notes.iter().filter(|n| n.code == "tag-conflict").collect();
        assert_eq!(found.len(), usize::from(told), "{attribs:?} {block}: {found:?}");
        assert!(
            found.iter().all(|n| n.message.starts_with("L1 and L2 are")),
            "{found:?}"
        );
    }
}

#[test]
fn without_a_schedule_marks_that_repeat_beside_the_lights_are_types() {
    let at: Vec<(f64, f64)> = (0..6).map(|k| (48.0 * f64::from(k), 0.0)).collect();
    let read = |tags: [&str; 6]| {
        let mut sheet = Sheet::default();
        lights(&mut sheet, &at);
        let offsets = [(6.0, 6.0), (-12.0, 5.0), (5.0, -10.0)];
        for (k, ((x, y), tag)) in at.iter().zip(tags).enumerate() {
            let (dx, dy) = offsets[k % 3];
            sheet.text("G-ANNO", (x + dx, y + dy), tag);
        }
        let mut rules = super::rules();
        rules.luminaires.clear();
        let (plan, notes) = sheet.read_by(&rules);
        assert!(plan.lights.iter().all(|l| l.schedule.is_none()));
        let tags: Vec<String> = (plan.lights.iter())
            .map(|l| l.tag.clone().unwrap_or_default())
            .collect();
        (tags, notes)
    };
    let (tags, notes) = read(["D1", "D1", "D1", "D2", "D2", "D2"]);
    assert_eq!(tags, ["D1", "D1", "D1", "D2", "D2", "D2"]);
    let said = notes.iter().find(|n| n.code == "tags-unlisted").expect("a note");
    assert!(
        said.message.contains("6 of 6 lights") && said.message.contains("D1 (3), D2 (3)"),
        "{said:?}"
    );
    // One light may have none.
    assert_eq!(
        read(["A", "A", "B", "B", "A", "see"]).0,
        ["A", "A", "B", "B", "A", ""]
    );
    // Numbers of lights do not repeat; letters of switches are small; a mark at a light or two is anything.
    for tags in [
        ["L1", "L2", "L3", "L4", "L5", "L6"],
        ["a", "a", "b", "b", "c", "c"],
        ["A", "A", "see", "see", "see", "see"],
        ["S3", "S3", "S3", "S3", "S3", "S3"],
    ] {
        let (got, notes) = read(tags);
        assert_eq!(got, [""; 6]);
        assert!(!has_note(&notes, "tags-unlisted"));
    }
}

/// Type over circuit in one hexagon, with a leader from the light to its edge (common practice).
#[test]
fn a_leader_may_end_at_the_shape_about_a_mark() {
    let at = [(0.0, 0.0), (60.0, 0.0), (120.0, 0.0)];
    let mut sheet = Sheet::default();
    lights(&mut sheet, &at);
    for ((x, y), tag) in at.into_iter().zip(["R6", "R4", "R6"]) {
        let (cx, cy) = (x + 32.0, y + 26.0);
        let corner = |k: i32| {
            let (s, c) = f64::from(60 * k).to_radians().sin_cos();
            (cx + 14.0 * c, cy + 14.0 * s)
        };
        let ring: Vec<(f64, f64)> = (0..6).map(corner).collect();
        sheet.path("G-ANNO", &ring, true);
        sheet.text("G-ANNO", (cx - 5.0, cy + 2.0), tag);
        sheet.text("G-ANNO", (cx - 5.0, cy - 8.0), "12");
        sheet.line("G-ANNO", (x + 2.0, y + 2.0), (cx - 12.0, cy - 7.0));
    }
    assert_eq!(read(&sheet).0, ["R6", "R4", "R6"]);
}

#[test]
fn keynotes_are_no_marks() {
    let mut sheet = Sheet::default();
    lights(&mut sheet, &[(0.0, 0.0), (60.0, 0.0)]);
    sheet.text("A-ANNO-KEYN", (30.0, 30.0), "R6");
    sheet.line("A-ANNO-KEYN", (2.0, 2.5), (29.0, 31.0));
    let (tags, notes) = read(&sheet);
    assert_eq!(tags, ["", ""]);
    assert!(notes.contains(&"tags-keynotes"), "{notes:?}");
}

/// Of the attributes of a light the one that speaks of its type says it, whatever lamp or circuit the others name.
#[test]
fn attributes_of_lamps_and_circuits_are_no_types() {
    let mut sheet = Sheet::default();
    let symbol = sheet.light("LT-X", (0.0, 0.0));
    for (tag, text) in [
        ("WATTS", "12"),
        ("LAMP", "R4"),
        ("CIRCUIT", "R4"),
        ("A1", "R4"),
        ("FIXTYPE", "R6"),
    ] {
        sheet.attrib(symbol, tag, text);
    }
    assert_eq!(read(&sheet).0, ["R6"]);
    // Two that are as telling are told of.
    let mut sheet = Sheet::default();
    let symbol = sheet.light("LT-X", (0.0, 0.0));
    sheet.attrib(symbol, "X1", "R4");
    sheet.attrib(symbol, "X2", "R6");
    let (tags, notes) = read(&sheet);
    assert_eq!(tags, ["R4"]);
    assert!(notes.contains(&"tag-conflict"), "{notes:?}");
}

#[test]
fn marks_with_typ_and_no_schedule_are_asked_about() {
    let mut sheet = Sheet::default();
    lights(&mut sheet, &[(0.0, 0.0), (60.0, 0.0), (120.0, 0.0), (180.0, 0.0)]);
    sheet.text("G-ANNO", (30.0, 30.0), "TYPE A (TYP. OF 4)");
    sheet.line("G-ANNO", (2.0, 2.5), (29.0, 31.0));
    let mut rules = super::rules();
    rules.luminaires.clear();
    let (_, notes) = sheet.read_by(&rules);
    let asked: Vec<_> = notes.iter().filter(|n| n.code == "tags-asked").collect();
    assert!(
        asked.len() == 1 && asked[0].message.contains("A (1)"),
        "{notes:?}"
    );
}

#[test]
fn attributes_by_other_names_hold_types() {
    for (tag, text, type_of) in [
        ("FIXTURE_TYPE", "R6", Some("R6")),
        ("TYPE_MARK", "R6", Some("R6")),
        ("FIXT", "R6", Some("R6")),
        ("KEY", "R6", Some("R6")),
        ("NAME", "R6", Some("R6")),
        ("NAME", "Kitchen light", None),
        ("KEY", "14", None),
    ] {
        let mut sheet = Sheet::default();
        let light = sheet.light("LIGHT-X", (0.0, 0.0));
        sheet.attrib(light, tag, text);
        let rules = crate::rules::Rules {
            luminaires: Vec::new(),
            ..super::rules()
        };
        let (plan, _) = sheet.read_by(&rules);
        assert_eq!(plan.lights[0].tag.as_deref(), type_of, "{tag} {text}");
    }
}

#[test]
fn marks_in_doubt_are_asked_about() {
    let mut sheet = Sheet::default();
    for n in 0..4 {
        let x = 60.0 * f64::from(n);
        sheet.circle("E-LITE", (x, 0.0), 3.0);
        sheet.text("E-LITE", (x + 6.0, 0.0), "R6?");
    }
    let (tags, notes) = read(&sheet);
    assert_eq!(tags, [""; 4]);
    assert!(notes.contains(&"tags-asked"), "{notes:?}");
}

#[test]
fn circuits_beside_lights_of_known_types_contradict_nothing() {
    let mut sheet = Sheet::default();
    for n in 0..4 {
        let x = 60.0 * f64::from(n);
        sheet.light("LT-R6", (x, 0.0));
        sheet.text("E-LITE", (x + 6.0, 6.0), "R4-1");
    }
    let (tags, notes) = read(&sheet);
    assert_eq!(tags, ["R6"; 4]);
    assert!(!notes.contains(&"tag-conflict"), "{notes:?}");
}
