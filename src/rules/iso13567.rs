//! Layer names by ISO 13567-2: fields of fixed width.
//!
//! Agent 2 characters, element 6, presentation 2, then optional fields; `-` and `_` fill a field up. The presentation's first
//! letter, and the element codes of CI/SfB Table 1 that the built-in words use, are given from memory.

/// What is taken from such a name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Coded<'a> {
    /// Element code without what fills it up.
    pub element: &'a str,
    /// Presentation is of writing beside things: annotation, text, dimensions, hatching.
    pub writing: bool,
}

const FILL: [char; 2] = ['-', '_'];

/// The fields of a name; `None` where it is not of this form. A name whose element is all letters has to fill the
/// field up, since a plain name of ten letters would else pass.
pub fn coded(name: &str) -> Option<Coded<'_>> {
    let all = |s: &str| s.chars().all(|c| c.is_ascii_alphanumeric() || FILL.contains(&c));
    if !(10..=21).contains(&name.len()) || !all(name) {
        return None;
    }
    let (agent, element, presentation) = (name.get(..2)?, name.get(2..8)?, name.get(8..10)?);
    let lead = agent.trim_end_matches(FILL);
    let code = element.trim_end_matches(FILL);
    let sound = !lead.is_empty()
        && lead.starts_with(|c: char| c.is_ascii_alphabetic())
        && !code.is_empty()
        && !code.contains(FILL)
        && (code.len() < 6 || code.starts_with(|c: char| c.is_ascii_digit()));
    // One letter and one place more, as the part's letters have it; `--` is any.
    let letter = presentation.chars().next()?.to_ascii_uppercase();
    let known = letter == '-' || "EATDHMPB".contains(letter);
    (sound && known).then_some(Coded {
        element: code,
        writing: "ATDH".contains(letter),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_have_fixed_widths() {
        let coded = |name| coded(name).map(|c| (c.element, c.writing));
        assert_eq!(coded("E-63----E-"), Some(("63", false)));
        assert_eq!(coded("E-63____T-N01"), Some(("63", true)));
        assert_eq!(coded("A1221100D----1"), Some(("221100", true)));
        for other in [
            "E-LITE-CLNG",
            "A-WALL",
            "S-JOIS-ANNO-N",
            "63----E-",
            "LIGHTFITTINGS",
            "E-LITE-DEMO",
        ] {
            assert_eq!(coded(other), None, "{other}");
        }
    }
}
