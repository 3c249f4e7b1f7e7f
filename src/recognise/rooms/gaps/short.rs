//! Wall lines that stop a little short of the corner, or of the wall, that they were drawn to meet.

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::lines::Lines;
use super::past::Past;
use super::{ACROSS, Segment, straight_on};
use crate::geom::faces::Network;
use crate::recognise::rooms::ends::run;
use crate::recognise::shape::{cross, distance, length, unit};
use crate::recognise::tolerance::CORNER;

/// So short of anything is no opening, inches: a third of the narrowest one. Never more than a share of the line itself.
const SHORT: f64 = 6.0;
const SHARE: f64 = 0.25;

/// A line that ends loose: where, the way on, and how far on it may be drawn.
struct Tip {
    at: Coord,
    on: Coord,
    reach: f64,
}

/// What draws such lines on to where they meet: in a corner of two of them, else at the line ahead.
pub fn short(network: &Network, past: &Past) -> Vec<Segment> {
    let beside = network.neighbours();
    let tips: Vec<Tip> = (beside.iter().enumerate())
        .filter_map(|(n, near)| {
            let ([next], at) = (&near[..], network.nodes[n]) else {
                return None;
            };
            let back = run(network, &beside, n, *next);
            let reach = SHORT.min(SHARE * length(back));
            let on = unit(back * -1.0).filter(|_| !past.holds(at))?;
            Some(Tip { at, on, reach })
        })
        .collect();
    let spots = tips.iter().enumerate();
    let spots = spots.map(|(i, tip)| GeomWithData::new([tip.at.x, tip.at.y], i));
    let tree = RTree::bulk_load(spots.collect());
    let lines = Lines::new(network);
    let corner = |i: usize| -> Option<(usize, Coord)> {
        let tip = &tips[i];
        let reach = 2.0 * SHORT;
        let near = tree.locate_within_distance([tip.at.x, tip.at.y], reach * reach);
        near.map(|spot| spot.data)
            .filter(|&j| j != i)
            .filter_map(|j| Some((meeting(tip, &tips[j])?, j)))
            .filter(|&(p, j)| !lines.crossed(tip.at, p) && !lines.crossed(tips[j].at, p))
            .map(|(p, j)| (distance(tip.at, p) + distance(tips[j].at, p), j, p))
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))
            .map(|(_, j, p)| (j, p))
    };
    let corners: Vec<Option<(usize, Coord)>> = (0..tips.len()).map(corner).collect();
    let mut found = Vec::new();
    for (i, tip) in tips.iter().enumerate() {
        match corners[i] {
            Some((j, p)) if corners[j].is_some_and(|(back, _)| back == i) => found.push((tip.at, p)),
            _ => found.extend(ahead(tip, &lines).map(|p| (tip.at, p))),
        }
    }
    found.retain(|(a, b)| distance(*a, *b) > CORNER);
    found
}

/// Where two lines drawn on meet.
fn meeting(a: &Tip, b: &Tip) -> Option<Coord> {
    let across = cross(a.on, b.on);
    if across.abs() < ACROSS {
        return None;
    }
    let between = b.at - a.at;
    let (s, t) = (cross(between, b.on) / across, cross(between, a.on) / across);
    let within = |t: f64, reach: f64| (-CORNER..=reach).contains(&t);
    (within(s, a.reach) && within(t, b.reach)).then(|| a.at + a.on * s)
}

/// The nearest line ahead of one that ends loose.
fn ahead(tip: &Tip, lines: &Lines) -> Option<Coord> {
    let far = tip.at + tip.on * tip.reach;
    (lines.at((tip.at, far)).into_iter())
        .filter_map(|edge| {
            let (a, b) = lines.ends_of(edge);
            let crosses = unit(b - a).is_some_and(|way| cross(way, tip.on).abs() >= ACROSS);
            straight_on(tip.at, tip.on, a, b).filter(|_| crosses)
        })
        .filter(|p| (CORNER..=tip.reach).contains(&distance(tip.at, *p)))
        .min_by(|p, q| distance(tip.at, *p).total_cmp(&distance(tip.at, *q)))
}
