//! Everything on one layer, told apart by colour.

use super::{Sheet, has_note, inches, recognise};
use crate::recognise::{Became, Named, readings};
use crate::rules::{Rules, parse};

const HOUSE: [(f64, f64); 4] = [(0.0, 0.0), (240.0, 0.0), (240.0, 144.0), (0.0, 144.0)];
const WALLS: i16 = 3;
const FRAMING: i16 = 1;

/// A room with its walls, joists and lights, all on layer 0: walls in one colour, joists in another. `walls`
/// are the colours of its four walls.
fn sheet(walls: [i16; 4]) -> Sheet {
    let mut sheet = Sheet::default();
    for (i, &p) in HOUSE.iter().enumerate() {
        let line = sheet.line("0", p, HOUSE[(i + 1) % 4]);
        sheet.flat.items[line].color = walls[i];
    }
    for i in 0..14 {
        let first = sheet.flat.items.len();
        sheet.upright("0", 16.0 + 16.0 * f64::from(i), 1.5, (0.0, 144.0));
        for item in &mut sheet.flat.items[first..] {
            item.color = FRAMING;
        }
    }
    for (x, y) in (0..4).flat_map(|i| [36.0, 108.0].map(|y| (30.0 + 60.0 * f64::from(i), y))) {
        let insert = sheet.insert("0", "A$C1234", (x, y));
        let circle = sheet.circle("0", (x, y), 3.0);
        sheet.put(circle, insert);
    }
    sheet.text("0", (100.0, 100.0), "KITCHEN");
    sheet
}

#[test]
fn colours_tell_what_one_layer_holds() {
    let sheet = sheet([WALLS; 4]);
    let told = readings(&sheet.flat, &inches(), &Rules::default(), None);
    let plan = &told.plan;
    assert_eq!(
        (plan.lights.len(), plan.members.len(), plan.rooms.len()),
        (8, 14, 1),
        "{:?}",
        told.notes
    );
    assert_eq!(plan.rooms[0].name.as_deref(), Some("KITCHEN"));
    let framing = (told.notes.iter())
        .find(|n| n.message.contains("taken for framing"))
        .unwrap();
    assert!(
        framing
            .message
            .starts_with("layer 0:1 (layer 0 in colour 1) is taken"),
        "{}",
        framing.message
    );
    let row = |name: &str| {
        told.readings
            .iter()
            .find(|r| r.named == Named::Layer && r.name == name)
    };
    assert_eq!(row("0:1").map(|r| r.class), Some(Became::Framing));
    assert_eq!(row("0:3").map(|r| r.class), Some(Became::Wall));
    assert!(row("0").is_none());
    // The rules written name the pens, and give this reading again.
    let written = crate::write::starter::starter("p", plan, &told.readings, &Rules::default());
    assert!(written.contains("\"0:1\""), "{written}");
    let (again, notes) = recognise(&sheet.flat, &inches(), &parse(&written, None).unwrap());
    assert_eq!(&again, plan);
    assert!(!has_note(&notes, "by-evidence"), "{notes:?}");
}

#[test]
fn rules_name_a_colour_of_any_layer() {
    let mut sheet = sheet([WALLS; 4]);
    for item in &mut sheet.flat.items {
        item.layer = "PLAN".into();
    }
    let text = "[read]\nframing = { layers = [\"PLAN:1\"] }\nwalls = { layers = [\"plan:3\"] }\n\
                lights = { blocks = [\"A$C1234\"] }\n";
    let (plan, _) = recognise(&sheet.flat, &inches(), &parse(text, None).unwrap());
    assert_eq!(
        (plan.lights.len(), plan.members.len(), plan.rooms.len()),
        (8, 14, 1)
    );
    // What no pattern names goes by its layer.
    let text = "[read]\nframing = { layers = [\"PLAN:1\"] }\nignore = { layers = [\"PLAN\"] }\n";
    let (plan, _) = recognise(&sheet.flat, &inches(), &parse(text, None).unwrap());
    assert_eq!(
        (plan.lights.len(), plan.members.len(), plan.walls.len()),
        (0, 14, 0)
    );
    assert_eq!(plan.counts.unclaimed, 0);
}

#[test]
fn a_layer_that_says_what_it_is_keeps_all_its_colours() {
    // Walls in two colours on a layer of their own: neither colour closes the room.
    let mut sheet = sheet([WALLS, 5, 5, WALLS]);
    for item in &mut sheet.flat.items[..4] {
        item.layer = "4".into();
    }
    for item in &mut sheet.flat.items[4..32] {
        item.layer = "2".into();
    }
    let (plan, _) = sheet.read_by(&Rules::default());
    assert_eq!(
        (plan.lights.len(), plan.members.len(), plan.rooms.len()),
        (8, 14, 1)
    );
    assert_eq!(plan.walls.len(), 4);
}

#[test]
fn symbols_in_the_colour_of_the_walls_are_no_walls() {
    let mut sheet = sheet([7; 4]);
    let first = sheet.flat.items.len();
    for k in 0..3 {
        sheet.line("0", (f64::from(k), 300.0), (f64::from(k), 340.0));
    }
    for item in &mut sheet.flat.items[first..] {
        item.color = 5;
    }
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert_eq!(
        (
            plan.lights.len(),
            plan.members.len(),
            plan.rooms.len(),
            plan.walls.len()
        ),
        (8, 14, 1, 4),
        "{notes:?}"
    );
}
