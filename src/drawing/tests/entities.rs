//! Typed entities. Values are those of the fixtures; defaults are the DXF reference's, from memory.

use super::*;

#[test]
fn a_line_has_its_ends_and_common_properties() {
    let source = ascii(&plan(
        "0 LINE\n5 1F\n8 S-JOIS\n6 HIDDEN\n62 3\n60 1\n10 1.5\n20 -2.25\n30 0.5\n11 1e3\n21 0.125\n31 0",
    ));
    let line = one(&source);
    assert_eq!(line.name, "LINE");
    assert_eq!(line.handle.as_deref(), Some("1F"));
    assert_eq!(line.layer, "S-JOIS");
    assert_eq!(line.linetype.as_deref(), Some("HIDDEN"));
    assert_eq!((line.color, line.invisible, line.paper), (3, true, false));
    assert_eq!(line.extrusion, [0.0, 0.0, 1.0]);
    assert_eq!(
        line.shape,
        Shape::Line {
            from: [1.5, -2.25, 0.5],
            to: [1000.0, 0.125, 0.0]
        }
    );
    assert_eq!(&source[line.offset..line.offset + 9], b"  0\nLINE\n");
}

#[test]
fn what_is_absent_has_its_default() {
    let point = ascii(&plan("0 POINT\n10 1\n20 2"));
    let point = one(&point);
    assert_eq!((point.handle, point.linetype, point.color), (None, None, 256));
    assert_eq!(point.layer, "0");
}

#[test]
fn extrusion_is_kept_and_a_zero_one_is_the_plain_one() {
    let circle = ascii(&plan("0 CIRCLE\n10 1\n20 2\n40 3\n210 0\n220 0\n230 -1"));
    assert_eq!(one(&circle).extrusion, [0.0, 0.0, -1.0]);
    let circle = ascii(&plan("0 CIRCLE\n10 1\n20 2\n40 3\n210 0\n220 0\n230 0"));
    assert_eq!(one(&circle).extrusion, [0.0, 0.0, 1.0]);
}

#[test]
fn arc_and_ellipse() {
    let arc = ascii(&plan("0 ARC\n10 1\n20 2\n40 3\n50 350\n51 10"));
    assert_eq!(
        one(&arc).shape,
        Shape::Arc {
            center: [1.0, 2.0, 0.0],
            radius: 3.0,
            start: 350.0,
            end: 10.0
        }
    );
    let ellipse = ascii(&plan("0 ELLIPSE\n10 1\n20 2\n11 4\n21 0\n40 0.5"));
    let Shape::Ellipse {
        major,
        ratio,
        start,
        end,
        ..
    } = one(&ellipse).shape
    else {
        panic!("an ellipse")
    };
    assert_eq!(
        (major, ratio, start, end),
        ([4.0, 0.0, 0.0], 0.5, 0.0, std::f64::consts::TAU)
    );
}

#[test]
fn lwpolyline_has_bulges_and_one_width_for_all() {
    let source = ascii(&plan(
        "0 LWPOLYLINE\n90 2\n70 1\n43 1.5\n38 7\n10 0\n20 0\n42 1\n10 6\n20 0\n42 -1",
    ));
    let Shape::Polyline {
        vertices,
        closed,
        elevation,
        world,
    } = one(&source).shape
    else {
        panic!("a polyline")
    };
    assert!(closed && !world);
    assert_eq!(elevation, 7.0);
    let width = |v: &Vertex| (v.at[0], v.bulge, v.start_width, v.end_width);
    assert_eq!(
        vertices.iter().map(width).collect::<Vec<_>>(),
        [(0.0, 1.0, 1.5, 1.5), (6.0, -1.0, 1.5, 1.5)]
    );
}

#[test]
fn polyline_takes_its_vertices_and_leaves_the_frame_of_a_spline() {
    let source = ascii(&plan(
        "0 POLYLINE\n66 1\n70 4\n40 2\n41 3\n10 0\n20 0\n30 5
         0 VERTEX\n10 9\n20 9\n70 16
         0 VERTEX\n10 1\n20 2\n42 0.5\n70 8
         0 VERTEX\n10 3\n20 4\n40 0\n70 8
         0 SEQEND\n8 0",
    ));
    let Shape::Polyline {
        vertices,
        closed,
        elevation,
        world,
    } = one(&source).shape
    else {
        panic!("a polyline")
    };
    assert!(!closed && !world);
    assert_eq!(elevation, 5.0);
    assert_eq!(
        vertices,
        [
            Vertex {
                at: [1.0, 2.0, 0.0],
                bulge: 0.5,
                start_width: 2.0,
                end_width: 3.0
            },
            Vertex {
                at: [3.0, 4.0, 0.0],
                bulge: 0.0,
                start_width: 0.0,
                end_width: 3.0
            },
        ]
    );
}

