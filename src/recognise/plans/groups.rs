//! Walls that stand apart from all others, wherever the drawing lies and however it is turned.

use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, Envelope, RTree, RTreeObject, SelectionFunction};

use super::Part;
use crate::plan::Plan;
use crate::recognise::shape::{area, bounds, contains, cross, finite, hull, point_to_segment, unit};
use crate::recognise::walls::runs;

/// Plans stand at least this far apart, inches: walls that are nearer are of one house.
const APART: f64 = 120.0;
/// Plans whose titles tell them apart stand at least this far apart, inches: no wall and no closet is between.
const TITLED: f64 = 36.0;
/// A plan is at least this wide in every direction, inches: a closet drawn alone is a detail.
const LEAST: f64 = 96.0;
/// A part with a title of its own may be so narrow, inches.
const SMALLEST: f64 = 36.0;
/// Ordinates beyond this are of no house, inches: some 16,000 miles.
const REACH: f64 = 1e9;
/// What is within a hull but for this is within it, inches: rounding of coordinates far from the origin.
const SLACK: f64 = 1e-3;

type Wall = (Coord, Coord);
type Boxed = GeomWithData<Rectangle<[f64; 2]>, usize>;

/// Groups of walls and drawn rooms with room between them, from left to right.
pub fn groups(plan: &Plan) -> Vec<Part> {
    split(&of(plan), APART, LEAST)
}

/// Walls and sides of drawn rooms.
fn of(plan: &Plan) -> Vec<Wall> {
    let rooms = plan.rooms.iter().filter(|r| r.drawn);
    (plan.walls.iter().copied())
        .chain(rooms.flat_map(|r| runs(&r.outline, true)))
        .filter(|(a, b)| within_reach(*a) && within_reach(*b))
        .collect()
}

/// The same of what is narrower than a plan, such as a bath drawn by itself.
pub fn smaller(plan: &Plan) -> Vec<Part> {
    let mut all = split(&of(plan), APART, SMALLEST);
    all.retain(|p| width(&p.hull) < LEAST);
    all
}

fn within_reach(p: Coord) -> bool {
    finite(p) && p.x.abs() <= REACH && p.y.abs() <= REACH
}

/// The plans within what stands together, where it is taken apart at the least gap that may be between two plans.
pub fn nearer(part: &Part) -> Vec<Part> {
    split(&part.walls, TITLED, LEAST)
}

fn split(walls: &[Wall], apart: f64, least: f64) -> Vec<Part> {
    let mut found: Vec<Part> = joined(walls, apart)
        .into_iter()
        .filter_map(|of_one| {
            part(
                of_one.iter().filter_map(|&k| walls.get(k).copied()).collect(),
                least,
            )
        })
        .collect();
    merge_nested(&mut found);
    found.sort_by(|a, b| a.low.x.total_cmp(&b.low.x).then(a.low.y.total_cmp(&b.low.y)));
    found
}

/// Which walls hang together: each is nearer than `apart` to another of its group, and to none of the others.
fn joined(walls: &[Wall], apart: f64) -> Vec<Vec<usize>> {
    let boxed = |k: usize| -> Option<Boxed> {
        let (a, b) = walls.get(k)?;
        Some(GeomWithData::new(
            Rectangle::from_corners([a.x, a.y], [b.x, b.y]),
            k,
        ))
    };
    let mut open: RTree<Boxed> = RTree::bulk_load((0..walls.len()).filter_map(boxed).collect());
    let mut taken = vec![false; walls.len()];
    let mut found = Vec::new();
    for start in 0..walls.len() {
        if taken.get(start).is_none_or(|t| *t) {
            continue;
        }
        let mut of_one = vec![start];
        if let Some(own) = boxed(start) {
            open.remove(&own);
        }
        let mut next = 0;
        // Whatever was reached is taken out, so each wall is reached once.
        while let Some(&wall) = of_one.get(next).and_then(|&k| walls.get(k)) {
            next += 1;
            let near = Near { wall, walls, apart };
            of_one.extend(open.drain_with_selection_function(near).map(|g| g.data));
        }
        for &k in &of_one {
            if let Some(t) = taken.get_mut(k) {
                *t = true;
            }
        }
        of_one.sort_unstable();
        found.push(of_one);
    }
    found
}

/// Selects the walls that stand nearer than `apart` to one.
struct Near<'a> {
    wall: Wall,
    walls: &'a [Wall],
    apart: f64,
}

