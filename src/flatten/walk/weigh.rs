//! How many items a part of a drawing makes, without drawing it.

use super::{ITEM, Walk};
use crate::drawing::Shape;
use crate::flatten::blocks::Ready;
use crate::flatten::insert::Placing;

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
            let cells = Placing::new(insert, entity.extrusion, [0.0; 3]).cells();
            sum.saturating_add(cells.saturating_mul(self.inside(&insert.block).saturating_add(1)))
        });
        self.drawing.entities.len() + usize::try_from(drawn.min(self.most / ITEM)).unwrap_or(0)
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
