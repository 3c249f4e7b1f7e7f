//! Binary drawings.

use super::*;

/// A bit of everything a value can be.
const MIXED: &str = "
    0 SECTION\n2 ENTITIES
    0 LINE\n5 1F\n8 S-JOIS\n62 3\n10 1.5\n20 2.5\n30 0\n11 -3.5\n21 4.5\n31 0\n1001 BAY\n1000 note\n1004 00FF0A00\n1040 2.5\n1070 7\n1071 70000
    0 HATCH\n8 A-PATT\n290 1\n310 0A0D00FF\n160 5000000000\n90 70000\n420 255\n370 -1
    0 INSERT\n8 E-LITE\n2 LT\n10 5\n20 6\n66 1\n0 ATTRIB\n8 0\n10 0\n20 0\n1 R6\n2 TYPE\n0 SEQEND\n8 0
    0 ENDSEC\n0 EOF";

#[test]
fn binary_of_either_kind_shows_what_ascii_shows() {
    let sources = [ascii(MIXED), binary(MIXED, true), binary(MIXED, false)];
    let formats = sources.each_ref().map(|s| read(s).unwrap().0.format);
    let expected = [
        Format::Ascii { newline: "\n" },
        Format::Binary { wide: true },
        Format::Binary { wide: false },
    ];
    assert_eq!(formats, expected);
    let [ascii, wide, narrow] = sources.each_ref().map(|s| {
        let (entities, notes) = view(s);
        assert_eq!(codes(&notes), [""; 0]);
        entities
            .into_iter()
            .map(|e| Entity { offset: 0, ..e })
            .collect::<Vec<_>>()
    });
    assert_eq!(ascii.len(), 3);
    assert_eq!(ascii, wide);
    assert_eq!(ascii, narrow);
}

#[test]
fn a_comment_may_come_first() {
    for wide in [true, false] {
        let source = binary(&format!("999 a comment\n{MIXED}"), wide);
        assert_eq!(read(&source).unwrap().0.format, Format::Binary { wide });
        assert_eq!(view(&source).0.len(), 3);
    }
}

#[test]
fn values_of_tags_are_read_by_their_kind() {
    let source = binary(MIXED, true);
    let (drawing, _) = read(&source).unwrap();
    let tags = drawing.tags(drawing.entities[1].range.clone());
    let whole = |code| drawing.integer(tags.iter().find(|t| t.code == code).unwrap());
    assert_eq!(
        [290, 160, 90, 420, 370].map(whole),
        [1, 5_000_000_000, 70_000, 255, -1].map(Some)
    );
    let chunk = tags.iter().find(|t| t.code == 310).unwrap();
    assert_eq!(&source[chunk.value.clone()], [0x0A, 0x0D, 0x00, 0xFF]);
}

#[test]
fn a_number_that_is_not_finite_is_a_loss() {
    let source = binary(&plan("0 LINE\n10 inf\n20 0\n11 0\n21 0"), true);
    let (entities, notes) = view(&source);
    assert_eq!(entities[0].shape, Shape::Other);
    assert_eq!(codes(&notes), ["bad-number"]);
}

#[test]
fn a_cut_binary_drawing_keeps_what_is_whole() {
    let source = binary(MIXED, true);
    let (whole, _) = read(&source).unwrap();
    let cut = &source[..whole.entities[1].range.end - 1];
    let (entities, notes) = view(cut);
    assert_eq!(entities.len(), 1);
    for code in ["cut-tag", "truncated", "cut-entity"] {
        assert!(codes(&notes).contains(&code), "{notes:?}");
    }
}
