//! Doors at corners, where the drawing has no wall's end at one side or at both: the swing tells what closes.

use super::{Sheet, xy};
use crate::flatten::Prim;
use crate::plan::{OpeningKind, Plan};
use crate::recognise::shape::area;

const WALL: &str = "A-WALL";

fn ring(sheet: &mut Sheet, points: &[(f64, f64)]) {
    for (i, &p) in points.iter().enumerate() {
        sheet.line(WALL, p, points[(i + 1) % points.len()]);
    }
}

/// A leaf that stands open upwards, and the arc to where it is shut, to the right of its hinge or to the left.
fn door(sheet: &mut Sheet, layer: &str, (x, y): (f64, f64), wide: f64, to_left: bool) {
    sheet.line(layer, (x, y), (x, y + wide));
    let quarter = std::f64::consts::FRAC_PI_2;
    let arc = Prim::Arc {
        center: xy(x, y),
        radius: wide,
        start: if to_left { quarter } else { 0.0 },
        sweep: quarter,
    };
    sheet.item(layer, "ARC", arc);
}

fn areas(plan: &Plan) -> Vec<f64> {
    plan.rooms.iter().map(|r| area(&r.outline).round()).collect()
}

fn doors(plan: &Plan) -> Vec<(OpeningKind, f64)> {
    plan.openings.iter().map(|o| (o.kind, o.width())).collect()
}

/// Two rooms, 200 by 50 and 200 by 45.5, the wall between them ending 34 in before the right wall.
fn two_rooms() -> Sheet {
    let mut sheet = Sheet::default();
    ring(
        &mut sheet,
        &[(0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0)],
    );
    for (a, b) in [
        ((0.0, 50.0), (166.0, 50.0)),
        ((166.0, 50.0), (166.0, 54.5)),
        ((166.0, 54.5), (0.0, 54.5)),
    ] {
        sheet.line(WALL, a, b);
    }
    sheet
}

#[test]
fn a_door_against_a_cross_wall_closes_whatever_its_layer_is_called() {
    for layer in ["A-DOOR", "7", WALL] {
        for (hinge, to_left) in [((200.0, 54.5), true), ((166.0, 54.5), false)] {
            let mut sheet = two_rooms();
            door(&mut sheet, layer, hinge, 34.0, to_left);
            let (plan, notes) = sheet.read();
            assert_eq!(areas(&plan), [10_000.0, 9_100.0], "{layer} {notes:#?}");
            assert_eq!(doors(&plan), [(OpeningKind::Door, 34.0)], "{layer}");
        }
    }
    // Without it, and with one that is hinged elsewhere or is no leaf of this opening, it is one room.
    assert_eq!(two_rooms().read().0.rooms.len(), 1);
    for (hinge, wide) in [((100.0, 54.5), 34.0), ((200.0, 54.5), 20.0)] {
        let mut sheet = two_rooms();
        door(&mut sheet, "7", hinge, wide, true);
        assert_eq!(sheet.read().0.rooms.len(), 1, "{hinge:?}");
    }
}

/// A hall 36 in wide and 200 long.
fn hall() -> Sheet {
    let mut sheet = Sheet::default();
    ring(
        &mut sheet,
        &[(0.0, 0.0), (36.0, 0.0), (36.0, 200.0), (0.0, 200.0)],
    );
    ring(
        &mut sheet,
        &[(-5.0, -5.0), (41.0, -5.0), (41.0, 205.0), (-5.0, 205.0)],
    );
    sheet
}

#[test]
fn a_door_from_wall_to_wall_closes_where_its_leaf_is_shut() {
    for layer in ["A-DOOR", "7"] {
        for pair in [false, true] {
            let mut sheet = hall();
            if pair {
                door(&mut sheet, layer, (0.0, 120.0), 18.0, false);
                door(&mut sheet, layer, (36.0, 120.0), 18.0, true);
            } else {
                // The leaf between its jambs, hung on the left one.
                door(&mut sheet, layer, (1.5, 120.0), 33.0, false);
            }
            let (plan, _) = sheet.read();
            assert_eq!(areas(&plan), [4_320.0, 2_880.0], "{layer} {pair}");
            assert_eq!(doors(&plan), [(OpeningKind::Door, 36.0)], "{layer} {pair}");
        }
    }
}

