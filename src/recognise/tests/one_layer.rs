//! Walls and framing on one layer, told apart by how they are drawn.

use super::{Sheet, has_note};
use crate::flatten::Prim;
use crate::plan::Plan;
use crate::rules::{Rules, parse};

/// Two rooms of 192 by 144 in with a door between, joists 1 1/2 in thick at 16 in in both, a round table and a bed: all on
/// layer 0.
pub(super) fn house() -> Sheet {
    let mut sheet = Sheet::default();
    let ring = |sheet: &mut Sheet, l: f64, b: f64, r: f64, t: f64| {
        for (p, q) in [
            ((l, b), (r, b)),
            ((r, b), (r, t)),
            ((r, t), (l, t)),
            ((l, t), (l, b)),
        ] {
            sheet.line("0", p, q);
        }
    };
    ring(&mut sheet, -4.5, -4.5, 393.0, 148.5);
    let points = [
        (192.0, 40.0),
        (192.0, 0.0),
        (0.0, 0.0),
        (0.0, 144.0),
        (192.0, 144.0),
        (192.0, 76.0),
        (196.5, 76.0),
        (196.5, 144.0),
        (388.5, 144.0),
        (388.5, 0.0),
        (196.5, 0.0),
        (196.5, 40.0),
        (192.0, 40.0),
    ];
    for pair in points.windows(2) {
        sheet.line("0", pair[0], pair[1]);
    }
    for (left, name) in [(0.0, "DINING"), (196.5, "BEDROOM")] {
        for k in 0..11 {
            sheet.upright("0", left + 8.0 + 16.0 * f64::from(k), 1.5, (0.0, 144.0));
        }
        sheet.text("0", (left + 60.0, 70.0), name);
        for (x, y) in [(48.0, 40.0), (144.0, 40.0), (48.0, 104.0), (144.0, 104.0)] {
            sheet.light("LT-R6", (left + x, y));
        }
    }
    sheet.circle("0", (80.0, 70.0), 24.0);
    ring(&mut sheet, 300.0, 20.0, 360.0, 100.0);
    sheet
}

fn read_right(plan: &Plan) -> bool {
    let names: Vec<Option<&str>> = plan.rooms.iter().map(|r| r.name.as_deref()).collect();
    names == [Some("DINING"), Some("BEDROOM")] && plan.members.len() == 22 && plan.lights.len() == 8
}

#[test]
fn walls_and_framing_on_one_layer_are_told_apart() {
    let (plan, notes) = house().read_by(&Rules::default());
    assert!(
        read_right(&plan),
        "{:?} {} {notes:#?}",
        plan.rooms,
        plan.members.len()
    );
    let taken: Vec<&str> = notes
        .iter()
        .filter(|n| n.code == "by-evidence")
        .map(|n| &*n.message)
        .collect();
    assert!(
        taken.iter().any(|m| m.starts_with("layer 0 is taken for walls")),
        "{taken:?}"
    );
    assert!(taken.iter().any(|m| m.starts_with("layer 0:lumber")), "{taken:?}");
}

#[test]
fn the_rules_name_them() {
    for text in [
        "[read]\nwalls = { layers = [\"0\"] }\nframing = { layers = [\"0:lumber\"] }\n",
        // One layer under both: what is drawn as framing is framing.
        "[read]\nwalls = { layers = [\"0\"] }\nframing = { layers = [\"0\"] }\n",
    ] {
        let (plan, notes) = house().read_by(&parse(text, None).unwrap());
        assert!(
            read_right(&plan),
            "{text} {:?} {} {notes:#?}",
            plan.rooms,
            plan.members.len()
        );
        assert!(!has_note(&notes, "walls-hold-framing") && !has_note(&notes, "read-unmatched"));
    }
    let walls_only = "[read]\nwalls = { layers = [\"0\"] }\n";
    let (_, notes) = house().read_by(&parse(walls_only, None).unwrap());
    let told = notes
        .iter()
        .find(|n| n.code == "walls-hold-framing")
        .expect("told");
    assert!(
        told.message.contains("44 of its lines") && told.message.contains("0:lumber"),
        "{}",
        told.message
    );
}

#[test]
fn loose_circles_among_walls_and_framing_are_a_part_of_the_layer_too() {
    let mut sheet = house();
    for item in &mut sheet.flat.items {
        if matches!(item.prim, Prim::Symbol(_)) {
            item.visible = false;
        }
    }
    let hidden: Vec<usize> = (0..sheet.flat.items.len())
        .filter(|&i| !sheet.flat.items[i].visible)
        .collect();
    for item in &mut sheet.flat.items {
        item.visible &= item.within.is_none_or(|w| !hidden.contains(&w));
    }
    for left in [0.0, 196.5] {
        for (x, y) in [(48.0, 40.0), (144.0, 40.0), (48.0, 104.0), (144.0, 104.0)] {
            sheet.circle("0", (left + x, y), 3.0);
        }
    }
    // One of another size is not of what was looked at.
    sheet.circle("0", (96.0, 72.0), 4.5);
    let (plan, notes) = sheet.read_by(&Rules::default());
    let told = notes.iter().find(|n| n.message.starts_with("layer 0:circles"));
    let told = told.unwrap_or_else(|| panic!("{notes:#?}"));
    let line = "lights = { more_layers = [\"0:circles\"] }";
    assert!(told.message.contains(line), "{told:?}");
    assert!(read_right(&plan), "{} {notes:#?}", plan.lights.len());
    let asked = notes.iter().find(|n| n.code == "circles-asked").expect("asked");
    assert!(
        asked.message.contains("1 circle(s) 9\" across")
            && asked
                .message
                .contains("lights = { more_blocks = [\"0:circle 9\"] }"),
        "{asked:?}"
    );
    // The line takes them, and leaves walls and framing as they were.
    let (plan, notes) = sheet.read_by(&parse(&format!("[read]\n{line}\n"), None).unwrap());
    assert!(read_right(&plan), "{} {notes:#?}", plan.lights.len());
    assert!(!has_note(&notes, "read-unmatched"), "{notes:#?}");
}

