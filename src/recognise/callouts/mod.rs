//! Framing that is written of: words with size and spacing, and the line beside them that tells which
//! way the members run.
//!
//! The direction is never taken from the lettering: where no line tells it, the note asks. Members that
//! are drawn in the same room hold, and the words confirm them or contradict them.

use geo::Coord;

use super::classes::{Claim, Class, Classes};
use super::shape::{between_degrees, canonical, distance, finite, left_of, line_degrees, unit};
use crate::flatten::{Flat, Prim};
use crate::note::{Note, Place};
use crate::plan::{MemberKind, Units};
use crate::rules::Rules;

mod lines;
mod measured;
pub mod only;
mod place;
mod sample;
mod tokens;
mod vocabulary;
mod words;

#[cfg(test)]
mod tests;

pub use place::place;

use lines::{Beside, Line, Tells};
use words::{Part, Said, Words};

/// Width of a letter and distance of two lines, in heights (common practice; DXF reference, group 44).
const LETTER: f64 = 0.8;
const LEADING: f64 = 5.0 / 3.0;
/// The next line of a text stands within so many heights below.
const NEXT: f64 = 2.5;
/// Directions nearer than this are one, degrees.
const SAME_WAY: f64 = 2.0;
/// Flanges of I-joists are 1 3/4 to 3 1/2 wide; this is taken where it is not told, inches (common
/// practice; wide rather than narrow, so that no clear space is told that is not there).
const FLANGE: f64 = 2.0 + 5.0 / 16.0;

/// Words of framing as found, before it is known which room they stand in.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    pub text: String,
    pub at: Coord,
    pub handle: Option<String>,
    kind: MemberKind,
    part: Option<Part>,
    thickness: f64,
    /// The words tell the thickness.
    sized: bool,
    depth: Option<f64>,
    spacing: f64,
    /// The line that tells the direction; `None` where it is missing.
    line: Option<(Coord, Coord)>,
    /// Two lines tell two directions.
    torn: bool,
    /// A plain line across the one that tells the direction: it may be the members, and that one how far they reach.
    crossing: Option<(Coord, Coord)>,
    /// Where a leader points from the words.
    points_to: Option<Coord>,
    /// Where the words are in the drawing.
    place: Place,
}

impl Written {
    /// The same words and line laid elsewhere; what the words say stays.
    pub fn moved(&self, to: impl Fn(Coord) -> Coord) -> Written {
        Written {
            at: to(self.at),
            line: self.line.map(|(a, b)| (to(a), to(b))),
            crossing: self.crossing.map(|(a, b)| (to(a), to(b))),
            points_to: self.points_to.map(&to),
            ..self.clone()
        }
    }
}

/// What a drawing writes of framing, for a plan that it is laid upon.
pub fn of(flat: &Flat, units: &Units, rules: &Rules) -> Vec<Written> {
    let classes = super::classes::classes(flat, rules);
    let mut claims = vec![Claim::None; flat.items.len()];
    written(flat, &classes, rules, units, &mut claims, &mut Vec::new())
}

struct Text {
    items: Vec<usize>,
    text: String,
    beside: Beside,
    words: Words,
}

