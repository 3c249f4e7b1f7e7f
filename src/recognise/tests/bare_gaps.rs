//! Openings with nothing drawn in them, told by the names of rooms beside them.

use super::{Sheet, has_note};
use crate::note::{Level, Note};
use crate::plan::{OpeningKind, Plan};

/// A ring of wall lines with gaps `(from, to)` in its bottom side.
fn ring(sheet: &mut Sheet, (l, b, r, t): (f64, f64, f64, f64), gap: Option<(f64, f64)>) {
    sheet.line("A-WALL", (l, t), (r, t));
    sheet.line("A-WALL", (l, b), (l, t));
    sheet.line("A-WALL", (r, b), (r, t));
    match gap {
        Some((from, to)) => {
            for (a, c) in [(l, from), (to, r)] {
                if c > a {
                    sheet.line("A-WALL", (a, b), (c, b));
                }
            }
        }
        None => {
            sheet.line("A-WALL", (l, b), (r, b));
        }
    }
}

/// Two rooms 200 by 120 and 200 by 100 in, one over the other, an opening `wide` from the left wall on between them.
fn stacked(wide: f64, names: [&str; 2]) -> Sheet {
    let mut sheet = Sheet::default();
    let points = [
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 120.0),
        (wide, 120.0),
        (wide, 125.0),
        (200.0, 125.0),
        (200.0, 225.0),
        (0.0, 225.0),
        (0.0, 0.0),
    ];
    for pair in points.windows(2) {
        sheet.line("A-WALL", pair[0], pair[1]);
    }
    ring(&mut sheet, (-5.0, -5.0, 205.0, 230.0), None);
    for (name, y) in names.into_iter().zip([60.0, 170.0]) {
        sheet.text("A-NOTE", (100.0, y), name);
        sheet.light("LT-R6", (120.0, y + 20.0));
    }
    sheet
}

fn names(plan: &Plan) -> Vec<&str> {
    plan.rooms.iter().filter_map(|r| r.name.as_deref()).collect()
}

fn told<'a>(notes: &'a [Note], code: &str) -> Vec<&'a Note> {
    notes.iter().filter(|n| n.code == code).collect()
}

#[test]
fn an_opening_from_a_rooms_corner_on_parts_rooms_with_names_of_their_own() {
    for (wide, rooms) in [(36.0, 2), (90.0, 2), (110.0, 1)] {
        let (plan, notes) = stacked(wide, ["KITCHEN", "HALL"]).read();
        assert_eq!(plan.rooms.len(), rooms, "{wide} {notes:#?}");
        assert_eq!(has_note(&notes, "room-gaps"), rooms == 2);
        assert_eq!(has_note(&notes, "room-open-plan"), rooms == 1);
        if rooms == 2 {
            assert_eq!(names(&plan), ["KITCHEN", "HALL"]);
            let opening = &plan.openings[0];
            assert_eq!(opening.kind, OpeningKind::Cased);
            assert!(opening.left.is_some() && opening.right.is_some());
            assert!((opening.to.x - opening.from.x - wide).abs() < 0.01);
        }
    }
}

#[test]
fn a_wing_of_wall_in_one_room_parts_nothing() {
    for names in [["KITCHEN", "CLG 9'-0\""], ["KITCHEN", "KITCHEN"]] {
        let (plan, notes) = stacked(36.0, names).read();
        assert_eq!(plan.rooms.len(), 1, "{notes:#?}");
        assert!(!has_note(&notes, "room-gaps"));
    }
}

/// A garage of 280 by 260 in with a gap in its front and a kitchen beside it.
fn garage(wide: f64) -> Sheet {
    let mut sheet = Sheet::default();
    let (from, to) = (140.0 - wide / 2.0, 140.0 + wide / 2.0);
    ring(&mut sheet, (-5.0, -5.0, 405.0, 265.0), Some((from, to)));
    ring(&mut sheet, (0.0, 0.0, 280.0, 260.0), Some((from, to)));
    for x in [from, to] {
        sheet.line("A-WALL", (x, -5.0), (x, 0.0));
    }
    ring(&mut sheet, (285.0, 0.0, 400.0, 260.0), None);
    sheet.text("A-NOTE", (140.0, 150.0), "GARAGE");
    sheet.text("A-NOTE", (340.0, 150.0), "KITCHEN");
    sheet.light("LT-R6", (140.0, 100.0));
    sheet.light("LT-R6", (340.0, 100.0));
    sheet
}

#[test]
fn a_garages_front_without_a_line_across_is_closed_and_told_of() {
    for wide in [144.0, 192.0] {
        let (plan, notes) = garage(wide).read();
        assert_eq!(names(&plan), ["GARAGE", "KITCHEN"], "{notes:#?}");
        let gaps = told(&notes, "room-gaps");
        assert!(gaps.len() == 1 && gaps[0].message.contains("GARAGE"), "{gaps:?}");
        assert!(plan.lights.iter().all(|l| l.room.is_some()));
    }
    // Wider than anything that spans a front: told of, with its width.
    let (plan, notes) = garage(250.0).read();
    assert_eq!(names(&plan), ["KITCHEN"], "{notes:#?}");
    let told = told(&notes, "room-unclosed");
    assert_eq!(told.len(), 1, "{notes:#?}");
    assert_eq!(told[0].level, Level::Warning);
    assert!(
        told[0].message.starts_with("GARAGE stands in no room") && told[0].message.contains("20' 10\""),
        "{}",
        told[0].message
    );
}
