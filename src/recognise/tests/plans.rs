//! Several plans in one drawing are told apart and named; one house is one plan.

use super::{Sheet, has_note};

/// A house of 30 by 20 ft with its corner at `x`, and three lights.
fn house(sheet: &mut Sheet, x: f64) {
    let ring = [(x, 0.0), (x + 360.0, 0.0), (x + 360.0, 240.0), (x, 240.0)];
    sheet.path("A-WALL", &ring, true);
    for i in 1..=3 {
        sheet.light("LT-R6", (x + 90.0 * f64::from(i), 120.0));
    }
}

fn said(sheet: &Sheet) -> Option<String> {
    let (_, notes) = sheet.read();
    notes
        .into_iter()
        .find(|n| n.code == "several-plans")
        .map(|n| n.message)
}

#[test]
fn plans_side_by_side_are_named_by_their_titles() {
    let mut sheet = Sheet::default();
    // Drawn from right to left; told from left to right.
    house(&mut sheet, 800.0);
    house(&mut sheet, 0.0);
    sheet.light("LT-R6", (30.0, 30.0));
    sheet.text("A-ANNO", (60.0, -60.0), "FIRST FLOOR PLAN");
    sheet.text("A-ANNO", (860.0, -60.0), "REFLECTED CEILING PLAN - LEVEL 2");
    sheet.text(
        "A-ANNO",
        (860.0, -80.0),
        "SEE PLAN OF THE FOUNDATION FOR ALL FOOTINGS BELOW THIS WALL",
    );
    let told = said(&sheet).expect("a note");
    let wanted = "2 plans: \"FIRST FLOOR PLAN\" (4 lights), \"REFLECTED CEILING PLAN - LEVEL 2\" (3 lights)";
    assert!(told.contains(wanted), "{told}");
}

#[test]
fn one_house_is_one_plan() {
    let mut sheet = Sheet::default();
    house(&mut sheet, 0.0);
    sheet.text("A-ANNO", (60.0, -60.0), "FIRST FLOOR PLAN");
    sheet.text("A-ANNO", (60.0, 300.0), "KEY PLAN");
    assert_eq!(said(&sheet), None);
    // A garage stands apart, and has no title of its own.
    house(&mut sheet, 700.0);
    assert_eq!(said(&sheet), None);
    // Nearer than plans are set on a sheet it is a wing.
    let mut wing = Sheet::default();
    house(&mut wing, 0.0);
    house(&mut wing, 400.0);
    wing.text("A-ANNO", (60.0, -60.0), "FIRST FLOOR PLAN");
    wing.text("A-ANNO", (460.0, -60.0), "WING PLAN");
    assert_eq!(said(&wing), None);
}

#[test]
fn walls_that_stand_free_in_a_house_are_of_it_and_what_is_far_off_is_of_none() {
    let mut sheet = Sheet::default();
    // 100 by 80 ft, with a core of closets more than 30 ft from its walls.
    sheet.path(
        "A-WALL",
        &[(0.0, 0.0), (1200.0, 0.0), (1200.0, 960.0), (0.0, 960.0)],
        true,
    );
    sheet.path(
        "A-WALL",
        &[(500.0, 400.0), (700.0, 400.0), (700.0, 520.0), (500.0, 520.0)],
        true,
    );
    for x in [450.0, 600.0, 750.0] {
        sheet.light("LT-R6", (x, 300.0));
    }
    sheet.text("A-ANNO", (60.0, -60.0), "FIRST FLOOR PLAN");
    sheet.text("A-ANNO", (520.0, 450.0), "CORE PLAN");
    assert_eq!(said(&sheet), None, "one house");
    house(&mut sheet, 2000.0);
    sheet.text("A-ANNO", (2060.0, -60.0), "SECOND FLOOR PLAN");
    sheet.light("LT-R6", (1600.0, 2000.0));
    let told = said(&sheet).expect("a note");
    let wanted = "2 plans: \"FIRST FLOOR PLAN\" (3 lights), \"SECOND FLOOR PLAN\" (3 lights)";
    assert!(told.contains(wanted), "{told}");
}

#[test]
fn a_detail_is_no_plan_and_far_walls_end() {
    let mut sheet = Sheet::default();
    house(&mut sheet, 0.0);
    sheet.path("A-WALL", &[(900.0, 0.0), (960.0, 0.0), (960.0, 40.0)], true);
    sheet.text("A-ANNO", (60.0, -60.0), "FIRST FLOOR PLAN");
    sheet.text("A-ANNO", (900.0, -60.0), "CLOSET PLAN");
    assert_eq!(said(&sheet), None);
    sheet.line("A-WALL", (-1e12, 0.0), (1e12, 5.0));
    let (_, notes) = sheet.read();
    assert!(!has_note(&notes, "several-plans"));
}
