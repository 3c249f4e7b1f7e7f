//! Plans of one house beside each other: framing that is laid over the lights, and lights that are drawn twice.

use super::{Sheet, has_note, inches, rules};
use crate::note::{Level, Note};
use crate::plan::{MemberSource, Plan};
use crate::recognise::{Second, plans, recognise_with};

/// Two rooms of 30 by 20 ft with the corner at `x`, the partition at `at`.
fn walls(sheet: &mut Sheet, x: f64, at: f64) {
    let ring = [(x, 0.0), (x + 360.0, 0.0), (x + 360.0, 240.0), (x, 240.0)];
    sheet.path("A-WALL", &ring, true);
    sheet.line("A-WALL", (x + at, 0.0), (x + at, 240.0));
    sheet.line("A-WALL", (x + at, 100.0), (x + 360.0, 100.0));
}

fn lights(sheet: &mut Sheet, x: f64, places: &[(f64, f64)]) {
    for (a, b) in places {
        sheet.light("LT-R6", (x + a, *b));
    }
}

const PLACES: [(f64, f64); 4] = [(40.0, 60.0), (100.0, 60.0), (200.0, 170.0), (300.0, 170.0)];

/// Joists at 16 in from the left wall on.
fn joists(sheet: &mut Sheet, x: f64) {
    for i in 1..22 {
        sheet.upright("S-JOIS", x + 16.0 * f64::from(i), 1.5, (0.0, 240.0));
    }
}

fn told<'n>(notes: &'n [Note], code: &str) -> Vec<&'n Note> {
    notes.iter().filter(|n| n.code == code).collect()
}

fn laid(plan: &Plan) -> Vec<f64> {
    let taken = plan.members.iter().filter(|m| m.source == MemberSource::Second);
    let mut at: Vec<f64> = taken.map(|m| m.from.x).collect();
    at.sort_by(f64::total_cmp);
    at
}

#[test]
fn framing_beside_the_lights_is_laid_over_them() {
    let mut sheet = Sheet::default();
    walls(&mut sheet, 0.0, 130.0);
    lights(&mut sheet, 0.0, &PLACES);
    walls(&mut sheet, 600.0, 130.0);
    joists(&mut sheet, 600.0);
    sheet.text("A-ANNO", (60.0, -60.0), "LIGHTING PLAN");
    sheet.text("A-ANNO", (660.0, -60.0), "CEILING FRAMING PLAN");
    let (plan, notes) = sheet.read();
    assert_eq!(plan.members.len(), 42);
    let laid = laid(&plan);
    assert_eq!(laid.len(), 21);
    for (i, x) in laid.iter().enumerate() {
        assert!((x - 16.0 * (i + 1) as f64).abs() < 1e-6, "{x}");
    }
    // 40 in from the left wall stands between the joists at 32 and 48 in: 7 1/4 in clear on each side.
    let bay = plan.lights[0].bay.expect("a bay");
    assert!(
        (bay.left.room - 7.25).abs() < 1e-6 && (bay.right.room - 7.25).abs() < 1e-6,
        "{bay:?}"
    );
    let note = told(&notes, "framing-placed");
    assert_eq!(note.len(), 1);
    assert_eq!(note[0].level, Level::Info);
    for part in [
        "drawn in \"CEILING FRAMING PLAN\" holds for \"LIGHTING PLAN\"",
        "the worst within under 1/64\"",
        "moved 50' 0\" to the left",
    ] {
        assert!(note[0].message.contains(part), "{part}: {}", note[0].message);
    }
    // Without titles it is the same, and asked to be looked at.
    sheet.flat.items.truncate(sheet.flat.items.len() - 2);
    sheet.flat.entities -= 2;
    let (plan, notes) = sheet.read();
    assert_eq!(self::laid(&plan).len(), 21);
    let note = told(&notes, "framing-placed");
    assert_eq!(note[0].level, Level::Warning);
    assert!(
        note[0]
            .message
            .contains("see that it is the framing at this ceiling")
    );
}

