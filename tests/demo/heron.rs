//! The Heron: joists 16 in on centre, a hall row of 13.
//!
//! Planted: the hall's seventh light 3/8 in off line; a joist left out in the great room (a wide
//! bay, its trimmers doubled); a bedroom light on a joist.

use crate::house::House;

pub fn house() -> House {
    let mut h = House::default();
    h.outside_wall((0.0, 0.0), (640.0, 408.0));
    h.room(
        "HALL",
        (0.0, 180.0),
        (640.0, 228.0),
        &[
            ('s', 60.0, 32.0),
            ('s', 200.0, 32.0),
            ('s', 345.0, 30.0),
            ('s', 500.0, 34.0),
            ('n', 110.0, 60.0),
            ('n', 330.0, 36.0),
            ('n', 520.0, 36.0),
        ],
    );
    h.room(
        "GREAT ROOM",
        (0.0, 228.0),
        (252.0, 408.0),
        &[('s', 110.0, 60.0), ('n', 80.0, 96.0)],
    );
    h.room(
        "KITCHEN",
        (252.0, 228.0),
        (444.0, 408.0),
        &[('s', 330.0, 36.0), ('n', 318.0, 60.0)],
    );
    h.room(
        "DINING",
        (444.0, 228.0),
        (640.0, 408.0),
        &[('s', 520.0, 36.0), ('e', 280.0, 72.0)],
    );
    h.room(
        "BEDROOM 2",
        (0.0, 0.0),
        (156.0, 180.0),
        &[('n', 60.0, 32.0), ('s', 48.0, 60.0)],
    );
    h.room(
        "BEDROOM 3",
        (156.0, 0.0),
        (312.0, 180.0),
        &[('n', 200.0, 32.0), ('s', 204.0, 60.0)],
    );
    h.room("BATH", (312.0, 0.0), (408.0, 180.0), &[('n', 345.0, 30.0)]);
    h.room(
        "PRIMARY BEDROOM",
        (408.0, 0.0),
        (640.0, 180.0),
        &[('n', 500.0, 34.0), ('e', 50.0, 72.0)],
    );
    h.door((60.0, 177.75), 32.0, 270.0);
    h.door((200.0, 177.75), 32.0, 270.0);
    h.door((345.0, 177.75), 30.0, 270.0);
    h.door((500.0, 177.75), 34.0, 270.0);

    for k in 0..40 {
        let x = 6.0 + 16.0 * f64::from(k);
        h.member_y("S-JOIS", x, 0.0, 228.0, 1.5);
        // One joist of the north span is left out for a skylight shaft.
        if x != 166.0 {
            h.member_y("S-JOIS", x, 228.0, 408.0, 1.5);
        }
    }
    // Its neighbours are doubled, on the side away from the shaft.
    h.member_y("S-JOIS", 148.5, 228.0, 408.0, 1.5);
    h.member_y("S-JOIS", 183.5, 228.0, 408.0, 1.5);

    h.grid("R6", (30.0, 204.0), (13, 1), (48.0, 0.0));
    h.grid("R6", (30.0, 264.0), (4, 3), (64.0, 54.0));
    h.grid("R6", (286.0, 282.0), (3, 2), (64.0, 66.0));
    h.grid("R6", (478.0, 282.0), (3, 2), (64.0, 66.0));
    h.grid("R6", (30.0, 54.0), (3, 2), (48.0, 66.0));
    h.grid("R6", (190.0, 54.0), (3, 2), (48.0, 66.0));
    h.grid("R6", (430.0, 54.0), (4, 2), (64.0, 66.0));
    h.grid("R4", (350.0, 90.0), (2, 1), (32.0, 0.0));

    h.nudge((318.0, 204.0), (0.0, 0.375));
    h.nudge((238.0, 54.0), (8.0, 0.0));

    h.furniture((314.0, 290.0), (386.0, 326.0));
    h.furniture((480.0, 300.0), (590.0, 340.0));
    h.circle("A-FURN", (60.0, 350.0), 22.0);
    h
}
