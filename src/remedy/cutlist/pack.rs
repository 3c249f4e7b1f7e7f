//! Cutting stock: pieces packed in sticks with the least total length of stock, then the fewest sticks.
//!
//! Every cut eats a saw's width, so a piece counts as its length and a kerf, a stick as its stock and a
//! kerf (nothing is lost behind the last piece). Packed greedily first; where that does not meet the
//! bound that no packing can beat, short lists are searched through, long ones say how far off they may be.

use std::collections::BTreeMap;

/// Longest list that is searched, pieces.
const SEARCHED: usize = 64;
/// Patterns, whole or in part, looked at before the search is given up.
pub(super) const NODES: usize = 50_000;
/// The same for one stick of a greedy packing; past it, the longest pieces that fit are taken.
const LOOK: usize = 2_000;
/// Longest total, units, for which the bound is worked out in full; beyond, by proportion.
const TABLE: usize = 1 << 18;

/// Stock bought: total length, then sticks. Compared in that order, added part by part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cost {
    pub length: u64,
    pub sticks: u64,
}

impl Cost {
    const NOTHING: Cost = Cost { length: 0, sticks: 0 };

    fn and(self, stock: u64) -> Cost {
        Cost {
            length: self.length + stock,
            sticks: self.sticks + 1,
        }
    }
}

/// Pieces cut from one stick of `stock`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Filled {
    pub stock: u64,
    /// The longest first.
    pub pieces: Vec<u64>,
}

#[derive(Clone, Debug, PartialEq)]
pub(super) struct Packing {
    pub sticks: Vec<Filled>,
    /// Longer than any stock; in no stick.
    pub left_over: Vec<u64>,
    /// What no packing can cost less than. Equal to the cost where the packing is proven best.
    pub bound: Cost,
}

#[cfg(test)]
impl Packing {
    pub fn cost(&self) -> Cost {
        cost(&self.sticks)
    }
}

fn cost(sticks: &[Filled]) -> Cost {
    sticks.iter().fold(Cost::NOTHING, |sum, s| sum.and(s.stock))
}

/// Packs `pieces`, lengths in whole units, in sticks of the lengths `stocks`. At most `nodes` patterns are looked at.
pub(super) fn pack(pieces: &[u64], stocks: &[u64], kerf: u64, nodes: usize) -> Packing {
    let mut stocks: Vec<u64> = stocks.iter().copied().filter(|&s| s > 0).collect();
    stocks.sort_unstable();
    stocks.dedup();
    let longest = stocks.last().copied().unwrap_or(0);
    let (fit, mut left_over): (Vec<u64>, Vec<u64>) = pieces.iter().partition(|&&p| p <= longest);
    left_over.sort_unstable_by(|a, b| b.cmp(a));
    let mut demand: BTreeMap<u64, usize> = BTreeMap::new();
    for &piece in &fit {
        *demand.entry(piece + kerf).or_default() += 1;
    }
    let job = Job {
        sizes: demand.keys().rev().copied().collect(),
        stocks,
        kerf,
    };
    let counts: Vec<usize> = demand.values().rev().copied().collect();
    let cover = job.cover(job.total(&counts));
    let mut best = job.greedy(&counts);
    let mut bound = job.bound(&cover, &counts);
    if fit.len() <= SEARCHED && cost(&best) > bound {
        let mut search = Search {
            job: &job,
            cover: &cover,
            seen: BTreeMap::new(),
            nodes,
        };
        if let Some(least) = search.least(&counts) {
            bound = least;
            if least < cost(&best) {
                best = search.sticks(counts);
            }
        }
    }
    best.sort_by(|a, b| b.cmp(a));
    Packing {
        sticks: best,
        left_over,
        bound,
    }
}

struct Job {
    /// Distinct pieces and their kerf, the longest first. Demands and patterns count them in this order.
    sizes: Vec<u64>,
    /// Ascending.
    stocks: Vec<u64>,
    kerf: u64,
}