#[test]
fn arcs_that_reach_no_wall_part_no_room() {
    for (hinge, wide) in [((10.0, 120.0), 26.0), ((0.0, 120.0), 28.0), ((0.0, 120.0), 12.0)] {
        let mut sheet = hall();
        door(&mut sheet, "A-DOOR", hinge, wide, false);
        assert_eq!(areas(&sheet.read().0), [7_200.0], "{hinge:?} {wide}");
    }
    // A square room of a leaf's size with a leaf in its corner: shut it might be either way.
    let mut sheet = Sheet::default();
    for (a, b) in [
        ((-50.0, 0.0), (36.0, 0.0)),
        ((0.0, -50.0), (0.0, 36.0)),
        ((36.0, 0.0), (36.0, 36.0)),
        ((36.0, 36.0), (0.0, 36.0)),
    ] {
        sheet.line(WALL, a, b);
    }
    door(&mut sheet, "A-DOOR", (0.0, 0.0), 36.0, false);
    assert_eq!(areas(&sheet.read().0), [1_296.0]);
}

#[test]
fn a_closets_pair_of_doors_closes_its_mouth() {
    let mut sheet = Sheet::default();
    let points = [
        (0.0, 0.0),
        (200.0, 0.0),
        (200.0, 100.0),
        (130.0, 100.0),
        (130.0, 126.0),
        (70.0, 126.0),
        (70.0, 100.0),
        (0.0, 100.0),
    ];
    ring(&mut sheet, &points);
    door(&mut sheet, "A-DOOR", (70.0, 100.0), 30.0, false);
    door(&mut sheet, "A-DOOR", (130.0, 100.0), 30.0, true);
    let (plan, _) = sheet.read();
    assert_eq!(areas(&plan), [20_000.0, 1_560.0]);
    assert_eq!(doors(&plan), [(OpeningKind::Door, 60.0)]);
}

#[test]
fn a_door_through_a_wall_of_boards_on_studs_is_one_opening() {
    let mut sheet = Sheet::default();
    ring(
        &mut sheet,
        &[(0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0)],
    );
    // Studs with their jambs; the boards on both sides stop half an inch further from the opening.
    for (from, to) in [(0.0, 80.0), (110.0, 200.0)] {
        for y in [50.5, 54.0] {
            sheet.line(WALL, (from, y), (to, y));
        }
    }
    for x in [80.0, 110.0] {
        sheet.line(WALL, (x, 50.5), (x, 54.0));
    }
    for y in [50.0, 54.5] {
        sheet.line(WALL, (0.0, y), (79.5, y));
        sheet.line(WALL, (110.5, y), (200.0, y));
    }
    door(&mut sheet, "A-DOOR", (80.0, 54.5), 30.0, false);
    let (plan, _) = sheet.read();
    assert_eq!(doors(&plan).len(), 1, "{:?}", plan.openings);
}

/// Two rooms, their wall's faces on layers of walls right over the door, with jambs across or without.
#[test]
fn a_door_in_a_wall_whose_faces_run_on_is_an_opening() {
    for jambs in [true, false] {
        let mut sheet = Sheet::default();
        ring(
            &mut sheet,
            &[(0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0)],
        );
        // In pieces, so that one is as long as the leaf.
        for y in [50.0, 54.5] {
            for (from, to) in [(0.0, 80.0), (80.0, 110.0), (110.0, 200.0)] {
                sheet.line(WALL, (from, y), (to, y));
            }
        }
        for x in [80.0, 110.0].into_iter().filter(|_| jambs) {
            sheet.line(WALL, (x, 50.0), (x, 54.5));
        }
        let closed = sheet.read().0;
        assert_eq!(areas(&closed), [10_000.0, 9_100.0]);
        assert!(closed.openings.is_empty());
        door(&mut sheet, "A-DOOR", (80.0, 54.5), 30.0, false);
        let (plan, _) = sheet.read();
        assert_eq!(areas(&plan), [10_000.0, 9_100.0], "{jambs}");
        assert_eq!(doors(&plan), [(OpeningKind::Door, 30.0)], "{jambs}");
        let rooms = (plan.openings[0].left, plan.openings[0].right);
        assert!(rooms.0.is_some() && rooms.1.is_some());
    }
}
