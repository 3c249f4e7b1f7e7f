//! Drawings that are broken or meant to break the reader: each ends in a note, in bounded time.

use std::fmt::Write as _;

use bayline::note::Level;
use proptest::prelude::*;

use crate::{circles, drawing_of, flat_of, losses, near, segments, symbols};

#[test]
fn a_missing_block_keeps_its_place_and_is_told() {
    let source = drawing_of(
        "",
        "0 INSERT|5 A1|8 LIGHTS|2 GONE|10 3|20 4|0 INSERT|8 LIGHTS|2 GONE|10 5|20 4",
    );
    let (flat, notes) = flat_of(&source, 1.0);
    assert_eq!(losses(&notes), ["no-block"]);
    assert_eq!(
        (notes[0].times, notes[0].place.handle.as_deref()),
        (2, Some("A1"))
    );
    assert_eq!(symbols(&flat).len(), 2);
    near(symbols(&flat)[0].at, 3.0, 4.0);
}

#[test]
fn a_block_in_itself_ends() {
    let block = |name: &str, inner: &str| {
        format!(
            "0 BLOCK|8 0|2 {name}|70 0|0 LINE|8 0|10 0|20 0|11 1|21 0|0 INSERT|8 0|2 {inner}|10 1|20 1|0 ENDBLK|"
        )
    };
    let source = drawing_of(
        &(block("A", "b") + &block("B", "A")),
        "0 INSERT|8 0|2 A|10 0|20 0",
    );
    let (flat, notes) = flat_of(&source, 1.0);
    assert_eq!(losses(&notes), ["block-in-itself"]);
    assert_eq!(notes[0].place.path, ["A", "B"]);
    assert_eq!(segments(&flat).len(), 2);
    assert_eq!(symbols(&flat).len(), 3);
}

#[test]
fn coordinates_beyond_any_building_are_told() {
    let source = drawing_of(
        "0 BLOCK|8 0|2 B|70 0|0 LINE|8 0|10 0|20 0|11 1e9|21 0|0 ENDBLK",
        "0 LINE|8 0|10 1e308|20 0|11 1|21 1|0 CIRCLE|8 0|10 0|20 0|40 1e300\
         |0 INSERT|8 0|2 B|10 0|20 0|41 1e9|0 INSERT|8 0|2 B|10 1e300|20 1e300|0 INSERT|8 0|2 B|10 1|20 1\
         |0 ARC|8 0|10 0|20 0|40 1|50 1e308|51 3|0 LINE|8 0|10 0|20 0|30 1e308|11 1|21 1|31 -1e308",
    );
    let (flat, notes) = flat_of(&source, 1.0);
    assert!(
        notes
            .iter()
            .all(|n| n.code == "coordinate" && n.level == Level::Loss),
        "{notes:?}"
    );
    assert_eq!(
        flat.dropped, 4,
        "two lines, a circle, an INSERT; not what only has a wild height"
    );
    assert_eq!(segments(&flat).len(), 2);
}

#[test]
fn paper_space_marks_inside_a_block_say_nothing() {
    // Group 67 tells the space of a layout's own entities; in a block some files keep a stale one.
    let source = drawing_of(
        "0 BLOCK|8 0|2 B|70 0|0 LINE|8 0|67 1|10 0|20 0|11 1|21 0|0 INSERT|8 0|67 1|2 C|10 2|20 0|0 ENDBLK\
         |0 BLOCK|8 0|2 C|70 0|0 CIRCLE|8 0|67 1|410 Layout1|10 0|20 0|40 2|0 ENDBLK",
        "0 INSERT|8 0|2 B|10 1|20 0|0 LINE|8 0|67 1|10 0|20 0|11 1|21 1",
    );
    let (flat, notes) = flat_of(&source, 1.0);
    assert!(notes.is_empty(), "{notes:?}");
    assert_eq!(segments(&flat).len(), 1, "the block's line; not the sheet's");
    let [(center, _)] = circles(&flat)[..] else {
        panic!("the inner block's circle")
    };
    near(center, 3.0, 0.0);
    assert_eq!(flat.paper, 1);
}

