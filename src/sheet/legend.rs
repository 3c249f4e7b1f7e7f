//! A picture of a reading: every class in its own mark, those of the redline where it has them.

use std::collections::BTreeMap;

use geo::Coord;

use super::ground::{self, line, path, radius};
use super::measure::Rect;
use super::{Layer, Mark, MarkShape, Page, Panel, Sheet, Style, frame, measure, page, panel};
use crate::geom::finite;
use crate::plan::{LightId, Linework, MemberId, Plan, RoomId};
use crate::recognise::{Became, Shown};
use crate::rules::Rules;

/// Lays the picture out. `shown` is every line of the drawing and what became of it; lights,
/// members, rooms and devices are drawn as what they were understood to be.
pub fn legend(title: &str, plan: &Plan, shown: &[Shown], rules: &Rules) -> Sheet {
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
    for (i, l) in plan.lights.iter().enumerate().filter(|(_, l)| finite(l.at)) {
        ground::light(l, radius(l, rules), LightId(i), &mut marks);
    }
    marks.extend(plan.linework.iter().filter_map(|l| lettering(l, &near)));

    let reach = marks
        .iter()
        .filter(|m| {
            matches!(
                m.layer,
                Layer::Light | Layer::Member | Layer::Room | Layer::Device
            )
        })
        .filter_map(|m| measure::extent(&m.shape))
        .fold(frame.bounds, Rect::join)
        .grown(2.0 * frame.text);
    let mut panel = Panel {
        blocking: Vec::new(),
        summary: summary(plan, &frame),
        list: Vec::new(),
        strips: Vec::new(),
        legend: meanings(plan, &marks),
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

fn summary(plan: &Plan, frame: &frame::Frame) -> Vec<String> {
    let c = &plan.counts;
    let mut lines = vec![
        format!("Drawn in {}: {}.", plan.units.name, plan.units.why),
        format!(
            "{} entities: {} claimed, {} unclaimed, {} dropped.",
            c.entities, c.claimed, c.unclaimed, c.dropped
        ),
    ];
    lines.extend((plan.callouts.iter()).map(|c| format!("Written framing: {}.", c.said())));
    if frame.cut {
        lines.push("Parts of the drawing far from what was understood are not shown.".to_string());
    }
    lines
}

/// A line for every layer that has a mark, with how many there are.
fn meanings(plan: &Plan, marks: &[Mark]) -> Vec<(Layer, String)> {
    let mut used: BTreeMap<Layer, usize> = BTreeMap::new();
    for m in marks {
        *used.entry(m.layer).or_insert(0) += 1;
    }
    used.into_iter()
        .map(|(layer, n)| {
            let words = match layer {
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
            (layer, words)
        })
        .collect()
}
