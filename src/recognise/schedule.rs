//! Which schedule entry a symbol means: by attribute, block name, or tag in the block's name.

use std::borrow::Cow;

use crate::flatten::Symbol;
use crate::rules::{Luminaire, Patterns, Rules};

/// Attribute tags that hold a type mark, most telling first (common drafting words).
const MARKS: [&str; 20] = [
    "TAG",
    "TYPE",
    "MARK",
    "FIXTURE",
    "LUMINAIRE",
    "TYPEMARK",
    "TYPE_MARK",
    "FIXTURE_TYPE",
    "FIXTURETYPE",
    "FIXT_TYPE",
    "FIXT",
    "LUMINAIRE_TYPE",
    "LIGHT_TYPE",
    "TYP",
    "LTR",
    "MK",
    "SYM",
    "SYMBOL",
    "KEY",
    "NAME",
];
/// Those from here on hold other things as often: only what is written as a type is one.
const OFTEN_OTHER: usize = 13;

/// Attributes that hold other things of a room, though a light's own may be called so (common drafting words).
const OF_ROOMS: [&str; 7] = ["NO", "NUMBER", "ROOM", "NAME", "HEIGHT", "CLG", "QTY"];
/// Attributes that hold other things of a light (common drafting words).
const NO_MARKS: [&str; 27] = [
    "SWITCH",
    "SW",
    "CKT",
    "CIRCUIT",
    "CIR",
    "CCT",
    "PANEL",
    "WATTS",
    "WATT",
    "WATTAGE",
    "W",
    "VA",
    "LAMP",
    "LAMPS",
    "LAMPTYPE",
    "LAMP_TYPE",
    "BULB",
    "VOLT",
    "VOLTS",
    "VOLTAGE",
    "CCTEMP",
    "CONTROL",
    "ZONE",
    "DIMMER",
    "MOUNT",
    "MOUNTING",
    "PHASE",
];
/// What may stand behind a mark and says nothing of its type: wet places, dimmed, on the emergency circuit, a night
/// light (common practice).
const BEHIND: [&str; 20] = [
    "WP", "WL", "WET", "DAMP", "DIM", "DIMMED", "DIMMER", "EM", "EMERG", "NL", "GFI", "GFCI", "IC", "LED",
    "UNO", "U.N.O", "U.N.O.", "NEW", "REL", "ADJ",
];
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
    entries: Cow<'a, [Luminaire]>,
    /// So many are the rules'; those behind them a drawn schedule explains otherwise.
    listed: usize,
    blocks: Vec<Patterns>,
}

impl<'a> Schedule<'a> {
    pub fn new(rules: &'a Rules) -> Self {
        let blocks = rules
            .luminaires
            .iter()
            .map(|l| Patterns {
                blocks: l.blocks.clone(),
                given: true,
                ..Patterns::default()
            })
            .collect();
        Schedule {
            entries: Cow::Borrowed(&rules.luminaires),
            listed: rules.luminaires.len(),
            blocks,
        }
    }

    /// The same, with the marks that a drawn schedule explains otherwise behind the rules' entries, in their order.
    pub fn with_explained(rules: &'a Rules) -> Self {
        let mut schedule = Schedule::new(rules);
        let more =
            (rules.explained.iter()).map(|e| Luminaire::of_aperture(&e.tag, Luminaire::default().aperture));
        if !rules.explained.is_empty() {
            schedule.entries.to_mut().extend(more);
            let none = || Patterns {
                given: true,
                ..Patterns::default()
            };
            schedule.blocks.resize_with(schedule.entries.len(), none);
        }
        schedule
    }

    /// Which of the marks that a drawn schedule explains otherwise an entry is.
    pub fn explained(&self, entry: usize) -> Option<usize> {
        entry.checked_sub(self.listed)
    }

    /// Whether no entry is one of the rules'.
    pub fn lists_none(&self) -> bool {
        self.listed == 0
    }

    /// The entry whose tag this text is.
    pub fn entry(&self, text: &str) -> Option<usize> {
        let text = text.trim();
        self.entries
            .iter()
            .position(|l| !l.tag.is_empty() && l.tag.trim().eq_ignore_ascii_case(text))
    }

    /// The entry of a text that no circuit and no keynote has: figures alone may be of anything.
    pub fn lettered(&self, text: &str) -> Option<usize> {
        self.entry(text).filter(|_| !is_figures(text))
    }

    /// The entry whose tag is figures, and this text too.
    pub fn figures(&self, text: &str) -> Option<usize> {
        self.entry(text).filter(|_| is_figures(text))
    }

    /// Whether an attribute of a symbol is its mark: figures only where the attribute's tag says that it is one.
    pub fn marks(&self, symbol: &Symbol) -> bool {
        let mut all = symbol.attribs.iter();
        all.any(|a| self.lettered(&a.text).is_some() || is_mark(&a.tag) && self.entry(&a.text).is_some())
    }

