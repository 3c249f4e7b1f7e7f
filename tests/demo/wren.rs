//! The Wren: trusses 24 in on centre along x, a hall row along its bay.
//!
//! Planted: a truss left out over the living room (a wide bay), a doubled truss, a beam beside a
//! kitchen row, a bedroom row that runs askew.

use crate::house::House;

pub fn house() -> House {
    let mut h = House::default();
    h.outside_wall((0.0, 0.0), (480.0, 336.0));
    h.room(
        "LIVING",
        (0.0, 0.0),
        (288.0, 192.0),
        &[('n', 120.0, 60.0), ('s', 96.0, 96.0)],
    );
    h.room(
        "KITCHEN",
        (288.0, 0.0),
        (480.0, 192.0),
        &[('n', 350.0, 48.0), ('e', 60.0, 72.0)],
    );
    h.room(
        "HALL",
        (0.0, 192.0),
        (480.0, 240.0),
        &[
            ('s', 120.0, 60.0),
            ('s', 350.0, 48.0),
            ('n', 100.0, 32.0),
            ('n', 340.0, 32.0),
        ],
    );
    h.room(
        "BEDROOM A",
        (0.0, 240.0),
        (240.0, 336.0),
        &[('s', 100.0, 32.0), ('n', 90.0, 60.0)],
    );
    h.room(
        "BEDROOM B",
        (240.0, 240.0),
        (480.0, 336.0),
        &[('s', 340.0, 32.0), ('n', 330.0, 60.0)],
    );
    h.door((100.0, 242.25), 32.0, 0.0);
    h.door((340.0, 242.25), 32.0, 0.0);

    for k in 0..14 {
        let y = 12.0 + 24.0 * f64::from(k);
        // The third truss stops at the kitchen: the living room keeps a wide bay.
        if k == 2 {
            h.member_x("S-TRUS", y, 288.0, 480.0, 1.5, false);
        } else {
            h.member_x("S-TRUS", y, 0.0, 480.0, 1.5, k % 3 == 1);
        }
    }
    h.member_x("S-TRUS", 181.5, 0.0, 480.0, 1.5, false);
    h.member_x("S-BEAM", 163.0, 290.0, 478.0, 3.5, false);

    h.grid("R6", (36.0, 24.0), (5, 4), (54.0, 48.0));
    h.grid("R6", (324.0, 24.0), (3, 4), (60.0, 48.0));
    h.grid("R6", (24.0, 216.0), (10, 1), (48.0, 0.0));
    h.grid("R6", (30.0, 264.0), (4, 2), (60.0, 48.0));
    h.grid("R6", (270.0, 264.0), (4, 2), (60.0, 48.0));
    for k in 0..4_u32 {
        h.nudge((30.0 + 60.0 * f64::from(k), 264.0), (0.0, 0.25 * f64::from(k)));
    }

    h.furniture((330.0, 70.0), (430.0, 106.0));
    h.circle("A-FURN", (60.0, 120.0), 20.0);
    h
}
