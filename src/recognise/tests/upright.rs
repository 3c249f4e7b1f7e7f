//! Symbols that stand upright in space.

use super::{Sheet, has_note, xy};
use crate::flatten::Prim;

/// A room with two lights, one of them with these axes in plan.
fn turned(x_axis: (f64, f64), y_axis: (f64, f64)) -> Sheet {
    let mut sheet = Sheet::default();
    let ring = [(0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0)];
    sheet.path("A-AREA", &ring, true);
    sheet.light("LT-R6", (50.0, 50.0));
    let light = sheet.light("LT-R6", (150.0, 50.0));
    if let Prim::Symbol(symbol) = &mut sheet.flat.items[light].prim {
        symbol.x_axis = xy(x_axis.0, x_axis.1);
        symbol.y_axis = xy(y_axis.0, y_axis.1);
    }
    sheet
}

#[test]
fn lights_seen_from_the_side_are_not_counted_and_told_of() {
    // Extrusions (0, 1, 0) and (1, 0, 0): the block's height goes up.
    for (x, y) in [
        ((-1.0, 0.0), (0.0, 0.0)),
        ((0.0, 1.0), (0.0, 0.0)),
        ((0.0, 0.0), (0.0, 12.0)),
    ] {
        let (plan, notes) = turned(x, y).read();
        assert_eq!(plan.lights.len(), 1);
        let told: Vec<_> = notes.iter().filter(|n| n.code == "upright").collect();
        assert_eq!(told.len(), 1, "{notes:#?}");
        assert!(told[0].message.starts_with("1 symbol(s) of lights (block LT-R6)"));
    }
    // Mirrored, scaled unequally and on a slope a symbol is one of a plan.
    for (x, y) in [
        ((-1.0, 0.0), (0.0, 1.0)),
        ((48.0, 0.0), (0.0, 4.0)),
        ((1.0, 0.0), (0.0, 0.7)),
    ] {
        let (plan, notes) = turned(x, y).read();
        assert!(
            plan.lights.len() == 2 && !has_note(&notes, "upright"),
            "{notes:#?}"
        );
    }
    // A circle on its edge.
    let mut sheet = turned((1.0, 0.0), (0.0, 1.0));
    let line = Prim::Segment {
        from: xy(100.0, 20.0),
        to: xy(106.0, 20.0),
    };
    sheet.item("E-LITE-CLNG", "CIRCLE", line);
    let (plan, notes) = sheet.read();
    assert!(plan.lights.len() == 2 && has_note(&notes, "upright"));
}