#[test]
fn treads_glass_and_partitions_are_no_lumber() {
    // Treads 10 in apart with a nosing, three windows of glass 2 1/4 in apart, three stud partitions.
    let mut sheet = Sheet::default();
    for k in 0..12 {
        sheet.upright("0", 10.0 * f64::from(k), 1.5, (0.0, 40.0));
    }
    for k in 0..3 {
        sheet.upright("0", 300.0 + 120.0 * f64::from(k), 2.25, (0.0, 60.0));
        sheet.upright("0", 300.0 + 40.0 * f64::from(k), 3.5, (100.0, 200.0));
    }
    let all: Vec<usize> = (0..sheet.flat.items.len()).collect();
    assert!(crate::recognise::lumber::drawn(&sheet.flat, &all, &Default::default()).is_empty());
}

/// As programs export that put what belongs together into groups: each a block, all on one layer.
#[test]
fn walls_and_framing_in_blocks_of_their_own_are_told_apart() {
    let loose = house();
    let mut sheet = Sheet::default();
    let parts = ["Group#1", "Group#7"].map(|name| sheet.insert("0", name, (0.0, 0.0)));
    let inner = sheet.insert("0", "Group#2", (0.0, 0.0));
    sheet.put(inner, parts[1]);
    for item in &loose.flat.items {
        let thin = |p: &crate::flatten::Prim| match p {
            crate::flatten::Prim::Segment { from, to } => from.x == to.x && (to.y - from.y).abs() == 144.0,
            _ => false,
        };
        let line = matches!(item.prim, crate::flatten::Prim::Segment { .. });
        let at = sheet.item(&item.layer, &item.entity, item.prim.clone());
        match item.within {
            // Symbols keep what is in them.
            Some(w) => sheet.put(at, w + 3),
            None if line && thin(&item.prim) => sheet.put(at, inner),
            None if line => sheet.put(at, parts[0]),
            None => {}
        }
    }
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert!(
        read_right(&plan),
        "{:?} {} {notes:#?}",
        plan.rooms,
        plan.members.len()
    );
}

/// A converter's name for all it wrote is no word for any of it; where a name says what walls are, another's counts.
#[test]
fn a_layer_that_is_all_there_is_is_parted_whatever_it_is_called() {
    let mut sheet = house();
    for item in &mut sheet.flat.items {
        if !matches!(item.prim, crate::flatten::Prim::Text { .. }) && item.within.is_none() {
            item.layer = "CONVERTED_GEOMETRY".into();
        }
    }
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert!(
        read_right(&plan),
        "{:?} {} {notes:#?}",
        plan.rooms,
        plan.members.len()
    );
    // Its symbols as loose lines: circles of many sides, with crosses that reach beyond them.
    let mut lines = Sheet {
        flat: sheet.flat.clone(),
    };
    lines
        .flat
        .items
        .retain(|i| i.within.is_none() && !matches!(i.prim, Prim::Symbol(_)));
    lines.flat.entities = lines.flat.items.len();
    for left in [0.0, 196.5] {
        for (x, y) in [(48.0, 40.0), (144.0, 40.0), (48.0, 104.0), (144.0, 104.0)] {
            let corner = |k: u32| {
                let (sin, cos) = (f64::from(k) * std::f64::consts::TAU / 24.0).sin_cos();
                (left + x + 3.0 * cos, y + 3.0 * sin)
            };
            let ring: Vec<(f64, f64)> = (0..24).map(corner).collect();
            lines.path("CONVERTED_GEOMETRY", &ring, true);
            lines.line("CONVERTED_GEOMETRY", (left + x - 4.0, y), (left + x + 4.0, y));
            lines.line("CONVERTED_GEOMETRY", (left + x, y - 4.0), (left + x, y + 4.0));
        }
    }
    for (at, item) in lines.flat.items.iter_mut().enumerate() {
        item.offset = at;
    }
    for (layer, asked) in [("CONVERTED_GEOMETRY", true), ("PDF_Geometry", false)] {
        for item in &mut lines.flat.items {
            if !matches!(item.prim, Prim::Text { .. }) {
                item.layer = layer.into();
            }
        }
        let (plan, notes) = lines.read_by(&Rules::default());
        assert!(!has_note(&notes, "walls-open"), "{notes:#?}");
        let circles = format!("{layer}:circles");
        assert!(notes.iter().any(|n| n.message.contains(&circles)), "{notes:#?}");
        match asked {
            // A word that nobody knows may mean anything.
            true => assert!(plan.members.len() == 22 && plan.rooms.len() == 2, "{notes:#?}"),
            false => assert!(read_right(&plan), "{} {notes:#?}", plan.lights.len()),
        }
    }
    for name in ["DECK", "ROOF TILES"] {
        for item in &mut sheet.flat.items {
            if &*item.layer == "CONVERTED_GEOMETRY" {
                item.layer = name.into();
            }
        }
        assert!(sheet.read_by(&Rules::default()).0.members.is_empty(), "{name}");
    }
}
