//! Rows of many shapes. Values are derived from how each test lays its lights out.

use approx::assert_abs_diff_eq;
use geo::Coord;
use proptest::prelude::*;

use super::line::even_pitch;
use super::rows;
use crate::plan::{Counts, Light, LightId, Plan, Room, RoomId, Row, Units};
use crate::rules::Rules;

fn light(at: Coord) -> Light {
    Light {
        at,
        tag: None,
        block: None,
        handle: None,
        offset: 0,
        drawn_radius: 3.0,
        schedule: None,
        stacked: Vec::new(),
        room: None,
        rows: Vec::new(),
        bay: None,
    }
}

fn plan(points: &[Coord]) -> Plan {
    Plan {
        units: Units {
            name: "in".into(),
            inches_per_unit: 1.0,
            why: String::new(),
        },
        lights: points.iter().map(|&p| light(p)).collect(),
        members: Vec::new(),
        callouts: Vec::new(),
        rooms: Vec::new(),
        openings: Vec::new(),
        walls: Vec::new(),
        axis: None,
        obstacles: Vec::new(),
        rows: Vec::new(),
        linework: Vec::new(),
        unclaimed: Vec::new(),
        counts: Counts::default(),
    }
}

fn c(x: f64, y: f64) -> Coord {
    Coord { x, y }
}

/// `across` lights along x at `dx`, `down` lines of them at `dy`, each shifted by `skew`.
fn grid(across: u32, down: u32, dx: f64, dy: f64, skew: f64) -> Vec<Coord> {
    let cells = (0..down).flat_map(|j| (0..across).map(move |i| (f64::from(i), f64::from(j))));
    cells.map(|(i, j)| c(i * dx + j * skew, j * dy)).collect()
}

fn turned(points: &[Coord], degrees: f64, shift: Coord) -> Vec<Coord> {
    let (sin, cos) = degrees.to_radians().sin_cos();
    points
        .iter()
        .map(|p| c(p.x * cos - p.y * sin, p.x * sin + p.y * cos) + shift)
        .collect()
}

fn found(points: &[Coord]) -> Vec<Row> {
    rows(&plan(points), &Rules::default())
}

/// Rows as sets of light numbers.
fn sets(rows: &[Row]) -> Vec<Vec<usize>> {
    let mut sets: Vec<Vec<usize>> = rows
        .iter()
        .map(|row| {
            let mut set: Vec<usize> = row.lights.iter().map(|l| l.0).collect();
            set.sort_unstable();
            set
        })
        .collect();
    sets.sort();
    sets
}

fn sizes(rows: &[Row]) -> Vec<usize> {
    let mut sizes: Vec<usize> = rows.iter().map(|r| r.lights.len()).collect();
    sizes.sort_unstable();
    sizes
}

#[test]
fn lone_row_of_thirteen() {
    let rows = found(&grid(13, 1, 48.0, 0.0, 0.0));
    assert_eq!(sets(&rows), [(0..13).collect::<Vec<_>>()]);
    assert_abs_diff_eq!(rows[0].pitch, 48.0, epsilon = 1e-9);
    assert_abs_diff_eq!(rows[0].straightness, 0.0, epsilon = 1e-9);
    assert_eq!((rows[0].from, rows[0].to), (c(0.0, 0.0), c(576.0, 0.0)));
}

/// Three sixteenths, a quarter, three eighths: in the middle and at either end, at any angle, in any unit,
/// far from the origin, to 0.001 in.
#[test]
fn stray_is_measured_to_a_thousandth() {
    for off in [0.1875, 0.25, 0.375] {
        for stray in [0, 6, 12] {
            for side in [-1.0, 1.0] {
                for degrees in [0.0, 17.0, 90.0, 211.5] {
                    for scale in [1.0, 12.0, 1.0 / 25.4] {
                        for shift in [c(0.0, 0.0), c(2e6, 2e6)] {
                            let mut points = grid(13, 1, 48.0, 0.0, 0.0);
                            points[stray].y += off * side;
                            // To drawing units as a file holds them, and back.
                            let drawn = turned(&points, degrees, shift);
                            let back: Vec<Coord> = drawn.iter().map(|&p| (p / scale) * scale).collect();
                            let rows = found(&back);
                            assert_eq!(sizes(&rows), [13], "{off} {stray} {degrees}");
                            let row = &rows[0];
                            for (light, offset) in row.lights.iter().zip(&row.offsets) {
                                let expected = if light.0 == stray { off } else { 0.0 };
                                assert_abs_diff_eq!(offset.abs(), expected, epsilon = 0.001);
                            }
                            assert!(row.straightness < 0.001);
                        }
                    }
                }
            }
        }
    }
}

