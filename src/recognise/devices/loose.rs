//! Devices drawn as loose lines: what touches, or lies inside a closed shape, is one device.
//!
//! Lines that hang from a symbol by one end (leaders, branch lines) are no part of its outline.

use geo::{Coord, Line};
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::Obstacle;
use crate::recognise::shape::{area, bounds, chords, contains, hull, point_to_segment};
use crate::recognise::tolerance::{CORNER, LARGEST_SYMBOL, SMALLEST_DEVICE};

/// Pairs of pieces that are looked at; a drawing has a few for each device, and this ends what would take for ever.
const MOST_PAIRS: usize = 2_000_000;

/// One loose shape.
pub struct Piece {
    item: usize,
    /// The INSERT around it; shapes of different ones are different devices.
    within: Option<usize>,
    name: String,
    points: Vec<Coord>,
    closed: bool,
}

impl Piece {
    pub fn new(flat: &Flat, item: usize, points: Vec<Coord>, closed: bool) -> Piece {
        let within = flat.items[item].within;
        let name = match within.and_then(|w| flat.items.get(w)).map(|i| &i.prim) {
            Some(Prim::Symbol(symbol)) => symbol.true_name.to_string(),
            _ => flat.items[item].layer.to_string(),
        };
        // A run that comes back to where it began is a ring, and a whole circle of arcs is one by its own.
        let closed = closed
            || match points[..] {
                [first, _, _, .., last] => near(first, last),
                _ => false,
            };
        Piece {
            item,
            within,
            name,
            points,
            closed,
        }
    }

    fn lines(&self) -> impl Iterator<Item = Line> {
        let back = self.points.first().copied().filter(|_| self.closed);
        let ends = self.points.iter().copied().skip(1).chain(back);
        self.points
            .iter()
            .copied()
            .zip(ends)
            .map(|(a, b)| Line::new(a, b))
    }

    fn is_on(&self, p: Coord) -> bool {
        self.lines()
            .any(|l| point_to_segment(p, l.start, l.end) <= CORNER)
    }

    fn touches(&self, other: &Piece) -> bool {
        let holds =
            |a: &Piece, b: &Piece| a.closed && b.points.first().is_some_and(|&p| contains(&a.points, p));
        holds(self, other) || holds(other, self) || self.lines().any(|a| other.lines().any(|b| meet(a, b)))
    }

    fn ends(&self) -> Vec<Coord> {
        match self.points[..] {
            [first, .., last] if !self.closed => vec![first, last],
            _ => Vec::new(),
        }
    }
}

/// Items that hang together, a symbol each; `None` where nothing is drawn, or what is too large for a symbol.
pub fn clusters(flat: &Flat, items: &[usize]) -> Option<Vec<Vec<usize>>> {
    let pieces: Vec<Piece> = (items.iter())
        .filter_map(|&i| Some((i, chords(&flat.items[i].prim)?)))
        .map(|(i, (points, closed))| Piece::new(flat, i, points, closed))
        .collect();
    if pieces.is_empty() || !pieces.iter().all(is_small) {
        return None;
    }
    let of = |group: Vec<usize>| group.into_iter().map(|n| pieces[n].item).collect();
    Some(groups(&pieces, &mut Vec::new()).into_iter().map(of).collect())
}

/// Joins pieces into devices. Each has the place of its first piece, and is called by that one's name and all items.
pub fn put_together(
    pieces: Vec<Piece>,
    called: &dyn Fn(&str, &[usize]) -> String,
    notes: &mut Vec<Note>,
) -> Vec<(usize, Obstacle)> {
    let (small, large): (Vec<Piece>, Vec<Piece>) = pieces.into_iter().partition(is_small);
    let mut found = Vec::new();
    let mut bare = 0;
    for group in groups(&small, notes) {
        match outline(&small, &group) {
            Some(mut obstacle) => {
                let items: Vec<usize> = group.iter().map(|&n| small[n].item).collect();
                obstacle.name = called(&obstacle.name, &items);
                found.push((items[0], obstacle));
            }
            None => bare += group.len(),
        }
    }
    for piece in &large {
        let ring = hull(&piece.points);
        if piece.closed && ring.len() >= 3 {
            let name = called(&piece.name, &[piece.item]);
            found.push((piece.item, Obstacle { name, outline: ring }));
        } else {
            bare += 1;
        }
    }
    if bare > 0 {
        notes.push(Note::info(
            "device-open",
            format!("{bare} line(s) on device layers enclose nothing: no device is taken from them"),
        ));
    }
    found
}

