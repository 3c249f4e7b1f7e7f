//! Lumber has the same thickness and spacing in every house.
//!
//! Measured without knowing the unit: the lines on framing layers that run one way, how far each is
//! from the next beside it, and from the one after that. Both faces of a member are its thickness
//! apart; every second face is one spacing further.

use geo::Coord;

use super::super::classes::{Class, Classes};
use super::Candidate;
use super::sizes::direction;
use super::weigh::{Evidence, median, number, trust};
use crate::flatten::{Flat, Prim};

/// Dry lumber 1 1/2, engineered 1 3/4, wide flanges 2 1/2, doubled 3 and 3 1/2 (PS 20 and common
/// practice); 38 and 45 mm differ by less than the tolerance.
const THICK: [f64; 5] = [1.5, 1.75, 2.5, 3.0, 3.5];
/// 12, 16, 19.2, 24 in; 300, 400, 500, 600 mm (common practice).
const APART: [f64; 8] = [
    12.0,
    16.0,
    19.2,
    24.0,
    300.0 / 25.4,
    400.0 / 25.4,
    500.0 / 25.4,
    600.0 / 25.4,
];
/// As a share of the size: drawings rounded to a millimetre or 1/32 in stay within it.
const NEAR: f64 = 0.015;
/// Lines whose directions differ by less run one way.
const ONE_WAY: f64 = 0.005;
/// As a share of the whole width: lines nearer than this lie on one another.
const SAME: f64 = 2e-5;
/// What is beside a member is further off than this many times from its face to its middle.
const BESIDE: f64 = 3.0;
/// How many lines further a neighbour is looked for.
const AHEAD: usize = 24;

/// Most lines that are looked at.
const MOST: usize = 20_000;

/// A line as seen along its family: how far across, and from where to where along.
struct Run {
    across: f64,
    from: f64,
    to: f64,
}

pub fn framing(flat: &Flat, classes: &Classes, candidates: &[Candidate]) -> Vec<Evidence> {
    let mut lines = Vec::new();
    let mut widths = Vec::new();
    for (item, class) in flat.items.iter().zip(&classes.of) {
        if *class == Class::Framing {
            edges(&item.prim, &mut lines, &mut widths);
        }
    }
    // Thinning would part faces from each other: of very many lines the first ones do.
    lines.truncate(MOST);
    let runs = family(&lines);
    let (near, far) = neighbours(&runs);
    // Wide lines show their thickness themselves, and each is one member; of the gaps between faces
    // every second is one.
    let members = (near.len() / 2 + widths.len()).max(1);
    let faces: Vec<f64> = near.iter().copied().chain(widths).collect();
    let mut found = Vec::new();
    if !faces.is_empty() {
        found.push(Evidence::of(candidates, 3.0 * trust(faces.len()), |c| {
            let (count, middle) = fitting(&faces, &THICK, c.inches);
            let said = format!("members {} thick", number(middle.unwrap_or(0.0)));
            (count as f64 / members as f64, said)
        }));
    }
    if !near.is_empty() {
        found.push(Evidence::of(candidates, 3.0 * trust(near.len()), |c| {
            let ((direct, of_direct), (second, of_second)) =
                (fitting(&near, &APART, c.inches), fitting(&far, &APART, c.inches));
            let (count, middle) = if direct >= second {
                (direct, of_direct)
            } else {
                (second, of_second)
            };
            let said = format!("members {} apart", number(middle.unwrap_or(0.0)));
            (count as f64 / near.len() as f64, said)
        }));
    }
    found
}

/// How many of `values` are one of `sizes`, and their middle.
fn fitting(values: &[f64], sizes: &[f64], inches: f64) -> (usize, Option<f64>) {
    let fit: Vec<f64> = (values.iter().copied())
        .filter(|v| sizes.iter().any(|s| (v * inches - s).abs() <= NEAR * s))
        .collect();
    (fit.len(), median(fit))
}

fn edges(prim: &Prim, lines: &mut Vec<(Coord, Coord)>, widths: &mut Vec<f64>) {
    match prim {
        Prim::Segment { from, to } => lines.push((*from, *to)),
        Prim::Path { vertices, closed } => {
            let next = vertices
                .iter()
                .skip(1)
                .chain(vertices.first().filter(|_| *closed));
            for (a, b) in vertices.iter().zip(next) {
                if a.bulge == 0.0 {
                    lines.push((a.at, b.at));
                    if a.start_width > 0.0 {
                        widths.push(a.start_width);
                    }
                }
            }
        }
        Prim::Face(ring) => {
            let next = ring.iter().cycle().skip(1);
            lines.extend(ring.iter().copied().zip(next.copied()));
        }
        _ => {}
    }
}

