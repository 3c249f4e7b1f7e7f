//! Titles of plans and of details, told from notes that speak of them.
//!
//! English: trade usage. The other languages are from memory, in the form that [`folded`] gives.

use std::collections::BTreeSet;

use geo::Coord;

use crate::flatten::{Item, Prim};
use crate::rules::folded;

mod shows;

pub use shows::{Shows, is_of_new_work, shows};

/// A title is no sentence.
const WORDS: usize = 8;
const LETTERS: usize = 20;
/// Words that alone make a title.
const PLANS: [&str; 9] = [
    "PLAN",
    "PLANS",
    "PLANTA",
    "PLANO",
    "GRUNDRISS",
    "DECKENSPIEGEL",
    "DECKENPLAN",
    "RCP",
    "GRUNDRISSPLAN",
];
/// The same where words are not told apart by spaces.
const UNSPACED: [&str; 15] = [
    "平面図",
    "平面图",
    "平面圖",
    "伏図",
    "天井図",
    "天花图",
    "天花圖",
    "天花平面",
    "吊顶图",
    "顶棚图",
    "照明图",
    "照明図",
    "평면도",
    "천장도",
    "조명도",
];
/// A storey where one of [`WHICH`] or a number says which.
const STOREYS: [&str; 16] = [
    "FLOOR",
    "FLR",
    "LEVEL",
    "LVL",
    "STORY",
    "STOREY",
    "NIVEAU",
    "NIVEL",
    "PISO",
    "ETAGE",
    "PAVIMENTO",
    "ANDAR",
    "GESCHOSS",
    "STOCK",
    "OG",
    "STOCKWERK",
];
const WHICH: [&str; 44] = [
    "FIRST",
    "SECOND",
    "THIRD",
    "FOURTH",
    "1ST",
    "2ND",
    "3RD",
    "4TH",
    "MAIN",
    "UPPER",
    "LOWER",
    "GROUND",
    "TOP",
    "BASEMENT",
    "ATTIC",
    "ONE",
    "TWO",
    "THREE",
    "PRIMER",
    "PRIMERO",
    "SEGUNDO",
    "TERCER",
    "TERCERO",
    "PRIMEIRO",
    "TERCEIRO",
    "TERREO",
    "SUPERIOR",
    "INFERIOR",
    "PRINCIPAL",
    "BAJO",
    "1ER",
    "1RE",
    "2E",
    "2EME",
    "3E",
    "3EME",
    "PREMIER",
    "DEUXIEME",
    "TROISIEME",
    "ERSTES",
    "ZWEITES",
    "DRITTES",
    "1O",
    "2O",
];
/// Storeys in one word, and in two.
const NAMED: [&str; 7] = [
    "ERDGESCHOSS",
    "OBERGESCHOSS",
    "DACHGESCHOSS",
    "UNTERGESCHOSS",
    "KELLERGESCHOSS",
    "RDC",
    "COMBLES",
];
const PAIRS: [[&str; 2]; 2] = [["SOUS", "SOL"], ["DE", "CHAUSSEE"]];
/// Framing, where a word says of what (trade words), and what says so beside storeys.
const FRAMING: [&str; 9] = [
    "FRAMING",
    "JOIST",
    "JOISTS",
    "TRUSS",
    "TRUSSES",
    "RAFTER",
    "RAFTERS",
    "CHARPENTE",
    "ESTRUCTURA",
];
const FRAMED: [&str; 10] = [
    "ROOF", "CEILING", "CLG", "FLOOR", "FLR", "ATTIC", "DECK", "GARAGE", "PORCH", "LOFT",
];
/// What else may stand in such a title; another word makes it a note.
const BESIDE: [&str; 45] = [
    "LIGHTING",
    "LIGHT",
    "ELECTRICAL",
    "ELECTRIC",
    "POWER",
    "CEILING",
    "CEILINGS",
    "REFLECTED",
    "LAYOUT",
    "NEW",
    "EXISTING",
    "PROPOSED",
    "UNIT",
    "OPTION",
    "HOUSE",
    "WING",
    "AREA",
    "PART",
    "NORTH",
    "SOUTH",
    "EAST",
    "WEST",
    "OF",
    "THE",
    "AND",
    "DE",
    "DU",
    "DES",
    "DO",
    "DA",
    "DEL",
    "LA",
    "ILUMINACION",
    "ILUMINACAO",
    "ECLAIRAGE",
    "PLAFOND",
    "TECHO",
    "TETO",
    "BELEUCHTUNG",
    "DECKE",
    "SCALE",
    "REZ",
    "CHAUSSEE",
    "SOUS",
    "SOL",
];
/// Words of sentences that speak of a plan.
const SENTENCE: [&str; 10] = [
    "SEE", "PER", "REFER", "VERIFY", "SHALL", "VER", "VEA", "SIEHE", "VOIR", "MATCH",
];
/// Words for a detail (trade words; other languages from memory).
const DETAILS: [&str; 7] = [
    "DETAIL",
    "DETAILS",
    "DETALLE",
    "DETALLES",
    "DETALHE",
    "DETALHES",
    "EINZELHEIT",
];
/// What a letter or figure beside it tells apart (trade words).
const UNITS: [&str; 10] = [
    "UNIT",
    "TYPE",
    "PLAN",
    "OPTION",
    "LOT",
    "BUILDING",
    "HOUSE",
    "WING",
    "ALTERNATE",
    "SCHEME",
];
const OPTIONS: [&str; 9] = [
    "OPT",
    "OPTION",
    "OPTIONAL",
    "ALTERNATE",
    "ALTERNATIVE",
    "ALT",
    "SCHEME",
    "EXISTING",
    "PROPOSED",
];
/// Words for a ceiling, and for roofs and footings (trade words; other languages from memory).
const CEILINGS: [&str; 8] = [
    "CEILING", "CEILINGS", "CLG", "RCP", "PLAFOND", "TECHO", "TETO", "DECKE",
];
const ELSEWHERE: [&str; 8] = [
    "ROOF",
    "RAFTER",
    "RAFTERS",
    "FOUNDATION",
    "FOOTING",
    "FOOTINGS",
    "DECK",
    "CRAWLSPACE",
];
/// Words for a part drawn larger (trade words; other languages from memory).
const ENLARGED: [&str; 6] = [
    "ENLARGED",
    "ENLARGEMENT",
    "BLOWUP",
    "AMPLIADA",
    "AMPLIADO",
    "AGRANDI",
];
const UNSPACED_DETAILS: [&str; 5] = ["详图", "詳圖", "詳細図", "大样", "상세도"];

