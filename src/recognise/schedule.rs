//! Which schedule entry a symbol means: by attribute, block name, or tag in the block's name.

use crate::flatten::Symbol;
use crate::rules::{Luminaire, Patterns, Rules};

/// Attribute tags that hold a type mark, most telling first (common drafting words).
const MARKS: [&str; 6] = ["TAG", "TYPE", "MARK", "FIXTURE", "LUMINAIRE", "TYPEMARK"];

/// Words around a mark that say nothing (common practice).
const AROUND: [&str; 8] = [
    "TYPE", "TYP", "TYP.", "TYPICAL", "MARK", "FIXTURE", "FIXT", "FIXT.",
];
/// A text longer than this is no mark, characters.
const LONGEST_MARK: usize = 24;

/// What is doubtful about a symbol's type.
#[derive(Clone, Debug, PartialEq)]
pub enum Doubt {
    /// Its mark is in no schedule, and another one is taken.
    Unknown(String),
    /// Two that are in the schedule: what says the one that is taken, and what says the other.
    Conflict(String),
}

/// The schedule, ready to be asked.
pub struct Schedule<'a> {
    entries: &'a [Luminaire],
    blocks: Vec<Patterns>,
}

impl<'a> Schedule<'a> {
    pub fn new(rules: &'a Rules) -> Self {
        let blocks = rules
            .luminaires
            .iter()
            .map(|l| Patterns {
                layers: Vec::new(),
                blocks: l.blocks.clone(),
                given: true,
            })
            .collect();
        Schedule {
            entries: &rules.luminaires,
            blocks,
        }
    }

    /// The entry whose tag this text is.
    pub fn entry(&self, text: &str) -> Option<usize> {
        let text = text.trim();
        self.entries
            .iter()
            .position(|l| !l.tag.is_empty() && l.tag.trim().eq_ignore_ascii_case(text))
    }

    /// The entry a text beside a light names: its tag, with what is usual around it left off: `TYPE D1`, `D1 (TYP.)`,
    /// `D1/a` with the letter of its switch.
    pub fn mark(&self, text: &str) -> Option<usize> {
        if let Some(entry) = self.entry(text) {
            return Some(entry);
        }
        if text.len() > LONGEST_MARK {
            return None;
        }
        let words = text.split(|c: char| c.is_whitespace() || "/(),:=".contains(c));
        let mut words = words
            .filter(|w| !w.is_empty())
            .filter(|w| !AROUND.contains(&w.to_uppercase().as_str()));
        let entry = self.entry(words.next()?)?;
        let switch = |w: &str| w.len() == 1 && w.chars().all(char::is_alphabetic) && self.entry(w).is_none();
        match (words.next(), words.next()) {
            (None, _) => Some(entry),
            (Some(letter), None) if switch(letter) => Some(entry),
            _ => None,
        }
    }

    /// Whether there is no entry.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    pub fn tag(&self, entry: usize) -> String {
        self.entries
            .get(entry)
            .map_or_else(String::new, |l| l.tag.clone())
    }

    /// Tag and entry of a symbol, and the doubt where its marks, or a mark and its block, disagree.
    pub fn of_symbol(&self, symbol: &Symbol) -> (Option<String>, Option<usize>, Option<Doubt>) {
        // One attribute may stand twice, or empty before the one that is filled in.
        let filled = |name: &str| {
            let named = (symbol.attribs.iter()).filter(|a| a.tag.trim().eq_ignore_ascii_case(name));
            let mut texts = named.map(|a| a.text.trim()).filter(|text| !text.is_empty());
            let first = texts.next()?;
            Some((first, texts.find(|other| !other.eq_ignore_ascii_case(first))))
        };
        let (mark, twice) = MARKS.iter().find_map(|name| filled(name)).unzip();
        let twice = (mark.zip(twice.flatten())).map(|(one, other)| {
            Doubt::Conflict(format!(
                "marked {one}, and {other} by the same attribute: {one} is taken"
            ))
        });
        let by_mark = mark.and_then(|m| self.entry(m));
        let by_attrib = || symbol.attribs.iter().find_map(|a| self.entry(&a.text));
        let by_block = self.by_block(symbol);
        if let Some(entry) = by_mark.or_else(by_attrib) {
            let tag = self.tag(entry);
            let block = by_block
                .filter(|&other| other != entry && self.telling(other, symbol))
                .map(|other| {
                    let (block, other) = (&symbol.true_name, self.tag(other));
                    Doubt::Conflict(format!(
                        "marked {tag}, and {other} by the block {block}: {tag} is taken"
                    ))
                });
            return (Some(tag), Some(entry), twice.or(block));
        }
        let mark = mark.map(str::to_string);
        let Some(entry) = by_block else {
            return (mark, None, twice);
        };
        let doubt = mark.map(|m| {
            Doubt::Unknown(format!(
                "mark {m} has no schedule entry; the light is taken as {} by its block {}",
                self.tag(entry),
                symbol.true_name
            ))
        });
        (Some(self.tag(entry)), Some(entry), doubt)
    }

    fn named(&self, entry: usize, symbol: &Symbol) -> bool {
        let names = [&*symbol.true_name, &*symbol.block];
        names.iter().any(|n| self.blocks[entry].block_matches(n))
    }

    /// Whether a block's name says an entry for certain: one letter in it may mean anything.
    fn telling(&self, entry: usize, symbol: &Symbol) -> bool {
        self.named(entry, symbol) || self.tag(entry).trim().chars().count() > 1
    }

    fn by_block(&self, symbol: &Symbol) -> Option<usize> {
        let names = [&*symbol.true_name, &*symbol.block];
        let named = |entry: usize| self.named(entry, symbol);
        let worded = |entry: &Luminaire| {
            // A pasted block is called `A$C` and a number: that is no type A.
            let mut telling = names.iter().filter(|n| !n.to_uppercase().starts_with("A$C"));
            !entry.tag.is_empty() && telling.any(|n| holds_word(n, entry.tag.trim()))
        };
        (0..self.entries.len())
            .find(|&e| named(e))
            .or_else(|| self.entries.iter().position(worded))
    }
}

/// Whether `word` stands in `name` with no letter or digit beside it, whatever the case.
pub fn holds_word(name: &str, word: &str) -> bool {
    let (name, word) = (name.to_uppercase(), word.to_uppercase());
    if word.is_empty() {
        return false;
    }
    name.match_indices(&word).any(|(at, found)| {
        let before = name[..at].chars().next_back();
        let after = name[at + found.len()..].chars().next();
        !before.is_some_and(char::is_alphanumeric) && !after.is_some_and(char::is_alphanumeric)
    })
}
