//! Rooms that may be several, and what is told of them.

use super::{Sheet, has_note, xy};
use crate::flatten::Prim;
use crate::note::Level;

fn ring(sheet: &mut Sheet, [l, b, r, t]: [f64; 4]) {
    let corners = [(l, b), (r, b), (r, t), (l, t)];
    for (i, &p) in corners.iter().enumerate() {
        sheet.line("A-WALL", p, corners[(i + 1) % 4]);
    }
}

fn door(sheet: &mut Sheet, hinge: (f64, f64)) {
    sheet.item(
        "A-DOOR",
        "ARC",
        Prim::Arc {
            center: xy(hinge.0, hinge.1),
            radius: 30.0,
            start: 0.0,
            sweep: std::f64::consts::FRAC_PI_2,
        },
    );
}

#[test]
fn a_door_amid_two_names_is_told_of() {
    for (hinge, told) in [
        (Some((120.0, 40.0)), true),
        (None, false),
        (Some((-40.0, 40.0)), false),
    ] {
        let mut sheet = Sheet::default();
        ring(&mut sheet, [0.0, 0.0, 240.0, 100.0]);
        ring(&mut sheet, [-6.0, -6.0, 246.0, 106.0]);
        // The partition between them stands on a layer that is not read.
        sheet.line("M5", (120.0, 0.0), (120.0, 40.0));
        hinge.into_iter().for_each(|h| door(&mut sheet, h));
        sheet.text("A-NOTE", (40.0, 50.0), "DEN");
        sheet.text("A-NOTE", (180.0, 50.0), "OFFICE");
        sheet.light("LT-R6", (60.0, 50.0));
        let (plan, notes) = sheet.read();
        assert_eq!(plan.rooms.len(), 1);
        assert!(has_note(&notes, "room-open-plan"));
        assert_eq!(has_note(&notes, "room-doors"), told, "{hinge:?} {notes:?}");
    }
}

#[test]
fn a_room_around_the_others_is_told_of() {
    for open in [true, false] {
        let mut sheet = Sheet::default();
        ring(&mut sheet, [0.0, 0.0, 400.0, 120.0]);
        ring(&mut sheet, [6.0, 6.0, 100.0, 114.0]);
        ring(&mut sheet, [106.0, 6.0, 200.0, 114.0]);
        if open {
            for pair in [
                (230.0, 6.0),
                (206.0, 6.0),
                (206.0, 114.0),
                (394.0, 114.0),
                (394.0, 90.0),
            ]
            .windows(2)
            {
                sheet.line("A-WALL", pair[0], pair[1]);
            }
        } else {
            ring(&mut sheet, [206.0, 6.0, 394.0, 114.0]);
        }
        sheet.text("A-NOTE", (40.0, 50.0), "DEN");
        sheet.text("A-NOTE", (140.0, 50.0), "BATH");
        sheet.text("A-NOTE", (240.0, 50.0), "OFFICE");
        sheet.light("LT-R6", (60.0, 50.0));
        let (_, notes) = sheet.read();
        assert_eq!(has_note(&notes, "room-around"), open, "{notes:?}");
    }
}

#[test]
fn a_room_that_a_line_cuts_off_is_told_of() {
    for (light, level) in [((60.0, 50.0), Level::Info), ((60.0, 12.0), Level::Warning)] {
        let mut sheet = Sheet::default();
        ring(&mut sheet, [-6.0, -6.0, 306.0, 106.0]);
        for [l, r, name] in [
            ["0", "120", "KITCHEN"],
            ["126", "200", "BATH"],
            ["206", "300", "DEN"],
        ] {
            let (l, r): (f64, f64) = (l.parse().unwrap(), r.parse().unwrap());
            ring(&mut sheet, [l, 0.0, r, 100.0]);
            sheet.text("A-NOTE", (l + 20.0, 70.0), name);
        }
        sheet.light("LT-R6", light);
        assert!(!has_note(&sheet.read().1, "room-nameless"));
        // Deeper than a counter.
        sheet.line("A-WALL", (0.0, 40.0), (120.0, 40.0));
        let (plan, notes) = sheet.read();
        assert_eq!(plan.rooms.len(), 4);
        let told = notes.iter().find(|n| n.code == "room-nameless").expect("a note");
        assert_eq!(told.level, level, "{told:?}");
        assert!(told.message.contains("(0.0, 0.0)"), "{told:?}");
    }
}

#[test]
fn what_stands_free_amid_a_room_is_told_of() {
    for (stands, told) in [(true, 1), (false, 0)] {
        let mut sheet = Sheet::default();
        ring(&mut sheet, [-6.0, -6.0, 306.0, 206.0]);
        ring(&mut sheet, [0.0, 0.0, 300.0, 200.0]);
        sheet.text("A-NOTE", (20.0, 170.0), "KITCHEN");
        sheet.light("LT-R6", (60.0, 50.0));
        if stands {
            ring(&mut sheet, [120.0, 80.0, 200.0, 116.0]);
        }
        let (plan, notes) = sheet.read();
        assert_eq!(plan.rooms.len(), 1);
        assert_eq!(
            notes.iter().filter(|n| n.code == "room-islands").count(),
            told,
            "{notes:?}"
        );
    }
}
