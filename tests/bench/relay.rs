//! How long the way out of a grid's conflicts takes: a grid of 5 by 8 over 24 members, and one of 3 by 5 under trusses
//! that run either way, beside relating and checking that plan once, in one run.
//!
//! `cargo bench --bench relay` prints milliseconds and how many checks of the plan that is.

use std::fmt::Write;
use std::hint::black_box;
use std::time::Instant;

use bayline::check::check;
use bayline::plan::Plan;
use bayline::plan::notation::parse;
use bayline::recognise::relate;
use bayline::remedy::{Action, remedy};
use bayline::rules::Rules;

/// Each case's best of this many runs counts.
const RUNS: usize = 5;

fn main() {
    println!(
        "{:<44}{:>9}{:>12}{:>10}  outcome",
        "5 x 8 lights, 24 members; 3 x 5, 35", "must", "remedies ms", "checks"
    );
    for (name, apart, first, pitch) in [
        ("joists 16.8 in apart, lights 49 in", 16.8, 6.0, 49.0),
        ("joists 16 in apart, lights 50 in", 16.0, 6.0, 50.0),
        ("joists 19.2 in apart, lights 46 in", 19.2, 3.0, 46.0),
        ("joists 24 in apart, lights 54 in", 24.0, 5.0, 54.0),
        ("joists 7 1/2 in apart: no place at all", 7.5, 2.0, 30.0),
    ] {
        case(name, &grid(apart, first, pitch), (24, 40));
    }
    case("trusses 24 in apart, square to each other", &hips(), (35, 15));
}

fn case(name: &str, text: &str, counts: (usize, usize)) {
    let rules = Rules::default();
    let mut plan = parse(text).expect("the plan is sound");
    assert_eq!((plan.members.len(), plan.lights.len()), counts);
    let once = best(|| {
        let mut again: Plan = plan.clone();
        relate(&mut again, &rules);
        check(&again, &rules).len()
    });
    relate(&mut plan, &rules);
    let findings = check(&plan, &rules);
    let time = best(|| remedy(&plan, &mut findings.clone(), &rules).len());
    let remedies = remedy(&plan, &mut findings.clone(), &rules);
    let ways = remedies
        .iter()
        .filter(|r| !matches!(r.action, Action::None { .. }));
    let must = findings
        .iter()
        .filter(|f| f.severity == bayline::check::Severity::Must);
    println!(
        "{name:<44}{:>9}{:>12.1}{:>10.0}  {} of {} with a way out",
        must.count(),
        time * 1e3,
        time / once,
        ways.count(),
        remedies.len()
    );
}

/// Seconds of the best run.
fn best(mut run: impl FnMut() -> usize) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..RUNS {
        let start = Instant::now();
        black_box(run());
        best = best.min(start.elapsed().as_secs_f64());
    }
    best
}

/// Fifteen lights, most of them on trusses: these run across in the middle of the room and along at its ends, as under a
/// hipped roof.
fn hips() -> String {
    let mut text = String::from("room inferred (0,0) (480,0) (480,288) (0,288)\n");
    for i in 1..12 {
        let y = 24 * i;
        let _ = writeln!(
            text,
            "member truss (0,{y}) (94.5,{y})\nmember truss (385.5,{y}) (480,{y})"
        );
    }
    for i in 0..13 {
        let x = 96 + 24 * i;
        let _ = writeln!(text, "member truss ({x},0) ({x},288)");
    }
    for (column, row) in (0..5).flat_map(|column| (0..3).map(move |row| (column, row))) {
        let _ = writeln!(text, "light ({},{})", 84 + 78 * column, 72 + 72 * row);
    }
    text
}

/// Forty lights in a room under 24 members along y.
fn grid(apart: f64, first: f64, pitch: f64) -> String {
    let (width, height) = (60.0 + 7.0 * pitch, 252.0);
    let mut text = format!("room (0,0) ({width},0) ({width},{height}) (0,{height})\n");
    for i in 0..24 {
        let x = first + apart * f64::from(i);
        let _ = writeln!(text, "member joist ({x},-10) ({x},{})", height + 10.0);
    }
    for (row, column) in (0..5).flat_map(|row| (0..8).map(move |column| (row, column))) {
        let at = (30.0 + pitch * f64::from(column), 30.0 + 48.0 * f64::from(row));
        let _ = writeln!(text, "light ({},{})", at.0, at.1);
    }
    text
}
