//! Marks with TYP., or a number before them: one stands for every equal symbol of its room without a mark of its own, or for as many as it says.
//!
//! Where the number it says does not come out, or two marks of a room stand for the same symbols, it is asked about and
//! only the light it stands at has its type.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::lights_are;
use super::nearby::counted;
use crate::flatten::Flat;
use crate::note::Note;
use crate::plan::{Light, LightId, Room};
use crate::recognise::RoomsByPlace;
use crate::recognise::tolerance::SAME_RADIUS;
use crate::rules::folded;

/// Words that make one mark stand for several lights (common practice; Spanish and French from memory, folded). `TYP`
/// before a mark is German for its type.
const TYPICAL: [&str; 7] = ["TYP", "TYPICAL", "TIP", "TIPICO", "TIPICA", "TIPICOS", "TYPIQUE"];
/// What stands between such a word and its number.
const OF: [&str; 5] = ["OF", "FOR", "DE", "X", "AT"];
/// What may follow and says nothing more.
const AFTER: [&str; 14] = [
    "UNO",
    "U.N.O",
    "ALL",
    "THIS",
    "ROOM",
    "PLCS",
    "PLC",
    "PLACES",
    "LOCATIONS",
    "LOCS",
    "EA",
    "LIGHTS",
    "FIXTURES",
    "THUS",
];

/// What a mark says of lights other than the one it stands at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Typical {
    /// For so many lights in all.
    pub of: Option<usize>,
}

/// A mark that stands for several lights.
#[derive(Clone, Debug)]
pub struct Many {
    /// Lights that it stands at or leads to; none where it could be given to none.
    pub at: Vec<usize>,
    pub entry: usize,
    pub typical: Typical,
    pub text: String,
    pub item: usize,
    pub middle: Coord,
}

/// A text without its TYP., and what that said. What says more than a mark and TYP. is left as it is.
pub fn split(text: &str) -> (&str, Option<Typical>) {
    match parted(text) {
        Some((mark, typical)) if !mark.is_empty() => (mark, Some(typical)),
        _ => (text, None),
    }
}

/// What a text says that is nothing but TYP., as it stands below a mark.
pub fn alone(text: &str) -> Option<Typical> {
    parted(text)
        .filter(|(mark, _)| mark.is_empty())
        .map(|(_, typical)| typical)
}

fn parted(text: &str) -> Option<(&str, Typical)> {
    // `(4) TYPE A`.
    let counted = text
        .trim_start()
        .strip_prefix('(')
        .and_then(|t| t.split_once(')'));
    if let Some((figures, mark)) = counted
        && let Ok(n) = figures.trim().parse::<usize>()
        && (1..=99).contains(&n)
        && !mark.trim().is_empty()
    {
        return Some((mark.trim(), Typical { of: Some(n) }));
    }
    let between = |c: char| c.is_whitespace() || "()[],:;=-".contains(c);
    let words = text.split(between).filter(|w| !w.is_empty());
    let words: Vec<(usize, String)> = words
        .map(|w| {
            let at = w.as_ptr() as usize - text.as_ptr() as usize;
            (at, folded(w).trim().trim_end_matches('.').to_string())
        })
        .collect();
    let place = words.iter().position(|(_, w)| TYPICAL.contains(&w.as_str()))?;
    let mut rest = words[place + 1..].iter().map(|(_, w)| w.as_str()).peekable();
    rest.next_if(|w| OF.contains(w));
    let of = rest
        .next_if(|w| w.len() <= 3 && w.chars().all(|c| c.is_ascii_digit()))
        .and_then(|w| w.parse().ok());
    if !rest.all(|w| AFTER.contains(&w)) {
        return None;
    }
    let mark = text[..words[place].0].trim_end_matches(between).trim();
    Some((mark, Typical { of }))
}

