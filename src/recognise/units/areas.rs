//! Areas written into rooms (`24,30 m2`, `262 SF`), against the clear distances around the text.

use super::Candidate;
use super::weigh::{Evidence, number, trust};
use super::written::clear_about;
use crate::flatten::Flat;
use crate::recognise::classes::Classes;
use crate::rules::folded;

/// As much as sizes written into rooms.
const WEIGHT: f64 = 4.0;
/// Areas leave out chases and finishes, and are rounded.
const NEAR: f64 = 0.1;
/// Square inches of a square metre and of a square foot.
const METRE: f64 = 1e4 / (2.54 * 2.54);
const FOOT: f64 = 144.0;
/// What a room has, square inches: 6 to 5,000 sq ft.
const ROOM: std::ops::RangeInclusive<f64> = 864.0..=720_000.0;
/// How the units are written, the longer ones first, in the form that [`folded`] gives, without spaces and points.
const UNITS: [(&str, f64); 12] = [
    ("SQUAREFEET", FOOT),
    ("SQMETERS", METRE),
    ("SQUAREMETERS", METRE),
    ("平方米", METRE),
    ("SQFT", FOOT),
    ("FT2", FOOT),
    ("SQM", METRE),
    ("SF", FOOT),
    ("M2", METRE),
    ("QM", METRE),
    ("MQ", METRE),
    ("평방미터", METRE),
];
/// Letters of a label before the number: `A=`, `AREA:`.
const LABEL: usize = 8;

/// Rooms whose area is written in them; rooms of odd shapes never fit, so half of them is as good as all.
pub fn areas(flat: &Flat, classes: &Classes, candidates: &[Candidate]) -> Option<Evidence> {
    let found = clear_about(flat, classes, &|text| text.lines().find_map(area));
    (!found.is_empty()).then(|| {
        Evidence::of(candidates, WEIGHT * trust(found.len()), |c| {
            let fits = |((w, d), said, _): &&((f64, f64), f64, &str)| {
                (w * d * c.inches * c.inches - said).abs() <= NEAR * said
            };
            let fit: Vec<_> = found.iter().filter(fits).collect();
            let words = fit.first().map_or(String::new(), |((w, d), said, text)| {
                let line = text.lines().find(|l| area(l) == Some(*said)).unwrap_or(text);
                format!(
                    "a room marked {} drawn {} by {}",
                    line.trim(),
                    number(*w),
                    number(*d)
                )
            });
            (2.0 * fit.len() as f64 / found.len() as f64, words)
        })
    })
}

/// The area that a line states, square inches.
fn area(line: &str) -> Option<f64> {
    let name = folded(line);
    let end = name.trim_end_matches([')', ']', '.', ' ']).len();
    let plain = name[..end].replace(['(', '['], "");
    let from = plain.find(|c: char| c.is_ascii_digit())?;
    let (label, rest) = plain.split_at(from);
    let digits = rest
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',')))
        .unwrap_or(rest.len());
    let (digits, unit) = rest.split_at(digits);
    let unit: String = unit.chars().filter(|c| !c.is_whitespace() && *c != '.').collect();
    let (_, square) = UNITS.iter().find(|(word, _)| *word == unit)?;
    let letters = label.chars().filter(|c| c.is_alphanumeric()).count();
    let inches = figure(digits.trim_end_matches(['.', ',']))? * square;
    (letters <= LABEL && ROOM.contains(&inches)).then_some(inches)
}

/// `24,30` and `24.30`; three figures behind a comma are thousands.
fn figure(digits: &str) -> Option<f64> {
    let plain = match digits.rsplit_once(',') {
        Some((_, tail)) if tail.len() == 3 || digits.contains('.') => digits.replace(',', ""),
        _ => digits.replace(',', "."),
    };
    plain.parse().ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn areas_as_they_are_written() {
        for (line, square) in [
            ("24,30 m2", 24.3 * METRE),
            ("24.30 m²", 24.3 * METRE),
            ("A=12.5 M2", 12.5 * METRE),
            ("18 ㎡", 18.0 * METRE),
            ("262 SF", 262.0 * FOOT),
            ("(1,262 S.F.)", 1262.0 * FOOT),
            ("262 SQ. FT.", 262.0 * FOOT),
        ] {
            assert_eq!(area(line), Some(square), "{line}");
        }
        for line in [
            "24,30",
            "H=2.60 m",
            "TOTAL LIVING AREA 262 SF",
            "2 SF",
            "SF 24",
            "2x10",
        ] {
            assert_eq!(area(line), None, "{line}");
        }
    }
}
