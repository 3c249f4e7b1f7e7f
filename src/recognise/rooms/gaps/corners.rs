//! Openings at the corners of walls: windows round a corner, and ones that begin where the wall turns.
//!
//! *Mitred cap*: the line from the inner to the outer corner of a wall that turns, at which the wall stops. *Post*: such
//! a line, or a wall's thickness of any line, with an opening on either side of it.

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::lines::Lines;
use super::{
    ACROSS, Boxes, IN_LINE, PARALLEL, SLIP, THICK_WALL, THIN_WALL, WIDEST_BARE, Way, shows, shows_at_all,
};
use crate::geom::faces::Network;
use crate::recognise::rooms::ends::{End, askew, run};
use crate::recognise::shape::{cross, distance, dot, unit};
use crate::recognise::tolerance::CORNER;

/// A cap is longer than its wall is thick by no more than this: where the wall turns by 90°, the square root of 2.
const SLANTED: f64 = 1.5;
/// Faces on both sides of a turn are as far apart within this, inches.
const AS_THICK: f64 = 0.5;

/// Pairs of ends whose ways on meet at a corner, with nothing between: a way for each leg, and whether something is drawn
/// in both.
pub fn round(ends: &[End], lines: &Lines, drawn: &Boxes) -> Vec<([Way; 2], bool)> {
    let tree = spots(ends.iter().map(|e| e.right));
    let thick = |e: &End| distance(e.left, e.right);
    let legs = |e: &End, f: &End| -> Option<([Way; 2], f64)> {
        let outer = meeting((e.right, e.on), (f.left, f.on))?;
        let inner = meeting((e.left, e.on), (f.right, f.on))?;
        let far = |p: Coord, q: Coord| distance(p, q) <= WIDEST_BARE + THICK_WALL;
        let ways = [
            [(e.right, outer), (e.left, inner)],
            [(f.right, inner), (f.left, outer)],
        ];
        let fits = ways
            .iter()
            .flatten()
            .all(|&(p, q)| far(p, q) && !lines.crossed(p, q));
        let sum = ways.iter().flatten().map(|(p, q)| distance(*p, *q)).sum();
        fits.then_some((ways, sum))
    };
    let partner = |i: usize| {
        let e = &ends[i];
        let reach = 2.0 * (WIDEST_BARE + THICK_WALL);
        tree.locate_within_distance([e.right.x, e.right.y], reach * reach)
            .map(|spot| spot.data)
            .filter(|&j| j != i && thick(e) >= THIN_WALL && thick(&ends[j]) >= THIN_WALL)
            .filter_map(|j| Some((legs(e, &ends[j])?.1, j)))
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))
            .map(|(_, j)| j)
    };
    let partners: Vec<Option<usize>> = (0..ends.len()).map(partner).collect();
    let pairs = (0..ends.len()).filter_map(|i| partners[i].map(|j| (i, j)));
    pairs
        .filter(|&(i, j)| i < j && partners[j] == Some(i))
        .filter_map(|(i, j)| {
            let (ways, _) = legs(&ends[i], &ends[j])?;
            let shown = ways.iter().all(|way| shows_at_all(drawn, way));
            Some((ways, shown))
        })
        .collect()
}

/// No house has more walls that turn at an opening, and posts.
const MOST_STOPS: usize = 500;

/// Where two ways on meet, both ahead and at a corner.
fn meeting((p, on): (Coord, Coord), (q, other): (Coord, Coord)) -> Option<Coord> {
    let across = cross(on, other);
    if across.abs() < ACROSS {
        return None;
    }
    let (s, t) = (cross(q - p, other) / across, cross(q - p, on) / across);
    (s > CORNER && t > CORNER).then(|| p + on * s)
}

/// Where a wall stops at a line across it: the corners on both sides; for a wall that turns there the way on and its
/// thickness, and none for a post.
#[derive(Clone, Copy)]
struct Stop {
    ends: Segment,
    on: Option<(Coord, f64, f64)>,
    square: bool,
}

type Segment = (Coord, Coord);

