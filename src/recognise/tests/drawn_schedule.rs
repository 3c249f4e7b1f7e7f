//! A light schedule that is drawn as texts.

use super::Sheet;
use crate::recognise::drawn_schedule::{drawn_schedule, told};
use crate::rules::{Luminaire, Mount};

fn table(heading: &str, rows: &[&[(f64, &str)]]) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.text("A-ANNO", (100.0, 500.0), heading);
    for (i, row) in rows.iter().enumerate() {
        for &(x, text) in *row {
            sheet.text("A-ANNO", (100.0 + x, 480.0 - 15.0 * i as f64), text);
        }
    }
    sheet
}

const HEADS: &[(f64, &str)] = &[
    (0.0, "TYPE"),
    (40.0, "DESCRIPTION"),
    (300.0, "LUMENS"),
    (360.0, "QTY"),
];

#[test]
fn types_apertures_lumens_and_ratings_are_read() {
    let sheet = table(
        "LIGHT FIXTURE SCHEDULE",
        &[
            HEADS,
            &[
                (2.0, "R6"),
                (40.0, "6\" RECESSED LED DOWNLIGHT, IC RATED"),
                (302.0, "900"),
                (362.0, "24"),
            ],
            &[
                (2.0, "R4"),
                (40.0, "RECESSED 4 IN. APERTURE, NON-IC,"),
                (302.0, "600 LM"),
                (362.0, "6"),
            ],
            &[(40.0, "REMODEL HOUSING")],
            &[(2.0, "P1"), (40.0, "PENDANT, BY OWNER"), (362.0, "3")],
            &[(2.0, "R9"), (40.0, "RECESSED WALL WASH"), (362.0, "2")],
        ],
    );
    let found = drawn_schedule(&sheet.flat);
    let r6 = Luminaire {
        lumens: Some(900.0),
        ..Luminaire::of_aperture("R6", 6.0)
    };
    let r4 = Luminaire {
        lumens: Some(600.0),
        ic: false,
        mount: Mount::OldWork,
        ..Luminaire::of_aperture("R4", 4.0)
    };
    assert_eq!(found.entries, [r6, r4]);
    let left: Vec<&str> = found.left.iter().map(|l| l.0.as_str()).collect();
    assert_eq!(left, ["P1", "R9"]);
}

#[test]
fn metric_sizes_and_a_column_of_their_own() {
    let heads: &[(f64, &str)] = &[(0.0, "MARK"), (40.0, "APERTURE"), (100.0, "DESCRIPTION")];
    let rows: &[&[(f64, &str)]] = &[
        heads,
        &[(0.0, "A"), (40.0, "150 MM"), (100.0, "RECESSED, TYPE IC")],
        &[(0.0, "B"), (40.0, "5"), (100.0, "RECESSED")],
    ];
    let found = drawn_schedule(&table("Luminaire Schedule", rows).flat);
    let sizes: Vec<(&str, f64, bool)> = (found.entries.iter())
        .map(|e| (e.tag.as_str(), e.aperture, e.ic))
        .collect();
    // 150 mm in inches; a rating that is not written is not taken for granted.
    assert_eq!(sizes, [("A", 150.0 / 25.4, true), ("B", 5.0, false)]);
}

#[test]
fn other_schedules_and_notes_are_none() {
    let door: &[(f64, &str)] = &[(0.0, "D1"), (40.0, "6\" RECESSED PULL")];
    for heading in ["DOOR SCHEDULE", "SEE THE LIGHT FIXTURE SCHEDULE ON SHEET E2"] {
        let found = drawn_schedule(&table(heading, &[HEADS, door]).flat);
        assert!(found.entries.is_empty() && found.left.is_empty(), "{heading}");
    }
}

