//! How many lights have a finding, over the phase: piecewise constant, integrated exactly.

use std::cmp::Reverse;

use super::light::{Fires, Piece, SAME, round};
use super::{Range, Run, is_must};

/// Whether anything of severity `must` fires.
pub fn must(fires: Fires) -> bool {
    fires.kinds().any(is_must)
}

/// The pieces of a room's lights, laid over each other.
pub struct Counts<'a> {
    lights: &'a [Vec<Piece>],
    /// Where any light's piece begins, rising, in [0, spacing).
    breaks: Vec<f64>,
    spacing: f64,
}

impl<'a> Counts<'a> {
    pub fn of(lights: &'a [Vec<Piece>], spacing: f64) -> Counts<'a> {
        let places = lights.iter().flatten().map(|p| p.from).collect();
        Counts {
            lights,
            breaks: round(places, spacing),
            spacing,
        }
    }

    /// Which break a place is.
    fn index(&self, place: f64) -> usize {
        self.breaks
            .partition_point(|b| *b <= place + SAME / 1e3)
            .saturating_sub(1)
    }

    /// How many lights `of` says yes to: on each break, and between it and the next.
    fn atoms(&self, of: impl Fn(Fires) -> bool) -> Vec<usize> {
        let n = 2 * self.breaks.len();
        // Where a count goes up and where down; from one past the end it begins anew at 0.
        let mut steps = vec![0isize; n + 1];
        let mut add = |from: usize, to: usize| {
            if let Some(s) = steps.get_mut(from) {
                *s += 1;
            }
            if let Some(s) = steps.get_mut(to) {
                *s -= 1;
            }
        };
        for pieces in self.lights {
            for (i, piece) in pieces.iter().enumerate() {
                let here = 2 * self.index(piece.from);
                if of(piece.on) {
                    add(here, here + 1);
                }
                if !of(piece.past) {
                    continue;
                }
                let next = 2 * self.index(piece.to);
                if i + 1 < pieces.len() {
                    add(here + 1, next.max(here + 1));
                } else {
                    // The last one comes round.
                    add(here + 1, n);
                    add(0, next);
                }
            }
        }
        let mut count = 0isize;
        (steps.iter().take(n))
            .map(|step| {
                count += step;
                count.unsigned_abs()
            })
            .collect()
    }

    /// Length from a break to the next, inches.
    fn length(&self, i: usize) -> f64 {
        let Some(&from) = self.breaks.get(i) else {
            return 0.0;
        };
        let round = || self.breaks.first().map_or(0.0, |first| first + self.spacing);
        self.breaks.get(i + 1).copied().unwrap_or_else(round) - from
    }

    /// Share of phases at which `of` says yes to no light.
    pub fn share(&self, of: impl Fn(Fires) -> bool) -> f64 {
        let atoms = self.atoms(of);
        let spaces = atoms.iter().skip(1).step_by(2).enumerate();
        let bad: f64 = spaces.filter(|(_, n)| **n > 0).map(|(i, _)| self.length(i)).sum();
        (1.0 - bad / self.spacing).clamp(0.0, 1.0)
    }

    /// Least, most and mean; a single phase by itself counts for neither.
    pub fn range(&self, of: impl Fn(Fires) -> bool) -> Range {
        let atoms = self.atoms(of);
        let spaces: Vec<usize> = atoms.iter().skip(1).step_by(2).copied().collect();
        let sum: f64 = spaces
            .iter()
            .enumerate()
            .map(|(i, &n)| n as f64 * self.length(i))
            .sum();
        Range {
            least: spaces.iter().copied().min().unwrap_or(0),
            most: spaces.iter().copied().max().unwrap_or(0),
            expected: sum / self.spacing,
        }
    }

    /// The best run of phases: fewest lights with a `must`, fewest with any finding, longest, and of those as
    /// long the first from the origin. Or the worst: most, most, longest, first.
    pub fn run(&self, worst: bool) -> Run {
        let (musts, all) = (self.atoms(must), self.atoms(Fires::any));
        let atoms: Vec<(usize, usize)> = musts.into_iter().zip(all).collect();
        let n = atoms.len();
        let at = |i: usize| atoms.get(i % n).copied().unwrap_or_default();
        // Where a run may begin: a space that does not go on from the one before.
        let goes_on = |i: usize| at(i + n - 1) == at(i) && at(i + n - 2) == at(i);
        let starts: Vec<usize> = (1..n).step_by(2).filter(|&i| !goes_on(i)).collect();
        if starts.is_empty() {
            let (must, any) = at(1);
            return Run {
                phase: self.spacing / 2.0,
                width: self.spacing,
                must,
                any,
            };
        }
        let runs = starts.into_iter().map(|start| {
            let mut end = start;
            let mut width = self.length(start / 2);
            while end + 2 < start + n && goes_on(end + 2) {
                end += 2;
                width += self.length(end % n / 2);
            }
            let from = self.breaks.get(start / 2).copied().unwrap_or(0.0);
            let (must, any) = at(start);
            let phase = (from + width / 2.0).rem_euclid(self.spacing);
            Run {
                phase: if self.spacing - phase <= SAME { 0.0 } else { phase },
                width,
                must,
                any,
            }
        });
        // Lengths to 1e-6, so that rounding does not choose among equals.
        let steps = |v: f64| (v * 1e6).round() as i64;
        let key = |r: &Run| (r.must, r.any, Reverse(steps(r.width)), steps(r.phase));
        let found = if worst {
            runs.min_by_key(|r| {
                (
                    Reverse(r.must),
                    Reverse(r.any),
                    Reverse(steps(r.width)),
                    steps(r.phase),
                )
            })
        } else {
            runs.min_by_key(key)
        };
        found.unwrap_or(Run {
            phase: 0.0,
            width: 0.0,
            must: 0,
            any: 0,
        })
    }
}
