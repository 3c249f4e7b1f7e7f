//! Block definitions, decoded once: lookup by name, sizes, and what no layout reaches.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::UnreachedBlock;
use super::insert::Placing;
use super::layers::{LayerId, Layers, fold};
use crate::drawing::{Drawing, Entity, EntityRef, Shape};
use crate::note::{Level, Note};

/// An entity with its shared names at hand.
#[derive(Debug)]
pub struct Ready<'a> {
    pub entity: Entity<'a>,
    pub layer: LayerId,
    pub kind: Arc<str>,
    pub handle: Option<Arc<str>>,
    /// The reader could make nothing of it and said so.
    pub lost: bool,
}

impl Ready<'_> {
    /// Items that it makes by itself: one, but for an entity that draws several things.
    pub fn draws(&self) -> u64 {
        match &self.entity.shape {
            Shape::MultiLeader(parts) | Shape::Parts(parts) => parts.len().max(1) as u64,
            _ => 1,
        }
    }
}

/// One block definition.
#[derive(Debug)]
pub struct Definition<'a> {
    pub name: Arc<str>,
    /// What symbols of it go by: its name, or, for a piece of a building model, what it is a copy of.
    pub shown: Arc<str>,
    pub true_name: Arc<str>,
    pub base: [f64; 3],
    pub layout: bool,
    pub xref: bool,
    pub entities: Vec<Ready<'a>>,
    /// Its constant attributes, which stand in no INSERT: tag, text, place in the block.
    pub constants: Vec<(Arc<str>, Arc<str>, [f64; 3])>,
    /// Remarks of the reader on its entities.
    pub notes: Vec<Note>,
    /// Blocks its INSERTs draw, `None` where the name is unknown, on which layer, and how often.
    children: BTreeMap<(Option<usize>, LayerId), u64>,
    /// Items that its entities other than INSERTs make.
    plain: u64,
    /// Blocks it reaches in other ways: dimensions, tables.
    others: Vec<usize>,
    /// Items that drawing it once makes, those of nested blocks included.
    pub size: u64,
}

impl Definition<'_> {
    /// Whether it stands for another drawing that is not in this file.
    pub fn is_missing(&self) -> bool {
        self.xref && self.entities.is_empty()
    }
}

/// All blocks of a drawing.
#[derive(Debug)]
pub struct Blocks<'a> {
    pub list: Vec<Definition<'a>>,
    by_name: BTreeMap<String, usize>,
}

/// Shared spellings, so that a million entities hold one `LINE`.
#[derive(Debug, Default)]
pub struct Names(BTreeSet<Arc<str>>);

impl Names {
    pub fn share(&mut self, name: &str) -> Arc<str> {
        if let Some(known) = self.0.get(name) {
            return known.clone();
        }
        let new: Arc<str> = Arc::from(name);
        self.0.insert(new.clone());
        new
    }
}

/// Decodes one entity.
pub fn ready<'a>(
    drawing: &Drawing<'a>,
    reference: &EntityRef,
    layers: &mut Layers,
    names: &mut Names,
) -> (Ready<'a>, Option<Note>) {
    let (entity, note) = drawing.entity(reference);
    let ready = Ready {
        layer: layers.id(&entity.layer),
        kind: names.share(&entity.name),
        handle: entity.handle.as_deref().filter(|h| !h.is_empty()).map(Arc::from),
        lost: note.as_ref().is_some_and(|n| n.level == Level::Loss),
        entity,
    };
    (ready, note)
}

