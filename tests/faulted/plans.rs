//! Small ceilings that are sound, with faults put in, and what must hold after all moves are taken.
//!
//! The plans are made up; what they are held to is the checks themselves and, where the tool says that there is no way
//! out, trying every place.

use bayline::check::{Finding, Kind, Severity, check};
use bayline::plan::notation::parse;
use bayline::recognise::relate;
use bayline::remedy::joint::{Settled, settle};
use bayline::remedy::keep::Keep;
use bayline::remedy::{Action, remedy};
use bayline::rules::Rules;
use bayline::sheet::sheet;
use fastrand::Rng;
use geo::Coord;

use crate::brute::{Drawn, REACH, same};

#[path = "../held/sheets.rs"]
mod sheets;

/// What became of one plan.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Outcome {
    /// Findings of severity `must` that moves are for: as faulted, with a way out each by itself, and left when all is done.
    pub must: usize,
    pub solvable: usize,
    pub left: usize,
    /// Of those with a way out by themselves, left when all is done.
    pub stuck: usize,
    /// Findings for which it was said that there is no way out, each held to every one: of lights alone, and in rows.
    pub lone: usize,
    pub rows: usize,
}

/// Makes the plan of a seed, has it mended, and holds what came of it. The error says what does not hold.
pub fn run(seed: u64, rules: &Rules) -> Result<Outcome, String> {
    let mut rng = Rng::with_seed(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15));
    let text = faulted(&mut rng, rules);
    let fail = |what: String| Err(format!("seed {seed}: {what}\n{text}"));
    let mut plan = parse(&text).map_err(|e| format!("seed {seed}: {e}\n{text}"))?;
    relate(&mut plan, rules);
    let mut before = check(&plan, rules);
    let remedies = remedy(&plan, &mut before, rules);
    let drawn = sheet("ceiling", &plan, &before, &remedies, rules);
    match sheets::legible(&drawn, &plan, rules) {
        Ok(labels) if labels >= plan.lights.len() + before.len() => {}
        Ok(labels) => return fail(format!("{labels} labels on the sheet")),
        Err(what) => return fail(format!("on the sheet {what}")),
    }
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
    let drawn = Drawn {
        plan: &plan,
        found: &before,
        rules,
    };
    let must: Vec<&Finding> = before.iter().filter(|f| for_moves(f)).collect();
    let mut outcome = Outcome {
        must: must.len(),
        left: left.len(),
        ..Outcome::default()
    };
    for f in &must {
        let way = remedies.iter().find(|r| f.remedies.contains(&r.id));
        match way.map(|r| &r.action) {
            Some(Action::Move { .. }) => {
                outcome.solvable += 1;
                outcome.stuck += usize::from(left.iter().any(|l| same(l, f)));
            }
            Some(Action::None { why }) => match no_way_out(&drawn, f, why) {
                Ok(in_row) => {
                    outcome.rows += usize::from(in_row);
                    outcome.lone += usize::from(!in_row);
                }
                Err(e) => return fail(e),
            },
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

fn told(f: &Finding, settled: &Settled) -> bool {
    let light = f.lights.first();
    settled
        .left
        .iter()
        .any(|l| Some(&l.light) == light && l.kind == f.kind && !l.why.is_empty())
}

/// Where it is said that there is no way out every one is tried: each place of the light along and square to its members and,
/// where it stands in a row, each layout of that. Whether the light stands in a row.
fn no_way_out(drawn: &Drawn, f: &Finding, why: &str) -> Result<bool, String> {
    let id = *f.lights.first().ok_or("a finding of no light")?;
    let light = &drawn.plan.lights[id.0];
    let bay = light.bay.ok_or("no framing at the light")?;
    let square = Coord {
        x: -bay.along.y,
        y: bay.along.x,
    };
    if let Some((by, way)) = drawn.move_of(id, &[square, bay.along], f) {
        return Err(format!(
            "a move of {id} by {by} along {way:?} works where none was found: {why}"
        ));
    }
    match light.rows.as_slice() {
        [] => Ok(false),
        [row] => match drawn.layout(&drawn.plan.rows[row.0], f) {
            (None, _) => Ok(true),
            (Some(to), _) => Err(format!("a row at {to:?} works where none was found: {why}")),
        },
        _ => Err("rows cross here, and that is not tried".into()),
    }
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
