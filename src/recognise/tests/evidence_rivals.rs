//! Two kinds of nameless symbols in one ceiling, and devices drawn loose.

use super::evidence_devices::{
    asked, blocks, four_way, house, letters, lights, marked, middles, named, read,
};
use super::{Sheet, inches, recognise};
use crate::note::Note;
use crate::plan::Units;
use crate::recognise::{Became, Named, readings};
use crate::rules::{Rules, parse};

fn asked_for_lights(notes: &[Note]) -> Vec<&str> {
    let asks = notes.iter().filter(|n| n.code == "evidence-asks");
    asks.map(|n| &*n.message)
        .filter(|m| m.contains("may be lights"))
        .collect()
}

/// A row of four in the first room, and circles in the middle of each of four.
fn row_and_middles(row: f64, middle: f64) -> Sheet {
    let mut sheet = house(4);
    let at: Vec<(f64, f64)> = (0..4).map(|i| (30.0 + 60.0 * f64::from(i), 36.0)).collect();
    blocks(&mut sheet, "A$C1", &at, |s, p| vec![s.circle("0", p, row / 2.0)]);
    blocks(&mut sheet, "A$C2", &middles(4), |s, p| {
        vec![s.circle("0", p, middle / 2.0)]
    });
    sheet
}

#[test]
fn one_in_each_room_is_no_rival_of_rows() {
    let (plan, notes) = read(&row_and_middles(6.0, 8.0));
    assert_eq!(plan.lights.len(), 4, "{notes:?}");
    let asks = asked_for_lights(&notes);
    assert_eq!(asks.len(), 1, "{notes:?}");
    assert!(
        asks[0].starts_with("block A$C2") && asks[0].contains("one in each, as alarms stand too"),
        "{asks:?}"
    );
    // A small kind in rows beside a bigger one may be sprinklers: both are asked about, each by the other's name.
    let (plan, notes) = read(&row_and_middles(4.0, 8.0));
    assert!(plan.lights.is_empty());
    let asks = asked_for_lights(&notes);
    assert_eq!(asks.len(), 2, "{notes:?}");
    assert!(asks[0].contains("block A$C2 (4, 8\" across)") && asks[1].contains("block A$C1 (4, 4\" across)"));
}

#[test]
fn a_kind_that_is_certain_to_be_devices_leaves_the_other_the_lights() {
    let between: Vec<(f64, f64)> = (0..4).map(|i| (30.0 + 60.0 * f64::from(i), 72.0)).collect();
    let mut sheet = house(1);
    lights(&mut sheet);
    blocks(&mut sheet, "A$C9", &between, |s, p| marked(s, p, "SPK"));
    let (plan, notes) = read(&sheet);
    assert_eq!((plan.lights.len(), plan.obstacles.len()), (8, 4), "{notes:?}");
    assert!(asked_for_lights(&notes).is_empty());
    // The same without letters may be either.
    let mut bare = house(1);
    lights(&mut bare);
    blocks(&mut bare, "A$C9", &between, |s, p| vec![s.circle("0", p, 4.0)]);
    let (plan, notes) = read(&bare);
    assert_eq!((plan.lights.len(), plan.obstacles.len()), (0, 0));
    assert_eq!(asked_for_lights(&notes).len(), 2, "{notes:?}");
}

#[test]
fn a_row_with_marks_of_the_schedule_is_the_lights() {
    let mut sheet = house(1);
    for (block, y) in [("A$C1", 36.0), ("A$C2", 108.0)] {
        let at: Vec<(f64, f64)> = (0..3).map(|i| (60.0 + 60.0 * f64::from(i), y)).collect();
        blocks(&mut sheet, block, &at, |s, p| vec![s.circle("0", p, 3.0)]);
    }
    let rules = parse("[[luminaire]]\ntag = 'R6'\naperture = 6\n", None).unwrap();
    assert!(sheet.read_by(&rules).0.lights.is_empty());
    for i in 0..sheet.flat.items.len() {
        let crate::flatten::Prim::Symbol(s) = &sheet.flat.items[i].prim else {
            continue;
        };
        if &*s.block == "A$C1" {
            sheet.attrib(i, "TYPE", "R6");
        }
    }
    let (plan, notes) = sheet.read_by(&rules);
    assert_eq!(plan.lights.len(), 3, "{notes:?}");
    assert!(plan.lights.iter().all(|l| l.tag.as_deref() == Some("R6")));
    let asks = asked_for_lights(&notes);
    assert!(asks.len() == 1 && asks[0].starts_with("block A$C2"), "{asks:?}");
}

