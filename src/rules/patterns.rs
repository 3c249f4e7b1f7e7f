//! Which layer and block names belong to a class.
//!
//! Two kinds of entries, told apart by [`Patterns::given`]. The user's are globs (`*` any run,
//! `?` one character, `[a-c]` and `[!a-c]` one of a set) over the whole name. The built-in ones
//! are trade *words*: a name is cut into words and an entry matches where its words stand in it in
//! sequence, so `CAN` is found in `LT-CAN-6` and not in `SCANNER`. `*` stands for the rest of a word, as in
//! `*BALKEN` (German joins words) and `*筒灯*` (Chinese, Japanese and Korean do not part them). `#63` is the
//! element of a layer named by ISO 13567, `#WRITING` one whose presentation is writing. An entry that begins
//! with `!` keeps a name out, and one that begins with `+` is stronger: its words are done with before the others
//! are asked, so that `+WALL WASHER` is a light though `!WALL` keeps lights out. One that begins with `=` is the
//! whole name, a discipline's letter in front aside: `=RIM` is `S-RIM` and not `RIM LIGHT`. `A~B` is A and further on B, which A
//! tells more of: `FRAMING~WALLS` is `2X4 FRAMING WALLS` and not `FRAMING AND WALLS`. Accents do not count. Either way
//! letter case does not count, and only the last part of `xref$0$layer` and `xref|layer`, and the base of
//! `layer @ 1`, is looked at.

use unicode_normalization::UnicodeNormalization;

use super::folded;
use super::iso13567::{Coded, coded};

/// Patterns as written, and whether they came from the user (then they alone decide).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Patterns {
    pub layers: Vec<String>,
    pub blocks: Vec<String>,
    pub given: bool,
    /// The user's globs beside what the others say.
    pub more_layers: Vec<String>,
    pub more_blocks: Vec<String>,
}

impl Patterns {
    /// Whether a layer's name matches one of `layers` or `more_layers`.
    pub fn layer_matches(&self, name: &str) -> bool {
        first(&self.more_layers, name).is_some() || self.matches(&self.layers, name)
    }

    /// Whether a block's name matches one of `blocks` or `more_blocks`.
    pub fn block_matches(&self, name: &str) -> bool {
        first(&self.more_blocks, name).is_some() || self.matches(&self.blocks, name)
    }

    /// The first pattern or word that makes a layer's name match.
    pub fn layer_reason(&self, name: &str) -> Option<&str> {
        first(&self.more_layers, name).or_else(|| self.reason(&self.layers, name))
    }

    /// The first pattern or word that makes a block's name match.
    pub fn block_reason(&self, name: &str) -> Option<&str> {
        first(&self.more_blocks, name).or_else(|| self.reason(&self.blocks, name))
    }

    /// The first of the user's patterns that a layer's name matches.
    pub fn layer_ruled(&self, name: &str) -> Option<&str> {
        let own = self.given.then(|| self.reason(&self.layers, name)).flatten();
        own.or_else(|| first(&self.more_layers, name))
    }

    /// The first of the user's patterns that a block's name matches.
    pub fn block_ruled(&self, name: &str) -> Option<&str> {
        let own = self.given.then(|| self.reason(&self.blocks, name)).flatten();
        own.or_else(|| first(&self.more_blocks, name))
    }

    /// Every pattern of the user's for layers.
    pub fn ruled_layers(&self) -> impl Iterator<Item = &String> {
        let own = if self.given { &self.layers[..] } else { &[] };
        own.iter().chain(&self.more_layers)
    }

    /// Every pattern of the user's for blocks.
    pub fn ruled_blocks(&self) -> impl Iterator<Item = &String> {
        let own = if self.given { &self.blocks[..] } else { &[] };
        own.iter().chain(&self.more_blocks)
    }

    fn reason<'a>(&self, entries: &'a [String], name: &str) -> Option<&'a str> {
        if !self.matches(entries, name) {
            return None;
        }
        let cut = Cut::new(name);
        let alone = |entry: &&String| match self.given {
            true => glob_matches(entry, name),
            false => cut.holds(entry.strip_prefix('+').unwrap_or(entry)),
        };
        entries.iter().find(alone).map(String::as_str)
    }

    /// Whether a built-in word says that a block is *not* of this class, whatever layer it stands
    /// on: a `SWITCH` or a `PENDANT` on the lighting layer is no recessed light.
    pub fn block_excluded(&self, name: &str) -> bool {
        !self.given
            && first(&self.more_blocks, name).is_none()
            && words_match(&self.blocks, name) == Verdict::Excluded
    }

    /// Whether a built-in word says that a layer is *not* of this class.
    pub fn layer_excluded(&self, name: &str) -> bool {
        !self.given
            && first(&self.more_layers, name).is_none()
            && words_match(&self.layers, name) == Verdict::Excluded
    }

    fn matches(&self, entries: &[String], name: &str) -> bool {
        if self.given {
            entries.iter().any(|p| glob_matches(p, name))
        } else {
            words_match(entries, name) == Verdict::Matches
        }
    }
}

