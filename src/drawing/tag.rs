//! The tag cursor: group codes and byte ranges, one after the other, no allocation.
//!
//! Words: a *tag* is a group code and its value. In an ASCII drawing it is two
//! lines; in a binary one the code is one byte (before R13, with 255 as the
//! escape to two) or two, and the code decides the length of the value.

use memchr::memchr;

use super::number::{self, Real};
use super::resync;
use super::types::{Format, Tag};

/// The 22 bytes a binary drawing begins with.
pub(crate) const SENTINEL: &[u8; 22] = b"AutoCAD Binary DXF\r\n\x1a\x00";

/// How the bytes of a drawing are laid out; all a cursor needs to know.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Layout {
    pub(crate) format: Format,
    /// The byte that ends a line: `\n`, or `\r` where the file has no `\n`.
    pub(crate) eol: u8,
}

/// A place where the tags were out of step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Damage {
    pub(crate) offset: usize,
    /// Where reading went on.
    pub(crate) resumed: usize,
    pub(crate) kind: DamageKind,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum DamageKind {
    /// Blank lines where a group code belongs.
    Blank,
    /// The line before, once more.
    Doubled,
    /// Anything else: something is missing or does not belong there.
    OutOfStep,
    /// A code without a value, or a value cut short, at the end of the source.
    Cut,
}

/// What kind of value a group code has (DXF reference, "Group code value types").
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum ValueKind {
    Text,
    /// Hexadecimal digits as text.
    Handle,
    Real,
    Int16,
    Int32,
    Int64,
    Byte,
    Chunk,
}

pub(crate) fn value_kind(code: i16) -> ValueKind {
    use ValueKind::*;
    match code {
        5 | 105 | 320..=369 | 390..=399 | 480..=481 | 1005 => Handle,
        10..=59 | 110..=159 | 210..=239 | 460..=469 | 1010..=1059 => Real,
        60..=89 | 170..=179 | 270..=289 | 370..=389 | 400..=409 | 1060..=1070 => Int16,
        90..=99 | 420..=429 | 440..=459 | 1071 => Int32,
        160..=169 => Int64,
        290..=299 => Byte,
        310..=319 | 1004 => Chunk,
        _ => Text,
    }
}

/// Walks the tags of a byte range.
#[derive(Clone, Debug)]
pub(crate) struct Cursor<'a> {
    pub(crate) source: &'a [u8],
    layout: Layout,
    pos: usize,
    end: usize,
    /// Places where the tags were out of step, in order. Empty for a sound drawing.
    pub(crate) damage: Vec<Damage>,
}

/// What stands on a line that should hold a group code.
pub(crate) enum CodeLine {
    /// The code and the offset of the next line.
    Code(i16, usize),
    /// No code there.
    Bad,
    /// Nothing but blanks to the end.
    End,
}

impl<'a> Cursor<'a> {
    /// A cursor over `start..end` of the source; the range is clipped to the source.
    pub(crate) fn new(source: &'a [u8], layout: Layout, start: usize, end: usize) -> Self {
        let end = end.min(source.len());
        Cursor {
            source,
            layout,
            pos: start.min(end),
            end,
            damage: Vec::new(),
        }
    }

    pub(crate) fn position(&self) -> usize {
        self.pos
    }

