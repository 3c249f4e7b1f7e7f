//! Openings at the corners of walls, and wall lines that run past each other.

use super::{Sheet, has_note};
use crate::plan::{OpeningKind, Plan};
use crate::recognise::shape::area;

const WALL: &str = "A-WALL";

fn run(sheet: &mut Sheet, layer: &str, points: &[(f64, f64)]) {
    for pair in points.windows(2) {
        sheet.line(layer, pair[0], pair[1]);
    }
}

fn ring(sheet: &mut Sheet, (l, b, r, t): (f64, f64, f64, f64)) {
    run(sheet, WALL, &[(l, b), (r, b), (r, t), (l, t), (l, b)]);
}

fn areas(plan: &Plan) -> Vec<f64> {
    plan.rooms.iter().map(|r| area(&r.outline).round()).collect()
}

/// A room of 100 by 80 whose walls, 5 in thick, both stop at a jamb before the lower right corner.
fn open_corner() -> Sheet {
    let mut sheet = Sheet::default();
    let walls = [
        (80.0, -5.0),
        (-5.0, -5.0),
        (-5.0, 85.0),
        (105.0, 85.0),
        (105.0, 30.0),
        (100.0, 30.0),
        (100.0, 80.0),
        (0.0, 80.0),
        (0.0, 0.0),
        (80.0, 0.0),
        (80.0, -5.0),
    ];
    run(&mut sheet, WALL, &walls);
    sheet.text("A-NOTE", (40.0, 40.0), "BEDROOM");
    sheet
}

#[test]
fn a_window_round_a_corner_closes_both_walls_there() {
    let middle = [(80.0, -2.5), (102.5, -2.5), (102.5, 30.0)];
    let outer = [(80.0, -5.0), (105.0, -5.0), (105.0, 30.0)];
    for (layer, glass) in [("A-GLAZ", middle), (WALL, middle), ("A-GLAZ", outer)] {
        let mut sheet = open_corner();
        run(&mut sheet, layer, &glass);
        let (plan, notes) = sheet.read();
        assert_eq!(areas(&plan), [8_000.0], "{layer} {notes:#?}");
        let found: Vec<_> = (plan.openings.iter())
            .map(|o| (o.kind, o.width(), o.left.is_some() != o.right.is_some()))
            .collect();
        let window = OpeningKind::Window;
        // From each jamb to the corner, in the middle of the wall.
        assert_eq!(found, [(window, 22.5, true), (window, 32.5, true)], "{layer}");
        assert!(!has_note(&notes, "walls-open"));
    }
}

#[test]
fn an_open_corner_with_nothing_drawn_in_it_is_told_of_and_stays_open() {
    let (plan, notes) = open_corner().read();
    assert!(plan.rooms.is_empty());
    let told = notes.iter().find(|n| n.code == "room-unclosed");
    let told = told.map(|n| &*n.message).unwrap_or_default();
    assert!(told.contains("leaves BEDROOM open"), "{told}");
    // Glass in one of the two walls closes no corner.
    let mut sheet = open_corner();
    run(&mut sheet, "A-GLAZ", &[(80.0, -2.5), (102.5, -2.5)]);
    assert!(sheet.read().0.rooms.is_empty());
}

/// A room of 160 by 80 with a bay before it, its sides at 45 degrees, walls 5 in thick; the sides that are `open` stop at
/// the lines from the inner to the outer corners.
fn bay(open: [bool; 3], glass: bool) -> Sheet {
    let mut sheet = Sheet::default();
    let turn = 5.0 * (std::f64::consts::FRAC_PI_8).tan();
    let inner = [(40.0, 0.0), (60.0, -20.0), (100.0, -20.0), (120.0, 0.0)];
    let outer = [
        (40.0 - turn, -5.0),
        (60.0 - turn, -25.0),
        (100.0 + turn, -25.0),
        (120.0 + turn, -5.0),
    ];
    run(
        &mut sheet,
        WALL,
        &[
            inner[3],
            (160.0, 0.0),
            (160.0, 80.0),
            (0.0, 80.0),
            (0.0, 0.0),
            inner[0],
        ],
    );
    run(
        &mut sheet,
        WALL,
        &[
            outer[3],
            (165.0, -5.0),
            (165.0, 85.0),
            (-5.0, 85.0),
            (-5.0, -5.0),
            outer[0],
        ],
    );
    let middle = |i: usize| ((inner[i].0 + outer[i].0) / 2.0, (inner[i].1 + outer[i].1) / 2.0);
    for i in 0..3 {
        if !open[i] {
            sheet.line(WALL, inner[i], inner[i + 1]);
            sheet.line(WALL, outer[i], outer[i + 1]);
        } else if glass {
            sheet.line("A-GLAZ", middle(i), middle(i + 1));
        }
    }
    for i in 0..4 {
        let before = i > 0 && open[i - 1];
        let after = i < 3 && open[i];
        if before || after {
            sheet.line(WALL, inner[i], outer[i]);
        }
    }
    sheet
}

