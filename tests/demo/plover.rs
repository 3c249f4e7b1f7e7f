//! The Plover: one large room, joists 19.2 in on centre, a grid of 8 by 5.
//!
//! Planted, where `faults`: one light of the grid 3/16 in off both of its rows.

use crate::house::House;

pub fn house(faults: bool) -> House {
    let mut h = House::default();
    h.outside_wall((0.0, 0.0), (326.4, 222.0));
    h.room(
        "STUDIO",
        (0.0, 0.0),
        (326.4, 222.0),
        &[('s', 150.0, 72.0), ('n', 60.0, 96.0), ('w', 100.0, 40.0)],
    );
    for k in 0..18 {
        h.member_y("S-JOIS", 19.2 * f64::from(k), 0.0, 222.0, 1.5);
    }
    h.grid("R4", (28.8, 27.0), (8, 5), (38.4, 42.0));
    if faults {
        h.nudge((144.0, 111.0), (0.1875, -0.1875));
    }
    h.furniture((120.0, 90.0), (216.0, 150.0));
    h.circle("A-FURN", (60.0, 60.0), 18.0);
    h
}
