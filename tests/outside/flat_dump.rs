//! Prints what the flattened model space of drawings holds, one JSON object a file, for comparison
//! with another reader. Coordinates are the drawing's own, as if its unit were the inch.

use std::collections::BTreeMap;
use std::process::ExitCode;

use bayline::flatten::{Flat, Prim, flatten};
use bayline::note::Level;
use bayline::plan::Units;
use geo::Coord;
use serde_json::{Value, json};

fn main() -> ExitCode {
    let mut worst = ExitCode::SUCCESS;
    for path in std::env::args().skip(1) {
        let found = std::fs::read(&path)
            .map_err(|e| e.to_string())
            .and_then(|bytes| dump(&bytes));
        let mut line = found.unwrap_or_else(|e| {
            worst = ExitCode::FAILURE;
            json!({ "error": e })
        });
        line["path"] = json!(path);
        println!("{line}");
    }
    worst
}

fn dump(bytes: &[u8]) -> Result<Value, String> {
    let (drawing, _) = bayline::drawing::read(bytes).map_err(|e| e.to_string())?;
    let units = Units {
        name: "in".into(),
        inches_per_unit: 1.0,
        why: "compared as drawn".into(),
    };
    let (flat, notes) = flatten(&drawing, &units);
    let losses: Vec<&str> = notes
        .iter()
        .filter(|n| n.level == Level::Loss)
        .map(|n| n.code)
        .collect();
    Ok(json!({
        "lines": sorted(&flat, "LINE", |p| match p {
            Prim::Segment { from, to } => Some(vec![from.x, from.y, to.x, to.y]),
            _ => None,
        }),
        // Circles and full arcs of circles that stay circles in plan.
        "circles": sorted(&flat, "CIRCLE", |p| match p {
            Prim::Circle { center, radius } => Some(vec![center.x, center.y, *radius]),
            _ => None,
        }),
        // Middle of the stretch, half axes: what a circle becomes under unequal scale.
        "ovals": sorted(&flat, "CIRCLE", |p| match p {
            Prim::Ellipse { center, major, minor, .. } => {
                Some(vec![center.x, center.y, major.x.hypot(major.y), minor.x.hypot(minor.y)])
            }
            _ => None,
        }),
        // Arcs that stay round: their middle, the middle of their chord and its length.
        "arcs": sorted(&flat, "ARC", |p| match p {
            Prim::Arc { center, radius, start, sweep } => {
                let at = |t: f64| (center.x + radius * t.cos(), center.y + radius * t.sin());
                let (a, m, b) = (at(*start), at(start + sweep / 2.0), at(start + sweep));
                Some(vec![m.0, m.1, (a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0, (a.0 - b.0).hypot(a.1 - b.1)])
            }
            _ => None,
        }),
        // Lines of multilines and their round ends, from the end with the lesser x (then y) to the other.
        "stretches": sorted(&flat, "MLINE", |p| match p {
            Prim::Segment { from, to } => {
                let (a, b) = in_order(*from, *to);
                Some(vec![a.x, a.y, b.x, b.y])
            }
            _ => None,
        }),
        "caps": sorted(&flat, "MLINE", |p| match p {
            Prim::Path { vertices, .. } => match vertices[..] {
                [a, b] if a.bulge != 0.0 => {
                    let out = (b.at - a.at) * (a.bulge / 2.0);
                    let middle = (a.at + b.at) * 0.5 + Coord { x: out.y, y: -out.x };
                    let (a, b) = in_order(a.at, b.at);
                    Some(vec![middle.x, middle.y, a.x, a.y, b.x, b.y])
                }
                _ => None,
            },
            _ => None,
        }),
        // Of splines the middle of all their vertices, the first and the last.
        "curves": sorted(&flat, "SPLINE", |p| match p {
            Prim::Path { vertices, .. } => match &vertices[..] {
                [a, .., b] => {
                    let sum = vertices.iter().fold(Coord { x: 0.0, y: 0.0 }, |sum, v| sum + v.at);
                    let middle = sum / vertices.len() as f64;
                    Some(vec![middle.x, middle.y, a.at.x, a.at.y, b.at.x, b.at.y])
                }
                _ => None,
            },
            _ => None,
        }),
        "corners": corners(&flat),
        "inserts": inserts(&flat),
        "counts": counts(&flat),
        "entities": flat.entities,
        "dropped": flat.dropped,
        "paper": flat.paper,
        "losses": losses,
    }))
}

fn in_order(a: Coord, b: Coord) -> (Coord, Coord) {
    if (a.x, a.y) <= (b.x, b.y) { (a, b) } else { (b, a) }
}

fn sorted(flat: &Flat, entity: &str, numbers: impl Fn(&Prim) -> Option<Vec<f64>>) -> Vec<Vec<f64>> {
    let mut rows: Vec<Vec<f64>> = flat
        .items
        .iter()
        .filter(|i| &*i.entity == entity)
        .filter_map(|i| numbers(&i.prim))
        .collect();
    sort(&mut rows);
    rows
}

/// Every straight polyline's corners, run together.
fn corners(flat: &Flat) -> Vec<Vec<f64>> {
    let mut rows = Vec::new();
    for item in &flat.items {
        if let Prim::Path { vertices, .. } = &item.prim
            && &*item.entity != "MLINE"
            && vertices.iter().all(|v| v.bulge == 0.0)
        {
            rows.push(vertices.iter().flat_map(|v| [v.at.x, v.at.y]).collect());
        }
    }
    sort(&mut rows);
    rows
}

fn inserts(flat: &Flat) -> BTreeMap<String, Vec<Vec<f64>>> {
    let mut by_block: BTreeMap<String, Vec<Vec<f64>>> = BTreeMap::new();
    for item in &flat.items {
        if let Prim::Symbol(s) = &item.prim {
            by_block
                .entry(s.block.to_lowercase())
                .or_default()
                .push(vec![s.at.x, s.at.y]);
        }
    }
    by_block.values_mut().for_each(|rows| sort(rows));
    by_block
}

/// Items by the entity they came from.
fn counts(flat: &Flat) -> BTreeMap<String, usize> {
    let mut by_entity = BTreeMap::new();
    for item in &flat.items {
        *by_entity.entry(item.entity.to_string()).or_insert(0) += 1;
    }
    by_entity
}

fn sort(rows: &mut [Vec<f64>]) {
    rows.sort_by(|a, b| {
        a.iter()
            .zip(b)
            .map(|(x, y)| x.total_cmp(y))
            .find(|o| o.is_ne())
            .unwrap_or_else(|| a.len().cmp(&b.len()))
    });
}
