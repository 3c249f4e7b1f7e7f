//! Line ends, lines out of step, ends that are missing.

use super::*;

const TWO: &str = "0 LINE\n8 A\n10 1.5\n20 2.5\n11 3.5\n21 4.5\n0 CIRCLE\n8 B\n10 5.5\n20 6.5\n40 7.5";

/// The two entities of [`TWO`], without their offsets.
fn two(source: &[u8]) -> (Vec<Entity<'_>>, Vec<&'static str>) {
    let (entities, notes) = view(source);
    (
        entities.into_iter().map(|e| Entity { offset: 0, ..e }).collect(),
        codes(&notes),
    )
}

fn text() -> String {
    String::from_utf8(ascii(&plan(TWO))).unwrap()
}

#[test]
fn every_line_end_is_read_and_told() {
    let plain = text();
    let (expected, _) = two(plain.as_bytes());
    assert_eq!(expected.len(), 2);
    for newline in ["\n", "\r\n", "\r", "\r\r\n"] {
        let source = plain.replace('\n', newline);
        let (drawing, _) = read(source.as_bytes()).unwrap();
        assert_eq!(drawing.format, Format::Ascii { newline });
        assert_eq!(two(source.as_bytes()), (expected.clone(), vec![]), "{newline:?}");
    }
}

#[test]
fn codes_may_stand_anywhere_on_their_line_and_comments_anywhere() {
    let plain = text();
    let (expected, _) = two(plain.as_bytes());
    for (from, to) in [
        ("  0\n", "0\n"),
        (" 10\n", "\t 10 \n"),
        (" 20\n", "999\n  0\n 20\n"),
    ] {
        let source = plain
            .replace(from, to)
            .replace("ENTITIES\n", "ENTITIES\n999\nENDSEC\n");
        assert_eq!(two(source.as_bytes()), (expected.clone(), vec![]), "{to:?}");
    }
}

#[test]
fn zero_bytes_amid_a_drawing_of_text_are_told_and_behind_it_are_padding() {
    let plain = text();
    let at = plain.find("5.5").unwrap();
    for (zeros, level) in [(1, Level::Warning), (200, Level::Loss)] {
        let mut source = plain.clone().into_bytes();
        source.splice(at..at, std::iter::repeat_n(0, zeros));
        let (_, notes) = read(&source).unwrap();
        let told = notes.iter().find(|n| n.code == "zero-bytes").expect("a note");
        assert_eq!(told.level, level);
        assert!(
            told.message
                .starts_with(&format!("{zeros} bytes of the drawing are zero")),
            "{told:?}"
        );
        assert_eq!(told.place.offset, Some(at));
    }
    let mut source = plain.into_bytes();
    source.extend([0; 64]);
    assert!(codes(&read(&source).unwrap().1).is_empty());
}

#[test]
fn a_blank_line_is_skipped_and_noted() {
    let plain = text();
    let (expected, _) = two(plain.as_bytes());
    let source = plain.replace("LINE\n", "LINE\n\n");
    assert_eq!(two(source.as_bytes()), (expected, vec!["blank-line"]));
}

#[test]
fn a_doubled_line_is_skipped_and_noted() {
    let plain = text();
    let (expected, _) = two(plain.as_bytes());
    for (from, to) in [("  8\nA\n", "  8\nA\nA\n"), ("LINE\n", "LINE\nLINE\n")] {
        let source = plain.replace(from, to);
        assert_eq!(
            two(source.as_bytes()),
            (expected.clone(), vec!["doubled-line"]),
            "{to:?}"
        );
    }
}

#[test]
fn after_a_missing_line_reading_gets_back_into_step_aloud() {
    let source = text().replace(" 10\n1.5\n", " 10\n");
    let (entities, notes) = view(source.as_bytes());
    assert!(notes.iter().any(|n| n.level == Level::Loss), "{notes:?}");
    let circle = entities
        .iter()
        .find(|e| e.name == "CIRCLE")
        .expect("the circle after it");
    assert_eq!(
        circle.shape,
        Shape::Circle {
            center: [5.5, 6.5, 0.0],
            radius: 7.5
        }
    );
}

#[test]
fn a_doubled_number_that_reads_as_a_code_costs_nothing() {
    let source = text().replace("  8\nA\n", "  8\nA\n 62\n7\n7\n");
    let (entities, notes) = two(source.as_bytes());
    let plain = text().replace("  8\nA\n", "  8\nA\n 62\n7\n");
    assert_eq!((entities, notes), (two(plain.as_bytes()).0, vec!["out-of-step"]));
}