/// A row along +x: positive is left of it, which is up the sheet.
#[test]
fn offsets_are_positive_to_the_left() {
    let mut points = grid(5, 1, 48.0, 0.0, 0.0);
    points[2].y = 0.375;
    let rows = found(&points);
    assert_abs_diff_eq!(rows[0].offsets[2], 0.375, epsilon = 1e-9);
    points.reverse();
    assert_abs_diff_eq!(found(&points)[0].offsets[2], 0.375, epsilon = 1e-9);
}

#[test]
fn grids_have_rows_both_ways_and_no_diagonals() {
    for degrees in [0.0, 17.0, 45.0, 211.5] {
        for (dx, dy) in [
            (48.0, 48.0),
            (48.0, 72.0),
            (72.0, 60.0),
            (24.0, 96.0),
            (24.0, 144.0),
        ] {
            let rows = found(&turned(&grid(8, 5, dx, dy, 0.0), degrees, c(1000.0, 0.0)));
            assert_eq!(
                sizes(&rows),
                [5, 5, 5, 5, 5, 5, 5, 5, 8, 8, 8, 8, 8],
                "{degrees} {dx} {dy}"
            );
        }
        let square = found(&turned(&grid(3, 3, 60.0, 60.0, 0.0), degrees, c(0.0, 0.0)));
        assert_eq!(sizes(&square), [3; 6]);
    }
}

#[test]
fn skewed_grid_goes_by_its_two_shortest_directions() {
    // Steps (60, 0) and (15, 50); the next shortest is (-45, 50).
    let rows = found(&grid(6, 4, 60.0, 50.0, 15.0));
    assert_eq!(sizes(&rows), [4, 4, 4, 4, 4, 4, 6, 6, 6, 6]);
}

#[test]
fn columns_of_two_are_no_rows() {
    assert_eq!(
        sets(&found(&grid(3, 2, 60.0, 48.0, 0.0))),
        [vec![0, 1, 2], vec![3, 4, 5]]
    );
    assert_eq!(sizes(&found(&grid(13, 2, 48.0, 40.0, 0.0))), [13, 13]);
    assert_eq!(sizes(&found(&grid(2, 1, 48.0, 0.0, 0.0))), [0; 0]);
}

#[test]
fn an_l_has_two_rows_that_share_its_corner() {
    let mut points = grid(5, 1, 48.0, 0.0, 0.0);
    points.extend((1..4).map(|i| c(0.0, f64::from(i) * 48.0)));
    assert_eq!(sets(&found(&points)), [vec![0, 1, 2, 3, 4], vec![0, 5, 6, 7]]);
}

/// Sine-like numbers up to 2 in, laid out without a random source.
#[test]
fn lights_two_inches_off_still_make_rows() {
    for degrees in [0.0, 33.0] {
        let jitter = |points: Vec<Coord>| -> Vec<Coord> {
            let wave = |i: usize, k: f64| ((i as f64 + 1.0) * k).sin() * 2.0;
            points
                .iter()
                .enumerate()
                .map(|(i, p)| *p + c(wave(i, 12.9898), wave(i, 78.233)))
                .collect()
        };
        let rows = found(&turned(
            &jitter(grid(13, 1, 48.0, 0.0, 0.0)),
            degrees,
            c(0.0, 0.0),
        ));
        assert_eq!(sizes(&rows), [13]);
        let rows = found(&turned(
            &jitter(grid(8, 5, 60.0, 72.0, 0.0)),
            degrees,
            c(0.0, 0.0),
        ));
        assert_eq!(sizes(&rows), [5, 5, 5, 5, 5, 5, 5, 5, 8, 8, 8, 8, 8]);
        let rows = found(&turned(
            &jitter(grid(8, 5, 30.0, 96.0, 0.0)),
            degrees,
            c(0.0, 0.0),
        ));
        assert_eq!(sizes(&rows), [5, 5, 5, 5, 5, 5, 5, 5, 8, 8, 8, 8, 8]);
    }
}