#[test]
fn zero_scale_is_taken_as_one_and_told() {
    let source = drawing_of(
        "0 BLOCK|8 0|2 B|70 0|0 CIRCLE|8 0|10 1|20 0|40 2|0 ENDBLK",
        "0 INSERT|8 0|2 B|10 0|20 0|41 0|42 0|43 0|0 INSERT|8 0|2 B|10 0|20 0|43 0",
    );
    let (flat, notes) = flat_of(&source, 1.0);
    assert_eq!(circles(&flat).len(), 2);
    let told: Vec<_> = notes.iter().map(|n| (n.level, n.code, n.times)).collect();
    assert_eq!(
        told,
        [(Level::Warning, "zero-scale", 1)],
        "a height of 0 changes nothing in plan"
    );
}

#[test]
fn a_vast_array_is_cut_and_the_rest_kept() {
    let source = drawing_of(
        "0 BLOCK|8 0|2 B|70 0|0 CIRCLE|8 0|10 0|20 0|40 2|0 ENDBLK",
        "0 INSERT|8 0|2 B|10 0|20 0|70 32000|71 32000|44 1|45 1|0 INSERT|8 0|2 B|10 7|20 0|0 LINE|8 0|10 0|20 0|11 1|21 1",
    );
    let (flat, notes) = flat_of(&source, 1.0);
    assert_eq!(losses(&notes), ["too-many"]);
    assert_eq!(circles(&flat).len(), 2, "the first cell and the other INSERT");
    assert_eq!(segments(&flat).len(), 1);
    assert_eq!(flat.dropped, 2 * (32_000 * 32_000 - 1));
}

#[test]
fn a_bomb_of_nested_blocks_is_bounded() {
    // Ten blocks, each drawing the one before ten times: 10^10 circles.
    let mut blocks = "0 BLOCK|8 0|2 B0|70 0|0 CIRCLE|8 0|10 0|20 0|40 2|0 ENDBLK|".to_owned();
    for level in 1..=10 {
        write!(blocks, "0 BLOCK|8 0|2 B{level}|70 0|").expect("strings grow");
        for k in 0..10 {
            write!(blocks, "0 INSERT|8 0|2 B{}|10 {k}|20 0|", level - 1).expect("strings grow");
        }
        blocks += "0 ENDBLK|";
    }
    let source = drawing_of(
        &blocks,
        "0 INSERT|8 0|2 B10|10 0|20 0|0 INSERT|8 LIGHTS|2 B2|10 0|20 0",
    );
    let (flat, notes) = flat_of(&source, 1.0);
    assert_eq!(losses(&notes), ["too-many"], "once, and not for each block in it");
    assert!(
        notes[0]
            .message
            .contains("block \"B10\" would draw 21111111110 things"),
        "{notes:?}"
    );
    assert!(flat.items.len() < 2_500, "{}", flat.items.len());
    let after = flat
        .items
        .iter()
        .filter(|i| &*i.layer == "LIGHTS" && &*i.entity == "CIRCLE")
        .count();
    assert_eq!(after, 100, "the plan's other INSERTs keep their room");
    assert!(flat.entities > 10_000_000_000);
}

#[test]
fn many_bombs_are_bounded_together_and_a_drawing_without_is_read() {
    // A thousand bombs share what one may draw; 1,500 INSERTs of a block that is no bomb are all read.
    let mut blocks = "0 BLOCK|8 0|2 B0|70 0|0 POINT|8 0|10 0|20 0|0 POINT|8 0|10 1|20 0|0 ENDBLK|".to_owned();
    for level in 1..=7 {
        write!(blocks, "0 BLOCK|8 0|2 B{level}|70 0|").expect("strings grow");
        for k in 0..10 {
            write!(blocks, "0 INSERT|8 0|2 B{}|10 {k}|20 0|", level - 1).expect("strings grow");
        }
        blocks += "0 ENDBLK|";
    }
    let inserts = |block: &str, many: usize| {
        let all = (0..many).map(|k| format!("0 INSERT|8 0|2 {block}|10 {k}|20 0"));
        all.collect::<Vec<_>>().join("|")
    };
    let (flat, notes) = flat_of(&drawing_of(&blocks, &inserts("B7", 1_000)), 1.0);
    assert!(flat.items.len() <= 5_000, "{}", flat.items.len());
    assert!(losses(&notes).len() <= 3, "{notes:?}");
    let (flat, notes) = flat_of(&drawing_of(&blocks, &inserts("B1", 1_500)), 1.0);
    assert_eq!((flat.items.len(), flat.dropped), (1_500 * 31, 0));
    assert!(notes.is_empty(), "{notes:?}");
}

