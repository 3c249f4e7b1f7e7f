//! Written framing: which way it runs, which room it holds for, and what is drawn there.

use super::{Sheet, has_note, rules, xy};
use crate::flatten::Prim;
use crate::note::{Level, Note};
use crate::plan::{Callout, RoomId};

/// Two rooms side by side, 12 ft by 10 ft each, a light in either.
fn house() -> Sheet {
    let mut sheet = Sheet::default();
    for x in [0.0, 150.0] {
        sheet.path(
            "A-AREA",
            &[(x, 0.0), (x + 144.0, 0.0), (x + 144.0, 120.0), (x, 120.0)],
            true,
        );
        sheet.light("LT-R6", (x + 72.0, 60.0));
    }
    sheet.text("A-AREA", (20.0, 100.0), "KITCHEN");
    sheet.text("A-AREA", (170.0, 100.0), "DEN");
    sheet
}

/// A line with a head of two barbs at each end that is asked for.
pub(super) fn arrow(sheet: &mut Sheet, layer: &str, a: (f64, f64), b: (f64, f64), heads: (bool, bool)) {
    sheet.line(layer, a, b);
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let long = dx.hypot(dy);
    let (ux, uy) = (dx / long * 5.0, dy / long * 5.0);
    for (p, s, drawn) in [(a, 1.0, heads.0), (b, -1.0, heads.1)] {
        for side in [0.4, -0.4] {
            if drawn {
                sheet.line(layer, p, (p.0 + s * ux - side * uy, p.1 + s * uy + side * ux));
            }
        }
    }
}

pub(super) fn note<'a>(notes: &'a [Note], code: &str) -> &'a Note {
    notes
        .iter()
        .find(|n| n.code == code)
        .unwrap_or_else(|| panic!("no {code}: {notes:?}"))
}

pub(super) fn only(callouts: &[Callout]) -> &Callout {
    assert_eq!(callouts.len(), 1, "{callouts:?}");
    &callouts[0]
}

#[test]
fn an_arrow_beside_the_words_tells_the_direction() {
    let mut sheet = house();
    arrow(&mut sheet, "A-ANNO", (80.0, 10.0), (80.0, 110.0), (true, true));
    sheet.text("A-ANNO", (86.0, 50.0), "2x10 C.J. @ 16\" O.C.");
    let (plan, notes) = sheet.read();
    let c = only(&plan.callouts);
    assert_eq!(
        (c.along, c.spacing, c.thickness, c.depth),
        (xy(0.0, 1.0), 16.0, 1.5, Some(9.25))
    );
    assert_eq!(c.room, Some(RoomId(0)));
    assert!(c.handle.is_some() && c.at.is_some());
    assert!(plan.members.is_empty());
    assert!(has_note(&notes, "framing-written") && !has_note(&notes, "no-framing"));
    assert!(!has_note(&notes, "callout-direction"));
}

#[test]
fn an_arrow_on_a_framing_layer_is_no_joist() {
    let mut sheet = house();
    arrow(&mut sheet, "S-JOIST", (80.0, 10.0), (80.0, 110.0), (true, true));
    sheet.text("S-JOIST", (86.0, 50.0), "2x10 C.J. @ 16\" O.C.");
    let (plan, notes) = sheet.read();
    assert!(plan.members.is_empty(), "{:?}", plan.members);
    assert_eq!(only(&plan.callouts).along, xy(0.0, 1.0));
    assert!(!has_note(&notes, "framing-unclear"), "{notes:?}");
}

#[test]
fn without_a_line_the_note_asks_and_the_rules_answer() {
    let mut sheet = house();
    sheet.text("A-ANNO", (40.0, 50.0), "2x10 C.J. @ 16\" O.C.");
    let (plan, notes) = sheet.read();
    assert!(plan.callouts.is_empty());
    assert_eq!(note(&notes, "callout-direction").level, Level::Warning);
    let mut rules = rules();
    rules.framing.direction = Some(90.0);
    let (plan, notes) = sheet.read_by(&rules);
    let c = only(&plan.callouts);
    assert!((c.along.y - 1.0).abs() < 1e-12);
    assert_eq!(note(&notes, "callout-direction").level, Level::Info);
    assert!(!has_note(&notes, "framing-incomplete"));
}

