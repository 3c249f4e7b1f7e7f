//! A picture of a reading: every class in its own mark, those of the redline where it has them.

use std::collections::BTreeMap;

use geo::Coord;

use super::ground::{self, line, path, radius};
use super::measure::Rect;
use super::{Layer, Mark, MarkShape, Page, Panel, Sheet, Style, frame, measure, page, panel};
use crate::geom::finite;
use crate::plan::{LightId, Linework, MemberId, Plan, RoomId, in_full};
use crate::recognise::{Became, DOUBTED, Named, Reading, Shown};
use crate::rules::Rules;
use crate::write::legend::word;

/// Lays the picture out. `shown` is every line of the drawing and what became of it; lights,
/// members, rooms and devices are drawn as what they were understood to be.
pub fn legend(title: &str, plan: &Plan, readings: &[Reading], shown: &[Shown], rules: &Rules) -> Sheet {
    let frame = frame::frame(plan);
    let near = frame.bounds.grown(frame.text * 4.0);
    let mut marks = Vec::new();
    for (i, room) in plan.rooms.iter().enumerate() {
        let outline: Vec<Coord> = room.outline.iter().copied().filter(|p| finite(*p)).collect();
        if outline.len() > 2 {
            marks.push(path(Layer::Room, outline, true, true).of(RoomId(i)));
        }
    }
    // What matters most is drawn last.
    for became in [
        Became::Ignored,
        Became::Unclaimed,
        Became::LightLinework,
        Became::Wall,
    ] {
        let (layer, style) = match became {
            Became::Ignored => (Layer::Ignored, Style::Dashed),
            Became::LightLinework => (Layer::Lighting, Style::Dashed),
            Became::Wall => (Layer::Wall, Style::Plain),
            _ => (Layer::Unclaimed, Style::Plain),
        };
        for s in shown.iter().filter(|s| s.became == became) {
            let points: Vec<Coord> = s.points.iter().copied().filter(|p| finite(*p)).collect();
            let touches = |r: Rect| {
                r.least.x <= near.greatest.x
                    && near.least.x <= r.greatest.x
                    && r.least.y <= near.greatest.y
                    && near.least.y <= r.greatest.y
            };
            if points.len() > 1 && Rect::of(points.iter().copied()).is_some_and(touches) {
                marks.push(path(layer, points, s.closed, false).style(style));
            }
        }
    }
    for (i, m) in plan.members.iter().enumerate() {
        marks.extend(ground::member(m).map(|mark| mark.of(MemberId(i))));
    }
    for o in &plan.obstacles {
        let outline: Vec<Coord> = o.outline.iter().copied().filter(|p| finite(*p)).collect();
        if let (true, Some(r)) = (outline.len() > 2, Rect::of(outline.iter().copied())) {
            marks.push(path(Layer::Device, outline, true, true).of(&o.name));
            marks.push(
                line(Layer::Device, r.least, r.greatest)
                    .of(&o.name)
                    .style(Style::Fine),
            );
        }
    }
    let mut lights = Vec::new();
    for (i, l) in plan.lights.iter().enumerate().filter(|(_, l)| finite(l.at)) {
        ground::light(l, radius(l, rules), LightId(i), &mut lights);
    }
    let reach = (marks.iter().chain(&lights))
        .filter(|m| {
            matches!(
                m.layer,
                Layer::Light | Layer::Member | Layer::Room | Layer::Device
            )
        })
        .filter_map(|m| measure::extent(&m.shape))
        .fold(frame.bounds, Rect::join)
        .grown(2.0 * frame.text);
    // A text cut off at the frame tells nothing.
    let words = plan.linework.iter().filter_map(|l| lettering(l, &near));
    marks.extend(words.filter(|m| measure::extent(&m.shape).is_some_and(|e| reach.join(e) == reach)));
    // No word hides a light.
    marks.extend(lights);
    let mut panel = Panel {
        blocking: Vec::new(),
        summary: summary(plan, readings, &frame),
        list: Vec::new(),
        strips: Vec::new(),
        legend: meanings(plan, readings, &marks),
        cautions: panel::CAUTIONS.map(String::from).to_vec(),
        page: Page::default(),
    };
    panel.page = page::page(&format!("Reading of {title}"), &panel, &reach, &frame);
    Sheet {
        title: title.to_string(),
        bounds: (reach.least, reach.greatest),
        plan: marks,
        panel,
    }
}

/// The drawing's own words, so that one finds one's way.
fn lettering(l: &Linework, near: &Rect) -> Option<Mark> {
    let Linework::Text {
        at,
        height,
        angle,
        centred,
        text,
    } = l
    else {
        return None;
    };
    let sound = finite(*at) && height.is_finite() && *height > 0.0 && angle.is_finite();
    let shape = MarkShape::Text {
        at: *at,
        height: *height,
        angle: angle.to_degrees(),
        centred: *centred,
        text: text.clone(),
    };
    (sound && near.holds(*at) && !text.trim().is_empty()).then(|| Mark::new(Layer::Architect, shape))
}

