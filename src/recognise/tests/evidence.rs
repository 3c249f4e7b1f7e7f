//! Names that say nothing: what is drawn decides, and what merely looks alike stays out.

use super::{Sheet, has_note, inches, recognise};
use crate::note::Note;
use crate::plan::{Plan, Units};
use crate::recognise::{Became, Named, readings};
use crate::rules::{Rules, parse};

fn read(sheet: &Sheet) -> (Plan, Vec<Note>) {
    sheet.read_by(&Rules::default())
}

fn asked<'a>(notes: &'a [Note], what: &str) -> Vec<&'a str> {
    let asks = notes.iter().filter(|n| n.code == "evidence-asks");
    asks.map(|n| &*n.message).filter(|m| m.contains(what)).collect()
}

const HOUSE: [(f64, f64); 4] = [(0.0, 0.0), (240.0, 0.0), (240.0, 144.0), (0.0, 144.0)];

/// A room of 20 by 12 ft, named, on layer 3, its walls on layer 4.
fn house() -> Sheet {
    let mut sheet = Sheet::default();
    sheet.path("3", &HOUSE, true);
    for (i, &p) in HOUSE.iter().enumerate() {
        sheet.line("4", p, HOUSE[(i + 1) % 4]);
    }
    sheet.text("9", (100.0, 100.0), "KITCHEN");
    sheet
}

/// Two rows of four.
fn spots() -> Vec<(f64, f64)> {
    let row = |y: f64| (0..4).map(move |i| (30.0 + 60.0 * f64::from(i), y));
    row(36.0).chain(row(108.0)).collect()
}

fn joists(sheet: &mut Sheet, layer: &str) {
    for i in 0..14 {
        sheet.upright(layer, 16.0 + 16.0 * f64::from(i), 1.5, (0.0, 144.0));
    }
}

fn symbols(sheet: &mut Sheet, block: &str, radius: f64, at: &[(f64, f64)]) {
    for &p in at {
        let insert = sheet.insert("0", block, p);
        let circle = sheet.circle("0", p, radius);
        sheet.put(circle, insert);
    }
}

#[test]
fn a_house_without_a_telling_name_is_read_with_its_reasons() {
    let mut sheet = house();
    joists(&mut sheet, "2");
    symbols(&mut sheet, "A$C1234", 3.0, &spots());
    let (plan, notes) = read(&sheet);
    assert_eq!(
        (
            plan.lights.len(),
            plan.members.len(),
            plan.rooms.len(),
            plan.walls.len()
        ),
        (8, 14, 1, 4)
    );
    assert_eq!(plan.rows.len(), 2);
    let taken: Vec<&Note> = notes.iter().filter(|n| n.code == "by-evidence").collect();
    assert_eq!(taken.len(), 4, "{notes:?}");
    for (name, what) in [
        (
            "layer 2 ",
            "14 members 1 1/2\" thick, 16\" on centre, 14 of them from wall to wall",
        ),
        ("layer 3 ", "1 with a room's name inside"),
        ("layer 4 ", "100 % of its 4 lines run along outlines of rooms"),
        (
            "block A$C1234 ",
            "8 equal symbols 6\" across, 8 in even rows, 8 in rooms",
        ),
    ] {
        let of = taken.iter().find(|n| n.message.starts_with(name));
        let message = &of.unwrap_or_else(|| panic!("{name}: {taken:?}")).message;
        assert!(
            message.contains(what) && message.contains("(confidence "),
            "{message}"
        );
    }
    // The legend says the same, and rules that name the layers give the plan again.
    let told = readings(&sheet.flat, &inches(), &Rules::default(), None);
    let of = |named, name: &str| {
        let found = told.readings.iter().find(|r| r.named == named && r.name == name);
        found
            .map(|r| (r.class, r.confidence.is_some_and(|c| c >= 0.85)))
            .unwrap()
    };
    assert_eq!(of(Named::Layer, "2"), (Became::Framing, true));
    assert_eq!(of(Named::Block, "A$C1234"), (Became::Light, true));
    assert_eq!(of(Named::Layer, "9"), (Became::Unclaimed, false));
    let units = Units {
        name: "in".into(),
        ..inches()
    };
    let written = crate::write::starter::starter("p", &told.plan, &told.readings, &Rules::default());
    let again = recognise(&sheet.flat, &units, &parse(&written, None).unwrap());
    assert_eq!(again.0, plan);
    assert!(!has_note(&again.1, "by-evidence"));
}

