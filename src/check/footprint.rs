//! What a housing takes up in plan, and the devices that stand in it.

use geo::{ConvexHull, Coord, MultiPoint};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::EPSILON;
use super::work::hole;
use crate::geom::{finite, unit};
use crate::plan::Obstacle;
use crate::rules::{Luminaire, Mount};

/// A housing's outline.
pub enum Footprint {
    Disc {
        at: Coord,
        radius: f64,
    },
    /// Corners in order round.
    Box([Coord; 4]),
}

/// The round body alone, or the opening where that is greater; of old-work housings the opening with its clips.
pub fn round(at: Coord, housing: &Luminaire) -> Footprint {
    let radius = match housing.mount {
        Mount::NewWork => hole(housing).max(housing.body / 2.0),
        Mount::OldWork => hole(housing),
    };
    Footprint::Disc { at, radius }
}

/// A housing that hangs from bars square to `along` (a unit vector): first with its box on the left of
/// `along`, then on the right.
pub fn hung(at: Coord, housing: &Luminaire, along: Coord) -> [Footprint; 2] {
    let left = Coord {
        x: -along.y,
        y: along.x,
    };
    let w = along * housing.half_width;
    [
        (housing.box_side, housing.short_side),
        (housing.short_side, housing.box_side),
    ]
    .map(|(l, r)| {
        let (l, r) = (at + left * l, at - left * r);
        Footprint::Box([l - w, r - w, r + w, l + w])
    })
}

impl Footprint {
    /// Corners of the shape, or of the square around the disc.
    fn corners(&self) -> Vec<Coord> {
        match self {
            Footprint::Box(corners) => corners.to_vec(),
            Footprint::Disc { at, radius } => [(-1.0, -1.0), (1.0, 1.0)]
                .map(|(x, y)| *at + Coord { x, y } * *radius)
                .to_vec(),
        }
    }

    /// How far, at least, this has to move to stand clear of a convex outline; zero or less where it
    /// does. By separating axes: exact for two boxes' and a disc's least way out.
    fn depth(&self, outline: &[Coord]) -> f64 {
        let mut axes = normals(outline);
        match self {
            Footprint::Box(corners) => axes.extend(normals(corners)),
            // The way to the nearest corner is the one axis that a disc adds.
            Footprint::Disc { at, .. } => {
                let far = |c: &Coord| (c.x - at.x).hypot(c.y - at.y);
                let nearest = outline.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
                axes.extend(nearest.and_then(|c| unit(*c - *at)));
            }
        }
        axes.into_iter()
            .map(|n| {
                let (low, high) = span(outline, n);
                let (from, to) = match self {
                    Footprint::Box(corners) => span(corners, n),
                    Footprint::Disc { at, radius } => {
                        let middle = dot(*at, n);
                        (middle - radius, middle + radius)
                    }
                };
                (to - low).min(high - from)
            })
            .fold(f64::INFINITY, f64::min)
    }
}

/// The devices of a plan, by their places.
pub struct Devices {
    tree: RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>,
    /// Convex outlines; empty for a device that has none.
    outlines: Vec<Vec<Coord>>,
}

impl Devices {
    /// An outline with a corner that is no number, or with no area, is nowhere.
    pub fn new(obstacles: &[Obstacle]) -> Devices {
        let outlines: Vec<Vec<Coord>> = obstacles.iter().map(|o| convex(&o.outline)).collect();
        let x = Coord { x: 1.0, y: 0.0 };
        let y = Coord { x: 0.0, y: 1.0 };
        let boxes = outlines.iter().enumerate().filter(|(_, o)| o.len() >= 3);
        let boxes = boxes.map(|(n, o)| {
            let ((left, right), (low, high)) = (span(o, x), span(o, y));
            GeomWithData::new(Rectangle::from_corners([left, low], [right, high]), n)
        });
        Devices {
            tree: RTree::bulk_load(boxes.collect()),
            outlines,
        }
    }

