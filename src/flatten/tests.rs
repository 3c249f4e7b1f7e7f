//! Tests of the pieces: matrices, object coordinates, curves, polylines, lettering, layers.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use geo::Coord;
use proptest::prelude::*;

use super::conic::{conic, sweep};
use super::insert::Placing;
use super::layers::{Inherited, Layers, resolve};
use super::matrix::{Affine, unit};
use super::path::path;
use super::text::{Line, Paragraphs, line, paragraphs};
use super::{Prim, ocs};
use crate::drawing::{Insert, Layer, Vertex};

fn c(x: f64, y: f64) -> Coord {
    Coord { x, y }
}

fn close(a: [f64; 3], b: [f64; 3]) -> bool {
    a.iter().zip(b).all(|(a, b)| (a - b).abs() < 1e-12)
}

#[test]
fn arbitrary_axis_gives_the_published_axes() {
    // Check values F (DXF reference): |Nx|, |Ny| < 1/64 then Ax = Wy × N, else Wz × N; Ay = N × Ax.
    let axes = |n| {
        let (map, sound) = ocs::to_world(n);
        assert!(sound);
        [
            map.vector([1.0, 0.0, 0.0]),
            map.vector([0.0, 1.0, 0.0]),
            map.vector([0.0, 0.0, 1.0]),
        ]
    };
    assert_eq!(
        axes([0.0, 0.0, -1.0]),
        [[-1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, -1.0]]
    );
    assert_eq!(axes([0.0, 0.0, 5.0])[0], [1.0, 0.0, 0.0]);
    // Derived: Wz × (1, 0, 0) = (0, 1, 0), (1, 0, 0) × (0, 1, 0) = (0, 0, 1).
    assert_eq!(
        axes([1.0, 0.0, 0.0]),
        [[0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]]
    );
    // Just inside and just outside 1/64: the x axis jumps from near x to near y.
    let inside = axes([1.0 / 64.5, 0.0, (1.0_f64 - 1.0 / 64.5 / 64.5).sqrt()])[0];
    let outside = axes([1.0 / 63.5, 0.0, (1.0_f64 - 1.0 / 63.5 / 63.5).sqrt()])[0];
    assert!(inside[0] > 0.99 && outside[1] > 0.99, "{inside:?} {outside:?}");
}

#[test]
fn a_direction_without_length_is_told() {
    for n in [[0.0; 3], [f64::NAN, 0.0, 1.0], [f64::INFINITY, 0.0, 1.0]] {
        assert_eq!(ocs::to_world(n), (Affine::IDENTITY, false));
    }
    assert!(close(
        unit([3e200, 4e200, 0.0]).expect("a direction"),
        [0.6, 0.8, 0.0]
    ));
    assert!(close(
        unit([3e-200, 4e-200, 0.0]).expect("a direction"),
        [0.6, 0.8, 0.0]
    ));
}

#[test]
fn quarter_turns_are_exact() {
    for (degrees, want) in [
        (90.0, [0.0, 1.0]),
        (-90.0, [0.0, -1.0]),
        (180.0, [-1.0, 0.0]),
        (720.0, [1.0, 0.0]),
    ] {
        let got = Affine::rotation(degrees).vector([1.0, 0.0, 0.0]);
        assert_eq!([got[0], got[1]], want, "{degrees}");
    }
}

#[test]
fn counts_and_spacings_of_zero_are_one() {
    let insert = Insert {
        block: "B".into(),
        at: [0.0; 3],
        scale: [1.0; 3],
        rotation: 0.0,
        columns: 0,
        rows: 5,
        column_spacing: 3.0,
        row_spacing: 0.0,
        attribs: Vec::new(),
    };
    let cells = |insert: &Insert<'_>| Placing::new(insert, [0.0, 0.0, 1.0], [0.0; 3]).cells();
    assert_eq!(cells(&insert), 1);
    assert_eq!(
        cells(&Insert {
            row_spacing: -2.0,
            ..insert.clone()
        }),
        5
    );
    let most = Insert {
        columns: u32::MAX,
        rows: u32::MAX,
        row_spacing: 1.0,
        ..insert
    };
    assert_eq!(cells(&most), u64::from(u32::MAX).pow(2));
}

/// The primitive's point at a part of its run.
fn point(prim: &Prim, part: f64) -> Coord {
    match *prim {
        Prim::Arc {
            center,
            radius,
            start,
            sweep,
        } => {
            let t = start + sweep * part;
            c(center.x + radius * t.cos(), center.y + radius * t.sin())
        }
        Prim::Ellipse {
            center,
            major,
            minor,
            start,
            sweep,
        } => {
            let (sin, cos) = (start + sweep * part).sin_cos();
            c(
                center.x + major.x * cos + minor.x * sin,
                center.y + major.y * cos + minor.y * sin,
            )
        }
        _ => panic!("{prim:?} has no run"),
    }
}

