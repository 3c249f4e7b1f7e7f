//! Plans that are cut at a matchline and drawn in halves.

use super::{Sheet, has_note};
use crate::note::Note;
use crate::rules::Rules;

/// Between the halves' matchlines, inches: the strip beyond each is 12.
const OFF: f64 = 110.0;

/// A hall of two rooms, KITCHEN above BATH, 200 in long, cut at x = 100 on a layer; the halves stand beside each other.
fn halves(layer: &str, text: Option<&str>) -> Sheet {
    let mut sheet = Sheet::default();
    for (low, high, dx, outer) in [(0.0, 112.0, 0.0, 0.0), (88.0, 200.0, OFF, 200.0)] {
        for y in [0.0, 6.0, 120.0, 126.0, 240.0, 246.0] {
            sheet.line("A-WALL", (low + dx, y), (high + dx, y));
        }
        for x in [outer, outer + if outer > 0.0 { -6.0 } else { 6.0 }] {
            sheet.line("A-WALL", (x + dx, 0.0), (x + dx, 246.0));
        }
        for x in [20.0, 60.0, 95.0, 140.0, 180.0] {
            if (low..high).contains(&x) {
                let at = (x + dx, 60.0);
                let insert = sheet.insert("E-LITE-CLNG", "RL-6", at);
                let circle = sheet.circle("0", at, 3.0);
                sheet.put(circle, insert);
            }
        }
        sheet.line(layer, (100.0 + dx, -60.0), (100.0 + dx, 300.0));
        if let Some(text) = text {
            let item = sheet.text("A-ANNO-TEXT", (97.0 + dx, -50.0), text);
            if let crate::flatten::Prim::Text { angle, .. } = &mut sheet.flat.items[item].prim {
                *angle = std::f64::consts::FRAC_PI_2;
            }
        }
        let x = (low + high) / 2.0 + dx;
        sheet.text("A-NAME", (x, 180.0), "KITCHEN");
        sheet.text("A-NAME", (x, 90.0), "BATH");
    }
    sheet
}

fn told<'a>(notes: &'a [Note], code: &str) -> Vec<&'a str> {
    let of = notes.iter().filter(|n| n.code == code);
    of.map(|n| &*n.message).collect()
}

#[test]
fn what_both_halves_show_is_asked_about_and_no_room_goes_across() {
    for (layer, text) in [
        ("A-MATCHLINE", None),
        ("A-ANNO-MATC", None),
        ("MATCH LINES", None),
        ("A-ANNO", Some("MATCH LINE - SEE A-102")),
        ("A-ANNO", Some("MATCHLINE")),
    ] {
        let (plan, notes) = halves(layer, text).read_by(&Rules::default());
        assert_eq!(plan.lights.len(), 6, "{layer}");
        let twice = told(&notes, "lights-twice");
        assert!(
            twice.len() == 1
                && twice[0].starts_with("1 light in the strip at a matchline")
                && twice[0].contains("L3 and L4"),
            "{layer}: {notes:?}"
        );
        let lines = told(&notes, "matchlines");
        assert!(
            lines.len() == 1 && lines[0].starts_with("2 matchline(s) cut the plan"),
            "{lines:?}"
        );
        assert!(plan.rooms.is_empty(), "{layer}: {:?}", plan.rooms);
        assert!(!has_note(&notes, "room-gaps"), "{notes:?}");
    }
}

#[test]
fn a_matchline_is_no_wall_whatever_it_would_part() {
    let mut sheet = Sheet::default();
    for (a, b) in [
        ((0.0, 0.0), (300.0, 0.0)),
        ((300.0, 0.0), (300.0, 150.0)),
        ((300.0, 150.0), (0.0, 150.0)),
        ((0.0, 150.0), (0.0, 0.0)),
    ] {
        sheet.line("A-WALL", a, b);
    }
    sheet.text("A-NAME", (60.0, 100.0), "KITCHEN");
    sheet.text("A-NAME", (240.0, 100.0), "DINING");
    sheet.line("A-MATCHLINE", (150.0, 0.0), (150.0, 150.0));
    let (_, notes) = sheet.read_by(&Rules::default());
    assert!(!has_note(&notes, "evidence-asks"), "{notes:?}");
}

#[test]
fn lines_of_other_names_are_no_matchlines() {
    let (plan, notes) = halves("A-ANNO", Some("SEE A-102")).read_by(&Rules::default());
    assert!(
        !has_note(&notes, "matchlines") && !has_note(&notes, "lights-twice"),
        "{notes:?}"
    );
    assert_eq!(plan.rooms.len(), 2);
}
