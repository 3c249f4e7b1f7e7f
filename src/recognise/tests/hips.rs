//! Framing that is hatched, built up of plies, or runs every way.

use geo::Coord;

use super::{Sheet, briefs, has_note, member, xy};
use crate::flatten::Prim;

/// Both faces of a member between two points.
fn faces(sheet: &mut Sheet, a: Coord, b: Coord, thickness: f64) {
    let d = b - a;
    let long = d.x.hypot(d.y);
    let n = xy(-d.y, d.x) * (thickness / 2.0 / long);
    for side in [-1.0, 1.0] {
        let (p, q) = (a + n * side, b + n * side);
        sheet.line("S-RAFTER", (p.x, p.y), (q.x, q.y));
    }
}

/// From, to and thickness of every member against what was drawn, in any order.
fn same(sheet: &Sheet, drawn: &[(Coord, Coord, f64)]) {
    let (plan, notes) = sheet.read();
    assert!(!has_note(&notes, "framing-unclear"), "{notes:?}");
    assert_eq!(plan.members.len(), drawn.len(), "{:?}", briefs(&plan));
    let near = |p: Coord, q: Coord| (p - q).x.hypot((p - q).y) < 0.01;
    for (a, b, t) in drawn {
        let found = plan.members.iter().any(|m| {
            let ends = near(m.from, *a) && near(m.to, *b) || near(m.from, *b) && near(m.to, *a);
            ends && (m.thickness - t).abs() < 1e-6 && m.plies == 1
        });
        assert!(found, "{a:?} {b:?} {t}: {:?}", briefs(&plan));
    }
}

fn turned(p: (f64, f64), degrees: f64) -> Coord {
    let (sin, cos) = degrees.to_radians().sin_cos();
    xy(p.0 * cos - p.1 * sin + 1000.0, p.0 * sin + p.1 * cos - 400.0)
}

#[test]
fn a_fan_of_rafters_is_one_member_each() {
    for turn in [0.0, 17.0, 90.0] {
        let mut sheet = Sheet::default();
        let mut drawn = Vec::new();
        for i in 0..9 {
            let way = 11.25 * f64::from(i);
            let (a, b) = (turned((40.0, 0.0), turn + way), turned((200.0, 0.0), turn + way));
            faces(&mut sheet, a, b, 1.5);
            drawn.push((a, b, 1.5));
        }
        same(&sheet, &drawn);
    }
}

#[test]
fn jacks_and_hips_of_a_hip_end_keep_their_own_ways() {
    for turn in [0.0, 30.0] {
        let mut sheet = Sheet::default();
        let mut drawn = Vec::new();
        let mut add = |a: (f64, f64), b: (f64, f64), t: f64| {
            let (a, b) = (turned(a, turn), turned(b, turn));
            faces(&mut sheet, a, b, t);
            drawn.push((a, b, t));
        };
        // Two hips from the corners to the ridge, then jacks to either, ever shorter to the corner.
        add((0.0, 0.0), (120.0, 120.0), 1.75);
        add((240.0, 0.0), (120.0, 120.0), 1.75);
        for i in 1..7 {
            let x = 16.0 * f64::from(i);
            add((x, 0.0), (x, x - 4.0), 1.5);
            add((240.0 - x, 0.0), (240.0 - x, x - 4.0), 1.5);
            add((0.0, x), (x - 4.0, x), 1.5);
        }
        same(&sheet, &drawn);
    }
}

#[test]
fn single_lines_of_a_fan_are_centrelines_each() {
    let mut sheet = Sheet::default();
    let mut drawn = Vec::new();
    for i in 0..7 {
        let (a, b) = (
            turned((30.0, 0.0), 12.0 * f64::from(i)),
            turned((170.0, 0.0), 12.0 * f64::from(i)),
        );
        sheet.line("S-RAFTER", (a.x, a.y), (b.x, b.y));
        drawn.push((a, b, 1.5));
    }
    same(&sheet, &drawn);
}

