//! Names of rooms away from them, openings under heads, and what is written of ceilings.

use super::{Sheet, has_note};
use crate::flatten::Prim;
use crate::note::Level;
use crate::plan::{OpeningKind, Plan};
use crate::rules::{Rules, parse};

/// A kitchen of 200 by 160 in and two closets beside it, without doors.
fn closets() -> Sheet {
    let mut sheet = Sheet::default();
    for (l, b, r, t) in [
        (-4.5, -4.5, 244.5, 164.5),
        (0.0, 0.0, 200.0, 160.0),
        (204.5, 0.0, 240.0, 77.0),
        (204.5, 81.5, 240.0, 160.0),
    ] {
        for (p, q) in [
            ((l, b), (r, b)),
            ((r, b), (r, t)),
            ((r, t), (l, t)),
            ((l, t), (l, b)),
        ] {
            sheet.line("A-WALL", p, q);
        }
    }
    sheet.text("A-ANNO", (60.0, 80.0), "KITCHEN");
    sheet.light("LT-R6", (100.0, 40.0));
    sheet
}

fn names(plan: &Plan) -> Vec<Option<&str>> {
    plan.rooms.iter().map(|r| r.name.as_deref()).collect()
}

#[test]
fn a_name_outside_with_a_leader_into_a_room_is_its_name() {
    // One from outside of the house, one from the kitchen beside.
    let mut sheet = closets();
    sheet.text("A-ANNO", (290.0, 37.0), "PANTRY");
    sheet.line("A-ANNO", (222.0, 40.0), (286.0, 40.0));
    sheet.text("A-ANNO", (120.0, 120.0), "LINEN");
    sheet.line("A-ANNO", (148.0, 123.0), (222.0, 123.0));
    let (plan, notes) = sheet.read();
    assert_eq!(
        names(&plan),
        [Some("KITCHEN"), Some("PANTRY"), Some("LINEN")],
        "{notes:#?}"
    );
    assert!(!has_note(&notes, "room-open-plan") && !has_note(&notes, "room-unclosed"));
    // No line, or one that ends in a room with a name, points at nothing.
    let mut sheet = closets();
    sheet.text("A-ANNO", (290.0, 37.0), "PANTRY");
    sheet.line("A-ANNO", (150.0, 40.0), (286.0, 40.0));
    let (plan, notes) = sheet.read();
    assert_eq!(names(&plan), [Some("KITCHEN"), None, None]);
    assert!(has_note(&notes, "room-unclosed"), "{notes:#?}");
}

#[test]
fn an_opening_whose_head_closes_the_wall_is_one() {
    let mut sheet = Sheet::default();
    for (l, b, r, t) in [(-4.5, -4.5, 344.5, 164.5)] {
        for (p, q) in [
            ((l, b), (r, b)),
            ((r, b), (r, t)),
            ((r, t), (l, t)),
            ((l, t), (l, b)),
        ] {
            sheet.line("A-WALL", p, q);
        }
    }
    let points = [
        (200.0, 44.0),
        (200.0, 0.0),
        (0.0, 0.0),
        (0.0, 160.0),
        (200.0, 160.0),
        (200.0, 116.0),
        (204.5, 116.0),
        (204.5, 160.0),
        (340.0, 160.0),
        (340.0, 0.0),
        (204.5, 0.0),
        (204.5, 44.0),
        (200.0, 44.0),
    ];
    for pair in points.windows(2) {
        sheet.line("A-WALL", pair[0], pair[1]);
    }
    for x in [200.0, 204.5] {
        sheet.line("A-WALL-HEAD", (x, 44.0), (x, 116.0));
    }
    sheet.text("A-ANNO", (60.0, 80.0), "FAMILY");
    sheet.text("A-ANNO", (250.0, 80.0), "NOOK");
    sheet.light("LT-R6", (100.0, 40.0));
    let (plan, notes) = sheet.read();
    assert_eq!(names(&plan), [Some("FAMILY"), Some("NOOK")], "{notes:#?}");
    assert_eq!(plan.openings.len(), 1);
    let opening = &plan.openings[0];
    assert_eq!(opening.kind, OpeningKind::Cased);
    assert!(
        (opening.from.y - 44.0).abs() < 0.01 && (opening.to.y - 116.0).abs() < 0.01,
        "{opening:?}"
    );
    assert!(opening.left.is_some() && opening.right.is_some());
}

#[test]
fn words_of_ceilings_that_are_not_level_are_told_of() {
    for (text, told) in [
        ("10' VAULT", true),
        ("TRAY 9'/10'", true),
        ("STEPPED CLG 9'/10'", false),
        ("CLG 9'-0\"", false),
        ("VAULT", false),
    ] {
        let mut sheet = closets();
        sheet.text("A-ANNO", (60.0, 60.0), text);
        let (plan, notes) = sheet.read();
        assert_eq!(has_note(&notes, "ceiling-shape"), told, "{text} {notes:#?}");
        assert_eq!(plan.rooms[0].ceiling.is_some(), text == "CLG 9'-0\"", "{text}");
    }
}

