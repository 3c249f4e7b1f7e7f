//! How much a name says by itself.

use super::super::classes::Why;
use crate::rules::{base_name, folded, last_part};

/// What kind of name decided, the strongest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Says {
    /// A pattern or luminaire of the rules file: the user's own word.
    Rules,
    /// A group of a layer standard: the US National CAD Standard, ISO 13567.
    Code,
    /// A word of the trade that hardly means anything else.
    Word,
    /// An abbreviation, or a word that also means other things.
    Shared,
}

/// The least of a name's weights (all common practice).
const SHARED: f64 = 0.65;
const WORD: f64 = 0.80;
const CODE: f64 = 0.90;

impl Says {
    /// Confidence from 0 to 1 by the name alone.
    pub fn weight(self) -> f64 {
        match self {
            Says::Rules => 1.0,
            Says::Code => CODE,
            Says::Word => WORD,
            Says::Shared => SHARED,
        }
    }

    /// In words; nothing of the rules and of a plain word, whose reason says it.
    pub fn said(self) -> Option<&'static str> {
        match self {
            Says::Rules | Says::Word => None,
            Says::Code => Some("a code of a layer standard"),
            Says::Shared => Some("short, or said of other things too"),
        }
    }
}

/// Major and minor groups of the National CAD Standard among the built-in words, from memory.
const GROUPS: [&str; 20] = [
    "LITE", "JOIS", "TRUS", "BEAM", "WALL", "PRTN", "AREA", "CDFF", "SPKL", "FURN", "PFIX", "SANR", "EQPM",
    "COLS", "GRID", "TTLB", "PLNT", "LEGN", "TREE", "DUCT",
];
/// Its discipline designators, of which one opens such a name, from memory.
const DISCIPLINES: &str = "ABCDEFGHILMOPQRSTVWXZ";
/// Words of four letters and less that hardly mean anything else on a plan.
const PLAIN: [&str; 12] = [
    "BEAM", "WALL", "ROOM", "DUCT", "SOFA", "SINK", "MURO", "MUR", "VIGA", "LUZ", "SILL", "CAMA",
];
/// Longer words that also mean other things: light colours and line weights, window lights and headers of
/// tables, spaces of title blocks, registers, scissors, spots, folders (from memory).
const MANY_MEANINGS: [&str; 55] = [
    "LIGHT",
    "LITES",
    "LTNG",
    "RECESSED",
    "RECESS",
    "WAFER",
    "HVAC",
    "HEADER",
    "HEADERS",
    "AREA",
    "AREAS",
    "SPACE",
    "SPACES",
    "GRILLE",
    "GRILLES",
    "REGISTER",
    "REGISTERS",
    "SMOKE",
    "SPEAKER",
    "SPEAKERS",
    "TABLE",
    "PLANT",
    "BORDER",
    "COLUMN",
    "COLUMNS",
    "RANGE",
    "NORTH",
    "LEGEND",
    "TREES",
    "FOCO",
    "FOCOS",
    "SPOTS",
    "EMPOTRADOS",
    "EMPOTRADAS",
    "ENCASTRES",
    "EMBUTIDOS",
    "EMBUTIDAS",
    "LICHT",
    "*STRAHLER",
    "VERGA",
    "VERGAS",
    "BINDER",
    "STURZ",
    "PANNES",
    "FERMES",
    "TESOURA",
    "TESOURAS",
    "SALAS",
    "PIECES",
    "CHAMBRES",
    "ESPACES",
    "ESPACIO",
    "ESPACIOS",
    "ESPACO",
    "ESPACOS",
];

/// What kind of name gives the reason.
pub fn says(why: Why<'_>, name: &str) -> Option<Says> {
    match why {
        Why::Nothing => None,
        Why::Pattern(_) | Why::Luminaire(_) => Some(Says::Rules),
        Why::Word(entry) if entry.starts_with('#') || is_group(entry, name) => Some(Says::Code),
        Why::Word(entry) if is_short(entry) || MANY_MEANINGS.contains(&entry) => Some(Says::Shared),
        Why::Word(_) => Some(Says::Word),
    }
}

/// Whether a word stands as a group of four letters after a discipline: `A-CLNG-LITE`.
fn is_group(entry: &str, name: &str) -> bool {
    let name = folded(base_name(last_part(name.trim())));
    let mut fields = name.split('-');
    let discipline = fields.next().unwrap_or_default();
    let known = discipline.starts_with(|c| DISCIPLINES.contains(c))
        && discipline.len() <= 2
        && discipline.chars().all(|c| c.is_ascii_alphabetic());
    known && GROUPS.contains(&entry) && fields.any(|field| field == entry)
}

/// Four letters and less, or a single sign where signs are words.
fn is_short(entry: &str) -> bool {
    let bare = entry.replace('*', "");
    let most = if bare.is_ascii() { 4 } else { 1 };
    bare.chars().count() <= most && !PLAIN.contains(&bare.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Names by the National CAD Standard and ISO 13567 outweigh words, words abbreviations (common practice).
    #[test]
    fn names_by_a_standard_say_most_and_abbreviations_least() {
        let says = |entry, name| says(Why::Word(entry), name);
        for (entry, name) in [
            ("LITE", "E-LITE-CLNG"),
            ("LITE", "A-CLNG-LITE"),
            ("WALL", "x$0$A-WALL-FULL"),
            ("#63", "E-63----E-"),
        ] {
            assert_eq!(says(entry, name), Some(Says::Code), "{name}");
        }
        for (entry, name) in [
            ("LIGHTING", "LIGHTING"),
            ("JOISTS", "S-JOISTS"),
            ("BEAM", "ROOF BEAM"),
            ("*BALKEN", "DECKENBALKEN"),
            ("*筒灯*", "筒灯"),
        ] {
            assert_eq!(says(entry, name), Some(Says::Word), "{name}");
        }
        for (entry, name) in [
            ("LITE", "LITE"),
            ("CAN", "LT-CAN-6"),
            ("HEADER", "A-HEADER"),
            ("LIGHT", "LIGHT"),
            ("室", "室"),
        ] {
            assert_eq!(says(entry, name), Some(Says::Shared), "{name}");
        }
        assert_eq!(super::says(Why::Pattern("X*"), "X"), Some(Says::Rules));
        assert_eq!(super::says(Why::Nothing, "0"), None);
    }
}
