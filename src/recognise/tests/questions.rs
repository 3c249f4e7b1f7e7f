//! Questions followed to the letter: the line that a question gives adds what it asks about and takes nothing away.

use super::evidence_more::{house, joists, lights, read, symbol};
use super::{Sheet, has_note, xy};
use crate::note::Note;
use crate::plan::Plan;
use crate::recognise::{Became, readings};
use crate::rules::{Rules, parse};

/// The message that asks about a name.
fn question<'a>(notes: &'a [Note], name: &str) -> &'a str {
    let asks = notes
        .iter()
        .find(|n| n.message.starts_with(name) && n.message.contains(" = { "));
    &asks.unwrap_or_else(|| panic!("{name}: {notes:#?}")).message
}

/// The line of the rules in a message: what follows the last colon or `bayline.toml` up to the closing brace.
fn line(message: &str) -> &str {
    let brace = message.find(" = { ").unwrap();
    let from = message[..brace].rfind(' ').unwrap() + 1;
    let to = brace + message[brace..].find(" }").unwrap() + 2;
    &message[from..to]
}

pub(super) fn follow(sheet: &Sheet, message: &str) -> (Plan, Vec<Note>) {
    let text = format!("[read]\n{}\n", line(message));
    sheet.read_by(&parse(&text, None).unwrap_or_else(|e| panic!("{text}: {e}")))
}

/// Whether everything of one plan is in another.
fn keeps(before: &Plan, after: &Plan) -> bool {
    let lights = before
        .lights
        .iter()
        .all(|l| after.lights.iter().any(|o| o.at == l.at));
    let members = before.members.iter().all(|m| {
        after
            .members
            .iter()
            .any(|o| (o.from, o.to) == (m.from, m.to) || (o.from, o.to) == (m.to, m.from))
    });
    let things = before.obstacles.iter().all(|d| after.obstacles.contains(d));
    lights
        && members
        && things
        && after.rooms.len() >= before.rooms.len()
        && after.walls.len() >= before.walls.len()
}

/// A named house with lights and joists, whose names say so.
fn told() -> Sheet {
    let mut sheet = house("A-WALL");
    lights(&mut sheet, "E-LITE", "LT-6", 0.0);
    joists(&mut sheet, "S-JOIS", 0.0);
    // A switch on the light layer is no light, whatever is added to the lights.
    symbol(&mut sheet, "E-LITE", "PENDANT", (120.0, 90.0));
    sheet
}

#[test]
fn circles_and_blocks_that_may_be_lights_are_added_to_the_lights() {
    let mut sheet = told();
    lights(&mut sheet, "ELECTRICAL", "ZQ-ADJ", 244.5);
    for x in [40.0, 88.0, 136.0, 184.0] {
        sheet.circle("7", (489.0 + x, 90.0), 4.0);
    }
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.lights.len(), 8);
    for (name, more) in [("block ZQ-ADJ", 8), ("layer 7", 4)] {
        let asks = question(&notes, name);
        let (after, notes) = follow(&sheet, asks);
        assert_eq!(after.lights.len(), 8 + more, "{asks}: {notes:#?}");
        assert!(keeps(&plan, &after), "{asks}");
        assert!(!has_note(&notes, "read-narrowed"), "{notes:#?}");
    }
    // One after the other: the second question's line holds the first one's as well.
    let first = parse(&format!("[read]\n{}\n", line(question(&notes, "layer 7"))), None).unwrap();
    let (_, notes) = sheet.read_by(&first);
    let (after, _) = follow(&sheet, question(&notes, "block ZQ-ADJ"));
    assert_eq!(after.lights.len(), 20);
}

#[test]
fn circles_that_would_be_no_lights_on_a_layer_of_lights_are_not_asked_about() {
    for receptacles in [true, false] {
        let mut sheet = told();
        for x in [40.0, 88.0, 136.0, 184.0] {
            let (x, y) = (489.0 + x, 90.0);
            sheet.circle("E-POWR", (x, y), 3.0);
            for off in [-1.0, 1.0] {
                if receptacles {
                    sheet.line("E-POWR", (x - 5.0, y + off), (x + 3.0, y + off));
                }
            }
        }
        let (plan, notes) = read(&sheet);
        assert_eq!(plan.lights.len(), 8);
        let asks = notes
            .iter()
            .any(|n| n.message.starts_with("layer E-POWR may be lights"));
        assert_eq!(asks, !receptacles, "{notes:#?}");
    }
}

