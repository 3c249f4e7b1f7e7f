//! Label placement: each label takes the best free spot around its anchor, in order, for good.
//!
//! Spots lie on rings around the anchor. A spot whose box touches a taken box is never used; a spot that
//! covers a line worth seeing, or whose leader would run over a label, costs. Rings grow until a spot is
//! cheaper than any farther one can be, or some rings beyond the first free one, so every label finds a place,
//! and the result depends on nothing but the order of calls.

use std::collections::BTreeMap;

use geo::Coord;

use super::measure::Rect;

/// Directions tried on a ring, best first: beside and above reads better than below.
const TURNS: [f64; 16] = [
    45.0, 135.0, 315.0, 225.0, 90.0, 270.0, 0.0, 180.0, 22.5, 67.5, 112.5, 157.5, 202.5, 247.5, 292.5, 337.5,
];
/// Rings before giving up looking for beauty; the search goes on until a spot is free.
const RING_COST: f64 = 1.0;
/// Labels that a leader runs over, from which on more of them are no worse: in a crowd the search would go on
/// to no end for a way around.
const WORST_OVER: usize = 8;
/// Rings looked at beyond the first that has a free spot, for the same reason.
const LOOK_ON: usize = 10;

/// Where boxes and lines are, by cell.
pub struct Ground {
    cell: f64,
    /// Boxes no label may touch.
    taken: Vec<Rect>,
    /// Lines better not covered, with the cost of covering one.
    lines: Vec<(Coord, Coord, f64)>,
    boxes_at: BTreeMap<(i64, i64), Vec<usize>>,
    lines_at: BTreeMap<(i64, i64), Vec<usize>>,
    gap: f64,
}

/// A place found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spot {
    pub center: Coord,
    /// From the anchor's edge to the label's edge, where the label stands off.
    pub leader: Option<(Coord, Coord)>,
}

impl Ground {
    /// `cell` is about the size of a label; `gap` is kept between labels.
    pub fn new(cell: f64, gap: f64) -> Self {
        Ground {
            cell,
            taken: Vec::new(),
            lines: Vec::new(),
            boxes_at: BTreeMap::new(),
            lines_at: BTreeMap::new(),
            gap,
        }
    }

    fn cells(&self, r: &Rect) -> impl Iterator<Item = (i64, i64)> + use<> {
        let at = |v: f64| (v / self.cell).floor() as i64;
        let (x0, x1) = (at(r.least.x), at(r.greatest.x));
        let (y0, y1) = (at(r.least.y), at(r.greatest.y));
        (x0..=x1).flat_map(move |x| (y0..=y1).map(move |y| (x, y)))
    }

    /// The cells that a line runs through, those it only touches included.
    fn cells_along(&self, a: Coord, b: Coord) -> impl Iterator<Item = (i64, i64)> + use<> {
        let cell = self.cell;
        let at = move |v: f64| (v / cell).floor() as i64;
        let (a, b) = if a.x <= b.x { (a, b) } else { (b, a) };
        let rise = move |x: f64| match b.x - a.x {
            run if run > 0.0 => a.y + (b.y - a.y) * ((x - a.x) / run).clamp(0.0, 1.0),
            _ => a.y,
        };
        (at(a.x)..=at(b.x)).flat_map(move |column| {
            let (left, right) = (column as f64 * cell, (column + 1) as f64 * cell);
            let (mut low, mut high) = (rise(left), rise(right));
            if b.x - a.x <= 0.0 {
                high = b.y;
            }
            if low > high {
                (low, high) = (high, low);
            }
            let touch = cell * 1e-6;
            (at(low - touch)..=at(high + touch)).map(move |row| (column, row))
        })
    }

    /// Takes a box: nothing placed later touches it.
    pub fn take(&mut self, r: Rect) {
        let i = self.taken.len();
        for cell in self.cells(&r) {
            self.boxes_at.entry(cell).or_default().push(i);
        }
        self.taken.push(r);
    }

    /// Takes a disc, as four boxes that together cover it and little more.
    pub fn take_disc(&mut self, center: Coord, radius: f64) {
        // Corners at 22.5°, 45° and 67.5°: each box reaches to the next one's corner.
        for (x, y) in [(1.0, 0.383), (0.924, 0.708), (0.708, 0.924), (0.383, 1.0)] {
            self.take(Rect::around(center, 2.0 * x * radius, 2.0 * y * radius));
        }
    }

    /// Marks a line as better left visible. `cost` is in rings a label would rather go farther out.
    pub fn avoid(&mut self, from: Coord, to: Coord, cost: f64) {
        if ![from.x, from.y, to.x, to.y].iter().all(|v| v.is_finite()) {
            return;
        }
        let i = self.lines.len();
        self.lines.push((from, to, cost));
        let d = to - from;
        let steps = (d.x.hypot(d.y) / (self.cell * 0.5)).ceil().clamp(1.0, 100_000.0) as usize;
        let mut last = None;
        for k in 0..=steps {
            let p = from + d * (k as f64 / steps as f64);
            let cell = ((p.x / self.cell).floor() as i64, (p.y / self.cell).floor() as i64);
            if last != Some(cell) {
                self.lines_at.entry(cell).or_default().push(i);
                last = Some(cell);
            }
        }
    }

