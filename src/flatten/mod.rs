//! Blocks, layers, object coordinates and units resolved: one flat list in inches.

use std::sync::Arc;

use geo::Coord;

use crate::drawing::Drawing;
use crate::note::{Note, Place};
use crate::plan::Units;

/// Everything model space shows, in inches, right-handed, in file order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Flat {
    pub items: Vec<Item>,
    pub unreached: Vec<UnreachedBlock>,
    /// Entities of model space and of reached blocks, each counted once per time it is reached.
    pub entities: usize,
    /// Of those, the ones that could not be turned into an item (each has a note).
    pub dropped: usize,
    /// Entities in paper space, not looked at.
    pub paper: usize,
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
    /// Neither on an off or frozen layer, nor invisible, nor inside something frozen.
    pub visible: bool,
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
    /// circle or arc under unequal scale.
    Ellipse {
        center: Coord,
        major: Coord,
        minor: Coord,
        start: f64,
        sweep: f64,
    },
    /// `bulge` as in DXF, for the run that starts at the vertex. Two vertices of bulge ±1,
    /// closed, are emitted as [`Prim::Circle`].
    Path {
        vertices: Vec<PathVertex>,
        closed: bool,
    },
    /// Filled ring (SOLID, TRACE, 3DFACE).
    Face(Vec<Coord>),
    /// `at` is the lower left of the text's baseline box, or its centre where `centred`.
    Text {
        at: Coord,
        height: f64,
        angle: f64,
        centred: bool,
        text: Arc<str>,
    },
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
}

/// A block that no layout reaches, and what it holds.
#[derive(Clone, Debug, PartialEq)]
pub struct UnreachedBlock {
    pub name: String,
    /// Entities in it, those of nested blocks included, by layer (sorted).
    pub layers: Vec<(String, usize)>,
}

impl Flat {
    /// Block names from the outermost to the one `item` stands in.
    pub fn path(&self, item: usize) -> Vec<String> {
        let mut path = Vec::new();
        let mut at = self.items[item].within;
        while let Some(i) = at {
            if let Prim::Symbol(s) = &self.items[i].prim {
                path.push(s.block.to_string());
            }
            at = self.items[i].within;
        }
        path.reverse();
        path
    }

    pub fn place(&self, item: usize) -> Place {
        let i = &self.items[item];
        Place {
            line: None,
            offset: Some(i.offset),
            handle: i.handle.as_ref().map(|h| h.to_string()),
            path: self.path(item),
        }
    }
}

/// Resolves a drawing into model space, in inches.
pub fn flatten(drawing: &Drawing<'_>, units: &Units) -> (Flat, Vec<Note>) {
    let _ = (drawing, units);
    todo!("flatten helper")
}
