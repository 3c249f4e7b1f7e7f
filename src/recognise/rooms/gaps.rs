//! Gaps in wall linework closed: small ones at corners, and doors, windows and cased openings.
//!
//! *Wall end*: where a wall stops at an opening: a cap of a wall's thickness with both faces running back
//! from it, or two faces that stop side by side, or one line that stops. *Bridge*: a line over an opening,
//! one a face, so that the wall's body stays a thin face of its own.
//!
//! An opening is bridged between two wall ends that face each other in line with nothing between them. That
//! is told apart from two walls that stop at a hall opposite each other by the corners: those run on into
//! the hall's wall and have no cap. Widths are common practice: a cased opening is up to 8 ft, a pair of
//! sliding doors up to 10; what is wider must have a door or an opening drawn in it, and what begins at a cross wall a
//! door. Those that have none are [`Closed::bare`]: names of rooms may tell.

use geo::Coord;
use rstar::primitives::{GeomWithData, Line as Chord, Rectangle};
use rstar::{AABB, RTree};

mod corners;
mod doors;
mod lines;
mod past;
mod short;

use super::super::matchlines::Matchlines;
use super::super::shape::{cross, distance, dot, unit};
use super::super::tolerance::CORNER;
use super::ends::{End, askew, ends};
use super::weld::foot;
pub use super::weld::weld;
use crate::geom::faces::Network;
pub use doors::{AT_ARC, HINGE, JAMBS, Swing};
use doors::{between_walls, hung, over_walls};
use lines::Lines;
use past::Past;

/// Gaps up to this are drafting slips.
pub(super) const SLIP: f64 = 1.0;
/// Least and greatest thickness of a wall.
pub(super) const THIN_WALL: f64 = 2.0;
pub(super) const THICK_WALL: f64 = 16.0;
/// Widest opening with nothing drawn in it, and with a door, window or opening drawn in it.
const WIDEST_BARE: f64 = 120.0;
const WIDEST_DRAWN: f64 = 240.0;
/// Widest door that stands hard against a cross wall: 3 ft 6 in with its jambs. Only where one is drawn.
const WIDEST_BESIDE: f64 = 48.0;
/// Widest opening between a wall's end and a cross wall that names may tell of with nothing drawn in it (a cased opening).
const WIDEST_CORNER: f64 = 96.0;
/// Widest gap that is told of, 40 ft.
const WIDEST_TOLD: f64 = 480.0;
/// Openings whose middles are this near are one, told by two leaves of a wall.
const IN_ONE_WALL: f64 = 6.0;
/// Ends that face each other are in line within this.
const IN_LINE: f64 = 0.75;
/// Sine of the greatest angle between lines taken as parallel here (1°).
pub(super) const PARALLEL: f64 = 0.0175;
/// Sine of the least angle at which walls cross or turn (30°).
const ACROSS: f64 = 0.5;

type Segment = (Coord, Coord);
/// The lines that close a wall over an opening: on the right and on the left of the way on from its first end.
type Way = [Segment; 2];

/// Wall linework with its gaps closed.
#[derive(Clone, Debug, Default)]
pub struct Closed {
    pub network: Network,
    /// Openings bridged.
    pub openings: usize,
    /// The same, each with its place.
    pub gaps: Vec<Gap>,
    /// Gaps left open: too wide for one with nothing drawn in it, or between a wall's end and a cross wall.
    pub bare: Vec<Bare>,
    /// Wall lines that still end where nothing meets them.
    pub loose: Vec<Coord>,
    /// Where lines stopped short of what they were drawn to meet, and were drawn on.
    pub short: Vec<Coord>,
}

/// An opening that was bridged.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// The wall's ends, in the middle of its thickness; `from` is the lower one in x, then in y.
    pub from: Coord,
    pub to: Coord,
    /// Of the wall, inches; 0 for one that is a single line.
    pub thickness: f64,
    /// Boxes of what is drawn in it, in order, by their places in what [`close`] was given; beyond those: lines of
    /// glass and sills.
    pub drawn: Vec<usize>,
}

/// A gap that was left open because nothing is drawn in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Bare {
    pub gap: Gap,
    /// What would close it, a line a face.
    pub bridge: Vec<(Coord, Coord)>,
    pub kind: BareKind,
}

