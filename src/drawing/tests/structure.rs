//! Header, layers, blocks, spaces, and the byte ranges a splice needs.

use super::*;

const WHOLE: &str = "
    999 made for a test
    0 SECTION\n2 HEADER\n9 $ACADVER\n1 AC1015\n9 $INSUNITS\n70 1\n9 $HANDSEED\n5 FFFF\n0 ENDSEC
    0 SECTION\n2 TABLES
    0 TABLE\n2 LAYER\n5 2\n70 2
    0 LAYER\n5 10\n2 S-JOIS\n70 0\n62 -3
    0 LAYER\n5 11\n2 A-WALL\n70 5\n62 7\n290 0
    0 ENDTAB
    0 TABLE\n2 DIMSTYLE\n5 3\n0 DIMSTYLE\n105 1A2\n2 STANDARD\n5 DOT\n0 ENDTAB
    0 TABLE\n2 BLOCK_RECORD\n5 4
    0 BLOCK_RECORD\n5 20\n2 *Model_Space
    0 BLOCK_RECORD\n5 21\n2 *Paper_Space
    0 BLOCK_RECORD\n5 22\n2 LT-R6
    0 BLOCK_RECORD\n5 23\n2 *U7\n1001 AcDbBlockRepBTag\n1070 1\n1005 22
    0 ENDTAB
    0 ENDSEC
    0 SECTION\n2 BLOCKS
    0 BLOCK\n5 30\n330 20\n8 0\n2 *Model_Space\n70 0\n10 0\n20 0\n30 0\n0 POINT\n10 7\n20 7\n0 ENDBLK\n5 31
    0 BLOCK\n5 32\n330 21\n8 0\n2 *Paper_Space\n70 0\n10 0\n20 0\n30 0\n0 POINT\n10 8\n20 8\n0 ENDBLK\n5 33
    0 BLOCK\n5 34\n8 0\n2 LT-R6\n70 2\n10 1\n20 2\n30 3\n0 CIRCLE\n10 0\n20 0\n40 3\n0 ENDBLK\n5 35
    0 BLOCK\n5 36\n8 0\n2 *U7\n70 1\n10 0\n20 0\n30 0\n0 ENDBLK\n5 37
    0 BLOCK\n5 38\n8 0\n2 SITE\n70 4\n1 site.dwg\n10 0\n20 0\n30 0\n0 ENDBLK\n5 39
    0 ENDSEC
    0 SECTION\n2 ENTITIES
    0 POINT\n5 40\n102 {ACAD_REACTORS\n330 21\n102 }\n330 20\n10 0\n20 0
    0 POINT\n5 41\n330 21\n10 1\n20 0
    0 POINT\n5 42\n67 1\n10 2\n20 0
    0 POINT\n5 43\n410 Sheet 1\n10 3\n20 0
    0 POINT\n5 44\n410 Model\n10 4\n20 0
    0 ENDSEC
    0 EOF";

#[test]
fn header_layers_and_blocks() {
    for source in [ascii(WHOLE), binary(WHOLE, true), binary(WHOLE, false)] {
        let (drawing, notes) = read(&source).unwrap();
        assert_eq!(codes(&notes), [""; 0]);
        assert_eq!(drawing.version, Version::R2000);
        assert_eq!(drawing.header_integer("$INSUNITS"), Some(1));
        let layers: Vec<_> = drawing
            .layers
            .iter()
            .map(|l| (&*l.name, l.color, l.off, l.frozen, l.plotted))
            .collect();
        assert_eq!(
            layers,
            [
                ("S-JOIS", 3, true, false, true),
                ("A-WALL", 7, false, true, false)
            ]
        );
        let block = |name: &str| drawing.blocks.iter().find(|b| b.name == name).unwrap();
        assert_eq!(block("LT-R6").base, [1.0, 2.0, 3.0]);
        assert_eq!(block("LT-R6").handle.as_deref(), Some("34"));
        assert_eq!(block("LT-R6").entities.len(), 1);
        assert_eq!(block("*U7").true_name.as_deref(), Some("LT-R6"));
        assert_eq!(block("SITE").xref.as_deref(), Some("site.dwg"));
        assert_eq!(block("LT-R6").xref, None);
        assert!(block("*Model_Space").layout && !block("SITE").layout);
    }
}

#[test]
fn spaces_are_told_by_block_owner_67_and_410() {
    for source in [ascii(WHOLE), binary(WHOLE, true)] {
        let (entities, _) = view(&source);
        let seen: Vec<_> = entities
            .iter()
            .map(|e| match e.shape {
                Shape::Point { at } => (at[0], e.paper),
                _ => panic!("a point"),
            })
            .collect();
        let model = [
            (7.0, false),
            (8.0, true),
            (0.0, false),
            (1.0, true),
            (2.0, true),
            (3.0, true),
            (4.0, false),
        ];
        assert_eq!(seen, model);
    }
}

#[test]
fn r12_layout_blocks_are_layouts() {
    let source = ascii(
        "0 SECTION\n2 BLOCKS
         0 BLOCK\n8 0\n2 $MODEL_SPACE\n10 0\n20 0\n0 ENDBLK
         0 BLOCK\n8 0\n2 $PAPER_SPACE\n10 0\n20 0\n0 POINT\n10 1\n20 1\n0 ENDBLK
         0 ENDSEC\n0 EOF",
    );
    let (drawing, _) = read(&source).unwrap();
    assert!(drawing.blocks.iter().all(|b| b.layout));
    let (entities, _) = view(&source);
    assert!(entities.len() == 1 && entities[0].paper);
}