#[test]
fn a_polyline_in_space_is_in_world_coordinates_and_a_mesh_is_left_alone() {
    let space = ascii(&plan(
        "0 POLYLINE\n70 9\n0 VERTEX\n10 1\n20 2\n30 3\n70 32\n0 SEQEND",
    ));
    assert!(matches!(
        one(&space).shape,
        Shape::Polyline {
            world: true,
            closed: true,
            ..
        }
    ));
    for flags in [16, 64] {
        let mesh = ascii(&plan(&format!(
            "0 POLYLINE\n70 {flags}\n0 VERTEX\n10 1\n20 2\n30 3\n0 SEQEND"
        )));
        assert_eq!(one(&mesh).shape, Shape::Other);
    }
}

#[test]
fn insert_takes_attributes_even_where_66_is_0() {
    let source = ascii(&plan(
        "0 INSERT\n5 A\n66 0\n2 LT-R6\n10 1\n20 2\n41 -1\n42 2\n50 90\n70 0\n71 3\n45 24
         0 ATTRIB\n8 E-LITE\n10 5\n20 6\n40 2\n1 R6\n2 TYPE\n70 0
         0 ATTRIB\n8 E-LITE\n10 5\n20 6\n11 7\n21 8\n72 1\n40 2\n1 X\n2 TYPE\n70 1
         0 SEQEND\n8 0
         0 POINT\n10 0\n20 0",
    ));
    let (entities, notes) = view(&source);
    assert_eq!(codes(&notes), [""; 0]);
    assert_eq!(entities.len(), 2);
    let Shape::Insert(insert) = &entities[0].shape else {
        panic!("an insert")
    };
    assert_eq!(insert.block, "LT-R6");
    assert_eq!(
        (insert.at, insert.scale, insert.rotation),
        ([1.0, 2.0, 0.0], [-1.0, 2.0, 1.0], 90.0)
    );
    assert_eq!((insert.columns, insert.rows, insert.row_spacing), (1, 3, 24.0));
    let seen: Vec<_> = insert
        .attribs
        .iter()
        .map(|a| (&*a.tag, &*a.text, a.at[0], a.invisible))
        .collect();
    assert_eq!(seen, [("TYPE", "R6", 5.0, false), ("TYPE", "X", 7.0, true)]);
}

#[test]
fn a_missing_seqend_is_noted_and_loses_nothing() {
    let source = ascii(&plan(
        "0 INSERT\n2 A\n10 1\n20 2\n66 1\n0 ATTRIB\n10 0\n20 0\n1 T\n2 N\n0 LINE\n10 0\n20 0\n11 1\n21 1",
    ));
    let (entities, notes) = view(&source);
    assert_eq!(codes(&notes), ["no-seqend"]);
    assert!(matches!(&entities[0].shape, Shape::Insert(i) if i.attribs.len() == 1));
    assert!(matches!(entities[1].shape, Shape::Line { .. }));
}

#[test]
fn text_keeps_both_of_its_points() {
    let source = ascii(&plan(
        "0 TEXT\n10 1\n20 2\n40 4.5\n1 HALL\n50 15\n11 3\n21 4\n72 1\n73 2",
    ));
    assert_eq!(
        one(&source).shape,
        Shape::Text {
            at: [1.0, 2.0, 0.0],
            align: Some([3.0, 4.0, 0.0]),
            halign: 1,
            valign: 2,
            height: 4.5,
            angle: 15.0,
            text: "HALL".into(),
        }
    );
}

#[test]
fn a_text_in_the_codes_of_an_mtext_is_what_they_show() {
    for (written, shown) in [(r"{\H1.0;KITCHEN}", "KITCHEN"), ("{KITCHEN}", "{KITCHEN}")] {
        let source = ascii(&plan(&format!("0 TEXT\n10 1\n20 2\n40 4.5\n1 {written}")));
        let Shape::Text { text, .. } = one(&source).shape else {
            panic!("TEXT")
        };
        assert_eq!(text, shown);
    }
}