fn region(sheet: &mut Sheet, strips: &[(f64, f64)], curved: bool) -> usize {
    let ring = |&(x, t): &(f64, f64)| vec![xy(x, 0.0), xy(x + t, 0.0), xy(x + t, 96.0), xy(x, 96.0)];
    let loops = strips.iter().map(ring).collect();
    sheet.item("S-JOIS", "HATCH", Prim::Region { loops, curved })
}

#[test]
fn hatched_strips_are_members() {
    let mut sheet = Sheet::default();
    region(&mut sheet, &[(500.0, 1.5), (516.0, 1.5)], false);
    region(&mut sheet, &[(532.0, 3.5)], false);
    let (plan, notes) = sheet.read();
    let expected = [(532.0, 3.5), (516.0, 1.5), (500.0, 1.5)]
        .map(|(x, t)| member((x + t / 2.0, 0.0), (x + t / 2.0, 96.0), t, 1));
    assert_eq!(briefs(&plan), expected);
    assert!(!has_note(&notes, "framing-unclear"));
    assert_eq!(plan.counts.claimed, 2);
}

#[test]
fn a_hatch_in_drawn_faces_is_the_same_member() {
    let mut sheet = Sheet::default();
    for x in [0.0, 16.0, 32.0] {
        sheet.upright("S-JOIS", x + 0.75, 1.5, (0.0, 96.0));
        region(&mut sheet, &[(x, 1.5)], false);
    }
    let (plan, _) = sheet.read();
    assert_eq!(plan.members.len(), 3, "{:?}", briefs(&plan));
    assert!(plan.members.iter().all(|m| m.thickness == 1.5 && m.plies == 1));
}

#[test]
fn hatched_areas_are_no_members_and_told_of() {
    for (strips, curved) in [
        (vec![(0.0, 60.0)], false),
        (vec![(0.0, 1.5)], true),
        (vec![(0.0, 1.5), (20.0, 50.0)], false),
    ] {
        let mut sheet = Sheet::default();
        region(&mut sheet, &strips, curved);
        let (plan, notes) = sheet.read();
        assert!(plan.members.is_empty());
        assert!(has_note(&notes, "framing-unclear"));
    }
}

#[test]
fn tripled_members_stand_among_single_ones() {
    let mut lines = Sheet::default();
    let mut outlines = Sheet::default();
    for x in [0.0, 16.0, 32.0, 33.5, 35.0, 48.0] {
        lines.upright("S-JOIS", x + 0.75, 1.5, (0.0, 99.0));
        outlines.path(
            "S-JOIS",
            &[(x, 0.0), (x + 1.5, 0.0), (x + 1.5, 99.0), (x, 99.0)],
            true,
        );
    }
    for sheet in [lines, outlines] {
        let (plan, _) = sheet.read();
        let mut found: Vec<(f64, u8)> = plan.members.iter().map(|m| (m.thickness, m.plies)).collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        assert_eq!(
            found,
            [(1.5, 1), (1.5, 1), (1.5, 1), (4.5, 3)],
            "{:?}",
            briefs(&plan)
        );
    }
}

#[test]
fn doubled_i_joists_are_two_plies() {
    let mut sheet = Sheet::default();
    for x in [0.0, 16.0, 32.0, 34.3125, 48.0] {
        for face in [0.0, 0.96875, 1.34375, 2.3125] {
            sheet.line("S-JOIS", (x + face, 0.0), (x + face, 144.0));
        }
    }
    let (plan, _) = sheet.read();
    let mut found: Vec<(f64, u8)> = plan.members.iter().map(|m| (m.thickness, m.plies)).collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert_eq!(
        found,
        [(2.3125, 1), (2.3125, 1), (2.3125, 1), (4.625, 2)],
        "{:?}",
        briefs(&plan)
    );
}
