//! Where an item of the flat plan is written in the source, and whether it can be moved there by itself.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use crate::drawing::{Drawing, Entity, EntityRef, Insert, Shape, Tag};
use crate::flatten::back::Back;
use crate::flatten::{Flat, Prim};
use crate::plan::Light;

/// The source's entities by place, and how often each block is drawn.
pub struct Sources<'d, 'a> {
    drawing: &'d Drawing<'a>,
    by_offset: BTreeMap<usize, &'d EntityRef>,
    /// Times a block is inserted, all layouts and blocks together, by its name in small letters.
    uses: BTreeMap<String, u64>,
    inches_per_unit: f64,
}

impl<'d, 'a> Sources<'d, 'a> {
    pub fn new(drawing: &'d Drawing<'a>, inches_per_unit: f64) -> Self {
        let mut by_offset = BTreeMap::new();
        let mut uses: BTreeMap<String, u64> = BTreeMap::new();
        let mut seen = BTreeSet::new();
        let held = drawing.blocks.iter().flat_map(|b| &b.entities);
        for reference in drawing.entities.iter().chain(held) {
            if !seen.insert(reference.range.start) {
                continue;
            }
            by_offset.insert(reference.range.start, reference);
            match drawing.entity(reference).0.shape {
                Shape::Insert(insert) => {
                    let times = uses.entry(insert.block.to_lowercase()).or_insert(0);
                    *times = times.saturating_add(cells(&insert));
                }
                Shape::Dimension {
                    block: Some(block), ..
                } => {
                    *uses.entry(block.to_lowercase()).or_insert(0) += 1;
                }
                _ => {}
            }
        }
        Sources {
            drawing,
            by_offset,
            uses,
            inches_per_unit,
        }
    }

    /// The entity of an item and the space it stands in, where the entity can be moved without moving or
    /// drawing anything else otherwise. The error says why it cannot, in half a sentence.
    pub fn alone(&self, flat: &Flat, item: usize) -> Result<(&'d EntityRef, Back), String> {
        let lost = || "it is not found again in the drawing".to_string();
        let own = self.reference(flat, item).ok_or_else(lost)?;
        let (entity, _) = self.drawing.entity(own);
        match &entity.shape {
            Shape::Insert(insert) if entity.name != "INSERT" => {
                return Err(format!("its symbol stands in a table ({})", insert.block));
            }
            Shape::Insert(insert) if cells(insert) > 1 => {
                return Err("its symbol is one cell of an array; explode the array to move it alone".into());
            }
            _ => {}
        }
        let mut chain: Vec<Entity<'a>> = Vec::new();
        let mut at = flat.items.get(item).and_then(|i| i.within);
        while let Some(w) = at {
            let outer = self.reference(flat, w).ok_or_else(lost)?;
            chain.push(self.drawing.entity(outer).0);
            at = flat.items.get(w).and_then(|i| i.within).filter(|&o| o < w);
        }
        chain.reverse();
        let mut inserts = Vec::new();
        for outer in &chain {
            let Shape::Insert(insert) = &outer.shape else {
                return Err(lost());
            };
            let times = self.uses.get(&insert.block.to_lowercase()).copied().unwrap_or(0);
            if times > 1 || outer.name != "INSERT" {
                return Err(format!(
                    "its symbol stands in block {}, which is drawn {times} times: moving it there would move the others",
                    plain(&insert.block)
                ));
            }
            inserts.push((&**insert, outer.extrusion));
        }
        Ok((own, Back::new(inserts.into_iter(), self.inches_per_unit)))
    }

    /// An entity near a light's loose symbol that is a part of it but has no single place (a hatch): its type.
    /// `own` is an entity of the symbol. In a block any such entity counts, since where it lies is not known.
    pub fn unplaced(&self, flat: &Flat, own: usize, light: &Light) -> Option<String> {
        let own = flat.items.get(own)?;
        let odd = flat
            .items
            .iter()
            .filter(|i| matches!(i.prim, Prim::Opaque) && i.visible);
        odd.filter(|i| i.within == own.within && i.layer == own.layer)
            .find(|i| own.within.is_some() || self.is_near(i.offset, light))
            .map(|i| i.entity.to_string())
    }

    /// Whether any point of an entity of model space lies in a light's symbol.
    fn is_near(&self, offset: usize, light: &Light) -> bool {
        let Some(reference) = self.by_offset.get(&offset) else {
            return false;
        };
        let tags = self.drawing.tags(reference.range.clone());
        let inches = |t: &Tag| self.drawing.real(t).map(|v| v * self.inches_per_unit);
        tags.windows(2).any(|pair| {
            let [a, b] = pair else { return false };
            if (a.code, b.code) != (10, 20) {
                return false;
            }
            let (Some(x), Some(y)) = (inches(a), inches(b)) else {
                return false;
            };
            // Mirrored object coordinates have x the other way round.
            [x, -x]
                .iter()
                .any(|x| (x - light.at.x).hypot(y - light.at.y) <= 1.5 * light.drawn_radius)
        })
    }

    fn reference(&self, flat: &Flat, item: usize) -> Option<&'d EntityRef> {
        self.by_offset.get(&flat.items.get(item)?.offset).copied()
    }
}

/// How often an INSERT draws its block, as written.
fn cells(insert: &Insert<'_>) -> u64 {
    let count = |n: u32, step: f64| if step == 0.0 { 1 } else { u64::from(n.max(1)) };
    count(insert.columns, insert.column_spacing).saturating_mul(count(insert.rows, insert.row_spacing))
}

/// A block's name, cut where it is long.
fn plain(name: &str) -> Cow<'_, str> {
    match name.char_indices().nth(40) {
        Some((cut, _)) => Cow::Owned(format!("{}…", &name[..cut])),
        None => Cow::Borrowed(name),
    }
}
