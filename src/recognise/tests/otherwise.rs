//! Symbols whose mark the drawn schedule explains as something else than a recessed light.

use super::{Sheet, has_note, rules};
use crate::plan::Light;
use crate::rules::{Explained, Luminaire, Means, Rules};

/// A schedule drawn with a recessed type A, pendants P, sconces S, and C of which the size is not certain.
fn drawn() -> Rules {
    let explained = [
        ("P", "PENDANT, BY OWNER", Means::AtTheCeiling),
        ("S", "WALL SCONCE", Means::Elsewhere),
        ("C", "RECESSED LED", Means::Light),
    ];
    Rules {
        luminaires: vec![Luminaire::of_aperture("A", 6.0)],
        explained: explained
            .map(|(tag, words, means)| Explained {
                tag: tag.into(),
                words: words.into(),
                means,
            })
            .to_vec(),
        ..rules()
    }
}

fn tags(lights: &[Light]) -> Vec<&str> {
    lights.iter().map(|l| l.tag.as_deref().unwrap_or("-")).collect()
}

#[test]
fn attributes_of_pendants_and_sconces() {
    let mut sheet = Sheet::default();
    for (n, mark) in ["A", "P", "S", "A", "C", "P"].into_iter().enumerate() {
        let light = sheet.light("FIXT", (60.0 * n as f64, 0.0));
        sheet.attrib(light, "TYPE", mark);
    }
    let (plan, notes) = sheet.read_by(&drawn());
    assert_eq!(tags(&plan.lights), ["A", "A", "C"]);
    // What has no certain size is a light without an entry.
    assert_eq!(plan.lights[2].schedule, None);
    let names: Vec<&str> = plan.obstacles.iter().map(|o| o.name.as_str()).collect();
    assert_eq!(names, ["PENDANT, BY OWNER (P)"; 2]);
    // The circle of radius 4 and its cross, 10 in long, about x = 60.
    let first = &plan.obstacles[0].outline;
    let low = first.iter().map(|p| p.x).fold(f64::INFINITY, f64::min);
    assert!((low - 55.0).abs() < 1e-6, "{first:?}");
    let said: Vec<&str> = notes
        .iter()
        .filter(|n| n.code == "by-schedule")
        .map(|n| n.message.as_str())
        .collect();
    assert_eq!(said.len(), 2);
    assert!(said[0].starts_with("2 symbols are marked P") && said[0].contains("PENDANT, BY OWNER"));
    assert!(said[1].starts_with("1 symbol is marked S") && said[1].contains("WALL SCONCE"));
}

#[test]
fn loose_marks_beside_loose_circles() {
    let mut sheet = Sheet::default();
    for (n, mark) in ["A", "A", "P", "A", "S", "A"].into_iter().enumerate() {
        let x = 60.0 * n as f64;
        sheet.circle("E-LITE", (x, 0.0), 3.0);
        sheet.text("E-TAGS", (x + 6.0, 4.0), mark);
    }
    let (plan, notes) = sheet.read_by(&drawn());
    assert_eq!(tags(&plan.lights), ["A"; 4]);
    assert_eq!(plan.obstacles.len(), 1);
    assert!(has_note(&notes, "by-schedule"));
}

#[test]
fn letters_of_switches_are_no_sconces() {
    let mut sheet = Sheet::default();
    for n in 0..4 {
        let light = sheet.light("FIXT", (60.0 * f64::from(n), 0.0));
        if n < 2 {
            sheet.attrib(light, "TYPE", "A");
        }
        sheet.text("E-POWR", (60.0 * f64::from(n) + 6.0, 4.0), "S");
    }
    let (plan, _) = sheet.read_by(&drawn());
    assert_eq!(plan.lights.len(), 4);
}

#[test]
fn the_rules_and_names_of_recessed_lights_hold() {
    let mut sheet = Sheet::default();
    for n in 0..3 {
        let light = sheet.light("RECESSED-CAN", (60.0 * f64::from(n), 0.0));
        sheet.attrib(light, "TYPE", "P");
    }
    let (plan, notes) = sheet.read_by(&drawn());
    assert_eq!(plan.lights.len(), 3);
    assert!(has_note(&notes, "schedule-differs"));
}

#[test]
fn a_schedule_of_nothing_else_leaves_other_marks_as_they_are() {
    let mut sheet = Sheet::default();
    for (n, mark) in ["D1", "D1", "D2", "P", "D1", "D2"].into_iter().enumerate() {
        let x = 60.0 * n as f64;
        sheet.circle("E-LITE", (x, 0.0), 3.0);
        sheet.text("E-LITE", (x + 6.0, 4.0), mark);
    }
    let rules = Rules {
        luminaires: Vec::new(),
        ..drawn()
    };
    let (plan, notes) = sheet.read_by(&rules);
    assert_eq!(tags(&plan.lights), ["D1", "D1", "D2", "D1", "D2"]);
    assert!(has_note(&notes, "tags-unlisted"));
}
