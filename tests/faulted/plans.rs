//! Small ceilings that are sound, with faults put in, and what must hold after all moves are taken.
//!
//! The plans are made up; what they are held to is the checks themselves and, where the tool says that there is no way
//! out, trying every place.

use bayline::check::{Finding, Kind, Severity, check};
use bayline::plan::notation::parse;
use bayline::plan::{LightId, Plan};
use bayline::recognise::relate;
use bayline::remedy::joint::{Settled, settle};
use bayline::remedy::keep::Keep;
use bayline::remedy::{Action, Remedy, remedy};
use bayline::rules::Rules;
use fastrand::Rng;
use geo::Coord;

/// What became of one plan.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Outcome {
    /// Findings of severity `must` that moves are for: as faulted, with a way out each by itself, and left when all is done.
    pub must: usize,
    pub solvable: usize,
    pub left: usize,
    /// Lights alone for which it was said that there is no place, each tried at every place.
    pub proofs: usize,
}

/// Furthest move and its step, inches: what `docs/remedies.md` says.
const REACH: f64 = 24.0;
const STEPS: i32 = 24 * 16;

/// Makes the plan of a seed, has it mended, and holds what came of it. The error says what does not hold.
pub fn run(seed: u64, rules: &Rules) -> Result<Outcome, String> {
    let mut rng = Rng::with_seed(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15));
    let text = faulted(&mut rng, rules);
    let fail = |what: String| Err(format!("seed {seed}: {what}\n{text}"));
    let mut plan = parse(&text).map_err(|e| format!("seed {seed}: {e}\n{text}"))?;
    relate(&mut plan, rules);
    let mut before = check(&plan, rules);
    let remedies = remedy(&plan, &mut before, rules);
    let settled = settle(&plan, &before, rules, &Keep::of(&plan, rules));
    let after = check(&settled.plan, rules);
    if let Some(new) = after.iter().find(|a| !before.iter().any(|b| same(a, b))) {
        return fail(format!("a new finding: {}", new.message));
    }
    for (was, is) in plan.lights.iter().zip(&settled.plan.lights) {
        if (was.at.x - is.at.x).hypot(was.at.y - is.at.y) > REACH + 1e-6 {
            return fail("a light was moved further than the reach".into());
        }
    }
    if let Some(id) = settled.mended.iter().find(|id| {
        let f = before.iter().find(|f| f.id == **id);
        f.is_none_or(|f| after.iter().any(|a| same(a, f)))
    }) {
        return fail(format!("{id} is said to be mended and is not"));
    }
    let left: Vec<&Finding> = after.iter().filter(|f| for_moves(f)).collect();
    if let Some(f) = left.iter().find(|f| !told(f, &settled)) {
        return fail(format!("left without a word: {}", f.message));
    }
    let must: Vec<&Finding> = before.iter().filter(|f| for_moves(f)).collect();
    let mut outcome = Outcome {
        must: must.len(),
        left: left.len(),
        ..Outcome::default()
    };
    for f in &must {
        let way = remedies.iter().find(|r| f.remedies.contains(&r.id));
        match way.map(|r| &r.action) {
            Some(Action::Move { .. }) => outcome.solvable += 1,
            Some(Action::None { .. }) => {
                outcome.proofs += usize::from(no_place(&plan, f, way, rules)?);
            }
            _ => {}
        }
    }
    if outcome.solvable == outcome.must && outcome.left > 0 {
        return fail(format!(
            "each had a way out, and {} are left: {:?}",
            outcome.left, settled.left
        ));
    }
    Ok(outcome)
}

/// Whether a finding is one that must be put right and that moves are for.
fn for_moves(f: &Finding) -> bool {
    let by_moves = !matches!(f.kind, Kind::WideBay | Kind::NoSupport | Kind::Insulation);
    f.severity == Severity::Must && by_moves
}

/// An uneven pitch is the row's, whichever of its lights show it.
fn same(a: &Finding, b: &Finding) -> bool {
    let shared = || a.lights.iter().any(|l| b.lights.contains(l));
    a.kind == b.kind && (a.lights == b.lights || a.kind == Kind::UnevenPitch && shared())
}

fn told(f: &Finding, settled: &Settled) -> bool {
    let light = f.lights.first();
    settled
        .left
        .iter()
        .any(|l| Some(&l.light) == light && l.kind == f.kind && !l.why.is_empty())
}

