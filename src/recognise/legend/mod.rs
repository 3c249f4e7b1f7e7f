//! Symbols that explain the drawing: in a legend or a schedule, each with its words to the right, or to the left.
//!
//! A legend is a heading, or none, and below it lines of a symbol and a text: the symbols in one column, the
//! texts in another, no wall, room or member between them. It stands in no room. Where it stands inside an outline that
//! may be a room's, a column of two and more lines below its heading decides, and that is said. A light in a
//! room is never taken for a part of a legend because words stand beside it. Lengths are in heights of the lettering,
//! so that the scale does not matter; a turned plan is read along its lettering.

mod above;
mod around;
mod lines;
mod rows;
mod said;
mod spread;
mod untitled;
mod words;

use std::cell::OnceCell;
use std::collections::BTreeMap;

use geo::Coord;

use self::around::Around;
use self::lines::{Line, lines};
use self::rows::{Row, rows, seen};
use super::classes::Classes;
use super::rooms::names_a_room;
use super::shape::{contains, dot};
use crate::flatten::Flat;
use crate::note::Note;

pub use self::lines::of_text as text_lines;
pub use self::said::{Meaning, meaning};
pub use self::words::{heads_a_table, heads_lights, tells};

/// From a heading to the first line of its column, and from line to line, heights of the heading at most.
const STEP: f64 = 12.0;
/// Across from a heading to its columns, heights at most.
const ASIDE: f64 = 4.0;
/// From one column of a legend to the next, heights at most.
const NEXT: f64 = 24.0;
/// Lettering of a legend's lines is no larger than this many times its heading's.
const LARGER: f64 = 1.3;
/// Headings looked at.
const MOST: usize = 400;

/// Why a symbol is left out.
#[derive(Clone, Debug, PartialEq)]
pub enum Left {
    /// Under a heading, in no room.
    Under(String),
    /// Under a heading, inside an outline that may be a room's.
    Inside(String),
    /// In a column with words beside it and no heading, beyond all rooms.
    Untitled(String),
}

/// What of the symbols explains the drawing.
#[derive(Debug, Default)]
pub struct Legends {
    /// For each symbol why it is left out, if it is.
    pub left: Vec<Option<Left>>,
    /// Headings with lines below them in rooms, whose symbols are counted, and how many.
    pub doubts: BTreeMap<String, usize>,
    /// Symbols whose words stand below them.
    below: BTreeMap<usize, String>,
}

/// Looks for legends in one drawing.
pub struct Seeker<'a> {
    flat: &'a Flat,
    classes: &'a Classes,
    lines: Vec<Line<'a>>,
    directions: Vec<Coord>,
    /// Sought only where something looks like a legend.
    around: OnceCell<Around>,
}

impl<'a> Seeker<'a> {
    pub fn new(flat: &'a Flat, classes: &'a Classes) -> Self {
        let lines = lines(flat);
        let mut directions: Vec<Coord> = Vec::new();
        for line in &lines {
            let known = directions.iter().any(|d| dot(*d, line.along) > 0.999);
            if !known && directions.len() < DIRECTIONS {
                directions.push(line.along);
            }
        }
        Seeker {
            flat,
            classes,
            lines,
            directions,
            around: OnceCell::new(),
        }
    }

    fn around(&self) -> &Around {
        self.around.get_or_init(|| Around::new(self.flat, self.classes))
    }

    /// Judges symbols, each a centre and a radius in inches.
    pub fn legends(&self, symbols: &[(Coord, f64)]) -> Legends {
        let mut found = Legends {
            left: vec![None; symbols.len()],
            ..Legends::default()
        };
        for &along in &self.directions {
            let spread = spread::spread(&self.lines, symbols, along);
            let lines: &[Line] = spread.as_deref().unwrap_or(&self.lines);
            let rows = rows(symbols, lines, along);
            if rows.is_empty() {
                continue;
            }
            let headings = lines
                .iter()
                .filter(|l| dot(l.along, along) > 0.99 && words::is_heading(l.text));
            for heading in headings.take(MOST) {
                let under = under(heading, &rows, lines, along);
                if !under.is_empty() {
                    judge(heading, &under, symbols, lines, self.around(), &mut found);
                }
            }
            // Without a heading words to the left say nothing: a room's name stands so.
            let rest: Vec<&Row> = (rows.iter())
                .filter(|r| !r.left && found.left[r.symbol].is_none())
                .collect();
            if untitled::columns(&rest, lines) {
                untitled::untitled(&rest, symbols, lines, self.around(), &mut found.left);
            }
        }
        for &along in &self.directions {
            in_rows(&self.lines, symbols, along, || self.around(), &mut found);
        }
        found
    }
}

