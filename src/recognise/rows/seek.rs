//! Candidate rows: every line of at least three lights in a band, diagonals of grids included.

use std::collections::BTreeSet;

use geo::{Coord, Vector2DOps};
use rstar::primitives::GeomWithData;
use rstar::{AABB, RTree};

use super::{Group, line};
use crate::geom::strip::Strip;
use crate::geom::zone::minimum_zone;
use crate::geom::{FUZZ, Line};
use crate::rules::Rules;

/// A row's first step is looked for among this many nearest neighbours of a light.
const NEIGHBOURS: usize = 40;
/// Pairs of lights that both stand in this many candidates already, all of shorter or like step, are not
/// tried: two of a lattice's lines through a light are rows, and twice as many leave room for doubt.
pub(super) const ENOUGH: usize = 4;
/// How often a row is fitted and gathered anew before it is taken as it is.
pub(super) const ROUNDS: usize = 8;
/// A light this far off costs as much as one this many times further along.
pub(super) const OFF_COSTS: f64 = 4.0;
/// The band is never wider to a side than this share of the step, lest it take in the next row.
const BAND_OF_STEP: f64 = 0.25;

pub(super) type Spot = GeomWithData<[f64; 2], usize>;

/// Sets of lights (indices into the group, in order along the row) that may be rows. Each pair of
/// neighbours is tried as the start of a row unless a row with both was found.
pub(super) fn candidates(group: &Group, rules: &Rules) -> Vec<Vec<usize>> {
    let count = group.lights.len();
    if count < 3 {
        return Vec::new();
    }
    let spots: Vec<Spot> = group
        .lights
        .iter()
        .enumerate()
        .map(|(i, (_, p))| Spot::new([p.x, p.y], i))
        .collect();
    let index = RTree::bulk_load(spots);
    let mut found: BTreeSet<Vec<usize>> = BTreeSet::new();
    // Of each light the rows found, by number.
    let mut rows_of: Vec<Vec<usize>> = vec![Vec::new(); count];
    // Rows as they were grown: most grow from several pairs, and settle as they did before.
    let mut known: BTreeSet<Vec<usize>> = BTreeSet::new();
    for (_, a, b) in seeds(group, &index) {
        let (Some(of_a), Some(of_b)) = (rows_of.get(a), rows_of.get(b)) else {
            continue;
        };
        let joined = of_a.iter().any(|row| of_b.contains(row));
        if joined || (of_a.len() >= ENOUGH && of_b.len() >= ENOUGH) {
            continue;
        }
        let grown = grow(group, &index, [a, b], rules);
        if known.contains(&grown) {
            continue;
        }
        let settled = settle(group, &index, grown.clone(), rules);
        known.insert(grown);
        let Some(settled) = settled.filter(|s| !found.contains(s)) else {
            continue;
        };
        let number = found.len();
        for &i in &settled {
            if let Some(rows) = rows_of.get_mut(i) {
                rows.push(number);
            }
        }
        found.insert(settled);
    }
    found.into_iter().collect()
}

/// Pairs of neighbours, the nearest first.
pub(super) fn seeds(group: &Group, index: &RTree<Spot>) -> Vec<(f64, usize, usize)> {
    let mut seeds = Vec::new();
    for (i, &(_, p)) in group.lights.iter().enumerate() {
        for spot in index.nearest_neighbor_iter([p.x, p.y]).take(NEIGHBOURS + 1) {
            let Some(q) = group.at(spot.data) else { continue };
            let step = (q - p).magnitude();
            // Both directions are asked for, since nearness is not mutual.
            if spot.data != i && step > FUZZ {
                seeds.push((step, i.min(spot.data), i.max(spot.data)));
            }
        }
    }
    seeds.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    seeds.dedup_by_key(|s| (s.1, s.2));
    seeds
}

/// Adds lights beyond both ends, the cheapest first, as long as all fit in one band.
fn grow(group: &Group, index: &RTree<Spot>, pair: [usize; 2], rules: &Rules) -> Vec<usize> {
    let mut row: Vec<usize> = pair.into();
    loop {
        let after = next(group, index, &row, rules);
        row.extend(after);
        row.reverse();
        let before = next(group, index, &row, rules);
        row.extend(before);
        row.reverse();
        if after.is_none() && before.is_none() {
            return row;
        }
    }
}