    /// The entry a text beside a light names: its tag, with what is usual around it left off: `TYPE D1`, `D1 (TYP.)`,
    /// `D1/a` with the letter of its switch.
    pub fn mark(&self, text: &str) -> Option<usize> {
        if let Some(entry) = self.written(text) {
            return Some(entry);
        }
        if text.len() > LONGEST_MARK {
            return None;
        }
        let joined = || self.before_word(text).or_else(|| self.with_circuit(text));
        self.worded(text).or_else(joined).or_else(|| {
            // A letter and a dash may be the beginning of anything.
            let bare = text.trim().trim_matches(|c| SIGNS.contains(c)).trim();
            self.written(bare).filter(|_| bare.chars().count() > 1)
        })
    }

    /// Whether a text is a mark but for signs about it, and is not read as one: `R6?`, `A-`.
    pub fn nearly(&self, text: &str) -> bool {
        let bare = text
            .trim()
            .trim_matches(|c: char| c == '?' || SIGNS.contains(c))
            .trim();
        text.len() <= LONGEST_MARK && self.mark(text).is_none() && self.written(bare).is_some()
    }

    /// The entry whose tag a text beside a light is; none for figures alone. A small letter alone is a switch's, where the tag is a capital.
    fn written(&self, text: &str) -> Option<usize> {
        self.lettered(text).filter(|_| !self.is_switch_letter(text))
    }

    /// Whether a text is the small letter of a switch, and a type's but for its size.
    pub fn is_switch_letter(&self, text: &str) -> bool {
        let mut letters = text.trim().chars();
        let small = letters.next().is_some_and(char::is_lowercase) && letters.next().is_none();
        small && (self.entry(text)).is_some_and(|e| self.tag(e).trim() != text.trim())
    }

    /// The entry of words; figures count where the word TYPE stands before them.
    fn worded(&self, text: &str) -> Option<usize> {
        let words = text.split(|c: char| c.is_whitespace() || "/(),:=".contains(c));
        let mut words = words
            .filter(|w| !w.is_empty() && *w != "-")
            .filter(|w| !AROUND.contains(&w.to_uppercase().as_str()));
        let behind = |w: &&str| {
            let word = w.to_uppercase();
            BEHIND.contains(&word.as_str()) && self.entry(w).is_none()
        };
        let first = words.next()?;
        let said = text.trim().to_uppercase().starts_with("TYPE");
        let entry = match is_figures(first) {
            true => self.entry(first).filter(|_| said)?,
            false => self.written(first)?,
        };
        let switch =
            |w: &str| w.len() == 1 && w.chars().all(char::is_alphabetic) && self.written(w).is_none();
        let mut words = words.filter(|w| !behind(w));
        match (words.next(), words.next()) {
            (None, _) => Some(entry),
            (Some(letter), None) if switch(letter) => Some(entry),
            _ => None,
        }
    }

    /// The entry of a mark with a word behind it that says nothing of its type: `R1-EM`.
    fn before_word(&self, text: &str) -> Option<usize> {
        let (mark, word) = text.trim().rsplit_once('-')?;
        let behind =
            BEHIND.contains(&word.trim().to_uppercase().as_str()) && self.entry(word.trim()).is_none();
        self.written(mark.trim()).filter(|_| behind)
    }

    /// The entry of a mark of two characters and more with the small letter of a switch before it: `a R1`, `b/D2`.
    fn after_switch(&self, text: &str) -> Option<usize> {
        let (switch, mark) = text.trim().split_once([' ', '-', '/'])?;
        let mut letters = switch.chars();
        let small = letters.next().is_some_and(|c| c.is_ascii_lowercase()) && letters.next().is_none();
        let free = small && (self.entry(switch).is_none() || self.is_switch_letter(switch));
        let mark = mark.trim();
        self.written(mark).filter(|_| free && mark.chars().count() > 1)
    }