/// What an item says: the text it is, or the attributes of an INSERT, whose lettering is taken for the smallest. Place,
/// height and words of each.
pub fn written(item: &Item) -> Vec<(Coord, f64, &str)> {
    match &item.prim {
        Prim::Text { at, height, text, .. } => vec![(*at, *height, &**text)],
        Prim::Symbol(symbol) => symbol.attribs.iter().map(|a| (a.at, 0.0, &*a.text)).collect(),
        _ => Vec::new(),
    }
}

/// Whether a text is the title of a plan.
pub fn is_plan(text: &str) -> bool {
    // SITE PLAN is none of a house.
    if super::views::is_view(text) {
        return false;
    }
    let name = folded(text);
    let words = split(&name);
    if words.is_empty() || words.len() > WORDS {
        return false;
    }
    if storey_sign(&name) || (has_part(&name, &UNSPACED) && name.chars().count() <= LETTERS) {
        return true;
    }
    if words.iter().any(|w| SENTENCE.contains(w)) {
        return false;
    }
    let has = |list: &[&str]| words.iter().any(|w| list.contains(w));
    if has(&PLANS) || words.windows(2).any(|w| w == ["REFLECTED", "CEILING"]) {
        return true;
    }
    let which = |w: &&str| WHICH.contains(w) || figure(w);
    let known = |w: &&str| {
        let short = w.chars().count() == 1;
        which(w) || short || STOREYS.contains(w) || NAMED.contains(w) || BESIDE.contains(w)
    };
    // ROOF FRAMING, 2ND FLOOR JOIST LAYOUT; a size or a spacing makes it a note of what is framed.
    let noted = text.contains(['@', '"', '\'', '”', '’']) || words.iter().any(|w| *w == "X" || *w == "OC");
    let framed = has(&FRAMING[..1]) || has(&FRAMING) && has(&["LAYOUT"]);
    let of_framing = |w: &&str| known(w) || FRAMING.contains(w) || FRAMED.contains(w);
    let what = has(&FRAMED) || has(&STOREYS) && words.iter().any(which) || has(&NAMED);
    if framed && what && !noted && words.iter().all(of_framing) {
        return true;
    }
    let laid_out = has(&["LAYOUT"]) && has(&["LIGHTING", "CEILING"]);
    let pair = words.windows(2).any(|w| PAIRS.iter().any(|p| w == p));
    let storey = (has(&STOREYS) && words.iter().any(which)) || has(&NAMED) || pair || laid_out;
    storey && words.iter().all(known)
}

