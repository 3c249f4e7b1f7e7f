//! Tests of reading and writing lengths.

use super::*;
use proptest::prelude::*;

#[test]
fn reads_what_the_trade_writes() {
    // Derived: one foot is 12 in, one inch 25.4 mm.
    let cases = [
        ("5' 3 1/2\"", 63.5),
        ("5'-3 1/2\"", 63.5),
        ("5' - 3 1/2\"", 63.5),
        ("5'3-1/2\"", 63.5),
        ("5'3 1/2", 63.5),
        ("5\u{2032} 3 1/2\u{2033}", 63.5),
        ("5\u{2019} 3\u{BD}\u{201D}", 63.5),
        ("5' 3 1/2''", 63.5),
        ("3 1/2", 3.5),
        ("3-1/2", 3.5),
        ("3/8\"", 0.375),
        ("1/2", 0.5),
        ("12'", 144.0),
        ("12 ft", 144.0),
        ("12 ft. 3 in.", 147.0),
        ("1 1/2'", 18.0),
        ("0.375", 0.375),
        (".375", 0.375),
        ("-1/2", -0.5),
        ("\u{2212}5' 3 1/2\"", -63.5),
        ("+2", 2.0),
        ("254mm", 10.0),
        ("25.4 cm", 10.0),
        ("2.54 m", 100.0),
        ("2.54M", 100.0),
        ("  6 3/8\"  ", 6.375),
        ("0", 0.0),
    ];
    for (text, want) in cases {
        let got = parse(text).unwrap_or_else(|e| panic!("{e}"));
        assert!((got - want).abs() < 1e-12, "{text}: {got}, not {want}");
    }
}

#[test]
fn refuses_what_is_no_length() {
    let cases = [
        "",
        "  ",
        "-",
        "nan",
        "inf",
        "-inf",
        "1e3",
        "5 3",
        "5' 3' 2",
        "5\" 3\"",
        "1/0",
        "1/",
        "/2",
        "1 1/2 1/2",
        "3--1/2",
        "90 mm 3",
        "1.2.3",
        "5 yd",
        "five",
        "'",
        "5-",
        "5'-",
        "--5",
        "1,5",
        "1/2/3",
        "\u{1F4A1}",
        "1.2/.",
    ];
    for text in cases {
        let e = parse(text).expect_err(text);
        assert!(e.contains("is not a length") && !e.contains('\n'), "{e}");
    }
    assert!(parse(&"9".repeat(400)).is_err(), "too great for a number");
    assert!(parse("5 yd").unwrap_err().contains("\"yd\" is no unit"));
}

#[test]
fn writes_feet_inches_and_sixteenths() {
    let cases = [
        (63.5, "5' 3 1/2\"", "63 1/2\""),
        (0.375, "3/8\"", "3/8\""),
        (0.0, "0\"", "0\""),
        (-0.01, "0\"", "0\""),
        (-12.0, "-1' 0\"", "-12\""),
        (-0.5, "-1/2\"", "-1/2\""),
        (12.5, "1' 0 1/2\"", "12 1/2\""),
        // Rounding carries over into the foot and the inch.
        (11.0 + 31.0 / 32.0, "1' 0\"", "12\""),
        (2.0 + 31.0 / 32.0, "3\"", "3\""),
        (11.0 + 30.0 / 32.0, "11 15/16\"", "11 15/16\""),
        (f64::NAN, "?", "?"),
        (f64::INFINITY, "?", "?"),
    ];
    for (value, feet, inches) in cases {
        assert_eq!(feet_inches(value), feet, "{value}");
        assert_eq!(inches_only(value), inches, "{value}");
    }
}

#[test]
fn running_layout_at_19_2() {
    // Check values B: 19.2 in layout rounded to 1/16 (derived).
    let want = ["19 3/16\"", "38 3/8\"", "57 5/8\"", "76 13/16\"", "96\""];
    for (i, want) in want.iter().enumerate() {
        assert_eq!(inches_only(19.2 * (i + 1) as f64), *want);
    }
}

#[test]
fn lumber_sizes_are_written_as_sold() {
    // PS 20, American Softwood Lumber Standard: dressed sizes of dry 2x lumber.
    for (value, text) in [
        (1.5, "1 1/2\""),
        (3.5, "3 1/2\""),
        (7.25, "7 1/4\""),
        (11.25, "11 1/4\""),
    ] {
        assert_eq!(inches_only(value), text);
        assert_eq!(parse(text), Ok(value));
    }
}

proptest! {
    /// Common practice: rounding to 1/16 in errs by at most 1/32.
    #[test]
    fn written_lengths_read_back_within_a_thirty_second(x in -1e6..1e6f64) {
        for text in [feet_inches(x), inches_only(x)] {
            let back = parse(&text).map_err(TestCaseError::fail)?;
            prop_assert!((back - x).abs() <= 1.0 / 32.0 + 1e-9, "{x} {text} {back}");
            prop_assert_eq!(back, to_sixteenth(x));
        }
    }

    #[test]
    fn any_text_is_a_finite_length_or_one_sentence(text in "[-+0-9 ./'\"a-z\u{2032}\u{BD}]{0,12}|\\PC{0,8}") {
        match parse(&text) {
            Ok(v) => prop_assert!(v.is_finite()),
            Err(e) => prop_assert!(e.contains("is not a length")),
        }
    }

    #[test]
    fn any_number_is_written(x in any::<f64>()) {
        prop_assert!(!feet_inches(x).is_empty() && !inches_only(x).is_empty());
    }
}