#[test]
fn small_circles_in_rows_may_be_sprinklers() {
    let between: Vec<(f64, f64)> = (0..8)
        .map(|i| (30.0 + 60.0 * f64::from(i % 4), if i < 4 { 20.0 } else { 92.0 }))
        .collect();
    let mut sheet = house(1);
    lights(&mut sheet);
    blocks(&mut sheet, "A$C9", &between, |s, p| vec![s.circle("0", p, 1.0)]);
    let (plan, notes) = read(&sheet);
    assert_eq!((plan.lights.len(), plan.obstacles.len()), (8, 0), "{notes:?}");
    let asks = asked(&notes);
    assert!(
        asks.len() == 1 && asks[0].contains("8 circles 2\" across, as sprinklers stand"),
        "{asks:?}"
    );
}

#[test]
fn letters_belong_to_the_smallest_shape_around_them() {
    // A basin drawn loose around an alarm whose letters are loose too.
    let mut sheet = house(1);
    blocks(&mut sheet, "A$C9", &[(120.0, 70.0)], |s, p| {
        vec![s.circle("0", p, 3.0)]
    });
    letters(&mut sheet, (120.0, 70.0), "SD");
    sheet.circle("12", (121.0, 70.0), 7.0);
    let (plan, notes) = read(&sheet);
    assert_eq!(named(&plan), ["smoke alarm (A$C9)"], "{notes:?}");
    // The same basin as a block.
    let mut block = house(1);
    blocks(&mut block, "A$C9", &[(120.0, 70.0)], |s, p| {
        vec![s.circle("0", p, 3.0)]
    });
    letters(&mut block, (120.0, 70.0), "SD");
    blocks(&mut block, "A$C8", &[(121.0, 70.0)], |s, p| {
        vec![s.circle("0", p, 5.0)]
    });
    assert_eq!(named(&read(&block).0), ["smoke alarm (A$C9)"]);
    // Lettering far smaller than the symbol is a note.
    let mut wide = house(1);
    blocks(&mut wide, "A$C9", &[(120.0, 70.0)], |s, p| {
        vec![s.circle("0", p, 7.0)]
    });
    letters(&mut wide, (120.0, 70.0), "SD");
    assert!(read(&wide).0.obstacles.is_empty());
    // Letters at the edge are another thing's.
    let mut edge = house(1);
    blocks(&mut edge, "A$C9", &[(120.0, 70.0)], |s, p| {
        vec![s.circle("0", p, 7.0)]
    });
    letters(&mut edge, (120.0, 74.5), "SD");
    let (plan, notes) = read(&edge);
    assert!(plan.obstacles.is_empty() && asked(&notes).is_empty(), "{notes:?}");
}

#[test]
fn letters_at_a_wall_are_asked_about() {
    let mut sheet = house(1);
    blocks(&mut sheet, "A$C9", &[(120.0, 2.0)], |s, p| marked(s, p, "SD"));
    let (plan, notes) = read(&sheet);
    assert!(plan.obstacles.is_empty());
    assert_eq!(asked(&notes).len(), 1, "{notes:?}");
}

#[test]
fn a_device_with_a_telling_name_says_nothing_of_the_others() {
    let mut sheet = house(1);
    blocks(&mut sheet, "DIFFUSER-12", &[(40.0, 70.0)], four_way);
    blocks(&mut sheet, "A$C9", &middles(1), |s, p| marked(s, p, "SD"));
    assert_eq!(named(&read(&sheet).0), ["DIFFUSER-12", "smoke alarm (A$C9)"]);
    // Rules that say what is a device are asked alone.
    let rules = parse("[read]\ndevices = { blocks = ['DIFF*'] }\n", None).unwrap();
    assert_eq!(named(&sheet.read_by(&rules).0), ["DIFFUSER-12"]);
}

