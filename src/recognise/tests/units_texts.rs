//! Lengths and areas that stand in a drawing as plain texts, and what else is measured of doors and members.

use super::units::{House, alone, insunits};

/// A line of a dimension with its text above the middle.
fn dimension(house: &mut House, y: f64, length: f64, text: &str) {
    house.line("A-DIMS", (0.0, y), (length, y));
    house.text((length / 2.0 - 12.0, y + 2.0), 5.0, text);
}

#[test]
fn texts_over_lines_of_their_length_decide() {
    alone(
        |h| {
            dimension(h, 0.0, 160.0, "13'-4\"");
            dimension(h, 100.0, 138.0, "11'-6\"");
        },
        "texts such as 13'-4\" over",
    );
    // One may be chance; other lengths are of something else; and a note is no length.
    for (length, texts) in [
        (160.0, &["13'-4\""][..]),
        (151.0, &["13'-4\"", "13'-4\""]),
        (160.0, &["13'-4\" CLEAR", "13'-4\" CLEAR"]),
    ] {
        let mut house = House::new(1.0, 0.0);
        for (i, text) in texts.iter().enumerate() {
            dimension(&mut house, 100.0 * i as f64, length, text);
        }
        assert!(house.decided("").is_err(), "{texts:?}");
    }
}

#[test]
fn bare_numbers_over_lines_tell_by_how_they_are_written() {
    let drawn = |scale: f64, texts: [&str; 3], lengths: [f64; 3], header: &str| {
        let mut house = House::new(scale, 0.0);
        for (i, (text, length)) in texts.into_iter().zip(lengths).enumerate() {
            dimension(&mut house, 100.0 * i as f64, length / scale, text);
        }
        house.decided(header).map(|(units, _)| units.name)
    };
    let whole = ["4064", "3505", "2032"];
    assert_eq!(
        drawn(25.4, whole, [4064.0, 3505.2, 2032.0], "").as_deref(),
        Ok("mm")
    );
    let metres = ["4.064", "3.505", "2.032"];
    assert_eq!(
        drawn(0.0254, metres, [4.064, 3.505, 2.032], "").as_deref(),
        Ok("m")
    );
    // Whole numbers of one inch or one centimetre each are either.
    assert!(drawn(1.0, ["160", "138", "80"], [160.0, 138.0, 80.0], "").is_err());
    assert_eq!(
        drawn(1.0, ["160", "138", "80"], [160.0, 138.0, 80.0], &insunits(1)).as_deref(),
        Ok("in")
    );
}

/// Three rooms of 150 by 160 in with a line of text in each.
fn rooms(house: &mut House, text: &str) {
    for room in 0..3 {
        let (x, w, d) = (f64::from(room) * 200.0, 150.0, 160.0);
        for (a, b) in [
            ((0.0, 0.0), (w, 0.0)),
            ((w, 0.0), (w, d)),
            ((w, d), (0.0, d)),
            ((0.0, d), (0.0, 0.0)),
        ] {
            house.line("A-WALL", (x + a.0, a.1), (x + b.0, b.1));
        }
        house.text((x + 60.0, 80.0), 4.0, text);
    }
}

#[test]
fn areas_in_rooms_decide() {
    // 24,000 square inches are 166.7 sq ft, or 15.48 m2.
    alone(|h| rooms(h, "167 SF"), "a room marked 167 SF drawn");
    alone(|h| rooms(h, "15,48 m2"), "a room marked 15,48 m2 drawn");
    let mut house = House::new(1.0, 0.0);
    rooms(&mut house, "300 SF");
    assert!(house.decided("").is_err());
}

#[test]
fn a_house_in_metres_is_none_on_paper() {
    // Doors of 0.80, members every half metre: at a quarter of an inch to the foot 38 in and 24 in on centre.
    let mut metres = House::new(0.0254, 0.0);
    rooms(&mut metres, "15,48 m2");
    for x in [0.0, 60.0, 120.0] {
        metres.door("A-DOOR", x, 0.8 / 0.0254);
    }
    for i in 0..12 {
        let x = f64::from(i) * 0.5 / 0.0254;
        metres.line("S-JOIST", (x, 0.0), (x, 144.0));
        metres.line("S-JOIST", (x + 0.05 / 0.0254, 0.0), (x + 0.05 / 0.0254, 144.0));
    }
    let (units, _) = metres.decided(&insunits(4)).expect("metres");
    assert_eq!(units.name, "m", "{}", units.why);
}
