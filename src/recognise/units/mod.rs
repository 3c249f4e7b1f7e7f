//! Which unit a drawing is in, by evidence.
//!
//! The header's `$INSUNITS` is one witness, and often a template's. Others are lengths that people
//! wrote into dimensions and rooms, and things of one size in every house: lumber and its spacing,
//! doors, symbols, lettering, the house. Each piece adds to the units it fits; the sums decide
//! (`docs/units.md`).

use crate::drawing::Drawing;
use crate::flatten::{Flat, Prim, flatten};
use crate::note::Note;
use crate::plan::{Units, in_full};
use crate::rules::{Rules, UnitChoice};

use super::classes::{Classes, classes};

mod areas;
mod drawn;
mod framing;
mod header;
mod impossible;
mod named_rooms;
mod over_lines;
mod own;
mod sizes;
mod to_scale;
mod weigh;
mod written;

use header::{insunits, known};
pub(super) use weigh::trust;
use weigh::{Evidence, HEADER, weigh, words};

const ASK: &str = "give it with --units in, ft, mm, cm or m";

/// A unit that a drawing may be in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    name: &'static str,
    inches: f64,
}

/// Decides the unit: the user's choice, else by evidence. `Err` is one sentence that asks for
/// `--units` where the evidence tells nothing, or is divided.
pub fn decide(drawing: &Drawing<'_>, rules: &Rules) -> Result<(Units, Vec<Note>), String> {
    let code = insunits(drawing);
    let header = code.and_then(known);
    if let Some(chosen) = chosen(rules.units) {
        let mut notes = Vec::new();
        if let Some(said) = header.filter(|h| h.inches != chosen.inches) {
            notes.push(Note::info(
                "units-overridden",
                format!(
                    "the drawing's header says {}, the rules say {name}: taken as {name}",
                    said.name,
                    name = chosen.name
                ),
            ));
        }
        let (flat, _) = flatten(drawing, &units(AS_DRAWN, String::new()));
        notes.extend(own::unscaled(drawing, &flat, chosen.inches));
        return Ok((units(chosen, "chosen in the rules or by --units".into()), notes));
    }

    let mut candidates: Vec<Candidate> = [1, 2, 4, 5, 6].into_iter().filter_map(known).collect();
    let mut said = None;
    if let Some(header) = header {
        // A survey foot is a foot as far as evidence goes: it takes that one's place.
        let same = |c: &Candidate| (c.inches / header.inches - 1.0).abs() < 1e-4;
        match candidates.iter().position(same) {
            Some(i) => {
                candidates[i] = header;
                said = Some(i);
            }
            None => {
                said = Some(candidates.len());
                candidates.push(header);
            }
        }
    }
    let (flat, _) = flatten(drawing, &units(AS_DRAWN, String::new()));
    let (mut notes, mut evidence) = mixed(&flat, &candidates);
    let classes = classes(&flat, rules);
    let long = sizes::longer_side(&flat, &classes);
    let impossible = impossible::impossible(&flat, long, &classes, &candidates);
    let struck = |i: usize| impossible.get(i).and_then(Option::as_deref);
    let may = |c: &Candidate| (candidates.iter().position(|o| o == c)).is_none_or(|i| struck(i).is_none());
    evidence.extend(header::settings(drawing, &candidates, &may));
    evidence.extend(gather(drawing, &flat, long, (&classes, rules), &candidates, &may));
    let counts = said.filter(|&i| struck(i).is_none());
    let mut verdict = weigh(candidates.len(), &evidence, counts);
    if !verdict.decided
        && let Some(more) = drawn::framing(&flat, long, &classes, rules, &candidates)
    {
        evidence.push(more);
        verdict = weigh(candidates.len(), &evidence, counts);
    }
    let best = verdict.order.first().copied().unwrap_or(0);
    let Some(winner) = candidates.get(best).copied() else {
        return Err(format!("the drawing does not say its unit; {ASK}"));
    };
    let total =
        verdict.sums.get(best).copied().unwrap_or(0.0) + if counts == Some(best) { HEADER } else { 0.0 };
    let numbers = disregarded(drawing, &flat, &candidates, &impossible, winner);
    let of_sizes = |scales: &[Candidate]| {
        // Numbers that a template's setting made speak for no scale either.
        measured(drawing, &flat, long, &classes, scales, &|_| numbers.is_none())
    };
    let seen = words(&evidence, best);
    if let Some(why) = to_scale::refused(long, &candidates, (winner, total, seen), of_sizes) {
        return Err(why);
    }
    let shown = words(&evidence, best);
    if verdict.decided {
        notes.extend(own::unscaled(drawing, &flat, winner.inches));
        notes.extend(numbers);
    }
    match (header, code) {
        (Some(header), Some(code)) if verdict.decided && said == Some(best) => {
            let mut why = format!("$INSUNITS of the drawing is {code}");
            if !shown.is_empty() {
                why += &format!("; {shown}");
            }
            Ok((units(header, why), notes))
        }
        (Some(header), _) if verdict.decided => {
            let why = format!("{shown}: {}; the header says {}", winner.name, header.name);
            notes.push(Note::warning(
                "units-by-evidence",
                format!(
                    "the drawing's header says {}, but what it shows is in {unit} ({shown}): taken as {name}; \
                     if that is wrong, give --units {}",
                    header.name, header.name, name = winner.name, unit = in_full(winner.name),
                ),
            ));
            Ok((units(winner, why), notes))
        }
        (Some(header), _) => {
            let other = verdict.order.iter().copied().find(|&i| said != Some(i));
            let name = other
                .and_then(|i| candidates.get(i))
                .map_or("another unit", |c| c.name);
            let shown = other.map_or(String::new(), |i| words(&evidence, i));
            let no_house = (said.and_then(struck)).map_or(String::new(), |said| format!(": {said}"));
            Err(format!(
                "the drawing's header says {}{no_house}, but it looks like {name} ({shown}), and neither is sure; {ASK}",
                header.name
            ))
        }
        (None, _) if verdict.decided => {
            let header = match code {
                None => "the header says none".to_string(),
                Some(code) => format!("the header says none ($INSUNITS {code})"),
            };
            Ok((
                units(winner, format!("{shown}: {}; {header}", winner.name)),
                notes,
            ))
        }
        (None, None) => Err(format!(
            "the drawing does not say its unit ($INSUNITS is absent); {ASK}"
        )),
        (None, Some(0)) => Err(format!(
            "the drawing does not say its unit ($INSUNITS is 0); {ASK}"
        )),
        (None, Some(code)) => Err(format!(
            "the drawing's unit ($INSUNITS {code}) is not one a house is drawn in; {ASK}"
        )),
    }
}

