//! Rows and grids laid anew on small plans.

use std::collections::BTreeSet;

use geo::Coord;

use super::search::Cost;
use super::{Laid, relay};
use crate::check::{Finding, Kind, Severity, check};
use crate::plan::notation::parse;
use crate::plan::{LightId, Plan};
use crate::recognise::relate;
use crate::remedy::judge::Scope;
use crate::remedy::keep::Keep;
use crate::remedy::{Action, Bench};
use crate::rules::{Rules, parse as parse_rules};

fn related(text: &str, rules: &Rules) -> (Plan, Vec<Finding>) {
    let mut plan = parse(text).unwrap();
    relate(&mut plan, rules);
    let findings = check(&plan, rules);
    (plan, findings)
}

fn laid(plan: &Plan, findings: &[Finding], rules: &Rules, fixed: &BTreeSet<LightId>) -> Laid {
    laid_keeping(plan, findings, rules, fixed, &Keep::default())
}

fn laid_keeping(
    plan: &Plan,
    findings: &[Finding],
    rules: &Rules,
    fixed: &BTreeSet<LightId>,
    keep: &Keep,
) -> Laid {
    let wanted: Vec<usize> = (findings.iter().enumerate())
        .filter(|(_, f)| f.severity == Severity::Must && f.kind != Kind::WideBay)
        .map(|(i, _)| i)
        .collect();
    let bench = Bench {
        plan,
        rules,
        findings,
        stuck: Default::default(),
        looked: Default::default(),
        keep,
        whole: &Scope::whole(plan, rules),
        settled: vec![false; findings.len()],
        blocked: Default::default(),
        last: Default::default(),
    };
    let all: BTreeSet<LightId> = (0..plan.lights.len()).map(LightId).collect();
    let first = relay(&bench, &all, fixed, &wanted);
    // What it looked at is counted, and what is found at once is found after many others too.
    let looked = bench.looked.get();
    bench.looked.set(super::LOOKED_IN_ALL);
    let again = relay(&bench, &all, fixed, &wanted);
    assert_eq!(
        bench.looked.get() - super::LOOKED_IN_ALL,
        looked.min(super::LOOKED_THEN)
    );
    if looked < super::LOOKED_THEN {
        assert_eq!(format!("{first:?}"), format!("{again:?}"));
    }
    first
}

#[test]
fn after_many_places_on_a_plan_each_row_looks_at_fewer() {
    let most = super::most_looked;
    assert_eq!((most(0), most(999_999)), (200_000, 200_000));
    assert_eq!((most(1_000_000), most(usize::MAX)), (20_000, 20_000));
}

/// Joists along y at a pitch from `first`, 1 1/2 thick, over x from 0 to `width`.
fn joists(first: f64, pitch: f64, width: f64, height: f64) -> String {
    (0..)
        .map(|i| first + pitch * f64::from(i))
        .take_while(|x| *x < width)
        .map(|x| format!("member joist ({x},-10) ({x},{})\n", height + 10.0))
        .collect()
}

fn room(width: f64, height: f64) -> String {
    format!("room (0,0) ({width},0) ({width},{height}) (0,{height})\n")
}

fn lights(xs: &[f64], ys: &[f64]) -> String {
    let each = ys.iter().flat_map(|y| xs.iter().map(move |x| (x, y)));
    each.map(|(x, y)| format!("light ({x},{y})\n")).collect()
}

/// The places after an offer.
fn places(plan: &Plan, laid: &Laid) -> Vec<Coord> {
    let offer = match laid {
        Laid::Out(offer) => offer,
        Laid::Never(why) => panic!("{why}"),
        Laid::Unknown => panic!("not decided"),
    };
    let Action::Move { to, .. } = &offer.action else {
        panic!("{:?}", offer.action)
    };
    let mut at: Vec<Coord> = plan.lights.iter().map(|l| l.at).collect();
    for (l, to) in offer.lights.iter().zip(to) {
        at[l.0] = *to;
    }
    at
}

fn cost(plan: &Plan, at: &[Coord]) -> Cost {
    let by = |i: usize| (at[i].x - plan.lights[i].at.x).hypot(at[i].y - plan.lights[i].at.y);
    let all: Vec<f64> = (0..at.len()).map(by).collect();
    Cost {
        pieces: 0,
        moved: all.iter().filter(|d| **d > 1e-6).count() as u32,
        most: all.iter().copied().fold(0.0, f64::max),
        sum: all.iter().sum(),
    }
}

/// Findings that may not be there after a layout: anything that was not there before, and any `must`.
fn bad(plan: &Plan, before: &[Finding], at: &[Coord], rules: &Rules) -> bool {
    let mut after = plan.clone();
    for (light, at) in after.lights.iter_mut().zip(at) {
        light.at = *at;
    }
    relate(&mut after, rules);
    let rows = |p: &Plan| p.rows.iter().map(|r| r.lights.len()).collect::<Vec<_>>();
    let new = |f: &Finding| !before.iter().any(|b| b.kind == f.kind && b.lights == f.lights);
    rows(&after) != rows(plan)
        || check(&after, rules)
            .iter()
            .any(|f| f.severity == Severity::Must || new(f))
}

