//! What is no drawing is refused with one clear sentence.

use super::*;

fn refusal(source: &[u8]) -> String {
    read(source)
        .map(|(d, _)| d.entities.len())
        .expect_err("a refusal")
        .to_string()
}

#[test]
fn files_of_other_kinds() {
    for (source, word) in [
        (&b"\xFF\xD8\xFF\xE0\x00\x10JFIF\x00"[..], "JPEG"),
        (b"\x89PNG\r\n\x1A\n", "PNG"),
        (b"%PDF-1.7\n", "PDF"),
        (b"PK\x03\x04", "ZIP"),
        (b"AC1027\x00\x00\x00", "DWG"),
        (b"<html>", "HTML"),
        (b"hello\nworld\n", "SECTION"),
        (b"junk\x00\x00\x01\x02", "binary data"),
        (b"  0\nEOF\n", "SECTION"),
    ] {
        let said = refusal(source);
        assert!(
            said.contains(word) && said.contains("export the plan as DXF"),
            "{said}"
        );
    }
}

#[test]
fn empty_and_hopelessly_short_files() {
    assert_eq!(read(b"").map(|_| ()), Err(ReadError::Empty));
    assert_eq!(read(b" \r\n").map(|_| ()), Err(ReadError::Empty));
    let said = refusal(b"  0\nSECTION\n  2\nHEADER\n  9\n$ACADVER\n  1\nAC1");
    assert!(said.contains("line 8") && said.contains("HEADER"), "{said}");
    for cut in [22, 25, 30] {
        let source = binary(&plan("0 POINT\n10 0\n20 0"), true);
        let said = refusal(&source[..cut]);
        assert!(said.contains("export") && !said.contains("line"), "{cut}: {said}");
    }
    let said = refusal(b"AutoCAD Binary DXF\n\x1A\x00\x00SECTION\x00");
    assert!(said.contains("text mode"), "{said}");
}
