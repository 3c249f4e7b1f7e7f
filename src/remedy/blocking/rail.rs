//! Nailers that serve several lights: along the bay between two pieces across it, or along a wall on its plate.

use geo::Vector2DOps;

use super::bay::{BayWork, Spot};
use super::ladder::Cost;
use super::nailer::OVER;
use super::{CLEAR, LONGEST, STEP, THICKNESS, nailer};
use crate::check::work::unsupported;
use crate::geom::FUZZ;
use crate::plan::LightId;
use crate::recognise::bays::{Near, wall};
use crate::remedy::Piece;

/// A piece across the bay stands this far at most beyond the nailer's least length, inches.
const BEYOND: f64 = 12.0;
/// A wall is looked at every so far along a nailer, inches.
const LOOKED_AT: f64 = 2.0;

/// Nailers and what carries them.
#[derive(Clone, Debug, PartialEq)]
pub struct Rail {
    /// The nailers first, then what carries them.
    pub pieces: Vec<Piece>,
    pub nailers: usize,
    pub cost: Cost,
}

impl Rail {
    fn of(nailers: Vec<Piece>, across: Vec<Piece>, lights: &[Spot]) -> Rail {
        let count = nailers.len();
        let mut pieces = [nailers, across].concat();
        for piece in &mut pieces {
            piece.serves = lights.iter().map(|s| s.id).collect();
        }
        let lumber = pieces.iter().map(|p| p.cut).sum();
        Rail {
            cost: Cost::of(pieces.len(), lumber),
            nailers: count,
            pieces,
        }
    }
}

/// The stations from which and to which a nailer runs for some lights, inches.
fn run(lights: &[Spot]) -> Option<(f64, f64)> {
    let reach = |s: &Spot| s.housing.half_width + OVER;
    let low = lights
        .iter()
        .map(|s| s.station - reach(s))
        .fold(f64::INFINITY, f64::min);
    let high = lights
        .iter()
        .map(|s| s.station + reach(s))
        .fold(f64::NEG_INFINITY, f64::max);
    (high - low <= LONGEST).then_some((low, high))
}

/// One nailer or two along the bay, between a piece across it at either end: each way the least there is.
pub fn along_bay(work: &BayWork<'_>, from: usize, to: usize) -> Vec<Rail> {
    let made = || {
        let lights = work.spots.get(from..=to)?;
        let (low, high) = run(lights)?;
        // From one piece across to the other the nailer is a whole number of sixteenths.
        let end = |light: usize, face: f64, toward: f64| {
            (0..=(BEYOND / STEP) as i64).find_map(|k| {
                let face = face + toward * k as f64 * STEP;
                Some((face, work.across(light, face + toward * THICKNESS / 2.0)?))
            })
        };
        let (low, first) = end(from, low, -1.0)?;
        let least = ((high - low - FUZZ) * 16.0).ceil() / 16.0;
        let (high, last) = end(to, low + least, 1.0)?;
        if high - low > LONGEST {
            return None;
        }
        let across = vec![first, last];
        let nailer = |middle: f64| Some(work.along(low, high, middle)).filter(|p| work.free(p));
        let one = singles(lights).into_iter().find_map(nailer);
        let two = pairs(lights)
            .into_iter()
            .find_map(|(a, b)| Some(vec![nailer(a)?, nailer(b)?]));
        let rails = one.map(|p| vec![p]).into_iter().chain(two);
        Some(rails.map(|n| Rail::of(n, across.clone(), lights)).collect())
    };
    made().unwrap_or_default()
}

/// Offsets of the members' faces left and right of a light; infinite where a side carries nothing.
fn faces(spot: &Spot) -> (f64, f64) {
    let (left, right) = (&spot.bay.left, &spot.bay.right);
    let room = |side: &crate::plan::Side| {
        if unsupported(side) {
            f64::INFINITY
        } else {
            side.room
        }
    };
    (spot.offset + room(left), spot.offset - room(right))
}

/// The nailer's face a light hangs at, and the member's, so that it fits; the clear width between, inches.
fn hung(spot: &Spot, middle: f64) -> Option<f64> {
    let (left, right) = faces(spot);
    let half = THICKNESS / 2.0;
    let (near, to_face) = match spot.offset > middle {
        true => (spot.offset - (middle + half), left - spot.offset),
        false => (middle - half - spot.offset, spot.offset - right),
    };
    (to_face.is_finite() && spot.fits(near, to_face)).then_some(near + to_face)
}

