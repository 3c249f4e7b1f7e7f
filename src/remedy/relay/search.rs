//! The search itself: two axes, each a shift and a stretch on a lattice, and the least pair of them.
//!
//! *Line*: the lights that share a place on an axis; they move on it together. *Option*: a shift and a
//! stretch of an axis at which no line stands where it is known to be blocked. Options are sorted by a
//! lower bound of what they cost, so that the search ends where no pair left can be better.

use std::cmp::Ordering;

/// What a layout costs, the gravest part first. Moves in inches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cost {
    /// Pieces of blocking.
    pub pieces: u32,
    /// Lights that move.
    pub moved: u32,
    /// Greatest move.
    pub most: f64,
    /// All moves together.
    pub sum: f64,
}

impl Cost {
    pub const NONE: Cost = Cost {
        pieces: 0,
        moved: 0,
        most: 0.0,
        sum: 0.0,
    };

    pub fn order(&self, other: &Cost) -> Ordering {
        (self.pieces.cmp(&other.pieces))
            .then(self.moved.cmp(&other.moved))
            .then(self.most.total_cmp(&other.most))
            .then(self.sum.total_cmp(&other.sum))
    }

    /// Lights side by side.
    fn with(self, other: Cost) -> Cost {
        Cost {
            pieces: self.pieces + other.pieces,
            moved: self.moved + other.moved,
            most: self.most.max(other.most),
            sum: self.sum + other.sum,
        }
    }

    /// No more than the same lights cost when they move on both axes.
    fn both(&self, other: &Cost) -> Cost {
        Cost {
            pieces: self.pieces.max(other.pieces),
            moved: self.moved.max(other.moved),
            most: self.most.max(other.most),
            sum: self.sum.max(other.sum),
        }
    }
}

/// A line of lights: what it costs at each lattice place; `None` where it cannot stand. The middle
/// entry is the place at no shift and no stretch.
#[derive(Clone, Debug, PartialEq)]
pub struct Track {
    /// How many pitches from the first line.
    pub step: i32,
    pub places: Vec<Option<Cost>>,
}

impl Track {
    fn at(&self, place: i32) -> Option<Cost> {
        let middle = (self.places.len() / 2) as i32;
        let index = usize::try_from(middle.checked_add(place)?).ok()?;
        *self.places.get(index)?
    }
}

/// A shift of a whole axis and a change of its pitch, in lattice steps. There may be some 100,000 of them, so
/// it is kept small.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    pub shift: i16,
    pub stretch: i16,
    pieces: u16,
    moved: u16,
    most: f32,
    sum: f32,
}

impl Choice {
    fn new(shift: i16, stretch: i16, least: Cost) -> Choice {
        let count = |n: u32| u16::try_from(n).unwrap_or(u16::MAX);
        Choice {
            shift,
            stretch,
            pieces: count(least.pieces),
            moved: count(least.moved),
            most: no_more(least.most),
            sum: no_more(least.sum),
        }
    }

    /// At least what it costs.
    pub fn least(&self) -> Cost {
        Cost {
            pieces: u32::from(self.pieces),
            moved: u32::from(self.moved),
            most: f64::from(self.most),
            sum: f64::from(self.sum),
        }
    }
}

/// The greatest number of less precision that is not above.
fn no_more(value: f64) -> f32 {
    let near = value as f32;
    if f64::from(near) > value {
        near.next_down()
    } else {
        near
    }
}

/// Every choice at which no line is blocked, the cheapest first. `shift` and `stretch` are the greatest of each
/// that are tried, either way.
pub fn choices(tracks: &[Track], shift: i16, stretch: i16) -> Vec<Choice> {
    let mut found = Vec::new();
    for s in -shift..=shift {
        for t in -stretch..=stretch {
            let cost = tracks.iter().try_fold(Cost::NONE, |cost, track| {
                let place = track.step.checked_mul(i32::from(t))?.checked_add(i32::from(s))?;
                Some(cost.with(track.at(place)?))
            });
            found.extend(cost.map(|least| Choice::new(s, t, least)));
        }
    }
    found.sort_unstable_by(|a, b| {
        (a.least().order(&b.least()))
            .then(a.stretch.abs().cmp(&b.stretch.abs()))
            .then(a.shift.abs().cmp(&b.shift.abs()))
            .then((b.stretch, b.shift).cmp(&(a.stretch, a.shift)))
    });
    found
}

/// How a search ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Found {
    /// The cheapest pair there is.
    Best(Choice, Choice, Cost),
    /// A pair that works; cheaper ones were not all looked at.
    Some(Choice, Choice, Cost),
    /// No pair works.
    Nothing,
    /// None was found before the work allowed was done.
    Unknown,
}

