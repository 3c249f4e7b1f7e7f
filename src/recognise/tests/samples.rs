//! A joist or two drawn for all, and lines that cross beside the words. What is expected is common practice of framing plans.

use super::callouts::{arrow, note, only};
use super::{Sheet, has_note, rules, xy};
use crate::note::Level;

/// A room of 16 by 11 ft with a light.
fn room() -> Sheet {
    let mut sheet = Sheet::default();
    sheet.path(
        "A-AREA",
        &[(0.0, 0.0), (192.0, 0.0), (192.0, 132.0), (0.0, 132.0)],
        true,
    );
    sheet.light("LT-R6", (48.0, 40.0));
    sheet.text("A-AREA", (20.0, 116.0), "KITCHEN");
    sheet
}

#[test]
fn an_arrow_that_a_plain_line_crosses_is_asked_about() {
    let mut sheet = room();
    arrow(&mut sheet, "A-ANNO", (6.0, 66.0), (186.0, 66.0), (true, true));
    sheet.line("A-ANNO", (96.0, 20.0), (96.0, 112.0));
    sheet.text("A-ANNO", (100.0, 70.0), "2X10 C.J. @ 16\" O.C.");
    let (plan, notes) = sheet.read();
    assert!(plan.callouts.is_empty(), "{:?}", plan.callouts);
    let asks = note(&notes, "callout-direction");
    assert_eq!(asks.level, Level::Warning);
    assert!(
        asks.message
            .contains("16' 0\" along the arrows and 11' 0\" along the plain line")
            && asks.message.contains("direction = 0 or 90"),
        "{asks}"
    );
    let mut rules = rules();
    rules.framing.direction = Some(90.0);
    let (plan, _) = sheet.read_by(&rules);
    assert!((only(&plan.callouts).along.y - 1.0).abs() < 1e-12);
    // A line of another layer, one at the end and a pattern say nothing.
    for (layer, xs) in [
        ("A-ELEC", &[96.0][..]),
        ("A-ANNO", &[8.0][..]),
        ("A-ANNO", &[40.0, 56.0, 72.0, 88.0, 104.0, 120.0][..]),
    ] {
        let mut sheet = room();
        arrow(&mut sheet, "A-ANNO", (6.0, 66.0), (186.0, 66.0), (true, true));
        for x in xs {
            sheet.line(layer, (*x, 20.0), (*x, 112.0));
        }
        sheet.text("A-ANNO", (100.0, 70.0), "2X10 C.J. @ 16\" O.C.");
        let (plan, notes) = sheet.read();
        assert_eq!(
            only(&plan.callouts).along,
            xy(1.0, 0.0),
            "{layer} {xs:?} {notes:#?}"
        );
    }
}

#[test]
fn two_arrows_that_cross_are_asked_about_however_near_the_words_stand_to_one() {
    let mut sheet = room();
    arrow(&mut sheet, "A-ANNO", (6.0, 66.0), (186.0, 66.0), (true, true));
    arrow(&mut sheet, "A-ANNO", (90.0, 10.0), (90.0, 122.0), (true, true));
    sheet.text("A-ANNO", (98.0, 66.5), "2X10 C.J. @ 16\" O.C.");
    let (plan, notes) = sheet.read();
    assert!(
        plan.callouts.is_empty() && has_note(&notes, "callout-direction"),
        "{notes:#?}"
    );
}

#[test]
fn one_joist_drawn_shows_the_direction_and_is_no_member() {
    for arrowed in [true, false] {
        let mut sheet = room();
        sheet.upright("S-JOIS", 96.0, 1.5, (0.0, 132.0));
        if arrowed {
            arrow(&mut sheet, "A-ANNO", (6.0, 66.0), (186.0, 66.0), (true, true));
        }
        sheet.text("A-ANNO", (100.0, 70.0), "2X10 C.J. @ 16\" O.C.");
        let (plan, notes) = sheet.read();
        assert!(plan.members.is_empty(), "{:?}", plan.members);
        assert_eq!(only(&plan.callouts).along, xy(0.0, 1.0));
        let told = note(&notes, "callout-sample");
        assert!(told.message.contains("measured = [[96.000, 66.000]]"), "{told}");
        // The answer that the note offers: 12 joists, one of them where it is drawn.
        let mut rules = rules();
        rules.framing.measured = vec![[96.0, 66.0]];
        let (plan, _) = sheet.read_by(&rules);
        assert_eq!(plan.members.len(), 12);
        assert!(plan.members.iter().any(|m| (m.from.x - 96.0).abs() < 1e-9));
    }
    // A beam is no sample of two-bys.
    let mut sheet = room();
    sheet.upright("S-JOIS", 96.0, 3.5, (0.0, 132.0));
    sheet.text("A-ANNO", (100.0, 70.0), "2X10 C.J. @ 16\" O.C.");
    let (plan, notes) = sheet.read();
    assert!(plan.members.len() == 1 && !has_note(&notes, "callout-sample"));
}

#[test]
fn three_joists_and_an_arrow_onward_show_where_all_stand() {
    let three = |arrowed: bool, words: &str| {
        let mut sheet = room();
        for x in [8.0, 24.0, 40.0] {
            sheet.upright("S-JOIS", x, 1.5, (0.0, 132.0));
        }
        if arrowed {
            arrow(&mut sheet, "A-ANNO", (40.0, 110.0), (184.0, 110.0), (false, true));
        }
        sheet.text("A-ANNO", (60.0, 114.0), words);
        sheet.read()
    };
    for (arrowed, words) in [(true, "2X10 @ 16\" O.C."), (false, "2X10 @ 16\" O.C. TYP.")] {
        let (plan, notes) = three(arrowed, words);
        let mut at: Vec<f64> = plan.members.iter().map(|m| m.from.x).collect();
        at.sort_by(f64::total_cmp);
        // 16 in on centre from the first, wall to wall: 8, 24 … 184.
        let expected: Vec<f64> = (0..12).map(|k| 8.0 + 16.0 * f64::from(k)).collect();
        assert_eq!(at, expected, "{words}");
        assert!(note(&notes, "callout-sample").message.contains("9 more"));
    }
    // Without either, and at another spacing, those drawn are all there are.
    for (arrowed, words) in [(false, "2X10 @ 16\" O.C."), (true, "2X10 @ 24\" O.C.")] {
        let (plan, notes) = three(arrowed, words);
        assert!(
            plan.members.len() == 3 && !has_note(&notes, "callout-sample"),
            "{words}"
        );
    }
}

#[test]
fn words_say_how_wide_single_lines_are() {
    let mut sheet = room();
    for k in 0..12 {
        sheet.line(
            "S-JOIS",
            (8.0 + 16.0 * f64::from(k), 0.0),
            (8.0 + 16.0 * f64::from(k), 132.0),
        );
    }
    sheet.text("A-ANNO", (40.0, 70.0), "2 5/16\" x 11 7/8\" I-JOISTS @ 16\" O.C.");
    let (plan, notes) = sheet.read();
    assert!(
        plan.members.iter().all(|m| m.thickness == 2.3125),
        "{:?}",
        plan.members
    );
    assert!(has_note(&notes, "callout-width") && !has_note(&notes, "callout-differs"));
    let mut rules = rules();
    (rules.framing.thickness, rules.framing.thickness_given) = (1.75, true);
    let (plan, notes) = sheet.read_by(&rules);
    assert!(plan.members.iter().all(|m| m.thickness == 1.75) && has_note(&notes, "callout-differs"));
}