/// Offsets of one nailer from which all of the lights hang, each with the member on its side; the narrowest first.
fn singles(lights: &[Spot]) -> Vec<f64> {
    let Some(first) = lights.first() else {
        return Vec::new();
    };
    let (left, right) = faces(first);
    let bars = &first.housing.bars;
    let steps = ((bars.greatest - bars.least) / STEP).clamp(0.0, 400.0) as i64;
    let clear = (0..=steps).map(|k| bars.least + k as f64 * STEP + THICKNESS / 2.0);
    let mut all: Vec<(u64, f64)> = clear
        .flat_map(|c| [left - c, right + c])
        .filter(|m| m.is_finite())
        .filter_map(|m| {
            let widths = lights.iter().map(|s| hung(s, m)).sum::<Option<f64>>()?;
            Some(((widths * 16.0).round().max(0.0) as u64, m))
        })
        .collect();
    all.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    all.into_iter().map(|p| p.1).collect()
}

/// Offsets of two nailers between which all of the lights hang: a usual bay about them, else wider by half inches, else
/// off the middle.
fn pairs(lights: &[Spot]) -> Vec<(f64, f64)> {
    let offsets = || lights.iter().map(|s| s.offset);
    let (low, high) = offsets().fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), o| {
        (l.min(o), h.max(o))
    });
    let bars = || lights.iter().map(|s| &s.housing.bars);
    let least = bars().map(|b| b.least).fold(CLEAR, f64::max);
    let most = bars().map(|b| b.greatest).fold(LONGEST, f64::min);
    let inside = |a: f64, b: f64| {
        lights.iter().all(|s| {
            let (left, right) = faces(s);
            a + THICKNESS / 2.0 <= left && b - THICKNESS / 2.0 >= right
        })
    };
    let steps = ((most - least) / STEP).clamp(-1.0, 400.0).floor() as i64;
    let mut all = Vec::new();
    for clear in (0..=steps).map(|k| least + k as f64 * STEP) {
        for k in 0..=(clear / STEP).clamp(0.0, 400.0) as i64 {
            for shift in [k as f64 * STEP, -(k as f64) * STEP] {
                let middle = (low + high) / 2.0 + shift;
                let (a, b) = (middle + clear / 2.0, middle - clear / 2.0);
                if inside(a + THICKNESS / 2.0, b - THICKNESS / 2.0)
                    && lights.iter().all(|s| s.fits(a - s.offset, s.offset - b))
                {
                    all.push((a + THICKNESS / 2.0, b - THICKNESS / 2.0));
                }
            }
        }
    }
    all
}

/// One piece along each wall that is all there is on a side of the lights.
pub fn along_wall(work: &BayWork<'_>, near: &Near, from: usize, to: usize) -> Option<Rail> {
    let lights = work.spots.get(from..=to)?;
    let (low, high) = run(lights)?;
    let cut = ((high - low - FUZZ) * 16.0).ceil() / 16.0;
    let middle = (low + high) / 2.0;
    let (low, high) = (middle - cut / 2.0, middle + cut / 2.0);
    if cut > LONGEST {
        return None;
    }
    let first = lights.first()?;
    let model = work.plan.lights.get(first.id.0)?;
    let mut nailers = Vec::new();
    for sign in [1.0, -1.0] {
        let side = |s: &Spot| if sign > 0.0 { s.bay.left } else { s.bay.right };
        let bare = lights.iter().filter(|s| unsupported(&side(s))).count();
        if bare == 0 {
            continue;
        }
        // Lights that have a member there and others that have none are not of one nailer.
        let face = side(first)
            .wall
            .filter(|w| bare == lights.len() && w.is_finite() && *w > 0.0)?;
        let toward = work.line.along.left() * sign;
        let looks = ((high - low) / LOOKED_AT).clamp(1.0, 1000.0).ceil() as i64;
        let flush = (0..=looks).all(|k| {
            let station = low + (high - low) * k as f64 / looks as f64;
            let beside = crate::plan::Light {
                at: work.line.at(station) + work.line.along.left() * first.offset,
                ..model.clone()
            };
            wall(work.plan, near, &beside, toward).is_some_and(|met| (met - face).abs() <= nailer::FLUSH)
        });
        let piece = work.along(low, high, first.offset + sign * (face + THICKNESS / 2.0));
        nailers.push(Some(piece).filter(|p| flush && work.free(p))?);
    }
    (!nailers.is_empty()).then(|| Rail::of(nailers, Vec::new(), lights))
}

/// The lights of some spots.
pub fn ids(lights: &[Spot]) -> Vec<LightId> {
    lights.iter().map(|s| s.id).collect()
}
