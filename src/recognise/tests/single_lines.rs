//! Single lines among members that are drawn with their thickness.

use super::{Sheet, has_note, member};
use crate::plan::Plan;
use crate::rules::parse;

/// Nine joists 16 in apart, 144 long, as double lines or outlines.
fn joists(outlines: bool) -> Sheet {
    let mut sheet = Sheet::default();
    for k in 0..9 {
        let x = 16.0 * f64::from(k);
        if outlines {
            let ring = [
                (x - 0.75, 0.0),
                (x + 0.75, 0.0),
                (x + 0.75, 144.0),
                (x - 0.75, 144.0),
            ];
            sheet.path("S-JOIS", &ring, true);
        } else {
            sheet.upright("S-JOIS", x, 1.5, (0.0, 144.0));
        }
    }
    sheet
}

fn drawn(plan: &Plan) -> usize {
    plan.members
        .iter()
        .filter(|m| m.plies == 1 && m.thickness == 1.5)
        .count()
}

#[test]
fn leaders_edges_and_section_lines_are_asked_about() {
    let others: [&[[(f64, f64); 2]]; 4] = [
        // A leader of two lines.
        &[[(40.0, 60.0), (70.0, 100.0)], [(70.0, 100.0), (95.0, 100.0)]],
        // A section line across all joists, and a line of dimensions beside them.
        &[[(-20.0, 70.0), (150.0, 70.0)], [(-24.0, 0.0), (-24.0, 144.0)]],
        // The edges of a roof.
        &[[(-18.0, -18.0), (146.0, -18.0)], [(146.0, -18.0), (146.0, 162.0)]],
        // An access of 22 by 30 with its diagonals.
        &[[(50.0, 40.0), (72.0, 70.0)], [(50.0, 70.0), (72.0, 40.0)]],
    ];
    for outlines in [true, false] {
        for lines in others {
            let mut sheet = joists(outlines);
            for [a, b] in lines {
                sheet.line("S-JOIS", *a, *b);
            }
            let (plan, notes) = sheet.read();
            assert_eq!((plan.members.len(), drawn(&plan)), (9, 9), "{lines:?} {notes:?}");
            let asked = notes
                .iter()
                .find(|n| n.code == "framing-lines")
                .expect("a question");
            assert!(
                asked
                    .message
                    .starts_with("2 single line(s) on framing layer S-JOIS"),
                "{asked:?}"
            );
            assert!(!has_note(&notes, "framing-unclear") && !has_note(&notes, "framing-single"));
            assert_eq!(plan.unclaimed.iter().map(|u| u.count).sum::<usize>(), 2);
            // The line it gives takes them.
            let line = asked.message.split('`').next().unwrap_or_default();
            let from = line.find("thickness = ").expect("a line");
            let line = line[from..].split(" under").next().unwrap_or_default();
            let rules = parse(&format!("[framing]\n{line}\n"), None).expect(line);
            let (plan, notes) = sheet.read_by(&rules);
            assert_eq!(plan.members.len(), 11, "{notes:?}");
        }
    }
}

/// A section line of three lines that touch: none of them is of a member.
#[test]
fn all_lines_of_what_is_set_apart_are_unclaimed() {
    let mut sheet = joists(true);
    for (from, to) in [(-20.0, 40.0), (40.0, 90.0), (90.0, 150.0)] {
        sheet.line("S-JOIS", (from, 70.0), (to, 70.0));
    }
    let (plan, notes) = sheet.read();
    assert_eq!(plan.members.len(), 9, "{notes:?}");
    assert_eq!(plan.unclaimed.iter().map(|u| u.count).sum::<usize>(), 3);
}

#[test]
fn joists_blocks_and_rims_of_one_line_are_members() {
    let lines: [(f64, f64, f64, f64); 4] = [
        // A joist between two, one as a sister, a block, a rim along the ends.
        (24.0, 0.0, 24.0, 144.0),
        (40.0, 2.0, 40.0, 100.0),
        (48.75, 72.0, 63.25, 72.0),
        (-0.75, 144.0, 128.75, 144.0),
    ];
    for outlines in [true, false] {
        for (x, y, u, v) in lines {
            let mut sheet = joists(outlines);
            sheet.line("S-JOIS", (x, y), (u, v));
            let (plan, notes) = sheet.read();
            assert_eq!(plan.members.len(), 10, "{x} {y} {notes:?}");
            assert!(!has_note(&notes, "framing-lines"));
            assert_eq!(has_note(&notes, "framing-single"), x == u, "{x} {y}");
        }
    }
}

#[test]
fn a_layer_of_single_lines_with_beams_of_two_is_read_as_before() {
    let mut sheet = Sheet::default();
    for k in 0..12 {
        let x = 16.0 * f64::from(k);
        sheet.line("S-JOIS", (x, 0.0), (x, 144.0));
    }
    for y in [-2.0, 48.0, 96.0, 146.0] {
        sheet.line("S-JOIS", (0.0, y - 1.75), (176.0, y - 1.75));
        sheet.line("S-JOIS", (0.0, y + 1.75), (176.0, y + 1.75));
    }
    let (plan, notes) = sheet.read();
    assert_eq!(plan.members.len(), 16, "{notes:?}");
    assert!(!has_note(&notes, "framing-lines"));
    assert!(super::briefs(&plan).contains(&member((0.0, 48.0), (176.0, 48.0), 3.5, 1)));
}