#[test]
fn short_texts_as_high_as_names_are_asked_about() {
    let mut sheet = closets();
    sheet.text("A-ANNO", (215.0, 40.0), "XYZ");
    let (_, notes) = sheet.read();
    let told = notes.iter().find(|n| n.code == "room-names").expect("asked");
    assert!(told.message.contains("\"XYZ\""), "{}", told.message);
}

#[test]
fn beds_and_linen_cabinets_in_a_room_are_no_rooms() {
    for (name, other) in [
        ("BEDROOM 2", "QUEEN BED"),
        ("BEDROOM 2", "KING"),
        ("MASTER BATH", "LINEN"),
    ] {
        let mut sheet = closets();
        for item in &mut sheet.flat.items {
            if let Prim::Text { text, .. } = &mut item.prim {
                *text = name.into();
            }
        }
        sheet.text("A-ANNO", (60.0, 140.0), other);
        sheet.text("A-ANNO", (207.0, 120.0), "LINEN");
        let (plan, notes) = sheet.read();
        assert_eq!(names(&plan), [Some(name), None, Some("LINEN")], "{notes:#?}");
        assert!(!has_note(&notes, "room-open-plan"), "{notes:#?}");
        assert_eq!(has_note(&notes, "room-labels"), other == "LINEN");
    }
}

#[test]
fn a_bed_that_the_name_of_its_room_is_written_on_is_no_room() {
    let mut sheet = closets();
    // The kitchen's name stands at (60, 80): a bed with pillows about it, drawn on the walls' layer.
    let bed = [(50.0, 60.0), (110.0, 60.0), (110.0, 140.0), (50.0, 140.0)];
    sheet.path("A-WALL", &bed, true);
    sheet.line("A-WALL", (50.0, 120.0), (110.0, 120.0));
    let (plan, notes) = sheet.read();
    assert_eq!(names(&plan), [Some("KITCHEN"), None, None], "{notes:#?}");
    assert!(crate::recognise::shape::area(&plan.rooms[0].outline).abs() > 30_000.0);
    // Where the room around has a name of its own, what is amid it and has one is a room.
    sheet.text("A-ANNO", (140.0, 30.0), "PANTRY");
    let (plan, _) = sheet.read();
    assert_eq!(plan.rooms.iter().filter(|r| r.name.is_some()).count(), 2);
}

#[test]
fn a_size_that_is_far_off_the_rooms_is_a_warning() {
    for (size, level) in [
        ("15'-8\" x 13'-0\"", Level::Info),
        ("8'-0\" x 6'-0\"", Level::Warning),
    ] {
        let mut sheet = closets();
        sheet.text("A-ANNO", (60.0, 68.0), size);
        let (_, notes) = sheet.read();
        let told = notes.iter().find(|n| n.code == "room-size").unwrap();
        assert_eq!(told.level, level, "{told:?}");
    }
}

#[test]
fn initials_name_an_outlined_room_as_a_text_and_as_an_attribute() {
    for tagged in [false, true] {
        let mut sheet = Sheet::default();
        sheet.path(
            "A-AREA",
            &[(0.0, 0.0), (90.0, 0.0), (90.0, 80.0), (0.0, 80.0)],
            true,
        );
        match tagged {
            true => {
                let tag = sheet.insert("A-ANNO", "ROOMTAG", (40.0, 40.0));
                sheet.attrib(tag, "ROOM_NAME", "W.I.C.");
            }
            false => {
                sheet.text("A-ANNO", (30.0, 40.0), "W.I.C.");
            }
        }
        let (plan, notes) = sheet.read();
        assert_eq!(names(&plan), [Some("W.I.C.")], "{tagged} {notes:#?}");
        assert_eq!(plan.rooms[0].class, Some(crate::plan::RoomClass::Closet));
    }
}

/// A hall that opens to a room between a nib and its own wall: one room, with the name of which the words are known.
#[test]
fn a_second_text_as_large_as_a_name_is_told_of() {
    for (text, height, told) in [
        ("ALCOVA", 6.0, true),
        ("LANDING", 6.0, true),
        ("ALCOVA", 3.0, false),
        ("9'-0\" CLG", 6.0, false),
        ("1", 6.0, false),
    ] {
        let mut sheet = Sheet::default();
        let ring = [(0.0, 0.0), (340.0, 0.0), (340.0, 160.0), (0.0, 160.0), (0.0, 0.0)];
        let out = [
            (-4.5, -4.5),
            (344.5, -4.5),
            (344.5, 164.5),
            (-4.5, 164.5),
            (-4.5, -4.5),
        ];
        for pair in ring.windows(2).chain(out.windows(2)) {
            sheet.line("A-WALL", pair[0], pair[1]);
        }
        sheet.text("A-ANNO", (240.0, 80.0), "LIVING ROOM");
        let second = sheet.text("A-ANNO", (60.0, 80.0), text);
        for (n, high) in [(second - 1, 6.0), (second, height)] {
            if let Prim::Text { height, .. } = &mut sheet.flat.items[n].prim {
                *height = high;
            }
        }
        sheet.light("LT-R6", (100.0, 40.0));
        let (plan, notes) = sheet.read();
        assert_eq!(names(&plan), [Some("LIVING ROOM")], "{notes:#?}");
        assert_eq!(
            has_note(&notes, "room-texts"),
            told,
            "{text} {height}: {notes:#?}"
        );
    }
}