#[test]
fn framing_of_other_walls_is_not_laid_over_and_told() {
    let mut sheet = Sheet::default();
    walls(&mut sheet, 0.0, 130.0);
    lights(&mut sheet, 0.0, &PLACES);
    let ring = [(700.0, 0.0), (1200.0, 0.0), (1200.0, 500.0), (700.0, 500.0)];
    sheet.path("A-WALL", &ring, true);
    sheet.line("A-WALL", (990.0, 0.0), (990.0, 500.0));
    for i in 1..22 {
        sheet.upright("S-JOIS", 700.0 + 16.0 * f64::from(i), 1.5, (0.0, 500.0));
    }
    let (plan, notes) = sheet.read();
    assert!(laid(&plan).is_empty());
    let note = told(&notes, "framing-beside");
    assert_eq!(note.len(), 1, "{notes:?}");
    assert!(
        note[0].message.contains("their walls are not the same"),
        "{}",
        note[0].message
    );
}

#[test]
fn which_of_two_framing_plans_is_told_by_titles_or_asked() {
    let drawn = |titles: [&str; 3]| {
        let mut sheet = Sheet::default();
        for (x, title) in [0.0, 600.0, 1200.0].into_iter().zip(titles) {
            walls(&mut sheet, x, 130.0);
            sheet.text("A-ANNO", (x + 60.0, -60.0), title);
        }
        lights(&mut sheet, 0.0, &PLACES);
        joists(&mut sheet, 600.0);
        for i in 1..14 {
            sheet.upright("S-JOIS", 1200.0 + 24.0 * f64::from(i), 1.5, (0.0, 240.0));
        }
        sheet.read()
    };
    let (plan, notes) = drawn(["FIRST FLOOR LIGHTING", "FRAMING PLAN A", "FRAMING PLAN B"]);
    assert!(laid(&plan).is_empty());
    let note = told(&notes, "framing-beside");
    assert_eq!(note.len(), 1);
    assert!(
        note[0]
            .message
            .contains("\"FRAMING PLAN A\" and of \"FRAMING PLAN B\""),
        "{}",
        note[0].message
    );
    let (plan, notes) = drawn([
        "FIRST FLOOR LIGHTING",
        "2ND FLOOR FRAMING PLAN",
        "1ST FLOOR FRAMING PLAN",
    ]);
    assert_eq!(laid(&plan).len(), 13, "{notes:?}");
    let (plan, _) = drawn([
        "FIRST FLOOR LIGHTING",
        "CEILING FRAMING PLAN",
        "ROOF FRAMING PLAN",
    ]);
    assert_eq!(laid(&plan).len(), 21);
}

#[test]
fn a_framing_drawing_of_two_floors_is_laid_over_floor_by_floor() {
    // The floors differ in their partitions; the framing drawing has them the other way round and further apart.
    let floors = [(130.0, "FIRST FLOOR"), (220.0, "SECOND FLOOR")];
    let mut sheet = Sheet::default();
    for ((at, title), x) in floors.into_iter().zip([0.0, 600.0]) {
        walls(&mut sheet, x, at);
        lights(&mut sheet, x, &PLACES);
        sheet.text("A-ANNO", (x + 60.0, -60.0), &format!("{title} PLAN"));
    }
    let mut other = Sheet::default();
    for ((at, title), x) in floors.into_iter().zip([3700.0, 3000.0]) {
        walls(&mut other, x, at);
        other.text("A-ANNO", (x + 60.0, -60.0), &format!("{title} FRAMING PLAN"));
        let count = if at == 130.0 { 22 } else { 14 };
        let pitch = if at == 130.0 { 16.0 } else { 24.0 };
        for i in 1..count {
            other.upright("S-JOIS", x + pitch * f64::from(i), 1.5, (0.0, 240.0));
        }
    }
    let (there, _) = other.read();
    let mut second = Second::new("framing.dxf", &there, Vec::new());
    second.plans = plans::titled(&other.flat, &there);
    let (plan, notes, placed) = recognise_with(&sheet.flat, &inches(), &rules(), Some(&second));
    let placed = placed.expect("placed");
    assert_eq!(placed.members, 21 + 13, "{notes:?}");
    let each: Vec<_> = (placed.placings.iter())
        .map(|p| {
            (
                p.plan.as_deref(),
                p.members,
                p.registration.matrix.shift.x.round(),
            )
        })
        .collect();
    let wanted = [
        (Some("FIRST FLOOR PLAN"), 21, -3700.0),
        (Some("SECOND FLOOR PLAN"), 13, 600.0 - 3000.0),
    ];
    assert_eq!(each, wanted);
    let said = told(&notes, "framing-placed");
    assert_eq!(said.len(), 2);
    let wanted = "\"SECOND FLOOR FRAMING PLAN\" of framing.dxf holds for \"SECOND FLOOR PLAN\"";
    assert!(said[1].message.contains(wanted), "{}", said[1].message);
    let laid = laid(&plan);
    for (i, x) in laid.iter().enumerate() {
        let wanted = match i {
            0..21 => 16.0 * (i + 1) as f64,
            _ => 600.0 + 24.0 * (i - 20) as f64,
        };
        assert!((x - wanted).abs() < 1e-3, "{i}: {x}");
    }
    // One floor alone takes its own of the two, and nothing is left far off.
    let mut one = Sheet::default();
    walls(&mut one, 0.0, 130.0);
    lights(&mut one, 0.0, &PLACES);
    let (plan, notes, _) = recognise_with(&one.flat, &inches(), &rules(), Some(&second));
    assert_eq!(self::laid(&plan).len(), 21, "{notes:?}");
    assert!(has_note(&notes, "framing-elsewhere"));
}

