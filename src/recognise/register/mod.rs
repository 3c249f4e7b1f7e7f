//! Where a second drawing of the same house lies on the plan, told by the walls both show.
//!
//! First it is tried whether the two share their coordinates. Else turns, mirroring and shifts
//! that lay many walls on walls are gathered, each is fitted by least squares, and the one that
//! matches the greatest length both ways is taken, where no other does nearly as well. A scale is
//! sought only where none of those fit: the units of both drawings should have settled it.
//! Everything in here is inches, and nothing is assumed: what does not fit is refused.

use std::collections::BTreeMap;

use geo::Coord;

use crate::geom::finite;
use crate::recognise::shape::{bounds, dot};

mod by_parts;
mod candidates;
mod elsewhere;
mod finish;
mod matching;
mod says;
mod similarity;
pub mod take_over;
#[cfg(test)]
mod tests;

pub use elsewhere::Elsewhere;
use matching::{Match, Seg, Walls, improved};
pub use similarity::Similarity;

/// Walls shorter than this place nothing: jambs, curves drawn as chords.
const SHORTEST: f64 = 6.0;
/// Walls looked at of each drawing, the longest first.
const MOST: usize = 4000;
/// Two walls further apart than this are not the same wall.
const SAME: f64 = 1.5;
/// A common wall that is further off than this makes the whole placing doubtful.
pub const WORST: f64 = 0.5;
/// Coordinates are shared where no common wall is further off than this.
const SHARED: f64 = 1.0 / 16.0;
/// Least share of wall length matched of that drawing of which more is matched, and of the other.
const MORE: f64 = 0.7;
const LESS: f64 = 0.25;
/// The same where a scale was sought too, which could lay a rectangle on any other.
const MORE_SCALED: f64 = 0.85;
const LESS_SCALED: f64 = 0.5;
/// Wall lines at least this far apart count as lines of their own; both faces of a wall are one.
const APART: f64 = 12.0;
/// Another way to lay the drawing that matches this share of the best one's length is as good.
const AS_GOOD: f64 = 0.9;
/// Two ways that differ by less than this anywhere on the drawing are one.
const ONE_WAY: f64 = 2.0;
/// A scale within this of 1 is 1.
pub const SNAP: f64 = 0.001;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// The drawings share their coordinates.
    ByOrigin,
    ByWalls,
}

/// How the second drawing's points come to the plan's, and how well that is known.
#[derive(Clone, Debug, PartialEq)]
pub struct Registration {
    pub how: How,
    pub matrix: Similarity,
    /// The scale as fitted, where it was within [`SNAP`] of 1 and taken as 1.
    pub snapped: Option<f64>,
    /// Root mean square and greatest distance of common walls, inches.
    pub rms: f64,
    pub worst: f64,
    /// Walls of the plan that are matched, and their length, inches.
    pub walls: usize,
    pub length: f64,
    /// Matched share of the wall length of the plan and of the second drawing.
    pub of_plan: f64,
    pub of_second: f64,
    /// How much nearer to the middle of its wall every face of the second drawing lies, inches, below 0 how much further
    /// out: one of them shows the walls with their finish. It is no part of the distances.
    pub board: Option<f64>,
    /// Walls that both show, but more than 1 1/2 in apart; the longest first.
    pub elsewhere: Vec<Elsewhere>,
}

/// What the rules say of it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Hint {
    /// Take the coordinates as shared.
    pub origin: bool,
    /// Degrees, within 30.
    pub turn: Option<f64>,
    pub mirrored: Option<bool>,
}

/// Why the second drawing was not placed.
#[derive(Clone, Debug, PartialEq)]
pub enum Refusal {
    /// One of them shows no walls, or walls of one direction only.
    NoWalls {
        plan: bool,
    },
    /// The best that was found.
    Unlike {
        of_plan: f64,
        of_second: f64,
    },
    Off {
        worst: f64,
        at: Coord,
        length: f64,
        walls: usize,
    },
    Ambiguous {
        ways: Vec<Similarity>,
    },
}

struct Fit {
    t: Similarity,
    matches: Vec<Match>,
    ours: f64,
    theirs: f64,
    snapped: Option<f64>,
    board: Option<f64>,
}