/// Three rooms in a row whose walls, framing and names are in words that nobody knows; a text beside each name where `twice`.
fn in_no_known_tongue(texts: [&str; 3], twice: bool) -> Sheet {
    let mut sheet = Sheet::default();
    for (k, text) in texts.into_iter().enumerate() {
        let left = 184.5 * k as f64;
        for (l, b, r, t) in [(left, 0.0, left + 180.0, 144.0)] {
            for (p, q) in [
                ((l, b), (r, b)),
                ((r, b), (r, t)),
                ((r, t), (l, t)),
                ((l, t), (l, b)),
            ] {
                sheet.line("ZIDU", p, q);
            }
        }
        sheet.text("IMENA", (left + 60.0, 100.0), text);
        if twice {
            sheet.text("IMENA", (left + 60.0, 30.0), ["STOLIK", "LAMPIN", "SKAMNO"][k]);
        }
        for x in [45.0, 135.0] {
            sheet.light("LT-R6", (left + x, 60.0));
        }
        for m in 0..11 {
            sheet.upright("GREDICE", left + 10.0 + 16.0 * f64::from(m), 1.5, (-2.0, 146.0));
        }
    }
    let (l, b, r, t) = (-4.5, -4.5, 553.5, 148.5);
    for (p, q) in [
        ((l, b), (r, b)),
        ((r, b), (r, t)),
        ((r, t), (l, t)),
        ((l, t), (l, b)),
    ] {
        sheet.line("ZIDU", p, q);
    }
    sheet
}

#[test]
fn names_in_words_that_nobody_knows_are_told_by_how_they_are_set() {
    let (plan, notes) = in_no_known_tongue(["KUVARNA", "SPAVNA", "DNEVNA"], false).read_by(&Rules::default());
    assert_eq!(
        names(&plan),
        [Some("KUVARNA"), Some("SPAVNA"), Some("DNEVNA")],
        "{notes:#?}"
    );
    assert!(plan.rooms.iter().all(|r| r.class.is_none()));
    assert_eq!((plan.members.len(), plan.lights.len()), (33, 6), "{notes:#?}");
    let told = notes.iter().find(|n| n.code == "room-names").expect("told");
    assert!(
        told.message.contains("\"KUVARNA\"") && told.message.contains("layer IMENA"),
        "{told:?}"
    );
    // With another text of the same kind in each room none of them is sure to be the name.
    let (plan, notes) = in_no_known_tongue(["KUVARNA", "SPAVNA", "DNEVNA"], true).read_by(&Rules::default());
    assert!(names(&plan).iter().all(Option::is_none), "{notes:#?}");
    // Numbers, each one's own.
    let (plan, notes) = in_no_known_tongue(["101", "102", "103A"], false).read_by(&Rules::default());
    assert_eq!(
        names(&plan),
        [Some("101"), Some("102"), Some("103A")],
        "{notes:#?}"
    );
    // Without any names the walls are asked about, with the line that takes them.
    let (plan, notes) = in_no_known_tongue(["-", "-", "-"], false).read_by(&Rules::default());
    assert!(plan.rooms.is_empty());
    let walls =
        |n: &&crate::note::Note| n.code == "evidence-asks" && n.message.contains("layer ZIDU may be walls");
    let asked = notes.iter().find(walls).unwrap_or_else(|| panic!("{notes:#?}"));
    assert!(
        asked.message.contains("walls = { more_layers = [\"ZIDU\"] }"),
        "{asked:?}"
    );
    // Labels that repeat are none.
    let (plan, _) = in_no_known_tongue(["UTIK", "UTIK", "UTIK"], false).read_by(&Rules::default());
    assert!(plan.rooms.is_empty());
    // One unknown among known ones.
    let walls = parse("[read]\nwalls = { more_layers = [\"ZIDU\"] }\n", None).unwrap();
    let (plan, _) = in_no_known_tongue(["KITCHEN", "ALCOVA", "BEDROOM"], false).read_by(&walls);
    assert_eq!(names(&plan), [Some("KITCHEN"), Some("ALCOVA"), Some("BEDROOM")]);
}
