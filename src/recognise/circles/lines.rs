//! What the lines about a loose circle make of it.

use std::collections::BTreeSet;

use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use geo::Coord;

use super::{ARMS, BLADES, Form, Loose, MOST_LINES, ON, RECEPTACLE, same, spots};
use crate::flatten::{Flat, Prim};
use crate::recognise::round::rounds;
use crate::recognise::shape::{
    bounds, chords, contains, cross, distance, dot, finite, length, point_to_segment, unit,
};

/// Across a track, inches.
const TRACK: f64 = 6.0;
/// From head to head on a track, inches.
const HEADS: f64 = 30.0;
/// Half the side of a square about a circle, in radii of it.
const BOX: std::ops::RangeInclusive<f64> = 1.45..=4.0;
/// So many lines that point away from the middle are arms; the ends of a cross are four.
const RAYS: usize = 5;

/// A blade begins between these shares of the hub's radius, and goes out so many radii; blades of open curves are so many.
const BLADE: std::ops::RangeInclusive<f64> = 0.6..=1.4;
const OUT: f64 = 1.55;
const CURVES: usize = 6;
/// An arc of more than this is a circle in all but a gap, radians.
const PIECE: f64 = 5.0;
/// Lines of a circle's own symbol go out no further, in radii.
const OWN: f64 = 4.0;
/// A head hangs no further off its track, in radii.
const OFF_TRACK: f64 = 1.0;
/// A ring with lamps on it is so many times as large as one of them, with at least so many of one size on its rim.
const RING: f64 = 2.5;
const LAMPS: usize = 3;

/// A line on a light layer.
struct Line {
    points: Vec<Coord>,
    closed: bool,
}

/// Lines on light layers that are no part of a block that is a light.
pub struct Lines {
    all: Vec<Line>,
    /// All circles by their middles with their radii, whatever was made of them.
    circles: RTree<GeomWithData<[f64; 2], f64>>,
    tree: RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>,
}

impl Lines {
    /// Of these items, what is visible.
    pub fn new(flat: &Flat, items: impl Iterator<Item = usize>) -> Lines {
        let mut all = Vec::new();
        let (mut boxes, mut circles) = (Vec::new(), Vec::new());
        for i in items {
            let item = &flat.items[i];
            if !item.visible {
                continue;
            }
            let line = match &item.prim {
                Prim::Segment { .. } => true,
                Prim::Path { .. } | Prim::Ellipse { .. } => rounds(flat, &[i]).is_empty(),
                Prim::Arc { sweep, .. } => sweep.abs() < PIECE,
                Prim::Circle { center, radius } => {
                    if finite(*center) {
                        circles.push(GeomWithData::new([center.x, center.y], *radius));
                    }
                    false
                }
                _ => false,
            };
            if !line {
                continue;
            }
            let Some((points, closed)) = chords(&item.prim) else {
                continue;
            };
            let Some((low, high)) = bounds(points.iter().copied()) else {
                continue;
            };
            let back = points.len() > 3 && points.first() == points.last();
            let rectangle = Rectangle::from_corners([low.x, low.y], [high.x, high.y]);
            boxes.push(GeomWithData::new(rectangle, all.len()));
            all.push(Line {
                points,
                closed: closed || back,
            });
        }
        Lines {
            all,
            circles: RTree::bulk_load(circles),
            tree: RTree::bulk_load(boxes),
        }
    }

    fn about(&self, circle: &Loose) -> impl Iterator<Item = &Line> {
        self.within(circle, circle.radius * (1.0 + ON))
    }

    /// Lines that come as near to the middle of a circle.
    fn within(&self, circle: &Loose, reach: f64) -> impl Iterator<Item = &Line> {
        let around = AABB::from_corners(
            [circle.at.x - reach, circle.at.y - reach],
            [circle.at.x + reach, circle.at.y + reach],
        );
        let near = self.tree.locate_in_envelope_intersecting(around);
        near.take(MOST_LINES).map(|g| &self.all[g.data])
    }

