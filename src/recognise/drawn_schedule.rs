//! A light schedule drawn as a table of texts, read into entries.
//!
//! A heading names it, a line of column heads follows, then one line a type. Cells go to the column
//! whose head starts nearest; a table with rules ends where they do. What cannot be read for certain is left out
//! and said: the sizes of a housing other than its aperture are in no such table.

mod border;

use geo::Coord;

use self::border::{Ruled, border, rules};
use super::legend::{heads_a_table, heads_lights};
use super::schedule::is_figures;
use super::shape::{cross, dot, finite};
use crate::flatten::{Flat, Prim};
use crate::length;
use crate::note::{Level, Note};
use crate::rules::{Luminaire, Mount, folded};

/// Heads of the column of type marks (trade words; other languages from memory, folded).
const MARKS: [&str; 18] = [
    "TYPE", "TAG", "MARK", "SYMBOL", "SYM", "ID", "TIPO", "MARCA", "CLAVE", "SIMBOLO", "TYP", "REPERE",
    "符号", "编号", "型号", "記号", "기호", "REF",
];
/// Words of a description that make a light a recessed one.
const RECESSED: [&str; 17] = [
    "RECESSED",
    "DOWNLIGHT",
    "DOWNLIGHTS",
    "CAN",
    "POTLIGHT",
    "EMPOTRADO",
    "EMPOTRADA",
    "EMPOTRABLE",
    "EMBUTIDO",
    "EMBUTIDA",
    "EINBAULEUCHTE",
    "EINBAUSTRAHLER",
    "EINBAUDOWNLIGHT",
    "ENCASTRE",
    "ENCASTREE",
    "筒灯",
    "ダウンライト",
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
/// Heads of a column of apertures.
const SIZES: [&str; 10] = [
    "APERTURE",
    "SIZE",
    "DIA",
    "DIAMETER",
    "DIAMETRO",
    "DIAM",
    "DIAMETRE",
    "DURCHMESSER",
    "ABERTURA",
    "口径",
];
/// Below the heading and across from its start, in heights of its lettering.
const DOWN: f64 = 80.0;
const ASIDE: f64 = 120.0;
/// Lines of a table are no further apart, heights.
const STEP: f64 = 8.0;
/// Nominal apertures of recessed lights, inches (common practice).
const APERTURES: std::ops::RangeInclusive<f64> = 1.0..=12.0;
const MM: f64 = 25.4;
/// A bare figure from here on is millimetres: no aperture is so many inches.
const BARE_MM: f64 = 50.0;
/// Apertures that differ by less are one size, inches.
const SAME_SIZE: f64 = 0.05;
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

struct Cell<'a> {
    /// Along the heading's lettering and upwards, from its start.
    x: f64,
    y: f64,
    text: &'a str,
}

