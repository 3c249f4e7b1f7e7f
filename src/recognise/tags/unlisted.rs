//! Type marks where there is no schedule to know them by: short equal texts, one beside nearly every light.

use std::collections::{BTreeMap, BTreeSet};

use super::super::classes::{Claim, Classes};
use super::nearby::{by_layer, counted};
use super::{LEAST_MARKS, Mark, by_leader, in_symbol, marks, owned};
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
    lights: &mut [Light],
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) {
    let open: BTreeSet<usize> = (0..lights.len()).filter(|&l| lights[l].tag.is_none()).collect();
    if open.len() < LEAST_MARKS {
        return;
    }
    // The entry of a mark is its place among the words.
    let words: Vec<String> = (flat.items.iter().filter(|i| i.visible))
        .filter_map(|i| match &i.prim {
            Prim::Text { text, .. } => word(text),
            _ => None,
        })
        .collect::<BTreeSet<_>>()
        .into_iter()
        .collect();
    let mut marks = marks(flat, classes, claims, &|text| {
        words.binary_search(&word(text)?).ok()
    });
    marks.retain(|m| !in_symbol(flat, classes, m.item));
    let led = by_leader(flat, classes, &marks, lights);
    let all: Vec<usize> = (0..marks.len()).collect();
    let mut best: Option<(&str, Pairs)> = None;
    for (layer, which) in by_layer(flat, &marks, &all) {
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
        if sound(&marks, &found, near.torn.len(), open.len())
            && best.as_ref().is_none_or(|(_, most)| found.len() > most.len())
        {
            best = Some((layer, found.into_iter().collect()));
        }
    }
    let Some((layer, found)) = best else { return };
    let said = counted(found.iter().map(|(_, m)| words[marks[*m].entry].clone()));
    for &(l, m) in &found {
        lights[l].tag = Some(words[marks[m].entry].clone());
        let claim = &mut claims[marks[m].item];
        if *claim == Claim::None {
            *claim = Claim::LightLinework;
        }
    }
    notes.push(Note::warning(
        "tags-unlisted",
        format!(
            "texts on layer {layer} beside {} of {} lights are read as their types ({said}), though no schedule lists \
             them: write a [[luminaire]] for each into bayline.toml",
            found.len(),
            lights.len()
        ),
    ));
}

/// Whether these are types: most lights have one, few are in doubt, and they repeat, which the numbers of lights do not.
fn sound(marks: &[Mark], found: &BTreeMap<usize, usize>, torn: usize, open: usize) -> bool {
    let kinds: BTreeSet<usize> = found.values().map(|&m| marks[m].entry).collect();
    found.len() >= LEAST_MARKS
        && 4 * found.len() >= 3 * open
        && 3 * torn <= found.len()
        && 2 * kinds.len() <= found.len()
}

/// A text that reads like a type mark: `A`, `D1`, `R6A`, `DL2`; in capitals, as drawings write them.
fn word(text: &str) -> Option<String> {
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
