//! Clips of INSERTs, with coordinates worked out by hand.

use crate::flatten::{Flat, Prim, flatten};
use crate::note::Note;
use crate::plan::Units;

const IDENTITY: &str = "40|1|40|0|40|0|40|0|40|0|40|1|40|0|40|0|40|0|40|0|40|1|40|0|";

/// A block P of a line from 0,0 to 100,0, a square 10 to 30, circles at 20,50 and 80,50 (both in block S of 6 in) and a word,
/// inserted at 1000,0 and turned by 90°, with a filter of these corners and maps.
fn clipped(corners: &str, maps: &str) -> (Flat, Vec<Note>) {
    let source = format!(
        "0|SECTION|2|BLOCKS|0|BLOCK|2|S|10|0|20|0|0|CIRCLE|8|0|10|0|20|0|40|3|0|LINE|8|0|10|-3|20|0|11|3|21|0|0|ENDBLK|\
         0|BLOCK|2|P|10|0|20|0|0|LINE|8|0|10|0|20|0|11|100|21|0|\
         0|LWPOLYLINE|8|0|90|4|70|1|10|10|20|10|10|30|20|10|10|30|20|30|10|10|20|30|\
         0|INSERT|2|S|8|0|10|20|20|50|0|INSERT|2|S|8|0|10|80|20|50|0|TEXT|8|0|10|90|20|5|40|2|1|HALL|0|ENDBLK|0|ENDSEC|\
         0|SECTION|2|ENTITIES|0|INSERT|5|A1|102|{{ACAD_XDICTIONARY|360|D1|102|}}|2|P|8|0|10|1000|20|0|50|90|0|ENDSEC|\
         0|SECTION|2|OBJECTS|0|DICTIONARY|5|D1|330|A1|3|ACAD_FILTER|360|D2|0|DICTIONARY|5|D2|330|D1|3|SPATIAL|360|F1|\
         0|SPATIAL_FILTER|5|F1|102|{{ACAD_REACTORS|330|D2|102|}}|330|D2|{corners}{maps}0|ENDSEC|0|EOF|"
    )
    .replace('|', "\n");
    let (drawing, _) = crate::drawing::read(source.as_bytes()).expect("a drawing");
    let units = Units {
        name: "in".into(),
        inches_per_unit: 1.0,
        why: String::new(),
    };
    let (flat, notes) = flatten(&drawing, &units);
    assert_eq!(flat.entities, flat.items.len() + flat.dropped);
    (flat, notes)
}

fn lines(flat: &Flat) -> Vec<[i64; 4]> {
    let round = |v: f64| (v * 1000.0).round() as i64;
    (flat.items.iter())
        .filter_map(|item| match &item.prim {
            Prim::Segment { from, to } => Some([from.x, from.y, to.x, to.y].map(round)),
            _ => None,
        })
        .collect()
}

#[test]
fn what_lies_beyond_a_clip_is_not_read() {
    // Two corners: a rectangle from -5,-5 to 22,60 in the block's coordinates. The light at 20,50 reaches to 23: it stays whole.
    let (flat, notes) = clipped(
        "70|2|10|-5|20|-5|10|22|20|60|71|1|72|0|73|0|",
        &format!("{IDENTITY}{IDENTITY}"),
    );
    // Turned by 90° about 0,0 and shifted: x, y becomes 1000 - y, x. The line ends at 22.
    let expected = [
        [1_000_000, 0, 1_000_000, 22_000],
        [950_000, 17_000, 950_000, 23_000],
    ];
    assert_eq!(lines(&flat), expected);
    // Of the square: 22,10 back to 10,10 … 10,30 and on to 22,30, one open path with four corners.
    let paths: Vec<Vec<(f64, f64)>> = (flat.items.iter())
        .filter_map(|item| match &item.prim {
            Prim::Path {
                vertices,
                closed: false,
            } => Some(vertices.iter().map(|v| (v.at.x, v.at.y)).collect()),
            _ => None,
        })
        .collect();
    let [path] = &paths[..] else { panic!("{paths:?}") };
    let expected = [(970.0, 22.0), (970.0, 10.0), (990.0, 10.0), (990.0, 22.0)];
    let same = path
        .iter()
        .zip(expected)
        .all(|(p, q)| (p.0 - q.0).hypot(p.1 - q.1) < 1e-9);
    assert!(path.len() == 4 && same, "{path:?}");
    // Gone are the second symbol with its two parts, and the word.
    assert_eq!(flat.dropped, 4);
    let within: Vec<Option<usize>> = flat.items.iter().map(|item| item.within).collect();
    assert_eq!(within, [None, Some(0), Some(0), Some(0), Some(3), Some(3)]);
    assert_eq!(notes.len(), 1);
    assert_eq!(notes[0].code, "clipped");
    assert!(
        notes[0]
            .message
            .contains("of the 9 things it draws 4 lie beyond its clip and are not read, 2 are cut"),
        "{}",
        notes[0].message
    );
}

