//! Strips of rooms, and stairs in them, that lines on the walls' layer cut off.

use super::{Sheet, has_note};
use crate::note::Note;
use crate::recognise::shape::area;

const WALL: &str = "A-WALL";

type Run<'a> = &'a [(f64, f64)];

fn ring(sheet: &mut Sheet, [l, b, r, t]: [f64; 4]) {
    let corners = [(l, b), (r, b), (r, t), (l, t)];
    for (i, &p) in corners.iter().enumerate() {
        sheet.line(WALL, p, corners[(i + 1) % 4]);
    }
}

/// Two rooms of 120 by 100, the first of a name with a run of lines in it. Gives the areas and the notes.
fn read(name: &str, run: Run, door: bool) -> (Vec<f64>, Vec<Note>) {
    let mut sheet = Sheet::default();
    ring(&mut sheet, [-5.0, -5.0, 250.0, 105.0]);
    ring(&mut sheet, [125.0, 0.0, 245.0, 100.0]);
    // The first room, with a gap for a door in its upper wall where it is asked for.
    let gap = if door { (20.0, 50.0) } else { (60.0, 60.0) };
    sheet.line(WALL, (0.0, 0.0), (120.0, 0.0));
    sheet.line(WALL, (120.0, 0.0), (120.0, 100.0));
    sheet.line(WALL, (0.0, 0.0), (0.0, 100.0));
    if door {
        sheet.line(WALL, (0.0, 100.0), (gap.0, 100.0));
        sheet.line(WALL, (gap.1, 100.0), (120.0, 100.0));
        for x in [gap.0, gap.1] {
            sheet.line(WALL, (x, 100.0), (x, 105.0));
        }
        sheet.line("A-DOOR", (gap.0, 102.0), (gap.1, 102.0));
    } else {
        sheet.line(WALL, (0.0, 100.0), (120.0, 100.0));
    }
    for pair in run.windows(2) {
        sheet.line(WALL, pair[0], pair[1]);
    }
    sheet.text("A-NOTE", (80.0, 30.0), name);
    sheet.text("A-NOTE", (180.0, 50.0), "DEN");
    let (plan, notes) = sheet.read();
    let areas = plan.rooms.iter().map(|r| area(&r.outline).round()).collect();
    (areas, notes)
}

/// Areas of the first room and of the second.
const WHOLE: [f64; 2] = [12_000.0, 12_000.0];

#[test]
fn counters_tubs_and_shelves_are_part_of_their_rooms() {
    let level = |depth: f64| [(0.0, 100.0 - depth), (120.0, 100.0 - depth)];
    let counter = [(0.0, 10.0), (25.0, 10.0), (25.0, 75.0), (120.0, 75.0)];
    let tub = [(60.0, 100.0), (60.0, 70.0), (120.0, 70.0)];
    let cases: [(&str, Run); 6] = [
        ("KITCHEN", &counter),
        ("KITCHEN", &level(25.0)),
        ("BATH", &level(32.0)),
        ("BATH", &tub),
        ("WIC", &level(12.0)),
        ("PANTRY", &level(16.0)),
    ];
    for (name, run) in cases {
        let (areas, notes) = read(name, run, false);
        assert_eq!(areas, WHOLE, "{name} {run:?} {notes:#?}");
        assert!(has_note(&notes, "room-strips"), "{name}");
    }
}

#[test]
fn what_may_be_a_wall_stays_one() {
    let level = |depth: f64| [(0.0, 100.0 - depth), (120.0, 100.0 - depth)];
    // As deep as no counter, in a room that has none, of two depths, and with a door into it.
    let stepped = [(0.0, 75.0), (60.0, 75.0), (60.0, 60.0), (120.0, 60.0)];
    let cases: [(&str, Run, bool); 4] = [
        ("KITCHEN", &level(40.0), false),
        ("BEDROOM", &level(25.0), false),
        ("KITCHEN", &stepped, false),
        ("KITCHEN", &level(25.0), true),
    ];
    for (name, run, door) in cases {
        let (areas, notes) = read(name, run, door);
        assert_eq!(areas.len(), 3, "{name} {run:?} {notes:#?}");
        assert!(!has_note(&notes, "room-strips"), "{name}");
        assert!(has_note(&notes, "room-nameless"), "{name}");
    }
}

/// Treads against the upper wall: so many, so deep.
fn treads(count: usize, deep: f64) -> Vec<(f64, f64)> {
    let mut run = vec![(10.0, 100.0), (10.0, 64.0)];
    for i in 1..=count {
        let x = 10.0 + deep * i as f64;
        run.extend([(x, 64.0), (x, 100.0), (x, 64.0)]);
    }
    run
}

#[test]
fn treads_are_part_of_their_room() {
    for deep in [10.0, 11.0, 12.0] {
        let (areas, notes) = read("LIVING ROOM", &treads(5, deep), false);
        assert_eq!(areas, WHOLE, "{deep} {notes:#?}");
        let told = notes.iter().find(|n| n.code == "room-treads");
        let told = told.map(|n| &*n.message).unwrap_or_default();
        assert!(told.contains("the first of 5 in LIVING ROOM"), "{told}");
    }
    // Too few, and too deep.
    for run in [treads(3, 11.0), treads(5, 16.0)] {
        let (areas, notes) = read("LIVING ROOM", &run, false);
        assert!(areas[0] < WHOLE[0], "{run:?} {notes:#?}");
        assert!(!has_note(&notes, "room-treads"));
    }
}
