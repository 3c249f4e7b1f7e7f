//! Lengths that people wrote: dimensions, and the sizes of rooms.

use std::collections::BTreeMap;

use geo::Coord;

use super::super::classes::{Class, Classes};
use super::Candidate;
use super::sizes::thinned;
use super::weigh::{Evidence, number, trust};
use crate::drawing::{Drawing, EntityRef, Shape};
use crate::flatten::{Flat, Prim};
use crate::length;

/// Most dimensions and room texts that are looked at.
pub(super) const MOST: usize = 60;
/// Written lengths are rounded, to an inch at the worst that is usual.
pub(super) const ROUNDING: f64 = 0.6;
pub(super) const NEAR: f64 = 0.015;
/// Room sizes leave out finishes, closets and corners.
const NEAR_ROOM: f64 = 0.08;
/// Below this (inches) a written length says little.
pub(super) const SHORTEST: f64 = 9.0;

/// A length as written.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Written {
    /// With its unit: inches.
    Inches(f64),
    /// A bare number.
    Bare(f64),
}

/// Dimension entities: what they say against how far their points are apart. Bare numbers, which the style of the dimensions
/// makes, count for candidates that `may`.
pub fn dimensions(
    drawing: &Drawing<'_>,
    flat: &Flat,
    candidates: &[Candidate],
    may: &dyn Fn(&Candidate) -> bool,
) -> Option<Evidence> {
    let all: Vec<(f64, usize, &str)> = (flat.items.iter())
        .filter(|item| item.within.is_none())
        .filter_map(|item| match &item.prim {
            Prim::Dimension {
                p1,
                p2,
                text,
                rotated,
                ..
            } => {
                let (dx, dy) = (p2.x - p1.x, p2.y - p1.y);
                let apart = match rotated {
                    Some(angle) => (dx * angle.cos() + dy * angle.sin()).abs(),
                    None => dx.hypot(dy),
                };
                (apart.is_finite() && apart > 0.0).then_some((apart, item.offset, &**text))
            }
            _ => None,
        })
        .collect();
    if all.is_empty() {
        return None;
    }
    let step = all.len().div_ceil(MOST);
    let shown = Shown::new(drawing);
    let said: Vec<(f64, Written, String)> = (all.into_iter().step_by(step))
        .filter_map(|(apart, offset, text)| {
            let text = match text.trim() {
                "" => shown.text(offset)?,
                text if text.contains("<>") => shown.text(offset)?,
                text => text.to_string(),
            };
            let written = written(&text)?;
            Some((apart, written, text))
        })
        .filter(|(apart, written, _)| match written {
            Written::Inches(inches) => *inches >= SHORTEST,
            // Equal to the drawing's own number it says nothing of the unit.
            Written::Bare(n) => *n > 0.0 && !(0.8..1.25).contains(&(n / apart)),
        })
        .collect();
    (!said.is_empty()).then(|| {
        Evidence::of(candidates, 8.0 * trust(said.len()), |c| {
            let fit: Vec<_> = (said.iter())
                .filter(|(apart, written, _)| match written {
                    Written::Inches(inches) => {
                        (apart * c.inches - inches).abs() <= ROUNDING.max(NEAR * inches)
                    }
                    Written::Bare(n) => may(c) && super::converts(n / apart, c.inches),
                })
                .collect();
            let words = fit.first().map_or(String::new(), |(apart, _, text)| {
                format!("dimensions such as {} over {}", text.trim(), number(*apart))
            });
            (fit.len() as f64 / said.len() as f64, words)
        })
    })
}

/// What the blocks that draw dimensions show.
struct Shown<'d, 'a> {
    drawing: &'d Drawing<'a>,
    blocks: BTreeMap<String, usize>,
}

impl<'d, 'a> Shown<'d, 'a> {
    fn new(drawing: &'d Drawing<'a>) -> Self {
        let mut blocks = BTreeMap::new();
        for (i, block) in drawing.blocks.iter().enumerate() {
            blocks.entry(block.name.to_uppercase()).or_insert(i);
        }
        Shown { drawing, blocks }
    }

    /// The text in the block of the dimension at `offset`.
    fn text(&self, offset: usize) -> Option<String> {
        let entities = &self.drawing.entities;
        let at = entities.binary_search_by_key(&offset, |e| e.range.start).ok()?;
        let name = match self.shape(entities.get(at)?) {
            Shape::Dimension {
                block: Some(name), ..
            } => name.to_uppercase(),
            _ => return None,
        };
        let block = self.drawing.blocks.get(*self.blocks.get(&name)?)?;
        (block.entities.iter().take(50)).find_map(|e| match self.shape(e) {
            Shape::Text { text, .. } | Shape::MText { text, .. } => Some(text.into_owned()),
            _ => None,
        })
    }

    fn shape(&self, entity: &EntityRef) -> Shape<'a> {
        self.drawing.entity(entity).0.shape
    }
}

