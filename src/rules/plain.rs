//! What a deserializer says is wrong with a rules file, in plain words: what is expected there, with an example.

/// Tables that a file has one of, and those it may have several of.
const ONE: [&str; 6] = ["read", "framing", "tolerance", "spacing", "walls", "keep"];
const SEVERAL: [&str; 3] = ["luminaire", "room", "keep.line"];
/// Numbers that are no lengths, with an example.
const NUMBERS: [(&str, &str); 7] = [
    (
        "direction",
        "degrees from the drawing's x, such as direction = 90",
    ),
    ("turn", "degrees, such as turn = 15"),
    ("feet_per_inch", "such as feet_per_inch = 1.0"),
    ("criterion", "such as criterion = 1.2"),
    ("gap_ratio", "such as gap_ratio = 2.5"),
    ("lumens", "such as lumens = 800"),
    ("beam", "degrees, such as beam = 60"),
];

/// A message in plain words; an unknown name gets the nearest known one. The names stand in back quotes: the unknown one first,
/// then the known ones. `line` is the line of the file that it is about.
pub fn plainly(message: &str, line: &str) -> String {
    let message = message.trim().replace('\n', "; ");
    let line = line.trim();
    let what = if message.starts_with("unknown field") {
        "key"
    } else if message.starts_with("unknown variant") {
        "value"
    } else {
        return typed(&message, line).unwrap_or(message);
    };
    let names: Vec<&str> = message.split('`').skip(1).step_by(2).collect();
    let Some((unknown, known)) = names.split_first() else {
        return message;
    };
    let nearest = known
        .iter()
        .map(|k| (strsim::normalized_damerau_levenshtein(unknown, k), *k))
        .max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(a.1)));
    match nearest {
        Some((score, name)) if score >= 0.5 => format!("unknown {what} `{unknown}`; did you mean `{name}`?"),
        _ => format!("unknown {what} `{unknown}`; known here: {}", known.join(", ")),
    }
}

/// A table that is there once only and is written as one of several: where its line begins, and what to write.
pub fn as_several(text: &str) -> Option<(usize, String)> {
    let mut from = 0;
    for line in text.split_inclusive('\n') {
        if let Some(name) = header(line.trim(), "[[", "]]").filter(|n| ONE.contains(n)) {
            return Some((from, format!("[[{name}]] is there once only: write [{name}]")));
        }
        from += line.len();
    }
    None
}

/// The name in a table's head.
fn header<'a>(line: &'a str, open: &str, close: &str) -> Option<&'a str> {
    let rest = line.strip_prefix(open)?;
    let (name, _) = rest.split_once(close)?;
    Some(name.trim())
}

