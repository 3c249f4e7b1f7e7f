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
fn titles_may_be_attributes_of_blocks() {
    let mut sheet = Sheet::default();
    house(&mut sheet, 0.0);
    house(&mut sheet, 800.0);
    for (x, title) in [(60.0, "FIRST FLOOR PLAN"), (860.0, "SECOND FLOOR PLAN")] {
        let mark = sheet.insert("A-ANNO", "VIEW TITLE", (x, -60.0));
        sheet.attrib(mark, "NO", "1");
        sheet.attrib(mark, "TITLE", title);
    }
    let told = said(&sheet).expect("a note");
    assert!(
        told.contains("\"FIRST FLOOR PLAN\" (3 lights), \"SECOND FLOOR PLAN\" (3 lights)"),
        "{told}"
    );
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

#[test]
fn storeys_without_the_word_plan_are_titles_too() {
    for (one, other) in [
        ("FIRST FLOOR", "SECOND FLOOR"),
        ("LEVEL 1 RCP", "LEVEL 2 - LIGHTING"),
        ("1階 天井伏図", "2階 天井伏図"),
        ("Erdgeschoss", "Obergeschoss"),
    ] {
        let mut sheet = Sheet::default();
        house(&mut sheet, 0.0);
        house(&mut sheet, 700.0);
        sheet.text("A-ANNO", (60.0, -60.0), one);
        sheet.text("A-ANNO", (760.0, -60.0), other);
        let told = said(&sheet).expect("a note");
        let wanted = format!("holds 2 plans: \"{one}\" (3 lights), \"{other}\" (3 lights)");
        assert!(told.contains(&wanted), "{told}");
    }
}

#[test]
fn plans_that_stand_apart_without_titles_are_asked_about() {
    let mut sheet = Sheet::default();
    house(&mut sheet, 0.0);
    house(&mut sheet, 700.0);
    let told = said(&sheet).expect("a note");
    let wanted = "2 plans: plan 1 without a title, on the left (3 lights), plan 2 without a title, on the right (3 lights)";
    assert!(
        told.contains(wanted) && told.contains("if they are of one house"),
        "{told}"
    );
    // Walls without lights are no ceiling to check.
    let mut sheet = Sheet::default();
    house(&mut sheet, 0.0);
    let bare = [(700.0, 0.0), (1060.0, 0.0), (1060.0, 240.0), (700.0, 240.0)];
    sheet.path("A-WALL", &bare, true);
    assert_eq!(said(&sheet), None);
}

#[test]
fn lights_beside_the_title_of_a_detail_are_asked_about() {
    let mut sheet = Sheet::default();
    house(&mut sheet, 0.0);
    for x in [420.0, 440.0] {
        sheet.light("LT-R6", (x, 60.0));
    }
    sheet.text("A-ANNO", (410.0, 30.0), "TYPICAL DOWNLIGHT DETAIL");
    // In a room it is a note.
    sheet.text("A-ANNO", (90.0, 100.0), "DETAIL 3");
    let (plan, notes) = sheet.read();
    assert_eq!(plan.lights.len(), 5);
    let told: Vec<&str> = (notes.iter().filter(|n| n.code == "detail-lights"))
        .map(|n| n.message.as_str())
        .collect();
    let wanted = "L4, L5 stand in no room beside \"TYPICAL DOWNLIGHT DETAIL\": they are counted; turn them off if they are of \
                  that detail";
    assert_eq!(told, [wanted]);
}

/// A part of `wide` by 80 in with its corner at `x`, one light and a title of its own below it, or in it.
fn option(sheet: &mut Sheet, x: f64, wide: f64, title: &str, below: bool) {
    let ring = [(x, 0.0), (x + wide, 0.0), (x + wide, 100.0), (x, 100.0)];
    sheet.path("A-WALL", &ring, true);
    sheet.light("LT-R6", (x + wide / 2.0, 60.0));
    let at = if below { (x, -40.0) } else { (x + 4.0, 20.0) };
    sheet.text("A-ANNO", at, title);
}

#[test]
fn an_option_drawn_beside_its_plan_is_a_plan_of_its_own() {
    for (x, wide) in [(600.0, 120.0), (600.0, 62.0), (430.0, 120.0)] {
        for title in ["OPT. BEDROOM 4", "OPTIONAL BATH", "ALT. KITCHEN"] {
            for (main, below) in [
                ("FIRST FLOOR PLAN", true),
                ("FIRST FLOOR PLAN", false),
                ("", true),
            ] {
                let mut sheet = Sheet::default();
                house(&mut sheet, 0.0);
                option(&mut sheet, x, wide, title, below);
                if !main.is_empty() {
                    sheet.text("A-ANNO", (60.0, -60.0), main);
                }
                let told = said(&sheet).unwrap_or_else(|| panic!("{x} {wide} {title} {main} {below}"));
                assert!(told.contains(&format!("\"{title}\" (1 light)")), "{told}");
            }
        }
    }
    // A room's own name in the plan, and what has no walls, are none.
    let mut sheet = Sheet::default();
    house(&mut sheet, 0.0);
    sheet.text("A-ANNO", (60.0, 30.0), "OPT. BEDROOM 4");
    sheet.text("A-ANNO", (60.0, -60.0), "FIRST FLOOR PLAN");
    sheet.text("A-ANNO", (60.0, 300.0), "OPTIONAL COVERED PATIO");
    let (_, notes) = sheet.read();
    assert!(
        !has_note(&notes, "several-plans") && !has_note(&notes, "plans-near"),
        "{notes:#?}"
    );
}