#[test]
fn curves_seen_from_the_side_are_segments() {
    let from_side = |start, sweep| match conic(c(1.0, 1.0), c(2.0, 0.0), c(0.0, 0.0), start, sweep) {
        Prim::Segment { from, to } => (from.x, to.x),
        other => panic!("{other:?}"),
    };
    let near = |(a, b): (f64, f64), want: (f64, f64)| {
        assert!(
            (a - want.0).abs() < 1e-9 && (b - want.1).abs() < 1e-9,
            "{a} {b}, not {want:?}"
        );
    };
    near(from_side(0.0, TAU), (-1.0, 3.0));
    near(from_side(0.0, FRAC_PI_2), (1.0, 3.0));
    near(from_side(FRAC_PI_2, PI), (-1.0, 1.0));
    near(from_side(1.5 * PI, PI), (1.0, 3.0));
    assert_eq!(
        conic(c(1.0, 1.0), c(0.0, 0.0), c(0.0, 0.0), 0.0, TAU),
        Prim::Point(c(1.0, 1.0))
    );
}

#[test]
fn sweeps_run_from_start_to_end() {
    for (start, end, want) in [
        (0.0, PI, PI),
        (PI, 0.0, PI),
        (6.0, 1.0, TAU - 5.0),
        (1.0, 1.0, TAU),
        (0.0, TAU, TAU),
    ] {
        assert!((sweep(start, end) - want).abs() < 1e-12, "{start} {end}");
    }
}

proptest! {
    /// Whatever the map, a curve passes through the images of its points, in their order (derived).
    #[test]
    fn curves_keep_their_points(
        u in (-9.0..9.0f64, -9.0..9.0f64), v in (-9.0..9.0f64, -9.0..9.0f64),
        start in 0.0..TAU, run in 0.1..6.2f64, part in 0.0..1.0f64,
    ) {
        let (u, v) = (c(u.0, u.1), c(v.0, v.1));
        prop_assume!((u.x * v.y - u.y * v.x).abs() > 0.01);
        for (u, v) in [(u, v), (u, c(-u.y, u.x)), (u, c(u.y, -u.x))] {
            let prim = conic(c(3.0, 4.0), u, v, start, run);
            let (sin, cos) = (start + run * part).sin_cos();
            let want = c(3.0 + u.x * cos + v.x * sin, 4.0 + u.y * cos + v.y * sin);
            let got = point(&prim, part);
            prop_assert!((got.x - want.x).hypot(got.y - want.y) < 1e-7, "{prim:?} {got:?} {want:?}");
            if let Prim::Ellipse { major, minor, .. } = prim {
                prop_assert!((major.x * minor.x + major.y * minor.y).abs() < 1e-7);
                prop_assert!(major.x * minor.y - major.y * minor.x > 0.0);
                prop_assert!(major.x.hypot(major.y) >= minor.x.hypot(minor.y));
            }
        }
    }

    /// Composed maps act as one after the other (derived).
    #[test]
    fn maps_compose(n in prop::array::uniform24(-5.0..5.0f64), p in prop::array::uniform3(-5.0..5.0f64)) {
        let map = |n: &[f64]| {
            let row = |i: usize| [n[i], n[i + 1], n[i + 2]];
            Affine::translation(row(9)).after(&Affine::columns(row(0), row(3), row(6)))
        };
        let (a, b) = (map(&n[..12]), map(&n[12..]));
        let (got, want) = (a.after(&b).point(p), a.point(b.point(p)));
        prop_assert!(got.iter().zip(want).all(|(g, w)| (g - w).abs() < 1e-9));
    }
}

fn vertex(x: f64, y: f64, bulge: f64, width: f64) -> Vertex {
    Vertex {
        at: [x, y, 0.0],
        bulge,
        start_width: width,
        end_width: width,
    }
}

#[test]
fn widths_grow_across_their_run() {
    // Scale 2 by 5: a run along x is 5 times as wide, one along y twice (derived).
    let map = Affine::scaling([2.0, 5.0, 1.0]);
    let run = [
        vertex(0.0, 0.0, 0.0, 1.5),
        vertex(10.0, 0.0, 0.0, 1.5),
        vertex(10.0, 10.0, 0.0, 1.5),
    ];
    let Prim::Path { vertices, .. } = path(&run, false, &map) else {
        panic!("a path")
    };
    assert!((vertices[0].start_width - 7.5).abs() < 1e-12);
    assert!((vertices[1].start_width - 3.0).abs() < 1e-12);
}

#[test]
fn a_circle_of_half_circles_follows_unequal_scale() {
    let ring = [vertex(0.0, 0.0, 1.0, 0.0), vertex(4.0, 0.0, 1.0, 0.0)];
    let Prim::Ellipse {
        center, major, minor, ..
    } = path(&ring, true, &Affine::scaling([1.0, 2.0, 1.0]))
    else {
        panic!("an ellipse")
    };
    assert_eq!(center, c(2.0, 0.0));
    assert!((major.x.hypot(major.y) - 4.0).abs() < 1e-12 && (minor.x.hypot(minor.y) - 2.0).abs() < 1e-12);
    assert_eq!(
        path(&[vertex(1.0, 2.0, 0.0, 0.0)], true, &Affine::IDENTITY),
        Prim::Point(c(1.0, 2.0))
    );
    // Points all in one place, and bulges beyond reason, neither hang nor divide by nothing.
    let heap = [
        vertex(1.0, 1.0, 1.0, 0.0),
        vertex(1.0, 1.0, 1.0, 0.0),
        vertex(1.0, 1.0, 1e300, 0.0),
    ];
    let Prim::Path { vertices, .. } = path(&heap, true, &Affine::scaling([1.0, 2.0, 1.0])) else {
        panic!("a path")
    };
    assert!(vertices.iter().all(|v| v.at == c(1.0, 2.0)));
}

