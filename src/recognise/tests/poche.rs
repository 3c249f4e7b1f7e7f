//! What fills walls is none of their faces.

use super::{Sheet, has_note, xy};
use crate::flatten::Prim;
use crate::recognise::shape::area;

/// Bodies of the walls of two rooms, 6 in thick, with a door 30 wide between them: low and high corners.
const BODIES: [[f64; 4]; 6] = [
    [0.0, 0.0, 6.0, 112.0],
    [6.0, 0.0, 232.0, 6.0],
    [232.0, 0.0, 238.0, 112.0],
    [6.0, 106.0, 232.0, 112.0],
    [126.0, 6.0, 132.0, 36.0],
    [126.0, 66.0, 132.0, 106.0],
];

fn house() -> Sheet {
    let mut sheet = Sheet::default();
    sheet.path(
        "A-WALL",
        &[(0.0, 0.0), (238.0, 0.0), (238.0, 112.0), (0.0, 112.0)],
        true,
    );
    let inner = [
        (6.0, 6.0),
        (126.0, 6.0),
        (126.0, 36.0),
        (132.0, 36.0),
        (132.0, 6.0),
        (232.0, 6.0),
        (232.0, 106.0),
        (132.0, 106.0),
        (132.0, 66.0),
        (126.0, 66.0),
        (126.0, 106.0),
        (6.0, 106.0),
    ];
    for (i, &p) in inner.iter().enumerate() {
        sheet.line("A-WALL", p, inner[(i + 1) % inner.len()]);
    }
    sheet.text("A-NOTE", (40.0, 50.0), "DEN");
    sheet.text("A-NOTE", (160.0, 50.0), "OFFICE");
    sheet.light("LT-R6", (60.0, 50.0));
    sheet
}

fn rooms(sheet: &Sheet) -> Vec<(Option<String>, f64)> {
    let (plan, _) = sheet.read();
    (plan.rooms.iter())
        .map(|r| (r.name.clone(), area(&r.outline).round()))
        .collect()
}

fn two_rooms() -> Vec<(Option<String>, f64)> {
    vec![
        (Some("DEN".to_string()), 12_000.0),
        (Some("OFFICE".to_string()), 10_000.0),
    ]
}

/// A body's part of the lines x - y = k.
fn slanted(body: [f64; 4], k: f64) -> Option<((f64, f64), (f64, f64))> {
    let [left, bottom, right, top] = body;
    let (low, high) = (left.max(bottom + k), right.min(top + k));
    (high - low > 1.0).then_some(((low, low - k), (high, high - k)))
}

#[test]
fn lines_of_a_pattern_between_the_faces_close_no_door() {
    for pitch in [3.0, 6.0, 12.0] {
        let mut sheet = house();
        for body in BODIES {
            for n in -60..120 {
                if let Some((a, b)) = slanted(body, f64::from(n) * pitch + 1.3) {
                    sheet.line("A-WALL", a, b);
                }
            }
        }
        assert_eq!(rooms(&sheet), two_rooms(), "{pitch}");
        let (plan, notes) = sheet.read();
        assert!(has_note(&notes, "wall-fills") && !has_note(&notes, "walls-open"));
        // They give the house no direction either.
        let axis = plan.axis.expect("walls");
        assert!((axis - xy(1.0, 0.0)).x.abs() < 1e-9, "{axis:?}");
    }
}

#[test]
fn filled_faces_in_three_corners_close_no_door() {
    let mut sheet = house();
    for [l, b, r, t] in BODIES {
        for ring in [
            vec![xy(l, b), xy(r, b), xy(r, t)],
            vec![xy(l, b), xy(r, t), xy(l, t)],
        ] {
            sheet.item("A-WALL", "SOLID", Prim::Face(ring));
        }
    }
    assert_eq!(rooms(&sheet), two_rooms());
}

/// A wall between two others that is nothing but filled is a wall, and so are the slanted sides of bays.
#[test]
fn what_no_lines_enclose_is_a_wall() {
    let mut sheet = house();
    sheet.item(
        "A-WALL",
        "SOLID",
        Prim::Face(vec![
            xy(60.0, 6.0),
            xy(64.0, 6.0),
            xy(64.0, 106.0),
            xy(60.0, 106.0),
        ]),
    );
    assert_eq!(rooms(&sheet).len(), 3);
    assert!(!has_note(&sheet.read().1, "wall-fills"));

    let mut sheet = Sheet::default();
    // Corners cut off at half a right angle, eight sides 17 in long.
    let cut = |d: f64, c: f64| {
        let (l, b, r, t) = (d, d, 240.0 - d, 180.0 - d);
        vec![
            (l + c, b),
            (r - c, b),
            (r, b + c),
            (r, t - c),
            (r - c, t),
            (l + c, t),
            (l, t - c),
            (l, b + c),
        ]
    };
    for ring in [cut(0.0, 14.0), cut(6.0, 12.0)] {
        for (i, &p) in ring.iter().enumerate() {
            sheet.line("A-WALL", p, ring[(i + 1) % ring.len()]);
        }
    }
    sheet.light("LT-R6", (60.0, 50.0));
    let (plan, notes) = sheet.read();
    assert_eq!((plan.rooms.len(), plan.walls.len()), (1, 16));
    assert!(!has_note(&notes, "wall-fills"));
}
