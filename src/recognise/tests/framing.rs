//! Members, however they are drawn.

use proptest::prelude::*;

use super::{Sheet, briefs, has_note, member, rules, xy};
use crate::flatten::Prim;
use crate::plan::{MemberKind, MemberSource};
use crate::recognise::framing::faces::{Face, opposite, pairs};

pub(super) fn uprights(at: &[f64]) -> Sheet {
    let mut sheet = Sheet::default();
    for &x in at {
        sheet.upright("S-JOIS", x, 1.5, (0.0, 144.0));
    }
    sheet
}

#[test]
fn double_lines_at_sixteen_inches_make_joists_and_no_bays() {
    let (plan, notes) = uprights(&[0.0, 16.0, 32.0, 48.0]).read();
    let expected: Vec<_> = [0.0, 16.0, 32.0, 48.0]
        .map(|x| member((x, 0.0), (x, 144.0), 1.5, 1))
        .to_vec();
    let mut found = briefs(&plan);
    found.sort();
    assert_eq!(found, expected);
    assert!(plan.members.iter().all(|m| m.source == MemberSource::Drawn));
    assert!(!has_note(&notes, "framing-unclear"));
    assert_eq!(plan.counts.unclaimed, 0);
}

#[test]
fn tight_bays_are_not_taken_for_members() {
    // Clear 4 in between joists: less than the thickest member, but not the common thickness.
    let (plan, _) = uprights(&[0.0, 5.5, 11.0, 16.5]).read();
    assert_eq!(plan.members.len(), 4, "{:?}", plan.members);
    assert!(plan.members.iter().all(|m| (m.thickness - 1.5).abs() < 1e-9));
}

#[test]
fn timbers_of_one_width_with_much_air_between_are_members() {
    let drawn = |lines: &[f64]| {
        let mut sheet = Sheet::default();
        for &x in lines {
            sheet.line("S-JOIS", (x, 0.0), (x, 144.0));
        }
        sheet.read().0.members
    };
    let timbers = drawn(&[30.0, 38.0, 90.0, 98.0, 150.0, 158.0, 210.0, 218.0]);
    assert_eq!(timbers.len(), 4, "{timbers:?}");
    assert!(
        timbers
            .iter()
            .all(|m| m.source == MemberSource::Drawn && (m.thickness - 8.0).abs() < 1e-9)
    );
    // Single lines as far apart each, one without a second, of two widths, and of little air.
    for lines in [
        &[30.0, 46.0, 62.0, 78.0, 94.0, 110.0][..],
        &[30.0, 38.0, 90.0, 98.0, 150.0, 158.0, 210.0],
        &[30.0, 38.0, 90.0, 100.0, 150.0, 158.0],
        &[30.0, 38.0, 54.0, 62.0, 78.0, 86.0],
    ] {
        let members = drawn(lines);
        assert_eq!(members.len(), lines.len(), "{members:?}");
        assert!(members.iter().all(|m| m.source == MemberSource::Centreline));
    }
}

#[test]
fn members_are_sorted_by_angle_offset_and_start() {
    let mut sheet = uprights(&[32.0, 0.0, 16.0]);
    sheet.line("S-JOIS", (0.0, 200.0), (100.0, 200.0));
    let (plan, _) = sheet.read();
    // At 90° the offset is measured to the left, so from larger to smaller x.
    let order: Vec<f64> = plan.members.iter().map(|m| m.from.x).collect();
    assert_eq!(order, [0.0, 32.0, 16.0, 0.0]);
}

#[test]
fn closed_outlines_make_members() {
    let mut sheet = Sheet::default();
    sheet.path(
        "S-TRUS",
        &[(0.0, 0.0), (1.5, 0.0), (1.5, 100.0), (0.0, 100.0)],
        true,
    );
    // The path comes back to its start instead of being flagged closed.
    sheet.path(
        "S-TRUS",
        &[
            (24.0, 0.0),
            (25.5, 0.0),
            (25.5, 100.0),
            (24.0, 100.0),
            (24.0, 0.0),
        ],
        false,
    );
    let (plan, _) = sheet.read();
    let mut found = briefs(&plan);
    found.sort();
    assert_eq!(
        found,
        [
            member((0.75, 0.0), (0.75, 100.0), 1.5, 1),
            member((24.75, 0.0), (24.75, 100.0), 1.5, 1)
        ]
    );
    assert!(plan.members.iter().all(|m| m.kind == MemberKind::Truss));
}

