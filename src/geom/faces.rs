//! Planar faces: segments cut where they meet, and the rings that the pieces enclose.
//!
//! *Node*: a point where pieces end or meet. *Edge*: a straight piece between two nodes that nothing
//! crosses. *Face*: a bounded part of the plane that no edge runs through; its *holes* are the outlines of
//! what stands in it. *Loose end*: a node with one edge. Lengths are in the unit of the points.

use std::collections::hash_map::DefaultHasher;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::hash::BuildHasherDefault;

use geo::{Coord, Vector2DOps};
use rstar::primitives::{GeomWithData, Line as Chord};
use rstar::{AABB, RTree};

use super::{finite, unit};

/// More segments than this, or more meetings of them, are no plan of a building.
const MOST_SEGMENTS: usize = 60_000;
const MOST_MEETINGS: usize = 4_000_000;

type Piece = GeomWithData<Chord<[f64; 2]>, usize>;

/// Segments cut where they meet.
#[derive(Clone, Debug, Default)]
pub struct Network {
    pub nodes: Vec<Coord>,
    /// Pairs of nodes, the lower first, sorted, each once.
    pub edges: Vec<(usize, usize)>,
}

/// A bounded face.
#[derive(Clone, Debug, PartialEq)]
pub struct Face {
    /// Counter-clockwise, without the closing point, no point twice.
    pub outline: Vec<Coord>,
    /// Clockwise outlines of what stands inside.
    pub holes: Vec<Vec<Coord>>,
}

impl Face {
    /// Area without the holes.
    pub fn area(&self) -> f64 {
        signed_area(&self.outline) + self.holes.iter().map(|h| signed_area(h)).sum::<f64>()
    }

    /// Length of the outline and of the holes' outlines.
    pub fn perimeter(&self) -> f64 {
        std::iter::once(&self.outline)
            .chain(&self.holes)
            .map(|ring| sides(ring).map(|(a, b)| (b - a).magnitude()).sum::<f64>())
            .sum()
    }
}

/// The sides of a closed ring.
fn sides(ring: &[Coord]) -> impl Iterator<Item = (Coord, Coord)> + '_ {
    ring.iter().copied().zip(ring.iter().copied().cycle().skip(1))
}

/// Positive for a counter-clockwise ring; about its first point, so that large coordinates cost no digits.
pub fn signed_area(ring: &[Coord]) -> f64 {
    let Some(&o) = ring.first() else { return 0.0 };
    sides(ring)
        .map(|(a, b)| (a - o).wedge_product(b - o))
        .sum::<f64>()
        / 2.0
}

/// Nodes under construction: a point within `snap` of one is that one, the nearest of several.
struct Nodes {
    at: Vec<Coord>,
    /// By square of the plane, `snap` wide: the last node in it, and for each node the one before it there. Only looked up
    /// in, never gone through.
    squares: HashMap<(i64, i64), usize, BuildHasherDefault<DefaultHasher>>,
    before: Vec<Option<usize>>,
    snap: f64,
}

impl Nodes {
    fn new(snap: f64) -> Nodes {
        Nodes {
            at: Vec::new(),
            squares: HashMap::default(),
            before: Vec::new(),
            snap,
        }
    }

    fn find(&mut self, p: Coord) -> usize {
        let wide = if self.snap > 0.0 { self.snap } else { 1.0 };
        let (column, row) = ((p.x / wide).floor() as i64, (p.y / wide).floor() as i64);
        let mut best: Option<(f64, usize)> = None;
        for i in -1..=1 {
            for j in -1..=1 {
                let square = (column.saturating_add(i), row.saturating_add(j));
                let mut node = self.squares.get(&square).copied();
                while let Some(n) = node {
                    let far = (self.at[n] - p).magnitude();
                    if far <= self.snap && best.is_none_or(|b| (far, n) < b) {
                        best = Some((far, n));
                    }
                    node = self.before[n];
                }
            }
        }
        if let Some((_, known)) = best {
            return known;
        }
        let new = self.at.len();
        self.at.push(p);
        self.before.push(self.squares.insert((column, row), new));
        new
    }
}