#[test]
fn a_chain_of_a_thousand_blocks_ends() {
    let mut blocks = "0 BLOCK|8 0|2 B0|70 0|0 CIRCLE|8 0|10 0|20 0|40 2|0 ENDBLK|".to_owned();
    for level in 1..=1000 {
        write!(
            blocks,
            "0 BLOCK|8 0|2 B{level}|70 0|0 INSERT|8 0|2 B{}|10 1|20 0|0 ENDBLK|",
            level - 1
        )
        .expect("strings grow");
    }
    let source = drawing_of(
        &blocks,
        "0 INSERT|8 0|2 B1000|10 0|20 0|0 INSERT|8 0|2 B50|10 0|20 0",
    );
    let (flat, notes) = flat_of(&source, 1.0);
    assert_eq!(losses(&notes), ["too-deep"]);
    let [(center, _)] = circles(&flat)[..] else {
        panic!("one circle")
    };
    near(center, 50.0, 0.0);
}

/// Numbers as careless or hostile files have them.
fn number() -> impl Strategy<Value = String> {
    prop_oneof![
        (-100.0..100.0f64).prop_map(|n| n.to_string()),
        prop::sample::select(vec![
            "0",
            "-1",
            "1e308",
            "-1e308",
            "1e-308",
            "nan",
            "1.#INF",
            "",
            "1,5",
            "2000000.25"
        ])
        .prop_map(str::to_owned),
    ]
}

/// One entity of a kind with wild values in every group a shape may read.
fn entity() -> impl Strategy<Value = String> {
    let kinds = [
        "LINE",
        "CIRCLE",
        "ARC",
        "ELLIPSE",
        "INSERT",
        "LWPOLYLINE",
        "TEXT",
        "MTEXT",
        "SOLID",
        "3DFACE",
        "POINT",
        "DIMENSION",
        "HATCH",
    ];
    let codes = [
        10, 20, 30, 11, 21, 31, 12, 22, 13, 23, 14, 24, 40, 41, 42, 43, 44, 45, 50, 51, 70, 71, 72, 73, 210,
        220, 230,
    ];
    let groups = prop::collection::vec((prop::sample::select(codes.to_vec()), number()), 0..24);
    (prop::sample::select(kinds.to_vec()), 0..4u8, groups).prop_map(|(kind, block, groups)| {
        let mut text = format!("|0 {kind}|8 0|2 B{block}");
        for (code, value) in groups {
            write!(text, "|{code} {value}").expect("strings grow");
        }
        text
    })
}

proptest! {
    /// Whatever is in the file, every entity ends as an item within reach or as dropped, and a
    /// dropped one has a note.
    #[test]
    fn wild_drawings_flatten(blocks in prop::collection::vec(prop::collection::vec(entity(), 0..4), 3),
                             space in prop::collection::vec(entity(), 1..6)) {
        let blocks: String = blocks.iter().enumerate()
            .map(|(i, e)| format!("|0 BLOCK|8 0|2 B{i}|70 0|10 1|20 2{}|0 ENDBLK", e.concat())).collect();
        let (flat, notes) = flat_of(&drawing_of(&blocks, &space.concat()), 1.0 / 25.4);
        prop_assert_eq!(flat.dropped > 0, !losses(&notes).iter().all(|l| *l == "no-block" || *l == "block-in-itself"));
        for (i, item) in flat.items.iter().enumerate() {
            prop_assert!(item.within.is_none_or(|w| w < i));
            // Debug shows numbers that are none as such.
            let shown = format!("{:?}", item.prim);
            prop_assert!(!shown.contains("NaN") && !shown.contains("inf"), "{}", shown);
        }
    }
}
