//! Figures on light layers that are drawn as loose lines and are neither whole circles nor squares: circles in pieces,
//! octagons, hexagons, long fixtures.
//!
//! Drawings that went through another format are full of them. Equal round ones that repeat are lights; what else
//! repeats is asked about, never lost without a word.

use std::collections::BTreeMap;

use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::Class;
use super::devices::clusters;
use super::drawn_as::{Writing, answers, ruled};
use super::round::{Lettering, Round};
use super::shape::{area, bounds, chords, distance, hull};
use crate::flatten::{Flat, Prim};
use crate::length::inches_only;
use crate::note::Note;
use crate::rules::Rules;

/// Across, inches: round ones as lights are drawn (common practice), others up to a fixture of four feet.
const ACROSS: std::ops::RangeInclusive<f64> = 3.0..=18.0;
const LONGEST: f64 = 50.0;
/// The shorter side.
const NARROWEST: f64 = 2.0;
/// Fewer equal ones do not repeat.
const FEWEST: usize = 3;
/// A hull is round whose corners are off its radius by no more than this share, and that fills so much of the circle:
/// an octagon fills 0.90, a hexagon 0.83.
const OFF: f64 = 0.06;
const FILLS: f64 = 0.86;
/// Lines within so many radii of a light that is known belong to it.
const OF_ANOTHER: f64 = 1.5;

/// One figure.
struct Figure {
    round: Round,
    /// Longer and shorter side, and whether it is round.
    long: f64,
    short: f64,
    is_round: bool,
}

/// Round figures among `items` that repeat, as lights. `known` are those that are lights already.
pub fn figures(
    flat: &Flat,
    items: &[usize],
    known: &[Round],
    rules: &Rules,
    notes: &mut Vec<Note>,
) -> Vec<Round> {
    let found = loose(flat, items, known);
    if found.is_empty() {
        return Vec::new();
    }
    let (lettering, writing) = (Lettering::new(flat), Writing::new(flat));
    let name = |f: &Figure| writing.figure(&f.round, f.long, f.short);
    let mut lights = Vec::new();
    let mut sizes: BTreeMap<(bool, i64, i64), Vec<Figure>> = BTreeMap::new();
    for figure in found {
        if ruled(&rules.read, &name(&figure)) == Some(Class::Light) {
            lights.push(figure.round);
            continue;
        }
        let eighths = |v: f64| (v * 8.0).round() as i64;
        let key = (figure.is_round, eighths(figure.long), eighths(figure.short));
        sizes.entry(key).or_default().push(figure);
    }
    for equal in sizes.into_values() {
        let (n, first) = (equal.len(), &equal[0]);
        let marked = equal.iter().filter(|f| lettering.is_in(&f.round)).count();
        let size = match first.is_round {
            true => format!("{} across", inches_only(first.long)),
            false => format!("{} by {}", inches_only(first.long), inches_only(first.short)),
        };
        let answers = answers(rules, &equal.iter().map(name).collect());
        let round = first.is_round && ACROSS.contains(&first.long);
        if round && n >= FEWEST && 2 * marked < n {
            notes.push(Note::warning(
                "figures-lights",
                format!(
                    "{n} equal round figures, drawn in pieces, are taken for recessed lights ({size}, on light layers): {answers}"
                ),
            ));
            lights.extend(equal.into_iter().map(|f| f.round));
        } else if n >= FEWEST || round && marked == 0 {
            notes.push(Note::warning(
                "figures-asked",
                format!(
                    "{n} equal figure(s) of loose lines on light layers are not taken for lights ({size}, the first at ({:.0}, \
                     {:.0}) in): {answers}",
                    first.round.center.x, first.round.center.y
                ),
            ));
        }
    }
    lights.sort_by_key(|r| r.item);
    lights
}

/// Every such figure among `items`, with its longer and its shorter side, inches.
pub fn all(flat: &Flat, items: &[usize], known: &[Round]) -> Vec<(Round, f64, f64)> {
    let found = loose(flat, items, known);
    found.into_iter().map(|f| (f.round, f.long, f.short)).collect()
}

