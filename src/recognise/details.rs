//! Lights that stand beside the title of a detail, in no room.
//!
//! They are counted, since a title alone does not say how far its detail reaches, and asked about.

use std::collections::BTreeMap;

use geo::Coord;

use super::shape::{distance, finite};
use super::titles;
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::{LightId, Plan};

/// A detail's title stands no further from what is drawn in it, inches.
const REACH: f64 = 120.0;

/// Says which lights may be of a detail. Without rooms every light would be.
pub fn told(flat: &Flat, plan: &Plan, notes: &mut Vec<Note>) {
    if plan.rooms.is_empty() {
        return;
    }
    let titles: Vec<(Coord, &str)> = (flat.items.iter().filter(|i| i.visible))
        .filter_map(|item| match &item.prim {
            Prim::Text { at, text, .. } if finite(*at) && titles::is_detail(text) => Some((*at, &**text)),
            _ => None,
        })
        .collect();
    let mut of: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for (l, light) in plan.lights.iter().enumerate() {
        if light.room.is_some() {
            continue;
        }
        let nearest = (0..titles.len())
            .map(|t| (distance(titles[t].0, light.at), t))
            .filter(|t| t.0 <= REACH)
            .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        if let Some((_, t)) = nearest {
            of.entry(t).or_default().push(LightId(l).to_string());
        }
    }
    for (t, lights) in of {
        let title = titles[t].1.split_whitespace().collect::<Vec<_>>().join(" ");
        let (are, they) = match lights.len() {
            1 => ("stands", "it is counted; turn it off if it is"),
            _ => ("stand", "they are counted; turn them off if they are"),
        };
        notes.push(Note::warning(
            "detail-lights",
            format!(
                "{} {are} in no room beside \"{title}\": {they} of that detail",
                lights.join(", ")
            ),
        ));
    }
}
