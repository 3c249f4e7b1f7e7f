//! Ends of wall lines brought to what they were drawn to meet.
//!
//! Walls drawn by hand miss: a line stops short of the one it meets, runs past it, or two lines that go on in
//! each other stand a little apart. Every *end* (of a line, at one of its two points) goes to the nearest point
//! where its line crosses another one that is there, else to the nearest end, else to the nearest line. Ends
//! that meet others already stay, so that what is drawn exactly keeps its corners.

use geo::Coord;
use rstar::primitives::{GeomWithData, Line as Chord};
use rstar::{AABB, RTree};

use super::super::shape::{cross, distance, dot, finite, unit};

/// Greatest slip of an end, inches: a quarter of an inch, an eighth of the thinnest wall (common practice: a
/// slip that is still invisible on a sheet at 1/4" = 1'-0").
const SLIP: f64 = 0.25;
/// Lines no further apart than this are one drawn twice, inches; ones shorter than [`SHORTEST`] are pieces of curves.
const TWICE: f64 = 0.125;
const SHORTEST: f64 = 1.0;
/// Ends nearer than this were drawn on one another; drawings are saved with four decimals and more.
const SAME: f64 = 1e-4;
/// Sine of the least angle between lines that cross (10°): below it they run on in each other.
const CROSSING: f64 = 0.17;

type Segment = (Coord, Coord);

/// How far an end goes: inches, and no more than a share of its line's own length.
#[derive(Clone, Copy, Debug)]
pub struct Reach {
    pub slip: f64,
    pub share: f64,
}

/// The lines with their ends brought together, in the same order; those that come to nothing are left out.
pub fn weld(lines: &[Segment]) -> Vec<Segment> {
    weld_by(
        lines,
        Reach {
            slip: SLIP,
            share: 0.25,
        },
    )
}

/// The same for ends that miss by another reach.
pub fn weld_by(lines: &[Segment], reach: Reach) -> Vec<Segment> {
    let mut lines: Vec<Segment> = (lines.iter().copied())
        .filter(|(a, b)| finite(*a) && finite(*b))
        .collect();
    twice(&mut lines);
    cross_lines(&mut lines, reach);
    hanging(&mut lines, reach);
    lines.retain(|(a, b)| distance(*a, *b) > SAME);
    lines
}

/// Of each line whether both its ends meet others as they are drawn.
pub fn ends_met(lines: &[Segment]) -> Vec<bool> {
    let tree = Tree::new(lines);
    let exact = Reach {
        slip: SAME,
        share: 1.0,
    };
    let met = |i: usize, last: bool| {
        let end = end(lines[i], last, exact)?;
        let near = tree.near(end.at, SAME, i);
        near.iter().any(|&j| meets(&end, lines[j])).then_some(())
    };
    (0..lines.len())
        .map(|i| [false, true].iter().all(|&last| met(i, last).is_some()))
        .collect()
}

/// An end of a line: its place, the way on from it and how far it may go.
#[derive(Clone, Copy)]
struct End {
    at: Coord,
    on: Coord,
    reach: f64,
}

impl Reach {
    fn of(self, (a, b): Segment) -> f64 {
        self.slip.min(self.share * distance(a, b))
    }
}

fn end((a, b): Segment, last: bool, reach: Reach) -> Option<End> {
    let (at, from) = if last { (b, a) } else { (a, b) };
    let on = unit(at - from)?;
    let reach = reach.of((a, b));
    Some(End { at, on, reach })
}

struct Tree(RTree<GeomWithData<Chord<[f64; 2]>, usize>>);

impl Tree {
    fn new(lines: &[Segment]) -> Tree {
        let chords = (lines.iter().enumerate())
            .map(|(i, (a, b))| GeomWithData::new(Chord::new([a.x, a.y], [b.x, b.y]), i));
        Tree(RTree::bulk_load(chords.collect()))
    }

    /// Lines whose boxes come within `by` of a point, but for one, in order.
    fn near(&self, p: Coord, by: f64, but: usize) -> Vec<usize> {
        let envelope = AABB::from_corners([p.x - by, p.y - by], [p.x + by, p.y + by]);
        let mut found: Vec<usize> = (self.0.locate_in_envelope_intersecting(envelope))
            .map(|chord| chord.data)
            .filter(|&i| i != but)
            .collect();
        found.sort_unstable();
        found
    }
}

