//! The page: title, plan in its frame with scale and north, strips beneath, columns beside.

use geo::Coord;

use super::column::{COLUMN, GUTTER, blocks, flow};
use super::frame::Frame;
use super::measure::{Rect, width, wrap};
use super::{Anchor, Ink, Item, Mark, MarkShape, Page, Panel, strips};

const MARGIN: f64 = 36.0;
const HEAD: f64 = 34.0;
const FOOT: f64 = 40.0;
const STRIP: f64 = 360.0;
/// Least width of the plan's frame: what its foot takes.
const LEAST: f64 = 440.0;
const STRIP_GAP: f64 = 26.0;

pub fn page(heading: &str, panel: &Panel, bounds: &Rect, frame: &Frame) -> Page {
    let mut items = Vec::new();
    let (plan_w, plan_h) = (bounds.width() * frame.scale, bounds.height() * frame.scale);
    let left_w = plan_w.max(LEAST);
    let top = MARGIN + HEAD;
    let frame_h = plan_h + FOOT;
    items.push(Item::Frame {
        at: (MARGIN, top),
        size: (left_w, frame_h),
    });
    foot(MARGIN, top + plan_h, left_w, frame, &mut items);
    let below = top + frame_h;
    let strips_h = lay_strips(panel, (MARGIN, below + 8.0), left_w, &mut items);

    let left_h = frame_h + strips_h;
    let blocks = blocks(panel);
    let mut most = left_h.max(540.0);
    let (places, columns, deepest) = loop {
        let laid = flow(&blocks, most);
        // A long list makes the sheet higher before it makes it very wide.
        let wide = left_w + laid.1 as f64 * (COLUMN + GUTTER);
        if laid.1 <= 2 || wide <= 1.5 * most {
            break laid;
        }
        most *= 1.1;
    };
    let x0 = MARGIN + left_w + GUTTER;
    for (block, (column, y)) in blocks.into_iter().zip(places) {
        let at = (x0 + column as f64 * (COLUMN + GUTTER), top + y - 10.0);
        items.extend(block.items.into_iter().map(|i| shifted(i, at)));
    }
    let page_w = x0 + columns as f64 * (COLUMN + GUTTER) - GUTTER + MARGIN;
    headline(heading, page_w, &mut items);
    Page {
        heading: heading.to_string(),
        width: page_w,
        height: top + left_h.max(deepest) + MARGIN,
        plan_at: (MARGIN + (left_w - plan_w) / 2.0, top),
        scale: frame.scale,
        items,
    }
}

fn headline(words: &str, page_w: f64, items: &mut Vec<Item>) {
    let room = page_w - 2.0 * MARGIN;
    let line = wrap(words, 17.0, true, room)
        .into_iter()
        .next()
        .unwrap_or_default();
    items.push(Item::Text {
        at: (MARGIN, MARGIN + 16.0),
        size: 17.0,
        anchor: Anchor::Start,
        bold: true,
        ink: Ink::Full,
        text: line,
    });
}

fn note(at: (f64, f64), text: String) -> Item {
    Item::Text {
        at,
        size: 8.0,
        anchor: Anchor::Start,
        bold: false,
        ink: Ink::Full,
        text,
    }
}

