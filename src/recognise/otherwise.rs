//! Symbols taken for lights whose mark the schedule on the drawing explains as something else.
//!
//! That is the drafter's own word, as a legend's is: a pendant is something that lights keep clear of, a sconce is
//! neither. It holds where the block's own name says nothing against it; what the rules file lists is asked first.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::classes::{Claim, Classes};
use super::drawn_schedule::recessed;
use super::schedule::Schedule;
use super::shape::{chords, hull, on_circle};
use crate::flatten::Flat;
use crate::note::Note;
use crate::plan::{Light, Obstacle};
use crate::rules::{Explained, Means, Rules, folded};

/// Sides of the outline of a loose circle.
const SIDES: u32 = 24;
/// Most words of the schedule that are repeated, letters.
const LONGEST: usize = 60;

/// Takes out of `lights` what the drawn schedule says is no recessed light; gives what of it lights keep clear of. `items`
/// are the symbols the lights were seen as, with where.
pub fn leave_out(
    flat: &Flat,
    classes: &Classes,
    (rules, schedule): (&Rules, &Schedule<'_>),
    (lights, items): (&mut Vec<Light>, &[(usize, Coord)]),
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> Vec<Obstacle> {
    let mut told: BTreeMap<(usize, bool), (usize, usize)> = BTreeMap::new();
    let mut found = Vec::new();
    lights.retain_mut(|light| {
        let Some(n) = light.schedule.and_then(|e| schedule.explained(e)) else {
            return true;
        };
        light.schedule = None;
        let Some(mark) = rules.explained.get(n) else {
            return true;
        };
        let named = light
            .block
            .as_deref()
            .is_some_and(|b| recessed(&folded(&spoken(b))));
        let kept = named && mark.means != Means::Light;
        let item = items
            .iter()
            .find(|i| i.1 == light.at && flat.items[i.0].offset == light.offset);
        let first = item.map_or(0, |i| i.0);
        if mark.means != Means::Light {
            told.entry((n, kept)).or_insert((0, first)).0 += 1;
        }
        if kept || mark.means == Means::Light {
            return true;
        }
        let outline = outline(flat, classes, light, item.map(|i| i.0));
        let claim = match mark.means {
            Means::AtTheCeiling => Claim::Device,
            _ => Claim::LightLinework,
        };
        if let Some(&(item, _)) = item {
            for i in classes.all_inside(item).into_iter().chain([item]) {
                if claims[i] == Claim::Light {
                    claims[i] = claim;
                }
            }
        }
        if mark.means == Means::AtTheCeiling && outline.len() >= 3 {
            found.push(Obstacle {
                name: format!("{} ({})", short(&mark.words), mark.tag),
                outline,
            });
        }
        false
    });
    for ((n, kept), (count, item)) in told {
        notes.push(say(&rules.explained[n], kept, count).at(flat.place(item)));
    }
    found
}

fn say(mark: &Explained, kept: bool, count: usize) -> Note {
    let (tag, words) = (&mark.tag, short(&mark.words));
    let are = match count {
        1 => "1 symbol is".to_string(),
        n => format!("{n} symbols are"),
    };
    if kept {
        return Note::warning(
            "schedule-differs",
            format!(
                "{are} marked {tag}, which the schedule on the drawing explains as \"{words}\", by blocks that are named as \
                 recessed lights: counted as lights; correct one of the two"
            ),
        );
    }
    let kept_clear = match mark.means {
        Means::AtTheCeiling => ", and kept clear of",
        _ => "",
    };
    Note::info(
        "by-schedule",
        format!(
            "{are} marked {tag}, which the schedule on the drawing explains as \"{words}\": not counted as recessed \
             lights{kept_clear}; write [[luminaire]] with tag = \"{tag}\" in bayline.toml if they are"
        ),
    )
}

/// What a symbol takes up at the ceiling.
fn outline(flat: &Flat, classes: &Classes, light: &Light, item: Option<usize>) -> Vec<Coord> {
    let all = item.map(|i| classes.all_inside(i)).unwrap_or_default();
    let points: Vec<Coord> = (all.iter())
        .filter(|&&i| flat.items[i].visible)
        .filter_map(|&i| chords(&flat.items[i].prim))
        .flat_map(|(points, _)| points)
        .collect();
    if !points.is_empty() {
        return hull(&points);
    }
    let turn = |k: u32| f64::from(k) * std::f64::consts::TAU / f64::from(SIDES);
    let corner = |k: u32| on_circle(light.at, light.drawn_radius, turn(k));
    (0..SIDES).map(corner).collect()
}

/// Marks that are letters of switches and of other things as often, and that no other mark of the schedule stands with on
/// one layer, are not read: by layer, the marks' entries.
pub fn doubtful(schedule: &Schedule<'_>, marks: &[(&str, usize)]) -> BTreeSet<usize> {
    const LETTERS: [&str; 8] = ["S", "S2", "S3", "S4", "T", "J", "E", "W"];
    let letter = |entry: usize| {
        let tag = schedule.tag(entry).trim().to_uppercase();
        schedule.explained(entry).is_some() && LETTERS.contains(&tag.as_str())
    };
    let with: BTreeSet<&str> = (marks.iter()).filter(|m| !letter(m.1)).map(|m| m.0).collect();
    let alone = |m: &(&str, usize)| letter(m.1) && !with.contains(m.0);
    (0..marks.len()).filter(|&n| alone(&marks[n])).collect()
}

fn spoken(block: &str) -> String {
    block.replace(['-', '_', '.'], " ")
}

fn short(words: &str) -> String {
    match words.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", words[..end].trim_end()),
        None => words.to_string(),
    }
}
