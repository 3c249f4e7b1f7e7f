//! Layouts over all phases: worked by hand, and against trying every one.

use std::cmp::Ordering;

use proptest::prelude::*;

use super::relay::{Lines, Room, STEP, Worth};
use super::tests::{fired, turned};
use super::*;
use crate::plan::notation::parse;
use crate::recognise::relate;
use crate::rules::Rules;

fn one(text: &str) -> (Plan, Phases) {
    let mut plan = parse(text).unwrap();
    relate(&mut plan, &Rules::default());
    let (mut all, _) = phases(&plan, &Rules::default());
    assert_eq!(all.len(), 1, "{text}");
    (plan, all.remove(0))
}

const NOBODY: [usize; 0] = [];

const ROOM: &str = "room (0,0) (240,0) (240,120) (0,120)\n\
                    callout joist \"16 O.C.\" t=1 1/2 spacing=16 along=(0,1) room=R1\n";

#[test]
fn two_lines_half_a_spacing_apart_are_brought_together() {
    // Rows along the joists at 60 and 116: 56 apart, half a spacing past 48. No phase suits both.
    let rows: String = [60, 116]
        .iter()
        .flat_map(|x| [30, 60, 90].map(|y| format!("light ({x},{y})\n")))
        .collect();
    let (plan, found) = one(&format!("{ROOM}{rows}"));
    assert_eq!(found.works, 0.0);
    // One light alone works at 6 1/2 of 16 in (derived in the tests of `phases`), and no layout at more.
    assert!((found.at_most.unwrap() - 6.5 / 16.0).abs() < 1e-12);
    let relay = found.relay.clone().unwrap();
    assert!((relay.works - 6.5 / 16.0).abs() < 1e-9 && (relay.clean - 4.5 / 16.0).abs() < 1e-9);
    // 8 in by one row alone: three lights move rather than six by 4.
    assert_eq!((relay.moves.len(), relay.most, relay.proved), (3, 8.0, true));
    let mut moved = plan.clone();
    relay.moves.iter().for_each(|(l, to)| moved.lights[l.0].at = *to);
    relate(&mut moved, &Rules::default());
    let (after, _) = phases(&moved, &Rules::default());
    assert!((after[0].works - relay.works).abs() < 1e-9);
    assert!(after[0].relay.is_none());
    // At the middle of the best phases nothing fires, by the checks.
    assert!(
        fired(&moved, &Rules::default(), &after[0], after[0].best.phase)
            .iter()
            .all(Vec::is_empty)
    );
}

#[test]
fn housings_may_come_to_touch_however_the_plan_is_turned() {
    // (104 1/4, 60) moves an inch and is then 13 in from (118 1/4, 60): a housing and a half to either side.
    let (plan, found) = one("room (0,0) (190,0) (190,120) (0,120)\n\
         callout joist \"a\" t=1 1/2 spacing=16 along=(0,1) room=R1\n\
         light (66.25,108)\nlight (118.25,60)\nlight (118.25,36)\nlight (104.25,60)\n");
    let works = |found: &Phases| found.relay.as_ref().map(|r| (r.works * 1e6).round());
    assert_eq!(works(&found), Some(218_750.0));
    for step in -30..30 {
        let there = turned(
            &plan,
            &Rules::default(),
            6.0 * f64::from(step) - 1.2,
            Coord { x: 500.0, y: -70.0 },
        );
        assert_eq!(
            works(&phases(&there, &Rules::default()).0[0]),
            works(&found),
            "{step}"
        );
    }
}

#[test]
fn a_row_that_turns_round_keeps_its_findings() {
    // The outer lights come nearer to each other, so that the row, a little short of upright as it is turned here, passes it.
    let (plan, found) = one("room (0,0) (190,0) (190,120) (0,120)\n\
         callout joist \"a\" t=1 1/2 spacing=19.2 along=(0,1) room=R1\n\
         light (54.25,60)\nlight (132.25,12)\nlight (23.25,84)\n");
    let works = |found: &Phases| found.relay.as_ref().map(|r| (r.works * 1e6).round());
    assert_eq!(works(&found), Some(300_781.0));
    let there = turned(&plan, &Rules::default(), -50.938, Coord { x: 500.0, y: -70.0 });
    assert_eq!(works(&phases(&there, &Rules::default()).0[0]), works(&found));
}

