//! What layouts (paper space) draw, each by itself.

use std::collections::BTreeMap;

use super::Flat;
use super::blocks::{self, Blocks, Names};
use super::layers::Layers;
use super::matrix::Affine;
use super::walk::{Frame, Walk};
use crate::drawing::{Drawing, EntityRef};
use crate::plan::Units;

/// Layouts that are looked at; a sheet set has fewer.
const MOST: usize = 64;

/// The layouts' own entities, a drawing for each layout, as if it were model space, in file order. Viewports draw nothing. Lengths on
/// paper are not the house's.
pub fn papers(drawing: &Drawing<'_>, units: &Units) -> Vec<Flat> {
    let mut layers = Layers::new(&drawing.layers);
    let mut names = Names::default();
    let (blocks, _) = Blocks::new(drawing, &mut layers, &mut names);
    let mut by_layout: BTreeMap<Option<Vec<u8>>, Vec<blocks::Ready<'_>>> = BTreeMap::new();
    for reference in &drawing.entities {
        let (ready, _) = blocks::ready(drawing, reference, &mut layers, &mut names);
        if ready.entity.paper && &*ready.kind != "VIEWPORT" {
            by_layout
                .entry(owner(drawing, reference))
                .or_default()
                .push(ready);
        }
    }
    let scale = units.inches_per_unit;
    let map = Affine::scaling([scale, scale, scale]);
    let frame = Frame {
        map: &map,
        from: None,
        within: None,
    };
    let mut found = Vec::new();
    for ready in by_layout.into_values().take(MOST) {
        let mut walk = Walk::new(drawing, &blocks, layers);
        for ready in &ready {
            walk.entity(ready, frame);
        }
        let (flat, _, walked) = walk.done();
        found.push(flat);
        layers = walked;
    }
    found
}

/// The handle of what owns an entity: the layout's block record.
fn owner(drawing: &Drawing<'_>, reference: &EntityRef) -> Option<Vec<u8>> {
    let mut group = false;
    for tag in drawing.tags(reference.range.clone()) {
        let value = drawing.source.get(tag.value).unwrap_or_default().trim_ascii();
        match tag.code {
            100 => return None,
            102 => group = value.starts_with(b"{"),
            330 if !group => return Some(value.to_ascii_uppercase()),
            _ => {}
        }
    }
    None
}