/// Where a gap is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BareKind {
    /// Between two ends in line.
    Ends,
    /// Between a wall's end and a cross wall, or between ends one of which only ran past a wall.
    Beside,
    /// Between two ends whose walls would meet in a corner.
    Corner,
}

impl Bare {
    /// Whether it may be closed where names tell.
    pub fn closes(&self) -> bool {
        let width = distance(self.gap.from, self.gap.to);
        match self.kind {
            BareKind::Ends => width <= WIDEST_DRAWN,
            BareKind::Beside => width <= WIDEST_CORNER,
            BareKind::Corner => false,
        }
    }
}

/// Closes what gaps can be told. `openings` are boxes (low, high) of doors, windows and openings as drawn, `swings` the
/// arcs that may be doors'. `None` where there is more linework than a building has.
pub fn close(walls: &[Segment], openings: &[Segment], swings: &[Swing]) -> Option<Closed> {
    close_welded(&weld(walls), (openings, swings), &Matchlines::default())
}

/// The same for lines whose ends were brought together; no opening is between two halves that a matchline parts.
pub fn close_welded(
    walls: &[Segment],
    (openings, swings): (&[Segment], &[Swing]),
    halves: &Matchlines,
) -> Option<Closed> {
    let (walls, sills) = sills(walls);
    let openings: Vec<Segment> = openings.iter().copied().chain(sills).collect();
    let Met {
        network,
        mut segments,
        past,
        short,
    } = meet_welded(walls)?;
    let ends = ends(&network);
    let lines = Lines::new(&network);
    let boxes = openings
        .iter()
        .enumerate()
        .map(|(i, (lo, hi))| GeomWithData::new(Rectangle::from_corners([lo.x, lo.y], [hi.x, hi.y]), i));
    let drawn: Boxes = RTree::bulk_load(boxes.collect());
    let mut bridges: Vec<Vec<Way>> = Vec::new();
    let mut bare: Vec<(Vec<Way>, BareKind)> = Vec::new();
    let partners = facing(&ends, &lines, &drawn, halves);
    let stray = |e: &End| e.right != e.left && past.holds(e.right) && past.holds(e.left);
    let (mut alone, mut swinging) = (Vec::new(), Vec::new());
    for (i, &partner) in partners.iter().enumerate() {
        if let Some((j, wide)) = partner
            && partners.get(j) == Some(&Some((i, wide)))
            && i < j
        {
            let bridge = [(ends[i].right, ends[j].left), (ends[i].left, ends[j].right)];
            if wide {
                bare.push((vec![bridge], BareKind::Ends))
            } else if (stray(&ends[i]) || stray(&ends[j]))
                && !shows(&drawn, ends[i].left, ends[j].left)
                && !hung(swings, &bridge)
            {
                bare.push((vec![bridge], BareKind::Beside))
            } else {
                bridges.push(vec![bridge])
            }
        }
        if partner.is_none_or(|(_, wide)| wide) {
            match beside(&ends[i], &lines, WIDEST_CORNER) {
                Some((bridge, gap))
                    if gap <= WIDEST_BESIDE
                        && !stray(&ends[i])
                        && shows(&drawn, bridge[0].0, bridge[1].1) =>
                {
                    bridges.push(vec![bridge]);
                }
                Some((bridge, gap)) if gap <= WIDEST_BESIDE && hung(swings, &bridge) => {
                    swinging.push(bridge);
                }
                Some((bridge, _)) if halves.part(bridge[0].0, bridge[0].1) => {}
                Some((bridge, _)) => bare.push((vec![bridge], BareKind::Beside)),
                None => alone.push(i),
            }
        }
    }
    // Not the ends of other leaves of a wall that is closed there.
    let middle = |[right, left]: &Way| (right.0 + right.1 + left.0 + left.1) * 0.25;
    for way in swinging {
        let mut others = bridges.iter().flatten();
        match others.any(|other| distance(middle(other), middle(&way)) <= IN_ONE_WALL) {
            true => bare.push((vec![way], BareKind::Beside)),
            false => bridges.push(vec![way]),
        }
    }
    let alone: Vec<End> = alone.into_iter().map(|i| ends[i]).collect();
    let mitred = corners::mitred(&network, &alone, &lines, &drawn).into_iter();
    let mitred = mitred.map(|(way, closes)| (vec![way], closes, BareKind::Ends));
    let round = corners::round(&alone, &lines, &drawn).into_iter();
    let round = round.map(|(ways, closes)| (ways.to_vec(), closes, BareKind::Corner));
    for (ways, closes, kind) in mitred.chain(round) {
        if closes {
            bridges.push(ways)
        } else {
            bare.push((ways, kind))
        }
    }
    let mut gaps: Vec<Gap> = bridges.iter().flatten().map(|b| gap(b, &drawn)).collect();
    for way in between_walls(swings, &lines, &gaps) {
        gaps.push(gap(&way, &drawn));
        bridges.push(vec![way]);
    }
    let heads = over_walls(swings, &lines, &gaps);
    gaps.extend(heads);
    let bare: Vec<Bare> = (bare.into_iter())
        .filter_map(|(ways, kind)| {
            let gap = gap(ways.first()?, &drawn);
            let bridge = ways.into_iter().flatten().collect();
            Some(Bare { gap, bridge, kind })
        })
        .collect();
    // The ends of a bridged wall: a line between its leaves stops there with its faces.
    let closed: Vec<Segment> = (bridges.iter().flatten())
        .flat_map(|[right, left]| [(right.0, left.0), (right.1, left.1)])
        .collect();
    segments.extend(
        bridges
            .into_iter()
            .flatten()
            .flatten()
            .filter(|(a, b)| distance(*a, *b) > CORNER),
    );
    let network = Network::new(&segments, CORNER)?;
    let beside = network.neighbours();
    // What ran past a wall ends there, where it leaves no gap.
    let at = |p: Coord| move |(a, b): &Segment| distance(*a, *b) > THICK_WALL && (*a == p || *b == p);
    let gapped = |p: Coord| bare.iter().any(|b| b.bridge.iter().any(at(p)));
    let ran_past = |p: Coord| past.holds(p) && !gapped(p);
    let leaf = |p: Coord| closed.iter().any(|&(a, b)| distance(p, foot(p, (a, b))) <= SLIP);
    let loose = (0..network.nodes.len())
        .filter(|&n| beside[n].len() == 1)
        .map(|n| network.nodes[n])
        .filter(|&p| !leaf(p) && !ran_past(p))
        .collect();
    Some(Closed {
        network,
        openings: gaps.len(),
        gaps,
        bare,
        loose,
        short: short.into_iter().map(|line| line.0).collect(),
    })
}

