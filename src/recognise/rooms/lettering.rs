//! Names of rooms as they are lettered: spaced out, in quotes, behind the room's number.

use std::borrow::Cow;

/// Fewer letters are marks or units.
const FEWEST: usize = 3;

/// A line without what belongs to its lettering: `K I T C H E N` is KITCHEN, `"BEDROOM 1"` has no inches, and `127 BATH` is the bath
/// of that number.
pub fn plain(line: &str) -> Cow<'_, str> {
    let mut line = Cow::Borrowed(line.trim());
    if let Some(inner) = unquoted(&line) {
        line = Cow::Owned(inner.to_string());
    }
    if let Some(closed) = closed_up(&line) {
        line = Cow::Owned(closed);
    }
    match unnumbered(&line) {
        Some(rest) => Cow::Owned(rest.to_string()),
        None => line,
    }
}

fn unquoted(line: &str) -> Option<&str> {
    [('"', '"'), ('“', '”'), ('«', '»'), ('„', '“')]
        .into_iter()
        .find_map(|(open, close)| line.strip_prefix(open)?.strip_suffix(close))
        .map(str::trim)
        .filter(|inner| inner.contains(char::is_alphabetic))
}

/// Single letters with one space between them, words further apart.
fn closed_up(line: &str) -> Option<String> {
    let single = |token: &str| {
        let mut chars = token.chars();
        chars.next().is_some_and(|c| c.is_alphanumeric() || c == '&') && chars.next().is_none()
    };
    let letters = line
        .split_whitespace()
        .filter(|t| t.chars().all(char::is_alphabetic))
        .count();
    if letters < FEWEST || !line.split_whitespace().all(single) {
        return None;
    }
    let words: Vec<String> = (line.split("  ").map(str::trim))
        .filter(|word| !word.is_empty())
        .map(|word| word.split(' ').collect())
        .collect();
    Some(words.join(" "))
}

/// What stands behind a room's number.
fn unnumbered(line: &str) -> Option<&str> {
    let (number, rest) = line.split_once(' ')?;
    let figures = number.trim_end_matches(|c: char| c.is_ascii_uppercase());
    let is_number = (3..=4).contains(&figures.len())
        && figures.bytes().all(|b| b.is_ascii_digit())
        && number.len() <= figures.len() + 1;
    // `x 120` and `mm` are no names.
    let first = rest.split_whitespace().next()?;
    let named = first.chars().filter(|c| c.is_alphabetic()).count() >= FEWEST;
    (is_number && named).then(|| rest.trim_start())
}

#[cfg(test)]
mod tests {
    use super::plain;

    #[test]
    fn lettering_is_no_part_of_a_name() {
        for (line, name) in [
            ("K I T C H E N", "KITCHEN"),
            ("L I V I N G   R O O M", "LIVING ROOM"),
            ("B E D   2", "BED 2"),
            ("\"BEDROOM 1\"", "BEDROOM 1"),
            ("«Salon»", "Salon"),
            ("127 BATH", "BATH"),
            ("204A OFFICE 2", "OFFICE 2"),
            // As they are.
            ("A B", "A B"),
            ("2 CAR GARAGE", "2 CAR GARAGE"),
            ("144 x 120", "144 x 120"),
            ("13'-4\"", "13'-4\""),
            ("1200 mm", "1200 mm"),
            ("GREAT ROOM", "GREAT ROOM"),
        ] {
            assert_eq!(plain(line), name, "{line}");
        }
    }
}
