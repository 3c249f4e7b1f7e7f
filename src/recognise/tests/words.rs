//! Names that say half, or something else than the layer they stand on: nothing is lost without a word.

use super::{Sheet, has_note, inches, recognise};
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
