//! What one symbol shows of a ceiling device: its letters, what frames them, its shape and its size.

use geo::Coord;
use rstar::primitives::GeomWithData;
use rstar::{AABB, RTree};

use super::forms::{Form, form};
use super::marks::{Mark, is_size, mark, of_attributes};
use crate::flatten::{Flat, Prim, Symbol};
use crate::recognise::round::rounds;
use crate::recognise::shape::{area, bounds, chords, contains, distance, finite, hull, rectangle};

/// A letter's width as a share of its height (common for drafting lettering).
const LETTER: f64 = 0.7;
/// So much of the hull's area is in a shape that frames letters.
const FRAMES: f64 = 0.5;
/// Loose letters of a symbol stand in its middle, off by no more than this share of its shorter side.
const OFF_MIDDLE: f64 = 0.3;
/// and the symbol is no higher than so many of them.
const LETTERS_HIGH: f64 = 6.0;
/// Texts of one symbol that are looked at.
const MOST: usize = 8;

/// Where texts stand: their middles.
pub struct Letters<'a> {
    tree: RTree<GeomWithData<[f64; 2], Lettering<'a>>>,
}

/// A text, how long it is and how high its letters are, inches.
#[derive(Clone, Copy, PartialEq)]
struct Lettering<'a> {
    text: &'a str,
    long: f64,
    height: f64,
}

impl<'a> Letters<'a> {
    pub fn new(flat: &'a Flat) -> Self {
        let texts = flat.items.iter().filter(|item| item.visible);
        let found = texts.filter_map(|item| {
            let (p, lettering) = middle(&item.prim)?;
            finite(p).then(|| GeomWithData::new([p.x, p.y], lettering))
        });
        Letters {
            tree: RTree::bulk_load(found.collect()),
        }
    }

    /// Texts that fit into a ring, and their middles; what is longer runs over it by chance.
    fn inside(&self, ring: &[Coord], long: f64) -> Vec<(Lettering<'a>, Coord)> {
        let Some((low, high)) = bounds(ring.iter().copied()) else {
            return Vec::new();
        };
        let around = AABB::from_corners([low.x, low.y], [high.x, high.y]);
        let fits = |t: &&GeomWithData<[f64; 2], Lettering>| {
            let [x, y] = *t.geom();
            t.data.long <= long && contains(ring, Coord { x, y })
        };
        let held = self.tree.locate_in_envelope(around).filter(fits);
        let said = |t: &GeomWithData<[f64; 2], Lettering<'a>>| {
            let [x, y] = *t.geom();
            (t.data, Coord { x, y })
        };
        held.map(said).collect()
    }
}

/// The middle of a text as it is read, and what it says.
fn middle(prim: &Prim) -> Option<(Coord, Lettering<'_>)> {
    let Prim::Text {
        at,
        height,
        angle,
        centred,
        text,
    } = prim
    else {
        return None;
    };
    let lines = text.trim().lines();
    let letters = lines.map(|l| l.trim().chars().count()).max().unwrap_or(0);
    let long = LETTER * height * letters as f64;
    let lettering = Lettering {
        text,
        long,
        height: *height,
    };
    if *centred {
        return Some((*at, lettering));
    }
    let (s, c) = angle.sin_cos();
    let (x, y) = (long / 2.0, height / 2.0);
    let off = Coord {
        x: c * x - s * y,
        y: s * x + c * y,
    };
    Some((*at + off, lettering))
}

/// The middle of a text as it is read; `None` where it is none or nowhere.
pub fn text_middle(prim: &Prim) -> Option<Coord> {
    middle(prim).map(|m| m.0).filter(|p| finite(*p))
}

/// What one symbol shows.
pub struct Look {
    pub at: Coord,
    /// Longer and shorter side, inches.
    pub long: f64,
    pub short: f64,
    pub mark: Option<&'static Mark>,
    /// Whether a closed shape is drawn about the letters.
    pub framed: bool,
    /// Whether there are words in it that are no mark and no size.
    pub other_words: bool,
    pub form: Option<Form>,
    /// Whether it is a circle, or has one.
    pub round: bool,
    /// Every text of it.
    pub texts: Vec<String>,
}

impl Look {
    /// The device it is drawn as, in words of a finding.
    pub fn kind(&self) -> Option<&'static str> {
        let marked = self.mark.filter(|m| m.across.contains(&self.long));
        marked.map(|m| m.kind).or_else(|| self.form.map(Form::kind))
    }
}

/// What some items show, of a symbol or loose; `None` where nothing is drawn.
pub fn look(flat: &Flat, letters: &Letters, symbol: Option<&Symbol>, items: &[usize]) -> Option<Look> {
    let shown: Vec<usize> = items.iter().copied().filter(|&i| flat.items[i].visible).collect();
    let mut points = Vec::new();
    let mut closed: f64 = 0.0;
    for &i in &shown {
        if let Some((drawn, is_closed)) = chords(&flat.items[i].prim) {
            let ends = drawn.first().zip(drawn.last());
            if is_closed || ends.is_some_and(|(a, b)| drawn.len() > 3 && a == b) {
                closed = closed.max(area(&drawn).abs());
            }
            points.extend(drawn);
        }
    }
    let ring = hull(&points);
    let (low, high) = bounds(ring.iter().copied())?;
    let (long, short) = rectangle(&ring);
    let form = form(flat, &shown);
    let round = (rounds(flat, &shown).into_iter()).max_by(|a, b| a.radius.total_cmp(&b.radius));
    if let Some(round) = &round {
        closed = closed.max(std::f64::consts::PI * round.radius * round.radius);
    }
    let own = shown.iter().filter_map(|&i| match &flat.items[i].prim {
        Prim::Text { text, .. } => Some(&**text),
        _ => None,
    });
    let loose = match form {
        // Between the blades of a fan there is room for a room's name.
        Some((Form::Blades(_) | Form::Spokes(_), ..)) => Vec::new(),
        _ => letters.inside(&ring, long),
    };
    let at = match (&form, &round) {
        (Some((_, middle, _)), _) => *middle,
        (None, Some(round)) => round.center,
        (None, None) => (low + high) * 0.5,
    };
    let central = |l: &&(Lettering, Coord)| {
        distance(l.1, at) <= OFF_MIDDLE * short && short <= LETTERS_HIGH * l.0.height
    };
    let other_words =
        (own.clone().chain(loose.iter().map(|l| l.0.text))).any(|t| mark(t).is_none() && !is_size(t));
    let mut texts: Vec<&str> = own
        .chain(loose.iter().filter(central).map(|l| l.0.text))
        .collect();
    texts.sort_unstable();
    texts.dedup();
    texts.truncate(MOST);
    let marks: Vec<&Mark> = texts.iter().filter_map(|t| mark(t)).collect();
    let both = || mark(&texts.iter().map(|t| t.trim()).collect::<Vec<_>>().join("/"));
    let drawn = match marks[..] {
        [] => None,
        [first, ..] if marks.iter().all(|m| *m == first) => Some(first),
        _ => both(),
    };
    let held = symbol.and_then(of_attributes);
    let of_symbol = symbol
        .into_iter()
        .flat_map(|s| s.attribs.iter())
        .map(|a| &*a.text);
    Some(Look {
        at,
        long: form.map_or(long, |f| f.2.max(long)),
        short,
        mark: drawn.or(held),
        framed: form.is_some() || closed >= FRAMES * area(&ring).abs() && closed > 0.0,
        other_words,
        round: round.is_some(),
        form: form.map(|f| f.0),
        texts: texts
            .iter()
            .copied()
            .chain(of_symbol)
            .map(str::to_string)
            .collect(),
    })
}
