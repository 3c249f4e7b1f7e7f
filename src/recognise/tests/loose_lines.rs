//! Rooms drawn as loose single lines, on layers of walls and of rooms.

use super::{Sheet, has_note};
use crate::plan::Plan;
use crate::recognise::shape::area;

/// A room as four lines that stop `short` of its corners.
fn four(sheet: &mut Sheet, layer: &str, (l, b, r, t): (f64, f64, f64, f64), short: f64) {
    sheet.line(layer, (l + short, b), (r - short, b));
    sheet.line(layer, (r, b + short), (r, t - short));
    sheet.line(layer, (r - short, t), (l + short, t));
    sheet.line(layer, (l, t - short), (l, b + short));
}

/// Three rooms 4 1/2 in apart, with names.
fn rooms(layer: &str, short: f64) -> Sheet {
    let mut sheet = Sheet::default();
    four(&mut sheet, layer, (0.0, 0.0, 120.0, 100.0), short);
    four(&mut sheet, layer, (124.5, 0.0, 240.0, 100.0), short);
    four(&mut sheet, layer, (0.0, 104.5, 240.0, 200.0), short);
    for (at, name) in [
        ((60.0, 50.0), "BEDROOM 1"),
        ((180.0, 50.0), "BATH"),
        ((100.0, 150.0), "LIVING ROOM"),
    ] {
        sheet.text("A-NOTE", at, name);
    }
    sheet
}

fn found(plan: &Plan) -> Vec<(Option<&str>, f64)> {
    let mut found: Vec<_> = (plan.rooms.iter())
        .map(|r| (r.name.as_deref(), area(&r.outline).round()))
        .collect();
    found.sort_by(|a, b| a.0.cmp(&b.0));
    found
}

const ROOMS: [(Option<&str>, f64); 3] = [
    (Some("BATH"), 11_550.0),
    (Some("BEDROOM 1"), 12_000.0),
    (Some("LIVING ROOM"), 22_920.0),
];

#[test]
fn lines_that_stop_short_of_their_corners_close_rooms_and_are_told_of() {
    for layer in ["A-WALL", "A-AREA"] {
        for short in [0.0, 1.5, 4.0, 6.0] {
            let (plan, notes) = rooms(layer, short).read();
            assert_eq!(found(&plan), ROOMS, "{layer} {short} {notes:#?}");
            assert!(!has_note(&notes, "walls-open"));
            assert_eq!(has_note(&notes, "walls-short"), layer == "A-WALL" && short > 0.0);
        }
    }
    // No door is as narrow, but what is wider may be an opening.
    let (plan, notes) = rooms("A-WALL", 9.0).read();
    assert!(plan.rooms.is_empty() && has_note(&notes, "walls-open"));
}

#[test]
fn lines_on_room_layers_that_close_rooms_are_rooms() {
    let (plan, notes) = rooms("A-AREA", 0.0).read();
    assert!(plan.rooms.iter().all(|r| r.drawn));
    assert!(has_note(&notes, "room-joined"));
    for code in ["room-open", "name-doubtful", "no-rooms"] {
        assert!(!has_note(&notes, code), "{code} {notes:#?}");
    }
    // One line between two rooms is enough.
    let mut sheet = Sheet::default();
    four(&mut sheet, "A-AREA", (0.0, 0.0, 240.0, 100.0), 0.0);
    sheet.line("A-AREA", (120.0, 0.0), (120.0, 100.0));
    assert_eq!(sheet.read().0.rooms.len(), 2);
    // Three sides are no outline; a line that closes nothing is told of beside rooms that are closed.
    let mut sheet = rooms("A-AREA", 0.0);
    sheet.line("A-AREA", (300.0, 0.0), (400.0, 0.0));
    sheet.line("A-AREA", (400.0, 0.0), (400.0, 100.0));
    sheet.line("A-AREA", (400.0, 100.0), (300.0, 100.0));
    let (plan, notes) = sheet.read();
    assert_eq!(plan.rooms.len(), 3);
    let open = notes.iter().find(|n| n.code == "room-open");
    assert!(
        open.is_some_and(|n| n.message.starts_with("3 line(s)")),
        "{notes:#?}"
    );
}

#[test]
fn wall_lines_short_of_a_cross_wall_are_drawn_on_to_it() {
    for (short, rooms) in [(4.0, 2), (10.0, 1)] {
        let mut sheet = Sheet::default();
        four(&mut sheet, "A-WALL", (0.0, 0.0, 240.0, 100.0), 0.0);
        sheet.line("A-WALL", (120.0, short), (120.0, 100.0 - short));
        let (plan, notes) = sheet.read();
        assert_eq!(plan.rooms.len(), rooms, "{short}");
        assert!(plan.openings.is_empty());
        assert_eq!(has_note(&notes, "walls-short"), rooms == 2);
    }
    // Not the end of a wall that is drawn with a cap.
    let mut sheet = Sheet::default();
    four(&mut sheet, "A-WALL", (0.0, 0.0, 240.0, 100.0), 0.0);
    four(&mut sheet, "A-WALL", (117.5, 4.0, 122.5, 96.0), 0.0);
    assert!(!has_note(&sheet.read().1, "walls-short"));
}
