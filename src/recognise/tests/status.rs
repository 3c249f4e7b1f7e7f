//! Layers whose names give the status of what is on them: to be demolished, existing, future, above, below.

use super::evidence_more::{house, lights, read, symbol};
use super::{Sheet, has_note};
use crate::note::Note;
use crate::rules::parse;

fn told<'a>(notes: &'a [Note], code: &str, layer: &str) -> Vec<&'a str> {
    let of = |n: &&'a Note| n.code == code && n.message.contains(&format!("layer {layer} "));
    notes.iter().filter(of).map(|n| &*n.message).collect()
}

/// Eight lights in the kitchen, and two symbols of the same block in the den on another layer.
fn with_two(layer: &str, block: &str) -> Sheet {
    let mut sheet = house("A-WALL");
    lights(&mut sheet, "E-LITE-CLNG", "R6", 0.0);
    for x in [300.0, 348.0] {
        symbol(&mut sheet, layer, block, (x, 90.0));
    }
    sheet
}

#[test]
fn lights_to_demolish_existing_or_future_are_none_to_rough_in_and_told() {
    for layer in [
        "E-LITE-DEMO",
        "E-LITE-EXST",
        "E-LITE-FUTR",
        "E-LITE-N.I.C.",
        "E-LITE-ABND",
        "E-LITE-TEMP",
        "LIGHTS-OPTION",
        "E-LITE-SUPERSEDED",
        "E-LITE-REV1-OLD",
        "LIGHTS VOID",
        "DELETED LIGHTS",
        "EXISTING LIGHTS",
    ] {
        // A light's own name does not outweigh that it is gone.
        for block in ["R6", "DOWNLIGHT"] {
            let (plan, notes) = read(&with_two(layer, block));
            assert_eq!(plan.lights.len(), 8, "{layer} {block}");
            let said = told(&notes, "layer-status", layer);
            assert_eq!(said.len(), 1, "{layer} {block}: {notes:?}");
            assert!(said[0].starts_with("2 symbols on layer"), "{}", said[0]);
            let line = format!("lights = {{ more_layers = [{layer:?}] }}");
            assert!(said[0].contains(&line), "{}", said[0]);
            assert!(!has_note(&notes, "evidence-asks"), "{layer}: {notes:?}");
        }
    }
}

#[test]
fn the_line_that_is_offered_counts_them() {
    let sheet = with_two("E-LITE-EXST", "R6");
    for list in [
        "more_layers = [\"E-LITE-EXST\"]",
        "layers = [\"E-LITE-CLNG\", \"E-LITE-EXST\"]",
    ] {
        let toml = format!("[read]\nlights = {{ {list} }}\n");
        let (plan, notes) = sheet.read_by(&parse(&toml, None).unwrap());
        assert_eq!(plan.lights.len(), 10);
        assert!(
            told(&notes, "layer-status", "E-LITE-EXST").is_empty(),
            "{notes:?}"
        );
    }
    // A pattern that takes them along is the user's word, and told.
    let (plan, notes) = sheet.read_by(&parse("[read]\nlights = { layers = [\"E-LITE*\"] }\n", None).unwrap());
    assert_eq!(plan.lights.len(), 10);
    assert_eq!(told(&notes, "layer-status", "E-LITE-EXST").len(), 1, "{notes:?}");
}

#[test]
fn lights_at_their_new_place_count_and_are_told() {
    let (plan, notes) = read(&with_two("E-LITE-RELO", "R6"));
    assert_eq!(plan.lights.len(), 10);
    assert_eq!(told(&notes, "layer-status", "E-LITE-RELO").len(), 1, "{notes:?}");
}

#[test]
fn walls_to_demolish_above_below_and_foundations_are_no_walls_here() {
    for layer in [
        "A-WALL-DEMO",
        "A-WALL-OVHD",
        "A-WALL-ABOV",
        "WALLS BELOW",
        "S-FNDN-WALL",
        "WALL ABOVE",
    ] {
        let mut sheet = house("A-WALL");
        // Across the kitchen.
        sheet.line(layer, (0.0, 60.0), (240.0, 60.0));
        sheet.line(layer, (0.0, 64.5), (240.0, 64.5));
        let (plan, notes) = read(&sheet);
        assert_eq!(plan.rooms.len(), 3, "{layer}");
        let said = told(&notes, "layer-status", layer);
        assert!(
            said.len() == 1 && said[0].starts_with("2 entities"),
            "{layer}: {notes:?}"
        );
    }
    // Existing walls stand.
    let (plan, notes) = read(&house("A-WALL-EXST"));
    assert_eq!(plan.rooms.len(), 3);
    assert!(told(&notes, "layer-status", "A-WALL-EXST").is_empty());
}

#[test]
fn walls_below_are_the_walls_where_a_plan_has_no_others() {
    let mut sheet = house("A-WALL");
    for item in &mut sheet.flat.items {
        if &*item.layer == "A-WALL" {
            item.layer = "WALLS BELOW".into();
        }
    }
    assert_eq!(read(&sheet).0.rooms.len(), 3);
}

#[test]
fn layers_of_other_lights_are_left_out_and_told() {
    for layer in ["POOL LIGHTS", "UC LIGHTS", "E-LITE-EXTR", "TRACK LIGHTS"] {
        let (plan, notes) = read(&with_two(layer, "SYM1"));
        assert_eq!(plan.lights.len(), 8, "{layer}");
        let said = told(&notes, "layer-elsewhere", layer);
        assert!(
            said.len() == 1 && said[0].starts_with("2 symbols"),
            "{layer}: {notes:?}"
        );
    }
}

#[test]
fn rules_that_name_the_block_and_ignore_the_layer_leave_it_out() {
    let sheet = with_two("E-LITE-DEMO", "R6");
    let rules =
        |text: &str| parse(&format!("[read]\nlights = {{ blocks = [\"R6\"] }}\n{text}"), None).unwrap();
    assert_eq!(sheet.read_by(&rules("")).0.lights.len(), 10);
    let (plan, notes) = sheet.read_by(&rules("ignore = { layers = [\"E-LITE-DEMO\"] }\n"));
    assert_eq!(plan.lights.len(), 8, "{notes:#?}");
    assert!(
        told(&notes, "layer-status", "E-LITE-DEMO").is_empty(),
        "{notes:#?}"
    );
}
