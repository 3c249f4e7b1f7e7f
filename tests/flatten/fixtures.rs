//! One matter of flattening each, from `fixtures/flatten`, with coordinates worked out by hand.

use bayline::flatten::Prim;

use crate::{circles, drawing_of, equal, fixture, flat_of, near, of, segments, symbols};

#[test]
fn base_point_lands_on_the_insertion_point() {
    let (flat, notes) = fixture("base-point");
    assert_eq!(notes, []);
    let [(from, to)] = segments(&flat)[..] else {
        panic!("one line")
    };
    near(from, 10.0, 20.0);
    near(to, 10.0, 23.0);
    let [(center, radius)] = circles(&flat)[..] else {
        panic!("one circle")
    };
    near(center, 9.0, 20.0);
    equal(radius, 0.5);
    let [symbol] = symbols(&flat)[..] else {
        panic!("one symbol")
    };
    near(symbol.at, 10.0, 20.0);
    near(symbol.x_axis, 0.0, 1.0);
    near(symbol.y_axis, -1.0, 0.0);
}

#[test]
fn a_multileader_is_its_words_and_its_lines() {
    let (flat, notes) = fixture("multileader");
    // The second shows a block with its mark.
    assert_eq!(
        notes.iter().map(|n| n.code).collect::<Vec<_>>(),
        ["multileader-block"]
    );
    let all = of(&flat, "MULTILEADER");
    assert_eq!((all.len(), flat.entities, flat.dropped), (5, 5, 0));
    let leads: Vec<bool> = all.iter().map(|i| i.leads()).collect();
    assert_eq!(leads, [false, true, true, false, true]);
    let words: Vec<&str> = (all.iter())
        .filter_map(|i| match &i.prim {
            Prim::Text { text, .. } => Some(&**text),
            _ => None,
        })
        .collect();
    assert_eq!(words, ["2x10 C.J. @ 16\" O.C.", "R6"]);
    let Prim::Path {
        vertices,
        closed: false,
    } = &all[4].prim
    else {
        panic!("{:?}", all[4].prim)
    };
    let at: Vec<_> = vertices.iter().map(|v| (v.at.x, v.at.y)).collect();
    assert_eq!(at, [(100.0, 0.0), (72.0, 20.0), (64.0, 20.0)]);
}

#[test]
fn a_multiline_is_the_lines_of_its_elements_and_of_its_ends() {
    let (flat, notes) = fixture("multiline");
    assert!(notes.is_empty(), "{notes:?}");
    let all = of(&flat, "MLINE");
    assert_eq!((all.len(), flat.entities, flat.dropped), (8, 9, 0));
    // Of layer 0, in a block that is drawn on the joists' layer, turned by 90°; then a wall on one side of its vertices.
    let layers: Vec<&str> = all.iter().map(|i| &*i.layer).collect();
    assert_eq!(layers[..4], ["S-JOIS"; 4]);
    assert_eq!(layers[4..], ["A-WALL"; 4]);
    let want = [
        [4.25, 10.0, 4.25, 106.0],
        [5.75, 10.0, 5.75, 106.0],
        [5.75, 10.0, 4.25, 10.0],
        [5.75, 106.0, 4.25, 106.0],
        [10.0, 50.0, 10.0, 150.0],
        [14.0, 50.0, 14.0, 150.0],
        [14.0, 50.0, 10.0, 50.0],
        [14.0, 150.0, 10.0, 150.0],
    ];
    for ((from, to), [a, b, c, d]) in segments(&flat).into_iter().zip(want) {
        near(from, a, b);
        near(to, c, d);
    }
}

#[test]
fn nested_blocks_compose_and_tell_their_path() {
    let (flat, _) = fixture("nested");
    // Inner: turned 90° at (100, 0); outer: doubled, shifted by (10, 10).
    let [(from, to)] = segments(&flat)[..] else {
        panic!("one line")
    };
    near(from, 210.0, 10.0);
    near(to, 210.0, 12.0);
    let line = flat
        .items
        .iter()
        .position(|i| &*i.entity == "LINE")
        .expect("the line");
    assert_eq!(flat.path(line), ["OUTER", "INNER"]);
    assert_eq!(
        flat.place(line).handle.as_deref(),
        flat.items[line].handle.as_deref()
    );
    assert_eq!(flat.path(0), [""; 0]);
    equal(circles(&flat)[0].1, 6.0);
}

