//! Evidence for ceiling devices: letters that mark one, squares crossed as diffusers are, blades about a hub.
//!
//! A device is told by what is in its symbol, and by where it stands: in rooms, clear of walls, few in each.
//! Weights are common practice, set so that one sure mark in a frame is taken in any room, a square with both
//! diagonals (a chase, a tall cabinet) only where most rooms have one away from their walls, and furniture never.

use std::collections::BTreeMap;
use std::sync::Arc;

use geo::Coord;

use super::super::classes::{Class, Classes};
use super::super::devices::clusters;
use super::super::devices::forms::Form;
use super::super::devices::kinds::{Letters, Look, look};
use super::super::devices::marks::{is_size, mark};
use super::super::legend::Seeker;
use super::super::reading::Named;
use super::super::schedule::Schedule;
use super::super::shape::{bounds, chords, contains, distance, length};
use super::lights::in_rows;
use super::rooms::House;
use super::{Basis, Blank, Judged, says_nothing, to_sides};
use crate::flatten::{Flat, Prim};
use crate::length::inches_only;
use crate::rules::Rules;

/// What is in a symbol up to this size, corner to corner, is part of it.
const SYMBOL: f64 = 105.0;
/// Most symbols of one kind that a house has.
const MOST: usize = 500;
/// A symbol of more entities is no sign.
const MOST_PARTS: usize = 300;
/// More than so many in a room on the average stand in rows, or side by side.
const IN_A_ROOM: usize = 2;
/// An alarm stands this far from a wall's line, or it hangs on it.
const OFF_WALL: f64 = 4.0;
/// The edges of a square, and the tips of blades, stand further from walls than this.
const OFF_EDGE: f64 = 2.0;
const OFF_TIPS: f64 = 6.0;

/// Across, inches: sprinklers smaller than any light. Four and more stand in even rows.
const DOT: std::ops::Range<f64> = 1.0..2.9;
const FEWEST_DOTS: usize = 4;

/// Symbols of one name.
struct Kind<'a> {
    named: Named,
    name: &'a Arc<str>,
    looks: Vec<Look>,
    items: Vec<usize>,
}

/// A loose shape that stands once on its layer is asked about at most.
const ONCE: f64 = 0.8;

/// What reads as devices; blocks that do are put into `classes` here, with what is in them.
pub fn devices(flat: &Flat, classes: &mut Classes, rules: &Rules, blank: &Blank) -> Vec<Judged> {
    let schedule = Schedule::new(rules);
    let letters = Letters::new(flat);
    let seeker = Seeker::new(flat, classes);
    let told = (&schedule, &seeker);
    let mut kinds = blocks(flat, classes, told, &letters, blank);
    let found = loose(flat, told, &letters, blank, &kinds);
    kinds.extend(found);
    if kinds.is_empty() {
        return Vec::new();
    }
    let house = House::new(flat, classes);
    let mut found = Vec::new();
    for kind in kinds {
        let (mut confidence, why) = judge(&kind, &house);
        // Loose and once on its layer, it may be a column or a basin about letters that are another's.
        if kind.named == Named::Layer && kind.looks.len() == 1 {
            confidence = confidence.min(ONCE);
        }
        let judged = Judged {
            named: kind.named,
            name: kind.name.clone(),
            class: Class::Device,
            count: kind.looks.len(),
            confidence,
            why,
            basis: Basis::Nothing,
        };
        if judged.taken() && judged.named == Named::Block {
            for &i in &kind.items {
                classes.of[i] = Class::Device;
                for inside in classes.all_inside(i) {
                    // As a block's name hands it down.
                    if classes.of[inside] == Class::Other && !flat.items[inside].leads() {
                        classes.of[inside] = Class::Device;
                    }
                }
            }
        }
        found.push(judged);
    }
    found
}

