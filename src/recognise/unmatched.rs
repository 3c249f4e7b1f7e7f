//! Patterns of the rules file that match nothing in a drawing.

use std::collections::BTreeSet;

use super::classes::{Class, table};
use crate::flatten::{Flat, Prim};
use crate::note::{Level, Note};
use crate::recognise::pens;
use crate::rules::{Patterns, Rules, last_part};

/// Names less alike than this are not offered (Jaro-Winkler similarity, from 0 to 1).
const ALIKE: f64 = 0.8;

/// A note for each class of which no pattern matches any layer or block of the drawing.
pub fn told(flat: &Flat, rules: &Rules, notes: &mut Vec<Note>) {
    let layers: BTreeSet<&str> = (flat.items.iter().map(|item| &*item.layer))
        .chain(
            flat.unreached
                .iter()
                .flat_map(|b| b.layers.iter().map(|(layer, _)| layer.as_str())),
        )
        .collect();
    let mut blocks: BTreeSet<&str> = flat.unreached.iter().map(|b| b.name.as_str()).collect();
    for item in &flat.items {
        if let Prim::Symbol(s) = &item.prim {
            blocks.extend([&*s.true_name, &*s.block]);
        }
    }
    if layers.is_empty() {
        return;
    }
    for (class, patterns) in table(&rules.read) {
        let (key, _) = class.section(&rules.read);
        let level = match class {
            Class::Light | Class::Framing | Class::Wall => Level::Warning,
            _ => Level::Info,
        };
        let all = || patterns.ruled_layers().chain(patterns.ruled_blocks());
        // A pen's pattern, `0:3`, matches what is drawn in that colour, and `0:circle 5` what is drawn so.
        let of_pens =
            all().any(|p| pens::layer_of(p).is_some()) || patterns.ruled_blocks().any(|p| p.contains(':'));
        if all().next().is_none() || of_pens || matches(patterns, &layers, &blocks) {
            continue;
        }
        let named: Vec<&str> = all().map(String::as_str).take(MOST).collect();
        let near = nearest(patterns.ruled_layers(), &layers)
            .map(|n| format!("layer {n}"))
            .or(nearest(patterns.ruled_blocks(), &blocks).map(|n| format!("block {n}")));
        let near = near.map_or(String::new(), |n| format!("; the nearest is {n}"));
        notes.push(Note::new(
            level,
            "read-unmatched",
            format!(
                "no layer and no block of this drawing matches {} of [read] {key} in the rules file{near}",
                named.join(", ")
            ),
        ));
    }
}

/// Most patterns that a note repeats.
const MOST: usize = 4;

fn matches(patterns: &Patterns, layers: &BTreeSet<&str>, blocks: &BTreeSet<&str>) -> bool {
    layers.iter().any(|l| patterns.layer_ruled(l).is_some())
        || blocks.iter().any(|b| patterns.block_ruled(b).is_some())
}

/// The name most like one of some patterns.
fn nearest<'a, 'p>(patterns: impl Iterator<Item = &'p String>, names: &BTreeSet<&'a str>) -> Option<&'a str> {
    let plain = |s: &str| last_part(s).replace(['*', '?'], "").to_uppercase();
    let patterns: Vec<String> = patterns.map(|p| plain(p)).collect();
    let score = |name: &str| {
        let each = patterns.iter().map(|p| strsim::jaro_winkler(p, &plain(name)));
        each.fold(0.0, f64::max)
    };
    let scored = names.iter().map(|n| (score(n), *n)).filter(|(s, _)| *s >= ALIKE);
    // Of equals the first in alphabetical order.
    scored.rev().max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, n)| n)
}