impl Seeker<'_> {
    /// The words beside each symbol that explains the drawing, `None` for the others.
    pub fn words(&self, symbols: &[(Coord, f64)]) -> Vec<Option<String>> {
        let Legends { left, below, .. } = self.legends(symbols);
        let mut found: Vec<Option<String>> = vec![None; symbols.len()];
        for (symbol, words) in below {
            found[symbol] = Some(words);
        }
        for &along in &self.directions {
            let spread = spread::spread(&self.lines, symbols, along);
            let lines: &[Line] = spread.as_deref().unwrap_or(&self.lines);
            let rows = rows(symbols, lines, along);
            for row in &rows {
                if left[row.symbol].is_some() && found[row.symbol].is_none() {
                    found[row.symbol] = Some(said::beside(row, &rows, lines, along));
                }
            }
        }
        found
    }
}

/// Takes the symbols that stand in rows below a heading, with their words below them.
fn in_rows<'a>(
    lines: &[Line],
    symbols: &[(Coord, f64)],
    along: Coord,
    around: impl Fn() -> &'a Around,
    found: &mut Legends,
) {
    let headings = (lines.iter()).filter(|l| dot(l.along, along) > 0.99 && words::is_heading(l.text));
    for heading in headings.take(MOST) {
        let open = |s: usize| found.left[s].is_none();
        let under = above::under(heading, symbols, &open, lines, along);
        let free: Vec<(usize, usize)> = (under.into_iter())
            .filter(|&(symbol, line)| {
                let center = symbols[symbol].0;
                let (x, _) = heading.seen(center);
                let foot = heading.at + heading.along * x.clamp(0.0, heading.width);
                let around = around();
                around.room(center).is_none()
                    && around.free(center, lines[line].at)
                    && around.leads(foot, center)
            })
            .collect();
        if free.len() < INSIDE {
            continue;
        }
        for (symbol, line) in free {
            found.left[symbol] = Some(Left::Under(heading.text.to_string()));
            found.below.insert(symbol, lines[line].text.to_string());
        }
    }
}

/// Directions of lettering looked along.
const DIRECTIONS: usize = 8;

/// The rows that hang below a heading, column by column.
fn under<'a>(heading: &Line, rows: &'a [Row], lines: &[Line], along: Coord) -> Vec<&'a Row> {
    let h = heading.height;
    let (x, y) = seen(heading.at, along);
    let (mut low, mut high) = (x - ASIDE * h, x + heading.width + ASIDE * h);
    let mut below: Vec<&Row> = rows
        .iter()
        .filter(|r| r.y < y && r.height <= LARGER * h && r.ends() >= low)
        .collect();
    below.sort_by(|a, b| {
        a.begins()
            .total_cmp(&b.begins())
            .then(b.y.total_cmp(&a.y))
            .then(a.symbol.cmp(&b.symbol))
    });
    let mut found: Vec<&Row> = Vec::new();
    while let Some(&first) = below.first() {
        let (column, rest): (Vec<&Row>, Vec<&Row>) = below
            .into_iter()
            .partition(|r| r.below(first, lines[r.line].sure && lines[first.line].sure));
        below = rest;
        if first.begins() > high {
            break;
        }
        let hanging = hanging(&column, y, h, lines, along);
        if hanging.is_empty() {
            continue;
        }
        let reach = hanging.iter().map(|r| r.ends()).fold(high, f64::max);
        high = high.max(reach + NEXT * h);
        low = low.min(first.begins());
        found.extend(hanging);
    }
    found
}

