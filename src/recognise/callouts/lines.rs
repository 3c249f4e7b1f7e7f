//! The line beside a text that tells which way its members run.
//!
//! Words: a *run* is one straight piece of what is drawn; a *head* is an arrowhead: a short run that
//! goes back from the end of a line at a slant; a *tick* is a short run or a dot across the end.

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::super::classes::{Claim, Class, Classes};
use super::super::shape::{between_degrees, chords, cross, distance, dot, finite, point_to_segment, unit};
use crate::flatten::{Flat, Prim};
use crate::length;

/// A line shorter than this shows no direction, inches.
const LEAST: f64 = 18.0;
/// Heads and ticks are no longer than this, inches, and no longer than a third of their line.
const LONGEST_MARK: f64 = 24.0;
/// A mark meets the end of its line within this, inches.
const MEETS: f64 = 0.3;
/// A line is beside a text within so many heights of its letters.
const BESIDE: f64 = 4.0;
/// The figure of a dimension stands within so many of its heights over the line.
const OVER: f64 = 2.5;
/// A head's barb leaves its line by so many degrees.
const BARB: std::ops::RangeInclusive<f64> = 5.0..=60.0;
/// A tick crosses its line by more than this, degrees.
const ACROSS: f64 = 30.0;
/// Lines cross in this stretch of both, as shares of their lengths, and at this angle at least, degrees.
const MIDST: std::ops::RangeInclusive<f64> = 0.1..=0.9;
const STEEP: f64 = 60.0;
/// More plain lines across an arrow are a pattern.
const MOST_CROSSING: usize = 3;
/// A text lies along a line that differs by less, degrees.
const ALONG: f64 = 2.0;
/// So many marks about one point are looked at.
const MOST_NEAR: usize = 32;

/// A text as it stands: the middle line of its box and its height.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beside {
    pub from: Coord,
    pub to: Coord,
    /// Of one letter, inches.
    pub letter: f64,
    /// Of the whole box.
    pub tall: f64,
}

/// How well a line tells a direction; the less the better.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tells {
    /// Heads at both ends, or a dimension line that has the words for its text.
    Both,
    /// A head at one end, with the words along it.
    One,
    /// Ticks at both ends.
    Ticks,
    /// A head at one end that points somewhere.
    Points,
}

/// A line that may tell a direction.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    pub from: Coord,
    pub to: Coord,
    /// Whether there is a head at either end.
    heads: (bool, bool),
    ticks: bool,
    /// A leader with a knee: it points, and that is all.
    bent: bool,
    /// A dimension with the text it shows, where that is not what it measured.
    pub dimension: Option<String>,
    /// What draws it: the line, then its marks.
    pub items: Vec<usize>,
    /// A plain line of its layer that crosses it.
    pub crossing: Option<(Coord, Coord)>,
}

impl Line {
    /// The point of a head where only one end has one.
    pub fn tip(&self) -> Option<Coord> {
        match self.heads {
            (true, false) => Some(self.from),
            (false, true) => Some(self.to),
            _ => None,
        }
    }

    pub fn tail(&self) -> Option<Coord> {
        match self.heads {
            (true, false) => Some(self.to),
            (false, true) => Some(self.from),
            _ => None,
        }
    }

    /// Whether a segment crosses it in the midst of both, steeply.
    pub fn crosses(&self, a: Coord, b: Coord) -> bool {
        let (d, e) = (self.to - self.from, b - a);
        let turn = cross(d, e);
        if turn == 0.0 || between_degrees(d, e) < STEEP {
            return false;
        }
        let (t, s) = (cross(a - self.from, e) / turn, cross(a - self.from, d) / turn);
        MIDST.contains(&t) && MIDST.contains(&s)
    }