/// Gives the lights that marks with TYP. stand for their types.
pub fn settle(
    flat: &Flat,
    rooms: &[Room],
    marks: &[Many],
    tag: &dyn Fn(usize) -> String,
    lights: &mut [Light],
    notes: &mut Vec<Note>,
) {
    if marks.is_empty() {
        return;
    }
    let house = House::new(rooms, lights);
    let sets: Vec<Option<Vec<usize>>> = marks.iter().map(|m| house.meant(m)).collect();
    let mut wanted: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
    for (mark, set) in marks.iter().zip(&sets) {
        for &l in set.iter().flatten() {
            wanted.entry(l).or_default().insert(mark.entry);
        }
    }
    // What marks of two types stand for has neither.
    let torn = |set: &[usize]| set.iter().any(|l| wanted.get(l).is_some_and(|w| w.len() > 1));
    let mut given: BTreeMap<usize, usize> = BTreeMap::new();
    let mut asked: Vec<(usize, String)> = Vec::new();
    for (mark, set) in marks.iter().zip(&sets) {
        let quoted = mark.text.split_whitespace().collect::<Vec<_>>().join(" ");
        let why = match set {
            Some(set) if !torn(set) => {
                given.extend(set.iter().map(|&l| (l, mark.entry)));
                continue;
            }
            Some(_) => "another mark with TYP. stands for the same symbols".to_string(),
            None => match house.why(mark) {
                Some(why) => why,
                None => continue,
            },
        };
        asked.push((mark.item, format!("{quoted}: {why}")));
    }
    let elsewhere = house.elsewhere(marks, &given);
    let said = counted(given.values().map(|&e| tag(e)));
    let count = given.len();
    for (l, entry) in given {
        lights[l].schedule = Some(entry);
        lights[l].tag = Some(tag(entry));
    }
    if count > 0 {
        notes.push(Note::info(
            "tags-typical",
            format!(
                "the types of {count} light(s) ({said}) are read from marks with TYP. that stand at another: equal symbols \
                 without a mark of their own in the same room, or as many as the mark says"
            ),
        ));
    }
    if let Some(&(item, _)) = asked.first() {
        let each: Vec<String> = asked.into_iter().map(|(_, why)| why).collect();
        notes.push(
            Note::warning(
                "typical-asked",
                format!(
                    "marks with TYP. whose lights are not certain ({}): only the lights they stand at have their type; \
                     correct the number, or set a mark beside each light",
                    each.join("; ")
                ),
            )
            .at(flat.place(item)),
        );
    }
    if !elsewhere.is_empty() {
        notes.push(Note::warning(
            "typical-asked",
            format!(
                "marks with TYP. are read for the rooms they stand in: {} without a type in rooms that have no mark, and equal \
                 to symbols that such a mark stands at; set a mark in each room",
                lights_are(&elsewhere)
            ),
        ));
    }
}

/// The lights before any mark with TYP. is read.
struct House<'a> {
    rooms: &'a [Room],
    lights: &'a [Light],
    places: RoomsByPlace,
    home: Vec<Option<usize>>,
    /// Lights without a type.
    bare: Vec<usize>,
}

impl<'a> House<'a> {
    fn new(rooms: &'a [Room], lights: &'a [Light]) -> Self {
        let places = RoomsByPlace::new(rooms);
        House {
            home: lights.iter().map(|l| places.of(rooms, l.at)).collect(),
            bare: (0..lights.len())
                .filter(|&l| lights[l].schedule.is_none())
                .collect(),
            rooms,
            lights,
            places,
        }
    }

    fn like(&self, mark: &Many, l: usize) -> bool {
        let one = &self.lights[l];
        mark.at.iter().map(|&m| &self.lights[m]).any(|other| {
            let most = one.drawn_radius.max(other.drawn_radius);
            one.block == other.block && (one.drawn_radius - other.drawn_radius).abs() <= SAME_RADIUS * most
        })
    }

    fn here(&self, mark: &Many, l: usize) -> bool {
        mark.at.iter().any(|&m| self.home[l] == self.home[m])
    }