#[test]
fn a_clip_has_coordinates_of_its_own() {
    // Made in the world while the block was inserted at 1000,0 and turned by 90°: the first map leads back to the block.
    let back = "40|0|40|1|40|0|40|0|40|-1|40|0|40|0|40|1000|40|0|40|0|40|1|40|0|";
    let (flat, _) = clipped(
        "70|2|10|900|20|-5|10|1005|20|22|71|1|72|0|73|0|",
        &format!("{back}{IDENTITY}"),
    );
    assert_eq!(lines(&flat)[0], [1_000_000, 0, 1_000_000, 22_000]);
    // The second map leads to the clip's own coordinates, here shifted by 500, so that the ring lies 500 further left.
    let shift = "40|1|40|0|40|0|40|500|40|0|40|1|40|0|40|0|40|0|40|0|40|1|40|0|";
    let (flat, _) = clipped(
        "70|2|10|495|20|-5|10|522|20|60|71|1|72|0|73|0|",
        &format!("{IDENTITY}{shift}"),
    );
    assert_eq!(lines(&flat)[0], [1_000_000, 0, 1_000_000, 22_000]);
}

#[test]
fn a_ring_of_more_corners_holds_by_even_and_odd() {
    // An L that leaves out the first light and what is beyond x 60.
    let corners = "70|6|10|-5|20|-5|10|60|20|-5|10|60|20|90|10|40|20|90|10|40|20|40|10|-5|20|40|71|1|";
    let (flat, _) = clipped(corners, &format!("{IDENTITY}{IDENTITY}"));
    assert_eq!(lines(&flat), [[1_000_000, 0, 1_000_000, 60_000]]);
}

#[test]
fn a_line_in_two_pieces_is_two_and_an_array_has_one_note() {
    // A ring with a notch from 40 to 60 that the line along x crosses: 0 to 40 and 60 to 90 are left of it.
    let corners = "70|8|10|-5|20|-5|10|40|20|-5|10|40|20|5|10|60|20|5|10|60|20|-5|10|90|20|-5|10|90|20|90|10|-5|20|90|71|1|";
    let (flat, notes) = clipped(corners, &format!("{IDENTITY}{IDENTITY}"));
    let mut found = lines(&flat);
    found.retain(|line| line[0] == 1_000_000 && line[2] == 1_000_000);
    assert_eq!(
        found,
        [
            [1_000_000, 0, 1_000_000, 40_000],
            [1_000_000, 60_000, 1_000_000, 90_000]
        ]
    );
    assert_eq!(notes.len(), 1);
    let last = flat.items.last().expect("items");
    assert_eq!(last.within, Some(0));
}

#[test]
fn a_clip_that_is_off_hides_nothing_and_one_not_understood_is_told() {
    let corners = "70|2|10|-5|20|-5|10|22|20|60|";
    let (flat, notes) = clipped(&format!("{corners}71|0|"), &format!("{IDENTITY}{IDENTITY}"));
    assert_eq!((flat.items.len(), notes.len()), (10, 0));
    // A front plane's distance stands before the maps.
    let (flat, _) = clipped(
        &format!("{corners}71|1|72|1|40|9|73|0|"),
        &format!("{IDENTITY}{IDENTITY}"),
    );
    assert_eq!(flat.items.len(), 6);
    for (corners, maps) in [
        (format!("{corners}71|1|"), IDENTITY.to_owned()),
        (format!("{corners}71|1|"), "40|0|".repeat(24)),
        ("70|1|10|5|20|5|71|1|".to_owned(), format!("{IDENTITY}{IDENTITY}")),
    ] {
        let source_notes = unread(&corners, &maps);
        assert_eq!(source_notes, ["clip-unread"], "{corners}");
    }
}

/// Codes of the notes of reading and flattening together.
fn unread(corners: &str, maps: &str) -> Vec<&'static str> {
    let source = format!(
        "0|SECTION|2|BLOCKS|0|BLOCK|2|P|10|0|20|0|0|LINE|8|0|10|0|20|0|11|9|21|0|0|ENDBLK|0|ENDSEC|0|SECTION|2|ENTITIES|\
         0|INSERT|5|A1|2|P|8|0|10|0|20|0|0|ENDSEC|0|SECTION|2|OBJECTS|0|DICTIONARY|5|D1|330|A1|\
         0|SPATIAL_FILTER|5|F1|330|D1|{corners}{maps}0|ENDSEC|0|EOF|"
    )
    .replace('|', "\n");
    let (drawing, mut notes) = crate::drawing::read(source.as_bytes()).expect("a drawing");
    let units = Units {
        name: "in".into(),
        inches_per_unit: 1.0,
        why: String::new(),
    };
    let (flat, more) = flatten(&drawing, &units);
    assert_eq!(flat.items.len(), 2);
    notes.extend(more);
    let told = notes.iter().filter(|n| n.code.starts_with("clip"));
    told.map(|n| n.code).collect()
}
