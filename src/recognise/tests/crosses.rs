//! Crosses over what is open, and the words that say so.

use super::{Sheet, has_note};
use crate::note::Level;
use crate::rules::Rules;

/// Two rooms, the right one a void with a cross on a layer and words in it.
fn void(layer: &str, words: &str) -> Sheet {
    let mut sheet = Sheet::default();
    for (low, high) in [
        ((0.0, 0.0), (320.0, 160.0)),
        ((6.0, 6.0), (157.0, 154.0)),
        ((163.0, 6.0), (314.0, 154.0)),
    ] {
        let ring = [low, (high.0, low.1), high, (low.0, high.1)];
        for k in 0..4 {
            sheet.line("A-WALL", ring[k], ring[(k + 1) % 4]);
        }
    }
    if !layer.is_empty() {
        sheet.line(layer, (163.0, 6.0), (314.0, 154.0));
        sheet.line(layer, (163.0, 154.0), (314.0, 6.0));
    }
    sheet.text("A-NAME", (60.0, 80.0), "KITCHEN");
    sheet.text("A-NAME", (220.0, 60.0), words);
    for x in [40.0, 100.0, 200.0, 280.0] {
        let insert = sheet.insert("E-LITE-CLNG", "RL-6", (x, 40.0));
        let circle = sheet.circle("0", (x, 40.0), 3.0);
        sheet.put(circle, insert);
    }
    sheet
}

#[test]
fn a_cross_from_corner_to_corner_parts_no_room() {
    for (layer, note) in [
        ("A-WALL", "wall-crosses"),
        ("A-WALL-OVHD", "layer-status"),
        ("", ""),
    ] {
        let (plan, notes) = void(layer, "LOFT").read_by(&Rules::default());
        let names: Vec<_> = plan.rooms.iter().map(|r| r.name.as_deref()).collect();
        assert_eq!(names, [Some("KITCHEN"), Some("LOFT")], "{layer}: {notes:?}");
        assert!(note.is_empty() || has_note(&notes, note), "{notes:?}");
        assert!(plan.walls.iter().all(|(a, b)| a.x == b.x || a.y == b.y));
    }
}

#[test]
fn walls_that_cross_part_rooms() {
    // Single lines that cross in the middle of a house, square to its walls and askew.
    let mut sheet = Sheet::default();
    let ring = [(0.0, 0.0), (240.0, 0.0), (240.0, 240.0), (0.0, 240.0)];
    for k in 0..4 {
        sheet.line("A-WALL", ring[k], ring[(k + 1) % 4]);
    }
    sheet.line("A-WALL", (120.0, 0.0), (120.0, 240.0));
    sheet.line("A-WALL", (0.0, 120.0), (240.0, 120.0));
    for (x, y, name) in [
        (40.0, 40.0, "KITCHEN"),
        (160.0, 40.0, "BATH"),
        (40.0, 160.0, "DEN"),
        (160.0, 160.0, "HALL"),
    ] {
        sheet.text("A-NAME", (x, y), name);
    }
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert_eq!(plan.rooms.len(), 4, "{notes:?}");
    assert!(!has_note(&notes, "wall-crosses"));
}

#[test]
fn what_is_open_to_another_storey_is_told_of() {
    for words in [
        "OPEN TO BELOW",
        "Open to\nBelow",
        "OPEN TO LIVING ROOM BELOW",
        "OPEN BELOW",
        "OPEN TO ABOVE",
    ] {
        let (plan, notes) = void("", words).read_by(&Rules::default());
        let told: Vec<_> = notes.iter().filter(|n| n.code == "open-below").collect();
        assert!(
            told.len() == 1 && told[0].message.contains("2 light(s)"),
            "{words}: {notes:?}"
        );
        assert!(!has_note(&notes, "room-nameless"), "{words}: {notes:?}");
        assert_eq!(plan.rooms.len(), 2);
    }
    // Beside a name it says that a part is open, and the name stays.
    let mut sheet = void("", "LOFT");
    sheet.text("A-ANNO", (220.0, 120.0), "OPEN TO BELOW");
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert_eq!(plan.rooms[1].name.as_deref(), Some("LOFT"));
    let told: Vec<_> = notes.iter().filter(|n| n.code == "open-below").collect();
    assert!(told.len() == 1 && told[0].level == Level::Info, "{notes:?}");
    // Other words are none.
    let (_, notes) = void("", "OPEN SHELVES").read_by(&Rules::default());
    assert!(!has_note(&notes, "open-below"));
}
