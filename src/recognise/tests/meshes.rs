//! Walls drawn as faces in space, seen from above.

use super::{Sheet, has_note, xy};
use crate::flatten::Prim;
use crate::recognise::shape::area;

const WALL: &str = "A-WALL";

/// A box from corner to corner: its top and bottom in triangles, its sides seen from above as lines.
fn block(sheet: &mut Sheet, (l, b): (f64, f64), (r, t): (f64, f64)) {
    let corners = [xy(l, b), xy(r, b), xy(r, t), xy(l, t)];
    for _ in ["top", "bottom"] {
        for ring in [[0, 1, 2], [0, 2, 3]] {
            sheet.item(WALL, "POLYLINE", Prim::Face(ring.map(|i| corners[i]).to_vec()));
        }
    }
    for i in 0..4 {
        let (a, b) = (corners[i], corners[(i + 1) % 4]);
        sheet.item(WALL, "POLYLINE", Prim::Face(vec![a, b, b, a]));
    }
}

#[test]
fn boxes_of_faces_are_walls_with_their_doors_closed() {
    let mut sheet = Sheet::default();
    block(&mut sheet, (-5.0, -5.0), (205.0, 0.0));
    block(&mut sheet, (-5.0, 100.0), (205.0, 105.0));
    block(&mut sheet, (-5.0, 0.0), (0.0, 100.0));
    block(&mut sheet, (200.0, 0.0), (205.0, 100.0));
    // A wall between, its door 32 in wide.
    block(&mut sheet, (100.0, 0.0), (105.0, 30.0));
    block(&mut sheet, (100.0, 62.0), (105.0, 100.0));
    let (plan, notes) = sheet.read();
    let rooms: Vec<_> = plan.rooms.iter().map(|r| area(&r.outline).round()).collect();
    assert_eq!(rooms, [10_000.0, 9_500.0], "{notes:#?}");
    assert_eq!(plan.openings.len(), 1);
    assert!((plan.openings[0].width() - 32.0).abs() < 1e-9);
    assert!(!has_note(&notes, "walls-open") && !has_note(&notes, "not-read"));
}
