//! `[keep]`: what may not move.

use super::file::Fault;
use super::raw;

/// What may not move, as the rules name it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KeepRules {
    /// Ids of the report, or tags.
    pub lights: Vec<String>,
    /// Ids of the report.
    pub rows: Vec<String>,
    /// Names, or ids of the report.
    pub rooms: Vec<String>,
    pub lines: Vec<KeepLine>,
    /// Rows, by id, that stand in one line through several rooms.
    pub through: Vec<Vec<String>>,
}

/// A centreline that lights move along and never off.
#[derive(Clone, Debug, PartialEq)]
pub struct KeepLine {
    pub name: String,
    /// Two points of it, in DRAWING units.
    pub from: [f64; 2],
    pub to: [f64; 2],
    /// Lights this near are on it, inches [1].
    pub within: f64,
}

/// Lights this near to a centreline are on it where nothing else is said, inches: what may be called stacked is one place.
const WITHIN: f64 = 1.0;

pub(super) fn keep(raw: &raw::Keep) -> Result<KeepRules, Fault> {
    let names = |given: &[toml::Spanned<String>]| -> Result<Vec<String>, Fault> {
        given
            .iter()
            .map(|n| match n.get_ref().trim() {
                "" => Err(Fault::new(n.span(), "a name in [keep] is empty")),
                name => Ok(name.to_string()),
            })
            .collect()
    };
    let mut keep = KeepRules {
        lights: names(&raw.lights)?,
        rows: names(&raw.rows)?,
        rooms: names(&raw.rooms)?,
        ..KeepRules::default()
    };
    for rows in &raw.through {
        if rows.get_ref().len() < 2 {
            return Err(Fault::new(
                rows.span(),
                "through lists two rows or more that stand in one line",
            ));
        }
        keep.through.push(names(rows.get_ref())?);
    }
    for entry in &raw.line {
        let line = entry.get_ref();
        let given = [line.to.is_some(), line.direction.is_some()];
        let to = match (line.to, line.direction) {
            (Some(to), None) => to,
            (None, Some(degrees)) => {
                // Far enough that rounding does not turn it, near enough for any plan.
                let (sin, cos) = degrees.to_radians().sin_cos();
                [line.from[0] + cos * 1000.0, line.from[1] + sin * 1000.0]
            }
            _ if given[0] => {
                return Err(Fault::new(
                    entry.span(),
                    "a line has either to or direction, not both",
                ));
            }
            _ => {
                return Err(Fault::new(
                    entry.span(),
                    "a line needs to, a second point, or direction, in degrees",
                ));
            }
        };
        if line.from == to || line.from.iter().chain(&to).any(|v| !v.is_finite()) {
            return Err(Fault::new(entry.span(), "a line needs two different points"));
        }
        let name = line.name.as_deref().unwrap_or("a centreline").trim().to_string();
        keep.lines.push(KeepLine {
            name,
            from: line.from,
            to,
            within: match &line.within {
                Some(v) => super::file::not_negative(v, "within")?,
                None => WITHIN,
            },
        });
    }
    Ok(keep)
}

#[cfg(test)]
mod tests {
    use crate::rules::parse;

    #[test]
    fn what_is_kept_is_read() {
        let text = "[keep]\nlights = [\" L7 \", \"R4\"]\nthrough = [[\"W1\", \"W4\"]]\n[[keep.line]]\nname = \"island\"\n\
                    from = [10, 20]\ndirection = 90\nwithin = \"1/2\"\n";
        let keep = parse(text, None).unwrap().keep;
        assert_eq!(keep.lights, ["L7", "R4"]);
        assert_eq!(keep.through, [["W1", "W4"]]);
        let [line] = keep.lines.as_slice() else {
            panic!("{keep:?}")
        };
        assert_eq!((line.name.as_str(), line.within), ("island", 0.5));
        assert!((line.to[0] - 10.0).abs() < 1e-9 && line.to[1] > 20.0);
    }

    #[test]
    fn what_cannot_be_meant_is_refused_with_its_line() {
        for (text, part) in [
            ("[keep]\nlight = [\"L7\"]\n", "did you mean `lights`?"),
            ("[keep]\nrows = [\" \"]\n", ":2: a name in [keep] is empty"),
            ("[keep]\nthrough = [[\"W1\"]]\n", ":2: through lists two rows"),
            ("[[keep.line]]\nfrom = [0, 0]\n", "needs to"),
            (
                "[[keep.line]]\nfrom = [0, 0]\nto = [0, 0]\n",
                "two different points",
            ),
            (
                "[[keep.line]]\nfrom = [0, 0]\nto = [1, 0]\ndirection = 0\n",
                "not both",
            ),
        ] {
            let said = parse(text, None).unwrap_err();
            assert!(said.contains(part), "{said}");
        }
    }
}