#[test]
fn mirrored_arcs_and_bulges_run_the_other_way() {
    let (flat, _) = fixture("mirrored");
    let Prim::Arc {
        center,
        radius,
        start,
        sweep,
    } = of(&flat, "ARC")[0].prim
    else {
        panic!("an arc")
    };
    near(center, 10.0, 0.0);
    equal(radius, 2.0);
    equal(start, std::f64::consts::PI);
    equal(sweep, -std::f64::consts::FRAC_PI_2);
    let Prim::Path { vertices, closed } = &of(&flat, "POLYLINE")[0].prim else {
        panic!("a path")
    };
    assert!(!closed);
    assert_eq!(vertices.len(), 3);
    near(vertices[0].at, 10.0, 0.0);
    near(vertices[1].at, 6.0, 0.0);
    assert_eq!(
        vertices.iter().map(|v| v.bulge).collect::<Vec<_>>(),
        [-1.0, 0.0, 0.0]
    );
    let symbol = symbols(&flat)[0];
    near(symbol.x_axis, -1.0, 0.0);
    near(symbol.y_axis, 0.0, 1.0);
}

#[test]
fn unequal_scale_makes_ellipses_and_keeps_outlines_whole() {
    let (flat, notes) = fixture("unequal");
    assert_eq!(notes, []);
    let Prim::Ellipse {
        center,
        major,
        minor,
        sweep,
        ..
    } = of(&flat, "CIRCLE")[0].prim
    else {
        panic!("an ellipse")
    };
    near(center, 13.0, 21.0);
    equal(major.x.abs(), 6.0);
    equal(minor.y.abs(), 2.0);
    equal(sweep, std::f64::consts::TAU);
    let Prim::Path { vertices, closed } = &of(&flat, "POLYLINE")[0].prim else {
        panic!("a path")
    };
    assert!(closed);
    assert!(vertices.iter().all(|v| v.bulge == 0.0));
    near(vertices[0].at, 10.0, 20.0);
    near(vertices[vertices.len() - 2].at, 22.0, 20.0);
    near(vertices[vertices.len() - 1].at, 22.0, 23.0);
    // Bulge 1 from (0,0) to (4,0) bows below: a half circle about (2,0), radius 2, scaled 3 by 1.
    for v in &vertices[1..vertices.len() - 2] {
        let (x, y) = ((v.at.x - 10.0) / 3.0 - 2.0, v.at.y - 20.0);
        equal(x.hypot(y), 2.0);
        assert!(y < 0.0);
    }
    // Chords stray from the curve by less than 1/128 in.
    for pair in vertices[..vertices.len() - 1].windows(2) {
        let (x, y) = (
            (pair[0].at.x + pair[1].at.x) / 2.0,
            (pair[0].at.y + pair[1].at.y) / 2.0,
        );
        let short = 2.0 - ((x - 10.0) / 3.0 - 2.0).hypot(y - 20.0);
        assert!(short * 3.0 < 1.0 / 128.0, "{short}");
    }
}

#[test]
fn arrays_step_turned_but_unscaled() {
    let (flat, _) = fixture("array");
    let mut found = circles(&flat);
    assert_eq!(found.len(), 7, "six cells, and one where the spacing is 0");
    let (last, _) = found.pop().expect("seven");
    near(last, 51.0, 50.0);
    for (k, (center, radius)) in found.into_iter().enumerate() {
        let (column, row) = ((k % 2) as f64, (k / 2) as f64);
        // Turned by 90°: columns go up, rows go left; the circle stands 2 above its corner.
        near(center, 5.0 - 19.2 * row, 7.0 + 16.0 * column);
        equal(radius, 1.0);
    }
    assert_eq!(symbols(&flat).len(), 7);
}

#[test]
fn extrusion_down_mirrors_what_has_object_coordinates() {
    // Check values F: the normal (0, 0, −1) gives the x axis (−1, 0, 0) and the y axis (0, 1, 0).
    let (flat, notes) = fixture("extrusion");
    assert_eq!(notes, []);
    let lines = segments(&flat);
    near(lines[0].0, -10.0, 20.0);
    near(lines[0].1, -11.0, 22.0);
    near(lines[1].0, 1.0, 1.0);
    near(lines[1].1, 2.0, 3.0);
    near(circles(&flat)[0].0, -3.0, 4.0);
    let Prim::Arc { start, sweep, .. } = of(&flat, "ARC")[0].prim else {
        panic!("an arc")
    };
    equal(start, std::f64::consts::PI);
    equal(sweep, -std::f64::consts::FRAC_PI_2);
    let Prim::Path { vertices, .. } = &of(&flat, "POLYLINE")[0].prim else {
        panic!("a path")
    };
    near(vertices[0].at, -1.0, 0.0);
    assert_eq!(vertices[0].bulge, -0.5);
    let Prim::Text {
        at,
        height,
        angle,
        centred,
        ..
    } = &of(&flat, "TEXT")[0].prim
    else {
        panic!("a text")
    };
    // Mirrored lettering runs left from (−5, 6); it is told by the centre of its box.
    assert!(*centred && at.x < -5.0);
    equal(at.y, 7.0);
    equal(*height, 2.0);
    equal(*angle, 0.0);
    let Prim::Face(ring) = &of(&flat, "SOLID")[0].prim else {
        panic!("a face")
    };
    for (got, want) in ring
        .iter()
        .zip([(0.0, 0.0), (-1.0, 0.0), (-1.0, 1.0), (0.0, 1.0)])
    {
        near(*got, want.0, want.1);
    }
}

