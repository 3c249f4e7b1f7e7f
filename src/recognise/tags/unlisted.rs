//! Type marks where there is no schedule to know them by: short equal texts, one beside nearly every light.

use std::collections::{BTreeMap, BTreeSet};

use super::super::classes::{Claim, Classes};
use super::super::schedule::{Schedule, is_circuit};
use super::nearby::{by_layer, counted};
use super::written::{self, Written, attributes, marks};
use super::{LEAST_MARKS, Mark, by_leader, in_symbol, owned, typical};
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::Light;

/// Marks of switches, and other things that stand at lights, and are no types of them (common practice).
const OTHERS: [&str; 10] = ["S", "S2", "S3", "S4", "T", "J", "N", "E", "W", "X"];

/// Lights and their marks.
type Pairs = Vec<(usize, usize)>;

/// Lights without a mark take those of the layer that has one for most of them.
pub fn tags(
    flat: &Flat,
    classes: &Classes,
    bubbles: &BTreeSet<usize>,
    lights: &mut [Light],
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) {
    let open: BTreeSet<usize> = (0..lights.len()).filter(|&l| lights[l].tag.is_none()).collect();
    let all = Written {
        flat,
        classes,
        claims,
        bubbles,
    };
    let Some(found) = best(&all, lights, &open, &word) else {
        with_circuits(&all, lights, &open, notes);
        return typical_ones(&all, lights, &open, notes);
    };
    let said = counted(found.pairs.iter().map(|(_, w, _)| w.clone()));
    for (l, word, item) in &found.pairs {
        lights[*l].tag = Some(word.clone());
        written::claim(classes, *item, claims);
    }
    notes.push(Note::warning(
        "tags-unlisted",
        format!(
            "texts on layer {} beside {} of {} lights are read as their types ({said}), though no schedule lists \
             them: write a [[luminaire]] for each into bayline.toml",
            found.layer,
            found.pairs.len(),
            lights.len()
        ),
    ));
}

/// Asks about marks with a number behind them: of a type and a circuit, or of a panel and a circuit.
fn with_circuits(all: &Written<'_>, lights: &[Light], open: &BTreeSet<usize>, notes: &mut Vec<Note>) {
    let Some(found) = best(all, lights, open, &circuit) else {
        return;
    };
    let said = counted(found.pairs.iter().map(|(_, w, _)| w.clone()));
    notes.push(Note::warning(
        "tags-asked",
        format!(
            "texts on layer {} beside {} light(s) may be types with the number of a circuit, or a panel and a circuit \
             ({said}): write a [[luminaire]] with tag = for each type into bayline.toml, and they are read",
            found.layer,
            found.pairs.len(),
        ),
    ));
}

/// Asks about marks with TYP. at lights where no schedule says that they are types.
fn typical_ones(all: &Written<'_>, lights: &[Light], open: &BTreeSet<usize>, notes: &mut Vec<Note>) {
    let Written { flat, classes, .. } = *all;
    let several = |text: &str| word(typical::split(text).0.split_whitespace().next_back()?);
    let mut marks = marks(all, &|text| several(text).map(|_| 0));
    marks.retain(|m| m.typical.is_some() && !in_symbol(flat, classes, m.item));
    let mut at: BTreeMap<usize, usize> = by_leader(flat, classes, &marks, lights).into_iter().collect();
    let every: Vec<usize> = (0..marks.len()).collect();
    for (l, m) in owned(&marks, &every, lights).matched {
        at.entry(l).or_insert(m);
    }
    at.retain(|l, _| open.contains(l));
    let held: BTreeSet<usize> = at.into_values().collect();
    if held.is_empty() {
        return;
    }
    let said = counted(held.iter().filter_map(|&m| several(&marks[m].text)));
    notes.push(Note::warning(
        "tags-asked",
        format!(
            "{} text(s) with TYP. at lights may be their types ({said}), though no schedule lists them: write a [[luminaire]] \
             with tag = for each type into bayline.toml, and they are read",
            held.len()
        ),
    ));
}

/// Asks about marks beside lights without a type that the schedule does not know.
pub fn ask(all: &Written<'_>, schedule: &Schedule<'_>, lights: &[Light], notes: &mut Vec<Note>) {
    let open: BTreeSet<usize> = (0..lights.len())
        .filter(|&l| lights[l].schedule.is_none())
        .collect();
    let unknown = |text: &str| match schedule.nearly(text) {
        true => Some(text.trim().to_string()),
        false => (word(text).or_else(|| circuit(text))).filter(|_| schedule.entry(text).is_none()),
    };
    let Some(found) = best(all, lights, &open, &unknown) else {
        return;
    };
    let said = counted(found.pairs.iter().map(|(_, w, _)| w.clone()));
    notes.push(Note::warning(
        "tags-asked",
        format!(
            "texts on layer {} beside {} light(s) without a type look like marks that the schedule does not list \
             ({said}): write a [[luminaire]] with tag = for each type into bayline.toml",
            found.layer,
            found.pairs.len(),
        ),
    ));
}

/// Marks of one layer: light, mark and item of each.
pub struct Best {
    pub layer: String,
    pub pairs: Vec<(usize, String, usize)>,
}