/// Places the second drawing on the plan; walls are faces as segments, inches.
pub fn register(
    plan: &[(Coord, Coord)],
    second: &[(Coord, Coord)],
    hint: &Hint,
) -> Result<Registration, Refusal> {
    let (to, plan) = local(plan).ok_or(Refusal::NoWalls { plan: true })?;
    let (from, second) = local(second).ok_or(Refusal::NoWalls { plan: false })?;
    let ours = Walls::new(plan);
    let done = |fit: &Fit, how| told(&ours, &second, fit, how, from, to);

    // The identity, said about the two local origins.
    let shared = similarity::IDENTITY.from_local(to, from);
    let there = measured(&ours, &second, shared, None);
    if hint.origin {
        return Ok(done(&there, How::ByOrigin));
    }
    let free = hint.turn.is_none() && hint.mirrored.is_none();
    if free && convinces(&ours, &second, &there, false) && residual(&there).1 <= SHARED {
        return Ok(done(&there, How::ByOrigin));
    }

    let mut best = Refusal::Unlike {
        of_plan: 0.0,
        of_second: 0.0,
    };
    let mut share = -1.0;
    let scales = std::iter::once(1.0).chain(candidates::scales(&ours.segs, &second));
    for scale in scales {
        let with_scale = scale != 1.0;
        let start = (!with_scale).then_some((0.0, shared));
        let fits: Vec<Fit> = start
            .into_iter()
            .chain(candidates::candidates(&ours, &second, scale))
            .filter(|(_, t)| fits_hint(t, hint))
            .filter_map(|(_, t)| fitted(&ours, &second, t, with_scale))
            .collect();
        match chosen(&ours, &second, fits, with_scale) {
            Ok(fit) => return Ok(done(&fit, How::ByWalls)),
            // Much is matched, so no scale is missing: what is wrong is to be told.
            Err((_, refusal @ (Refusal::Ambiguous { .. } | Refusal::Off { .. }))) => {
                best = refusal;
                break;
            }
            Err((s, refusal)) if s > share => (share, best) = (s, refusal),
            Err(_) => {}
        }
    }
    if let Refusal::Off { at, .. } = &mut best {
        *at = *at + to;
    }
    if let Refusal::Ambiguous { ways } = &mut best {
        for way in ways {
            *way = way.from_local(from, to);
        }
    }
    Err(best)
}

/// The best fit, where it convinces and stands alone; else how near it came, and why not.
fn chosen(ours: &Walls, second: &[Seg], mut fits: Vec<Fit>, scaled: bool) -> Result<Fit, (f64, Refusal)> {
    fits.sort_by(|a, b| {
        (b.ours + b.theirs)
            .total_cmp(&(a.ours + a.theirs))
            .then(residual(a).0.total_cmp(&residual(b).0))
    });
    if fits.is_empty() {
        return Err((
            0.0,
            Refusal::Unlike {
                of_plan: 0.0,
                of_second: 0.0,
            },
        ));
    }
    let best = fits.remove(0);
    let (of_plan, of_second) = shares(ours, second, &near(ours, second, &best));
    let near = of_plan.max(of_second);
    if !convinces(ours, second, &best, scaled) {
        return Err((near, Refusal::Unlike { of_plan, of_second }));
    }
    let mut ways = vec![best.t];
    for other in &fits {
        let as_good = other.ours + other.theirs >= AS_GOOD * (best.ours + best.theirs);
        if as_good && ways.iter().all(|w| differ(second, w, &other.t)) {
            ways.push(other.t);
        }
    }
    if ways.len() > 1 {
        return Err((near, Refusal::Ambiguous { ways }));
    }
    if let Some(m) = worst(&best).filter(|m| m.distance() > WORST + 1e-6) {
        let refusal = Refusal::Off {
            worst: m.distance(),
            at: (m.from + m.to) * 0.5,
            length: m.length(),
            walls: count(&best.matches),
        };
        return Err((near, refusal));
    }
    Ok(best)
}

fn fits_hint(t: &Similarity, hint: &Hint) -> bool {
    let off = |turn: f64| ((t.turn_degrees() - turn + 180.0).rem_euclid(360.0) - 180.0).abs();
    hint.mirrored.is_none_or(|m| m == t.mirrored) && hint.turn.is_none_or(|turn| off(turn) <= 30.0)
}

