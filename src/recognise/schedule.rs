//! Which schedule entry a symbol means: by attribute, block name, or tag in the block's name.

use crate::flatten::Symbol;
use crate::rules::{Luminaire, Patterns, Rules};

/// Attribute tags that hold a type mark, most telling first (common drafting words).
const MARKS: [&str; 6] = ["TAG", "TYPE", "MARK", "FIXTURE", "LUMINAIRE", "TYPEMARK"];

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

    pub fn tag(&self, entry: usize) -> String {
        self.entries
            .get(entry)
            .map_or_else(String::new, |l| l.tag.clone())
    }

    /// Tag and entry of a symbol, and a sentence of doubt where its mark and its block disagree.
    pub fn of_symbol(&self, symbol: &Symbol) -> (Option<String>, Option<usize>, Option<String>) {
        // One attribute may stand twice, or empty before the one that is filled in.
        let filled = |name: &str| {
            let mut named = symbol
                .attribs
                .iter()
                .filter(|a| a.tag.trim().eq_ignore_ascii_case(name));
            named.find(|a| !a.text.trim().is_empty())
        };
        let mark = MARKS
            .iter()
            .find_map(|name| filled(name))
            .map(|a| a.text.trim().to_string());
        let by_mark = mark.as_deref().and_then(|m| self.entry(m));
        let by_attrib = || symbol.attribs.iter().find_map(|a| self.entry(&a.text));
        if let Some(entry) = by_mark.or_else(by_attrib) {
            return (Some(self.tag(entry)), Some(entry), None);
        }
        let Some(entry) = self.by_block(symbol) else {
            return (mark, None, None);
        };
        let doubt = mark.map(|m| {
            format!(
                "mark {m} has no schedule entry; the light is taken as {} by its block {}",
                self.tag(entry),
                symbol.true_name
            )
        });
        (Some(self.tag(entry)), Some(entry), doubt)
    }

    fn by_block(&self, symbol: &Symbol) -> Option<usize> {
        let names = [&*symbol.true_name, &*symbol.block];
        let named = |entry: usize| names.iter().any(|n| self.blocks[entry].block_matches(n));
        let worded = |entry: &Luminaire| {
            !entry.tag.is_empty() && names.iter().any(|n| holds_word(n, entry.tag.trim()))
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
