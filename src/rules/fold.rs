//! Names as they are compared: capitals, without accents, full-width letters as plain ones.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// `Küche` and `KUCHE` are one name, so are `Ｅ１` and `E1` (Unicode normalization form KD without its
/// marks). Syllables of Hangul and signs of Kana keep theirs: they are letters of their own.
pub fn folded(name: &str) -> String {
    let plain: String = name.nfkd().filter(|&c| !is_accent(c)).collect();
    plain.nfc().flat_map(char::to_uppercase).collect()
}

/// A mark on a letter, but not the voicing marks of Kana (U+3099, U+309A).
fn is_accent(c: char) -> bool {
    is_combining_mark(c) && !matches!(c, '\u{3099}' | '\u{309A}')
}

#[cfg(test)]
mod tests {
    use super::folded;

    #[test]
    fn accents_case_and_width_do_not_tell_names_apart() {
        for (name, plain) in [
            ("Küche", "KUCHE"),
            ("ILUMINACIÓN", "ILUMINACION"),
            ("Éclairage", "ECLAIRAGE"),
            ("Straße", "STRASSE"),
            ("Ｅ－１", "E-1"),
            ("カ\u{3099}", "ガ"),
            ("거실", "거실"),
            ("照明", "照明"),
        ] {
            assert_eq!(folded(name), plain, "{name}");
        }
    }
}
