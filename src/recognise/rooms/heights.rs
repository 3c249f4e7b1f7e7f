//! Ceiling heights as they are written: `CLG 9'-0"`, `9'-0" A.F.F.`, `CH 2700`, `CH=2.4`, `LH 2,50`, `天井高2400`.

use super::super::schedule::holds_word;
use crate::length;

/// Words for a ceiling or its height (trade words; HSP hauteur sous plafond, LH lichte Höhe, RH Raumhöhe, LRH lichte Raumhöhe, PD
/// pé-direito, from memory).
const CEILING: [&str; 14] = [
    "CLG", "CEIL", "CEILING", "CEILINGS", "CH", "HSP", "HSFP", "LH", "RH", "LRH", "PD", "TECHO", "CIELO",
    "PLAFOND",
];
/// Words for any height, or for a level, that say a ceiling's where the length is one (Spanish and Portuguese altura;
/// CL ceiling level, also a closet; from memory).
const ANY_HEIGHT: [&str; 2] = ["ALTURA", "CL"];
/// The same where words are not told apart by spaces.
const UNSPACED: [&str; 11] = [
    "天花标高",
    "天花標高",
    "天花高",
    "天井高",
    "天井",
    "净高",
    "淨高",
    "吊顶",
    "천장고",
    "천정고",
    "반자높이",
];
/// Words for the height of a room, in capitals.
const WRITTEN_OUT: [&str; 14] = [
    "LICHTE RAUMHÖHE",
    "LICHTE RAUMHOEHE",
    "ALTURA LIBRE",
    "ALTURA LIVRE",
    "H. LIBRE",
    "H LIBRE",
    "LICHTE HÖHE",
    "LICHTE HOEHE",
    "RAUMHÖHE",
    "RAUMHOEHE",
    "HAUTEUR SOUS PLAFOND",
    "PÉ-DIREITO",
    "PE-DIREITO",
    "PÉ DIREITO",
];
/// What else may stand in such a line.
const BESIDE: [&str; 28] = [
    "STEPPED", "HT", "HGT", "HEIGHT", "AFF", "FLAT", "GWB", "GYP", "BD", "DRYWALL", "TRAY", "COFFERED",
    "COFFER", "BOX", "STEP", "TYP", "U.N.O", "UNO", "ALT", "H", "MM", "M", "T.O", "ABOVE", "FIN", "FINISH",
    "FLR", "HIGH",
];
/// A length with no word but AFF is a ceiling's from here on: what is mounted on walls is lower, inches.
const ABOVE_FLOOR: f64 = 96.0;
/// Metres of a bare H, as storeys of dwellings have: a door's or a window's are less.
const STATED: std::ops::RangeInclusive<f64> = 2.3..=4.5;
/// No ceiling of a dwelling is lower or higher, inches.
const USUAL: std::ops::RangeInclusive<f64> = 60.0..=480.0;

