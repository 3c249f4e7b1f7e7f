//! Blocks, layers, object coordinates and units resolved: one flat list in inches.

use std::collections::BTreeSet;
use std::sync::Arc;

use geo::Coord;

pub mod back;
mod blocks;
mod bounds;
mod clip;
mod conic;
mod height;
mod insert;
mod layers;
mod matrix;
mod notes;
mod ocs;
mod paper;
mod path;
mod primitive;
mod scaled;
mod text;
mod walk;

#[cfg(test)]
mod clip_tests;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod walk_tests;

use blocks::{Blocks, Names};
use layers::Layers;
use matrix::Affine;
pub use paper::papers;
use walk::{Frame, Walk};

use crate::drawing::{Block, Drawing, Shape};
use crate::note::{Note, Place};
use crate::plan::Units;

/// Everything model space shows, in inches, right-handed, in file order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Flat {
    pub items: Vec<Item>,
    pub unreached: Vec<UnreachedBlock>,
    /// Entities of model space and of reached blocks, each counted once per time it is reached (an
    /// array of INSERTs, once a cell).
    pub entities: usize,
    /// Of those, the ones that could not be turned into an item (each has a note).
    pub dropped: usize,
    /// Entities in paper space, not looked at.
    pub paper: usize,
    /// Layers on which nothing is plotted.
    pub unplotted: BTreeSet<Arc<str>>,
}

/// One primitive. Its index in [`Flat::items`] is its id.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Effective layer after inheritance from INSERTs.
    pub layer: Arc<str>,
    /// Effective colour index (by layer and by block resolved).
    pub color: i16,
    pub handle: Option<Arc<str>>,
    /// Byte offset of the source entity.
    pub offset: usize,
    /// Index of the [`Prim::Symbol`] item this stands inside, if any.
    pub within: Option<usize>,
    /// Neither on an off or frozen layer, nor invisible, nor inside something frozen. A symbol whose
    /// layer is off shows where something inside it, on another layer, does.
    pub visible: bool,
    /// Inches above the drawing's plane, of its first point: the z that the plan drops.
    pub height: f32,
    /// Type name of the source entity.
    pub entity: Arc<str>,
    pub prim: Prim,
}

/// Geometry in inches, world coordinates, plan view (z dropped).
#[derive(Clone, Debug, PartialEq)]
pub enum Prim {
    Segment {
        from: Coord,
        to: Coord,
    },
    Point(Coord),
    Circle {
        center: Coord,
        radius: f64,
    },
    /// `sweep` radians counter-clockwise (negative: clockwise) from angle `start`.
    Arc {
        center: Coord,
        radius: f64,
        start: f64,
        sweep: f64,
    },
    /// `p(t) = center + major·cos t + minor·sin t`, t from `start` through `sweep`. Also a
    /// circle or arc under unequal scale. `minor` lies to the left of `major`, square to it.
    Ellipse {
        center: Coord,
        major: Coord,
        minor: Coord,
        start: f64,
        sweep: f64,
    },
    /// `bulge` as in DXF, for the run that starts at the vertex. Two vertices of bulge ±1,
    /// closed, are emitted as [`Prim::Circle`], with a width by their outer edge.
    Path {
        vertices: Vec<PathVertex>,
        closed: bool,
    },
    /// Filled ring (SOLID, TRACE, 3DFACE).
    Face(Vec<Coord>),
    /// Straight boundaries of a hatch, at least one, and whether it has others.
    Region {
        loops: Vec<Vec<Coord>>,
        curved: bool,
    },
    /// `at` is the lower left of the text's baseline box, or its centre where `centred`; `angle` in
    /// radians. Mirrored lettering is given as unmirrored, in the same box.
    Text {
        at: Coord,
        height: f64,
        angle: f64,
        centred: bool,
        text: Arc<str>,
    },
    /// A linear dimension; other kinds are [`Prim::Opaque`]. `measured` in inches, as far as the
    /// drawing's unit is right; `rotated` is the direction of its line in [0, π), `None` along the
    /// points.
    Dimension {
        p1: Coord,
        p2: Coord,
        text_at: Coord,
        measured: Option<f64>,
        text: Arc<str>,
        rotated: Option<f64>,
    },
    /// An INSERT; what it draws follows, with `within` pointing here.
    Symbol(Box<Symbol>),
    /// Not interpreted; counted, never lost.
    Opaque,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PathVertex {
    pub at: Coord,
    pub bulge: f64,
    pub start_width: f64,
    pub end_width: f64,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Symbol {
    pub block: Arc<str>,
    /// True name of a dynamic or anonymous block; equals `block` otherwise.
    pub true_name: Arc<str>,
    /// Insertion point.
    pub at: Coord,
    /// Columns of the plan-view 2×2 matrix (block x and y axis in world inches).
    pub x_axis: Coord,
    pub y_axis: Coord,
    pub attribs: Vec<SymbolAttrib>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct SymbolAttrib {
    pub tag: Arc<str>,
    pub text: Arc<str>,
    pub at: Coord,
    /// How it is lettered; `None` where it does not show.
    pub lettered: Option<Lettered>,
}

/// Lettering as in [`Prim::Text`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lettered {
    pub at: Coord,
    pub height: f64,
    pub angle: f64,
    pub centred: bool,
}

/// A block that no layout reaches, and what it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct UnreachedBlock {
    pub name: String,
    /// Entities in it, those of nested blocks included, by layer (sorted).
    pub layers: Vec<(String, usize)>,
}

impl Item {
    /// Whether it is a line that leads from words to what they are of, its head at its first point.
    pub fn leads(&self) -> bool {
        match &*self.entity {
            "LEADER" => true,
            "MULTILEADER" | "MLEADER" => matches!(self.prim, Prim::Segment { .. } | Prim::Path { .. }),
            _ => false,
        }
    }
}

impl Flat {
    /// Block names from the outermost to the one `item` stands in.
    pub fn path(&self, item: usize) -> Vec<String> {
        let mut path = Vec::new();
        let mut at = self.items.get(item).and_then(|i| i.within);
        while let Some(around) = at.and_then(|i| self.items.get(i)) {
            if let Prim::Symbol(s) = &around.prim {
                path.push(s.block.to_string());
            }
            at = around.within;
        }
        path.reverse();
        path
    }

