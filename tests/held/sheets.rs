//! What every sheet is held to where it is plotted at 1/4 in to the foot.

use bayline::plan::Plan;
use bayline::rules::Rules;
use bayline::sheet::measure::{Rect, extent, text_box};
use bayline::sheet::{Layer, Mark, MarkShape, Sheet};

/// Points on paper of an inch of plan at 1/4 in to the foot, which is 1:48 (derived).
const POINTS: f64 = 72.0 / 48.0;
/// Least height of capitals on paper, points: 3/32 in (common practice for notes on drawings).
const LEAST: f64 = 72.0 * 3.0 / 32.0;

fn graded(mark: &Mark) -> bool {
    matches!(mark.layer, Layer::Must | Layer::Should | Layer::Note)
}

/// Boxes of the sheet's own words: a badge as a whole, other words by their width.
fn boxes(marks: &[Mark]) -> Vec<(String, Rect)> {
    let own = marks.iter().filter(|m| m.layer != Layer::Architect);
    own.filter_map(|m| match &m.shape {
        MarkShape::Path {
            closed: true,
            filled: true,
            ..
        } if graded(m) => Some((m.of.clone().unwrap_or_default(), extent(&m.shape)?)),
        MarkShape::Text { text, .. } if !graded(m) => Some((text.clone(), text_box(&m.shape)?)),
        _ => None,
    })
    .collect()
}

/// How many labels there are; what is not legible, or in the way of something, is the error.
pub fn legible(sheet: &Sheet, plan: &Plan, rules: &Rules) -> Result<usize, String> {
    for m in &sheet.plan {
        if let (MarkShape::Text { height, text, .. }, true) = (&m.shape, m.layer != Layer::Architect)
            && height * POINTS < LEAST - 1e-9
        {
            return Err(format!("{text} is {} in high on paper", height * POINTS / 72.0));
        }
        if !sheet.panel.legend.iter().any(|(l, _)| *l == m.layer) {
            return Err(format!("{:?} is not in the legend", m.layer));
        }
    }
    let boxes = boxes(&sheet.plan);
    for (i, (name, a)) in boxes.iter().enumerate() {
        if let Some((other, _)) = boxes[i + 1..].iter().find(|(_, b)| a.overlaps(b)) {
            return Err(format!("{name} lies on {other}"));
        }
        for (j, light) in plan.lights.iter().enumerate() {
            let x = light.at.x.clamp(a.least.x, a.greatest.x);
            let y = light.at.y.clamp(a.least.y, a.greatest.y);
            let off = (x - light.at.x).hypot(y - light.at.y);
            if off < rules.luminaire(light).opening / 2.0 - 1e-9 {
                return Err(format!("{name} lies on the mark of L{}", j + 1));
            }
        }
    }
    Ok(boxes.len())
}
