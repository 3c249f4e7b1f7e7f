//! Walls traced by hand, their ends off at every corner by more than a slip.

use super::wall_slips::{DEPTHS, House, WIDTHS};
use super::{Sheet, has_note};
use crate::geom::unit;
use crate::recognise::shape::area;
use geo::Coord;

type Segment = (Coord, Coord);

const NAMES: [&str; 6] = ["BEDROOM", "DEN", "KITCHEN", "BATH", "OFFICE", "DINING ROOM"];

/// A house of six rooms with their names, its lines as they are given.
fn sheet(walls: &[Segment], thick: f64) -> Sheet {
    let mut sheet = Sheet::default();
    for (a, b) in walls {
        sheet.line("A-WALL", (a.x, a.y), (b.x, b.y));
    }
    let mut names = NAMES.iter();
    for i in 0..WIDTHS.len() {
        for j in 0..DEPTHS.len() {
            let middle = |sizes: &[f64], n: usize| {
                sizes[..n].iter().sum::<f64>() + thick * (n as f64) + sizes[n] / 2.0
            };
            let at = (middle(&WIDTHS, i), middle(&DEPTHS, j));
            if let Some(name) = names.next() {
                sheet.text("A-NOTE", at, name);
            }
        }
    }
    sheet
}

/// Whether six rooms with a name each are there, their walls off by no more than a slip on the average.
fn whole(sheet: &Sheet, slip: f64) -> bool {
    let (plan, _) = sheet.read();
    let sizes: Vec<f64> = (WIDTHS.iter()).flat_map(|w| DEPTHS.map(|d| w * d)).collect();
    let around: Vec<f64> = (WIDTHS.iter())
        .flat_map(|w| DEPTHS.map(|d| 2.0 * (w + d)))
        .collect();
    plan.rooms.len() == sizes.len()
        && NAMES.iter().enumerate().all(|(i, name)| {
            let room = plan.rooms.iter().find(|r| r.name.as_deref() == Some(name));
            room.is_some_and(|r| (area(&r.outline) - sizes[i]).abs() <= slip * around[i])
        })
}

#[test]
fn walls_off_at_every_corner_part_the_rooms() {
    for seed in 0..4 {
        for by in [0.35, 0.5, 0.7] {
            let mut random = fastrand::Rng::with_seed(seed);
            let mut any = || by * (2.0 * random.f64() - 1.0);
            let mut off = |p: Coord| p + Coord { x: any(), y: any() };
            let walls: Vec<Segment> = (House::new(4.5).all().into_iter())
                .map(|(a, b)| (off(a), off(b)))
                .collect();
            let sheet = sheet(&walls, 4.5);
            assert!(whole(&sheet, by), "seed {seed}, {by} off");
            assert!(has_note(&sheet.read().1, "walls-traced"), "seed {seed}, {by} off");
        }
    }
}

#[test]
fn lines_that_run_past_at_every_corner_part_the_rooms() {
    for by in [0.7, 1.0] {
        let mut random = fastrand::Rng::with_seed(7);
        let walls: Vec<Segment> = (House::new(4.5).all().into_iter())
            .map(|(a, b)| {
                let along = unit(b - a).unwrap_or_default() * by;
                (a - along * random.f64(), b + along * random.f64())
            })
            .collect();
        assert!(whole(&sheet(&walls, 4.5), 0.05), "{by} past");
    }
}

#[test]
fn exact_walls_with_an_end_that_hangs_stay_as_they_are() {
    let exact = House::new(4.5).all();
    let note = |sheet: &Sheet| has_note(&sheet.read().1, "walls-traced");
    assert!(whole(&sheet(&exact, 4.5), 1e-6) && !note(&sheet(&exact, 4.5)));
    // A half wall into the first room, and the wall between the second room and the one beside it left out.
    let wall = |(a, b): &&Segment| {
        let between = |p: &Coord| (WIDTHS[0]..=WIDTHS[0] + 4.5).contains(&p.x) && p.y > DEPTHS[0] + 4.6;
        !(between(a) && between(b))
    };
    let mut open: Vec<Segment> = exact.iter().filter(wall).copied().collect();
    open.push((Coord { x: 40.0, y: 0.0 }, Coord { x: 40.0, y: 50.0 }));
    let sheet = sheet(&open, 4.5);
    let (plan, notes) = sheet.read();
    assert!(plan.rooms.len() < 6, "{notes:#?}");
    assert!(has_note(&notes, "walls-open") && !note(&sheet));
}
