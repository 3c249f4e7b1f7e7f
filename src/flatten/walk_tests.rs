//! The walk's work is bounded: counted, not timed.

use std::fmt::Write as _;

use super::blocks::{self, Blocks, Names};
use super::layers::Layers;
use super::matrix::Affine;
use super::walk::{Frame, Walk};
use super::{Flat, Prim};

/// Walks a drawing of these blocks and entities; what was weighed, and the flat drawing.
fn walked(blocks: &str, entities: &str) -> (u64, Flat) {
    let source =
        format!("0|SECTION|2|BLOCKS|{blocks}0|ENDSEC|0|SECTION|2|ENTITIES|{entities}0|ENDSEC|0|EOF|")
            .replace('|', "\n");
    let (drawing, _) = crate::drawing::read(source.as_bytes()).expect("a drawing");
    let mut layers = Layers::new(&drawing.layers);
    let mut names = Names::default();
    let (blocks, _) = Blocks::new(&drawing, &mut layers, &mut names);
    let mut walk = Walk::new(&drawing, &blocks, layers);
    for reference in &drawing.entities {
        let (ready, _) = blocks::ready(&drawing, reference, &mut walk.layers, &mut names);
        let frame = Frame {
            map: &Affine::IDENTITY,
            from: None,
            within: None,
        };
        walk.entity(&ready, frame);
    }
    (walk.weighed, walk.flat)
}

#[test]
fn what_is_left_out_is_weighed_once_a_block() {
    // 10,000 lines a block, drawn 1,100 times: 11 million, of which two million can be held.
    let mut block = "0|BLOCK|2|B|".to_owned();
    for _ in 0..10_000 {
        block += "0|LINE|8|0|10|0|20|0|11|1|21|0|";
    }
    block += "0|ENDBLK|";
    let mut inserts = String::new();
    for k in 0..1_100 {
        write!(inserts, "0|INSERT|8|0|2|B|10|{k}|20|0|").expect("strings grow");
    }
    let (weighed, flat) = walked(&block, &inserts);
    assert_eq!(flat.entities, 1_100 * 10_001);
    assert_eq!(flat.items.len() + flat.dropped, flat.entities);
    assert!(weighed <= 20_000, "{weighed} entities weighed");
}

#[test]
fn attributes_of_an_array_count_as_drawn() {
    // A thousand attributes on 100 by 100 cells would be ten million.
    let mut insert = "0|INSERT|8|0|2|B|66|1|10|0|20|0|70|100|71|100|44|1|45|1|".to_owned();
    for k in 0..1_000 {
        write!(insert, "0|ATTRIB|8|0|10|0|20|0|40|1|1|R6|2|T{k}|").expect("strings grow");
    }
    insert += "0|SEQEND|8|0|";
    let (_, flat) = walked("0|BLOCK|2|B|0|ENDBLK|", &insert);
    let held: usize = (flat.items.iter())
        .map(|i| match &i.prim {
            Prim::Symbol(s) => s.attribs.len(),
            _ => 0,
        })
        .sum();
    assert_eq!(held, 1_000, "the first cell alone");
    assert_eq!(flat.entities, 10_000);
    assert_eq!(flat.items.len() + flat.dropped, flat.entities);
}

#[test]
fn a_drawing_that_is_not_in_the_file_draws_no_symbol() {
    // Flag 4 and a path: an external reference. The second one was bound and has what it draws.
    let blocks = "0|BLOCK|2|E-RCP|70|4|1|e-rcp.dwg|0|ENDBLK|\
                  0|BLOCK|2|SITE|70|4|1|site.dwg|0|LINE|8|0|10|0|20|0|11|1|21|0|0|ENDBLK|";
    let inserts = "0|INSERT|8|E-LITE|2|E-RCP|10|0|20|0|0|INSERT|8|E-LITE|2|SITE|10|0|20|0|";
    let (_, flat) = walked(blocks, inserts);
    assert_eq!((flat.entities, flat.dropped, flat.items.len()), (3, 0, 3));
    assert_eq!(flat.items[0].prim, Prim::Opaque);
    assert!(matches!(flat.items[1].prim, Prim::Symbol(_)));
}