#[test]
fn mtext_turns_by_its_direction_and_stops_at_an_embedded_object() {
    let source = ascii(&plan(
        "0 MTEXT\n10 1\n20 2\n40 4.5\n41 60\n71 5\n3 LIVING \n1 ROOM\n11 0\n21 1\n101 Embedded Object\n10 99\n20 99\n40 99",
    ));
    let Shape::MText {
        at,
        height,
        angle,
        width,
        attachment,
        text,
    } = one(&source).shape
    else {
        panic!("MTEXT")
    };
    assert_eq!((at, height, width, attachment), ([1.0, 2.0, 0.0], 4.5, 60.0, 5));
    assert!((angle - 90.0).abs() < 1e-12);
    assert_eq!(text, "LIVING ROOM");
}

#[test]
fn dimension_has_points_text_and_measure() {
    let source = ascii(&plan(
        "0 DIMENSION\n2 *D4\n70 32\n10 9\n20 1\n11 5\n21 2\n13 0\n23 0\n14 9\n24 0\n50 0\n42 9\n1 <>",
    ));
    let Shape::Dimension {
        kind,
        def,
        p1,
        p2,
        measured,
        text,
        block,
        ..
    } = one(&source).shape
    else {
        panic!("a dimension")
    };
    assert_eq!(
        (kind, def, p1, p2),
        (32, [9.0, 1.0, 0.0], [0.0; 3], [9.0, 0.0, 0.0])
    );
    assert_eq!(
        (measured, &*text, block.as_deref()),
        (Some(9.0), "<>", Some("*D4"))
    );
}

#[test]
fn corners_of_a_solid_are_mended_to_a_ring() {
    let corners = "10 0\n20 0\n11 4\n21 0\n12 0\n22 1\n13 4\n23 1";
    let square = [[0.0, 0.0, 0.0], [4.0, 0.0, 0.0], [4.0, 1.0, 0.0], [0.0, 1.0, 0.0]];
    for name in ["SOLID", "TRACE"] {
        let source = ascii(&plan(&format!("0 {name}\n{corners}")));
        assert_eq!(
            one(&source).shape,
            Shape::Face {
                corners: square.to_vec(),
                world: false
            }
        );
    }
    let triangle = ascii(&plan("0 3DFACE\n10 0\n20 0\n11 4\n21 0\n12 4\n22 1\n13 4\n23 1"));
    assert_eq!(
        one(&triangle).shape,
        Shape::Face {
            corners: square[..3].to_vec(),
            world: true
        }
    );
}

#[test]
fn what_is_not_interpreted_is_still_there() {
    let source = ascii(&plan(
        "0 HATCH\n5 2A\n8 A-PATT\n100 AcDbHatch\n10 1\n8 OTHER\n0 ACAD_PROXY_ENTITY\n5 2B",
    ));
    let (entities, _) = view(&source);
    assert_eq!(
        entities.iter().map(|e| (&*e.name, &*e.layer)).collect::<Vec<_>>(),
        [("HATCH", "A-PATT"), ("ACAD_PROXY_ENTITY", "0")]
    );
    assert!(entities.iter().all(|e| e.shape == Shape::Other));
}

#[test]
fn numbers_that_are_not_finite_lose_the_entity_aloud() {
    for bad in ["1.#QNAN", "nan", "1.#INF", "inf", "1e999", "-1.#IND", "", "five"] {
        let source = ascii(&plan(&format!("0 LINE\n5 1F\n10 {bad}\n20 0\n11 1\n21 1")));
        let (entities, notes) = view(&source);
        assert_eq!(entities[0].shape, Shape::Other, "{bad}");
        let loss = notes.iter().find(|n| n.level == Level::Loss).expect("a loss");
        assert_eq!(loss.code, "bad-number", "{bad}");
        assert_eq!(
            (loss.place.line, loss.place.handle.as_deref()),
            (Some(5), Some("1F"))
        );
    }
}

#[test]
fn a_bad_height_does_not_lose_a_member() {
    let source = ascii(&plan("0 LINE\n10 0\n20 0\n30 1.#QNAN\n11 1\n21 1\n31 2"));
    let (entities, notes) = view(&source);
    assert_eq!(
        entities[0].shape,
        Shape::Line {
            from: [0.0; 3],
            to: [1.0, 1.0, 2.0]
        }
    );
    assert_eq!(codes(&notes), ["bad-height"]);
}

#[test]
fn decimal_commas_and_fortran_exponents_are_read_and_noted() {
    let source = ascii(&plan("0 POINT\n10 1,5\n20 2.5D+01"));
    let (entities, notes) = view(&source);
    assert_eq!(entities[0].shape, Shape::Point { at: [1.5, 25.0, 0.0] });
    assert_eq!(codes(&notes), ["odd-number"]);
}