    /// How it stands to a text, and how far off; `None` where it is not beside it.
    pub fn tells(&self, text: &Beside) -> Option<(Tells, f64)> {
        let off = (segments(self.from, self.to, text.from, text.to) - text.tall / 2.0).max(0.0);
        if off > BESIDE * text.letter {
            return None;
        }
        let along = self.along(text);
        let tells = match (self.heads, self.ticks) {
            ((true, true), _) => Tells::Both,
            ((false, false), true) => Tells::Ticks,
            ((false, false), false) => Tells::Both,
            _ if along && !self.bent => Tells::One,
            _ => Tells::Points,
        };
        Some((tells, off))
    }

    /// Whether the words stand along it, neither before nor after it.
    fn along(&self, text: &Beside) -> bool {
        let (Some(u), Some(v)) = (unit(self.to - self.from), unit(text.to - text.from)) else {
            return false;
        };
        let long = distance(self.from, self.to);
        let middle = dot((text.from + text.to) * 0.5 - self.from, u);
        between_degrees(u, v) <= ALONG && (0.0..=long).contains(&middle)
    }
}

/// Distance between two segments.
fn segments(a: Coord, b: Coord, c: Coord, d: Coord) -> f64 {
    let side = |p: Coord, q: Coord, r: Coord| cross(q - p, r - p);
    let crossing = side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0;
    if crossing {
        return 0.0;
    }
    point_to_segment(a, c, d)
        .min(point_to_segment(b, c, d))
        .min(point_to_segment(c, a, b))
        .min(point_to_segment(d, a, b))
}

/// A straight piece of what is drawn.
struct Run {
    a: Coord,
    b: Coord,
    item: usize,
    /// Wide at one end and not at the other: a head drawn as a tapering run.
    tapers: bool,
}

/// Lines near any of the texts that may tell a direction. A line that measures something, so that its
/// own number stands beside it, is none.
pub fn lines(flat: &Flat, classes: &Classes, claims: &[Claim], texts: &[Beside]) -> Vec<Line> {
    let Some(reach) = Reach::of(texts) else {
        // A dimension has its words with it.
        let alone =
            flat.items.iter().enumerate().filter(|(i, item)| {
                item.visible && claims[*i] == Claim::None && classes.of[*i] != Class::Ignore
            });
        return alone.filter_map(|(i, item)| dimension(&item.prim, i)).collect();
    };
    let (mut long, mut short, mut dots, mut found) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let mut figures = Vec::new();
    for (i, item) in flat.items.iter().enumerate() {
        if !item.visible || claims[i] != Claim::None || classes.of[i] == Class::Ignore {
            continue;
        }
        match &item.prim {
            Prim::Text { at, text, height, .. } if figure(text) && finite(*at) => {
                figures.push((*at, *height))
            }
            Prim::Circle { center, radius } if *radius <= LONGEST_MARK / 4.0 => dots.push((*center, i)),
            Prim::Dimension { .. } => found.extend(dimension(&item.prim, i)),
            prim if item.leads() => found.extend(leader(prim, i)),
            prim => {
                let structure = matches!(classes.of[i], Class::Wall | Class::Room);
                for run in runs(prim, i) {
                    let length = distance(run.a, run.b);
                    if length >= LEAST && !structure && reach.touches(run.a, run.b) && !closed(prim) {
                        long.push(run);
                    } else if length <= LONGEST_MARK && length > MEETS {
                        short.push(run);
                    }
                }
            }
        }
    }
    let ends = tree(short.iter().enumerate().flat_map(|(n, r)| [(r.a, n), (r.b, n)]));
    let middles = tree(short.iter().enumerate().map(|(n, r)| ((r.a + r.b) * 0.5, n)));
    let dots = tree(dots.into_iter());
    let marks = Marks {
        short: &short,
        ends: &ends,
        middles: &middles,
        dots: &dots,
    };
    let mut plain = Vec::new();
    for run in long {
        let framing = classes.of[run.item] == Class::Framing;
        let line = marks.line(&run, framing);
        if line.is_none() && !framing {
            plain.push((run.a, run.b, &flat.items[run.item].layer));
        }
        // The figure of a dimension drawn in pieces stands over its line.
        let measures = |l: &Line| {
            figures
                .iter()
                .any(|(p, height)| point_to_segment(*p, l.from, l.to) <= OVER * height)
        };
        found.extend(line.filter(|l| !measures(l)));
    }
    for line in &mut found {
        let layer = line.items.first().map(|&i| &flat.items[i].layer);
        if line.heads != (true, true) || line.dimension.is_some() || layer.is_none() {
            continue;
        }
        let mut across = (plain.iter())
            .filter(|(a, b, of)| Some(*of) == layer && line.crosses(*a, *b))
            .take(MOST_CROSSING + 1);
        let first = across.next().map(|(a, b, _)| (*a, *b));
        line.crossing = first.filter(|_| across.count() < MOST_CROSSING);
    }
    found
}