/// Leaves out lines that were drawn a second time: they lie on a longer one, or on one as long that comes first.
fn twice(lines: &mut Vec<Segment>) {
    let tree = Tree::new(lines);
    let far: Vec<f64> = lines.iter().map(|(a, b)| distance(*a, *b)).collect();
    let covers = |i: usize, j: usize| {
        let (a, b) = lines[i];
        let along = unit(b - a).zip(unit(lines[j].1 - lines[j].0));
        (far[j], i) > (far[i], j)
            && along.is_some_and(|(u, v)| cross(u, v).abs() < CROSSING)
            && distance(a, foot(a, lines[j])) <= TWICE
            && distance(b, foot(b, lines[j])) <= TWICE
    };
    let single = |i: usize| {
        let (a, b) = lines[i];
        far[i] < SHORTEST || !tree.near((a + b) * 0.5, TWICE, i).iter().any(|&j| covers(i, j))
    };
    *lines = (0..lines.len())
        .filter(|&i| single(i))
        .map(|i| lines[i])
        .collect();
}

/// Moves ends to the nearest crossing of their lines with others.
fn cross_lines(lines: &mut [Segment], reach: Reach) {
    let tree = Tree::new(lines);
    let mut moved = lines.to_vec();
    for (i, &line) in lines.iter().enumerate() {
        for last in [false, true] {
            let Some(end) = end(line, last, reach) else {
                continue;
            };
            let near = tree.near(end.at, 2.0 * reach.slip, i);
            if near.iter().any(|&j| joins(&end, lines[j])) {
                continue;
            }
            let meets = near.iter().filter_map(|&j| meeting(&end, lines[j], reach));
            let best = meets.min_by(|p, q| distance(end.at, *p).total_cmp(&distance(end.at, *q)));
            if let Some(p) = best.filter(|p| distance(end.at, *p) > SAME) {
                let place = if last { &mut moved[i].1 } else { &mut moved[i].0 };
                *place = p;
            }
        }
    }
    lines.copy_from_slice(&moved);
}

/// Whether a line goes on from an end: it ends there too, and does not run back along the end's own.
fn joins(end: &End, (a, b): Segment) -> bool {
    let from = |p: Coord, q: Coord| {
        distance(p, end.at) <= SAME
            && unit(q - p).is_some_and(|way| dot(way, end.on) > 0.0 || cross(way, end.on).abs() >= CROSSING)
    };
    from(a, b) || from(b, a)
}

/// Where the line of an end crosses another one, within reach of the end and of the other line.
fn meeting(end: &End, (a, b): Segment, reach: Reach) -> Option<Coord> {
    let way = unit(b - a)?;
    let across = cross(end.on, way);
    if across.abs() < CROSSING {
        return None;
    }
    let t = cross(a - end.at, way) / across;
    let p = end.at + end.on * t;
    let (station, far) = (dot(p - a, way), distance(a, b));
    let reach = reach.of((a, b));
    (t.abs() <= end.reach && station >= -reach && station <= far + reach).then_some(p)
}

/// Moves ends that meet nothing yet to the nearest end, else to the nearest line.
fn hanging(lines: &mut [Segment], reach: Reach) {
    let tree = Tree::new(lines);
    for i in 0..lines.len() {
        for last in [false, true] {
            let Some(end) = end(lines[i], last, reach) else {
                continue;
            };
            // Lines that were moved meanwhile are no further off than a slip.
            let near = tree.near(end.at, 2.0 * reach.slip, i);
            if near.iter().any(|&j| meets(&end, lines[j])) {
                continue;
            }
            let ends = near.iter().flat_map(|&j| [lines[j].0, lines[j].1]);
            let bodies = near.iter().map(|&j| foot(end.at, lines[j]));
            let nearest = |points: &mut dyn Iterator<Item = Coord>| {
                let within = points.filter(|p| distance(end.at, *p) <= end.reach);
                within.min_by(|p, q| distance(end.at, *p).total_cmp(&distance(end.at, *q)))
            };
            let ends = nearest(&mut ends.filter(|p| distance(end.at, *p) > 0.0));
            if let Some(p) = ends.or_else(|| nearest(&mut { bodies })) {
                let place = if last { &mut lines[i].1 } else { &mut lines[i].0 };
                *place = p;
            }
        }
    }
}

/// Whether an end stands on a line that is no copy of its own.
fn meets(end: &End, line: Segment) -> bool {
    let (a, b) = line;
    if distance(end.at, foot(end.at, line)) > SAME {
        return false;
    }
    let copy = |p: Coord, q: Coord| {
        distance(p, end.at) <= SAME
            && unit(q - p).is_some_and(|way| dot(way, end.on) < 0.0 && cross(way, end.on).abs() < CROSSING)
    };
    !(copy(a, b) || copy(b, a))
}

/// The point of a segment nearest to a point.
pub fn foot(p: Coord, (a, b): Segment) -> Coord {
    let d = b - a;
    let squared = dot(d, d);
    let t = if squared > 0.0 {
        dot(p - a, d) / squared
    } else {
        0.0
    };
    a + d * t.clamp(0.0, 1.0)
}
