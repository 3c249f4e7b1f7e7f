//! The walk through model space and the blocks it draws.
//!
//! Every entity becomes one item or one dropped entity, once for each time it is drawn. The walk is
//! bounded: blocks nested too deep, blocks inside themselves and arrays of millions end in a note.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::blocks::{Blocks, Ready};
use super::bounds::{Bounds, ITEM, beyond, oversized_note};
use super::clip::{self, Left};
use super::insert::Placing;
use super::layers::{Effective, Inherited, Layers, resolve};
use super::matrix::Affine;
use super::notes::{Notes, tell};
use super::primitive::{self, Odd, frame_within_reach};
use super::{Flat, Item, Prim, Symbol, SymbolAttrib, height, text};
use crate::drawing::{Drawing, Insert, Shape};
use crate::note::{Note, Place};

mod told;
mod weigh;

use weigh::Array;

/// Blocks nested deeper than this are left out. Real drawings nest fewer than ten.
pub const MAX_DEPTH: usize = 100;

/// Where the walk stands.
#[derive(Clone, Copy)]
pub struct Frame<'f> {
    /// From the coordinates of the block, or of model space, to inches in the world.
    pub map: &'f Affine,
    pub from: Option<Inherited>,
    /// The [`Prim::Symbol`] around it.
    pub within: Option<usize>,
}

/// An INSERT about to be drawn.
struct Drawn<'r, 'a> {
    ready: &'r Ready<'a>,
    insert: &'r Insert<'a>,
    /// Tags and texts of its attributes and whether they show, one for all cells.
    written: &'r [(Arc<str>, Arc<str>, bool)],
    effective: Effective,
    placing: &'r Placing,
    block: Option<usize>,
    /// The name its symbols show where its block is not defined, one for all cells.
    unknown: Option<Arc<str>>,
}

/// The state of the walk: what was found, and what may still be drawn.
pub struct Walk<'w, 'a> {
    drawing: &'w Drawing<'a>,
    blocks: &'w Blocks<'a>,
    pub layers: Layers,
    pub flat: Flat,
    pub notes: Notes,
    /// Blocks being drawn, outermost first.
    chain: Vec<usize>,
    /// By the offset of an INSERT, its first symbol, its block, and what its clips leave out.
    clips: BTreeMap<usize, (Place, String, Left)>,
    /// Pieces of lines that clips made.
    pieces: usize,
    /// Bytes of memory that INSERTs may fill in this plan.
    most: u64,
    /// Bytes that they may still fill.
    left: u64,
    /// Of these, what INSERTs that would draw more than all by themselves may draw.
    share: u64,
    /// Inside of one that draws its share only, which was told.
    cut: bool,
    /// Blocks whose reader's remarks were told.
    told: Vec<bool>,
    /// By block, what all of its entities make, where that was asked for: a plan may draw one block a million
    /// times after nothing more can be held.
    weights: Vec<Option<u64>>,
    /// Entities weighed so far.
    pub weighed: u64,
}

impl<'w, 'a> Walk<'w, 'a> {
    pub fn new(drawing: &'w Drawing<'a>, blocks: &'w Blocks<'a>, layers: Layers) -> Self {
        let written = blocks.written() + drawing.entities.len() as u64;
        let Bounds { most, share } = Bounds::of(drawing.source.len() as u64, written);
        Walk {
            drawing,
            blocks,
            layers,
            flat: Flat::default(),
            notes: Notes::default(),
            chain: Vec::new(),
            clips: BTreeMap::new(),
            pieces: 0,
            most,
            left: most,
            share,
            cut: false,
            told: vec![false; blocks.list.len()],
            weights: vec![None; blocks.list.len()],
            weighed: 0,
        }
    }

    /// What was found, once all is drawn.
    pub fn done(self) -> (Flat, Vec<Note>, Layers) {
        let mut notes = self.notes.into_vec();
        let clips = self
            .clips
            .into_values()
            .filter(|(.., left)| left.gone + left.cut > 0);
        notes.extend(clips.map(|(place, block, left)| clip::note(&block, &left, place)));
        (self.flat, notes, self.layers)
    }