/// The layer that has a mark for most lights without one.
fn best(
    all: &Written<'_>,
    lights: &[Light],
    open: &BTreeSet<usize>,
    word: &dyn Fn(&str) -> Option<String>,
) -> Option<Best> {
    if open.len() < LEAST_MARKS {
        return None;
    }
    let every = |_: usize| true;
    each(all, lights, open, word, &every)
        .into_iter()
        .reduce(|best, next| match next.pairs.len() > best.pairs.len() {
            true => next,
            false => best,
        })
}

/// The layers that have a mark for most lights without one, among the items that `which` holds for.
pub fn each(
    all: &Written<'_>,
    lights: &[Light],
    open: &BTreeSet<usize>,
    word: &dyn Fn(&str) -> Option<String>,
    which: &dyn Fn(usize) -> bool,
) -> Vec<Best> {
    let Written { flat, classes, .. } = *all;
    // The entry of a mark is its place among the words.
    let texts = flat
        .items
        .iter()
        .filter(|i| i.visible)
        .flat_map(|i| match &i.prim {
            Prim::Text { text, .. } => vec![&**text],
            Prim::Symbol(symbol) => attributes(symbol).map(|a| a.0).collect(),
            _ => Vec::new(),
        });
    let words: Vec<String> = texts
        .filter_map(word)
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect();
    let mut marks = marks(all, &|text| words.binary_search(&word(text)?).ok());
    marks.retain(|m| which(m.item) && !in_symbol(flat, classes, m.item));
    let led = by_leader(flat, classes, &marks, lights);
    let every: Vec<usize> = (0..marks.len()).collect();
    let mut sound_ones: Vec<(&str, Pairs)> = Vec::new();
    for (layer, which) in by_layer(flat, &marks, &every) {
        let mut found: BTreeMap<usize, usize> = BTreeMap::new();
        let here: BTreeSet<usize> = which.iter().copied().collect();
        found.extend(led.iter().copied().filter(|(_, m)| here.contains(m)));
        let at_leaders: BTreeSet<usize> = found.values().copied().collect();
        let rest: Vec<usize> = which.into_iter().filter(|m| !at_leaders.contains(m)).collect();
        let near = owned(&marks, &rest, lights);
        for (l, m) in near.matched {
            found.entry(l).or_insert(m);
        }
        found.retain(|l, _| open.contains(l));
        if sound(&marks, &found, near.torn.len(), open.len()) {
            sound_ones.push((layer, found.into_iter().collect()));
        }
    }
    let said = |(l, m): (usize, usize)| (l, words[marks[m].entry].clone(), marks[m].item);
    let layers = sound_ones.into_iter().map(|(layer, pairs)| Best {
        layer: layer.to_string(),
        pairs: pairs.into_iter().map(said).collect(),
    });
    layers.collect()
}

/// Whether these are types: most lights have one, few are in doubt, and they repeat, which the numbers of lights do not.
fn sound(marks: &[Mark], found: &BTreeMap<usize, usize>, torn: usize, open: usize) -> bool {
    let kinds: BTreeSet<usize> = found.values().map(|&m| marks[m].entry).collect();
    found.len() >= LEAST_MARKS
        && 4 * found.len() >= 3 * open
        && 3 * torn <= found.len()
        && 2 * kinds.len() <= found.len()
}

/// The letters of a mark with a circuit's number behind it: `A-3`, `D1/4`, `A (3)`. What is nothing but letters and
/// figures may be a type of its own.
fn circuit(text: &str) -> Option<String> {
    let text = text.trim();
    let at = text.find(['-', '/', '.', '('])?;
    let letters = text[..at].trim();
    (is_circuit(&text[at..])).then(|| word(letters))?
}

/// A text that reads like a type mark: `A`, `D1`, `R6A`, `DL2`; in capitals, as drawings write them.
pub fn word(text: &str) -> Option<String> {
    let text = text.trim();
    let mut rest = text;
    let mut run = |fits: fn(char) -> bool| {
        let taken = rest.chars().take_while(|c| fits(*c)).count();
        rest = rest.get(taken..).unwrap_or_default();
        taken
    };
    // ASCII only, so that characters are bytes.
    if !text.is_ascii() {
        return None;
    }
    let (letters, digits, after) = (
        run(|c| c.is_ascii_uppercase()),
        run(|c| c.is_ascii_digit()),
        run(|c| c.is_ascii_uppercase()),
    );
    let shaped = match (letters, digits) {
        (1, 0) => after == 0,
        (1..=2, 1..=2) => after <= 1,
        _ => false,
    };
    (shaped && rest.is_empty() && !OTHERS.contains(&text)).then(|| text.to_string())
}

#[cfg(test)]
mod tests {
    use super::word;

    #[test]
    fn what_reads_like_a_type() {
        for text in ["A", "D1", " R6 ", "R6A", "DL2", "F10"] {
            assert_eq!(word(text).as_deref(), Some(text.trim()));
        }
        for text in [
            "a", "S3", "WP", "GFI", "12", "A-1", "D1/a", "D123", "R6AB", "", "Ä", "T",
        ] {
            assert_eq!(word(text), None, "{text}");
        }
    }
}