#[test]
fn circles_are_lights_only_in_rows_in_rooms() {
    let mut sheet = house();
    for p in spots() {
        sheet.circle("7", p, 3.0);
    }
    assert_eq!(read(&sheet).0.lights.len(), 8);
    // No rooms: asked.
    let mut bare = Sheet::default();
    for p in spots() {
        bare.circle("7", p, 3.0);
    }
    let (plan, notes) = read(&bare);
    assert!(plan.lights.is_empty());
    assert_eq!(asked(&notes, "layer 7 may be lights").len(), 1, "{notes:?}");
    // Strewn about: not even asked.
    let mut strewn = house();
    for p in [
        (20.0, 17.0),
        (61.0, 83.0),
        (133.0, 41.0),
        (171.0, 119.0),
        (222.0, 70.0),
    ] {
        strewn.circle("7", p, 3.0);
    }
    assert!(read(&strewn).0.lights.is_empty());
}

#[test]
fn two_kinds_that_stand_alike_are_asked_about() {
    let mut sheet = house();
    symbols(&mut sheet, "A$C1", 3.0, &spots());
    let between: Vec<(f64, f64)> = spots().iter().map(|p| (p.0, p.1 - 20.0)).collect();
    symbols(&mut sheet, "A$C2", 2.0, &between);
    let (plan, notes) = read(&sheet);
    assert!(plan.lights.is_empty());
    assert_eq!(asked(&notes, "may be lights").len(), 2, "{notes:?}");
    // Each question names the other kind.
    for (block, other) in [
        ("A$C1", "block A$C2 (8, 4\" across)"),
        ("A$C2", "block A$C1 (8, 6\" across)"),
    ] {
        let asks = asked(&notes, &format!("block {block} may be lights"));
        assert!(
            asks.len() == 1 && asks[0].contains(&format!("other symbols stand alike: {other}")),
            "{asks:?}"
        );
        assert!(asks[0].contains("under [read] devices") && asks[0].contains("lights = { more_blocks = ["));
    }
    // The schedule's mark tells which.
    for item in &mut sheet.flat.items {
        if let crate::flatten::Prim::Symbol(s) = &mut item.prim
            && &*s.block == "A$C1"
        {
            s.attribs.push(crate::flatten::SymbolAttrib {
                tag: "X".into(),
                text: "R6".into(),
                at: s.at,
                lettered: None,
            });
        }
    }
    let rules = parse("[[luminaire]]\ntag = 'R6'\naperture = 6\n", None).unwrap();
    assert_eq!(sheet.read_by(&rules).0.lights.len(), 8);
}

#[test]
fn round_things_that_are_no_lights_stay_out() {
    // Marks of axes, with letters in them.
    let mut bubbles = house();
    for (p, letter) in spots().into_iter().zip("ABCDEFGH".chars()) {
        bubbles.circle("7", p, 4.0);
        bubbles.text("8", (p.0 - 1.0, p.1 - 1.0), &letter.to_string());
    }
    // Columns on lines of axes.
    let mut columns = house();
    for p in spots() {
        columns.circle("7", p, 3.0);
    }
    for y in [36.0, 108.0] {
        columns.line("6", (-40.0, y), (280.0, y));
    }
    // A cooktop's burners, bolts, tables, a sink.
    let mut small = house();
    for p in [(30.0, 30.0), (42.0, 30.0), (30.0, 40.0), (42.0, 40.0)] {
        small.circle("7", p, 4.0);
    }
    for p in spots() {
        small.circle("6", p, 0.5);
        small.circle("5", p, 18.0);
    }
    small.circle("10", (80.0, 20.0), 5.0);
    // Trees in a row outside.
    let mut trees = house();
    for i in 0..6 {
        trees.circle("7", (20.0 + 40.0 * f64::from(i), -60.0), 6.0);
    }
    for (what, sheet) in [
        ("bubbles", bubbles),
        ("columns", columns),
        ("small", small),
        ("trees", trees),
    ] {
        let (plan, notes) = read(&sheet);
        assert!(plan.lights.is_empty(), "{what}: {:?}", plan.lights);
        assert!(has_note(&notes, "no-lights"));
    }
}

