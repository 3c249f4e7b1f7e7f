//! Names of rooms in words that nobody knows, by how they are set: texts of one layer and height, one to a room.

use std::collections::BTreeMap;
use std::sync::Arc;

use geo::Coord;

use super::super::shape::finite;
use super::name_in;
use super::texts::is_room_name;
use super::words::names_a_room;
use crate::flatten::{Flat, Item, Prim};

/// Fewest texts of one kind that may be names of rooms.
const FEWEST: usize = 2;
/// Of such texts this share are in rooms by themselves.
const ALONE: f64 = 0.8;
/// Where known names are no more than this share of the texts of a kind, the others count as names too.
const KNOWN: f64 = 1.0 / 3.0;
/// Fewest letters of a name in an alphabet.
const LETTERS: usize = 3;

/// What texts that are names of rooms have in common.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Setting {
    pub layer: Arc<str>,
    /// Eighths of an inch.
    height: i64,
    /// Numbers, and no words.
    numbers: bool,
}

/// How a text is set that may be a room's name or number, and what it says; `None` for any other.
pub fn setting(item: &Item) -> Option<(Setting, String)> {
    let Prim::Text { height, text, .. } = &item.prim else {
        return None;
    };
    let (name, numbers) = match may_name(text) {
        Some(name) => (name, false),
        None => (may_number(text)?, true),
    };
    (*height > 0.0).then(|| {
        let height = (height * 8.0).round() as i64;
        let layer = item.layer.clone();
        (
            Setting {
                layer,
                height,
                numbers,
            },
            name,
        )
    })
}

/// A number as rooms have: `101`, `204A`.
fn may_number(text: &str) -> Option<String> {
    let text = text.trim();
    let figures = text.trim_end_matches(|c: char| c.is_ascii_uppercase());
    let suffix = text.len() - figures.len();
    let three = (3..=4).contains(&figures.len()) && figures.bytes().all(|b| b.is_ascii_digit());
    (three && suffix <= 1 && !figures.starts_with('0')).then(|| text.to_string())
}

/// What a text says as a name, if it may be one: words, and a figure at most behind them.
pub fn may_name(text: &str) -> Option<String> {
    let name = name_in(&text.replace('.', "")).filter(|n| is_room_name(n))?;
    let words = name.trim_end_matches(|c: char| c.is_ascii_digit());
    let plain =
        |c: char| c.is_alphabetic() || c.is_whitespace() || matches!(c, '\'' | '’' | '-' | '/' | '&' | '#');
    let letters = words.chars().filter(|c| c.is_alphabetic());
    // Signs, which have no capitals, say more each.
    let sign = letters.clone().any(|c| !c.is_uppercase() && !c.is_lowercase());
    (words.chars().all(plain) && (sign || letters.count() >= LETTERS)).then_some(name)
}

/// Where names of rooms are written, and whether some of them are only set as names are: those of the largest number
/// of texts of one setting of which few or none have a word that is known.
pub fn places(flat: &Flat) -> (Vec<Coord>, bool) {
    let mut places = Vec::new();
    let mut sets: BTreeMap<Setting, (Vec<Coord>, Vec<String>)> = BTreeMap::new();
    for item in flat.items.iter().filter(|item| item.visible) {
        let Prim::Text { at, text, .. } = &item.prim else {
            continue;
        };
        if names_a_room(text) {
            places.push(*at);
        } else if let Some((set, name)) = setting(item).filter(|_| finite(*at)) {
            let (at_all, said) = sets.entry(set).or_default();
            at_all.push(*at);
            said.push(name);
        }
    }
    // Labels of devices repeat; names of rooms seldom do.
    let differ = |said: &[String]| {
        let mut said: Vec<&String> = said.iter().collect();
        said.sort();
        said.dedup();
        said.len()
    };
    let best = (sets.into_iter())
        .filter(|(set, (at, said))| {
            let (all, differ) = (said.len(), differ(said));
            at.len() >= FEWEST
                && if set.numbers {
                    differ == all
                } else {
                    2 * differ > all
                }
        })
        .max_by_key(|(set, (at, _))| (!set.numbers, at.len()));
    match best {
        Some((_, (at, _))) if places.len() as f64 <= KNOWN * (places.len() + at.len()) as f64 => {
            places.extend(at);
            (places, true)
        }
        _ => (places, false),
    }
}

/// Of rooms, each with the settings of the texts in it that may be names: the setting that most rooms without a name have one text of,
/// if nearly all rooms that have any have one.
pub fn best<'a>(rooms: impl Iterator<Item = (bool, impl Iterator<Item = &'a Setting>)>) -> Option<Setting> {
    let mut counts: BTreeMap<&Setting, (usize, usize, usize)> = BTreeMap::new();
    for (nameless, settings) in rooms {
        let mut here: BTreeMap<&Setting, usize> = BTreeMap::new();
        for set in settings {
            *here.entry(set).or_insert(0) += 1;
        }
        for (set, n) in here {
            let (one, all, new) = counts.entry(set).or_default();
            *one += usize::from(n == 1);
            *all += 1;
            *new += usize::from(n == 1 && nameless);
        }
    }
    (counts.into_iter())
        .filter(|(_, (one, all, new))| *new > 0 && *one >= FEWEST && *one as f64 >= ALONE * *all as f64)
        .max_by_key(|(set, (_, _, new))| (!set.numbers, *new))
        .map(|(set, _)| set.clone())
}

#[cfg(test)]
mod tests {
    use super::{may_name, may_number};

    #[test]
    fn what_may_be_a_name() {
        for name in [
            "CUCINA",
            "CAMERA 2",
            "Salle d'eau",
            "L'DRY",
            "мат",
            "玄関",
            "W.C.-1 UOMINI",
        ] {
            let plain = name != "W.C.-1 UOMINI";
            assert_eq!(may_name(name).is_some(), plain, "{name}");
        }
        for (text, is) in [
            ("101", true),
            ("204A", true),
            ("12", false),
            ("0101", false),
            ("101.5", false),
            ("3600mm", false),
        ] {
            assert_eq!(may_number(text).is_some(), is, "{text}");
        }
        for text in ["LRH: 2,50", "UP", "A", "12", "H=2700", "2x10", "SEE 4/A5"] {
            assert_eq!(may_name(text), None, "{text}");
        }
    }
}
