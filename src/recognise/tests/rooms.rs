//! Rooms, walls, devices and the plan's axis.

use proptest::prelude::*;

use super::{Sheet, has_note, rules, xy};
use crate::flatten::{PathVertex, Prim};
use crate::plan::notation::parse;
use crate::plan::{Room, RoomId};
use crate::recognise::shape::area;
use crate::recognise::{RoomsByPlace, room_of};
use crate::rules::RoomRule;

type Corners = [(f64, f64); 4];

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Rooms in rooms, over each other, alike; points in them, on their edges and outside.
    #[test]
    fn the_room_of_a_point_is_the_same_for_one_and_for_many(
        boxes in prop::collection::vec((0..10_u8, 0..10_u8, 1..6_u8, 1..6_u8), 0..6),
        points in prop::collection::vec((0..32_u8, 0..32_u8), 20),
    ) {
        let rooms: Vec<Room> = (boxes.into_iter())
            .map(|(x, y, w, h)| box_at(x.into(), y.into(), w.into(), h.into()))
            .map(|corners| Room { outline: corners.map(|(x, y)| xy(x, y)).to_vec(), ..nameless() })
            .collect();
        let many = RoomsByPlace::new(&rooms);
        for (x, y) in points {
            let p = xy(f64::from(x) / 2.0, f64::from(y) / 2.0);
            prop_assert_eq!(many.of(&rooms, p), room_of(&rooms, p));
        }
    }
}

fn nameless() -> Room {
    parse("room (0,0) (1,0) (1,1)").expect("a room").rooms.remove(0)
}

fn box_at(x: f64, y: f64, w: f64, h: f64) -> Corners {
    [(x, y), (x, y + h), (x + w, y + h), (x + w, y)]
}

#[test]
fn closed_outlines_are_rooms_counter_clockwise() {
    let mut sheet = Sheet::default();
    sheet.path("A-AREA", &box_at(0.0, 0.0, 160.0, 120.0), true);
    // Its end comes within an inch of its start.
    sheet.path(
        "A-AREA",
        &[
            (200.0, 0.0),
            (360.0, 0.0),
            (360.0, 120.0),
            (200.0, 120.0),
            (200.0, 0.5),
        ],
        false,
    );
    sheet.path("A-AREA", &[(0.0, 500.0), (100.0, 500.0), (100.0, 600.0)], false);
    let (plan, notes) = sheet.read();
    assert_eq!(plan.rooms.len(), 2);
    for room in &plan.rooms {
        assert_eq!(room.outline.len(), 4);
        assert!((area(&room.outline) - 160.0 * 120.0).abs() < 100.0);
        assert_eq!(room.axis, xy(1.0, 0.0));
        assert!(!room.hall);
    }
    assert!(has_note(&notes, "room-open"));
}

#[test]
fn texts_name_the_smallest_room_around_them_and_sizes_do_not() {
    let mut sheet = Sheet::default();
    sheet.path("A-AREA", &box_at(0.0, 0.0, 400.0, 300.0), true);
    sheet.path("A-AREA", &box_at(10.0, 10.0, 60.0, 60.0), true);
    sheet.text("A-ANNO", (20.0, 20.0), "13'8 x 14'");
    sheet.text("A-ANNO", (20.0, 30.0), "CLOSET");
    sheet.text("A-ANNO", (200.0, 200.0), "SEE DETAIL");
    sheet.text("A-AREA-IDEN", (200.0, 210.0), "GREAT ROOM\n17' x 17'8");
    sheet.text("A-ANNO", (900.0, 900.0), "OUTSIDE");
    let (plan, _) = sheet.read();
    let names: Vec<_> = plan.rooms.iter().map(|r| r.name.as_deref()).collect();
    assert_eq!(names, [Some("GREAT ROOM"), Some("CLOSET")]);
}

#[test]
fn halls_by_shape_by_name_and_by_rule() {
    let mut sheet = Sheet::default();
    for (k, (w, name)) in [
        (144.0, "GALLERY"),
        (143.0, "NOOK"),
        (60.0, "HALL 2"),
        (60.0, "SHALLOW"),
        (150.0, "PANTRY"),
    ]
    .into_iter()
    .enumerate()
    {
        let y = 100.0 * k as f64;
        sheet.path("A-AREA", &box_at(0.0, y, w, 48.0), true);
        sheet.text("A-AREA", (5.0, y + 5.0), name);
    }
    let mut rules = rules();
    rules.rooms.push(RoomRule {
        name: "pantry".into(),
        ceiling: Some(96.0),
        insulated: Some(true),
        hall: Some(false),
    });
    let (plan, _) = sheet.read_by(&rules);
    let halls: Vec<bool> = plan.rooms.iter().map(|r| r.hall).collect();
    // 144 is three times 48; 143 is not.
    assert_eq!(halls, [true, false, true, false, false]);
    assert_eq!(
        (plan.rooms[4].ceiling, plan.rooms[4].insulated),
        (Some(96.0), true)
    );
}

