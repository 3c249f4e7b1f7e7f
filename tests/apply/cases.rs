//! One test a making of the symbol.

use crate::draw::{Draw, Put, Ran, mend, row};

/// Off the row by 3/8 in: three times the tolerance.
const OFF: f64 = 0.375;

const PLAIN: Put = Put {
    scale: (1.0, 1.0),
    turn: 0.0,
    at: (0.0, 0.0),
    below: false,
};

/// The difference of a value before and after.
fn by(ran: &Ran, i: usize) -> f64 {
    let number = |s: &str| s.parse::<f64>().unwrap();
    number(&ran.changed[i].3) - number(&ran.changed[i].2)
}

#[test]
fn an_insert_is_moved_by_its_insertion_point_alone() {
    let mut d = Draw::hall();
    d.symbol();
    for at in row(OFF) {
        let light = d.light(at);
        d.put(&light);
    }
    let ran = mend(&d.done(), "");
    ran.is_mended();
    assert_eq!(ran.what(), [("INSERT", 20)]);
    assert!((by(&ran, 0) + OFF).abs() < 1e-9);
}

#[test]
fn attributes_go_with_their_symbol() {
    let mut d = Draw::hall();
    d.symbol();
    for (x, y) in row(OFF) {
        let light = d.insert(
            "LT-R6",
            "E-LITE",
            Put {
                at: (x - 1.0, y - 2.0),
                ..PLAIN
            },
            "66\n1\n",
        );
        d.put(&light);
        let text = Draw::text((x + 6.0, y), "R6").replace("73\n2\n", "");
        d.add(
            "ATTRIB",
            "E-LITE",
            &format!("{text}100\nAcDbAttribute\n2\nTYPE\n70\n0\n74\n2\n"),
        );
        d.add("SEQEND", "E-LITE", "");
    }
    let ran = mend(&d.done(), "");
    ran.is_mended();
    assert_eq!(ran.what(), [("INSERT", 20), ("ATTRIB", 20), ("ATTRIB", 21)]);
    for i in 0..3 {
        assert!((by(&ran, i) + OFF).abs() < 1e-9, "{:?}", ran.changed);
    }
}

#[test]
fn object_coordinates_seen_from_below_have_x_the_other_way_round() {
    // A row up the hall's length turned: the move is along x. The lights stand in one block, seen from below.
    let mut d = Draw::hall();
    d.symbol();
    for (x, y) in row(OFF) {
        // From below (0, 0, -1) object x is minus world x, by the arbitrary axis algorithm of the DXF reference; the
        // symbol's centre (1, 2) then lies at (-1, 2) from its insertion point.
        let put = Put {
            at: (-(x + 1.0), y - 2.0),
            below: true,
            ..PLAIN
        };
        let light = d.insert("LT-R6", "E-LITE", put, "");
        d.put(&light);
    }
    let ran = mend(&d.done(), "");
    ran.is_mended();
    assert_eq!(ran.what(), [("INSERT", 20)]);
}

/// The lights in blocks inserted like this, the outermost first, in which the innermost has the symbols.
fn nested(puts: &[Put]) -> Ran {
    let mut d = Draw::hall();
    d.symbol();
    let inside = |p: (f64, f64)| puts.iter().fold(p, |p, put| put.inside(p));
    // Symbols in a block scaled by 2 are drawn at half their size.
    let scale: f64 = puts.iter().map(|p| p.scale.0.abs()).product();
    let mut held = String::new();
    for at in row(OFF) {
        let (x, y) = inside(at);
        let put = Put {
            scale: (1.0 / scale, 1.0 / scale),
            at: (x - 1.0 / scale, y - 2.0 / scale),
            ..PLAIN
        };
        held += &d.insert("LT-R6", "E-LITE", put, "");
    }
    for (k, put) in puts.iter().enumerate().rev() {
        let name = format!("UNIT-{k}");
        d.block(&name, &held);
        held = d.insert(&name, "A-UNIT", *put, "");
    }
    d.put(&held);
    mend(&d.done(), "")
}