#[test]
fn tilted_circles_are_seen_in_plan() {
    let (flat, _) = fixture("tilted");
    let found = of(&flat, "CIRCLE");
    let Prim::Ellipse { major, minor, .. } = found[0].prim else {
        panic!("an ellipse")
    };
    equal(major.x.hypot(major.y), 2.0);
    equal(minor.x.hypot(minor.y), 1.0);
    let Prim::Segment { from, to } = found[1].prim else {
        panic!("a segment")
    };
    equal(from.x.abs() + to.x.abs(), 0.0);
    equal((from.y - to.y).abs(), 4.0);
    assert!(matches!(found[2].prim, Prim::Ellipse { .. }), "all but level");
}

#[test]
fn layers_colours_and_visibility_are_inherited() {
    let (flat, _) = fixture("layers");
    let circles = of(&flat, "CIRCLE");
    let told: Vec<_> = circles.iter().map(|i| (&*i.layer, i.color, i.visible)).collect();
    assert_eq!(
        told,
        [
            // Inserted on LIGHTS with colour 6: layer 0 takes LIGHTS and its colour by layer, by
            // block takes 6, a layer that is off stays so.
            ("LIGHTS", 1, true),
            ("WALLS", 6, true),
            ("OFF", 3, false),
            // On a layer that is off: hidden is only what takes it.
            ("OFF", 3, false),
            ("WALLS", 3, true),
            ("OFF", 3, false),
            // On a frozen layer: all hidden.
            ("FROZEN", 4, false),
            ("WALLS", 4, false),
            ("OFF", 3, false),
            // Two levels: the inner INSERT on layer 0 takes LIGHTS.
            ("LIGHTS", 1, true),
            ("WALLS", 1, true),
            ("OFF", 3, false),
            // An invisible INSERT hides all inside.
            ("LIGHTS", 1, false),
            ("WALLS", 1, false),
            ("OFF", 3, false),
        ]
    );
    let inserts: Vec<_> = of(&flat, "INSERT")
        .iter()
        .map(|i| (&*i.layer, i.visible))
        .collect();
    assert_eq!(
        inserts,
        [
            ("LIGHTS", true),
            ("OFF", true),
            ("FROZEN", false),
            ("LIGHTS", true),
            ("LIGHTS", true),
            ("LIGHTS", false)
        ]
    );
    let line = of(&flat, "LINE")[0];
    assert_eq!((&*line.layer, line.color, line.visible), ("NEW", 7, true));
}

#[test]
fn attributes_stand_where_the_drawing_says() {
    let (flat, _) = fixture("attributes");
    let found = symbols(&flat);
    let told: Vec<_> = found
        .iter()
        .flat_map(|s| &s.attribs)
        .map(|a| (&*a.tag, &*a.text))
        .collect();
    assert_eq!(told, [("TAG", "R6"), ("TAG", "R6")]);
    near(found[0].attribs[0].at, -11.0, 22.0);
    // The second column: 5 along x, turned by 90° in the INSERT's own coordinates.
    near(found[1].attribs[0].at, -11.0, 27.0);
    near(found[1].at, -10.0, 25.0);
    // As it is lettered, by its middle where the drawing is mirrored: two letters of 0.8 heights, the estimate.
    let lettered = found[0].attribs[0].lettered.expect("it shows");
    near(lettered.at, -11.8, 22.5);
    assert!(lettered.centred);
    equal(lettered.height, 1.0);
}

#[test]
fn circles_drawn_as_polylines_are_circles() {
    let (flat, _) = fixture("round-polylines");
    let found = circles(&flat);
    assert_eq!(found.len(), 4);
    for (center, radius) in [found[0], found[1], found[3]] {
        near(center, 3.0, 0.0);
        equal(radius, 2.0);
    }
    near(found[2].0, 0.0, 0.0);
    equal(found[2].1, 2.0);
    let paths = flat
        .items
        .iter()
        .filter(|i| matches!(i.prim, Prim::Path { .. }))
        .count();
    assert_eq!(
        paths, 2,
        "a run there and back, and an open half circle, are none"
    );
}

