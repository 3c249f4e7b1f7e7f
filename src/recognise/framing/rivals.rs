//! Two framings drawn one over the other: the ceiling's joists, and rafters, trusses or another floor's joists on a layer
//! of their own.
//!
//! One ceiling has one framing: a layer whose name says CEILING is it, a layer of rafters is not where another is; else
//! neither is taken, and a question names both. Layers that the rules file names are all taken.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::super::classes::{Claim, Class, Classes};
use super::super::evidence::{beside, crosses};
use super::super::shape::between_degrees;
use super::{overlapping, with_items};
use crate::flatten::Flat;
use crate::note::{Level, Note};
use crate::plan::{Member, MemberKind};
use crate::rules::{Patterns, Rules, listed};

/// Words of names (common practice; other languages from memory). `AT_THE_CEILING` outweighs the others.
const AT_THE_CEILING: &str = "
    CEILING CEILINGS CEIL CEILG CLG CLNG CJ CJS C_J CIELO TECHO PLAFOND FORRO TETO DECKE *DECKENBALKEN
    DECKENBALKENLAGE *天井* *天花* *吊顶* *吊頂* *천장* *野縁*";
const OF_THE_ROOF: &str = "
    ROOF ROOFS ROOFING RAFTER RAFTERS RFTR RFTRS RFTS DACH *SPARREN SPARRENLAGE *DACHBINDER *PFETTE *PFETTEN TOITURE
    CHEVRONS CHEVRONNAGE PANNES CUBIERTA TEJADO CABIO CABIOS CABRIO CABRIOS CORREAS TELHADO CAIBRO CAIBROS TERCAS
    *屋面* *屋根* *椽* *垂木* *小屋組* *지붕* *서까래*";
const OF_A_FLOOR: &str = "
    FLOOR FLOORS FLR FLRS FLOR FJ F_J DECK DECKS DECKING FOUNDATION FNDN CRAWL CRAWLSPACE BASEMENT BELOW PORCH
    PISO SUELO PLANCHER SOL BODEN FUSSBODEN *床* *바닥*";
/// Members of two such layers stand side by side in one framing.
const OF_ONE: &str = "EXIST EXISTING EXST EXG EX NEW ADDED ADDL DBL DOUBLE DOUBLED SISTER SISTERED SISTERS";

/// So many members of each layer lie over the other's, at least.
const FEWEST: usize = 3;
/// Each lies across so many of the other's.
const ACROSS: usize = 2;
/// So many of one layer lie across its others each way, at this angle at least (degrees), where they are a grid.
const GRID: usize = 4;
const TURNED: f64 = 20.0;
/// Members of another layer within this on either side of one stand among it, inches (24 in on centre with slack).
const AMONG: f64 = 26.0;
/// Apart from one that stands beside it as a ply or a sister, inches.
const SISTER: f64 = 0.5;
/// Members of a layer that are looked at; the rest of it lies no other way.
const MOST: usize = 1000;

/// What the members of two layers are to one another.
struct Pair {
    a: usize,
    b: usize,
    parallel: bool,
}

/// What a name says of where its framing is.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Storey {
    Ceiling,
    Roof,
    Floor,
    Unsaid,
}

/// A layer and its members.
struct Layer {
    name: Arc<str>,
    members: Vec<Member>,
    level: Storey,
}

/// All members drawn, as [`with_items`] gives them, less those of layers that lie over the ceiling's framing; the names of
/// these layers.
pub fn settled(
    flat: &Flat,
    classes: &mut Classes,
    rules: &Rules,
    claims: &mut [Claim],
    notes: &mut Vec<Note>,
) -> (Vec<(Member, usize)>, Vec<Arc<str>>) {
    let (mut tried, mut told) = (claims.to_vec(), Vec::new());
    let drawn = with_items(flat, classes, rules, &mut tried, &mut told);
    let layers = layers(flat, classes, &drawn);
    let mut aside: Vec<Arc<str>> = Vec::new();
    let mut said = Vec::new();
    for pair in pairs(&layers) {
        let (a, b) = (&layers[pair.a], &layers[pair.b]);
        if !aside.contains(&a.name) && !aside.contains(&b.name) {
            settle(a, b, &pair, rules, &mut aside, &mut said);
        }
    }
    notes.extend(said);
    for layer in layers.iter().filter(|l| !aside.contains(&l.name)) {
        notes.extend(in_itself(layer, rules));
    }
    if aside.is_empty() {
        claims.copy_from_slice(&tried);
        notes.extend(told);
        overlapping::told(flat, classes, &drawn, notes);
        return (drawn, aside);
    }
    for (i, item) in flat.items.iter().enumerate() {
        if classes.of[i] == Class::Framing && aside.contains(&classes.pens.name(item)) {
            classes.of[i] = Class::Other;
        }
    }
    let drawn = with_items(flat, classes, rules, claims, notes);
    overlapping::told(flat, classes, &drawn, notes);
    (drawn, aside)
}

/// Layers of joists and trusses, in order of their names.
fn layers(flat: &Flat, classes: &Classes, drawn: &[(Member, usize)]) -> Vec<Layer> {
    let mut found: BTreeMap<Arc<str>, Vec<Member>> = BTreeMap::new();
    for (member, item) in drawn {
        if matches!(member.kind, MemberKind::Joist | MemberKind::Truss) {
            let of = found.entry(classes.pens.name(&flat.items[*item])).or_default();
            if of.len() < MOST {
                of.push(member.clone());
            }
        }
    }
    let words = [AT_THE_CEILING, OF_THE_ROOF, OF_A_FLOOR].map(listed);
    (found.into_iter())
        .filter(|(_, members)| members.len() >= FEWEST)
        .map(|(name, members)| {
            let level = level(&words, &name);
            Layer { name, members, level }
        })
        .collect()
}