#[test]
fn skipped_stations_stay_in_the_row_and_long_gaps_end_it() {
    let at = |stations: &[f64]| -> Vec<Coord> { stations.iter().map(|&s| c(s, 0.0)).collect() };
    let rows = found(&at(&[0.0, 48.0, 96.0, 192.0, 240.0]));
    assert_eq!(sizes(&rows), [5]);
    assert_abs_diff_eq!(rows[0].pitch, 48.0, epsilon = 1e-9);
    assert!(rows[0].along.iter().all(|a| a.abs() < 1e-9));
    // 144 is three times the median.
    let rows = found(&at(&[0.0, 48.0, 96.0, 240.0, 288.0, 336.0]));
    assert_eq!(sets(&rows), [vec![0, 1, 2], vec![3, 4, 5]]);
    // The longest gap does not vouch for itself.
    assert_eq!(sizes(&found(&at(&[0.0, 12.0, 200.0]))), [0; 0]);
}

#[test]
fn pitch_is_the_least_worst() {
    // One of five an inch late: the best even pitch shares the misfit, half an inch each way.
    let even = even_pitch(&[0.0, 48.0, 97.0, 144.0, 192.0], 1.0).unwrap();
    let worst = even.along.iter().fold(0.0_f64, |w, a| w.max(a.abs()));
    assert_abs_diff_eq!(worst, 0.5, epsilon = 1e-9);
    assert_abs_diff_eq!(even.pitch, 48.0, epsilon = 1e-9);
    // Most stations skipped: 96, 96, 48, 96.
    let even = even_pitch(&[0.0, 96.0, 192.0, 240.0, 336.0], 1.0).unwrap();
    assert_abs_diff_eq!(even.pitch, 48.0, epsilon = 1e-9);
    // 40 and 56 are 2 and 3 steps of 20 or so, but no two lights stand one step apart: the middle one is 4 in out.
    let even = even_pitch(&[0.0, 40.0, 96.0], 1.0).unwrap();
    assert_abs_diff_eq!(even.pitch, 48.0, epsilon = 1e-9);
    assert_abs_diff_eq!(even.along[1], -4.0, epsilon = 1e-9);
    assert!(even_pitch(&[1.0], 1.0).is_none());
}

#[test]
fn a_light_beyond_the_capture_is_not_of_the_row() {
    let mut points = grid(7, 1, 48.0, 0.0, 0.0);
    points[3].y = 5.9;
    assert_eq!(sizes(&found(&points)), [7]);
    points[3].y = 6.1;
    assert_eq!(sets(&found(&points)), [vec![0, 1, 2, 4, 5, 6]]);
}

#[test]
fn rows_end_at_rooms_and_walls() {
    let points = grid(8, 1, 48.0, 0.0, 0.0);
    let mut walled = plan(&points);
    walled.walls = vec![(c(168.0, -50.0), c(168.0, 50.0))];
    assert_eq!(
        sets(&rows(&walled, &Rules::default())),
        [vec![0, 1, 2, 3], vec![4, 5, 6, 7]]
    );

    let mut roomed = plan(&points);
    for x in [0.0, 200.0] {
        roomed.rooms.push(Room {
            name: None,
            outline: vec![c(x, -50.0), c(x + 200.0, -50.0), c(x + 200.0, 50.0), c(x, 50.0)],
            class: None,
            hall: false,
            axis: c(1.0, 0.0),
            insulated: false,
            ceiling: None,
            drawn: true,
        });
    }
    for (i, light) in roomed.lights.iter_mut().enumerate() {
        light.room = (i != 7).then_some(RoomId(usize::from(i > 4)));
    }
    let found = rows(&roomed, &Rules::default());
    assert_eq!(sets(&found), [vec![0, 1, 2, 3, 4]]);
    assert_eq!(found[0].room, Some(RoomId(0)));
}