    /// One entity of model space or of a block.
    pub fn entity(&mut self, ready: &Ready<'a>, frame: Frame<'_>) {
        let entity = &ready.entity;
        let effective = resolve(
            &self.layers,
            ready.layer,
            entity.color,
            entity.invisible,
            frame.from,
        );
        if let Shape::Insert(insert) = &entity.shape {
            self.insert(ready, insert, effective, frame);
            return;
        }
        if let Shape::MultiLeader(parts) | Shape::Parts(parts) = &entity.shape {
            if frame.from.is_some() {
                self.left = self.left.saturating_sub((ready.draws() - 1).saturating_mul(ITEM));
            }
            for part in parts {
                self.flat.entities = self.flat.entities.saturating_add(1);
                let drawn = primitive::part(part, entity.extrusion, frame.map);
                let height = height::height(part, entity.extrusion, frame.map);
                self.drawn(ready, effective, (frame, height), drawn);
            }
            return;
        }
        self.flat.entities = self.flat.entities.saturating_add(1);
        if ready.lost {
            self.flat.dropped = self.flat.dropped.saturating_add(1);
            return;
        }
        let drawn = primitive::primitive(entity, frame.map);
        let height = height::height(&entity.shape, entity.extrusion, frame.map);
        self.drawn(ready, effective, (frame, height), drawn);
    }

