//! One line of a light schedule, read into an entry.

use crate::rules::{Luminaire, Mount, folded};

/// Words of a description that make a light a recessed one.
const RECESSED: [&str; 20] = [
    "RECESSED",
    "RECESS",
    "RECSD",
    "RCSD",
    "DOWNLIGHT",
    "DOWNLIGHTS",
    "CAN",
    "POTLIGHT",
    "EMPOTRADO",
    "EMPOTRADA",
    "EMPOTRABLE",
    "EMBUTIDO",
    "EMBUTIDA",
    "EINBAULEUCHTE",
    "EINBAUSTRAHLER",
    "EINBAUDOWNLIGHT",
    "ENCASTRE",
    "ENCASTREE",
    "筒灯",
    "ダウンライト",
];
/// The same where the column says how a light is mounted.
const MOUNTED: [&str; 9] = [
    "R",
    "REC",
    "RC",
    "RECD",
    "RECESS",
    "RECESSED",
    "RECSD",
    "RCSD",
    "EMPOTRADO",
];
/// Heads of a column of mountings.
const MOUNTINGS: [&str; 7] = [
    "MOUNT",
    "MOUNTING",
    "MTG",
    "MTD",
    "MNTG",
    "INSTALLATION",
    "MONTAJE",
];
/// Heads of a column of apertures.
const SIZES: [&str; 10] = [
    "APERTURE",
    "SIZE",
    "DIA",
    "DIAMETER",
    "DIAMETRO",
    "DIAM",
    "DIAMETRE",
    "DURCHMESSER",
    "ABERTURA",
    "口径",
];
/// Nominal apertures of recessed lights, inches (common practice).
const APERTURES: std::ops::RangeInclusive<f64> = 1.0..=12.0;
const MM: f64 = 25.4;
/// A bare figure from here on is millimetres: no aperture is so many inches.
const BARE_MM: f64 = 50.0;

/// Whether folded words speak of a recessed light.
pub fn recessed(words: &str) -> bool {
    let mut each = words.split(|c: char| !c.is_alphanumeric());
    let apart = each.any(|w| RECESSED.contains(&w));
    apart || RECESSED.iter().any(|r| !r.is_ascii() && words.contains(r))
}

/// The entry of a line of cells below their heads, or why it is none.
pub fn entry(tag: &str, heads: &[(f64, String)], row: &[String]) -> Result<Luminaire, &'static str> {
    let all = folded(&row.join(" "));
    let words: Vec<&str> = all.split(|c: char| !c.is_alphanumeric()).collect();
    let has = |list: &[&str]| words.iter().any(|w| list.contains(w));
    let headed = |list: &[&str]| {
        let fits = |head: &String| {
            head.split(|c: char| !c.is_alphanumeric())
                .any(|w| list.contains(&w))
        };
        (heads.iter().zip(row))
            .find(|(head, _)| fits(&head.1))
            .map(|(_, cell)| folded(cell))
    };
    let mounted = headed(&MOUNTINGS).is_some_and(|cell| {
        let mut each = cell.split(|c: char| !c.is_alphanumeric());
        each.any(|w| MOUNTED.contains(&w))
    });
    if !recessed(&all) && !mounted {
        return Err("no recessed light");
    }
    let aperture = headed(&SIZES)
        .and_then(|cell| aperture(&cell, true))
        .or_else(|| aperture(&all, false))
        .ok_or("no aperture is written")?;
    let lumens = headed(&["LUMENS", "LUMEN", "LM"])
        .and_then(|cell| first_number(&cell))
        .or_else(|| {
            let place = words.iter().position(|w| ["LM", "LUMENS"].contains(w))?;
            words.get(place.checked_sub(1)?)?.parse().ok()
        });
    let next_to = |a: &str, b: &str| words.windows(2).any(|w| w == [a, b]);
    let mut entry = Luminaire::of_aperture(tag, aperture);
    entry.ic = has(&["IC", "ICAT"]) && !next_to("NON", "IC");
    entry.lumens = lumens;
    if has(&["REMODEL", "REMODELER"]) || next_to("OLD", "WORK") {
        entry.mount = Mount::OldWork;
    }
    Ok(entry)
}

/// The first nominal size in words: `6"`, `6 IN`, `150 MM`; where `bare`, a number alone is inches.
fn aperture(text: &str, bare: bool) -> Option<f64> {
    let text = text.replace(['”', '″'], "\"");
    let mut rest = text.as_str();
    while let Some(at) = rest.find(|c: char| c.is_ascii_digit()) {
        let from = &rest[at..];
        let end = from
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(from.len());
        let (digits, after) = from.split_at(end);
        let after = after.trim_start_matches([' ', '-']);
        let unit = ["\"", "INCH", "IN ", "IN.", "MM"]
            .into_iter()
            .find(|u| after.starts_with(u));
        let unit = unit.or((after == "IN").then_some("IN"));
        let size: Option<f64> = digits.trim_end_matches('.').parse().ok();
        let size = match unit {
            Some("MM") => size.map(|s| s / MM),
            Some(_) => size,
            None => size
                .filter(|_| bare)
                .map(|s| if s >= BARE_MM { s / MM } else { s }),
        };
        if let Some(size) = size.filter(|s| APERTURES.contains(s)) {
            return Some(size);
        }
        rest = &from[end..];
    }
    None
}

fn first_number(text: &str) -> Option<f64> {
    let from = text.find(|c: char| c.is_ascii_digit())?;
    let digits = &text[from..];
    let end = digits.find(|c: char| !c.is_ascii_digit()).unwrap_or(digits.len());
    digits[..end].parse().ok().filter(|v: &f64| *v > 0.0)
}
