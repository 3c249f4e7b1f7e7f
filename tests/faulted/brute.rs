//! Every place a row could be laid at, tried one by one: what the tool's search for a layout is held to.
//!
//! Nothing is shared with that search but the checks and the relating of a plan. Starts, pitches and lines are all those on
//! the lattice of 1/16 in that `docs/solver.md` names. The one thing done beforehand: a light that has a conflict with
//! framing at a place along the row, moved there by itself and checked, has it at that place in every layout.

use bayline::check::{Finding, Kind, Severity, check};
use bayline::plan::{LightId, Plan, Row};
use bayline::recognise::relate;
use bayline::rules::Rules;
use geo::Coord;

/// Furthest move, steps of the lattice and pitches' greatest change: what `docs/solver.md` says.
pub const REACH: f64 = 24.0;
const STEP: f64 = 1.0 / 16.0;
const STRETCH: f64 = 0.1;
/// Lights this near are upon each other, inches: twice the side of the default housing's box.
pub const UPON: f64 = 13.0;
/// A finding further past its limit by less than this is the same, inches.
const WORSE: f64 = 0.001;
/// Rounding, inches.
const FUZZ: f64 = 1e-6;

/// An uneven pitch is the row's, whichever of its lights show it.
pub fn same(a: &Finding, b: &Finding) -> bool {
    let shared = || a.lights.iter().any(|l| b.lights.contains(l));
    a.kind == b.kind && (a.lights == b.lights || a.kind == Kind::UnevenPitch && shared())
}

/// A plan as drawn, and what is asked of one changed.
pub struct Drawn<'a> {
    pub plan: &'a Plan,
    pub found: &'a [Finding],
    pub rules: &'a Rules,
}

impl Drawn<'_> {
    /// Whether a plan with these lights moved is rid of `finding` and in nothing worse. `free`: the lights moved must have nothing
    /// left that must be put right, blocking aside.
    pub fn works(&self, moved: &[(LightId, Coord)], finding: &Finding, free: bool) -> bool {
        let mut there = self.plan.clone();
        for (id, at) in moved {
            there.lights[id.0].at = *at;
        }
        relate(&mut there, self.rules);
        self.in_place(&there, moved) && {
            let found = check(&there, self.rules);
            let of_moved = |f: &Finding| moved.iter().any(|m| f.lights.contains(&m.0));
            let bad = |f: &Finding| self.is_new(f) || same(f, finding) || free && stays(f) && of_moved(f);
            !found.iter().any(bad)
        }
    }

    fn is_new(&self, a: &Finding) -> bool {
        let past = |f: &Finding| (f.measured - f.limit).abs();
        !self
            .found
            .iter()
            .any(|b| same(a, b) && (past(a) <= past(b) + WORSE || a.measured == b.measured))
    }

    /// Lights keep their rooms, rows and bays, and come upon no other; pitches stay about what they are.
    fn in_place(&self, there: &Plan, moved: &[(LightId, Coord)]) -> bool {
        let far = |p: &Plan, a: usize, b: usize| {
            let (a, b) = (p.lights[a].at, p.lights[b].at);
            (a.x - b.x).hypot(a.y - b.y)
        };
        let lights = |p: &Plan| p.rows.iter().map(|r| r.lights.clone()).collect::<Vec<_>>();
        let pitches = || {
            there
                .rows
                .iter()
                .zip(&self.plan.rows)
                .map(|(a, b)| (a.pitch, b.pitch))
        };
        moved
            .iter()
            .all(|&(id, _)| there.lights[id.0].room == self.plan.lights[id.0].room)
            && lights(there) == lights(self.plan)
            && pitches().all(|(is, was)| (is - was).abs() <= STRETCH * was + FUZZ)
            && moved.iter().all(|&(LightId(i), _)| {
                (0..there.lights.len()).all(|o| {
                    let now = far(there, i, o);
                    o == i || now >= UPON || now >= far(self.plan, i, o) - FUZZ
                })
            })
    }

    /// A layout of a row along x that is rid of `finding`: where its lights then stand. How many layouts were tried, too.
    pub fn layout(&self, row: &Row, finding: &Finding) -> (Option<Vec<Coord>>, usize) {
        let (pitch, row) = (row.pitch, &row.lights);
        let at: Vec<Coord> = row.iter().map(|l| self.plan.lights[l.0].at).collect();
        // Places along the row at which each light by itself is clear of the framing.
        let clear: Vec<Vec<bool>> = row.iter().map(|&l| self.clear(l)).collect();
        let open = |k: usize, x: f64| {
            let index = ((x - at[k].x) / STEP).round() + STEPS as f64;
            index >= 0.0 && clear[k].get(index as usize) == Some(&true)
        };
        let mut tried = 0;
        for p in near(pitch, STRETCH * pitch) {
            for start in near(at[0].x, REACH) {
                let x = |k: usize| start + p * k as f64;
                if !(0..row.len()).all(|k| open(k, x(k))) {
                    continue;
                }
                for y in near(at[0].y, REACH) {
                    let to: Vec<Coord> = (0..row.len()).map(|k| Coord { x: x(k), y }).collect();
                    let reach = |(a, b): (&Coord, &Coord)| (a.x - b.x).hypot(a.y - b.y) <= REACH + FUZZ;
                    if !to.iter().zip(&at).all(reach) {
                        continue;
                    }
                    tried += 1;
                    let moved: Vec<_> = row.iter().copied().zip(to.iter().copied()).collect();
                    if self.works(&moved, finding, true) {
                        return (Some(to), tried);
                    }
                }
            }
        }
        (None, tried)
    }

    /// A move of one light along these ways that is rid of `finding`, inches along which way.
    pub fn move_of(&self, light: LightId, ways: &[Coord], finding: &Finding) -> Option<(f64, Coord)> {
        let at = self.plan.lights[light.0].at;
        let each = ways
            .iter()
            .flat_map(|way| near(0.0, REACH).map(move |by| (by, *way)));
        each.filter(|(by, _)| *by != 0.0)
            .find(|(by, way)| self.works(&[(light, at + *way * *by)], finding, false))
    }

    /// For every place along x within reach, whether the light alone has no conflict with framing there. Members run past the room both
    /// ways, so its place along them changes nothing.
    fn clear(&self, light: LightId) -> Vec<bool> {
        let mut alone = Plan {
            lights: vec![self.plan.lights[light.0].clone()],
            obstacles: Vec::new(),
            ..self.plan.clone()
        };
        let at = alone.lights[0].at;
        (-(STEPS as i32)..=STEPS as i32)
            .map(|k| {
                alone.lights[0].at.x = at.x + f64::from(k) * STEP;
                relate(&mut alone, self.rules);
                !check(&alone, self.rules).iter().any(stays)
            })
            .collect()
    }
}

/// Places of the lattice within reach, either way.
const STEPS: usize = (REACH / STEP) as usize;

/// What no light of a layout may have.
fn stays(f: &Finding) -> bool {
    f.severity == Severity::Must && !matches!(f.kind, Kind::WideBay | Kind::NoSupport | Kind::Insulation)
}

/// The places of the lattice within `reach` of `middle`, which need not be one.
fn near(middle: f64, reach: f64) -> impl Iterator<Item = f64> {
    let first = ((middle - reach) / STEP - FUZZ).ceil() as i32;
    let last = ((middle + reach) / STEP + FUZZ).floor() as i32;
    (first..=last).map(|k| f64::from(k) * STEP)
}