#[test]
fn a_row_whose_single_moves_would_make_it_uneven_is_laid_anew() {
    let rules = Rules::default();
    // Joists 24 apart and lights 46 apart: one after the other meets a joist.
    let xs = [30.0, 76.0, 122.0, 168.0, 214.0];
    let text = room(250.0, 96.0) + &joists(5.0, 24.0, 250.0, 96.0) + &lights(&xs, &[48.0]);
    let (plan, findings) = related(&text, &rules);
    assert!(findings.iter().any(|f| f.severity == Severity::Must));
    let laid = laid(&plan, &findings, &rules, &BTreeSet::new());
    let at = places(&plan, &laid);
    assert!(!bad(&plan, &findings, &at, &rules));
    let pitch = at[1].x - at[0].x;
    for pair in at.windows(2) {
        approx::assert_abs_diff_eq!(pair[1].x - pair[0].x, pitch, epsilon = 1e-9);
        approx::assert_abs_diff_eq!(pair[1].y, pair[0].y, epsilon = 1e-9);
    }
}

#[test]
fn the_layout_is_the_cheapest_that_trying_every_start_and_pitch_finds() {
    let rules = Rules::default();
    let mut seen = 0;
    for (first, apart, pitch) in [
        (5.0, 19.2, 50.0),
        (9.0, 24.0, 40.0),
        (3.0, 16.0, 42.0),
        (7.5, 19.2, 36.0),
    ] {
        let xs = [30.0, 30.0 + pitch, 30.0 + 2.0 * pitch];
        let width = 60.0 + 2.0 * pitch;
        let text = room(width, 96.0) + &joists(first, apart, width, 96.0) + &lights(&xs, &[48.0]);
        let (plan, findings) = related(&text, &rules);
        let hits = findings.iter().any(|f| f.severity == Severity::Must);
        if !hits {
            continue;
        }
        seen += 1;
        // Members run past the room both ways, so a move across the joists' length changes nothing: only
        // start and pitch are tried, the cheapest first.
        let stretch = (0.1 * pitch * 16.0) as i32;
        let tried = (-384..=384_i32).flat_map(|s| (-stretch..=stretch).map(move |t| (s, t)));
        let mut tried: Vec<(Cost, Vec<Coord>)> = tried
            .map(|(s, t)| {
                let by = |k: usize| f64::from(s + t * k as i32) / 16.0;
                let at: Vec<Coord> = (0..3)
                    .map(|k| Coord {
                        x: xs[k] + by(k),
                        y: 48.0,
                    })
                    .collect();
                (cost(&plan, &at), at)
            })
            .filter(|(cost, _)| cost.most <= 24.0 && cost.moved > 0)
            .collect();
        tried.sort_by(|a, b| a.0.order(&b.0));
        let brute = tried
            .iter()
            .find(|(_, at)| !bad(&plan, &findings, at, &rules))
            .map(|t| t.0);
        match (laid(&plan, &findings, &rules, &BTreeSet::new()), brute) {
            (laid @ Laid::Out(_), Some(best)) => {
                let got = cost(&plan, &places(&plan, &laid));
                assert_eq!(got.moved, best.moved, "{first} {apart} {pitch}");
                approx::assert_abs_diff_eq!(got.most, best.most, epsilon = 1e-9);
                approx::assert_abs_diff_eq!(got.sum, best.sum, epsilon = 1e-9);
            }
            (Laid::Never(_), None) => {}
            (Laid::Out(offer), None) => panic!("{} where nothing works", offer.message),
            (Laid::Never(why), Some(best)) => panic!("{why}, but {best:?} works"),
            (Laid::Unknown, brute) => panic!("not decided: {brute:?}"),
        }
    }
    assert!(seen >= 3, "{seen}");
}

#[test]
fn lights_on_a_line_that_is_kept_move_along_it() {
    let xs = [30.0, 76.0, 122.0, 168.0, 214.0];
    let text = room(250.0, 96.0) + &joists(5.0, 24.0, 250.0, 96.0) + &lights(&xs, &[48.0]);
    let keep_line = |from: &str, way: i32| {
        let text =
            format!("[[keep.line]]\nname = \"island\"\nfrom = {from}\ndirection = {way}\nwithin = 1\n");
        parse_rules(&text, None).unwrap()
    };
    let rules = keep_line("[0, 48]", 0);
    let (plan, findings) = related(&text, &rules);
    let keep = Keep::of(&plan, &rules);
    let laid = laid_keeping(&plan, &findings, &rules, &BTreeSet::new(), &keep);
    let at = places(&plan, &laid);
    assert!(!bad(&plan, &findings, &at, &rules));
    assert!(at.iter().all(|p| (p.y - 48.0).abs() < 1e-9));
    // A line square to the row holds the one light on it, and with it its place along.
    let rules = keep_line("[76, 0]", 90);
    let keep = Keep::of(&plan, &rules);
    let laid = laid_keeping(&plan, &findings, &rules, &BTreeSet::new(), &keep);
    match &laid {
        Laid::Out(_) => approx::assert_abs_diff_eq!(places(&plan, &laid)[1].x, 76.0, epsilon = 1e-9),
        // The light may stand on a joist there.
        Laid::Never(_) => {}
        Laid::Unknown => panic!("not decided"),
    }
}

