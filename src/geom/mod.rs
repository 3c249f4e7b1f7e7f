//! Only what `geo` lacks: the minimum-zone line, the consensus line, planar faces, what of a segment a ring holds.
//!
//! *Zone*: the space between two parallel lines that holds a set of points. *Consensus line*: the
//! line that keeps the most points within a given distance. Lengths are in the unit of the
//! points (inches throughout the core).

use geo::{Coord, Vector2DOps};

pub mod consensus;
pub mod faces;
pub mod ring;
pub(crate) mod strip;
pub mod zone;

#[cfg(test)]
mod consensus_tests;
#[cfg(test)]
mod faces_tests;
#[cfg(test)]
mod zone_tests;

/// Differences below this (inches) are rounding, not geometry: at coordinates of 2,000,000 in, or
/// 50,800,000 mm, one step of an `f64` is under 1e-8.
pub const FUZZ: f64 = 1e-6;

/// A straight line without ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// A point on the line.
    pub point: Coord,
    /// Unit vector along it.
    pub along: Coord,
}

impl Line {
    /// The line through two points; `None` where they coincide or are not finite.
    pub fn through(a: Coord, b: Coord) -> Option<Line> {
        let along = unit(b - a)?;
        finite(a).then_some(Line { point: a, along })
    }

    /// Signed distance of `p`, positive on the left of `along`.
    pub fn offset(&self, p: Coord) -> f64 {
        self.along.wedge_product(p - self.point)
    }

    /// Distance of the foot of `p` along the line from `point`.
    pub fn station(&self, p: Coord) -> f64 {
        self.along.dot_product(p - self.point)
    }

    /// The point on the line at a station.
    pub fn at(&self, station: f64) -> Coord {
        self.point + self.along * station
    }

    /// The nearest point on the line.
    pub fn foot(&self, p: Coord) -> Coord {
        self.at(self.station(p))
    }
}

/// Whether both ordinates are finite.
pub fn finite(c: Coord) -> bool {
    c.x.is_finite() && c.y.is_finite()
}

/// The vector at length 1; `None` where it has no length or is not finite.
pub fn unit(v: Coord) -> Option<Coord> {
    let length = v.magnitude();
    (length > 0.0 && length.is_finite()).then(|| v / length)
}

/// `v` or `-v`, whichever has its angle in (-90°, 90°]. What is upright but for rounding points up.
pub fn canonical(v: Coord) -> Coord {
    let flip = if v.x.abs() > 1e-9 * v.magnitude() {
        v.x < 0.0
    } else {
        v.y < 0.0
    };
    if flip { v * -1.0 } else { v }
}

/// Smallest axis-parallel box of some points: lower left and upper right.
pub fn bounds(points: impl IntoIterator<Item = Coord>) -> Option<(Coord, Coord)> {
    let mut found: Option<(Coord, Coord)> = None;
    for p in points.into_iter().filter(|p| finite(*p)) {
        let (lo, hi) = found.unwrap_or((p, p));
        found = Some((
            Coord {
                x: lo.x.min(p.x),
                y: lo.y.min(p.y),
            },
            Coord {
                x: hi.x.max(p.x),
                y: hi.y.max(p.y),
            },
        ));
    }
    found
}
