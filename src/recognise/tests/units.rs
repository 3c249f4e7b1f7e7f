//! Which unit a drawing is in.

use crate::drawing::read;
use crate::plan::Units;
use crate::recognise::units::decide;
use crate::rules::UnitChoice;

fn of(header: &str, choice: UnitChoice) -> Result<Units, String> {
    let text = format!(
        "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n{header}0\nENDSEC\n\
         0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n"
    );
    let (drawing, _) = read(text.as_bytes()).expect("a drawing");
    decide(&drawing, choice).map(|(units, _)| units)
}

#[test]
fn the_header_tells_the_unit() {
    // Codes from the DXF reference (check values F); 25.4 mm to the inch exactly.
    for (code, name, inches) in [
        (1, "in", 1.0),
        (2, "ft", 12.0),
        (4, "mm", 1.0 / 25.4),
        (5, "cm", 1.0 / 2.54),
        (6, "m", 1000.0 / 25.4),
        (14, "dm", 100.0 / 25.4),
        (21, "US survey ft", 12.000024),
    ] {
        let units = of(&format!("9\n$INSUNITS\n70\n   {code}\n"), UnitChoice::Auto).expect(name);
        assert_eq!(units.name, name);
        assert!(
            (units.inches_per_unit - inches).abs() < 1e-9 * inches,
            "{units:?}"
        );
        assert!(units.why.contains("$INSUNITS"), "{}", units.why);
    }
}

#[test]
fn the_choice_overrides_the_header() {
    let units = of("9\n$INSUNITS\n70\n4\n", UnitChoice::In).expect("chosen");
    assert_eq!((units.name.as_str(), units.inches_per_unit), ("in", 1.0));
    assert_eq!(
        of("", UnitChoice::Mm).expect("chosen").inches_per_unit,
        1.0 / 25.4
    );
}

#[test]
fn without_a_unit_the_plan_is_refused() {
    for header in [
        "",
        "9\n$INSUNITS\n70\n0\n",
        "9\n$INSUNITS\n70\n18\n",
        "9\n$INSUNITS\n70\n99\n",
    ] {
        let error = of(header, UnitChoice::Auto).expect_err("no unit");
        assert!(error.contains("--units"), "{error}");
    }
}
