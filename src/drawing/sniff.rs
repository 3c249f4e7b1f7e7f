//! What kind of bytes these are, before any tag is read.

use memchr::{memchr, memchr_iter, memmem};

use super::tag::{CodeLine, Cursor, Layout, SENTINEL, code_line};
use super::types::{Format, ReadError, Version};

/// Where the tags begin and how they are laid out.
pub(crate) struct Start {
    pub(crate) layout: Layout,
    pub(crate) offset: usize,
}

/// Tells ASCII from binary drawings, and both from everything else.
///
/// # Errors
/// Empty input, and input that is plainly something other than a DXF drawing.
pub(crate) fn start(source: &[u8]) -> Result<Start, ReadError> {
    if source.trim_ascii().is_empty() {
        return Err(ReadError::Empty);
    }
    if source.starts_with(SENTINEL) {
        return binary(source);
    }
    if source.starts_with(b"AutoCAD Binary DXF") {
        let what = "the mark of a binary drawing is damaged, as by a transfer in text mode";
        return Err(ReadError::BrokenBinary(what.into()));
    }
    if let Some(kind) = foreign(source) {
        return Err(ReadError::NotDxf(kind.into()));
    }
    let offset = if source.starts_with(b"\xEF\xBB\xBF") { 3 } else { 0 };
    // CR alone ends lines where hardly a LF is seen; CR CR LF has two to one.
    let head = source.get(..1 << 16).unwrap_or(source);
    let (cr, lf) = (memchr_iter(b'\r', head).count(), memchr_iter(b'\n', head).count());
    let eol = if cr > 4 * lf { b'\r' } else { b'\n' };
    let layout = Layout {
        format: Format::Ascii {
            newline: newline(source, eol),
        },
        eol,
    };
    Ok(Start { layout, offset })
}

fn binary(source: &[u8]) -> Result<Start, ReadError> {
    let wide = match source.get(22..) {
        // A comment (999) first, or the usual 0.
        Some([0xE7, 0x03, ..] | [0, 0, ..]) => true,
        Some([_, ..]) => false,
        _ => {
            let what = "the file ends after the mark of a binary drawing";
            return Err(ReadError::BrokenBinary(what.into()));
        }
    };
    Ok(Start {
        layout: Layout {
            format: Format::Binary { wide },
            eol: 0,
        },
        offset: SENTINEL.len(),
    })
}

/// The line ending most used; judged on the first half megabyte.
fn newline(source: &[u8], eol: u8) -> &'static str {
    if eol == b'\r' {
        return "\r";
    }
    let head = source.get(..1 << 19).unwrap_or(source);
    let (mut lf, mut crlf, mut crcrlf) = (0, 0, 0);
    for at in memchr_iter(b'\n', head) {
        match head.get(..at).unwrap_or_default() {
            [.., b'\r', b'\r'] => crcrlf += 1,
            [.., b'\r'] => crlf += 1,
            _ => lf += 1,
        }
    }
    if lf >= crlf && lf >= crcrlf {
        "\n"
    } else if crlf >= crcrlf {
        "\r\n"
    } else {
        "\r\r\n"
    }
}

/// What bytes that are no DXF are, as far as their first few tell.
fn foreign(source: &[u8]) -> Option<&'static str> {
    let known: [(&[u8], &'static str); 13] = [
        (b"\xFF\xD8\xFF", "it is a JPEG picture"),
        (b"\x89PNG", "it is a PNG picture"),
        (b"GIF8", "it is a GIF picture"),
        (b"BM", "it is a bitmap picture"),
        (b"II*\0", "it is a TIFF picture"),
        (b"%PDF", "it is a PDF"),
        (b"PK\x03\x04", "it is a ZIP archive"),
        (b"\x1F\x8B", "it is a gzip archive"),
        (b"\xFF\xFE", "it is UTF-16 text"),
        (b"\xFE\xFF", "it is UTF-16 text"),
        (b"<", "it is XML or HTML"),
        (b"{", "it is JSON or the like"),
        (b"(DWF", "it is a DWF"),
    ];
    let dwg = source.len() > 6
        && (source.starts_with(b"AC1") || source.starts_with(b"AC2") || source.starts_with(b"MC0"))
        && source
            .get(6)
            .is_some_and(|b| *b < 0x20 && !matches!(b, b'\r' | b'\n'));
    if dwg {
        return Some("it is a DWG, the CAD program's own format");
    }
    let known = known
        .iter()
        .find(|(magic, _)| source.starts_with(magic))
        .map(|(_, kind)| *kind);
    let head = source.get(..4096).unwrap_or(source);
    let text = matches!(code_line(source, 0, source.len(), b'\n'), CodeLine::Code(..));
    known.or_else(|| memchr(0, head).filter(|_| !text).map(|_| "it holds binary data"))
}

/// `$ACADVER` and `$DWGCODEPAGE` as written.
#[derive(Default)]
pub(crate) struct Declared<'a> {
    pub(crate) version: Option<&'a [u8]>,
    pub(crate) code_page: Option<&'a [u8]>,
}

/// Looks for the two variables that decide how text is read, in the header only.
pub(crate) fn declared<'a>(source: &'a [u8], start: &Start) -> Declared<'a> {
    let mut found = Declared::default();
    let Some(at) = memmem::find(source, b"HEADER") else {
        return found;
    };
    let mut cursor = Cursor::new(source, start.layout, start.offset, source.len());
    let mut name: &[u8] = b"";
    let mut in_header = false;
    while let Some(tag) = cursor.next() {
        let value = cursor.bytes(&tag);
        match tag.code {
            2 if !in_header && tag.value.start >= at => {
                if value.trim_ascii() != b"HEADER" {
                    break;
                }
                in_header = true;
            }
            0 if in_header => break,
            9 => name = value.trim_ascii(),
            1 if name == b"$ACADVER" => found.version = Some(value.trim_ascii()),
            3 if name == b"$DWGCODEPAGE" => found.code_page = Some(value.trim_ascii()),
            _ => {}
        }
    }
    found
}

/// `AC1015` and the like; versions between two known ones count as the newer's eve.
pub(crate) fn version(text: &[u8]) -> Option<Version> {
    use Version::*;
    let digits = text
        .strip_prefix(b"AC")
        .and_then(|d| std::str::from_utf8(d).ok())?;
    let number: u32 = digits.parse().ok()?;
    Some(match number {
        ..=1004 => R9,
        1005..=1006 => R10,
        1007..=1009 => R12,
        1010..=1012 => R13,
        1013..=1014 => R14,
        1015..=1017 => R2000,
        1018..=1020 => R2004,
        1021..=1023 => R2007,
        1024..=1026 => R2010,
        1027..=1031 => R2013,
        _ => R2018,
    })
}
