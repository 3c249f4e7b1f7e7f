//! Boxes by place: a list where they are few, since going through it is then the fastest; a tree where they are many.

use geo::Coord;
use rstar::primitives::{GeomWithData, Rectangle};
use rstar::{AABB, RTree};

use super::shape::bounds;
use crate::geom::FUZZ;

/// Up to this many are a list.
const FEW: usize = 100;

type Boxed = GeomWithData<Rectangle<[f64; 2]>, usize>;

/// Boxes around some points each, by the place of each in what they were made of.
pub struct Boxes {
    few: Vec<(Coord, Coord, usize)>,
    many: Option<RTree<Boxed>>,
}

impl Boxes {
    pub fn new<'a>(of: impl Iterator<Item = &'a [Coord]>) -> Boxes {
        let boxed = |(i, points): (usize, &[Coord])| {
            let (low, high) = bounds(points.iter().copied())?;
            Some((low, high, i))
        };
        let few: Vec<(Coord, Coord, usize)> = of.enumerate().filter_map(boxed).collect();
        if few.len() <= FEW {
            return Boxes { few, many: None };
        }
        let rectangle = |&(low, high, i): &(Coord, Coord, usize)| {
            GeomWithData::new(Rectangle::from_corners([low.x, low.y], [high.x, high.y]), i)
        };
        Boxes {
            many: Some(RTree::bulk_load(few.iter().map(rectangle).collect())),
            few: Vec::new(),
        }
    }

    /// Those that meet the box of some points, in no order.
    pub fn meeting(&self, points: &[Coord]) -> impl Iterator<Item = usize> {
        // A box that nothing meets, where there is no point.
        let nowhere = (
            Coord {
                x: f64::INFINITY,
                y: f64::INFINITY,
            },
            Coord {
                x: f64::NEG_INFINITY,
                y: f64::NEG_INFINITY,
            },
        );
        let around = bounds(points.iter().copied());
        let fuzz = Coord { x: FUZZ, y: FUZZ };
        let (low, high) = around.map_or(nowhere, |(low, high)| (low - fuzz, high + fuzz));
        let meets = move |(l, h, _): &&(Coord, Coord, usize)| {
            l.x <= high.x && h.x >= low.x && l.y <= high.y && h.y >= low.y
        };
        let tree = self.many.as_ref().filter(|_| around.is_some());
        let found = tree
            .map(|t| t.locate_in_envelope_intersecting(AABB::from_corners([low.x, low.y], [high.x, high.y])));
        let many = found.into_iter().flatten().map(|g| g.data);
        self.few.iter().filter(meets).map(|b| b.2).chain(many)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 64, ..ProptestConfig::default() })]

        /// On a lattice, so that edges touch.
        #[test]
        fn a_list_and_a_tree_find_what_meets(
            boxes in prop::collection::vec((0..60_i32, 0..60_i32, 0..9_i32, 0..9_i32), 0..3 * FEW),
            (x, y, w, h) in (0..60_i32, 0..60_i32, 0..30_i32, 0..30_i32),
        ) {
            let corners = |(x, y, w, h): (i32, i32, i32, i32)| {
                [(x, y), (x + w, y + h)].map(|(x, y)| Coord { x: f64::from(x), y: f64::from(y) })
            };
            let all: Vec<[Coord; 2]> = boxes.iter().copied().map(corners).collect();
            let index = Boxes::new(all.iter().map(<[Coord; 2]>::as_slice));
            let mut found: Vec<usize> = index.meeting(&corners((x, y, w, h))).collect();
            found.sort_unstable();
            let meets = |&(l, b, bw, bh): &(i32, i32, i32, i32)| {
                l <= x + w && l + bw >= x && b <= y + h && b + bh >= y
            };
            let brute: Vec<usize> = (0..boxes.len()).filter(|&i| meets(&boxes[i])).collect();
            prop_assert_eq!(found, brute);
            prop_assert_eq!(index.meeting(&[]).count(), 0);
        }
    }
}