/// Walls about an origin of their own, the longest first; `None` where there are too few.
fn local(walls: &[(Coord, Coord)]) -> Option<(Coord, Vec<Seg>)> {
    let usable = walls.iter().filter(|(a, b)| finite(*a) && finite(*b));
    let (low, high) = bounds(usable.clone().flat_map(|w| [w.0, w.1]))?;
    let origin = (low + high) * 0.5;
    let mut segs: Vec<Seg> = usable
        .filter_map(|&(a, b)| Seg::new(a - origin, b - origin))
        .filter(|s| s.length >= SHORTEST)
        .collect();
    let key = |s: &Seg| [-s.length, s.a.x, s.a.y, s.b.x, s.b.y];
    segs.sort_by(|x, y| {
        key(x)
            .iter()
            .zip(key(y))
            .map(|(a, b)| a.total_cmp(&b))
            .find(|o| o.is_ne())
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    segs.truncate(MOST);
    let first = segs.first()?.along;
    let crossing = segs.iter().any(|s| dot(s.along, first).abs() < 0.9);
    (finite(origin) && crossing).then_some((origin, segs))
}

fn measured(ours: &Walls, theirs: &[Seg], t: Similarity, snapped: Option<f64>) -> Fit {
    let (matches, board) = without_board(ours, theirs, &t);
    let covered = ours.covered(&matches, &t, theirs);
    Fit {
        t,
        matches,
        ours: covered.0,
        theirs: covered.1,
        snapped,
        board,
    }
}

/// What matches, less the finish by which all faces are off alike, and that.
fn without_board(ours: &Walls, theirs: &[Seg], t: &Similarity) -> (Vec<Match>, Option<f64>) {
    let mut matches = ours.matches(theirs, t, SAME);
    let board = finish::board(&matches, &ours.mates);
    if let Some(board) = board {
        finish::without(&mut matches, &ours.mates, board);
    }
    (matches, board)
}

/// Fits from a candidate on, nearer and nearer.
fn fitted(ours: &Walls, theirs: &[Seg], start: Similarity, with_scale: bool) -> Option<Fit> {
    let mut t = start;
    for tolerance in [3.0, 3.0, SAME] {
        t = improved(&t, &kept(ours.matches(theirs, &t, tolerance)), with_scale)?;
    }
    for _ in 0..2 {
        t = improved(&t, &kept(without_board(ours, theirs, &t).0), with_scale)?;
    }
    let scale = t.scale();
    if with_scale && (scale - 1.0).abs() <= SNAP {
        return None;
    }
    let mut snapped = None;
    if !with_scale {
        // Whether the walls themselves would have it a little larger is worth saying.
        let free = improved(&t, &kept(without_board(ours, theirs, &t).0), true)?.scale();
        snapped = (1e-5..=SNAP).contains(&(free - 1.0).abs()).then_some(free);
    }
    Some(measured(ours, theirs, t, snapped))
}

/// Without what is far off for its fellows, so that one wall that was moved does not turn all.
/// Fellows are those of one direction: a shift may fit across the house and not yet along it.
fn kept(matches: Vec<Match>) -> Vec<Match> {
    let direction = |m: &Match| {
        let n = crate::geom::canonical(m.normal);
        (n.y.atan2(n.x).to_degrees() / 5.0).round() as i32
    };
    let mut fellows: BTreeMap<i32, Vec<f64>> = BTreeMap::new();
    for m in &matches {
        fellows.entry(direction(m)).or_default().push(m.distance());
    }
    for distances in fellows.values_mut() {
        distances.sort_by(f64::total_cmp);
    }
    let limit = |m: &Match| {
        let distances = fellows.get(&direction(m));
        let median = distances.and_then(|d| d.get(d.len() / 2));
        median.map_or(0.0, |median| 3.0 * median + 0.05)
    };
    matches
        .iter()
        .filter(|m| m.distance() <= limit(m))
        .copied()
        .collect()
}

fn shares(ours: &Walls, theirs: &[Seg], fit: &Fit) -> (f64, f64) {
    let total: f64 = theirs.iter().map(|s| s.length).sum::<f64>() * fit.t.scale();
    (fit.ours / ours.total(), fit.theirs / total)
}

/// What of a fit is near: what is further off speaks against it.
fn near(ours: &Walls, theirs: &[Seg], fit: &Fit) -> Fit {
    let matches: Vec<Match> = (fit.matches.iter())
        .filter(|m| m.distance() <= WORST + 1e-6)
        .copied()
        .collect();
    let covered = ours.covered(&matches, &fit.t, theirs);
    Fit {
        t: fit.t,
        matches,
        ours: covered.0,
        theirs: covered.1,
        snapped: None,
        board: fit.board,
    }
}

/// Whether enough is matched that it cannot be chance.
fn convinces(ours: &Walls, theirs: &[Seg], fit: &Fit, scaled: bool) -> bool {
    let near = near(ours, theirs, fit);
    let (a, b) = shares(ours, theirs, &near);
    let (more, less) = (a.max(b), a.min(b));
    let (lines, directions) = lines(ours, &near);
    // A shift is free in each direction, so the first line of each matches by itself.
    let coincidences = lines.saturating_sub(directions);
    if directions < 2 || coincidences < 2 {
        return false;
    }
    if scaled {
        more >= MORE_SCALED && less >= LESS_SCALED && coincidences >= 4
    } else {
        more >= MORE && (less >= LESS || coincidences >= 5)
    }
}

/// Distinct matched wall lines, and how many directions have two of them.
fn lines(ours: &Walls, fit: &Fit) -> (usize, usize) {
    let mut seen: Vec<(Coord, f64)> = Vec::new();
    for m in &fit.matches {
        let n = crate::geom::canonical(m.normal);
        let offset = dot(ours.segs[m.ours].a, n);
        if seen
            .iter()
            .all(|(d, o)| dot(*d, n) < 0.99 || (o - offset).abs() >= APART)
        {
            seen.push((n, offset));
        }
    }
    let twice = |i: usize| {
        let same = |j: usize| dot(seen[i].0, seen[j].0) >= 0.99;
        (0..i).all(|j| !same(j)) && (i + 1..seen.len()).any(same)
    };
    let directions = (0..seen.len()).filter(|&i| twice(i)).count();
    (seen.len(), directions)
}

fn differ(theirs: &[Seg], a: &Similarity, b: &Similarity) -> bool {
    theirs.iter().flat_map(|s| [s.a, s.b]).any(|p| {
        let d = a.apply(p) - b.apply(p);
        dot(d, d) > ONE_WAY * ONE_WAY
    })
}

fn worst(fit: &Fit) -> Option<&Match> {
    fit.matches
        .iter()
        .max_by(|a, b| a.distance().total_cmp(&b.distance()))
}

/// Root mean square, weighted by length, and the greatest.
fn residual(fit: &Fit) -> (f64, f64) {
    let (mut sum, mut weight) = (0.0, 0.0);
    for m in &fit.matches {
        let w = m.length();
        sum += w * (m.off.0 * m.off.0 + m.off.1 * m.off.1) / 2.0;
        weight += w;
    }
    let rms = if weight > 0.0 { (sum / weight).sqrt() } else { 0.0 };
    (rms, worst(fit).map_or(0.0, Match::distance))
}

fn count(matches: &[Match]) -> usize {
    let mut walls: Vec<usize> = matches.iter().map(|m| m.ours).collect();
    walls.sort_unstable();
    walls.dedup();
    walls.len()
}

fn told(ours: &Walls, theirs: &[Seg], fit: &Fit, how: How, from: Coord, to: Coord) -> Registration {
    let (of_plan, of_second) = shares(ours, theirs, fit);
    let (rms, worst) = residual(fit);
    let matrix = match how {
        How::ByOrigin => similarity::IDENTITY,
        How::ByWalls => fit.t.from_local(from, to),
    };
    let mut elsewhere = elsewhere::elsewhere(ours, theirs, &fit.t, &fit.matches);
    elsewhere.iter_mut().for_each(|e| e.at = e.at + to);
    Registration {
        how,
        matrix,
        elsewhere,
        board: fit.board,
        snapped: fit.snapped,
        rms,
        worst,
        walls: count(&fit.matches),
        length: fit.ours,
        of_plan,
        of_second,
    }
}
