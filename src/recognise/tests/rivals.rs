//! Two framings one over the other.

use super::{Sheet, has_note, inches};
use crate::note::{Level, Note};
use crate::plan::Plan;
use crate::recognise::{Became, Named, readings};
use crate::rules::{Rules, parse};

const WIDE: f64 = 240.0;
const DEEP: f64 = 144.0;

/// Joists at 16 in along y on one layer, and members at 24 in on another, across them or along.
fn two(first: &str, second: &str, across: bool) -> Sheet {
    let mut sheet = Sheet::default();
    for i in 0..14 {
        sheet.upright(first, 16.0 + 16.0 * f64::from(i), 1.5, (0.0, DEEP));
    }
    let step = 24.0;
    let count = if across { 5 } else { 9 };
    for i in 0..count {
        let at = 5.0 + step * f64::from(i);
        if across {
            sheet.line(second, (-18.0, at - 0.75), (WIDE + 18.0, at - 0.75));
            sheet.line(second, (-18.0, at + 0.75), (WIDE + 18.0, at + 0.75));
        } else {
            sheet.upright(second, at, 1.5, (-18.0, DEEP + 18.0));
        }
    }
    sheet
}

fn read(sheet: &Sheet) -> (Plan, Vec<Note>) {
    sheet.read_by(&Rules::default())
}

fn over(notes: &[Note]) -> Vec<&Note> {
    notes.iter().filter(|n| n.code == "framing-over").collect()
}

#[test]
fn the_layer_that_says_ceiling_is_the_ceilings() {
    for second in [
        "RAFTERS",
        "ROOF TRUSSES",
        "FLOOR JOISTS",
        "1ST FLOOR JOISTS",
        "DECK JOISTS",
        "S-JOIS",
    ] {
        for across in [true, false] {
            let sheet = two("CEILING JOISTS", second, across);
            let (plan, notes) = read(&sheet);
            assert_eq!(plan.members.len(), 14, "{second} {across} {notes:?}");
            assert!(plan.members.iter().all(|m| (m.from.x - m.to.x).abs() < 1e-9));
            let told = over(&notes);
            assert!(
                told.len() == 1
                    && told[0].level == Level::Info
                    && told[0].message.contains(&format!("{second} is not taken")),
                "{second}: {told:?}"
            );
        }
    }
}

#[test]
fn rafters_give_way_and_other_names_are_asked_about() {
    let (plan, notes) = read(&two("S-JOIS", "RAFTERS", true));
    assert_eq!(plan.members.len(), 14);
    let told = over(&notes);
    assert!(told.len() == 1 && told[0].level == Level::Warning, "{told:?}");
    for (first, second) in [
        ("S-JOIS", "S-TRUS"),
        ("FLOOR JOISTS", "RAFTERS"),
        ("JOISTS A", "JOISTS B"),
    ] {
        for across in [true, false] {
            let (plan, notes) = read(&two(first, second, across));
            assert!(plan.members.is_empty(), "{first} {second}");
            let told = over(&notes);
            assert!(told.len() == 1 && told[0].level == Level::Warning, "{told:?}");
            assert!(
                told[0]
                    .message
                    .contains(&format!("framing = {{ layers = [{first:?}] }}")),
                "{told:?}"
            );
            assert!(has_note(&notes, "no-framing"));
        }
    }
}

#[test]
fn the_rules_say_which_counts() {
    let sheet = two("S-JOIS", "S-TRUS", true);
    let read = |layers: &str| {
        let rules = parse(&format!("[read]\nframing = {{ layers = {layers} }}\n"), None).unwrap();
        sheet.read_by(&rules)
    };
    let (plan, notes) = read("[\"S-JOIS\"]");
    assert_eq!(plan.members.len(), 14);
    assert!(over(&notes).is_empty());
    let (plan, notes) = read("[\"S-JOIS\", \"S-TRUS\"]");
    assert_eq!(plan.members.len(), 19, "the user's word, though it is told of");
    assert_eq!(over(&notes).len(), 1);
    // What was chosen by the names is so again by the written rules.
    let sheet = two("CEILING JOISTS", "RAFTERS", true);
    let told = readings(&sheet.flat, &inches(), &Rules::default(), None);
    let of = |name: &str| {
        told.readings
            .iter()
            .find(|r| r.named == Named::Layer && r.name == name)
            .unwrap()
    };
    assert_eq!(
        (of("RAFTERS").class, of("CEILING JOISTS").class),
        (Became::Unclaimed, Became::Framing)
    );
    let written = crate::write::starter::starter("p", &told.plan, &told.readings, &Rules::default());
    assert_eq!(
        sheet.read_by(&parse(&written, None).unwrap()).0,
        told.plan,
        "{written}"
    );
}

#[test]
fn what_belongs_to_one_framing_is_one() {
    // Over other rooms; sisters; new joists between old ones; a beam and headers across.
    let mut apart = Sheet::default();
    let mut sisters = Sheet::default();
    let mut beams = Sheet::default();
    for i in 0..10 {
        let x = 16.0 + 16.0 * f64::from(i);
        apart.upright("S-JOIS", x, 1.5, (0.0, DEEP));
        apart.upright("S-TRUS", x, 1.5, (DEEP - 3.0, 2.0 * DEEP));
        sisters.upright("S-JOIS", x, 1.5, (0.0, DEEP));
        sisters.upright("S-JOIS-B", x + 1.5, 1.5, (0.0, DEEP));
        beams.upright("S-JOIS", x, 1.5, (0.0, DEEP));
    }
    for y in [20.0, 60.0, 100.0] {
        beams.line("S-BEAM", (0.0, y), (WIDE, y));
        beams.line("S-BEAM", (0.0, y + 3.5), (WIDE, y + 3.5));
    }
    let infill = two("S-JOIS", "S-JOIS-NEW", false);
    for (sheet, least) in [(apart, 20), (sisters, 10), (beams, 13), (infill, 20)] {
        let (plan, notes) = read(&sheet);
        assert!(plan.members.len() >= least, "{} {notes:?}", plan.members.len());
        assert!(over(&notes).is_empty(), "{notes:?}");
    }
}
