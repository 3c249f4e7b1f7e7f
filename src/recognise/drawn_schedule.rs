//! A light schedule drawn as a table of texts, read into entries.
//!
//! A heading names it, a line of column heads follows, then one line a type. Cells go to the column
//! whose head starts nearest; a table with rules ends where they do. What cannot be read for certain is left out
//! and said: the sizes of a housing other than its aperture are in no such table.

mod border;
mod cells;
mod entry;
mod kinds;
mod list;
mod rows;
mod size;
mod told;

use geo::Coord;

use self::border::{Ruled, border, rules};
use self::cells::pieces;
use self::entry::entry;
pub use self::kinds::recessed;
use self::list::listed;
use self::rows::rows;
pub use self::told::told;
use super::legend::{heads_a_table, heads_lights};
use super::schedule::is_figures;
use super::shape::{cross, dot};
use crate::flatten::Flat;
use crate::rules::{Explained, Luminaire, Means, Rules, folded};

/// Heads of the column of type marks (trade words; other languages from memory, folded).
const MARKS: [&str; 22] = [
    "TYPE",
    "TAG",
    "MARK",
    "SYMBOL",
    "SYM",
    "ID",
    "LTR",
    "LETTER",
    "DESIG",
    "DESIGNATION",
    "TIPO",
    "MARCA",
    "CLAVE",
    "SIMBOLO",
    "TYP",
    "REPERE",
    "符号",
    "编号",
    "型号",
    "記号",
    "기호",
    "REF",
];
/// Heads of notes below a table (common practice; Spanish from memory).
const NOTES: [&str; 6] = [
    "NOTES",
    "NOTE",
    "GENERAL NOTES",
    "REMARKS",
    "NOTAS",
    "SCHEDULE NOTES",
];
/// What may stand beside such a word: `FIXTURE TYPE`, `TYPE MARK`.
const BESIDE: [&str; 7] = ["FIXTURE", "FIXT", "LUMINAIRE", "LIGHT", "NO", "DE", "LUMINARIA"];
/// These are heads of marks where no other head is.
const FIXTURE: [&str; 4] = ["FIXT", "FIXTURE", "LUMINAIRE", "LUMINARIA"];
/// Below the heading and across from its start, in heights of its lettering.
const DOWN: f64 = 80.0;
const ASIDE: f64 = 120.0;
/// Lines of a table are no further apart, heights.
const STEP: f64 = 8.0;
/// Apertures that differ by less are one size, inches.
const SAME_SIZE: f64 = 0.05;
/// The lines of a list begin no further aside of the heading's start, heights.
const LIST: f64 = 20.0;
/// Without rules a line ends after a gap this wide, in heights of the heading.
const GAP: f64 = 16.0;

/// A schedule as read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DrawnSchedule {
    /// Entries of recessed lights whose aperture is written.
    pub entries: Vec<Luminaire>,
    /// Lines that were read and are no such entry.
    pub left: Vec<Left>,
    /// Marks that stand twice with different apertures, inches: neither is an entry.
    pub twice: Vec<(String, f64, f64)>,
    /// Headings of tables of lights without a head over the marks.
    pub unread: Vec<String>,
    /// Marks of entries of which nothing says whether they are Type IC.
    pub unrated: Vec<String>,
}

/// A line of a schedule that is no entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Left {
    pub mark: String,
    /// What the line says of it.
    pub words: String,
    pub why: WhyLeft,
}

/// Why a line is no entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhyLeft {
    /// It says that it is something else, which may hang at the ceiling.
    Other(Means),
    /// Its words do not say whether it is recessed.
    Unclear,
    /// It is a recessed light of no certain aperture: what is wrong.
    Size(&'static str),
}