#[test]
fn an_arrow_that_points_tells_no_direction() {
    let mut sheet = house();
    arrow(&mut sheet, "A-ANNO", (84.0, 48.0), (120.0, 20.0), (false, true));
    sheet.text("A-ANNO", (10.0, 50.0), "TRUSSES @ 24\" O.C.");
    let (plan, notes) = sheet.read();
    assert!(plan.callouts.is_empty(), "{:?}", plan.callouts);
    assert!(has_note(&notes, "callout-direction"));
}

#[test]
fn a_leader_may_lead_to_the_arrow_in_another_room() {
    let mut sheet = house();
    arrow(&mut sheet, "A-ANNO", (170.0, 30.0), (280.0, 30.0), (true, true));
    sheet.text("A-ANNO", (40.0, 70.0), "2x6 C.J. @ 16\" O.C.");
    // From the end of the words to the arrow.
    sheet.item(
        "A-ANNO",
        "LEADER",
        Prim::Segment {
            from: xy(200.0, 30.0),
            to: xy(136.0, 72.0),
        },
    );
    let (plan, _) = sheet.read();
    let c = only(&plan.callouts);
    assert_eq!((c.along, c.room), (xy(1.0, 0.0), Some(RoomId(1))));
}

#[test]
fn a_line_with_ticks_and_a_dimension_with_the_words_tell_it_too() {
    let mut sheet = house();
    sheet.line("A-ANNO", (20.0, 40.0), (130.0, 40.0));
    for x in [20.0, 130.0] {
        sheet.line("A-ANNO", (x - 3.0, 37.0), (x + 3.0, 43.0));
    }
    sheet.text("A-ANNO", (30.0, 44.0), "TRUSSES @ 24\" O.C.");
    sheet.item(
        "A-ANNO",
        "DIMENSION",
        Prim::Dimension {
            p1: xy(200.0, 5.0),
            p2: xy(200.0, 115.0),
            text_at: xy(198.0, 60.0),
            measured: Some(110.0),
            text: "2x8 C.J. @ 12\" O.C.".into(),
            rotated: None,
        },
    );
    let (plan, _) = sheet.read();
    let found: Vec<_> = plan
        .callouts
        .iter()
        .map(|c| (c.room, c.along, c.spacing))
        .collect();
    assert_eq!(
        found,
        [
            (Some(RoomId(0)), xy(1.0, 0.0), 24.0),
            (Some(RoomId(1)), xy(0.0, 1.0), 12.0)
        ]
    );
}

#[test]
fn a_dimension_in_pieces_near_the_words_is_not_theirs() {
    let mut sheet = house();
    arrow(&mut sheet, "A-ANNO", (20.0, 40.0), (130.0, 40.0), (true, true));
    sheet.text("A-ANNO", (70.0, 42.0), "9'-2\"");
    sheet.text("A-ANNO", (30.0, 54.0), "TRUSSES @ 24\" O.C.");
    let (plan, notes) = sheet.read();
    assert!(plan.callouts.is_empty());
    assert!(has_note(&notes, "callout-direction"));
}

#[test]
fn two_lines_that_differ_are_asked_about() {
    let mut sheet = house();
    arrow(&mut sheet, "A-ANNO", (30.0, 48.0), (130.0, 48.0), (true, true));
    arrow(&mut sheet, "A-ANNO", (40.0, 10.0), (40.0, 110.0), (true, true));
    sheet.text("A-ANNO", (44.0, 50.0), "2x10 C.J. @ 16\" O.C.");
    let (plan, notes) = sheet.read();
    assert!(plan.callouts.is_empty());
    assert!(
        note(&notes, "callout-direction")
            .message
            .contains("different ways")
    );
}

