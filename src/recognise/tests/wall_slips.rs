//! Walls drawn with a draftsman's slips enclose the rooms that exact ones do.
//!
//! The rooms' areas are those of the rectangles that the house is made of.

use geo::Coord;

use crate::geom::faces::{Face, Network};
use crate::recognise::gaps::{self, Closed};
use crate::recognise::shape::unit;

type Segment = (Coord, Coord);

pub const WIDTHS: [f64; 3] = [120.0, 96.0, 150.0];
pub const DEPTHS: [f64; 2] = [110.0, 140.0];

/// Three rooms by two, walls of a thickness, a door in each wall between two, a window in each lower room's outer wall.
pub struct House {
    /// Faces of walls, and the lines that close walls at doors and windows.
    faces: Vec<Segment>,
    caps: Vec<Segment>,
}

impl House {
    pub fn new(thick: f64) -> House {
        let mut house = House {
            faces: Vec::new(),
            caps: Vec::new(),
        };
        let starts = |sizes: &[f64]| -> Vec<f64> {
            (0..sizes.len())
                .map(|i| sizes[..i].iter().sum::<f64>() + thick * (i as f64))
                .collect()
        };
        let (xs, ys) = (starts(&WIDTHS), starts(&DEPTHS));
        let (right, top) = (xs[2] + WIDTHS[2], ys[1] + DEPTHS[1]);
        let windows: Vec<(f64, f64)> = xs.iter().map(|x| (x + 30.0, x + 70.0)).collect();
        for (i, (&x, width)) in xs.iter().zip(WIDTHS).enumerate() {
            for (j, (&y, depth)) in ys.iter().zip(DEPTHS).enumerate() {
                let (across, up) = ((x + 40.0, x + 72.0), (y + 20.0, y + 52.0));
                let low = if j == 0 { windows[i] } else { across };
                house.level(y, x, x + width, &[low]);
                house.level(y + depth, x, x + width, &[across][j..]);
                house.upright(x, y, y + depth, &[up][..i.min(1)]);
                house.upright(x + width, y, y + depth, &[up][..(2 - i).min(1)]);
                for at in [low.0, low.1] {
                    house.cap((at, y - thick), (at, y));
                }
                if i > 0 {
                    for at in [up.0, up.1] {
                        house.cap((x - thick, at), (x, at));
                    }
                }
            }
        }
        house.level(-thick, -thick, right + thick, &windows);
        house.level(top + thick, -thick, right + thick, &[]);
        house.upright(-thick, -thick, top + thick, &[]);
        house.upright(right + thick, -thick, top + thick, &[]);
        house
    }

    fn level(&mut self, y: f64, from: f64, to: f64, gaps: &[(f64, f64)]) {
        for (a, b) in spans(from, to, gaps) {
            self.faces.push((Coord { x: a, y }, Coord { x: b, y }));
        }
    }

    fn upright(&mut self, x: f64, from: f64, to: f64, gaps: &[(f64, f64)]) {
        for (a, b) in spans(from, to, gaps) {
            self.faces.push((Coord { x, y: a }, Coord { x, y: b }));
        }
    }

    fn cap(&mut self, a: (f64, f64), b: (f64, f64)) {
        self.caps.push((Coord::from(a), Coord::from(b)));
    }

    pub fn all(self) -> Vec<Segment> {
        self.faces.into_iter().chain(self.caps).collect()
    }
}

fn spans(from: f64, to: f64, gaps: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut at = from;
    let mut spans = Vec::new();
    for &(low, high) in gaps {
        spans.push((at, low));
        at = high;
    }
    spans.push((at, to));
    spans
}

/// A line longer by so much at both ends, inches.
fn longer((a, b): Segment, by: f64) -> Segment {
    let d = unit(b - a).unwrap_or_default() * by;
    (a - d, b + d)
}

fn rooms(network: &Network) -> Vec<Face> {
    let mut rooms: Vec<Face> = (network.faces().into_iter())
        .filter(|f| f.area() > 864.0 && f.area() > 6.0 * f.perimeter())
        .collect();
    rooms.sort_by(|a, b| a.area().total_cmp(&b.area()));
    rooms
}

/// The six rooms are there, their walls off by no more than `slip` on the average, and no line ends loose.
fn holds(walls: &[Segment], slip: f64, what: &str) {
    let Closed { network, loose, .. } = gaps::close(walls, &[], &[]).expect("a house");
    let mut areas: Vec<f64> = (WIDTHS.iter()).flat_map(|w| DEPTHS.map(|d| w * d)).collect();
    areas.sort_by(f64::total_cmp);
    let rooms = rooms(&network);
    let found: Vec<f64> = rooms.iter().map(Face::area).collect();
    assert_eq!(found.len(), areas.len(), "{what}: rooms of {found:?}");
    for (room, area) in rooms.iter().zip(&areas) {
        let off = (room.area() - area).abs() / room.perimeter();
        assert!(off <= slip, "{what}: {} for {area} sq in", room.area());
    }
    assert!(loose.is_empty(), "{what}: loose at {loose:?}");
}

#[test]
fn exact_walls_keep_their_corners() {
    for thick in [3.5, 4.5, 6.5, 12.0] {
        holds(&House::new(thick).all(), 1e-9, "exact");
    }
}

