//! The redline as SVG: a sheet's marks and page, one element each, and nothing decided here.
//!
//! Coordinates are points on the page, reckoned from the corner of the plan's frame, so that a drawing
//! far from its origin gives small numbers all the same. Numbers have at most three decimals.

mod ink;
mod style;

use std::collections::BTreeMap;

use geo::Coord;
use svg::Document;
use svg::node::element::{ClipPath, Definitions, Element, Group, Path, Rectangle, Style as Css, Title};
use svg::node::{Node, Text as Words};

use crate::sheet::{Item, Layer, Mark, MarkShape, Sheet};
use ink::{element, number};

/// Most points of the architect's lines in one path element.
const CHUNK: usize = 4_000;

/// Where plan coordinates come to lie on the page.
#[derive(Clone, Copy)]
struct Map {
    /// Plan point that lies at `to`.
    from: Coord,
    to: Coord,
    scale: f64,
    /// −1 where y goes up in the source.
    up: f64,
}

impl Map {
    fn at(&self, p: Coord) -> Coord {
        Coord {
            x: self.to.x + (p.x - self.from.x) * self.scale,
            y: self.to.y + self.up * (p.y - self.from.y) * self.scale,
        }
    }
}

/// Writes a sheet. Physical size is that of the page, 72 points an inch.
pub fn svg(sheet: &Sheet) -> String {
    let page = &sheet.panel.page;
    let (width, height) = (number(page.width), number(page.height));
    let (least, greatest) = sheet.bounds;
    let plan = Map {
        from: Coord {
            x: least.x,
            y: greatest.y,
        },
        to: Coord {
            x: page.plan_at.0,
            y: page.plan_at.1,
        },
        scale: page.scale,
        up: -1.0,
    };
    let paper = Map {
        from: Coord { x: 0.0, y: 0.0 },
        to: Coord { x: 0.0, y: 0.0 },
        scale: 1.0,
        up: 1.0,
    };
    let tips: BTreeMap<&str, &str> = sheet
        .panel
        .list
        .iter()
        .map(|e| (e.id.as_str(), e.text.as_str()))
        .collect();

    let clip = Rectangle::new()
        .set("x", number(page.plan_at.0))
        .set("y", number(page.plan_at.1))
        .set("width", number((greatest.x - least.x) * page.scale))
        .set("height", number((greatest.y - least.y) * page.scale));
    let mut drawn = Group::new().set("id", "plan").set("clip-path", "url(#frame)");
    let mut quiet = Chunk::default();
    for m in &sheet.plan {
        if let (Layer::Architect, None, MarkShape::Path { points, closed, .. }) = (m.layer, &m.of, &m.shape) {
            quiet.add(points, *closed, &plan, &mut drawn);
            continue;
        }
        quiet.end(&mut drawn);
        drawn = mark(m, &plan, &tips, drawn);
    }
    quiet.end(&mut drawn);

    let mut around = Group::new().set("id", "page");
    for item in &page.items {
        match item {
            Item::Mark(m) => around = mark(m, &paper, &tips, around),
            other => {
                if let Some(e) = element(other) {
                    around = around.add(e);
                }
            }
        }
    }
    let document = Document::new()
        .set("viewBox", format!("0 0 {width} {height}"))
        .set("width", format!("{width}pt"))
        .set("height", format!("{height}pt"))
        .add(Title::new(ink::clean(&page.heading)))
        .add(Css::new(style::css()))
        .add(Definitions::new().add(ClipPath::new().set("id", "frame").add(clip)))
        .add(
            Rectangle::new()
                .set("class", "paper")
                .set("width", width)
                .set("height", height),
        )
        .add(drawn)
        .add(around);
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{document}\n")
}

/// Runs of the architect's lines, put in few elements: a house has tens of thousands.
#[derive(Default)]
struct Chunk {
    d: String,
    points: usize,
}

impl Chunk {
    fn add(&mut self, points: &[Coord], closed: bool, map: &Map, to: &mut Group) {
        self.d.push_str(&trace(points, closed, map));
        self.points += points.len();
        if self.points > CHUNK {
            self.end(to);
        }
    }

    fn end(&mut self, to: &mut Group) {
        if self.points > 0 {
            to.append(
                Path::new()
                    .set("class", style::class(Layer::Architect))
                    .set("d", std::mem::take(&mut self.d)),
            );
            self.points = 0;
        }
    }
}

/// Path data; points that are no numbers are left out.
fn trace(points: &[Coord], closed: bool, map: &Map) -> String {
    let mut d = String::new();
    for p in points.iter().filter(|p| p.x.is_finite() && p.y.is_finite()) {
        let q = map.at(*p);
        d.push(if d.is_empty() { 'M' } else { 'L' });
        d.push_str(&number(q.x));
        d.push(' ');
        d.push_str(&number(q.y));
    }
    if closed && !d.is_empty() {
        d.push('Z');
    }
    d
}

/// One mark, with a tooltip that says what it belongs to.
fn mark(m: &Mark, map: &Map, tips: &BTreeMap<&str, &str>, to: Group) -> Group {
    let class = style::classes(m);
    let mut parts: Vec<Element> = Vec::new();
    match &m.shape {
        MarkShape::Path { points, closed, .. } => {
            let d = trace(points, *closed, map);
            parts.push(Path::new().set("class", class).set("d", d).into());
        }
        MarkShape::Circle { center, radius, .. } => {
            let c = map.at(*center);
            parts.push(
                svg::node::element::Circle::new()
                    .set("class", class)
                    .set("cx", number(c.x))
                    .set("cy", number(c.y))
                    .set("r", number(radius * map.scale))
                    .into(),
            );
        }
        MarkShape::Arrow { from, to, head } => {
            let (a, b) = (map.at(*from), map.at(*to));
            let (shaft, tip) = arrow(a, b, head * map.scale);
            let flat = Map {
                from: Coord { x: 0.0, y: 0.0 },
                to: Coord { x: 0.0, y: 0.0 },
                scale: 1.0,
                up: 1.0,
            };
            let shaft = trace(&[a, shaft], false, &flat);
            parts.push(Path::new().set("class", class.clone()).set("d", shaft).into());
            let tip = trace(&tip, true, &flat);
            parts.push(
                Path::new()
                    .set("class", format!("{class} head"))
                    .set("d", tip)
                    .into(),
            );
        }
        MarkShape::Text {
            at,
            height,
            angle,
            centred,
            text,
        } => parts.push(ink::plan_text(
            map.at(*at),
            height * map.scale,
            *angle * map.up,
            *centred,
            &class,
            text,
        )),
    }
    let tip = m.of.as_deref().map(|id| match tips.get(id) {
        Some(text) => format!("{id}: {text}"),
        None => id.to_string(),
    });
    let mut to = to;
    for mut e in parts {
        if let Some(tip) = &tip {
            e.append(Title::new(ink::clean(tip)));
        }
        to = to.add(e);
    }
    to
}

/// Where the shaft ends, and the corners of the head.
fn arrow(from: Coord, to: Coord, head: f64) -> (Coord, [Coord; 3]) {
    let d = to - from;
    let long = d.x.hypot(d.y);
    if !(long.is_finite() && long > 0.0) {
        return (to, [to; 3]);
    }
    let unit = d / long;
    let side = Coord {
        x: -unit.y,
        y: unit.x,
    };
    let neck = to - unit * head.min(long);
    let half = side * (head.min(long) * 0.36);
    (neck, [to, neck + half, neck - half])
}

/// A text node with what XML cannot hold taken out; the crate escapes the rest.
fn words(text: &str) -> Words {
    Words::new(ink::clean(text))
}
