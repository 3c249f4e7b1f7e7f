//! The mended plan: the architect's drawing with the lights' symbols moved, and nothing else.
//!
//! Which moves are taken is decided in [`crate::remedy::joint`]; here they are carried back to the numbers that
//! each symbol is written with, and the drawing that comes of it is read anew: where it does not show
//! every light where it should be, with its type, the lights concerned are left where they are.

use std::collections::BTreeSet;

use geo::{Coord, Vector2DOps};

use crate::check::{Finding, check};
use crate::drawing::splice::NewValue;
use crate::drawing::{self, Drawing};
use crate::flatten::{self, Flat};
use crate::note::{Note, Place};
use crate::plan::{LightId, Plan, Units};
use crate::recognise::parts::{Parts, parts};
use crate::recognise::{self, Second};
use crate::remedy::Remedy;
use crate::remedy::joint::{Settled, settle, settle_from};
use crate::remedy::keep::Keep;
use crate::rules::Rules;
use crate::sheet::applied;
use crate::write::dxf;

mod source;
mod values;

use source::Sources;

/// How often the mended drawing may be read anew and found wanting before nothing is moved.
const TRIES: usize = 5;
/// A symbol that was moved is found again this near to its place, inches: what a coordinate of many digits loses.
const NEAR: f64 = 1e-4;

/// What a plan is mended from, as far as it was worked out already.
#[derive(Clone, Copy)]
pub struct Audit<'a> {
    pub drawing: &'a Drawing<'a>,
    pub flat: &'a Flat,
    pub plan: &'a Plan,
    /// With the remedies for them.
    pub findings: &'a [Finding],
    pub remedies: &'a [Remedy],
    pub rules: &'a Rules,
    pub second: Option<&'a Second>,
}

/// The mended drawing and what was done.
#[derive(Clone, Debug, PartialEq)]
pub struct Mended {
    pub bytes: Vec<u8>,
    pub settled: Settled,
    pub notes: Vec<Note>,
}

/// Moves what can be moved.
pub fn mend(audit: Audit<'_>) -> Mended {
    let Audit {
        drawing,
        flat,
        plan,
        findings,
        remedies,
        rules,
        ..
    } = audit;
    let unit = plan.units.inches_per_unit;
    let sources = Sources::new(drawing, unit);
    let drawn = parts(flat, plan, rules);
    let mut keep = Keep::of(plan, rules);
    let mut stuck: BTreeSet<LightId> = BTreeSet::new();
    let probe = Coord { x: 1.0, y: 1.0 };
    for (i, part) in drawn.iter().enumerate() {
        let light = LightId(i);
        if keep.why(light).is_none()
            && let Err(why) = edits(&audit, &sources, light, part, probe)
        {
            stuck.insert(light);
            keep.fix(light, why);
        }
    }
    let mut tries = 0;
    loop {
        tries += 1;
        let settled = match stuck.is_empty() {
            true => settle_from(plan, findings, remedies, rules, &keep),
            // Others may move now, and other remedies hold.
            false => settle(plan, findings, rules, &keep),
        };
        let mut values: Vec<NewValue> = Vec::new();
        for m in &settled.moved {
            let part = drawn.get(m.light.0);
            // It went through with the probe; a move is another number in the same places.
            if let Some(Ok(more)) = part.map(|p| edits(&audit, &sources, m.light, p, m.to - m.from)) {
                values.extend(more);
            }
        }
        let marks = applied::applied(plan, &settled, rules);
        let spliced = dxf::mended(drawing, &marks, &values, unit);
        let wrong = misread(&audit, &spliced.bytes, &settled);
        if wrong.is_empty() {
            let mut notes = spliced.notes;
            notes.extend(told(plan, &settled, &stuck));
            return Mended {
                bytes: spliced.bytes,
                settled,
                notes,
            };
        }
        let moved = || settled.moved.iter().map(|m| m.light);
        let all = tries + 1 >= TRIES || !moved().any(|l| wrong.contains(&l));
        for light in moved().filter(|l| all || wrong.contains(l)) {
            stuck.insert(light);
            keep.fix(
                light,
                "with its symbol moved the drawing is no longer read as it should be",
            );
        }
        if tries >= TRIES || settled.moved.is_empty() {
            let notes = vec![Note::warning(
                "not-mended",
                "the mended drawing is not read as it should be: it is the drawing as it came",
            )];
            let settled = settle(plan, findings, rules, &keep);
            return Mended {
                bytes: drawing.source.to_vec(),
                settled,
                notes,
            };
        }
    }
}