    #[inline]
    pub(crate) fn bytes(&self, tag: &Tag) -> &'a [u8] {
        self.source.get(tag.value.clone()).unwrap_or_default()
    }

    /// A value as a real number, whatever its kind; `None` where it is none.
    #[inline]
    pub(crate) fn real(&self, tag: &Tag) -> Option<Real> {
        let bytes = self.bytes(tag);
        if let Format::Ascii { .. } = self.layout.format {
            return number::real(bytes);
        }
        let value = match (value_kind(tag.code), bytes) {
            (ValueKind::Real, _) => f64::from_le_bytes(bytes.try_into().ok()?),
            (ValueKind::Text | ValueKind::Handle | ValueKind::Chunk, _) => return number::real(bytes),
            _ => self.integer(tag)? as f64,
        };
        Some(Real { value, odd: false })
    }

    /// A value as a whole number, whatever its kind; `None` where it is none.
    #[inline]
    pub(crate) fn integer(&self, tag: &Tag) -> Option<i64> {
        let bytes = self.bytes(tag);
        if let Format::Ascii { .. } = self.layout.format {
            return number::integer(bytes);
        }
        match value_kind(tag.code) {
            ValueKind::Int16 => Some(i16::from_le_bytes(bytes.try_into().ok()?).into()),
            ValueKind::Int32 => Some(i32::from_le_bytes(bytes.try_into().ok()?).into()),
            ValueKind::Int64 => Some(i64::from_le_bytes(bytes.try_into().ok()?)),
            ValueKind::Byte => bytes.first().map(|b| i64::from(*b)),
            ValueKind::Real => {
                let value = f64::from_le_bytes(bytes.try_into().ok()?);
                value.is_finite().then_some(value as i64)
            }
            ValueKind::Text | ValueKind::Handle | ValueKind::Chunk => number::integer(bytes),
        }
    }

    /// Whether the source does not end in the middle of a tag or line.
    pub(crate) fn ends_whole(&self) -> bool {
        let cut = self.damage.last().is_some_and(|d| d.kind == DamageKind::Cut);
        let ascii = matches!(self.layout.format, Format::Ascii { .. });
        !cut && (!ascii || self.source.last() == Some(&self.layout.eol))
    }

    #[inline]
    fn next_ascii(&mut self) -> Option<Tag> {
        loop {
            let start = self.pos;
            match code_line(self.source, start, self.end, self.layout.eol) {
                CodeLine::Code(code, at) => {
                    if at >= self.end {
                        self.cut(start);
                        return None;
                    }
                    let (stop, next) = line_end(self.source, at, self.end, self.layout.eol);
                    let tag = Tag {
                        code,
                        range: start..next,
                        value: at..stop,
                    };
                    if code == 0 && !resync::plausible_name(&self.source[at..stop]) {
                        self.resynchronise(start);
                        continue;
                    }
                    self.pos = next;
                    return Some(tag);
                }
                CodeLine::End => {
                    self.pos = self.end;
                    return None;
                }
                CodeLine::Bad => self.resynchronise(start),
            }
        }
    }

    #[cold]
    fn resynchronise(&mut self, start: usize) {
        let (resumed, kind) = resync::resume(self.source, start, self.layout.eol);
        self.damage.push(Damage {
            offset: start,
            resumed,
            kind,
        });
        self.pos = resumed.min(self.end);
    }

    #[cold]
    fn cut(&mut self, start: usize) {
        self.pos = self.end;
        self.damage.push(Damage {
            offset: start,
            resumed: self.end,
            kind: DamageKind::Cut,
        });
    }

    fn next_binary(&mut self, wide: bool) -> Option<Tag> {
        let start = self.pos;
        let left = self.source.get(start..self.end).unwrap_or_default();
        if left.is_empty() {
            return None;
        }
        let (code, head) = match (wide, left) {
            (true, [a, b, ..]) => (i16::from_le_bytes([*a, *b]), 2),
            (false, [255, a, b, ..]) => (i16::from_le_bytes([*a, *b]), 3),
            (false, [a, ..]) if *a != 255 => (i16::from(*a), 1),
            _ => {
                self.cut(start);
                return None;
            }
        };
        if !(0..=1071).contains(&code) {
            self.damage.push(Damage {
                offset: start,
                resumed: self.end,
                kind: DamageKind::OutOfStep,
            });
            self.pos = self.end;
            return None;
        }
        let rest = left.get(head..).unwrap_or_default();
        let (skip, len, tail) = match value_kind(code) {
            ValueKind::Text | ValueKind::Handle => match memchr(0, rest) {
                Some(n) => (0, n, 1),
                None => (0, usize::MAX, 0),
            },
            ValueKind::Real | ValueKind::Int64 => (0, 8, 0),
            ValueKind::Int16 => (0, 2, 0),
            ValueKind::Int32 => (0, 4, 0),
            ValueKind::Byte => (0, 1, 0),
            ValueKind::Chunk => match rest.first() {
                Some(n) => (1, usize::from(*n), 0),
                None => (1, usize::MAX, 0),
            },
        };
        if len > rest.len().saturating_sub(skip + tail) {
            self.cut(start);
            return None;
        }
        let value = start + head + skip;
        self.pos = value + len + tail;
        Some(Tag {
            code,
            range: start..self.pos,
            value: value..value + len,
        })
    }
}

impl Iterator for Cursor<'_> {
    type Item = Tag;

    #[inline]
    fn next(&mut self) -> Option<Tag> {
        match self.layout.format {
            Format::Ascii { .. } => self.next_ascii(),
            Format::Binary { wide } => self.next_binary(wide),
        }
    }
}

