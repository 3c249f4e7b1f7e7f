//! What an index has beside a stretch of a line: where a box about a slanting line would hold half the plan.

use geo::Coord;
use rstar::{AABB, Envelope, RTreeObject, SelectionFunction};

use super::{FUZZ, Line};

/// Selects what lies in a box and whose own box comes near a stretch of a line; what does not itself is left to the
/// asker. Rounding loses nothing.
pub struct Strip {
    pub within: AABB<[f64; 2]>,
    pub line: Line,
    /// The stretch, by its stations, and how far to either side, inches.
    pub stations: (f64, f64),
    pub half: f64,
}

impl Strip {
    fn meets(&self, other: &AABB<[f64; 2]>) -> bool {
        let ([x0, y0], [x1, y1]) = (other.lower(), other.upper());
        let middle = Coord {
            x: (x0 + x1) / 2.0,
            y: (y0 + y1) / 2.0,
        };
        let (wide, high) = ((x1 - x0) / 2.0, (y1 - y0) / 2.0);
        let along = self.line.along;
        let along_by = wide * along.x.abs() + high * along.y.abs();
        let off_by = wide * along.y.abs() + high * along.x.abs();
        let (station, off) = (self.line.station(middle), self.line.offset(middle).abs());
        let slack = FUZZ + 1e-9 * (wide + high + station.abs() + off);
        let apart = off > off_by + self.half + slack
            || station + along_by + slack < self.stations.0
            || station - along_by - slack > self.stations.1;
        !apart && self.within.intersects(other)
    }
}

impl<T: RTreeObject<Envelope = AABB<[f64; 2]>>> SelectionFunction<T> for Strip {
    fn should_unpack_parent(&self, parent: &AABB<[f64; 2]>) -> bool {
        self.meets(parent)
    }

    fn should_unpack_leaf(&self, leaf: &T) -> bool {
        self.meets(&leaf.envelope())
    }
}
