//! Framing in a block that no layout shows: offered by name, and taken where the rules name it.

use std::collections::BTreeMap;

use super::register::take_over::Second;
use super::shape::{between_degrees, dot, left_of, unit};
use super::{callouts, recognise};
use crate::drawing::Drawing;
use crate::flatten::{self, Flat, Item, Prim};
use crate::length::inches_only;
use crate::note::{Level, Note};
use crate::plan::{Member, MemberKind, MemberSource, Plan, Units};
use crate::rules::{Patterns, Rules, exactly};

/// So many members on end with one spacing look like framing.
const LEAST_MEMBERS: usize = 4;
/// They are no shorter than this, and this far apart, inches (12 in on centre to 4 ft).
const SHORTEST: f64 = 36.0;
const APART: std::ops::RangeInclusive<f64> = 10.0..=50.0;
/// Spacings are one within this, inches.
const ONE_SPACING: f64 = 0.5;
/// Blocks that are looked at, the fullest first, and what one may hold.
const MOST_BLOCKS: usize = 4;
const MOST_HELD: usize = 100_000;
/// Layers of one block that are tried by their geometry.
const MOST_LAYERS: usize = 12;

/// A family of members on end.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Family {
    count: usize,
    spacing: f64,
}

/// What the block that the rules name holds, as a second drawing in this drawing's own coordinates;
/// `None` where the rules name none.
///
/// # Errors
/// One sentence: there is no such block, or it holds no framing.
pub fn from_block(drawing: &Drawing<'_>, units: &Units, rules: &Rules) -> Option<Result<Second, String>> {
    let name = rules.framing.from_block.as_deref()?;
    let Some((flat, notes)) = flatten::block(drawing, units, name) else {
        return Some(Err(format!(
            "the drawing has no block \"{name}\", which [framing] from_block names"
        )));
    };
    Some(match understood(&flat, units, rules) {
        Some(found) => {
            let mut told = notes;
            told.extend(found.notes);
            let mut second = Second::new(&format!("block {name}"), &found.plan, told);
            second.own_drawing = true;
            second.written = callouts::of(&found.flat, units, &found.rules);
            Ok(second)
        }
        None => Err(format!(
            "block \"{name}\", which [framing] from_block names, holds nothing that reads as members; name its \
             layers under [read] framing"
        )),
    })
}

struct Understood {
    flat: Flat,
    plan: Plan,
    notes: Vec<Note>,
    rules: Rules,
}

/// Reads a block's contents; what is off or frozen only where nothing else is framing, and layers without
/// a word for it only where their geometry is that of framing.
fn understood(flat: &Flat, units: &Units, rules: &Rules) -> Option<Understood> {
    let read = |flat: &Flat, rules: &Rules| {
        let (plan, notes) = recognise(flat, units, rules);
        let any = spans(&plan).next().is_some();
        any.then(|| Understood {
            flat: flat.clone(),
            plan,
            notes,
            rules: rules.clone(),
        })
    };
    if let Some(found) = read(flat, rules) {
        return Some(found);
    }
    let mut flat = flat.clone();
    let mut hidden = 0;
    for item in &mut flat.items {
        hidden += usize::from(!item.visible);
        item.visible = true;
    }
    let mut found = (hidden > 0).then(|| read(&flat, rules)).flatten();
    if let Some(found) = &mut found {
        found.notes.push(Note::warning(
            "block-hidden",
            "its framing is on layers that are off or frozen, and is read all the same",
        ));
    }
    found.or_else(|| {
        let rules = by_geometry(&flat, units, rules)?;
        read(&flat, &rules)
    })
}

/// Rules that take for framing the layers whose lines make a family; `None` where none do.
fn by_geometry(flat: &Flat, units: &Units, rules: &Rules) -> Option<Rules> {
    let mut layers: BTreeMap<&str, usize> = BTreeMap::new();
    for item in &flat.items {
        if matches!(
            item.prim,
            Prim::Segment { .. } | Prim::Path { .. } | Prim::Face(_)
        ) {
            *layers.entry(&item.layer).or_insert(0) += 1;
        }
    }
    let mut order: Vec<(&str, usize)> = layers.into_iter().filter(|l| l.1 >= LEAST_MEMBERS).collect();
    order.retain(|(l, _)| {
        let read = &rules.read;
        let others = [
            &read.walls,
            &read.rooms,
            &read.lights,
            &read.devices,
            &read.ignore,
        ];
        !others.iter().any(|p| p.layer_matches(l))
    });
    order.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(b.0)));
    let with = |layers: Vec<String>| {
        let mut rules = rules.clone();
        rules.read.framing = Patterns {
            layers,
            given: true,
            ..Patterns::default()
        };
        rules
    };
    let framing: Vec<String> = (order.into_iter().take(MOST_LAYERS))
        .filter(|(l, _)| {
            let (plan, _) = recognise(&only(flat, l), units, &with(vec![exactly(l)]));
            family(&plan.members).is_some()
        })
        .map(|(l, _)| exactly(l))
        .collect();
    (!framing.is_empty()).then(|| with(framing))
}

/// What of a drawing is on one layer, taken out of its blocks.
fn only(flat: &Flat, layer: &str) -> Flat {
    let on_it = flat.items.iter().filter(|i| &*i.layer == layer);
    let items: Vec<Item> = on_it
        .filter(|i| !matches!(i.prim, Prim::Symbol(_)))
        .map(|i| Item {
            within: None,
            ..i.clone()
        })
        .collect();
    Flat {
        entities: items.len(),
        items,
        ..Flat::default()
    }
}

