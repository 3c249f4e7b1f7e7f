//! Pieces across a bay that neighbours share: a ladder whose every field has a light, or several side by side.
//!
//! A piece between two lights may stand at the middle between them, off it by half inches, or as near to either as it may; the two at the ends as far from
//! the next as the bars' least length or more by half inches. Of these the least is found field by field.

use super::bay::BayWork;
use super::{STEP, THICKNESS};

/// Most lights of one ladder.
pub const MOST: usize = 24;
/// Least clear width at which lights of a field are told apart, inches: less than any bars reach.
const WIDEST: f64 = 96.0;

/// Pieces across the bay.
#[derive(Clone, Debug, PartialEq)]
pub struct Ladder {
    /// Of the pieces' middles.
    pub stations: Vec<f64>,
    /// How many lights hang in each field, one fewer than the pieces.
    pub fields: Vec<usize>,
    pub cost: Cost,
}

/// The lesser the better, the first part first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Cost {
    pub pieces: usize,
    /// Cut lengths in all, sixteenths.
    pub lumber: u64,
    /// Clear widths of the fields in all, and how far their middles are off the lights', sixteenths.
    width: u64,
    off: u64,
}

impl Cost {
    pub fn of(pieces: usize, lumber: f64) -> Cost {
        Cost {
            pieces,
            lumber: sixteenths(lumber),
            width: 0,
            off: 0,
        }
    }

    pub fn and(self, more: Cost) -> Cost {
        Cost {
            pieces: self.pieces + more.pieces,
            lumber: self.lumber + more.lumber,
            width: self.width + more.width,
            off: self.off + more.off,
        }
    }
}

fn sixteenths(inches: f64) -> u64 {
    // The cast saturates, and takes what is no number for zero.
    (inches * 16.0).round().max(0.0) as u64
}

/// For each number of lights from `from` on, two or more, the least ladder that they hang from together.
pub fn ladders(work: &BayWork<'_>, from: usize) -> Vec<(usize, Ladder)> {
    let last = work.spots.len().min(from + MOST);
    // Of all ladders that end with a piece behind a light, the least for each place of that piece.
    let mut open: Vec<Vec<(f64, Ladder)>> = vec![Vec::new(); last];
    let mut done = Vec::new();
    for to in from..last {
        let mut best: Option<Ladder> = None;
        for at in gap(work, to).into_iter().filter(|_| to + 1 < last) {
            let Some(piece) = work.across(to, at) else {
                continue;
            };
            let cost = Cost::of(1, piece.cut);
            let begun = first(work, from, to, at).map(|(s, c)| (vec![s], Vec::new(), c, from));
            let carried = (from..to).flat_map(|behind| {
                open[behind].iter().filter_map(move |(x, ladder)| {
                    Some((ladder, field(work, behind + 1, to, *x, at)?, behind + 1))
                })
            });
            let carried =
                carried.map(|(l, c, start)| (l.stations.clone(), l.fields.clone(), l.cost.and(c), start));
            let least = begun.into_iter().chain(carried).min_by_key(|l| l.2);
            if let Some((mut stations, mut fields, so_far, start)) = least {
                stations.push(at);
                fields.push(to + 1 - start);
                let cost = so_far.and(cost);
                open[to].push((
                    at,
                    Ladder {
                        stations,
                        fields,
                        cost,
                    },
                ));
            }
        }
        // Closed behind this light.
        let ends = (from..to).flat_map(|behind| open[behind].iter().map(move |o| (behind + 1, o)));
        for (start, (x, ladder)) in ends {
            let Some((at, cost)) = closing(work, start, to, *x, 1.0) else {
                continue;
            };
            let cost = ladder.cost.and(cost);
            if best.as_ref().is_none_or(|b| cost < b.cost) {
                let (mut stations, mut fields) = (ladder.stations.clone(), ladder.fields.clone());
                stations.push(at);
                fields.push(to + 1 - start);
                best = Some(Ladder {
                    stations,
                    fields,
                    cost,
                });
            }
        }
        let single = (to > from).then(|| single(work, from, to)).flatten();
        let best = best.into_iter().chain(single).min_by_key(|l| l.cost);
        done.extend(best.map(|b| (to + 1 - from, b)));
    }
    done
}