    /// Whether it stands in the middle of a larger square: a trim is hardly larger than its opening.
    pub fn boxed(&self, circle: &Loose) -> bool {
        let (at, r) = (circle.at, circle.radius);
        let sides = self.within(circle, BOX.end() * r).flat_map(|line| {
            let ring = line.closed.then(|| line.points.last().zip(line.points.first()));
            let back = ring.flatten().map(|(a, b)| (*a, *b));
            (line.points.windows(2).map(|w| (w[0], w[1]))).chain(back.filter(|(a, b)| a != b))
        });
        let mut found: Vec<Coord> = Vec::new();
        for (a, b) in sides.take(MOST_LINES) {
            let middle = (a + b) * 0.5 - at;
            let (off, long) = (length(middle), distance(a, b));
            let square =
                (long - 2.0 * off).abs() <= 0.05 * long && dot(middle, b - a).abs() <= 0.05 * off * long;
            let new = |f: &Coord| (length(*f) - off).abs() <= 0.05 * off && dot(*f, middle) < 0.5 * off * off;
            if square && BOX.contains(&(off / r)) && found.iter().all(new) {
                found.push(middle);
            }
        }
        found.len() >= 4
    }

    /// What the lines about a circle make of it.
    pub fn form(&self, circle: &Loose) -> Option<Form> {
        let (at, r) = (circle.at, circle.radius);
        let (mut blades, mut rays) = (0, 0);
        let mut curves: Vec<f64> = Vec::new();
        let mut arms: Vec<f64> = Vec::new();
        let mut across: Vec<(Coord, f64)> = Vec::new();
        let mut through = false;
        for line in self.about(circle) {
            let off = |p: &Coord| distance(*p, at);
            let near = line.points.iter().map(off).fold(f64::INFINITY, f64::min);
            let far = line.points.iter().map(off).fold(0.0, f64::max);
            let on_rim = (near - r).abs() <= ON * r;
            if line.closed {
                let next = line.points.iter().cycle().skip(1);
                let sides = (line.points.iter().zip(next)).map(|(a, b)| point_to_segment(at, *a, *b));
                let begins = sides.fold(near, f64::min) / r;
                let held = contains(&line.points, at);
                blades += usize::from(BLADE.contains(&begins) && far > OUT * r && !held);
                continue;
            }
            let [a, b] = line.points[..] else {
                if on_rim && far > OUT * r {
                    curves.push(far);
                }
                continue;
            };
            let Some(along) = unit(b - a) else { continue };
            let side = cross(along, at - a);
            if side.abs() <= ON * r {
                through |= near <= ON * r || dot(a - at, b - at) < 0.0;
                let outward = dot(a - at, b - at) > 0.0;
                if outward && on_rim && far > 1.2 * r {
                    rays += 1;
                    if far > OUT * r {
                        arms.push(far);
                    }
                }
                // Between an inner circle and the rim.
                rays += usize::from(outward && near > ON * r && near < r && (far - r).abs() <= ON * r);
            } else if side.abs() <= 0.7 * r && distance(a, b) >= 1.2 * r && far <= 3.0 * r {
                across.push((along, side));
            }
        }
        let equal = |reach: &[f64]| {
            let longest = reach.iter().copied().fold(0.0, f64::max);
            reach.iter().all(|a| *a >= 0.9 * longest)
        };
        let alike = arms.len() >= 3 && equal(&arms);
        if blades >= 2 || curves.len() >= CURVES && equal(&curves) {
            return Some(BLADES);
        }
        if alike || rays >= RAYS {
            return Some(ARMS);
        }
        let twin = match across[..] {
            [(a, s), (b, t)] => {
                let (turn, t) = (cross(a, b).abs(), if dot(a, b) < 0.0 { -t } else { t });
                turn <= 0.05 && s * t < 0.0 && (s + t).abs() <= ON * r
            }
            _ => false,
        };
        (twin && !through).then_some(RECEPTACLE)
    }

    /// Lines that go into a circle and are of its symbol: how many tells one figure from another.
    pub fn marks(&self, circle: &Loose) -> impl Iterator<Item = &[Coord]> {
        let (at, r) = (circle.at, circle.radius);
        let own = move |line: &&Line| {
            let sides = line.points.windows(2).map(|w| point_to_segment(at, w[0], w[1]));
            let near = sides.fold(f64::INFINITY, f64::min);
            near <= (1.0 - ON) * r && line.points.iter().all(|p| distance(*p, at) <= OWN * r)
        };
        self.about(circle).filter(own).map(|line| &*line.points)
    }