fn is_small(piece: &Piece) -> bool {
    bounds(piece.points.iter().copied())
        .is_some_and(|(low, high)| (high.x - low.x).max(high.y - low.y) <= LARGEST_SYMBOL)
}

/// Pieces that hang together, each group in order and by its first.
fn groups(pieces: &[Piece], notes: &mut Vec<Note>) -> Vec<Vec<usize>> {
    let boxes = pieces.iter().enumerate().filter_map(|(n, p)| {
        let (low, high) = bounds(p.points.iter().copied())?;
        let rectangle = Rectangle::from_corners([low.x - CORNER, low.y - CORNER], [high.x, high.y]);
        Some(GeomWithData::new(rectangle, n))
    });
    let tree = RTree::bulk_load(boxes.collect());
    let mut root: Vec<usize> = (0..pieces.len()).collect();
    fn find(root: &mut [usize], mut i: usize) -> usize {
        while root[i] != i {
            root[i] = root[root[i]];
            i = root[i];
        }
        i
    }
    let mut pairs = 0;
    'all: for (n, piece) in pieces.iter().enumerate() {
        let Some((low, high)) = bounds(piece.points.iter().copied()) else {
            continue;
        };
        let around = AABB::from_corners([low.x - CORNER, low.y - CORNER], [high.x, high.y]);
        for near in tree.locate_in_envelope_intersecting(around) {
            let m = near.data;
            if m <= n || pieces[m].within != piece.within {
                continue;
            }
            pairs += 1;
            if pairs > MOST_PAIRS {
                notes.push(Note::warning(
                    "device-crowded",
                    "so much is drawn over itself on device layers that its lines were not all put together: devices \
                     may be missing; keep drafting patterns off these layers",
                ));
                break 'all;
            }
            let (a, b) = (find(&mut root, n), find(&mut root, m));
            if a != b && piece.touches(&pieces[m]) {
                root[a.max(b)] = a.min(b);
            }
        }
    }
    let mut groups: Vec<Vec<usize>> = vec![Vec::new(); pieces.len()];
    for n in 0..pieces.len() {
        groups[find(&mut root, n)].push(n);
    }
    groups.retain(|g| !g.is_empty());
    groups
}

/// Most pieces of a group for which hanging ones are looked for; a symbol has far fewer.
const MOST_PIECES: usize = 200;

/// The outline of a group; `None` where it has no area.
fn outline(pieces: &[Piece], group: &[usize]) -> Option<Obstacle> {
    let mut kept: Vec<usize> = group.to_vec();
    while kept.len() <= MOST_PIECES {
        let hangs = |&n: &usize| {
            let mut ends = pieces[n].ends().into_iter();
            ends.any(|end| !kept.iter().any(|&m| m != n && pieces[m].is_on(end)))
        };
        let still: Vec<usize> = kept.iter().copied().filter(|n| !hangs(n)).collect();
        if still.len() == kept.len() {
            break;
        }
        kept = still;
    }
    if kept.is_empty() {
        // A cross or a star alone: all there is.
        kept = group.to_vec();
    }
    let points: Vec<Coord> = kept
        .iter()
        .flat_map(|&n| pieces[n].points.iter().copied())
        .collect();
    let outline = hull(&points);
    let name = pieces[*kept.first()?].name.clone();
    (outline.len() >= 3 && area(&outline).abs() >= SMALLEST_DEVICE).then_some(Obstacle { name, outline })
}

fn near(a: Coord, b: Coord) -> bool {
    (a.x - b.x).hypot(a.y - b.y) <= CORNER
}

/// Whether two segments cross or come within a corner's width.
fn meet(a: Line, b: Line) -> bool {
    use geo::Intersects;
    let on = |p: Coord, l: Line| point_to_segment(p, l.start, l.end) <= CORNER;
    a.intersects(&b) || on(a.start, b) || on(a.end, b) || on(b.start, a) || on(b.end, a)
}