fn placed(prim: &Prim) -> (Coord, f64, bool) {
    match prim {
        Prim::Text {
            at, angle, centred, ..
        } => (*at, *angle, *centred),
        other => panic!("{other:?}"),
    }
}

#[test]
fn lettering_stands_where_its_alignment_says() {
    let text = |halign, valign, align| Line {
        at: [1.0, 1.0, 0.0],
        align,
        halign,
        valign,
        height: 2.0,
        angle: 0.0,
        text: "R6",
    };
    let put = |t: Line<'_>| placed(&line(&t, &Affine::IDENTITY));
    let second = Some([10.0, 20.0, 0.0]);
    assert_eq!(put(text(0, 0, None)), (c(1.0, 1.0), 0.0, false));
    assert_eq!(
        put(text(0, 0, second)),
        (c(1.0, 1.0), 0.0, false),
        "left on the baseline: the first point"
    );
    assert_eq!(put(text(0, 3, second)), (c(10.0, 18.0), 0.0, false), "top left");
    assert_eq!(
        put(text(1, 0, second)),
        (c(10.0, 21.0), 0.0, true),
        "centred on the baseline"
    );
    assert_eq!(
        put(text(1, 2, second)),
        (c(10.0, 20.0), 0.0, true),
        "centred both ways"
    );
    assert_eq!(put(text(4, 0, second)), (c(10.0, 20.0), 0.0, true), "middle");
    assert_eq!(
        put(text(3, 0, second)),
        (c(5.5, 11.5), 0.0, true),
        "aligned between two points"
    );
    let (at, _, centred) = put(text(2, 0, second));
    assert!(
        centred && at.x < 10.0 && at.y == 21.0,
        "right: to the left of its point"
    );
}

#[test]
fn paragraphs_hang_from_their_attachment() {
    let put = |attachment, text| {
        let t = Paragraphs {
            at: [0.0; 3],
            height: 3.0,
            angle: 90.0,
            width: 0.0,
            attachment,
            text,
        };
        placed(&paragraphs(&t, &Affine::IDENTITY))
    };
    assert_eq!(put(5, "HALL\n8 FT"), (c(0.0, 0.0), FRAC_PI_2, true));
    assert_eq!(put(7, "HALL"), (c(0.0, 0.0), FRAC_PI_2, false));
    // Upper left, turned by 90°: one line hangs down to the right, x = cap height.
    let (at, _, centred) = put(1, "HALL");
    assert!(!centred && (at.x - 3.0).abs() < 1e-12 && at.y.abs() < 1e-12);
    // Two lines at 5/3 of 3: the box is 3 + 5 high, its middle 4 to the right.
    let (at, _, centred) = put(2, "HALL\n8 FT");
    assert!(centred && (at.x - 4.0).abs() < 1e-12 && at.y.abs() < 1e-12);
}

#[test]
fn layer_names_fold_and_unknown_layers_show() {
    let entry = |name: &str, color, off, frozen| Layer {
        name: name.into(),
        color,
        off,
        frozen,
        plotted: true,
        offset: 0,
    };
    let mut layers = Layers::new(&[
        entry("Wände", -3, false, false),
        entry("WÄNDE", 5, false, false),
        entry("Ice", 4, false, true),
    ]);
    let walls = layers.id("WÄNDE");
    assert_eq!(walls, layers.id("wände"));
    assert_eq!(
        (&*layers.state(walls).name, layers.state(walls).off),
        ("Wände", true)
    );
    let (ice, new, zero) = (layers.id("ICE"), layers.id("new"), layers.id(""));
    assert_eq!(&*layers.state(zero).name, "0");
    let told = |own, color, from| {
        let e = resolve(&layers, own, color, false, from);
        (&*layers.state(e.layer).name, e.color, e.visible, e.hides)
    };
    assert_eq!(told(walls, 256, None), ("Wände", 3, false, false));
    assert_eq!(told(ice, 0, None), ("Ice", 7, false, true));
    assert_eq!(told(new, 256, None), ("new", 7, true, false));
    let inside = Some(Inherited {
        layer: ice,
        color: 2,
        hidden: false,
    });
    assert_eq!(told(zero, 0, inside), ("Ice", 2, false, true));
    assert_eq!(told(new, 0, inside), ("new", 2, true, false));
    assert!(!resolve(&layers, new, 1, true, None).visible);
}
