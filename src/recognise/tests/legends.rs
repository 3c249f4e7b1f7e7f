//! Symbols in legends and schedules are no lights of a room.

use super::{Sheet, has_note};
use crate::note::Level;

/// A plan of three lights, and a legend of two of its symbols beside it.
fn with_legend(heading: &str) -> Sheet {
    let mut sheet = Sheet::default();
    for x in [24.0, 72.0, 120.0] {
        sheet.light("LT-R6", (x, 60.0));
    }
    sheet.text("A-ANNO", (300.0, 200.0), heading);
    for (y, block, words) in [
        (180.0, "LT-R6", "RECESSED LIGHT, TYPE R6"),
        (160.0, "LT-R4", "RECESSED LIGHT, TYPE R4"),
    ] {
        sheet.light(block, (306.0, y));
        sheet.text("A-ANNO", (330.0, y - 3.0), words);
    }
    sheet
}

#[test]
fn symbols_under_a_heading_with_words_beside_them_are_no_lights() {
    let (plan, notes) = with_legend("LIGHTING LEGEND").read();
    assert_eq!(plan.lights.len(), 3);
    assert!(has_note(&notes, "legend-symbols"));
    let counts = plan.counts;
    assert_eq!(
        counts.entities,
        counts.claimed + counts.unclaimed + counts.dropped
    );
}

/// Words before their symbols, the short ones far from them, as in a legend that is set flush left.
#[test]
fn words_may_stand_to_the_left_of_the_symbols() {
    let legend = |heading: &str| {
        let mut sheet = Sheet::default();
        for x in [24.0, 72.0, 120.0] {
            sheet.light("LT-R6", (x, 60.0));
        }
        sheet.text("A-ANNO", (300.0, 200.0), heading);
        for (y, words) in [
            (180.0, "RECESSED LIGHT, WET LOCATION, TYPE R6"),
            (160.0, "PENDANT"),
        ] {
            sheet.light("LT-R6", (530.0, y));
            sheet.text("A-ANNO", (300.0, y - 3.0), words);
        }
        sheet
    };
    let (plan, notes) = legend("LIGHTING LEGEND").read();
    assert_eq!(plan.lights.len(), 3);
    assert!(has_note(&notes, "legend-symbols"));
    assert_eq!(legend("NORTH ELEVATION").read().0.lights.len(), 5);
    // A word far to the left of one light alone explains nothing.
    let mut sheet = Sheet::default();
    sheet.text("A-ANNO", (300.0, 200.0), "LIGHTING LEGEND");
    sheet.light("LT-R6", (530.0, 160.0));
    sheet.text("A-ANNO", (300.0, 157.0), "PENDANT");
    assert_eq!(sheet.read().0.lights.len(), 1);
}

/// Two columns of words before their symbols: the words between belong to the symbol after them.
#[test]
fn columns_of_words_and_symbols_read_from_where_they_begin() {
    let mut sheet = Sheet::default();
    for x in [24.0, 72.0, 120.0] {
        sheet.light("LT-R6", (x, 60.0));
    }
    sheet.text("A-ANNO", (300.0, 200.0), "LIGHTING LEGEND");
    for (k, words) in [
        "RECESSED DOWNLIGHT",
        "PENDANT LIGHT",
        "WALL SCONCE",
        "EXHAUST FAN",
    ]
    .iter()
    .enumerate()
    {
        let (x, y) = (300.0 + 180.0 * (k / 2) as f64, 180.0 - 16.0 * (k % 2) as f64);
        sheet.text("A-ANNO", (x, y - 3.0), words);
        sheet.light("LT-R6", (x + 140.0, y));
    }
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights.len(), 3);
}

#[test]
fn without_a_heading_they_are_counted() {
    let (plan, notes) = with_legend("NORTH ELEVATION").read();
    assert_eq!(plan.lights.len(), 5);
    assert!(!has_note(&notes, "legend-symbols"));
}

#[test]
fn lights_above_a_heading_or_far_below_it_are_counted() {
    let mut sheet = with_legend("LEGEND");
    for y in [230.0, 40.0] {
        sheet.light("LT-R6", (306.0, y));
        sheet.text("A-ANNO", (330.0, y - 3.0), "NOTE ON THIS LIGHT");
    }
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights.len(), 5);
}

#[test]
fn a_tag_to_the_right_does_not_explain() {
    let mut sheet = Sheet::default();
    sheet.text("A-ANNO", (0.0, 100.0), "SCHEDULE");
    for x in [24.0, 72.0, 120.0] {
        sheet.light("LT-R6", (x, 60.0));
        sheet.text("E-LITE", (x + 6.0, 57.0), "R6");
    }
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights.len(), 3);
}

