//! Turn, mirror, scale and shift in one.

use geo::Coord;

use crate::geom::finite;

/// `p → scale · turn(flip(p)) + shift`, where `flip`, if mirrored, changes the sign of y.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Similarity {
    /// Scale times the cosine and the sine of the turn.
    pub a: f64,
    pub b: f64,
    pub mirrored: bool,
    /// Inches.
    pub shift: Coord,
}

pub const IDENTITY: Similarity = Similarity {
    a: 1.0,
    b: 0.0,
    mirrored: false,
    shift: Coord { x: 0.0, y: 0.0 },
};

impl Similarity {
    /// `turn` in radians, counter-clockwise, after mirroring.
    pub fn new(turn: f64, mirrored: bool, scale: f64, shift: Coord) -> Similarity {
        Similarity {
            a: scale * turn.cos(),
            b: scale * turn.sin(),
            mirrored,
            shift,
        }
    }

    /// The image of a direction or of a distance vector.
    pub fn linear(&self, v: Coord) -> Coord {
        let y = if self.mirrored { -v.y } else { v.y };
        Coord {
            x: self.a * v.x - self.b * y,
            y: self.b * v.x + self.a * y,
        }
    }

    pub fn apply(&self, p: Coord) -> Coord {
        self.linear(p) + self.shift
    }

    /// The point that comes to `q`; not finite where the scale is 0.
    pub fn back(&self, q: Coord) -> Coord {
        let (d, s2) = (q - self.shift, self.a * self.a + self.b * self.b);
        let y = (self.a * d.y - self.b * d.x) / s2;
        Coord {
            x: (self.a * d.x + self.b * d.y) / s2,
            y: if self.mirrored { -y } else { y },
        }
    }

    pub fn scale(&self) -> f64 {
        self.a.hypot(self.b)
    }

    /// Degrees in (-180°, 180°], counter-clockwise, after mirroring.
    pub fn turn_degrees(&self) -> f64 {
        let degrees = self.b.atan2(self.a).to_degrees();
        if degrees <= -180.0 {
            degrees + 360.0
        } else {
            degrees + 0.0
        }
    }

    /// Followed by a turn (radians) and stretching about `centre`, and then a shift.
    pub fn then(&self, turn: f64, stretch: f64, centre: Coord, shift: Coord) -> Similarity {
        let (c, s) = (stretch * turn.cos(), stretch * turn.sin());
        let from = self.shift - centre;
        Similarity {
            a: c * self.a - s * self.b,
            b: s * self.a + c * self.b,
            mirrored: self.mirrored,
            shift: Coord {
                x: c * from.x - s * from.y,
                y: s * from.x + c * from.y,
            } + centre
                + shift,
        }
    }

    /// The same map between points told from other origins: `p - from` goes to `q - to`.
    pub fn from_local(&self, from: Coord, to: Coord) -> Similarity {
        Similarity {
            shift: self.shift + to - self.linear(from),
            ..*self
        }
    }

    pub fn is_finite(&self) -> bool {
        self.a.is_finite() && self.b.is_finite() && finite(self.shift)
    }
}