/// The light that continues `row` beyond its last one.
fn next(group: &Group, index: &RTree<Spot>, row: &[usize], rules: &Rules) -> Option<usize> {
    let points: Vec<Coord> = row.iter().filter_map(|&i| group.at(i)).collect();
    let (first, last) = (*points.first()?, *points.last()?);
    let line = Line::through(first, last)?;
    let step = line::median_gap(
        points
            .windows(2)
            .filter_map(|w| Some((*w.get(1)? - *w.first()?).magnitude())),
    )?;
    let reach = step * rules.tolerance.gap_ratio + FUZZ;
    let band = band(step, rules);
    let end = line.station(last);
    let fit = Fit::new(&points, line, end, 2.0 * band);
    let corner = |sign: f64| [last.x + sign * reach, last.y + sign * reach];
    let strip = Strip {
        within: AABB::from_corners(corner(-1.0), corner(1.0)),
        line,
        stations: (end + band, end + reach),
        half: fit.reaches(reach),
    };
    let mut best: Option<(f64, usize)> = None;
    for spot in index.locate_with_selection_function(strip) {
        let Some(p) = group.at(spot.data) else { continue };
        let ahead = line.station(p) - end;
        if ahead <= band || ahead > reach {
            continue;
        }
        let off = line.offset(p);
        let cost = ahead + OFF_COSTS * off.abs();
        if best.is_some_and(|(least, i)| cost > least + FUZZ || (cost >= least - FUZZ && spot.data > i)) {
            continue;
        }
        if !row.contains(&spot.data) && fit.with(&points, p, off) && !group.walled(last, p) {
            best = Some((cost, spot.data));
        }
    }
    best.map(|(_, i)| i)
}

/// Whether a row and one light more lie in a zone of some width. Most are told by bounds on the zone: no wider than
/// about the line through the row's ends, no narrower than about three of the lights.
struct Fit {
    width: f64,
    /// Length of the row, and how far its lights are off the line through its ends.
    length: f64,
    offsets: (f64, f64),
    first: Coord,
    last: Coord,
}

impl Fit {
    fn new(points: &[Coord], line: Line, length: f64, width: f64) -> Fit {
        let offsets = points.iter().map(|&p| line.offset(p));
        let offsets = offsets.fold((0.0_f64, 0.0_f64), |(l, h), v| (l.min(v), h.max(v)));
        Fit {
            width,
            length,
            offsets,
            first: line.point,
            last: line.at(length),
        }
    }

    /// Nearer than this to the width the bounds are not trusted: their rounding is another one.
    fn doubt(&self, far: f64) -> f64 {
        FUZZ + 1e-9 * (self.length + far)
    }

    /// How far off the line a light may be that fits, where it is within `reach` of the row's end.
    fn reaches(&self, reach: f64) -> f64 {
        // The zone of first, last and light is the triangle's least height: off * length / its longest side.
        let width = self.width + self.doubt(reach);
        let squared = self.length * self.length - width * width;
        if squared > 0.0 {
            width * (self.length + reach) / squared.sqrt() + FUZZ
        } else {
            f64::INFINITY
        }
    }

    fn with(&self, points: &[Coord], p: Coord, off: f64) -> bool {
        let doubt = self.doubt(off.abs() + (p - self.last).magnitude());
        if self.offsets.1.max(off) - self.offsets.0.min(off) < self.width - doubt {
            return true;
        }
        let sides = [
            self.length,
            (p - self.first).magnitude(),
            (p - self.last).magnitude(),
        ];
        let longest = sides.into_iter().fold(0.0, f64::max);
        if off.abs() * self.length > (self.width + doubt) * longest {
            return false;
        }
        let with: Vec<Coord> = points.iter().copied().chain([p]).collect();
        minimum_zone(&with).is_some_and(|zone| zone.width <= self.width)
    }
}

/// Distance from the row line within which a light belongs to a row of this step.
pub(super) fn band(step: f64, rules: &Rules) -> f64 {
    rules.tolerance.capture.min(step * BAND_OF_STEP)
}