struct Marks<'a> {
    short: &'a [Run],
    ends: &'a Tree,
    middles: &'a Tree,
    dots: &'a Tree,
}

impl Marks<'_> {
    /// The line with the marks at its ends; `None` where it has none that tell.
    fn line(&self, run: &Run, framing: bool) -> Option<Line> {
        let mut items = vec![run.item];
        let first = self.head(run.a, run.b, &mut items);
        let second = self.head(run.b, run.a, &mut items);
        if first || second {
            return Some(Line {
                from: run.a,
                to: run.b,
                heads: (first, second),
                ticks: false,
                bent: false,
                dimension: None,
                items,
                crossing: None,
            });
        }
        // What crosses the ends of a member is a beam or a plate, no tick.
        if framing || !(self.tick(run.a, run.b, &mut items) && self.tick(run.b, run.a, &mut items)) {
            return None;
        }
        Some(Line {
            from: run.a,
            to: run.b,
            heads: (false, false),
            ticks: true,
            bent: false,
            dimension: None,
            items,
            crossing: None,
        })
    }

    /// Whether a head stands at `end` of the line that comes from `other`.
    fn head(&self, end: Coord, other: Coord, items: &mut Vec<usize>) -> bool {
        let before = items.len();
        let most = (distance(end, other) / 3.0).min(LONGEST_MARK);
        for n in near(self.ends, end) {
            let run = &self.short[n];
            let far = if distance(run.a, end) <= distance(run.b, end) {
                run.b
            } else {
                run.a
            };
            let back = dot(far - end, other - end) > 0.0;
            let angle = between_degrees(far - end, other - end);
            // A barb goes back at a slant, a tapering run on along the line.
            let barb = back && BARB.contains(&angle);
            let taper = run.tapers && angle < *BARB.start();
            if (barb || taper) && distance(run.a, run.b) <= most {
                items.push(run.item);
            }
        }
        items.len() > before
    }

    fn tick(&self, end: Coord, other: Coord, items: &mut Vec<usize>) -> bool {
        let before = items.len();
        let most = (distance(end, other) / 3.0).min(LONGEST_MARK);
        for n in near(self.middles, end) {
            let run = &self.short[n];
            let across = between_degrees(run.b - run.a, other - end) > ACROSS;
            if across && distance(run.a, run.b) <= most {
                items.push(run.item);
            }
        }
        items.extend(near(self.dots, end));
        items.len() > before
    }
}

/// Whether a text is what a dimension measured: no mark or number of a note.
fn figure(text: &str) -> bool {
    text.trim().len() >= 3 && length::parse(text).is_ok()
}

/// A LEADER: its head is at its first point, and is not drawn as lines of its own.
fn leader(prim: &Prim, item: usize) -> Option<Line> {
    let (points, closed) = chords(prim)?;
    let ([from, .., to], false) = (&points[..], closed) else {
        return None;
    };
    let straight = points.iter().all(|p| point_to_segment(*p, *from, *to) <= MEETS);
    (distance(*from, *to) > MEETS).then(|| Line {
        from: *from,
        to: *to,
        heads: (true, false),
        ticks: false,
        bent: !straight || distance(*from, *to) < LEAST,
        dimension: None,
        items: vec![item],
        crossing: None,
    })
}

