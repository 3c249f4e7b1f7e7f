//! Code pages, escapes, and MTEXT formatting.

use super::*;

fn text_of(source: &[u8]) -> String {
    match one(source).shape {
        Shape::Text { text, .. } => text.into_owned(),
        shape => panic!("{shape:?} is no text"),
    }
}

/// A drawing with one TEXT, whose bytes and code page are given.
fn paged(version: &str, page: &str, bytes: &[u8]) -> Vec<u8> {
    let mut source = ascii(&format!(
        "0 SECTION\n2 HEADER\n9 $ACADVER\n1 {version}\n9 $DWGCODEPAGE\n3 {page}\n0 ENDSEC\n0 SECTION\n2 ENTITIES\n0 TEXT\n10 0\n20 0\n40 1"
    ));
    source.extend_from_slice(b"  1\n");
    source.extend_from_slice(bytes);
    source.extend_from_slice(b"\n  0\nENDSEC\n  0\nEOF\n");
    source
}

/// Bytes of the same words in each page; source: Python 3's codecs of the same names.
#[test]
fn code_pages_and_their_aliases() {
    for (page, bytes, text) in [
        ("ANSI_1252", &b"K\xFCche"[..], "Küche"),
        ("ansi_1252", b"K\xFCche", "Küche"),
        ("iso8859-1", b"K\xFCche", "Küche"),
        ("ANSI_1251", b"\xCA\xF3\xF5\xED\xFF", "Кухня"),
        ("ANSI_1250", b"\xA3azienka", "Łazienka"),
        ("ANSI_932", b"\x91\xE4\x8F\x8A", "台所"),
        ("gb2312", b"\xB3\xF8\xB7\xBF", "厨房"),
        ("ANSI_936", b"\xB3\xF8\xB7\xBF", "厨房"),
        ("ANSI_949", b"\xBA\xCE\xBE\xFD", "부엌"),
        ("big5", b"\xBC\x70\xA9\xD0", "廚房"),
        ("dos850", b"K\x81che \x9D", "Küche Ø"),
        ("dos437", b"K\x81che \xF8", "Küche °"),
        ("dos866", b"\x8A\xE3\xE5\xAD\xEF", "Кухня"),
    ] {
        assert_eq!(text_of(&paged("AC1015", page, bytes)), text, "{page}");
    }
}

#[test]
fn from_r2007_text_is_utf8_whatever_the_page_says() {
    assert_eq!(
        text_of(&paged("AC1021", "ANSI_1252", "Küche 台所".as_bytes())),
        "Küche 台所"
    );
}

#[test]
fn text_that_should_be_utf8_and_is_not_is_read_by_the_page_with_a_note() {
    let source = paged("AC1024", "ANSI_1251", b"\xCA\xF3\xF5\xED\xFF");
    let (entities, notes) = view(&source);
    assert_eq!(codes(&notes), ["code-page"]);
    assert!(matches!(&entities[0].shape, Shape::Text { text, .. } if text == "Кухня"));
}

/// Many programs write UTF-8 under the page that they found.
#[test]
fn utf8_under_a_page_of_one_byte_a_character_is_read_as_utf8_with_a_note() {
    for (page, text) in [
        ("ANSI_1252", "龙骨"),
        ("ANSI_1250", "Łazienka ŚĆ"),
        ("dos850", "Küche für Gäste"),
    ] {
        let source = paged("AC1015", page, text.as_bytes());
        let (entities, notes) = view(&source);
        let sure = text.chars().filter(|c| !c.is_ascii()).count() >= 3;
        assert_eq!(
            codes(&notes),
            if sure { vec!["code-page"] } else { vec![] },
            "{text}"
        );
        assert_eq!(
            matches!(&entities[0].shape, Shape::Text { text: t, .. } if t == text),
            sure,
            "{text}"
        );
    }
}

#[test]
fn an_unknown_page_is_judged_by_the_bytes_with_a_note() {
    for (bytes, text) in [("Küche".as_bytes(), "Küche"), (b"K\xFCche", "Küche")] {
        let source = paged("AC1015", "KLINGON", bytes);
        let (entities, notes) = view(&source);
        assert_eq!(codes(&notes), ["code-page"]);
        assert!(matches!(&entities[0].shape, Shape::Text { text: t, .. } if t == text));
    }
    // Without a byte beyond ASCII there is nothing to doubt.
    assert_eq!(text_of(&paged("AC1015", "KLINGON", b"HALL")), "HALL");
}

