//! Symbols under unknown names where lights stand.

use super::{Sheet, rules};
use crate::note::Level;

/// Four lights, and a box of lines about the second and about no light on a layer.
fn boxes(layer: &str) -> Sheet {
    let mut sheet = Sheet::default();
    for x in [0.0, 60.0, 120.0, 180.0] {
        sheet.light("LT-R6", (x, 0.0));
    }
    for x in [62.0, 90.0] {
        let ring = [
            (x - 11.0, -15.0),
            (x + 11.0, -15.0),
            (x + 11.0, 15.0),
            (x - 11.0, 15.0),
        ];
        for k in 0..4 {
            sheet.line(layer, ring[k], ring[(k + 1) % 4]);
        }
    }
    sheet
}

#[test]
fn symbols_that_lights_stand_in_are_told_of() {
    for (layer, level) in [
        ("ATTIC", Some(Level::Warning)),
        ("E-SECU", Some(Level::Warning)),
        ("TUNNELS", Some(Level::Info)),
        ("A-FURN", None),
        ("M-HVAC", None),
    ] {
        let mut rules = rules();
        rules.read.devices.given = false;
        rules.read.devices.layers = vec!["HVAC".into()];
        let (_, notes) = boxes(layer).read_by(&rules);
        let told: Vec<_> = notes.iter().filter(|n| n.code == "over-lights").collect();
        assert_eq!(told.first().map(|n| n.level), level, "{layer}: {notes:?}");
        let said = format!("1 symbol(s) of layer {layer} are drawn where L2 stands");
        assert!(told.iter().all(|n| n.message.starts_with(&said)), "{told:?}");
    }
    // What the rules give is all there is.
    let (_, notes) = boxes("ATTIC").read();
    assert!(notes.iter().all(|n| n.code != "over-lights"));
}

#[test]
fn leaders_and_wires_over_lights_are_none() {
    let mut sheet = boxes("A-FURN");
    sheet.path("ATTIC", &[(62.0, 2.0), (80.0, 30.0), (95.0, 30.0)], false);
    sheet.line("ATTIC", (110.0, -10.0), (130.0, 12.0));
    let mut rules = rules();
    rules.read.devices.given = false;
    let (_, notes) = sheet.read_by(&rules);
    assert!(notes.iter().all(|n| n.code != "over-lights"), "{notes:?}");
}