/// Lines whose ends are brought to what they were drawn to meet.
pub struct Met {
    pub network: Network,
    segments: Vec<Segment>,
    past: Past,
    short: Vec<Segment>,
}

/// Brings ends of lines together, without closing openings; `None` where there is more linework than a building has.
pub fn meet(lines: &[Segment]) -> Option<Met> {
    meet_welded(weld(lines))
}

fn meet_welded(mut segments: Vec<Segment>) -> Option<Met> {
    let first = Network::new(&segments, CORNER)?;
    segments.extend(slips(&first));
    let mut network = Network::new(&segments, CORNER)?;
    let mut past = Past::new(&network);
    let short = short::short(&network, &past);
    if !short.is_empty() {
        segments.extend(&short);
        network = Network::new(&segments, CORNER)?;
        past = Past::new(&network);
    }
    Some(Met {
        network,
        segments,
        past,
        short,
    })
}

/// Wall lines without the lines of glass and sills that stand between the caps of two walls, and the boxes of
/// those. Lines in line with the walls' faces are none: they close the wall as well as a bridge does.
fn sills(walls: &[Segment]) -> (Vec<Segment>, Vec<Segment>) {
    let caps: Vec<Segment> = (walls.iter().copied())
        .filter(|(a, b)| (THIN_WALL..=THICK_WALL).contains(&distance(*a, *b)))
        .collect();
    let chords = caps
        .iter()
        .map(|(a, b)| Chord::new([a.x, a.y], [b.x, b.y]))
        .collect();
    let tree: RTree<Chord<[f64; 2]>> = RTree::bulk_load(chords);
    let on_a_cap = |p: Coord, along: Coord| {
        tree.locate_within_distance([p.x, p.y], CORNER * CORNER)
            .any(|cap| {
                let [a, b] = [cap.from, cap.to].map(|[x, y]| Coord { x, y });
                let square = unit(b - a).is_some_and(|u| dot(u, along).abs() < PARALLEL);
                square && distance(a, p) > SLIP && distance(b, p) > SLIP
            })
    };
    let held = |(a, b): Segment| {
        let along = unit(b - a).filter(|_| (SLIP..=WIDEST_BARE).contains(&distance(a, b)));
        along.map_or([false; 2], |u| [on_a_cap(a, u), on_a_cap(b, u)])
    };
    let held: Vec<[bool; 2]> = walls.iter().map(|line| held(*line)).collect();
    // Of lines that stand on a cap with one end: the other, where they meet round a corner.
    let free: Vec<(Coord, usize)> = (held.iter().enumerate())
        .filter_map(|(i, held)| match held {
            [true, false] => Some((walls[i].1, i)),
            [false, true] => Some((walls[i].0, i)),
            _ => None,
        })
        .collect();
    let spots = free.iter().map(|&(p, i)| GeomWithData::new([p.x, p.y], i));
    let tree = RTree::bulk_load(spots.collect());
    let mut sill: Vec<bool> = held.iter().map(|held| *held == [true; 2]).collect();
    for &(p, i) in &free {
        let turns = |j: usize| match (unit(walls[i].1 - walls[i].0), unit(walls[j].1 - walls[j].0)) {
            (Some(u), Some(v)) => cross(u, v).abs() > PARALLEL,
            _ => false,
        };
        let mut met = tree.locate_within_distance([p.x, p.y], CORNER * CORNER);
        sill[i] = met.any(|spot| turns(spot.data));
    }
    let mut sill = sill.into_iter();
    let (sills, rest): (Vec<Segment>, Vec<Segment>) =
        (walls.iter().copied()).partition(|_| sill.next().unwrap_or(false));
    let boxed = |(a, b): Segment| super::super::shape::bounds([a, b]);
    (rest, sills.into_iter().filter_map(boxed).collect())
}

