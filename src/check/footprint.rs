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
    /// From and to along an axis.
    fn span(&self, n: Coord) -> (f64, f64) {
        match self {
            Footprint::Box(corners) => span(corners, n),
            Footprint::Disc { at, radius } => {
                let middle = dot(*at, n);
                (middle - radius, middle + radius)
            }
        }
    }

    /// How far, at least, this has to move to stand clear of a device; `None` where it does. By separating axes:
    /// exact for two boxes' and a disc's least way out.
    fn depth(&self, device: &Shape) -> Option<f64> {
        let mut depth = f64::INFINITY;
        let mut clear = |n: Coord, (low, high): (f64, f64)| {
            let (from, to) = self.span(n);
            depth = depth.min(to - low).min(high - from);
            depth <= EPSILON
        };
        // An axis that parts the two ends it; the box's own ones are few, and part most.
        let parted = match self {
            Footprint::Box(corners) => (normals(corners)).any(|n| clear(n, span(&device.outline, n))),
            // The way to the nearest corner is the one axis that a disc adds.
            Footprint::Disc { at, .. } => {
                let far = |c: &Coord| dot(*c - *at, *c - *at);
                let nearest = device.outline.iter().min_by(|a, b| far(a).total_cmp(&far(b)));
                let axis = nearest.and_then(|c| unit(*c - *at));
                axis.is_some_and(|n| clear(n, span(&device.outline, n)))
            }
        };
        let parted = parted || device.sides.iter().any(|&(n, reach)| clear(n, reach));
        (!parted && depth.is_finite()).then_some(depth)
    }
}

/// A device's convex outline.
struct Shape {
    outline: Vec<Coord>,
    /// The sides' unit normals, and from where to where the outline reaches along each: a device is looked at once
    /// for every place that a light may come to.
    sides: Vec<(Coord, (f64, f64))>,
}

/// The devices of a plan, by their places.
pub struct Devices {
    tree: RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>,
    /// Without sides for a device that has no outline.
    shapes: Vec<Shape>,
}

impl Devices {
    /// An outline with a corner that is no number, or with no area, is nowhere.
    pub fn new(obstacles: &[Obstacle]) -> Devices {
        let shapes: Vec<Shape> = obstacles
            .iter()
            .map(|o| {
                let outline = convex(&o.outline);
                let sides = normals(&outline).map(|n| (n, span(&outline, n))).collect();
                Shape { outline, sides }
            })
            .collect();
        let x = Coord { x: 1.0, y: 0.0 };
        let y = Coord { x: 0.0, y: 1.0 };
        let boxes = shapes.iter().enumerate().filter(|(_, s)| s.outline.len() >= 3);
        let boxes = boxes.map(|(n, s)| {
            let ((left, right), (low, high)) = (span(&s.outline, x), span(&s.outline, y));
            GeomWithData::new(Rectangle::from_corners([left, low], [right, high]), n)
        });
        Devices {
            tree: RTree::bulk_load(boxes.collect()),
            shapes,
        }
    }

    /// Devices that a footprint stands in, by place in the plan, and how far it has to move out of each.
    pub fn under(&self, shape: &Footprint) -> Vec<(usize, f64)> {
        let (x, y) = (Coord { x: 1.0, y: 0.0 }, Coord { x: 0.0, y: 1.0 });
        let ((left, right), (low, high)) = (shape.span(x), shape.span(y));
        if ![left, right, low, high].iter().all(|v| v.is_finite()) {
            return Vec::new();
        }
        let around = AABB::from_corners([left, low], [right, high]);
        let near = self.tree.locate_in_envelope_intersecting(around);
        let mut found: Vec<(usize, f64)> = near
            .filter_map(|g| Some((g.data, shape.depth(self.shapes.get(g.data)?)?)))
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
fn normals(ring: &[Coord]) -> impl Iterator<Item = Coord> {
    ring.iter()
        .zip(ring.iter().cycle().skip(1))
        .filter_map(|(a, b)| unit(*b - *a))
        .map(|d| Coord { x: -d.y, y: d.x })
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

    /// Of one device; zero where the footprint is clear of it.
    fn way_out(shape: &Footprint, outline: &[Coord]) -> f64 {
        let devices = Devices::new(&[Obstacle {
            name: String::new(),
            outline: outline.to_vec(),
        }]);
        devices.under(shape).first().map_or(0.0, |f| f.1)
    }

    /// The same by every axis and all corners.
    fn by_all_axes(shape: &Footprint, outline: &[Coord]) -> f64 {
        let mut axes: Vec<Coord> = normals(outline).collect();
        match shape {
            Footprint::Box(corners) => axes.extend(normals(corners)),
            Footprint::Disc { at, .. } => {
                axes.extend(outline.iter().filter_map(|c| unit(*c - *at)));
            }
        }
        let depths = axes.into_iter().map(|n| {
            let ((low, high), (from, to)) = (span(outline, n), shape.span(n));
            (to - low).min(high - from)
        });
        let least = depths.fold(f64::INFINITY, f64::min);
        if least > EPSILON { least } else { 0.0 }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// A device of any number of corners, round or not, near and far.
        #[test]
        fn what_is_worked_out_beforehand_agrees_with_all_axes(
            at in (-40.0..40.0f64, -40.0..40.0f64),
            turn in 0.0..std::f64::consts::PI,
            disc in any::<bool>(),
            (corners, radius, flat) in (3..400_u32, 0.5..30.0f64, 0.05..1.0f64),
        ) {
            let ring: Vec<Coord> = (0..corners)
                .map(|k| f64::from(k) / f64::from(corners) * std::f64::consts::TAU)
                .map(|angle| Coord { x: radius * angle.cos(), y: flat * radius * angle.sin() })
                .collect();
            let outline = convex(&ring);
            let (at, housing) = (Coord::from(at), Luminaire::default());
            let shapes = match disc {
                true => vec![round(at, &housing)],
                false => hung(at, &housing, Coord { x: turn.cos(), y: turn.sin() }).into(),
            };
            for shape in shapes {
                let (got, all) = (way_out(&shape, &ring), by_all_axes(&shape, &outline));
                prop_assert!((got - all).abs() < 1e-9, "{got} {all}");
            }
        }

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
            let depth = way_out(&shape, &outline);
            let tried = (0..720).map(|k| {
                let angle = f64::from(k) * std::f64::consts::PI / 360.0;
                let n = Coord { x: angle.cos(), y: angle.sin() };
                shape.span(n).1 - span(&outline, n).0
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
