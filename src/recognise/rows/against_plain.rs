//! The row search against one that tries everything by the plainest means: the same findings, whatever the lights.
//!
//! [`plain`] has no bounds, no index but that of the lights, and forgets nothing it need not know.

use fastrand::Rng;
use geo::Coord;

use super::grid;
use super::seek;
use super::{Group, index};
use crate::plan::LightId;
use crate::rules::Rules;

#[path = "plain.rs"]
mod plain;

fn c(x: f64, y: f64) -> Coord {
    Coord { x, y }
}

fn turned(p: Coord, degrees: f64) -> Coord {
    let (sin, cos) = degrees.to_radians().sin_cos();
    c(p.x * cos - p.y * sin, p.x * sin + p.y * cos)
}

/// An array of lights: columns, rows, steps, each other row moved by `stagger`.
fn array(rng: &mut Rng) -> Vec<Coord> {
    let steps = [6.0, 12.0, 17.5, 24.0, 30.0, 48.0, 60.0];
    let (across, down) = (rng.u32(1..9), rng.u32(1..7));
    let (dx, dy) = (steps[rng.usize(..steps.len())], steps[rng.usize(..steps.len())]);
    let (stagger, skew) = match rng.u8(..3) {
        0 => (dx / 2.0, 0.0),
        1 => (0.0, dx / 5.0),
        _ => (0.0, 0.0),
    };
    let mut points = Vec::new();
    for j in 0..down {
        for i in 0..across {
            let x = f64::from(i) * dx + f64::from(j % 2) * stagger + f64::from(j) * skew;
            points.push(c(x, f64::from(j) * dy));
        }
    }
    points
}

/// One or two arrays, at any angle, on each other; lights moved a little, strewn about and left out.
fn lights(rng: &mut Rng) -> Vec<Coord> {
    let mut points = Vec::new();
    for _ in 0..rng.u8(1..3) {
        let degrees = [0.0, 90.0, 30.0, 17.3][rng.usize(..4)];
        let at = c(rng.f64() * 120.0, rng.f64() * 120.0);
        points.extend(array(rng).into_iter().map(|p| turned(p, degrees) + at));
    }
    let by = [0.0, 0.0, 0.02, 0.3, 2.0, 5.0][rng.usize(..6)];
    for p in &mut points {
        *p = *p + c((rng.f64() - 0.5) * by, (rng.f64() - 0.5) * by);
    }
    for _ in 0..rng.u8(..6) {
        points.push(c(rng.f64() * 300.0, rng.f64() * 300.0));
    }
    if rng.bool() {
        points.retain(|_| rng.u8(..8) > 0);
    }
    if rng.u8(..4) == 0 {
        let same = points.first().copied();
        points.extend(same);
    }
    let far = [0.0, 0.0, 2e6, -1e9][rng.usize(..4)];
    points.into_iter().map(|p| p + c(far, far)).collect()
}

fn group(rng: &mut Rng, points: &[Coord]) -> Group {
    let (low, high) = points
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), p| {
            (l.min(p.x), h.max(p.x))
        });
    let mut anywhere = || c(low + rng.f64() * (high - low), low + rng.f64() * (high - low));
    let walls: Vec<(Coord, Coord)> = (0..points.len() % 4).map(|_| (anywhere(), anywhere())).collect();
    let axes = [None, Some(c(1.0, 0.0)), Some(turned(c(1.0, 0.0), 30.0))];
    Group {
        lights: points.iter().enumerate().map(|(i, &p)| (LightId(i), p)).collect(),
        walls: index(&walls),
        axis: axes[rng.usize(..axes.len())],
    }
}

#[test]
fn finds_what_the_plain_search_finds() {
    let rules = Rules::default();
    let (mut rows, mut walled) = (0, 0);
    for seed in 0..80 {
        let mut rng = Rng::with_seed(seed);
        let points = lights(&mut rng);
        let group = group(&mut rng, &points);
        let (quick, plain) = (
            seek::candidates(&group, &rules),
            plain::candidates(&group, &rules),
        );
        assert_eq!(quick, plain, "seed {seed}");
        let (quick, plain) = (
            grid::without_diagonals(&group, quick),
            plain::without_diagonals(&group, plain),
        );
        assert_eq!(quick, plain, "seed {seed}");
        rows += quick.len();
        walled += usize::from(group.walls.size() > 0);
    }
    // The drawn cases are worth their name.
    assert!(rows > 250 && walled > 25, "{rows} {walled}");
}