    fn drawn(
        &mut self,
        ready: &Ready<'a>,
        effective: Effective,
        (frame, height): (Frame<'_>, f32),
        (prim, odd): (Option<Prim>, Option<Odd>),
    ) {
        if let Some(odd) = odd {
            let (level, code, message) = tell(odd, &ready.entity.name);
            self.note(Note::new(level, code, message), ready);
        }
        match prim {
            Some(prim) => self.push(ready, effective, (frame.within, height), prim),
            None => self.flat.dropped = self.flat.dropped.saturating_add(1),
        }
    }

    fn push(
        &mut self,
        ready: &Ready<'a>,
        effective: Effective,
        (within, height): (Option<usize>, f32),
        prim: Prim,
    ) {
        if within.is_some() {
            self.left = self.left.saturating_sub(beyond(&prim));
        }
        // More than was expected: a list that doubles would take twice what its items are charged.
        let items = &mut self.flat.items;
        if items.len() == items.capacity() {
            items.reserve_exact(items.len() / 8 + 64);
        }
        items.push(Item {
            layer: self.layers.state(effective.layer).name.clone(),
            color: effective.color,
            handle: ready.handle.clone(),
            offset: ready.entity.offset,
            within,
            visible: effective.visible,
            height,
            entity: ready.kind.clone(),
            prim,
        });
    }

    fn insert(&mut self, ready: &Ready<'a>, insert: &Insert<'a>, effective: Effective, frame: Frame<'_>) {
        let block = self.blocks.find(&insert.block);
        let definition = block.and_then(|b| self.blocks.list.get(b));
        let base = definition.map_or([0.0; 3], |d| d.base);
        let placing = Placing::new(insert, ready.entity.extrusion, base);
        self.tell_of(ready, insert, &placing, block);

        let inside = definition.map_or(0, |d| d.size);
        let Array {
            items: need,
            bytes: held,
        } = self.array(insert, block, placing.cells());
        let before = self.left;
        let oversized = frame.from.is_none() && held > self.most;
        if oversized {
            self.left = self.left.min(self.share);
        }
        let begun = self.left;
        let (columns, rows) = if held > self.left && placing.cells() > 1 {
            let message = format!(
                "the array of block \"{}\" would draw {need} things, more than a drawing of this size may: only its first \
                 cell is read; draw the array with fewer cells",
                insert.block
            );
            self.note(Note::loss("too-many", message), ready);
            self.leave_out(need - inside.min(need));
            (1, 1)
        } else {
            (placing.columns, placing.rows)
        };
        if oversized && inside > self.left / ITEM {
            self.cut = true;
            let note = oversized_note(&insert.block, inside, self.left / ITEM);
            self.note(note, ready);
        }
        let written: Vec<(Arc<str>, Arc<str>, bool)> = (insert.attribs.iter())
            .map(|a| {
                let layer = self.layers.id(&a.layer);
                let state = self.layers.state(layer);
                let shows = effective.visible && !a.invisible && !state.off && !state.frozen;
                (Arc::from(&*a.tag), Arc::from(&*a.text), shows)
            })
            .collect();
        let drawn = Drawn {
            ready,
            insert,
            written: &written,
            effective,
            placing: &placing,
            block,
            unknown: definition.is_none().then(|| Arc::from(&*insert.block)),
        };
        for row in 0..rows {
            for column in 0..columns {
                if (column, row) != (0, 0) && !self.afford(ready) {
                    self.leave_out(inside.saturating_add(1));
                    continue;
                }
                self.cell(&drawn, frame, column, row);
            }
        }
        let spent = begun.saturating_sub(self.left);
        self.left = before.saturating_sub(spent);
        if oversized {
            self.share = self.share.saturating_sub(spent);
            self.cut = false;
        }
    }

    /// Takes one item from what INSERTs may still draw; where not enough is left, says so.
    fn afford(&mut self, ready: &Ready<'a>) -> bool {
        if self.left < ITEM && self.cut {
            return false;
        }
        if self.left < ITEM {
            let around = self.chain.last().and_then(|b| self.blocks.list.get(*b));
            let message = match around {
                Some(block) => format!(
                    "blocks draw more than a drawing of this size may: the rest of block \"{}\" is left out; split the drawing",
                    block.name
                ),
                None => {
                    "blocks draw more than a drawing of this size may: the rest is left out; split the drawing".to_owned()
                }
            };
            self.note(Note::loss("too-many", message), ready);
            return false;
        }
        self.left -= ITEM;
        true
    }

    /// One cell of an INSERT: its symbol, then what its block draws.
    fn cell(&mut self, drawn: &Drawn<'_, 'a>, frame: Frame<'_>, column: u32, row: u32) {
        let &Drawn {
            ready,
            insert,
            written,
            effective,
            placing,
            block,
            ref unknown,
        } = drawn;
        self.flat.entities = self.flat.entities.saturating_add(1);
        let map = frame.map.after(&placing.cell(column, row));
        let origin = placing.origin(column, row);
        let (at, height) = (frame.map.plan(origin), height::of(frame.map.point(origin)));
        let (x_axis, y_axis) = (map.plan_vector([1.0, 0.0, 0.0]), map.plan_vector([0.0, 1.0, 0.0]));
        if !frame_within_reach(at, x_axis, y_axis) {
            self.flat.dropped = self.flat.dropped.saturating_add(1);
            let (level, code, message) = tell(Odd::Beyond, &ready.entity.name);
            self.note(Note::new(level, code, message), ready);
            return;
        }
        let definition = block.and_then(|b| self.blocks.list.get(b));
        if definition.is_some_and(|d| d.is_missing()) {
            // What it draws is not known, so nothing stands at its point.
            self.push(ready, effective, (frame.within, height), Prim::Opaque);
            return;
        }
        let shown = definition.map(|d| d.shown.clone());
        let name = shown.or_else(|| unknown.clone()).unwrap_or_default();
        let own_map = frame.map.after(&placing.attrib(column, row));
        let attribs = insert.attribs.iter().zip(written).map(|(a, (tag, text, shows))| {
            let spot = own_map.plan(a.at);
            let near = frame_within_reach(spot, x_axis, y_axis);
            let lettered = (*shows && near).then(|| text::attrib(a, &own_map)).flatten();
            SymbolAttrib {
                tag: tag.clone(),
                text: text.clone(),
                at: if near { spot } else { at },
                lettered: lettered.filter(|l| frame_within_reach(l.at, x_axis, y_axis)),
            }
        });
        // What an INSERT says itself goes before what its block says for all.
        let own = |tag: &str| insert.attribs.iter().any(|a| a.tag.eq_ignore_ascii_case(tag));
        let constants = definition.into_iter().flat_map(|d| &d.constants);
        let constants = constants.filter(|(tag, ..)| !own(tag)).map(|(tag, text, spot)| {
            let spot = map.plan(*spot);
            SymbolAttrib {
                tag: tag.clone(),
                text: text.clone(),
                at: if frame_within_reach(spot, x_axis, y_axis) {
                    spot
                } else {
                    at
                },
                lettered: None,
            }
        });
        let mut attribs: Vec<SymbolAttrib> = attribs.chain(constants).collect();
        attribs.shrink_to_fit();
        let symbol = Symbol {
            true_name: definition.map_or_else(|| name.clone(), |d| d.true_name.clone()),
            block: name,
            at,
            x_axis,
            y_axis,
            attribs,
        };
        let index = self.flat.items.len();
        let symbol = Prim::Symbol(Box::new(symbol));
        // That of the first cell in model space is written; what is within another is counted there.
        if (column, row) != (0, 0) && frame.within.is_none() {
            self.left = self.left.saturating_sub(beyond(&symbol));
        }
        self.push(ready, effective, (frame.within, height), symbol);
        let Some(block) = block else { return };
        if !self.enter(block, ready) {
            return;
        }
        let from = Inherited {
            layer: effective.layer,
            color: effective.color,
            hidden: effective.hides,
        };
        self.contents(
            block,
            Frame {
                map: &map,
                from: Some(from),
                within: Some(index),
            },
        );
        self.chain.pop();
        self.show(index, effective);
        self.clip(index, ready, &map);
    }

    /// Keeps the clip of an INSERT whose block was drawn with `map`.
    fn clip(&mut self, symbol: usize, ready: &Ready<'a>, map: &Affine) {
        let handle = ready
            .handle
            .as_deref()
            .and_then(|h| u64::from_str_radix(h.trim(), 16).ok());
        let Some(known) = handle.and_then(|h| self.drawing.clips.get(&h)) else {
            return;
        };
        match clip::ring(known, map) {
            Some(ring) => {
                let flat = &mut self.flat;
                let place = flat.place(symbol);
                let block = match flat.items.get(symbol).map(|item| &item.prim) {
                    Some(Prim::Symbol(s)) => s.true_name.to_string(),
                    _ => String::new(),
                };
                let entry = self.clips.entry(ready.entity.offset);
                let (.., left) = entry.or_insert_with(|| (place, block, Left::default()));
                clip::apply(flat, symbol, &ring, &mut self.pieces, left);
            }
            None => {
                let message = "a clip of a block is not understood: what it hides is read too";
                self.note(Note::warning("clip-unread", message), ready);
            }
        }
    }

    /// Goes into a block unless it leads back into itself or too deep.
    fn enter(&mut self, block: usize, ready: &Ready<'a>) -> bool {
        let Some(definition) = self.blocks.list.get(block) else {
            return false;
        };
        if self.chain.contains(&block) {
            let message = format!(
                "block \"{}\" draws itself: the inner copy is left out",
                definition.name
            );
            self.note(Note::loss("block-in-itself", message), ready);
            return false;
        }
        if self.chain.len() >= MAX_DEPTH {
            let message = format!("blocks are nested more than {MAX_DEPTH} deep: what is deeper is left out");
            self.note(Note::loss("too-deep", message), ready);
            self.leave_out(definition.size);
            return false;
        }
        if let Some(told) = self.told.get_mut(block)
            && !std::mem::replace(told, true)
        {
            for note in &definition.notes {
                self.notes.add(note.clone());
            }
        }
        self.chain.push(block);
        true
    }

    fn contents(&mut self, block: usize, frame: Frame<'_>) {
        let blocks = self.blocks;
        let Some(definition) = blocks.list.get(block) else {
            return;
        };
        for (k, ready) in definition.entities.iter().enumerate() {
            if !self.afford(ready) {
                let rest = self.weight_from(block, k);
                self.leave_out(rest);
                return;
            }
            self.entity(ready, frame);
        }
    }

    /// Counts entities that are reached but not drawn.
    fn leave_out(&mut self, many: u64) {
        let many = usize::try_from(many).unwrap_or(usize::MAX);
        self.flat.entities = self.flat.entities.saturating_add(many);
        self.flat.dropped = self.flat.dropped.saturating_add(many);
    }

    /// A symbol on a layer that is off shows where something inside it, on another layer, does.
    fn show(&mut self, index: usize, effective: Effective) {
        if effective.visible || effective.hides {
            return;
        }
        let inside = self.flat.items.get(index + 1..).unwrap_or_default();
        if inside.iter().any(|i| i.visible)
            && let Some(symbol) = self.flat.items.get_mut(index)
        {
            symbol.visible = true;
        }
    }

    fn note(&mut self, note: Note, ready: &Ready<'a>) {
        if self.notes.again(&note) {
            return;
        }
        let path = self
            .chain
            .iter()
            .filter_map(|b| self.blocks.list.get(*b))
            .map(|d| d.name.to_string());
        let place = Place {
            line: self.drawing.line_of(ready.entity.offset),
            offset: Some(ready.entity.offset),
            handle: ready.handle.as_deref().map(str::to_owned),
            path: path.collect(),
        };
        self.notes.add(note.at(place));
    }
}
