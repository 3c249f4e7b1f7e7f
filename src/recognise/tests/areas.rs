//! Outlines on room layers that are no rooms: round the whole house, along the middle of walls.

use super::{Sheet, has_note};
use crate::note::Note;
use crate::plan::Plan;
use crate::rules::{Rules, parse};

/// Two rooms of 240 by 180 in between walls 4 1/2 in thick, named, a light in each.
fn house() -> Sheet {
    let mut sheet = Sheet::default();
    let (w, h, t) = (240.0, 180.0, 4.5);
    let right = 2.0 * w + t;
    sheet.path(
        "A-WALL",
        &[(-t, -t), (right + t, -t), (right + t, h + t), (-t, h + t)],
        true,
    );
    for (left, name) in [(0.0, "KITCHEN"), (w + t, "DEN")] {
        sheet.path("A-WALL", &ring(left, 0.0, w, h), true);
        sheet.text("A-ANNO", (left + 90.0, 60.0), name);
        sheet.light("LT-R6", (left + 120.0, 120.0));
    }
    sheet
}

fn ring(x: f64, y: f64, w: f64, h: f64) -> [(f64, f64); 4] {
    [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
}

fn read(sheet: &Sheet) -> (Plan, Vec<Note>) {
    sheet.read_by(&Rules::default())
}

fn names(plan: &Plan) -> Vec<&str> {
    let mut names: Vec<&str> = plan.rooms.iter().filter_map(|r| r.name.as_deref()).collect();
    names.sort_unstable();
    names
}

#[test]
fn an_outline_round_the_house_is_no_room() {
    for outline in [ring(-4.5, -4.5, 493.5, 189.0), ring(0.0, 0.0, 484.5, 180.0)] {
        let mut sheet = house();
        sheet.path("A-AREA", &outline, true);
        sheet.text("A-AREA", (200.0, 20.0), "LIVING AREA 1022 S.F.");
        let (plan, notes) = read(&sheet);
        assert_eq!(names(&plan), ["DEN", "KITCHEN"], "{notes:#?}");
        assert!(has_note(&notes, "room-around"));
        assert_ne!(plan.lights[0].room, plan.lights[1].room);
    }
}

#[test]
fn outlines_along_the_middle_of_walls_give_way_to_their_faces() {
    let mut sheet = house();
    for (left, w) in [(-2.25, 244.5), (242.25, 244.5)] {
        sheet.path("A-AREA", &ring(left, -2.25, w, 184.5), true);
    }
    let (plan, notes) = read(&sheet);
    assert_eq!(names(&plan), ["DEN", "KITCHEN"], "{notes:#?}");
    let areas: Vec<f64> = plan
        .rooms
        .iter()
        .map(|r| crate::recognise::shape::area(&r.outline).abs())
        .collect();
    // 240 by 180 in, as the walls' faces stand.
    assert!(areas.iter().all(|a| (a - 43_200.0).abs() < 1.0), "{areas:?}");
    assert!(has_note(&notes, "room-at-walls"));
}

#[test]
fn boxes_round_names_are_no_rooms() {
    // Letters 6 in high as `Sheet::text` writes them, in boxes 20 by 70 in; the kitchen's goes round a light too.
    let mut sheet = house();
    for (left, light) in [(0.0, true), (244.5, false)] {
        sheet.path("A-AREA-LINE", &ring(left + 80.0, 54.0, 70.0, 20.0), true);
        if light {
            sheet.light("LT-R6", (left + 120.0, 64.0));
        }
    }
    let (plan, notes) = read(&sheet);
    assert_eq!(names(&plan), ["DEN", "KITCHEN"], "{notes:#?}");
    assert!(has_note(&notes, "room-frames"));
    assert!(
        plan.rooms
            .iter()
            .all(|r| crate::recognise::shape::area(&r.outline).abs() > 40_000.0)
    );
    assert!(plan.lights.iter().all(|l| l.room.is_some()));
    // A nook of its own in the kitchen is a room: larger than its name needs, and at the walls.
    let mut sheet = house();
    sheet.path("A-AREA", &ring(0.0, 0.0, 80.0, 100.0), true);
    sheet.text("A-ANNO", (30.0, 50.0), "NOOK");
    sheet.light("LT-R6", (50.0, 20.0));
    let (plan, notes) = read(&sheet);
    assert!(names(&plan).contains(&"NOOK"), "{notes:#?}");
    assert!(!has_note(&notes, "room-frames"));
}

#[test]
fn rooms_with_lights_that_have_no_outline_are_taken_from_the_walls() {
    let mut sheet = house();
    sheet.path("A-AREA", &ring(0.0, 0.0, 120.0, 180.0), true);
    sheet.light("LT-R6", (60.0, 120.0));
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.rooms.len(), 2, "{notes:#?}");
    assert!(names(&plan).contains(&"DEN"), "{notes:#?}");
    assert!(has_note(&notes, "rooms-from-walls"));
}

