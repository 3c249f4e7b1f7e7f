//! Units in which nothing that is of one size in every house would be of its size.

use super::has_note;
use super::units::{House, insunits};

/// A room in inches with lights and lettering, without a door or framing.
fn room(scale: f64, symbol: f64, lettering: f64) -> House {
    let mut house = House::new(scale, 0.0);
    for y in [0.0, 160.0] {
        house.line("A-WALL", (0.0, y), (260.0, y));
    }
    for x in [0.0, 260.0] {
        house.line("A-WALL", (x, 0.0), (x, 160.0));
    }
    for x in [40.0, 88.0, 136.0] {
        house.circle("E-LITE", x, symbol / 2.0);
    }
    house.text((50.0, 80.0), lettering, "HALL");
    house
}

#[test]
fn a_header_under_which_lights_and_lettering_are_as_large_as_people_is_asked_about() {
    // Feet and metres for inches, whatever the size of the whole.
    for code in [2, 4, 6] {
        let why = room(1.0, 6.0, 7.0).decided(&insunits(code)).expect_err("asked");
        assert!(why.contains("light symbols 6 across would be"), "{why}");
        assert!(why.contains("but it looks like in ("), "{why}");
    }
    // What the header says is right; and one kind of an odd size is a slip.
    for (scale, code, name) in [
        (1.0, 1, "in"),
        (1.0 / 12.0, 2, "ft"),
        (0.0254, 6, "m"),
        (25.4, 4, "mm"),
    ] {
        for (symbol, lettering) in [(6.0, 7.0), (6.0, 0.2), (6.0, 90.0), (72.0, 7.0)] {
            let (units, notes) = (room(scale, symbol, lettering).decided(&insunits(code)))
                .unwrap_or_else(|e| panic!("{name}, {symbol}, {lettering}: {e}"));
            assert_eq!(units.name, name);
            assert!(!has_note(&notes, "units-by-evidence"), "{notes:?}");
        }
    }
}

#[test]
fn numbers_of_a_dimension_style_do_not_make_doors_of_thirty_metres() {
    let factor = "9\n$DIMLFAC\n40\n100.0\n";
    let drawn = |scale: f64, doors: bool| {
        let mut house = room(scale, 6.0, 7.0);
        // A hundred times what is drawn, as a style left over from a plan in metres shows it.
        for length in [120.0, 144.0, 160.0] {
            let shown = format!("{:.1}", length * scale * 100.0);
            house.dimension(length, &shown, true);
        }
        for i in 0..3 {
            if doors {
                house.door("A-DOOR", 70.0 * f64::from(i), 30.0);
            }
        }
        house
    };
    for header in [String::new(), insunits(1), insunits(2)] {
        let (units, notes) = (drawn(1.0, true).decided(&(header.clone() + factor))).expect("inches");
        assert_eq!(units.name, "in", "{}", units.why);
        let told = notes
            .iter()
            .any(|n| n.message.contains("are those of a drawing in m, in which"));
        assert!(told, "{notes:?}");
    }
    // Nothing else is strong enough: asked.
    assert!(drawn(1.0, false).decided(factor).is_err());
    // A plan in metres with dimensions in centimetres is one.
    for header in ["", &insunits(6), &insunits(1)] {
        let (units, _) = drawn(0.0254, true)
            .decided(&(header.to_string() + factor))
            .expect("metres");
        assert_eq!(units.name, "m", "{}", units.why);
    }
}
