//! Units in which what is of one size in every house is of a size that no house has it in.
//!
//! A header, `$DIMLFAC` and the numbers that a dimension's style makes are settings, and often a template's. Where symbols of
//! lights would be 6 ft across in a unit, and lettering 7 ft high, they do not count for it.

use super::super::classes::Classes;
use super::Candidate;
use super::sizes::{self, DOOR, LETTERING, SYMBOL, USUAL_HOUSE, within};
use super::weigh::{median, number};
use crate::flatten::Flat;
use crate::length::feet_inches;

/// What no light's symbol, no lettering, no door's leaf and no house measures, inches: less, or more (the usual sizes, and three
/// times as much to spare).
const NO_SYMBOL: (f64, f64) = (1.0, 54.0);
const NO_LETTERING: (f64, f64) = (1.0, 40.0);
const NO_DOOR: (f64, f64) = (9.0, 120.0);
const NO_HOUSE: (f64, f64) = (80.0, 10_800.0);
/// So many kinds have to be of no size: one may be a slip.
const KINDS: usize = 2;

/// What is measured of a drawing, in its units: one kind of things.
struct Kind {
    middle: f64,
    none: (f64, f64),
    usual: (f64, f64),
    /// Of plans alone: lettering and lines are on any sheet.
    telling: bool,
    /// What it is, and how it was measured: the number goes between.
    words: (&'static str, &'static str),
}

/// What each candidate makes of the sizes: `None` where they may be, else how large they would be, in words.
pub fn impossible(
    flat: &Flat,
    long: Option<f64>,
    classes: &Classes,
    candidates: &[Candidate],
) -> Vec<Option<String>> {
    let kinds = kinds(flat, long, classes);
    let wrong = |c: &Candidate| -> Vec<&Kind> {
        (kinds.iter())
            .filter(|k| !within(k.middle * c.inches, k.none))
            .collect()
    };
    (candidates.iter())
        .map(|c| {
            let wrong = wrong(c);
            // A house may be of many sizes, so that its own does not speak for a unit here.
            let sound = (kinds.iter())
                .filter(|k| k.usual != USUAL_HOUSE)
                .any(|k| within(k.middle * c.inches, k.usual));
            let elsewhere = |other: &Candidate| {
                let fits = |k: &&&Kind| within(k.middle * other.inches, k.usual);
                let may_be = |k: &&Kind| within(k.middle * other.inches, k.none);
                wrong.iter().filter(fits).count() >= KINDS && wrong.iter().all(may_be)
            };
            let struck = wrong.len() >= KINDS
                && wrong.iter().any(|k| k.telling)
                && !sound
                && candidates.iter().any(elsewhere);
            struck.then(|| {
                let said = wrong.iter().map(|k| {
                    let (what, how) = k.words;
                    format!(
                        "{what} {} {how} would be {}",
                        number(k.middle),
                        feet_inches(k.middle * c.inches)
                    )
                });
                said.collect::<Vec<_>>().join(", ")
            })
        })
        .collect()
}

fn kinds(flat: &Flat, long: Option<f64>, classes: &Classes) -> Vec<Kind> {
    let kind = |values: Vec<f64>, none, usual, words, telling| {
        median(values).map(|middle| Kind {
            middle,
            none,
            usual,
            telling,
            words,
        })
    };
    [
        kind(
            sizes::lights_across(flat, classes),
            NO_SYMBOL,
            SYMBOL,
            ("light symbols", "across"),
            true,
        ),
        kind(
            sizes::letters_high(flat),
            NO_LETTERING,
            LETTERING,
            ("lettering", "high"),
            false,
        ),
        kind(sizes::named_doors(flat), NO_DOOR, DOOR, ("doors", "wide"), true),
        kind(
            long.into_iter().collect(),
            NO_HOUSE,
            USUAL_HOUSE,
            ("the whole", "long"),
            false,
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}