#[test]
fn an_arrow_through_two_rooms_holds_for_both() {
    let mut sheet = house();
    arrow(&mut sheet, "A-ANNO", (20.0, 40.0), (270.0, 40.0), (true, true));
    sheet.text("A-ANNO", (30.0, 44.0), "2x10 C.J.");
    sheet.text("A-ANNO", (30.0, 34.0), "@ 16\" O.C.");
    let (plan, _) = sheet.read();
    let rooms: Vec<_> = plan.callouts.iter().map(|c| c.room).collect();
    assert_eq!(rooms, [Some(RoomId(0)), Some(RoomId(1))]);
    assert_eq!(plan.callouts[0].text, "2x10 C.J. @ 16\" O.C.");
}

#[test]
fn drawn_members_hold_and_the_words_agree_or_not() {
    for (text, agrees) in [("2x10 C.J. @ 16\" O.C.", true), ("2x10 C.J. @ 24\" O.C.", false)] {
        let mut sheet = house();
        for i in 0..8 {
            sheet.upright("S-JOIST", 10.0 + 16.0 * f64::from(i), 1.5, (0.0, 120.0));
        }
        arrow(&mut sheet, "A-ANNO", (82.0, 10.0), (82.0, 110.0), (true, true));
        sheet.text("A-ANNO", (86.0, 50.0), text);
        let (plan, notes) = sheet.read();
        assert_eq!(plan.members.len(), 8);
        assert!(plan.callouts.is_empty());
        assert_eq!(has_note(&notes, "callout-agrees"), agrees, "{notes:?}");
        assert_eq!(has_note(&notes, "callout-differs"), !agrees);
    }
}

#[test]
fn of_two_callouts_in_a_room_the_ceilings_holds_else_none() {
    let both = |second: &str| {
        let mut sheet = house();
        arrow(&mut sheet, "A-ANNO", (20.0, 40.0), (130.0, 40.0), (true, true));
        sheet.text("A-ANNO", (30.0, 43.0), "2x6 C.J. @ 16\" O.C.");
        arrow(&mut sheet, "A-ANNO", (20.0, 90.0), (130.0, 90.0), (true, true));
        sheet.text("A-ANNO", (30.0, 80.0), second);
        sheet.read()
    };
    let (plan, notes) = both("2x10 R.R. @ 24\" O.C.");
    assert_eq!(only(&plan.callouts).spacing, 16.0);
    assert!(has_note(&notes, "callout-passed"));
    let (plan, notes) = both("2x6 C.J. @ 24\" O.C.");
    assert!(plan.callouts.is_empty());
    assert!(has_note(&notes, "callout-conflict"));
}

#[test]
fn words_outside_the_house_and_words_not_understood_are_told_of() {
    let mut sheet = house();
    sheet.text("A-ANNO", (900.0, 50.0), "2x10 C.J. @ 16\" O.C.");
    sheet.text("A-ANNO", (40.0, 50.0), "2x10 C.J. @ 16\" O.C. BELOW");
    let (plan, notes) = sheet.read();
    assert!(plan.callouts.is_empty());
    assert!(has_note(&notes, "callout-outside") && has_note(&notes, "callout-unread"));
}

#[test]
fn spacing_and_direction_of_the_rules_are_a_callout_without_a_phase() {
    let mut rules = rules();
    rules.framing.spacing = Some(16.0);
    rules.framing.direction = Some(0.0);
    let (plan, _) = house().read_by(&rules);
    let c = only(&plan.callouts);
    assert_eq!(
        (c.text.as_str(), c.at, c.room, c.along),
        ("[framing]", None, None, xy(1.0, 0.0))
    );
    rules.framing.phase = Some([0.0, 8.0]);
    let (plan, _) = house().read_by(&rules);
    assert!(plan.callouts.is_empty() && !plan.members.is_empty());
}

#[test]
fn flanges_that_are_not_told_are_taken_wide_and_said_so() {
    let mut sheet = house();
    arrow(&mut sheet, "A-ANNO", (20.0, 40.0), (130.0, 40.0), (true, true));
    sheet.text("A-ANNO", (22.0, 43.0), "11 7/8\" I-JOISTS @ 19.2\" OC");
    let (plan, notes) = sheet.read();
    assert_eq!(only(&plan.callouts).thickness, 2.3125);
    assert!(has_note(&notes, "callout-thickness"));
}

