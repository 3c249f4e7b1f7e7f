//! The tag writer: group codes and values to bytes, in the format and code page of a drawing.

use super::dos;
use super::encoding::CodePage;
use super::tag::{ValueKind, value_kind};
use super::types::Format;

/// Writes tags behind one another.
#[derive(Debug)]
pub(crate) struct Writer {
    pub(crate) out: Vec<u8>,
    format: Format,
    page: Option<CodePage>,
}

impl Writer {
    /// Without a page, everything but ASCII is escaped.
    pub(crate) fn new(format: Format, page: Option<CodePage>) -> Self {
        Writer {
            out: Vec::new(),
            format,
            page,
        }
    }

    /// A tag whose value's bytes are already in this format.
    pub(crate) fn raw(&mut self, code: i16, value: &[u8]) {
        match self.format {
            Format::Ascii { newline } => {
                self.out.extend(format!("{code:>3}{newline}").into_bytes());
                self.out.extend(value);
                self.out.extend(newline.bytes());
            }
            Format::Binary { wide } => {
                self.binary_code(code, wide);
                match value_kind(code) {
                    ValueKind::Text | ValueKind::Handle => {
                        self.out.extend(value);
                        self.out.push(0);
                    }
                    ValueKind::Chunk => {
                        let value = value.get(..255).unwrap_or(value);
                        self.out.push(u8::try_from(value.len()).unwrap_or(u8::MAX));
                        self.out.extend(value);
                    }
                    _ => self.out.extend(value),
                }
            }
        }
    }

    fn binary_code(&mut self, code: i16, wide: bool) {
        match u8::try_from(code) {
            Ok(code) if !wide && code != 255 => self.out.push(code),
            _ => {
                if !wide {
                    self.out.push(255);
                }
                self.out.extend(code.to_le_bytes());
            }
        }
    }

    /// Text that is a keyword or a name: no escapes but for what the code page lacks.
    pub(crate) fn name(&mut self, code: i16, text: &str) {
        let bytes = encode(self.page, text);
        self.raw(code, &bytes);
    }

    /// Text to be read by people: line ends become blanks, a caret stays a caret.
    pub(crate) fn text(&mut self, code: i16, text: &str) {
        self.name(code, &quote(text));
    }

    pub(crate) fn handle(&mut self, code: i16, handle: u64) {
        self.raw(code, format!("{handle:X}").as_bytes());
    }

    /// A real number in the fewest digits that read back as the same number.
    pub(crate) fn real(&mut self, code: i16, value: f64) {
        let bytes = real_bytes(self.format, value);
        self.raw(code, &bytes);
    }

    /// A whole number, clipped to the width its code has.
    pub(crate) fn integer(&mut self, code: i16, value: i64) {
        let bytes = integer(self.format, code, value);
        self.raw(code, &bytes);
    }

    /// A point on the drawing's plane: `code`, `code + 10`, and `code + 20` as 0.
    pub(crate) fn point(&mut self, code: i16, x: f64, y: f64) {
        self.real(code, x);
        self.real(code.saturating_add(10), y);
        self.real(code.saturating_add(20), 0.0);
    }
}

/// The bytes of a whole number in this format.
pub(crate) fn integer(format: Format, code: i16, value: i64) -> Vec<u8> {
    if let Format::Ascii { .. } = format {
        return value.to_string().into_bytes();
    }
    let narrow = value.clamp(i16::MIN.into(), i16::MAX.into());
    let middle = value.clamp(i32::MIN.into(), i32::MAX.into());
    match value_kind(code) {
        ValueKind::Int16 => i16::try_from(narrow).unwrap_or(0).to_le_bytes().to_vec(),
        ValueKind::Int32 => i32::try_from(middle).unwrap_or(0).to_le_bytes().to_vec(),
        ValueKind::Int64 => value.to_le_bytes().to_vec(),
        ValueKind::Byte => vec![u8::try_from(value.clamp(0, 255)).unwrap_or(0)],
        ValueKind::Real => (value as f64).to_le_bytes().to_vec(),
        ValueKind::Text | ValueKind::Handle | ValueKind::Chunk => value.to_string().into_bytes(),
    }
}

/// The bytes of a real number in this format.
pub(crate) fn real_bytes(format: Format, value: f64) -> Vec<u8> {
    match format {
        Format::Ascii { .. } => real(value).into_bytes(),
        Format::Binary { .. } => value.to_le_bytes().to_vec(),
    }
}

/// Shortest digits that read back exactly, always with a point, an exponent only where
/// plain digits would run beyond 24.
fn real(value: f64) -> String {
    let size = value.abs();
    if size != 0.0 && !(1e-7..1e16).contains(&size) {
        return format!("{value:E}");
    }
    format!("{value:?}")
}

