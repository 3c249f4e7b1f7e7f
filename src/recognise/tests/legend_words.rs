//! A legend's own words tell what its symbols are, wherever they stand.

use super::{Sheet, has_note, inches};
use crate::note::Note;
use crate::plan::Plan;
use crate::recognise::readings;
use crate::rules::{Rules, parse};

/// A symbol of 6 in across: a circle, and a bar through it.
fn symbol(sheet: &mut Sheet, layer: &str, block: &str, at: (f64, f64)) {
    let symbol = sheet.insert(layer, block, at);
    let circle = sheet.circle("0", at, 3.0);
    let bar = sheet.line("0", (at.0 - 3.0, at.1), (at.0 + 3.0, at.1));
    sheet.put(circle, symbol);
    sheet.put(bar, symbol);
}

/// A room of 30 by 15 ft with four of each block in rows, and a legend beside it.
fn plan(layer: &str, legend: &[(&str, &str)]) -> Sheet {
    let mut sheet = Sheet::default();
    sheet.path(
        "A-AREA",
        &[(0.0, 0.0), (360.0, 0.0), (360.0, 180.0), (0.0, 180.0)],
        true,
    );
    sheet.text("9", (150.0, 90.0), "KITCHEN");
    for (k, (block, _)) in legend.iter().enumerate() {
        for n in 0..4 {
            symbol(
                &mut sheet,
                layer,
                block,
                (60.0 + 72.0 * n as f64, 40.0 + 30.0 * k as f64),
            );
        }
    }
    sheet.text("9", (500.0, 170.0), "ELECTRICAL LEGEND");
    for (k, (block, words)) in legend.iter().enumerate() {
        let y = 150.0 - 20.0 * k as f64;
        symbol(&mut sheet, layer, block, (506.0, y));
        sheet.text("9", (524.0, y - 3.0), words);
    }
    sheet
}

fn read(sheet: &Sheet) -> (Plan, Vec<Note>) {
    sheet.read_by(&Rules::default())
}

fn devices(plan: &Plan) -> Vec<&str> {
    plan.obstacles.iter().map(|o| &*o.name).collect()
}

#[test]
fn symbols_that_stand_alike_are_told_apart_by_the_legend() {
    let sheet = plan(
        "5",
        &[
            ("B1", "6\" RECESSED DOWNLIGHT"),
            ("B2", "SMOKE DETECTOR"),
            ("B3", "DUPLEX RECEPTACLE"),
        ],
    );
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.lights.len(), 4, "{notes:#?}");
    assert!(plan.lights.iter().all(|l| l.block.as_deref() == Some("B1")));
    assert_eq!(devices(&plan), ["SMOKE DETECTOR (B2)"; 4]);
    assert!(
        has_note(&notes, "by-legend") && !has_note(&notes, "evidence-asks"),
        "{notes:#?}"
    );
}

#[test]
fn it_holds_on_a_light_layer_and_where_the_name_is_no_known_word() {
    let sheet = plan(
        "E-LITE",
        &[
            ("ZK-1", "RECESSED LED FIXTURE"),
            ("ZK-2", "PENDANT LIGHT"),
            ("ZK-3", "WALL SCONCE"),
        ],
    );
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.lights.len(), 4, "{notes:#?}");
    assert_eq!(devices(&plan), ["PENDANT LIGHT (ZK-2)"; 4]);
}

#[test]
fn a_name_that_only_says_light_gives_way_and_is_told_of() {
    let (plan, notes) = read(&plan(
        "5",
        &[("LT-A", "RECESSED LIGHT"), ("LT-B", "SURFACE MOUNTED LIGHT")],
    ));
    assert_eq!(plan.lights.len(), 4, "{notes:#?}");
    assert_eq!(devices(&plan).len(), 4);
    let told = notes.iter().find(|n| n.message.contains("LT-B")).unwrap();
    assert!(
        told.code == "by-legend" && told.message.contains("SURFACE MOUNTED LIGHT"),
        "{told:?}"
    );
}

#[test]
fn a_name_that_says_recessed_holds_against_the_legend() {
    let (plan, notes) = read(&plan(
        "5",
        &[("DOWNLIGHT", "SMOKE DETECTOR"), ("PENDANT-2", "RECESSED LIGHT")],
    ));
    assert_eq!(plan.lights.len(), 4, "{notes:#?}");
    let differ = notes.iter().filter(|n| n.code == "legend-differs");
    assert_eq!(differ.count(), 2, "{notes:#?}");
}