/// Whether a text is the title of a detail.
pub fn is_detail(text: &str) -> bool {
    let name = folded(text);
    let words = split(&name);
    let sentence = words.iter().any(|w| SENTENCE.contains(w));
    let worded = words.iter().any(|w| DETAILS.contains(w));
    (1..=WORDS).contains(&words.len())
        && !sentence
        && (worded || (has_part(&name, &UNSPACED_DETAILS) && name.chars().count() <= LETTERS))
}

/// Which storey, unit or option a title names: its words and figures for that, numbers in one form.
pub fn which(text: &str) -> BTreeSet<String> {
    /// English, and the figure that stands for each.
    const NUMBERS: [(&str, &str); 11] = [
        ("FIRST", "1"),
        ("1ST", "1"),
        ("ONE", "1"),
        ("SECOND", "2"),
        ("2ND", "2"),
        ("TWO", "2"),
        ("THIRD", "3"),
        ("3RD", "3"),
        ("THREE", "3"),
        ("FOURTH", "4"),
        ("4TH", "4"),
    ];
    let name = folded(text);
    let words = split(&name);
    let beside = |i: Option<usize>| {
        let word = i.and_then(|i| words.get(i));
        word.is_some_and(|w| STOREYS.contains(w) || NAMED.contains(w) || UNITS.contains(w))
    };
    // A figure or letter by itself is the number of a drawing on its sheet.
    let told = words.iter().copied().enumerate().filter(|&(i, w)| {
        let letter = w.chars().count() == 1 && w.chars().all(char::is_alphabetic);
        let numbered = (letter || figure(w)) && (beside(i.checked_sub(1)) || beside(Some(i + 1)));
        WHICH.contains(&w) || NAMED.contains(&w) || numbered || storey_sign(w)
    });
    told.map(|(_, w)| {
        let figure = NUMBERS.iter().find(|n| n.0 == w).map_or(w, |n| n.1);
        match figure.trim_start_matches('0') {
            "" => figure.to_string(),
            bare => bare.to_string(),
        }
    })
    .collect()
}

/// The same of a name that has a word for storeys; nothing of one that has none.
pub fn which_storey(text: &str) -> BTreeSet<String> {
    let name = folded(text);
    if split(&name).iter().any(|w| STOREYS.contains(w)) {
        which(text)
    } else {
        BTreeSet::new()
    }
}

/// Whether a title is of one of several ways to build the same.
pub fn is_option(text: &str) -> bool {
    let name = folded(text);
    split(&name).iter().any(|w| OPTIONS.contains(w))
}

/// Whether a text may be the title of a part that is built in another way, drawn by itself: OPT. BEDROOM 4, ALT. KITCHEN.
pub fn is_option_of_a_room(text: &str) -> bool {
    let name = folded(text);
    let words = split(&name);
    let sentence = words.iter().any(|w| SENTENCE.contains(w));
    is_option(text) && !sentence && words.len() <= WORDS && super::rooms::names_a_room(text)
}