#[test]
fn a_byte_order_mark_is_passed_over() {
    let mut source = b"\xEF\xBB\xBF".to_vec();
    source.extend(ascii(&plan("0 TEXT\n10 0\n20 0\n40 1\n1 Küche")));
    assert_eq!(text_of(&source), "Küche");
    assert_eq!(read(&source).unwrap().0.structure.sections[0].1.start, 3);
}

#[test]
fn escapes() {
    for (written, text) in [
        (r"\U+00D8 6", "Ø 6"),
        (r"\U+D83D\U+DCA1", "💡"),
        (r"\U+D83Dx", "\u{FFFD}x"),
        (r"\U+12", r"\U+12"),
        (r"\M+191E4", "台"),
        (r"\M+5B3F8", "厨"),
        (r"\M+9B3F8", r"\M+9B3F8"),
        ("45%%d 6%%c %%p1/8", "45° 6Ø ±1/8"),
        ("%%uTITLE%%u 50%%%", "TITLE 50%"),
        ("%%065 %%999 100%", "A %%999 100%"),
        ("12 m^2", "12 m^2"),
        ("A^IB^JC^ D", "A\tB\nC^D"),
        ("^", "^"),
        (r"C:\plans", r"C:\plans"),
    ] {
        let source = ascii(&plan(&format!("0 TEXT\n10 0\n20 0\n40 1\n1 {written}")));
        assert_eq!(text_of(&source), text, "{written}");
    }
}

#[test]
fn names_keep_what_is_no_escape_in_a_name() {
    let source = ascii(&plan("0 POINT\n8 A-50%%d^J\\U+00C4\n10 0\n20 0"));
    assert_eq!(one(&source).layer, "A-50%%d^JÄ");
}

#[test]
fn blanks_belong_to_strings() {
    let source = ascii(&plan("0 TEXT\n10 0\n20 0\n40 1\n1   HALL  "));
    assert_eq!(text_of(&source), "  HALL  ");
}

#[test]
fn attributes_with_codes_of_an_mtext_are_plain() {
    for (written, text) in [
        (r"{\fArial|b0;A}", "A"),
        (r"\A1;R6", "R6"),
        (r"\pxqc;R6", "R6"),
        (r"\fSome Face|b0;R6", "R6"),
        (r"C:\plans", r"C:\plans"),
        (r"A\B;C", r"A\B;C"),
    ] {
        let source = ascii(&plan(&format!(
            "0 INSERT\n2 B\n66 1\n10 0\n20 0\n0 ATTRIB\n10 0\n20 0\n40 1\n1 {written}\n2 TYPE\n0 SEQEND"
        )));
        let Shape::Insert(insert) = one(&source).shape else {
            panic!("{written}");
        };
        assert_eq!(insert.attribs[0].text, text, "{written}");
    }
}

#[test]
fn mtext_formatting_is_stripped() {
    for (written, text) in [
        (r"LIVING\PROOM", "LIVING\nROOM"),
        (r"{\fArial|b0|i0;\H2.5x;\C1;HALL}", "HALL"),
        (r"\A1;5'-3\S1/2;", "5'-3 1/2"),
        (r"\S1#2;", "1/2"),
        (r"\S1^2;", "1/2"),
        (r"\pxqc;2x10 \LC.J.\l @ 16\~O.C.", "2x10 C.J. @ 16 O.C."),
        (r"a\\b \{c\}", r"a\b {c}"),
        (r"\U+00B0 %%d ^J", "° ° \n"),
        (r"\Qno end", "no end"),
    ] {
        assert_eq!(mtext::plain(written.into()), text, "{written}");
    }
}

#[test]
fn a_character_may_straddle_two_pieces_of_mtext() {
    let bytes = "台所".as_bytes();
    let mut source = ascii(
        "0 SECTION\n2 HEADER\n9 $ACADVER\n1 AC1021\n0 ENDSEC\n0 SECTION\n2 ENTITIES\n0 MTEXT\n10 0\n20 0",
    );
    for (code, part) in [("  3\n", &bytes[..4]), ("  1\n", &bytes[4..])] {
        source.extend_from_slice(code.as_bytes());
        source.extend_from_slice(part);
        source.push(b'\n');
    }
    source.extend(ascii("0 ENDSEC\n0 EOF"));
    // The file as a whole is not UTF-8, since a line end stands inside a character.
    let (entities, _) = view(&source);
    assert!(
        matches!(&entities[0].shape, Shape::MText { text, .. } if text == "台所"),
        "{entities:?}"
    );
}