/// Scale bar and north, in the foot of the plan's frame.
fn foot(x: f64, y: f64, room: f64, frame: &Frame, items: &mut Vec<Item>) {
    items.push(Item::Rule {
        from: (x, y),
        to: (x + room, y),
        ink: Ink::Quiet,
    });
    // Four lengths of whole feet that take about 160 points together.
    let foot = 12.0 * frame.scale;
    let step = [
        1.0, 2.0, 4.0, 5.0, 8.0, 10.0, 20.0, 40.0, 50.0, 100.0, 200.0, 500.0, 1000.0,
    ]
    .into_iter()
    .find(|s| s * foot >= 26.0)
    .unwrap_or(5000.0);
    let (x0, y0) = (x + 14.0, y + 22.0);
    for i in 0..4 {
        let from = x0 + f64::from(i) * step * foot;
        let (at, size) = ((from, y0), (step * foot, 5.0));
        if i % 2 == 0 {
            let ink = Ink::Full;
            items.push(Item::Band { at, size, ink });
        }
        items.push(Item::Frame { at, size });
    }
    for i in [0.0, 1.0, 2.0, 4.0] {
        let feet = i * step;
        items.push(Item::Text {
            at: (x0 + feet * foot, y0 - 4.0),
            size: 7.0,
            anchor: Anchor::Middle,
            bold: false,
            ink: Ink::Full,
            text: format!("{feet}'"),
        });
    }
    let mut at = x0 + 4.0 * step * foot + 18.0;
    let words = format!("Scale {} on a full-size print", frame.words);
    let wide = width(&words, 8.0, false);
    items.push(note((at, y0 + 5.0), words));
    at += wide + 20.0;
    let north = "North as drawn: up here is up in the drawing";
    let fits = at + 20.0 + width(north, 8.0, false) <= x + room;
    let words = if fits { north } else { "North as drawn" };
    if !fits {
        at = at.min(x + room - 30.0 - width(words, 8.0, false));
    }
    let p = |x, y| Coord { x, y };
    items.push(Item::Mark(
        Mark::new(
            super::Layer::Label,
            MarkShape::Arrow {
                from: p(at, y0 + 10.0),
                to: p(at, y0 - 12.0),
                head: 8.0,
            },
        )
        .of("north"),
    ));
    items.push(note((at + 10.0, y0 + 5.0), words.to_string()));
}

/// Strips in as many columns as have room. Gives the height they take.
fn lay_strips(panel: &Panel, at: (f64, f64), room: f64, items: &mut Vec<Item>) -> f64 {
    if panel.strips.is_empty() {
        return 0.0;
    }
    items.push(Item::Text {
        at: (at.0, at.1 + 19.0),
        size: 10.5,
        anchor: Anchor::Start,
        bold: true,
        ink: Ink::Full,
        text: "How straight each row is".into(),
    });
    let how = "Up is left of the row's line, seen from its first light, where its name stands on the plan. \
               Shaded: the tolerance. Along: to scale.";
    let mut y = at.1 + 26.0;
    for line in wrap(how, 8.0, false, room) {
        y += 10.5;
        items.push(note((at.0, y), line));
    }
    y += 10.0;
    let columns = ((room + STRIP_GAP) / (STRIP + STRIP_GAP)).floor().max(1.0) as usize;
    let columns = columns.min(panel.strips.len());
    let wide = (room - (columns - 1) as f64 * STRIP_GAP) / columns as f64;
    for line in panel.strips.chunks(columns) {
        let mut deepest = 0.0_f64;
        for (i, s) in line.iter().enumerate() {
            let laid = strips::lay(s, wide);
            let to = (at.0 + i as f64 * (wide + STRIP_GAP), y);
            deepest = deepest.max(laid.height);
            items.extend(laid.items.into_iter().map(|item| shifted(item, to)));
        }
        y += deepest + 8.0;
    }
    y - at.1 + 8.0
}

fn shifted(item: Item, by: (f64, f64)) -> Item {
    let add = |p: (f64, f64)| (p.0 + by.0, p.1 + by.1);
    match item {
        Item::Mark(mut m) => {
            let d = Coord { x: by.0, y: by.1 };
            match &mut m.shape {
                MarkShape::Path { points, .. } => points.iter_mut().for_each(|p| *p = *p + d),
                MarkShape::Circle { center, .. } => *center = *center + d,
                MarkShape::Text { at, .. } => *at = *at + d,
                MarkShape::Arrow { from, to, .. } => {
                    *from = *from + d;
                    *to = *to + d;
                }
            }
            Item::Mark(m)
        }
        Item::Text {
            at,
            size,
            anchor,
            bold,
            ink,
            text,
        } => Item::Text {
            at: add(at),
            size,
            anchor,
            bold,
            ink,
            text,
        },
        Item::Rule { from, to, ink } => Item::Rule {
            from: add(from),
            to: add(to),
            ink,
        },
        Item::Band { at, size, ink } => Item::Band {
            at: add(at),
            size,
            ink,
        },
        Item::Frame { at, size } => Item::Frame { at: add(at), size },
    }
}
