//! Symbols under unknown names where lights stand.

use super::{Sheet, has_note, rules, xy};
use crate::flatten::{PathVertex, Prim};
use crate::note::Level;
use crate::rules::Rules;

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

/// Three lights, a second one `off` beside the first, and about both a ring of twelve runs of a bulge.
fn ringed(off: f64, bulge: f64) -> Sheet {
    let mut sheet = Sheet::default();
    for x in [0.0, off, 120.0, 180.0] {
        let insert = sheet.insert("E-LITE-CLNG", "RL-6", (x, 0.0));
        let circle = sheet.circle("0", (x, 0.0), 3.0);
        sheet.put(circle, insert);
    }
    let vertices = (0..12)
        .map(|i| f64::from(i) * 30f64.to_radians())
        .map(|turn| PathVertex {
            at: xy(off / 2.0 + 24.0 * turn.cos(), 24.0 * turn.sin()),
            bulge,
            start_width: 0.0,
            end_width: 0.0,
        })
        .collect();
    let closed = true;
    sheet.item("A-ATTIC", "LWPOLYLINE", Prim::Path { vertices, closed });
    sheet
}

#[test]
fn clouds_are_no_devices_and_what_stands_twice_in_one_is_asked_about() {
    for (off, bulge, clouded) in [
        (16.0, 0.4, true),
        (16.0, -0.5, true),
        (30.0, 0.4, false),
        // Runs that go round in one circle, and straight ones.
        (16.0, 7.5f64.to_radians().tan(), false),
        (16.0, 0.0, false),
    ] {
        let (plan, notes) = ringed(off, bulge).read_by(&Rules::default());
        assert_eq!(plan.lights.len(), 4, "{notes:?}");
        assert_eq!(
            has_note(&notes, "lights-clouded"),
            clouded,
            "{off} {bulge}: {notes:?}"
        );
        let cloud = bulge.abs() > 0.2;
        assert_eq!(
            has_note(&notes, "over-lights"),
            !cloud,
            "{off} {bulge}: {notes:?}"
        );
    }
}

#[test]
fn clouds_of_loose_arcs_are_no_devices() {
    // Twelve arcs that meet on a ring of 20 in: those of half a turn and more meet in cusps.
    for (half, told) in [(105f64, false), (15.0, true)] {
        let mut sheet = Sheet::default();
        for x in [0.0, 60.0, 120.0] {
            let insert = sheet.insert("E-LITE-CLNG", "RL-6", (x, 0.0));
            let circle = sheet.circle("0", (x, 0.0), 3.0);
            sheet.put(circle, insert);
        }
        let (half, step) = (half.to_radians(), 15f64.to_radians());
        let radius = 20.0 * step.sin() / half.sin();
        let off = 20.0 * step.cos() - radius * half.cos();
        for i in 0..12 {
            let turn = f64::from(2 * i) * step;
            let arc = Prim::Arc {
                center: xy(off * turn.cos(), off * turn.sin()),
                radius,
                start: turn - half,
                sweep: 2.0 * half,
            };
            sheet.item("A-ATTIC", "ARC", arc);
        }
        let (_, notes) = sheet.read_by(&Rules::default());
        assert_eq!(has_note(&notes, "over-lights"), told, "{half}: {notes:?}");
    }
}
