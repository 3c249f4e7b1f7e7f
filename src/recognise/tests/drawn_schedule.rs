//! A light schedule that is drawn as texts.

use super::Sheet;
use crate::recognise::drawn_schedule::{DrawnSchedule, Left, WhyLeft, drawn_schedule, told};
use crate::rules::{Luminaire, Means, Mount, Rules};

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

fn pendant() -> Left {
    Left {
        mark: "P1".to_string(),
        words: "PENDANT".to_string(),
        why: WhyLeft::Other(Means::AtTheCeiling),
    }
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
    let left: Vec<&str> = found.left.iter().map(|l| l.mark.as_str()).collect();
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
    // 150 mm in inches.
    assert_eq!(sizes, [("A", 150.0 / 25.4, true), ("B", 5.0, true)]);
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
    assert_eq!(found.left[0].mark, "2");
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
    assert_eq!(found.left, [pendant()]);
    // Without lines it ends after a wide gap.
    let rows: &[&[(f64, &str)]] = &[HEADS, &[(2.0, "P1"), (40.0, "PENDANT"), (560.0, "6\" RECESSED")]];
    let found = drawn_schedule(&table("LIGHT FIXTURE SCHEDULE", rows).flat);
    assert_eq!(found.left, [pendant()]);
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
    assert_eq!(found.entries, [Luminaire::of_aperture("A", 150.0 / 25.4)]);
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

/// One line of a table with marks, descriptions and a third column.
fn row(head: &str, description: &str, cell: &str) -> DrawnSchedule {
    let rows: &[&[(f64, &str)]] = &[
        &[(0.0, "TYPE"), (40.0, "DESCRIPTION"), (300.0, head)],
        &[(0.0, "A"), (40.0, description), (300.0, cell)],
    ];
    drawn_schedule(&table("LIGHT FIXTURE SCHEDULE", rows).flat)
}

#[test]
fn the_aperture_among_other_sizes() {
    // Derived: an inch is 25.4 mm.
    for (head, description, cell, aperture) in [
        ("REMARKS", "RECESSED LED 3-5/8\"", "", 3.625),
        ("REMARKS", "4 1/4\" RECESSED LED", "", 4.25),
        ("REMARKS", "7 1/2\" DEEP HOUSING, 4\" APERTURE RECESSED", "", 4.0),
        (
            "REMARKS",
            "RECESSED DOWNLIGHT 4 INCH APERTURE, 7 1/2\" HOUSING HEIGHT",
            "",
            4.0,
        ),
        ("REMARKS", "APERTURE 4\" HEIGHT 7\" RECESSED", "", 4.0),
        ("REMARKS", "RECESSED, 8\" MAX FROM WALL, 4\" TRIM", "", 4.0),
        ("REMARKS", "6\" HIGH OUTPUT RECESSED LED 12W MAX", "", 6.0),
        ("REMARKS", "6\" RECESSED LED, FITS 4\" J-BOX", "", 6.0),
        ("REMARKS", "RECESSED CAN 12W 4\"", "5\" HEIGHT", 4.0),
        ("DIA.", "RECESSED LED", "10 cm", 100.0 / 25.4),
        ("DIA.", "RECESSED LED", "Ø10cm", 100.0 / 25.4),
        ("DIA.", "RECESSED LED", "8,5 cm", 85.0 / 25.4),
        ("DIA.", "RECESSED LED", "100 MM (4\")", 4.0),
        ("DIA.", "RECESSED LED", "4 1/2", 4.5),
        ("DIA (CM)", "RECESSED LED", "10", 100.0 / 25.4),
        ("DIA.", "RECESSED LED", "D=100", 100.0 / 25.4),
        ("SIZE", "RECESSED LED", "4\"x4\"", 4.0),
        ("HEIGHT", "4\" RECESSED LED", "6\"", 4.0),
    ] {
        let found = row(head, description, cell);
        let said = format!("{head} {description} {cell}: {found:?}");
        assert_eq!(found.entries.len(), 1, "{said}");
        assert!((found.entries[0].aperture - aperture).abs() < 1e-9, "{said}");
    }
}

#[test]
fn sizes_that_are_not_certain_are_asked_about() {
    for (head, description, cell) in [
        ("REMARKS", "12\" LONG RECESSED 4\" WIDE LINEAR", ""),
        ("REMARKS", "4\" RECESSED OR 6\" RECESSED", ""),
        ("REMARKS", "RECESSED 4-6\" JUNCTION BOX LED", ""),
        ("REMARKS", "5/6\" RECESSED LED", ""),
        ("SIZE", "RECESSED LED", "6\"/4\""),
        ("SIZE", "RECESSED LED", "2\" TO 4\""),
        ("DIÁM.", "EMPOTRADO LED", "Ø 10"),
        ("SIZE", "RECESSED LED", "MR16"),
    ] {
        let found = row(head, description, cell);
        assert!(found.entries.is_empty(), "{head} {description} {cell}: {found:?}");
        let notes = told(&found, false, false);
        let asked = (notes.iter()).any(|n| n.code == "schedule-size" && n.message.contains("tag = \"A\""));
        assert!(asked, "{head} {description} {cell}: {notes:?}");
    }
}

#[test]
fn a_cutout_is_the_hole_and_not_the_aperture() {
    let found = row("CUTOUT", "4\" RECESSED LED", "4 1/4\"");
    let entry = &found.entries[0];
    assert_eq!((entry.aperture, entry.opening), (4.0, 4.25));
    // The usual hole is 3/8 in larger than the aperture (common practice).
    let found = row("CUT-OUT", "RECESSED LED", "4 3/8");
    let entry = &found.entries[0];
    assert_eq!((entry.aperture, entry.opening), (4.0, 4.375));
    let found = row("CUTOUT", "4\" RECESSED LED", "4 1/4\" DIA");
    let entry = &found.entries[0];
    assert_eq!((entry.aperture, entry.opening), (4.0, 4.25));
}

#[test]
fn type_ic_is_what_the_table_says() {
    for (head, cell, ic, said) in [
        ("REMARKS", "", true, false),
        ("REMARKS", "IC RATED", true, true),
        ("REMARKS", "NON-IC", false, true),
        ("REMARKS", "NOT IC RATED", false, true),
        // Not in contract.
        ("REMARKS", "N.I.C.", true, false),
        ("REMARKS", "NIC", true, false),
        ("IC", "NO", false, true),
        ("IC", "YES", true, true),
    ] {
        let found = row(head, "6\" RECESSED LED", cell);
        assert_eq!(found.entries[0].ic, ic, "{head} {cell}");
        let notes = told(&found, true, false);
        let noted = notes
            .iter()
            .any(|n| n.code == "schedule-ic" && n.message.contains("whether A may"));
        assert_eq!(noted, !said, "{head} {cell}: {notes:?}");
    }
}

#[test]
fn lines_that_are_no_entries_explain_their_marks() {
    let rows: &[&[(f64, &str)]] = &[
        HEADS,
        &[(0.0, "A"), (40.0, "6\" RECESSED")],
        &[(0.0, "B"), (40.0, "RECESSED")],
        &[(0.0, "P"), (40.0, "PENDANT")],
        &[(0.0, "S"), (40.0, "WALL SCONCE")],
        &[(0.0, "D"), (40.0, "DECORATIVE")],
    ];
    let found = drawn_schedule(&table("LIGHT FIXTURE SCHEDULE", rows).flat);
    let of = |rules: &Rules| -> Vec<(String, Means)> {
        let all = found.explained(rules).into_iter();
        all.map(|e| (e.tag, e.means)).collect()
    };
    let all = [
        ("B".to_string(), Means::Light),
        ("P".to_string(), Means::AtTheCeiling),
        ("S".to_string(), Means::Elsewhere),
        ("D".to_string(), Means::Light),
    ];
    assert_eq!(of(&Rules::default()), all);
    // What the rules list is theirs.
    let rules = Rules {
        luminaires: vec![Luminaire::of_aperture("P", 4.0)],
        ..Rules::default()
    };
    assert_eq!(of(&rules), [all[0].clone(), all[2].clone(), all[3].clone()]);
}

#[test]
fn a_size_in_its_own_column_makes_a_light_of_few_words_an_entry() {
    let found = row("SIZE", "LED", "6\"");
    assert_eq!(found.entries, [Luminaire::of_aperture("A", 6.0)]);
}

#[test]
fn heads_and_cells_of_marks() {
    for (head, cell, marks) in [
        ("LTR", "A", &["A"][..]),
        ("FIXT.", "A", &["A"]),
        ("FIXTURE TYPE", "A", &["A"]),
        ("TYPE", "A/AE", &["A", "AE"]),
        ("TYPE", "B1, B2", &["B1", "B2"]),
        ("TYPE", "A/1", &["A/1"]),
    ] {
        let rows: &[&[(f64, &str)]] = &[
            &[(0.0, head), (60.0, "DESCRIPTION")],
            &[(0.0, cell), (60.0, "RECESSED LED, SIX INCH")],
        ];
        let found = drawn_schedule(&table("LIGHT FIXTURE SCHEDULE", rows).flat);
        let tags: Vec<&str> = found.entries.iter().map(|e| e.tag.as_str()).collect();
        assert_eq!(tags, marks, "{head} {cell}");
        assert!(found.unread.is_empty());
    }
}