fn summary(plan: &Plan, readings: &[Reading], frame: &frame::Frame) -> Vec<String> {
    let c = &plan.counts;
    let mut lines = vec![
        format!("Drawn in {}: {}.", in_full(&plan.units.name), plan.units.why),
        format!(
            "{} entities: {} claimed, {} unclaimed, {} dropped.",
            c.entities, c.claimed, c.unclaimed, c.dropped
        ),
    ];
    if readings.iter().any(|r| r.confidence.is_some()) {
        lines.push("How sure a name is goes from 0 to 1.00, the rules file's own word.".to_string());
    }
    lines.extend((plan.callouts.iter()).map(|c| format!("Written framing: {}.", c.said())));
    for r in readings {
        let Some(sure) = r.confidence.filter(|c| *c < DOUBTED) else {
            continue;
        };
        let what = if r.named == Named::Layer { "layer" } else { "block" };
        let (name, read_as) = (&r.name, word(r.class));
        lines.push(format!(
            "Doubtful: {what} {name}, read as {read_as}, sure {sure:.2}. The table says what was seen."
        ));
    }
    if frame.cut {
        lines.push("Parts of the drawing far from what was understood are not shown.".to_string());
    }
    lines
}

/// A line for every layer that has a mark, with how many there are.
fn meanings(plan: &Plan, readings: &[Reading], marks: &[Mark]) -> Vec<(Layer, String)> {
    let mut used: BTreeMap<Layer, usize> = BTreeMap::new();
    for m in marks {
        *used.entry(m.layer).or_insert(0) += 1;
    }
    used.into_iter()
        .map(|(layer, n)| {
            let mut words = match layer {
                Layer::Light => format!("Recessed light, true size of its opening: {}", plan.lights.len()),
                Layer::Member => format!(
                    "Framing member, true thickness; heavier: beam or header: {}",
                    plan.members.len()
                ),
                Layer::Room => format!("Room: {}", plan.rooms.len()),
                Layer::Device => format!("Device in the ceiling: {}", plan.obstacles.len()),
                Layer::Architect => "Lettering of the drawing".to_string(),
                other => format!("{}: {n}", panel::meaning(other)),
            };
            words.extend(class(layer).and_then(|class| sure(readings, class)));
            (layer, words)
        })
        .collect()
}

/// The class that a mark stands for.
fn class(layer: Layer) -> Option<Became> {
    match layer {
        Layer::Light => Some(Became::Light),
        Layer::Member => Some(Became::Framing),
        Layer::Wall => Some(Became::Wall),
        Layer::Room => Some(Became::Room),
        Layer::Device => Some(Became::Device),
        Layer::Ignored => Some(Became::Ignored),
        _ => None,
    }
}

/// How sure the names of a class are, from the least to the surest.
fn sure(readings: &[Reading], class: Became) -> Option<String> {
    let of = readings.iter().filter(|r| r.class == class);
    let mut all: Vec<f64> = of.filter_map(|r| r.confidence).collect();
    all.sort_by(f64::total_cmp);
    let (least, most) = (format!("{:.2}", all.first()?), format!("{:.2}", all.last()?));
    Some(match least == most {
        true => format!("; its names sure {most}"),
        false => format!("; its names sure {least} to {most}"),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::notation;

    #[test]
    fn lettering_is_whole_or_left_out() {
        let mut plan =
            notation::parse("room \"DEN\" (0,0) (96,0) (96,96) (0,96)\nlight (48,48) tag=R6").unwrap();
        let text = |x: f64, text: &str| Linework::Text {
            at: Coord { x, y: 20.0 },
            height: 6.0,
            angle: 0.0,
            centred: false,
            text: text.into(),
        };
        plan.linework = vec![text(20.0, "DEN"), text(60.0, &"BRACING ".repeat(30))];
        let sheet = legend("p", &plan, &[], &[], &Rules::default());
        let texts: Vec<&MarkShape> = (sheet.plan.iter())
            .filter(|m| m.layer == Layer::Architect)
            .map(|m| &m.shape)
            .collect();
        assert!(
            matches!(texts.as_slice(), [MarkShape::Text { text, .. }] if text == "DEN"),
            "{texts:?}"
        );
    }

    #[test]
    fn a_doubtful_name_stands_in_the_summary() {
        let plan = notation::parse("light (48,48) tag=R6").unwrap();
        let reading = |name: &str, confidence| Reading {
            named: Named::Layer,
            name: name.into(),
            count: 3,
            class: Became::Light,
            why: String::new(),
            confidence: Some(confidence),
            seen: None,
            may_be: None,
            became: BTreeMap::new(),
        };
        let readings = [reading("CAN", 0.4), reading("E-LITE", 0.97)];
        let sheet = legend("p", &plan, &readings, &[], &Rules::default());
        let doubts: Vec<&String> = (sheet.panel.summary.iter())
            .filter(|line| line.starts_with("Doubtful: "))
            .collect();
        assert_eq!(
            doubts,
            ["Doubtful: layer CAN, read as light, sure 0.40. The table says what was seen."]
        );
        let lights = &sheet
            .panel
            .legend
            .iter()
            .find(|(layer, _)| *layer == Layer::Light)
            .unwrap()
            .1;
        assert!(lights.ends_with("; its names sure 0.40 to 0.97"), "{lights}");
    }
}
