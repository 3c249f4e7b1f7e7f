//! Walls as they are drawn: pairs of parallel lines a wall apart, along rooms. Also the lines that framing bears on.

use geo::Coord;
use rstar::primitives::{GeomWithData, Line};
use rstar::{AABB, RTree};

use super::super::shape::{between_degrees, chords, cross, distance, dot, finite, unit};
use super::super::walls::runs;
use super::{Read, Seen};
use crate::flatten::Prim;
use crate::plan::Member;

/// From face to face of a wall, inches: a 2×4 stud (3 1/2, PS 20) with nothing on it, to masonry with its boards
/// (common practice).
const APART: std::ops::RangeInclusive<f64> = 2.5..=14.0;
/// The outer face of a wall stands no further than this from the room.
const BESIDE: f64 = 14.0;
/// Ends this near meet.
const MEET: f64 = 1.0;
/// A single line that meets others at both ends says neither.
const SINGLE: f64 = 0.5;
/// Lines looked at, evenly among all of a layer.
const LOOKED_AT: usize = 1000;
/// Neighbours of a line or member that are looked at.
const NEIGHBOURS: usize = 512;
/// Across a wall a line is no face of it.
const SHORTEST: f64 = 6.0;

type Side = (Coord, Coord);
type Tree = RTree<GeomWithData<Line<[f64; 2]>, usize>>;

/// Sides of walls, rooms and members, each to be found by its place.
pub struct Lines {
    walls: Tree,
    rooms: Tree,
    members: Tree,
    turn: Turn,
}

/// To axes along the plan's walls: boxes about lines at a slant would hold half the house.
#[derive(Clone, Copy)]
struct Turn(Coord);

impl Turn {
    fn at(self, p: Coord) -> Coord {
        Coord {
            x: dot(p, self.0),
            y: cross(self.0, p),
        }
    }

    fn side(self, (a, b): Side) -> Side {
        (self.at(a), self.at(b))
    }

    fn tree(self, sides: impl Iterator<Item = Side>) -> Tree {
        let turned = sides.map(|side| self.side(side)).enumerate();
        let sound = turned.filter(|(_, (a, b))| finite(*a) && finite(*b));
        let lines = sound.map(|(n, (a, b))| GeomWithData::new(Line::new([a.x, a.y], [b.x, b.y]), n));
        RTree::bulk_load(lines.collect())
    }
}

fn ends(line: &Line<[f64; 2]>) -> Side {
    let at = |p: [f64; 2]| Coord { x: p[0], y: p[1] };
    (at(line.from), at(line.to))
}

/// Lines whose boxes come within `reach` of a side's box.
fn near(tree: &Tree, (a, b): Side, reach: f64) -> impl Iterator<Item = (Side, usize)> + '_ {
    let low = [a.x.min(b.x) - reach, a.y.min(b.y) - reach];
    let high = [a.x.max(b.x) + reach, a.y.max(b.y) + reach];
    (tree.locate_in_envelope_intersecting(AABB::from_corners(low, high))).map(|g| (ends(g.geom()), g.data))
}

impl Lines {
    pub fn new(read: &Read) -> Self {
        let turn = Turn(read.plan.axis.unwrap_or(Coord { x: 1.0, y: 0.0 }));
        Lines {
            walls: turn.tree(read.plan.walls.iter().copied()),
            rooms: turn.tree(read.plan.rooms.iter().flat_map(|r| runs(&r.outline, true))),
            members: turn.tree(read.members.iter().map(|(m, _)| (m.from, m.to))),
            turn,
        }
    }

    /// Whether there is anything for framing to bear on.
    pub fn any(&self) -> bool {
        self.walls.size() + self.rooms.size() > 0
    }

    /// Whether the end of a member bears on a wall, or on a member across.
    pub fn carries(&self, m: &Member, end: Coord, within: f64) -> bool {
        let (end, (from, to)) = (self.turn.at(end), self.turn.side((m.from, m.to)));
        if !finite(end) {
            return false;
        }
        let (p, reach) = ([end.x, end.y], within * within);
        let on = |tree: &Tree| tree.locate_within_distance(p, reach).next().is_some();
        on(&self.walls)
            || on(&self.rooms)
            || (self.members.locate_within_distance(p, reach)).any(|g| {
                let (a, b) = ends(g.geom());
                between_degrees(b - a, to - from) > 30.0
            })
    }