#[test]
fn arcs_of_an_outline_become_chords() {
    // Two runs of bulge 1 are a circle of radius 60; flattened by hand, not as a circle.
    let vertices = [(-60.0, 1.0), (60.0, 0.99999)]
        .map(|(x, bulge)| PathVertex {
            at: xy(x, 0.0),
            bulge,
            start_width: 0.0,
            end_width: 0.0,
        })
        .to_vec();
    let mut sheet = Sheet::default();
    sheet.item(
        "A-AREA",
        "LWPOLYLINE",
        Prim::Path {
            vertices,
            closed: true,
        },
    );
    let (plan, _) = sheet.read();
    let expected = std::f64::consts::PI * 60.0 * 60.0;
    assert!((area(&plan.rooms[0].outline) - expected).abs() < 0.01 * expected);
}

#[test]
fn a_light_knows_the_smallest_room_it_stands_in() {
    let mut sheet = Sheet::default();
    sheet.path("A-AREA", &box_at(0.0, 0.0, 400.0, 300.0), true);
    sheet.path("A-AREA", &box_at(10.0, 10.0, 60.0, 60.0), true);
    sheet.light("LT-R6", (30.0, 30.0));
    sheet.light("LT-R6", (300.0, 30.0));
    sheet.light("LT-R6", (900.0, 30.0));
    let (plan, _) = sheet.read();
    let rooms: Vec<_> = plan.lights.iter().map(|l| l.room).collect();
    assert_eq!(rooms, [Some(RoomId(1)), Some(RoomId(0)), None]);
}

#[test]
fn the_axis_is_the_direction_of_most_wall_length_modulo_a_quarter() {
    let mut sheet = Sheet::default();
    // 17° and 107° together outweigh one longer wall at 40°.
    for (degrees, length) in [(17.0_f64, 90.0), (107.0, 80.0), (40.0, 120.0)] {
        let (s, c) = degrees.to_radians().sin_cos();
        sheet.line("A-WALL", (0.0, 0.0), (length * c, length * s));
    }
    let (plan, _) = sheet.read();
    let axis = plan.axis.expect("walls tell an axis");
    assert!(
        (axis.y.atan2(axis.x).to_degrees() - 17.0).abs() < 1e-9,
        "{axis:?}"
    );
    assert_eq!(plan.walls.len(), 3);
    // Walls at 45° sit on the wrap of (-45°, 45°].
    let mut sheet = Sheet::default();
    sheet.line("A-WALL", (0.0, 0.0), (100.0, 100.0));
    sheet.line("A-WALL", (0.0, 0.0), (-100.0, 100.0000001));
    let (plan, _) = sheet.read();
    let axis = plan.axis.expect("walls tell an axis");
    assert!(
        (axis.y.atan2(axis.x).to_degrees().abs() - 45.0).abs() < 1e-4,
        "{axis:?}"
    );
}

#[test]
fn devices_are_obstacles() {
    let mut sheet = Sheet::default();
    let diffuser = sheet.insert("M-HVAC-CDFF", "DIFFUSER-12", (0.0, 0.0));
    let outline = sheet.path("0", &box_at(0.0, 0.0, 12.0, 12.0), true);
    sheet.put(outline, diffuser);
    let (plan, _) = sheet.read();
    assert_eq!(plan.obstacles.len(), 1);
    assert_eq!(plan.obstacles[0].name, "DIFFUSER-12");
    assert!((area(&plan.obstacles[0].outline) - 144.0).abs() < 1e-9);
}

#[test]
fn what_no_class_takes_is_listed_and_drawn() {
    let mut sheet = Sheet::default();
    sheet.line("A-DOOR", (0.0, 0.0), (30.0, 0.0));
    sheet.line("A-DOOR", (0.0, 0.0), (0.0, 30.0));
    sheet.circle("A-DOOR", (0.0, 0.0), 30.0);
    sheet.text("A-NOTE", (0.0, 0.0), "SLOPE");
    sheet.item("A-PATT", "HATCH", Prim::Opaque);
    sheet.flat.entities += 2;
    sheet.flat.dropped += 2;
    let (plan, _) = sheet.read();
    let listed: Vec<_> = plan
        .unclaimed
        .iter()
        .map(|u| (u.layer.as_str(), u.entity.as_str(), u.count))
        .collect();
    assert_eq!(
        listed,
        [
            ("A-DOOR", "CIRCLE", 1),
            ("A-DOOR", "LINE", 2),
            ("A-NOTE", "TEXT", 1),
            ("A-PATT", "HATCH", 1)
        ]
    );
    assert_eq!(plan.counts.dropped, 2);
    assert_eq!(plan.linework.len(), 4);
}