#[test]
fn foreign_lines_are_skipped_aloud() {
    let plain = text();
    let (expected, _) = two(plain.as_bytes());
    let source = plain.replace("  0\nCIRCLE\n", "<<<<<<< HEAD\n  0\nCIRCLE\n");
    assert_eq!(two(source.as_bytes()), (expected, vec!["out-of-step"]));
    let (_, notes) = view(source.as_bytes());
    let loss = notes.iter().find(|n| n.code == "out-of-step").unwrap();
    assert_eq!(loss.place.line, Some(17));
}

#[test]
fn a_truncated_drawing_says_where_and_keeps_what_is_whole() {
    let source = text();
    let circle = source.find("  0\nCIRCLE").unwrap();
    let (entities, notes) = view(&source.as_bytes()[..circle + 20]);
    assert_eq!(entities.len(), 1);
    let loss = notes.iter().find(|n| n.code == "truncated").expect("a note");
    assert_eq!((loss.level, loss.place.line), (Level::Loss, Some(21)));
    assert!(
        loss.message.contains("line 21") && loss.message.contains("missing"),
        "{}",
        loss.message
    );
    let (drawing, _) = read(&source.as_bytes()[..circle]).unwrap();
    assert!(!drawing.structure.complete);
}

#[test]
fn a_truncated_drawing_says_how_much_may_be_missing() {
    let source = ascii(
        "0 SECTION\n2 HEADER\n9 $HANDSEED\n5 2A\n0 ENDSEC\n0 SECTION\n2 ENTITIES
        0 LINE\n5 1F\n10 0\n20 0\n11 1\n21 1\n0 LINE\n5 20\n10 0",
    );
    let (_, notes) = read(&source).unwrap();
    let loss = notes.iter().find(|n| n.code == "truncated").expect("a note");
    // 20 is cut short; 21 to 29 are nine more.
    assert!(loss.message.contains("at most 9 objects"), "{}", loss.message);
}

#[test]
fn a_missing_eof_alone_loses_nothing() {
    let source = text().replace("  0\nEOF\n", "");
    let (entities, notes) = two(source.as_bytes());
    assert_eq!((entities.len(), notes), (2, vec!["no-eof"]));
    let (_, notes) = read(source.as_bytes()).unwrap();
    assert!(notes.iter().all(|n| n.level < Level::Loss));
}

#[test]
fn what_follows_eof_is_noted_and_white_space_is_not() {
    let plain = text();
    let (expected, _) = two(plain.as_bytes());
    let source = format!("{plain}\n \n\u{1A}");
    assert_eq!(two(source.as_bytes()), (expected.clone(), vec![]));
    let source = format!("{plain}trash\n");
    assert_eq!(two(source.as_bytes()), (expected, vec!["after-eof"]));
}

#[test]
fn a_section_or_block_that_does_not_end_is_closed_by_the_next() {
    let source = ascii(
        "0 SECTION\n2 BLOCKS\n0 BLOCK\n2 A\n10 0\n20 0\n0 POINT\n10 1\n20 1
         0 BLOCK\n2 B\n10 0\n20 0\n0 POINT\n10 1\n20 1\n0 ENDBLK
         0 SECTION\n2 ENTITIES\n0 POINT\n10 1\n20 1\n0 ENDSEC\n0 EOF",
    );
    let (drawing, notes) = read(&source).unwrap();
    assert_eq!(codes(&notes), ["unclosed-block", "unclosed-section"]);
    assert_eq!(
        drawing
            .blocks
            .iter()
            .map(|b| b.entities.len())
            .collect::<Vec<_>>(),
        [1, 1]
    );
    assert_eq!(drawing.entities.len(), 1);
}

#[test]
fn what_belongs_nowhere_is_a_loss() {
    for (source, code) in [
        (
            "0 LINE\n8 A\n0 LINE\n8 A\n0 SECTION\n2 ENTITIES\n0 ENDSEC\n0 EOF",
            "outside-section",
        ),
        (
            "0 SECTION\n2 BLOCKS\n0 LINE\n8 A\n0 ENDSEC\n0 EOF",
            "outside-block",
        ),
        (
            "0 SECTION\n2 ENTITIES\n0 VERTEX\n10 0\n20 0\n0 ENDSEC\n0 EOF",
            "stray-part",
        ),
    ] {
        let source = ascii(source);
        let (_, notes) = read(&source).unwrap();
        let note = notes.iter().find(|n| n.code == code).expect(code);
        assert_eq!(note.level, Level::Loss);
    }
}

#[test]
fn a_thousand_faults_do_not_make_a_thousand_notes() {
    let source = String::from_utf8(ascii(&plan(&format!("{TWO}\n").repeat(1000)))).unwrap();
    let source = source.replace("CIRCLE\n", "CIRCLE\n\n");
    let (_, notes) = read(source.as_bytes()).unwrap();
    let blank: Vec<_> = notes.iter().filter(|n| n.code == "blank-line").collect();
    assert_eq!(
        (blank.len(), blank.iter().map(|n| n.times).sum::<usize>()),
        (21, 1000)
    );
}
