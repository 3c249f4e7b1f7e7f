//! How many items a part of a drawing makes, without drawing it.

use super::{ITEM, Walk};
use crate::drawing::{Insert, Shape};
use crate::flatten::blocks::Ready;
use crate::flatten::bounds::copied;
use crate::flatten::insert::Placing;

/// What an INSERT with its array makes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Array {
    pub items: u64,
    /// Bytes of memory of these items and of the copies of its symbol.
    pub bytes: u64,
}

impl<'a> Walk<'_, 'a> {
    /// Items that model space and what its INSERTs draw come to, those that may be drawn.
    pub fn expected(&self) -> usize {
        let inserts = self.drawing.entities.iter().filter(|e| {
            let name = self.drawing.source.get(e.name.clone()).unwrap_or_default();
            name == b"INSERT" || name == b"MINSERT"
        });
        let drawn = inserts.fold(0_u64, |sum, reference| {
            let (entity, _) = self.drawing.entity(reference);
            let Shape::Insert(insert) = &entity.shape else {
                return sum;
            };
            let block = self.blocks.find(&insert.block);
            let cells = Placing::new(insert, entity.extrusion, [0.0; 3]).cells();
            let all = self.array(insert, block, cells);
            // Of an array that is too large the first cell is drawn.
            let drawn = if all.bytes > self.most {
                self.array(insert, block, 1)
            } else {
                all
            };
            sum.saturating_add(drawn.items)
        });
        self.drawing.entities.len() + usize::try_from(drawn.min(self.most / ITEM)).unwrap_or(0)
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
