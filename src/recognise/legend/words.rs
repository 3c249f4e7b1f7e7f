//! Words of headings: what is a legend's or a light schedule's, and what only speaks of one.

use crate::rules::folded;

/// Words that alone make a heading a legend's (common practice; other languages from memory, folded).
const LEGENDS: [&str; 9] = [
    "LEGEND",
    "LEGENDS",
    "LEYENDA",
    "SIMBOLOGIA",
    "LEGENDE",
    "ZEICHENERKLARUNG",
    "LEGENDA",
    "SIMBOLOGIE",
    "NOMENCLATURE",
];
/// Words that do so alone, or where every other word is one of [`QUALIFIERS`]: a KEY PAD is no key.
const OTHERS: [&str; 10] = [
    "SYM", "SYMBOL", "SYMBOLS", "KEY", "SIMBOLOS", "SYMBOLE", "SYMBOLES", "SCHEDULE", "CUADRO", "QUADRO",
];
/// Words for tables, of lights where a light's word stands beside.
const TABLES: [&str; 8] = [
    "SCHEDULE", "CUADRO", "QUADRO", "TABLA", "TABELA", "TABELLE", "LISTE", "TABLEAU",
];
/// The same in one word with the light's, and where words are not told apart by spaces (from memory).
const LIGHT_TABLES: [&str; 9] = [
    "LEUCHTENLISTE",
    "LEUCHTENTABELLE",
    "LEUCHTENLEGENDE",
    "灯具表",
    "燈具表",
    "照明器具表",
    "器具表",
    "조명기구표",
    "등기구표",
];
const UNSPACED: [&str; 4] = ["图例", "圖例", "凡例", "범례"];
/// Words for lights (trade words; other languages from memory, folded).
const LIGHTS: [&str; 20] = [
    "LIGHT",
    "LIGHTS",
    "LIGHTING",
    "LUMINAIRE",
    "LUMINAIRES",
    "FIXTURE",
    "FIXTURES",
    "DOWNLIGHT",
    "DOWNLIGHTS",
    "LUMINARIA",
    "LUMINARIAS",
    "ILUMINACION",
    "ILUMINACAO",
    "LEUCHTE",
    "LEUCHTEN",
    "BELEUCHTUNG",
    "ECLAIRAGE",
    "LAMPARA",
    "LAMPARAS",
    "LAMPS",
];
/// Words for lights that head a table without a word for one.
const LISTS: [&str; 4] = ["FIXTURES", "LUMINAIRES", "LUMINARIAS", "LEUCHTEN"];
/// What may stand beside a word that makes no heading by itself.
const QUALIFIERS: [&str; 43] = [
    "SYMBOL",
    "SYMBOLS",
    "KEY",
    "SCHEDULE",
    "ELECTRICAL",
    "ELECTRIC",
    "ELEC",
    "POWER",
    "CEILING",
    "REFLECTED",
    "RCP",
    "PLAN",
    "RECESSED",
    "LED",
    "TYPE",
    "TYPES",
    "GENERAL",
    "TYPICAL",
    "DRAWING",
    "DEVICE",
    "DEVICES",
    "INTERIOR",
    "EXTERIOR",
    "FIRST",
    "SECOND",
    "THIRD",
    "MAIN",
    "UPPER",
    "LOWER",
    "FLOOR",
    "LEVEL",
    "NEW",
    "EXISTING",
    "AND",
    "OF",
    "TO",
    "THE",
    "DE",
    "DES",
    "DER",
    "LAS",
    "LOS",
    "Y",
];
/// Words of sentences that only speak of a legend.
const SENTENCE: [&str; 22] = [
    "SEE", "PER", "REFER", "FOR", "VERIFY", "SHALL", "ON", "IN", "AT", "WITH", "FROM", "THIS", "ALL", "NOT",
    "BY", "IS", "ARE", "VER", "VEA", "SIEHE", "VOIR", "AS",
];
/// Things whose legend or schedule holds no lights.
const THINGS: [&str; 18] = [
    "DOOR",
    "DOORS",
    "WINDOW",
    "WINDOWS",
    "FINISH",
    "FINISHES",
    "WALL",
    "WALLS",
    "PLUMBING",
    "MATERIAL",
    "MATERIALS",
    "HATCH",
    "KEYNOTE",
    "KEYNOTES",
    "NOTE",
    "NOTES",
    "PUERTAS",
    "VENTANAS",
];
/// A heading is no sentence.
const MOST_WORDS: usize = 6;
/// Letters of a heading without spaces.
const MOST_LETTERS: usize = 12;

