//! What is drawn on layers of lights, walls, rooms and devices as something that is not read: meshes and solids of three-dimensional
//! exports, and points on layers of lights. Of framing that is told where members are sought.

use std::collections::BTreeMap;

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::{Class, Classes};
use super::shape::{distance, finite};
use crate::flatten::{Flat, Item, Prim};
use crate::note::Note;
use crate::plan::Light;
use crate::rules::Rules;
use crate::rules::line::with_layer;

/// Entities that draw a body and are not read, a POLYLINE that is a mesh among them.
const BODIES: [&str; 13] = [
    "SHAPE",
    "ACAD_PROXY_ENTITY",
    "MESH",
    "POLYLINE",
    "3DSOLID",
    "BODY",
    "REGION",
    "SURFACE",
    "EXTRUDEDSURFACE",
    "LOFTEDSURFACE",
    "REVOLVEDSURFACE",
    "SWEPTSURFACE",
    "PLANESURFACE",
];
/// A point this near to a light is its centre's mark, in radii of it.
const OF_A_LIGHT: f64 = 1.5;

/// Whether an item is a body that is not read.
pub fn is_body(item: &Item) -> bool {
    let known = BODIES.contains(&&*item.entity) || is_of_another_program(&item.entity);
    matches!(item.prim, Prim::Opaque) && known
}

/// Fewer equal signs are marks.
const FEWEST_SIGNS: usize = 3;

/// Says which equal signs (`O`, `⊕`) on layers of lights, none of them at a light, may be lights drawn as lettering.
fn signs(flat: &Flat, classes: &Classes, marks: &dyn Fn(Coord) -> bool, notes: &mut Vec<Note>) {
    let mut found: BTreeMap<(&str, &str), (usize, usize)> = BTreeMap::new();
    for (i, (item, class)) in flat.items.iter().zip(&classes.of).enumerate() {
        let Prim::Text { at, text, .. } = &item.prim else {
            continue;
        };
        let mut chars = text.trim().chars();
        let sign = match (chars.next(), chars.next()) {
            (Some(c), None) => {
                matches!(c, 'O' | 'o' | '0') || !c.is_alphanumeric() && !c.is_ascii_punctuation()
            }
            _ => false,
        };
        if sign && item.visible && *class == Class::Light && !marks(*at) {
            found.entry((&item.layer, text.trim())).or_insert((0, i)).0 += 1;
        }
    }
    for ((layer, text), (count, first)) in found.into_iter().filter(|(_, f)| f.0 >= FEWEST_SIGNS) {
        notes.push(
            Note::warning(
                "not-read",
                format!(
                    "{count} equal texts \"{text}\" on layer {layer} (lights) stand by themselves, as symbols do, and are not read: where they \
                     are lights, draw circles or blocks in their places"
                ),
            )
            .at(flat.place(first)),
        );
    }
}

fn is_point(item: &Item) -> bool {
    matches!(item.prim, Prim::Point(_))
}

/// Whether an entity is none of the format's own, which have no underscores in their names but the table: walls, doors and fixtures of
/// programs for buildings.
fn is_of_another_program(entity: &str) -> bool {
    entity.contains('_') && !entity.starts_with("ACAD")
}

/// Says what of each class is not read, by layer and entity.
pub fn told(flat: &Flat, classes: &Classes, lights: &[Light], rules: &Rules, notes: &mut Vec<Note>) {
    let mut found: BTreeMap<(Class, &str, &str), (usize, usize)> = BTreeMap::new();
    let spots =
        (lights.iter().filter(|l| finite(l.at))).map(|l| GeomWithData::new([l.at.x, l.at.y], l.drawn_radius));
    let spots: RTree<GeomWithData<[f64; 2], f64>> = RTree::bulk_load(spots.collect());
    let marks = |p: Coord| {
        let near = spots.nearest_neighbor([p.x, p.y]);
        near.is_some_and(|l| {
            let [x, y] = *l.geom();
            distance(p, Coord { x, y }) <= OF_A_LIGHT * l.data
        })
    };
    for (i, (item, class)) in flat.items.iter().zip(&classes.of).enumerate() {
        let read = matches!(class, Class::Light | Class::Wall | Class::Room | Class::Device);
        // A style of points may draw any symbol.
        let point = match item.prim {
            Prim::Point(at) => *class == Class::Light && !marks(at),
            _ => false,
        };
        // A light's own symbol is told of with it.
        let of_symbol = item
            .within
            .is_some_and(|w| w < i && classes.of[w] == Class::Light);
        if item.visible && read && !of_symbol && (is_body(item) || point) {
            found
                .entry((*class, &item.layer, &item.entity))
                .or_insert((0, i))
                .0 += 1;
        }
    }
    signs(flat, classes, &marks, notes);
    for ((class, layer, entity), (count, first)) in found {
        let what = match class {
            Class::Light => "lights",
            Class::Wall => "walls",
            Class::Room => "rooms",
            _ => "ceiling devices",
        };
        let entity = match entity {
            "POLYLINE" => "POLYLINE (a mesh of very many faces, or one that is broken)",
            "MESH" => "MESH (of very many faces, or to be smoothed)",
            "SHAPE" => "SHAPE (a symbol out of a font)",
            "ACAD_PROXY_ENTITY" => "ACAD_PROXY_ENTITY (an object of another program)",
            other => other,
        };
        let entity = match is_of_another_program(entity) {
            true => format!("{entity} (an object of a program for buildings)"),
            false => entity.to_string(),
        };
        // What is read on the layer must not go with it.
        let alone = !(flat.items.iter().zip(&classes.of))
            .any(|(i, c)| *c == class && i.visible && &*i.layer == layer && !is_body(i) && !is_point(i));
        let or = match alone {
            true => format!(
                ", or write under [read] in bayline.toml {} if they are none",
                with_layer("ignore", &rules.read.ignore, layer)
            ),
            false => String::new(),
        };
        notes.push(
            Note::warning(
                "not-read",
                format!(
                    "{count} {entity} on layer {layer} ({what}) cannot be read: {what} may be missing; export them as lines, arcs and \
                     circles, or as 3DFACEs{or}"
                ),
            )
            .at(flat.place(first)),
        );
    }
}
