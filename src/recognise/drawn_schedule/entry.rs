//! One line of a light schedule, read into an entry.

use super::WhyLeft;
use super::kinds::{Kind, kind};
use super::size::{Sizes, sizes};
use crate::rules::{Luminaire, Mount, folded};

/// What makes a light a recessed one where the column says how it is mounted.
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

/// The entry of a line, and whether the line says if it is Type IC.
pub fn entry(tag: &str, heads: &[(f64, String)], row: &[String]) -> Result<(Luminaire, bool), WhyLeft> {
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
    let kind = match mounted {
        true => Kind::Recessed,
        false => kind(&all),
    };
    if let Kind::Other(means) = kind {
        return Err(WhyLeft::Other(means));
    }
    let columns = heads
        .iter()
        .zip(row)
        .map(|(head, cell)| (head.1.as_str(), cell.as_str()));
    // A light of whatever words is recessed where it has an aperture.
    let of_light = |why: &'static str| match kind {
        Kind::Recessed => WhyLeft::Size(why),
        _ => WhyLeft::Unclear,
    };
    let Sizes {
        aperture,
        cutout,
        headed: own,
    } = sizes(columns).map_err(of_light)?;
    if kind != Kind::Recessed && !(kind == Kind::Unknown && own) {
        return Err(WhyLeft::Unclear);
    }
    let usual = Luminaire::default();
    let aperture = aperture
        .or_else(|| Some(cutout? - (usual.opening - usual.aperture)))
        .ok_or(WhyLeft::Size("no aperture is written"))?;
    let lumens = headed(&["LUMENS", "LUMEN", "LM"])
        .and_then(|cell| first_number(&cell))
        .or_else(|| {
            let place = words.iter().position(|w| ["LM", "LUMENS"].contains(w))?;
            words.get(place.checked_sub(1)?)?.parse().ok()
        });
    let next_to = |a: &str, b: &str| words.windows(2).any(|w| w == [a, b]);
    let mut entry = Luminaire::of_aperture(tag, aperture);
    if let Some(cutout) = cutout.filter(|&c| c >= aperture - 0.5) {
        entry.body += cutout - entry.opening;
        entry.opening = cutout;
    }
    let rating = rating(&words, headed(&["IC", "ICAT"]).as_deref());
    entry.ic = rating.unwrap_or(usual.ic);
    entry.lumens = lumens;
    if has(&["REMODEL", "REMODELER"]) || next_to("OLD", "WORK") {
        entry.mount = Mount::OldWork;
    }
    Ok((entry, rating.is_some()))
}

/// Whether folded words, or the cell under a head `IC`, say that a light is Type IC; `None` where they say neither, or both.
fn rating(words: &[&str], cell: Option<&str>) -> Option<bool> {
    let (mut for_it, mut against) = (false, words.contains(&"NONIC"));
    for (i, _) in words
        .iter()
        .enumerate()
        .filter(|(_, w)| ["IC", "ICAT"].contains(w))
    {
        let before = i.checked_sub(1).map_or("", |b| words[b]);
        let denied = ["NON", "NOT", "NO", "WITHOUT"].contains(&before);
        against |= denied;
        for_it |= !denied;
    }
    match cell.map(str::trim) {
        Some("YES" | "Y" | "X" | "SI" | "JA" | "OUI" | "✓" | "●") => for_it = true,
        Some("NO" | "N" | "NON" | "NEIN") => against = true,
        _ => {}
    }
    (for_it != against).then_some(for_it)
}

fn first_number(text: &str) -> Option<f64> {
    let from = text.find(|c: char| c.is_ascii_digit())?;
    let digits = &text[from..];
    let end = digits.find(|c: char| !c.is_ascii_digit()).unwrap_or(digits.len());
    digits[..end].parse().ok().filter(|v: &f64| *v > 0.0)
}
