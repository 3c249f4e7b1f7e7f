//! Blocks of lights that are inserted at scales that no light is drawn at: 0, or ten times the others'.

use std::collections::BTreeMap;

use super::tolerance::LARGEST_LIGHT_RADIUS;
use crate::length::inches_only;
use crate::note::Note;
use crate::plan::Light;

/// From here on a symbol is of another scale than the others of its block.
const LARGER: f64 = 2.0;
/// Most sizes that a note names.
const MOST: usize = 4;

/// Says which lights are drawn at a scale that the others of their block are not, or larger than any light is.
pub fn told(lights: &[Light], notes: &mut Vec<Note>) {
    let mut blocks: BTreeMap<&str, Vec<&Light>> = BTreeMap::new();
    for light in lights {
        if let Some(block) = light.block.as_deref() {
            blocks.entry(block).or_default().push(light);
        }
    }
    for (block, all) in blocks {
        let mut sizes: Vec<f64> = all.iter().map(|l| l.drawn_radius).collect();
        sizes.sort_by(f64::total_cmp);
        let usual = sizes[sizes.len() / 2];
        let odd: Vec<&&Light> = (all.iter())
            .filter(|l| {
                let r = l.drawn_radius;
                let unlike = usual > 0.0 && (r * LARGER <= usual || r >= LARGER * usual);
                unlike || r > LARGEST_LIGHT_RADIUS
            })
            .collect();
        let Some(first) = odd.first() else { continue };
        let mut across: Vec<String> = odd.iter().map(|l| inches_only(2.0 * l.drawn_radius)).collect();
        across.sort();
        across.dedup();
        let more = across.len().saturating_sub(MOST);
        across.truncate(MOST);
        if more > 0 {
            across.push(format!("{more} more sizes"));
        }
        let others = match all.len() - odd.len() {
            0 => String::new(),
            n => format!(", and {} at the other {n}", inches_only(2.0 * usual)),
        };
        notes.push(Note::warning(
            "lights-scaled",
            format!(
                "block {block} is drawn {} across at {} of {} places, the first at ({:.1}, {:.1}) in{others}: they are counted as lights; \
                 erase them or insert them at the scale of the others if they are slips",
                across.join(", "),
                odd.len(),
                all.len(),
                first.at.x,
                first.at.y,
            ),
        ));
    }
}
