//! Slips of a rules file and of a drawing that are told of: names of rooms, layers under two classes, scales, sentences.

use super::{Sheet, has_note, rules};
use crate::flatten::Prim;
use crate::note::{Level, Note};
use crate::rules::{Rules, parse};

fn room(sheet: &mut Sheet, left: f64, name: &str) {
    let ring = [
        (left, 0.0),
        (left + 200.0, 0.0),
        (left + 200.0, 120.0),
        (left, 120.0),
    ];
    sheet.path("A-AREA", &ring, true);
    sheet.text("A-ANNO", (left + 80.0, 60.0), name);
}

fn told<'a>(notes: &'a [Note], code: &str) -> Vec<&'a Note> {
    notes.iter().filter(|n| n.code == code).collect()
}

fn given(text: &str) -> Rules {
    parse(text, None).unwrap()
}

#[test]
fn a_room_of_the_rules_that_no_room_is_called_is_told_of() {
    let mut sheet = Sheet::default();
    room(&mut sheet, 0.0, "KITCHEN");
    for (name, level) in [
        ("KITCHN", Some(Level::Warning)),
        ("SAUNA", Some(Level::Info)),
        ("Kitchen", None),
    ] {
        let rules = given(&format!("[[room]]\nname = \"{name}\"\nceiling = 96\n"));
        let (_, notes) = sheet.read_by(&rules);
        let found: Vec<Level> = told(&notes, "room-unmatched").iter().map(|n| n.level).collect();
        assert_eq!(found, Vec::from_iter(level), "{name}: {notes:#?}");
    }
}

#[test]
fn a_layer_under_two_classes_is_told_of() {
    let mut sheet = Sheet::default();
    sheet.circle("M5", (0.0, 0.0), 3.0);
    for (text, twice) in [
        (
            "lights = { more_layers = [\"M5\"] }\nwalls = { more_layers = [\"m5\"] }",
            true,
        ),
        (
            "framing = { more_layers = [\"M5\"] }\nwalls = { more_layers = [\"M5\"] }",
            false,
        ),
        (
            "lights = { more_layers = [\"M*\"] }\nwalls = { more_layers = [\"M5\"] }",
            false,
        ),
        (
            "lights = { more_layers = [\"M5\"] }\nwalls = { more_layers = [\"M6\"] }",
            false,
        ),
    ] {
        let (_, notes) = sheet.read_by(&given(&format!("[read]\n{text}\n")));
        assert_eq!(has_note(&notes, "read-twice"), twice, "{text}: {notes:#?}");
    }
}

/// Three lights of one block, the last one drawn at another size.
fn sizes(radius: f64) -> Sheet {
    let mut sheet = Sheet::default();
    for (x, r) in [(0.0, 3.0), (60.0, 3.0), (120.0, 3.0), (180.0, radius)] {
        let symbol = sheet.insert("E-LITE", "CAN", (x, 0.0));
        let circle = sheet.circle("0", (x, 0.0), r);
        sheet.put(circle, symbol);
    }
    sheet
}

#[test]
fn a_light_at_another_scale_than_its_block_is_told_of() {
    for (radius, odd) in [
        (30.0, true),
        (0.3, true),
        (2.0, false),
        (3.0, false),
        (5.0, false),
    ] {
        let (plan, notes) = sizes(radius).read();
        assert_eq!(plan.lights.len(), 4);
        assert_eq!(has_note(&notes, "lights-scaled"), odd, "{radius}: {notes:#?}");
    }
}

/// Four lights, the first of which has a mark, and a sentence at a place.
fn sentence(at: (f64, f64), text: &str) -> (Vec<Option<String>>, Option<Level>) {
    let mut sheet = Sheet::default();
    room(&mut sheet, 0.0, "KITCHEN");
    for k in 0..4 {
        sheet.circle("E-LITE", (40.0 + 40.0 * f64::from(k), 30.0), 3.0);
    }
    let mark = Prim::Text {
        at: super::xy(45.0, 31.0),
        height: 4.0,
        angle: 0.0,
        centred: false,
        text: "R4".into(),
    };
    sheet.item("E-LITE", "TEXT", mark);
    sheet.text("E-NOTE", at, text);
    let (plan, notes) = sheet.read_by(&rules());
    let level = told(&notes, "tags-all").first().map(|n| n.level);
    (plan.lights.into_iter().map(|l| l.tag).collect(), level)
}

#[test]
fn a_sentence_gives_lights_without_a_mark_their_type() {
    let marks = |rest: Option<&str>| -> Vec<Option<String>> {
        let rest = rest.map(str::to_string);
        vec![Some("R4".into()), rest.clone(), rest.clone(), rest]
    };
    for text in [
        "ALL RECESSED LIGHTS TYPE R6 U.N.O.",
        "2. ALL DOWNLIGHTS ARE TO BE TYPE 'R6' UNLESS OTHERWISE NOTED.",
    ] {
        assert_eq!(
            sentence((0.0, -60.0), text),
            (marks(Some("R6")), Some(Level::Info)),
            "{text}"
        );
    }
    // One in a room, or that says more, is told of; another says nothing of lights.
    assert_eq!(
        sentence((60.0, 90.0), "ALL RECESSED LIGHTS TYPE R6 U.N.O."),
        (marks(None), Some(Level::Warning))
    );
    assert_eq!(
        sentence((0.0, -60.0), "ALL RECESSED LIGHTS IN BATHS TYPE R6"),
        (marks(None), Some(Level::Warning))
    );
    for text in ["ALL WALLS TYPE R6 U.N.O.", "SEE TYPE R6", "ALL LIGHTS TYPE Z9"] {
        assert_eq!(sentence((0.0, -60.0), text), (marks(None), None), "{text}");
    }
}