impl DrawnSchedule {
    /// Its marks that are no entries, but for those that `rules` list.
    pub fn explained(&self, rules: &Rules) -> Vec<Explained> {
        let lines = self.left.iter().map(|l| Explained {
            tag: l.mark.clone(),
            words: l.words.clone(),
            means: match l.why {
                WhyLeft::Other(means) => means,
                WhyLeft::Unclear | WhyLeft::Size(_) => Means::Light,
            },
        });
        let twice = self.twice.iter().map(|t| Explained {
            tag: t.0.clone(),
            words: String::new(),
            means: Means::Light,
        });
        let mut found: Vec<Explained> = Vec::new();
        for mark in lines.chain(twice) {
            let same = |tag: &str| tag.trim().eq_ignore_ascii_case(mark.tag.trim());
            if !rules.luminaires.iter().any(|l| same(&l.tag)) && !found.iter().any(|f| same(&f.tag)) {
                found.push(mark);
            }
        }
        found
    }

    /// Takes in what another place of the same drawing has. A mark that both have with other apertures is in neither.
    pub fn join(&mut self, other: DrawnSchedule) {
        for entry in other.entries {
            if self.twice.iter().any(|t| t.0 == entry.tag) {
                continue;
            }
            match self.entries.iter().position(|e| e.tag == entry.tag) {
                None => self.entries.push(entry),
                Some(i) if (self.entries[i].aperture - entry.aperture).abs() > SAME_SIZE => {
                    let own = self.entries.remove(i);
                    self.twice.push((own.tag, own.aperture, entry.aperture));
                }
                Some(_) => {}
            }
        }
        self.left.extend(other.left);
        self.unrated.extend(other.unrated);
        self.twice.extend(other.twice);
        for heading in other.unread {
            if !self.unread.contains(&heading) {
                self.unread.push(heading);
            }
        }
    }
}

impl DrawnSchedule {
    /// Takes in one line: its cells below their heads, and which of them holds the mark. A mark that stands twice counts once, unless its sizes differ.
    fn take(&mut self, tag: &str, (heads, marks): (&[(f64, String)], usize), row: &[String]) {
        let words = (0..row.len()).filter(|&c| c != marks && !row[c].is_empty());
        let words = words.map(|c| row[c].as_str()).collect::<Vec<_>>().join(" ");
        let known = self.entries.iter().position(|e| e.tag == tag);
        let told = self.left.iter().any(|l| l.mark == tag) || self.twice.iter().any(|t| t.0 == tag);
        let tag = tag.to_string();
        match (known, entry(&tag, heads, row)) {
            (Some(k), Ok((entry, _))) => {
                let (one, other) = (self.entries[k].aperture, entry.aperture);
                if (one - other).abs() > SAME_SIZE {
                    self.entries.remove(k);
                    self.twice.push((tag, one, other));
                }
            }
            (None, Ok((entry, rated))) if !told => {
                if !rated {
                    self.unrated.push(tag);
                }
                self.entries.push(entry);
            }
            (None, Err(why)) if !told => self.left.push(Left {
                mark: tag,
                words,
                why,
            }),
            _ => {}
        }
    }
}

struct Cell<'a> {
    /// Along the heading's lettering and upwards, from its start.
    x: f64,
    y: f64,
    text: &'a str,
}

/// Every light schedule on the drawing, as one; a mark that stands twice counts once, unless its sizes differ.
pub fn drawn_schedule(flat: &Flat) -> DrawnSchedule {
    let mut found = DrawnSchedule::default();
    let texts = pieces(flat);
    for heading in texts.iter().filter(|t| heads_lights(t.text)) {
        let (at, height, angle) = (heading.at, heading.height, heading.angle);
        let along = Coord {
            x: angle.cos(),
            y: angle.sin(),
        };
        let rules = rules(flat, at, along, height);
        let table = heads_a_table(heading.text);
        let below = |y: f64| y < 0.0 && y >= -DOWN * height;
        let above = |y: f64| y > 0.0 && y <= DOWN * height;
        let at_heading = |fits: &dyn Fn(f64) -> bool| {
            let mut cells: Vec<Cell> = (texts.iter())
                .filter(|t| (t.angle - angle).cos() > 0.99)
                .map(|t| Cell {
                    x: dot(t.at - at, along),
                    y: cross(along, t.at - at),
                    text: t.text,
                })
                .filter(|c| fits(c.y) && c.x.abs() <= ASIDE * height)
                .collect();
            cells.sort_by(|a, b| b.y.total_cmp(&a.y).then(a.x.total_cmp(&b.x)));
            lines(cells, height)
        };
        let before = (found.entries.len(), found.left.len());
        let sound = read(&at_heading(&below), &rules, (height, table), &mut found);
        if !table || before != (found.entries.len(), found.left.len()) {
            continue;
        }
        // A title may stand below its table.
        let mut higher = DrawnSchedule::default();
        read(&at_heading(&above), &rules, (height, table), &mut higher);
        if !higher.entries.is_empty() {
            found.join(higher);
        } else if !sound {
            let heading = heading.text.split_whitespace().collect::<Vec<_>>().join(" ");
            if !found.unread.contains(&heading) {
                found.unread.push(heading);
            }
        }
    }
    found
}

