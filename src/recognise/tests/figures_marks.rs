//! Marks that are figures: types of the schedule, circuits or keynotes.

use super::{Sheet, rules};
use crate::note::Note;
use crate::rules::{Luminaire, Rules};

fn numbered() -> Rules {
    let mut rules = rules();
    rules.luminaires = ["1", "2"]
        .map(|tag| Luminaire {
            tag: tag.into(),
            ..Luminaire::default()
        })
        .to_vec();
    rules
}

const AT: [(f64, f64); 6] = [
    (0.0, 0.0),
    (50.0, 0.0),
    (100.0, 0.0),
    (0.0, 60.0),
    (50.0, 60.0),
    (100.0, 60.0),
];

/// Six lights, and a figure beside each of the first as many as there are figures.
fn sheet(layer: &str, figures: &[&str]) -> Sheet {
    let mut sheet = Sheet::default();
    for at in AT {
        sheet.circle("E-LITE", at, 3.0);
    }
    for ((x, y), figure) in AT.into_iter().zip(figures) {
        sheet.text(layer, (x + 5.0, y + 4.0), figure);
    }
    sheet
}

fn read(sheet: &Sheet) -> (Vec<String>, Vec<Note>) {
    let (plan, notes) = sheet.read_by(&numbered());
    let tags = plan.lights.iter().map(|l| l.tag.clone().unwrap_or_default());
    (tags.collect(), notes)
}

fn count(notes: &[Note], code: &str) -> usize {
    notes.iter().filter(|n| n.code == code).count()
}

#[test]
fn one_at_each_light_and_all_in_the_schedule_are_types() {
    for layer in ["G-ANNO", "E-LITE"] {
        let (tags, notes) = read(&sheet(layer, &["1", "1", "2", "1", "1", "2"]));
        assert_eq!(tags, ["1", "1", "2", "1", "1", "2"]);
        assert_eq!(
            (count(&notes, "tags-figures"), count(&notes, "tags-asked")),
            (1, 0)
        );
    }
    // TYPE says it.
    let (tags, _) = read(&sheet("E-LITE", &["TYPE 2"]));
    assert_eq!(tags, ["2", "", "", "", "", ""]);
}

#[test]
fn circuits_and_keynotes_are_none() {
    let none = [""; 6];
    // A figure that no schedule has; a layer of circuits; too few.
    for (layer, figures) in [
        ("G-ANNO", &["1", "1", "3", "1", "2", "2"][..]),
        ("E-CIRC", &["1", "1", "2", "1", "1", "2"]),
        ("G-ANNO", &["1", "2", "1"]),
    ] {
        let (tags, notes) = read(&sheet(layer, figures));
        assert_eq!(tags, none, "{layer} {figures:?}");
        assert_eq!(
            (count(&notes, "tags-figures"), count(&notes, "tags-asked")),
            (0, 1),
            "{layer} {figures:?}: {notes:?}"
        );
    }
    // In shapes, with a list of keynotes on the sheet.
    for (keyed, taken) in [(true, 0), (false, 1)] {
        let mut sheet = sheet("G-ANNO", &["1", "1", "2", "1", "1", "2"]);
        for (x, y) in AT {
            sheet.circle("G-ANNO", (x + 8.0, y + 7.0), 6.0);
        }
        if keyed {
            sheet.text("G-ANNO", (300.0, 300.0), "KEYNOTES:");
        }
        let (tags, notes) = read(&sheet);
        assert_eq!(
            tags.iter().filter(|t| !t.is_empty()).count(),
            6 * taken,
            "{notes:?}"
        );
        assert_eq!(count(&notes, "tags-asked"), 1 - taken);
    }
    // Types in circles and circuits beside them: both may be either.
    let mut sheet = sheet("G-ANNO", &["1", "1", "2", "1", "1", "2"]);
    for ((x, y), figure) in AT.into_iter().zip(["2", "2", "2", "1", "1", "1"]) {
        sheet.text("E-TEXT", (x - 12.0, y - 4.0), figure);
    }
    let (tags, notes) = read(&sheet);
    assert_eq!(tags, none);
    assert_eq!(count(&notes, "tags-asked"), 1, "{notes:?}");
}
