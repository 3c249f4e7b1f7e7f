//! Plies and pieces: what joins into one member, and what stays apart.

use super::framing::uprights;
use super::{Sheet, briefs, member};
use crate::plan::MemberKind;

#[test]
fn plies_that_touch_are_one_member() {
    let mut outlines = Sheet::default();
    for x in [0.0, 1.5] {
        outlines.path(
            "S-JOIS",
            &[(x, 0.0), (x + 1.5, 0.0), (x + 1.5, 99.0), (x, 99.0)],
            true,
        );
    }
    let mut lines = Sheet::default();
    lines.upright("S-JOIS", 0.75, 1.5, (0.0, 99.0));
    lines.upright("S-JOIS", 2.25, 1.5, (0.0, 99.0));
    let mut three = Sheet::default();
    for x in [0.0, 1.5, 3.0] {
        three.line("S-JOIS", (x, 0.0), (x, 99.0));
    }
    for sheet in [outlines, lines, three] {
        let (plan, _) = sheet.read();
        assert_eq!(briefs(&plan), [member((1.5, 0.0), (1.5, 99.0), 3.0, 2)]);
    }
}

#[test]
fn four_lines_a_ply_apart_are_three_plies() {
    let mut sheet = Sheet::default();
    for y in [-227.5, -226.0, -224.5, -223.0] {
        sheet.line("S-TRUS", (220.0, y), (370.0, y));
    }
    let (plan, _) = sheet.read();
    assert_eq!(
        briefs(&plan),
        [member((220.0, -225.25), (370.0, -225.25), 4.5, 3)]
    );
}

#[test]
fn flanges_and_web_of_an_i_joist_are_one_ply() {
    // Flange 2 5/16 wide (check values B), web 3/8 in its middle.
    let mut sheet = Sheet::default();
    for x in [0.0, 16.0, 32.0] {
        for face in [0.0, 0.96875, 1.34375, 2.3125] {
            sheet.line("S-JOIS", (x + face, 0.0), (x + face, 144.0));
        }
    }
    let (plan, _) = sheet.read();
    assert_eq!(plan.members.len(), 3, "{:?}", briefs(&plan));
    for m in &plan.members {
        assert!((m.thickness - 2.3125).abs() < 1e-9 && m.plies == 1, "{m:?}");
    }
}

/// Deck boards of 5 1/2 in (dressed 6 in stock, PS 20) as single lines, and as outlines with 1/8 in between.
#[test]
fn boards_side_by_side_are_no_member() {
    let mut lines = Sheet::default();
    for k in 0..=20 {
        let y = 200.0 + 5.5 * f64::from(k);
        lines.line("S-JOIS", (0.0, y), (144.0, y));
    }
    let mut outlines = Sheet::default();
    for k in 0..20 {
        let y = 200.0 + 5.625 * f64::from(k);
        outlines.path(
            "S-JOIS",
            &[(0.0, y), (144.0, y), (144.0, y + 5.5), (0.0, y + 5.5)],
            true,
        );
    }
    for mut sheet in [lines, outlines] {
        for k in 0..5 {
            sheet.upright("S-JOIS", 16.0 * f64::from(k), 1.5, (0.0, 99.0));
        }
        let (plan, notes) = sheet.read();
        assert_eq!(plan.members.len(), 5, "{:?}", briefs(&plan));
        assert!(plan.members.iter().all(|m| m.thickness == 1.5));
        let note = notes.iter().find(|n| n.code == "framing-boards").unwrap();
        assert!(note.message.starts_with("20 strips"), "{}", note.message);
        let c = plan.counts;
        assert_eq!(c.entities, c.claimed + c.unclaimed + c.dropped);
        assert!(c.unclaimed >= 20, "{c:?}");
    }
}

#[test]
fn lapped_joists_stay_two() {
    let mut sheet = Sheet::default();
    sheet.upright("S-JOIS", 0.75, 1.5, (0.0, 102.0));
    sheet.upright("S-JOIS", 2.25, 1.5, (98.0, 200.0));
    let (plan, _) = sheet.read();
    let mut found = briefs(&plan);
    found.sort();
    assert_eq!(
        found,
        [
            member((0.75, 0.0), (0.75, 102.0), 1.5, 1),
            member((2.25, 98.0), (2.25, 200.0), 1.5, 1)
        ]
    );
}

#[test]
fn pieces_broken_at_a_wall_are_joined_and_blocks_are_not() {
    let mut sheet = Sheet::default();
    sheet.upright("S-JOIS", 0.0, 1.5, (0.0, 100.0));
    sheet.upright("S-JOIS", 0.0, 1.5, (105.5, 200.0));
    // Farther apart than any wall: two members.
    sheet.upright("S-JOIS", 16.0, 1.5, (0.0, 90.0));
    sheet.upright("S-JOIS", 16.0, 1.5, (110.0, 200.0));
    let (plan, _) = sheet.read();
    assert_eq!(plan.members.len(), 3, "{:?}", briefs(&plan));

    let mut blocks = uprights(&[0.0, 16.0, 32.0]);
    for x in [0.75, 16.75] {
        blocks.path(
            "S-BLOCKING",
            &[(x, 70.0), (x + 14.5, 70.0), (x + 14.5, 71.5), (x, 71.5)],
            true,
        );
    }
    let (plan, _) = blocks.read();
    let count = |kind| plan.members.iter().filter(|m| m.kind == kind).count();
    assert_eq!((count(MemberKind::Joist), count(MemberKind::Block)), (3, 2));
}

#[test]
fn dashes_saved_as_lines_are_one_line() {
    let mut sheet = Sheet::default();
    for x in [0.0, 1.5, 16.0, 17.5] {
        for k in 0..8 {
            let y = 18.0 * f64::from(k);
            sheet.line("S-JOIS", (x, y), (x, y + 12.0));
        }
    }
    let (plan, _) = sheet.read();
    let mut found = briefs(&plan);
    found.sort();
    assert_eq!(
        found,
        [
            member((0.75, 0.0), (0.75, 138.0), 1.5, 1),
            member((16.75, 0.0), (16.75, 138.0), 1.5, 1)
        ]
    );
    // Blocks between joists at 12 in on centre are not dashes.
    let mut blocks = Sheet::default();
    for k in 0..5 {
        let x = 12.0 * f64::from(k) + 0.75;
        blocks.line("S-BLOCKING", (x, 0.0), (x + 10.5, 0.0));
        blocks.line("S-BLOCKING", (x, 1.5), (x + 10.5, 1.5));
    }
    assert_eq!(blocks.read().0.members.len(), 5);
}

#[test]
fn a_member_drawn_twice_is_one() {
    let mut sheet = Sheet::default();
    sheet.path(
        "S-JOIS",
        &[(0.0, 0.0), (1.5, 0.0), (1.5, 99.0), (0.0, 99.0)],
        true,
    );
    sheet.upright("S-JOIS", 0.75, 1.5, (0.0, 99.0));
    sheet.line("S-JOIS", (0.75, 0.0), (0.75, 99.0));
    let (plan, _) = sheet.read();
    assert_eq!(briefs(&plan), [member((0.75, 0.0), (0.75, 99.0), 1.5, 1)]);
    assert_eq!(plan.counts.unclaimed, 0);
}