#[test]
fn outlines_that_part_a_room_stay() {
    // Kitchen and den in one room without a wall between, told apart by their outlines.
    let mut sheet = Sheet::default();
    sheet.path("A-WALL", &ring(0.0, 0.0, 480.0, 180.0), true);
    sheet.path("A-WALL", &ring(-4.5, -4.5, 489.0, 189.0), true);
    for (left, name) in [(0.0, "KITCHEN"), (240.0, "DEN")] {
        sheet.path("A-AREA", &ring(left, 0.0, 240.0, 180.0), true);
        sheet.text("A-ANNO", (left + 90.0, 60.0), name);
        sheet.light("LT-R6", (left + 120.0, 120.0));
    }
    let (plan, notes) = read(&sheet);
    assert_eq!(names(&plan), ["DEN", "KITCHEN"], "{notes:#?}");
    assert!(!has_note(&notes, "room-around") && !has_note(&notes, "room-at-walls"));
}

#[test]
fn a_layer_that_the_rules_ignore_is_ignored_whatever_its_blocks_are_called() {
    let mut sheet = house();
    let light = sheet.insert("E-LITE-NORTH", "LT-R6", (60.0, 60.0));
    let circle = sheet.circle("0", (60.0, 60.0), 4.0);
    sheet.put(circle, light);
    let rules = parse("[read]\nignore = { layers = [\"E-LITE-NORTH\"] }\n", None).unwrap();
    assert_eq!(read(&sheet).0.lights.len(), 3);
    assert_eq!(sheet.read_by(&rules).0.lights.len(), 2);
    // The rules' own word for the block is as strong, and more to the point.
    let text = "[read]\nignore = { layers = [\"E-LITE-NORTH\"] }\nlights = { blocks = [\"LT-*\"] }\n";
    assert_eq!(sheet.read_by(&parse(text, None).unwrap()).0.lights.len(), 3);
}

#[test]
fn lamps_of_a_fan_or_a_chandelier_are_no_recessed_lights() {
    let mut sheet = house();
    for (name, x, lamps) in [("CEILING FAN", 60.0, 1), ("CHANDELIER 6-LT", 400.0, 6)] {
        let holder = sheet.insert("E-LITE", name, (x, 60.0));
        let ring = sheet.circle("0", (x, 60.0), 14.0);
        sheet.put(ring, holder);
        for k in 0..lamps {
            let angle = f64::from(k) * std::f64::consts::TAU / 6.0;
            let at = (x + 12.0 * angle.cos(), 60.0 + 12.0 * angle.sin());
            let lamp = sheet.insert("0", "LT-R6", at);
            let circle = sheet.circle("0", at, 2.0);
            sheet.put(lamp, holder);
            sheet.put(circle, lamp);
        }
    }
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.lights.len(), 2, "{notes:#?}");
    assert_eq!(plan.obstacles.len(), 2);
}

#[test]
fn patterns_that_match_nothing_are_told_of_with_the_nearest_name() {
    let text = "[read]\nwalls = { layers = [\"A-WALLS*\"] }\nlights = { blocks = [\"LT_R6\"] }\n";
    let (_, notes) = house().read_by(&parse(text, None).unwrap());
    let told: Vec<&str> = notes
        .iter()
        .filter(|n| n.code == "read-unmatched")
        .map(|n| &*n.message)
        .collect();
    assert_eq!(told.len(), 2, "{notes:#?}");
    assert!(
        told.iter()
            .any(|m| m.contains("A-WALLS*") && m.contains("layer A-WALL")),
        "{told:?}"
    );
    assert!(
        told.iter()
            .any(|m| m.contains("LT_R6") && m.contains("block LT-R6")),
        "{told:?}"
    );
}

#[test]
fn a_bare_list_of_names_is_explained() {
    let error = parse("[read]\nlights = [\"E-LITE\"]\n", None).unwrap_err();
    assert!(error.contains("{ layers ="), "{error}");
}