#[test]
fn a_member_measured_in_a_room_lays_the_others_out() {
    let mut sheet = house();
    arrow(&mut sheet, "A-ANNO", (80.0, 10.0), (80.0, 110.0), (true, true));
    sheet.text("A-ANNO", (86.0, 50.0), "2x10 C.J. @ 16\" O.C.");
    let mut rules = rules();
    rules.framing.measured = vec![[20.0, 60.0], [36.0, 60.0], [200.0, 60.0], [-50.0, 0.0]];
    let (plan, notes) = sheet.read_by(&rules);
    // 16 in on centre through x = 20 in a room from 0 to 144 (derived).
    let found: Vec<f64> = plan.members.iter().map(|m| m.from.x).collect();
    assert_eq!(
        found,
        (0..9)
            .rev()
            .map(|k| 4.0 + 16.0 * f64::from(k))
            .collect::<Vec<_>>()
    );
    assert!(
        plan.members
            .iter()
            .all(|m| (m.from.y, m.to.y) == (0.0, 120.0) && m.thickness == 1.5)
    );
    assert!(plan.callouts.is_empty());
    let bay = plan.lights[0].bay.expect("a bay");
    // The light at 72 stands between members at 68 and 84, faces 3/4 off their middles (derived).
    assert!(
        (bay.left.room - 3.25).abs() < 1e-9 && (bay.right.room - 11.25).abs() < 1e-9,
        "{bay:?}"
    );
    assert!(plan.lights[1].bay.is_none());
    let unused = notes.iter().filter(|n| n.code == "measured-unused").count();
    assert_eq!((unused, has_note(&notes, "callout-laid-out")), (3, true));
}

#[test]
fn members_laid_out_keep_to_a_room_with_a_nook() {
    let mut sheet = Sheet::default();
    let ell = [
        (0.0, 0.0),
        (144.0, 0.0),
        (144.0, 40.0),
        (96.0, 40.0),
        (96.0, 80.0),
        (144.0, 80.0),
        (144.0, 120.0),
        (0.0, 120.0),
    ];
    sheet.path("A-AREA", &ell, true);
    sheet.light("LT-R6", (40.0, 60.0));
    arrow(&mut sheet, "A-ANNO", (80.0, 10.0), (80.0, 110.0), (true, true));
    sheet.text("A-ANNO", (86.0, 20.0), "2x10 C.J. @ 24\" O.C.");
    let mut rules = rules();
    rules.framing.measured = vec![[108.0, 20.0]];
    let (plan, _) = sheet.read_by(&rules);
    let at = |x: f64| -> Vec<(f64, f64)> {
        let on = plan.members.iter().filter(|m| m.from.x == x);
        on.map(|m| (m.from.y, m.to.y)).collect()
    };
    assert_eq!(at(84.0), [(0.0, 120.0)]);
    assert_eq!(at(108.0), [(0.0, 40.0), (80.0, 120.0)]);
}

#[test]
fn a_dimension_alone_is_a_callout_and_one_that_is_not_understood_is_told_of() {
    let read = |text: &str| {
        let mut sheet = Sheet::default();
        sheet.path(
            "A-AREA",
            &[(0.0, 0.0), (200.0, 0.0), (200.0, 120.0), (0.0, 120.0)],
            true,
        );
        sheet.light("LT-R6", (60.0, 50.0));
        sheet.item(
            "S-ANNO",
            "DIMENSION",
            Prim::Dimension {
                p1: xy(0.0, 60.0),
                p2: xy(192.0, 60.0),
                text_at: xy(96.0, 62.0),
                measured: Some(192.0),
                text: text.into(),
                rotated: None,
            },
        );
        let (plan, notes) = sheet.read();
        (plan.callouts.iter().map(|c| c.spacing).collect::<Vec<_>>(), notes)
    };
    assert_eq!(read("2X10 @ 16\" O.C.").0, [16.0]);
    assert_eq!(read("2x6 RAFTERS & C.J. @ 24\" O.C.").0, [24.0]);
    let (none, notes) = read("2x6 RAFTERS & TRUSSES @ 24\" O.C.");
    assert!(none.is_empty() && has_note(&notes, "callout-unread"), "{notes:?}");
    assert!(read("12'-0\"").0.is_empty());
}