/// A dimension whose text was written by hand, or that shows none.
fn dimension(prim: &Prim, item: usize) -> Option<Line> {
    let Prim::Dimension {
        p1,
        p2,
        text,
        rotated,
        ..
    } = prim
    else {
        return None;
    };
    let by_hand = !text.is_empty() && !text.contains("<>");
    let mut to = *p2;
    if let Some(angle) = rotated {
        let u = Coord {
            x: angle.cos(),
            y: angle.sin(),
        };
        to = *p1 + u * dot(*p2 - *p1, u);
    }
    (by_hand && finite(*p1) && finite(to) && distance(*p1, to) >= LEAST).then(|| Line {
        from: *p1,
        to,
        heads: (true, true),
        ticks: false,
        bent: false,
        dimension: Some(text.trim().to_string()),
        items: vec![item],
        crossing: None,
    })
}

fn closed(prim: &Prim) -> bool {
    matches!(prim, Prim::Face(_) | Prim::Path { closed: true, .. })
}

fn runs(prim: &Prim, item: usize) -> Vec<Run> {
    let plain = |a: Coord, b: Coord| Run {
        a,
        b,
        item,
        tapers: false,
    };
    match prim {
        Prim::Segment { from, to } if finite(*from) && finite(*to) => vec![plain(*from, *to)],
        Prim::Path {
            vertices,
            closed: false,
        } => vertices
            .windows(2)
            .filter(|w| w[0].bulge.abs() < 1e-9 && finite(w[0].at) && finite(w[1].at))
            .map(|w| Run {
                tapers: (w[0].start_width - w[0].end_width).abs() > MEETS,
                ..plain(w[0].at, w[1].at)
            })
            .collect(),
        Prim::Path { .. } | Prim::Face(_) => {
            let Some((ring, _)) = chords(prim).filter(|(r, _)| r.len() <= 8) else {
                return Vec::new();
            };
            (0..ring.len())
                .map(|i| plain(ring[i], ring[(i + 1) % ring.len()]))
                .collect()
        }
        _ => Vec::new(),
    }
}

type Tree = RTree<GeomWithData<[f64; 2], usize>>;

fn tree(points: impl Iterator<Item = (Coord, usize)>) -> Tree {
    let sound = points.filter(|(p, _)| finite(*p));
    RTree::bulk_load(sound.map(|(p, n)| GeomWithData::new([p.x, p.y], n)).collect())
}

/// What stands within reach of `p`, by number.
fn near(tree: &Tree, p: Coord) -> Vec<usize> {
    let around = tree
        .nearest_neighbor_iter_with_distance_2([p.x, p.y])
        .take(MOST_NEAR);
    let mut found: Vec<usize> = around
        .take_while(|(_, d2)| *d2 <= MEETS * MEETS)
        .map(|(g, _)| g.data)
        .collect();
    found.sort_unstable();
    found.dedup();
    found
}

/// The box that what stands beside any text reaches into: a first sieve.
struct Reach {
    texts: RTree<GeomWithData<rstar::primitives::Rectangle<[f64; 2]>, ()>>,
}

impl Reach {
    fn of(texts: &[Beside]) -> Option<Reach> {
        let boxes: Vec<_> = texts
            .iter()
            .map(|t| {
                let far = BESIDE * t.letter + t.tall + LONGEST_MARK * 4.0;
                let low = [t.from.x.min(t.to.x) - far, t.from.y.min(t.to.y) - far];
                let high = [t.from.x.max(t.to.x) + far, t.from.y.max(t.to.y) + far];
                GeomWithData::new(rstar::primitives::Rectangle::from_corners(low, high), ())
            })
            .collect();
        (!boxes.is_empty()).then(|| Reach {
            texts: RTree::bulk_load(boxes),
        })
    }

    fn touches(&self, a: Coord, b: Coord) -> bool {
        let envelope = rstar::AABB::from_corners([a.x.min(b.x), a.y.min(b.y)], [a.x.max(b.x), a.y.max(b.y)]);
        self.texts
            .locate_in_envelope_intersecting(envelope)
            .next()
            .is_some()
    }
}
