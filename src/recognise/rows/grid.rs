//! Grids: of a lattice's many lines, its two shortest directions are rows.
//!
//! Rows are taken in the order of their step, the shortest first. A longer one is a diagonal where most
//! of its lights already stand in rows of two directions, or most of its steps go from one
//! row to another by way of a light that both share.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use geo::{Coord, Vector2DOps};

use super::{Group, line};
use crate::geom::Line;

/// Steps within this ratio count as equal, but for rounding.
pub(super) const SAME_STEP: f64 = 1.001;
/// Rows of one lattice direction differ in step by no more than this ratio.
const SIMILAR_STEP: f64 = 1.2;
/// And by no more than this in angle: sin 3°.
const PARALLEL: f64 = 0.0523;
/// Lines at less than this angle have one direction: sin 15°.
const SAME_DIRECTION: f64 = 0.2588;
/// A line is parallel to the axis within this: sin 1°.
const AXIAL: f64 = 0.01745;

pub(super) struct Candidate {
    pub(super) lights: Vec<usize>,
    pub(super) line: Line,
    pub(super) step: f64,
    pub(super) width: f64,
    pub(super) axial: bool,
}

/// The candidates that are rows, as sets of lights in order along the row.
pub(super) fn without_diagonals(group: &Group, sets: Vec<Vec<usize>>) -> Vec<Vec<usize>> {
    let all = sets.into_iter().filter_map(|set| candidate(group, set)).collect();
    let mut left = one_a_line(group.lights.len(), all);
    even_out(&mut left);
    let mut rows: Vec<Candidate> = Vec::new();
    let mut rows_of = vec![Vec::new(); group.lights.len()];
    while !left.is_empty() {
        let least = left.iter().map(|c| c.step).fold(f64::INFINITY, f64::min);
        let first = left
            .iter()
            .enumerate()
            .filter(|(_, c)| c.step <= least * SAME_STEP)
            .min_by(|(_, a), (_, b)| by_claim(a, b))
            .map(|(i, _)| i);
        let Some(first) = first else { break };
        let next = left.swap_remove(first);
        if !is_diagonal(&next, &rows, &rows_of) {
            enter(&mut rows_of, rows.len(), &next.lights);
            rows.push(next);
        }
    }
    rows.into_iter().map(|c| c.lights).collect()
}

/// Of each light the numbers of the rows it stands in, with one more.
fn enter(rows_of: &mut [Vec<usize>], row: usize, lights: &[usize]) {
    for &i in lights {
        if let Some(rows) = rows_of.get_mut(i) {
            rows.push(row);
        }
    }
}

pub(super) fn candidate(group: &Group, lights: Vec<usize>) -> Option<Candidate> {
    let points: Vec<Coord> = lights.iter().filter_map(|&i| group.at(i)).collect();
    let zone = crate::geom::zone::minimum_zone(&points)?;
    let stations: Vec<f64> = points.iter().map(|&p| zone.line.station(p)).collect();
    let step = line::median_gap(line::gaps(&stations).map(f64::abs))?;
    let axial = group.axis.is_some_and(|axis| {
        let along = zone.line.along;
        along.wedge_product(axis).abs().min(along.dot_product(axis).abs()) <= AXIAL
    });
    Some(Candidate {
        lights,
        line: zone.line,
        step,
        width: zone.width,
        axial,
    })
}

/// Parallel to the axis first, then the one with more lights, then the straighter.
pub(super) fn by_claim(a: &Candidate, b: &Candidate) -> Ordering {
    (b.axial.cmp(&a.axial))
        .then(b.lights.len().cmp(&a.lights.len()))
        .then(rounded(a.width).cmp(&rounded(b.width)))
        .then(a.lights.cmp(&b.lights))
}

/// To a thousandth of an inch, so that rounding does not decide.
pub(super) fn rounded(width: f64) -> i64 {
    (width * 1000.0).round() as i64
}

/// Two lines of nearly one direction that share two lights are one row seen twice: the fuller stays.
fn one_a_line(lights: usize, mut all: Vec<Candidate>) -> Vec<Candidate> {
    all.sort_by(|a, b| {
        (b.lights.len().cmp(&a.lights.len()))
            .then(rounded(a.width).cmp(&rounded(b.width)))
            .then(a.lights.cmp(&b.lights))
    });
    let mut kept: Vec<Candidate> = Vec::new();
    let mut kept_of = vec![Vec::new(); lights];
    for next in all {
        let mut shared: BTreeMap<usize, usize> = BTreeMap::new();
        for &row in next.lights.iter().filter_map(|&i| kept_of.get(i)).flatten() {
            *shared.entry(row).or_default() += 1;
        }
        let twice = shared
            .into_iter()
            .any(|(row, count)| count >= 2 && kept.get(row).is_some_and(|row| same_direction(row, &next)));
        if !twice {
            enter(&mut kept_of, kept.len(), &next.lights);
            kept.push(next);
        }
    }
    kept
}

pub(super) fn same_direction(a: &Candidate, b: &Candidate) -> bool {
    a.line.along.wedge_product(b.line.along).abs() < SAME_DIRECTION
}

/// Gives each candidate the median step of those parallel to it, so that lights drawn an inch or two off
/// do not make one diagonal's step shorter than the row's beside it.
pub(super) fn even_out(all: &mut [Candidate]) {
    let steps: Vec<Option<f64>> = all
        .iter()
        .map(|one| {
            let like = all.iter().filter(|c| {
                c.line.along.wedge_product(one.line.along).abs() < PARALLEL
                    && c.step <= one.step * SIMILAR_STEP
                    && one.step <= c.step * SIMILAR_STEP
            });
            line::median_gap(like.map(|c| c.step))
        })
        .collect();
    for (candidate, step) in all.iter_mut().zip(steps) {
        candidate.step = step.unwrap_or(candidate.step);
    }
}

/// `rows_of`: of each light the rows it stands in.
fn is_diagonal(next: &Candidate, rows: &[Candidate], rows_of: &[Vec<usize>]) -> bool {
    let through = |light: usize| rows_of.get(light).map_or(&[][..], Vec::as_slice);
    let meet = |row: usize, other: usize| {
        let lights = rows.get(row).map(|r| r.lights.as_slice());
        lights.is_some_and(|l| l.iter().any(|&i| through(i).contains(&other)))
    };
    let full = next.lights.iter().filter(|&&i| through(i).len() > 1).count();
    let by_way = next.lights.windows(2).filter(|step| {
        let (Some(&a), Some(&b)) = (step.first(), step.last()) else {
            return false;
        };
        let (of_a, of_b) = (through(a), through(b));
        of_a.iter().filter(|row| !of_b.contains(row)).any(|&row| {
            let others = of_b.iter().filter(|other| !of_a.contains(other));
            others.into_iter().any(|&other| meet(row, other))
        })
    });
    full * 2 > next.lights.len() || by_way.count() * 2 > next.lights.len().saturating_sub(1)
}