#[test]
fn the_rules_file_holds() {
    let sheet = plan("5", &[("B1", "SMOKE DETECTOR"), ("B2", "RECESSED LIGHT")]);
    let rules = parse("[read]\nlights = { blocks = [\"B1\"] }\n", None).unwrap();
    let (plan, notes) = sheet.read_by(&rules);
    assert_eq!(plan.lights.len(), 4, "{notes:#?}");
    assert!(plan.lights.iter().all(|l| l.block.as_deref() == Some("B1")));
}

#[test]
fn words_that_may_mean_either_decide_nothing() {
    // Two kinds stand alike, and neither legend line says whether it is built in.
    let (plan, notes) = read(&plan("5", &[("B1", "CEILING LIGHT"), ("B2", "LIGHT FIXTURE")]));
    assert!(
        plan.lights.is_empty() && has_note(&notes, "evidence-asks"),
        "{notes:#?}"
    );
}

#[test]
fn two_lines_for_one_symbol_decide_nothing() {
    let (_, notes) = read(&plan("5", &[("B1", "SMOKE DETECTOR"), ("B1", "RECESSED LIGHT")]));
    assert!(!has_note(&notes, "by-legend"), "{notes:#?}");
}

#[test]
fn loose_circles_are_told_by_their_size() {
    let legend = |words: &str| {
        let mut sheet = Sheet::default();
        sheet.path(
            "A-AREA",
            &[(0.0, 0.0), (360.0, 0.0), (360.0, 180.0), (0.0, 180.0)],
            true,
        );
        sheet.text("9", (150.0, 90.0), "KITCHEN");
        for n in 0..4 {
            sheet.circle("5", (60.0 + 72.0 * n as f64, 40.0), 3.0);
            // Another kind stands alike, and no legend tells of it.
            symbol(&mut sheet, "5", "B2", (60.0 + 72.0 * n as f64, 130.0));
        }
        sheet.text("9", (500.0, 170.0), "LEGEND");
        sheet.circle("5", (506.0, 150.0), 3.0);
        sheet.text("9", (524.0, 147.0), words);
        read(&sheet)
    };
    let (plan, notes) = legend("RECESSED DOWNLIGHT");
    assert_eq!(plan.lights.len(), 4, "{notes:#?}");
    assert!(plan.lights.iter().all(|l| l.block.is_none()));
    let (plan, notes) = legend("SPRINKLER HEAD");
    assert!(plan.lights.iter().all(|l| l.block.is_some()), "{notes:#?}");
    assert!(
        notes
            .iter()
            .any(|n| n.code == "evidence-asks" && n.message.contains("SPRINKLER")),
        "{notes:#?}"
    );
}

#[test]
fn a_reading_written_out_reads_the_same() {
    let sheet = plan(
        "5",
        &[
            ("B1", "RECESSED LIGHT"),
            ("B2", "SMOKE DETECTOR"),
            ("LT-B", "PENDANT LIGHT"),
        ],
    );
    let found = readings(&sheet.flat, &inches(), &Rules::default(), None);
    let of = |name: &str| found.readings.iter().find(|r| r.name == name).unwrap();
    assert_eq!(of("B1").why, "the legend says \"RECESSED LIGHT\"");
    assert_eq!(of("LT-B").why, "the legend says \"PENDANT LIGHT\"");
    assert!(of("B2").confidence.is_some_and(|c| c > 0.9));
    let written = "[read]\nlights = { blocks = [\"B1\"] }\ndevices = { blocks = [\"B2\", \"LT-B\"] }\n";
    let (again, _) = sheet.read_by(&parse(written, None).unwrap());
    assert_eq!(again.lights, found.plan.lights);
    assert_eq!(again.obstacles, found.plan.obstacles);
}

#[test]
fn one_block_under_words_of_which_some_say_nothing_certain_stays_what_it_is() {
    let (plan, _) = read(&plan(
        "E-LITE",
        &[("RL-6", "RECESSED"), ("RL-6", "PENDANT LIGHT")],
    ));
    assert_eq!(plan.lights.len(), 8);
    assert!(devices(&plan).is_empty());
}
