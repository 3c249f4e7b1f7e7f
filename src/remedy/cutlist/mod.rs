//! The cut list of a plan's blocking, and the lumber to order for it.
//!
//! Every blocking remedy's pieces are counted once, with the lights they serve; pieces of equal length and thickness
//! are one line. The order is from stock of the usual lengths, with the least total length, then
//! the fewest sticks ([`pack`]).

use std::collections::BTreeMap;

use super::{Action, Remedy};
use crate::length::feet_inches;
use crate::plan::{FindingId, LightId, RemedyId};

mod pack;

#[cfg(test)]
mod tests;

/// Lengths that dimension lumber is sold in, inches: 8, 10, 12, 14 and 16 ft (common practice).
pub const STOCKS: [f64; 5] = [96.0, 120.0, 144.0, 168.0, 192.0];
/// What a saw cut eats, inches (common practice).
pub const KERF: f64 = 0.125;

/// What to cut and what to buy.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CutList {
    /// By thickness, then the longest first.
    pub cuts: Vec<Cut>,
    /// The longest stock first. Every piece is in one of them, but for those too long for any.
    pub sticks: Vec<Stick>,
    /// Total length of stock that no order can go below, inches.
    pub at_least: f64,
    /// Pieces longer than any stock, inches.
    pub too_long: Vec<f64>,
}

/// Equal pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct Cut {
    /// Inches, as [`super::Piece::cut`].
    pub length: f64,
    pub thickness: f64,
    pub count: usize,
    pub serves: Vec<Serves>,
}

/// What some of the equal pieces are for.
#[derive(Clone, Debug, PartialEq)]
pub struct Serves {
    pub remedy: RemedyId,
    pub lights: Vec<LightId>,
    pub findings: Vec<FindingId>,
    pub count: usize,
}

/// Sticks that are cut up alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Stick {
    /// Length bought, inches.
    pub stock: f64,
    pub thickness: f64,
    pub count: usize,
    /// Pieces from one stick, the longest first.
    pub cuts: Vec<f64>,
    /// Left of one stick behind the last saw cut, inches.
    pub left: f64,
}

/// The cut list of all blocking among `remedies`.
pub fn cut_list(remedies: &[Remedy]) -> CutList {
    with_stock(remedies, &STOCKS, KERF)
}

/// The same with stock of other lengths and another saw, inches.
pub fn with_stock(remedies: &[Remedy], stocks: &[f64], kerf: f64) -> CutList {
    // Thickness, then length, in sixteenths: both are given to the sixteenth.
    let mut lines: BTreeMap<u64, BTreeMap<u64, Cut>> = BTreeMap::new();
    for remedy in remedies {
        let Action::Block { pieces } = &remedy.action else {
            continue;
        };
        for piece in pieces {
            let line = lines.entry(sixteenths(piece.thickness)).or_default();
            let cut = line.entry(sixteenths(piece.cut)).or_insert_with(|| Cut {
                length: piece.cut,
                thickness: piece.thickness,
                count: 0,
                serves: Vec::new(),
            });
            cut.count += 1;
            let same = |s: &&mut Serves| s.remedy == remedy.id && s.lights == piece.serves;
            match cut.serves.iter_mut().find(same) {
                Some(known) => known.count += 1,
                None => cut.serves.push(Serves {
                    remedy: remedy.id,
                    lights: piece.serves.clone(),
                    findings: remedy.mends.clone(),
                    count: 1,
                }),
            }
        }
    }
    let stocks: Vec<u64> = stocks.iter().map(|&s| sixteenths_within(s)).collect();
    let kerf = sixteenths(kerf);
    let mut list = CutList::default();
    for line in lines.into_values() {
        let each = line.iter().flat_map(|(&l, c)| std::iter::repeat_n(l, c.count));
        let packing = pack::pack(&each.collect::<Vec<_>>(), &stocks, kerf, pack::NODES);
        list.at_least += inches(packing.bound.length);
        list.too_long.extend(packing.left_over.iter().map(|&p| inches(p)));
        let thickness = line.values().next().map_or(0.0, |c| c.thickness);
        for filled in packing.sticks {
            let stick = Stick {
                stock: inches(filled.stock),
                thickness,
                count: 1,
                cuts: filled.pieces.iter().map(|&p| inches(p)).collect(),
                left: inches(left(&filled, kerf)),
            };
            match list.sticks.last_mut() {
                Some(last)
                    if (last.stock, last.thickness) == (stick.stock, thickness)
                        && last.cuts == stick.cuts =>
                {
                    last.count += 1;
                }
                _ => list.sticks.push(stick),
            }
        }
        list.cuts.extend(line.into_values().rev());
    }
    list
}

fn left(filled: &pack::Filled, kerf: u64) -> u64 {
    let used: u64 = filled.pieces.iter().map(|p| p + kerf).sum();
    filled.stock.saturating_sub(used)
}

/// Rounded up: a piece never counts as shorter than it is.
fn sixteenths(inches: f64) -> u64 {
    // The cast saturates, and takes what is no number for zero.
    (inches * 16.0 - 1e-6).ceil().max(0.0) as u64
}

/// Rounded down: a stock never counts as longer than it is.
fn sixteenths_within(inches: f64) -> u64 {
    (inches * 16.0 + 1e-6).floor().max(0.0) as u64
}

fn inches(sixteenths: u64) -> f64 {
    sixteenths as f64 / 16.0
}

impl CutList {
    pub fn pieces(&self) -> usize {
        self.cuts.iter().map(|c| c.count).sum()
    }

    /// Total length of the sticks, inches.
    pub fn stock(&self) -> f64 {
        self.sticks.iter().map(|s| s.stock * s.count as f64).sum()
    }

    /// How far the order may be above the least possible, inches; zero where it is the least.
    pub fn above(&self) -> f64 {
        (self.stock() - self.at_least).max(0.0)
    }

    /// Sticks of each stock length, the longest first.
    pub fn order(&self) -> Vec<(f64, usize)> {
        let mut sticks: Vec<(u64, usize)> = self
            .sticks
            .iter()
            .map(|s| (sixteenths(s.stock), s.count))
            .collect();
        sticks.sort_by(|a, b| b.cmp(a));
        let mut order: Vec<(u64, usize)> = Vec::new();
        for (stock, n) in sticks {
            match order.last_mut() {
                Some((last, count)) if *last == stock => *count += n,
                _ => order.push((stock, n)),
            }
        }
        order.into_iter().map(|(s, n)| (inches(s), n)).collect()
    }

    /// `12 pieces, order 3 × 8', 1 × 12'`, with what there is to say of the order. `None` without blocking.
    pub fn told(&self) -> Option<String> {
        let pieces = match self.pieces() {
            0 => return None,
            1 => "1 piece".to_string(),
            n => format!("{n} pieces"),
        };
        let mut text = format!("{pieces}, order {}", order_in_words(&self.order()));
        if self.order().is_empty() {
            text = pieces;
        }
        if self.above() > 0.0 {
            text += &format!(
                " (at most {} above the least possible)",
                feet_inches(self.above())
            );
        }
        if !self.too_long.is_empty() {
            text += &format!("; {} too long for any stock", self.too_long.len());
        }
        Some(text)
    }
}

/// `3 × 8 ft, 1 × 12 ft`.
pub fn order_in_words(order: &[(f64, usize)]) -> String {
    let each = order.iter().map(|(stock, n)| match stock / 12.0 {
        feet if feet.fract() == 0.0 => format!("{n} × {feet} ft"),
        _ => format!("{n} × {}", feet_inches(*stock)),
    });
    each.collect::<Vec<_>>().join(", ")
}
