//! Openings without a wall's end at either side: a door between two walls, told by its swing.

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::lines::Lines;
use super::{Gap, THICK_WALL, THIN_WALL, Way};
use crate::recognise::shape::{cross, distance, dot, left_of, point_to_segment, unit};

/// A swing is hinged this near to the end of its opening beyond half the wall, and its leaf is as wide as the opening, or
/// as half of it, within so much, inches (jambs; common practice).
pub const HINGE: f64 = 4.0;
pub const JAMBS: f64 = 6.0;
/// Narrowest leaf of a door between rooms, inches.
const LEAF: f64 = 16.0;
/// The leaves of a pair meet within this, inches.
const MEET: f64 = 4.0;
/// Sine of the greatest angle between a door that is shut and the way across its opening (10°).
const ASKEW: f64 = 0.17;

/// The arc that a door's leaf draws: where it is hinged, and where the leaf ends when open and when shut.
#[derive(Clone, Copy, Debug)]
pub struct Swing {
    pub hinge: Coord,
    pub ends: [Coord; 2],
    /// The end that a leaf is drawn to, where that is known: open, so that it shuts at the other.
    pub leaf: Option<usize>,
}

/// A leaf ends this near its hinge and its arc, inches.
pub const AT_ARC: f64 = 0.5;

impl Swing {
    /// The end of the arc that a line runs to from the hinge. As long is many a wall beside a door.
    pub fn leaf_at(&self, from: Coord, to: Coord) -> Option<usize> {
        let at = |a: Coord, b: Coord| {
            let end = self.ends.iter().position(|end| distance(b, *end) <= AT_ARC);
            end.filter(|_| distance(a, self.hinge) <= AT_ARC)
        };
        at(from, to).or_else(|| at(to, from))
    }
}

/// Openings that need no bridge: a door shuts along a wall whose faces run on over it, as the heads of doors do.
pub fn over_walls(swings: &[Swing], lines: &Lines, gaps: &[Gap]) -> Vec<Gap> {
    let mut found: Vec<Gap> = Vec::new();
    for swing in swings {
        let Some(end) = swing.leaf.and_then(|leaf| swing.ends.get(1 - leaf.min(1))) else {
            continue;
        };
        let middle = (swing.hinge + *end) * 0.5;
        let closed = |g: &Gap| point_to_segment(middle, g.from, g.to) <= THICK_WALL;
        if distance(swing.hinge, *end) < LEAF || gaps.iter().chain(&found).any(closed) {
            continue;
        }
        let Some(on) = unit(*end - swing.hinge) else {
            continue;
        };
        let across = left_of(on);
        let faces = lines.beside(middle, on, THICK_WALL + HINGE);
        let wall = faces.windows(2).find(|pair| {
            (THIN_WALL..=THICK_WALL).contains(&(pair[1] - pair[0])) && pair[0] <= HINGE && pair[1] >= -HINGE
        });
        if let Some(wall) = wall {
            let off = across * ((wall[0] + wall[1]) * 0.5);
            let (a, b) = (swing.hinge + off, *end + off);
            let (from, to) = if (a.x, a.y) <= (b.x, b.y) { (a, b) } else { (b, a) };
            found.push(Gap {
                from,
                to,
                thickness: wall[1] - wall[0],
                drawn: Vec::new(),
            });
        }
    }
    found
}

/// Whether a door swings that is hinged at one end of an opening and shuts at the other, or a pair that shuts at its middle.
pub fn hung(swings: &[Swing], [right, left]: &Way) -> bool {
    let (from, to) = ((right.0 + left.0) * 0.5, (right.1 + left.1) * 0.5);
    let (half, width) = (distance(right.0, left.0) / 2.0, distance(from, to));
    let middle = (from + to) * 0.5;
    let other = |at: Coord| swings.iter().any(|s| distance(s.hinge, at) <= half + HINGE);
    swings.iter().any(|swing| {
        let leaf = distance(swing.hinge, swing.ends[0]);
        [(from, to), (to, from)].into_iter().any(|(near, far)| {
            let shuts = |at: Coord| swing.ends.iter().any(|p| distance(*p, at) <= half + JAMBS);
            distance(swing.hinge, near) <= half + HINGE
                && ((leaf - width).abs() <= JAMBS && shuts(far)
                    || (leaf - width / 2.0).abs() <= JAMBS && shuts(middle) && other(far))
        })
    })
}

/// Ways across from wall to wall where a door, or a pair, is hinged at one and shuts at the other and nothing closes the
/// opening yet: a single line where the leaf is when shut.
pub fn between_walls(swings: &[Swing], lines: &Lines, gaps: &[Gap]) -> Vec<Way> {
    let spots = (swings.iter().enumerate())
        .flat_map(|(i, swing)| swing.ends.map(|p| GeomWithData::new([p.x, p.y], i)));
    let tree = RTree::bulk_load(spots.collect());
    let mut ways: Vec<(Coord, Coord)> = Vec::new();
    for swing in swings {
        if distance(swing.hinge, swing.ends[0]) < LEAF {
            continue;
        }
        let pairs = swing.ends.iter().flat_map(|&end| {
            let met = tree.locate_within_distance([end.x, end.y], MEET * MEET);
            met.map(|spot| swings[spot.data].hinge)
                .filter(move |hinge| across(swing.hinge, end, *hinge))
        });
        let far: Vec<Coord> = swing.ends.into_iter().chain(pairs).collect();
        let found: Vec<(Coord, Coord)> = (far.into_iter())
            .filter_map(|end| from_wall_to_wall(swing.hinge, end, lines))
            .collect();
        // Where the leaf might be shut either way the drawing does not tell.
        let [way] = found[..] else { continue };
        let middle = (way.0 + way.1) * 0.5;
        let closed = |g: &Gap| point_to_segment(middle, g.from, g.to) <= THICK_WALL;
        let again = |w: &(Coord, Coord)| distance((w.0 + w.1) * 0.5, middle) <= THICK_WALL;
        if !gaps.iter().any(closed) && !ways.iter().any(again) {
            ways.push(way);
        }
    }
    ways.into_iter().map(|way| [way, way]).collect()
}

/// Whether a second leaf's hinge lies straight on beyond where the first ends when shut.
fn across(hinge: Coord, end: Coord, other: Coord) -> bool {
    match (unit(end - hinge), unit(other - end)) {
        (Some(on), Some(way)) => dot(on, way) > 0.0 && cross(on, way).abs() <= ASKEW,
        _ => false,
    }
}

/// The line from a hinge over the end of its leaf, on to walls across it at both ends, with none between.
fn from_wall_to_wall(hinge: Coord, end: Coord, lines: &Lines) -> Option<(Coord, Coord)> {
    let on = unit(end - hinge)?;
    let (from, to) = (wall(hinge, on * -1.0, lines)?, wall(end, on, lines)?);
    // A wall along the shut leaf closes the opening itself.
    let (middle, side) = ((from + to) * 0.5, left_of(on) * JAMBS);
    let open = !lines.crossed(from, to) && !lines.crossed(middle - side, middle + side);
    open.then_some((from, to))
}

/// The nearest wall that a way meets, no further than a jamb before or behind its end.
fn wall(at: Coord, on: Coord, lines: &Lines) -> Option<Coord> {
    let met = lines.ahead(at - on * HINGE, on, 2.0 * HINGE);
    met.map(|(p, _)| p)
}
