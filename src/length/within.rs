//! Lengths inside words: `7 1/2" DEEP HOUSING, 4" APERTURE`.
//!
//! A length here is a quantity as [`super::parse`] reads it, with the unit written behind it where there is one. Figures
//! that hang on letters (`MR16`, `12W`, `3000K`) are none.

use std::ops::Range;

use super::{parse, vulgar_fraction};

/// A length that stands in a text.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// Where it stands in the text, bytes, unit and all.
    pub range: Range<usize>,
    /// Inches; of a figure without a unit the figure itself.
    pub value: f64,
    pub unit: WrittenUnit,
}

/// What stands behind a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WrittenUnit {
    Customary,
    Metric,
    None,
}

/// Words for units as schedules write them, and what [`parse`] calls them (other languages from memory).
const UNITS: [(&str, &str); 25] = [
    ("INCHES", "in"),
    ("INCH", "in"),
    ("IN", "in"),
    ("PULGADAS", "in"),
    ("PULGADA", "in"),
    ("PULG", "in"),
    ("POLEGADAS", "in"),
    ("POL", "in"),
    ("POUCES", "in"),
    ("POUCE", "in"),
    ("PO", "in"),
    ("ZOLL", "in"),
    ("吋", "in"),
    ("FEET", "ft"),
    ("FOOT", "ft"),
    ("FT", "ft"),
    ("MM", "mm"),
    ("毫米", "mm"),
    ("ミリ", "mm"),
    ("CM", "cm"),
    ("CMS", "cm"),
    ("厘米", "cm"),
    ("公分", "cm"),
    ("M", "m"),
    ("MTS", "m"),
];
/// Signs that may stand right before a figure though they are letters: of a diameter, and `D=`.
const BEFORE: [char; 5] = ['Ø', 'ø', '⌀', 'φ', 'Φ'];
/// From here on characters are words of their own, and a figure behind one does not hang on it.
const IDEOGRAPHS: char = '\u{2E80}';
/// What may stand between two figures of which only the second has its unit: `4-6"`, `4 x 4"`.
const BETWEEN: [&str; 13] = [
    "-", "–", "/", "X", "×", "TO", "OR", "AND", "&", "A", "O", "Y", "BIS",
];
/// Greatest figure under the stroke of a fraction of an inch.
const FINEST: u32 = 64;

/// The unit a word is, as [`parse`] calls it.
pub fn unit_named(word: &str) -> Option<&'static str> {
    UNITS.iter().find(|u| word.eq_ignore_ascii_case(u.0)).map(|u| u.1)
}

/// Lengths and bare figures in `text`, in order; the text's capitals and its accents do not matter.
pub fn within(text: &str) -> Vec<Written> {
    let chars: Vec<(usize, char)> = text.char_indices().collect();
    let scan = Scan { text, chars: &chars };
    let mut found: Vec<Found> = Vec::new();
    let mut at = 0;
    while at < chars.len() {
        let (next, written) = scan.length(at);
        found.extend(written);
        at = next;
    }
    for i in (1..found.len()).rev() {
        let (from, to) = (found[i - 1].0.range.end, found[i].0.range.start);
        let between = text.get(from..to).unwrap_or_default().trim().to_uppercase();
        let (unit, name) = (found[i].0.unit, found[i].1);
        let bare = found[i - 1].0.unit == WrittenUnit::None && unit != WrittenUnit::None;
        if bare && BETWEEN.contains(&between.as_str()) {
            let one = parse(&format!("1{name}")).unwrap_or(1.0);
            found[i - 1].0.value *= one;
            found[i - 1].0.unit = unit;
            found[i - 1].1 = name;
        }
    }
    found.into_iter().map(|f| f.0).collect()
}

/// A length, and its unit as [`parse`] calls it.
type Found = (Written, &'static str);
/// A quantity as read: how it is written for [`parse`], and where it ends.
type Quantity = (String, usize);

struct Scan<'a> {
    text: &'a str,
    chars: &'a [(usize, char)],
}

