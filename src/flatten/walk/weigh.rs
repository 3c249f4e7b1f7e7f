//! How many items a part of a drawing makes, without drawing it.

use super::{ITEM, Walk};
use crate::drawing::{EntityRef, Insert, Shape};
use crate::flatten::blocks::Ready;
use crate::flatten::bounds::copied;
use crate::flatten::insert::Placing;

/// A part that an entity draws takes so many bytes of its text at least, and an entity hardly more parts than this.
const PART: u64 = 30;
const MOST_PARTS: u64 = 400;

/// What an INSERT with its array makes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Array {
    pub items: u64,
    /// Bytes of memory of these items and of the copies of its symbol.
    pub bytes: u64,
}

impl<'a> Walk<'_, 'a> {
    /// Items that model space and what its INSERTs draw come to, those that may be drawn; no fewer, but for entities of
    /// very many parts.
    pub fn expected(&self) -> usize {
        let (mut drawn, mut parts, mut left) = (0_u64, 0_u64, self.most);
        for reference in &self.drawing.entities {
            match self
                .drawing
                .source
                .get(reference.name.clone())
                .unwrap_or_default()
            {
                b"INSERT" | b"MINSERT" => {
                    let Array { items, bytes } = self.drawn_by(reference, left);
                    drawn = drawn.saturating_add(items.min(left / ITEM));
                    left = left.saturating_sub(bytes);
                }
                b"MULTILEADER" | b"MLINE" | b"MESH" | b"POLYLINE" | b"HATCH" => {
                    parts += (reference.range.len() as u64 / PART).clamp(1, MOST_PARTS);
                }
                _ => {}
            }
        }
        let more = drawn.saturating_add(parts.min(self.most / ITEM / 8));
        self.drawing.entities.len() + usize::try_from(more).unwrap_or(0)
    }

    /// What an INSERT in model space draws beside its own item where so many bytes are left.
    fn drawn_by(&self, reference: &EntityRef, left: u64) -> Array {
        let (entity, _) = self.drawing.entity(reference);
        let Shape::Insert(insert) = &entity.shape else {
            return Array { items: 0, bytes: 0 };
        };
        let block = self.blocks.find(&insert.block);
        let cells = Placing::new(insert, entity.extrusion, [0.0; 3]).cells();
        let all = self.array(insert, block, cells);
        // Of an array that is too large the first cell is drawn.
        match all.bytes > left {
            true => self.array(insert, block, 1),
            false => all,
        }
    }

    /// What so many cells of an INSERT make beyond the item that is written.
    pub(super) fn array(&self, insert: &Insert<'_>, block: Option<usize>, cells: u64) -> Array {
        let definition = block.and_then(|b| self.blocks.list.get(b));
        let (inside, constants) = definition.map_or((0, 0), |d| (d.size, d.constants.len()));
        let items = cells.saturating_mul(inside.saturating_add(1)).saturating_sub(1);
        // Symbols and their attributes are no items; those of the first cell are written.
        let attribs = insert.attribs.len().saturating_add(constants) as u64;
        let copies = copied(cells - 1, attribs);
        Array {
            items,
            bytes: items.saturating_mul(ITEM).saturating_add(copies),
        }
    }

    /// Items in a block, those of nested blocks included.
    fn inside(&self, block: &str) -> u64 {
        let block = self.blocks.find(block).and_then(|b| self.blocks.list.get(b));
        block.map_or(0, |d| d.size)
    }

    /// Items that drawing a block's entities from the `k`th on makes.
    pub(super) fn weight_from(&mut self, block: usize, k: usize) -> u64 {
        let known = self.weights.get(block).copied().flatten().filter(|_| k == 0);
        if let Some(known) = known {
            return known;
        }
        let Some(definition) = self.blocks.list.get(block) else {
            return 0;
        };
        let rest = definition.entities.get(k..).unwrap_or_default();
        let weight = rest
            .iter()
            .map(|r| self.weight(r))
            .fold(0_u64, u64::saturating_add);
        self.weighed = self.weighed.saturating_add(rest.len() as u64);
        if k == 0
            && let Some(known) = self.weights.get_mut(block)
        {
            *known = Some(weight);
        }
        weight
    }

    /// Items that drawing an entity once makes.
    fn weight(&self, ready: &Ready<'a>) -> u64 {
        let Shape::Insert(insert) = &ready.entity.shape else {
            return ready.draws();
        };
        let inside = self.inside(&insert.block);
        let cells = Placing::new(insert, ready.entity.extrusion, [0.0; 3]).cells();
        cells.saturating_mul(inside.saturating_add(1))
    }
}
