//! More of a class that a name gives: on another layer, by a slip or by another name.

use super::{Sheet, has_note};
use crate::note::Note;
use crate::plan::Plan;
use crate::rules::{Rules, parse};

/// Rooms of 20 by 15 ft side by side, walls on `A-WALL` with those between the rooms on `between`.
pub(super) fn house(between: &str) -> Sheet {
    let mut sheet = Sheet::default();
    let (w, h, t) = (240.0, 180.0, 4.5);
    let names = ["KITCHEN", "DEN", "BEDROOM"];
    let right = 3.0 * w + 2.0 * t;
    sheet.path(
        "A-WALL",
        &[(-t, -t), (right + t, -t), (right + t, h + t), (-t, h + t)],
        true,
    );
    sheet.path("A-WALL", &[(0.0, 0.0), (right, 0.0), (right, h), (0.0, h)], true);
    for (k, name) in names.iter().enumerate() {
        let left = (w + t) * k as f64;
        if k > 0 {
            sheet.line(between, (left - t, 0.0), (left - t, h));
            sheet.line(between, (left, 0.0), (left, h));
        }
        sheet.text("A-ANNO", (left + 100.0, 90.0), name);
    }
    sheet
}

/// A symbol 8 in across.
pub(super) fn symbol(sheet: &mut Sheet, layer: &str, block: &str, at: (f64, f64)) {
    let symbol = sheet.insert(layer, block, at);
    let circle = sheet.circle("0", at, 4.0);
    sheet.put(circle, symbol);
}

/// Two rows of lights in the room that begins there.
pub(super) fn lights(sheet: &mut Sheet, layer: &str, block: &str, left: f64) {
    for x in [48.0, 96.0, 144.0, 192.0] {
        for y in [48.0, 132.0] {
            symbol(sheet, layer, block, (left + x, y));
        }
    }
}

/// Joists at 16 in across a room.
pub(super) fn joists(sheet: &mut Sheet, layer: &str, left: f64) {
    for k in 0..14 {
        sheet.upright(layer, left + 16.0 + 16.0 * k as f64, 1.5, (0.0, 180.0));
    }
}

pub(super) fn read(sheet: &Sheet) -> (Plan, Vec<Note>) {
    sheet.read_by(&Rules::default())
}

fn asked<'a>(notes: &'a [Note], name: &str) -> Option<&'a str> {
    let asks = notes
        .iter()
        .find(|n| n.code == "evidence-asks" && n.message.contains(name));
    asks.map(|n| &*n.message)
}

#[test]
fn the_block_of_light_layers_on_a_layer_that_says_nothing_is_a_light_too() {
    for (layer, taken) in [
        ("0", true),
        ("ELECTRICAL", true),
        ("A-FURN", false),
        ("M-HVAC-CDFF", false),
    ] {
        let mut sheet = house("A-WALL");
        lights(&mut sheet, "E-LITE", "R6", 0.0);
        for x in [300.0, 348.0, 396.0] {
            symbol(&mut sheet, layer, "R6", (x, 90.0));
        }
        let (plan, notes) = read(&sheet);
        assert_eq!(
            plan.lights.len(),
            if taken { 11 } else { 8 },
            "{layer}: {notes:#?}"
        );
        let told = notes.iter().find(|n| n.message.contains("block R6")).unwrap();
        assert!(told.message.contains(&format!("3 on {layer}")), "{told:?}");
    }
}

#[test]
fn a_block_that_seldom_stands_on_light_layers_is_asked_about() {
    let mut sheet = house("A-WALL");
    lights(&mut sheet, "E-LITE", "LT-6", 0.0);
    symbol(&mut sheet, "E-LITE", "X7", (300.0, 90.0));
    symbol(&mut sheet, "E-LITE", "X7", (330.0, 90.0));
    for x in [360.0, 390.0, 420.0, 450.0] {
        symbol(&mut sheet, "POWER", "X7", (x, 10.0));
    }
    let (_, notes) = read(&sheet);
    assert!(asked(&notes, "block X7").is_some(), "{notes:#?}");
}

#[test]
fn another_kind_of_lights_is_asked_about() {
    let mut sheet = house("A-WALL");
    lights(&mut sheet, "E-LITE", "LT-6", 0.0);
    lights(&mut sheet, "ELECTRICAL", "ZQ-ADJ", 244.5);
    for x in [40.0, 88.0, 136.0, 184.0] {
        sheet.circle("7", (489.0 + x, 90.0), 4.0);
    }
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.lights.len(), 8, "{notes:#?}");
    assert!(asked(&notes, "block ZQ-ADJ").is_some(), "{notes:#?}");
    assert!(asked(&notes, "layer 7").is_some(), "{notes:#?}");
    // What the rules name is all there is.
    let rules = parse("[read]\nlights = { layers = [\"E-LITE\"] }\n", None).unwrap();
    let (_, notes) = sheet.read_by(&rules);
    assert!(!has_note(&notes, "evidence-asks"), "{notes:#?}");
}