#[test]
fn names_that_say_something_else_are_not_asked() {
    for layer in ["SPRINKLERS", "A-FLOR-PATT", "DECK", "タイル", "DACH"] {
        let mut sheet = house();
        joists(&mut sheet, layer);
        for p in spots() {
            sheet.circle(layer, p, 3.0);
        }
        let (plan, notes) = read(&sheet);
        assert_eq!((plan.lights.len(), plan.members.len()), (0, 0), "{layer}");
        assert!(asked(&notes, layer).is_empty());
    }
    // Where names tell the lights, others are not sought.
    let mut sheet = house();
    sheet.circle("E-LITE", (120.0, 72.0), 3.0);
    symbols(&mut sheet, "A$C1234", 3.0, &spots());
    assert_eq!(read(&sheet).0.lights.len(), 1);
    // Nor where the rules do.
    let rules = parse(
        "[read]\nlights = { layers = [] }\nframing = { layers = [] }\n",
        None,
    )
    .unwrap();
    let mut sheet = house();
    joists(&mut sheet, "2");
    symbols(&mut sheet, "A$C1234", 3.0, &spots());
    let (plan, notes) = sheet.read_by(&rules);
    assert_eq!(
        (plan.lights.len(), plan.members.len(), plan.rooms.len()),
        (0, 0, 1)
    );
    assert!(asked(&notes, "").is_empty());
}

/// Lines along y at steps of `pitch`.
fn uprights(pitch: f64, count: usize, y: (f64, f64)) -> Vec<((f64, f64), (f64, f64))> {
    let x = (1..=count).map(|i| pitch * i as f64);
    x.map(|x| ((x, y.0), (x, y.1))).collect()
}

/// The same as pairs of lines that far apart.
fn doubles(pitch: f64, count: usize, thick: f64, y: (f64, f64)) -> Vec<((f64, f64), (f64, f64))> {
    let pair = |((x, low), (_, high))| [((x, low), (x, high)), ((x + thick, low), (x + thick, high))];
    uprights(pitch, count, y).into_iter().flat_map(pair).collect()
}

#[test]
fn parallel_lines_that_are_no_joists_stay_out() {
    let wall_to_wall = (0.0, 144.0);
    let tiles = uprights(12.0, 19, wall_to_wall);
    let across = (1..12).map(|i| ((0.0, 12.0 * f64::from(i)), (240.0, 12.0 * f64::from(i))));
    let hatch = (0..200).map(|i| ((f64::from(i), 0.0), (f64::from(i) + 40.0, 40.0)));
    let moved = |lines: Vec<((f64, f64), (f64, f64))>, by: f64| {
        lines
            .into_iter()
            .map(move |(a, b)| ((a.0 + by, a.1), (b.0 + by, b.1)))
    };
    for (what, may_ask, lines) in [
        // Lines alone at a joist's pitch may be centrelines or boards: asked.
        ("single lines", true, uprights(16.0, 14, wall_to_wall)),
        ("tiles 12 by 12", false, tiles.into_iter().chain(across).collect()),
        ("boards", false, uprights(5.5, 42, wall_to_wall)),
        ("treads", false, doubles(10.0, 12, 1.0, (20.0, 56.0))),
        // Members as joists are, but beyond the walls.
        (
            "pergola",
            true,
            moved(doubles(16.0, 10, 1.5, (0.0, 96.0)), 300.0).collect(),
        ),
        ("balusters", false, doubles(5.0, 30, 1.5, (40.0, 44.0))),
        ("tiles of a roof", false, doubles(6.0, 38, 0.8, wall_to_wall)),
        ("a hatch", false, hatch.collect()),
    ] {
        let mut sheet = house();
        for (a, b) in lines {
            sheet.line("2", a, b);
        }
        let (plan, notes) = read(&sheet);
        assert!(plan.members.is_empty(), "{what}: {}", plan.members.len());
        assert_eq!(
            !asked(&notes, "layer 2 may be framing").is_empty(),
            may_ask,
            "{what}: {notes:?}"
        );
        assert_eq!((plan.rooms.len(), plan.walls.len()), (1, 4), "{what}");
    }
}