    /// The entry of a mark that has the number of a circuit behind it: `A-3`, `A/3`, `A3`, `A.1`, `A (3)`, `A-3b` with
    /// its switch, and `A-b`, or the letter of its switch before it (`b R6`). `None` where other types are the same letters and
    /// a number.
    pub fn with_circuit(&self, text: &str) -> Option<usize> {
        let text = text.trim();
        if let Some(entry) = self.after_switch(text) {
            return Some(entry);
        }
        let after = |tag: &str| {
            let tag = tag.trim();
            let (mark, rest) = text.split_at_checked(tag.len())?;
            if tag.is_empty()
                || is_figures(tag)
                || !mark.eq_ignore_ascii_case(tag)
                || self.is_switch_letter(mark)
            {
                return None;
            }
            let apart = !rest.starts_with(char::is_alphanumeric);
            let switch = || {
                let mut letters = rest.trim_start_matches(['-', ' ']).chars();
                apart && letters.next().is_some_and(char::is_lowercase) && letters.next().is_none()
            };
            let circuit = (apart || !tag.ends_with(|c: char| c.is_ascii_digit())) && is_circuit(rest);
            (circuit || switch()).then_some(tag.chars().count())
        };
        let (_, entry) = (self.entries.iter().enumerate())
            .filter_map(|(e, l)| Some((after(&l.tag)?, e)))
            .max()?;
        let tag = self.tag(entry).trim().to_uppercase();
        let numbered = |other: &Luminaire| {
            let other = other.tag.trim().to_uppercase();
            other.strip_prefix(&tag).is_some_and(is_circuit)
        };
        (!self.entries.iter().any(numbered)).then_some(entry)
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
            let often_other = MARKS.iter().position(|m| *m == name) >= Some(OFTEN_OTHER);
            let mut texts = (named.map(|a| a.text.trim()))
                .filter(|text| !text.is_empty() && (!often_other || reads_as_type(text)));
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
        let by_attrib = || {
            let mut told: Vec<(usize, usize)> = (symbol.attribs.iter())
                .filter_map(|a| Some((told_by(&a.tag, &a.text)?, self.lettered(&a.text)?)))
                .collect();
            told.sort_by_key(|t| t.0);
            let first = *told.first()?;
            let other = told.iter().find(|t| t.0 == first.0 && t.1 != first.1);
            let doubt = other.map(|other| {
                let (one, other) = (self.tag(first.1), self.tag(other.1));
                Doubt::Conflict(format!(
                    "marked {one} by one attribute, and {other} by another: {one} is taken"
                ))
            });
            Some((first.1, doubt))
        };
        let by_block = self.by_block(symbol);
        if let Some((entry, other)) = by_mark.map(|entry| (entry, None)).or_else(by_attrib) {
            let tag = self.tag(entry);
            let block = by_block
                .filter(|&other| other != entry && self.telling(other, symbol))
                .map(|other| {
                    let (block, other) = (&symbol.true_name, self.tag(other));
                    Doubt::Conflict(format!(
                        "marked {tag}, and {other} by the block {block}: {tag} is taken"
                    ))
                });
            return (Some(tag), Some(entry), twice.or(other).or(block));
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
            !entry.tag.is_empty()
                && !is_figures(&entry.tag)
                && telling.any(|n| holds_word(n, entry.tag.trim()))
        };
        (0..self.entries.len()).find(|&e| named(e)).or_else(|| {
            // One letter in a block's name is too little to make a recessed light something else.
            let sure = |&(e, l): &(usize, &Luminaire)| {
                self.explained(e).is_none() || l.tag.trim().chars().count() > 1
            };
            let mut entries = self.entries.iter().enumerate().filter(sure);
            entries.find(|(_, l)| worded(l)).map(|(e, _)| e)
        })
    }
}

/// Whether a mark is figures and nothing else, as those of circuits and keynotes are.
pub fn is_figures(mark: &str) -> bool {
    let mark = mark.trim();
    !mark.is_empty() && mark.chars().all(|c| c.is_ascii_digit())
}

/// How telling an attribute's tag is, 0 most: `FIXTYPE` and `LTG_TAG` before `A1`; `None` where it holds other things.
pub fn telling(tag: &str) -> Option<usize> {
    let tag = tag.trim().to_uppercase();
    if let Some(place) = MARKS[..OFTEN_OTHER].iter().position(|m| *m == tag) {
        return Some(place);
    }
    if NO_MARKS.contains(&&*tag) || OF_ROOMS.contains(&&*tag) {
        return None;
    }
    let speaks = ["TYPE", "MARK", "TAG", "FIXT", "LUM"]
        .iter()
        .any(|w| tag.contains(w));
    Some(MARKS.len() + usize::from(!speaks))
}

/// The same of the symbol of a light. What is called a lamp or a circuit may be its mark all the same, unless it is a
/// letter alone, as panels and switches have.
fn told_by(tag: &str, text: &str) -> Option<usize> {
    let of_rooms = OF_ROOMS.iter().any(|w| tag.trim().eq_ignore_ascii_case(w));
    let letter = text.trim().chars().count() < 2;
    telling(tag)
        .or(of_rooms.then_some(MARKS.len() + 2))
        .or((!letter).then_some(MARKS.len() + 3))
}

/// Whether an attribute holds a type mark.
pub fn is_mark(tag: &str) -> bool {
    MARKS[..OFTEN_OTHER]
        .iter()
        .any(|m| tag.trim().eq_ignore_ascii_case(m))
}

/// Whether a text is written as types are: `A`, `R6`, `DL2A`.
fn reads_as_type(text: &str) -> bool {
    let first = text.starts_with(|c: char| c.is_ascii_uppercase());
    first && text.len() <= 4 && (text.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit()))
}

/// Signs about a mark that say nothing of it: a frame in letters, a star that leads to a note.
const SIGNS: &str = "[]{}<>#*.-";

/// Whether what follows a mark is the number of a circuit: up to two figures, a switch's letter behind them aside.
pub fn is_circuit(rest: &str) -> bool {
    let rest = rest.trim_matches(|c: char| c.is_whitespace() || "-/.,:#()[]".contains(c));
    let figures = rest
        .strip_suffix(|c: char| c.is_ascii_alphabetic())
        .unwrap_or(rest);
    (1..=2).contains(&figures.len()) && figures.chars().all(|c| c.is_ascii_digit())
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

#[cfg(test)]
mod tests;
