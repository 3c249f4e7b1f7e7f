//! One figure with several letters, and a legend that says what each of them means.

use super::{Sheet, has_note};
use crate::note::Note;
use crate::plan::Plan;
use crate::rules::{Rules, parse};

/// How a letter stands with its symbol.
#[derive(Clone, Copy, PartialEq)]
enum Written {
    /// A text in the symbol's middle.
    Inside,
    /// A text to its right.
    Beside,
    Attribute,
}

/// A symbol of 6 in with a letter, or without one.
fn symbol(sheet: &mut Sheet, block: Option<&str>, letter: &str, at: (f64, f64), written: Written) {
    match block {
        Some(block) => {
            let symbol = sheet.insert("E-LITE", block, at);
            let circle = sheet.circle("0", at, 4.0);
            sheet.put(circle, symbol);
            if written == Written::Attribute && !letter.is_empty() {
                sheet.attrib(symbol, "LTR", letter);
            }
        }
        None => {
            sheet.circle("E-LITE", at, 4.0);
        }
    }
    let off = match written {
        Written::Inside => (-2.0, -3.0),
        Written::Beside => (6.0, -3.0),
        Written::Attribute => return,
    };
    if !letter.is_empty() {
        sheet.text("E-TEXT", (at.0 + off.0, at.1 + off.1), letter);
    }
}

/// A room with symbols in a grid by letter, how many of each, and a legend.
fn plan(block: Option<&str>, in_plan: &[(&str, usize)], legend: &[(&str, &str)], written: Written) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.path(
        "A-AREA",
        &[(0.0, 0.0), (480.0, 0.0), (480.0, 240.0), (0.0, 240.0)],
        true,
    );
    sheet.text("9", (220.0, 120.0), "KITCHEN");
    for (k, (letter, count)) in in_plan.iter().enumerate() {
        for n in 0..*count {
            let at = (50.0 + 60.0 * n as f64, 30.0 + 50.0 * k as f64);
            symbol(&mut sheet, block, letter, at, written);
        }
    }
    sheet.text("9", (600.0, 230.0), "LEGEND");
    for (k, (letter, words)) in legend.iter().enumerate() {
        let y = 210.0 - 20.0 * k as f64;
        symbol(&mut sheet, block, letter, (606.0, y), written);
        sheet.text("9", (630.0, y - 3.0), words);
    }
    sheet
}

const LEGEND: [(&str, &str); 3] = [
    ("R", "RECESSED DOWNLIGHT"),
    ("P", "PENDANT"),
    ("S", "SMOKE DETECTOR"),
];

fn read(sheet: &Sheet) -> (Plan, Vec<Note>) {
    sheet.read_by(&Rules::default())
}

#[test]
fn a_legend_tells_symbols_of_one_block_apart_by_their_letters() {
    for written in [Written::Inside, Written::Beside, Written::Attribute] {
        let sheet = plan(
            Some("CLG-FIXT"),
            &[("R", 6), ("P", 2), ("S", 1)],
            &LEGEND,
            written,
        );
        let (plan, notes) = read(&sheet);
        assert_eq!(plan.lights.len(), 6, "{notes:#?}");
        let mut names: Vec<&str> = plan.obstacles.iter().map(|o| &*o.name).collect();
        names.sort_unstable();
        let pendant = "PENDANT (CLG-FIXT P)";
        assert_eq!(names, [pendant, pendant, "SMOKE DETECTOR (CLG-FIXT S)"]);
        assert!(has_note(&notes, "by-legend") && !has_note(&notes, "letters-asked"));
        assert!(!has_note(&notes, "evidence-asks"), "{notes:#?}");
    }
}

#[test]
fn loose_circles_are_told_apart_so_too() {
    let (plan, notes) = read(&plan(
        None,
        &[("R", 6), ("P", 2), ("S", 1)],
        &LEGEND,
        Written::Inside,
    ));
    assert_eq!(plan.lights.len(), 6, "{notes:#?}");
    assert_eq!(plan.obstacles.len(), 3, "{:?}", plan.obstacles);
    assert!(!has_note(&notes, "circles-asked"), "{notes:#?}");
}

#[test]
fn lines_for_loose_circles_with_other_letters_settle_them() {
    let sheet = plan(None, &[("R", 6), ("X", 2)], &LEGEND, Written::Inside);
    let (_, notes) = read(&sheet);
    for (line, lights, devices) in [
        ("lights = { more_blocks = [\"E-LITE:circle 8 X\"] }", 8, 0),
        ("devices = { more_blocks = [\"E-LITE:circle 8 X\"] }", 6, 2),
        ("ignore = { more_blocks = [\"E-LITE:circle 8 X\"] }", 6, 0),
    ] {
        assert!(
            notes
                .iter()
                .any(|n| n.code == "letters-asked" && n.message.contains(line)),
            "{notes:#?}"
        );
        let rules = parse(&format!("[read]\n{line}\n"), None).unwrap();
        let (plan, notes) = sheet.read_by(&rules);
        assert_eq!(
            (plan.lights.len(), plan.obstacles.len()),
            (lights, devices),
            "{line} {notes:#?}"
        );
        assert!(!has_note(&notes, "letters-asked"), "{notes:#?}");
    }
}