/// Nothing converted.
const AS_DRAWN: Candidate = Candidate {
    name: "",
    inches: 1.0,
};

fn units(of: Candidate, why: String) -> Units {
    Units {
        name: of.name.into(),
        inches_per_unit: of.inches,
        why,
    }
}

fn chosen(choice: UnitChoice) -> Option<Candidate> {
    match choice {
        UnitChoice::Auto => None,
        UnitChoice::In => known(1),
        UnitChoice::Ft => known(2),
        UnitChoice::Mm => known(4),
        UnitChoice::Cm => known(5),
        UnitChoice::M => known(6),
    }
}

/// Tells of a unit that numbers of dimensions speak for and in which nothing would be of its size.
fn disregarded(
    drawing: &Drawing<'_>,
    flat: &Flat,
    candidates: &[Candidate],
    impossible: &[Option<String>],
    winner: Candidate,
) -> Option<Note> {
    let numbers = written::dimensions(drawing, flat, candidates, &|_| true)?;
    let (i, sizes) = (impossible.iter().enumerate())
        .filter_map(|(i, sizes)| Some((i, sizes.as_deref()?)))
        .find(|(i, _)| numbers.scores.get(*i).is_some_and(|score| *score > 1.0))?;
    let (said, unit) = (numbers.said.get(i)?, candidates.get(i)?);
    Some(Note::warning(
        "units-by-evidence",
        format!(
            "{said} are those of a drawing in {unit}, in which {sizes}: taken as {name}; if that is wrong, give --units {unit}",
            unit = unit.name,
            name = winner.name,
        ),
    ))
}