#[test]
fn odd_lights_do_no_harm() {
    let mut points = grid(4, 1, 48.0, 0.0, 0.0);
    points.extend([c(f64::NAN, 0.0), c(f64::INFINITY, 1.0), c(48.0, 0.0)]);
    assert!(
        found(&points)
            .iter()
            .all(|r| r.lights.iter().all(|l| l.0 != 4 && l.0 != 5))
    );
    assert!(found(&[]).is_empty());
    assert!(found(&[c(1.0, 1.0); 5]).is_empty());
}

/// A light's distance from each of its rows, whatever the rows are called: numbers that do not change when a
/// plan is turned, mirrored, shifted or numbered anew.
fn measures(points: &[Coord]) -> Vec<(Vec<usize>, Vec<i64>)> {
    let mut all: Vec<(Vec<usize>, Vec<i64>)> = found(points)
        .iter()
        .map(|row| {
            let mut each: Vec<(usize, i64)> = row
                .lights
                .iter()
                .map(|l| l.0)
                .zip(row.offsets.iter().map(|o| (o.abs() * 1e3).round() as i64))
                .collect();
            each.sort_unstable();
            each.into_iter().unzip()
        })
        .collect();
    all.sort();
    all
}

fn layout() -> impl Strategy<Value = Vec<Coord>> {
    let strays = prop::collection::vec(
        (0_usize..40, prop::sample::select(vec![-0.3752, 0.1872, 0.2502])),
        0..2,
    );
    ((3_u32..7, 1_u32..5), (36.0..80.0_f64, 36.0..80.0_f64), strays).prop_map(
        |((across, down), (dx, dy), strays)| {
            let mut points = grid(across, down, dx, dy, 0.0);
            let count = points.len();
            for (i, off) in strays {
                if let Some(p) = points.get_mut(i % count) {
                    *p = *p + c(off * 0.8, off);
                }
            }
            points
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn turning_mirroring_shifting_change_no_measure(
        points in layout(), degrees in 0.0..360.0_f64, mirror in any::<bool>(), far in -2e6..2e6_f64
    ) {
        let moved: Vec<Coord> = points.iter().map(|p| if mirror { c(-p.x, p.y) } else { *p }).collect();
        prop_assert_eq!(measures(&points), measures(&turned(&moved, degrees, c(far, -far))));
    }

    #[test]
    fn numbering_changes_nothing(points in layout(), seed in 0_usize..1000) {
        let count = points.len();
        let mut order: Vec<usize> = (0..count).collect();
        for i in 0..count {
            order.swap(i, (seed * 31 + i * 17) % count);
        }
        let shuffled: Vec<Coord> = order.iter().map(|&i| points[i]).collect();
        let mut renamed: Vec<(Vec<usize>, Vec<i64>)> = measures(&shuffled)
            .into_iter()
            .map(|(lights, offsets)| {
                let mut each: Vec<(usize, i64)> = lights.into_iter().map(|l| order[l]).zip(offsets).collect();
                each.sort_unstable();
                each.into_iter().unzip()
            })
            .collect();
        renamed.sort();
        prop_assert_eq!(measures(&points), renamed);
    }

    /// Scattered lights: every row keeps its promises.
    #[test]
    fn every_row_keeps_its_promises(raw in prop::collection::vec((0.0..300.0, 0.0..200.0), 0..40)) {
        let points: Vec<Coord> = raw.into_iter().map(|(x, y)| c(x, y)).collect();
        for row in found(&points) {
            let count = row.lights.len();
            prop_assert!(count >= 3);
            prop_assert_eq!((row.offsets.len(), row.stations.len(), row.along.len()), (count, count, count));
            prop_assert!(row.stations.is_sorted());
            prop_assert!(row.pitch.is_finite() && row.pitch > 0.0);
            prop_assert!(row.offsets.iter().all(|o| o.abs() <= 6.0 + 1e-6));
            prop_assert!(row.lights.iter().all(|l| l.0 < points.len()));
            let distinct: std::collections::BTreeSet<LightId> = row.lights.iter().copied().collect();
            prop_assert_eq!(distinct.len(), count);
        }
    }
}