/// Reads the group code of the line at `pos`: blanks, an integer, blanks.
#[inline]
pub(crate) fn code_line(source: &[u8], pos: usize, end: usize, eol: u8) -> CodeLine {
    let line = source.get(pos..end).unwrap_or_default();
    if let Some((code, len)) = usual_code(line, eol) {
        return CodeLine::Code(code, pos + len);
    }
    let mut at = 0;
    let mut code = 0_i32;
    let mut digits = 0;
    let mut negative = false;
    while let Some(&b) = line.get(at) {
        match b {
            b'0'..=b'9' if digits < 5 => {
                code = code * 10 + i32::from(b - b'0');
                digits += 1;
            }
            b if b == eol => {
                at += 1;
                break;
            }
            b' ' | b'\t' if digits == 0 && !negative => {}
            b'-' if digits == 0 && !negative => negative = true,
            b' ' | b'\t' | b'\r' => return code_tail(line, at, pos, eol, digits, signed(code, negative)),
            _ => return CodeLine::Bad,
        }
        at += 1;
    }
    finish_code(
        digits,
        signed(code, negative),
        pos + at,
        at == line.len() && line.last() != Some(&eol),
    )
}

/// The usual form: a code in three columns, then the line end. Gives the code and the
/// length of the line.
#[inline]
fn usual_code(line: &[u8], eol: u8) -> Option<(i16, usize)> {
    let (columns, len) = match *line {
        [a, b, c, d, ..] if d == eol => ([a, b, c], 4),
        [a, b, c, b'\r', e, ..] if e == eol => ([a, b, c], 5),
        _ => return None,
    };
    let digit = |b: u8| b.is_ascii_digit().then(|| i16::from(b - b'0'));
    let [a, b, c] = columns;
    let ones = digit(c)?;
    let code = match (a, b) {
        (b' ', b' ') => ones,
        (b' ', _) => digit(b)? * 10 + ones,
        _ => digit(a)? * 100 + digit(b)? * 10 + ones,
    };
    Some((code, len))
}

/// Finds a byte that is most often near: a few words by hand, then at full width.
#[inline]
fn find_near(byte: u8, bytes: &[u8]) -> Option<usize> {
    const ONES: u64 = u64::from_ne_bytes([0x01; 8]);
    const TOPS: u64 = u64::from_ne_bytes([0x80; 8]);
    let mut at = 0;
    while at < 24
        && let Some(word) = bytes.get(at..).and_then(|b| b.first_chunk::<8>())
    {
        // A byte of `x` is zero where the byte was found; the lowest such is exact.
        let x = u64::from_le_bytes(*word) ^ (ONES * u64::from(byte));
        let zeros = x.wrapping_sub(ONES) & !x & TOPS;
        if zeros != 0 {
            return Some(at + (zeros.trailing_zeros() / 8) as usize);
        }
        at += 8;
    }
    memchr(byte, bytes.get(at..).unwrap_or_default()).map(|n| at + n)
}

fn signed(code: i32, negative: bool) -> i32 {
    if negative { -code } else { code }
}

/// The blanks after a code, to the end of its line.
fn code_tail(line: &[u8], mut at: usize, pos: usize, eol: u8, digits: u8, code: i32) -> CodeLine {
    while let Some(&b) = line.get(at) {
        match b {
            b if b == eol => return finish_code(digits, code, pos + at + 1, false),
            b' ' | b'\t' | b'\r' => at += 1,
            _ => return CodeLine::Bad,
        }
    }
    finish_code(digits, code, pos + at, true)
}

#[inline]
fn finish_code(digits: u8, code: i32, next: usize, last: bool) -> CodeLine {
    match (digits, i16::try_from(code)) {
        (0, _) if last => CodeLine::End,
        (0, _) | (_, Err(_)) => CodeLine::Bad,
        (_, Ok(code)) => CodeLine::Code(code, next),
    }
}

/// End of the text of the line at `pos` (line ends trimmed) and start of the next line.
#[inline]
pub(crate) fn line_end(source: &[u8], pos: usize, end: usize, eol: u8) -> (usize, usize) {
    let rest = source.get(pos..end).unwrap_or_default();
    let (mut stop, next) = match find_near(eol, rest) {
        Some(n) => (pos + n, pos + n + 1),
        None => (end, end),
    };
    while stop > pos && source[stop - 1] == b'\r' {
        stop -= 1;
    }
    (stop, next)
}