/// What is said of a value of another type, of a missing key.
fn typed(message: &str, line: &str) -> Option<String> {
    if let Some(key) = message
        .strip_prefix("missing field `")
        .and_then(|m| m.split('`').next())
    {
        let example = match key {
            "tag" => ", such as tag = \"A\"",
            "aperture" => ", such as aperture = 6",
            "name" => ", such as name = \"KITCHEN\"",
            "from" => ", such as from = [120, 40]",
            _ => "",
        };
        let of = header(line, "[[", "]]").map_or(String::new(), |table| format!("[[{table}]] "));
        return Some(format!("{of}needs {key}{example}"));
    }
    if message == "wanted string or table" {
        let key = line.split_once('=').map_or("units", |(key, _)| key.trim());
        let known = match key {
            "place" => "\"walls\", \"origin\"",
            "mount" => "\"new-work\", \"old-work\"",
            _ => "\"auto\", \"in\", \"ft\", \"mm\", \"cm\", \"m\"",
        };
        return Some(format!("{key} must be one of {known}"));
    }
    let (_, expected) = message.split_once(", expected ")?;
    if let Some(name) = header(line, "[", "]").filter(|n| SEVERAL.contains(n)) {
        return Some(format!(
            "there may be several of {name}: write [[{name}]] in place of [{name}], one for each"
        ));
    }
    let (key, value) = line.split_once('=')?;
    let (key, value) = (key.trim(), value.trim());
    // In a table of one line the value that is wrong is not the first.
    let inner = value.starts_with('{');
    let key = if inner { "a value here" } else { key };
    Some(match expected {
        "a sequence" if !inner && !value.starts_with(['{', '[']) && !value.is_empty() => {
            format!("{key} must be a list: {key} = [{value}]")
        }
        "a sequence" => format!("{key} must be a list in brackets, such as [\"E-LITE\"]"),
        "a string" => format!("{key} must be text in quotes, such as \"A\""),
        "a boolean" => format!("{key} must be true or false, without quotes"),
        "f64" => {
            let example = NUMBERS.iter().find(|n| n.0 == key).map_or("such as 2.5", |n| n.1);
            format!("{key} must be a number without quotes: {example}")
        }
        "an array of length 2" if key == "measured" => {
            "measured must be a list of points: measured = [[120, 40], [300, 40]]".to_string()
        }
        "an array of length 2" => format!("{key} must be a point of two numbers, such as [120, 40]"),
        "struct Bars" => {
            format!("{key} must be a table: bars = {{ least = 14, greatest = 24, trimmed = 9 }}")
        }
        _ if expected.starts_with("struct ") => {
            format!("{key} is a table: write [{key}], and its keys on lines of their own below it")
        }
        _ if message.starts_with("invalid ") => format!("{key} must be {expected}"),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use crate::rules::parse;

    #[test]
    fn what_is_expected_is_told_with_an_example() {
        for (text, told) in [
            (
                "[luminaire]\ntag = \"A\"\naperture = 6\n",
                "rules:1: there may be several of luminaire: write [[luminaire]] in place of [luminaire], one for each",
            ),
            (
                "[room]\nname = \"KITCHEN\"\n",
                "rules:1: there may be several of room: write [[room]] in place of [room], one for each",
            ),
            (
                "[[framing]]\nspacing = 16\n",
                "rules:1: [[framing]] is there once only: write [framing]",
            ),
            (
                "units = \"in\"\n[[read]]\nlights = { layers = [\"E\"] }\n",
                "rules:2: [[read]] is there once only: write [read]",
            ),
            (
                "[framing]\ndirection = \"north\"\n",
                "rules:2: direction must be a number without quotes: degrees from the drawing's x, such as direction = 90",
            ),
            (
                "[framing]\nspacing = true\n",
                "rules:2: spacing must be a length: a number of inches, or text such as \"3 1/2\" or \"90mm\"",
            ),
            (
                "[read]\nlights = [\"E-LITE\"]\n",
                "rules:2: lights must be a table of layers and blocks: { layers = [\"E-LITE*\"], blocks = [\"LT-*\"] }",
            ),
            (
                "[read]\nlights = { layers = \"E-LITE\" }\n",
                "rules:2: a value here must be a list in brackets, such as [\"E-LITE\"]",
            ),
            (
                "[[luminaire]]\ntag = \"A\"\naperture = 6\nblocks = \"CAN\"\n",
                "rules:4: blocks must be a list: blocks = [\"CAN\"]",
            ),
            (
                "[[luminaire]]\ntag = 5\naperture = 6\n",
                "rules:2: tag must be text in quotes, such as \"A\"",
            ),
            (
                "[[luminaire]]\naperture = 6\n",
                "rules:1: [[luminaire]] needs tag, such as tag = \"A\"",
            ),
            (
                "[[luminaire]]\ntag = \"A\"\naperture = 6\nic = \"yes\"\n",
                "rules:4: ic must be true or false, without quotes",
            ),
            (
                "[[luminaire]]\ntag = \"A\"\naperture = 6\nbars = 14\n",
                "rules:4: bars must be a table: bars = { least = 14, greatest = 24, trimmed = 9 }",
            ),
            (
                "walls = 5\n",
                "rules:1: walls is a table: write [walls], and its keys on lines of their own below it",
            ),
            (
                "[framing]\nmeasured = [1, 2]\n",
                "rules:2: measured must be a list of points: measured = [[120, 40], [300, 40]]",
            ),
            (
                "units = 5\n",
                "rules:1: units must be one of \"auto\", \"in\", \"ft\", \"mm\", \"cm\", \"m\"",
            ),
            (
                "[framing]\nspcing = 16\n",
                "rules:2: unknown key `spcing`; did you mean `spacing`?",
            ),
        ] {
            assert_eq!(parse(text, None).expect_err(text), told, "{text}");
        }
    }
}