/// Short lines from loose ends to what they fail to reach by no more than [`SLIP`].
fn slips(network: &Network) -> Vec<Segment> {
    let beside = network.neighbours();
    let lines = Lines::new(network);
    let mut found = Vec::new();
    for (n, near) in beside.iter().enumerate() {
        let [back] = near[..] else { continue };
        let p = network.nodes[n];
        let Some(on) = unit(p - network.nodes[back]) else {
            continue;
        };
        let window = (p - Coord { x: SLIP, y: SLIP }, p + Coord { x: SLIP, y: SLIP });
        let mut best: Option<(f64, Coord)> = None;
        for (a, b) in lines.at(window).into_iter().map(|e| network.edges[e]) {
            if a == n || b == n {
                continue;
            }
            let (a, b) = (network.nodes[a], network.nodes[b]);
            // Straight on where that meets the line, else to its nearest point.
            let targets = [straight_on(p, on, a, b), Some(foot(p, (a, b)))];
            let Some(q) = targets.into_iter().flatten().find(|q| distance(p, *q) <= SLIP) else {
                continue;
            };
            let gap = distance(p, q);
            if gap > CORNER && best.is_none_or(|(least, _)| gap < least) {
                best = Some((gap, q));
            }
        }
        found.extend(best.map(|(_, q)| (p, q)));
    }
    found
}

fn straight_on(p: Coord, on: Coord, a: Coord, b: Coord) -> Option<Coord> {
    super::super::shape::ray_to_segment(p, on, a, b).map(|t| p + on * t)
}

