//! Names that say half, or something else than the layer they stand on: nothing is lost without a word.

use super::{Sheet, has_note, inches, recognise, xy};
use crate::note::Note;
use crate::plan::Plan;
use crate::recognise::{Became, Named, readings};
use crate::rules::{Rules, parse};

fn read(sheet: &Sheet) -> (Plan, Vec<Note>) {
    sheet.read_by(&Rules::default())
}

fn symbol(sheet: &mut Sheet, layer: &str, block: &str, at: (f64, f64)) -> usize {
    let insert = sheet.insert(layer, block, at);
    let circle = sheet.circle("0", at, 3.0);
    sheet.put(circle, insert);
    insert
}

fn note<'a>(notes: &'a [Note], code: &str) -> &'a str {
    let found = notes.iter().find(|n| n.code == code);
    &found.unwrap_or_else(|| panic!("{code}: {notes:?}")).message
}

#[test]
fn a_wall_washer_is_a_light_and_a_washer_on_a_light_layer_is_told_of() {
    let mut sheet = Sheet::default();
    symbol(&mut sheet, "E-LITE-CLNG", "LT-R6", (0.0, 0.0));
    symbol(&mut sheet, "E-LITE-CLNG", "WALL WASHER", (48.0, 0.0));
    for (i, name) in ["WASHER", "DOOR TAG", "ROUND TABLE", "COLUMN"]
        .into_iter()
        .enumerate()
    {
        symbol(&mut sheet, "E-LITE-CLNG", name, (100.0 + 50.0 * i as f64, 0.0));
    }
    // Elsewhere it is what its name says, and nothing need be said of it.
    symbol(&mut sheet, "P-LAUN", "WASHER", (400.0, 0.0));
    let (plan, notes) = read(&sheet);
    let at: Vec<f64> = plan.lights.iter().map(|l| l.at.x).collect();
    assert_eq!(at, [0.0, 48.0]);
    let message = note(&notes, "not-recessed");
    assert!(message.starts_with("4 symbols are named as no recessed lights though on light layers"));
    for name in ["1 WASHER (left alone)", "1 DOOR TAG", "1 ROUND TABLE", "1 COLUMN"] {
        assert!(message.contains(name), "{message}");
    }
    assert!(plan.obstacles.is_empty());
    assert!(!has_note(&notes, "ignored-lights"), "told of once: {notes:?}");
    let told = readings(&sheet.flat, &inches(), &Rules::default(), None);
    let of = |name: &str| {
        told.readings
            .iter()
            .find(|r| r.named == Named::Block && r.name == name)
            .unwrap()
    };
    assert_eq!(of("WALL WASHER").class, Became::Light);
    assert_eq!(of("DOOR TAG").class, Became::Ignored);
}

#[test]
fn lights_within_what_a_word_ignores_are_told_of() {
    let mut sheet = Sheet::default();
    let apartment = sheet.insert("A-FLOR", "UNIT B - 2 BED", (0.0, 0.0));
    for i in 0..4 {
        let light = symbol(&mut sheet, "E-LITE", "LT-R6", (48.0 * f64::from(i), 0.0));
        sheet.put(light, apartment);
    }
    let bare = sheet.circle("E-LITE", (0.0, 60.0), 3.0);
    sheet.put(bare, apartment);
    // A bed holds no light; a legend's symbols light nothing.
    let bed = sheet.insert("A-FURN", "BED", (300.0, 0.0));
    let pillow = sheet.circle("0", (300.0, 0.0), 9.0);
    sheet.put(pillow, bed);
    let legend = sheet.insert("A-ANNO", "LIGHTING LEGEND", (600.0, 0.0));
    let explained = symbol(&mut sheet, "E-LITE", "LT-R6", (600.0, 0.0));
    sheet.put(explained, legend);
    let (_, notes) = read(&sheet);
    let message = note(&notes, "ignored-lights");
    assert!(message.contains("5 in block UNIT B - 2 BED;"), "{message}");
    let mut only_bed = Sheet::default();
    let bed = only_bed.insert("A-FURN", "BED", (300.0, 0.0));
    let pillow = only_bed.circle("0", (300.0, 0.0), 9.0);
    only_bed.put(pillow, bed);
    assert!(!has_note(&read(&only_bed).1, "ignored-lights"));
}