    /// Circles of one size with their middles on the rim of a much larger one.
    pub fn around_rings(&self, loose: &[Loose]) -> Vec<usize> {
        let least = loose.iter().map(|c| c.radius).fold(f64::INFINITY, f64::min);
        let spots = spots(loose);
        let mut found = BTreeSet::new();
        let rings = self.circles.iter().filter(|c| c.data >= RING * least);
        for (at, ring) in rings.map(|c| (*c.geom(), c.data)) {
            let middle = Coord { x: at[0], y: at[1] };
            let on = |p: Coord, r: f64| ring >= RING * r && (distance(p, middle) - ring).abs() <= r / 2.0;
            let reach = ring * (1.0 + 0.5 / RING);
            let of_size = |r: f64| {
                let all = self
                    .circles
                    .locate_within_distance(at, reach * reach)
                    .take(MOST_LINES);
                all.filter(move |c| (c.data - r).abs() <= 0.02 * r)
                    .filter(|c| {
                        let [x, y] = *c.geom();
                        on(Coord { x, y }, c.data)
                    })
                    .count()
            };
            let near = spots.locate_within_distance(at, reach * reach).take(MOST_LINES);
            let lamps = near
                .map(|g| (g.data, &loose[g.data]))
                .filter(|(_, c)| on(c.at, c.radius));
            found.extend(lamps.filter(|(_, c)| of_size(c.radius) >= LAMPS).map(|(n, _)| n));
        }
        found.into_iter().collect()
    }

    /// Circles of one size on a line that goes on beyond them, or in a narrow box.
    pub fn heads(&self, loose: &[Loose]) -> Vec<usize> {
        let spots = spots(loose);
        let widest = loose.iter().map(|c| c.radius).fold(0.0, f64::max);
        let mut found = BTreeSet::new();
        for line in &self.all {
            let (Some((low, high)), Some((ends, half))) = (bounds(line.points.iter().copied()), track(line))
            else {
                continue;
            };
            let Some(along) = unit(ends.1 - ends.0) else {
                continue;
            };
            let length = distance(ends.0, ends.1);
            let around = AABB::from_corners(
                [low.x - 2.0 * widest, low.y - 2.0 * widest],
                [high.x + 2.0 * widest, high.y + 2.0 * widest],
            );
            let inside = spots.locate_in_envelope(around).map(|g| g.data).take(MOST_LINES);
            let mut on: Vec<(f64, usize)> = inside
                .filter(|&n| {
                    let (at, r) = (loose[n].at, loose[n].radius);
                    let off = point_to_segment(at, ends.0, ends.1);
                    // In the rail, on it, or beside it.
                    let held = line.closed && contains(&line.points, at);
                    let beside = (-ON..=OFF_TRACK).contains(&((off - half - r) / r));
                    held || off <= 0.3 * r || beside || half > 0.0 && off <= half + r
                })
                .map(|n| (dot(loose[n].at - ends.0, along), n))
                .collect();
            on.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
            let (Some(first), Some(last)) = (on.first(), on.last()) else {
                continue;
            };
            let free = first.0 > loose[first.1].radius && length - last.0 > loose[last.1].radius;
            let close = on.windows(2).all(|w| {
                let step = w[1].0 - w[0].0;
                same(&loose[w[0].1], &loose[w[1].1]) && step <= HEADS && step > loose[w[0].1].radius
            });
            if on.len() >= 2 && free && close {
                found.extend(on.iter().map(|o| o.1));
            }
        }
        found.into_iter().collect()
    }
}

/// Both ends of a straight line, or of the middle of a narrow box, and half its width.
fn track(line: &Line) -> Option<((Coord, Coord), f64)> {
    match (&line.points[..], line.closed) {
        ([a, b], false) => Some(((*a, *b), 0.0)),
        ([a, b, c, d], true) | ([a, b, c, d, _], true) => {
            let (one, other) = (distance(*a, *b), distance(*b, *c));
            let ends = match one >= other {
                true => ((*a + *d) * 0.5, (*b + *c) * 0.5),
                false => ((*a + *b) * 0.5, (*c + *d) * 0.5),
            };
            (one.min(other) <= TRACK).then_some((ends, one.min(other) / 2.0))
        }
        _ => None,
    }
}