#[test]
fn framing_without_walls_far_off_is_told() {
    let mut sheet = Sheet::default();
    walls(&mut sheet, 0.0, 130.0);
    lights(&mut sheet, 0.0, &PLACES);
    joists(&mut sheet, 600.0);
    let (_, notes) = sheet.read();
    let note = told(&notes, "framing-beside");
    assert_eq!(note.len(), 1);
    assert!(
        note[0].message.contains("21 joists or trusses"),
        "{}",
        note[0].message
    );
    // Over the lights there is nothing to tell.
    let mut sheet = Sheet::default();
    walls(&mut sheet, 0.0, 130.0);
    lights(&mut sheet, 0.0, &PLACES);
    joists(&mut sheet, 0.0);
    let (plan, notes) = sheet.read();
    assert!(!has_note(&notes, "framing-beside") && laid(&plan).is_empty());
}

#[test]
fn one_floor_drawn_twice_is_asked_about() {
    let drawn = |titles: [&str; 2], moved: f64| {
        let mut sheet = Sheet::default();
        for (x, title) in [0.0, 700.0].into_iter().zip(titles) {
            walls(&mut sheet, x, 130.0);
            sheet.text("A-ANNO", (x + 60.0, -60.0), title);
        }
        lights(&mut sheet, 0.0, &PLACES);
        let other: Vec<(f64, f64)> = (PLACES.iter().enumerate())
            .map(|(i, p)| (p.0 + moved * i as f64, p.1))
            .collect();
        lights(&mut sheet, 700.0, &other);
        let (plan, notes) = sheet.read();
        assert_eq!(plan.lights.len(), 8);
        told(&notes, "lights-twice")
            .into_iter()
            .map(|n| n.message.clone())
            .collect::<Vec<_>>()
    };
    let said = drawn(
        [
            "FIRST FLOOR ELECTRICAL PLAN",
            "FIRST FLOOR REFLECTED CEILING PLAN",
        ],
        0.0,
    );
    assert_eq!(said.len(), 1);
    let wanted = "\"FIRST FLOOR ELECTRICAL PLAN\" and \"FIRST FLOOR REFLECTED CEILING PLAN\" show the same walls with 4 \
                  lights in the same places: which plan counts?";
    assert!(said[0].starts_with(wanted), "{}", said[0]);
    // Two units alike are two, and other lights are others.
    assert!(drawn(["UNIT 1 PLAN", "UNIT 2 PLAN"], 0.0).is_empty());
    assert_eq!(drawn(["OPTION 1 PLAN", "OPTION 2 PLAN"], 0.0).len(), 1);
    assert!(drawn(["FIRST FLOOR PLAN", "REFLECTED CEILING PLAN"], 11.0).is_empty());
}