/// The cheapest pair that `judge` lets pass. It gives the pair's true cost, which is at least both
/// choices' own; `None` where the pair does not work. `may` rules a choice of either axis (true: the first) out of all pairs. Of equals
/// the first met holds. Looks at `work` pairs at most.
pub fn least(
    xs: &[Choice],
    ys: &[Choice],
    mut work: u64,
    mut may: impl FnMut(bool, &Choice) -> bool,
    mut judge: impl FnMut(&Choice, &Choice, Option<&Cost>) -> Option<Cost>,
) -> Found {
    let mut best: Option<(Choice, Choice, Cost)> = None;
    let beaten = |cost: &Cost, best: &Option<(Choice, Choice, Cost)>| {
        best.as_ref().is_some_and(|b| cost.order(&b.2) != Ordering::Less)
    };
    // What rules a choice across out holds whatever the one along.
    let mut open: Vec<Option<bool>> = vec![None; ys.len()];
    for x in xs {
        if beaten(&x.least(), &best) {
            break;
        }
        if !may(true, x) {
            continue;
        }
        for (y, open) in ys.iter().zip(&mut open) {
            if beaten(&y.least(), &best) {
                break;
            }
            if work == 0 {
                return best.map_or(Found::Unknown, |(x, y, cost)| Found::Some(x, y, cost));
            }
            work -= 1;
            if beaten(&x.least().both(&y.least()), &best) || !*open.get_or_insert_with(|| may(false, y)) {
                continue;
            }
            let known = best.as_ref().map(|b| b.2);
            if let Some(cost) = judge(x, y, known.as_ref())
                && !beaten(&cost, &best)
            {
                best = Some((*x, *y, cost));
            }
        }
    }
    best.map_or(Found::Nothing, |(x, y, cost)| Found::Best(x, y, cost))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Lines with random blocked places; a place costs its distance, and blocking at some.
    fn tracks(lines: usize) -> impl Strategy<Value = Vec<Track>> {
        let place = prop_oneof![
            3 => Just(None),
            4 => Just(Some(0_u32)),
            1 => Just(Some(2_u32)),
        ];
        prop::collection::vec(prop::collection::vec(place, 25), lines..=lines).prop_map(|all| {
            let cost = |i: usize, pieces: u32| {
                let by = (i as f64 - 12.0).abs() / 16.0;
                Cost {
                    pieces,
                    moved: u32::from(i != 12),
                    most: by,
                    sum: by,
                }
            };
            all.into_iter()
                .enumerate()
                .map(|(k, places)| Track {
                    step: k as i32,
                    places: places
                        .into_iter()
                        .enumerate()
                        .map(|(i, p)| p.map(|p| cost(i, p)))
                        .collect(),
                })
                .collect()
        })
    }

    /// The true cost of a grid where each light stands alone: moves by both axes together.
    fn judged(
        xs: &[Track],
        ys: &[Track],
        x: (i32, i32),
        y: (i32, i32),
        bad: &dyn Fn(i32, i32) -> bool,
    ) -> Option<Cost> {
        let mut all = Cost::NONE;
        for a in xs {
            for b in ys {
                let (px, py) = (x.0 + a.step * x.1, y.0 + b.step * y.1);
                let (ca, cb) = (a.at(px)?, b.at(py)?);
                if bad(px, py) {
                    return None;
                }
                let by = ca.most.hypot(cb.most);
                all = all.with(Cost {
                    pieces: ca.pieces.max(cb.pieces),
                    moved: u32::from(by > 0.0),
                    most: by,
                    sum: by,
                });
            }
        }
        Some(all)
    }

    /// A lower bound for the grid: each line counts once for every light on it.
    fn scaled(tracks: &[Track], lights: u32) -> Vec<Track> {
        let mut tracks = tracks.to_vec();
        for cost in tracks.iter_mut().flat_map(|t| t.places.iter_mut().flatten()) {
            cost.pieces *= lights;
            cost.moved *= lights;
            cost.sum *= f64::from(lights);
        }
        tracks
    }

    fn steps(choice: &Choice) -> (i32, i32) {
        (i32::from(choice.shift), i32::from(choice.stretch))
    }

    #[test]
    fn a_bound_kept_short_is_no_higher() {
        for value in [0.1, 24.0 / 7.0, 1e-9, 384.062_5, 123_456.789] {
            let kept = f64::from(no_more(value));
            assert!(kept <= value && value - kept < 1e-6 * value, "{value}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 200, ..ProptestConfig::default() })]

        #[test]
        fn the_least_pair_is_the_one_that_trying_all_finds(xs in tracks(3), ys in tracks(2), salt in 0..7_i32) {
            // Some pairs of places fail though each place alone is open.
            let bad = |px: i32, py: i32| (px * 3 + py * 5 + salt).rem_euclid(7) == 0;
            let (wide, high) = (choices(&scaled(&xs, 2), 8, 2), choices(&scaled(&ys, 3), 8, 2));
            let got = least(&wide, &high, u64::MAX, |_, _| true, |x, y, _| {
                judged(&xs, &ys, steps(x), steps(y), &bad)
            });
            let mut brute: Option<Cost> = None;
            for (a, b) in (-8..=8).flat_map(|a| (-2..=2).map(move |b| (a, b))) {
                for (c, d) in (-8..=8).flat_map(|c| (-2..=2).map(move |d| (c, d))) {
                    if let Some(cost) = judged(&xs, &ys, (a, b), (c, d), &bad)
                        && brute.is_none_or(|best| cost.order(&best) == Ordering::Less)
                    {
                        brute = Some(cost);
                    }
                }
            }
            match (got, brute) {
                (Found::Nothing, None) => {}
                (Found::Best(_, _, cost), Some(best)) => {
                    prop_assert_eq!((cost.pieces, cost.moved), (best.pieces, best.moved));
                    prop_assert!((cost.most - best.most).abs() < 1e-12 && (cost.sum - best.sum).abs() < 1e-9);
                }
                other => prop_assert!(false, "{other:?}"),
            }
        }
    }

    #[test]
    fn what_is_not_proved_is_not_called_the_least() {
        let open = Track {
            step: 0,
            places: vec![Some(Cost::NONE); 9],
        };
        let all = choices(&[open], 4, 0);
        assert_eq!(all.len(), 9);
        assert_eq!(least(&all, &all, 3, |_, _| true, |_, _, _| None), Found::Unknown);
        let costly = Cost {
            pieces: 9,
            ..Cost::NONE
        };
        assert!(matches!(
            least(&all, &all, 3, |_, _| true, |_, _, _| Some(costly)),
            Found::Some(..)
        ));
        assert_eq!(
            least(&all, &all, 100, |_, _| true, |_, _, _| None),
            Found::Nothing
        );
    }
}