#[test]
fn three_sides_of_an_outline_are_enough() {
    let mut sheet = Sheet::default();
    // Face, end, face.
    sheet.path(
        "S-TRUS",
        &[(0.0, 100.0), (0.0, 0.0), (1.5, 0.0), (1.5, 100.0)],
        false,
    );
    // End, face, end: the other face is missing.
    sheet.path(
        "S-TRUS",
        &[(25.5, 0.0), (24.0, 0.0), (24.0, 100.0), (25.5, 100.0)],
        false,
    );
    let (plan, _) = sheet.read();
    let mut found = briefs(&plan);
    found.sort();
    assert_eq!(
        found,
        [
            member((0.75, 0.0), (0.75, 100.0), 1.5, 1),
            member((24.75, 0.0), (24.75, 100.0), 1.5, 1)
        ]
    );
}

#[test]
fn two_faces_and_one_end_cap_as_lines() {
    let mut sheet = Sheet::default();
    sheet.line("S-JOIS", (0.0, 0.0), (0.0, 100.0));
    sheet.line("S-JOIS", (1.5, 0.0), (1.5, 100.0));
    sheet.line("S-JOIS", (0.0, 0.0), (1.5, 0.0));
    let (plan, notes) = sheet.read();
    assert_eq!(briefs(&plan), [member((0.75, 0.0), (0.75, 100.0), 1.5, 1)]);
    assert_eq!(plan.counts.claimed, 3, "the cap belongs to the member");
    assert!(!has_note(&notes, "framing-unclear"));
}

#[test]
fn mitred_faces_make_one_member_as_long_as_the_longer_face() {
    let mut sheet = Sheet::default();
    sheet.line("S-TRUS", (196.0, -247.0), (394.0, -247.0));
    sheet.line("S-TRUS", (197.5, -245.5), (392.5, -245.5));
    let (plan, _) = sheet.read();
    assert_eq!(
        briefs(&plan),
        [member((196.0, -246.25), (394.0, -246.25), 1.5, 1)]
    );
}

#[test]
fn a_face_longer_than_its_partner_still_tells_of_the_whole_member() {
    let mut sheet = Sheet::default();
    sheet.line("S-JOIS", (0.0, 0.0), (0.0, 200.0));
    sheet.line("S-JOIS", (1.5, 0.0), (1.5, 90.0));
    let (plan, _) = sheet.read();
    assert_eq!(briefs(&plan), [member((0.75, 0.0), (0.75, 200.0), 1.5, 1)]);
}

#[test]
fn wide_polylines_and_solids_make_members() {
    let mut sheet = Sheet::default();
    sheet.wide_path("S-JOIS", &[(0.0, 0.0), (0.0, 50.0), (0.0, 120.0)], false, 1.5);
    let ring = [(16.0, 0.0), (17.75, 0.0), (17.75, 120.0), (16.0, 120.0)].map(|p| xy(p.0, p.1));
    sheet.item("S-JOIS", "SOLID", Prim::Face(ring.to_vec()));
    let (plan, _) = sheet.read();
    let mut found = briefs(&plan);
    found.sort();
    assert_eq!(
        found,
        [
            member((0.0, 0.0), (0.0, 120.0), 1.5, 1),
            member((16.875, 0.0), (16.875, 120.0), 1.75, 1)
        ]
    );
}

#[test]
fn centrelines_take_their_thickness_from_the_rules() {
    let mut sheet = Sheet::default();
    for x in [0.0, 16.0, 32.0] {
        sheet.line("S-JOIS", (x, 0.0), (x, 144.0));
    }
    let mut rules = rules();
    rules.framing.thickness = 2.3125;
    rules.framing.thickness_given = true;
    let (plan, _) = sheet.read_by(&rules);
    assert_eq!(plan.members.len(), 3);
    for m in &plan.members {
        assert_eq!((m.thickness, m.source), (2.3125, MemberSource::Centreline));
    }
}

#[test]
fn two_centrelines_side_by_side_are_a_doubled_member() {
    let mut sheet = Sheet::default();
    for x in [0.0, 16.0, 32.0, 33.5, 48.0, 64.0, 80.0] {
        sheet.line("S-JOIS", (x, 0.0), (x, 144.0));
    }
    let (plan, _) = sheet.read();
    assert_eq!(plan.members.len(), 6, "{:?}", briefs(&plan));
    let doubled: Vec<_> = plan.members.iter().filter(|m| m.plies == 2).collect();
    assert_eq!(doubled.len(), 1);
    assert_eq!((doubled[0].from.x, doubled[0].thickness), (32.75, 3.0));
}