#[test]
fn a_crowded_layer_is_said_and_left() {
    let mut sheet = house();
    for i in 0..6001 {
        sheet.line("2", (0.0, f64::from(i)), (9.0, f64::from(i)));
    }
    let (plan, notes) = read(&sheet);
    assert!(plan.members.is_empty());
    assert!(has_note(&notes, "evidence-crowded"));
}

#[test]
fn faces_of_walls_as_closed_polylines_are_no_rooms() {
    // One room; and two with a door between, whose inner face is one ring.
    let one = HOUSE.to_vec();
    let two = vec![
        (0.0, 0.0),
        (240.0, 0.0),
        (240.0, 70.0),
        (62.0, 70.0),
        (62.0, 74.0),
        (240.0, 74.0),
        (240.0, 144.0),
        (0.0, 144.0),
        (0.0, 74.0),
        (30.0, 74.0),
        (30.0, 70.0),
        (0.0, 70.0),
    ];
    for (inner, rooms) in [(one, 1), (two, 2)] {
        let mut sheet = Sheet::default();
        let outer = [(-6.0, -6.0), (246.0, -6.0), (246.0, 150.0), (-6.0, 150.0)];
        sheet.path("4", &outer, true);
        sheet.path("4", &inner, true);
        sheet.text("9", (100.0, 100.0), "KITCHEN");
        if rooms == 2 {
            sheet.text("9", (100.0, 40.0), "OFFICE");
        }
        let (plan, notes) = read(&sheet);
        assert!(plan.rooms.len() == rooms && plan.rooms.iter().all(|r| !r.drawn && r.outline.len() == 4));
        let taken = notes.iter().find(|n| n.code == "by-evidence").unwrap();
        assert!(
            taken.message.starts_with("layer 4 is taken for walls"),
            "{notes:?}"
        );
    }
}

#[test]
fn a_ring_as_wide_as_a_wall_is_a_wall_and_no_room() {
    let mut sheet = Sheet::default();
    sheet.wide_path("4", &HOUSE, true, 6.0);
    sheet.text("9", (100.0, 100.0), "KITCHEN");
    let (plan, notes) = read(&sheet);
    assert!(has_note(&notes, "by-evidence") && plan.rooms.len() == 1 && !plan.rooms[0].drawn);
    let corner = |x, y| plan.rooms[0].outline.iter().any(|p| (p.x, p.y) == (x, y));
    assert!(corner(3.0, 3.0) && corner(237.0, 141.0), "{:?}", plan.rooms[0]);
}