#[test]
fn whole_numbers_out_of_range_are_clamped_and_noted() {
    let source = ascii(&plan("0 INSERT\n2 A\n10 0\n20 0\n70 99999999999\n71 2.0"));
    let (entities, notes) = view(&source);
    let Shape::Insert(insert) = &entities[0].shape else {
        panic!("an insert")
    };
    assert_eq!((insert.columns, insert.rows), (32767, 2));
    assert_eq!(codes(&notes), ["big-integer"]);
}

#[test]
fn a_shape_without_its_groups_is_a_loss() {
    for entity in [
        "LINE\n10 0\n20 0\n11 1",
        "CIRCLE\n10 0\n20 0",
        "LWPOLYLINE\n90 0",
        "LWPOLYLINE\n10 1\n10 2\n20 2",
    ] {
        let source = ascii(&plan(&format!("0 {entity}")));
        let (entities, notes) = view(&source);
        assert_eq!(entities[0].shape, Shape::Other, "{entity}");
        assert!(codes(&notes).contains(&"incomplete"), "{entity}: {notes:?}");
    }
}

#[test]
fn promised_vertices_that_are_not_there_are_noted() {
    let source = ascii(&plan("0 LWPOLYLINE\n90 3\n10 1\n20 1\n10 2\n20 2"));
    let (entities, notes) = view(&source);
    assert!(matches!(&entities[0].shape, Shape::Polyline { vertices, .. } if vertices.len() == 2));
    assert_eq!(codes(&notes), ["vertex-count"]);
}

proptest::proptest! {
    /// The short way of reading numbers agrees with the standard library to the last bit.
    #[test]
    fn numbers_are_read_to_the_last_bit(whole in 0_u64..10_000_000_000, decimals in 0_usize..18, value: f64) {
        for text in [format!("{:.*}", decimals, whole as f64 / 1024.0), value.to_string(), format!("-{whole}")] {
            let read = number::real(text.as_bytes()).map(|r| r.value.to_bits());
            proptest::prop_assert_eq!(read, text.parse::<f64>().ok().map(f64::to_bits), "{}", text);
        }
    }
}

#[test]
fn boundaries_of_hatches() {
    let strip = |x: i32| {
        format!(
            "92 7\n72 0\n73 1\n93 4\n10 {x}\n20 0\n10 {}\n20 0\n10 {}\n20 96\n10 {x}\n20 96\n97 0",
            x + 2,
            x + 2
        )
    };
    let edges = "92 1\n93 3\n72 1\n10 0\n20 0\n11 5\n21 0\n72 1\n10 5\n20 0\n11 5\n21 7\n72 1\n10 5\n20 7\n11 0\n21 0\n97 0";
    let arc = "92 1\n93 1\n72 2\n10 0\n20 0\n40 5\n50 0\n51 360\n73 1\n97 0";
    let open = "92 1\n93 2\n72 1\n10 0\n20 0\n11 5\n21 0\n72 1\n10 9\n20 0\n11 5\n21 7\n97 0";
    let hatch = |count: usize, loops: &str| {
        let source = ascii(&plan(&format!(
            "0 HATCH\n5 2A\n8 S-JOIS\n100 AcDbHatch\n10 0\n20 0\n30 0\n2 ANSI31\n70 0\n71 0\n91 {count}\n{loops}\n75 0\n76 1\n52 0\n41 1\n77 0\n78 1\n53 45\n43 0\n44 0\n45 1\n46 1\n79 0\n98 1\n10 3\n20 3"
        )));
        let (entities, notes) = view(&source);
        assert!(notes.iter().all(|n| n.level == Level::Info), "{notes:?}");
        match &entities[0].shape {
            Shape::Hatch { loops, curved, .. } => Some((loops.clone(), *curved)),
            _ => None,
        }
    };
    let (loops, curved) = hatch(2, &format!("{}\n{}", strip(0), strip(16))).expect("straight");
    assert_eq!((loops.len(), curved), (2, 0));
    assert_eq!(loops[1], [[16.0, 0.0], [18.0, 0.0], [18.0, 96.0], [16.0, 96.0]]);
    let (loops, curved) = hatch(2, &format!("{edges}\n{arc}")).expect("straight");
    assert_eq!(
        (loops, curved),
        (vec![vec![[0.0, 0.0], [5.0, 0.0], [5.0, 7.0]]], 1)
    );
    for other in [arc, open] {
        assert_eq!(hatch(1, other), None);
    }
}