/// What the geometry and its texts say; `long` is the longer side of the whole.
fn gather(
    drawing: &Drawing<'_>,
    flat: &Flat,
    long: Option<f64>,
    (classes, rules): (&Classes, &Rules),
    candidates: &[Candidate],
    may: &dyn Fn(&Candidate) -> bool,
) -> Vec<Evidence> {
    let mut found = measured(drawing, flat, long, classes, candidates, may);
    found.extend(drawn::drawn(flat, long, classes, rules, candidates));
    found
}

/// Of these what is measured, and judged in no unit.
fn measured(
    drawing: &Drawing<'_>,
    flat: &Flat,
    long: Option<f64>,
    classes: &Classes,
    candidates: &[Candidate],
    may: &dyn Fn(&Candidate) -> bool,
) -> Vec<Evidence> {
    let mut found: Vec<Evidence> = written::dimensions(drawing, flat, candidates, may)
        .into_iter()
        .chain(written::rooms(flat, classes, candidates))
        .chain(areas::areas(flat, classes, candidates))
        .chain(over_lines::over_lines(flat, candidates))
        .collect();
    found.extend(framing::framing(flat, classes, candidates));
    found.extend(named_rooms::named_rooms(flat, classes, candidates));
    found.extend(sizes::sizes(flat, long, classes, candidates));
    found
}

/// Whether numbers written `ratio` times as great as what is drawn are in one of the candidates'
/// units, where one of the drawing is `inches`. A ratio of 1 tells nothing.
fn converts(ratio: f64, inches: f64) -> bool {
    const NEAR: f64 = 0.004;
    [1, 2, 4, 5, 6].into_iter().filter_map(known).any(|text| {
        let expected = inches / text.inches;
        (expected - 1.0).abs() > NEAR && (ratio / expected - 1.0).abs() <= NEAR
    })
}

/// Blocks brought in at the scale between two units: a reference in another unit than the drawing.
fn mixed(flat: &Flat, candidates: &[Candidate]) -> (Vec<Note>, Vec<Evidence>) {
    // Only what no one scales a block by for any other reason.
    const SCALES: [f64; 6] = [25.4, 1.0 / 25.4, 304.8, 1.0 / 304.8, 2.54, 1.0 / 2.54];
    let mut notes = Vec::new();
    let mut scales: Vec<f64> = Vec::new();
    for (i, item) in flat.items.iter().enumerate() {
        let Prim::Symbol(symbol) = &item.prim else {
            continue;
        };
        let scale = symbol.x_axis.x.hypot(symbol.x_axis.y);
        let known = SCALES.iter().find(|s| (scale / **s - 1.0).abs() < 1e-3);
        if let (None, Some(known)) = (item.within, known) {
            if scales.is_empty() {
                notes.push(
                    Note::info(
                        "units-mixed",
                        format!(
                            "block {} is inserted at {}: it was drawn in another unit than this drawing",
                            symbol.block,
                            weigh::number(scale)
                        ),
                    )
                    .at(flat.place(i)),
                );
            }
            scales.push(*known);
        }
    }
    let evidence = scales.first().map(|&scale| {
        Evidence::of(candidates, 1.0, |c| {
            // A unit of the block is `scale` units of the drawing.
            let fits = converts(1.0 / scale, c.inches);
            let said = format!("a block inserted at {}", weigh::number(scale));
            (f64::from(u8::from(fits)), said)
        })
    });
    (notes, evidence.into_iter().collect())
}
