//! Escapes in text values: `\U+XXXX`, `\M+nXXXX`, carets, and `%%` codes.
//!
//! Source: DXF reference and the text-control codes of CAD programs, from memory.

use std::borrow::Cow;

use memchr::{memchr, memchr3};

/// Resolves every escape of a TEXT-like value.
pub(crate) fn text(value: Cow<'_, str>) -> Cow<'_, str> {
    if memchr3(b'\\', b'^', b'%', value.as_bytes()).is_none() {
        return value;
    }
    let mut out = String::with_capacity(value.len());
    let mut rest = value.as_ref();
    while let Some(c) = rest.chars().next() {
        let taken = match c {
            '\\' => coded(rest, &mut out),
            '^' => caret(rest, &mut out),
            '%' => percent(rest, &mut out),
            _ => 0,
        };
        if taken == 0 {
            out.push(c);
        }
        rest = rest.get(taken.max(c.len_utf8())..).unwrap_or_default();
    }
    Cow::Owned(out)
}

/// Resolves only what may stand in a name: `\U+XXXX` and `\M+nXXXX`.
pub(crate) fn name(value: Cow<'_, str>) -> Cow<'_, str> {
    if memchr(b'\\', value.as_bytes()).is_none() {
        return value;
    }
    let mut out = String::with_capacity(value.len());
    let mut rest = value.as_ref();
    while let Some(c) = rest.chars().next() {
        let taken = if c == '\\' { coded(rest, &mut out) } else { 0 };
        if taken == 0 {
            out.push(c);
        }
        rest = rest.get(taken.max(c.len_utf8())..).unwrap_or_default();
    }
    Cow::Owned(out)
}

/// `\U+XXXX` or `\M+nXXXX` at the head of `rest`: pushes the character and gives the
/// bytes taken, 0 where there is none.
pub(crate) fn coded(rest: &str, out: &mut String) -> usize {
    if let Some(unit) = unicode(rest) {
        if let Some(c) = char::from_u32(unit) {
            out.push(c);
            return 7;
        }
        // Half of a pair: the other half must follow.
        let low = rest
            .get(7..)
            .and_then(unicode)
            .filter(|l| (0xDC00..0xE000).contains(l));
        if let (0xD800..=0xDBFF, Some(low)) = (unit, low)
            && let Some(c) = char::from_u32(0x10000 + ((unit - 0xD800) << 10) + (low - 0xDC00))
        {
            out.push(c);
            return 14;
        }
        out.push(char::REPLACEMENT_CHARACTER);
        return 7;
    }
    let Some(body) = rest.strip_prefix("\\M+").and_then(|r| r.get(..5)) else {
        return 0;
    };
    let Some((page, digits)) = body.split_at_checked(1) else {
        return 0;
    };
    let Some(code) = hex(digits) else { return 0 };
    let encoding = match page {
        "1" => encoding_rs::SHIFT_JIS,
        "2" => encoding_rs::BIG5,
        "3" => encoding_rs::EUC_KR,
        "5" => encoding_rs::GBK,
        "4" => {
            // Johab, which no table here holds.
            out.push(char::REPLACEMENT_CHARACTER);
            return 8;
        }
        _ => return 0,
    };
    let [.., high, low] = code.to_be_bytes();
    let bytes = [high, low];
    let bytes = if high == 0 { &bytes[1..] } else { &bytes[..] };
    out.push_str(&encoding.decode_without_bom_handling(bytes).0);
    8
}

fn unicode(rest: &str) -> Option<u32> {
    let body = rest.strip_prefix("\\U+").or_else(|| rest.strip_prefix("\\u+"))?;
    hex(body.get(..4)?)
}

fn hex(digits: &str) -> Option<u32> {
    if !digits.bytes().all(|b| b.is_ascii_hexdigit()) {
        return None;
    }
    u32::from_str_radix(digits, 16).ok()
}

/// A caret escape: `^I` is a tab, `^J` and `^M` a line break, `^ ` a caret; other
/// control characters show nothing. `m^2` is no escape and stays.
pub(crate) fn caret(rest: &str, out: &mut String) -> usize {
    match rest.as_bytes() {
        [b'^', b' ', ..] => out.push('^'),
        [b'^', b'I', ..] => out.push('\t'),
        [b'^', b'J', ..] => out.push('\n'),
        [b'^', b'M', ..] => {}
        [b'^', b'@'..=b'_', ..] => {}
        _ => return 0,
    }
    2
}

/// `%%d`, `%%c`, `%%p`, `%%%`, `%%nnn`; the switches `%%u`, `%%o`, `%%k` show nothing.
pub(crate) fn percent(rest: &str, out: &mut String) -> usize {
    let [b'%', b'%', code, tail @ ..] = rest.as_bytes() else {
        return 0;
    };
    match code.to_ascii_lowercase() {
        b'd' => out.push('°'),
        b'c' => out.push('Ø'),
        b'p' => out.push('±'),
        b'%' => out.push('%'),
        b'u' | b'o' | b'k' => {}
        b'0'..=b'9' => {
            let [b, c, ..] = tail else { return 0 };
            let number = [*code, *b, *c];
            let Some(code) = std::str::from_utf8(&number)
                .ok()
                .and_then(|n| n.parse::<u8>().ok())
            else {
                return 0;
            };
            out.push(if code < 32 { ' ' } else { char::from(code) });
            return 5;
        }
        _ => return 0,
    }
    3
}