    /// Members about another one, by their places.
    pub fn across(&self, m: &Member) -> impl Iterator<Item = usize> + '_ {
        let side = self.turn.side((m.from, m.to));
        let sound = finite(side.0) && finite(side.1);
        let about = sound.then(|| near(&self.members, side, 0.0).take(NEIGHBOURS));
        about.into_iter().flatten().map(|(_, n)| n)
    }

    pub fn seen(&self, read: &Read, items: &[usize]) -> Option<Seen> {
        let straight = |i: &&usize| {
            let prim = &read.flat.items[**i].prim;
            matches!(prim, Prim::Segment { .. } | Prim::Path { .. })
        };
        let all: Vec<Side> = (items.iter().filter(straight))
            .filter_map(|&i| chords(&read.flat.items[i].prim))
            .flat_map(|(points, closed)| runs(&points, closed))
            .map(|side| self.turn.side(side))
            .filter(|(a, b)| finite(*a) && finite(*b) && distance(*a, *b) >= SHORTEST)
            .collect();
        if all.is_empty() {
            return None;
        }
        let looked: Vec<&Side> = all.iter().step_by(all.len().div_ceil(LOOKED_AT)).collect();
        let (mut whole, mut fit, mut single) = (0.0, 0.0, 0.0);
        for &&side in &looked {
            let length = distance(side.0, side.1);
            let by_room = (near(&self.rooms, side, BESIDE).take(NEIGHBOURS))
                .any(|(other, _)| apart(side, other).is_some_and(|d| d <= BESIDE));
            let paired = by_room
                || (near(&self.walls, side, *APART.end()).take(NEIGHBOURS))
                    .any(|(other, _)| apart(side, other).is_some_and(|d| APART.contains(&d)));
            whole += length;
            if paired {
                fit += length;
            } else if self.meets(side.0) && self.meets(side.1) {
                single += length;
            }
        }
        let share = |part: f64| if whole > 0.0 { part / whole } else { 0.0 };
        let all_lines = match looked.len() {
            n if n < all.len() => format!("{n} of its {} lines looked at", all.len()),
            n => format!("its {n} line(s)"),
        };
        Some(Seen {
            share: share(fit) + SINGLE * share(single),
            count: all.len(),
            said: match single > 0.0 {
                true => format!(
                    "{} of the length of {all_lines} a wall apart or along rooms, {} single lines that meet others",
                    percent(share(fit)),
                    percent(share(single))
                ),
                false => format!(
                    "{} of the length of {all_lines} a wall apart or along rooms",
                    percent(share(fit))
                ),
            },
        })
    }

    /// Whether a line's end, on turned axes, lies on another line of the walls.
    fn meets(&self, end: Coord) -> bool {
        let mut on = self.walls.locate_within_distance([end.x, end.y], MEET * MEET);
        on.nth(1).is_some()
    }
}

fn percent(share: f64) -> String {
    match share {
        0.0 => "none".to_string(),
        s if s >= 0.9995 => "all".to_string(),
        s => format!("{:.0} %", 100.0 * s),
    }
}

/// How far a parallel line stands from another that it runs beside for half of the shorter one.
fn apart(side: Side, other: Side) -> Option<f64> {
    let along = unit(side.1 - side.0)?;
    let (s, t) = (dot(other.0 - side.0, along), dot(other.1 - side.0, along));
    let (length, theirs) = (distance(side.0, side.1), distance(other.0, other.1));
    let overlap = s.max(t).min(length) - s.min(t).max(0.0);
    let parallel = between_degrees(other.1 - other.0, along) < 1.0;
    let middle = (other.0 + other.1) * 0.5 - side.0;
    (parallel && overlap >= 0.5 * length.min(theirs))
        .then(|| middle - along * dot(middle, along))
        .map(|off| off.x.hypot(off.y))
}
