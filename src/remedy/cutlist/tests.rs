//! Cut lists: published examples, brute force on small lists, and what every list must hold to.

use geo::Coord;
use proptest::prelude::*;

use super::pack::{Cost, NODES, Packing, pack};
use super::*;
use crate::remedy::Piece;

/// Independent of the packing: pieces one by one, each into any stick open or a new one.
fn brute(pieces: &[u64], stocks: &[u64], kerf: u64, open: &mut Vec<(u64, u64)>) -> Cost {
    let Some((&piece, rest)) = pieces.split_first() else {
        return open.iter().fold(Cost { length: 0, sticks: 0 }, |sum, s| Cost {
            length: sum.length + s.0,
            sticks: sum.sticks + 1,
        });
    };
    let mut least = Cost {
        length: u64::MAX,
        sticks: u64::MAX,
    };
    for i in 0..open.len() {
        if open[i].1 >= piece + kerf {
            open[i].1 -= piece + kerf;
            least = least.min(brute(rest, stocks, kerf, open));
            open[i].1 += piece + kerf;
        }
    }
    for &stock in stocks.iter().filter(|&&s| s >= piece) {
        open.push((stock, stock - piece));
        least = least.min(brute(rest, stocks, kerf, open));
        open.pop();
    }
    least
}

fn sound(pieces: &[u64], stocks: &[u64], kerf: u64, packing: &Packing) {
    let mut packed: Vec<u64> = packing.sticks.iter().flat_map(|s| s.pieces.clone()).collect();
    packed.extend(&packing.left_over);
    packed.sort_unstable();
    let mut all = pieces.to_vec();
    all.sort_unstable();
    assert_eq!(packed, all, "every piece once");
    for stick in &packing.sticks {
        assert!(stocks.contains(&stick.stock));
        assert!(!stick.pieces.is_empty());
        let saw = kerf * (stick.pieces.len() as u64 - 1);
        assert!(stick.pieces.iter().sum::<u64>() + saw <= stick.stock, "{stick:?}");
    }
    assert!(packing.bound <= packing.cost());
    let longest = stocks.iter().max().unwrap();
    assert!(packing.left_over.iter().all(|p| p > longest));
}

/// `(length, how many)`.
fn demand(lines: &[(u64, usize)]) -> Vec<u64> {
    lines
        .iter()
        .flat_map(|&(l, n)| std::iter::repeat_n(l, n))
        .collect()
}

proptest! {
    #[test]
    fn small_lists_are_as_good_as_brute_force(
        pieces in prop::collection::vec(1u64..26, 0..7),
        stocks in prop::collection::btree_set(8u64..30, 1..4),
        kerf in 0u64..4,
    ) {
        let stocks: Vec<u64> = stocks.into_iter().collect();
        let packing = pack(&pieces, &stocks, kerf, NODES);
        sound(&pieces, &stocks, kerf, &packing);
        let fit: Vec<u64> = pieces.iter().copied().filter(|p| p <= stocks.last().unwrap()).collect();
        prop_assert_eq!(packing.cost(), brute(&fit, &stocks, kerf, &mut Vec::new()));
        prop_assert_eq!(packing.bound, packing.cost());
    }

    #[test]
    fn long_lists_are_sound_and_say_how_good_they_are(
        pieces in prop::collection::vec(1u64..4000, 60..200),
        nodes in 0usize..2000,
    ) {
        let stocks = STOCKS.map(|s| (s * 16.0) as u64);
        let packing = pack(&pieces, &stocks, 2, nodes);
        sound(&pieces, &stocks, 2, &packing);
        // Greedy packing leaves no more than a tenth or so; a bound that means nothing would show here.
        let cost = packing.cost();
        prop_assert!(cost.length * 4 <= packing.bound.length * 5, "{cost:?} {:?}", packing.bound);
    }
}

/// Source: the lumber example in Winston's "Operations Research" (column generation), from memory: boards of 17 ft,
/// 25 pieces of 3 ft, 20 of 5, 15 of 9, no kerf. That 19 boards are the least follows from the total: 310 ft need more than 18
/// (derived).
#[test]
fn a_textbook_example_comes_out() {
    let pieces = demand(&[(3, 25), (5, 20), (9, 15)]);
    let packing = pack(&pieces, &[17], 0, NODES);
    sound(&pieces, &[17], 0, &packing);
    assert_eq!(
        packing.cost(),
        Cost {
            length: 19 * 17,
            sticks: 19
        }
    );
    assert_eq!(packing.bound, packing.cost());
}