#[test]
fn what_must_stay_stays() {
    let rows: String = [60, 116]
        .iter()
        .flat_map(|x| [30, 60, 90].map(|y| format!("light ({x},{y})\n")))
        .collect();
    let text = format!("{ROOM}{rows}");
    let moved = |keep: &str| {
        let rules = crate::rules::parse(keep, None).unwrap();
        let mut plan = parse(&text).unwrap();
        relate(&mut plan, &rules);
        let found = phases(&plan, &rules).0.remove(0);
        let moves = found.relay.map_or(Vec::new(), |r| r.moves);
        moves.iter().map(|m| m.0.0).collect::<Vec<_>>()
    };
    // A line of lights moves as one, so one light that stays holds its line.
    assert_eq!(moved("[keep]\nlights = [\"L2\"]\n"), [3, 4, 5]);
    assert_eq!(moved("[keep]\nlights = [\"L5\"]\n"), [0, 1, 2]);
    assert_eq!(moved("[keep]\nrows = [\"W1\"]\nlights = [\"L5\"]\n"), NOBODY);
    assert_eq!(moved("[keep]\nrooms = [\"R1\"]\n"), NOBODY);
    // Along the joists is along the line, so across them nothing moves; square to them everything may.
    let line =
        |at: &str, way: i32| format!("[[keep.line]]\nname = \"island\"\nfrom = {at}\ndirection = {way}\n");
    assert_eq!(moved(&line("[60, 0]", 90)), [3, 4, 5]);
    assert_eq!(moved(&line("[0, 30]", 0)).len(), 3);
}

#[test]
fn a_pitch_of_whole_spacings_is_found() {
    // Four in a row across the joists, 50 apart: 48 is three spacings. Walls of 39 in at both ends leave 3 in to
    // the 42 in allowed, so each end light comes in by as much.
    let row = |x: i32| -> String { (0..4).map(|i| format!("light ({},60)\n", x + 50 * i)).collect() };
    let (_, found) = one(&format!("{}{}", ROOM.replace("240", "228"), row(39)));
    let relay = found.relay.unwrap();
    assert!((relay.works - found.at_most.unwrap()).abs() < 1e-9);
    assert_eq!((relay.moves.len(), relay.most, relay.proved), (4, 3.0, true));
    // With 45 in at the ends 48 would leave more; 64 is four spacings, within the 72 in allowed.
    let relay = one(&format!("{ROOM}{}", row(45))).1.relay.unwrap();
    assert_eq!((relay.moves.len(), relay.most, relay.proved), (4, 21.0, true));
    assert!((relay.works - found.at_most.unwrap()).abs() < 1e-9);
}

#[test]
fn what_is_best_stays() {
    let row: String = (0..4).map(|i| format!("light ({},60)\n", 48 + 48 * i)).collect();
    let (_, found) = one(&format!("{ROOM}{row}"));
    assert!(found.relay.is_none());
    assert!((found.works - found.at_most.unwrap()).abs() < 1e-12);
    // A beam near by, and none is looked for.
    let (_, beam) = one(&format!(
        "{ROOM}light (40,60)\nlight (100,60)\nmember beam (70,0) (70,120) t=3 1/2"
    ));
    assert!(beam.relay.is_none() && beam.at_most.is_none());
}

#[test]
fn a_lone_row_gains_by_a_shift_only_at_a_wall() {
    let row = |x: f64| -> String {
        [30, 60, 90]
            .iter()
            .map(|y| format!("light ({x},{y})\n"))
            .collect()
    };
    assert!(one(&format!("{ROOM}{}", row(60.0))).1.relay.is_none());
    // 5 in from the wall 1 13/16 of 16 in have no support, of which the housing would fit at 1 only.
    let (_, found) = one(&format!("{ROOM}{}", row(5.0)));
    let relay = found.relay.unwrap();
    assert!((found.works - 5.5 / 16.0).abs() < 1e-12 && (relay.works - 6.5 / 16.0).abs() < 1e-9);
    assert!(relay.moves.iter().all(|m| m.1.x > 5.0) && relay.proved);
}

/// The best of all layouts within the reach, each analysed anew as a plan of its own.
fn brute(plan: &Plan, rules: &Rules, found: &Phases, reach: f64) -> Worth {
    let lights: Vec<_> = found
        .lights
        .iter()
        .map(|l| (l.light, &plan.lights[l.light.0]))
        .collect();
    let lines = Lines::new(plan, found.field, &lights);
    let room = Room::new(&lines, found.room, rules);
    let most = (reach / STEP) as i64;
    let mut best = Worth {
        works: found.works,
        clean: found.clean,
        cost: lines.cost(0, 0),
    };
    for shift in -most..=most {
        for stretch in -2 * most..=2 * most {
            let cost = lines.cost(shift, stretch);
            if cost.1 > most || (lines.last() == 0 && stretch != 0) {
                continue;
            }
            let to = lines.places(shift, stretch);
            let mut moved = plan.clone();
            lights
                .iter()
                .zip(&to)
                .for_each(|((id, _), at)| moved.lights[id.0].at = *at);
            let field = found.field;
            let around = Around::new(&moved);
            let set: Vec<_> = found
                .lights
                .iter()
                .map(|l| (l.light, &moved.lights[l.light.0]))
                .collect();
            let all = over_all(&around, (found.room, found.callout), field, &set, rules);
            let worth = Worth {
                works: all.works,
                clean: all.clean,
                cost,
            };
            // Measured by lengths of merged pieces: alike within what merging takes.
            let alike = (worth.works - best.works).abs() < 1e-6 && (worth.clean - best.clean).abs() < 1e-6;
            let better = if alike {
                cost < best.cost
            } else {
                worth.order(&best) == Ordering::Greater
            };
            if better && room.accepts(&to, rules).is_ok() {
                best = worth;
            }
        }
    }
    best
}

