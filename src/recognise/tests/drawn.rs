//! Symbols as drawings have them, read from DXF: each light has its exact centre, tag and radius (derived).

use std::fmt::Write as _;

use super::{inches, recognise, rules};
use crate::plan::Light;

/// The lights of a drawing of blocks and entities, given as `code value` pairs split at `|`.
fn lights(blocks: &str, entities: &str) -> Vec<Light> {
    let mut text = String::new();
    let all = format!("0 SECTION|2 BLOCKS|{blocks}|0 ENDSEC|0 SECTION|2 ENTITIES|{entities}|0 ENDSEC|0 EOF");
    for pair in all.split('|').filter(|p| !p.is_empty()) {
        let (code, value) = pair.split_once(' ').unwrap_or((pair, ""));
        writeln!(text, "{code}\n{value}").unwrap();
    }
    let (drawing, _) = crate::drawing::read(text.as_bytes()).unwrap();
    let (flat, notes) = crate::flatten::flatten(&drawing, &inches());
    assert!(notes.is_empty(), "{notes:?}");
    recognise(&flat, &inches(), &rules()).0.lights
}

#[track_caller]
fn one(lights: &[Light], x: f64, y: f64, radius: f64, tag: Option<&str>) {
    let found = lights.iter().find(|l| (l.at.x - x).hypot(l.at.y - y) < 1e-9);
    let light = found.unwrap_or_else(|| panic!("no light at {x}, {y}: {lights:?}"));
    assert!((light.drawn_radius - radius).abs() < 1e-9, "{light:?}");
    assert_eq!(light.tag.as_deref(), tag);
}

/// A block of a circle of radius 4 whose centre is (5, 1) off its base point.
const R6: &str =
    "0 BLOCK|2 LT-R6|70 0|10 0|20 0|0 CIRCLE|8 0|10 5|20 1|40 4|0 LINE|8 0|10 1|20 1|11 9|21 1|0 ENDBLK";

#[test]
fn circles_of_every_making() {
    let making = [
        // An LWPOLYLINE and an old POLYLINE of two half circles.
        "0 LWPOLYLINE|8 E-LITE|90 2|70 1|10 7|20 20|42 1|10 13|20 20|42 1",
        "0 POLYLINE|8 E-LITE|66 1|70 1|0 VERTEX|8 0|10 7|20 20|42 -1|0 VERTEX|8 0|10 13|20 20|42 -1|0 SEQEND|8 0",
        // Four quarters: tan(90°/4).
        "0 LWPOLYLINE|8 E-LITE|90 4|70 1|10 13|20 20|42 0.41421356237309503|10 10|20 23|42 0.41421356237309503\
         |10 7|20 20|42 0.41421356237309503|10 10|20 17|42 0.41421356237309503",
        // An ELLIPSE as round as a circle.
        "0 ELLIPSE|8 E-LITE|10 10|20 20|11 3|21 0|40 1|41 0|42 6.283185307179586",
        // Two arcs.
        "0 ARC|8 E-LITE|10 10|20 20|40 3|50 0|51 200|0 ARC|8 E-LITE|10 10|20 20|40 3|50 200|51 360",
        // Seen from behind.
        "0 CIRCLE|8 E-LITE|10 -10|20 20|40 3|210 0|220 0|230 -1",
    ];
    for entities in making {
        let found = lights("", entities);
        assert_eq!(found.len(), 1, "{entities}");
        one(&found, 10.0, 20.0, 3.0, None);
    }
}

#[test]
fn a_polyline_of_many_short_sides_is_a_circle_and_an_octagon_is_none() {
    let ring = |sides: usize| {
        let mut text = format!("0 LWPOLYLINE|8 E-LITE|90 {sides}|70 1");
        for k in 0..sides {
            let angle = k as f64 * std::f64::consts::TAU / sides as f64;
            write!(
                text,
                "|10 {}|20 {}",
                10.0 + 3.0 * angle.cos(),
                20.0 + 3.0 * angle.sin()
            )
            .unwrap();
        }
        text
    };
    let found = lights("", &ring(36));
    assert_eq!(found.len(), 1);
    one(&found, 10.0, 20.0, 3.0, None);
    assert!(lights("", &ring(8)).is_empty());
    // A bar with round ends is none either.
    let slot = "0 LWPOLYLINE|8 E-LITE|90 4|70 1|10 0|20 0|10 10|20 0|42 1|10 10|20 6|10 0|20 6|42 1";
    assert!(lights("", slot).is_empty());
}

