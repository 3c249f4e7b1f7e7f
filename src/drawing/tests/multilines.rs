//! MLINEs: lines along mitres, cuts, closed ones, ends by their style. Coordinates worked out by hand (derived) from what the
//! DXF reference says of the groups (from memory); `tests/outside` holds whole drawings against an independent reader.

use super::*;

/// Two elements half an inch to either side, and both ends closed by a line.
const STYLE: &str = "0 SECTION\n2 OBJECTS\n0 MLINESTYLE\n5 18\n102 {ACAD_REACTORS\n330 17\n102 }\n330 17\n100 AcDbMlineStyle\n\
    2 Joist\n70 272\n3 a style\n62 256\n51 90.0\n52 90.0\n71 2\n49 0.5\n62 256\n6 BYLAYER\n49 -0.5\n62 256\n6 BYLAYER\n0 ENDSEC\n";

/// Its head, with the number of vertices and the flags.
fn head(flags: u8, count: usize) -> String {
    format!(
        "0 MLINE\n5 8A\n100 AcDbEntity\n8 S-JOIS\n100 AcDbMline\n2 Joist\n340 18\n40 1.5\n70 1\n71 {flags}\n72 {count}\n73 2\n\
         10 0.0\n20 0.0\n30 0.0\n210 0.0\n220 0.0\n230 1.0\n"
    )
}

/// A vertex: place, direction, mitre, and the numbers of each element.
fn vertex(at: [f64; 2], along: [f64; 2], mitre: [f64; 2], elements: &[&[f64]]) -> String {
    let mut out = String::new();
    for (code, [x, y]) in [(11, at), (12, along), (13, mitre)] {
        out += &format!("{code} {x:?}\n{} {y:?}\n{} 0.0\n", code + 10, code + 20);
    }
    for element in elements {
        out += &format!("74 {}\n", element.len());
        element.iter().for_each(|v| out += &format!("41 {v:?}\n"));
        out += "75 0\n";
    }
    out
}

/// The ends of its lines, and the notes.
fn lines(mline: &str, style: &str) -> (Vec<[f64; 4]>, Vec<&'static str>) {
    let drawing = format!("0 SECTION\n2 ENTITIES\n{mline}0 ENDSEC\n{style}0 EOF\n");
    let source: &'static [u8] = ascii(&drawing).leak();
    let (entities, notes) = view(source);
    assert_eq!(entities.len(), 1);
    let parts = match &entities[0].shape {
        Shape::Parts(parts) => parts.clone(),
        Shape::Other => Vec::new(),
        other => panic!("{other:?}"),
    };
    let ends = |part: &Shape<'_>| match part {
        Shape::Line { from, to } => [from[0], from[1], to[0], to[1]],
        Shape::Polyline { vertices, .. } => [
            vertices[0].at[0],
            vertices[0].at[1],
            vertices[0].bulge,
            vertices[1].at[1],
        ],
        other => panic!("{other:?}"),
    };
    (parts.iter().map(ends).collect(), codes(&notes))
}

fn straight(elements: [&[f64]; 2]) -> String {
    let (along, up) = ([1.0, 0.0], [0.0, 1.0]);
    let last: [&[f64]; 2] = [&[0.75, 0.0], &[-0.75, 0.0]];
    head(13, 2) + &vertex([0.0, 0.0], along, up, &elements) + &vertex([100.0, 0.0], along, up, &last)
}

#[test]
fn each_element_is_a_line_along_the_mitres() {
    let (found, notes) = lines(&straight([&[0.75, 0.0], &[-0.75, 0.0]]), STYLE);
    assert_eq!(found, [[0.0, 0.75, 100.0, 0.75], [0.0, -0.75, 100.0, -0.75]]);
    assert!(notes.is_empty(), "{notes:?}");
    // A corner of 90°: the mitre runs along its half, longer by √2.
    let d = 2_f64.sqrt() * 0.75;
    let h = 0.5_f64.sqrt();
    let all: [&[f64]; 2] = [&[0.75, 0.0], &[-0.75, 0.0]];
    let corner: [&[f64]; 2] = [&[d, 0.0], &[-d, 0.0]];
    let bent = head(13, 3)
        + &vertex([0.0, 0.0], [1.0, 0.0], [0.0, 1.0], &all)
        + &vertex([50.0, 0.0], [0.0, 1.0], [-h, h], &corner)
        + &vertex([50.0, 40.0], [0.0, 1.0], [-1.0, 0.0], &all);
    let (found, notes) = lines(&bent, STYLE);
    let want = [
        [0.0, 0.75, 49.25, 0.75],
        [0.0, -0.75, 50.75, -0.75],
        [49.25, 0.75, 49.25, 40.0],
        [50.75, -0.75, 50.75, 40.0],
    ];
    assert_eq!(found.len(), 4);
    for (got, want) in found.iter().zip(want) {
        assert!(
            got.iter().zip(want).all(|(a, b)| (a - b).abs() < 1e-12),
            "{found:?}"
        );
    }
    assert!(notes.is_empty(), "{notes:?}");
}