impl Job {
    fn total(&self, counts: &[usize]) -> u64 {
        self.sizes.iter().zip(counts).map(|(s, &n)| s * n as u64).sum()
    }

    /// For each total up to the given, the least that stock of that much room costs, cuts put aside.
    /// Empty where that would be too long a table.
    fn cover(&self, total: u64) -> Vec<Cost> {
        let mut table = vec![Cost::NOTHING];
        for room in 1..=total {
            if table.len() > TABLE {
                return Vec::new();
            }
            let of = |&stock: &u64| {
                let rest = room.saturating_sub(stock + self.kerf);
                Some(table.get(usize::try_from(rest).ok()?)?.and(stock))
            };
            let Some(least) = self.stocks.iter().filter_map(of).min() else {
                return Vec::new();
            };
            table.push(least);
        }
        table
    }

    fn bound(&self, cover: &[Cost], counts: &[usize]) -> Cost {
        let total = self.total(counts);
        let known = usize::try_from(total).ok().and_then(|t| cover.get(t));
        known.copied().unwrap_or_else(|| {
            let room = |s: &u64| s + self.kerf;
            let by_share = |s: &u64| (total * s).div_ceil(room(s));
            Cost {
                length: self.stocks.iter().map(by_share).min().unwrap_or(0),
                sticks: self.stocks.last().map_or(0, |s| total.div_ceil(room(s))),
            }
        })
    }

    /// The shortest stock that holds a pattern.
    fn stock(&self, pattern: &[usize]) -> Option<u64> {
        let used = self.total(pattern);
        self.stocks.iter().copied().find(|s| s + self.kerf >= used)
    }

    fn filled(&self, pattern: &[usize]) -> Option<Filled> {
        let pieces = self.sizes.iter().zip(pattern);
        Some(Filled {
            stock: self.stock(pattern)?,
            pieces: pieces
                .flat_map(|(s, &n)| std::iter::repeat_n(s - self.kerf, n))
                .collect(),
        })
    }

    /// The best of several greedy packings: the longest piece left first, with what fills the stick best, from one stock
    /// each, and from the stock that is used best each time.
    fn greedy(&self, counts: &[usize]) -> Vec<Filled> {
        let single = (0..self.stocks.len()).map(|i| self.stocks.get(i..=i).unwrap_or(&[]));
        let ways = std::iter::once(self.stocks.as_slice()).chain(single);
        let packed = ways.filter_map(|stocks| self.fill(counts, stocks));
        packed.min_by_key(|sticks| cost(sticks)).unwrap_or_default()
    }

    /// `None` where a piece fits in none of `stocks`.
    fn fill(&self, counts: &[usize], stocks: &[u64]) -> Option<Vec<Filled>> {
        let mut left = counts.to_vec();
        let mut sticks = Vec::new();
        while left.iter().any(|&n| n > 0) {
            let patterns = stocks.iter().filter_map(|&stock| {
                let (room, mut nodes) = (stock + self.kerf, LOOK);
                let full = self.patterns(&left, room, &mut nodes);
                let fullest = full.and_then(|all| all.into_iter().max_by_key(|p| self.total(p)));
                let pattern = fullest.unwrap_or_else(|| self.first_fit(&left, room));
                // A stick shorter than the longest piece left leaves that out, and so never ends.
                let first = left.iter().position(|&n| n > 0)?;
                (pattern.get(first).is_some_and(|&n| n > 0)).then_some(pattern)
            });
            let best = patterns
                .filter_map(|p| Some((self.stock(&p)?, p)))
                .max_by(|(a, p), (b, q)| {
                    // Shares of the stock used, compared without dividing.
                    let (p, q) = (u128::from(self.total(p)), u128::from(self.total(q)));
                    (p * u128::from(*b)).cmp(&(q * u128::from(*a))).then(b.cmp(a))
                });
            let (_, pattern) = best?;
            take(&mut left, &pattern);
            sticks.push(self.filled(&pattern)?);
        }
        Some(sticks)
    }

