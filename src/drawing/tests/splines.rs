//! SPLINEs as arcs, by curves whose points are known (derived): a cubic that is a line, a parabola, a circle in rational
//! quarters.

use super::*;

fn vertices(source: &str) -> (Vec<Vertex>, bool) {
    let source = ascii(&plan(source));
    match one(&source).shape {
        Shape::Polyline {
            vertices,
            closed,
            world: true,
            ..
        } => (vertices, closed),
        Shape::Other => (Vec::new(), false),
        other => panic!("{other:?}"),
    }
}

fn spline(
    flags: u8,
    degree: u8,
    knots: &[f64],
    weights: &[f64],
    control: &[[f64; 2]],
    fit: &[[f64; 2]],
) -> String {
    let mut out = format!("0 SPLINE\n8 E-ANNO\n100 AcDbSpline\n70 {flags}\n71 {degree}\n");
    knots.iter().for_each(|k| out += &format!("40 {k:?}\n"));
    weights.iter().for_each(|w| out += &format!("41 {w:?}\n"));
    for (code, points) in [(10, control), (11, fit)] {
        for [x, y] in points {
            out += &format!("{code} {x:?}\n{} {y:?}\n{} 0.0\n", code + 10, code + 20);
        }
    }
    out
}

#[test]
fn a_parabola_is_followed_by_arcs_whose_ends_lie_on_it() {
    // (x, x(20 − x)/20), the quadratic of these three points.
    let source = spline(
        8,
        2,
        &[0.0, 0.0, 0.0, 1.0, 1.0, 1.0],
        &[],
        &[[0.0, 0.0], [10.0, 10.0], [20.0, 0.0]],
        &[],
    );
    let (found, closed) = vertices(&source);
    assert_eq!((found.len(), closed), (9, false));
    assert_eq!((found[0].at, found[8].at), ([0.0; 3], [20.0, 0.0, 0.0]));
    for v in &found {
        let [x, y, _] = v.at;
        assert!((y - x * (20.0 - x) / 20.0).abs() < 1e-12, "{v:?}");
    }
    // It turns to the right throughout, so its arcs bulge to the left of their chords.
    assert!(found[..8].iter().all(|v| v.bulge < 0.0), "{found:?}");
}

#[test]
fn a_circle_of_rational_quarters_is_arcs_of_it() {
    let h = 0.5_f64.sqrt();
    let corners = [
        [1.0, 0.0],
        [1.0, 1.0],
        [0.0, 1.0],
        [-1.0, 1.0],
        [-1.0, 0.0],
        [-1.0, -1.0],
        [0.0, -1.0],
        [1.0, -1.0],
        [1.0, 0.0],
    ];
    let control = corners.map(|[x, y]| [10.0 + 3.0 * x, 3.0 * y]);
    let knots = [0.0, 0.0, 0.0, 1.0, 1.0, 2.0, 2.0, 3.0, 3.0, 4.0, 4.0, 4.0];
    let weights = [1.0, h, 1.0, h, 1.0, h, 1.0, h, 1.0];
    let (found, closed) = vertices(&spline(5, 2, &knots, &weights, &control, &[]));
    assert_eq!((found.len(), closed), (32, true));
    let turned: f64 = found.iter().map(|v| 4.0 * v.bulge.atan()).sum();
    assert!((turned - std::f64::consts::TAU).abs() < 1e-9, "{turned}");
    for v in &found {
        assert!(((v.at[0] - 10.0).hypot(v.at[1]) - 3.0).abs() < 1e-12, "{v:?}");
    }
}

#[test]
fn what_lies_in_line_is_straight() {
    let control = [[0.0, 0.0], [1.0, 2.0], [2.0, 4.0], [3.0, 6.0]];
    let knots = [0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0];
    let (found, _) = vertices(&spline(0, 3, &knots, &[], &control, &[]));
    assert!(found.iter().all(|v| v.bulge == 0.0), "{found:?}");
}

#[test]
fn one_of_fit_points_alone_runs_through_them() {
    let fit = [[50.5, 42.5], [58.0, 49.0], [67.0, 56.0]];
    let (found, _) = vertices(&spline(0, 3, &[], &[], &[], &fit));
    assert_eq!(found.len(), 17);
    for (i, [x, y]) in [(0, fit[0]), (8, fit[1]), (16, fit[2])] {
        assert_eq!(found[i].at, [x, y, 0.0]);
    }
    // Between them it strays little from the chords: by a twentieth of the longer, here.
    assert!(found.iter().all(|v| v.bulge.abs() < 0.1), "{found:?}");
    let two = vertices(&spline(0, 3, &[], &[], &[], &[[0.0, 0.0], [8.0, 6.0]])).0;
    assert!(
        two.iter()
            .all(|v| v.bulge == 0.0 && (v.at[0] * 0.75 - v.at[1]).abs() < 1e-12)
    );
}

#[test]
fn one_that_its_numbers_do_not_make_is_not_interpreted() {
    let control = [[0.0, 0.0], [10.0, 10.0], [20.0, 0.0]];
    for (degree, knots, weights) in [
        (2, &[0.0, 0.0, 0.0, 1.0, 1.0][..], &[][..]),
        (2, &[0.0, 0.0, 1.0, 0.0, 1.0, 1.0], &[]),
        (0, &[0.0, 0.0, 0.0, 1.0], &[]),
        (2, &[0.0, 0.0, 0.0, 1.0, 1.0, 1.0], &[1.0, 0.0, 1.0]),
        (2, &[0.0; 6], &[]),
    ] {
        assert!(
            vertices(&spline(0, degree, knots, weights, &control, &[]))
                .0
                .is_empty(),
            "{knots:?}"
        );
    }
    assert!(vertices("0 SPLINE\n8 0\n100 AcDbSpline\n70 0").0.is_empty());
}