impl<'a> Blocks<'a> {
    /// Decodes every block. Where two have one name the first counts; the others' indices are returned.
    pub fn new(drawing: &Drawing<'a>, layers: &mut Layers, names: &mut Names) -> (Self, Vec<usize>) {
        let mut by_name = BTreeMap::new();
        let mut doubles = Vec::new();
        for (i, block) in drawing.blocks.iter().enumerate() {
            if block.name.is_empty() || by_name.contains_key(&fold(&block.name)) {
                doubles.push(i);
            } else {
                by_name.insert(fold(&block.name), i);
            }
        }
        let mut blocks = Blocks {
            list: Vec::with_capacity(drawing.blocks.len()),
            by_name,
        };
        for block in &drawing.blocks {
            let name: Arc<str> = Arc::from(block.name.as_str());
            let family: Option<Arc<str>> = block.family.as_deref().map(Arc::from);
            let mut definition = Definition {
                true_name: (block.true_name.as_deref().map(Arc::from))
                    .or_else(|| family.clone())
                    .unwrap_or_else(|| name.clone()),
                shown: family.unwrap_or_else(|| name.clone()),
                name,
                base: block.base,
                layout: block.layout,
                xref: block.xref.is_some(),
                entities: Vec::with_capacity(block.entities.len()),
                constants: Vec::new(),
                notes: Vec::new(),
                children: BTreeMap::new(),
                plain: 0,
                others: Vec::new(),
                size: 0,
            };
            for reference in &block.entities {
                let (ready, note) = ready(drawing, reference, layers, names);
                definition.notes.extend(note);
                if &*ready.kind == "ATTDEF" && definition.constants.len() < MOST_CONSTANTS {
                    definition.constants.extend(constant(drawing, reference));
                }
                match &ready.entity.shape {
                    Shape::Insert(insert) => {
                        let child = blocks.find(&insert.block);
                        let cells = Placing::new(insert, ready.entity.extrusion, [0.0; 3]).cells();
                        let times = definition.children.entry((child, ready.layer)).or_insert(0);
                        *times = times.saturating_add(cells);
                    }
                    _ => {
                        definition.plain = definition.plain.saturating_add(ready.draws());
                        definition
                            .others
                            .extend(blocks.referred(drawing, &ready.entity, reference));
                    }
                }
                definition.entities.push(ready);
            }
            blocks.list.push(definition);
        }
        blocks.measure();
        (blocks, doubles)
    }

    /// Entities that are written in all of them.
    pub fn written(&self) -> u64 {
        self.list.iter().map(|b| b.entities.len() as u64).sum()
    }

    /// The block of this name, letter case aside.
    pub fn find(&self, name: &str) -> Option<usize> {
        self.by_name
            .get(name)
            .or_else(|| self.by_name.get(&fold(name)))
            .copied()
    }

    /// The block that an entity other than an INSERT draws: a dimension's picture.
    pub fn referred(
        &self,
        drawing: &Drawing<'a>,
        entity: &Entity<'a>,
        reference: &EntityRef,
    ) -> Option<usize> {
        match &entity.shape {
            Shape::Dimension { block, .. } => self.find(block.as_deref()?),
            Shape::Other if entity.name.contains("DIMENSION") => {
                let tag = drawing
                    .tags(reference.range.clone())
                    .into_iter()
                    .find(|t| t.code == 2)?;
                self.find(&drawing.name(tag.value))
            }
            _ => None,
        }
    }

    /// Fills in sizes, children before parents; an INSERT that leads back into itself counts as one.
    fn measure(&mut self) {
        let mut done = vec![false; self.list.len()];
        let mut open = vec![false; self.list.len()];
        for root in 0..self.list.len() {
            let mut stack = vec![(root, false)];
            while let Some((at, left)) = stack.pop() {
                if done[at] || (open[at] && !left) {
                    continue;
                }
                if !left {
                    open[at] = true;
                    stack.push((at, true));
                    let nested = self.list[at].children.keys().filter_map(|(child, _)| *child);
                    stack.extend(nested.filter(|c| !done[*c] && !open[*c]).map(|c| (c, false)));
                    continue;
                }
                let block = &self.list[at];
                let nested = block.children.iter().fold(0_u64, |sum, ((child, _), cells)| {
                    let inside = child.filter(|c| done[*c]).map_or(0, |c| self.list[c].size);
                    sum.saturating_add(cells.saturating_mul(inside.saturating_add(1)))
                });
                let plain = block.plain;
                self.list[at].size = nested.saturating_add(plain);
                done[at] = true;
                open[at] = false;
            }
        }
    }