/// Cells by line, from above.
fn lines(cells: Vec<Cell<'_>>, height: f64) -> Vec<Vec<Cell<'_>>> {
    let mut lines: Vec<Vec<Cell>> = Vec::new();
    for cell in cells {
        match lines.last_mut() {
            Some(line) if line.first().is_some_and(|c| c.y - cell.y <= 0.6 * height) => line.push(cell),
            _ => lines.push(vec![cell]),
        }
    }
    lines
}

/// Reads a table under a heading of some height, which says or not that it is a schedule of lights; `false` where it has
/// lines of cells and no head over the marks.
fn read(
    lines: &[Vec<Cell>],
    rules: &[Ruled],
    (height, schedule): (f64, bool),
    found: &mut DrawnSchedule,
) -> bool {
    let headed = |is_mark: fn(&str) -> bool| {
        lines
            .iter()
            .position(|l| l.len() >= 2 && l.iter().any(|c| is_mark(c.text)))
    };
    let mut is_mark: fn(&str) -> bool = heads_marks;
    let at = headed(is_mark).or_else(|| {
        is_mark = heads_fixtures;
        headed(is_mark)
    });
    let Some(at) = at else {
        // Lines of a mark and its words.
        let mut near: Vec<&str> = Vec::new();
        let mut above = 0.0;
        for line in lines.iter().filter(|_| schedule) {
            let own: Vec<&Cell> = line.iter().filter(|c| c.x.abs() <= LIST * height).collect();
            match own[..] {
                [] => {}
                [cell] if above - cell.y <= STEP * height => {
                    above = cell.y;
                    near.push(cell.text);
                }
                _ => break,
            }
        }
        let list = listed(near.into_iter());
        let heads = [(0.0, "TYPE".to_string()), (1.0, "DESCRIPTION".to_string())];
        for row in &list {
            found.take(&row[0], (&heads, 0), row);
        }
        if !list.is_empty() {
            return true;
        }
        // A mark and a light in words on each of two lines.
        let of_light = |l: &&Vec<Cell>| {
            let recessed = l.iter().any(|c| recessed(&folded(c.text)));
            recessed && l.len() >= 2 && l.first().is_some_and(|c| is_tag(c.text.trim()))
        };
        return lines.iter().filter(of_light).count() < 2;
    };
    let Some(mark) = lines[at].iter().find(|c| is_mark(c.text)) else {
        return true;
    };
    let border = border(rules, mark.x, mark.y, height);
    let within =
        |c: &&Cell| border.is_none_or(|(low, high, bottom)| low <= c.x && c.x <= high && c.y >= bottom);
    let head_cells: Vec<&Cell> = together(lines[at].iter().filter(within), mark.x, height, border.is_some());
    let heads: Vec<(f64, String)> = head_cells.iter().map(|c| (c.x, folded(c.text))).collect();
    let Some(marks) = head_cells.iter().position(|c| is_mark(c.text)) else {
        return true;
    };
    let (first, last) = (
        heads.first().map_or(0.0, |h| h.0),
        heads.last().map_or(0.0, |h| h.0),
    );
    let column =
        |x: f64| (0..heads.len()).min_by(|&a, &b| (heads[a].0 - x).abs().total_cmp(&(heads[b].0 - x).abs()));
    let mut above = lines[at].first().map_or(0.0, |c| c.y);
    let head = above;
    let mut each: Vec<(f64, Vec<String>)> = Vec::new();
    for line in &lines[at + 1..] {
        // What stands beside the table is of something else.
        let beyond =
            |c: &&Cell| border.is_none() && (c.x < first - GAP * height || c.x > last + GAP * height);
        let cells: Vec<&Cell> = line.iter().filter(within).filter(|c| !beyond(c)).collect();
        let Some(y) = cells.first().map(|c| c.y) else {
            continue;
        };
        if above - y > STEP * height {
            break;
        }
        above = y;
        let mut row = vec![String::new(); heads.len()];
        for cell in cells {
            if let Some(c) = column(cell.x) {
                let text = cell.text.split_whitespace().collect::<Vec<_>>().join(" ");
                row[c] = format!("{} {text}", row[c]).trim().to_string();
            }
        }
        each.push((y, row));
    }
    let over = |r: &&Ruled| r.1 - 0.1 * height <= mark.x && mark.x <= r.2 && r.0 < head;
    let parting: Vec<f64> = rules.iter().filter(over).map(|r| r.0).collect();
    let rows = rows(each, marks, &parting);
    // Notes below a table have numbers of their own.
    let notes = |row: &&Vec<String>| {
        let first = row.iter().find(|cell| !cell.is_empty());
        first.is_some_and(|cell| NOTES.contains(&folded(cell).trim_matches([':', '.', ' '])))
    };
    let rows: Vec<&Vec<String>> = rows.iter().take_while(|row| !notes(row)).collect();
    let figures = schedule && rows.first().is_some_and(|row| is_number(&row[marks]));
    let each = (rows.iter()).flat_map(|row| {
        let number = figures && is_number(&row[marks]);
        let own = match number {
            true => vec![row[marks].clone()],
            false => tags(&row[marks]),
        };
        own.into_iter().map(move |tag| (*row, tag))
    });
    for (row, tag) in each {
        found.take(&tag, (&heads, marks), row);
    }
    true
}

/// The cells of a line of heads that stand together: without rules it ends after a wide gap.
fn together<'a, 'b>(
    cells: impl Iterator<Item = &'a Cell<'b>>,
    mark: f64,
    height: f64,
    ruled: bool,
) -> Vec<&'a Cell<'b>> {
    let cells: Vec<&Cell> = cells.collect();
    if ruled {
        return cells;
    }
    let apart = |a: &Cell, b: &Cell| {
        let end = a.x + a.text.chars().count() as f64 * height;
        b.x - end > 3.0 * GAP * height
    };
    let at = cells.iter().position(|c| c.x >= mark).unwrap_or(0);
    let mut range = at..at + 1;
    while range.start > 0 && !apart(cells[range.start - 1], cells[range.start]) {
        range.start -= 1;
    }
    while range.end < cells.len() && !apart(cells[range.end - 1], cells[range.end]) {
        range.end += 1;
    }
    cells.get(range).map(<[&Cell]>::to_vec).unwrap_or_default()
}

/// Whether a head is that of a column of marks.
fn heads_marks(text: &str) -> bool {
    let head = folded(text);
    let words: Vec<&str> = head
        .split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect();
    let mark = |w: &&str| MARKS.contains(w);
    words.iter().any(mark) && words.iter().all(|w| mark(w) || BESIDE.contains(w))
}

fn heads_fixtures(text: &str) -> bool {
    FIXTURE.contains(&folded(text).trim_matches(|c: char| !c.is_alphanumeric()))
}

/// The marks in a cell: `A/AE` and `B1, B2` are two types in one line.
fn tags(cell: &str) -> Vec<String> {
    let parts: Vec<&str> = cell.split(['/', ',', ';', '&', '+']).map(str::trim).collect();
    match parts.len() > 1 && parts.iter().all(|p| is_tag(p)) {
        true => parts.into_iter().map(str::to_string).collect(),
        false => Some(cell.to_string()).filter(|c| is_tag(c)).into_iter().collect(),
    }
}

/// A mark: short, in one word, with a letter.
fn is_tag(text: &str) -> bool {
    let short = (1..=6).contains(&text.chars().count());
    short && text.chars().any(char::is_alphabetic) && !text.contains(char::is_whitespace)
}

/// A mark that is a number, as in a schedule that has no letters for its types.
fn is_number(text: &str) -> bool {
    (1..=3).contains(&text.len()) && is_figures(text)
}