#[test]
fn where_every_place_is_blocked_it_is_proved() {
    // Joists 7 1/2 on centre leave 6 in: no opening of 6 3/8 in fits anywhere.
    let rules = Rules::default();
    let text = room(200.0, 96.0) + &joists(2.0, 7.5, 200.0, 96.0) + &lights(&[30.0, 78.0, 126.0], &[48.0]);
    let (plan, findings) = related(&text, &rules);
    match laid(&plan, &findings, &rules, &BTreeSet::new()) {
        Laid::Never(why) => assert!(why.contains("every place"), "{why}"),
        Laid::Out(offer) => panic!("{}", offer.message),
        Laid::Unknown => panic!("not decided"),
    }
}

#[test]
fn a_grid_of_forty_over_many_joists_stays_one_grid() {
    let rules = Rules::default();
    let xs: Vec<f64> = (0..8).map(|i| 30.0 + 49.0 * f64::from(i)).collect();
    let ys: Vec<f64> = (0..5).map(|i| 30.0 + 48.0 * f64::from(i)).collect();
    let text = room(403.0, 252.0) + &joists(6.0, 16.8, 403.0, 252.0) + &lights(&xs, &ys);
    let (plan, findings) = related(&text, &rules);
    assert_eq!((plan.members.len(), plan.lights.len()), (24, 40));
    assert!(findings.iter().any(|f| f.severity == Severity::Must));
    match laid(&plan, &findings, &rules, &BTreeSet::new()) {
        laid @ Laid::Out(_) => assert!(!bad(&plan, &findings, &places(&plan, &laid), &rules)),
        Laid::Never(why) => panic!("{why}"),
        Laid::Unknown => panic!("not decided"),
    }
}

#[test]
fn a_light_that_must_stay_holds_its_row() {
    let rules = Rules::default();
    let text = room(260.0, 96.0)
        + &joists(5.0, 19.2, 260.0, 96.0)
        + &lights(&[30.0, 80.0, 130.0, 180.0, 230.0], &[48.0]);
    let (plan, findings) = related(&text, &rules);
    let hit = findings
        .iter()
        .find(|f| f.severity == Severity::Must)
        .unwrap()
        .lights[0];
    let fixed = BTreeSet::from([hit]);
    assert!(matches!(laid(&plan, &findings, &rules, &fixed), Laid::Never(_)));
}

/// The short way of judging a place says what the checks say.
#[test]
fn a_place_is_judged_as_the_checks_judge_it() {
    let rules = Rules::default();
    let text = room(120.0, 96.0)
        + &joists(9.0, 24.0, 120.0, 80.0)
        + "member block (57.75,30) (80.25,30)\nmember header (9,86) (105,86) t=3 1/2\nmember joist (69,20) (69,60)\n\
           device \"DIFFUSER\" (20,60) (30,60) (30,70) (20,70)\nlight (60,48)\n";
    let (plan, _) = related(&text, &rules);
    let had = BTreeSet::from([Kind::HardAgainst, Kind::TrimBars, Kind::WideBay, Kind::NoSupport]);
    let mut spot = super::Spot::new(&plan, LightId(0), 60.0, had, &rules).unwrap();
    let (mut open, mut blocked, mut wide) = (0, 0, 0);
    for i in 0..60 {
        for j in 0..48 {
            let at = Coord {
                x: 2.0 * f64::from(i) + 0.31,
                y: 2.0 * f64::from(j) + 0.17,
            };
            let mut there = plan.clone();
            there.lights[0].at = at;
            relate(&mut there, &rules);
            let found = check(&there, &rules);
            let wants = found
                .iter()
                .any(|f| matches!(f.kind, Kind::WideBay | Kind::NoSupport));
            let other = found
                .iter()
                .any(|f| f.severity == Severity::Must && !matches!(f.kind, Kind::WideBay | Kind::NoSupport));
            let away = there.lights[0].room != plan.lights[0].room || there.lights[0].bay.is_none();
            let expected = (!other && !away).then_some(if wants { super::spot::PIECES } else { 0 });
            assert_eq!(spot.pieces(at, &rules), expected, "{at:?} {found:?}");
            open += usize::from(expected == Some(0));
            blocked += usize::from(expected.is_none());
            wide += usize::from(expected == Some(super::spot::PIECES));
        }
    }
    assert!(
        open > 100 && blocked > 100 && wide > 10,
        "{open} {blocked} {wide}"
    );
}
