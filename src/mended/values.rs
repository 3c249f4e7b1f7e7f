//! The numbers of an entity that say where it stands.
//!
//! Source of which groups are points, and of what kind: DXF reference, from memory; held to an independent reader.

use crate::drawing::splice::NewValue;
use crate::drawing::{Drawing, EntityRef, Shape, Tag};
use crate::flatten::back::Back;
use geo::Coord;

/// The coordinates that a record's points are written in.
#[derive(Clone, Copy, PartialEq)]
enum Space {
    /// Of its extrusion.
    Object,
    /// Of the block or layout it stands in.
    Own,
}

/// The values to write anew so that the entity, with its attributes or vertices, is drawn `by` inches from
/// where it is. The error says why that cannot be, in half a sentence.
pub fn moved(
    drawing: &Drawing<'_>,
    entity: &EntityRef,
    back: &Back,
    by: Coord,
) -> Result<Vec<NewValue>, String> {
    let tags = drawing.tags(entity.range.clone());
    let starts: Vec<usize> = (0..tags.len()).filter(|&i| tags[i].code == 0).collect();
    let mut values = Vec::new();
    // What a POLYLINE says of its vertices.
    let mut polyline = None;
    for (k, &start) in starts.iter().enumerate() {
        let end = starts.get(k + 1).copied().unwrap_or(tags.len());
        let record = &tags[start..end];
        let name = drawing.name(record[0].value.clone());
        let name = name.trim();
        let flags = record
            .iter()
            .find(|t| t.code == 70)
            .and_then(|t| drawing.integer(t));
        let extrusion = extrusion(drawing, record);
        if name == "POLYLINE" {
            // Three-dimensional lines and meshes have world coordinates.
            let world = flags.unwrap_or(0) & (8 | 16 | 64) != 0;
            polyline = Some(if world {
                (Space::Own, extrusion)
            } else {
                (Space::Object, extrusion)
            });
            continue;
        }
        let (codes, space): (&[i16], Space) = match name {
            "INSERT" | "CIRCLE" | "ARC" | "LWPOLYLINE" => (&[10], Space::Object),
            "ATTRIB" | "TEXT" => (&[10, 11], Space::Object),
            "SOLID" | "TRACE" => (&[10, 11, 12, 13], Space::Object),
            "3DFACE" => (&[10, 11, 12, 13], Space::Own),
            "LINE" => (&[10, 11], Space::Own),
            "HATCH" => match drawing.entity(entity).0.shape {
                Shape::Circle { .. } => (&[10], Space::Object),
                _ => return Err("its symbol has a HATCH of more than one disc, which is not moved".into()),
            },
            "POINT" | "ELLIPSE" | "MTEXT" => (&[10], Space::Own),
            "VERTEX" => (&[10], polyline.map_or(Space::Object, |p| p.0)),
            "SEQEND" => continue,
            other => return Err(format!("its symbol has a {other}, which is not moved")),
        };
        let frame = match (name, polyline) {
            ("VERTEX", Some((_, extrusion))) => extrusion,
            _ => extrusion,
        };
        let tilted = || "its symbol stands tilted out of the plan".to_string();
        let shift = |space: Space| {
            back.shift((space == Space::Object).then_some(frame), by)
                .ok_or_else(tilted)
        };
        let mut found = [0usize; 2];
        // A text may have a paragraph embedded: its own place follows, in world coordinates, and 11 is then a direction.
        let mut embedded = false;
        // A hatch begins with its height, as a point whose x and y say nothing.
        let mut begun = name != "HATCH";
        for tag in record.iter().take_while(|t| t.code < 1000) {
            embedded |= tag.code == 101;
            begun |= tag.code == 92;
            if !begun {
                continue;
            }
            let base = [0, 10].into_iter().find(|up| codes.contains(&(tag.code - up)));
            let (codes_hold, up) = match (embedded, base) {
                (false, Some(up)) => (true, up),
                (true, _) if matches!(tag.code, 10 | 20) => (true, tag.code - 10),
                _ => (false, 0),
            };
            if !codes_hold {
                continue;
            }
            let add = shift(if embedded { Space::Own } else { space })?[usize::from(up == 10)];
            let old = drawing.real(tag).filter(|v| v.is_finite());
            let old = old.ok_or_else(|| "its symbol has no usable place".to_string())?;
            found[usize::from(up == 10)] += 1;
            // What stays is left as it is written.
            if old + add != old {
                values.push(NewValue {
                    at: tag.value.clone(),
                    value: tidy(old + add),
                });
            }
        }
        if found[0] == 0 || found[0] != found[1] {
            return Err("its symbol has no usable place".into());
        }
    }
    Ok(values)
}

/// A number without the rounding of a sum, where that is far below what any tape or program tells apart.
fn tidy(value: f64) -> f64 {
    let round = (value * 1e9).round() / 1e9;
    if value.abs() < 1e5 && (round - value).abs() <= 1e-11 {
        round + 0.0
    } else {
        value
    }
}

fn extrusion(drawing: &Drawing<'_>, record: &[Tag]) -> [f64; 3] {
    let of = |code: i16| {
        let tag = record
            .iter()
            .take_while(|t| t.code != 101)
            .find(|t| t.code == code);
        tag.and_then(|t| drawing.real(t)).filter(|v| v.is_finite())
    };
    match [of(210), of(220), of(230)] {
        [None, None, None] => [0.0, 0.0, 1.0],
        [x, y, z] => [x.unwrap_or(0.0), y.unwrap_or(0.0), z.unwrap_or(1.0)],
    }
}