#[test]
fn ranges_begin_and_end_on_tags() {
    for source in [ascii(WHOLE), binary(WHOLE, true), binary(WHOLE, false)] {
        let (drawing, _) = read(&source).unwrap();
        let s = &drawing.structure;
        let names: Vec<_> = s.sections.iter().map(|(n, _)| n.as_str()).collect();
        assert_eq!(names, ["HEADER", "TABLES", "BLOCKS", "ENTITIES"]);
        let tables: Vec<_> = s.tables.iter().map(|(n, _)| n.as_str()).collect();
        assert_eq!(tables, ["LAYER", "DIMSTYLE", "BLOCK_RECORD"]);
        for (range, first, last) in (s.sections.iter().map(|(_, r)| (r, "SECTION", "ENDSEC")))
            .chain(s.tables.iter().map(|(_, r)| (r, "TABLE", "ENDTAB")))
        {
            let tags = drawing.tags(range.clone());
            let ends = [tags.first().unwrap(), tags.last().unwrap()];
            assert!(ends.iter().all(|t| t.code == 0));
            assert_eq!(ends.map(|t| drawing.text(t.value.clone())), [first, last]);
            assert_eq!((ends[0].range.start, ends[1].range.end), (range.start, range.end));
        }
        // Sections follow each other without a gap; before them stands the comment.
        for pair in s.sections.windows(2) {
            assert_eq!(pair[0].1.end, pair[1].1.start);
        }
        assert_eq!(
            (s.greatest_handle, s.hand_seed, s.complete),
            (0x1A2, Some(0xFFFF), true)
        );
    }
}

#[test]
fn tags_cover_every_byte() {
    for (source, start) in [
        (ascii(WHOLE), 0),
        (binary(WHOLE, true), 22),
        (binary(WHOLE, false), 22),
    ] {
        let (drawing, _) = read(&source).unwrap();
        let tags = drawing.tags(start..source.len());
        assert_eq!(tags.len(), pairs(WHOLE).count());
        assert_eq!(
            (tags[0].range.start, tags.last().unwrap().range.end),
            (start, source.len())
        );
        assert!(tags.windows(2).all(|t| t[0].range.end == t[1].range.start));
    }
}

#[test]
fn references_count_as_handles_and_the_seed_does_not() {
    let source = ascii(&plan("0 POINT\n5 1F\n10 0\n20 0\n1005 2C"));
    let (drawing, _) = read(&source).unwrap();
    assert_eq!(
        (drawing.structure.greatest_handle, drawing.structure.hand_seed),
        (0x2C, None)
    );
}

#[test]
fn lines_are_counted_from_1() {
    let source = ascii(&plan("0 POINT\n10 0\n20 0"));
    let (drawing, _) = read(&source).unwrap();
    assert_eq!(drawing.line_of(0), Some(1));
    assert_eq!(drawing.line_of(drawing.entities[0].range.start), Some(5));
    assert_eq!(drawing.line_of(usize::MAX), Some(15));
    let long = ascii(&plan(&"0 POINT\n10 0\n20 0\n".repeat(20_000)));
    let (drawing, _) = read(&long).unwrap();
    assert_eq!(
        drawing.line_of(drawing.entities[19_999].range.start),
        Some(5 + 6 * 19_999)
    );
    let binary = binary(&plan("0 POINT\n10 0\n20 0"), true);
    assert_eq!(read(&binary).unwrap().0.line_of(30), None);
}

#[test]
fn every_version_is_told() {
    use Version::*;
    for (text, version) in [
        ("AC1004", R9),
        ("AC1006", R10),
        ("AC1009", R12),
        ("AC1012", R13),
        ("AC1014", R14),
        ("AC1015", R2000),
        ("AC1018", R2004),
        ("AC1021", R2007),
        ("AC1024", R2010),
        ("AC1027", R2013),
        ("AC1032", R2018),
    ] {
        let source = ascii(&format!(
            "0 SECTION\n2 HEADER\n9 $ACADVER\n1 {text}\n0 ENDSEC\n0 EOF"
        ));
        let (drawing, notes) = read(&source).unwrap();
        assert_eq!(drawing.version, version);
        assert!(notes.is_empty());
    }
    let source = ascii(&plan(""));
    let (drawing, notes) = read(&source).unwrap();
    assert_eq!((drawing.version, notes[0].code), (R12, "version"));
}

#[test]
fn a_dictionary_of_an_insert_tells_the_true_name() {
    let source = "
        0 SECTION\n2 TABLES\n0 TABLE\n2 BLOCK_RECORD
        0 BLOCK_RECORD\n5 22\n2 LT-R6\n0 BLOCK_RECORD\n5 23\n2 *U7\n0 ENDTAB\n0 ENDSEC
        0 SECTION\n2 BLOCKS\n0 BLOCK\n2 LT-R6\n10 0\n20 0\n0 ENDBLK\n0 BLOCK\n2 *U7\n10 0\n20 0\n0 ENDBLK\n0 ENDSEC
        0 SECTION\n2 ENTITIES\n0 INSERT\n5 50\n2 *U7\n10 0\n20 0\n0 ENDSEC
        0 SECTION\n2 OBJECTS
        0 DICTIONARY\n5 60\n102 {ACAD_REACTORS\n330 99\n102 }\n330 50\n3 AcDbBlockRepresentation\n360 61
        0 DICTIONARY\n5 61\n330 60\n3 AcDbRepData\n360 62
        0 ACDB_BLOCKREPRESENTATION_DATA\n5 62\n330 61\n70 1\n340 22
        0 ENDSEC\n0 EOF";
    for source in [ascii(source), binary(source, true)] {
        let (drawing, _) = read(&source).unwrap();
        let names: Vec<_> = drawing.blocks.iter().map(|b| b.true_name.as_deref()).collect();
        assert_eq!(names, [None, Some("LT-R6")]);
        assert_eq!(drawing.structure.greatest_handle, 0x99);
    }
}