    /// Lights without a type that are drawn like those of the mark: in its room, and anywhere.
    fn bare(&self, mark: &Many) -> (Vec<usize>, Vec<usize>) {
        let all: Vec<usize> = self
            .bare
            .iter()
            .copied()
            .filter(|&l| self.like(mark, l))
            .collect();
        (all.iter().copied().filter(|&l| self.here(mark, l)).collect(), all)
    }

    /// The lights a mark stands for beside its own; `None` where that is not certain.
    fn meant(&self, mark: &Many) -> Option<Vec<usize>> {
        let at = mark.at.len();
        if at == 0 {
            return None;
        }
        let (own, all) = self.bare(mark);
        let Some(n) = mark.typical.of else {
            let roomed = mark.at.iter().all(|&m| self.home[m].is_some());
            return (roomed || own.is_empty()).then_some(own);
        };
        // Others of the same type with a mark of their own.
        let named = (0..self.lights.len())
            .filter(|l| self.lights[*l].schedule == Some(mark.entry) && !mark.at.contains(l))
            .filter(|&l| self.like(mark, l) && self.here(mark, l))
            .count();
        match n {
            n if n == at + own.len() || n == at + named + own.len() => Some(own),
            n if n == at + all.len() => Some(all),
            _ => None,
        }
    }

    /// Why it is not certain what a mark stands for.
    fn why(&self, mark: &Many) -> Option<String> {
        let Some(&at) = mark.at.first() else {
            let room = self.places.of(self.rooms, mark.middle)?;
            let open = self.bare.iter().any(|&l| self.home[l] == Some(room));
            return open.then(|| "it stands at no light for certain".to_string());
        };
        let (own, _) = self.bare(mark);
        let place = match self.home[at].and_then(|r| self.rooms.get(r)) {
            Some(room) => match &room.name {
                Some(name) => format!("in {name}"),
                None => "in its room".to_string(),
            },
            None => "in no room".to_string(),
        };
        let rest = match own.is_empty() {
            true => "no equal symbol is without a mark".to_string(),
            false => format!("{} equal and without a mark", lights_are(&own)),
        };
        Some(format!("it stands at {} {place}, where {rest}", LightId(at)))
    }

    /// Lights without a type in rooms without marks, drawn like those of a mark without a number.
    fn elsewhere(&self, marks: &[Many], given: &BTreeMap<usize, usize>) -> Vec<usize> {
        let told: BTreeSet<Option<usize>> = (0..self.lights.len())
            .filter(|l| self.lights[*l].schedule.is_some())
            .map(|l| self.home[l])
            .collect();
        let open = |l: &usize| !given.contains_key(l) && !told.contains(&self.home[*l]);
        let like = |l: &usize| marks.iter().any(|m| m.typical.of.is_none() && self.like(m, *l));
        self.bare.iter().copied().filter(open).filter(like).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::{Typical, alone, split};

    #[test]
    fn what_stands_for_several() {
        for (text, mark, of) in [
            ("A TYP.", "A", None),
            ("A (TYP.)", "A", None),
            ("A (TYP. OF 6)", "A", Some(6)),
            ("TYPE B, TYP.", "TYPE B", None),
            ("A-3 TYP (4)", "A-3", Some(4)),
            ("D1\nTYPICAL FOR 12", "D1", Some(12)),
            ("A TYP. U.N.O.", "A", None),
            ("A (TÍP. DE 3)", "A", Some(3)),
            ("(4) TYPE A", "TYPE A", Some(4)),
        ] {
            assert_eq!(split(text), (mark, Some(Typical { of })), "{text}");
        }
        for text in [
            "A",
            "TYP A",
            "TYPE A",
            "A TYP. PENDANT",
            "TYP.",
            "(4)",
            "A (4)",
            "",
        ] {
            assert_eq!(split(text), (text, None), "{text}");
        }
        assert_eq!(alone("(TYP. OF 4)"), Some(Typical { of: Some(4) }));
        assert_eq!(alone("TYP A"), None);
    }
}
