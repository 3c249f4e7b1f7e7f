//! An aligned table of text. Its last column is a sentence and wraps.

/// A line of cells; `paint` is an escape code for the cell in the `painted` column.
pub struct Row {
    pub cells: Vec<String>,
    pub paint: Option<&'static str>,
}

/// Least room for the last column beside the others; with less it goes under each line.
const BESIDE: usize = 24;
const GAP: usize = 2;

/// Lays out a table in at most `width` characters a line where the cells let it. Columns that are
/// empty throughout are left out.
pub fn table(head: &[&str], rows: &[Row], painted: usize, width: usize) -> String {
    let widths: Vec<usize> = head
        .iter()
        .enumerate()
        .map(|(i, title)| {
            let cells = rows
                .iter()
                .filter_map(|r| r.cells.get(i))
                .map(|c| c.chars().count());
            match cells.max().unwrap_or(0) {
                0 => 0,
                most => most.max(title.chars().count()),
            }
        })
        .collect();
    let Some((_, fixed)) = widths.split_last() else {
        return String::new();
    };
    let before: usize = fixed.iter().filter(|w| **w > 0).map(|w| w + GAP).sum();
    let beside = before + BESIDE <= width;
    let (indent, room) = if beside {
        (before, width - before)
    } else {
        (4, width.saturating_sub(4))
    };
    let titles = Row {
        cells: head.iter().map(|t| (*t).to_string()).collect(),
        paint: None,
    };
    let mut out = String::new();
    for (n, row) in std::iter::once(&titles).chain(rows).enumerate() {
        let mut line = String::new();
        for (i, (cell, width)) in row
            .cells
            .iter()
            .zip(fixed)
            .enumerate()
            .filter(|(_, (_, w))| **w > 0)
        {
            let padded = format!("{cell:width$}");
            line.push_str(&match row.paint {
                Some(code) if i == painted => paint(&padded, code),
                _ => padded,
            });
            line.push_str("  ");
        }
        let last = row.cells.get(fixed.len()).map_or("", String::as_str);
        // The title of a column that stands under its lines would only puzzle.
        let mut wrapped = if beside || n > 0 {
            wrap(last, room)
        } else {
            Vec::new()
        }
        .into_iter();
        if beside && let Some(first) = wrapped.next() {
            line.push_str(&first);
        }
        out.push_str(line.trim_end());
        out.push('\n');
        for more in wrapped {
            out.push_str(&format!("{:indent$}{more}\n", ""));
        }
    }
    out
}

pub fn paint(text: &str, code: &str) -> String {
    format!("\u{1b}[{code}m{text}\u{1b}[0m")
}

/// Cuts a text that is too long, with an ellipsis for what is cut.
pub fn shorten(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_string();
    }
    let mut short: String = text.chars().take(most.saturating_sub(1)).collect();
    short.push('…');
    short
}

/// Breaks at blanks into lines of at most `width` characters; a longer word stands alone.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > width {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        line.push_str(word);
        used += length;
    }
    if used > 0 {
        lines.push(line);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(cells: &[&str]) -> Row {
        Row {
            cells: cells.iter().map(|c| (*c).to_string()).collect(),
            paint: None,
        }
    }

    #[test]
    fn the_last_column_wraps_beside_the_others_or_goes_under_them() {
        let rows = [
            row(&["a", "", "one two three four five six"]),
            row(&["bbbb", "", "x"]),
        ];
        assert_eq!(
            table(&["h", "gone", "do"], &rows, 0, 30),
            "h     do\na     one two three four five\n      six\nbbbb  x\n"
        );
        assert_eq!(
            table(&["h", "gone", "do"], &rows, 0, 20),
            "h\na\n    one two three\n    four five six\nbbbb\n    x\n"
        );
    }

    #[test]
    fn a_long_text_is_cut_and_a_long_word_is_not() {
        assert_eq!(shorten("L1 L2 L3", 6), "L1 L2…");
        assert_eq!(shorten("L1 L2", 6), "L1 L2");
        assert_eq!(wrap("a longword b", 4), ["a", "longword", "b"]);
    }
}