fn plan() -> impl Strategy<Value = Plan> {
    let line = (0u8..160, prop::collection::vec(0u8..5, 1..3));
    (
        prop::sample::select(vec![12.0, 16.0, 19.2, 24.0]),
        prop::collection::vec(line, 1..4),
        prop::option::of((0u8..200, 0u8..90)),
        0u8..4,
    )
        .prop_map(|(spacing, lines, device, narrow)| {
            use std::fmt::Write;
            let wide = 190 + 6 * i32::from(narrow);
            let mut text = format!(
                "room (0,0) ({wide},0) ({wide},120) (0,120)\n\
                 callout joist \"a\" t=1 1/2 spacing={spacing} along=(0,1) room=R1\n"
            );
            if let Some((x, y)) = device {
                let _ = writeln!(
                    text,
                    "device \"D\" ({x},{y}) ({0},{y}) ({0},{1}) ({x},{1})",
                    x + 12,
                    y + 12
                );
            }
            let mut seen = std::collections::BTreeSet::new();
            for (x, ys) in lines {
                for y in ys {
                    if seen.insert((x / 8, y)) {
                        let _ = writeln!(text, "light ({},{})", f64::from(x) + 5.25, 12 + 24 * i32::from(y));
                    }
                }
            }
            let mut plan = parse(&text).unwrap();
            relate(&mut plan, &Rules::default());
            plan
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_layout_tried_is_better(plan in plan()) {
        let rules = Rules::default();
        let reach = 0.75;
        for found in phases(&plan, &rules).0 {
            let lights: Vec<_> = found.lights.iter().map(|l| (l.light, &plan.lights[l.light.0])).collect();
            let lines = Lines::new(&plan, found.field, &lights);
            let around = Around::new(&plan);
            let got = relay::relay(&around, &lines, found.room, (found.works, found.clean), reach, (&rules, &Keep::default())).0;
            let best = brute(&plan, &rules, &found, reach);
            let (works, clean, moved, most) = got.map_or((found.works, found.clean, 0, 0.0), |r| (r.works, r.clean, r.moves.len(), r.most));
            prop_assert!((works - best.works).abs() < 1e-6 && (clean - best.clean).abs() < 1e-6, "{} {} {:?}", works, clean, best);
            prop_assert_eq!((moved, most), (best.cost.0, best.cost.1 as f64 * STEP));
        }
    }

    #[test]
    fn a_layout_found_is_kept_by_the_analysis_and_by_turning(plan in plan(), degrees in -180.0..180.0f64) {
        let rules = Rules::default();
        let there = turned(&plan, &rules, degrees, Coord { x: 500.0, y: -70.0 });
        let ((was, notes), (is, others)) = (phases(&plan, &rules), phases(&there, &rules));
        // What is found before the work allowed is done depends on where it begins.
        let proved = !notes.iter().chain(&others).any(|n| n.code == "phase-unproved");
        for (was, is) in was.iter().zip(&is) {
            let told = |p: &Phases| p.relay.as_ref().map_or((p.works, p.clean), |r| (r.works, r.clean));
            let ((a, b), (c, d)) = (told(was), told(is));
            prop_assert!(!proved || (a - c).abs() < 1e-6 && (b - d).abs() < 1e-6);
            prop_assert!(a <= was.at_most.unwrap() + 1e-9);
            if let Some(relay) = &was.relay {
                prop_assert!(relay.most <= relay::REACH);
                let mut moved = plan.clone();
                relay.moves.iter().for_each(|(l, to)| moved.lights[l.0].at = *to);
                relate(&mut moved, &rules);
                let after = phases(&moved, &rules).0;
                let after = after.iter().find(|p| p.room == was.room).unwrap();
                prop_assert!((after.works - relay.works).abs() < 1e-6 && (after.clean - relay.clean).abs() < 1e-6);
                prop_assert!(relay.works > was.works + 1e-9 || relay.clean > was.clean + 1e-9);
            }
        }
    }
}