#[test]
fn solid_hatches_of_circles_are_discs() {
    let of = |loops: &[&str], solid: u8| {
        let (count, loops) = (loops.len(), loops.join("\n"));
        let source = ascii(&plan(&format!(
            "0 HATCH\n5 2A\n8 E-LITE\n100 AcDbHatch\n10 0\n20 0\n30 2\n2 SOLID\n70 {solid}\n71 0\n91 {count}\n{loops}\n75 0\n76 1\n98 1\n10 3\n20 3"
        )));
        let (entities, notes) = view(&source);
        assert!(notes.iter().all(|n| n.level == Level::Info), "{notes:?}");
        let disc = |shape: &Shape<'_>| match shape {
            Shape::Circle { center, radius } => {
                let tidy = |v: f64| (v * 1e6).round() / 1e6 + 0.0;
                [center[0], center[1], center[2], *radius].map(tidy)
            }
            other => panic!("{other:?}"),
        };
        match &entities[0].shape {
            one @ Shape::Circle { .. } => vec![disc(one)],
            Shape::Parts(parts) => parts.iter().map(disc).collect(),
            _ => Vec::new(),
        }
    };
    let arc = "92 1\n93 1\n72 2\n10 8\n20 9\n40 3\n50 0\n51 360\n73 1\n97 0";
    let halves = "92 1\n93 2\n72 2\n10 8\n20 9\n40 3\n50 90\n51 270\n73 1\n72 2\n10 8\n20 9\n40 3\n50 270\n51 90\n73 0\n97 0";
    let oval = "92 1\n93 1\n72 3\n10 8\n20 9\n11 0\n21 3\n40 1\n50 0\n51 360\n73 1\n97 0";
    let bulged = "92 7\n72 1\n73 1\n93 2\n10 5\n20 9\n42 1\n10 11\n20 9\n42 1\n97 0";
    // Clockwise, in thirds (the tangent of 30°), the first point again at the end.
    let thirds = "92 7\n72 1\n73 1\n93 4\n10 11\n20 9\n42 -0.577350269190\n10 6.5\n20 6.401923788647\n42 -0.577350269190\n\
        10 6.5\n20 11.598076211353\n42 -0.577350269190\n10 11\n20 9\n42 0\n97 0";
    for round in [arc, halves, oval, bulged, thirds] {
        assert_eq!(of(&[round], 1), [[8.0, 9.0, 2.0, 3.0]], "{round}");
        assert!(of(&[round], 0).is_empty(), "a pattern may be anything");
    }
    let far = arc.replace("10 8", "10 80");
    assert_eq!(of(&[&far, arc], 1), [[8.0, 9.0, 2.0, 3.0], [80.0, 9.0, 2.0, 3.0]]);
    // A ring is the disc that its outer edge makes.
    assert_eq!(
        of(&[&arc.replace("40 3", "40 2"), arc], 1),
        [[8.0, 9.0, 2.0, 3.0]]
    );
    let half = "92 1\n93 2\n72 2\n10 8\n20 9\n40 3\n50 0\n51 180\n73 1\n72 1\n10 5\n20 9\n11 11\n21 9\n97 0";
    let egg = oval.replace("40 1", "40 0.8");
    let square = "92 7\n72 0\n73 1\n93 4\n10 5\n20 6\n10 11\n20 6\n10 11\n20 12\n10 5\n20 12\n97 0";
    for (other, n) in [
        (&[half][..], 0),
        (&[&egg], 0),
        (&[square], 0),
        (&[arc, square], 0),
    ] {
        assert_eq!(of(other, 1).len(), n, "{other:?}");
    }
}

#[test]
fn leaders_are_lines_from_their_head() {
    let source = ascii(&plan(
        "0 LEADER\n5 2A\n8 A-ANNO\n100 AcDbLeader\n3 STANDARD\n71 1\n72 0\n76 2\n10 5\n20 6\n30 0\n10 50\n20 60\n30 0\n211 1\n221 0\n231 0\n0 LEADER\n5 2B\n100 AcDbLeader\n10 5\n20 6",
    ));
    let (entities, notes) = view(&source);
    assert!(notes.iter().all(|n| n.level == Level::Info), "{notes:?}");
    let Shape::Polyline { vertices, closed, .. } = &entities[0].shape else {
        panic!("{:?}", entities[0].shape)
    };
    let at: Vec<_> = vertices.iter().map(|v| (v.at[0], v.at[1])).collect();
    assert_eq!((at, *closed), (vec![(5.0, 6.0), (50.0, 60.0)], false));
    assert_eq!(entities[1].shape, Shape::Other);
}
