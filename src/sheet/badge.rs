//! Numbered badges. Shape and weight tell the severity without colour: a solid pointed badge is a
//! must, a heavy rounded one a should, a thin square one a note.

use geo::Coord;

use super::measure::{SIZE_OF_CAP, width};
use super::{Layer, Mark, MarkShape, Style};
use crate::check::Severity;

pub fn layer(severity: Severity) -> Layer {
    match severity {
        Severity::Must => Layer::Must,
        Severity::Should => Layer::Should,
        Severity::Note => Layer::Note,
    }
}

/// Width and height of a badge whose text has capitals `cap` high.
pub fn size(id: &str, cap: f64) -> (f64, f64) {
    let text = width(id, cap * SIZE_OF_CAP, true).max(0.9 * cap * id.chars().count() as f64);
    (text + 1.7 * cap, 1.9 * cap)
}

/// The marks of a badge about its centre. The same in plan (y up) and page (y down).
pub fn badge(id: &str, layer: Layer, center: Coord, cap: f64) -> [Mark; 2] {
    let (w, h) = size(id, cap);
    let (hw, hh) = (w / 2.0, h / 2.0);
    let points: Vec<(f64, f64)> = match layer {
        Layer::Must => vec![
            (-hw, 0.0),
            (-hw + 0.55 * hh, -hh),
            (hw - 0.55 * hh, -hh),
            (hw, 0.0),
            (hw - 0.55 * hh, hh),
            (-hw + 0.55 * hh, hh),
        ],
        Layer::Should => (0..=12)
            .map(|i| (f64::from(i) * 15.0 - 90.0, 1.0))
            .chain((0..=12).map(|i| (f64::from(i) * 15.0 + 90.0, -1.0)))
            .map(|(turn, side)| {
                let (sin, cos) = turn.to_radians().sin_cos();
                (side * (hw - hh) + hh * cos, hh * sin)
            })
            .collect(),
        _ => vec![(-hw, -hh), (hw, -hh), (hw, hh), (-hw, hh)],
    };
    let body = MarkShape::Path {
        points: points.into_iter().map(|(x, y)| center + Coord { x, y }).collect(),
        closed: true,
        filled: true,
    };
    let text = MarkShape::Text {
        at: center,
        height: cap,
        angle: 0.0,
        centred: true,
        text: id.to_string(),
    };
    let (edge, face) = match layer {
        Layer::Must => (Style::Heavy, Style::Reversed),
        Layer::Should => (Style::Heavy, Style::Plain),
        _ => (Style::Plain, Style::Plain),
    };
    [
        Mark::new(layer, body).of(id).style(edge),
        Mark::new(layer, text).of(id).style(face),
    ]
}
