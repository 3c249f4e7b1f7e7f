//! Marks that are figures, as a schedule without letters has them. Circuits and keynotes are figures too, so they are
//! types only where one stands at nearly every light, all of them are in the schedule, and nothing else may be meant.

use std::collections::{BTreeMap, BTreeSet};

use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::nearby::counted;
use super::unlisted::each;
use super::written::{Written, marks};
use super::{LEAST_MARKS, Mark, in_symbol, owned, typical};
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::Light;
use crate::recognise::devices::kinds::text_middle;
use crate::recognise::schedule::{Schedule, is_figures};
use crate::recognise::shape::{bounds, chords};
use crate::rules::{folded, listed};

/// Longer figures are no mark.
const LONGEST: usize = 3;
/// A shape about a figure is no larger, heights of its lettering.
const FRAME: f64 = 6.0;
/// Layers whose figures are something else (common drafting words).
const OTHERS: &str = "
    CIRC CIRCUIT CIRCUITS CKT CCT CCTS PANEL WIRE WIRING HOMERUN KEYN KEYNOTE KEYNOTES NOTE NOTES DIM DIMS DIMENSION
    DIMENSIONS GRID ROOM ROOMS DOOR DOORS WINDOW WINDOWS SWITCH SWITCHES ELEV LEVEL REV REVISION";
/// Headings of a list of keynotes.
const KEYNOTES: [&str; 6] = [
    "KEYNOTES",
    "KEY NOTES",
    "KEYED NOTES",
    "SHEET NOTES",
    "PLAN NOTES",
    "SHEET KEYNOTES",
];

/// The figures beside lights that are types of the schedule; what may be others is asked about.
pub fn figures(
    all: &Written<'_>,
    schedule: &Schedule<'_>,
    lights: &[Light],
    notes: &mut Vec<Note>,
) -> Vec<Mark> {
    let Written { flat, classes, .. } = *all;
    let open: BTreeSet<usize> = (0..lights.len())
        .filter(|&l| lights[l].schedule.is_none())
        .collect();
    let listed_mark = |text: &str| schedule.figures(typical::split(text).0);
    let mut own = marks(all, &listed_mark);
    own.retain(|m| !in_symbol(flat, classes, m.item));
    if open.is_empty() || own.is_empty() {
        return Vec::new();
    }
    let word = |text: &str| {
        let text = typical::split(text).0.trim();
        (text.len() <= LONGEST && is_figures(text)).then(|| text.to_string())
    };
    let frames = Frames::new(flat);
    let keyed = frames.keynotes;
    let mut sound = Vec::new();
    for framed in [false, true] {
        let which = |item: usize| frames.about(flat, item) == framed;
        for best in each(all, lights, &open, &word, &which) {
            let known = best
                .pairs
                .iter()
                .all(|(_, text, _)| schedule.figures(text).is_some());
            let other = listed(OTHERS).layer_matches(&best.layer) || framed && keyed;
            sound.push((best, known && !other));
        }
    }
    if let [(best, true)] = &sound[..] {
        let said = counted(best.pairs.iter().map(|(_, word, _)| word.clone()));
        notes.push(Note::info(
            "tags-figures",
            format!(
                "the types of {} of {} lights are read from figures on layer {} ({said}), one at each light and all of them in \
                 the schedule",
                best.pairs.len(),
                lights.len(),
                best.layer
            ),
        ));
        let items: BTreeSet<usize> = best.pairs.iter().map(|p| p.2).collect();
        own.retain(|m| items.contains(&m.item));
        return own;
    }
    let mut near: BTreeMap<usize, usize> = BTreeMap::new();
    let every: Vec<usize> = (0..own.len()).collect();
    near.extend(super::by_leader(flat, classes, &own, lights));
    near.extend(owned(&own, &every, lights).matched);
    near.retain(|l, _| open.contains(l));
    if near.len() >= LEAST_MARKS {
        let said = counted(near.values().map(|&m| schedule.tag(own[m].entry)));
        let layers: BTreeSet<&str> = near.values().map(|&m| &*flat.items[own[m].item].layer).collect();
        let layers: Vec<&str> = layers.into_iter().collect();
        notes.push(Note::warning(
            "tags-asked",
            format!(
                "the schedule's marks are figures, and those beside {} of {} light(s) without a type, on layer {} ({said}), may be \
                 of circuits or keynotes: none is taken; give the blocks of each type under [[luminaire]] in bayline.toml, or write \
                 TYPE 1 beside the lights",
                near.len(),
                open.len(),
                layers.join(", ")
            ),
        ));
    }
    Vec::new()
}

/// Small closed shapes, in which tags and keynotes stand, and whether there is a list of keynotes.
struct Frames {
    shapes: RTree<GeomWithData<[f64; 2], f64>>,
    keynotes: bool,
}

impl Frames {
    fn new(flat: &Flat) -> Frames {
        let mut shapes = Vec::new();
        let mut keynotes = false;
        for item in flat.items.iter().filter(|i| i.visible) {
            match &item.prim {
                Prim::Text { text, .. } => {
                    let text = folded(text);
                    keynotes |= KEYNOTES.contains(&text.trim_matches([':', '.', ' ']));
                }
                Prim::Circle { .. } | Prim::Path { closed: true, .. } => {
                    let drawn = chords(&item.prim).and_then(|(points, _)| bounds(points));
                    if let Some((low, high)) = drawn {
                        let (middle, size) = ((low + high) * 0.5, high - low);
                        let across = size.x.max(size.y);
                        if across.is_finite() && middle.x.is_finite() && middle.y.is_finite() {
                            shapes.push(GeomWithData::new([middle.x, middle.y], across));
                        }
                    }
                }
                _ => {}
            }
        }
        Frames {
            shapes: RTree::bulk_load(shapes),
            keynotes,
        }
    }

    /// Whether a text or the text of a symbol's attribute stands in a shape of a tag's size.
    fn about(&self, flat: &Flat, item: usize) -> bool {
        let prim = &flat.items[item].prim;
        let Prim::Text { height, .. } = prim else {
            return matches!(prim, Prim::Symbol(_));
        };
        let Some(middle) = text_middle(prim).filter(|p| p.x.is_finite() && p.y.is_finite()) else {
            return false;
        };
        let near = self
            .shapes
            .nearest_neighbor_iter_with_distance_2([middle.x, middle.y]);
        let mut within = near.take(super::MOST_NEAR);
        within
            .any(|(shape, squared)| squared.sqrt() <= shape.data / 4.0 && shape.data <= FRAME * height.abs())
    }
}
