//! The redline as DXF: marks spliced into the source's own bytes.

use geo::Coord;

use crate::drawing::Drawing;
use crate::drawing::splice::{NewEntity, NewLayer, NewShape, NewValue, splice_with};
use crate::note::Note;
use crate::sheet::{Layer, Mark, MarkShape, Sheet};

pub use crate::drawing::splice::{Spliced, unsplice};

/// Half the angle of an arrow's head, degrees.
const HEAD: f64 = 20.0;

/// Layer names after the National CAD Standard (discipline E, annotation, redline) and
/// indexed colours that read on black and on white alike.
const LAYERS: [(Layer, &str, i16); 12] = [
    (Layer::Room, "E-ANNO-REDL-ROOM", 8),
    (Layer::Member, "E-ANNO-REDL-MEMB", 8),
    (Layer::Light, "E-ANNO-REDL-LITE", 40),
    (Layer::JunctionBox, "E-ANNO-REDL-JBOX", 40),
    (Layer::RowLine, "E-ANNO-REDL-ROWS", 150),
    (Layer::Deviation, "E-ANNO-REDL-DEVI", 6),
    (Layer::Must, "E-ANNO-REDL-MUST", 1),
    (Layer::Should, "E-ANNO-REDL-SHLD", 30),
    (Layer::Note, "E-ANNO-REDL-NOTE", 140),
    (Layer::Blocking, "E-ANNO-REDL-BLKG", 92),
    (Layer::Move, "E-ANNO-REDL-MOVE", 200),
    (Layer::Label, "E-ANNO-REDL-TEXT", 7),
];

/// Splices the sheet's marks into the drawing, on layers of their own, in drawing units
/// (`inches_per_unit` inches each). What the architect drew is there already and left out.
pub fn redline(drawing: &Drawing<'_>, sheet: &Sheet, inches_per_unit: f64) -> Spliced {
    mended(drawing, &sheet.plan, &[], inches_per_unit)
}

/// The same with these marks, and with numbers of the source written anew: the mended drawing.
pub fn mended(drawing: &Drawing<'_>, marks: &[Mark], values: &[NewValue], inches_per_unit: f64) -> Spliced {
    if !(inches_per_unit.is_finite() && inches_per_unit > 0.0) {
        let message =
            format!("a unit of {inches_per_unit} inches cannot be drawn in; the redline has no marks");
        return Spliced {
            bytes: drawing.source.to_vec(),
            notes: vec![Note::loss("redline-units", message)],
            ..Spliced::default()
        };
    }
    let layers = LAYERS.map(|(_, name, color)| NewLayer {
        name: name.into(),
        color,
    });
    let mut entities = Vec::new();
    for mark in marks {
        let Some(layer) = LAYERS.iter().position(|(l, ..)| *l == mark.layer) else {
            continue;
        };
        let shapes = shapes(&mark.shape, inches_per_unit);
        entities.extend(shapes.into_iter().map(|shape| NewEntity { layer, shape }));
    }
    splice_with(drawing, &layers, &entities, values)
}

/// A mark as plain shapes, in drawing units.
fn shapes(mark: &MarkShape, unit: f64) -> Vec<NewShape> {
    let point = |c: &Coord| [c.x / unit, c.y / unit];
    match mark {
        MarkShape::Path { points, closed, .. } => match points.as_slice() {
            [] | [_] => Vec::new(),
            [from, to] => vec![NewShape::Line {
                from: point(from),
                to: point(to),
            }],
            _ => vec![NewShape::Polyline {
                points: points.iter().map(point).collect(),
                closed: *closed,
            }],
        },
        MarkShape::Circle { center, radius, .. } => vec![NewShape::Circle {
            center: point(center),
            radius: radius / unit,
        }],
        MarkShape::Text { text, .. } if text.trim().is_empty() => Vec::new(),
        MarkShape::Text {
            at,
            height,
            angle,
            centred,
            text,
        } => vec![NewShape::Text {
            at: point(at),
            height: height / unit,
            angle: *angle,
            centred: *centred,
            text: text.clone(),
        }],
        MarkShape::Arrow { from, to, head } => {
            let back = (from.y - to.y).atan2(from.x - to.x);
            let side = |turn: f64| {
                let (sin, cos) = (back + turn.to_radians()).sin_cos();
                Coord {
                    x: to.x + head * cos,
                    y: to.y + head * sin,
                }
            };
            [(*from, *to), (side(HEAD), *to), (side(-HEAD), *to)]
                .iter()
                .map(|(a, b)| NewShape::Line {
                    from: point(a),
                    to: point(b),
                })
                .collect()
        }
    }
}