#[test]
fn a_letter_that_the_legend_does_not_tell_of_is_asked_about() {
    let sheet = plan(
        Some("CLG-FIXT"),
        &[("R", 6), ("X", 2), ("", 1)],
        &LEGEND,
        Written::Inside,
    );
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.lights.len(), 6, "{notes:#?}");
    let asked: Vec<&Note> = notes.iter().filter(|n| n.code == "letters-asked").collect();
    assert_eq!(asked.len(), 2, "{notes:#?}");
    assert!(asked[1].message.contains("with X"), "{asked:?}");
    for (line, lights, devices) in [
        ("lights = { more_blocks = [\"CLG-FIXT:X\"] }", 8, 0),
        ("devices = { more_blocks = [\"CLG-FIXT:X\"] }", 6, 2),
        ("ignore = { more_blocks = [\"CLG-FIXT:X\"] }", 6, 0),
        ("lights = { more_blocks = [\"CLG-FIXT:-\"] }", 7, 0),
    ] {
        assert!(asked.iter().any(|n| n.message.contains(line)), "{asked:#?}");
        let rules = parse(&format!("[read]\n{line}\n"), None).unwrap();
        let (plan, notes) = sheet.read_by(&rules);
        assert_eq!(
            (plan.lights.len(), plan.obstacles.len()),
            (lights, devices),
            "{line}"
        );
        assert_eq!(notes.iter().filter(|n| n.code == "letters-asked").count(), 1);
        assert!(!has_note(&notes, "read-unmatched"), "{notes:#?}");
    }
    // The whole block named, they are taken, and nothing that the legend explains otherwise.
    let rules = parse("[read]\nlights = { more_blocks = [\"CLG-FIXT\"] }\n", None).unwrap();
    assert_eq!(sheet.read_by(&rules).0.lights.len(), 9);
}

#[test]
fn a_plain_figure_in_the_legend_is_one_without_a_letter() {
    let legend = [("", "RECESSED DOWNLIGHT"), ("S", "SMOKE DETECTOR")];
    let sheet = plan(Some("CLG-FIXT"), &[("", 5), ("S", 2)], &legend, Written::Inside);
    let (plan, notes) = read(&sheet);
    assert_eq!((plan.lights.len(), plan.obstacles.len()), (5, 2), "{notes:#?}");
}

#[test]
fn letters_of_types_that_are_all_recessed_tell_nothing_apart() {
    let legend = [("A", "6\" RECESSED DOWNLIGHT"), ("B", "4\" RECESSED DOWNLIGHT")];
    let sheet = plan(
        Some("CLG-FIXT"),
        &[("A", 5), ("B", 2), ("C", 1)],
        &legend,
        Written::Inside,
    );
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.lights.len(), 8, "{notes:#?}");
    assert!(!has_note(&notes, "letters-asked"), "{notes:#?}");
}

#[test]
fn a_line_for_one_letter_says_nothing_of_the_others() {
    let legend = [("S", "SMOKE DETECTOR")];
    let sheet = plan(Some("CLG-FIXT"), &[("", 5), ("S", 2)], &legend, Written::Inside);
    let (plan, notes) = read(&sheet);
    assert_eq!((plan.lights.len(), plan.obstacles.len()), (5, 2), "{notes:#?}");
}

#[test]
fn without_a_legend_other_letters_beside_those_of_recessed_lights_are_asked_about() {
    let sheet = plan(
        Some("CLG-FIXT"),
        &[("R", 5), ("P", 2), ("S", 1)],
        &[],
        Written::Inside,
    );
    let (plan_, notes) = read(&sheet);
    assert_eq!(plan_.lights.len(), 5, "{notes:#?}");
    assert_eq!(
        notes.iter().filter(|n| n.code == "circles-asked").count(),
        2,
        "{notes:#?}"
    );
    for (line, lights, devices) in [
        ("lights = { more_blocks = [\"CLG-FIXT:P\"] }", 7, 0),
        ("devices = { more_blocks = [\"CLG-FIXT:P\"] }", 5, 2),
        ("ignore = { more_blocks = [\"CLG-FIXT:P\"] }", 5, 0),
    ] {
        assert!(notes.iter().any(|n| n.message.contains(line)), "{notes:#?}");
        let rules = parse(&format!("[read]\n{line}\n"), None).unwrap();
        let (plan, notes) = sheet.read_by(&rules);
        assert_eq!(
            (plan.lights.len(), plan.obstacles.len()),
            (lights, devices),
            "{line}"
        );
        assert_eq!(notes.iter().filter(|n| n.code == "circles-asked").count(), 1);
    }
    // Where no letter is a recessed light's they may all be of types.
    let sheet = plan(Some("CLG-FIXT"), &[("A", 5), ("P", 2)], &[], Written::Inside);
    assert_eq!(read(&sheet).0.lights.len(), 7);
}