#[test]
fn burners_are_not_asked_about() {
    let mut sheet = house("A-WALL");
    lights(&mut sheet, "E-LITE", "LT-6", 0.0);
    for (x, y) in [(300.0, 150.0), (312.0, 150.0), (300.0, 162.0), (312.0, 162.0)] {
        sheet.circle("ZQ", (x, y), 3.5);
    }
    let (_, notes) = read(&sheet);
    assert!(!has_note(&notes, "evidence-asks"), "{notes:#?}");
}

#[test]
fn a_second_layer_of_joists_is_framing_too() {
    for name in ["9", "2X10", "CJ", "ZQRFTR"] {
        let mut sheet = house("A-WALL");
        joists(&mut sheet, "S-JOIS", 0.0);
        joists(&mut sheet, name, 244.5);
        let (plan, notes) = read(&sheet);
        assert_eq!(plan.members.len(), 28, "{name}: {notes:#?}");
        assert!(has_note(&notes, "by-evidence"), "{notes:#?}");
    }
    // What lies over members that are known is asked about.
    let mut sheet = house("A-WALL");
    joists(&mut sheet, "S-JOIS", 0.0);
    for y in [24.0, 48.0, 72.0, 96.0, 120.0, 144.0] {
        sheet.line("8", (0.0, y), (240.0, y));
        sheet.line("8", (240.0, y + 1.5), (0.0, y + 1.5));
    }
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.members.len(), 14, "{notes:#?}");
    assert!(
        asked(&notes, "layer 8").is_some_and(|m| m.contains("over or across")),
        "{notes:#?}"
    );
}

#[test]
fn joists_at_an_unusual_pitch_are_asked_about() {
    let mut sheet = house("A-WALL");
    for k in 0..12 {
        sheet.upright("7", 17.7 * (k + 1) as f64, 1.75, (0.0, 180.0));
    }
    let (plan, notes) = read(&sheet);
    assert!(
        plan.members.is_empty() && asked(&notes, "layer 7").is_some(),
        "{notes:#?}"
    );
}

#[test]
fn partitions_on_a_layer_of_their_own_are_walls_too() {
    for name in ["5", "ZQINT"] {
        let (plan, notes) = read(&house(name));
        assert_eq!(plan.rooms.len(), 3, "{name}: {notes:#?}");
        assert!(has_note(&notes, "by-evidence"), "{notes:#?}");
    }
    // A single line between two names may be a change of floors.
    let mut sheet = house("A-WALL");
    sheet.line("5", (120.0, 0.0), (120.0, 180.0));
    sheet.text("A-ANNO", (20.0, 90.0), "DINING");
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.rooms.len(), 3, "{notes:#?}");
    assert!(has_note(&notes, "room-open-plan"), "{notes:#?}");
}

#[test]
fn lights_of_an_unusual_size_are_asked_about_where_nothing_else_is() {
    let mut sheet = house("A-WALL");
    for x in [48.0, 96.0, 144.0, 192.0] {
        let symbol = sheet.insert("ELECTRICAL", "ZQ", (x, 90.0));
        let circle = sheet.circle("0", (x, 90.0), 7.0);
        let letter = sheet.text("0", (x - 2.0, 88.0), "R");
        sheet.put(circle, symbol);
        sheet.put(letter, symbol);
    }
    let (_, notes) = read(&sheet);
    assert!(asked(&notes, "block ZQ").is_some(), "{notes:#?}");
}

#[test]
fn marks_of_shear_walls_are_no_walls_and_partitions_of_that_name_are_asked_about() {
    let mut sheet = house("A-WALL");
    sheet.path(
        "SHEAR WALLS",
        &[(20.0, -8.0), (68.0, -8.0), (68.0, 12.0), (20.0, 12.0)],
        true,
    );
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.rooms.len(), 3);
    assert!(
        notes
            .iter()
            .any(|n| n.code == "layer-elsewhere" && n.message.contains("SHEAR WALLS"))
    );
    let (plan, notes) = read(&house("SHEAR WALLS"));
    assert_eq!(plan.rooms.len(), 1);
    assert!(asked(&notes, "SHEAR WALLS").is_some(), "{notes:#?}");
}

#[test]
fn timbers_are_said_to_be_of_their_width() {
    let mut sheet = house("A-WALL");
    for k in 0..4 {
        sheet.upright("STRUCTURE", 36.0 + 48.0 * f64::from(k), 6.0, (0.0, 180.0));
    }
    lights(&mut sheet, "E-LITE", "LT-6", 0.0);
    let (plan, notes) = read(&sheet);
    assert!(plan.members.is_empty());
    let said = asked(&notes, "STRUCTURE").unwrap_or_default();
    assert!(
        said.contains("4 members 6\" thick, 48\" on centre, 4 of them from wall to wall (confidence 0.80)"),
        "{said}"
    );
}