#[test]
fn fixtures_that_are_kept_clear_of_are_so_again_by_the_written_rules() {
    let mut sheet = Sheet::default();
    symbol(&mut sheet, "E-LITE", "LT-R6", (0.0, 0.0));
    for (i, name) in ["PENDANT", "CHANDELIER", "TROFFER", "EXIT", "SCONCE", "DOOR TAG"]
        .into_iter()
        .enumerate()
    {
        symbol(&mut sheet, "E-LITE", name, (60.0 + 60.0 * i as f64, 0.0));
    }
    // Its layer says nothing, what is in it stands on the light layer.
    let fan = sheet.insert("0", "FLUORESCENT", (0.0, 100.0));
    let ring = sheet.circle("E-LITE", (0.0, 100.0), 6.0);
    sheet.put(ring, fan);
    let told = readings(&sheet.flat, &inches(), &Rules::default(), None);
    assert_eq!((told.plan.lights.len(), told.plan.obstacles.len()), (1, 5));
    let of = |name: &str| {
        told.readings
            .iter()
            .find(|r| r.named == Named::Block && r.name == name)
            .unwrap()
    };
    assert_eq!(of("PENDANT").class, Became::Device);
    assert_eq!(of("FLUORESCENT").class, Became::Device);
    assert_eq!(of("SCONCE").class, Became::Ignored);
    let written = crate::write::starter::starter("p", &told.plan, &told.readings, &Rules::default());
    let (again, _) = recognise(&sheet.flat, &inches(), &parse(&written, None).unwrap());
    assert_eq!(again, told.plan, "{written}");
}

fn asked<'a>(notes: &'a [Note], what: &str) -> Vec<&'a str> {
    let asks = notes.iter().filter(|n| n.code == "evidence-asks");
    asks.map(|n| &*n.message).filter(|m| m.contains(what)).collect()
}

const HOUSE: [(f64, f64); 4] = [(0.0, 0.0), (240.0, 0.0), (240.0, 144.0), (0.0, 144.0)];

/// A room of 20 by 12 ft, named, its walls on one layer.
fn house(walls: &str) -> Sheet {
    let mut sheet = Sheet::default();
    for (i, &p) in HOUSE.iter().enumerate() {
        sheet.line(walls, p, HOUSE[(i + 1) % 4]);
    }
    sheet.text("NOTES", (100.0, 100.0), "KITCHEN");
    sheet
}

/// Two rows of four.
fn spots() -> Vec<(f64, f64)> {
    let row = |y: f64| (0..4).map(move |i| (30.0 + 60.0 * f64::from(i), y));
    row(36.0).chain(row(108.0)).collect()
}

fn joists(sheet: &mut Sheet, layer: &str, thick: f64) {
    for i in 0..14 {
        sheet.upright(layer, 16.0 + 16.0 * f64::from(i), thick, (0.0, 144.0));
    }
}

