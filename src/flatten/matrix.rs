//! Affine maps of space: three rows of four numbers.

use geo::Coord;

/// A point or vector of space.
pub type Vec3 = [f64; 3];

/// `p ↦ linear·p + shift`, stored as rows `[xx, xy, xz, shift x]` and so on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Affine {
    rows: [[f64; 4]; 3],
}

impl Affine {
    pub const IDENTITY: Affine = Affine::columns([1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]);

    /// The linear map that takes the axes to these three vectors.
    pub const fn columns(x: Vec3, y: Vec3, z: Vec3) -> Self {
        Affine {
            rows: [
                [x[0], y[0], z[0], 0.0],
                [x[1], y[1], z[1], 0.0],
                [x[2], y[2], z[2], 0.0],
            ],
        }
    }

    /// Rows `[xx, xy, xz, shift x]` and so on.
    pub const fn rows(rows: [[f64; 4]; 3]) -> Self {
        Affine { rows }
    }

    pub const fn translation(by: Vec3) -> Self {
        Affine {
            rows: [
                [1.0, 0.0, 0.0, by[0]],
                [0.0, 1.0, 0.0, by[1]],
                [0.0, 0.0, 1.0, by[2]],
            ],
        }
    }

    pub const fn scaling(by: Vec3) -> Self {
        Affine::columns([by[0], 0.0, 0.0], [0.0, by[1], 0.0], [0.0, 0.0, by[2]])
    }

    /// A turn about z, counter-clockwise, in degrees. Quarter turns are exact.
    pub fn rotation(degrees: f64) -> Self {
        let (sin, cos) = sin_cos_degrees(degrees);
        Affine::columns([cos, sin, 0.0], [-sin, cos, 0.0], [0.0, 0.0, 1.0])
    }

    /// First `inner`, then `self`.
    #[must_use]
    pub fn after(&self, inner: &Affine) -> Affine {
        let column = |j: usize| self.vector([inner.rows[0][j], inner.rows[1][j], inner.rows[2][j]]);
        let (x, y, z) = (column(0), column(1), column(2));
        let shift = self.point([inner.rows[0][3], inner.rows[1][3], inner.rows[2][3]]);
        let row = |i: usize| [x[i], y[i], z[i], shift[i]];
        Affine {
            rows: [row(0), row(1), row(2)],
        }
    }

    /// The map back; `None` where this one makes space flat.
    pub fn inverse(&self) -> Option<Affine> {
        let column = |j: usize| [self.rows[0][j], self.rows[1][j], self.rows[2][j]];
        let (x, y, z) = (column(0), column(1), column(2));
        // The rows of the inverse are cross products of the columns, by the determinant.
        let (yz, zx, xy) = (cross(y, z), cross(z, x), cross(x, y));
        let all = x[0] * yz[0] + x[1] * yz[1] + x[2] * yz[2];
        if all == 0.0 || !all.is_finite() {
            return None;
        }
        let row = |r: Vec3| r.map(|v| v / all);
        let (r0, r1, r2) = (row(yz), row(zx), row(xy));
        let turn = Affine::columns(
            [r0[0], r1[0], r2[0]],
            [r0[1], r1[1], r2[1]],
            [r0[2], r1[2], r2[2]],
        );
        Some(turn.after(&Affine::translation(column(3).map(|v| -v))))
    }

    pub fn point(&self, p: Vec3) -> Vec3 {
        let v = self.vector(p);
        [
            v[0] + self.rows[0][3],
            v[1] + self.rows[1][3],
            v[2] + self.rows[2][3],
        ]
    }

    /// The image of a direction: no shift.
    pub fn vector(&self, v: Vec3) -> Vec3 {
        let row = |r: &[f64; 4]| r[0] * v[0] + r[1] * v[1] + r[2] * v[2];
        [row(&self.rows[0]), row(&self.rows[1]), row(&self.rows[2])]
    }

    /// [`Affine::point`] seen in plan.
    pub fn plan(&self, p: Vec3) -> Coord {
        let p = self.point(p);
        Coord { x: p[0], y: p[1] }
    }

    /// [`Affine::vector`] seen in plan.
    pub fn plan_vector(&self, v: Vec3) -> Coord {
        let v = self.vector(v);
        Coord { x: v[0], y: v[1] }
    }
}

/// Sine and cosine of an angle in degrees, exact at quarter turns, so that a plan turned by 90°
/// keeps its right angles and even coordinates.
pub fn sin_cos_degrees(degrees: f64) -> (f64, f64) {
    let turn = degrees.rem_euclid(360.0);
    if turn == 0.0 {
        (0.0, 1.0)
    } else if turn == 90.0 {
        (1.0, 0.0)
    } else if turn == 180.0 {
        (0.0, -1.0)
    } else if turn == 270.0 {
        (-1.0, 0.0)
    } else {
        turn.to_radians().sin_cos()
    }
}

pub fn cross(a: Vec3, b: Vec3) -> Vec3 {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

/// The vector at length 1, or `None` where it has no direction.
pub fn unit(v: Vec3) -> Option<Vec3> {
    // The greatest part is taken out first so that squares neither overflow nor vanish.
    let greatest = v[0].abs().max(v[1].abs()).max(v[2].abs());
    if !(greatest.is_finite() && greatest > 0.0) || v.iter().any(|c| c.is_nan()) {
        return None;
    }
    let w = [v[0] / greatest, v[1] / greatest, v[2] / greatest];
    let length = (w[0] * w[0] + w[1] * w[1] + w[2] * w[2]).sqrt();
    Some([w[0] / length, w[1] / length, w[2] / length])
}
