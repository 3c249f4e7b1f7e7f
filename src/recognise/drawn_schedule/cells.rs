//! What is written on a drawing, tables in one text taken apart: its lines, and their cells between tabs.

use geo::Coord;

use super::super::legend::{heads_lights, text_lines};
use super::super::shape::finite;
use crate::flatten::{Flat, Prim};

/// From tab to tab, in heights of the lettering: the drawing's own stops do not matter, as all lines have the same.
const TAB: f64 = 30.0;
/// A text of so many lines under a heading of its own is a list.
const FEWEST: usize = 3;

/// A piece of lettering.
#[derive(Clone, Copy)]
pub struct Piece<'a> {
    pub at: Coord,
    pub height: f64,
    pub angle: f64,
    pub text: &'a str,
}

/// Every visible text, and the cells of those that are tables or lists by themselves.
pub fn pieces(flat: &Flat) -> Vec<Piece<'_>> {
    let mut found = Vec::new();
    for item in flat.items.iter().filter(|item| item.visible) {
        let Prim::Text {
            at,
            height,
            angle,
            text,
            ..
        } = &item.prim
        else {
            continue;
        };
        if !(finite(*at) && *height > 0.0 && height.is_finite() && angle.is_finite()) {
            continue;
        }
        let tabbed = text.lines().filter(|l| l.contains('\t')).count() >= 2;
        let listed = || text.lines().count() >= FEWEST && text.lines().next().is_some_and(heads_lights);
        if !tabbed && !listed() {
            found.push(Piece {
                at: *at,
                height: *height,
                angle: *angle,
                text,
            });
            continue;
        }
        let along = Coord {
            x: angle.cos(),
            y: angle.sin(),
        };
        for line in text_lines(&item.prim) {
            for (n, cell) in line.text.split('\t').enumerate() {
                if !cell.trim().is_empty() {
                    found.push(Piece {
                        at: line.at + along * (n as f64 * TAB * height),
                        height: *height,
                        angle: *angle,
                        text: cell,
                    });
                }
            }
        }
    }
    found
}
