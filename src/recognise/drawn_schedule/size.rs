//! The aperture, and the hole cut, in the cells of a schedule's line.
//!
//! A housing has many sizes. One that the words beside it or the head of its column call the aperture or the diameter is
//! it; else the only one that is called nothing else. Several such are not guessed between.

use crate::length::{self, Written, WrittenUnit, unit_named, vulgar_fraction};
use crate::rules::folded;

/// Heads and words of the aperture itself (trade words; other languages from memory, folded).
const APERTURE: [&str; 5] = ["APERTURE", "APER", "ABERTURA", "口径", "开孔"];
/// Of a diameter or a size, which is the aperture's where nothing else is called so.
const SIZE: [&str; 17] = [
    "SIZE",
    "DIA",
    "DIAMETER",
    "DIAMETRO",
    "DIAM",
    "DIAMETRE",
    "DURCHMESSER",
    "ROUND",
    "RD",
    "NOMINAL",
    "NOM",
    "TAMANO",
    "TAILLE",
    "GROSSE",
    "直径",
    "DIMENSION",
    "Ø",
];
/// Heads of the hole that is cut.
const CUTOUT: [&str; 10] = [
    "CUTOUT",
    "CUTOUTS",
    "CUT",
    "AUSSCHNITT",
    "DECKENAUSSCHNITT",
    "EINBAUOFFNUNG",
    "CORTE",
    "RECORTE",
    "PERCAGE",
    "DECOUPE",
];
/// Words of a housing's other sizes, and of distances: anywhere in the few words behind a length or before it.
const OTHER: [&str; 25] = [
    "HEIGHT",
    "DEPTH",
    "LENGTH",
    "WIDTH",
    "THICKNESS",
    "BOX",
    "JBOX",
    "RING",
    "FLANGE",
    "PLENUM",
    "CLEARANCE",
    "SPACING",
    "OC",
    "CENTERS",
    "CENTRES",
    "AFF",
    "OD",
    "APART",
    "ALTURA",
    "PROFUNDIDAD",
    "TIEFE",
    "HOHE",
    "EINBAUTIEFE",
    "HAUTEUR",
    "PROFONDEUR",
];
/// These right beside it only: `12W MAX` is none of a length's.
const BESIDE: [&str; 19] = [
    "DEEP", "HIGH", "TALL", "LONG", "WIDE", "THICK", "MAX", "MAXIMUM", "MIN", "MINIMUM", "FROM", "ABOVE",
    "BELOW", "CLEAR", "STEM", "CORD", "LARGO", "ANCHO", "ALTO",
];
/// What a word beside a length speaks of where it is no size of it: `6" HIGH OUTPUT`, `4" DEEP REGRESSED`.
const OF_LIGHT: [&str; 16] = [
    "OUTPUT",
    "LUMEN",
    "LUMENS",
    "CRI",
    "EFFICACY",
    "EFFICIENCY",
    "PERFORMANCE",
    "REGRESS",
    "REGRESSED",
    "BAFFLE",
    "BEAM",
    "FLOOD",
    "ANGLE",
    "LIFE",
    "CELL",
    "SPECULAR",
];
/// Of a diameter that is the trim's.
const TRIM: [&str; 5] = ["TRIM", "OUTSIDE", "OUTER", "OVERALL", "BEZEL"];
/// Nominal apertures of recessed lights, inches (common practice).
const APERTURES: std::ops::RangeInclusive<f64> = 1.0..=12.0;
/// A bare figure from here on is millimetres: no aperture is so many inches.
const BARE_MM: f64 = 50.0;
/// An aperture given in inches and in millimetres differs by no more than this for rounding, inches (common practice:
/// 150 mm for 6 in).
const ROUNDED: f64 = 0.15;
/// Sizes that differ by less are one, inches.
const SAME: f64 = 0.01;
/// What stands between two figures of one thing.
const JOINTS: [&str; 7] = ["-", "–", "/", "X", "×", "TO", "OR"];
/// From two on.
const NUMBERS: [&str; 9] = [
    "TWO", "THREE", "FOUR", "FIVE", "SIX", "SEVEN", "EIGHT", "NINE", "TEN",
];
/// So many words behind a length, or before it, may call it something.
const WORDS: usize = 3;

/// What is written of a light's sizes, inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    pub aperture: Option<f64>,
    /// Diameter of the hole cut.
    pub cutout: Option<f64>,
    /// Whether it is its column, or a word beside it, that makes it one.
    pub headed: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Called {
    Aperture,
    Size,
    Nothing,
    Cutout,
    Other,
}