impl Scan<'_> {
    fn at(&self, i: usize) -> Option<char> {
        self.chars.get(i).map(|c| c.1)
    }

    fn byte(&self, i: usize) -> usize {
        self.chars.get(i).map_or(self.text.len(), |c| c.0)
    }

    fn digit(&self, i: usize) -> bool {
        self.at(i).is_some_and(|c| c.is_ascii_digit())
    }

    /// Past spaces, and one dash among them where `dash`.
    fn past(&self, mut i: usize, mut dash: bool) -> usize {
        while let Some(c) = self.at(i) {
            match c {
                ' ' | '\u{A0}' => {}
                '-' | '\u{2010}'..='\u{2013}' if dash => dash = false,
                _ => break,
            }
            i += 1;
        }
        i
    }

    /// The length that starts at `i`, and where to go on.
    fn length(&self, i: usize) -> (usize, Option<Found>) {
        let starts = self.digit(i)
            || self.at(i).is_some_and(|c| vulgar_fraction(c).is_some())
            || self.at(i) == Some('.') && self.digit(i + 1);
        if !starts {
            return (i + 1, None);
        }
        let hangs = i.checked_sub(1).and_then(|b| self.at(b)).is_some_and(|c| {
            (c.is_alphanumeric() && c < IDEOGRAPHS || c == '.')
                && !BEFORE.contains(&c)
                && !self.diameter_before(i)
        });
        let Some((mut written, end)) = self.quantity(i) else {
            return (self.past_figures(i), None);
        };
        if hangs {
            return (end.max(i + 1), None);
        }
        let (mut end, mut unit, mut name) = (end, WrittenUnit::None, "");
        if let Some((called, after)) = self.unit(end) {
            (end, name) = (after, called);
            unit = match called {
                "in" | "ft" => WrittenUnit::Customary,
                _ => WrittenUnit::Metric,
            };
            written += called;
        } else if self.at(end).is_some_and(char::is_alphanumeric) {
            // `12W`, `3000K`.
            return (end + 1, None);
        }
        if name == "ft"
            && let Some((more, after)) = self.quantity(self.past(end, true))
            && let Some(("in", after)) = self.unit(after)
        {
            written = format!("{written} {more}in");
            end = after;
        }
        let value = parse(&written).ok().filter(|v| v.is_finite());
        let range = self.byte(i)..self.byte(end);
        (end, value.map(|value| (Written { range, value, unit }, name)))
    }

    /// Whether a lone `D` before the figure at `i` is the word for a diameter: `D100`.
    fn diameter_before(&self, i: usize) -> bool {
        let Some(d) = i.checked_sub(1) else { return false };
        let alone = d.checked_sub(1).and_then(|b| self.at(b));
        self.at(d) == Some('D') && !alone.is_some_and(char::is_alphanumeric)
    }

    fn past_figures(&self, mut i: usize) -> usize {
        i += 1;
        while self.digit(i) {
            i += 1;
        }
        i
    }

    /// A number, a fraction or both from `i` on.
    fn quantity(&self, i: usize) -> Option<Quantity> {
        if let Some(part) = self.at(i).and_then(vulgar_fraction) {
            return Some((part.to_string(), i + 1));
        }
        if let Some((fraction, end)) = self.fraction(i) {
            return Some((fraction, end));
        }
        let (whole, end) = self.number(i)?;
        if whole.contains('.') {
            return Some((whole, end));
        }
        let next = self.past(end, true);
        if let Some(part) = self.at(next).and_then(vulgar_fraction) {
            return Some((format!("{}", whole.parse::<f64>().ok()? + part), next + 1));
        }
        match self.fraction(next) {
            Some((fraction, end)) => Some((format!("{whole} {fraction}"), end)),
            _ => Some((whole, end)),
        }
    }

    /// `5/8`: less than one, and of halves down to sixty-fourths.
    fn fraction(&self, i: usize) -> Option<Quantity> {
        let (over, stroke) = self.figures(i)?;
        matches!(self.at(stroke), Some('/' | '\u{2044}')).then_some(())?;
        let (under, end) = self.figures(stroke + 1)?;
        let (n, d): (u32, u32) = (over.parse().ok()?, under.parse().ok()?);
        let part = n > 0 && n < d && d <= FINEST && d.is_power_of_two();
        part.then(|| (format!("{n}/{d}"), end))
    }

    fn figures(&self, i: usize) -> Option<Quantity> {
        let mut end = i;
        while self.digit(end) {
            end += 1;
        }
        (end > i).then(|| (self.text[self.byte(i)..self.byte(end)].to_string(), end))
    }

    /// `4`, `4.25`, `.5`, `8,5` and `1,200`.
    fn number(&self, i: usize) -> Option<Quantity> {
        let (whole, point) = self.figures(i).unwrap_or((String::new(), i));
        let decimal = matches!(self.at(point), Some('.' | ','))
            .then(|| self.figures(point + 1))
            .flatten();
        let Some((part, end)) = decimal else {
            return (!whole.is_empty()).then_some((whole, point));
        };
        let thousands = self.at(point) == Some(',') && part.len() == 3 && whole != "0";
        Some((
            match thousands {
                true => format!("{whole}{part}"),
                false => format!("{whole}.{part}"),
            },
            end,
        ))
    }

    /// The unit behind a figure that ends at `end`, and where it ends itself.
    fn unit(&self, end: usize) -> Option<(&'static str, usize)> {
        let i = self.past(end, true);
        let first = self.at(i)?;
        let doubled = self.at(i + 1) == Some(first);
        match first {
            '"' | '\u{2033}' | '\u{201C}' | '\u{201D}' => return Some(("in", i + 1)),
            '\'' | '`' | '\u{B4}' | '\u{2032}' | '\u{2018}' | '\u{2019}' => {
                return Some(if doubled { ("in", i + 2) } else { ("ft", i + 1) });
            }
            _ => {}
        }
        let mut stop = i;
        while self.at(stop).is_some_and(char::is_alphanumeric) {
            stop += 1;
        }
        let word = &self.text[self.byte(i)..self.byte(stop)];
        if let Some(name) = unit_named(word) {
            let stop = stop + usize::from(self.at(stop) == Some('.') && !self.digit(stop + 1));
            return Some((name, stop));
        }
        // Where words are not told apart by spaces the unit is what the word begins with.
        let begins = |u: &&(&str, &'static str)| !u.0.is_ascii() && word.starts_with(u.0);
        let (unit, name) = UNITS.iter().find(begins)?;
        Some((name, i + unit.chars().count()))
    }
}