/// Loose circles with letters on layer 7, and loose diffusers on layer 8.
fn loose() -> Sheet {
    let mut sheet = house(3);
    lights(&mut sheet);
    let on = |layer: &str, items: Vec<usize>, sheet: &mut Sheet| {
        items
            .into_iter()
            .for_each(|i| sheet.flat.items[i].layer = layer.into())
    };
    for p in middles(3) {
        let alarm = marked(&mut sheet, p, "SD");
        on("7", alarm, &mut sheet);
        let diffuser = four_way(&mut sheet, (p.0 + 40.0, p.1));
        on("8", diffuser, &mut sheet);
    }
    sheet
}

#[test]
fn devices_drawn_loose_on_a_layer_of_their_own() {
    let sheet = loose();
    let told = readings(&sheet.flat, &inches(), &Rules::default(), None);
    let mut kinds = named(&told.plan);
    kinds.sort_unstable();
    let want = [["diffuser (8)"; 3], ["smoke alarm (7)"; 3]].concat();
    assert_eq!(kinds, want, "{:?}", told.notes);
    assert_eq!(told.plan.lights.len(), 8);
    let layer = |name: &str| {
        let found = told
            .readings
            .iter()
            .find(|r| r.named == Named::Layer && r.name == name);
        found.unwrap().class
    };
    assert_eq!((layer("7"), layer("8")), (Became::Device, Became::Device));
    // Rules that name the layers give the plan again.
    let units = Units {
        name: "in".into(),
        ..inches()
    };
    let written = crate::write::starter::starter("p", &told.plan, &told.readings, &Rules::default());
    let again = recognise(&sheet.flat, &units, &parse(&written, None).unwrap());
    assert!(again.0 == told.plan, "{written}");
}

#[test]
fn a_layer_that_holds_something_else_is_not_taken_for_devices() {
    for what in ["a line", "a word", "a bare circle", "a hidden circle", "a block"] {
        let mut sheet = loose();
        match what {
            "a line" => sheet.line("7", (0.0, -20.0), (200.0, -20.0)),
            "a word" => letters(&mut sheet, (20.0, 20.0), "TYP."),
            "a bare circle" => sheet.circle("7", (20.0, 20.0), 4.0),
            "a hidden circle" => {
                let n = sheet.circle("7", (20.0, 20.0), 4.0);
                sheet.flat.items[n].visible = false;
                n
            }
            _ => sheet.insert("7", "A$C55", (20.0, 20.0)),
        };
        if what == "a word" {
            let last = sheet.flat.items.len() - 1;
            sheet.flat.items[last].layer = "7".into();
        }
        let (plan, notes) = read(&sheet);
        assert_eq!(named(&plan), ["diffuser (8)"; 3], "{what}: {notes:?}");
        assert!(asked(&notes).is_empty(), "{what}: {notes:?}");
    }
}

#[test]
fn letters_of_a_device_name_no_room() {
    let mut sheet = Sheet::default();
    sheet.path(
        "A-AREA",
        &[(0.0, 0.0), (200.0, 0.0), (200.0, 100.0), (0.0, 100.0)],
        true,
    );
    letters(&mut sheet, (50.0, 50.0), "SD");
    letters(&mut sheet, (60.0, 50.0), "S/CO");
    letters(&mut sheet, (100.0, 50.0), "DEN");
    let (plan, _) = sheet.read_by(&super::rules());
    assert_eq!(plan.rooms[0].name.as_deref(), Some("DEN"));
}

#[test]
fn two_circles_about_one_middle_are_one_kind() {
    let mut sheet = house(1);
    for y in [36.0, 108.0] {
        for x in [60.0, 120.0, 180.0] {
            sheet.circle("L7", (x, y), 3.0);
            sheet.circle("L7", (x, y), 1.75);
        }
    }
    let (plan, notes) = read(&sheet);
    assert!(asked_for_lights(&notes).len() <= 1, "{notes:?}");
    assert!(
        plan.lights.len() == 6 || asked_for_lights(&notes)[0].contains("6 equal symbols 6\" across"),
        "{notes:?}"
    );
}