#[test]
fn a_lone_line_among_double_lines_is_kept_with_a_note() {
    let mut sheet = uprights(&[0.0, 16.0, 48.0]);
    sheet.line("S-JOIS", (32.0, 0.0), (32.0, 144.0));
    let (plan, notes) = sheet.read();
    assert_eq!(plan.members.len(), 4);
    assert!(has_note(&notes, "framing-single"), "{notes:?}");
}

#[test]
fn what_forms_no_member_is_unclaimed_with_a_note() {
    let mut sheet = uprights(&[0.0, 16.0]);
    sheet.line("S-JOIS", (5.0, 5.0), (8.0, 5.0));
    sheet.circle("S-JOIS", (8.0, 50.0), 2.0);
    let (plan, notes) = sheet.read();
    assert_eq!(plan.members.len(), 2);
    let unclear = notes.iter().filter(|n| n.code == "framing-unclear").count();
    assert_eq!(unclear, 2, "{notes:?}");
    assert_eq!(plan.counts.unclaimed, 2);
    assert_eq!(plan.linework.len(), 2, "they stay visible on the sheets");
}

#[test]
fn kinds_come_from_layer_and_block_names() {
    for (layer, kind) in [
        ("S-JOIS", MemberKind::Joist),
        ("S-CLNG-2", MemberKind::Joist),
        ("x$0$S-TRUS", MemberKind::Truss),
        ("S-BEAM-NEW", MemberKind::Beam),
        ("S-HDR", MemberKind::Header),
        ("S-BLOCKING", MemberKind::Block),
    ] {
        let mut sheet = Sheet::default();
        sheet.upright(layer, 0.0, 1.5, (0.0, 99.0));
        let (plan, _) = sheet.read();
        assert_eq!(plan.members.len(), 1, "{layer}");
        assert_eq!(plan.members[0].kind, kind, "{layer}");
    }
    let mut sheet = Sheet::default();
    let holder = sheet.insert("0", "FRAMING-TRUSSES", (0.0, 0.0));
    let outline = sheet.path("0", &[(0.0, 0.0), (1.5, 0.0), (1.5, 99.0), (0.0, 99.0)], true);
    sheet.put(outline, holder);
    let (plan, _) = sheet.read();
    assert_eq!(plan.members[0].kind, MemberKind::Truss);
    assert_eq!(plan.counts.claimed, 2, "the INSERT is claimed with what it holds");
}

#[test]
fn hidden_framing_is_not_read_and_noted() {
    let mut sheet = uprights(&[0.0]);
    for item in &mut sheet.flat.items {
        item.visible = false;
    }
    let (plan, notes) = sheet.read();
    assert!(plan.members.is_empty() && plan.linework.is_empty());
    assert_eq!(plan.counts.unclaimed, 2);
    assert!(has_note(&notes, "hidden") && has_note(&notes, "no-framing"));
}

#[test]
fn blocks_that_no_layout_reaches_are_named() {
    let mut sheet = Sheet::default();
    sheet.flat.unreached.push(crate::flatten::UnreachedBlock {
        name: "ROOF".into(),
        layers: vec![("A-ROOF".into(), 9), ("S-TRUS".into(), 46)],
    });
    let (_, notes) = sheet.read();
    let told: Vec<_> = notes.iter().filter(|n| n.code == "block-unreached").collect();
    assert_eq!(told.len(), 1);
    assert!(
        told[0].message.contains("46 entities on framing layer S-TRUS"),
        "{}",
        told[0].message
    );
}

#[test]
fn framing_is_laid_out_from_the_rules_only_with_a_phase() {
    let mut sheet = Sheet::default();
    sheet.path(
        "A-AREA",
        &[(0.0, 0.0), (160.0, 0.0), (160.0, 120.0), (0.0, 120.0)],
        true,
    );
    let mut rules = rules();
    rules.framing.spacing = Some(16.0);
    rules.framing.direction = Some(90.0);
    let (plan, notes) = sheet.read_by(&rules);
    assert!(plan.members.is_empty());
    assert!(has_note(&notes, "framing-phase"));

    rules.framing.phase = Some([1000.0 * 16.0 + 4.0, 50.0]);
    let (plan, _) = sheet.read_by(&rules);
    // 4, 20, … 148: ten joists within 0 to 160.
    assert_eq!(plan.members.len(), 10);
    for (k, m) in plan.members.iter().rev().enumerate() {
        assert_eq!(m.source, MemberSource::Rules);
        let x = if plan.members[0].from.x < plan.members[9].from.x {
            9 - k
        } else {
            k
        };
        assert!((m.from.x - (4.0 + 16.0 * x as f64)).abs() < 1e-6, "{m:?}");
        assert!((m.from.y.min(m.to.y)).abs() < 1e-6 && (m.from.y.max(m.to.y) - 120.0).abs() < 1e-6);
    }
}