/// Figures of loose lines that are of no light that is known.
fn loose(flat: &Flat, items: &[usize], known: &[Round]) -> Vec<Figure> {
    let tree: RTree<GeomWithData<[f64; 2], f64>> = RTree::bulk_load(
        known
            .iter()
            .map(|r| GeomWithData::new([r.center.x, r.center.y], r.radius))
            .collect(),
    );
    let mut taken: Vec<usize> = known.iter().flat_map(|r| r.parts.iter().copied()).collect();
    taken.sort_unstable();
    let free = |i: &usize| {
        let item = &flat.items[*i];
        if item.within.is_some() || item.leads() || matches!(item.prim, Prim::Symbol(_) | Prim::Text { .. }) {
            return false;
        }
        let Some((low, high)) = chords(&item.prim).and_then(|(points, _)| bounds(points)) else {
            return false;
        };
        let middle = (low + high) * 0.5;
        let near = tree.nearest_neighbor([middle.x, middle.y]);
        let another = near
            .is_some_and(|g| (g.geom()[0] - middle.x).hypot(g.geom()[1] - middle.y) <= OF_ANOTHER * g.data);
        (high.x - low.x).max(high.y - low.y) <= LONGEST && !another && taken.binary_search(i).is_err()
    };
    let loose: Vec<usize> = items.iter().copied().filter(free).collect();
    let Some(groups) = clusters(flat, &loose) else {
        return Vec::new();
    };
    let parted = groups.into_iter().flat_map(|group| parted(flat, group));
    parted.filter_map(|parts| figure(flat, parts)).collect()
}

/// The round figures that wires join, without the wires; a group that holds none as it stands.
fn parted(flat: &Flat, group: Vec<usize>) -> Vec<Vec<usize>> {
    let wire = |i: &usize| {
        let drawn = chords(&flat.items[*i].prim).filter(|(_, closed)| !closed);
        let (low, high) = drawn.and_then(|(points, _)| bounds(points)).unwrap_or_default();
        distance(low, high) > *ACROSS.end()
    };
    if !group.iter().any(wire) {
        return vec![group];
    }
    let short: Vec<usize> = group.iter().copied().filter(|i| !wire(i)).collect();
    let parts = clusters(flat, &short).unwrap_or_default();
    let round = |f: Figure| f.is_round && ACROSS.contains(&f.long);
    match parts.iter().any(|p| figure(flat, p.clone()).is_some_and(round)) {
        true => parts,
        false => vec![group],
    }
}

/// What a group of touching pieces is.
fn figure(flat: &Flat, mut parts: Vec<usize>) -> Option<Figure> {
    parts.sort_unstable();
    let drawn = parts.iter().filter_map(|&i| chords(&flat.items[i].prim));
    let points: Vec<geo::Coord> = drawn.flat_map(|(points, _)| points).collect();
    let ring = hull(&points);
    let (low, high) = bounds(ring.iter().copied())?;
    let (long, short) = super::shape::rectangle(&ring);
    // One open curve longer than a light is a wire.
    let open = |&i: &usize| chords(&flat.items[i].prim).is_some_and(|(_, closed)| !closed);
    if parts.len() == 1 && parts.iter().all(open) && long > *ACROSS.end() {
        return None;
    }
    if long > LONGEST || short < NARROWEST || long < *ACROSS.start() {
        return None;
    }
    let center = (low + high) * 0.5;
    let radii: Vec<f64> = ring.iter().map(|p| distance(*p, center)).collect();
    let radius = radii.iter().sum::<f64>() / radii.len() as f64;
    let even = radii.iter().all(|r| (r - radius).abs() <= OFF * radius);
    let fills = area(&ring).abs() >= FILLS * std::f64::consts::PI * radius * radius;
    Some(Figure {
        round: Round {
            center,
            radius: if even && fills { radius } else { long / 2.0 },
            item: *parts.first()?,
            parts,
        },
        long,
        short,
        is_round: even && fills,
    })
}