/// Text in a code page; what the page lacks as `\U+XXXX`, in halves of a pair where it must be.
fn encode(page: Option<CodePage>, text: &str) -> Vec<u8> {
    let mut out = Vec::with_capacity(text.len());
    for c in text.chars() {
        let mut buffer = [0; 4];
        let one = &*c.encode_utf8(&mut buffer);
        match page {
            _ if c.is_ascii() => out.extend(one.bytes()),
            None => escape(c, &mut out),
            Some(CodePage::Standard(page)) => match page.encode(one) {
                (bytes, _, false) => out.extend_from_slice(&bytes),
                _ => escape(c, &mut out),
            },
            Some(CodePage::Dos(upper)) => match (0x80..=0xFF).find(|b| dos::decode(upper, *b) == c) {
                Some(byte) => out.push(byte),
                None => escape(c, &mut out),
            },
        }
    }
    out
}

fn escape(c: char, out: &mut Vec<u8>) {
    for unit in c.encode_utf16(&mut [0; 2]) {
        out.extend(format!("\\U+{unit:04X}").into_bytes());
    }
}

/// Keeps text one line, and carets and doubled percent signs what they are.
/// Source: text-control codes of CAD programs, from memory.
fn quote(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut rest = text.chars().peekable();
    while let Some(c) = rest.next() {
        match c {
            c if c.is_control() => out.push(' '),
            '^' => out.push_str("^ "),
            '%' if rest.peek() == Some(&'%') => {
                rest.next();
                out.push_str("%%%%%%");
            }
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::escape as reader;

    const LF: Format = Format::Ascii { newline: "\n" };

    fn ascii(write: impl Fn(&mut Writer)) -> String {
        let mut w = Writer::new(LF, None);
        write(&mut w);
        String::from_utf8(w.out).unwrap()
    }

    #[test]
    fn numbers_read_back_as_written() {
        for x in [
            0.0,
            -0.0,
            0.1,
            1.0 / 3.0,
            -1234567.891,
            1e-9,
            5e-324,
            f64::MAX,
            1e16,
            123456789012345.6,
        ] {
            let text = real(x);
            assert_eq!(text.parse::<f64>().unwrap().to_bits(), x.to_bits(), "{text}");
            assert!(text.contains(['.', 'E']), "{text}");
        }
        assert_eq!(real(12.0), "12.0");
    }

    #[test]
    fn what_the_page_lacks_is_escaped() {
        let windows = CodePage::Standard(encoding_rs::WINDOWS_1252);
        let dos = CodePage::Dos(dos::CP850);
        assert_eq!(
            encode(Some(windows), "m\u{b2} \u{3a9} \u{1f4a1}"),
            b"m\xB2 \\U+03A9 \\U+D83D\\U+DCA1"
        );
        assert_eq!(encode(Some(dos), "m\u{b2}"), b"m\xFD");
        assert_eq!(
            encode(Some(CodePage::Standard(encoding_rs::UTF_8)), "\u{b2}"),
            b"\xC2\xB2"
        );
        assert_eq!(encode(None, "m\u{b2}"), b"m\\U+00B2");
        for page in [windows, dos] {
            let text = "K\u{fc}che \u{3a9} \u{1f4a1}";
            let bytes = encode(Some(page), text);
            assert_eq!(reader::text(page.decode(&bytes)), text);
        }
    }

    #[test]
    fn quoted_text_reads_back() {
        let windows = CodePage::Standard(encoding_rs::WINDOWS_1252);
        for text in ["a^b", "50%%", "100% %%c", "x^2", "%%%"] {
            assert_eq!(
                reader::text(windows.decode(&encode(Some(windows), &quote(text)))),
                text,
                "{text}"
            );
        }
        assert_eq!(quote("two\nlines"), "two lines");
    }

    #[test]
    fn binary_codes_and_values() {
        let page = None;
        let mut w = Writer::new(Format::Binary { wide: false }, page);
        w.name(0, "LINE");
        w.real(10, 1.0);
        w.integer(62, 1);
        w.raw(1000, b"x");
        assert_eq!(
            w.out,
            [
                b"\0LINE\0\x0a".as_slice(),
                &1.0_f64.to_le_bytes(),
                b"\x3e\x01\0\xff\xe8\x03x\0"
            ]
            .concat()
        );
        let mut w = Writer::new(Format::Binary { wide: true }, page);
        w.handle(330, 0x1F);
        w.integer(290, 1);
        assert_eq!(w.out, b"\x4a\x011F\0\x22\x01\x01");
    }

    #[test]
    fn ascii_layout() {
        let text = ascii(|w| {
            w.name(0, "LINE");
            w.point(10, 1.5, 2.0);
            w.integer(90, 7);
        });
        assert_eq!(text, "  0\nLINE\n 10\n1.5\n 20\n2.0\n 30\n0.0\n 90\n7\n");
    }
}
