//! What stands on layers of framing and is no joist, members in one another, and rooms without framing.

use super::evidence_more::{house, joists, lights, read};
use super::{Sheet, has_note};
use crate::plan::MemberKind;

fn count(sheet: &Sheet) -> (usize, usize) {
    let (plan, _) = sheet.read();
    let of = |kind| plan.members.iter().filter(|m| m.kind == kind).count();
    (of(MemberKind::Joist), of(MemberKind::Block))
}

/// Six joists at 16 in, 12 ft long.
fn six() -> Sheet {
    let mut sheet = Sheet::default();
    for k in 0..6 {
        sheet.upright("S-JOIS", 16.0 * f64::from(k), 1.5, (0.0, 144.0));
    }
    sheet
}

#[test]
fn bridging_and_blocking_of_single_lines_are_blocks() {
    let mut sheet = six();
    for k in 0..5 {
        let (left, right) = (16.0 * f64::from(k) + 0.75, 16.0 * f64::from(k) + 15.25);
        sheet.line("S-JOIS", (left, 64.0), (right, 68.0));
        sheet.line("S-JOIS", (left, 68.0), (right, 64.0));
        sheet.line("S-JOIS", (left, 30.0), (right, 30.0));
    }
    assert_eq!(count(&sheet), (6, 15));
    // What ends in the air is none, and asked about.
    let mut sheet = six();
    sheet.line("S-JOIS", (0.75, 150.0), (15.25, 150.0));
    assert_eq!(count(&sheet), (6, 0));
    assert!(has_note(&sheet.read().1, "framing-lines"));
}

#[test]
fn studs_seen_from_the_end_are_no_joists_and_told() {
    // 2x6 studs: 5 1/2 wide (PS 20).
    let mut sheet = six();
    for k in 0..8 {
        let x = 16.0 * f64::from(k);
        let ring = [(x, 150.0), (x + 1.5, 150.0), (x + 1.5, 155.5), (x, 155.5)];
        sheet.path("S-JOIS", &ring, true);
    }
    assert_eq!(count(&sheet), (6, 0));
    let (_, notes) = sheet.read();
    let told = notes.iter().find(|n| n.code == "framing-studs").unwrap();
    assert!(told.message.starts_with("8 pieces 5 1/2\" long"), "{told}");
    // A short piece or two may be anything.
    let mut sheet = six();
    sheet.path(
        "S-JOIS",
        &[(0.0, 150.0), (1.5, 150.0), (1.5, 155.5), (0.0, 155.5)],
        true,
    );
    assert_eq!(count(&sheet), (7, 0));
}

#[test]
fn a_layer_whose_members_lie_across_one_another_is_asked_about() {
    let grid = |rows: usize| {
        let mut sheet = six();
        for k in 0..rows {
            sheet.line(
                "S-JOIS",
                (-10.0, 20.0 + 16.0 * k as f64),
                (100.0, 20.0 + 16.0 * k as f64),
            );
        }
        read(&sheet)
    };
    let (plan, notes) = grid(5);
    assert!(
        has_note(&notes, "framing-crossing"),
        "{:#?} {notes:#?}",
        plan.members
    );
    // A beam or two and a ledger are none.
    assert!(!has_note(&grid(3).1, "framing-crossing"));
}

#[test]
fn members_in_one_another_are_asked_about_and_plies_are_not() {
    for (off, asks) in [(0.5, true), (1.0, true), (1.5, false), (3.0, false)] {
        let mut sheet = six();
        for k in 0..6 {
            let (x, half) = (16.0 * f64::from(k) + off, 0.75);
            let ring = [
                (x - half, 2.0),
                (x + half, 2.0),
                (x + half, 140.0),
                (x - half, 140.0),
            ];
            sheet.path("S-JOIST-2", &ring, true);
        }
        let (_, notes) = sheet.read();
        assert_eq!(has_note(&notes, "members-overlap"), asks, "{off}: {notes:#?}");
    }
}

#[test]
fn members_on_one_centreline_are_said_to_be_so() {
    let mut sheet = six();
    for k in 0..6 {
        let (x, half) = (16.0 * f64::from(k), 1.75);
        let ring = [
            (x - half, 20.0),
            (x + half, 20.0),
            (x + half, 120.0),
            (x - half, 120.0),
        ];
        sheet.path("S-JOIST-2", &ring, true);
    }
    let (_, notes) = sheet.read();
    let told = notes.iter().find(|n| n.code == "members-overlap").unwrap();
    assert!(
        told.message.contains("on one centreline") && !told.message.contains("0\""),
        "{told:?}"
    );
}

#[test]
fn a_room_without_framing_has_no_bay_though_the_next_has() {
    let mut sheet = house("A-WALL");
    lights(&mut sheet, "E-LITE", "R6", 0.0);
    lights(&mut sheet, "E-LITE", "R6", 244.5);
    joists(&mut sheet, "S-JOIS", 0.0);
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.lights.iter().filter(|l| l.bay.is_some()).count(), 8);
    let told = notes.iter().find(|n| n.code == "no-bay").unwrap();
    assert!(told.message.starts_with("8 light(s) (in DEN)"), "{told}");
}