impl Network {
    /// Cuts segments where they cross, touch or overlap; ends within `snap` of each other, or of a segment,
    /// meet. `None` where there are too many to be a building's plan.
    pub fn new(segments: &[(Coord, Coord)], snap: f64) -> Option<Network> {
        if segments.len() > MOST_SEGMENTS {
            return None;
        }
        let mut nodes = Nodes::new(snap);
        let mut ends: Vec<(usize, usize)> = Vec::new();
        for &(a, b) in segments.iter().filter(|(a, b)| finite(*a) && finite(*b)) {
            let (a, b) = (nodes.find(a), nodes.find(b));
            if a != b {
                ends.push((a.min(b), a.max(b)));
            }
        }
        ends.sort_unstable();
        ends.dedup();
        let of = |nodes: &Nodes, n: usize| nodes.at[n];
        let pieces = ends.iter().enumerate().map(|(i, &(a, b))| {
            let (a, b) = (of(&nodes, a), of(&nodes, b));
            Piece::new(Chord::new([a.x, a.y], [b.x, b.y]), i)
        });
        let tree = RTree::bulk_load(pieces.collect());
        let mut cuts: Vec<Vec<usize>> = ends.iter().map(|&(a, b)| vec![a, b]).collect();
        let mut meetings = 0;
        for (i, &(a, b)) in ends.iter().enumerate() {
            let (pa, pb) = (of(&nodes, a), of(&nodes, b));
            let mut others: Vec<usize> = tree
                .locate_in_envelope_intersecting(around(pa, pb, snap))
                .map(|piece| piece.data)
                .filter(|&j| j > i)
                .collect();
            others.sort_unstable();
            meetings += others.len();
            if meetings > MOST_MEETINGS {
                return None;
            }
            for j in others {
                let (c, d) = ends[j];
                let (pc, pd) = (of(&nodes, c), of(&nodes, d));
                let mut touching = false;
                for (node, p, on, from, to) in [
                    (a, pa, j, pc, pd),
                    (b, pb, j, pc, pd),
                    (c, pc, i, pa, pb),
                    (d, pd, i, pa, pb),
                ] {
                    if distance_to(p, from, to) <= snap {
                        cuts[on].push(node);
                        touching = true;
                    }
                }
                if !touching && let Some(p) = crossing(pa, pb, pc, pd) {
                    let node = nodes.find(p);
                    cuts[i].push(node);
                    cuts[j].push(node);
                }
            }
        }
        let mut edges = BTreeSet::new();
        for (&(a, b), cuts) in ends.iter().zip(&mut cuts) {
            let (from, along) = (nodes.at[a], nodes.at[b] - nodes.at[a]);
            let station = |n: usize| along.dot_product(nodes.at[n] - from);
            cuts.sort_by(|&p, &q| station(p).total_cmp(&station(q)).then(p.cmp(&q)));
            cuts.dedup();
            for pair in cuts.windows(2) {
                edges.insert((pair[0].min(pair[1]), pair[0].max(pair[1])));
            }
        }
        let edges = edges.into_iter().filter(|(a, b)| a != b).collect();
        Some(Network {
            nodes: nodes.at,
            edges,
        })
    }

    /// The neighbours of every node, in order of their numbers.
    pub fn neighbours(&self) -> Vec<Vec<usize>> {
        let mut beside = vec![Vec::new(); self.nodes.len()];
        for &(a, b) in &self.edges {
            beside[a].push(b);
            beside[b].push(a);
        }
        beside
    }

    /// All bounded faces, in the order of their first nodes.
    pub fn faces(&self) -> Vec<Face> {
        let (shells, holes) = self.rings();
        let mut faces: Vec<Face> = shells
            .into_iter()
            .map(|outline| Face {
                outline,
                holes: Vec::new(),
            })
            .collect();
        assign(&mut faces, holes);
        faces
    }

    /// Counter-clockwise and clockwise rings around the faces.
    fn rings(&self) -> (Vec<Vec<Coord>>, Vec<Vec<Coord>>) {
        let beside = self.fans();
        let mut seen: BTreeSet<(usize, usize)> = BTreeSet::new();
        let (mut shells, mut holes) = (Vec::new(), Vec::new());
        for (from, fan) in beside.iter().enumerate() {
            for &to in fan {
                if seen.contains(&(from, to)) {
                    continue;
                }
                let mut walk = Vec::new();
                let (mut a, mut b) = (from, to);
                while seen.insert((a, b)) {
                    walk.push(a);
                    // The next edge to the right of the way back keeps the face on the left.
                    let fan = &beside[b];
                    let back = fan.iter().position(|&n| n == a).unwrap_or(0);
                    let next = fan[(back + fan.len() - 1) % fan.len()];
                    (a, b) = (b, next);
                }
                for ring in simple(&walk) {
                    let ring: Vec<Coord> = ring.into_iter().map(|n| self.nodes[n]).collect();
                    let area = signed_area(&ring);
                    if area > 0.0 {
                        shells.push(ring);
                    } else if area < 0.0 {
                        holes.push(ring);
                    }
                }
            }
        }
        (shells, holes)
    }

