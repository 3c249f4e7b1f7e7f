//! Mangled drawings: whatever the bytes, reading ends without a panic.

use proptest::prelude::*;

use super::*;

const PLAN: &str = "
    0 SECTION\n2 HEADER\n9 $ACADVER\n1 AC1021\n9 $HANDSEED\n5 FF\n0 ENDSEC
    0 SECTION\n2 TABLES\n0 TABLE\n2 LAYER\n0 LAYER\n2 A\n70 1\n62 -7\n0 ENDTAB
    0 TABLE\n2 BLOCK_RECORD\n0 BLOCK_RECORD\n5 20\n2 *U1\n1001 AcDbBlockRepBTag\n1005 20\n0 ENDTAB\n0 ENDSEC
    0 SECTION\n2 BLOCKS\n0 BLOCK\n2 *U1\n10 0\n20 0\n0 CIRCLE\n10 0\n20 0\n40 3\n0 ENDBLK\n0 ENDSEC
    0 SECTION\n2 ENTITIES
    0 LINE\n5 1F\n10 1.5\n20 2.5\n11 3.5\n21 4.5
    0 LWPOLYLINE\n90 2\n43 1.5\n10 1\n20 2\n42 1\n10 3\n20 4
    0 POLYLINE\n66 1\n0 VERTEX\n10 1\n20 2\n0 SEQEND
    0 INSERT\n2 *U1\n10 0\n20 0\n0 ATTRIB\n1 \\U+00D8%%d^J\n2 T\n0 SEQEND
    0 MTEXT\n10 0\n20 0\n3 {\\fArial;A\\S1/2;\n1 \\P\\M+191E4}
    0 DIMENSION\n10 1\n20 1\n42 9\n1 <>
    0 SOLID\n10 0\n20 0\n11 1\n21 0\n12 0\n22 1
    0 ENDSEC\n0 EOF";

/// Reads and views everything, blocks included; checks that every range lies in the source.
fn exhaust(source: &[u8]) {
    let Ok((drawing, _)) = read(source) else { return };
    let inside = |r: &std::ops::Range<usize>| r.start <= r.end && r.end <= source.len();
    for e in drawing
        .entities
        .iter()
        .chain(drawing.blocks.iter().flat_map(|b| &b.entities))
    {
        assert!(inside(&e.range) && inside(&e.name));
        let (entity, note) = drawing.entity(e);
        let lost = note.is_some_and(|n| n.level == Level::Loss);
        assert!(!lost || entity.shape == Shape::Other);
        for tag in drawing.tags(e.range.clone()) {
            assert!(inside(&tag.range) && inside(&tag.value));
            drawing.text(tag.value.clone());
            drawing.real(&tag);
            drawing.integer(&tag);
        }
    }
    for (_, range) in drawing.structure.sections.iter().chain(&drawing.structure.tables) {
        assert!(inside(range));
    }
}

fn forms() -> [Vec<u8>; 3] {
    [ascii(PLAN), binary(PLAN, true), binary(PLAN, false)]
}

#[test]
fn cut_anywhere() {
    for source in forms() {
        for end in 0..source.len() {
            exhaust(&source[..end]);
        }
    }
}

#[test]
fn every_byte_replaced() {
    for source in forms() {
        for at in 0..source.len() {
            for byte in [0, b'\n', b' ', b'9', 0xFF] {
                let mut source = source.clone();
                source[at] = byte;
                exhaust(&source);
            }
        }
    }
}

proptest! {
    #[test]
    fn bytes_replaced_removed_and_repeated(
        form in 0_usize..3,
        edits in prop::collection::vec((any::<prop::sample::Index>(), 0_u8..4, any::<u8>(), 1_usize..40), 1..12),
    ) {
        let mut source = forms()[form].clone();
        for (at, kind, byte, len) in edits {
            let at = at.index(source.len().max(1)).min(source.len().saturating_sub(1));
            let end = (at + len).min(source.len());
            match kind {
                0 => source[at] = byte,
                1 => source.insert(at, byte),
                2 if end - at < source.len() => drop(source.drain(at..end)),
                _ => {
                    let part = source[at..end].to_vec();
                    source.splice(at..at, part);
                }
            }
        }
        exhaust(&source);
    }

    #[test]
    fn lines_shuffled(order in prop::collection::vec(any::<prop::sample::Index>(), 1..200)) {
        let source = String::from_utf8(ascii(PLAN)).unwrap();
        let lines: Vec<&str> = source.lines().collect();
        let source: String = order.iter().map(|i| format!("{}\n", i.get(&lines))).collect();
        exhaust(format!("  0\nSECTION\n  2\nENTITIES\n{source}").as_bytes());
    }

    #[test]
    fn any_text(value in "\\PC{0,40}") {
        escape::text(value.as_str().into());
        mtext::plain(value.as_str().into());
    }

    #[test]
    fn text_full_of_escapes(value in r"[\\^%{};SUMAPfd+0-9é#/ ]{0,30}") {
        escape::text(value.as_str().into());
        mtext::plain(value.as_str().into());
    }
}