/// Source: the paper machine of the encyclopedia article on the cutting stock problem, from memory: rolls 5600 mm wide, 219 of
/// 13 widths, 73 rolls at least. Far past what is searched, so only the bound must be met nearly.
#[test]
fn a_long_published_example_comes_close_and_says_how_close() {
    let pieces = demand(&[
        (1380, 22),
        (1520, 25),
        (1560, 12),
        (1710, 14),
        (1820, 18),
        (1880, 18),
        (1930, 20),
        (2000, 10),
        (2050, 12),
        (2100, 14),
        (2140, 16),
        (2150, 18),
        (2200, 20),
    ]);
    let packing = pack(&pieces, &[5600], 0, NODES);
    sound(&pieces, &[5600], 0, &packing);
    assert_eq!(packing.bound.sticks, 73);
    assert!((73..=80).contains(&packing.cost().sticks), "{:?}", packing.cost());
}

#[test]
fn the_search_betters_greedy() {
    let lists = (3u64..40).map(|k| {
        (0..7)
            .map(|i| 3 + (k * (2 * i + 5) + i * i) % 14)
            .collect::<Vec<u64>>()
    });
    let mut bettered = 0;
    for pieces in lists {
        let greedy = pack(&pieces, &[17, 20], 0, 0);
        let best = pack(&pieces, &[17, 20], 0, NODES);
        assert!(
            greedy.bound <= best.cost() && best.cost() <= greedy.cost(),
            "{pieces:?}"
        );
        assert_eq!(
            best.cost(),
            brute(&pieces, &[17, 20], 0, &mut Vec::new()),
            "{pieces:?}"
        );
        bettered += usize::from(best.cost() < greedy.cost());
    }
    assert!(bettered > 0);
}

fn blocking(id: usize, cuts: &[f64]) -> Remedy {
    let at = Coord { x: 0.0, y: 0.0 };
    let piece = |&cut: &f64| Piece {
        from: at,
        to: at,
        thickness: 1.5,
        cut,
        between: vec![],
        serves: vec![LightId(id + 2)],
    };
    Remedy {
        set_out: Vec::new(),
        id: RemedyId(id),
        mends: vec![FindingId(id + 1)],
        lights: vec![LightId(id + 2)],
        action: Action::Block {
            pieces: cuts.iter().map(piece).collect(),
        },
        message: String::new(),
    }
}

#[test]
fn a_list_counts_equal_cuts_and_says_what_they_serve() {
    let none = Remedy {
        set_out: Vec::new(),
        action: Action::None { why: "so".into() },
        ..blocking(9, &[])
    };
    let list = cut_list(&[blocking(0, &[30.5, 30.5]), none, blocking(1, &[46.5, 30.5])]);
    let lines: Vec<_> = list.cuts.iter().map(|c| (c.length, c.count)).collect();
    assert_eq!(lines, [(46.5, 1), (30.5, 3)]);
    let serves = &list.cuts[1].serves;
    assert_eq!(serves.len(), 2);
    assert_eq!((serves[0].remedy, serves[0].count), (RemedyId(0), 2));
    assert_eq!(serves[1].lights, [LightId(3)]);
    assert_eq!(serves[1].findings, [FindingId(2)]);
    // 138 in and three saw cuts go into 12 ft.
    assert_eq!(list.order(), [(144.0, 1)]);
    assert_eq!(list.sticks[0].left, 144.0 - 138.0 - 4.0 / 8.0);
    assert_eq!(list.told().unwrap(), "4 pieces, order 1 × 12 ft");
    assert_eq!((list.at_least, list.above()), (144.0, 0.0));
}

#[test]
fn the_saw_counts_between_pieces_only() {
    // Four of 24 in are 96, but three saw cuts make them too long for 8 ft.
    let list = cut_list(&[blocking(0, &[24.0; 4])]);
    assert_eq!(list.order(), [(120.0, 1)]);
    let list = cut_list(&[blocking(0, &[96.0])]);
    assert_eq!((list.order(), list.sticks[0].left), (vec![(96.0, 1)], 0.0));
    // 48 - 1/16 twice and one saw cut are 96 in to the sixteenth.
    let list = cut_list(&[blocking(0, &[47.9375; 2])]);
    assert_eq!((list.order(), list.sticks[0].left), (vec![(96.0, 1)], 0.0));
}

#[test]
fn what_is_no_length_or_too_long_is_said() {
    assert_eq!(cut_list(&[]), CutList::default());
    assert_eq!(cut_list(&[]).told(), None);
    let list = cut_list(&[blocking(0, &[200.0, f64::INFINITY])]);
    assert_eq!(list.too_long.len(), 2);
    assert_eq!(list.told().unwrap(), "2 pieces; 2 too long for any stock");
    assert!(list.order().is_empty());
}