#[test]
fn inside_blocks_moves_are_carried_back_through_every_matrix() {
    let mirrored = Put {
        scale: (-1.0, 1.0),
        at: (100.0, 7.0),
        ..PLAIN
    };
    let scaled = Put {
        scale: (2.0, 2.0),
        turn: 30.0,
        at: (-12.0, 5.0),
        below: false,
    };
    let quarter = Put {
        scale: (0.5, -0.5),
        turn: 90.0,
        at: (3.0, 4.0),
        below: false,
    };
    let below = Put {
        at: (9.0, -3.0),
        turn: 45.0,
        below: true,
        ..PLAIN
    };
    for puts in [
        &[mirrored][..],
        &[scaled],
        &[quarter],
        &[below],
        &[mirrored, scaled],
        &[below, quarter, scaled],
    ] {
        let ran = nested(puts);
        ran.is_mended();
        assert!(ran.what().iter().all(|w| w.0 == "INSERT"), "{:?}", ran.changed);
        assert!((1..=2).contains(&ran.changed.len()), "{:?}", ran.changed);
    }
    // By the matrix: twice as large and turned 30°, 3/8 in down is half of it along (-sin 30°, -cos 30°).
    let ran = nested(&[scaled]);
    assert!((by(&ran, 0) + OFF / 2.0 * 0.5).abs() < 1e-9, "{:?}", ran.changed);
    assert!(
        (by(&ran, 1) + OFF / 2.0 * 0.75_f64.sqrt()).abs() < 1e-9,
        "{:?}",
        ran.changed
    );
}

#[test]
fn loose_circles_take_their_crosses_inner_circles_and_tags_along() {
    let mut d = Draw::hall();
    for (x, y) in row(OFF) {
        d.add("CIRCLE", "E-LITE", &Draw::circle((x, y), 4.0));
        d.add("CIRCLE", "E-LITE", &Draw::circle((x, y), 1.0));
        d.line("E-LITE", (x - 5.0, y), (x + 5.0, y));
        d.line("E-LITE", (x, y - 5.0), (x, y + 5.0));
        d.add("TEXT", "E-LITE", &Draw::text((x + 9.0, y + 5.0), "R6"));
    }
    // Not of the symbol: a switch leg that ends at it.
    d.line("E-LITE", (72.0, 34.0 + OFF), (72.0, 58.0));
    let ran = mend(&d.done(), "");
    ran.is_mended();
    let wanted = [
        ("CIRCLE", 20),
        ("CIRCLE", 20),
        ("LINE", 20),
        ("LINE", 21),
        ("LINE", 20),
        ("LINE", 21),
        ("TEXT", 20),
        ("TEXT", 21),
    ];
    assert_eq!(ran.what(), wanted);
    for i in 0..wanted.len() {
        assert!((by(&ran, i) + OFF).abs() < 1e-9);
    }
}

#[test]
fn circles_drawn_as_polylines_are_moved_vertex_by_vertex() {
    let mut d = Draw::hall();
    for (x, y) in row(OFF) {
        let round = format!(
            "100\nAcDbPolyline\n90\n2\n70\n1\n10\n{}\n20\n{y}\n42\n1.0\n10\n{}\n20\n{y}\n42\n1.0\n",
            x - 4.0,
            x + 4.0
        );
        d.add("LWPOLYLINE", "E-LITE", &round);
    }
    let ran = mend(&d.done(), "");
    ran.is_mended();
    assert_eq!(ran.what(), [("LWPOLYLINE", 20), ("LWPOLYLINE", 20)]);
}

/// Asserts that nothing was moved and why is said, in the report and in a note.
#[track_caller]
fn left(ran: &Ran, why: &str) {
    assert_eq!(ran.changed, []);
    assert_eq!(ran.report["applied"]["moved"], serde_json::json!([]));
    let left = ran.report["applied"]["left"].as_array().unwrap();
    assert!(!left.is_empty());
    assert!(
        left.iter().all(|l| l["why"].as_str().unwrap().contains(why)),
        "{left:#?}"
    );
    let notes = ran.report["notes"].as_array().unwrap();
    let note = notes.iter().find(|n| n["code"] == "not-moved").expect("a note");
    assert!(note["message"].as_str().unwrap().contains(why), "{note:#}");
}