/// A room of six lights from 0 to 192 by 132 with walls, and joists where asked.
fn with_room(joists: bool) -> Sheet {
    let mut sheet = Sheet::default();
    for (low, high) in [((0.0, 0.0), (192.0, 132.0)), ((-4.5, -4.5), (196.5, 136.5))] {
        let ring = [low, (high.0, low.1), high, (low.0, high.1)];
        sheet.path("A-WALL", &ring, true);
    }
    sheet.text("A-ANNO", (76.0, 64.0), "LIVING ROOM");
    for x in [48.0, 96.0, 144.0] {
        sheet.light("LT-R6", (x, 88.0));
        sheet.light("LT-R6", (x, 40.0));
    }
    let bays = if joists { 12 } else { 0 };
    for n in 0..bays {
        sheet.upright("S-JOIS", 8.0 + 16.0 * f64::from(n), 1.5, (0.0, 132.0));
    }
    sheet
}

/// Puts lines of a symbol and words below a heading.
fn legend_at(sheet: &mut Sheet, heading: Option<&str>, (x, y): (f64, f64), rows: usize) {
    if let Some(heading) = heading {
        sheet.text("A-ANNO", (x, y), heading);
    }
    for (n, words) in ["RECESSED DOWNLIGHT", "RECESSED WALL WASH", "SMALL RECESSED LIGHT"]
        .iter()
        .enumerate()
        .take(rows)
    {
        let y = y - 20.0 * (n + 1) as f64;
        sheet.light("LT-R6", (x + 6.0, y));
        sheet.text("A-ANNO", (x + 20.0, y - 3.0), words);
    }
}

#[test]
fn a_legend_beside_a_room_takes_none_of_its_lights() {
    // Wherever it stands, its lines are level with lights of the room in some of these.
    for (x, y) in [
        (230.0, 120.0),
        (215.0, 60.0),
        (260.0, 100.0),
        (40.0, -20.0),
        (-260.0, 110.0),
        (40.0, 220.0),
    ] {
        for joists in [false, true] {
            let mut sheet = with_room(joists);
            legend_at(&mut sheet, Some("LIGHTING LEGEND"), (x, y), 3);
            let (plan, notes) = sheet.read();
            assert_eq!(plan.lights.len(), 6, "({x}, {y})");
            let told = notes.iter().find(|n| n.code == "legend-symbols");
            assert!(
                told.is_some_and(|n| n
                    .message
                    .starts_with("3 light symbol(s) under \"LIGHTING LEGEND\"")),
                "{told:?}"
            );
        }
    }
}

#[test]
fn tables_and_notes_take_no_lights() {
    for heading in ["FIXTURE SCHEDULE", "DOOR SCHEDULE", "LEGEND"] {
        let mut sheet = with_room(true);
        sheet.text("A-ANNO", (215.0, 120.0), heading);
        for (n, words) in ["SOLID CORE", "HOLLOW CORE", "PAINTED"].iter().enumerate() {
            sheet.text("A-ANNO", (217.0, 98.0 - 12.0 * n as f64), words);
        }
        let (plan, notes) = sheet.read();
        assert_eq!(plan.lights.len(), 6, "{heading}");
        assert!(!has_note(&notes, "legend-symbols"));
    }
    for note in [
        "SEE FIXTURE SCHEDULE FOR TYPES",
        "KEY PAD",
        "SEE LEGEND",
        "LEGEND",
    ] {
        let mut sheet = with_room(false);
        sheet.text("A-ANNO", (60.0, 118.0), note);
        sheet.text("A-ANNO", (60.0, 86.0), "DOWNLIGHTS");
        let (plan, _) = sheet.read();
        assert_eq!(plan.lights.len(), 6, "{note}");
    }
}

#[test]
fn a_legend_in_a_blank_outline_is_left_out_and_said() {
    let mut sheet = with_room(false);
    sheet.path(
        "A-WALL",
        &[(230.0, 0.0), (430.0, 0.0), (430.0, 132.0), (230.0, 132.0)],
        true,
    );
    legend_at(&mut sheet, Some("SYMBOL LEGEND"), (250.0, 110.0), 3);
    let (plan, notes) = sheet.read();
    assert_eq!(plan.lights.len(), 6);
    let told = notes.iter().find(|n| n.code == "legend-symbols");
    assert!(told.is_some_and(|n| n.level == Level::Warning && n.message.contains("SYMBOL LEGEND")));
}

#[test]
fn lights_in_a_room_that_look_like_a_legend_are_counted_and_asked_about() {
    let mut sheet = with_room(false);
    sheet.path(
        "A-WALL",
        &[(230.0, 0.0), (430.0, 0.0), (430.0, 132.0), (230.0, 132.0)],
        true,
    );
    legend_at(&mut sheet, Some("SYMBOL LEGEND"), (250.0, 110.0), 3);
    sheet.text("A-ANNO", (330.0, 120.0), "PANTRY");
    let (plan, notes) = sheet.read();
    assert_eq!(plan.lights.len(), 9);
    assert!(has_note(&notes, "legend-in-room") && !has_note(&notes, "legend-symbols"));
}

#[test]
fn other_symbols_stand_between_a_legends_lights_and_it_has_columns() {
    let mut sheet = with_room(false);
    sheet.text("A-ANNO", (300.0, 200.0), "ELECTRICAL LEGEND");
    for n in 0..8 {
        let y = 180.0 - 20.0 * f64::from(n);
        sheet.text(
            "A-ANNO",
            (330.0, y - 3.0),
            &format!("DEVICE NUMBER {}", ["A", "B"][n as usize % 2]),
        );
        sheet.text("A-ANNO", (530.0, y - 3.0), "DEVICE OF ANOTHER KIND");
    }
    // The first and the last line of the first column, one of the second.
    for at in [(312.0, 180.0), (312.0, 40.0), (512.0, 100.0)] {
        sheet.light("LT-R6", at);
    }
    assert_eq!(sheet.read().0.lights.len(), 6);
}