#[test]
fn a_title_tells_which_of_two_plans_is_built() {
    let drawn = |titles: [&str; 2], moved: f64| {
        let mut sheet = Sheet::default();
        for (x, title) in [0.0, 700.0].into_iter().zip(titles) {
            walls(&mut sheet, x, 130.0);
            sheet.text("A-ANNO", (x + 60.0, -60.0), title);
        }
        lights(&mut sheet, 0.0, &PLACES);
        let other: Vec<(f64, f64)> = (PLACES.iter().enumerate())
            .map(|(i, p)| (p.0 + moved * i as f64, p.1))
            .collect();
        lights(&mut sheet, 700.0, &other);
        let (plan, notes) = sheet.read();
        assert!(!has_note(&notes, "lights-twice") || plan.lights.len() == 8);
        let out = told(&notes, "plan-left-out");
        assert_eq!(out.len(), (8 - plan.lights.len()) / 4, "{notes:?}");
        (plan.lights.len(), has_note(&notes, "several-plans"))
    };
    for title in [
        "DEMOLITION PLAN",
        "EXISTING LIGHTING PLAN - DEMO",
        "EXISTING FLOOR PLAN",
    ] {
        for moved in [0.0, 11.0] {
            assert_eq!(drawn(["NEW LIGHTING PLAN", title], moved), (4, false), "{title}");
        }
    }
    // The same walls and lights tell what is there already, whatever the other is called.
    assert_eq!(drawn(["EXISTING FLOOR PLAN", "LIGHTING PLAN"], 0.0).0, 4);
    assert_eq!(drawn(["ENLARGED LIGHTING PLAN", "LIGHTING PLAN"], 0.0).0, 4);
    // Other lights may be another house's; and what speaks of new work too is built.
    assert_eq!(drawn(["EXISTING FLOOR PLAN", "UPPER FLOOR PLAN"], 11.0).0, 8);
    assert_eq!(
        drawn(["FIRST FLOOR PLAN", "EXISTING AND NEW LIGHTING PLAN"], 0.0).0,
        8
    );
    // No other plan: they are read.
    assert_eq!(drawn(["DEMOLITION PLAN", "EXISTING PLAN"], 0.0).0, 8);
}

#[test]
fn an_enlarged_room_is_asked_about() {
    let told = |title: &str, same: bool| enlarged(title, same);
    let shown = "\"ENLARGED BATH PLAN\" shows BATH of \"FIRST FLOOR PLAN\" again, 2 times as large, with ";
    // Its title answers where its lights are the same; where they are others both may hold; else two baths may be alike.
    assert!(told("ENLARGED BATH PLAN", true).is_empty());
    let said = told("ENLARGED BATH PLAN", false);
    assert!(
        said[0].starts_with(&format!("{shown}lights that stand so many times too far apart")),
        "{said:?}"
    );
    assert!(told("REFLECTED CEILING PLAN", false).is_empty());
    assert_eq!(told("REFLECTED CEILING PLAN", true).len(), 1);
}

/// What is said of a bath drawn again at twice its size.
fn enlarged(title: &str, same: bool) -> Vec<String> {
    let mut sheet = Sheet::default();
    let mut room = |x: f64, scale: f64, lit: bool| {
        let at = |a: f64, b: f64| (x + a * scale, b * scale);
        sheet.path(
            "A-AREA",
            &[at(0.0, 0.0), at(120.0, 0.0), at(120.0, 100.0), at(0.0, 100.0)],
            true,
        );
        sheet.text("A-AREA", at(50.0, 40.0), "BATH");
        sheet.light("LT-R6", if lit { at(60.0, 60.0) } else { at(30.0, 20.0) });
    };
    room(0.0, 1.0, true);
    room(600.0, 2.0, same);
    for (x, title) in [(10.0, "FIRST FLOOR PLAN"), (610.0, title)] {
        sheet.text("A-ANNO", (x, -40.0), title);
    }
    let (_, notes) = sheet.read();
    let notes = told(&notes, "lights-twice");
    notes.into_iter().map(|n| n.message.clone()).collect()
}

#[test]
fn plans_nearer_than_10_ft_are_told_apart_by_their_titles() {
    let drawn = |above: &str| {
        let mut sheet = Sheet::default();
        for (y, title) in [(0.0, "MAIN LEVEL"), (336.0, above)] {
            let ring = [(0.0, y), (360.0, y), (360.0, y + 240.0), (0.0, y + 240.0)];
            sheet.path("A-WALL", &ring, true);
            sheet.light("LT-R6", (100.0, y + 100.0));
            sheet.light("LT-R6", (200.0, y + 100.0));
            sheet.text("A-ANNO", (60.0, y - 40.0), title);
        }
        let (_, notes) = sheet.read();
        told(&notes, "several-plans").len()
    };
    assert_eq!(drawn("UPPER LEVEL"), 1);
    assert_eq!(drawn("SEE NOTES"), 0);
}