#[test]
fn framing_under_a_word_nobody_knows_is_read_where_all_speaks_for_it_and_else_asked_about() {
    let mut sheet = house("A-WALL");
    joists(&mut sheet, "S-FRAM", 1.5);
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.members.len(), 14);
    let message = note(&notes, "by-evidence");
    assert!(
        message.starts_with(
            "layer S-FRAM is taken for framing though its name is no word for it: 14 members 1 1/2\" thick"
        ),
        "{message}"
    );
    // The written rules give the same.
    let told = readings(&sheet.flat, &inches(), &Rules::default(), None);
    let written = crate::write::starter::starter("p", &told.plan, &told.readings, &Rules::default());
    assert_eq!(
        recognise(&sheet.flat, &inches(), &parse(&written, None).unwrap()).0,
        plan,
        "{written}"
    );
    // Two such layers: either may be of another storey.
    let mut two = sheet.clone();
    for i in 0..9 {
        two.upright("TIMBERWORK", 24.0 + 24.0 * f64::from(i), 1.5, (0.0, 144.0));
    }
    // Neither lumber's thickness.
    let mut odd = house("A-WALL");
    joists(&mut odd, "STRUCTURAL", 1.2);
    // Something round is on it too.
    let mut round = sheet.clone();
    for p in spots() {
        round.circle("S-FRAM", p, 3.0);
    }
    for (sheet, layers) in [
        (two, vec!["S-FRAM", "TIMBERWORK"]),
        (odd, vec!["STRUCTURAL"]),
        (round, vec!["S-FRAM"]),
    ] {
        let (plan, notes) = read(&sheet);
        assert!(plan.members.is_empty(), "{layers:?}");
        for layer in layers {
            let asks = asked(&notes, &format!("layer {layer} may be framing: "));
            assert_eq!(asks.len(), 1, "{notes:?}");
            assert!(
                asks[0].contains("(confidence 0.")
                    && asks[0].contains(&format!("framing = {{ more_layers = [{layer:?}] }}")),
                "{asks:?}"
            );
            let missing = note(&notes, "no-framing");
            let named = |before: &str| missing.contains(&format!("{before} layer {layer} ("));
            assert!(named("it may be") || named("or"), "{missing}");
        }
    }
}

#[test]
fn lights_under_a_word_of_ceilings_are_read_and_under_another_asked_about() {
    let rows = |layer: &str, block: Option<&str>| {
        let mut sheet = house("A-WALL");
        joists(&mut sheet, "S-JOIS", 1.5);
        for p in spots() {
            match block {
                Some(block) => drop(symbol(&mut sheet, layer, block, p)),
                None => drop(sheet.circle(layer, p, 3.0)),
            }
        }
        read(&sheet)
    };
    for (layer, block) in [
        ("ELECTRICAL", Some("R6")),
        ("RCP", Some("TYPE A")),
        ("E-CLNG", None),
    ] {
        let (plan, notes) = rows(layer, block);
        assert_eq!(plan.lights.len(), 8, "{layer} {notes:?}");
        assert!(
            note(&notes, "by-evidence").contains("though its name is no word for it"),
            "{notes:?}"
        );
    }
    for (layer, block) in [
        ("POWER", Some("R6")),
        ("ZEBRA", Some("POT")),
        ("TECHNIK", None),
        ("0", Some("ZEBRA")),
    ] {
        let (plan, notes) = rows(layer, block);
        assert!(plan.lights.is_empty(), "{layer}");
        let name = block.map_or(format!("layer {layer}"), |b| format!("block {b}"));
        assert_eq!(
            asked(&notes, &format!("{name} may be lights: 8 equal symbols")).len(),
            1,
            "{notes:?}"
        );
        assert!(
            note(&notes, "no-lights").contains(&format!("it may be {name} (8 equal symbols)")),
            "{notes:?}"
        );
    }
    // Words of other things, and words that keep lights out.
    for (layer, block) in [
        ("FIRE", Some("R6")),
        ("SPRINKLERS", Some("R6")),
        ("ELECTRICAL", Some("STOOL")),
        ("ELECTRICAL", Some("RECEPTACLE")),
        ("COLUMN GRID", None),
        ("E-SWCH", None),
    ] {
        let (plan, notes) = rows(layer, block);
        assert!(
            plan.lights.is_empty() && asked(&notes, "may be lights").is_empty(),
            "{layer} {notes:?}"
        );
    }
}

#[test]
fn walls_under_a_word_nobody_knows_close_rooms() {
    let (plan, notes) = read(&house("EXTERIOR"));
    assert_eq!((plan.rooms.len(), plan.walls.len()), (1, 4), "{notes:?}");
    assert!(note(&notes, "by-evidence").starts_with("layer EXTERIOR is taken for walls"));
    let (plan, notes) = read(&house("FENCE"));
    assert!(plan.rooms.is_empty() && asked(&notes, "walls").is_empty());
}

