//! Faces of small networks worked out by hand, and of a grid turned, mirrored and shifted.

use geo::Coord;

use super::faces::Network;

type Segment = (Coord, Coord);

fn xy(x: f64, y: f64) -> Coord {
    Coord { x, y }
}

fn ring(points: &[(f64, f64)]) -> Vec<Segment> {
    (0..points.len())
        .map(|i| {
            let (a, b) = (points[i], points[(i + 1) % points.len()]);
            (xy(a.0, a.1), xy(b.0, b.1))
        })
        .collect()
}

fn square(x: f64, y: f64, w: f64) -> Vec<Segment> {
    ring(&[(x, y), (x + w, y), (x + w, y + w), (x, y + w)])
}

fn areas(segments: &[Segment]) -> Vec<f64> {
    let network = Network::new(segments, 0.02).expect("few segments");
    let mut areas: Vec<f64> = network.faces().iter().map(|f| f.area()).collect();
    areas.sort_by(f64::total_cmp);
    areas
}

#[test]
fn a_square_cut_by_a_cross_is_four_faces() {
    let mut segments = square(0.0, 0.0, 10.0);
    segments.push((xy(4.0, -3.0), xy(4.0, 13.0)));
    segments.push((xy(-3.0, 5.0), xy(10.0, 5.0)));
    assert_eq!(areas(&segments), [20.0, 20.0, 30.0, 30.0]);
}

#[test]
fn what_stands_inside_is_a_hole() {
    let mut segments = square(0.0, 0.0, 10.0);
    segments.extend(square(2.0, 2.0, 3.0));
    assert_eq!(areas(&segments), [9.0, 91.0]);
    // Joined by one line, the inner square is a hole still; touching at a corner likewise.
    segments.push((xy(0.0, 0.0), xy(2.0, 2.0)));
    assert_eq!(areas(&segments), [9.0, 91.0]);
    let mut touching = square(0.0, 0.0, 10.0);
    touching.extend(ring(&[(0.0, 0.0), (3.0, 1.0), (1.0, 3.0)]));
    assert_eq!(areas(&touching), [4.0, 96.0]);
}

#[test]
fn loose_lines_and_lines_drawn_twice_change_nothing() {
    let mut segments = square(0.0, 0.0, 10.0);
    segments.extend(square(0.0, 0.0, 10.0));
    segments.push((xy(2.0, 0.0), xy(7.0, 0.0)));
    segments.push((xy(5.0, 0.0), xy(5.0, 6.0)));
    segments.push((xy(0.0, 0.0), xy(f64::NAN, 1.0)));
    assert_eq!(areas(&segments), [100.0]);
}

#[test]
fn a_turned_mirrored_shifted_grid_keeps_its_faces() {
    let mut lines = Vec::new();
    for i in 0..=6 {
        let at = 31.0 * f64::from(i);
        lines.push((xy(at, 0.0), xy(at, 186.0)));
        lines.push((xy(0.0, at), xy(186.0, at)));
    }
    for step in 0..36_u32 {
        let (s, c) = f64::from(step * 10 + 3).to_radians().sin_cos();
        let mirror = if step % 2 == 0 { 1.0 } else { -1.0 };
        let put = |p: Coord| {
            xy(
                c * p.x - s * mirror * p.y + 1.0e5,
                s * p.x + c * mirror * p.y - 3.0e4,
            )
        };
        let moved: Vec<Segment> = lines.iter().map(|&(a, b)| (put(a), put(b))).collect();
        let found = areas(&moved);
        assert_eq!(found.len(), 36, "step {step}");
        assert!(
            found.iter().all(|a| (a - 961.0).abs() < 1e-4),
            "step {step}: {found:?}"
        );
    }
}