/// Types are numbered on some plans (common practice).
#[test]
fn marks_may_be_numbers_where_the_heading_says_that_it_is_a_schedule() {
    let rows: &[&[(f64, &str)]] = &[
        HEADS,
        &[(2.0, "1"), (40.0, "6\" RECESSED")],
        &[(2.0, "2"), (40.0, "PENDANT")],
        &[(2.0, "NOTES:")],
        &[(2.0, "3"), (40.0, "4\" RECESSED HOUSINGS ARE BY OTHERS")],
    ];
    let found = drawn_schedule(&table("LIGHTING FIXTURE SCHEDULE", rows).flat);
    let tags: Vec<&str> = found.entries.iter().map(|e| e.tag.as_str()).collect();
    assert_eq!((tags, found.left.len()), (vec!["1"], 1));
    assert_eq!(found.left[0].0, "2");
    let found = drawn_schedule(&table("LIGHTING LEGEND", rows).flat);
    assert!(found.entries.is_empty() && found.left.is_empty());
}

fn sizes(sheet: &Sheet) -> Vec<(String, f64)> {
    let found = drawn_schedule(&sheet.flat);
    found.entries.into_iter().map(|e| (e.tag, e.aperture)).collect()
}

fn two() -> Vec<(String, f64)> {
    vec![("A".into(), 6.0), ("B".into(), 4.0)]
}

#[test]
fn a_mark_in_the_middle_of_its_row_has_the_words_above_it_too() {
    let rows: &[&[(f64, &str)]] = &[
        HEADS,
        &[(40.0, "6\" RECESSED LIGHT")],
        &[(2.0, "A"), (300.0, "900")],
        &[(40.0, "WHITE BAFFLE")],
        &[(40.0, "4\" RECESSED LIGHT")],
        &[(2.0, "B"), (300.0, "600")],
        &[(40.0, "BLACK BAFFLE")],
    ];
    let mut sheet = table("LIGHTING FIXTURE SCHEDULE", rows);
    for row in [0.0, 1.0, 4.0, 7.0] {
        let y = 490.0 - 15.0 * row;
        sheet.line("A-ANNO", (95.0, y), (500.0, y));
    }
    assert_eq!(sizes(&sheet), two());
}

/// A table in one text with tabs, a list, and a title below its table (common practice).
#[test]
fn tables_in_one_text_lists_and_titles_below() {
    let text = |text: &str| {
        let mut sheet = Sheet::default();
        sheet.text("A-ANNO", (100.0, 300.0), text);
        sheet
    };
    let tabbed = "TYPE\tDESCRIPTION\tMOUNT\nA\t6\" LED DOWNLIGHT\tRECESSED\nB\t4\" LED\tREC.";
    assert_eq!(
        sizes(&text(&format!("LIGHTING FIXTURE SCHEDULE\n{tabbed}"))),
        two()
    );
    let mut apart = text(tabbed);
    apart.text("A-ANNO", (100.0, 345.0), "LIGHTING FIXTURE SCHEDULE");
    assert_eq!(sizes(&apart), two());
    let list =
        "FIXTURE SCHEDULE:\nTYPE A: 6\" RECESSED DOWNLIGHT\nTYPE B: 4\" RECESSED DOWNLIGHT\nTYPE C: PENDANT";
    assert_eq!(sizes(&text(list)), two());
    let below: &[&[(f64, &str)]] = &[
        HEADS,
        &[(2.0, "A"), (40.0, "6\" RECESSED")],
        &[(2.0, "B"), (40.0, "4\" RECESSED")],
    ];
    let mut sheet = table("NO SCALE", below);
    sheet.text("A-ANNO", (100.0, 425.0), "LUMINAIRE SCHEDULE");
    assert_eq!(sizes(&sheet), two());
}

#[test]
fn the_default_entry_is_a_six_inch_one() {
    let of = Luminaire::of_aperture("", 6.0);
    assert_eq!(of, Luminaire::default());
}