#[test]
fn what_stands_far_apart_without_a_mark_is_asked_about() {
    // Columns of a garage, 12 ft 6 in apart; and lights at 5 ft.
    for (apart, lights) in [(150.0, 0), (60.0, 9)] {
        let mut sheet = Sheet::default();
        let side = 4.0 * apart;
        let ring = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)];
        for (i, &p) in ring.iter().enumerate() {
            sheet.line("A-WALL", p, ring[(i + 1) % 4]);
        }
        sheet.text("A-ANNO", (20.0, 20.0), "GARAGE");
        for i in 0..9 {
            sheet.circle(
                "5",
                (apart * f64::from(1 + i % 3), apart * f64::from(1 + i / 3)),
                4.0,
            );
        }
        let (plan, notes) = read(&sheet);
        assert_eq!(plan.lights.len(), lights, "{notes:?}");
        let asks = asked(&notes, "layer 5 may be lights: 9 equal symbols");
        assert_eq!(asks.len(), usize::from(lights == 0), "{notes:?}");
    }
}

#[test]
fn symbols_named_for_other_things_are_no_lights_though_on_their_layer() {
    let mut sheet = Sheet::default();
    for i in 0..6 {
        symbol(&mut sheet, "E-LITE-CLNG", "LT-R6", (60.0 * f64::from(i), 0.0));
    }
    for (i, name) in [
        "RECEPTACLE",
        "THERMOSTAT",
        "SD",
        "CO DET",
        "R4",
        "ZEPHYR",
        "EYEBALL",
    ]
    .into_iter()
    .enumerate()
    {
        symbol(&mut sheet, "E-LITE-CLNG", name, (60.0 * i as f64, 100.0));
    }
    for i in 0..3 {
        symbol(&mut sheet, "E-LITE-CLNG", "HALCYON", (60.0 * f64::from(i), 200.0));
    }
    symbol(&mut sheet, "E-FIRE-ALRM", "SD", (0.0, 300.0));
    symbol(&mut sheet, "ELEC", "CFAN", (60.0, 300.0));
    let (plan, notes) = read(&sheet);
    // Six, R4 that says nothing, EYEBALL that says light.
    assert_eq!(plan.lights.len(), 8, "{notes:?}");
    let obstacles: Vec<&str> = plan.obstacles.iter().map(|o| &*o.name).collect();
    assert_eq!(obstacles, ["SD", "CO DET", "SD", "CFAN"]);
    let message = note(&notes, "not-recessed");
    assert!(
        message.contains("1 RECEPTACLE (left alone), 1 THERMOSTAT (left alone)"),
        "{message}"
    );
    let asks = asked(&notes, "block ZEPHYR stands once on light layer E-LITE-CLNG");
    assert_eq!(asks.len(), 1, "{notes:?}");
    let asks = asked(
        &notes,
        "block HALCYON stands 3 times on light layer E-LITE-CLNG, where 7 lights have a name that says so (EYEBALL, LT-R6)",
    );
    assert_eq!(asks.len(), 1, "{notes:?}");
    assert_eq!(
        notes.iter().filter(|n| n.code == "evidence-asks").count(),
        2,
        "{notes:?}"
    );
    let told = readings(&sheet.flat, &inches(), &Rules::default(), None);
    let written = crate::write::starter::starter("p", &told.plan, &told.readings, &Rules::default());
    assert_eq!(
        recognise(&sheet.flat, &inches(), &parse(&written, None).unwrap()).0,
        plan,
        "{written}"
    );
}

/// A square with its diagonals or without, turned, as loose lines.
fn square(sheet: &mut Sheet, at: (f64, f64), side: f64, crossed: bool) {
    let (s, c) = (0.3_f64.sin() * side / 2.0, 0.3_f64.cos() * side / 2.0);
    let corner = |k: usize| {
        let (u, v) = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)][k % 4];
        (at.0 + u * c - v * s, at.1 + u * s + v * c)
    };
    for k in 0..4 {
        sheet.line("E-LITE", corner(k), corner(k + 1));
    }
    if crossed {
        sheet.line("E-LITE", corner(0), corner(2));
        sheet.line("E-LITE", corner(3), corner(1));
    }
}

