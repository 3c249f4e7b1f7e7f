//! Rooms taken from walls.

use super::{Sheet, has_note, xy};
use crate::flatten::Prim;
use crate::plan::{OpeningKind, Plan, RoomClass, RoomId};
use crate::recognise::shape::area;

/// Two rooms, 120 by 100 and 80 by 100 inside, walls 5 in thick all round and between them, a 32 in door
/// between, a 40 in window in the left wall.
pub(super) fn two_rooms(door: bool) -> Sheet {
    let mut sheet = Sheet::default();
    let wall = |sheet: &mut Sheet, points: &[(f64, f64)]| {
        for pair in points.windows(2) {
            sheet.line("A-WALL", pair[0], pair[1]);
        }
    };
    // The outer face, with the window's gap and jambs.
    wall(
        &mut sheet,
        &[
            (-5.0, 30.0),
            (-5.0, -5.0),
            (210.0, -5.0),
            (210.0, 105.0),
            (-5.0, 105.0),
            (-5.0, 70.0),
        ],
    );
    wall(&mut sheet, &[(-5.0, 30.0), (0.0, 30.0), (0.0, 0.0), (120.0, 0.0)]);
    wall(
        &mut sheet,
        &[(-5.0, 70.0), (0.0, 70.0), (0.0, 100.0), (120.0, 100.0)],
    );
    wall(
        &mut sheet,
        &[(125.0, 0.0), (205.0, 0.0), (205.0, 100.0), (125.0, 100.0)],
    );
    if door {
        wall(
            &mut sheet,
            &[(120.0, 0.0), (120.0, 20.0), (125.0, 20.0), (125.0, 0.0)],
        );
        wall(
            &mut sheet,
            &[(120.0, 100.0), (120.0, 52.0), (125.0, 52.0), (125.0, 100.0)],
        );
    } else {
        wall(&mut sheet, &[(120.0, 0.0), (120.0, 100.0)]);
        wall(&mut sheet, &[(125.0, 0.0), (125.0, 100.0)]);
    }
    sheet
}

#[test]
fn faces_of_walls_are_rooms_with_their_doors_closed() {
    for door in [true, false] {
        let mut sheet = two_rooms(door);
        sheet.text("A-NOTE", (20.0, 80.0), "BEDROOM 2");
        sheet.text("A-NOTE", (20.0, 70.0), "10'-0\" x 8'-4\"");
        sheet.text("A-NOTE", (20.0, 60.0), "CLG 9'-0\"");
        sheet.text("A-NOTE", (140.0, 60.0), "BATH");
        sheet.text("A-NOTE", (140.0, 20.0), "9'-0\" x 8'-4\"");
        sheet.light("LT-R6", (60.0, 50.0));
        let (plan, notes) = sheet.read();
        let rooms: Vec<_> = plan
            .rooms
            .iter()
            .map(|r| (r.name.as_deref(), area(&r.outline).round(), r.ceiling, r.drawn))
            .collect();
        assert_eq!(
            rooms,
            [
                (Some("BEDROOM 2"), 12_000.0, Some(108.0), false),
                (Some("BATH"), 8_000.0, None, false)
            ]
        );
        assert!(plan.lights[0].room.is_some());
        assert!(has_note(&notes, "rooms-from-walls"));
        assert!(!has_note(&notes, "walls-open"));
        // The bath is 6'-8" wide, not 9'-0".
        let sizes: Vec<_> = notes.iter().filter(|n| n.code == "room-size").collect();
        assert!(
            sizes.len() == 1 && sizes[0].message.starts_with("BATH"),
            "{sizes:?}"
        );
    }
}

