//! What the header says of the unit, directly and by the way.

use super::Candidate;
use super::weigh::Evidence;
use crate::drawing::Drawing;

/// The header's `$INSUNITS`; `None` where it is absent or no number.
pub fn insunits(drawing: &Drawing<'_>) -> Option<i64> {
    let var =
        (drawing.header.iter()).find(|v| v.name.trim_start_matches('$').eq_ignore_ascii_case("INSUNITS"))?;
    let tag = var.tags.iter().find(|t| t.code == 70).or(var.tags.first())?;
    drawing.integer(tag)
}

/// Name and inches of the codes of `$INSUNITS` (DXF reference) that a building may be drawn in.
/// One inch is 25.4 mm exactly; a US survey foot is 1200/3937 m.
pub fn known(code: i64) -> Option<Candidate> {
    const SURVEY_FOOT: f64 = 1200.0 / 3937.0 / 0.0254;
    let (name, inches) = match code {
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
    };
    Some(Candidate { name, inches })
}

/// `$MEASUREMENT`, `$LUNITS` and `$DIMLFAC`: settings that often come from a template, so light. The last counts where `may`.
pub fn settings(
    drawing: &Drawing<'_>,
    candidates: &[Candidate],
    may: &dyn Fn(&Candidate) -> bool,
) -> Vec<Evidence> {
    let mut found = Vec::new();
    if let Some(metric @ 0..=1) = drawing.header_integer("$MEASUREMENT") {
        let said = format!("$MEASUREMENT is {metric}");
        found.push(Evidence::of(candidates, 0.25, |c| {
            let is_metric = !matches!(c.name, "in" | "ft" | "yd") && !c.name.starts_with("US");
            (f64::from(u8::from(is_metric == (metric == 1))), said.clone())
        }));
    }
    // Feet and inches can only be shown where one unit counts as an inch (3 engineering, 4 architectural).
    if let Some(3 | 4) = drawing.header_integer("$LUNITS") {
        found.push(Evidence::of(candidates, 0.75, |c| {
            let inch = (c.inches - 1.0).abs() < 1e-3;
            (
                f64::from(u8::from(inch)),
                "lengths shown as feet and inches ($LUNITS)".into(),
            )
        }));
    }
    let factor = drawing
        .header_var("$DIMLFAC")
        .and_then(|v| v.tags.first())
        .and_then(|tag| drawing.real(tag))
        .filter(|f| f.is_finite() && *f > 0.0 && (f - 1.0).abs() > 1e-3);
    if let Some(factor) = factor {
        found.push(Evidence::of(candidates, 1.0, |c| {
            let fits = may(c) && super::converts(factor, c.inches);
            (f64::from(u8::from(fits)), format!("$DIMLFAC is {factor}"))
        }));
    }
    found
}