/// Pairs of stops that face each other where a wall turns at one of them, with nothing between, and whether that is an
/// opening without names that tell: ones at posts have something drawn in them.
pub fn mitred(network: &Network, ends: &[End], lines: &Lines, drawn: &Boxes) -> Vec<(Way, bool)> {
    let mut stops = mitres(network);
    // So many posts are dashes of a pattern.
    if stops.is_empty() || stops.len() > MOST_STOPS {
        return Vec::new();
    }
    stops.extend(ends.iter().filter(|e| e.right != e.left).map(|e| Stop {
        ends: (e.right, e.left),
        on: Some((e.on, distance(e.right, e.left), e.told)),
        square: true,
    }));
    let tree = spots(stops.iter().map(|s| s.ends.0));
    let mut found: Vec<(f64, usize, usize, Way)> = Vec::new();
    for (i, a) in stops.iter().enumerate().filter(|(_, a)| !a.square) {
        let reach = WIDEST_BARE + 2.0 * THICK_WALL;
        for j in tree
            .locate_within_distance([a.ends.0.x, a.ends.0.y], reach * reach)
            .map(|s| s.data)
        {
            let b = &stops[j];
            // A pair of two that turn is looked at once.
            if i == j || (!b.square && j < i) {
                continue;
            }
            for way in [
                [(a.ends.0, b.ends.0), (a.ends.1, b.ends.1)],
                [(a.ends.0, b.ends.1), (a.ends.1, b.ends.0)],
            ] {
                if let Some(far) = faces_on(a, b, &way)
                    && way.iter().all(|(p, q)| !lines.crossed(*p, *q))
                {
                    found.push((far, i, j, way));
                }
            }
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
    // One opening at a wall's stop, one on either side of a post.
    let mut taken: Vec<Vec<Coord>> = vec![Vec::new(); stops.len()];
    let mut ways = Vec::new();
    for (_, i, j, way) in found {
        let Some(on) = unit(way[0].1 - way[0].0) else {
            continue;
        };
        let free = |n: usize, on: Coord| match stops[n].on {
            Some(_) => taken[n].is_empty(),
            None => taken[n].iter().all(|other| dot(*other, on) < 0.0),
        };
        if free(i, on) && free(j, on * -1.0) {
            taken[i].push(on);
            taken[j].push(on * -1.0);
            let post = stops[i].on.is_none() || stops[j].on.is_none();
            ways.push((way, !post || shows(drawn, way[0].0, way[1].1)));
        }
    }
    ways
}

/// How far apart two stops are whose corners are joined by lines that run on as both walls do.
fn faces_on(a: &Stop, b: &Stop, [first, second]: &Way) -> Option<f64> {
    let (u, v) = (first.1 - first.0, second.1 - second.0);
    let (on, other) = (unit(u)?, unit(v)?);
    let thick = cross(on, second.0 - first.0).abs();
    let (near, far) = (distance(first.0, first.1), distance(second.0, second.1));
    let slack = askew(near.min(far));
    let goes = |stop: &Stop, on: Coord| {
        (stop.on).is_none_or(|(way, wall, told)| {
            let straight = cross(way, on).abs() <= askew(told).max(slack) && dot(way, on) > 0.0;
            straight && (wall - thick).abs() <= if stop.square { IN_LINE } else { AS_THICK }
        })
    };
    let fits = dot(on, other) > 0.0
        && cross(on, other).abs() <= slack
        && (THIN_WALL..=THICK_WALL).contains(&thick)
        && near.min(far) > SLIP
        && near.max(far) <= WIDEST_BARE + THICK_WALL
        && goes(a, on)
        && goes(b, on * -1.0);
    fits.then_some(near + far)
}

/// Walls that stop at a cap that is not square to them, and posts: lines as long as a wall is thick that nothing meets.
fn mitres(network: &Network) -> Vec<Stop> {
    let beside = network.neighbours();
    let at = |n: usize| network.nodes[n];
    let mut found = Vec::new();
    for &(u, v) in &network.edges {
        let far = distance(at(u), at(v));
        if !(THIN_WALL..=SLANTED * THICK_WALL).contains(&far) {
            continue;
        }
        let back = |n: usize, near: usize| match beside[n][..] {
            [a, b] => Some(run(network, &beside, n, if a == near { b } else { a })),
            _ => None,
        };
        let on = match (beside[u].len(), beside[v].len()) {
            (1, 1) => None,
            (2, 2) => match (back(u, v), back(v, u)) {
                (Some(p), Some(q)) => match turned((at(u), at(v)), p, q) {
                    Some(on) => Some(on),
                    None => continue,
                },
                _ => continue,
            },
            _ => continue,
        };
        found.push(Stop {
            ends: (at(u), at(v)),
            on,
            square: false,
        });
    }
    found
}

/// The way on of a wall that turns at a cap between its faces, its thickness, and how much of it tells that.
fn turned((u, v): Segment, p: Coord, q: Coord) -> Option<(Coord, f64, f64)> {
    let (first, second, cap) = (unit(p)?, unit(q)?, unit(v - u)?);
    let told = distance(p, Coord::default()).min(distance(q, Coord::default()));
    let thick = cross(first, v - u).abs();
    let along = dot(cap, first).abs();
    let fits = dot(first, second) > 0.0
        && cross(first, second).abs() <= askew(told)
        && (PARALLEL * 5.0..=0.8).contains(&along)
        && (THIN_WALL..=THICK_WALL).contains(&thick);
    // Turned about the cap: what runs along it stays, what runs square to it goes on.
    let on = cap * dot(cap, first) - (first - cap * dot(cap, first));
    fits.then_some((on, thick, told))
}

fn spots(points: impl Iterator<Item = Coord>) -> RTree<GeomWithData<[f64; 2], usize>> {
    let spots = points.enumerate().map(|(i, p)| GeomWithData::new([p.x, p.y], i));
    RTree::bulk_load(spots.collect())
}