/// Blocks whose names say nothing, wherever they stand on layers whose names say nothing, and that have a mark or a
/// shape of a device.
fn blocks<'a>(
    flat: &'a Flat,
    classes: &Classes,
    (schedule, seeker): (&Schedule, &Seeker),
    letters: &Letters,
    blank: &Blank,
) -> Vec<Kind<'a>> {
    let mut all: BTreeMap<&'a Arc<str>, Vec<usize>> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        if let Prim::Symbol(symbol) = &item.prim
            && item.visible
            && classes.of[i] == Class::Other
            && says_nothing(&symbol.true_name)
            && says_nothing(&symbol.block)
        {
            all.entry(&symbol.true_name).or_default().push(i);
        }
    }
    let part = |i: usize| {
        let around = flat.items[i].within.filter(|&w| w < i);
        around.is_some_and(|w| small(flat, classes, w))
    };
    // On a layer that says something, or within another symbol, a name would say what was not judged.
    all.retain(|_, items| {
        let judged = |&i: &usize| blank.layers.contains_key(&classes.pens.name(&flat.items[i])) && !part(i);
        items.len() <= MOST && items.iter().all(judged)
    });
    let mut found = Vec::new();
    for (name, items) in all {
        let seen = |&i: &usize| {
            let Prim::Symbol(symbol) = &flat.items[i].prim else {
                return None;
            };
            let inside = classes.all_inside(i);
            (inside.len() <= MOST_PARTS).then(|| look(flat, letters, Some(symbol), &inside))?
        };
        let looks: Option<Vec<Look>> = items.iter().map(seen).collect();
        if let Some(looks) = looks.and_then(|l| kept(seeker, schedule, l)) {
            found.push(Kind {
                named: Named::Block,
                name,
                looks,
                items,
            });
        }
    }
    let around: Vec<bool> = (found.iter())
        .map(|kind| {
            let marked = |l: &&Look| l.mark.is_some() && l.form.is_none();
            let mut looks = kind.looks.iter().filter(marked);
            looks.any(|l| {
                found
                    .iter()
                    .any(|o| o.name != kind.name && goes_round(l, &o.looks))
            })
        })
        .collect();
    let mut around = around.into_iter();
    found.retain(|_| !around.next().unwrap_or(false));
    found
}

/// Layers whose names say nothing and on which nothing is drawn but loose shapes of devices, and their letters.
fn loose<'a>(
    flat: &'a Flat,
    (schedule, seeker): (&Schedule, &Seeker),
    letters: &Letters,
    blank: &'a Blank,
    blocks: &[Kind],
) -> Vec<Kind<'a>> {
    let mut on: BTreeMap<&Arc<str>, usize> = BTreeMap::new();
    for item in &flat.items {
        *on.entry(&item.layer).or_insert(0) += 1;
    }
    let mut found = Vec::new();
    for (layer, items) in &blank.layers {
        // What stands on it within blocks, or is hidden, would be named with it.
        let bare = |&&i: &&usize| {
            let item = &flat.items[i];
            item.within.is_none() && !item.leads() && !matches!(item.prim, Prim::Symbol(_))
        };
        if on.get(layer) != Some(&items.iter().filter(bare).count()) {
            continue;
        }
        let writing = |&i: &usize| match &flat.items[i].prim {
            Prim::Text { text, .. } => mark(text).is_none() && !is_size(text),
            prim => chords(prim).is_none(),
        };
        if items.iter().any(writing) {
            continue;
        }
        let Some(symbols) = clusters(flat, items) else {
            continue;
        };
        let around = |l: &Look| blocks.iter().any(|k| goes_round(l, &k.looks));
        let looks: Option<Vec<Look>> = (symbols.iter())
            .map(|symbol| look(flat, letters, None, symbol).filter(|l| tells(l) && !around(l)))
            .collect();
        if let Some(looks) = looks.and_then(|l| kept(seeker, schedule, l)) {
            found.push(Kind {
                named: Named::Layer,
                name: layer,
                looks,
                items: items.clone(),
            });
        }
    }
    found
}

/// What is left of symbols that tell of devices without those that explain the drawing; `None` where none does, or
/// the schedule has a light of such a mark.
fn kept(seeker: &Seeker, schedule: &Schedule, mut looks: Vec<Look>) -> Option<Vec<Look>> {
    let scheduled = |l: &Look| l.texts.iter().any(|t| schedule.lettered(t).is_some());
    if looks.len() > MOST || looks.iter().any(scheduled) || !(looks.iter().any(tells) || dots(&looks)) {
        return None;
    }
    let places: Vec<(Coord, f64)> = looks.iter().map(|l| (l.at, l.long / 2.0)).collect();
    let mut explains = seeker.legends(&places).left.into_iter();
    looks.retain(|_| explains.next().flatten().is_none());
    (!looks.is_empty()).then_some(looks)
}

fn tells(look: &Look) -> bool {
    base(look) > 0.0
}

/// Whether it goes round one of some smaller symbols: its letters are that one's.
fn goes_round(look: &Look, others: &[Look]) -> bool {
    let mut others = others.iter();
    others.any(|o| tells(o) && o.long < look.long && distance(o.at, look.at) <= look.long / 2.0)
}