/// Every light schedule on the drawing, as one; a mark that stands twice counts once, unless its sizes differ.
pub fn drawn_schedule(flat: &Flat) -> DrawnSchedule {
    let mut found = DrawnSchedule::default();
    let texts: Vec<(Coord, f64, f64, &str)> = (flat.items.iter())
        .filter(|item| item.visible)
        .filter_map(|item| match &item.prim {
            Prim::Text {
                at,
                height,
                angle,
                text,
                ..
            } => Some((*at, *height, *angle, &**text)),
            _ => None,
        })
        .filter(|t| finite(t.0) && t.1 > 0.0 && t.1.is_finite() && t.2.is_finite())
        .collect();
    for &(at, height, angle, heading) in texts.iter().filter(|t| heads_lights(t.3)) {
        let along = Coord {
            x: angle.cos(),
            y: angle.sin(),
        };
        let mut cells: Vec<Cell> = (texts.iter())
            .filter(|t| (t.2 - angle).cos() > 0.99)
            .map(|t| Cell {
                x: dot(t.0 - at, along),
                y: cross(along, t.0 - at),
                text: t.3,
            })
            .filter(|c| c.y < 0.0 && c.y >= -DOWN * height && c.x.abs() <= ASIDE * height)
            .collect();
        cells.sort_by(|a, b| b.y.total_cmp(&a.y).then(a.x.total_cmp(&b.x)));
        let rules = rules(flat, at, along, height);
        let table = heads_a_table(heading);
        if !read(&lines(cells, height), &rules, (height, table), &mut found) && table {
            let heading = heading.split_whitespace().collect::<Vec<_>>().join(" ");
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
    let mut rows: Vec<Vec<String>> = Vec::new();
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
        // A line without a mark goes on with the one above.
        match rows.last_mut() {
            Some(last) if row[marks].is_empty() => {
                for (cell, more) in last.iter_mut().zip(&row) {
                    *cell = format!("{cell} {more}").trim().to_string();
                }
            }
            _ => rows.push(row),
        }
    }
    // Notes below a table have numbers of their own.
    let notes = |row: &&Vec<String>| {
        let first = row.iter().find(|cell| !cell.is_empty());
        first.is_some_and(|cell| NOTES.contains(&folded(cell).trim_matches([':', '.', ' '])))
    };
    let rows: Vec<&Vec<String>> = rows.iter().take_while(|row| !notes(row)).collect();
    let figures = schedule && rows.first().is_some_and(|row| is_number(&row[marks]));
    let marked = |row: &&&Vec<String>| is_tag(&row[marks]) || figures && is_number(&row[marks]);
    for row in rows.iter().filter(marked) {
        let tag = row[marks].clone();
        let entry = entry(&tag, &heads, row);
        let known = found.entries.iter().position(|e| e.tag == tag);
        let told = found.left.iter().any(|l| l.0 == tag) || found.twice.iter().any(|t| t.0 == tag);
        match (known, entry) {
            (Some(k), Ok(entry)) => {
                let (one, other) = (found.entries[k].aperture, entry.aperture);
                if (one - other).abs() > SAME_SIZE {
                    found.entries.remove(k);
                    found.twice.push((tag, one, other));
                }
            }
            (None, Ok(entry)) if !told => found.entries.push(entry),
            (None, Err(why)) if !told => found.left.push((tag, why)),
            _ => {}
        }
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

/// Whether folded words speak of a recessed light.
fn recessed(words: &str) -> bool {
    let mut each = words.split(|c: char| !c.is_alphanumeric());
    let apart = each.any(|w| RECESSED.contains(&w));
    apart || RECESSED.iter().any(|r| !r.is_ascii() && words.contains(r))
}

fn entry(tag: &str, heads: &[(f64, String)], row: &[String]) -> Result<Luminaire, &'static str> {
    let all = folded(&row.join(" "));
    let words: Vec<&str> = all.split(|c: char| !c.is_alphanumeric()).collect();
    let has = |list: &[&str]| words.iter().any(|w| list.contains(w));
    if !recessed(&all) {
        return Err("no recessed light");
    }
    let headed = |list: &[&str]| {
        let fits = |head: &String| {
            head.split(|c: char| !c.is_alphanumeric())
                .any(|w| list.contains(&w))
        };
        (heads.iter().zip(row))
            .find(|(head, _)| fits(&head.1))
            .map(|(_, cell)| folded(cell))
    };
    let aperture = headed(&SIZES)
        .and_then(|cell| aperture(&cell, true))
        .or_else(|| aperture(&all, false))
        .ok_or("no aperture is written")?;
    let lumens = headed(&["LUMENS", "LUMEN", "LM"])
        .and_then(|cell| first_number(&cell))
        .or_else(|| {
            let place = words.iter().position(|w| ["LM", "LUMENS"].contains(w))?;
            words.get(place.checked_sub(1)?)?.parse().ok()
        });
    let next_to = |a: &str, b: &str| words.windows(2).any(|w| w == [a, b]);
    let mut entry = Luminaire::of_aperture(tag, aperture);
    entry.ic = has(&["IC", "ICAT"]) && !next_to("NON", "IC");
    entry.lumens = lumens;
    if has(&["REMODEL", "REMODELER"]) || next_to("OLD", "WORK") {
        entry.mount = Mount::OldWork;
    }
    Ok(entry)
}

/// The first nominal size in words: `6"`, `6 IN`, `150 MM`; where `bare`, a number alone is inches.
fn aperture(text: &str, bare: bool) -> Option<f64> {
    let text = text.replace(['”', '″'], "\"");
    let mut rest = text.as_str();
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        let from = &rest[at..];
        let end = from
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(from.len());
        let (digits, after) = from.split_at(end);
        let after = after.trim_start_matches([' ', '-']);
        let unit = ["\"", "INCH", "IN ", "IN.", "MM"]
            .into_iter()
            .find(|u| after.starts_with(u));
        let unit = unit.or((after == "IN").then_some("IN"));
        let size: Option<f64> = digits.trim_end_matches('.').parse().ok();
        let size = match unit {
            Some("MM") => size.map(|s| s / MM),
            Some(_) => size,
            None => size
                .filter(|_| bare)
                .map(|s| if s >= BARE_MM { s / MM } else { s }),
        };
        if let Some(size) = size.filter(|s| APERTURES.contains(s)) {
            return Some(size);
        }
        rest = &from[end..];
    }
    None
}

fn first_number(text: &str) -> Option<f64> {
    let from = text.find(|c: char| c.is_ascii_digit())?;
    let digits = &text[from..];
    let end = digits.find(|c: char| !c.is_ascii_digit()).unwrap_or(digits.len());
    digits[..end].parse().ok().filter(|v: &f64| *v > 0.0)
}
