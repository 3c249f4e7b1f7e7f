//! The written part of a sheet, in blocks that are never split, set in columns beside the plan.

use geo::Coord;

use super::badge::{badge, size};
use super::measure::wrap;
use super::swatch::swatch;
use super::{Anchor, Ink, Item, Layer, Panel};

/// Width of a column and the gutter between two, points.
pub const COLUMN: f64 = 262.0;
pub const GUTTER: f64 = 22.0;
const BODY: f64 = 8.5;
const LEAD: f64 = 11.0;

/// Items relative to the block's upper left corner.
pub struct Block {
    pub items: Vec<Item>,
    pub height: f64,
    /// Stands in one column with the next block.
    pub keep: bool,
}

fn heading(text: &str) -> Block {
    Block {
        items: vec![
            Item::Text {
                at: (0.0, 19.0),
                size: 10.5,
                anchor: Anchor::Start,
                bold: true,
                ink: Ink::Full,
                text: text.to_string(),
            },
            Item::Rule {
                from: (0.0, 24.0),
                to: (COLUMN, 24.0),
                ink: Ink::Quiet,
            },
        ],
        height: 30.0,
        keep: true,
    }
}

/// Wrapped lines from `x`, the first baseline at `top` + one line. Gives back the height used.
fn lines(text: &str, x: f64, top: f64, ink: Ink, items: &mut Vec<Item>) -> f64 {
    let mut y = top;
    for line in wrap(text, BODY, false, COLUMN - x) {
        y += LEAD;
        items.push(Item::Text {
            at: (x, y - 2.6),
            size: BODY,
            anchor: Anchor::Start,
            bold: false,
            ink,
            text: line,
        });
    }
    y - top
}

fn paragraph(text: &str, x: f64) -> Block {
    let mut items = Vec::new();
    if x > 0.0 {
        items.push(Item::Text {
            at: (0.0, LEAD - 2.6),
            size: BODY,
            anchor: Anchor::Start,
            bold: true,
            ink: Ink::Full,
            text: "•".into(),
        });
    }
    let height = lines(text, x, 0.0, Ink::Full, &mut items) + 3.0;
    Block {
        items,
        height,
        keep: false,
    }
}

/// Everything written, in reading order.
pub fn blocks(panel: &Panel) -> Vec<Block> {
    let mut out = vec![heading("Summary")];
    out.extend(panel.summary.iter().map(|s| paragraph(s, 0.0)));
    let widest = panel.list.iter().map(|e| size(&e.id, 5.6).0).fold(0.0, f64::max);
    for (layer, words) in [
        (Layer::Must, "Must be put right"),
        (Layer::Should, "Should be put right"),
        (Layer::Note, "Worth knowing"),
    ] {
        let of: Vec<_> = panel.list.iter().filter(|e| e.layer == layer).collect();
        if of.is_empty() {
            continue;
        }
        out.push(heading(&format!("{words} ({})", of.len())));
        for e in of {
            let x = widest + 8.0;
            let (w, h) = size(&e.id, 5.6);
            let mut items: Vec<Item> = badge(
                &e.id,
                e.layer,
                Coord {
                    x: w / 2.0,
                    y: h / 2.0 + 0.5,
                },
                5.6,
            )
            .map(Item::Mark)
            .to_vec();
            let mut used = lines(&e.text, x, 0.0, Ink::Full, &mut items);
            if let Some(r) = &e.remedy {
                used += lines(r, x, used, Ink::Quiet, &mut items);
            }
            out.push(Block {
                items,
                height: used.max(h + 1.0) + 5.0,
                keep: false,
            });
        }
    }
    if !panel.blocking.is_empty() {
        out.push(heading("Blocking to cut"));
        out.extend(panel.blocking.iter().map(|c| paragraph(c, 12.0)));
    }
    out.push(heading("What the marks mean"));
    for (layer, words) in &panel.legend {
        let mut items = swatch(*layer);
        let used = lines(words, 52.0, 2.0, Ink::Full, &mut items);
        out.push(Block {
            items,
            height: (used + 5.0).max(18.0),
            keep: false,
        });
    }
    out.push(heading("Cautions"));
    out.extend(panel.cautions.iter().map(|c| paragraph(c, 12.0)));
    out
}

/// Sets blocks in columns no higher than `most` (or than one block needs). Gives each block's column
/// and top, and the number of columns and greatest height.
pub fn flow(blocks: &[Block], most: f64) -> (Vec<(usize, f64)>, usize, f64) {
    let (mut column, mut y, mut deepest) = (0, 0.0, 0.0_f64);
    let mut places = Vec::with_capacity(blocks.len());
    for (i, b) in blocks.iter().enumerate() {
        let with_next = if b.keep {
            blocks.get(i + 1).map_or(0.0, |n| n.height)
        } else {
            0.0
        };
        if y > 0.0 && y + b.height + with_next > most {
            column += 1;
            // Type in line with the first column's, whose heading stands lower.
            y = if b.keep { 0.0 } else { 11.0 };
        }
        places.push((column, y));
        y += b.height;
        deepest = deepest.max(y);
    }
    (places, column + 1, deepest)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_heading_goes_with_what_it_heads() {
        let block = |height, keep| Block {
            items: vec![],
            height,
            keep,
        };
        let blocks = [block(60.0, false), block(30.0, true), block(20.0, false)];
        let (places, columns, deepest) = flow(&blocks, 100.0);
        assert_eq!(places, [(0, 0.0), (1, 0.0), (1, 30.0)]);
        assert_eq!((columns, deepest), (2, 60.0));
    }
}