/// The ceiling heights a line states, inches: one, or several parted by a stroke; none where anything else is
/// written in it.
pub fn ceilings(line: &str) -> Vec<f64> {
    let upper = spaced(line);
    let has = |list: &[&str]| list.iter().any(|w| holds_word(&upper, w));
    let level = has(&ANY_HEIGHT);
    let stated = has(&["H"]) && line.contains('=') || has(&["HT", "HGT"]) && has(&["M"]) || level;
    // On a plan of ceilings a plus stands for the height above the floor.
    let plus = line
        .trim()
        .strip_prefix('+')
        .is_some_and(|l| l.contains(['\'', '′', '’']));
    let (named, above) = (has(&CEILING), has(&["AFF"]) || plus);
    if !named && !above && !stated {
        return Vec::new();
    }
    // What is left without words must be lengths; a word with a figure of its own is a note.
    let rest: Vec<&str> = upper
        .split([' ', '=', ':', '@', '+', '\t'])
        .map(|w| w.trim_end_matches(['.', ',', ';']))
        .filter(|w| !w.is_empty() && !CEILING.contains(w) && !ANY_HEIGHT.contains(w) && !BESIDE.contains(w))
        .collect();
    let rest = rest.join(" ").replace("'/", "' / ").replace("\"/", "\" / ");
    let lengths: Vec<&str> = match rest.split_once(" / ") {
        Some((one, other)) => vec![one, other],
        None => vec![&rest],
    };
    // A closet has a number as well: there only millimetres, and metres with their point, are a height.
    let metric = |text: &str| {
        text.parse::<u32>()
            .map_or(text.contains(['.', ',']), |mm| mm >= 1500)
    };
    if level && !named && !lengths.iter().all(|l| metric(l)) {
        return Vec::new();
    }
    // Feet are written bare where the line says that a height follows.
    let bare = named && (line.contains(['@', '=']) || has(&["HT", "HGT", "HEIGHT", "HIGH"]));
    let length = |text: &str| inches(text).or_else(|| named.then(|| feet(text, bare)).flatten());
    let found: Option<Vec<f64>> = lengths.into_iter().map(length).collect();
    let plausible = |h: &f64| {
        let metres = h * 0.0254;
        USUAL.contains(h) && (named || (above && *h >= ABOVE_FLOOR) || (stated && STATED.contains(&metres)))
    };
    found.filter(|all| all.iter().all(plausible)).unwrap_or_default()
}

/// Whether a line has a word for a ceiling.
pub fn names_a_ceiling(line: &str) -> bool {
    let upper = spaced(line);
    CEILING.iter().any(|w| holds_word(&upper, w))
}

/// In capitals, with spaces between words and figures that are written together.
fn spaced(line: &str) -> String {
    let mut upper = line
        .to_uppercase()
        .replace("C.H.", "CH ")
        .replace("A.F.F", "AFF")
        .replace("H.S.F.P.", "HSFP ")
        .replace("H.S.P.", "HSP ");
    for words in WRITTEN_OUT {
        upper = upper.replace(words, " CLG ");
    }
    for word in UNSPACED {
        upper = upper.replace(word, " CLG ");
    }
    let mut out = String::with_capacity(upper.len() + 4);
    let mut last = ' ';
    for c in upper.chars() {
        let joined =
            (last.is_alphabetic() && c.is_ascii_digit()) || (last.is_ascii_digit() && c.is_alphabetic());
        if joined {
            out.push(' ');
        }
        out.push(c);
        last = c;
    }
    out
}

/// A length; a bare figure is millimetres, metres with a decimal point or comma, or inches, by its size.
fn inches(text: &str) -> Option<f64> {
    let text = text.trim();
    let plain = text.replace(',', ".");
    match plain.parse::<f64>() {
        Ok(bare) if (1500.0..=9000.0).contains(&bare) => Some(bare / 25.4),
        Ok(bare) if (1.8..=6.0).contains(&bare) && plain.contains('.') => Some(bare / 0.0254),
        Ok(bare) if (72.0..=300.0).contains(&bare) => Some(bare),
        Ok(_) => None,
        Err(_) => length::parse(text).ok(),
    }
}

/// Whole feet of a ceiling, `bare`, and feet and inches, `9-0`.
fn feet(text: &str, bare: bool) -> Option<f64> {
    const OF_CEILINGS: std::ops::RangeInclusive<u32> = 7..=20;
    let whole = |text: &str| text.parse::<u32>().ok();
    let (feet, inches) = match text.split_once('-') {
        Some((feet, inches)) => (whole(feet)?, whole(inches)?),
        None if bare => (whole(text)?, 0),
        None => return None,
    };
    (OF_CEILINGS.contains(&feet) && inches < 12).then(|| f64::from(12 * feet + inches))
}

/// Whether a line says that a ceiling is not level, or gives a height of it that is not read.
pub fn is_shaped(line: &str) -> bool {
    const WORDS: [&str; 12] = [
        "VAULT",
        "VAULTED",
        "TRAY",
        "STEPPED",
        "COFFERED",
        "CATHEDRAL",
        "SLOPED",
        "BARREL",
        "DOME",
        "DOMED",
        "ABOVEDADO",
        "CATHEDRALE",
    ];
    let upper = line.to_uppercase();
    let figure = line.contains(|c: char| c.is_ascii_digit());
    let word = WORDS.iter().any(|w| holds_word(&upper, w));
    ceilings(line).is_empty()
        && line.split_whitespace().count() <= 5
        && figure
        && (word || names_a_ceiling(line))
}

