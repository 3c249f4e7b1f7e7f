//! Words of framing, as they are written on drawings.

use super::vocabulary::actual;
use super::words::{Part, Said, Words, read};
use crate::plan::MemberKind::{self, Beam, Joist, Truss};

fn framing(text: &str) -> Said {
    match read(text, false) {
        Words::Framing(said) => said,
        other => panic!("{text}: {other:?}"),
    }
}

fn near(a: Option<f64>, b: Option<f64>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() < 1e-9,
        (None, None) => true,
        _ => false,
    }
}

#[test]
fn callouts_as_they_are_written() {
    const MM: f64 = 1.0 / 25.4;
    // Text, kind, thickness, depth, spacing. Sizes of dry dimension lumber: American Softwood Lumber
    // Standard PS 20. Spacings: common practice.
    type Row = (&'static str, MemberKind, Option<f64>, Option<f64>, f64);
    let rows: [Row; 38] = [
        ("TRUSSES @ 24\" O.C. MAX", Truss, None, None, 24.0),
        (
            "2x6 RAFTERS & C.J. @ 24\" O.C.",
            Joist,
            Some(1.5),
            Some(5.5),
            24.0,
        ),
        ("2x10 C.J. @ 16\" O.C.", Joist, Some(1.5), Some(9.25), 16.0),
        ("2X6 CLG JSTS @ 24\" O.C. TYP.", Joist, Some(1.5), Some(5.5), 24.0),
        ("2x12 @ 12\" OC", Joist, Some(1.5), Some(11.25), 12.0),
        (
            "2x8 CEILING JOISTS AT 16\" ON CENTER",
            Joist,
            Some(1.5),
            Some(7.25),
            16.0,
        ),
        (
            "2\" x 10\" JOISTS @ 16\" o.c.",
            Joist,
            Some(1.5),
            Some(9.25),
            16.0,
        ),
        ("2 x 10's @ 16\" O/C", Joist, Some(1.5), Some(9.25), 16.0),
        ("2×10 F.J. @ 16″ O.C.", Joist, Some(1.5), Some(9.25), 16.0),
        (
            "2x10 FLOOR JOISTS ABOVE @ 1'-4\" O.C.",
            Joist,
            Some(1.5),
            Some(9.25),
            16.0,
        ),
        ("(2) 2x10 JOISTS @ 16\" O.C.", Joist, Some(3.0), Some(9.25), 16.0),
        ("2-2x8 C.J. @ 24\" O.C.", Joist, Some(3.0), Some(7.25), 24.0),
        ("DBL 2x6 C.J. @ 24\" O.C.", Joist, Some(3.0), Some(5.5), 24.0),
        ("4x8 BEAMS @ 48\" O.C.", Beam, Some(3.5), Some(7.25), 48.0),
        ("6x10 BEAMS @ 4'-0\" O.C.", Beam, Some(5.5), Some(9.5), 48.0),
        ("3x8 JOISTS @ 24\" OC", Joist, Some(2.5), Some(7.25), 24.0),
        (
            "2x8 RAFTERS @ 24\" O.C. U.N.O.",
            Joist,
            Some(1.5),
            Some(7.25),
            24.0,
        ),
        ("2x10 DF #2 C.J. @ 16\" O.C.", Joist, Some(1.5), Some(9.25), 16.0),
        (
            "2x10 S.P.F. NO.2 JST @ 16\" O.C.",
            Joist,
            Some(1.5),
            Some(9.25),
            16.0,
        ),
        (
            "2x10 HEM-FIR NO. 2 OR BTR JOISTS @ 16\" O.C.",
            Joist,
            Some(1.5),
            Some(9.25),
            16.0,
        ),
        ("TRUSSES @ 24\" O.C.", Truss, None, None, 24.0),
        ("PRE-FAB WOOD ROOF TRUSSES @ 2'-0\" O.C.", Truss, None, None, 24.0),
        ("ENGINEERED TRUSSES 24\" O.C.", Truss, None, None, 24.0),
        (
            "18\" DEEP OPEN WEB FLOOR TRUSSES @ 19.2\" O.C.",
            Truss,
            None,
            Some(18.0),
            19.2,
        ),
        ("SCISSOR TRUSSES @ 24 O.C.", Truss, None, None, 24.0),
        ("11 7/8\" I-JOISTS @ 19.2\" OC", Joist, None, Some(11.875), 19.2),
        ("11-7/8\" I JOISTS @ 16\" O.C.", Joist, None, Some(11.875), 16.0),
        ("9½\" I-JOISTS @ 16\" O.C.", Joist, None, Some(9.5), 16.0),
        (
            "2 5/16\" x 11 7/8\" I-JOISTS @ 16\" O.C.",
            Joist,
            Some(2.3125),
            Some(11.875),
            16.0,
        ),
        (
            "1 3/4\" x 11 7/8\" LVL @ 16\" O.C.",
            Joist,
            Some(1.75),
            Some(11.875),
            16.0,
        ),
        (
            "9 1/2\" LVL JOISTS @ 12\" O.C.",
            Joist,
            Some(1.75),
            Some(9.5),
            12.0,
        ),
        // Metric sizes are actual: 38 by 235 mm is the 2×10 of Canadian drawings.
        (
            "38x235 @ 400 c/c",
            Joist,
            Some(38.0 * MM),
            Some(235.0 * MM),
            400.0 * MM,
        ),
        (
            "38 x 184 JOISTS @ 600mm O.C.",
            Joist,
            Some(38.0 * MM),
            Some(184.0 * MM),
            600.0 * MM,
        ),
        (
            "45x220 c/c 600",
            Joist,
            Some(45.0 * MM),
            Some(220.0 * MM),
            600.0 * MM,
        ),
        (
            "50mm x 200mm CEILING JOISTS @ 450 CRS",
            Joist,
            Some(50.0 * MM),
            Some(200.0 * MM),
            450.0 * MM,
        ),
        (
            "SOLIVES 38x235 @ 400 c/c",
            Joist,
            Some(38.0 * MM),
            Some(235.0 * MM),
            400.0 * MM,
        ),
        ("FERMES @ 600 c/c", Truss, None, None, 600.0 * MM),
        (
            "VIGUETAS 50x150 @ 40 cm",
            Joist,
            Some(50.0 * MM),
            Some(150.0 * MM),
            400.0 * MM,
        ),
    ];
    for (text, kind, thickness, depth, spacing) in rows {
        let said = framing(text);
        assert_eq!(said.kind, Some(kind), "{text}");
        assert!(near(said.thickness, thickness), "{text}: {said:?}");
        assert!(near(said.depth, depth), "{text}: {said:?}");
        assert!(near(said.spacing, Some(spacing)), "{text}: {said:?}");
    }
    assert_eq!(framing("2x6 C.J. @ 16\" O.C.").part, Some(Part::Ceiling));
    assert_eq!(framing("2x10 R.R. @ 16\" O.C.").part, Some(Part::Roof));
    assert_eq!(framing("2x10 F.J. @ 16\" O.C.").part, Some(Part::Floor));
    assert!(framing("11 7/8\" I-JOISTS @ 16\" O.C.").flanged);
}

#[test]
fn actual_sizes_of_nominal_lumber() {
    // PS 20: dry dimension lumber, widths 3 1/2, 5 1/2, 7 1/4, 9 1/4, 11 1/4; 13 1/4 and 15 1/4 and the
    // timbers from memory.
    for (nominal, dressed) in [
        (4, 3.5),
        (6, 5.5),
        (8, 7.25),
        (10, 9.25),
        (12, 11.25),
        (14, 13.25),
        (16, 15.25),
    ] {
        assert_eq!(
            actual(2.0, f64::from(nominal), false, false),
            Some((1.5, dressed))
        );
    }
    assert_eq!(actual(4.0, 10.0, false, false), Some((3.5, 9.25)));
    assert_eq!(actual(6.0, 12.0, false, false), Some((5.5, 11.5)));
    for (a, b) in [
        (10.0, 2.0),
        (0.0, 8.0),
        (2.0, 40.0),
        (f64::NAN, 8.0),
        (2.0, f64::NAN),
        (12.0, 12.0),
    ] {
        assert_eq!(actual(a, b, false, false), None, "{a} {b}");
    }
}

#[test]
fn what_is_not_understood_whole_is_doubtful() {
    for text in [
        "2x6 C.J. @ 16\" O.C. BELOW",
        "3. PROVIDE 2x8 CEILING JOISTS @ 16\" O.C. AT ALL HALLS",
        "SISTER JOISTS W/ 10d NAILS @ 6\" O.C.",
        "2x10 C.J. @ 16\" O.C. MAX SPAN 12'-0\"",
        "TRUSSES @ 24' O.C.",
        "2x10 C.J. @ 1\" O.C.",
        "2x10 JOISTS OR TRUSSES @ 16\" O.C.",
        // May be studs: nothing says what it is.
        "2x4 @ 16\" O.C.",
        "38x140 @ 400 c/c",
        // Inches or centimetres.
        "45x220 JOISTS c/c 60",
        "JOISTS @ 16\" O.C. @ 24\" O.C.",
        // The spacing behind the size, without a word for it.
        "CLG JST: 2X8-16",
        // Battens below the joists, or studs.
        "野縁 30x40 @455",
        "木龙骨 30x40@400",
        "吊顶龙骨 @400",
    ] {
        assert_eq!(read(text, false), Words::Doubtful, "{text}");
    }
    assert_eq!(read("LATAS 60 c/c", true), Words::Other);
    assert_eq!(read("TRUSSES @ 60 c/c", true), Words::Doubtful);
}

#[test]
fn other_words_are_left_alone() {
    for text in [
        "",
        "KITCHEN",
        "R6",
        "12'-4\"",
        "CLG 9'-0\"",
        "2x4 STUDS @ 16\" O.C.",
        "#4 BARS @ 12\" O.C. EACH WAY",
        "1/2\" ANCHOR BOLTS @ 48\" O.C.",
        "13'8 x 14'",
        "22x30 ATTIC ACCESS",
        "PAINT ALL BEAMS",
        "@ @ @ @",
        "x x x",
        "1.2.3 @ 4.5.6",
    ] {
        assert_eq!(read(text, false), Words::Other, "{text}");
    }
    assert_eq!(read(&"2x10 ".repeat(500), false), Words::Other);
}

#[test]
fn halves_of_a_callout_are_kept_for_the_next_line() {
    for text in ["2x10 C.J.", "TRUSSES", "@ 16\" O.C.", "24\" O.C.", "2x6"] {
        assert!(matches!(read(text, false), Words::Partly(_)), "{text}");
    }
}

#[test]
fn a_makers_mark_after_a_depth_is_an_i_joist() {
    // The marks are made up. Depths: common practice, from memory.
    for (text, depth, spacing) in [
        ("11-7/8\" WJI 230 @ 16\" O.C.", 11.875, 16.0),
        ("9 1/2\" QCI @ 19.2 O.C.", 9.5, 19.2),
        ("14\" WJI/L65 FLOOR JOISTS @ 16\" O.C.", 14.0, 16.0),
        ("11 7/8\" QCI 5000s-1.8 @ 16 OC TYP.", 11.875, 16.0),
        ("16\" IB 40 @ 24\" O.C.", 16.0, 24.0),
    ] {
        let said = framing(text);
        assert!(
            said.marked && said.flanged && said.kind == Some(Joist),
            "{text}: {said:?}"
        );
        assert!(
            near(said.depth, Some(depth)) && near(said.spacing, Some(spacing)),
            "{text}: {said:?}"
        );
        assert_eq!(said.thickness, None);
    }
    assert!(!framing("11 7/8\" I-JOISTS @ 16\" O.C.").marked);
    // Not understood, and told of.
    for text in [
        "9 1/2\" KORD @ 19.2 O.C.",
        "WJI 230 11-7/8\" @ 16\" O.C.",
        "11 7/8\" QCI SEE SCHEDULE @ 16\" O.C.",
    ] {
        assert_eq!(read(text, false), Words::Doubtful, "{text}");
    }
    // Of something else.
    for text in [
        "16\" WIDE TREADS @ 24\" O.C.",
        "14\" TILE @ 16\" O.C.",
        "3 1/2\" BATTS @ 16\" O.C.",
    ] {
        assert_eq!(read(text, false), Words::Other, "{text}");
    }
}

#[test]
fn callouts_of_other_countries() {
    // Sizes in centimetres or millimetres are actual; spacings to the members' middles (common practice, from memory).
    const CM: f64 = 10.0 / 25.4;
    for (text, kind, thickness, depth, spacing) in [
        ("Balken 8/16 e=60", Joist, 8.0, 16.0, 60.0),
        ("Deckenbalken 10/20 e = 62,5 cm", Joist, 10.0, 20.0, 62.5),
        ("BALKEN 80/160 ABSTAND 600", Joist, 8.0, 16.0, 60.0),
        ("viguetas 10x20 c/ 60 cm", Joist, 10.0, 20.0, 60.0),
        ("Vigas 8 x 20 cm cada 50 cm", Beam, 8.0, 20.0, 50.0),
        ("vigas 10x20 cm 60 c/c", Beam, 10.0, 20.0, 60.0),
        ("solives 63x175 entraxe 40 cm", Joist, 6.3, 17.5, 40.0),
        ("根太 45x105 @303", Joist, 4.5, 10.5, 30.3),
        ("天井根太 45x105@303", Joist, 4.5, 10.5, 30.3),
        ("BALKENLAGE 8/20 e = 62,5 cm", Joist, 8.0, 20.0, 62.5),
        ("장선 38x184 @400", Joist, 3.8, 18.4, 40.0),
    ] {
        let said = framing(text);
        assert_eq!(said.kind, Some(kind), "{text}");
        let got = [said.thickness, said.depth, said.spacing];
        let expected = [thickness, depth, spacing].map(|v| Some(v * CM));
        assert!(
            got.into_iter().zip(expected).all(|(a, b)| near(a, b)),
            "{text}: {said:?}"
        );
    }
    // Inches say that a size is nominal, whatever the word.
    let said = framing("VIGUETAS 4x12 @ 16\" O.C.");
    assert!(near(said.thickness, Some(3.5)) && near(said.depth, Some(11.25)));
    // Half understood is told of.
    for text in [
        "Balken 8/16 verleimt e=60",
        "Balken 8/16 verleimt",
        "viguetas 20x10 c/ 60 cm",
    ] {
        assert_eq!(read(text, false), Words::Doubtful, "{text}");
    }
}

#[test]
fn who_supplies_the_members_changes_nothing() {
    let said = framing("ROOF TRUSSES @ 24\" O.C. (BY OTHERS)");
    assert_eq!((said.kind, said.spacing), (Some(Truss), Some(24.0)));
    assert_eq!(said, framing("ROOF TRUSSES @ 24\" O.C."));
}
