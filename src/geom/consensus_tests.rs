//! The consensus line against brute force over all lines tangent to two points' discs.

use approx::assert_abs_diff_eq;
use geo::{Coord, Vector2DOps};
use proptest::prelude::*;

use super::consensus::{consensus, kept_over, largest_sets};
use super::{Line, unit};

const TURNS: [f64; 5] = [0.0, 17.0, 90.0, 211.5, 359.0];

fn turned(p: Coord, degrees: f64) -> Coord {
    let (sin, cos) = degrees.to_radians().sin_cos();
    Coord {
        x: p.x * cos - p.y * sin,
        y: p.x * sin + p.y * cos,
    }
}

fn row(ys: &[f64]) -> Vec<Coord> {
    (0_u8..)
        .zip(ys)
        .map(|(i, &y)| Coord {
            x: f64::from(i) * 48.0,
            y,
        })
        .collect()
}

/// Greatest number of points within `half` of any line: if one line keeps a set, one tangent to the
/// discs of radius `half` about two of its points does (derived).
fn brute_count(points: &[Coord], half: f64) -> usize {
    let mut best = 1;
    for (i, &a) in points.iter().enumerate() {
        for &b in points.iter().skip(i + 1) {
            let Some(u) = unit(b - a) else { continue };
            let r = (b - a).magnitude();
            let mut lines = Vec::new();
            for side in [-1.0, 1.0] {
                lines.extend(Line::through(
                    a + u.left() * (half * side),
                    b + u.left() * (half * side),
                ));
                if r > 2.0 * half {
                    let sin = 2.0 * half / r * side;
                    let along = u * (1.0 - sin * sin).sqrt() + u.left() * sin;
                    lines.extend(Line::through((a + b) / 2.0, (a + b) / 2.0 + along));
                }
            }
            for line in lines {
                let count = points
                    .iter()
                    .filter(|&&p| line.offset(p).abs() <= half + 1e-6)
                    .count();
                best = best.max(count);
            }
        }
    }
    best
}

#[test]
fn one_stray_does_not_drag_the_line() {
    for shift in [0.0, 2e6] {
        for degrees in TURNS {
            for stray in [0, 6, 12] {
                let mut ys = [0.0; 13];
                ys[stray] = 0.1875;
                let points: Vec<Coord> = row(&ys)
                    .into_iter()
                    .map(|p| turned(p, degrees) + Coord { x: shift, y: -shift })
                    .collect();
                let found = consensus(&points, 0.03125, None).unwrap();
                assert_eq!(found.kept.len(), 12, "{degrees} {stray}");
                assert_abs_diff_eq!(found.line.offset(points[stray]).abs(), 0.1875, epsilon = 1e-6);
                assert_abs_diff_eq!(found.width, 0.0, epsilon = 1e-6);
            }
        }
    }
}

#[test]
fn of_three_the_axis_decides_then_the_ends() {
    let axis = Coord { x: 1.0, y: 0.0 };
    // The last is off; the first two are parallel to the axis.
    let found = consensus(&row(&[0.0, 0.0, 0.3]), 0.03125, Some(axis)).unwrap();
    assert_eq!(found.kept, [0, 1]);
    // Square to the axis is parallel too.
    let found = consensus(&row(&[0.0, 0.0, 0.3]), 0.03125, Some(axis.left())).unwrap();
    assert_eq!(found.kept, [0, 1]);
    // Nothing known: through both ends.
    let found = consensus(&row(&[0.0, 0.0, 0.3]), 0.03125, None).unwrap();
    assert_eq!(found.kept, [0, 2]);
}

#[test]
fn narrowest_of_equals() {
    // {0,1,2} lie within 0.02 of a line and {2,3,4} exactly on one; neither is parallel to an axis and
    // the line through both ends keeps two.
    let points = row(&[0.0, 10.02, 20.0, 25.0, 30.0]);
    assert_eq!(consensus(&points, 0.03125, None).unwrap().kept, [2, 3, 4]);
}

