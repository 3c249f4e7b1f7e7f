//! Drawings that hold themselves twice, a little apart. Truth is what one copy says.

use super::evidence_more::{house, joists, lights, read};
use super::{Sheet, has_note};
use crate::flatten::{Item, Prim};
use geo::Coord;

/// The same, drawn again from `first` on, `by` further.
fn again(sheet: &mut Sheet, first: usize, by: (f64, f64)) {
    let by = Coord { x: by.0, y: by.1 };
    let items: Vec<Item> = sheet.flat.items[first..].to_vec();
    for mut item in items {
        match &mut item.prim {
            Prim::Segment { from, to } => {
                *from = *from + by;
                *to = *to + by;
            }
            Prim::Path { vertices, .. } => vertices.iter_mut().for_each(|v| v.at = v.at + by),
            Prim::Text { at, .. } => *at = *at + by,
            _ => continue,
        }
        sheet.flat.items.push(item);
        sheet.flat.entities += 1;
    }
}

fn framed() -> Sheet {
    let mut sheet = house("A-WALL");
    lights(&mut sheet, "E-LITE", "R6", 0.0);
    for left in [0.0, 244.5, 489.0] {
        joists(&mut sheet, "S-JOIS", left);
    }
    sheet
}

#[test]
fn a_reference_bound_twice_is_taken_once_and_told() {
    let (truth, _) = read(&framed());
    assert_eq!((truth.members.len(), truth.rooms.len()), (42, 3));
    let apart = [
        (0.04, 0.0),
        (0.125, 0.125),
        (0.5, 0.5),
        (-1.0, 1.0),
        (3.0, 3.0),
        (0.0, -2.0),
    ];
    for by in apart {
        let mut sheet = framed();
        again(&mut sheet, 0, by);
        let (plan, notes) = read(&sheet);
        assert_eq!(plan.members, truth.members, "{by:?}");
        assert_eq!(plan.walls, truth.walls, "{by:?}");
        let names = |p: &crate::plan::Plan| p.rooms.iter().map(|r| r.name.clone()).collect::<Vec<_>>();
        assert_eq!(names(&plan), names(&truth), "{by:?}");
        let told: Vec<_> = notes.iter().filter(|n| n.code == "drawn-twice").collect();
        assert_eq!(told.len(), 1, "{by:?} {notes:#?}");
        assert!(
            told[0].message.contains("84 of layer S-JOIS (framing)"),
            "{}",
            told[0]
        );
    }
}

#[test]
fn framing_alone_drawn_twice_is_taken_once() {
    for by in [(0.125, 0.0), (0.125, 0.125), (1.0, 0.5)] {
        let mut sheet = house("A-WALL");
        let first = sheet.flat.items.len();
        joists(&mut sheet, "S-JOIS", 0.0);
        let (truth, _) = read(&sheet);
        again(&mut sheet, first, by);
        for item in &mut sheet.flat.items[first + 28..] {
            item.layer = "X-2$0$S-JOIS".into();
        }
        let (plan, notes) = read(&sheet);
        assert_eq!(plan.members, truth.members, "{by:?}");
        let told = notes.iter().find(|n| n.code == "drawn-twice").unwrap();
        assert!(
            told.message.contains("framing = { layers = [\"X-2$0$S-JOIS\"] }"),
            "{told}"
        );
    }
}

#[test]
fn doubled_members_and_flanges_stay() {
    // Plies that touch, sisters with a space between, sisters that begin further in, and I-joists of 2 5/16 in with a web of
    // 3/8 in, all over: none is a copy.
    let pairs: [(f64, f64); 5] = [(1.5, 0.0), (3.0, 0.0), (3.0, 2.0), (4.5, 0.0), (2.0, 6.0)];
    for (across, along) in pairs {
        let mut sheet = house("A-WALL");
        let first = sheet.flat.items.len();
        joists(&mut sheet, "S-JOIS", 0.0);
        again(&mut sheet, first, (across, along));
        let (plan, notes) = read(&sheet);
        assert!(!has_note(&notes, "drawn-twice"), "{across} {along}: {notes:#?}");
        // Four faces at one distance from one another may as well be three plies.
        let plies: usize = plan.members.iter().map(|m| usize::from(m.plies)).sum();
        assert_eq!(plies, if across == 3.0 { 42 } else { 28 }, "{across} {along}");
    }
    let mut sheet = house("A-WALL");
    for k in 0..14 {
        for thick in [2.3125, 0.375] {
            sheet.upright("S-JOIS", 16.0 + 16.0 * k as f64, thick, (0.0, 180.0));
        }
    }
    let (plan, notes) = read(&sheet);
    assert!(!has_note(&notes, "drawn-twice"), "{notes:#?}");
    assert_eq!(plan.members.len(), 14);
}
