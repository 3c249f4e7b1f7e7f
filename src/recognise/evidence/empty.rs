//! Names that say nothing at all of what is drawn under them.

use crate::rules::{folded, last_part};

/// Words that only say that a name is one, or that programs give what has none, and those of colours.
const EMPTY_WORDS: [&str; 71] = [
    "LINE",
    "LINES",
    "RED",
    "GREEN",
    "BLUE",
    "CYAN",
    "MAGENTA",
    "YELLOW",
    "WHITE",
    "BLACK",
    "GRAY",
    "GREY",
    "BROWN",
    "PINK",
    "ORANGE",
    "PURPLE",
    "VIOLET",
    "ROJO",
    "VERDE",
    "AZUL",
    "CIAN",
    "AMARILLO",
    "ROUGE",
    "VERT",
    "BLEU",
    "JAUNE",
    "LAYER",
    "LAYERS",
    "LEVEL",
    "EBENE",
    "CAPA",
    "CALQUE",
    "CAMADA",
    "NIVEAU",
    "NIVEL",
    "PEN",
    "DEFAULT",
    "BLOCK",
    "XREF",
    "PDF",
    "GEOMETRY",
    "OBJECT",
    "OBJECTS",
    "OBJEKT",
    "OBJEKTE",
    "OBJETO",
    "OBJETOS",
    "OBJET",
    "OBJETS",
    "GROUP",
    "GROUPS",
    "GRUPPE",
    "GRUPPEN",
    "GRUPO",
    "GRUPOS",
    "GROUPE",
    "GROUPES",
    "COMPONENT",
    "COMPONENTS",
    "KOMPONENTE",
    "COMPONENTE",
    "COMPOSANT",
    "ELEMENT",
    "ELEMENTS",
    "ELEMENTO",
    "UNNAMED",
    "UNTITLED",
    "图层",
    "圖層",
    "レイヤー",
    "레이어",
];

/// Whether a name is only a number, a letter or two, or words for a layer.
pub fn says_nothing(name: &str) -> bool {
    let name = folded(last_part(name));
    name.split(|c: char| !c.is_alphabetic())
        .filter(|word| !word.is_empty() && !EMPTY_WORDS.contains(word))
        .all(|word| word.len() <= 2 || word.chars().count() == 1 && !is_sign(word))
}

/// A sign of Chinese or Japanese, or a syllable of Korean, is a word of its own.
fn is_sign(word: &str) -> bool {
    (word.chars()).any(|c| matches!(c, '\u{3400}'..='\u{9FFF}' | '\u{AC00}'..='\u{D7A3}'))
}

#[cfg(test)]
mod tests {
    use super::says_nothing;

    #[test]
    fn names_that_say_nothing() {
        for name in [
            "0",
            "1",
            "L23",
            "A$C1234",
            "Layer 12",
            "x$0$CAPA 3",
            "*U7",
            "图层1",
            "Ebene-04",
            "Q1-É",
            "レイヤー2",
            "CYAN",
            "RED 2",
            "Lines",
            "PDF_Geometry",
            "Component#12",
            "Gruppe 7",
            "",
        ] {
            assert!(says_nothing(name), "{name}");
        }
        for name in [
            "DECK",
            "A-FLOR-PATT",
            "S-BOLT",
            "TABLE",
            "Dach",
            "床",
            "タイル",
            "창",
            "A-DOOR",
            "DIM 1",
        ] {
            assert!(!says_nothing(name), "{name}");
        }
    }
}