    /// The lists of the cells that a box touches.
    fn lists<'a>(
        &self,
        lists: &'a BTreeMap<(i64, i64), Vec<usize>>,
        r: &Rect,
    ) -> impl Iterator<Item = &'a Vec<usize>> + use<'a> {
        let at = |v: f64| (v / self.cell).floor() as i64;
        let (x0, x1) = (at(r.least.x), at(r.greatest.x));
        let (y0, y1) = (at(r.least.y), at(r.greatest.y));
        (x0..=x1)
            .filter(move |_| y0 <= y1)
            .flat_map(move |x| lists.range((x, y0)..=(x, y1)).map(|(_, list)| list))
    }

    /// A taken box that this one overlaps.
    fn in_the_way(&self, r: &Rect) -> Option<usize> {
        let all = self.lists(&self.boxes_at, r).flatten().copied();
        let mut all = all.filter(|&i| self.taken[i].overlaps(r));
        all.next()
    }

    /// What covering these lines costs. Lines are looked up a cell beyond, as they are sampled.
    fn covered(&self, r: &Rect) -> f64 {
        let lists = self.lists(&self.lines_at, &r.grown(self.cell * 0.25));
        let mut met: Vec<(usize, f64)> = Vec::new();
        for &i in lists.flatten() {
            // A line is in the lists of many cells, and in a crowd few of those near are covered.
            let line = self.lines.get(i).filter(|(a, b, _)| r.crosses(*a, *b));
            met.extend(line.map(|l| (i, l.2)));
        }
        met.sort_unstable_by_key(|m| m.0);
        met.dedup_by_key(|m| m.0);
        met.iter().map(|m| m.1).sum()
    }

    /// How many taken boxes a leader would run through, `most` where they are no fewer.
    fn run_over(&self, from: Coord, to: Coord, most: usize) -> usize {
        let mut met: Vec<usize> = Vec::new();
        for list in (self.cells_along(from, to)).filter_map(|cell| self.boxes_at.get(&cell)) {
            for i in list {
                if met.len() >= most {
                    return most;
                }
                if self.taken[*i].crosses(from, to) && !met.contains(i) {
                    met.push(*i);
                }
            }
        }
        met.len().min(most)
    }

    /// Finds a place for a label of `width` × `height` about `anchor`, no nearer than `clear`, and takes
    /// it. A label beyond the second ring gets a leader.
    pub fn place(&mut self, anchor: Coord, clear: f64, width: f64, height: f64) -> Spot {
        self.place_at(&[anchor], clear, width, height)
    }

    /// The same about any of some anchors, the earlier rather than the later.
    pub fn place_at(&mut self, anchors: &[Coord], clear: f64, width: f64, height: f64) -> Spot {
        let first = anchors.first().copied().unwrap_or(Coord { x: 0.0, y: 0.0 });
        let step = height * 0.75;
        let with = |over: usize, plain: f64| plain + 3.0 * over as f64;
        let mut best: Option<(f64, Spot, Rect)> = None;
        let mut ring = 0_usize;
        let mut first_free = 0;
        // By direction and anchor, what was in the way last: it most likely is a little farther on, too.
        let mut blocking: Vec<Option<usize>> = vec![None; TURNS.len() * anchors.len()];
        loop {
            let base = ring as f64 * RING_COST;
            if let Some((cost, ..)) = best
                && (cost <= base || ring > first_free + LOOK_ON)
            {
                break;
            }
            // Far rings are long: more directions, so that no free spot between is missed.
            let fans = 1 + ring / 6;
            for fan in 0..fans {
                let turns = TURNS.iter().enumerate();
                for ((turn_at, turn), (nth, &anchor)) in
                    turns.flat_map(|t| anchors.iter().enumerate().map(move |a| (t, a)))
                {
                    let turn = turn + 22.5 * fan as f64 / fans as f64;
                    let off = (clear, ring as f64 * step);
                    let spot = self.spot(anchor, off, turn, (width, height), ring > 1);
                    let label = Rect::around(spot.center, width, height);
                    let kept = label.grown(self.gap);
                    let again = &mut blocking[turn_at * anchors.len() + nth];
                    if again.is_some_and(|i| self.taken[i].overlaps(&kept)) {
                        continue;
                    }
                    *again = self.in_the_way(&kept);
                    if again.is_some() {
                        continue;
                    }
                    let dear = |cost: f64| best.as_ref().is_some_and(|(least, ..)| cost >= *least);
                    let order = turn_at as f64 * 0.02 + nth as f64 * 0.1;
                    if dear(base + order) {
                        continue;
                    }
                    let plain = base + order + self.covered(&label);
                    if dear(plain) {
                        continue;
                    }
                    // With so many it is dear, whatever else the leader runs over.
                    let most = (0..WORST_OVER)
                        .find(|n| dear(with(*n, plain)))
                        .unwrap_or(WORST_OVER);
                    let over = spot.leader.map_or(0, |(a, b)| self.run_over(a, b, most));
                    let cost = with(over, plain);
                    if best.is_none() {
                        first_free = ring;
                    }
                    if best.as_ref().is_none_or(|(least, ..)| cost < *least) {
                        best = Some((cost, spot, label));
                    }
                }
            }
            ring += 1;
            if ring > 2_000 {
                break;
            }
        }
        let (_, spot, label) = best.unwrap_or_else(|| {
            let spot = self.spot(first, (clear, 0.0), 45.0, (width, height), false);
            (0.0, spot, Rect::around(spot.center, width, height))
        });
        self.take(label);
        if let Some((a, b)) = spot.leader {
            self.avoid(a, b, 4.0);
        }
        spot
    }

    /// The label whose box stands `clear` and `more` from the anchor in direction `turn` (degrees); its leader runs from
    /// where the anchor's thing ends.
    fn spot(
        &self,
        anchor: Coord,
        (clear, more): (f64, f64),
        turn: f64,
        (width, height): (f64, f64),
        led: bool,
    ) -> Spot {
        let (sin, cos) = turn.to_radians().sin_cos();
        let d = Coord { x: cos, y: sin };
        // From the box's centre to its edge in that direction, measured as a rounded box would.
        let reach = Coord {
            x: cos.signum() * (width / 2.0) * (cos.abs() * 1.5).min(1.0),
            y: sin.signum() * (height / 2.0) * (sin.abs() * 1.5).min(1.0),
        };
        let edge = anchor + d * (clear + more);
        let center = edge + reach;
        let start = anchor + d * clear;
        Spot {
            center,
            leader: led.then_some((start, edge)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_labels_overlap_however_crowded() {
        let mut ground = Ground::new(10.0, 0.5);
        let spots: Vec<Rect> = (0..200)
            .map(|i| {
                let anchor = Coord {
                    x: f64::from(i % 5),
                    y: f64::from(i / 50),
                };
                Rect::around(ground.place(anchor, 2.0, 14.0, 6.0).center, 14.0, 6.0)
            })
            .collect();
        for (i, a) in spots.iter().enumerate() {
            assert!(spots[i + 1..].iter().all(|b| !a.overlaps(b)));
        }
    }

    #[test]
    fn a_line_is_left_visible_where_there_is_room() {
        let mut ground = Ground::new(10.0, 0.5);
        let p = |x, y| Coord { x, y };
        ground.avoid(p(0.0, 5.0), p(60.0, 5.0), 2.0);
        ground.avoid(p(0.0, 5.0), p(-60.0, 5.0), 2.0);
        let label = Rect::around(ground.place(p(0.0, 0.0), 2.0, 14.0, 6.0).center, 14.0, 6.0);
        assert!(!label.crosses(p(-60.0, 5.0), p(60.0, 5.0)), "{label:?}");
    }

    #[test]
    fn leaders_and_labels_meet_every_box_that_is_there() {
        let mut ground = Ground::new(7.0, 0.5);
        let at = |i: i32, n: i32| f64::from(i * n % 211) - 105.0;
        for i in 1..120 {
            let center = Coord {
                x: at(i, 47),
                y: at(i, 83),
            };
            ground.take(Rect::around(center, 1.0 + f64::from(i % 20), 4.0));
        }
        let mut met = 0;
        for i in 1..400 {
            let from = Coord {
                x: at(i, 29),
                y: at(i, 61),
            };
            // Level, upright, slanting both ways, a point.
            let to = match i % 4 {
                0 => Coord {
                    x: at(i, 97),
                    y: from.y,
                },
                1 => Coord {
                    x: from.x,
                    y: at(i, 97),
                },
                2 => from,
                _ => Coord {
                    x: at(i, 101),
                    y: at(i, 103),
                },
            };
            let all = ground.taken.iter().filter(|r| r.crosses(from, to)).count();
            assert_eq!(ground.run_over(from, to, usize::MAX), all, "{from:?} {to:?}");
            assert_eq!(ground.run_over(from, to, 3), all.min(3), "{from:?} {to:?}");
            met += all;
            let label = Rect::around(from, 9.0, 5.0);
            let any = ground.taken.iter().any(|r| r.overlaps(&label));
            assert_eq!(ground.in_the_way(&label).is_some(), any, "{from:?}");
        }
        assert!(met > 100, "{met}");
    }
}