    fn first_fit(&self, left: &[usize], mut room: u64) -> Vec<usize> {
        let sizes = self.sizes.iter().zip(left);
        sizes
            .map(|(&size, &n)| {
                let fit = room.checked_div(size).map_or(n, |k| n.min(k as usize));
                room -= size * fit as u64;
                fit
            })
            .collect()
    }

    /// All patterns with the longest piece left to which nothing can be added within `room`.
    /// What was looked at is taken from `nodes`; `None` where they run out.
    fn patterns(&self, left: &[usize], room: u64, nodes: &mut usize) -> Option<Vec<Vec<usize>>> {
        let mut all = Vec::new();
        let mut partial: Vec<(Vec<usize>, u64)> = vec![(Vec::new(), room)];
        let first = left.iter().position(|&n| n > 0);
        while let Some((pattern, room)) = partial.pop() {
            *nodes = nodes.checked_sub(1)?;
            let i = pattern.len();
            let (Some(&size), Some(&n)) = (self.sizes.get(i), left.get(i)) else {
                let more = self.sizes.iter().zip(left.iter().zip(&pattern));
                let full = more.clone().all(|(&s, (l, p))| l == p || s > room);
                if full {
                    all.push(pattern);
                }
                continue;
            };
            let most = room.checked_div(size).map_or(n, |k| n.min(k as usize));
            for k in usize::from(Some(i) == first)..=most {
                let mut next = pattern.clone();
                next.push(k);
                partial.push((next, room - size * k as u64));
            }
        }
        Some(all)
    }
}

fn take(left: &mut [usize], pattern: &[usize]) {
    for (l, p) in left.iter_mut().zip(pattern) {
        *l = l.saturating_sub(*p);
    }
}

/// The least cost of every demand met on the way, with the pattern to begin with. A stick with the longest piece
/// must come some time, so it may come first; and it may be full, as a piece taken over from
/// another stick makes that no dearer.
struct Search<'a> {
    job: &'a Job,
    cover: &'a [Cost],
    seen: BTreeMap<Vec<usize>, (Cost, Vec<usize>)>,
    nodes: usize,
}

impl Search<'_> {
    /// `None` where the nodes have run out.
    fn least(&mut self, left: &[usize]) -> Option<Cost> {
        if left.iter().all(|&n| n == 0) {
            return Some(Cost::NOTHING);
        }
        if let Some((cost, _)) = self.seen.get(left) {
            return Some(*cost);
        }
        let bound = self.job.bound(self.cover, left);
        let mut tried: Vec<(u64, Vec<usize>)> = Vec::new();
        for stock in &self.job.stocks {
            let patterns = self.job.patterns(left, stock + self.job.kerf, &mut self.nodes)?;
            tried.extend(
                patterns
                    .into_iter()
                    .filter_map(|p| Some((self.job.stock(&p)?, p))),
            );
        }
        // The least waste first, so that the bound is met early.
        tried.sort_by_key(|(stock, p)| {
            (
                (stock + self.job.kerf).saturating_sub(self.job.total(p)),
                p.clone(),
            )
        });
        tried.dedup();
        let mut best: Option<(Cost, Vec<usize>)> = None;
        for (stock, pattern) in tried {
            let mut rest = left.to_vec();
            take(&mut rest, &pattern);
            let at_least = self.job.bound(self.cover, &rest).and(stock);
            if best.as_ref().is_some_and(|(cost, _)| at_least >= *cost) {
                continue;
            }
            let cost = self.least(&rest)?.and(stock);
            if best.as_ref().is_none_or(|(least, _)| cost < *least) {
                best = Some((cost, pattern));
            }
            if cost <= bound {
                break;
            }
        }
        let (cost, pattern) = best?;
        self.seen.insert(left.to_vec(), (cost, pattern));
        Some(cost)
    }

    fn sticks(&self, mut left: Vec<usize>) -> Vec<Filled> {
        let mut sticks = Vec::new();
        while let Some((_, pattern)) = self.seen.get(&left) {
            sticks.extend(self.job.filled(pattern));
            take(&mut left, pattern);
        }
        sticks
    }
}
