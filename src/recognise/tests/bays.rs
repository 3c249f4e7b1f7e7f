//! Clear space beside a light.

use proptest::prelude::*;

use super::{Sheet, has_note, rules, xy};
use crate::plan::{MemberKind, Plan};
use crate::recognise::bays::nearest_of;
use crate::recognise::shape::{left_of, outline};

/// Joists along y at 16 in from x = 0, and a light at (`x`, 50).
fn plan_with_light(x: f64, more: impl Fn(&mut Sheet)) -> Plan {
    let mut sheet = Sheet::default();
    for k in 0..6 {
        sheet.upright("S-JOIS", 16.0 * f64::from(k), 1.5, (0.0, 144.0));
    }
    sheet.light("LT-R6", (x, 50.0));
    more(&mut sheet);
    sheet.read().0
}

/// Rooms to the left of +y (towards smaller x) and to the right.
fn rooms(plan: &Plan) -> (f64, f64) {
    let bay = plan.lights[0].bay.expect("a bay");
    assert!((bay.along.y - 1.0).abs() < 1e-12, "{bay:?}");
    (bay.left.room, bay.right.room)
}

#[test]
fn left_and_right_rooms_to_the_faces() {
    // Clear bay 14 1/2 (check values B), the light 1 in off its middle.
    let plan = plan_with_light(25.0, |_| {});
    let (left, right) = rooms(&plan);
    assert!(
        (left - 8.25).abs() < 1e-9 && (right - 6.25).abs() < 1e-9,
        "{left} {right}"
    );
    let bay = plan.lights[0].bay.expect("a bay");
    let member = |side: crate::plan::Side| plan.member(side.member.expect("a member")).from.x;
    assert_eq!((member(bay.left), member(bay.right)), (16.0, 32.0));
}

#[test]
fn a_member_over_the_centre_leaves_no_room() {
    let plan = plan_with_light(16.5, |_| {});
    let (left, right) = rooms(&plan);
    assert!(left <= 0.0 && right <= 0.0, "{left} {right}");
}

#[test]
fn a_block_across_the_band_counts_and_one_beside_it_does_not() {
    // The default housing is 4 1/2 in to either side.
    let block = |y: f64| {
        move |sheet: &mut Sheet| {
            let ring = [(16.75, y), (31.25, y), (31.25, y + 1.5), (16.75, y + 1.5)];
            sheet.path("S-BLOCKING", &ring, true);
        }
    };
    let (left, right) = rooms(&plan_with_light(24.0, block(54.0)));
    assert!(left <= 0.0 && right <= 0.0, "{left} {right}");
    assert_eq!(rooms(&plan_with_light(24.0, block(54.5))), (7.25, 7.25));
}

#[test]
fn beams_tell_no_direction_where_there_are_joists() {
    let plan = plan_with_light(24.0, |sheet| {
        let ring = [(0.0, 60.0), (80.0, 60.0), (80.0, 63.5), (0.0, 63.5)];
        sheet.path("S-BEAM", &ring, true);
    });
    assert_eq!(rooms(&plan), (7.25, 7.25));
    assert!(plan.members.iter().any(|m| m.kind == MemberKind::Beam));
}

#[test]
fn beyond_the_last_joist_there_is_nothing() {
    let plan = plan_with_light(90.0, |_| {});
    let bay = plan.lights[0].bay.expect("a bay");
    assert!((bay.left.room - 9.25).abs() < 1e-9);
    assert_eq!((bay.right.room, bay.right.member), (f64::INFINITY, None));
}

#[test]
fn a_far_member_is_found_however_far() {
    let plan = plan_with_light(90.0, |sheet| {
        sheet.upright("S-JOIS", 4000.0, 1.5, (0.0, 144.0));
    });
    let bay = plan.lights[0].bay.expect("a bay");
    assert!((bay.right.room - (4000.0 - 0.75 - 90.0)).abs() < 1e-9, "{bay:?}");
}

