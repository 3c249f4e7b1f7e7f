//! Published straightness data, held against the fits (sources named at each).

use approx::assert_abs_diff_eq;
use geo::Coord;
use proptest::prelude::*;

use super::zone::{minimum_zone, minimum_zone_in_y};

fn points(xs: impl IntoIterator<Item = f64>, ys: &[f64]) -> Vec<Coord> {
    xs.into_iter().zip(ys).map(|(x, &y)| Coord { x, y }).collect()
}

/// Least squares of y on x: start, slope.
fn least_squares(points: &[Coord]) -> (f64, f64) {
    let n = points.len() as f64;
    let (mx, my) = (
        points.iter().map(|p| p.x).sum::<f64>() / n,
        points.iter().map(|p| p.y).sum::<f64>() / n,
    );
    let sxx: f64 = points.iter().map(|p| (p.x - mx).powi(2)).sum();
    let sxy: f64 = points.iter().map(|p| (p.x - mx) * (p.y - my)).sum();
    (my - sxy / sxx * mx, sxy / sxx)
}

fn spread(points: &[Coord], slope: f64) -> f64 {
    let heights = || points.iter().map(|p| p.y - slope * p.x);
    heights().fold(f64::NEG_INFINITY, f64::max) - heights().fold(f64::INFINITY, f64::min)
}

fn end_slope(points: &[Coord]) -> f64 {
    let (a, b) = (points[0], points[points.len() - 1]);
    (b.y - a.y) / (b.x - a.x)
}

/// Laser measurement guide, 1987, p. 21-3 (recomputed): end-point slope and residuals. The further
/// answers are derived: the range about each line, measured in y only, the units being mixed.
#[test]
fn laser_guide_first_data() {
    let data = points(
        (0..10).map(|i| f64::from(i) * 0.1),
        &[-0.3, 0.9, 1.5, 2.5, 2.9, 3.6, 4.2, 5.1, 5.9, 7.2],
    );
    let slope = end_slope(&data);
    assert_abs_diff_eq!(slope, 8.33, epsilon = 0.005);
    for (p, published) in data
        .iter()
        .zip([0.0, 0.4, 0.1, 0.3, -0.1, -0.3, -0.5, -0.4, -0.5, 0.0])
    {
        assert_abs_diff_eq!(p.y + 0.3 - slope * p.x, published, epsilon = 0.051);
    }
    assert_abs_diff_eq!(spread(&data, slope), 0.867, epsilon = 0.0005);
    let (_, least) = least_squares(&data);
    assert_abs_diff_eq!(least, 7.65455, epsilon = 5e-6);
    assert_abs_diff_eq!(spread(&data, least), 0.7036, epsilon = 5e-5);
    let fit = minimum_zone_in_y(&data).unwrap();
    assert_abs_diff_eq!(fit.range, 0.65, epsilon = 1e-9);
    assert_abs_diff_eq!(fit.slope, 7.8333, epsilon = 5e-5);
    let worst = data
        .iter()
        .map(|p| fit.residual(p.x, p.y).abs())
        .fold(0.0, f64::max);
    assert_abs_diff_eq!(worst, 0.325, epsilon = 1e-9);
}

/// The same guide's second data (end-point slope recomputed, the rest derived, y only).
#[test]
fn laser_guide_second_data() {
    let data = points(
        (0..10).map(|i| f64::from(i) * 0.05),
        &[-0.5, -1.2, -2.5, -3.8, -4.0, -4.8, -5.9, -6.2, -7.4, -8.8],
    );
    let slope = end_slope(&data);
    assert_abs_diff_eq!(slope, -18.44, epsilon = 0.005);
    assert_abs_diff_eq!(spread(&data, slope), 1.289, epsilon = 0.0005);
    assert_abs_diff_eq!(spread(&data, least_squares(&data).1), 1.0836, epsilon = 5e-5);
    assert_abs_diff_eq!(minimum_zone_in_y(&data).unwrap().range, 0.9333, epsilon = 5e-5);
}

/// From the test of a published geometry toolbox for the minimum caliper diameter: the cross's
/// least width is 60, whatever the order of its points.
#[test]
fn cross_is_sixty_wide() {
    let cross: Vec<Coord> = [
        (10, 40),
        (50, 40),
        (50, 20),
        (70, 20),
        (70, 40),
        (110, 40),
        (110, 60),
        (70, 60),
        (70, 80),
        (50, 80),
        (50, 60),
        (10, 60),
    ]
    .map(|(x, y)| Coord {
        x: f64::from(x),
        y: f64::from(y),
    })
    .into();
    for start in 0..cross.len() {
        for step in [1, 5, 7, 11] {
            let order: Vec<Coord> = (0..cross.len())
                .map(|i| cross[(start + i * step) % cross.len()])
                .collect();
            assert_abs_diff_eq!(minimum_zone(&order).unwrap().width, 60.0, epsilon = 1e-9);
        }
    }
}

/// Pearson's data of 1901; the values are derived.
#[test]
fn pearson_data() {
    let data = points(
        [0.0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4],
        &[5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5],
    );
    let (start, slope) = least_squares(&data);
    assert_abs_diff_eq!(start, 5.761185, epsilon = 5e-7);
    assert_abs_diff_eq!(slope, -0.539577, epsilon = 5e-7);
    assert_abs_diff_eq!(minimum_zone(&data).unwrap().width, 0.670820, epsilon = 5e-7);
    // At large coordinates too.
    let far: Vec<Coord> = data.iter().map(|&p| p + Coord { x: 2e6, y: -2e6 }).collect();
    assert_abs_diff_eq!(minimum_zone(&far).unwrap().width, 0.670820, epsilon = 1e-6);
}

#[test]
fn too_little_gives_nothing() {
    let p = Coord { x: 3.0, y: 4.0 };
    assert!(minimum_zone(&[]).is_none());
    assert!(minimum_zone(&[p]).is_none());
    assert!(minimum_zone(&[p, p, p]).is_none());
    assert!(minimum_zone(&[p, Coord { x: f64::NAN, y: 0.0 }]).is_none());
    assert!(minimum_zone_in_y(&[p, Coord { x: 3.0, y: 9.0 }]).is_none());
    assert_eq!(minimum_zone(&[p, Coord { x: 9.0, y: 4.0 }]).unwrap().width, 0.0);
}

proptest! {
    /// By definition (ISO 1101): all points lie within half the width, and no direction does better.
    #[test]
    fn zone_holds_all_and_no_direction_is_narrower(
        raw in prop::collection::vec((-50.0..50.0, -50.0..50.0), 3..12), turn in 0.0..3.0
    ) {
        let data: Vec<Coord> = raw.into_iter().map(|(x, y)| Coord { x, y }).collect();
        let zone = minimum_zone(&data).unwrap();
        for &p in &data {
            prop_assert!(zone.line.offset(p).abs() <= zone.width / 2.0 + 1e-9);
        }
        for step in 0..180 {
            let angle: f64 = turn + f64::from(step).to_radians();
            let normal = Coord { x: angle.cos(), y: angle.sin() };
            let heights = || data.iter().map(|p| p.x * normal.x + p.y * normal.y);
            let width = heights().fold(f64::MIN, f64::max) - heights().fold(f64::MAX, f64::min);
            prop_assert!(width >= zone.width - 1e-9);
        }
    }
}