/// A wall of two leaves with one line between them, or an air space, its door with jambs or with ends left open.
#[test]
fn doors_through_walls_of_three_and_four_lines_are_closed() {
    for leaves in [&[124.5][..], &[124.0, 125.0][..]] {
        for jambs in [true, false] {
            let mut sheet = Sheet::default();
            let ring = |sheet: &mut Sheet, l: f64, b: f64, r: f64, t: f64, open: &dyn Fn(f64) -> bool| {
                let corners = [(l, b), (r, b), (r, t), (l, t)];
                for (i, &p) in corners.iter().enumerate() {
                    let q = corners[(i + 1) % 4];
                    if p.0 == q.0 && open(p.0) {
                        sheet.line("A-WALL", p, (p.0, if p.1 < q.1 { 20.0 } else { 52.0 }));
                        sheet.line("A-WALL", (p.0, if p.1 < q.1 { 52.0 } else { 20.0 }), q);
                    } else {
                        sheet.line("A-WALL", p, q);
                    }
                }
            };
            ring(&mut sheet, -5.0, -5.0, 214.0, 105.0, &|_| false);
            ring(&mut sheet, 0.0, 0.0, 120.0, 100.0, &|x| x == 120.0);
            ring(&mut sheet, 129.0, 0.0, 209.0, 100.0, &|x| x == 129.0);
            for &x in leaves {
                sheet.line("A-WALL", (x, -5.0), (x, 20.0));
                sheet.line("A-WALL", (x, 52.0), (x, 105.0));
            }
            if jambs {
                sheet.line("A-WALL", (120.0, 20.0), (129.0, 20.0));
                sheet.line("A-WALL", (120.0, 52.0), (129.0, 52.0));
            }
            sheet.text("A-NOTE", (20.0, 80.0), "KITCHEN");
            sheet.text("A-NOTE", (140.0, 60.0), "DINING");
            let (plan, notes) = sheet.read();
            let rooms: Vec<_> = (plan.rooms.iter())
                .map(|r| (r.name.as_deref(), area(&r.outline).round()))
                .collect();
            let expected = [(Some("KITCHEN"), 12_000.0), (Some("DINING"), 8_000.0)];
            assert_eq!(rooms, expected, "{leaves:?} {jambs} {notes:?}");
            assert!(!has_note(&notes, "walls-open"), "{leaves:?} {jambs} {notes:?}");
            // One opening, in the middle of the whole wall.
            assert_eq!(plan.openings.len(), 1, "{:?}", plan.openings);
            assert!(!has_note(&notes, "room-open-plan"));
        }
    }
}

/// A text of its own height of letters.
fn lettered(sheet: &mut Sheet, at: (f64, f64), letters: f64, text: &str) {
    let item = sheet.text("A-NOTE", at, text);
    if let Prim::Text { height, .. } = &mut sheet.flat.items[item].prim {
        *height = letters;
    }
}

#[test]
fn labels_of_furniture_are_no_rooms() {
    for label in ["BED", "PANTRY", "CLOSET"] {
        let mut sheet = two_rooms(false);
        lettered(&mut sheet, (30.0, 70.0), 8.0, "DEN");
        lettered(&mut sheet, (30.0, 40.0), 4.0, label);
        let (plan, notes) = sheet.read();
        assert_eq!(plan.rooms[0].name.as_deref(), Some("DEN"), "{label}");
        let told = notes.iter().find(|n| n.code == "room-labels").expect(label);
        assert!(
            told.message.starts_with(&format!("in DEN {label:?} stands")),
            "{}",
            told.message
        );
    }
    // Not even in letters as high.
    for label in [
        "BATH FAN",
        "KITCHEN ISLAND",
        "CLOSET ROD & SHELF",
        "DECK ABOVE",
        "LINE OF PORCH ABOVE",
        "LAUNDRY CHUTE",
    ] {
        let mut sheet = two_rooms(false);
        lettered(&mut sheet, (30.0, 70.0), 8.0, "DEN");
        lettered(&mut sheet, (30.0, 40.0), 8.0, label);
        let (plan, notes) = sheet.read();
        assert_eq!(plan.rooms[0].name.as_deref(), Some("DEN"), "{label}");
        assert!(!has_note(&notes, "room-labels"), "{label}");
    }
}

#[test]
fn what_stands_over_the_size_of_a_room_is_its_name_and_else_it_is_told() {
    let named = |name: &str, size: &str| {
        let mut sheet = two_rooms(false);
        sheet.text("A-NOTE", (30.0, 70.0), name);
        sheet.text("A-NOTE", (30.0, 60.0), size);
        let (plan, notes) = sheet.read();
        let told = notes
            .iter()
            .any(|n| n.code == "room-names" && n.message.contains(&format!("{name:?}")));
        (plan.rooms[0].name.clone(), told)
    };
    // A known word needs no size; OWNER'S has no foot mark.
    for name in ["OWNER'S SUITE", "BUTLER'S PANTRY", "SITTING"] {
        assert_eq!(named(name, "VERIFY"), (Some(name.to_string()), false));
    }
    assert_eq!(
        named("ORANGERY", "10'-0\" x 8'-4\""),
        (Some("ORANGERY".into()), false)
    );
    // A niche of 2 by 3 ft in it is not the room.
    for size in ["2'-0\" x 3'-0\"", "SEE ELEVATION"] {
        assert_eq!(named("ORANGERY", size), (None, true), "{size}");
    }
}

#[test]
fn an_open_plan_is_one_room_of_several_names() {
    let mut sheet = two_rooms(false);
    for (y, name) in [(80.0, "KITCHEN"), (50.0, "DINING ROOM"), (20.0, "GREAT ROOM")] {
        sheet.text("A-NOTE", (30.0, y), name);
    }
    let (plan, notes) = sheet.read();
    assert_eq!(
        plan.rooms[0].name.as_deref(),
        Some("DINING ROOM / GREAT ROOM / KITCHEN")
    );
    assert!(has_note(&notes, "room-open-plan"));
}