/// Whether symbols are small circles in number, as sprinklers are.
fn dots(looks: &[Look]) -> bool {
    let dot = |l: &Look| l.round && DOT.contains(&l.long) && l.texts.is_empty();
    looks.len() >= FEWEST_DOTS && looks.iter().all(dot)
}

fn small(flat: &Flat, classes: &Classes, symbol: usize) -> bool {
    let inside = classes.all_inside(symbol);
    let points = inside.iter().filter_map(|&c| chords(&flat.items[c].prim));
    let size = bounds(points.flat_map(|(points, _)| points));
    size.is_some_and(|(low, high)| length(high - low) <= SYMBOL)
}

/// How much one symbol's own look says.
fn base(look: &Look) -> f64 {
    let marked = look.mark.filter(|m| m.across.contains(&look.long));
    let letters = match marked {
        Some(mark) if mark.sure && !look.other_words => 0.45,
        Some(_) => 0.25,
        None => 0.0,
    };
    let letters = if letters > 0.0 && look.framed {
        letters + 0.15
    } else {
        letters
    };
    let shape = match look.form {
        // A letter in it that is no device's is a column's or an appliance's.
        _ if look.other_words => 0.0,
        None => 0.0,
        Some(Form::FourWay | Form::Blades(_)) => 0.5,
        Some(Form::Cross) => 0.35,
        Some(Form::Slash | Form::Spokes(_)) => 0.3,
        Some(Form::Rings) => 0.25,
    };
    if letters > 0.0 && shape > 0.0 {
        0.6_f64.max(letters)
    } else {
        letters.max(shape)
    }
}

/// How sure symbols of one name are devices, and what was seen.
fn judge(kind: &Kind, house: &House) -> (f64, String) {
    let all = kind.looks.len();
    let share = |n: usize| n as f64 / all as f64;
    let sprinklers = dots(&kind.looks);
    let own = match sprinklers {
        true => {
            let at: Vec<Coord> = kind.looks.iter().map(|l| l.at).collect();
            0.5 * share(in_rows(&at))
        }
        false => kind.looks.iter().map(base).sum::<f64>() / all as f64,
    };
    let mut rooms: BTreeMap<usize, usize> = BTreeMap::new();
    let mut clear = 0;
    for look in &kind.looks {
        if let Some(room) = house.rooms.iter().position(|r| contains(r, look.at)) {
            *rooms.entry(room).or_insert(0) += 1;
        }
        let off = match look.form {
            Some(Form::Blades(_) | Form::Spokes(_)) => look.long / 2.0 + OFF_TIPS,
            Some(_) => look.short / 2.0 + OFF_EDGE,
            None => OFF_WALL,
        };
        clear += usize::from(!house.lines.is_empty() && to_sides(look.at, &house.lines) >= off);
    }
    let housed: usize = rooms.values().sum();
    let few = housed == all && all <= IN_A_ROOM * rooms.len();
    let most = few && rooms.len() >= 2 && 2 * rooms.len() >= house.rooms.len();
    let confidence = own
        + 0.2 * share(housed)
        // Letters at walls are a door's or a switch's, squares are cabinets.
        + 0.2 * share(clear)
        - 0.1
        + if few { 0.1 } else { 0.0 }
        + if most { 0.1 } else { 0.0 };
    let why = format!(
        "{all} {}, {housed} in {} room(s), {clear} clear of walls",
        said(&kind.looks),
        rooms.len()
    );
    // Posts and spots of two inches stand in rows too: asked about at most.
    let most = if sprinklers { 0.8 } else { 1.0 };
    (confidence.clamp(0.0, most), why)
}

/// What the symbols look like: `symbols 6" across marked SD (smoke alarm)`.
fn said(looks: &[Look]) -> String {
    let Some(first) = looks.iter().find(|l| tells(l)).or(looks.first()) else {
        return "symbols".to_string();
    };
    if dots(looks) {
        return format!("circles {} across, as sprinklers stand", inches_only(first.long));
    }
    let across = inches_only(first.long);
    let shape = match first.form {
        Some(form) => format!("symbols {across} across, {},", form.drawn()),
        None => format!("symbols {across} across"),
    };
    let kind = first.kind().unwrap_or("device");
    let words = first
        .texts
        .iter()
        .filter(|t| mark(t).is_some())
        .flat_map(|t| t.split_whitespace());
    match first.mark {
        Some(_) => format!("{shape} marked {} ({kind})", words.collect::<Vec<_>>().join(" ")),
        None => format!("{} ({kind})", shape.trim_end_matches(',')),
    }
}