/// Finds the words and their lines, and claims both, so that an arrow on a framing layer is taken for no
/// member.
pub fn written(
    flat: &Flat,
    classes: &Classes,
    rules: &Rules,
    units: &Units,
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> Vec<Written> {
    let metric = matches!(&*units.name, "mm" | "cm" | "m");
    let texts = texts(flat, classes, metric, claims, notes);
    let besides: Vec<Beside> = texts.iter().map(|t| t.beside).collect();
    let lines = lines::lines(flat, classes, claims, &besides);
    let dimensions = lines.iter().filter_map(|l| Some((l, l.dimension.as_deref()?)));
    for (l, text) in dimensions.clone() {
        if words::read(text, metric) == Words::Doubtful {
            notes.push(unread(text).at(flat.place(l.items[0])));
        }
    }
    let mut found: Vec<Written> = dimensions
        .filter_map(|(l, text)| match words::read(text, metric) {
            Words::Framing(said) => Some((l, text, said)),
            _ => None,
        })
        .map(|(l, text, said)| {
            claims[l.items[0]] = Claim::Callout;
            let middle = (l.from + l.to) * 0.5;
            let mut w = made(flat, text, middle, l.items[0], &said, rules, notes);
            w.line = Some((l.from, l.to));
            w
        })
        .collect();
    let mut taken: Vec<Option<usize>> = vec![None; lines.len()];
    for (n, t) in texts.iter().enumerate() {
        let Words::Framing(said) = &t.words else { continue };
        for &i in &t.items {
            claims[i] = Claim::Callout;
        }
        let middle = (t.beside.from + t.beside.to) * 0.5;
        let mut w = made(flat, &t.text, middle, t.items[0], said, rules, notes);
        let pointer = lines.iter().find(|l| {
            l.tells(&t.beside)
                .is_some_and(|(tells, _)| tells == Tells::Points)
                && l.tail().is_some_and(|tail| nearer(tail, l.tip(), middle))
        });
        w.points_to = pointer.and_then(Line::tip);
        let mut near = beside(&lines, &t.beside);
        if near.is_empty()
            && let Some(tip) = w.points_to
        {
            // A leader leads from the words to the arrow.
            let letter = t.beside.letter;
            near = beside(
                &lines,
                &Beside {
                    from: tip,
                    to: tip,
                    letter: letter / 4.0,
                    tall: 0.0,
                },
            );
        }
        near.retain(|(_, _, l)| taken[*l].is_none_or(|other| same_words(&texts[other], t)));
        if let Some(&(tells, off, l)) = near.first() {
            let way = |l: usize| lines[l].to - lines[l].from;
            w.torn = near.iter().any(|&(other, far, k)| {
                let as_near = far - off < t.beside.letter || lines[l].crosses(lines[k].from, lines[k].to);
                other == tells && as_near && between_degrees(way(l), way(k)) > SAME_WAY
            });
            if !w.torn {
                taken[l] = Some(n);
                w.line = Some((lines[l].from, lines[l].to));
                w.crossing = lines[l].crossing;
                for &i in &lines[l].items {
                    claims[i] = Claim::Callout;
                }
            }
        }
        for &i in pointer.map_or(&[][..], |l| &l.items) {
            claims[i] = Claim::Callout;
        }
        found.push(w);
    }
    found
}

fn nearer(tail: Coord, tip: Option<Coord>, to: Coord) -> bool {
    tip.is_some_and(|tip| distance(tail, to) < distance(tip, to))
}

fn same_words(a: &Text, b: &Text) -> bool {
    a.words == b.words
}

/// Lines that tell a direction to a text, the best first.
fn beside(lines: &[Line], text: &Beside) -> Vec<(Tells, f64, usize)> {
    let mut near: Vec<(Tells, f64, usize)> = (lines.iter().enumerate())
        .filter(|(_, l)| l.dimension.as_deref().is_none_or(str::is_empty))
        .filter_map(|(n, l)| l.tells(text).map(|(tells, off)| (tells, off, n)))
        .filter(|(tells, ..)| *tells != Tells::Points)
        .collect();
    near.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.cmp(&b.2)));
    near
}

fn made(
    flat: &Flat,
    text: &str,
    at: Coord,
    item: usize,
    said: &Said,
    rules: &Rules,
    notes: &mut Vec<Note>,
) -> Written {
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if said.marked {
        let message = format!(
            "\"{text}\" names its members by a word that is not known: it is taken for a maker's mark of I-joists"
        );
        notes.push(Note::info("callout-mark", message).at(flat.place(item)));
    }
    if let Some(spacing) = said.spacing.filter(|_| said.most) {
        let message = format!(
            "\"{text}\" says the greatest spacing: members may stand nearer, and {} is taken",
            crate::length::inches_only(spacing)
        );
        notes.push(Note::info("callout-most", message).at(flat.place(item)));
    }
    let thickness = said.thickness.unwrap_or_else(|| {
        let taken = if said.flanged && !rules.framing.thickness_given {
            FLANGE
        } else {
            rules.framing.thickness
        };
        notes.push(
            Note::info(
                "callout-thickness",
                format!(
                    "\"{text}\" does not tell how wide a member is: {} is taken; give thickness under \
                     [framing] if it is not",
                    crate::length::inches_only(taken)
                ),
            )
            .at(flat.place(item)),
        );
        taken
    });
    Written {
        text,
        at,
        handle: flat.items[item].handle.as_deref().map(str::to_string),
        kind: said.kind.unwrap_or(MemberKind::Joist),
        part: said.part,
        thickness,
        sized: said.thickness.is_some(),
        depth: said.depth,
        spacing: said.spacing.unwrap_or_default(),
        line: None,
        torn: false,
        crossing: None,
        points_to: None,
        place: flat.place(item),
    }
}

