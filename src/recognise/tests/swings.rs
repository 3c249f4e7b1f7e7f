//! Doors' swings, and what is none.

use super::wall_rooms::two_rooms;
use super::{Sheet, has_note, xy};
use crate::flatten::Prim;
use crate::plan::OpeningKind;
use crate::recognise::shape::area;

/// A room of 120 by 100, its lower right corner rounded to 36 in, the faces 6 in apart as arcs; or the inner face alone.
fn rounded(both: bool) -> Sheet {
    let mut sheet = Sheet::default();
    let arc = |sheet: &mut Sheet, radius: f64| {
        let center = xy(84.0, 36.0);
        let (start, sweep) = (-std::f64::consts::FRAC_PI_2, std::f64::consts::FRAC_PI_2);
        sheet.item(
            "A-WALL",
            "ARC",
            Prim::Arc {
                center,
                radius,
                start,
                sweep,
            },
        );
    };
    for out in if both { &[0.0, 6.0][..] } else { &[0.0] } {
        let corners = [
            (120.0 + out, 36.0),
            (120.0 + out, 100.0 + out),
            (-out, 100.0 + out),
            (-out, -out),
            (84.0, -out),
        ];
        for pair in corners.windows(2) {
            sheet.line("A-WALL", pair[0], pair[1]);
        }
        arc(&mut sheet, 36.0 + out);
    }
    sheet.light("LT-R6", (60.0, 50.0));
    sheet
}

#[test]
fn rounded_walls_of_a_doors_size_are_no_swings() {
    for both in [true, false] {
        let (plan, notes) = rounded(both).read();
        assert_eq!(plan.rooms.len(), 1, "{both} {notes:?}");
        assert!(plan.openings.is_empty(), "{:?}", plan.openings);
        // What a square corner has more than a rounded one: (1 − π/4) r² (derived), chords aside.
        let want = 12_000.0 - (1.0 - std::f64::consts::FRAC_PI_4) * 36.0 * 36.0;
        let got = area(&plan.rooms[0].outline);
        assert!((got - want).abs() < 5.0, "{got} {want}");
    }
}

#[test]
fn a_swing_that_is_hinged_elsewhere_is_another_openings() {
    for (hinge, kind) in [
        ((122.5, 20.0), OpeningKind::Door),
        ((110.0, 70.0), OpeningKind::Cased),
    ] {
        let mut sheet = two_rooms(true);
        sheet.light("LT-R6", (60.0, 50.0));
        let center = xy(hinge.0, hinge.1);
        sheet.item(
            "A-DOOR",
            "ARC",
            Prim::Arc {
                center,
                radius: 32.0,
                start: -std::f64::consts::FRAC_PI_2,
                sweep: std::f64::consts::PI,
            },
        );
        let (plan, _) = sheet.read();
        let between = plan
            .openings
            .iter()
            .find(|o| o.left.is_some() && o.right.is_some());
        assert_eq!(between.map(|o| o.kind), Some(kind), "{hinge:?}");
    }
}

/// A wall beside a door that is as long as the door is wide, from the hinge to the corner, is no leaf.
#[test]
fn a_wall_as_long_as_the_door_beside_it_is_a_wall() {
    for layer in ["A-DOOR", "A-WALL"] {
        let mut sheet = Sheet::default();
        sheet.path(
            "A-WALL",
            &[(-6.0, -6.0), (236.0, -6.0), (236.0, 106.0), (-6.0, 106.0)],
            true,
        );
        for ring in [
            [
                (0.0, 0.0),
                (126.0, 0.0),
                (126.0, 30.0),
                (130.0, 30.0),
                (130.0, 0.0),
            ]
            .as_slice(),
            &[
                (130.0, 0.0),
                (230.0, 0.0),
                (230.0, 100.0),
                (130.0, 100.0),
                (130.0, 60.0),
            ],
            &[
                (130.0, 60.0),
                (126.0, 60.0),
                (126.0, 100.0),
                (0.0, 100.0),
                (0.0, 0.0),
            ],
        ] {
            for pair in ring.windows(2) {
                sheet.line("A-WALL", pair[0], pair[1]);
            }
        }
        sheet.line(layer, (130.0, 30.0), (160.0, 30.0));
        sheet.item(
            layer,
            "ARC",
            Prim::Arc {
                center: xy(130.0, 30.0),
                radius: 30.0,
                start: 0.0,
                sweep: std::f64::consts::FRAC_PI_2,
            },
        );
        sheet.text("A-NOTE", (20.0, 60.0), "DEN");
        sheet.text("A-NOTE", (180.0, 80.0), "OFFICE");
        sheet.light("LT-R6", (60.0, 50.0));
        let (plan, notes) = sheet.read();
        let rooms: Vec<_> = (plan.rooms.iter())
            .map(|r| (r.name.as_deref(), area(&r.outline).round()))
            .collect();
        assert_eq!(
            rooms,
            [(Some("DEN"), 12_600.0), (Some("OFFICE"), 10_000.0)],
            "{layer}"
        );
        assert!(!has_note(&notes, "walls-open"), "{notes:?}");
        assert_eq!(plan.openings.len(), 1);
    }
}

/// Leaves on the layer of walls: a line, a polyline of one run, an outline.
#[test]
fn leaves_of_any_form_on_the_layer_of_walls_are_no_walls() {
    let leaf: [&dyn Fn(&mut Sheet); 4] = [
        &|s| {
            s.line("A-WALL", (125.0, 20.0), (157.0, 20.0));
        },
        &|s| {
            s.path("A-WALL", &[(157.0, 20.0), (125.0, 20.0)], false);
        },
        &|s| {
            s.path(
                "A-WALL",
                &[(125.0, 20.0), (157.0, 20.0), (157.0, 18.25), (125.0, 18.25)],
                true,
            );
        },
        &|_| {},
    ];
    for (n, draw) in leaf.iter().enumerate() {
        let mut sheet = two_rooms(true);
        draw(&mut sheet);
        sheet.item(
            "A-WALL",
            "ARC",
            Prim::Arc {
                center: xy(125.0, 20.0),
                radius: 32.0,
                start: 0.0,
                sweep: std::f64::consts::FRAC_PI_2,
            },
        );
        sheet.text("A-NOTE", (20.0, 60.0), "DEN");
        sheet.text("A-NOTE", (170.0, 80.0), "OFFICE");
        let (plan, notes) = sheet.read();
        let areas: Vec<f64> = plan.rooms.iter().map(|r| area(&r.outline).round()).collect();
        assert_eq!(areas, [12_000.0, 8_000.0], "{n} {notes:?}");
        assert_eq!(
            plan.openings
                .iter()
                .filter(|o| o.kind == OpeningKind::Door)
                .count(),
            1,
            "{n}"
        );
    }
}