#[test]
fn a_block_that_is_drawn_twice_is_left_alone() {
    let mut d = Draw::hall();
    d.symbol();
    let mut held = String::new();
    for at in row(OFF) {
        held += &d.light(at);
    }
    d.block("UNIT", &held);
    for y in [0.0, 200.0] {
        let unit = d.insert(
            "UNIT",
            "A-UNIT",
            Put {
                at: (0.0, y),
                ..PLAIN
            },
            "",
        );
        d.put(&unit);
    }
    left(&mend(&d.done(), ""), "drawn 2 times");
}

#[test]
fn a_cell_of_an_array_is_left_alone() {
    // Five cells, the joists' own lines in their middles: each light hits one.
    let mut d = Draw::hall();
    d.symbol();
    let put = Put {
        at: (32.0 - 1.0, 30.0 - 2.0),
        ..PLAIN
    };
    let array = d.insert("LT-R6", "E-LITE", put, "70\n5\n71\n1\n44\n48.0\n45\n0.0\n");
    d.put(&array);
    left(&mend(&d.done(), ""), "one cell of an array");
}

#[test]
fn a_symbol_that_another_holds_alone_is_moved_by_the_outer_one() {
    // Each light's block holds nothing but the symbol's: that one is shared, its holder is not.
    let mut d = Draw::hall();
    d.symbol();
    let inner = d.light((1.0, 2.0));
    d.block("FIXTURE", &inner);
    for (x, y) in row(OFF) {
        let outer = d.insert(
            "FIXTURE",
            "A-UNIT",
            Put {
                at: (x - 1.0, y - 2.0),
                ..PLAIN
            },
            "",
        );
        d.put(&outer);
    }
    let ran = mend(&d.done(), "");
    ran.is_mended();
    assert_eq!(ran.what(), [("INSERT", 20)]);
}

#[test]
fn what_the_rules_keep_is_left_where_it_is() {
    let mut d = Draw::hall();
    d.symbol();
    for at in row(OFF) {
        let light = d.light(at);
        d.put(&light);
    }
    let ran = mend(&d.done(), "[keep]\nlights = [\"L2\"]\n");
    assert_eq!(ran.changed, []);
    let left = ran.report["applied"]["left"].as_array().unwrap();
    assert_eq!(left.len(), 1, "{left:#?}");
    assert_eq!(left[0]["luminaire"], "L2");
    assert!(
        left[0]["why"].as_str().unwrap().contains("the rules keep L2"),
        "{left:#?}"
    );
}

#[test]
fn solid_dots_are_moved_by_their_boundary_and_circles_go_along() {
    let mut d = Draw::hall();
    for (x, y) in row(OFF) {
        d.add(
            "HATCH",
            "E-LITE",
            &format!(
                "100\nAcDbHatch\n10\n0\n20\n0\n30\n0\n210\n0\n220\n0\n230\n1\n2\nSOLID\n70\n1\n71\n0\n91\n1\n92\n1\n93\n1\n72\n2\n\
                 10\n{x}\n20\n{y}\n40\n3\n50\n0\n51\n360\n73\n1\n97\n0\n75\n0\n76\n1\n98\n1\n10\n{x}\n20\n{y}\n"
            ),
        );
        d.add("CIRCLE", "E-LITE", &Draw::circle((x, y), 3.0));
    }
    let ran = mend(&d.done(), "");
    ran.is_mended();
    // The centre, the seed, and the circle's centre; its height stays 0.
    assert_eq!(ran.what(), [("HATCH", 20), ("HATCH", 20), ("CIRCLE", 20)]);
    for i in 0..3 {
        assert!((by(&ran, i) + OFF).abs() < 1e-9, "{:?}", ran.changed);
    }
}