#[test]
fn blocks_turned_mirrored_nested_and_in_arrays() {
    // Turned by 90°: (5, 1) becomes (-1, 5).
    one(
        &lights(R6, "0 INSERT|8 E-LITE|2 LT-R6|10 100|20 50|50 90"),
        99.0,
        55.0,
        4.0,
        Some("R6"),
    );
    // Mirrored in x.
    one(
        &lights(R6, "0 INSERT|8 E-LITE|2 LT-R6|10 100|20 50|41 -1"),
        95.0,
        51.0,
        4.0,
        Some("R6"),
    );
    // Nested at half size: the inner at (10, 0) of the outer, at (100, 50).
    let outer = format!(
        "{R6}|0 BLOCK|2 GROUP|70 0|10 0|20 0|0 INSERT|8 0|2 LT-R6|10 10|20 0|41 0.5|42 0.5|43 0.5|0 ENDBLK"
    );
    let found = lights(&outer, "0 INSERT|8 E-POWR|2 GROUP|10 100|20 50");
    assert_eq!(found.len(), 1, "{found:?}");
    one(&found, 112.5, 50.5, 2.0, Some("R6"));
    // An array of 3 by 2, turned by 90°: columns go along y, rows along -x.
    let array = "0 INSERT|8 E-LITE|2 LT-R6|10 100|20 50|50 90|70 3|71 2|44 48|45 60";
    let found = lights(R6, array);
    assert_eq!(found.len(), 6);
    for (column, row) in [(0, 0), (1, 0), (2, 0), (0, 1), (1, 1), (2, 1)] {
        let (x, y) = (99.0 - 60.0 * f64::from(row), 55.0 + 48.0 * f64::from(column));
        one(&found, x, y, 4.0, Some("R6"));
    }
}

#[test]
fn attributes_of_every_kind() {
    let block =
        |attdef: &str| format!("0 BLOCK|2 LT-X|70 0|10 0|20 0|0 CIRCLE|8 0|10 0|20 0|40 3|{attdef}|0 ENDBLK");
    let insert = |attribs: &str| format!("0 INSERT|8 E-LITE|2 LT-X|66 1|10 10|20 20|{attribs}");
    let attrib = |tag: &str, text: &str, flags: u8, layer: &str| {
        format!("0 ATTRIB|8 {layer}|10 0|20 0|40 1|1 {text}|2 {tag}|70 {flags}|")
    };
    let end = "0 SEQEND|8 0";
    let plain = block("");
    // Invisible, and on a layer of its own.
    let found = lights(&plain, &(insert(&attrib("TYPE", "R4", 1, "G-ANNO")) + end));
    one(&found, 10.0, 20.0, 3.0, Some("R4"));
    // Twice, the first one empty.
    let twice = attrib("TAG", "", 0, "0") + &attrib("TAG", "R6", 0, "0");
    one(
        &lights(&plain, &(insert(&twice) + end)),
        10.0,
        20.0,
        3.0,
        Some("R6"),
    );
    // Constant: it stands in the block alone. What an INSERT says itself goes before it.
    let constant = block("0 ATTDEF|8 0|10 0|20 0|40 1|1 R6|3 Type|2 TAG|70 2");
    one(&lights(&constant, &insert("")), 10.0, 20.0, 3.0, Some("R6"));
    let own = insert(&attrib("TAG", "R4", 0, "0")) + end;
    one(&lights(&constant, &own), 10.0, 20.0, 3.0, Some("R4"));
    // A default that is not constant says nothing of an INSERT.
    let default = block("0 ATTDEF|8 0|10 0|20 0|40 1|1 R6|3 Type|2 TAG|70 0");
    one(&lights(&default, &insert("")), 10.0, 20.0, 3.0, None);
}