/// The first of some globs that a name matches.
fn first<'a>(globs: &'a [String], name: &str) -> Option<&'a str> {
    globs.iter().find(|p| glob_matches(p, name)).map(String::as_str)
}

/// Whether the user's glob matches a layer or block name. A pattern that itself holds `|`, `$0$`
/// or ` @ ` is held against the name as it stands, others against its last part's base.
pub fn glob_matches(pattern: &str, name: &str) -> bool {
    let pattern: Vec<char> = pattern.trim().chars().flat_map(char::to_uppercase).collect();
    let fold = |s: &str| s.chars().flat_map(char::to_uppercase).collect::<Vec<char>>();
    let whole = name.trim();
    let part = last_part(whole);
    let base = base_name(part);
    if glob(&pattern, &fold(base)) || (base.len() < part.len() && glob(&pattern, &fold(part))) {
        return true;
    }
    let written = pattern.iter().collect::<String>();
    part.len() < whole.len() && last_part(&written).len() < written.len() && glob(&pattern, &fold(whole))
}

/// The pattern that matches this name and, letter case aside, no other.
pub fn exactly(name: &str) -> String {
    let mut pattern = String::new();
    for c in name.trim().chars() {
        match c {
            '*' | '?' | '[' => pattern.extend(['[', c, ']']),
            c => pattern.push(c),
        }
    }
    pattern
}

/// What is wrong with a user's pattern, if anything.
pub fn glob_fault(pattern: &str) -> Option<&'static str> {
    if pattern.trim().is_empty() {
        return Some("an empty pattern matches nothing");
    }
    let chars: Vec<char> = pattern.trim().chars().collect();
    let mut at = 0;
    while let Some(&c) = chars.get(at) {
        if c == '[' {
            match class_end(&chars, at) {
                Some(end) => at = end,
                None => return Some("a `[` without its `]`"),
            }
        }
        at += 1;
    }
    None
}

/// The part after the last `|` or `$n$` of a name that an external reference brought in.
pub fn last_part(name: &str) -> &str {
    let name = name.rsplit('|').next().unwrap_or(name);
    // Look for the last `$digits$`.
    let mut start = 0;
    let mut search = 0;
    while let Some(first) = name[search..].find('$').map(|i| i + search) {
        let after = &name[first + 1..];
        let digits = after.bytes().take_while(u8::is_ascii_digit).count();
        if digits > 0 && after[digits..].starts_with('$') {
            start = first + digits + 2;
            search = start;
        } else {
            search = first + 1;
        }
    }
    if start < name.len() { &name[start..] } else { name }
}

/// `layer @ 1` without the number that an import appended.
pub fn base_name(name: &str) -> &str {
    match name.rsplit_once('@') {
        Some((base, number))
            if !base.trim().is_empty()
                && !number.trim().is_empty()
                && number.trim().bytes().all(|b| b.is_ascii_digit()) =>
        {
            base.trim_end()
        }
        _ => name,
    }
}

/// Words between two things, of which the first does not tell more of the second.
const PARTING: [&str; 14] = [
    "AND", "N", "OR", "OVER", "ABOVE", "ON", "AT", "IN", "TO", "BELOW", "UNDER", "BY", "WITHOUT", "NO",
];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Verdict {
    Matches,
    Excluded,
    Silent,
}

fn words_match(entries: &[String], name: &str) -> Verdict {
    let mut name = Cut::new(name);
    let mut verdict = Verdict::Silent;
    for entry in entries.iter().filter_map(|e| e.strip_prefix('+')) {
        if name.take(entry) {
            verdict = Verdict::Matches;
        }
    }
    for entry in entries.iter().filter(|e| !e.starts_with('+')) {
        match entry.strip_prefix('!') {
            Some(entry) if name.holds(entry) => return Verdict::Excluded,
            None if verdict == Verdict::Silent && name.holds(entry) => verdict = Verdict::Matches,
            _ => {}
        }
    }
    verdict
}

/// A name ready to be asked for built-in words.
struct Cut<'a> {
    words: Vec<String>,
    /// The name lists several things: `FRAMING & WALLS`.
    several: bool,
    coded: Option<Coded<'a>>,
}

impl<'a> Cut<'a> {
    fn new(name: &'a str) -> Self {
        let name = base_name(last_part(name.trim()));
        Cut {
            words: words(name),
            several: name.contains(['&', '+', '/', ',']),
            coded: coded(name),
        }
    }

    /// Whether an entry's words stand in the name in sequence, or its element number does.
    fn holds(&self, entry: &str) -> bool {
        if let Some(code) = entry.strip_prefix('#') {
            let says = |c: &Coded| match code {
                "WRITING" => c.writing,
                number => c.element.starts_with(number) && c.element.bytes().all(|b| b.is_ascii_digit()),
            };
            return self.coded.as_ref().is_some_and(says);
        }
        if let Some(whole) = entry.strip_prefix('=') {
            let all = &self.words[..];
            let own = match all {
                [first, rest @ ..] if first.len() == 1 && !rest.is_empty() => rest,
                _ => all,
            };
            let is = |words: &[String]| words.iter().map(String::as_str).eq(whole.split(' '));
            return is(own) || is(all);
        }
        if let Some((attribute, head)) = entry.split_once('~') {
            return !self.several && self.heads(attribute, head);
        }
        if !entry.contains(' ') {
            return self.words.iter().any(|word| is_word(entry, word));
        }
        self.at(entry).is_some()
    }