#[test]
fn a_block_taken_for_the_lights_by_what_is_drawn_stays_with_what_is_added() {
    let mut sheet = house("A-WALL");
    lights(&mut sheet, "1", "A$C1", 0.0);
    lights(&mut sheet, "1", "A$C1", 244.5);
    joists(&mut sheet, "2", 0.0);
    joists(&mut sheet, "2", 244.5);
    let plan = read(&sheet).0;
    assert_eq!((plan.lights.len(), plan.members.len()), (16, 28));
    // Names that stand under none of the questions, added by hand.
    sheet.circle("5", (500.0, 90.0), 3.0);
    sheet.upright("6", 560.0, 3.5, (0.0, 180.0));
    let rules = "[read]\nlights = { more_layers = [\"5\"] }\nframing = { more_layers = [\"6\"] }\n";
    let (after, notes) = sheet.read_by(&parse(rules, None).unwrap());
    assert_eq!((after.lights.len(), after.members.len()), (17, 29), "{notes:#?}");
    assert!(keeps(&plan, &after) && has_note(&notes, "by-evidence"));
}

/// Every line of what was taken for what is drawn, each alone and all together, gives that reading again.
#[test]
fn lines_that_make_sure_of_a_reading_keep_it() {
    let mut sheet = house("A-WALL");
    for (x, y) in [
        (48.0, 48.0),
        (120.0, 48.0),
        (192.0, 48.0),
        (48.0, 132.0),
        (120.0, 132.0),
        (192.0, 132.0),
    ] {
        for left in [0.0, 244.5] {
            sheet.circle("L5", (left + x, y), 3.0);
        }
    }
    joists(&mut sheet, "L6", 0.0);
    joists(&mut sheet, "L6", 244.5);
    for sheet in [sheet, super::one_layer::house()] {
        let (plan, notes) = read(&sheet);
        assert!(plan.lights.len() >= 8 && plan.members.len() >= 22, "{notes:#?}");
        let taken: Vec<&Note> = notes.iter().filter(|n| n.code == "by-evidence").collect();
        assert_eq!(taken.len(), 2, "{notes:#?}");
        let lines = |message: &str| -> String {
            let sure = message.split(" to be sure").next().unwrap_or_default();
            let from = sure.rfind("bayline.toml ").unwrap() + "bayline.toml ".len();
            sure[from..].replace(" with ", "\n")
        };
        for note in &taken {
            let text = format!("[read]\n{}\n", lines(&note.message));
            let (after, notes) = sheet.read_by(&parse(&text, None).unwrap_or_else(|e| panic!("{text}: {e}")));
            assert!(keeps(&plan, &after), "{text} {notes:#?}");
            assert_eq!(
                (after.lights.len(), after.members.len()),
                (plan.lights.len(), plan.members.len()),
                "{text}"
            );
        }
    }
}

#[test]
fn a_second_layer_of_members_is_added_to_the_first() {
    let mut sheet = told();
    // Off any usual pitch, so that it is asked about.
    for k in 0..6 {
        sheet.upright("NEW", 260.0 + 33.0 * k as f64, 1.5, (0.0, 180.0));
    }
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.members.len(), 14, "{notes:#?}");
    let (after, _) = follow(&sheet, question(&notes, "layer NEW"));
    assert_eq!(after.members.len(), 20);
    assert!(keeps(&plan, &after));
}