/// Texts that speak of framing; size and spacing in two texts one under the other are one.
fn texts(flat: &Flat, classes: &Classes, metric: bool, claims: &[Claim], notes: &mut Vec<Note>) -> Vec<Text> {
    let mut found: Vec<Text> = Vec::new();
    for (i, item) in flat.items.iter().enumerate() {
        let Prim::Text { text, .. } = &item.prim else {
            continue;
        };
        if !item.visible || claims[i] != Claim::None || classes.of[i] == Class::Ignore {
            continue;
        }
        let Some((text, words)) = read(text, metric) else {
            continue;
        };
        let Some(beside) = stands(&item.prim) else {
            continue;
        };
        if words == Words::Doubtful {
            notes.push(unread(&text).at(flat.place(i)));
            continue;
        }
        found.push(Text {
            items: vec![i],
            text,
            beside,
            words,
        });
    }
    joined(found, metric)
}

fn unread(text: &str) -> Note {
    Note::info(
        "callout-unread",
        format!(
            "\"{text}\" speaks of framing in words that are not understood, and is left out; \
             if it is this ceiling's, write size, member and spacing alone"
        ),
    )
}

/// What a text says: as a whole, else the first of its lines (or of two lines on end) that is a callout.
fn read(text: &str, metric: bool) -> Option<(String, Words)> {
    let whole = words::read(text, metric);
    let one = |t: &str| t.split_whitespace().collect::<Vec<_>>().join(" ");
    if matches!(whole, Words::Framing(_) | Words::Partly(_)) {
        return Some((one(text), whole));
    }
    let lines: Vec<&str> = text.lines().collect();
    for n in 1..=2_usize {
        for pair in lines.windows(n).filter(|_| n < lines.len()) {
            let part = pair.join(" ");
            let words = words::read(&part, metric);
            if matches!(words, Words::Framing(_)) {
                return Some((one(&part), words));
            }
        }
    }
    (whole == Words::Doubtful).then(|| (one(text), whole))
}

/// Joins what stands in two texts; halves without a partner say nothing.
fn joined(mut texts: Vec<Text>, metric: bool) -> Vec<Text> {
    let mut order: Vec<usize> = (0..texts.len()).collect();
    order.retain(|&i| matches!(texts[i].words, Words::Partly(_)));
    let mut gone = vec![false; texts.len()];
    for &a in &order {
        let below = order
            .iter()
            .copied()
            .find(|&b| a != b && !gone[a] && !gone[b] && follows(&texts[a].beside, &texts[b].beside));
        let Some(b) = below else { continue };
        let text = format!("{} {}", texts[a].text, texts[b].text);
        let words = words::read(&text, metric);
        if matches!(words, Words::Framing(_)) {
            gone[b] = true;
            let (items, lower) = (texts[b].items.clone(), texts[b].beside);
            let t = &mut texts[a];
            t.items.extend(items);
            t.text = text;
            t.words = words;
            // The box of both: between the two middle lines.
            let drop = distance(t.beside.from, lower.from);
            t.beside.from = (t.beside.from + lower.from) * 0.5;
            t.beside.to = (t.beside.to + lower.to) * 0.5;
            t.beside.tall += drop;
        }
    }
    let mut n = 0;
    texts.retain(|t| {
        n += 1;
        !gone[n - 1] && matches!(t.words, Words::Framing(_))
    });
    texts
}

/// Whether `b` is the line under `a`.
fn follows(a: &Beside, b: &Beside) -> bool {
    let Some(u) = unit(a.to - a.from) else {
        return false;
    };
    let d = b.from - a.from;
    let (along, down) = (super::shape::dot(d, u), -super::shape::dot(d, left_of(u)));
    let parallel = unit(b.to - b.from).is_some_and(|v| super::shape::dot(u, v) > 0.999);
    let letter = a.letter.max(b.letter);
    parallel && down > 0.5 * letter && down <= NEXT * letter && along.abs() <= 8.0 * letter
}

/// The middle line and height of a text's box, its width by estimate.
fn stands(prim: &Prim) -> Option<Beside> {
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
    let u = Coord {
        x: angle.cos(),
        y: angle.sin(),
    };
    let letters = text.lines().map(|l| l.trim().chars().count()).max()? as f64;
    let rows = text.lines().count().max(1) as f64;
    let tall = height * (1.0 + (rows - 1.0) * LEADING);
    let run = u * (letters * LETTER * height);
    let from = if *centred {
        *at - run / 2.0
    } else {
        *at + left_of(u) * (tall / 2.0)
    };
    let sound = finite(from) && finite(run) && *height > 0.0 && height.is_finite();
    sound.then_some(Beside {
        from,
        to: from + run,
        letter: *height,
        tall,
    })
}

/// The direction of a line between two points, as callouts give it.
fn way(line: (Coord, Coord)) -> Option<Coord> {
    unit(line.1 - line.0).map(canonical)
}

/// An angle as notes give it.
fn degrees(along: Coord) -> String {
    let angle = line_degrees(along);
    format!("{}°", (angle * 10.0).round() / 10.0 + 0.0)
}