#[test]
fn a_column_of_symbols_with_words_beyond_all_rooms_is_a_legend_without_a_heading() {
    let mut sheet = with_room(true);
    legend_at(&mut sheet, None, (300.0, 110.0), 3);
    let (plan, notes) = sheet.read();
    assert_eq!(plan.lights.len(), 6);
    let told = notes.iter().find(|n| n.code == "legend-symbols");
    assert!(told.is_some_and(|n| n.level == Level::Warning && n.message.contains("RECESSED DOWNLIGHT")));
    // One symbol with a note, or one note repeated, is no legend.
    let mut sheet = with_room(true);
    legend_at(&mut sheet, None, (300.0, 110.0), 1);
    assert_eq!(sheet.read().0.lights.len(), 7);
    let mut sheet = with_room(true);
    for y in [100.0, 70.0] {
        sheet.light("LT-R6", (300.0, y));
        sheet.text("A-ANNO", (312.0, y - 3.0), "SOFFIT LIGHT");
    }
    assert_eq!(sheet.read().0.lights.len(), 8);
}

#[test]
fn samples_of_walls_and_members_in_a_legend_part_it_not() {
    let mut sheet = with_room(true);
    sheet.text("A-ANNO", (300.0, 200.0), "LEGEND");
    for (y, layer, words) in [
        (180.0, "A-WALL", "WALL TO REMAIN"),
        (160.0, "S-JOIS", "JOIST ABOVE"),
    ] {
        sheet.line(layer, (296.0, y), (316.0, y));
        sheet.text("A-ANNO", (322.0, y - 3.0), words);
    }
    sheet.light("LT-R6", (306.0, 140.0));
    sheet.text("A-ANNO", (322.0, 137.0), "RECESSED LIGHT");
    assert_eq!(sheet.read().0.lights.len(), 6);
}

#[test]
fn words_of_three_symbols_in_one_text() {
    let mut sheet = Sheet::default();
    for x in [24.0, 72.0, 120.0] {
        sheet.light("LT-R6", (x, 60.0));
    }
    sheet.text("A-ANNO", (300.0, 220.0), "LEGEND");
    for k in 0..3 {
        sheet.light("LT-R6", (306.0, 200.0 - 15.0 * f64::from(k)));
    }
    // Three lines 6 in high from y = 203 down, as lines of usual distance would lie: 5/3 of the height.
    sheet.text(
        "A-ANNO",
        (330.0, 203.0 - 6.0 - 20.0),
        "RECESSED LIGHT\nRECESSED LIGHT, IC\nRECESSED LIGHT, WET",
    );
    let (plan, notes) = sheet.read();
    assert_eq!(plan.lights.len(), 3);
    let note = notes.iter().find(|n| n.code == "legend-symbols");
    assert!(
        note.is_some_and(|n| n.message.starts_with("3 light symbol(s)")),
        "{note:?}"
    );
}

#[test]
fn a_row_of_symbols_with_words_below_each() {
    let legend = |heading: &str, words: [&str; 3]| {
        let mut sheet = Sheet::default();
        for x in [24.0, 72.0, 120.0] {
            sheet.light("LT-R6", (x, 60.0));
        }
        sheet.text("A-ANNO", (0.0, -40.0), heading);
        for (k, words) in words.into_iter().enumerate() {
            let x = 90.0 * k as f64;
            sheet.light("LT-R6", (20.0 + x, -60.0));
            sheet.text("A-ANNO", (8.0 + x, -76.0), words);
        }
        sheet.read().0.lights.len()
    };
    let words = ["RECESSED", "WALL WASH", "DOWNLIGHT"];
    assert_eq!(legend("LIGHTING LEGEND", words), 3);
    // A title of something else explains nothing, nor do types below lights.
    assert_eq!(legend("GENERAL NOTES", words), 6);
    assert_eq!(legend("LIGHTING LEGEND", ["R6", "R6", "R4"]), 6);
}

#[test]
fn a_table_whose_head_is_its_heading() {
    let mut sheet = Sheet::default();
    for x in [24.0, 72.0, 120.0] {
        sheet.light("LT-R6", (x, 60.0));
    }
    sheet.text("A-ANNO", (300.0, 220.0), "FIXTURES");
    for (x, text) in [(300.0, "SYM"), (330.0, "DESCRIPTION"), (460.0, "QTY")] {
        sheet.text("A-ANNO", (x, 205.0), text);
    }
    sheet.light("LT-R6", (306.0, 190.0));
    sheet.text("A-ANNO", (330.0, 187.0), "RECESSED LED 6\"");
    sheet.text("A-ANNO", (460.0, 187.0), "16");
    assert_eq!(sheet.read().0.lights.len(), 3);
}
