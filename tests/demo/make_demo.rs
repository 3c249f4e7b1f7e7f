//! Draws the demo plans: Larkmere Row, an invented subdivision of three house types.
//!
//! `cargo run --example make_demo -- DIR` writes `DIR/lot-….dxf`. The drawings are built with the
//! `dxf` crate and mended by the project's own tag layer, so that strict readers open them.

mod heron;
mod house;
mod paper;
mod plover;
mod wren;

use std::path::Path;

use dxf::enums::AcadVersion::{R12, R14, R2000, R2004, R2007, R2010, R2013, R2018};
use paper::{Placing, Sheet, Unit};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let dir = std::env::args().nth(1).ok_or("usage: make_demo DIR")?;
    let dir = Path::new(&dir);
    // R12 and R14 have no place for a unit: what those plans show has to tell it.
    std::fs::create_dir_all(dir)?;
    let plain = Placing {
        mirror: false,
        turn: 0.0,
        shift: (0.0, 0.0),
    };
    let mirrored = Placing {
        mirror: true,
        shift: (800.0, 0.0),
        ..plain
    };
    let turned = |turn| Placing {
        turn,
        shift: (2_400.0, 1_200.0),
        ..plain
    };
    let far = Placing {
        mirror: true,
        turn: 17.0,
        shift: (2_000_000.0, 2_000_000.0),
    };
    let sheets = [
        (
            "lot-01-heron",
            heron::house(),
            Sheet::new(R2000, Unit::Inch, plain),
        ),
        (
            "lot-02-heron-mirrored",
            heron::house(),
            Sheet::new(R12, Unit::Inch, mirrored),
        ),
        (
            "lot-03-heron-turned",
            heron::house(),
            Sheet::new(R2007, Unit::Millimetre, turned(90.0)),
        ),
        (
            "lot-04-wren",
            wren::house(),
            Sheet::new(R2010, Unit::Millimetre, plain),
        ),
        (
            "lot-05-wren-mirrored",
            wren::house(),
            Sheet::binary(R2004, Unit::Inch, mirrored),
        ),
        (
            "lot-06-wren-turned",
            wren::house(),
            Sheet::new(R2018, Unit::Inch, far),
        ),
        (
            "lot-07-plover",
            plover::house(true),
            Sheet::new(R14, Unit::Inch, plain),
        ),
        (
            "lot-08-plover-mirrored",
            plover::house(false),
            Sheet::new(R2013, Unit::Millimetre, mirrored),
        ),
    ];
    for (name, house, sheet) in sheets {
        std::fs::write(dir.join(format!("{name}.dxf")), sheet.draw(&house)?)?;
    }
    Ok(())
}
