//! Meshes: polyfaces, grids, MESH.

use super::*;

/// The faces of a mesh, as the corners' x and z.
fn faces(source: &str) -> Vec<Vec<(f64, f64)>> {
    let drawing = ascii(&plan(source));
    let Shape::Parts(parts) = one(&drawing).shape else {
        return Vec::new();
    };
    let corners = |part: &Shape| match part {
        Shape::Face { corners, world: true } => corners.iter().map(|c| (c[0], c[2])).collect(),
        other => panic!("{other:?}"),
    };
    parts.iter().map(corners).collect()
}

#[test]
fn meshes_are_their_faces() {
    let places = "0 VERTEX\n10 0\n20 0\n30 0\n70 P\n0 VERTEX\n10 9\n20 0\n30 0\n70 P\n\
                  0 VERTEX\n10 9\n20 0\n30 8\n70 P\n0 VERTEX\n10 0\n20 0\n30 8\n70 P\n";
    let (first, second) = (
        vec![(0.0, 0.0), (9.0, 0.0), (9.0, 8.0)],
        vec![(0.0, 0.0), (9.0, 8.0), (0.0, 8.0)],
    );
    // An edge that does not show is one all the same; a corner that is not there loses its face.
    let records = "0 VERTEX\n10 0\n20 0\n70 128\n71 1\n72 2\n73 -3\n0 VERTEX\n10 0\n20 0\n70 128\n71 -1\n72 3\n73 4\n74 0\n\
                   0 VERTEX\n10 0\n20 0\n70 128\n71 1\n72 2\n73 7\n0 VERTEX\n10 0\n20 0\n70 128\n71 1\n72 2\n73 -9223372036854775808\n";
    let polyface = format!(
        "0 POLYLINE\n70 64\n71 4\n72 3\n{}{records}0 SEQEND",
        places.replace('P', "192")
    );
    assert_eq!(faces(&polyface), [first.clone(), second.clone()]);
    let grid = |m: usize, n: usize| {
        let vertices = places.replace('P', "64");
        faces(&format!("0 POLYLINE\n70 16\n71 {m}\n72 {n}\n{vertices}0 SEQEND"))
    };
    assert_eq!(grid(2, 2), [vec![(0.0, 0.0), (9.0, 8.0), (0.0, 8.0), (9.0, 0.0)]]);
    assert!(grid(2, 3).is_empty());
    let mesh = |smooth: i64| {
        faces(&format!(
            "0 MESH\n8 A-WALL\n100 AcDbSubDMesh\n71 2\n72 0\n91 {smooth}\n92 4\n10 0\n20 0\n30 0\n10 9\n20 0\n30 0\n\
             10 9\n20 0\n30 8\n10 0\n20 0\n30 8\n93 8\n90 3\n90 0\n90 1\n90 2\n90 3\n90 0\n90 2\n90 3\n\
             94 1\n90 0\n90 1\n95 1\n140 0\n90 0"
        ))
    };
    assert_eq!(mesh(0), [first, second]);
    assert!(mesh(2).is_empty());
}