/// For each end the nearest one that faces it in line, with nothing between, and whether it is too far for a gap with
/// nothing drawn in it.
fn facing(ends: &[End], lines: &Lines, drawn: &Boxes, halves: &Matchlines) -> Vec<Option<(usize, bool)>> {
    let spots = ends
        .iter()
        .enumerate()
        .map(|(i, e)| GeomWithData::new([e.right.x, e.right.y], i));
    let tree = RTree::bulk_load(spots.collect());
    let partner = |e: &End| {
        let far = e.left + e.on * (WIDEST_TOLD + SLIP);
        let window = super::super::shape::bounds([e.left, far])?;
        let pad = IN_LINE;
        let envelope = AABB::from_corners(
            [window.0.x - pad, window.0.y - pad],
            [window.1.x + pad, window.1.y + pad],
        );
        let mut found: Vec<(f64, usize)> = tree
            .locate_in_envelope(envelope)
            .filter_map(|spot| {
                let f = &ends[spot.data];
                let faces = dot(e.on, f.on) < 0.0 && cross(e.on, f.on).abs() < askew(e.told.min(f.told));
                let on = if e.told < f.told { f.on } else { e.on };
                let in_line = |p: Coord, q: Coord| cross(on, q - p).abs() <= IN_LINE;
                let gap = dot(f.right - e.left, e.on);
                let fits = gap > CORNER && in_line(e.left, f.right) && in_line(e.right, f.left);
                (faces && fits).then_some((gap, spot.data))
            })
            .collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let (gap, j) = *found.first()?;
        let f = &ends[j];
        let wide = gap > WIDEST_BARE && !(gap <= WIDEST_DRAWN && shows(drawn, e.left, f.left));
        let clear = !lines.crossed(e.left, f.right) && !lines.crossed(e.right, f.left);
        (clear && gap <= WIDEST_TOLD && !halves.part(e.left, f.right)).then_some((j, wide))
    };
    ends.iter().map(partner).collect()
}

/// Bridges from an end straight on to a cross wall, and how far that is at the nearer face.
fn beside(end: &End, lines: &Lines, reach: f64) -> Option<(Way, f64)> {
    let hit = |p: Coord| lines.ahead(p, end.on, reach);
    let ((right, wall), (left, other)) = (hit(end.right)?, hit(end.left)?);
    let far = |p: Coord, q: Coord| dot(q - p, end.on);
    let gap = far(end.right, right).min(far(end.left, left));
    let level = cross(wall, left - right).abs() <= SLIP && cross(wall, other).abs() <= PARALLEL;
    (level && gap > SLIP).then_some(([(end.right, right), (end.left, left)], gap))
}

/// The opening between two bridges, one at each face of the wall.
fn gap(&[right, left]: &[Segment; 2], drawn: &Boxes) -> Gap {
    // The two run from the one end of the wall to the other.
    let (a, b) = ((right.0 + left.0) * 0.5, (right.1 + left.1) * 0.5);
    let (from, to) = if (a.x, a.y) <= (b.x, b.y) { (a, b) } else { (b, a) };
    // Glass and leaves may stand anywhere in the wall's thickness, and an arc's box begins at its face.
    let inner = |t: f64| [right.0 + (right.1 - right.0) * t, left.0 + (left.1 - left.0) * t];
    let points = inner(0.25).into_iter().chain(inner(0.75));
    let mut shown: Vec<usize> = super::super::shape::bounds(points)
        .map(|(lo, hi)| AABB::from_corners([lo.x - SLIP, lo.y - SLIP], [hi.x + SLIP, hi.y + SLIP]))
        .into_iter()
        .flat_map(|envelope| drawn.locate_in_envelope_intersecting(envelope))
        .map(|b| b.data)
        .collect();
    shown.sort_unstable();
    let thickness = distance(right.0, left.0);
    Gap {
        from,
        to,
        thickness,
        drawn: shown,
    }
}

type Boxes = RTree<GeomWithData<Rectangle<[f64; 2]>, usize>>;

/// Whether something is drawn in the middle half of an opening, its faces too.
fn shows_at_all(drawn: &Boxes, way: &Way) -> bool {
    let points = way
        .iter()
        .flat_map(|&(a, b)| [a + (b - a) * 0.25, a + (b - a) * 0.75]);
    let around = super::super::shape::bounds(points);
    let around =
        around.map(|(lo, hi)| AABB::from_corners([lo.x - SLIP, lo.y - SLIP], [hi.x + SLIP, hi.y + SLIP]));
    around.is_some_and(|around| drawn.locate_in_envelope_intersecting(around).next().is_some())
}

/// Whether a door, window or opening is drawn across the middle half of the gap from `a` to `b`.
fn shows(drawn: &Boxes, a: Coord, b: Coord) -> bool {
    let (p, q) = (a + (b - a) * 0.25, a + (b - a) * 0.75);
    let envelope = AABB::from_corners([p.x.min(q.x), p.y.min(q.y)], [p.x.max(q.x), p.y.max(q.y)]);
    drawn.locate_in_envelope_intersecting(envelope).next().is_some()
}
