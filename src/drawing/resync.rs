//! Getting back into step where a line is blank, doubled, missing or foreign.

use memchr::memchr;

use super::number;
use super::tag::{CodeLine, DamageKind, ValueKind, code_line, line_end, value_kind};

/// Pairs that must make sense before reading goes on.
const PROOF: usize = 3;

/// Whether the value of a `0` tag can be a type name: it holds a letter and no blank inside.
#[inline]
pub(crate) fn plausible_name(value: &[u8]) -> bool {
    let name = value.trim_ascii();
    name.iter().any(u8::is_ascii_alphabetic) && !name.iter().any(|b| b.is_ascii_whitespace())
}

/// From a line that cannot begin a tag: where reading can go on, and what the matter was.
pub(crate) fn resume(source: &[u8], bad: usize, eol: u8) -> (usize, DamageKind) {
    let end = source.len();
    if let Some(at) = step_back(source, bad, eol) {
        return (at, DamageKind::OutOfStep);
    }
    let mut blank = true;
    let mut skipped = 0;
    let mut at = bad;
    while at < end {
        let (stop, next) = line_end(source, at, end, eol);
        let text = source[at..stop].trim_ascii();
        blank &= text.is_empty();
        skipped += 1;
        at = next;
        if makes_sense(source, at, eol) {
            let kind = if blank {
                DamageKind::Blank
            } else if skipped == 1 && twice(source, bad, at, text, eol) {
                DamageKind::Doubled
            } else {
                DamageKind::OutOfStep
            };
            return (at, kind);
        }
    }
    let kind = if blank {
        DamageKind::Blank
    } else {
        DamageKind::OutOfStep
    };
    (end, kind)
}

/// After a missing line codes are taken for values: the line before `bad` is then a code
/// and `bad` its value. Only a value that could hardly be anything else is believed.
fn step_back(source: &[u8], bad: usize, eol: u8) -> Option<usize> {
    let (stop, _) = line_end(source, bad, source.len(), eol);
    let value = source.get(bad..stop).unwrap_or_default();
    let before = bad - (line_before(source, bad, eol).len() + 1).min(bad);
    let CodeLine::Code(code, _) = code_line(source, before, bad, eol) else {
        return None;
    };
    let telling = code == 0 || !matches!(value_kind(code), ValueKind::Text | ValueKind::Handle);
    (telling && before < bad && makes_sense(source, before, eol) && fits(code, value)).then_some(before)
}

/// Whether the line at `bad` says the same as the one before it or the one after, at `next`.
fn twice(source: &[u8], bad: usize, next: usize, text: &[u8], eol: u8) -> bool {
    let (stop, _) = line_end(source, next, source.len(), eol);
    let after = source.get(next..stop).unwrap_or_default();
    line_before(source, bad, eol).trim_ascii() == text || after.trim_ascii() == text
}

/// The text of the line that ends just before `at`.
fn line_before(source: &[u8], at: usize, eol: u8) -> &[u8] {
    let before = source.get(..at.saturating_sub(1)).unwrap_or_default();
    let start = memchr::memrchr(eol, before).map_or(0, |n| n + 1);
    before.get(start..).unwrap_or_default()
}

/// Whether the next few pairs of lines are tags whose values fit their codes.
fn makes_sense(source: &[u8], mut at: usize, eol: u8) -> bool {
    let end = source.len();
    let mut proven = 0;
    while proven < PROOF {
        match code_line(source, at, end, eol) {
            CodeLine::Code(code, value) if value < end || proven > 0 => {
                let (stop, next) = line_end(source, value, end, eol);
                let text = source.get(value..stop).unwrap_or_default();
                if !fits(code, text) {
                    return false;
                }
                if code == 0 && text.trim_ascii() == b"EOF" {
                    return true;
                }
                at = next;
            }
            CodeLine::End => return proven > 0,
            _ => return false,
        }
        proven += 1;
    }
    true
}

fn fits(code: i16, value: &[u8]) -> bool {
    if !(0..=1071).contains(&code) {
        return false;
    }
    let text = value.trim_ascii();
    match value_kind(code) {
        _ if code == 0 => plausible_name(value),
        ValueKind::Text => true,
        ValueKind::Handle => text.len() <= 255,
        ValueKind::Real => number::real(text).is_some(),
        ValueKind::Int16 | ValueKind::Int32 | ValueKind::Int64 | ValueKind::Byte => {
            number::integer(text).is_some()
        }
        ValueKind::Chunk => memchr(b' ', text).is_none() && text.iter().all(u8::is_ascii_hexdigit),
    }
}