#[test]
fn caps_short_long_slanted_or_in_pieces_are_caps() {
    for thick in [3.5, 4.5, 6.5, 12.0] {
        for by in [-0.2, -0.1, -0.05, -0.03, -0.015, 0.015, 0.05, 0.1, 0.2] {
            let mut house = House::new(thick);
            house.caps = house.caps.into_iter().map(|c| longer(c, by)).collect();
            holds(&house.all(), 1e-9, &format!("caps longer by {by}"));
        }
        for by in [-0.2, -0.1, 0.05, 0.1, 0.2] {
            let mut house = House::new(thick);
            for (a, b) in &mut house.caps {
                let d = unit(*b - *a).unwrap_or_default() * by;
                *b = *b + Coord { x: -d.y, y: d.x };
            }
            holds(&house.all(), 0.01, &format!("caps slanted by {by}"));
        }
        for (share, gap) in [(0.4, 0.0), (0.5, 0.0), (0.5, 0.05), (0.5, -0.05)] {
            let mut house = House::new(thick);
            house.caps = (house.caps.iter())
                .flat_map(|&(a, b)| {
                    let (m, d) = (a + (b - a) * share, unit(b - a).unwrap_or_default() * (gap / 2.0));
                    [(a, m - d), (m + d, b)]
                })
                .collect();
            holds(&house.all(), 1e-9, &format!("caps in two, {gap} apart"));
        }
    }
}

#[test]
fn wall_lines_short_long_or_broken_close_rooms() {
    for thick in [3.5, 6.5] {
        for by in [-0.5, -0.2, -0.1, -0.05, -0.02, 0.01, 0.02, 0.05, 0.1, 0.2] {
            let mut house = House::new(thick);
            house.faces = house.faces.into_iter().map(|c| longer(c, by)).collect();
            // Beyond a slip of an end the corner is cut off, not drawn out.
            let slip = if by > -0.5 { 1e-9 } else { 0.01 };
            holds(&house.all(), slip, &format!("faces longer by {by}"));
            if by > -0.5 {
                let all: Vec<Segment> = (House::new(thick).all().into_iter())
                    .map(|c| longer(c, by))
                    .collect();
                holds(&all, 1e-9, &format!("all lines longer by {by}"));
            }
        }
        for seed in 0..4 {
            let mut random = fastrand::Rng::with_seed(seed);
            for gap in [0.0, 0.03, 0.1] {
                let broken: Vec<Segment> = (House::new(thick).all().into_iter())
                    .flat_map(|(a, b)| {
                        let m = a + (b - a) * (0.2 + 0.6 * random.f64());
                        let d = unit(b - a).unwrap_or_default() * (gap / 2.0);
                        [(a, m - d), (m + d, b)]
                    })
                    .collect();
                holds(&broken, 1e-9, &format!("seed {seed}: lines broken, {gap} apart"));
            }
        }
    }
}

#[test]
fn ends_off_to_any_side_close_rooms() {
    for seed in 0..10 {
        let mut random = fastrand::Rng::with_seed(seed);
        for (thick, by) in [(3.5, 0.03), (4.5, 0.06), (6.5, 0.1), (12.0, 0.1)] {
            let mut off = |p: Coord| {
                let (angle, far) = (random.f64() * std::f64::consts::TAU, random.f64() * by);
                p + Coord {
                    x: angle.cos() * far,
                    y: angle.sin() * far,
                }
            };
            let jittered: Vec<Segment> = (House::new(thick).all().into_iter())
                .map(|(a, b)| (off(a), off(b)))
                .collect();
            holds(&jittered, by, &format!("seed {seed}, {by} off, walls of {thick}"));
        }
    }
}

#[test]
fn rounded_coordinates_of_a_turned_house_close_rooms() {
    for seed in 0..10 {
        let mut random = fastrand::Rng::with_seed(seed);
        let (sin, cos) = (random.f64() * std::f64::consts::TAU).sin_cos();
        for step in [0.1, 0.125] {
            let round = |p: Coord| Coord {
                x: ((p.x * cos - p.y * sin) / step).round() * step,
                y: ((p.x * sin + p.y * cos) / step).round() * step,
            };
            let walls: Vec<Segment> = (House::new(4.5).all().into_iter())
                .map(|(a, b)| (round(a), round(b)))
                .collect();
            holds(&walls, step, &format!("seed {seed}: rounded to {step}"));
        }
    }
}

#[test]
fn walls_drawn_twice_are_walls() {
    for by in [0.0, 0.02, 0.06] {
        let house = House::new(4.5).all();
        let again = house
            .iter()
            .map(|&(a, b)| (b + Coord { x: by, y: by }, a + Coord { x: by, y: by }));
        let walls: Vec<Segment> = house.iter().copied().chain(again).collect();
        holds(&walls, 0.1, &format!("twice, {by} off"));
    }
}

#[test]
fn lines_near_each_other_stay_apart() {
    // Two panes 3/4 in apart between the faces, and a sliver of 0.3 in: none is drawn to another.
    let at = |x: f64, y: f64| Coord { x, y };
    let lines = [
        (at(0.0, 0.0), at(100.0, 0.0)),
        (at(0.0, 0.3), at(100.0, 0.3)),
        (at(0.0, 1.05), at(100.0, 1.05)),
        (at(0.0, 0.0), at(0.0, 1.05)),
    ];
    assert_eq!(crate::recognise::gaps::weld(&lines), lines);
}
