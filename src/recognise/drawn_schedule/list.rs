//! A schedule without columns: `TYPE A: 6" RECESSED DOWNLIGHT`, a line a type.

use super::is_tag;
use super::kinds::recessed;
use crate::rules::folded;

/// The mark and the words of a line; `None` where it is no such line.
fn parted(line: &str) -> Option<(String, String)> {
    let line = line.split_whitespace().collect::<Vec<_>>().join(" ");
    let upper = line.to_uppercase();
    let start = ["TYPE ", "FIXTURE ", "MARK "]
        .iter()
        .find(|w| upper.starts_with(**w));
    let said = start.is_some();
    let rest = line.get(start.map_or(0, |w| w.len())..)?;
    let (first, words) = rest.split_once(' ')?;
    let mark = first.trim_end_matches([':', '=', '.', ')']);
    // A mark is set off from its words, or the word before says that it is one.
    let off = mark.len() < first.len();
    let dash = words.trim_start_matches(['-', '\u{2013}', '=', ':', ' ']);
    let apart = off || dash.len() < words.len();
    (is_tag(mark) && (apart || said) && !dash.is_empty()).then(|| (mark.to_string(), dash.to_string()))
}

/// Marks and words of the lines that follow one another; nothing where they are no list of lights.
pub fn listed<'a>(lines: impl Iterator<Item = &'a str>) -> Vec<[String; 2]> {
    let mut found: Vec<[String; 2]> = Vec::new();
    for line in lines {
        match (parted(line), found.last_mut()) {
            (Some((mark, words)), _) => found.push([mark, words]),
            // What follows belongs to the line above.
            (None, Some([_, words])) => *words = format!("{words} {}", line.trim()),
            (None, None) => return Vec::new(),
        }
    }
    let lights = found.iter().filter(|[_, words]| recessed(&folded(words))).count();
    match lights >= 1 && found.len() >= 2 {
        true => found,
        false => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::listed;

    #[test]
    fn lines_with_a_mark_and_words() {
        for lines in [
            ["TYPE A: 6\" RECESSED", "TYPE B: PENDANT"],
            ["A - 6\" RECESSED", "B - PENDANT"],
            ["A) 6\" RECESSED", "B) PENDANT"],
            ["TYPE A 6\" RECESSED", "TYPE B PENDANT"],
        ] {
            let found = listed(lines.into_iter());
            let marks: Vec<&str> = found.iter().map(|f| f[0].as_str()).collect();
            assert_eq!(marks, ["A", "B"], "{lines:?}");
            assert_eq!(found[0][1], "6\" RECESSED");
        }
        // Sentences, and lists of other things.
        for lines in [
            ["A LIGHT IS RECESSED", "B RECESSED"],
            ["A - DOOR", "B - WINDOW"],
            ["SEE PLAN", "A - RECESSED"],
        ] {
            assert!(listed(lines.into_iter()).is_empty(), "{lines:?}");
        }
    }
}