    /// Neighbours of every node counter-clockwise by angle, without what hangs loose.
    fn fans(&self) -> Vec<Vec<usize>> {
        let mut beside = self.neighbours();
        let mut loose: Vec<usize> = (0..beside.len()).filter(|&n| beside[n].len() == 1).collect();
        while let Some(n) = loose.pop() {
            if let Some(other) = beside[n].pop() {
                beside[other].retain(|&m| m != n);
                if beside[other].len() == 1 {
                    loose.push(other);
                }
            }
        }
        for (n, fan) in beside.iter_mut().enumerate() {
            let angle = |m: usize| {
                let d = self.nodes[m] - self.nodes[n];
                d.y.atan2(d.x)
            };
            fan.sort_by(|&p, &q| angle(p).total_cmp(&angle(q)).then(p.cmp(&q)));
        }
        beside
    }
}

/// A closed walk as rings that pass no node twice.
fn simple(walk: &[usize]) -> Vec<Vec<usize>> {
    let mut rings = Vec::new();
    let mut path: Vec<usize> = Vec::new();
    let mut place: BTreeMap<usize, usize> = BTreeMap::new();
    for &n in walk {
        if let Some(&first) = place.get(&n) {
            let ring = path.split_off(first);
            for m in &ring {
                place.remove(m);
            }
            rings.push(ring);
        }
        place.insert(n, path.len());
        path.push(n);
    }
    rings.push(path);
    rings.retain(|r| r.len() >= 3);
    rings
}

/// Gives every hole to the smallest face around it.
fn assign(faces: &mut [Face], holes: Vec<Vec<Coord>>) {
    let boxes = faces.iter().enumerate().filter_map(|(i, face)| {
        let (low, high) = extent(&face.outline)?;
        Some(GeomWithData::new(
            rstar::primitives::Rectangle::from_corners(low, high),
            i,
        ))
    });
    let tree = RTree::bulk_load(boxes.collect());
    let areas: Vec<f64> = faces.iter().map(|f| signed_area(&f.outline)).collect();
    for hole in holes {
        let Some(&first) = hole.first() else { continue };
        let size = -signed_area(&hole);
        let home = tree
            .locate_all_at_point([first.x, first.y])
            .map(|found| found.data)
            .filter(|&i| areas[i] > size * (1.0 + 1e-12) && holds(&faces[i].outline, &hole))
            .min_by(|&a, &b| areas[a].total_cmp(&areas[b]).then(a.cmp(&b)));
        if let Some(face) = home.and_then(|i| faces.get_mut(i)) {
            face.holes.push(hole);
        }
    }
}

/// Whether a ring that crosses nothing of `outline` lies in it: by the first of its corners that is no
/// corner of the outline.
fn holds(outline: &[Coord], ring: &[Coord]) -> bool {
    let free = ring.iter().find(|p| !outline.contains(p));
    free.is_some_and(|&p| encloses(outline, p))
}

/// Even-odd rule.
fn encloses(ring: &[Coord], p: Coord) -> bool {
    let right = |(a, b): &(Coord, Coord)| {
        (a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    sides(ring).filter(right).count() % 2 == 1
}

fn extent(ring: &[Coord]) -> Option<([f64; 2], [f64; 2])> {
    let first = *ring.first()?;
    Some(
        ring.iter()
            .fold(([first.x, first.y], [first.x, first.y]), |(lo, hi), p| {
                ([lo[0].min(p.x), lo[1].min(p.y)], [hi[0].max(p.x), hi[1].max(p.y)])
            }),
    )
}

fn around(a: Coord, b: Coord, by: f64) -> AABB<[f64; 2]> {
    AABB::from_corners(
        [a.x.min(b.x) - by, a.y.min(b.y) - by],
        [a.x.max(b.x) + by, a.y.max(b.y) + by],
    )
}

fn distance_to(p: Coord, a: Coord, b: Coord) -> f64 {
    let Some(along) = unit(b - a) else {
        return (p - a).magnitude();
    };
    let t = along.dot_product(p - a).clamp(0.0, (b - a).magnitude());
    (p - (a + along * t)).magnitude()
}

/// Where two segments cross inside both; `None` where they do not.
pub fn crossing(a: Coord, b: Coord, c: Coord, d: Coord) -> Option<Coord> {
    let (r, s) = (b - a, d - c);
    let across = r.wedge_product(s);
    if across == 0.0 || !across.is_finite() {
        return None;
    }
    let t = (c - a).wedge_product(s) / across;
    let u = (c - a).wedge_product(r) / across;
    let inside = t > 0.0 && t < 1.0 && u > 0.0 && u < 1.0;
    inside.then(|| a + r * t)
}