/// The lines of the direction with the greatest length in all, seen along it, sorted across.
fn family(lines: &[(Coord, Coord)]) -> Vec<Run> {
    let mut turned: Vec<(f64, f64, Coord, Coord)> = (lines.iter())
        .filter_map(|&(a, b)| direction(a, b).map(|(angle, length)| (angle, length, a, b)))
        .collect();
    turned.sort_by(|a, b| a.0.total_cmp(&b.0));
    // Once more, half a turn on, so that a family about 0 and 180 degrees is one.
    let again: Vec<_> = (turned.iter())
        .take_while(|t| t.0 <= ONE_WAY)
        .map(|&(angle, length, a, b)| (angle + std::f64::consts::PI, length, a, b))
        .collect();
    turned.extend(again);
    let mut best = (0.0, 0..0);
    let (mut first, mut sum) = (0, 0.0);
    for (i, line) in turned.iter().enumerate() {
        sum += line.1;
        while let Some(early) = turned.get(first).filter(|l| line.0 - l.0 > ONE_WAY) {
            sum -= early.1;
            first += 1;
        }
        if sum > best.0 {
            best = (sum, first..i + 1);
        }
    }
    let chosen = turned.get(best.1).unwrap_or_default();
    let Some(longest) = chosen.iter().max_by(|a, b| a.1.total_cmp(&b.1)) else {
        return Vec::new();
    };
    let (sin, cos) = longest.0.sin_cos();
    let origin = longest.2;
    let seen = |p: Coord| {
        let (x, y) = (p.x - origin.x, p.y - origin.y);
        (x * cos + y * sin, y * cos - x * sin)
    };
    let mut runs: Vec<Run> = (chosen.iter())
        .map(|&(_, _, a, b)| {
            let (a, b) = (seen(a), seen(b));
            Run {
                across: (a.1 + b.1) / 2.0,
                from: a.0.min(b.0),
                to: a.0.max(b.0),
            }
        })
        .collect();
    runs.sort_by(|a, b| a.across.total_cmp(&b.across).then(a.from.total_cmp(&b.from)));
    runs
}

/// For each line the distance to the next beside it, and to the one after that. A line halfway between two faces is their
/// member's middle line, and no face.
fn neighbours(runs: &[Run]) -> (Vec<f64>, Vec<f64>) {
    let width = match (runs.first(), runs.last()) {
        (Some(a), Some(b)) => b.across - a.across,
        _ => 0.0,
    };
    let same = width * SAME;
    let beside = |run: &Run, other: &Run| {
        let shared = run.to.min(other.to) - run.from.max(other.from);
        let short = (run.to - run.from).min(other.to - other.from);
        shared >= short / 2.0
    };
    // The next three beside each line.
    let next: Vec<Vec<usize>> = (runs.iter().enumerate())
        .map(|(i, run)| {
            let (mut at, mut met) = (run.across, Vec::new());
            for (j, other) in runs.iter().enumerate().skip(i + 1).take(AHEAD) {
                if other.across - at <= same || !beside(run, other) {
                    continue;
                }
                at = other.across;
                met.push(j);
                if met.len() == 3 {
                    break;
                }
            }
            met
        })
        .collect();
    let gap = |i: usize, j: usize| runs[j].across - runs[i].across;
    let mut middle = vec![false; runs.len()];
    for (i, met) in next.iter().enumerate() {
        let [m, j, rest @ ..] = met.as_slice() else {
            continue;
        };
        let (one, two) = (gap(i, *m), gap(*m, *j));
        let further = rest.first().is_some_and(|k| gap(*j, *k) > BESIDE * one);
        if !middle[i] && further && (one - two).abs() <= NEAR * one {
            middle[*m] = true;
        }
    }
    let (mut near, mut far) = (Vec::new(), Vec::new());
    for (i, met) in next.iter().enumerate().filter(|(i, _)| !middle[*i]) {
        let mut met = met.iter().filter(|m| !middle[**m]);
        near.extend(met.next().map(|&m| gap(i, m)));
        far.extend(met.next().map(|&m| gap(i, m)));
    }
    (near, far)
}
