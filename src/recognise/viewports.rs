//! Lights on layers that are frozen in every viewport that shows them.
//!
//! Which layers a sheet shows is said by its viewports, not by the layer table. Lights nobody sees on any sheet may be
//! another scheme's; they are counted, and told of.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::shape::finite;
use crate::drawing::{Drawing, EntityRef, Tag};
use crate::flatten::Flat;
use crate::note::Note;
use crate::plan::{Plan, Units};

/// Viewports that are looked at.
const MOST: usize = 1000;

/// A viewport that looks straight down.
struct Viewport {
    /// Middle of what it shows and half its width and height, inches.
    middle: Coord,
    half: Coord,
    /// Cosine and sine of the turn of its view.
    turn: (f64, f64),
    /// Names of layers that are frozen in it, folded.
    frozen: BTreeSet<String>,
}

impl Viewport {
    fn shows(&self, p: Coord) -> bool {
        let (d, (c, s)) = (p - self.middle, self.turn);
        (c * d.x - s * d.y).abs() <= self.half.x && (s * d.x + c * d.y).abs() <= self.half.y
    }
}

/// Says which layers hold lights that no viewport shows, though one looks at their place.
pub fn told(drawing: &Drawing<'_>, units: &Units, flat: &Flat, plan: &Plan, notes: &mut Vec<Note>) {
    let views = viewports(drawing, units.inches_per_unit);
    if views.iter().all(|v| v.frozen.is_empty()) {
        return;
    }
    let offsets: BTreeSet<usize> = plan.lights.iter().map(|l| l.offset).collect();
    let mut layers: BTreeMap<usize, BTreeSet<String>> = BTreeMap::new();
    for (i, item) in flat.items.iter().enumerate() {
        if offsets.contains(&item.offset) && item.visible {
            // What its own layer does not hide a block around it may.
            let mut at = Some(i);
            let all = layers.entry(item.offset).or_default();
            while let Some(found) = at.and_then(|i| flat.items.get(i)) {
                all.insert(found.layer.to_string());
                at = found.within;
            }
        }
    }
    let mut hidden: BTreeMap<String, usize> = BTreeMap::new();
    for light in &plan.lights {
        let shown: Vec<&Viewport> = views.iter().filter(|v| v.shows(light.at)).collect();
        let Some(own) = layers.get(&light.offset).filter(|_| !shown.is_empty()) else {
            continue;
        };
        let by = own
            .iter()
            .find(|l| shown.iter().all(|v| v.frozen.contains(&l.to_lowercase())));
        if let Some(layer) = by {
            *hidden.entry(layer.clone()).or_insert(0) += 1;
        }
    }
    for (layer, count) in hidden {
        let (lights, they) = match count {
            1 => ("1 light".to_string(), "it is counted"),
            n => (format!("{n} lights"), "they are counted"),
        };
        notes.push(Note::warning(
            "frozen-in-viewports",
            format!(
                "{lights} on layer {layer}, which is frozen in every viewport that shows their place: {they}; freeze the layer in the \
                 whole drawing, or give it under [read] ignore in bayline.toml, if no sheet is to show them"
            ),
        ));
    }
}

fn viewports(drawing: &Drawing<'_>, unit: f64) -> Vec<Viewport> {
    let of_type = |e: &&EntityRef| drawing.source.get(e.name.clone()) == Some(b"VIEWPORT".as_slice());
    let mut all = drawing.entities.iter().filter(of_type).peekable();
    if all.peek().is_none() {
        return Vec::new();
    }
    let names = layer_names(drawing);
    all.take(MOST)
        .filter_map(|e| viewport(drawing, &drawing.tags(e.range.clone()), unit, &names))
        .collect()
}

/// `None` for the paper itself, and where it is off or looks another way than down.
fn viewport(
    drawing: &Drawing<'_>,
    tags: &[Tag],
    unit: f64,
    names: &BTreeMap<String, String>,
) -> Option<Viewport> {
    let real = |code: i16| {
        let tag = tags.iter().find(|t| t.code == code)?;
        drawing.real(tag).filter(|v| v.is_finite())
    };
    let or = |code: i16, other: f64| real(code).unwrap_or(other);
    let paper_itself = or(69, 2.0) == 1.0;
    let down = or(16, 0.0) == 0.0 && or(26, 0.0) == 0.0 && or(36, 1.0) > 0.0;
    let (width, height, view) = (real(40)?, real(41)?, real(45)?);
    if paper_itself || or(68, 1.0) == 0.0 || !down || height <= 0.0 {
        return None;
    }
    let half = Coord {
        x: view * width / height / 2.0,
        y: view / 2.0,
    } * unit;
    // The view is turned about its target before it is shifted.
    let twist = or(51, 0.0).to_radians();
    let turn = (twist.cos(), twist.sin());
    let (x, y) = (or(12, 0.0), or(22, 0.0));
    let middle = Coord {
        x: or(17, 0.0) + turn.0 * x + turn.1 * y,
        y: or(27, 0.0) - turn.1 * x + turn.0 * y,
    } * unit;
    let frozen = tags.iter().filter(|t| matches!(t.code, 331 | 341));
    let frozen = frozen.filter_map(|t| names.get(&handle(drawing, t)).cloned());
    // Before R2000 names are given in extended data.
    let named = tags.iter().filter(|t| t.code == 1003);
    let named = named.map(|t| drawing.name(t.value.clone()).trim().to_lowercase());
    (finite(middle) && finite(half)).then(|| Viewport {
        middle,
        half,
        turn,
        frozen: frozen.chain(named).filter(|n| !n.is_empty()).collect(),
    })
}

/// Names of layers, folded, by handle.
fn layer_names(drawing: &Drawing<'_>) -> BTreeMap<String, String> {
    let mut names = BTreeMap::new();
    let tables = drawing
        .structure
        .tables
        .iter()
        .filter(|t| t.0.eq_ignore_ascii_case("LAYER"));
    for (_, range) in tables {
        let mut own: Option<String> = None;
        for tag in drawing.tags(range.clone()) {
            match tag.code {
                0 => own = None,
                5 => own = Some(handle(drawing, &tag)),
                2 => {
                    if let Some(own) = own.take() {
                        let name = drawing.name(tag.value.clone()).trim().to_lowercase();
                        names.insert(own, name);
                    }
                }
                _ => {}
            }
        }
    }
    names
}

/// A handle as written, without zeros before it.
fn handle(drawing: &Drawing<'_>, tag: &Tag) -> String {
    let bytes = drawing.source.get(tag.value.clone()).unwrap_or_default();
    let text = String::from_utf8_lossy(bytes).trim().to_ascii_uppercase();
    text.trim_start_matches('0').to_string()
}
