//! Things of the same shapes that are neither lights nor joists.

use geo::Coord;

use super::draw::Random;
use super::pen::{Pen, at};

/// Things of the same shapes that are neither lights nor joists, on layers of their own. Where the door's arc is hinged.
pub fn decoys(pen: &mut Pen, r: &mut Random, width: f64, top: f64) -> Coord {
    let mut spot = || {
        at(
            10.0 + r.below(width as usize - 20) as f64,
            10.0 + r.below(top as usize - 20) as f64,
        )
    };
    pen.circle("A-FURN", spot(), 18.0);
    pen.circle("P-SANR-FIXT", spot(), 7.0);
    pen.circle("S-COLS", spot(), 3.0);
    pen.insert("0", "TABLE", spot(), false, &[]);
    pen.insert("0", "SINK", spot(), false, &[]);
    for _ in 0..4 {
        pen.circle("S-BOLT", spot(), 0.5);
    }
    let hinge = spot();
    pen.arc("A-DOOR", hinge, 32.0, 0.0, 90.0);
    pen.circle("S-GRID", at(-30.0, 0.0), 9.0);
    pen.line("S-GRID", at(-21.0, 0.0), at(width, 0.0));
    for i in 0..12 {
        let y = 6.0 * f64::from(i);
        pen.line("A-FLOR-PATT", at(4.0, y), at(width - 4.0, y));
        pen.line(
            "A-FLOR-STRS",
            at(20.0, 10.0 * f64::from(i)),
            at(56.0, 10.0 * f64::from(i)),
        );
        pen.line("A-DECK", at(width + 10.0 + y, 0.0), at(width + 10.0 + y, top));
    }
    pen.line("A-ANNO-DIMS", at(0.0, -20.0), at(width, -20.0));
    hinge
}

/// Things that stand on the very layers of lights and framing, and are neither.
pub fn upon_their_layers(pen: &mut Pen, lights: &str, framing: &str, width: f64, top: f64) {
    // A switch leg, a dot, a note and a ring as wide as a table.
    pen.arc(lights, at(width / 2.0, top / 2.0), 40.0, 20.0, 75.0);
    pen.circle(lights, at(width + 20.0, 20.0), 0.5);
    pen.circle(lights, at(width + 60.0, 60.0), 40.0);
    pen.words(lights, at(width + 20.0, 30.0), 4.0, "SEE SHEET E2");
    // A grid bubble, a note, a hatch and a dimension.
    pen.circle(framing, at(-40.0, 20.0), 9.0);
    pen.words(framing, at(-80.0, 40.0), 4.0, "VERIFY IN FIELD");
    let ring = [at(-60.0, 60.0), at(-30.0, 60.0), at(-30.0, 90.0), at(-60.0, 90.0)];
    // R12 has no hatches; a bare square might be the frame of an opening.
    if !pen.r12 {
        pen.hatch(framing, &ring);
    }
    pen.dimension(framing, at(0.0, 0.0), at(width, 0.0), at(width / 2.0, -30.0));
}

/// Lights of an earlier scheme on a layer that is off.
pub fn on_a_layer_that_is_off(pen: &mut Pen, layer: &str, width: f64) {
    for i in 0..4 {
        pen.circle(layer, at(width * (0.2 + 0.2 * f64::from(i)), 7.0), 3.0);
    }
}