fn level([ceiling, roof, floor]: &[Patterns; 3], name: &str) -> Storey {
    if ceiling.layer_matches(name) {
        Storey::Ceiling
    } else if roof.layer_matches(name) {
        Storey::Roof
    } else if floor.layer_matches(name) {
        Storey::Floor
    } else {
        Storey::Unsaid
    }
}

/// Layers that lie over one another.
fn pairs(layers: &[Layer]) -> Vec<Pair> {
    let one = listed(OF_ONE);
    let mut found = Vec::new();
    for (a, first) in layers.iter().enumerate() {
        for (b, second) in layers.iter().enumerate().skip(a + 1) {
            let across = |these: &[Member], those: &[Member]| {
                let over =
                    |m: &&Member| those.iter().filter(|o| crosses(m, o)).take(ACROSS).count() == ACROSS;
                these.iter().filter(over).take(FEWEST).count() == FEWEST
            };
            let one_framing = one.layer_matches(&first.name)
                || one.layer_matches(&second.name)
                || first.level == second.level && first.level != Storey::Unsaid;
            let (m, n) = (&first.members[..], &second.members[..]);
            if across(m, n) && across(n, m) {
                found.push(Pair {
                    a,
                    b,
                    parallel: false,
                });
            } else if !one_framing && (among(m, n) || among(n, m)) {
                found.push(Pair { a, b, parallel: true });
            }
        }
    }
    found
}

/// Asks about a layer whose own members lie across one another: tiles, strapping, or two storeys on one layer.
fn in_itself(layer: &Layer, rules: &Rules) -> Option<Note> {
    let m = &layer.members;
    let over =
        |m: &Member, those: &[Member]| those.iter().filter(|o| crosses(m, o)).take(ACROSS).count() == ACROSS;
    let across: Vec<&Member> = m.iter().filter(|a| over(a, m)).collect();
    let first = across.first()?;
    let turned = |m: &&&Member| between_degrees(m.to - m.from, first.to - first.from) >= TURNED;
    let (one, other) = (
        across.iter().filter(|m| !turned(m)).count(),
        across.iter().filter(turned).count(),
    );
    if one < GRID || other < GRID {
        return None;
    }
    let level = match rules.read.framing.given {
        true => Level::Info,
        false => Level::Warning,
    };
    let message = format!(
        "framing layer {} holds members that lie across one another, {one} one way and {other} the other, and no ceiling has \
         two framings in one place: all are counted; if some are tiles, strapping or another storey's, put them on a layer \
         of another name",
        layer.name
    );
    Some(Note::new(level, "framing-crossing", message))
}

/// Whether some members stand between two of another layer each, and next to none of it.
fn among(these: &[Member], those: &[Member]) -> bool {
    let between = |m: &&Member| {
        let offsets: Vec<(f64, f64)> = (those.iter())
            .filter_map(|o| Some((beside(m, o)?, (m.thickness + o.thickness) / 2.0 + SISTER)))
            .collect();
        let is = |side: f64| offsets.iter().any(|(d, _)| d * side > 0.0 && d.abs() <= AMONG);
        is(1.0) && is(-1.0) && offsets.iter().all(|(d, touch)| d.abs() > *touch)
    };
    these.iter().filter(between).count() >= FEWEST.max(these.len() / 3)
}

fn settle(
    a: &Layer,
    b: &Layer,
    pair: &Pair,
    rules: &Rules,
    aside: &mut Vec<Arc<str>>,
    notes: &mut Vec<Note>,
) {
    let count = |l: &Layer| format!("{} ({} members)", l.name, l.members.len());
    let over = match pair.parallel {
        true => "stands between the members of",
        false => "lies across",
    };
    if rules.read.framing.given {
        let message = format!(
            "framing layer {} {over} layer {}: both are taken, for the rules name both",
            count(a),
            count(b)
        );
        notes.push(Note::info("framing-over", message));
        return;
    }
    let ceiling = |l: &Layer| l.level == Storey::Ceiling;
    let plain = |l: &Layer, o: &Layer| l.level == Storey::Unsaid && o.level == Storey::Roof;
    let chosen = if ceiling(a) != ceiling(b) {
        Some(if ceiling(a) { (a, b) } else { (b, a) })
    } else if plain(a, b) || plain(b, a) {
        Some(if plain(a, b) { (a, b) } else { (b, a) })
    } else {
        None
    };
    let both = |first: &Layer, second: &Layer| {
        format!(
            "framing = {{ layers = [{:?}, {:?}] }}",
            crate::rules::exactly(&first.name),
            crate::rules::exactly(&second.name)
        )
    };
    if let Some((kept, left)) = chosen {
        let (level, says) = match ceiling(kept) {
            true => (Level::Info, "whose name says that it is the ceiling's"),
            false => (Level::Warning, "and its name says that it is the roof's"),
        };
        let message = format!(
            "framing layer {} {over} layer {}, {says}: {} is not taken; write {} under [read] in bayline.toml if both \
             are in the ceiling",
            count(left),
            count(kept),
            left.name,
            both(kept, left)
        );
        notes.push(Note::new(level, "framing-over", message));
        aside.push(left.name.clone());
        return;
    }
    let message = format!(
        "framing layer {} {over} layer {}, and their names do not say which is at the ceiling: neither is taken; name \
         the ceiling's as framing = {{ layers = [{:?}] }} or framing = {{ layers = [{:?}] }} under [read] in bayline.toml, or \
         both as {}",
        count(b),
        count(a),
        crate::rules::exactly(&a.name),
        crate::rules::exactly(&b.name),
        both(a, b),
    );
    notes.push(Note::warning("framing-over", message));
    aside.extend([a.name.clone(), b.name.clone()]);
}