#[test]
fn nothing_from_too_little() {
    let p = Coord { x: 1.0, y: 1.0 };
    assert!(consensus(&[], 1.0, None).is_none());
    assert!(consensus(&[p, p], 1.0, None).is_none());
    assert!(
        consensus(
            &[
                p,
                Coord {
                    x: f64::INFINITY,
                    y: 0.0
                }
            ],
            1.0,
            None
        )
        .is_none()
    );
}

proptest! {
    #[test]
    fn keeps_as_many_as_brute_force(
        raw in prop::collection::vec((-30.0..30.0, -4.0..4.0), 2..11), half in 0.01..3.0
    ) {
        let points: Vec<Coord> = raw.into_iter().map(|(x, y)| Coord { x, y }).collect();
        let found = consensus(&points, half, None).unwrap();
        prop_assert_eq!(found.kept.len(), brute_count(&points, half));
        for &i in &found.kept {
            prop_assert!(found.line.offset(points[i]).abs() <= half + 1e-5);
        }
    }

    /// On a coarse grid many points are exactly on one line, or exactly on the edge of the band.
    #[test]
    fn keeps_as_many_on_a_grid(
        raw in prop::collection::vec((-6..7_i32, -3..4_i32), 2..11), half in prop::sample::select(vec![0.0, 0.5, 1.0])
    ) {
        let points: Vec<Coord> =
            raw.into_iter().map(|(x, y)| Coord { x: f64::from(x), y: f64::from(y) }).collect();
        prop_assume!(points.iter().any(|&p| p != points[0]));
        let found = consensus(&points, half, None).unwrap();
        prop_assert_eq!(found.kept.len(), brute_count(&points, half));
    }
}

/// All largest sets, each angle at which one may begin tried for each pivot by asking every point anew.
fn plain_sets(points: &[Coord], half: f64) -> Vec<Vec<usize>> {
    use std::f64::consts::{PI, TAU};
    let mut sets = std::collections::BTreeSet::new();
    for (pivot, &centre) in points.iter().enumerate() {
        let spans: Vec<(usize, f64, f64)> = (0..points.len())
            .filter(|&i| i != pivot)
            .flat_map(|i| {
                kept_over(points[i] - centre, half)
                    .into_iter()
                    .map(move |(a, b)| (i, a, b))
            })
            .flat_map(|(i, a, b)| [-TAU, 0.0, TAU].map(|t| (i, (a + t).max(0.0), (b + t).min(PI))))
            .filter(|(_, a, b)| a <= b)
            .collect();
        for &(_, angle, _) in &spans {
            let mut kept: Vec<usize> = (spans.iter().filter(|(_, a, b)| (*a..=*b).contains(&angle)))
                .map(|s| s.0)
                .chain([pivot])
                .collect();
            kept.sort_unstable();
            kept.dedup();
            sets.insert(kept);
        }
    }
    let most = sets.iter().map(Vec::len).max().unwrap_or(0);
    sets.into_iter().filter(|s| s.len() == most).collect()
}

proptest! {
    #[test]
    fn largest_sets_are_those_of_every_angle(
        raw in prop::collection::vec((-30.0..30.0, -4.0..4.0), 2..14), half in 0.01..3.0
    ) {
        let points: Vec<Coord> = raw.into_iter().map(|(x, y)| Coord { x, y }).collect();
        prop_assert_eq!(largest_sets(&points, half), plain_sets(&points, half));
    }

    /// Where one line keeps all, the answer found at once is the one the sweep finds.
    #[test]
    fn all_at_once_is_what_the_sweep_finds(
        ys in prop::collection::vec(-0.04..0.04, 2..14), half in 0.01..0.05, degrees in 0.0..360.0
    ) {
        let points: Vec<Coord> = row(&ys).into_iter().map(|p| turned(p, degrees)).collect();
        let found = consensus(&points, half, None).unwrap();
        let origin = points[0];
        let local: Vec<Coord> = points.iter().map(|&p| p - origin).collect();
        prop_assert_eq!(found.kept.len(), largest_sets(&local, half)[0].len());
    }
}