/// Reads a length: with marks or a unit, or a bare number. Words after it do not count.
fn written(text: &str) -> Option<Written> {
    let text = text.trim().trim_end_matches(['±', '.']).trim_end();
    if let Ok(number) = text.replace(',', "").parse::<f64>() {
        return (number.is_finite() && number > 0.0).then_some(Written::Bare(number));
    }
    let inches = length::parse(text).ok().or_else(|| {
        let cut = text
            .char_indices()
            .find(|&(i, c)| c.is_alphabetic() && text.get(..i).is_some_and(|before| before.ends_with(' ')))?;
        length::parse(text.get(..cut.0)?).ok()
    })?;
    let unit = text.contains(['\'', '"', '\u{2032}', '\u{2033}', '\u{2019}', '\u{201D}'])
        || text.chars().any(char::is_alphabetic);
    (unit && inches.is_finite() && inches > 0.0).then_some(Written::Inches(inches))
}

/// `13'8 x 14'`, `4.10 m x 3.60 m`: the two sides of a room, in inches.
fn sides(text: &str) -> Option<(f64, f64)> {
    let (a, b) = text.split_once(['x', 'X', '×'])?;
    match (written(a)?, written(b)?) {
        (Written::Inches(a), Written::Inches(b)) if a.min(b) >= 18.0 => Some((a, b)),
        _ => None,
    }
}

/// Texts that `says` reads, with the clear distances around each, along it and square to it.
pub(super) fn clear_about<'a, T>(
    flat: &'a Flat,
    classes: &Classes,
    says: &dyn Fn(&str) -> Option<T>,
) -> Vec<((f64, f64), T, &'a str)> {
    let texts: Vec<(Coord, f64, T, &str)> = (flat.items.iter())
        .filter_map(|item| match &item.prim {
            Prim::Text {
                at,
                angle,
                text,
                height,
                ..
            } if item.visible => {
                // From amid the letters, not from their corner, which may touch a line.
                let (sin, cos) = angle.sin_cos();
                let (u, v) = (1.5 * height, 0.5 * height);
                let at = Coord {
                    x: at.x + u * cos - v * sin,
                    y: at.y + u * sin + v * cos,
                };
                says(text).map(|said| (at, *angle, said, &**text))
            }
            _ => None,
        })
        .take(MOST)
        .collect();
    if texts.is_empty() {
        return Vec::new();
    }
    let mut walls = Vec::new();
    for (item, class) in flat.items.iter().zip(&classes.of) {
        if !item.visible || !matches!(class, Class::Wall | Class::Room) {
            continue;
        }
        match &item.prim {
            Prim::Segment { from, to } => walls.push((*from, *to)),
            Prim::Path { vertices, closed } => {
                let next = vertices
                    .iter()
                    .skip(1)
                    .chain(vertices.first().filter(|_| *closed));
                walls.extend(vertices.iter().zip(next).map(|(a, b)| (a.at, b.at)));
            }
            _ => {}
        }
    }
    let walls = thinned(walls);
    (texts.into_iter())
        .filter_map(|(at, angle, said, text)| {
            let across =
                |angle: f64| Some(ray(at, angle, &walls)? + ray(at, angle + std::f64::consts::PI, &walls)?);
            let found = (across(angle)?, across(angle + std::f64::consts::FRAC_PI_2)?);
            Some((found, said, text))
        })
        .collect()
}

/// Sizes written into rooms, against the clear distances around the text, along it and square to it.
pub fn rooms(flat: &Flat, classes: &Classes, candidates: &[Candidate]) -> Option<Evidence> {
    let clear = clear_about(flat, classes, &|text| text.lines().find_map(sides));
    (!clear.is_empty()).then(|| {
        Evidence::of(candidates, 4.0 * trust(clear.len()), |c| {
            let near = |drawn: f64, said: f64| (drawn * c.inches - said).abs() <= NEAR_ROOM * said;
            let fit: Vec<_> = (clear.iter())
                .filter(|((w, d), (a, b), _)| {
                    (near(*w, *a) && near(*d, *b)) || (near(*w, *b) && near(*d, *a))
                })
                .collect();
            let words = fit.first().map_or(String::new(), |((w, d), _, text)| {
                format!(
                    "a room marked {} drawn {} by {}",
                    text.trim(),
                    number(*w),
                    number(*d)
                )
            });
            // Rooms of odd shapes never fit; half of them is as good as all.
            (2.0 * fit.len() as f64 / clear.len() as f64, words)
        })
    })
}

/// The distance from `at` to the first wall that way.
fn ray(at: Coord, angle: f64, walls: &[(Coord, Coord)]) -> Option<f64> {
    let (sin, cos) = angle.sin_cos();
    let seen = |p: Coord| {
        (
            (p.x - at.x) * cos + (p.y - at.y) * sin,
            (p.y - at.y) * cos - (p.x - at.x) * sin,
        )
    };
    walls
        .iter()
        .filter_map(|&(a, b)| {
            let ((ax, ay), (bx, by)) = (seen(a), seen(b));
            if (ay > 0.0) == (by > 0.0) {
                return None;
            }
            let x = ax + (bx - ax) * ay / (ay - by);
            (x.is_finite() && x > 0.0).then_some(x)
        })
        .min_by(f64::total_cmp)
}
