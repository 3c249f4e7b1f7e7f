//! Which unit a drawing is in.

use crate::drawing::{Drawing, Format};
use crate::note::Note;
use crate::plan::Units;
use crate::rules::UnitChoice;

/// Decides the unit: the user's choice, else the header's `$INSUNITS`. `Err` is one sentence that
/// asks for `--units` where neither tells.
pub fn decide(drawing: &Drawing<'_>, choice: UnitChoice) -> Result<(Units, Vec<Note>), String> {
    let header = insunits(drawing);
    if let Some((name, inches)) = chosen(choice) {
        let mut notes = Vec::new();
        if let Some((said, other)) = header.and_then(known)
            && other != inches
        {
            notes.push(Note::info(
                "units-overridden",
                format!("the drawing's header says {said}, the rules say {name}: taken as {name}"),
            ));
        }
        let why = "chosen in the rules or by --units".to_string();
        return Ok((units(name, inches, why), notes));
    }
    match header {
        None => Err("the drawing does not say its unit ($INSUNITS is absent); \
                     give it with --units in, ft, mm, cm or m"
            .into()),
        Some(0) => Err("the drawing does not say its unit ($INSUNITS is 0); \
                        give it with --units in, ft, mm, cm or m"
            .into()),
        Some(code) => match known(code) {
            Some((name, inches)) => Ok((
                units(name, inches, format!("$INSUNITS of the drawing is {code}")),
                Vec::new(),
            )),
            None => Err(format!(
                "the drawing's unit ($INSUNITS {code}) is not one a house is drawn in; \
                 give it with --units in, ft, mm, cm or m"
            )),
        },
    }
}

fn units(name: &str, inches_per_unit: f64, why: String) -> Units {
    Units {
        name: name.into(),
        inches_per_unit,
        why,
    }
}

fn chosen(choice: UnitChoice) -> Option<(&'static str, f64)> {
    match choice {
        UnitChoice::Auto => None,
        UnitChoice::In => known(1),
        UnitChoice::Ft => known(2),
        UnitChoice::Mm => known(4),
        UnitChoice::Cm => known(5),
        UnitChoice::M => known(6),
    }
}

/// Name and inches of the codes of `$INSUNITS` (DXF reference) that a building may be drawn in.
/// One inch is 25.4 mm exactly; a US survey foot is 1200/3937 m.
fn known(code: i64) -> Option<(&'static str, f64)> {
    const SURVEY_FOOT: f64 = 1200.0 / 3937.0 / 0.0254;
    Some(match code {
        1 => ("in", 1.0),
        2 => ("ft", 12.0),
        4 => ("mm", 1.0 / 25.4),
        5 => ("cm", 1.0 / 2.54),
        6 => ("m", 1.0 / 0.0254),
        10 => ("yd", 36.0),
        14 => ("dm", 1.0 / 0.254),
        21 => ("US survey ft", SURVEY_FOOT),
        22 => ("US survey in", SURVEY_FOOT / 12.0),
        23 => ("US survey yd", SURVEY_FOOT * 3.0),
        _ => return None,
    })
}

/// The header's `$INSUNITS`; `None` where it is absent or no number.
fn insunits(drawing: &Drawing<'_>) -> Option<i64> {
    let var = drawing
        .header
        .iter()
        .find(|v| v.name.trim_start_matches('$').eq_ignore_ascii_case("INSUNITS"))?;
    let tag = var.tags.iter().find(|t| t.code == 70).or(var.tags.first())?;
    let bytes = drawing.source.get(tag.value.clone())?;
    match drawing.format {
        Format::Binary { .. } => Some(i64::from(i16::from_le_bytes(bytes.get(..2)?.try_into().ok()?))),
        Format::Ascii { .. } => std::str::from_utf8(bytes).ok()?.trim().parse().ok(),
    }
}