/// Fits the line and gathers what lies in its band, until nothing changes. Where two sets each lead to
/// the other, lights are from then on only taken out. `None` where fewer than three stay.
fn settle(group: &Group, index: &RTree<Spot>, mut row: Vec<usize>, rules: &Rules) -> Option<Vec<usize>> {
    let mut round = 0;
    while row.len() >= 3 {
        let fitted = line::fit(group, &row, rules)?;
        let step = step_along(group, &row, fitted.line)?;
        let mut gathered = gather(group, index, &row, fitted.line, band(step, rules), rules);
        if round >= ROUNDS {
            gathered.retain(|i| row.contains(i));
        }
        if gathered == row {
            return Some(row);
        }
        // Taking out ends at the latest when nothing is left; the same lights in a new order are the same row.
        if round >= ROUNDS && gathered.len() == row.len() {
            return Some(gathered);
        }
        row = gathered;
        round += 1;
    }
    None
}

pub(super) fn step_along(group: &Group, row: &[usize], line: Line) -> Option<f64> {
    let stations: Vec<f64> = row
        .iter()
        .filter_map(|&i| group.at(i))
        .map(|p| line.station(p))
        .collect();
    line::median_gap(line::gaps(&stations))
}

/// All lights in the band, cut at walls and long gaps: of the pieces, the one that shares most with
/// `row`.
fn gather(
    group: &Group,
    index: &RTree<Spot>,
    row: &[usize],
    line: Line,
    band: f64,
    rules: &Rules,
) -> Vec<usize> {
    let stations = row.iter().filter_map(|&i| group.at(i)).map(|p| line.station(p));
    let (low, high) = stations.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), s| {
        (l.min(s), h.max(s))
    });
    // What continues the row lies no further beyond its ends than the row is long, times the ratio.
    let spare = (high - low) * rules.tolerance.gap_ratio + band;
    let (a, b) = (line.at(low - spare), line.at(high + spare));
    let envelope = AABB::from_corners(
        [a.x.min(b.x) - band, a.y.min(b.y) - band],
        [a.x.max(b.x) + band, a.y.max(b.y) + band],
    );
    let strip = Strip {
        within: envelope,
        line,
        stations: (f64::NEG_INFINITY, f64::INFINITY),
        half: band + FUZZ,
    };
    let mut inside: Vec<(f64, usize)> = index
        .locate_with_selection_function(strip)
        .filter_map(|spot| Some((spot.data, group.at(spot.data)?)))
        .filter(|&(_, p)| line.offset(p).abs() <= band + FUZZ)
        .map(|(i, p)| (line.station(p), i))
        .collect();
    inside.sort_by(|x, y| x.0.total_cmp(&y.0).then(x.1.cmp(&y.1)));
    let mut pieces = vec![Vec::new()];
    let mut before: Option<Coord> = None;
    for (_, i) in inside {
        let Some(p) = group.at(i) else { continue };
        if before.is_some_and(|q| group.walled(q, p)) {
            pieces.push(Vec::new());
        }
        if let Some(piece) = pieces.last_mut() {
            piece.push(i);
        }
        before = Some(p);
    }
    let mut best: (usize, Vec<usize>) = (0, Vec::new());
    while let Some(piece) = pieces.pop() {
        if let Some((left, right)) = cut(group, &piece, line, rules) {
            pieces.extend([left, right]);
            continue;
        }
        let shared = piece.iter().filter(|i| row.contains(i)).count();
        let size = |p: &[usize]| (p.len(), std::cmp::Reverse(p.to_vec()));
        if shared > best.0 || (shared == best.0 && size(&piece) > size(&best.1)) {
            best = (shared, piece);
        }
    }
    best.1
}

/// The two parts of a piece whose longest gap is above the ratio of its median gap.
pub(super) fn cut(
    group: &Group,
    piece: &[usize],
    line: Line,
    rules: &Rules,
) -> Option<(Vec<usize>, Vec<usize>)> {
    let stations: Vec<f64> = piece
        .iter()
        .filter_map(|&i| group.at(i))
        .map(|p| line.station(p))
        .collect();
    let median = line::median_gap(line::gaps(&stations))?;
    let (at, longest) = line::gaps(&stations)
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    if longest <= median * rules.tolerance.gap_ratio + FUZZ {
        return None;
    }
    let (left, right) = piece.split_at_checked(at + 1)?;
    Some((left.to_vec(), right.to_vec()))
}
