//! Members that stand beyond the house: a truss drawn from the side beside the plan, a detail, a schedule's sample.

use geo::Coord;
use rstar::RTree;
use rstar::primitives::Line;

use crate::note::Note;
use crate::plan::Plan;
use crate::recognise::rooms::room_of;
use crate::recognise::shape::finite;

/// Members of porches, overhangs and carports lie no further from the walls, inches.
const BESIDE: f64 = 72.0;
/// Fewer say nothing.
const FEWEST: usize = 3;

/// Tells of members no part of which is near a wall or in a room, where most are.
pub fn told(plan: &Plan, notes: &mut Vec<Note>) {
    let walls: Vec<Line<[f64; 2]>> = (plan.walls.iter())
        .filter(|(a, b)| finite(*a) && finite(*b))
        .map(|(a, b)| Line::new([a.x, a.y], [b.x, b.y]))
        .collect();
    if walls.is_empty() {
        return;
    }
    let walls = RTree::bulk_load(walls);
    let near = |p: Coord| {
        walls
            .locate_within_distance([p.x, p.y], BESIDE * BESIDE)
            .next()
            .is_some()
            || room_of(&plan.rooms, p).is_some()
    };
    let outside: Vec<usize> = (0..plan.members.len())
        .filter(|&m| {
            let member = &plan.members[m];
            let points = [member.from, (member.from + member.to) * 0.5, member.to];
            points.iter().all(|p| finite(*p) && !near(*p))
        })
        .collect();
    let Some(&first) = outside.first() else { return };
    if outside.len() < FEWEST || 2 * outside.len() >= plan.members.len() {
        return;
    }
    let at = plan.members[first].from;
    notes.push(Note::warning(
        "members-outside",
        format!(
            "{} member(s) lie beyond all walls and rooms, the first from ({:.1}, {:.1}) in: if they are a view from the side or a \
             detail, give it a title (SECTION, DETAIL, ELEVATION) or put it on a layer of its own",
            outside.len(),
            at.x,
            at.y
        ),
    ));
}