impl SelectionFunction<Boxed> for Near<'_> {
    fn should_unpack_parent(&self, envelope: &AABB<[f64; 2]>) -> bool {
        let (a, b) = self.wall;
        let low = [a.x.min(b.x) - self.apart, a.y.min(b.y) - self.apart];
        let high = [a.x.max(b.x) + self.apart, a.y.max(b.y) + self.apart];
        AABB::from_corners(low, high).intersects(envelope)
    }

    fn should_unpack_leaf(&self, leaf: &Boxed) -> bool {
        self.should_unpack_parent(&leaf.envelope())
            && self
                .walls
                .get(leaf.data)
                .is_some_and(|w| between(self.wall, *w) < self.apart)
    }
}

/// Inches between two walls; 0 where they cross.
fn between((a, b): Wall, (c, d): Wall) -> f64 {
    let sides = |p: Coord, q: Coord, r: Coord, s: Coord| cross(q - p, r - p) * cross(q - p, s - p);
    if sides(a, b, c, d) < 0.0 && sides(c, d, a, b) < 0.0 {
        return 0.0;
    }
    let ends = [
        point_to_segment(a, c, d),
        point_to_segment(b, c, d),
        point_to_segment(c, a, b),
        point_to_segment(d, a, b),
    ];
    ends.into_iter().fold(f64::INFINITY, f64::min)
}

/// A plan of these walls, where they are of a plan's size.
fn part(walls: Vec<Wall>, least: f64) -> Option<Part> {
    let (low, high) = bounds(walls.iter().flat_map(|w| [w.0, w.1]))?;
    // About the corner, so that far from the origin no digits are lost.
    let points: Vec<Coord> = walls.iter().flat_map(|w| [w.0 - low, w.1 - low]).collect();
    let ring = hull(&points);
    let hull: Vec<Coord> = ring.into_iter().map(|p| p + low).collect();
    (width(&hull) >= least).then_some(Part {
        low,
        high,
        hull,
        walls,
        title: None,
        also: Vec::new(),
        lights: Vec::new(),
    })
}

/// The least width of a convex ring in any direction, inches.
fn width(hull: &[Coord]) -> f64 {
    let sides = (0..hull.len()).filter_map(|i| {
        let (a, b) = (hull[i], hull[(i + 1) % hull.len()]);
        let along = unit(b - a)?;
        Some(
            hull.iter()
                .map(|p| cross(along, *p - a).abs())
                .fold(0.0, f64::max),
        )
    });
    let least = sides.fold(f64::INFINITY, f64::min);
    if least.is_finite() { least } else { 0.0 }
}

/// Inches from a point to a convex ring; 0 inside.
pub fn off(hull: &[Coord], p: Coord) -> f64 {
    if contains(hull, p) {
        return 0.0;
    }
    let sides = (0..hull.len()).map(|i| point_to_segment(p, hull[i], hull[(i + 1) % hull.len()]));
    sides.fold(f64::INFINITY, f64::min)
}