/// The numbers to write anew so that all of a light's symbol is drawn elsewhere; half a sentence where it cannot be.
fn edits(
    audit: &Audit<'_>,
    sources: &Sources<'_, '_>,
    light: LightId,
    part: &Parts,
    by: Coord,
) -> Result<Vec<NewValue>, String> {
    let flat = audit.flat;
    if part.missing > 0 || part.symbols.is_empty() && part.loose.is_empty() {
        return Err("not all that is drawn on its spot could be told apart".into());
    }
    let shift = |item: usize| {
        let (entity, back) = sources.alone(flat, item)?;
        values::moved(audit.drawing, entity, &back, by)
    };
    let mut all: Vec<NewValue> = Vec::new();
    for &item in part.symbols.iter().chain(&part.loose) {
        all.extend(shift(item)?);
    }
    if let (Some(&first), Some(it)) = (part.loose.first(), audit.plan.lights.get(light.0))
        && let Some(name) = sources.unplaced(flat, first, it)
    {
        return Err(format!("its symbol has a {name}, which is not moved"));
    }
    // A tag that cannot be moved by itself stays; where the light is then read without it, the light stays too.
    if let Some(more) = part.tag.and_then(|item| shift(item).ok()) {
        all.extend(more);
    }
    all.sort_by_key(|v| (v.at.start, v.at.end));
    all.dedup_by_key(|v| v.at.clone());
    Ok(all)
}

/// Lights that the mended drawing does not show as it should: at their places, with their types, and without new
/// findings. All of them where it cannot be read, or shows others.
fn misread(audit: &Audit<'_>, bytes: &[u8], settled: &Settled) -> BTreeSet<LightId> {
    let wanted = &settled.plan;
    let everything = || (0..wanted.lights.len()).map(LightId).collect();
    let Some(read) = reread(audit, bytes) else {
        return everything();
    };
    if read.lights.len() != wanted.lights.len() || read.members.len() != wanted.members.len() {
        return everything();
    }
    let mut wrong: BTreeSet<LightId> = (wanted.lights.iter().zip(&read.lights).enumerate())
        .filter(|(_, (w, r))| {
            (w.at - r.at).magnitude() > NEAR
                || w.tag != r.tag
                || w.schedule != r.schedule
                || w.block != r.block
        })
        .map(|(i, _)| LightId(i))
        .collect();
    let before = check(wanted, audit.rules);
    let after = check(&read, audit.rules);
    let known = |f: &Finding| before.iter().any(|b| b.kind == f.kind && b.lights == f.lights);
    wrong.extend(
        after
            .iter()
            .filter(|f| !known(f))
            .flat_map(|f| f.lights.iter().copied()),
    );
    wrong
}

/// The plan that the mended drawing shows.
fn reread(audit: &Audit<'_>, bytes: &[u8]) -> Option<Plan> {
    let (drawing, _) = drawing::read(bytes).ok()?;
    let (units, _): (Units, _) = recognise::units::decide(&drawing, audit.rules).ok()?;
    if units.inches_per_unit != audit.plan.units.inches_per_unit {
        return None;
    }
    let (flat, _) = flatten::flatten(&drawing, &units);
    let (plan, _, _) = recognise::recognise_with(&flat, &units, audit.rules, audit.second);
    Some(plan)
}

/// One note for each light that a finding would have moved, had its symbol let it.
fn told(plan: &Plan, settled: &Settled, stuck: &BTreeSet<LightId>) -> Vec<Note> {
    let mut seen = BTreeSet::new();
    let left = settled.left.iter();
    left.filter(|l| stuck.contains(&l.light) && seen.insert(l.light))
        .map(|l| {
            let light = plan.lights.get(l.light.0);
            let place = Place {
                handle: light.and_then(|l| l.handle.clone()),
                offset: light.map(|l| l.offset),
                ..Place::default()
            };
            Note::warning(
                "not-moved",
                format!("{} stays where it is drawn: {}", l.light, l.why),
            )
            .at(place)
        })
        .collect()
}