fn spans(plan: &Plan) -> impl Iterator<Item = &Member> {
    plan.members.iter().filter(|m| {
        matches!(m.kind, MemberKind::Joist | MemberKind::Truss)
            && matches!(m.source, MemberSource::Drawn | MemberSource::Centreline)
    })
}

/// The greatest family of parallels with one spacing; `None` where there is none.
fn family(members: &[Member]) -> Option<Family> {
    let long: Vec<(&Member, geo::Coord)> = members
        .iter()
        .filter_map(|m| unit(m.to - m.from).map(|u| (m, u)))
        .filter(|(m, _)| super::shape::distance(m.from, m.to) >= SHORTEST)
        .collect();
    let mut best: Option<Family> = None;
    let mut seen: Vec<geo::Coord> = Vec::new();
    for &(first, u) in &long {
        if seen.len() >= MOST_LAYERS || seen.iter().any(|v| between_degrees(u, *v) <= 1.0) {
            continue;
        }
        seen.push(u);
        let one_way: Vec<&Member> = (long.iter())
            .filter(|(_, v)| between_degrees(u, *v) <= 1.0)
            .map(|(m, _)| *m)
            .collect();
        let n = left_of(u);
        let mut across: Vec<f64> = (one_way.iter())
            .map(|m| dot((m.from + m.to) * 0.5 - first.from, n))
            .collect();
        across.sort_by(f64::total_cmp);
        let mut gaps: Vec<f64> = across.windows(2).map(|w| w[1] - w[0]).collect();
        gaps.retain(|g| APART.contains(g));
        gaps.sort_by(f64::total_cmp);
        // The spacing that most gaps agree on.
        let agreeing = |s: f64| gaps.iter().filter(|g| (**g - s).abs() <= ONE_SPACING).count();
        let Some(spacing) = gaps
            .iter()
            .copied()
            .max_by(|a, b| (agreeing(*a).cmp(&agreeing(*b))).then(b.total_cmp(a)))
        else {
            continue;
        };
        let count = agreeing(spacing) + 1;
        if count >= LEAST_MEMBERS && best.as_ref().is_none_or(|b| count > b.count) {
            best = Some(Family {
                count: one_way.len(),
                spacing,
            });
        }
    }
    best
}

/// Offers the blocks whose framing could stand in, where the plan shows neither joists nor trusses; what
/// `notes` said of them before gives way.
pub fn offers(
    drawing: &Drawing<'_>,
    units: &Units,
    flat: &Flat,
    rules: &Rules,
    plan: &Plan,
    notes: &mut Vec<Note>,
) {
    let known = plan
        .members
        .iter()
        .any(|m| matches!(m.kind, MemberKind::Joist | MemberKind::Truss));
    if known || rules.framing.from_block.is_some() {
        return;
    }
    let mut full: Vec<(usize, &str)> = (flat.unreached.iter())
        .filter(|b| !b.name.is_empty())
        .map(|b| {
            (
                b.layers.iter().fold(0, |n: usize, l| n.saturating_add(l.1)),
                &*b.name,
            )
        })
        .filter(|(held, _)| (LEAST_MEMBERS..=MOST_HELD).contains(held))
        .collect();
    full.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(b.1)));
    let mut offered: Vec<(Vec<Member>, String)> = Vec::new();
    for (_, name) in full.into_iter().take(MOST_BLOCKS) {
        let Some((flat, _)) = flatten::block(drawing, units, name) else {
            continue;
        };
        let Some(found) = understood(&flat, units, rules) else {
            continue;
        };
        let members: Vec<Member> = spans(&found.plan).cloned().collect();
        let Some(family) = family(&members) else {
            continue;
        };
        let before = format!("block {name} holds ");
        notes.retain(|n| n.code != "block-unreached" || !n.message.starts_with(&before));
        if let Some((_, other)) = offered.iter().find(|(m, _)| same(m, &members)) {
            notes.push(Note::info(
                "block-offered",
                format!("block {name} holds the same framing as block {other}"),
            ));
            continue;
        }
        let trusses = members.iter().filter(|m| m.kind == MemberKind::Truss).count();
        let second = Second::new(name, &found.plan, Vec::new());
        notes.push(Note::new(
            Level::Warning,
            "block-offered",
            format!(
                "the plan shows no joists or trusses; block {name}, which no layout shows, holds {} joists and \
                 {trusses} trusses, {} of them side by side {} apart, {}: give from_block = {:?} under [framing] in bayline.toml if it is \
                 this ceiling's",
                members.len() - trusses,
                family.count,
                inches_only(family.spacing),
                second.fits(plan),
                name
            ),
        ));
        offered.push((members, name.to_string()));
    }
}

/// The same members, wherever they stand.
fn same(a: &[Member], b: &[Member]) -> bool {
    let (Some(p), Some(q)) = (a.first(), b.first()) else {
        return false;
    };
    let near = |u: geo::Coord, v: geo::Coord| super::shape::distance(u, v) < 0.1;
    a.len() == b.len()
        && a.iter()
            .zip(b)
            .all(|(m, n)| near(m.from - p.from, n.from - q.from) && near(m.to - p.from, n.to - q.from))
}