/// Walls of two rooms with a door between on layer 4; on layer 5 walls of the storey below: as thick as told, with
/// a cross wall below the wall between where told, and with a door there.
fn storeys(thick: f64, cross: bool, door: bool) -> Sheet {
    let mut sheet = Sheet::default();
    let ring = |sheet: &mut Sheet, layer: &str, points: &[(f64, f64)]| {
        for (i, &p) in points.iter().enumerate() {
            sheet.line(layer, p, points[(i + 1) % points.len()]);
        }
    };
    // Inner faces that run through a door in the wall between.
    let inner = |t: f64, (low, high): (f64, f64)| {
        let (left, right) = (-6.0 + t, 246.0 - t);
        vec![
            (left, left),
            (right, left),
            (right, low),
            (62.0, low),
            (62.0, high),
            (right, high),
            (right, 150.0 - t),
            (left, 150.0 - t),
            (left, high),
            (30.0, high),
            (30.0, low),
            (left, low),
        ]
    };
    let outer = [(-6.0, -6.0), (246.0, -6.0), (246.0, 150.0), (-6.0, 150.0)];
    for layer in ["4", "5"] {
        ring(&mut sheet, layer, &outer);
    }
    ring(&mut sheet, "4", &inner(6.0, (70.0, 74.0)));
    match (cross, door) {
        (true, true) => ring(&mut sheet, "5", &inner(thick, (68.0, 76.0))),
        (true, false) => {
            let side = -6.0 + thick;
            for (low, high) in [(side, 68.0), (76.0, 150.0 - thick)] {
                ring(
                    &mut sheet,
                    "5",
                    &[
                        (side, low),
                        (246.0 - thick, low),
                        (246.0 - thick, high),
                        (side, high),
                    ],
                );
            }
        }
        _ => ring(
            &mut sheet,
            "5",
            &[
                (-6.0 + thick, -6.0 + thick),
                (246.0 - thick, -6.0 + thick),
                (246.0 - thick, 150.0 - thick),
                (-6.0 + thick, 150.0 - thick),
            ],
        ),
    }
    sheet.text("9", (100.0, 100.0), "KITCHEN");
    sheet.text("9", (100.0, 40.0), "OFFICE");
    sheet
}

#[test]
fn of_walls_of_two_storeys_those_with_more_rooms_or_doors_are_taken() {
    for (cross, door) in [(false, false), (true, false)] {
        let (plan, notes) = read(&storeys(8.0, cross, door));
        let names: Vec<_> = plan.rooms.iter().filter_map(|r| r.name.as_deref()).collect();
        assert_eq!(names, ["OFFICE", "KITCHEN"], "{notes:?}");
        let taken: Vec<&Note> = notes.iter().filter(|n| n.code == "by-evidence").collect();
        assert!(
            taken.len() == 1 && taken[0].message.starts_with("layer 4 is taken for walls"),
            "{notes:?}"
        );
    }
    // A basement with the same rooms and doors: nothing tells which storey is meant.
    let (plan, notes) = read(&storeys(8.0, true, true));
    assert!(plan.rooms.is_empty() && !has_note(&notes, "by-evidence"));
    let asks = asked(&notes, "may be walls");
    assert_eq!(asks.len(), 2, "{notes:?}");
    assert!(
        asks.iter()
            .any(|m| m.starts_with("layer 4 ") && m.contains("as do those on 5")),
        "{asks:?}"
    );
}

/// R12 has no hatches: walls are filled by SOLIDs there, and may have no lines beside them.
#[test]
fn walls_that_are_filled_faces_alone_are_walls() {
    for faces in [true, false] {
        let mut sheet = Sheet::default();
        let walls = [
            ((-4.5, -4.5), (244.5, 0.0)),
            ((-4.5, 144.0), (244.5, 148.5)),
            ((-4.5, 0.0), (0.0, 144.0)),
            ((240.0, 0.0), (244.5, 144.0)),
        ];
        for ((x, y), (to_x, to_y)) in walls {
            let ring = [(x, y), (to_x, y), (to_x, to_y), (x, to_y)]
                .map(|(x, y)| super::xy(x, y))
                .to_vec();
            let prim = match faces {
                true => crate::flatten::Prim::Face(ring),
                false => crate::flatten::Prim::Region {
                    loops: vec![ring],
                    curved: false,
                },
            };
            sheet.item("4", if faces { "SOLID" } else { "HATCH" }, prim);
        }
        sheet.text("9", (100.0, 100.0), "KITCHEN");
        let (plan, notes) = read(&sheet);
        assert_eq!((plan.rooms.len(), plan.walls.len()), (1, 16), "{faces} {notes:?}");
        assert_eq!(plan.rooms[0].name.as_deref(), Some("KITCHEN"));
    }
}