    /// Blocks that neither `roots` nor a layout block reaches, and what they hold, in file order.
    pub fn unreached(&self, roots: &BTreeSet<usize>, layers: &Layers) -> Vec<UnreachedBlock> {
        let mut reached = vec![false; self.list.len()];
        let mut stack: Vec<usize> = roots.iter().copied().collect();
        stack.extend(
            self.list
                .iter()
                .enumerate()
                .filter(|(_, b)| b.layout)
                .map(|(i, _)| i),
        );
        while let Some(at) = stack.pop() {
            if std::mem::replace(&mut reached[at], true) {
                continue;
            }
            let block = &self.list[at];
            stack.extend(
                block
                    .children
                    .keys()
                    .filter_map(|(child, _)| *child)
                    .chain(block.others.iter().copied()),
            );
        }
        let mut known = vec![None; self.list.len()];
        let mut out = Vec::new();
        for (i, block) in self.list.iter().enumerate() {
            if reached[i] || block.entities.is_empty() {
                continue;
            }
            let held = self.held(i, layers, &mut known, 0);
            let mut by_name: Vec<(String, usize)> = held
                .iter()
                .map(|(layer, n)| {
                    (
                        layers.state(*layer).name.to_string(),
                        usize::try_from(*n).unwrap_or(usize::MAX),
                    )
                })
                .collect();
            by_name.sort();
            out.push(UnreachedBlock {
                name: block.name.to_string(),
                layers: by_name,
            });
        }
        out
    }

    /// Entities of a block by layer; layer 0 of a nested block becomes its INSERT's.
    fn held(&self, at: usize, layers: &Layers, known: &mut [Option<Counts>], depth: usize) -> Counts {
        if let Some(counts) = &known[at] {
            return counts.clone();
        }
        let mut counts = Counts::new();
        if depth >= super::walk::MAX_DEPTH {
            return counts;
        }
        // Marked before its children are counted, so that a cycle counts nothing twice.
        known[at] = Some(Counts::new());
        for ready in &self.list[at].entities {
            if !matches!(ready.entity.shape, Shape::Insert(_)) {
                add(&mut counts, ready.layer, ready.draws());
            }
        }
        for ((child, layer), cells) in &self.list[at].children {
            add(&mut counts, *layer, *cells);
            let Some(child) = child else { continue };
            for (inner, n) in self.held(*child, layers, known, depth + 1) {
                let inner = if layers.state(inner).zero { *layer } else { inner };
                add(&mut counts, inner, n.saturating_mul(*cells));
            }
        }
        known[at] = Some(counts.clone());
        counts
    }
}

/// Constant attributes of one block that are handed to its INSERTs; real ones have a few.
const MOST_CONSTANTS: usize = 32;

/// What an ATTDEF says for every INSERT of its block; `None` where each INSERT has its own ATTRIB.
fn constant(drawing: &Drawing<'_>, reference: &EntityRef) -> Option<(Arc<str>, Arc<str>, [f64; 3])> {
    /// Group 70 of an ATTDEF.
    const CONSTANT: i64 = 2;
    let tags = drawing.tags(reference.range.clone());
    let first = |code: i16| tags.iter().find(|t| t.code == code);
    let flags = first(70).and_then(|t| drawing.integer(t))?;
    if flags & CONSTANT == 0 {
        return None;
    }
    let real = |code: i16| first(code).and_then(|t| drawing.real(t)).unwrap_or(0.0);
    Some((
        Arc::from(&*drawing.text(first(2)?.value.clone())),
        Arc::from(&*drawing.text(first(1)?.value.clone())),
        [real(10), real(20), 0.0],
    ))
}

type Counts = BTreeMap<LayerId, u64>;

fn add(counts: &mut Counts, layer: LayerId, n: u64) {
    let entry = counts.entry(layer).or_insert(0);
    *entry = entry.saturating_add(n);
}