#[test]
fn layers_left_out_for_a_word_or_their_status_are_added() {
    let mut sheet = told();
    lights(&mut sheet, "POOL LIGHTS", "A$C9", 244.5);
    lights(&mut sheet, "E-LITE-DEMO", "LT-6", 489.0);
    let (plan, notes) = read(&sheet);
    let before = plan.lights.len();
    for part in ["on layer POOL LIGHTS", "on layer E-LITE-DEMO"] {
        let Some(asks) = notes
            .iter()
            .find(|n| n.message.contains(part) && n.message.contains(" = { "))
        else {
            panic!("{part}: {notes:#?}")
        };
        let (after, _) = follow(&sheet, &asks.message);
        assert_eq!(after.lights.len(), before + 8, "{asks:?}");
        assert!(keeps(&plan, &after));
    }
    // What is no recessed light by its name is one where the rules say so.
    let asks = notes.iter().find(|n| n.code == "not-recessed").unwrap();
    let (after, _) = follow(&sheet, &asks.message);
    assert_eq!(after.lights.len(), before + 1, "{asks:?}");
}

#[test]
fn what_may_be_two_things_is_asked_about_once() {
    // Partitions at an even pitch: they part rooms, and have lumber's thickness.
    let mut sheet = Sheet::default();
    for (k, name) in ["KITCHEN", "DEN", "BEDROOM", "BATH", "OFFICE", "HALL"]
        .iter()
        .enumerate()
    {
        let left = 46.0 * k as f64;
        sheet.upright("ALBANIL", left - 2.25, 4.5, (0.0, 180.0));
        sheet.text("9", (left + 10.0, 90.0), name);
    }
    sheet.upright("ALBANIL", 46.0 * 6.0 - 2.25, 4.5, (0.0, 180.0));
    for y in [(-4.5, 0.0), (180.0, 184.5)] {
        sheet.line("ALBANIL", (-4.5, y.0), (280.0, y.0));
        sheet.line("ALBANIL", (-4.5, y.1), (280.0, y.1));
    }
    joists(&mut sheet, "S-JOIS", 0.0);
    let (_, notes) = read(&sheet);
    let asks: Vec<&Note> = notes
        .iter()
        .filter(|n| n.message.starts_with("layer ALBANIL "))
        .collect();
    assert!(asks.len() <= 1, "{asks:#?}");
}

#[test]
fn nothing_is_asked_below_the_confidence_that_is_documented() {
    // Switch legs over the joists, an even pitch apart, and a dimension's ticks.
    let mut sheet = told();
    for k in 0..5 {
        let x = 30.0 + 48.0 * k as f64;
        sheet.line("WIRES", (x, 10.0), (x, 170.0));
        sheet.line(
            "COTES",
            (10.0, 20.0 + 24.0 * k as f64),
            (230.0, 20.0 + 24.0 * k as f64),
        );
    }
    let (_, notes) = read(&sheet);
    for note in notes.iter().filter(|n| n.code == "evidence-asks") {
        let confidence = note.message.split("(confidence ").nth(1).unwrap();
        let value: f64 = confidence.split(')').next().unwrap().parse().unwrap();
        assert!(value >= 0.5, "{note:?}");
    }
}

#[test]
fn a_list_that_takes_the_place_of_names_is_told_of() {
    let mut sheet = told();
    for x in [40.0, 88.0, 136.0, 184.0] {
        sheet.circle("7", (489.0 + x, 90.0), 4.0);
    }
    let plan = read(&sheet).0;
    let by_hand = "[read]\nlights = { layers = [\"7\"] }\nframing = { layers = [\"8\"] }\n";
    let (after, notes) = sheet.read_by(&parse(by_hand, None).unwrap());
    assert_eq!((after.lights.len(), after.members.len()), (4, 0));
    let told: Vec<&str> = (notes.iter().filter(|n| n.code == "read-narrowed"))
        .map(|n| &*n.message)
        .collect();
    let [of_lights, of_framing] = told.as_slice() else {
        panic!("{told:#?}")
    };
    assert!(
        of_lights.contains("leaves out 8 light(s)") && of_lights.contains("layer E-LITE"),
        "{of_lights}"
    );
    assert!(of_framing.contains("leaves out 14 member(s)") && of_framing.contains("layer S-JOIS"));
    // Their lines hold what was given and what was left out.
    assert_eq!(line(of_lights), "lights = { layers = [\"7\", \"E-LITE\"] }");
    let (after, _) = follow(&sheet, of_framing);
    assert!(after.members.len() == 14 && after.lights.len() == plan.lights.len());
    // What is named under ignore is left out knowingly.
    let known = format!("{by_hand}ignore = {{ layers = [\"E-LITE\", \"S-JOIS\"] }}\n");
    let (_, notes) = sheet.read_by(&parse(&known, None).unwrap());
    assert!(!has_note(&notes, "read-narrowed"), "{notes:#?}");
}