    /// Whether a word stands before another that it tells more of: no word that parts the two stands between them.
    fn heads(&self, attribute: &str, head: &str) -> bool {
        let Some(from) = self.words.iter().position(|w| w == attribute) else {
            return false;
        };
        let after = self.words.iter().skip(from + 1);
        let between = after.take_while(|w| !PARTING.contains(&w.as_str()));
        between.into_iter().any(|w| w == head)
    }

    /// Where an entry's words stand in the name in sequence.
    fn at(&self, entry: &str) -> Option<std::ops::Range<usize>> {
        let count = entry.split(' ').count();
        let stands = |run: &[String]| run.iter().zip(entry.split(' ')).all(|(w, e)| is_word(e, w));
        let from = self.words.windows(count).position(stands)?;
        Some(from..from + count)
    }

    /// Takes an entry's words out of the name; whether they stood in it.
    fn take(&mut self, entry: &str) -> bool {
        let at = self.at(entry);
        if let Some(at) = &at {
            self.words.drain(at.clone());
        }
        at.is_some()
    }
}

/// `*` at the start or the end of an entry stands for the rest of the word.
fn is_word(entry: &str, word: &str) -> bool {
    match (entry.strip_prefix('*'), entry.strip_suffix('*')) {
        (None, None) => entry == word,
        (Some(end), None) => word.ends_with(end),
        (None, Some(start)) => word.starts_with(start),
        (Some(part), Some(_)) => word.contains(part.strip_suffix('*').unwrap_or(part)),
    }
}

/// A built-in entry in words, as a reason.
pub fn said_word(entry: &str) -> String {
    let entry = entry.trim_start_matches(['+', '=']);
    match entry.strip_prefix('#') {
        Some(number) => format!("element {number} of ISO 13567 in its name"),
        None if entry.contains('*') => format!("{} within a word of its name", entry.replace('*', "")),
        None => format!("the word {entry} in its name"),
    }
}

/// Cuts a name into folded words: at anything not alphanumeric, between letters and digits, and where a
/// lower-case letter is followed by a capital (`RecessedCan6` gives three).
fn words(name: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let mut before: Option<char> = None;
    let mut end = |word: &mut String| {
        if !word.is_empty() {
            words.push(folded(word));
            word.clear();
        }
    };
    // Accents that stand as marks of their own are no ends of words, and full-width letters are letters.
    for c in name.nfkc() {
        let joined = match before {
            Some(b) => b.is_numeric() == c.is_numeric() && !(b.is_lowercase() && c.is_uppercase()),
            None => false,
        };
        if !(c.is_alphanumeric() && joined) {
            end(&mut word);
        }
        before = c.is_alphanumeric().then_some(c);
        word.extend(before);
    }
    end(&mut word);
    words
}

/// Linear-space wildcard match with one point to fall back to: no pattern makes it slow.
fn glob(pattern: &[char], name: &[char]) -> bool {
    let (mut p, mut n) = (0, 0);
    let mut star: Option<(usize, usize)> = None;
    while let Some(&c) = name.get(n) {
        let step = match pattern.get(p) {
            Some('*') => {
                star = Some((p, n));
                p += 1;
                continue;
            }
            Some('?') => Some(p + 1),
            Some('[') => match class_end(pattern, p) {
                Some(end) => in_class(&pattern[p + 1..end], c).then_some(end + 1),
                None => (c == '[').then_some(p + 1),
            },
            Some(&literal) => (literal == c).then_some(p + 1),
            None => None,
        };
        match (step, star) {
            (Some(next), _) => {
                p = next;
                n += 1;
            }
            (None, Some((at, from))) => {
                star = Some((at, from + 1));
                p = at + 1;
                n = from + 1;
            }
            (None, None) => return false,
        }
    }
    pattern[p..].iter().all(|&c| c == '*')
}

/// Index of the `]` that ends the class begun at `at`; a `]` that comes first is a member.
fn class_end(pattern: &[char], at: usize) -> Option<usize> {
    let mut first = at + 1;
    if pattern.get(first) == Some(&'!') {
        first += 1;
    }
    (first + 1..pattern.len()).find(|&i| pattern[i] == ']')
}

fn in_class(class: &[char], c: char) -> bool {
    let (not, class) = match class.split_first() {
        Some(('!', rest)) => (true, rest),
        _ => (false, class),
    };
    let mut at = 0;
    let mut found = false;
    while let Some(&low) = class.get(at) {
        match (class.get(at + 1), class.get(at + 2)) {
            (Some('-'), Some(&high)) => {
                found |= low <= c && c <= high;
                at += 3;
            }
            _ => {
                found |= low == c;
                at += 1;
            }
        }
    }
    found != not
}