#[test]
fn openings_that_begin_where_a_wall_turns_are_closed() {
    for (open, glass, openings) in [
        ([false, false, false], false, 0),
        ([true, false, true], false, 2),
        ([false, true, false], false, 1),
        ([true, true, true], true, 3),
    ] {
        let (plan, notes) = bay(open, glass).read();
        // The room and a bay 80 and 40 in wide and 20 in deep.
        assert_eq!(areas(&plan), [14_000.0], "{open:?} {notes:#?}");
        assert_eq!(plan.openings.len(), openings, "{open:?}");
        assert!(!has_note(&notes, "walls-open"));
    }
    // Lines across between openings with nothing drawn in them may be anything.
    assert!(bay([true; 3], false).read().0.rooms.is_empty());
}

#[test]
fn a_gap_before_a_slanted_wall_parts_rooms_with_names_of_their_own() {
    let mut sheet = Sheet::default();
    run(
        &mut sheet,
        WALL,
        &[(0.0, 0.0), (160.0, 0.0), (200.0, 100.0), (0.0, 100.0), (0.0, 0.0)],
    );
    run(
        &mut sheet,
        WALL,
        &[(0.0, 50.0), (145.0, 50.0), (145.0, 54.5), (0.0, 54.5)],
    );
    sheet.text("A-NOTE", (80.0, 25.0), "DEN");
    let one = sheet.read().0;
    assert_eq!(one.rooms.len(), 1);
    sheet.text("A-NOTE", (80.0, 80.0), "BATH");
    let (plan, notes) = sheet.read();
    assert_eq!(areas(&plan), [8_500.0, 8_686.0], "{notes:#?}");
    assert!(has_note(&notes, "room-gaps"));
}

/// A hall 42 in wide between rooms above and below; the walls between those run past the hall's by so much.
fn hall(past: f64) -> Sheet {
    let mut sheet = Sheet::default();
    for (b, t) in [(0.0, 100.0), (104.5, 146.5), (151.0, 242.0)] {
        ring(&mut sheet, (0.0, b, 200.0, t));
    }
    ring(&mut sheet, (-5.0, -5.0, 205.0, 247.0));
    for x in [100.0, 104.5] {
        sheet.line(WALL, (x, 0.0), (x, 104.5 + past));
        sheet.line(WALL, (x, 146.5 - past), (x, 242.0));
    }
    sheet
}

#[test]
fn walls_that_run_past_a_halls_on_both_sides_do_not_part_it() {
    for past in [0.5, 2.0, 6.0] {
        let (plan, notes) = hall(past).read();
        assert_eq!(
            areas(&plan),
            [10_000.0, 8_400.0, 9_100.0, 9_550.0, 8_691.0],
            "{past}"
        );
        // Two ends that face each other may as well be an opening: that is told.
        assert!(has_note(&notes, "walls-open"), "{past}");
    }
    // A door drawn between them, or names on both sides of them, make it one.
    let mut door = hall(3.0);
    run(&mut door, "A-DOOR", &[(102.0, 107.5), (102.0, 143.5)]);
    let mut named = hall(3.0);
    named.text("A-NOTE", (40.0, 125.0), "HALL");
    named.text("A-NOTE", (160.0, 125.0), "ENTRY");
    for (sheet, names) in [(door, false), (named, true)] {
        let (plan, notes) = sheet.read();
        assert_eq!(plan.rooms.len(), 6);
        assert_eq!(has_note(&notes, "room-gaps"), names);
        assert!(!has_note(&notes, "walls-open"));
    }
}

#[test]
fn lines_that_run_past_walls_and_corners_leave_nothing_open() {
    for past in [0.5, 2.0, 5.0, 7.0] {
        let mut sheet = Sheet::default();
        for (l, b, r, t) in [(0.0, 0.0, 200.0, 100.0), (-5.0, -5.0, 205.0, 105.0)] {
            for y in [b, t] {
                sheet.line(WALL, (l - past, y), (r + past, y));
            }
            for x in [l, r] {
                sheet.line(WALL, (x, b - past), (x, t + past));
            }
        }
        for x in [100.0, 104.5] {
            sheet.line(WALL, (x, -past), (x, 100.0 + past));
        }
        let (plan, notes) = sheet.read();
        assert_eq!(areas(&plan), [10_000.0, 9_550.0], "{past}");
        assert!(plan.openings.is_empty(), "{past} {:?}", plan.openings);
        assert!(!has_note(&notes, "walls-open"), "{past} {notes:#?}");
    }
    // What goes on further ends somewhere.
    let mut sheet = Sheet::default();
    ring(&mut sheet, (0.0, 0.0, 200.0, 100.0));
    ring(&mut sheet, (-5.0, -5.0, 205.0, 105.0));
    sheet.line(WALL, (100.0, 0.0), (100.0, 125.0));
    assert!(has_note(&sheet.read().1, "walls-open"));
}