/// The table's lines about `rows` rows of 15, from 95 to 500 along.
fn ruled(sheet: &mut Sheet, rows: usize) {
    for n in 0..=rows {
        let y = 490.0 - 15.0 * n as f64;
        sheet.line("A-ANNO", (95.0, y), (500.0, y));
    }
    for x in [95.0, 500.0] {
        sheet.line("A-ANNO", (x, 490.0), (x, 490.0 - 15.0 * rows as f64));
    }
}

#[test]
fn a_table_ends_at_its_border() {
    let rows: &[&[(f64, &str)]] = &[
        HEADS,
        &[(2.0, "R6"), (40.0, "6\" RECESSED")],
        // The words right of the border are a legend's, the line below is another table's.
        &[(2.0, "P1"), (40.0, "PENDANT"), (430.0, "6\" RECESSED DOWNLIGHT")],
        &[(2.0, "X9"), (40.0, "4\" RECESSED")],
    ];
    let mut sheet = table("LIGHT FIXTURE SCHEDULE", rows);
    ruled(&mut sheet, 3);
    let found = drawn_schedule(&sheet.flat);
    let tags: Vec<&str> = found.entries.iter().map(|e| e.tag.as_str()).collect();
    assert_eq!(tags, ["R6"]);
    assert_eq!(found.left, [("P1".to_string(), "no recessed light")]);
    // Without lines it ends after a wide gap.
    let rows: &[&[(f64, &str)]] = &[HEADS, &[(2.0, "P1"), (40.0, "PENDANT"), (560.0, "6\" RECESSED")]];
    let found = drawn_schedule(&table("LIGHT FIXTURE SCHEDULE", rows).flat);
    assert_eq!(found.left, [("P1".to_string(), "no recessed light")]);
}

#[test]
fn a_mark_with_two_sizes_is_asked_about() {
    let rows: &[&[(f64, &str)]] = &[
        HEADS,
        &[(2.0, "A"), (40.0, "6\" RECESSED")],
        &[(2.0, "B"), (40.0, "5\" RECESSED")],
        &[(2.0, "A"), (40.0, "4\" RECESSED")],
        &[(2.0, "B"), (40.0, "5\" RECESSED, AT STAIR")],
    ];
    let found = drawn_schedule(&table("LIGHT FIXTURE SCHEDULE", rows).flat);
    let tags: Vec<&str> = found.entries.iter().map(|e| e.tag.as_str()).collect();
    assert_eq!(
        (tags, &found.twice[..]),
        (vec!["B"], &[("A".to_string(), 6.0, 4.0)][..])
    );
    let notes = told(&found, true, false);
    assert!(
        notes
            .iter()
            .any(|n| n.code == "schedule-twice" && n.message.starts_with("A stands twice"))
    );
}

#[test]
fn spanish_tables_and_ones_without_heads() {
    let heads: &[(f64, &str)] = &[(0.0, "TIPO"), (40.0, "DESCRIPCIÓN"), (200.0, "DIÁMETRO")];
    let row: &[(f64, &str)] = &[(0.0, "A"), (40.0, "EMPOTRADO LED"), (200.0, "150")];
    let found = drawn_schedule(&table("CUADRO DE LUMINARIAS", &[heads, row]).flat);
    assert_eq!(
        found.entries,
        [Luminaire {
            ic: false,
            ..Luminaire::of_aperture("A", 150.0 / 25.4)
        }]
    );
    assert!(found.unread.is_empty());
    let bare: &[&[(f64, &str)]] = &[
        &[(0.0, "A"), (40.0, "6\" RECESSED")],
        &[(0.0, "B"), (40.0, "4\" RECESSED")],
    ];
    let found = drawn_schedule(&table("LIGHTING FIXTURE SCHEDULE", bare).flat);
    assert!(found.entries.is_empty());
    assert_eq!(found.unread, ["LIGHTING FIXTURE SCHEDULE"]);
    assert!(
        told(&found, false, false)
            .iter()
            .any(|n| n.code == "schedule-unread")
    );
}