/// The rows of a column that its lines of words lead down to without a gap.
fn hanging<'a>(column: &[&'a Row], y: f64, h: f64, lines: &[Line], along: Coord) -> Vec<&'a Row> {
    let Some(first) = column.first() else {
        return Vec::new();
    };
    // Other symbols than lights have lines of their own between.
    let mut steps: Vec<f64> = lines
        .iter()
        .filter(|l| dot(l.along, along) > 0.99)
        .map(|l| (seen(l.at, along), l))
        .filter(|((x, up), l)| *up < y && (x - first.from).abs() <= 1.5 * l.height.max(first.height))
        .map(|((_, up), l)| up + l.height / 2.0)
        .chain(column.iter().map(|r| r.y))
        .collect();
    steps.sort_by(|a, b| b.total_cmp(a));
    let mut last = y;
    for step in steps {
        if last - step > STEP * h {
            break;
        }
        last = step;
    }
    column.iter().copied().filter(|r| r.y >= last - 1e-9).collect()
}

/// Takes the rows of a heading that explain, by where they stand.
fn judge(
    heading: &Line,
    under: &[&Row],
    symbols: &[(Coord, f64)],
    lines: &[Line],
    around: &Around,
    found: &mut Legends,
) {
    let joined = |r: &Row| around.free(symbols[r.symbol].0, lines[r.line].at);
    let home = around.room(heading.at);
    let mut inside: BTreeMap<usize, Vec<&Row>> = BTreeMap::new();
    for row in under.iter().copied().filter(|r| joined(r)) {
        let center = symbols[row.symbol].0;
        // Down from the nearest part of the heading.
        let (x, _) = heading.seen(center);
        let foot = heading.at + heading.along * x.clamp(0.0, heading.width);
        match around.room(center) {
            None if around.leads(foot, center) => {
                found.left[row.symbol].get_or_insert_with(|| Left::Under(heading.text.to_string()));
            }
            None => {}
            Some(room) if home == Some(room) => inside.entry(room).or_default().push(row),
            Some(_) => {}
        }
    }
    for (room, rows) in inside {
        if rows.len() < INSIDE {
            continue;
        }
        let free = rows.iter().all(|r| around.leads(heading.at, symbols[r.symbol].0));
        let own = |p: Coord| around.room(p) == Some(room);
        let others =
            (symbols.iter().enumerate()).any(|(i, s)| own(s.0) && !rows.iter().any(|r| r.symbol == i));
        let explains = |l: &Line| rows.iter().any(|r| lines[r.line].text == l.text);
        let ring = &around.rooms[room];
        let named = lines
            .iter()
            .any(|l| contains(ring, l.at) && own(l.at) && !explains(l) && names_a_room(l.text));
        if free && !others && !named {
            for row in rows {
                found.left[row.symbol] = Some(Left::Inside(heading.text.to_string()));
            }
        } else {
            *found.doubts.entry(heading.text.to_string()).or_insert(0) += rows.len();
        }
    }
}

/// Lines that make a legend inside an outline: a note in a room has one.
const INSIDE: usize = 2;

/// Says what was left out, and what might have been.
pub fn told(legends: &Legends) -> Vec<Note> {
    let mut notes = Vec::new();
    let mut counts: BTreeMap<(u8, &str), usize> = BTreeMap::new();
    for left in legends.left.iter().flatten() {
        let key = match left {
            Left::Under(heading) => (0, heading.as_str()),
            Left::Inside(heading) => (1, heading.as_str()),
            Left::Untitled(first) => (2, first.as_str()),
        };
        *counts.entry(key).or_insert(0) += 1;
    }
    for ((kind, text), count) in counts {
        notes.push(match kind {
            0 => Note::info(
                "legend-symbols",
                format!("{count} light symbol(s) under \"{text}\" explain the drawing and are not counted"),
            ),
            1 => Note::warning(
                "legend-symbols",
                format!(
                    "{count} light symbol(s) under \"{text}\" stand inside an outline that may be a room's: they are taken \
                     for a legend and not counted; erase that heading if they are lights to install"
                ),
            ),
            _ => Note::warning(
                "legend-symbols",
                format!(
                    "{count} light symbol(s) in a column beyond all rooms have words beside them, the first \"{text}\": they are \
                     taken for a legend without a heading and not counted; erase the words if they are lights to install"
                ),
            ),
        });
    }
    for (heading, count) in &legends.doubts {
        notes.push(Note::warning(
            "legend-in-room",
            format!(
                "{count} light symbol(s) under \"{heading}\" have words beside them and stand in a room: they are counted as \
                 its lights; move the legend out of the room, or turn it off, if it is one"
            ),
        ));
    }
    notes
}