#[test]
fn a_closed_one_goes_back_to_its_first_vertex_and_has_no_ends() {
    let h = 0.5_f64.sqrt();
    let e: [&[f64]; 2] = [&[0.0, 0.0], &[-2.0, 0.0]];
    let corners = [
        ([0.0, 0.0], [1.0, 0.0], [h, h]),
        ([30.0, 0.0], [0.0, 1.0], [-h, h]),
        ([30.0, 30.0], [-1.0, 0.0], [-h, -h]),
        ([0.0, 30.0], [0.0, -1.0], [h, -h]),
    ];
    let ring: String = corners.iter().map(|(p, d, m)| vertex(*p, *d, *m, &e)).collect();
    let (found, _) = lines(&(head(3, 4) + &ring), STYLE);
    assert_eq!(found.len(), 8);
    assert_eq!(found[6], [0.0, 30.0, 0.0, 0.0]);
}

#[test]
fn cuts_leave_stretches_and_each_element_has_its_own() {
    // Begins 2 in on, stops at 30, goes on from 62; the other is whole.
    let (found, notes) = lines(&straight([&[0.75, 2.0, 30.0, 62.0], &[-0.75, 0.0]]), STYLE);
    assert_eq!(
        found,
        [
            [2.0, 0.75, 30.0, 0.75],
            [62.0, 0.75, 100.0, 0.75],
            [0.0, -0.75, 100.0, -0.75]
        ]
    );
    assert!(notes.is_empty(), "{notes:?}");
    // Stops for good at 40.
    let (found, _) = lines(&straight([&[0.75, 0.0, 40.0], &[-0.75, 0.0]]), STYLE);
    assert_eq!(found[0], [0.0, 0.75, 40.0, 0.75]);
    assert_eq!(found.len(), 2);
    // Out of order: the line is whole, and it is told.
    let (found, notes) = lines(&straight([&[0.75, 0.0, 60.0, 30.0], &[-0.75, 0.0]]), STYLE);
    assert_eq!(found[0], [0.0, 0.75, 100.0, 0.75]);
    assert_eq!(notes, ["mline-cuts"]);
}

#[test]
fn its_style_closes_its_ends_unless_it_says_no() {
    let both = straight([&[0.75, 0.0], &[-0.75, 0.0]]).replace("71 13", "71 1");
    let (found, _) = lines(&both, STYLE);
    assert_eq!(found[2..], [[0.0, -0.75, 0.0, 0.75], [100.0, -0.75, 100.0, 0.75]]);
    let (found, _) = lines(&both.replace("71 1\n", "71 5\n"), STYLE);
    assert_eq!(found[2..], [[100.0, -0.75, 100.0, 0.75]]);
    // Half circles that turn their backs on the line: clockwise from below at the start, the other way at the end.
    let (found, _) = lines(&both, &STYLE.replace("70 272", "70 1088"));
    assert_eq!(found[2..], [[0.0, -0.75, -1.0, 0.75], [100.0, -0.75, 1.0, 0.75]]);
    // A style that is not there closes nothing; the lines are all the same.
    let (found, notes) = lines(&both, "");
    assert_eq!((found.len(), notes.len()), (2, 0));
}

#[test]
fn offsets_come_of_the_style_where_the_entity_has_none() {
    let bare = straight([&[], &[]])
        .replace("74 2\n41 0.75\n41 0.0\n", "")
        .replace("74 2\n41 -0.75\n41 0.0\n", "");
    for (justified, want) in [(1, [0.75, -0.75]), (0, [0.0, -1.5]), (2, [1.5, 0.0])] {
        let (found, notes) = lines(&bare.replace("70 1\n71", &format!("70 {justified}\n71")), STYLE);
        assert_eq!(found, want.map(|y| [0.0, y, 100.0, y]), "{justified}");
        assert_eq!(notes, ["mline-elements"]);
    }
    // By its name where the handle leads nowhere.
    let (found, _) = lines(&bare.replace("340 18", "340 99"), STYLE);
    assert_eq!(found.len(), 2);
    let (found, notes) = lines(&bare, "");
    assert_eq!((found.len(), &notes[..]), (0, &["mline-elements"][..]));
}

#[test]
fn what_is_no_multiline_is_kept_uninterpreted() {
    let one = head(1, 1) + &vertex([0.0, 0.0], [1.0, 0.0], [0.0, 1.0], &[&[0.0, 0.0]]);
    assert!(lines(&one, STYLE).0.is_empty());
    let nan = straight([&[0.75, 0.0], &[-0.75, 0.0]]).replace("11 100.0", "11 nan");
    assert_eq!(lines(&nan, STYLE).1, ["bad-number"]);
    let promised = straight([&[0.75, 0.0], &[-0.75, 0.0]]).replace("72 2", "72 3");
    assert_eq!(lines(&promised, STYLE).1, ["vertex-count"]);
}