#[test]
fn a_list_of_what_is_ignored_that_takes_the_place_of_the_words_is_told_of() {
    let mut sheet = told();
    symbol(&mut sheet, "A-FURN", "ZQ-CHAIR", (60.0, 60.0));
    sheet.line("A-FURN", (50.0, 50.0), (70.0, 50.0));
    let narrowed = |text: &str| -> Vec<Note> {
        let (_, notes) = sheet.read_by(&parse(&format!("[read]\n{text}\n"), None).unwrap());
        notes.into_iter().filter(|n| n.code == "read-narrowed").collect()
    };
    let told = narrowed("ignore = { layers = [\"Q-OLD\"] }");
    assert!(
        told.len() == 1 && told[0].message.contains("layer A-FURN"),
        "{told:#?}"
    );
    // Its line adds, and is told of no more.
    let line = line(&told[0].message);
    assert_eq!(line, "ignore = { more_layers = [\"Q-OLD\"] }");
    assert!(narrowed(line).is_empty());
    // So is nothing where the list holds what the words would have ignored.
    assert!(narrowed("ignore = { layers = [\"Q-OLD\", \"A-FURN\"] }").is_empty());
}

#[test]
fn the_written_rules_hold_each_question_as_a_line_to_take_the_mark_from() {
    let mut sheet = told();
    lights(&mut sheet, "ELECTRICAL", "ZQ-ADJ", 244.5);
    let told = readings(&sheet.flat, &super::inches(), &Rules::default(), None);
    let asked = told.readings.iter().find(|r| r.name == "ZQ-ADJ").unwrap();
    assert_eq!(
        (asked.class, asked.may_be),
        (Became::Unclaimed, Some(Became::Light))
    );
    let written = crate::write::starter::starter("p", &told.plan, &told.readings, &Rules::default());
    let (mark, open) = ("  # \"ZQ-ADJ\",", "  \"ZQ-ADJ\",");
    assert_eq!(written.matches(mark).count(), 1, "{written}");
    let again = sheet.read_by(&parse(&written, None).unwrap()).0;
    assert_eq!(again.lights.len(), told.plan.lights.len());
    let after = sheet
        .read_by(&parse(&written.replace(mark, open), None).unwrap())
        .0;
    assert_eq!(after.lights.len(), told.plan.lights.len() + 8);
    assert!(keeps(&told.plan, &after));
}

#[test]
fn wires_from_light_to_light_and_a_few_chairs_do_not_hide_the_lights() {
    let mut sheet = house("A-WALL");
    joists(&mut sheet, "2", 0.0);
    for room in 0..3 {
        let left = 244.5 * f64::from(room);
        lights(&mut sheet, "23", "A$C12", left);
        for x in [48.0, 96.0, 144.0] {
            for y in [48.0, 132.0] {
                sheet.line("23", (left + x, y), (left + x + 48.0, y));
            }
        }
    }
    // Four seats about a table.
    for at in [(70.0, 90.0), (110.0, 88.0), (90.0, 70.0), (92.0, 113.0)] {
        sheet.circle("14", at, 6.0);
    }
    let (plan, notes) = read(&sheet);
    let named = |n: &&Note| n.message.contains("block A$C12");
    assert!(notes.iter().any(|n| named(&n)), "{notes:#?}");
    assert_eq!(plan.lights.len(), 24, "{notes:#?}");
    assert!(plan.lights.iter().any(|l| l.at == xy(48.0, 48.0)));
}
