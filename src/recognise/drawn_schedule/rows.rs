//! Which lines of lettering are one row of a table.

/// Lines of cells, from above with their heights, as rows. `marks` is the column of marks, `rules` are the lines of the
/// table between its rows, from above. A mark may stand in the middle of a row of several lines.
pub fn rows(lines: Vec<(f64, Vec<String>)>, marks: usize, rules: &[f64]) -> Vec<Vec<String>> {
    let marked = |row: &[String]| !row[marks].is_empty();
    let band = |y: f64| rules.iter().filter(|r| **r > y).count();
    let mut bands: Vec<(usize, Vec<usize>)> = Vec::new();
    for (n, (y, _)) in lines.iter().enumerate() {
        match bands.last_mut() {
            Some((last, held)) if *last == band(*y) => held.push(n),
            _ => bands.push((band(*y), vec![n])),
        }
    }
    let one_each =
        |(_, held): &(usize, Vec<usize>)| held.iter().filter(|n| marked(&lines[**n].1)).count() <= 1;
    if bands.len() > 1 && bands.iter().all(one_each) {
        let join = |(_, held): (usize, Vec<usize>)| joined(held.iter().map(|n| &lines[*n].1));
        return bands.into_iter().map(join).collect();
    }
    let heads: Vec<usize> = (0..lines.len()).filter(|n| marked(&lines[*n].1)).collect();
    let below = lines.first().is_some_and(|(_, row)| marked(row));
    let mut found: Vec<Vec<usize>> = Vec::new();
    let mut of: Vec<usize> = Vec::new();
    for (n, (y, row)) in lines.iter().enumerate() {
        // Where marks stand in the middle of their rows a line is of the nearest one; else of the one above.
        let own = match (marked(row), below) {
            (true, _) => Some(n),
            (false, true) => heads.iter().copied().rfind(|h| *h < n),
            (false, false) => heads.iter().copied().min_by(|a, b| {
                let far = |h: usize| (lines[h].0 - y).abs();
                far(*a).total_cmp(&far(*b)).then(a.cmp(b))
            }),
        };
        let Some(own) = own else {
            continue;
        };
        match of.iter().position(|o| *o == own) {
            Some(k) => found[k].push(n),
            None => {
                of.push(own);
                found.push(vec![n]);
            }
        }
    }
    found
        .into_iter()
        .map(|held| joined(held.iter().map(|n| &lines[*n].1)))
        .collect()
}

/// Cells of several lines, column by column.
fn joined<'a>(lines: impl Iterator<Item = &'a Vec<String>>) -> Vec<String> {
    let mut row: Vec<String> = Vec::new();
    for line in lines {
        row.resize(row.len().max(line.len()), String::new());
        for (cell, more) in row.iter_mut().zip(line) {
            *cell = format!("{cell} {more}").trim().to_string();
        }
    }
    row
}

#[cfg(test)]
mod tests {
    use super::rows;

    fn read(lines: &[(f64, &str, &str)], rules: &[f64]) -> Vec<(String, String)> {
        let lines = lines
            .iter()
            .map(|(y, a, b)| (*y, vec![a.to_string(), b.to_string()]));
        let found = rows(lines.collect(), 0, rules).into_iter();
        found.map(|mut r| (r.remove(0), r.remove(0))).collect()
    }

    #[test]
    fn marks_above_or_in_the_middle_of_their_words() {
        let two = [
            ("A".to_string(), "one two".to_string()),
            ("B".to_string(), "three four".to_string()),
        ];
        let above = [
            (-1.0, "A", "one"),
            (-2.0, "", "two"),
            (-3.0, "B", "three"),
            (-4.0, "", "four"),
        ];
        assert_eq!(read(&above, &[]), two);
        let middle = [
            (-1.0, "", "one"),
            (-1.5, "A", ""),
            (-2.0, "", "two"),
            (-3.0, "", "three"),
            (-3.5, "B", ""),
            (-4.0, "", "four"),
        ];
        assert_eq!(read(&middle, &[]), two);
        // Rules decide, wherever the mark stands.
        let low = [
            (-1.0, "", "one"),
            (-2.0, "A", "two"),
            (-3.0, "", "three"),
            (-4.0, "B", "four"),
        ];
        assert_eq!(read(&low, &[-0.5, -2.5, -4.5]), two);
    }
}
