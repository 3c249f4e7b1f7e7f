//! What a drawing whose names say nothing shows in each of the units it may be in.
//!
//! Framing, lights, rooms and walls are judged as they would be if the unit were known
//! (`super::super::evidence`), once for each candidate. Joists of lumber's thickness at a joist's pitch from
//! wall to wall are so in one unit only; outlines of a room's size are so in several, and tell little.

use super::super::classes::{Class, Classes};
use super::super::evidence::{self, Basis, Judged};
use super::Candidate;
use super::weigh::Evidence;
use crate::flatten::Flat;
use crate::rules::Rules;

/// Framing that would be taken for it: its thickness and its pitch are measured in one, so it weighs what
/// both weigh where names tell which lines are framing.
const FRAMING: f64 = 6.0;
/// Framing by name, besides its thickness and its pitch.
const NAMED_FRAMING: f64 = 3.0;
/// Framing that would only be asked about: boards of another unit may lie at a joist's pitch.
const MAYBE_FRAMING: f64 = 1.2;
/// Symbols that would be taken for lights.
const LIGHTS: f64 = 1.0;
/// Outlines and lines that would be taken for rooms and walls: their sizes leave much room.
const HOUSE: f64 = 0.5;

/// The longer side of what is a house at all, inches: 10 to 500 ft (common practice, with room to spare). What
/// is not is not looked through in that unit.
const HOUSE_LONG: std::ops::RangeInclusive<f64> = 120.0..=6000.0;

/// Evidence for each class that the names leave open. `flat`, and `long`, its longer side, are in the drawing's
/// units.
pub fn drawn(
    flat: &Flat,
    long: Option<f64>,
    classes: &Classes,
    rules: &Rules,
    candidates: &[Candidate],
) -> Vec<Evidence> {
    if !evidence::asked(flat, classes, rules) {
        return Vec::new();
    }
    let seen: Vec<Vec<Judged>> = (candidates.iter())
        .map(|c| {
            in_unit(flat, long, c).map_or(Vec::new(), |flat| {
                evidence::judged(&flat, &mut classes.clone(), rules).0
            })
        })
        .collect();
    [Class::Framing, Class::Light, Class::Room, Class::Wall]
        .into_iter()
        .filter_map(|class| of(class, &seen))
        .collect()
}

/// The same for what is on layers called framing, where gaps between lines alone do not decide.
pub fn framing(
    flat: &Flat,
    long: Option<f64>,
    classes: &Classes,
    rules: &Rules,
    candidates: &[Candidate],
) -> Option<Evidence> {
    if !classes.of.contains(&Class::Framing) {
        return None;
    }
    let seen = |c: &Candidate| evidence::framing_by_name(&in_unit(flat, long, c)?, classes, rules);
    let said = Evidence::of(candidates, NAMED_FRAMING, |c| seen(c).unwrap_or_default());
    said.scores.iter().any(|s| *s > 0.0).then_some(said)
}

/// The drawing as it is in a unit; `None` where its longer side would be no house's.
fn in_unit(flat: &Flat, long: Option<f64>, candidate: &Candidate) -> Option<Flat> {
    let house = HOUSE_LONG.contains(&(long? * candidate.inches));
    house.then(|| flat.scaled(candidate.inches))
}

/// The surest judgement of one class under each candidate; `None` where none says anything.
fn of(class: Class, seen: &[Vec<Judged>]) -> Option<Evidence> {
    let (scores, said): (Vec<f64>, Vec<String>) = (seen.iter())
        .map(|judged| {
            // What a legend says is so in every unit.
            let by_sight =
                |j: &&Judged| j.class == class && !matches!(j.basis, Basis::Legend | Basis::LegendOverName);
            (judged.iter().filter(by_sight))
                .max_by(|a, b| a.confidence.total_cmp(&b.confidence))
                .map_or((0.0, String::new()), |j| {
                    (weight(j) * j.confidence, format!("on {}: {}", j.name, j.why))
                })
        })
        .unzip();
    (scores.iter().any(|s| *s > 0.0)).then_some(Evidence { scores, said })
}

fn weight(judged: &Judged) -> f64 {
    match (judged.class, judged.taken()) {
        (Class::Framing, true) => FRAMING,
        (Class::Framing, false) => MAYBE_FRAMING,
        (Class::Light, true) => LIGHTS,
        (_, true) => HOUSE,
        _ => 0.0,
    }
}
