//! MTEXT with its formatting stripped, as plain text to match and show.
//!
//! Source: the MTEXT inline codes of CAD programs, from memory.

use std::borrow::Cow;

use memchr::memchr3;

use super::escape;

/// Strips inline codes: `\P` breaks a line, `\S1/2;` becomes `1/2` (set off from a
/// digit before it), braces and switches vanish.
pub(crate) fn plain(value: Cow<'_, str>) -> Cow<'_, str> {
    let bytes = value.as_bytes();
    if memchr3(b'\\', b'^', b'%', bytes).is_none() && memchr::memchr2(b'{', b'}', bytes).is_none() {
        return value;
    }
    let mut out = String::with_capacity(value.len());
    let mut rest = value.as_ref();
    while let Some(c) = rest.chars().next() {
        let taken = match c {
            '\\' => command(rest, &mut out),
            '^' => escape::caret(rest, &mut out),
            '%' => escape::percent(rest, &mut out),
            '{' | '}' => 1,
            _ => 0,
        };
        if taken == 0 {
            out.push(c);
        }
        rest = rest.get(taken.max(c.len_utf8())..).unwrap_or_default();
    }
    Cow::Owned(out)
}

/// A TEXT or an attribute that some programs write with the codes of an MTEXT: `{\\H1.0;KITCHEN}`, `\\A1;R6`.
pub(crate) fn coded(text: Cow<'_, str>) -> Cow<'_, str> {
    match (text.starts_with("{\\") && text.ends_with('}')) || switched(&text) {
        true => plain(text),
        false => text,
    }
}

/// Whether a text begins with a switch that ends in a semicolon, as no path or note does.
fn switched(text: &str) -> bool {
    let mut letters = text.chars();
    let switch = letters.next() == Some('\\') && letters.next().is_some_and(|c| "ACcFfHpQTW".contains(c));
    let value = |c: char| !c.is_whitespace() && c != '\\' && c != ';';
    switch && letters.find(|&c| !value(c) && c != ' ') == Some(';')
}

/// A backslash code at the head of `rest`: pushes what it shows, gives the bytes taken.
fn command(rest: &str, out: &mut String) -> usize {
    let coded = escape::coded(rest, out);
    if coded > 0 {
        return coded;
    }
    match rest.as_bytes().get(1) {
        Some(b'P' | b'N' | b'n' | b'X') => out.push('\n'),
        Some(b'~') => out.push(' '),
        Some(c @ (b'\\' | b'{' | b'}')) => out.push(char::from(*c)),
        Some(b'L' | b'l' | b'O' | b'o' | b'K' | b'k') => {}
        Some(b'S') => return stacked(rest, out),
        Some(b'A' | b'C' | b'c' | b'F' | b'f' | b'H' | b'p' | b'Q' | b'T' | b'W') => {
            return rest.find(';').map_or(2, |n| n + 1);
        }
        _ => return 0,
    }
    2
}

fn stacked(rest: &str, out: &mut String) -> usize {
    let body = rest.get(2..).unwrap_or_default();
    let Some(end) = body.find(';') else { return 2 };
    if out.ends_with(|c: char| c.is_ascii_digit()) {
        out.push(' ');
    }
    let mut escaped = false;
    for c in body.get(..end).unwrap_or_default().chars() {
        match c {
            '\\' if !escaped => escaped = true,
            '^' | '#' if !escaped => out.push('/'),
            _ => {
                escaped = false;
                out.push(c);
            }
        }
    }
    2 + end + 1
}