#[derive(Clone, Copy)]
struct Seen {
    inches: f64,
    called: Called,
    metric: bool,
}

/// The sizes in a line: each column's head and cell.
///
/// # Errors
/// Why the aperture is not certain, in words that go behind the mark.
pub fn sizes<'a>(columns: impl Iterator<Item = (&'a str, &'a str)>) -> Result<Sizes, &'static str> {
    let mut seen: Vec<Seen> = Vec::new();
    let mut unitless = false;
    for (head, cell) in columns {
        let head = plain(head);
        let headed = calls(&words(&head), None, None);
        let (more, bare) = cell_sizes(&plain(cell), &head, headed);
        unitless |= bare;
        seen.extend(more);
    }
    let of = |called: Called| distinct(seen.iter().filter(|s| s.called == called));
    let cutouts = of(Called::Cutout);
    let one = |sizes: &[f64]| (sizes.len() == 1).then(|| sizes[0]);
    let cutout = one(&cutouts);
    for called in [Called::Aperture, Called::Size, Called::Nothing] {
        let found = of(called);
        match found[..] {
            [] => continue,
            [size] => {
                return Ok(Sizes {
                    aperture: Some(size),
                    cutout,
                    headed: called != Called::Nothing,
                });
            }
            _ => return Err("several sizes are written, and none is called the aperture alone"),
        }
    }
    match (cutout, unitless) {
        (Some(_), _) => Ok(Sizes {
            aperture: None,
            cutout,
            headed: true,
        }),
        (None, true) => Err("a size is written without its unit"),
        (None, false) if cutouts.len() > 1 => Err("several cutouts are written"),
        (None, false) => Err("no aperture is written"),
    }
}

/// Sizes that are not the same but for rounding; where one is written in inches too, that.
fn distinct<'a>(sizes: impl Iterator<Item = &'a Seen>) -> Vec<f64> {
    let mut found: Vec<Seen> = Vec::new();
    for &size in sizes {
        let same = |f: &Seen| {
            let within = if f.metric == size.metric { SAME } else { ROUNDED };
            (f.inches - size.inches).abs() <= within
        };
        match found.iter_mut().find(|f| same(f)) {
            Some(known) if known.metric && !size.metric => *known = size,
            Some(_) => {}
            None => found.push(size),
        }
    }
    found.into_iter().map(|f| f.inches).collect()
}

/// The sizes in a cell, each with what it is called; and whether a figure is left whose unit is not written.
fn cell_sizes(cell: &str, head: &str, headed: Called) -> (Vec<Seen>, bool) {
    let mut lengths = length::within(cell);
    let mut unitless = false;
    let of_sizes = matches!(headed, Called::Aperture | Called::Size | Called::Cutout);
    if of_sizes && lengths.iter().all(|l| l.unit == WrittenUnit::None) {
        let alone = alone(cell, &lengths);
        lengths.retain(|_| alone);
        unitless = !alone && cell.contains(|c: char| c.is_ascii_digit());
        lengths.retain_mut(|length| {
            let known = with_unit(length, head);
            unitless |= !known;
            known
        });
    }
    lengths.retain(|l| l.unit != WrittenUnit::None);
    let mut all: Vec<Called> = Vec::new();
    let mut from = 0;
    for (i, length) in lengths.iter().enumerate() {
        let to = lengths.get(i + 1).map_or(cell.len(), |n| n.range.start);
        let before = cell.get(from..length.range.start).unwrap_or_default();
        let before = before.rsplit([',', ';', '(', ')']).next().unwrap_or_default();
        let last: Vec<&str> = words(before);
        let last = &last[last.len().saturating_sub(WORDS - 1)..];
        from = length.range.end;
        let mut called = calls(last, last.last().copied(), None);
        if called == Called::Nothing {
            let after = cell.get(length.range.end..to).unwrap_or_default();
            let after = after.split([',', ';', '(', ')']).next().unwrap_or_default();
            let next = words(after);
            let figure = next
                .iter()
                .position(|w| w.starts_with(|c: char| c.is_ascii_digit()));
            let next = &next[..next.len().min(WORDS).min(figure.unwrap_or(WORDS))];
            called = calls(next, next.first().copied(), next.get(1).copied());
            // What calls this length does not call the next one too.
            if called != Called::Nothing {
                from = to;
            }
        }
        all.push(called);
    }
    // What calls the last of `4-6"` calls both.
    for i in (1..all.len()).rev() {
        let between = cell.get(lengths[i - 1].range.end..lengths[i].range.start);
        let joined = between.is_some_and(|b| JOINTS.contains(&b.trim()));
        if joined && all[i - 1] == Called::Nothing {
            all[i - 1] = all[i];
        }
    }
    let sizes = lengths
        .iter()
        .zip(all)
        .filter(|(l, _)| APERTURES.contains(&l.value));
    let seen = sizes.map(|(length, called)| Seen {
        inches: length.value,
        called: match (called, headed) {
            (Called::Nothing, _) => headed,
            // A diameter in a column of cutouts is the hole's.
            (Called::Size, Called::Cutout) => Called::Cutout,
            _ => called,
        },
        metric: length.unit == WrittenUnit::Metric,
    });
    (seen.collect(), unitless)
}

