//! The minimum zone: the least distance between two parallel lines that hold all points.
//!
//! This is the straightness of ISO 1101 and ISO 12780-1 (definition from memory). In the plane
//! it is the least width of the convex hull, and one of the lines is flush with a hull edge.

use geo::algorithm::convex_hull::ConvexHull;
use geo::{Coord, CoordsIter, MultiPoint, Vector2DOps};

use super::{FUZZ, Line, finite, unit};

/// The narrowest zone about some points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Zone {
    /// The line midway between the two enclosing lines.
    pub line: Line,
    /// Distance between the enclosing lines.
    pub width: f64,
}

/// The minimum zone, measured square to its line. Among equally narrow ones the longest wins, then
/// the first about the hull. `None` for fewer than two distinct points or any that is not finite.
pub fn minimum_zone(points: &[Coord]) -> Option<Zone> {
    let origin = *points.first()?;
    let hull = hull(points, origin)?;
    let mut best: Option<(Zone, f64)> = None;
    for (a, b) in edges(&hull) {
        let Some(along) = unit(b - a) else { continue };
        let offsets = hull.iter().map(|&p| along.wedge_product(p - a));
        let (low, high) = range(offsets);
        let (start, end) = range(hull.iter().map(|&p| along.dot_product(p - a)));
        let width = high - low;
        let length = end - start;
        let better = best.is_none_or(|(zone, its_length)| {
            width < zone.width - FUZZ * 1e-3
                || (width <= zone.width + FUZZ * 1e-3 && length > its_length + FUZZ)
        });
        if better {
            let point = origin + a + along.left() * ((low + high) / 2.0);
            best = Some((
                Zone {
                    line: Line { point, along },
                    width,
                },
                length,
            ));
        }
    }
    best.map(|(zone, _)| zone)
}

/// A straight fit `y = start + slope * x` whose greatest residual is least.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    pub start: f64,
    pub slope: f64,
    /// From the lowest residual to the highest.
    pub range: f64,
}

impl Fit {
    pub fn residual(&self, x: f64, y: f64) -> f64 {
        y - (self.start + self.slope * x)
    }
}

/// The minimum zone measured in y only: the Chebyshev fit, for points whose x is exact. `None`
/// where no two points differ in x.
pub fn minimum_zone_in_y(points: &[Coord]) -> Option<Fit> {
    let origin = *points.first()?;
    let hull = hull(points, origin)?;
    let mut best: Option<Fit> = None;
    for (a, b) in edges(&hull) {
        if (b.x - a.x).abs() <= f64::EPSILON {
            continue;
        }
        let slope = (b.y - a.y) / (b.x - a.x);
        let (low, high) = range(hull.iter().map(|p| p.y - slope * p.x));
        if best.is_none_or(|fit| high - low < fit.range - FUZZ * 1e-3) {
            let start = origin.y - slope * origin.x + (low + high) / 2.0;
            best = Some(Fit {
                start,
                slope,
                range: high - low,
            });
        }
    }
    best
}

/// Corners of the convex hull in order, less `origin`.
fn hull(points: &[Coord], origin: Coord) -> Option<Vec<Coord>> {
    if !points.iter().all(|&p| finite(p)) {
        return None;
    }
    let local: MultiPoint = points.iter().map(|&p| geo::Point(p - origin)).collect();
    let mut corners: Vec<Coord> = local.convex_hull().exterior().coords_iter().collect();
    corners.dedup();
    if corners.len() > 1 && corners.first() == corners.last() {
        corners.pop();
    }
    (corners.len() > 1).then_some(corners)
}

fn edges(hull: &[Coord]) -> impl Iterator<Item = (Coord, Coord)> + '_ {
    hull.iter()
        .zip(hull.iter().cycle().skip(1))
        .map(|(&a, &b)| (a, b))
}

/// Least and greatest of some values.
fn range(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| {
        (low.min(v), high.max(v))
    })
}