/// Places for a piece between a light and the next.
fn gap(work: &BayWork<'_>, light: usize) -> Vec<f64> {
    let (Some(a), Some(b)) = (work.spots.get(light), work.spots.get(light + 1)) else {
        return Vec::new();
    };
    let half = THICKNESS / 2.0;
    let low = (a.station + a.small + half).max(b.station - b.housing.bars.greatest - half);
    let high = (b.station - b.small - half).min(a.station + a.housing.bars.greatest + half);
    let middle = (a.station + b.station) / 2.0;
    if !(low <= high && middle.is_finite()) {
        return Vec::new();
    }
    let steps = |end: f64| ((end - middle) / STEP).clamp(-200.0, 200.0);
    let (first, last) = (steps(low - 1e-6).ceil() as i64, steps(high + 1e-6).floor() as i64);
    let mut places: Vec<i64> = (first..=last).collect();
    places.sort_by_key(|k| (k.abs(), *k));
    // And as near to either light as may be, so that what just fits is found.
    let steps = places.into_iter().map(|k| middle + k as f64 * STEP);
    steps.chain([low, high]).collect()
}

/// What a field between two pieces costs beyond them; `None` where a light does not fit in it.
fn field(work: &BayWork<'_>, from: usize, to: usize, x: f64, y: f64) -> Option<Cost> {
    let lights = work.spots.get(from..=to)?;
    let (low, high) = (x + THICKNESS / 2.0, y - THICKNESS / 2.0);
    let fit = lights.iter().all(|s| s.fits(s.station - low, high - s.station));
    fit.then(|| Cost {
        width: sixteenths(high - low),
        off: lights
            .iter()
            .map(|s| sixteenths((low + high - 2.0 * s.station).abs() / 2.0))
            .sum(),
        ..Cost::default()
    })
}

/// The best first piece of a field whose other piece is known.
fn first(work: &BayWork<'_>, from: usize, to: usize, y: f64) -> Option<(f64, Cost)> {
    closing(work, from, to, y, -1.0)
}

/// The best piece beyond a known one, up or down the bay, for the lights between, with its cost and the field's.
fn closing(work: &BayWork<'_>, from: usize, to: usize, known: f64, toward: f64) -> Option<(f64, Cost)> {
    let lights = work.spots.get(from..=to)?;
    // A field that cannot hold them is not looked at.
    let spread = lights.last()?.station - lights.first()?.station;
    let places = widths(work, from, to).filter_map(|clear| {
        if clear < spread {
            return None;
        }
        let at = known + toward * (clear + THICKNESS);
        let cost = field(work, from, to, known.min(at), known.max(at))?;
        let piece = work.across(if toward > 0.0 { to } else { from }, at)?;
        Some((at, cost.and(Cost::of(1, piece.cut))))
    });
    places.min_by_key(|p| p.1)
}

/// Clear widths of a field, the least first.
fn widths(work: &BayWork<'_>, from: usize, to: usize) -> impl Iterator<Item = f64> {
    let lights = work.spots.get(from..=to).unwrap_or_default();
    let bars = lights.iter().map(|s| &s.housing.bars);
    let least = bars.clone().map(|b| b.least).fold(0.0, f64::max);
    let most = bars.map(|b| b.greatest).fold(WIDEST, f64::min);
    let count = ((most - least) / STEP).clamp(-1.0, 400.0).floor() as i64;
    (0..=count).map(move |k| least + k as f64 * STEP)
}

/// One field with all of the lights in it.
fn single(work: &BayWork<'_>, from: usize, to: usize) -> Option<Ladder> {
    let lights = work.spots.get(from..=to)?;
    let middle = (lights.first()?.station + lights.last()?.station) / 2.0;
    for clear in widths(work, from, to) {
        // Centred, then off it by more and more.
        for k in 0..=(clear / STEP).clamp(0.0, 400.0) as i64 {
            for shift in [k as f64 * STEP, -(k as f64) * STEP] {
                let half = (clear + THICKNESS) / 2.0;
                let (x, y) = (middle + shift - half, middle + shift + half);
                let Some(cost) = field(work, from, to, x, y) else {
                    continue;
                };
                let (Some(a), Some(b)) = (work.across(from, x), work.across(to, y)) else {
                    continue;
                };
                return Some(Ladder {
                    stations: vec![x, y],
                    fields: vec![to + 1 - from],
                    cost: cost.and(Cost::of(2, a.cut + b.cut)),
                });
            }
        }
    }
    None
}