/// Whether a cell holds its figures and nothing else but what calls them a size.
fn alone(cell: &str, lengths: &[Written]) -> bool {
    let Some(length) = lengths.first().filter(|_| lengths.len() == 1) else {
        return false;
    };
    let rest = format!("{} {}", &cell[..length.range.start], &cell[length.range.end..]);
    words(&rest)
        .iter()
        .all(|w| *w == "D" || *w == "NO" || SIZE.contains(w))
}

/// Gives a bare figure its unit: the head's, millimetres where it can be nothing else, inches under an English head.
fn with_unit(length: &mut Written, head: &str) -> bool {
    let named = words(head).iter().rev().find_map(|w| unit_named(w));
    let metric = match named {
        Some("in") => false,
        Some("mm" | "cm" | "m") => true,
        _ => length.value >= BARE_MM,
    };
    let unit = match named {
        Some(unit) => unit,
        None if length.value >= BARE_MM => "mm",
        None if words(head)
            .iter()
            .any(|w| ["APERTURE", "APER", "SIZE", "DIA", "DIAMETER", "CUTOUT", "CUT"].contains(w)) =>
        {
            "in"
        }
        None => return false,
    };
    let one = length::parse(&format!("1{unit}")).unwrap_or(1.0);
    length.value *= one;
    length.unit = match metric {
        true => WrittenUnit::Metric,
        false => WrittenUnit::Customary,
    };
    true
}

/// What words call a length: any of them, the one right beside it, and the one behind that.
fn calls(words: &[&str], beside: Option<&str>, then: Option<&str>) -> Called {
    let has = |list: &[&str]| {
        let unspaced = |w: &&str| list.iter().any(|l| !l.is_ascii() && *l != "Ø" && w.contains(l));
        words.iter().any(|w| list.contains(w) || unspaced(w))
    };
    let measures =
        beside.is_some_and(|w| BESIDE.contains(&w)) && !then.is_some_and(|w| OF_LIGHT.contains(&w));
    if has(&CUTOUT) {
        Called::Cutout
    } else if has(&APERTURE) {
        Called::Aperture
    } else if has(&OTHER) || measures || has(&SIZE) && has(&TRIM) {
        Called::Other
    } else if has(&SIZE) {
        Called::Size
    } else {
        Called::Nothing
    }
}

/// Words of plain text; a sign of a diameter is one, and so are `O.C.` and `J-BOX`.
fn words(plain: &str) -> Vec<&str> {
    let mut found = Vec::new();
    for word in plain.split(|c: char| !c.is_alphanumeric()) {
        match word.strip_prefix('Ø') {
            Some(rest) => found.extend(["Ø", rest]),
            None => found.push(word),
        }
    }
    found.retain(|w| !w.is_empty());
    found
}

/// Folded, with fractions written out and abbreviations in one word.
fn plain(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        let part = vulgar_fraction(c).map(|v| v * 8.0);
        match part {
            // Sixteenths are none of the signs, so eighths hold every one.
            Some(eighths) => out += &format!(" {eighths:.0}/8"),
            None if matches!(c, 'ø' | '⌀' | 'φ' | 'Φ') => out.push('Ø'),
            None => out.push(c),
        }
    }
    let mut out = folded(&out);
    for (n, word) in NUMBERS.iter().enumerate() {
        for joint in [' ', '-'] {
            out = out.replace(&format!("{word}{joint}INCH"), &format!("{} INCH", n + 2));
        }
    }
    out.replace("O.C.", "OC")
        .replace("A.F.F.", "AFF")
        .replace("J-BOX", "JBOX")
        .replace("O.D.", "OD")
}
