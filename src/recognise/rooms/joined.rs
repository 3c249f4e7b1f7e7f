//! Rooms whose outline on a room layer is drawn as loose lines: each face that they close.

use geo::Coord;
use rstar::RTree;
use rstar::primitives::Line;

use super::super::shape::distance;
use super::super::walls::runs;
use super::from_walls::as_room;
use super::gaps;
use super::same;
use crate::plan::Room;

/// A line lies along an outline within this, inches: as far as ends of lines are brought together.
const ON: f64 = 1.0;

/// Open paths as they are drawn: the item and its points.
pub type Path = (usize, Vec<Coord>);

/// The rooms that open paths close together, beside those that are known, and the items that lie along rooms.
pub fn joined(paths: &[Path], known: &[Room]) -> (Vec<Room>, Vec<usize>) {
    let lines: Vec<(Coord, Coord)> = paths.iter().flat_map(|(_, points)| runs(points, false)).collect();
    let Some(network) = gaps::meet(&lines).map(|met| met.network) else {
        return (Vec::new(), Vec::new());
    };
    let mut rooms: Vec<Room> = Vec::new();
    for room in network.faces().iter().filter_map(as_room) {
        if !known.iter().any(|r| same(&r.outline, &room.outline)) {
            rooms.push(Room { drawn: true, ..room });
        }
    }
    let sides = (known.iter().chain(&rooms))
        .flat_map(|r| runs(&r.outline, true))
        .map(|(a, b)| Line::new([a.x, a.y], [b.x, b.y]));
    let sides = RTree::bulk_load(sides.collect());
    let along = |a: Coord, b: Coord| {
        let middle = (a + b) * 0.5;
        distance(a, b) <= ON
            || sides
                .locate_within_distance([middle.x, middle.y], ON * ON)
                .next()
                .is_some()
    };
    let claimed = (paths.iter())
        .filter(|(_, points)| points.windows(2).all(|w| along(w[0], w[1])))
        .map(|(item, _)| *item)
        .collect();
    (rooms, claimed)
}