#[test]
fn no_input_makes_it_panic() {
    let mut sheet = Sheet::default();
    let bad = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300, -1e300, 0.0];
    for layer in ["S-JOIS", "E-LITE", "A-WALL", "A-AREA", "M-HVAC"] {
        for v in bad {
            for w in bad {
                sheet.line(layer, (v, w), (w, v));
                sheet.circle(layer, (v, w), w);
                sheet.path(layer, &[(v, w), (w, v), (0.0, 1.0), (1.0, v)], true);
                sheet.wide_path(layer, &[(v, w)], true, v);
                sheet.path(layer, &[], true);
                sheet.item(layer, "SOLID", Prim::Face(vec![xy(v, w)]));
                sheet.item(
                    layer,
                    "ARC",
                    Prim::Arc {
                        center: xy(v, 0.0),
                        radius: w,
                        start: v,
                        sweep: w,
                    },
                );
                sheet.insert(layer, "LT-R6", (v, w));
            }
        }
    }
    let (plan, _) = sheet.read();
    assert!(
        plan.members
            .iter()
            .all(|m| m.from.x.is_finite() && m.thickness.is_finite())
    );
    assert!(
        plan.lights
            .iter()
            .all(|l| l.at.x.is_finite() && l.at.y.is_finite())
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn the_index_finds_the_pairs_that_looking_at_all_finds(
        lines in prop::collection::vec((0.0..40.0f64, 0.0..200.0f64, 4.0..200.0f64), 2..40),
    ) {
        let u = xy(1.0, 0.0);
        let faces: Vec<Face> = lines
            .into_iter()
            .enumerate()
            .map(|(k, (y, low, length))| Face {
                at: xy(low, y),
                along: u,
                low,
                high: low + length,
                strokes: vec![k],
            })
            .collect();
        let n = faces.len();
        let all: Vec<_> = (0..n)
            .flat_map(|i| (0..n).map(move |j| (i, j)))
            .filter(|(i, j)| i != j)
            .filter_map(|(i, j)| opposite(&faces, i, j, u))
            .collect();
        prop_assert_eq!(pairs(&faces, u), all);
    }
}

#[test]
fn joists_on_both_sides_of_a_beam_are_two_each_and_at_a_wall_one() {
    for (beam, members) in [(true, 13), (false, 6)] {
        let mut sheet = Sheet::default();
        for i in 0..6 {
            let x = 16.0 * f64::from(i);
            sheet.upright("S-JOIS", x, 1.5, (0.0, 70.0));
            sheet.upright("S-JOIS", x, 1.5, (73.5, 144.0));
        }
        if beam {
            let ring = [(-8.0, 70.0), (90.0, 70.0), (90.0, 73.5), (-8.0, 73.5)];
            sheet.path("S-JOIS", &ring, true);
        }
        let (plan, _) = sheet.read();
        assert_eq!(plan.members.len(), members, "{:?}", briefs(&plan));
    }
}

#[test]
fn the_last_dash_of_a_line_is_as_short_as_what_is_left() {
    // Hidden lines saved in pieces: dashes of 6 in, 3 in apart, and of the last one 1 1/2 in.
    let mut sheet = Sheet::default();
    for x in [0.0, 16.0, 32.0] {
        for x in [x - 0.75, x + 0.75] {
            for k in 0..16 {
                let from = 9.0 * f64::from(k);
                sheet.line("S-JOIS", (x, from), (x, from + 6.0));
            }
            sheet.line("S-JOIS", (x, 144.0), (x, 145.5));
        }
    }
    // A tick on the same line, further on, is no dash of it.
    sheet.line("S-JOIS", (0.75, 155.0), (0.75, 156.0));
    let (plan, notes) = sheet.read();
    let mut found = briefs(&plan);
    found.sort();
    let expected: Vec<_> = [0.0, 16.0, 32.0]
        .map(|x| member((x, 0.0), (x, 145.5), 1.5, 1))
        .to_vec();
    assert_eq!(found, expected);
    let unclear: Vec<_> = notes.iter().filter(|n| n.code == "framing-unclear").collect();
    assert!(
        matches!(&unclear[..], [one] if one.message.starts_with("1 line")),
        "{notes:#?}"
    );
}