#[test]
fn drawn_rooms_stay_and_an_open_wall_is_no_room() {
    let mut sheet = two_rooms(true);
    sheet.path(
        "A-AREA",
        &[(0.0, 0.0), (120.0, 0.0), (120.0, 100.0), (0.0, 100.0)],
        true,
    );
    sheet.light("LT-R6", (60.0, 50.0));
    let (plan, _) = sheet.read();
    assert!(plan.rooms.len() == 1 && plan.rooms[0].drawn);

    let mut sheet = Sheet::default();
    sheet.line("A-WALL", (0.0, 0.0), (200.0, 0.0));
    sheet.line("A-WALL", (200.0, 0.0), (200.0, 100.0));
    sheet.line("A-WALL", (0.0, 0.0), (0.0, 100.0));
    let (plan, notes) = sheet.read();
    assert!(plan.rooms.is_empty());
    assert!(has_note(&notes, "walls-open"));
}

#[test]
fn lines_of_glass_in_a_window_make_no_niche() {
    let mut sheet = two_rooms(true);
    for x in [-3.5, -1.5] {
        sheet.line("A-WALL", (x, 30.0), (x, 70.0));
    }
    for y in [30.0, 70.0] {
        sheet.line("A-WALL", (-5.0, y), (0.0, y));
    }
    let (plan, _) = sheet.read();
    let rooms: Vec<_> = (plan.rooms.iter())
        .map(|r| (r.outline.len(), area(&r.outline).round()))
        .collect();
    assert_eq!(rooms, [(4, 12_000.0), (4, 8_000.0)]);
}

#[test]
fn polylines_as_wide_as_walls_have_two_faces() {
    let mut sheet = Sheet::default();
    let ring = [(-3.0, -3.0), (123.0, -3.0), (123.0, 103.0), (-3.0, 103.0)];
    sheet.wide_path("A-WALL", &ring, true, 6.0);
    // A wall between with a door's gap; its ends stand in the middle of the outer walls.
    sheet.wide_path("A-WALL", &[(60.0, -3.0), (60.0, 40.0)], false, 4.0);
    sheet.wide_path("A-WALL", &[(60.0, 72.0), (60.0, 103.0)], false, 4.0);
    let (plan, _) = sheet.read();
    let rooms: Vec<_> = (plan.rooms.iter())
        .map(|r| (r.outline.len(), area(&r.outline).round()))
        .collect();
    assert_eq!(rooms, [(4, 5_800.0), (4, 5_800.0)]);
    assert!(plan.walls.iter().any(|w| w.0.x == 62.0 && w.1.x == 62.0));
}