    /// Devices that a footprint stands in, by place in the plan, and how far it has to move out of each.
    pub fn under(&self, shape: &Footprint) -> Vec<(usize, f64)> {
        let corners = shape.corners();
        if !corners.iter().all(|&p| finite(p)) {
            return Vec::new();
        }
        let low = corners
            .iter()
            .fold([f64::INFINITY; 2], |l, p| [l[0].min(p.x), l[1].min(p.y)]);
        let high = corners
            .iter()
            .fold([f64::NEG_INFINITY; 2], |h, p| [h[0].max(p.x), h[1].max(p.y)]);
        let near = self
            .tree
            .locate_in_envelope_intersecting(AABB::from_corners(low, high));
        let mut found: Vec<(usize, f64)> = near
            .filter_map(|g| {
                let depth = shape.depth(self.outlines.get(g.data)?);
                (depth > EPSILON && depth.is_finite()).then_some((g.data, depth))
            })
            .collect();
        found.sort_by_key(|f| f.0);
        found
    }
}

fn convex(ring: &[Coord]) -> Vec<Coord> {
    if ring.len() < 3 || !ring.iter().all(|&p| finite(p)) {
        return Vec::new();
    }
    let points: MultiPoint = ring.iter().copied().collect();
    let mut corners = points.convex_hull().exterior().0.clone();
    corners.pop();
    corners
}

fn dot(a: Coord, b: Coord) -> f64 {
    a.x * b.x + a.y * b.y
}

/// Unit normals of a ring's sides.
fn normals(ring: &[Coord]) -> Vec<Coord> {
    ring.iter()
        .zip(ring.iter().cycle().skip(1))
        .filter_map(|(a, b)| unit(*b - *a))
        .map(|d| Coord { x: -d.y, y: d.x })
        .collect()
}

fn span(points: &[Coord], n: Coord) -> (f64, f64) {
    points
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| {
            let d = dot(*p, n);
            (low.min(d), high.max(d))
        })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// Derived: out by the depth the shapes are apart in some direction, and by less in none. Directions
        /// are tried by the half degree, so the least of them is above the depth by no more than rounding of the arc.
        #[test]
        fn the_depth_is_the_least_way_out(
            at in (-8.0..8.0f64, -8.0..8.0f64),
            turn in 0.0..std::f64::consts::PI,
            disc in any::<bool>(),
            ring in prop::collection::vec((-10.0..10.0f64, -10.0..10.0f64), 3..8),
        ) {
            let outline = convex(&ring.into_iter().map(Coord::from).collect::<Vec<_>>());
            prop_assume!(outline.len() >= 3);
            let at = Coord::from(at);
            let housing = Luminaire::default();
            let shape = if disc {
                round(at, &housing)
            } else {
                let [left, _] = hung(at, &housing, Coord { x: turn.cos(), y: turn.sin() });
                left
            };
            let depth = shape.depth(&outline);
            let tried = (0..720).map(|k| {
                let angle = f64::from(k) * std::f64::consts::PI / 360.0;
                let n = Coord { x: angle.cos(), y: angle.sin() };
                let (_, reach) = match &shape {
                    Footprint::Box(corners) => span(corners, n),
                    Footprint::Disc { at, radius } => (0.0, dot(*at, n) + radius),
                };
                reach - span(&outline, n).0
            });
            let least = tried.fold(f64::INFINITY, f64::min);
            // The way apart changes by no more than the shapes' size, 40 in, with the angle.
            prop_assert!(least <= depth + 40.0 * 0.0088, "{least} {depth}");
            if depth > 0.0 {
                prop_assert!(least >= depth - 1e-9, "{least} {depth}");
            }
        }
    }

    #[test]
    fn an_outline_that_is_not_convex_counts_with_its_hull() {
        let ring = [(0.0, 0.0), (20.0, 0.0), (10.0, 2.0), (0.0, 20.0)].map(Coord::from);
        let devices = Devices::new(&[Obstacle {
            name: String::new(),
            outline: ring.to_vec(),
        }]);
        let at = |x, y| Footprint::Disc {
            at: Coord { x, y },
            radius: 1.0,
        };
        assert_eq!(devices.under(&at(9.0, 9.0)).len(), 1);
        assert_eq!(devices.under(&at(11.0, 11.0)), []);
    }
}
