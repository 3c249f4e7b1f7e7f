//! Rooms named by blocks with attributes.

use super::Sheet;

/// Two rooms of closed outlines or of walls with a tag each: name, number, ceiling.
fn tagged(
    drawn: bool,
    layer: &str,
    block: &str,
    attribs: [[(&str, &str); 3]; 2],
) -> Vec<(Option<String>, Option<f64>)> {
    let mut sheet = Sheet::default();
    for (k, attribs) in attribs.iter().enumerate() {
        let x = 150.0 * k as f64;
        let ring = [(x, 0.0), (x + 120.0, 0.0), (x + 120.0, 100.0), (x, 100.0)];
        if drawn {
            sheet.path("A-AREA", &ring, true);
        } else {
            sheet.path("A-WALL", &ring, true);
            let outer = [
                (x - 5.0, -5.0),
                (x + 125.0, -5.0),
                (x + 125.0, 105.0),
                (x - 5.0, 105.0),
            ];
            sheet.path("A-WALL", &outer, true);
        }
        sheet.light("LT-R6", (x + 60.0, 50.0));
        let tag = sheet.insert(layer, block, (x + 40.0, 20.0));
        let frame = sheet.path(
            layer,
            &[
                (x + 40.0, 20.0),
                (x + 80.0, 20.0),
                (x + 80.0, 40.0),
                (x + 40.0, 40.0),
            ],
            true,
        );
        sheet.put(frame, tag);
        attribs
            .iter()
            .for_each(|(name, text)| sheet.attrib(tag, name, text));
    }
    let (plan, _) = sheet.read();
    assert!(plan.lights.iter().all(|l| l.room.is_some()));
    (plan.rooms.iter()).map(|r| (r.name.clone(), r.ceiling)).collect()
}

#[test]
fn attributes_name_rooms_and_give_their_ceilings() {
    for drawn in [true, false] {
        for layer in ["A-ANNO", "A-AREA-IDEN", "0"] {
            let rooms = tagged(
                drawn,
                layer,
                "ROOM TAG",
                [
                    [("NO", "101"), ("NAME", "OWNER'S RETREAT"), ("CLG", "9'-0\"")],
                    [("NO", "102"), ("NAME", "KITCHEN"), ("CLG", "+8'-0\" A.F.F.")],
                ],
            );
            let named = |name: &str, inches: f64| (Some(name.to_string()), Some(inches));
            assert_eq!(
                rooms,
                [named("OWNER'S RETREAT", 108.0), named("KITCHEN", 96.0)],
                "{drawn} {layer}"
            );
        }
    }
}

#[test]
fn attributes_of_other_things_name_no_room() {
    for drawn in [true, false] {
        let rooms = tagged(
            drawn,
            "A-ANNO",
            "DT",
            [
                [
                    ("NAME", "ENTRANCE DOOR 3068"),
                    ("HEIGHT", "8'-0\""),
                    ("NO", "101"),
                ],
                [("MARK", "W1"), ("HEIGHT", "5'-0\""), ("QTY", "1")],
            ],
        );
        assert_eq!(rooms, [(None, None), (None, None)], "{drawn}");
    }
}

#[test]
fn a_name_in_two_attributes_is_one() {
    let rooms = tagged(
        false,
        "A-ANNO",
        "RT",
        [
            [
                ("ROOM_NAME_2", "BEDROOM"),
                ("ROOM_NAME_1", "MASTER"),
                ("ROOM_NO", "1"),
            ],
            [("ROOM", "102"), ("X", "LAUNDRY"), ("CEILING_HT", "2700")],
        ],
    );
    assert_eq!(rooms[0].0.as_deref(), Some("MASTER BEDROOM"));
    assert_eq!(rooms[1].0.as_deref(), Some("LAUNDRY"));
}