#[test]
fn openings_join_rooms_and_rooms_have_classes() {
    let mut sheet = two_rooms(true);
    // A door's leaf and swing on their own layer, hung on the lower end of the wall.
    sheet.line("A-DOOR", (125.0, 20.0), (157.0, 20.0));
    let swing = Prim::Arc {
        center: xy(125.0, 20.0),
        radius: 32.0,
        start: 0.0,
        sweep: std::f64::consts::FRAC_PI_2,
    };
    sheet.item("A-DOOR", "ARC", swing.clone());
    sheet.line("A-GLAZ", (-2.5, 30.0), (-2.5, 70.0));
    sheet.text("A-NOTE", (20.0, 80.0), "BEDROOM 2");
    sheet.text("A-NOTE", (140.0, 80.0), "M. BATH");
    let (plan, _) = sheet.read();
    let classes: Vec<_> = plan.rooms.iter().map(|r| r.class).collect();
    assert_eq!(classes, [Some(RoomClass::Bedroom), Some(RoomClass::Bath)]);
    let (bedroom, bath) = (Some(RoomId(0)), Some(RoomId(1)));
    let found: Vec<_> = (plan.openings.iter())
        .map(|o| (o.kind, o.from, o.to, o.width(), o.left, o.right))
        .collect();
    assert_eq!(
        found,
        [
            (
                OpeningKind::Window,
                xy(-2.5, 30.0),
                xy(-2.5, 70.0),
                40.0,
                None,
                bedroom
            ),
            (
                OpeningKind::Door,
                xy(122.5, 20.0),
                xy(122.5, 52.0),
                32.0,
                bedroom,
                bath
            ),
        ]
    );

    // Their shapes tell the same, whatever the layer is called; lines at a wall's faces are the edges of what is above.
    let mut sheet = two_rooms(true);
    sheet.line("7", (125.0, 20.0), (157.0, 20.0));
    sheet.item("7", "ARC", swing.clone());
    sheet.line("A-OPNG", (-2.5, 30.0), (-2.5, 70.0));
    let (plan, _) = sheet.read();
    let kinds = |plan: &Plan| plan.openings.iter().map(|o| o.kind).collect::<Vec<_>>();
    assert_eq!(kinds(&plan), [OpeningKind::Window, OpeningKind::Door]);
    let mut sheet = two_rooms(true);
    for x in [120.0, 125.0, 122.5] {
        sheet.line("7", (x, if x == 122.5 { 45.0 } else { 20.0 }), (x, 52.0));
    }
    let arc = |center: (f64, f64), radius: f64| Prim::Arc {
        center: xy(center.0, center.1),
        radius,
        start: 0.0,
        sweep: std::f64::consts::FRAC_PI_2,
    };
    sheet.item("7", "ARC", arc((160.0, 20.0), 32.0));
    sheet.item("7", "ARC", arc((122.5, 20.0), 6.0));
    let (plan, _) = sheet.read();
    assert_eq!(kinds(&plan), [OpeningKind::Cased; 2]);
    // Sliding panels are a window in an outer wall and a door between rooms, where a line right across parts floors.
    let mut sheet = two_rooms(true);
    sheet.line("7", (-3.0, 30.0), (-3.0, 50.0));
    sheet.line("7", (-2.0, 50.0), (-2.0, 70.0));
    sheet.line("7", (122.5, 20.0), (122.5, 52.0));
    let (plan, _) = sheet.read();
    assert_eq!(kinds(&plan), [OpeningKind::Window, OpeningKind::Cased]);
    sheet.line("7", (122.0, 20.0), (122.0, 37.0));
    sheet.line("7", (123.0, 35.0), (123.0, 52.0));
    let (plan, _) = sheet.read();
    assert_eq!(kinds(&plan), [OpeningKind::Window, OpeningKind::Door]);

    // With nothing drawn in it, and with drawn outlines of rooms, the opening is there as well.
    for drawn in [false, true] {
        let mut sheet = two_rooms(true);
        let ring = |x0: f64, x1: f64| [(x0, 0.0), (x1, 0.0), (x1, 100.0), (x0, 100.0)];
        if drawn {
            sheet.path("A-AREA", &ring(0.0, 120.0), true);
            sheet.path("A-AREA", &ring(125.0, 205.0), true);
        }
        let (plan, _) = sheet.read();
        assert!(plan.rooms.iter().all(|r| r.drawn == drawn && r.class.is_none()));
        let found: Vec<_> = (plan.openings.iter())
            .map(|o| (o.kind, o.width(), o.left, o.right))
            .collect();
        let cased = |width, left, right| (OpeningKind::Cased, width, left, right);
        assert_eq!(found, [cased(40.0, None, bedroom), cased(32.0, bedroom, bath)]);
    }
}

#[test]
fn a_stair_and_a_closet_of_two_letters_name_their_rooms_where_nothing_else_does() {
    let mut sheet = two_rooms(true);
    sheet.text("A-NOTE", (20.0, 80.0), "STAIRS UP");
    sheet.text("A-NOTE", (140.0, 80.0), "CL.");
    let (plan, _) = sheet.read();
    let names: Vec<_> = plan.rooms.iter().map(|r| (r.name.as_deref(), r.class)).collect();
    // 80 by 100 in is larger than a closet: CL. may as well be a centreline.
    assert_eq!(names, [(Some("STAIRS UP"), Some(RoomClass::Stair)), (None, None)]);

    let mut sheet = two_rooms(true);
    sheet.text("A-NOTE", (20.0, 80.0), "STAIRS");
    sheet.text("A-NOTE", (20.0, 20.0), "HALL");
    let (plan, _) = sheet.read();
    assert_eq!(plan.rooms[0].name.as_deref(), Some("HALL"));
}

#[test]
fn rooms_with_two_heights_are_asked_about() {
    let mut sheet = two_rooms(true);
    sheet.text("A-NOTE", (20.0, 80.0), "BEDROOM 2");
    sheet.text("A-NOTE", (20.0, 60.0), "CLG 8'-0\" / 10'-0\"");
    sheet.text("A-NOTE", (140.0, 60.0), "BATH");
    sheet.text("A-NOTE", (140.0, 40.0), "GWB CLG @ 9'-0\" A.F.F.");
    let (plan, notes) = sheet.read();
    let rooms: Vec<_> = (plan.rooms.iter())
        .map(|r| (r.name.as_deref(), r.ceiling))
        .collect();
    assert_eq!(rooms, [(Some("BEDROOM 2"), None), (Some("BATH"), Some(108.0))]);
    assert!(has_note(&notes, "ceiling-heights"));
}
