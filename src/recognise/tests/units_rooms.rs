//! Named rooms drawn as outlines tell the unit against a header that lies.

use crate::drawing::read;
use crate::recognise::units::decide;
use crate::rules::Rules;

/// Three rooms of 192 by 132 in with their names, drawn `scale` units to the inch.
fn rooms(header: i32, scale: f64, name: &str) -> Result<String, String> {
    let mut text =
        format!("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{header}\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n");
    for left in [0.0, 200.0, 400.0] {
        text += "0\nLWPOLYLINE\n8\nA-AREA\n90\n4\n70\n1\n";
        for (x, y) in [
            (left, 0.0),
            (left + 192.0, 0.0),
            (left + 192.0, 132.0),
            (left, 132.0),
        ] {
            text += &format!("10\n{}\n20\n{}\n", x * scale, y * scale);
        }
        let (x, y) = ((left + 60.0) * scale, 70.0 * scale);
        text += &format!(
            "0\nTEXT\n8\nA-AREA-IDEN\n10\n{x}\n20\n{y}\n40\n{}\n1\n{name}\n",
            6.0 * scale
        );
        for x in [48.0, 96.0, 144.0] {
            let (x, y) = ((left + x) * scale, 40.0 * scale);
            text += &format!("0\nCIRCLE\n8\nE-LITE\n10\n{x}\n20\n{y}\n40\n{}\n", 3.0 * scale);
        }
    }
    text += "0\nENDSEC\n0\nEOF\n";
    let (drawing, _) = read(text.as_bytes()).expect("a drawing");
    decide(&drawing, &Rules::default()).map(|(units, _)| units.name)
}

#[test]
fn bedrooms_of_a_thousand_square_feet_are_asked_about() {
    // Centimetres under a header that says inches: bedrooms 40 by 28 ft, or 16 by 11 (common practice: 60 to 600 sq ft).
    let asked = rooms(1, 2.54, "BEDROOM").expect_err("either unit");
    assert!(
        asked.contains("looks like cm") && asked.contains("--units"),
        "{asked}"
    );
    // What the header says is believed where rooms have the size of such rooms, or names say nothing of size.
    assert_eq!(rooms(1, 1.0, "BEDROOM").as_deref(), Ok("in"));
    assert_eq!(rooms(5, 2.54, "BEDROOM").as_deref(), Ok("cm"));
    assert_eq!(rooms(1, 2.54, "HALL").as_deref(), Ok("in"));
}
