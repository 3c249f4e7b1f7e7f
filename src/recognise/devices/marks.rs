//! Letters by which a ceiling device is marked on a plan: in its symbol or in an attribute of it.
//!
//! Letters as drafters use them on house plans (common practice; those of alarms follow the symbols of
//! NFPA 170, from memory). A mark is a whole text, a number behind it aside: `SD`, `S/CO`, `EF-1`, `100 CFM`.

use std::ops::RangeInclusive;

use crate::flatten::Symbol;
use crate::rules::folded;

/// What some letters mark.
#[derive(Debug, PartialEq)]
pub struct Mark {
    letters: &'static [&'static str],
    /// The device, in words of a finding.
    pub kind: &'static str,
    /// Whether a house plan uses these letters for nothing else: CO is a cleanout too, HD a hold-down, AP an
    /// access point, S a switch.
    pub sure: bool,
    /// The symbol's longer side, inches.
    pub across: RangeInclusive<f64>,
}

const MARKS: [Mark; 14] = [
    Mark {
        letters: &["S/CO", "SD/CO", "CO/SD", "CO/S", "SMOKE/CO", "CO/SMOKE"],
        kind: "smoke and carbon monoxide alarm",
        sure: true,
        across: 3.0..=24.0,
    },
    Mark {
        letters: &["SD", "S/D", "SMOKE"],
        kind: "smoke alarm",
        sure: true,
        across: 3.0..=24.0,
    },
    Mark {
        letters: &["S", "SM"],
        kind: "smoke alarm",
        sure: false,
        across: 3.0..=24.0,
    },
    Mark {
        letters: &["CO"],
        kind: "carbon monoxide alarm",
        sure: false,
        across: 3.0..=24.0,
    },
    Mark {
        letters: &["H/D"],
        kind: "heat detector",
        sure: true,
        across: 3.0..=24.0,
    },
    Mark {
        letters: &["HD"],
        kind: "heat detector",
        sure: false,
        across: 3.0..=24.0,
    },
    Mark {
        letters: &["EF", "EXH"],
        kind: "exhaust fan",
        sure: true,
        across: 5.0..=36.0,
    },
    Mark {
        letters: &["FAN"],
        kind: "fan",
        sure: true,
        across: 5.0..=72.0,
    },
    Mark {
        letters: &["CF"],
        kind: "ceiling fan",
        sure: false,
        across: 12.0..=72.0,
    },
    Mark {
        letters: &["RA", "R/A"],
        kind: "return grille",
        sure: true,
        across: 6.0..=36.0,
    },
    Mark {
        letters: &["SA", "S/A", "CFM"],
        kind: "diffuser",
        sure: true,
        across: 4.0..=36.0,
    },
    Mark {
        letters: &["SPK", "SPKR", "SPEAKER"],
        kind: "speaker",
        sure: true,
        across: 4.0..=16.0,
    },
    Mark {
        letters: &["ATTIC", "ACCESS", "SCUTTLE"],
        kind: "access panel",
        sure: true,
        across: 12.0..=64.0,
    },
    Mark {
        letters: &["AP"],
        kind: "access panel",
        sure: false,
        across: 12.0..=64.0,
    },
];

/// Attributes that hold a device's mark (common drafting words). What else an attribute holds, such as a switch
/// or a circuit, marks nothing.
const TAGS: [&str; 9] = [
    "TAG", "TYPE", "MARK", "SYMBOL", "DEVICE", "LETTER", "LETTERS", "TEXT", "NAME",
];
/// Letters, not a word: an ATTIC is a room too.
const SHORT: usize = 4;
/// A mark is no sentence.
const MOST_WORDS: usize = 4;

/// The device that a whole text marks.
pub fn mark(text: &str) -> Option<&'static Mark> {
    let text = folded(text.trim()).replace('.', "").replace(" / ", "/");
    let words: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || c == '-')
        .filter(|w| !w.is_empty())
        .collect();
    if words.is_empty() || words.len() > MOST_WORDS {
        return None;
    }
    let mut found: Option<&Mark> = None;
    for word in &words {
        if is_number(word) {
            continue;
        }
        let this = MARKS.iter().find(|m| m.letters.contains(word))?;
        // Letters that may mean something else stand alone: S-1 is a sheet, CO-2 another thing.
        if !this.sure && words.len() > 1 {
            return None;
        }
        // A fan tells more than the air it moves.
        if found.is_none_or(|f| f.letters.contains(&"CFM")) {
            found = Some(this);
        } else if found != Some(this) && *word != "CFM" {
            return None;
        }
    }
    found
}

/// Whether a text is no more than the letters of a device, and so no room's name.
pub fn is_letters(text: &str) -> bool {
    (text.chars().count() <= SHORT || text.contains('/')) && mark(text).is_some()
}

/// A number or a size: `2`, `110V`, `22X30`, `12"`.
fn is_number(word: &str) -> bool {
    word.starts_with(|c: char| c.is_ascii_digit())
}

/// Whether a text says nothing against a device: a size, or nothing.
pub fn is_size(text: &str) -> bool {
    let text = text.trim();
    text.is_empty()
        || text
            .split_whitespace()
            .all(|w| is_number(w) || ["X", "x"].contains(&w))
}

/// The mark that a symbol's attributes hold.
pub fn of_attributes(symbol: &Symbol) -> Option<&'static Mark> {
    let mut held = symbol.attribs.iter().filter_map(|a| {
        let tag = folded(a.tag.trim());
        if tag == "CFM" && is_number(a.text.trim()) {
            return mark("CFM");
        }
        mark(&a.text).filter(|_| TAGS.contains(&&*tag))
    });
    let first = held.next()?;
    // Air is the least telling of them.
    Some(
        held.find(|m| !m.letters.contains(&"CFM"))
            .filter(|_| first.letters.contains(&"CFM"))
            .unwrap_or(first),
    )
}

#[cfg(test)]
mod tests {
    use super::{is_size, mark};

    /// Common practice; no standard fixes letters of houses.
    #[test]
    fn letters_of_devices() {
        for (text, kind, sure) in [
            ("SD", "smoke alarm", true),
            ("S.D.", "smoke alarm", true),
            ("sd", "smoke alarm", true),
            ("SD 110V", "smoke alarm", true),
            ("S", "smoke alarm", false),
            ("S/CO", "smoke and carbon monoxide alarm", true),
            ("SD / CO", "smoke and carbon monoxide alarm", true),
            ("CO", "carbon monoxide alarm", false),
            ("EF-1", "exhaust fan", true),
            ("EF 50 CFM", "exhaust fan", true),
            ("R/A", "return grille", true),
            ("100 CFM", "diffuser", true),
            ("22X30 ATTIC ACCESS", "access panel", true),
            ("ATTIC\nACCESS", "access panel", true),
        ] {
            let found = mark(text).map(|m| (m.kind, m.sure));
            assert_eq!(found, Some((kind, sure)), "{text}");
        }
        for text in [
            "",
            "A",
            "B",
            "S-1",
            "CO-2",
            "S3",
            "WC",
            "DW",
            "WP",
            "SDS",
            "SEE SD",
            "NO FAN",
            "SD EF",
            "12",
            "R6",
            "ACCESS TO ATTIC FROM HALL",
            "FD",
            "T",
            "J",
        ] {
            assert!(mark(text).is_none(), "{text}");
        }
        assert!(is_size("12x12") && is_size("8\" X 8\"") && is_size("") && !is_size("DW"));
    }
}