#[test]
fn squares_of_lines_that_repeat_on_a_light_layer_are_lights() {
    let mut sheet = Sheet::default();
    for i in 0..3 {
        square(&mut sheet, (60.0 * f64::from(i), 0.0), 6.0, true);
        symbol(&mut sheet, "E-LITE", "LT-R6", (60.0 * f64::from(i), 60.0));
        let (x, y) = (60.0 * f64::from(i), 120.0);
        sheet.path(
            "E-LITE",
            &[(x, y), (x + 5.0, y), (x + 5.0, y + 5.0), (x, y + 5.0)],
            true,
        );
    }
    let (plan, notes) = read(&sheet);
    let mut at: Vec<(i64, i64)> = (plan.lights.iter())
        .map(|l| ((10.0 * l.at.x).round() as i64, (10.0 * l.at.y).round() as i64))
        .collect();
    at.sort_unstable();
    let each = |x: i64| [(x, 0), (x, 600), (x + 25, 1225)];
    let mut expected: Vec<(i64, i64)> = [0, 600, 1200].into_iter().flat_map(each).collect();
    expected.sort_unstable();
    assert_eq!(at, expected, "{notes:?}");
    assert!(plan.linework.is_empty(), "crosses belong to their squares");
    assert_eq!(
        notes.iter().filter(|n| n.code == "squares-lights").count(),
        2,
        "{notes:?}"
    );
    // Too few, and letters in them.
    let mut few = Sheet::default();
    square(&mut few, (0.0, 0.0), 6.0, true);
    square(&mut few, (60.0, 0.0), 6.0, true);
    let mut boxes = Sheet::default();
    for i in 0..4 {
        square(&mut boxes, (60.0 * f64::from(i), 0.0), 4.0, false);
        boxes.text("E-LITE", (60.0 * f64::from(i) - 1.0, -1.0), "J");
    }
    // Troffers and squares of no light's size.
    let mut large = Sheet::default();
    for i in 0..4 {
        square(&mut large, (60.0 * f64::from(i), 0.0), 24.0, true);
    }
    for (sheet, asks) in [(few, true), (boxes, true), (large, false)] {
        let (plan, notes) = read(&sheet);
        assert!(plan.lights.is_empty());
        assert_eq!(has_note(&notes, "squares-asked"), asks, "{notes:?}");
    }
}

#[test]
fn solid_dots_are_lights_and_fill_circles_of_their_size() {
    let disc = |sheet: &mut Sheet, layer, x: f64, radius| {
        let center = xy(60.0 * x, 0.0);
        sheet.item(layer, "HATCH", crate::flatten::Prim::Circle { center, radius });
    };
    for (circle, layer) in [
        (None, ""),
        (Some(3.0), "E-LITE"),
        (Some(3.0), "A-PATT"),
        (Some(5.0), "E-LITE"),
    ] {
        let mut sheet = Sheet::default();
        for i in 0..4 {
            let x = f64::from(i);
            disc(
                &mut sheet,
                if circle.is_some() { layer } else { "E-LITE" },
                x,
                3.0,
            );
            if let Some(radius) = circle {
                sheet.circle("E-LITE", (60.0 * x, 0.0), radius);
            }
        }
        // One is filled twice.
        disc(&mut sheet, "E-LITE", 0.0, 3.0);
        let (plan, notes) = read(&sheet);
        assert_eq!(plan.lights.len(), 4, "{circle:?} {layer}");
        assert!(
            plan.lights.iter().all(|l| l.stacked.is_empty()),
            "{circle:?} {layer}"
        );
        assert_eq!(plan.lights[1].drawn_radius, circle.unwrap_or(3.0));
        assert!(!has_note(&notes, "light-filled"));
    }
}

#[test]
fn solid_dots_that_are_not_read_are_told_of() {
    let mut sheet = Sheet::default();
    for _ in 0..4 {
        sheet.item("E-LITE", "HATCH", crate::flatten::Prim::Opaque);
    }
    let (plan, notes) = read(&sheet);
    assert!(plan.lights.is_empty());
    assert!(note(&notes, "light-filled").starts_with("4 hatch(es) with curved edges on light layers"));
    // With their circles they are lights, and nothing need be said.
    for i in 0..4 {
        sheet.circle("E-LITE", (60.0 * f64::from(i), 0.0), 3.0);
    }
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.lights.len(), 4);
    assert!(!has_note(&notes, "light-filled"));
}
