//! A light schedule drawn as a table of texts, read into entries.
//!
//! A heading names it, a line of column heads follows, then one line a type. Cells go to the column
//! whose head starts nearest; a table with rules ends where they do. What cannot be read for certain is left out
//! and said: the sizes of a housing other than its aperture are in no such table.

mod border;
mod cells;
mod entry;
mod list;
mod rows;

use geo::Coord;

use self::border::{Ruled, border, rules};
use self::cells::pieces;
use self::entry::{entry, recessed};
use self::list::listed;
use self::rows::rows;
use super::legend::{heads_a_table, heads_lights};
use super::schedule::is_figures;
use super::shape::{cross, dot};
use crate::flatten::Flat;
use crate::length;
use crate::note::{Level, Note};
use crate::rules::{Luminaire, folded};

/// Heads of the column of type marks (trade words; other languages from memory, folded).
const MARKS: [&str; 18] = [
    "TYPE", "TAG", "MARK", "SYMBOL", "SYM", "ID", "TIPO", "MARCA", "CLAVE", "SIMBOLO", "TYP", "REPERE",
    "符号", "编号", "型号", "記号", "기호", "REF",
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
    /// Marks of lines that were read and are no such entry, each with the reason.
    pub left: Vec<(String, &'static str)>,
    /// Marks that stand twice with different apertures, inches: neither is an entry.
    pub twice: Vec<(String, f64, f64)>,
    /// Headings of tables of lights without a head over the marks.
    pub unread: Vec<String>,
}

impl DrawnSchedule {
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
        self.twice.extend(other.twice);
        for heading in other.unread {
            if !self.unread.contains(&heading) {
                self.unread.push(heading);
            }
        }
    }
}

impl DrawnSchedule {
    /// Takes in one line. A mark that stands twice counts once, unless its sizes differ.
    fn take(&mut self, tag: &str, heads: &[(f64, String)], row: &[String]) {
        let entry = entry(tag, heads, row);
        let known = self.entries.iter().position(|e| e.tag == tag);
        let told = self.left.iter().any(|l| l.0 == tag) || self.twice.iter().any(|t| t.0 == tag);
        match (known, entry) {
            (Some(k), Ok(entry)) => {
                let (one, other) = (self.entries[k].aperture, entry.aperture);
                if (one - other).abs() > SAME_SIZE {
                    self.entries.remove(k);
                    self.twice.push((tag.to_string(), one, other));
                }
            }
            (None, Ok(entry)) if !told => self.entries.push(entry),
            (None, Err(why)) if !told => self.left.push((tag.to_string(), why)),
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

/// What a plan's own notes say of it: `used` where it is the schedule the plan is judged by, `given` where the rules have one.
pub fn told(schedule: &DrawnSchedule, used: bool, given: bool) -> Vec<Note> {
    let mut notes = Vec::new();
    if !schedule.entries.is_empty() {
        let list: Vec<String> = (schedule.entries.iter())
            .map(|e| format!("{} {}", e.tag, length::inches_only(e.aperture)))
            .collect();
        let what = match used {
            true => {
                "the rules have no schedule, so it is used; housings and bars are usual sizes: confirm them under \
                 [[luminaire]] in bayline.toml"
            }
            false => "the rules' schedule is used instead",
        };
        let message = format!("a light schedule is drawn here ({}); {what}", list.join(", "));
        notes.push(Note::new(
            if used { Level::Warning } else { Level::Info },
            "schedule-drawn",
            message,
        ));
    }
    // Where the rules say what the lights are nothing hangs on it.
    let doubt = if given { Level::Info } else { Level::Warning };
    for (mark, one, other) in &schedule.twice {
        let message = format!(
            "{mark} stands twice in the light schedule that is drawn here, with {} and with {}: neither is used; give its size \
             under [[luminaire]] in bayline.toml",
            length::inches_only(*one),
            length::inches_only(*other)
        );
        notes.push(Note::new(doubt, "schedule-twice", message));
    }
    for heading in &schedule.unread {
        let message = format!(
            "the table under \"{heading}\" has no head over its marks (TYPE, TAG, MARK) and is not read: give its lights under \
             [[luminaire]] in bayline.toml"
        );
        notes.push(Note::new(doubt, "schedule-unread", message));
    }
    if !schedule.left.is_empty() {
        let list: Vec<String> = (schedule.left.iter())
            .map(|(mark, why)| format!("{mark} ({why})"))
            .collect();
        let message = format!(
            "of the light schedule that is drawn here these are not used: {}",
            list.join(", ")
        );
        notes.push(Note::info("schedule-left", message));
    }
    notes
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
    let is_mark = |c: &Cell| MARKS.contains(&folded(c.text).trim());
    let Some(at) = lines.iter().position(|l| l.len() >= 2 && l.iter().any(is_mark)) else {
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
            found.take(&row[0], &heads, row);
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
    let Some(mark) = lines[at].iter().find(|c| is_mark(c)) else {
        return true;
    };
    let border = border(rules, mark.x, mark.y, height);
    let within =
        |c: &&Cell| border.is_none_or(|(low, high, bottom)| low <= c.x && c.x <= high && c.y >= bottom);
    let head_cells: Vec<&Cell> = together(lines[at].iter().filter(within), mark.x, height, border.is_some());
    let heads: Vec<(f64, String)> = head_cells.iter().map(|c| (c.x, folded(c.text))).collect();
    let Some(marks) = head_cells.iter().position(|c| is_mark(c)) else {
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
    let marked = |row: &&&Vec<String>| is_tag(&row[marks]) || figures && is_number(&row[marks]);
    for row in rows.iter().filter(marked) {
        found.take(&row[marks], &heads, row);
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

/// A mark: short, in one word, with a letter.
fn is_tag(text: &str) -> bool {
    let short = (1..=6).contains(&text.chars().count());
    short && text.chars().any(char::is_alphabetic) && !text.contains(char::is_whitespace)
}

/// A mark that is a number, as in a schedule that has no letters for its types.
fn is_number(text: &str) -> bool {
    (1..=3).contains(&text.len()) && is_figures(text)
}