#[test]
fn walls_of_the_room_or_else_the_nearest_wall() {
    let room = [(10.0, 0.0), (70.0, 0.0), (70.0, 144.0), (10.0, 144.0)];
    let in_room = plan_with_light(24.0, |sheet| {
        sheet.path("A-AREA", &room, true);
        sheet.line("A-WALL", (26.0, 0.0), (26.0, 144.0));
    });
    let bay = in_room.lights[0].bay.expect("a bay");
    assert_eq!((bay.left.wall, bay.right.wall), (Some(14.0), Some(46.0)));
    let no_room = plan_with_light(24.0, |sheet| {
        sheet.line("A-WALL", (300.0, 0.0), (300.0, 144.0));
        sheet.line("A-WALL", (301.0, 0.0), (301.0, 144.0));
        sheet.line("A-WALL", (0.0, 60.0), (0.0, 144.0));
    });
    let bay = no_room.lights[0].bay.expect("a bay");
    assert_eq!((bay.left.wall, bay.right.wall), (None, Some(276.0)));
}

#[test]
fn of_two_families_the_one_around_the_light_tells_the_direction() {
    // Joists along x end at x = 100, where joists along y begin.
    let mut sheet = Sheet::default();
    for k in 0..8 {
        let y = 24.0 * f64::from(k);
        sheet.path(
            "S-JOIS",
            &[(0.0, y), (100.0, y), (100.0, y + 1.5), (0.0, y + 1.5)],
            true,
        );
        sheet.upright("S-JOIS", 102.0 + y, 1.5, (0.0, 168.0));
    }
    sheet.light("LT-R6", (90.0, 60.0));
    sheet.light("LT-R6", (114.0, 60.0));
    let (plan, _) = sheet.read();
    let along: Vec<_> = plan.lights.iter().map(|l| l.bay.expect("a bay").along).collect();
    assert_eq!(along[0], xy(1.0, 0.0));
    assert!((along[1].y - 1.0).abs() < 1e-12);
}

#[test]
fn no_framing_near_means_no_bay_and_a_note() {
    let mut sheet = Sheet::default();
    sheet.upright("S-JOIS", 0.0, 1.5, (0.0, 144.0));
    sheet.light("LT-R6", (60.0, 50.0));
    let (plan, notes) = sheet.read();
    assert_eq!(plan.lights[0].bay, None);
    assert!(has_note(&notes, "no-bay"));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn the_index_agrees_with_looking_at_every_member(
        bars in prop::collection::vec((-300.0..300.0f64, -300.0..300.0f64, 0.0..180.0f64, 20.0..300.0f64), 1..40),
        spots in prop::collection::vec((-300.0..300.0f64, -300.0..300.0f64), 1..10),
    ) {
        let mut sheet = Sheet::default();
        for (x, y, degrees, length) in bars {
            let (s, c) = degrees.to_radians().sin_cos();
            let at = |l: f64, t: f64| (x + l * c - t * s, y + l * s + t * c);
            sheet.path("S-JOIS", &[at(0.0, 0.0), at(length, 0.0), at(length, 1.5), at(0.0, 1.5)], true);
        }
        for (x, y) in spots {
            sheet.light("LT-R6", (x, y));
        }
        let (plan, _) = sheet.read();
        let outlines: Vec<_> = plan.members.iter().map(outline).collect();
        let half_width = rules().luminaires[0].half_width;
        let every: Vec<usize> = (0..plan.members.len()).collect();
        for light in &plan.lights {
            let direction = crate::recognise::bays::direction(&plan.members, &every, light.at);
            prop_assert_eq!(light.bay.map(|b| b.along), direction);
            let Some(bay) = light.bay else { continue };
            for (side, across) in [(bay.left, left_of(bay.along)), (bay.right, left_of(bay.along) * -1.0)] {
                let all = outlines.iter().map(Vec::as_slice).enumerate();
                let (room, member) = nearest_of(all, light.at, bay.along, across, half_width);
                prop_assert_eq!(side.room, room);
                prop_assert_eq!(side.member.map(|m| m.0), member);
            }
        }
    }
}