#[cfg(test)]
mod tests {
    use super::ceilings;

    #[test]
    fn ceiling_heights_as_they_are_written() {
        for (text, inches) in [
            ("CLG 9'-0\"", 108.0),
            ("9'-0\" CLG.", 108.0),
            ("CLG HT 8'", 96.0),
            ("CH 2700", 2700.0 / 25.4),
            ("C.H. = 8'-6\"", 102.0),
            ("C.H. 2.4", 2.4 / 0.0254),
            ("ceiling height: 2.7", 2.7 / 0.0254),
            ("CLG. @ 10'", 120.0),
            ("GWB CLG @ 9'-0\" A.F.F.", 108.0),
            ("9'-0\" A.F.F.", 108.0),
            ("10'-0\" TRAY CLG.", 120.0),
            ("CH2400", 2400.0 / 25.4),
            ("CH. 2700mm", 2700.0 / 25.4),
            ("CH: 2.70m", 2.7 / 0.0254),
            ("天井高2400", 2400.0 / 25.4),
            ("净高 2700", 2700.0 / 25.4),
            ("천장고 2400", 2400.0 / 25.4),
            ("H=2,70", 2.7 / 0.0254),
            ("HSP 2.50", 2.5 / 0.0254),
            ("LH 2,50", 2.5 / 0.0254),
            ("RH=2.60", 2.6 / 0.0254),
            ("+9'-0\"", 108.0),
            ("HT 2.7m", 2.7 / 0.0254),
            ("HSFP=2.50m", 2.5 / 0.0254),
            ("H.S.F.P. 2.50", 2.5 / 0.0254),
            ("lichte Raumhöhe 2,50 m", 2.5 / 0.0254),
            ("ALTURA 2.60 M", 2.6 / 0.0254),
            ("H. LIBRE 2.60", 2.6 / 0.0254),
            ("PE-DIREITO 2,70", 2.7 / 0.0254),
            ("CL 2700", 2700.0 / 25.4),
            ("CLG @ 9", 108.0),
            ("CLG. HT. 10", 120.0),
            ("9-0 CLG", 108.0),
            ("10-6 CLG.", 126.0),
            ("HIGH CLG 12'", 144.0),
            ("天花标高2.700", 2.7 / 0.0254),
            ("lichte Höhe 2,60", 2.6 / 0.0254),
            ("Hauteur sous plafond : 2,50 m", 2.5 / 0.0254),
        ] {
            let got = ceilings(text);
            assert!(
                got.len() == 1 && (got[0] - inches).abs() < 1e-9,
                "{text}: {got:?}"
            );
        }
        assert_eq!(ceilings("CLG 8'-0\" / 10'-0\""), [96.0, 120.0]);
        assert_eq!(ceilings("STEPPED CLG 9'/10'"), [108.0, 120.0]);
        assert_eq!(ceilings("CLG 9'-1 1/8\""), [109.125]);
    }

    #[test]
    fn what_states_no_ceiling_height() {
        for text in [
            "CHASE 9'",
            "5/8\" GYP. BD. ON CEILING",
            "CLG",
            "CH 3",
            "9'-0\"",
            "CEILING JOISTS @ 16\" O.C.",
            "48\" A.F.F.",
            "SCONCE 8'-0\" A.F.F.",
            "H=2,10",
            "H 2700",
            "2x10 CLG",
            "+0'-6\"",
            "+42\"",
            "HT 2.1m",
            "ALTURA 2.10 M",
            "CL 108",
            "CL 2",
            "CL",
            "CLG 9",
            "CLG @ 3",
            "9-14 CLG",
            "CLG @ 24",
            "HT 9'-0\"",
            "9'-0\" PLATE",
            "LICHTE BREITE 2,60",
        ] {
            assert!(ceilings(text).is_empty(), "{text}");
        }
    }
}