/// Whether a title is of a part drawn larger.
pub fn is_enlarged(text: &str) -> bool {
    let name = folded(text);
    split(&name).iter().any(|w| ENLARGED.contains(w))
}

/// Whether a title speaks of ceilings.
pub fn of_ceiling(text: &str) -> bool {
    let name = folded(text);
    let words = split(&name);
    words.iter().any(|w| CEILINGS.contains(w)) || has_part(&name, &["天井", "天花", "吊顶", "顶棚", "천장"])
}

/// Whether a title speaks of a roof or of footings, which are at no ceiling, or seldom.
pub fn of_roof_or_footing(text: &str) -> bool {
    let name = folded(text);
    split(&name).iter().any(|w| ELSEWHERE.contains(w))
}

fn figure(word: &str) -> bool {
    word.len() <= 2 && word.chars().all(|c| c.is_ascii_digit())
}

/// `1階`, `2층`, `首层` as a whole.
fn storey_sign(name: &str) -> bool {
    let name: Vec<char> = name.chars().filter(|c| !c.is_whitespace()).collect();
    let [rest @ .., last] = &name[..] else {
        return false;
    };
    let number = |c: &char| c.is_ascii_digit() || "一二三四五首地下B".contains(*c);
    "階层層樓楼층".contains(*last) && (1..=2).contains(&rest.len()) && rest.iter().all(number)
}

fn has_part(name: &str, list: &[&str]) -> bool {
    list.iter().any(|w| name.contains(w))
}

fn split(name: &str) -> Vec<&str> {
    name.split(|c: char| !c.is_alphanumeric())
        .filter(|w| !w.is_empty())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{is_detail, is_plan};

    #[test]
    fn titles_of_plans() {
        for text in [
            "FIRST FLOOR PLAN",
            "FIRST FLOOR",
            "FLOOR PLAN FOR LOT 5",
            "2nd Floor - Lighting",
            "LEVEL 1 RCP",
            "LEVEL 2 - LIGHTING",
            "REFLECTED CEILING - UNIT B",
            "LIGHTING LAYOUT",
            "Planta baja",
            "Segundo piso",
            "Niveau 1",
            "Rez-de-chaussée",
            "1er étage",
            "Erdgeschoss",
            "1. Obergeschoss",
            "Pavimento térreo",
            "1階 天井伏図",
            "2階",
            "一层顶棚图",
            "首层",
            "2층 평면도",
            "FIRST FLOOR FRAMING",
            "ROOF FRAMING",
            "CEILING FRAMING - UNIT B",
            "ROOF TRUSS LAYOUT",
            "2ND FLOOR JOIST LAYOUT",
        ] {
            assert!(is_plan(text), "{text}");
        }
        for text in [
            "SEE PLAN",
            "PER PLAN",
            "LEVEL 4 FINISH",
            "2ND FLOOR JOISTS @ 16\" O.C.",
            "FLOOR",
            "WOOD FLOOR",
            "Sol",
            "CEILING",
            "KITCHEN",
            "FRAMING",
            "ROOF FRAMING BY OTHERS",
            "SEE ROOF FRAMING",
            "CEILING FRAMING @ 16 O.C.",
            "ROOF FRAMING ABOVE",
            "CEILING JOISTS",
            "ROOF TRUSSES",
            "TYPICAL DETAIL",
            "阶",
            "",
        ] {
            assert!(!is_plan(text), "{text}");
        }
    }

    #[test]
    fn titles_of_details() {
        for text in ["TYPICAL DOWNLIGHT DETAIL", "DETAIL 3/A5", "Détail", "灯具详图"] {
            assert!(is_detail(text), "{text}");
        }
        for text in ["SEE DETAIL 3", "DETAILED", "FIRST FLOOR PLAN", ""] {
            assert!(!is_detail(text), "{text}");
        }
    }
}