#[test]
fn blocks_that_no_layout_reaches_are_told() {
    let (flat, _) = fixture("unreached");
    let told: Vec<_> = flat
        .unreached
        .iter()
        .map(|b| (b.name.as_str(), b.layers.clone()))
        .collect();
    let framing = [("MARKS", 4), ("S-JOIS", 1), ("S-TRUS", 8)]
        .map(|(l, n)| (l.to_owned(), n))
        .to_vec();
    let stud = [("0", 1), ("MARKS", 1)].map(|(l, n)| (l.to_owned(), n)).to_vec();
    assert_eq!(told, [("FRAMING", framing), ("STUD", stud)]);
    assert_eq!(flat.paper, 2);
    assert_eq!(flat.items.len(), 2);
    near(segments(&flat)[0].1, 7.0, 0.0);
}

#[test]
fn dimensions_keep_points_and_measure() {
    let (flat, _) = fixture("dimensions");
    let found = of(&flat, "DIMENSION");
    let Prim::Dimension {
        p1,
        p2,
        text_at,
        measured,
        rotated,
        ..
    } = &found[0].prim
    else {
        panic!("turned")
    };
    near(*p1, 100.0, 0.0);
    near(*p2, 96.0, 3.0);
    near(*text_at, 91.0, 1.5);
    assert_eq!(*measured, Some(3.0));
    equal(rotated.expect("a direction"), std::f64::consts::FRAC_PI_2);
    let Prim::Dimension {
        measured,
        rotated,
        text,
        ..
    } = &found[1].prim
    else {
        panic!("aligned")
    };
    assert_eq!((*measured, *rotated, &**text), (Some(5.0), None, "5' 0\""));
    assert_eq!(found[2].prim, Prim::Opaque);
}

#[test]
fn units_scale_everything_to_inches() {
    let source = drawing_of(
        "0 BLOCK|8 0|2 B|70 0|10 254|20 0|0 CIRCLE|8 0|10 254|20 0|40 76.2|0 ENDBLK",
        "0 INSERT|8 0|2 B|10 508|20 25.4|70 2|71 1|44 254|0 TEXT|8 0|10 0|20 254|40 127|1 R6",
    );
    let (flat, _) = flat_of(&source, 1.0 / 25.4);
    let found = circles(&flat);
    near(found[0].0, 20.0, 1.0);
    near(found[1].0, 30.0, 1.0);
    equal(found[0].1, 3.0);
    let Prim::Text { at, height, .. } = &of(&flat, "TEXT")[0].prim else {
        panic!("a text")
    };
    near(*at, 0.0, 10.0);
    equal(*height, 5.0);
}

#[test]
fn a_scaled_drawing_is_the_one_flattened_in_another_unit() {
    let mut seen = 0;
    for file in std::fs::read_dir("fixtures/flatten").expect("fixtures") {
        let path = file.expect("a file").path();
        // Under unequal scale an arc of a polyline is cut into chords by a tolerance in inches.
        let chords = path.ends_with("unequal.dxf");
        if path.extension().is_none_or(|e| e != "dxf") || chords {
            continue;
        }
        let bytes = std::fs::read(&path).expect("a fixture");
        let (drawing, _) = bayline::drawing::read(&bytes).expect("a drawing");
        let flat = |inches_per_unit: f64| {
            let units = bayline::plan::Units {
                name: "any".into(),
                inches_per_unit,
                why: String::new(),
            };
            bayline::flatten::flatten(&drawing, &units).0
        };
        // A power of two: nothing is rounded.
        assert_eq!(flat(1.0).scaled(4.0), flat(4.0), "{}", path.display());
        seen += flat(1.0).items.len();
    }
    assert!(seen > 30, "{seen} items");
}

#[test]
fn things_keep_their_height() {
    let block = "0 BLOCK|2 B|10 0|20 0|30 1|0 LINE|8 0|10 0|20 0|30 3|11 1|21 0|31 3|0 ENDBLK";
    let entities = "0 LINE|8 0|10 0|20 0|30 10|11 1|21 0|31 10|\
         0 LWPOLYLINE|8 0|90 2|38 20|10 0|20 0|10 1|20 0|\
         0 CIRCLE|8 0|10 0|20 0|30 30|40 1|210 0|220 0|230 -1|\
         0 INSERT|8 0|2 B|10 0|20 0|30 40|43 2";
    let (flat, _) = flat_of(&drawing_of(block, entities), 2.0);
    let heights: Vec<f32> = flat.items.iter().map(|i| i.height).collect();
    // The line in the block lies 2 above its base, and is drawn twice as high.
    assert_eq!(heights, [20.0, 40.0, -60.0, 80.0, 88.0]);
}