#[cfg(test)]
mod tests {
    use super::{WrittenUnit, within};

    #[test]
    fn lengths_in_words() {
        // Derived: an inch is 25.4 mm.
        let cases: [(&str, &[f64]); 24] = [
            ("3-5/8\"", &[3.625]),
            ("4 1/4\" DIA", &[4.25]),
            ("Ø4-1/4\"", &[4.25]),
            ("4½\"", &[4.5]),
            ("1/2\"", &[0.5]),
            ("7 1/2\" DEEP HOUSING, 4\" APERTURE", &[7.5, 4.0]),
            ("10 cm", &[100.0 / 25.4]),
            ("Ø10cm", &[100.0 / 25.4]),
            ("8,5 cm", &[85.0 / 25.4]),
            ("0.10 m", &[100.0 / 25.4]),
            ("1,200 mm", &[1200.0 / 25.4]),
            ("D100 MM", &[100.0 / 25.4]),
            ("直径150毫米", &[150.0 / 25.4]),
            ("6 PULG.", &[6.0]),
            ("4-INCH", &[4.0]),
            ("4''", &[4.0]),
            ("4``", &[4.0]),
            ("0'-4\"", &[4.0]),
            ("4' LONG", &[48.0]),
            ("4\" TO 6\"", &[4.0, 6.0]),
            ("4-6\"", &[4.0, 6.0]),
            ("5/6\"", &[5.0, 6.0]),
            ("100 MM (4\")", &[100.0 / 25.4, 4.0]),
            ("PAR30 L6IN DN100 12W 3000K 120/277V", &[]),
        ];
        for (text, lengths) in cases {
            let found: Vec<f64> = (within(text).iter())
                .filter(|w| w.unit != WrittenUnit::None)
                .map(|w| w.value)
                .collect();
            let alike =
                found.len() == lengths.len() && found.iter().zip(lengths).all(|(a, b)| (a - b).abs() < 1e-9);
            assert!(alike, "{text}: {found:?}");
        }
        let bare = within("4 1/2");
        assert_eq!((bare[0].value, bare[0].unit), (4.5, WrittenUnit::None));
    }

    #[test]
    fn no_text_is_too_odd() {
        for text in [
            "",
            "/",
            "1/0",
            "9999999999999999999999",
            ".",
            "½½",
            "1/",
            "Ø",
            "4 - ",
            "٣\"",
            "1,,2",
            "'\"1'",
        ] {
            assert!(within(text).iter().all(|w| w.value.is_finite()), "{text}");
        }
    }
}
