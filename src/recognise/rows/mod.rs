//! Rows of lights and their exact line.
//!
//! *Step*: from one light of a row to the next. *Group*: the lights of one room, or all roomless
//! ones. Candidates grow from pairs of neighbours ([`seek`]), a grid's diagonals are dropped
//! ([`grid`]), and what is left gets its line ([`line`]).

use geo::Coord;
use rstar::primitives::Line as Chord;
use rstar::{AABB, RTree};

use crate::geom::finite;
use crate::plan::{LightId, Plan, RoomId, Row};
use crate::rules::Rules;

mod grid;
mod line;
mod seek;

#[cfg(test)]
mod against_plain;
#[cfg(test)]
mod tests;

/// The lights of one room, as the search sees them.
struct Group {
    lights: Vec<(LightId, Coord)>,
    /// Walls that a step may not cross; empty where the room bounds the group already.
    walls: RTree<Chord<[f64; 2]>>,
    axis: Option<Coord>,
}

/// All rows of a plan whose lights know their rooms, ordered by room (none last), then first light,
/// then second.
pub fn rows(plan: &Plan, rules: &Rules) -> Vec<Row> {
    let mut rows = Vec::new();
    let rooms = (0..plan.rooms.len()).map(|i| Some(RoomId(i)));
    for room in rooms.chain([None]) {
        rows.extend(rows_in(plan, room, rules));
    }
    rows
}

/// Those of one room, or of the lights in none.
pub(crate) fn rows_in(plan: &Plan, room: Option<RoomId>, rules: &Rules) -> Vec<Row> {
    let group = group(plan, room);
    let candidates = seek::candidates(&group, rules);
    let mut found: Vec<Row> = grid::without_diagonals(&group, candidates)
        .iter()
        .filter_map(|members| line::row(&group, members, room, rules))
        .collect();
    found.sort_by(|a, b| a.lights.cmp(&b.lights));
    found
}

/// The row that these lights of one room make, in their order, taken to be one. What [`rows`] gives where it
/// finds just them.
pub(crate) fn row_of(
    plan: &Plan,
    lights: &[(LightId, Coord)],
    room: Option<RoomId>,
    rules: &Rules,
) -> Option<Row> {
    let group = Group {
        lights: lights.to_vec(),
        walls: RTree::new(),
        axis: axis(plan, room),
    };
    let members: Vec<usize> = (0..lights.len()).collect();
    line::row(&group, &members, room, rules)
}

fn axis(plan: &Plan, room: Option<RoomId>) -> Option<Coord> {
    let its_room = room.and_then(|id| plan.rooms.get(id.0));
    its_room.map(|r| r.axis).or(plan.axis)
}

fn group(plan: &Plan, room: Option<RoomId>) -> Group {
    let lights = plan.lights.iter().enumerate();
    let lights = lights
        .filter(|(_, light)| light.room == room && finite(light.at))
        .map(|(i, light)| (LightId(i), light.at))
        .collect();
    let walls = if room.is_none() {
        plan.walls.as_slice()
    } else {
        &[]
    };
    Group {
        lights,
        walls: index(walls),
        axis: axis(plan, room),
    }
}

fn index(walls: &[(Coord, Coord)]) -> RTree<Chord<[f64; 2]>> {
    let walls = walls.iter().filter(|(a, b)| finite(*a) && finite(*b));
    RTree::bulk_load(walls.map(|(a, b)| Chord::new([a.x, a.y], [b.x, b.y])).collect())
}

impl Group {
    fn at(&self, i: usize) -> Option<Coord> {
        self.lights.get(i).map(|l| l.1)
    }

    /// Whether a wall crosses the way from `a` to `b`.
    fn walled(&self, a: Coord, b: Coord) -> bool {
        let envelope = AABB::from_corners([a.x, a.y], [b.x, b.y]);
        let point = |[x, y]: [f64; 2]| Coord { x, y };
        self.walls
            .locate_in_envelope_intersecting(envelope)
            .any(|wall| crosses(a, b, point(wall.from), point(wall.to)))
    }
}

/// Whether two segments meet; touching counts.
fn crosses(a: Coord, b: Coord, c: Coord, d: Coord) -> bool {
    use geo::Vector2DOps;
    let side = |p: Coord, q: Coord, r: Coord| (q - p).wedge_product(r - p);
    let apart = |a: f64, b: f64, c: f64, d: f64| a.max(b) < c.min(d) || c.max(d) < a.min(b);
    if apart(a.x, b.x, c.x, d.x) || apart(a.y, b.y, c.y, d.y) {
        return false;
    }
    side(a, b, c) * side(a, b, d) <= 0.0 && side(c, d, a) * side(c, d, b) <= 0.0
}
