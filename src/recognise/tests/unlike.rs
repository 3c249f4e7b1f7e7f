//! Symbols on light layers that are no recessed lights by their form or place, and kinds of unlike size.

use super::{Sheet, has_note};
use crate::note::Note;
use crate::rules::Rules;

/// Symbols of a block, a circle each.
fn circles(sheet: &mut Sheet, block: &str, places: &[(f64, f64)], radius: f64) {
    for at in places {
        let insert = sheet.insert("E-LITE-CLNG", block, *at);
        let circle = sheet.circle("0", *at, radius);
        sheet.put(circle, insert);
    }
}

fn row(y: f64, count: usize) -> Vec<(f64, f64)> {
    (0..count).map(|i| (24.0 + 48.0 * i as f64, y)).collect()
}

fn message<'a>(notes: &'a [Note], code: &str) -> &'a str {
    notes.iter().find(|n| n.code == code).map_or("", |n| &n.message)
}

#[test]
fn a_bar_is_no_recessed_light_and_one_with_an_aperture_is() {
    let mut sheet = Sheet::default();
    circles(&mut sheet, "*U7", &row(60.0, 6), 3.0);
    for (x, y) in [(60.0, 120.0), (160.0, 120.0)] {
        let insert = sheet.insert("E-LITE-CLNG", "*U8", (x, y));
        for (a, b) in [
            ((x - 24.0, y - 2.0), (x + 24.0, y - 2.0)),
            ((x - 24.0, y + 2.0), (x + 24.0, y + 2.0)),
        ] {
            let line = sheet.line("0", a, b);
            sheet.put(line, insert);
        }
    }
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert_eq!(plan.lights.len(), 6, "{notes:?}");
    let told = message(&notes, "evidence-asks");
    assert!(
        told.starts_with("block *U8 on light layer E-LITE-CLNG is 48\" long and 4\" wide"),
        "{told}"
    );
    // The bars of a housing run as far, about its aperture.
    circles(&mut sheet, "HOUSING", &[(300.0, 120.0), (360.0, 120.0)], 3.0);
    for x in [400.0, 460.0] {
        let held = sheet.insert("E-LITE-CLNG", "BARS", (x, 120.0));
        for item in [
            sheet.line("0", (x - 12.0, 118.0), (x + 12.0, 118.0)),
            sheet.line("0", (x - 12.0, 122.0), (x + 12.0, 122.0)),
            sheet.circle("0", (x, 120.0), 3.0),
        ] {
            sheet.put(item, held);
        }
    }
    assert_eq!(sheet.read_by(&Rules::default()).0.lights.len(), 10);
}

#[test]
fn what_stands_against_walls_each_time_is_a_sconce() {
    let mut sheet = Sheet::default();
    for (a, b) in [
        ((0.0, 0.0), (300.0, 0.0)),
        ((0.0, -4.5), (300.0, -4.5)),
        ((0.0, 200.0), (300.0, 200.0)),
    ] {
        sheet.line("A-WALL", a, b);
    }
    circles(&mut sheet, "R6", &row(100.0, 6), 3.0);
    // Three of four at the wall leave it open.
    circles(
        &mut sheet,
        "WS",
        &[(50.0, 3.0), (150.0, 3.0), (250.0, 197.0), (250.0, 150.0)],
        3.0,
    );
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert_eq!(plan.lights.len(), 10, "{notes:?}");
    circles(&mut sheet, "V3", &[(50.0, 3.2), (150.0, 196.6)], 3.0);
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert_eq!(plan.lights.len(), 10, "{notes:?}");
    let told = message(&notes, "evidence-asks");
    assert!(
        told.starts_with("block V3 on light layer E-LITE-CLNG stands against a wall each time (2)"),
        "{told}"
    );
}

#[test]
fn one_symbol_at_a_wall_is_asked_about_unless_its_name_is_a_recessed_light_s() {
    for (block, lights) in [("V3", 6), ("DOWNLIGHT", 7)] {
        let mut sheet = Sheet::default();
        sheet.line("A-WALL", (0.0, 0.0), (300.0, 0.0));
        circles(&mut sheet, "R6", &row(100.0, 6), 3.0);
        circles(&mut sheet, block, &[(50.0, 3.0)], 3.0);
        assert_eq!(sheet.read_by(&Rules::default()).0.lights.len(), lights, "{block}");
    }
}

#[test]
fn kinds_of_unlike_size_are_told_of_where_no_name_tells_them_apart() {
    for (first, second, told) in [
        ("X1", "X2", true),
        ("RL-6", "LIGHT", true),
        ("RL-6", "DOWNLIGHT-10", false),
        ("CAN", "X2", true),
    ] {
        let mut sheet = Sheet::default();
        circles(&mut sheet, first, &row(60.0, 6), 3.0);
        circles(&mut sheet, second, &row(120.0, 4), 5.0);
        let (plan, notes) = sheet.read_by(&Rules::default());
        assert_eq!(plan.lights.len(), 10, "{first} {second}");
        assert_eq!(
            has_note(&notes, "lights-unlike"),
            told,
            "{first} {second}: {notes:?}"
        );
    }
    let mut sheet = Sheet::default();
    circles(&mut sheet, "X1", &row(60.0, 6), 3.0);
    circles(&mut sheet, "X2", &row(120.0, 4), 3.25);
    assert!(!has_note(&sheet.read_by(&Rules::default()).1, "lights-unlike"));
}