    pub fn place(&self, item: usize) -> Place {
        let found = self.items.get(item);
        Place {
            line: None,
            offset: found.map(|i| i.offset),
            handle: found.and_then(|i| i.handle.as_deref()).map(str::to_owned),
            path: self.path(item),
        }
    }
}

/// Resolves a drawing into model space, in inches.
///
/// Every entity of model space, and of each block as often as it is drawn, is an item or counted as
/// dropped: `entities == items.len() + dropped`.
pub fn flatten(drawing: &Drawing<'_>, units: &Units) -> (Flat, Vec<Note>) {
    let mut layers = Layers::new(&drawing.layers);
    let mut names = Names::default();
    let (blocks, doubles) = Blocks::new(drawing, &mut layers, &mut names);
    let mut walk = Walk::new(drawing, &blocks, layers);
    for block in doubles.iter().filter_map(|i| drawing.blocks.get(*i)) {
        walk.notes.add(doubled(drawing, block));
    }
    // A list that grows by doubling would hold three times its length for a while.
    walk.flat.items.reserve_exact(walk.expected());
    let scale = units.inches_per_unit;
    let map = Affine::scaling([scale, scale, scale]);
    let frame = Frame {
        map: &map,
        from: None,
        within: None,
    };
    let mut roots = BTreeSet::new();
    let mut paper = 0;
    for reference in &drawing.entities {
        let (ready, note) = blocks::ready(drawing, reference, &mut walk.layers, &mut names);
        roots.extend(match &ready.entity.shape {
            Shape::Insert(insert) => blocks.find(&insert.block),
            _ => blocks.referred(drawing, &ready.entity, reference),
        });
        if ready.entity.paper {
            paper += 1;
            continue;
        }
        note.into_iter().for_each(|note| walk.notes.add(note));
        walk.entity(&ready, frame);
    }
    let (mut flat, notes, layers) = walk.done();
    flat.paper = paper;
    flat.unplotted = layers.unplotted();
    flat.unreached = blocks.unreached(&roots, &layers);
    (flat, notes)
}

/// What a block holds, in its own coordinates, as if it were model space; `None` where there is no such block.
pub fn block(drawing: &Drawing<'_>, units: &Units, name: &str) -> Option<(Flat, Vec<Note>)> {
    let mut layers = Layers::new(&drawing.layers);
    let mut names = Names::default();
    let (blocks, _) = Blocks::new(drawing, &mut layers, &mut names);
    let definition = blocks.list.get(blocks.find(name)?)?;
    let mut walk = Walk::new(drawing, &blocks, layers);
    let scale = units.inches_per_unit;
    let map = Affine::scaling([scale, scale, scale]);
    let frame = Frame {
        map: &map,
        from: None,
        within: None,
    };
    for note in &definition.notes {
        walk.notes.add(note.clone());
    }
    for ready in &definition.entities {
        walk.entity(ready, frame);
    }
    let (flat, notes, _) = walk.done();
    Some((flat, notes))
}

fn doubled(drawing: &Drawing<'_>, block: &Block) -> Note {
    let message = if block.name.is_empty() {
        "a block has no name: nothing can insert it".to_owned()
    } else {
        format!("two blocks are called \"{}\": the first is used", block.name)
    };
    Note::warning("double-block", message).at(Place {
        line: drawing.line_of(block.offset),
        offset: Some(block.offset),
        handle: block.handle.clone(),
        path: Vec::new(),
    })
}