/// A light in no row for which no place was found: every place along and square to its members is tried. True where there was
/// something to try, and none works.
fn no_place(plan: &Plan, f: &Finding, remedy: Option<&Remedy>, rules: &Rules) -> Result<bool, String> {
    let Some(&id) = f.lights.first() else {
        return Ok(false);
    };
    let Some(light) = plan.lights.get(id.0).filter(|l| l.rows.is_empty()) else {
        return Ok(false);
    };
    let Some(bay) = light.bay else { return Ok(false) };
    let before = check(plan, rules);
    let square = Coord {
        x: -bay.along.y,
        y: bay.along.x,
    };
    for way in [square, bay.along] {
        for k in (-STEPS..=STEPS).filter(|k| *k != 0) {
            let mut there = plan.clone();
            there.lights[id.0].at = light.at + way * (f64::from(k) / 16.0);
            relate(&mut there, rules);
            let rows = |p: &Plan| p.rows.iter().map(|r| r.lights.clone()).collect::<Vec<_>>();
            let crowded = (there.lights.iter().enumerate()).any(|(i, o)| {
                let at = there.lights[id.0].at;
                LightId(i) != id && (o.at.x - at.x).hypot(o.at.y - at.y) < 13.0
            });
            let stays = rows(&there) == rows(plan) && there.lights[id.0].room == light.room && !crowded;
            let found = check(&there, rules);
            let worse = |a: &Finding| !before.iter().any(|b| same(a, b) && a.measured == b.measured);
            if stays && !found.iter().any(worse) && !found.iter().any(|a| same(a, f)) {
                return Err(format!(
                    "{} steps work where none was found: {:?}",
                    k,
                    remedy.map(|r| &r.message)
                ));
            }
        }
    }
    Ok(true)
}

/// A room with joists along y, and rows in it or a light alone, sound but for one to three faults.
fn faulted(rng: &mut Rng, rules: &Rules) -> String {
    loop {
        let mut text = String::new();
        let (count, rows) = match rng.u8(0..6) {
            0 => (1, 1),
            1 | 2 => (rng.usize(2..6), 2),
            _ => (rng.usize(3..7), 1),
        };
        let pitch = 30.0 + f64::from(rng.u32(0..96)) / 4.0;
        let (wide, high) = (60.0 + pitch * (count as f64 - 1.0), 60.0 + 48.0 * rows as f64);
        text += &format!("room \"ROOM\" (0,0) ({wide},0) ({wide},{high}) (0,{high})\n");
        // Now and then one light under joists so near that nothing fits between.
        let narrow = count == 1 && rng.u8(0..4) == 0;
        let apart = if narrow {
            7.5
        } else {
            [16.0, 16.0, 19.2, 24.0, 24.0][rng.usize(0..5)]
        };
        let mut x = -rng.f64() * apart;
        while x < wide + apart {
            text += &format!("member joist ({x:.4},-8) ({x:.4},{})\n", high + 8.0);
            x += apart;
        }
        let sound = lights(rng, count, rows, pitch);
        if !narrow && !is_sound(&text, &sound, rules) {
            continue;
        }
        let mut points = sound;
        for _ in 0..rng.usize(1..5) {
            let i = rng.usize(0..points.len());
            match rng.u8(0..4) {
                // Off its line, along it, both; or the whole row along.
                0 => points[i].1 += f64::from(rng.i32(-12..=12)) / 16.0,
                1 => points[i].0 += f64::from(rng.i32(-96..=96)) / 16.0,
                2 => {
                    let by = f64::from(rng.i32(-128..=128)) / 16.0;
                    points.iter_mut().for_each(|p| p.0 += by);
                }
                _ => {
                    let (x, y) = (points[i].0 + rng.f64() * 6.0, points[i].1 + rng.f64() * 6.0);
                    text += &format!(
                        "device \"DIFFUSER\" ({x:.3},{y:.3}) ({:.3},{y:.3}) ({:.3},{:.3}) ({x:.3},{:.3})\n",
                        x + 12.0,
                        x + 12.0,
                        y + 12.0,
                        y + 12.0
                    );
                }
            }
        }
        return text + &said(&points);
    }
}

fn lights(rng: &mut Rng, count: usize, rows: usize, pitch: f64) -> Vec<(f64, f64)> {
    let (x0, y0) = (20.0 + rng.f64() * 20.0, 44.0 + rng.f64() * 8.0);
    let each = (0..rows).flat_map(|j| (0..count).map(move |i| (i, j)));
    each.map(|(i, j)| {
        let x = x0 + pitch * i as f64;
        (
            (x * 16.0).round() / 16.0,
            ((y0 + 48.0 * j as f64) * 16.0).round() / 16.0,
        )
    })
    .collect()
}

fn said(points: &[(f64, f64)]) -> String {
    points.iter().map(|(x, y)| format!("light ({x},{y})\n")).collect()
}

fn is_sound(text: &str, points: &[(f64, f64)], rules: &Rules) -> bool {
    let mut plan = parse(&(text.to_string() + &said(points))).expect("the notation is sound");
    relate(&mut plan, rules);
    check(&plan, rules).iter().all(|f| f.severity != Severity::Must)
}