/// Walls that stand free within those of a plan, such as a core of closets, are of that plan.
fn merge_nested(parts: &mut Vec<Part>) {
    let areas: Vec<f64> = parts.iter().map(|p| area(&p.hull)).collect();
    let boxed = |a: &Part, b: &Part| {
        let (low, high) = (a.low - b.low, b.high - a.high);
        [low.x, low.y, high.x, high.y].iter().all(|d| *d >= -SLACK)
    };
    let within = |a: &Part, b: &Part| boxed(a, b) && a.hull.iter().all(|p| off(&b.hull, *p) <= SLACK);
    // Of equal hulls the first stays; nothing is within a smaller one, so this leads outwards.
    let wider = |i: usize, j: usize| areas[j].total_cmp(&areas[i]).then(i.cmp(&j)).is_gt();
    let around: Vec<Option<usize>> = (0..parts.len())
        .map(|i| (0..parts.len()).find(|&j| wider(i, j) && within(&parts[i], &parts[j])))
        .collect();
    for (i, first) in around.iter().enumerate() {
        let Some(mut j) = *first else { continue };
        while let Some(further) = around.get(j).copied().flatten() {
            j = further;
        }
        let walls = std::mem::take(&mut parts[i].walls);
        parts[j].walls.extend(walls);
    }
    let mut around = around.iter();
    parts.retain(|_| around.next().is_none_or(Option::is_none));
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn c(x: f64, y: f64) -> Coord {
        Coord { x, y }
    }

    /// The four walls of a house, and a partition that stands free in it.
    fn house(x: f64, y: f64) -> Vec<Wall> {
        let ring = [c(x, y), c(x + 360.0, y), c(x + 360.0, y + 240.0), c(x, y + 240.0)];
        let mut walls: Vec<Wall> = (0..4).map(|i| (ring[i], ring[(i + 1) % 4])).collect();
        walls.push((c(x + 180.0, y + 60.0), c(x + 180.0, y + 180.0)));
        walls
    }

    fn plan(walls: Vec<Wall>) -> Plan {
        let mut plan = crate::plan::notation::parse("units in\n").expect("an empty plan");
        plan.walls = walls;
        plan
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

        /// Three houses in a bent row are three plans where 10 ft and more lie between them, and else one,
        /// however the drawing is shifted and turned; and every wall, and what stands in a house, is of its own.
        #[test]
        fn shift_and_turn_change_nothing(
            gap in prop_oneof![60.0..119.9f64, 120.1..300.0f64],
            up in 0.0..90.0f64,
            turn in 0.0..360.0f64,
            x in -1.6e6..1.6e6f64,
            y in -1.6e6..1.6e6f64,
        ) {
            let (cos, sin) = (turn.to_radians().cos(), turn.to_radians().sin());
            let turned = |p: Coord| c(cos * p.x - sin * p.y + x, sin * p.x + cos * p.y + y);
            let houses: Vec<Vec<Wall>> = (0..3)
                .map(|i| house(f64::from(i) * (360.0 + gap), if i == 1 { up } else { 0.0 }))
                .map(|h| h.iter().map(|w| (turned(w.0), turned(w.1))).collect())
                .collect();
            let found = groups(&plan(houses.concat()));
            prop_assert_eq!(found.len(), if gap < APART { 1 } else { 3 });
            if found.len() == 3 {
                let home = |p: Coord| crate::recognise::plans::home(&found, p);
                let homes: Vec<Option<usize>> = houses.iter().map(|h| home(h[4].0)).collect();
                for (house, own) in houses.iter().zip(&homes) {
                    prop_assert!(own.is_some());
                    prop_assert!(house.iter().all(|w| home((w.0 + w.1) * 0.5) == *own));
                }
                prop_assert!(homes[0] != homes[1] && homes[1] != homes[2] && homes[0] != homes[2]);
            }
        }
    }

    #[test]
    fn what_is_narrow_is_a_detail_however_it_is_turned() {
        // 10 ft long and 5 ft wide, at 45 degrees 127 in across both ways.
        for turn in [0.0f64, 45.0] {
            let (cos, sin) = (turn.to_radians().cos(), turn.to_radians().sin());
            let ring = [c(0.0, 0.0), c(120.0, 0.0), c(120.0, 60.0), c(0.0, 60.0)]
                .map(|p| c(cos * p.x - sin * p.y, sin * p.x + cos * p.y));
            let walls = (0..4).map(|i| (ring[i], ring[(i + 1) % 4])).collect();
            assert!(groups(&plan(walls)).is_empty(), "{turn}");
        }
    }

    #[test]
    fn a_core_that_stands_free_is_of_the_house_around_it() {
        let mut walls = house(500.0, 500.0);
        let ring = [c(0.0, 0.0), c(1400.0, 0.0), c(1400.0, 1300.0), c(0.0, 1300.0)];
        walls.extend((0..4).map(|i| (ring[i], ring[(i + 1) % 4])));
        let found = groups(&plan(walls));
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].walls.len(), 9);
    }

    #[test]
    fn walls_of_no_length_and_of_no_number_are_borne() {
        let mut walls = house(0.0, 0.0);
        walls.push((c(5.0, 5.0), c(5.0, 5.0)));
        walls.push((c(f64::NAN, 0.0), c(0.0, f64::INFINITY)));
        for v in [1e300, -1e300, f64::NEG_INFINITY] {
            walls.push((c(v, -v), c(0.0, v)));
            walls.push((c(0.0, 1.0), c(1.0, v)));
        }
        walls.push((c(1e308, -1e308), c(-1e308, 1e308)));
        assert!(groups(&plan(walls)).len() <= 2);
        assert!(groups(&plan(Vec::new())).is_empty());
    }
}