/// Whether a line is the heading of a legend, or of a schedule that may show symbols of lights.
pub fn is_heading(line: &str) -> bool {
    let name = folded(line);
    let words = split(&name);
    if words.is_empty() || words.len() > MOST_WORDS || words.iter().any(|w| SENTENCE.contains(w)) {
        return false;
    }
    let of_lights = words.iter().any(|w| LIGHTS.contains(w));
    if words.iter().any(|w| THINGS.contains(w)) && !of_lights {
        return false;
    }
    let telling = |w: &&str| OTHERS.contains(w);
    let beside = |w: &&str| {
        let figures = w.chars().all(|c| c.is_ascii_digit());
        figures || LIGHTS.contains(w) || QUALIFIERS.contains(w) || OTHERS.contains(w)
    };
    words.iter().any(|w| LEGENDS.contains(w))
        || is_table(&name, &words)
        || (words.iter().any(telling) && words.iter().all(beside) && !names_a_plan(&words))
        || (UNSPACED.iter().any(|w| name.contains(w)) && name.chars().count() <= MOST_LETTERS)
}

/// Whether a line is the heading of a table of lights.
pub fn heads_lights(line: &str) -> bool {
    let name = folded(line);
    let words = split(&name);
    let sentence = words.iter().any(|w| SENTENCE.contains(w));
    let legend = || {
        let lights = words.iter().any(|w| LIGHTS.contains(w));
        lights && words.iter().any(|w| LEGENDS.contains(w))
    };
    (1..=MOST_WORDS).contains(&words.len()) && !sentence && (heads_a_table(line) || legend())
}

/// Whether it is a schedule's, and no legend's: `FIXTURES` alone may be one.
pub fn heads_a_table(line: &str) -> bool {
    let name = folded(line);
    let words = split(&name);
    let listed = words.last().is_some_and(|w| LISTS.contains(w)) && words.iter().all(|w| LIGHTS.contains(w));
    listed || is_table(&name, &words)
}

fn is_table(name: &str, words: &[&str]) -> bool {
    let lights = words.iter().any(|w| LIGHTS.contains(w)) && !words.contains(&"PLUMBING");
    (lights && words.iter().any(|w| TABLES.contains(w)))
        || (LIGHT_TABLES.iter().any(|w| name.contains(w)) && name.chars().count() <= 2 * MOST_LETTERS)
}

/// A key plan shows where a sheet's part of the building lies.
fn names_a_plan(words: &[&str]) -> bool {
    words.last() == Some(&"PLAN") && words.contains(&"KEY")
}

fn split(name: &str) -> Vec<&str> {
    name.split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect()
}

/// Whether a text is long enough to explain: a tag beside a light is shorter. A sign of Chinese, Japanese or
/// Korean says as much as several letters.
pub fn tells(text: &str) -> bool {
    let worth = |c: char| match c {
        c if !c.is_alphabetic() => 0,
        '\u{1100}'..='\u{11ff}' | '\u{2e80}'..='\u{d7ff}' | '\u{f900}'..='\u{faff}' => 3,
        _ => 1,
    };
    text.chars().map(worth).sum::<usize>() >= LETTERS
}

/// Letters that a tag does not have.
const LETTERS: usize = 5;

#[cfg(test)]
mod tests {
    use super::{heads_lights, is_heading};

    #[test]
    fn headings_and_what_only_speaks_of_one() {
        for text in [
            "LEGEND",
            "LIGHTING LEGEND",
            "ELECTRICAL LEGEND (CONT.)",
            "LIGHTING FIXTURE SCHEDULE",
            "FIXTURE SCHEDULE - FIRST FLOOR",
            "SYMBOL LEGEND",
            "Symbols:",
            "SYMBOLS KEY",
            "KEY",
            "SCHEDULE",
            "Légende",
            "图例",
            "Leyenda de luminarias",
            "CUADRO DE LUMINARIAS",
            "Leuchtenliste",
            "照明器具表",
        ] {
            assert!(is_heading(text), "{text}");
        }
        for text in [
            "KEYSTONE",
            "KEY PAD",
            "KEY PLAN",
            "KEYED NOTES",
            "KITCHEN",
            "DOWNLIGHT",
            "LIGHT FIXTURES",
            "DOOR SCHEDULE",
            "WINDOW LEGEND",
            "ROOM FINISH SCHEDULE",
            "PLUMBING FIXTURE LEGEND AND NOTES FOR ALL",
            "SEE FIXTURE SCHEDULE FOR TYPES",
            "SEE LIGHTING SCHEDULE",
            "SEE SCHEDULE E-601",
            "LEGEND ON SHEET E1",
            "SEE THE LIGHTING SCHEDULE ON SHEET E2 FOR TYPES",
            "R6",
            "",
        ] {
            assert!(!is_heading(text), "{text}");
        }
    }

    #[test]
    fn headings_of_tables_of_lights() {
        for text in [
            "LIGHT FIXTURE SCHEDULE",
            "LIGHT FIXTURE LEGEND",
            "FIXTURES",
            "Cuadro de luminarias",
            "灯具表",
        ] {
            assert!(heads_lights(text), "{text}");
        }
        for text in [
            "DOOR SCHEDULE",
            "SCHEDULE",
            "DOWNLIGHT",
            "PLUMBING FIXTURE SCHEDULE",
            "SEE FIXTURE SCHEDULE",
            "LEGEND",
        ] {
            assert!(!heads_lights(text), "{text}");
        }
    }
}
