//! Labels: what is to be said where, and in which order places are given out.

use std::collections::BTreeSet;

use geo::Coord;

use super::badge::{badge, layer, size};
use super::frame::Frame;
use super::ground::line;
use super::measure::{Rect, plan_width};
use super::place::Ground;
use super::{Layer, Mark, MarkShape, Style};
use crate::check::Finding;
use crate::geom::finite;
use crate::plan::{LightId, Linework, Plan, RoomId, RowId};

/// Something to be said near a point.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    pub anchor: Coord,
    /// Other points it may stand at as well, the better ones first.
    pub or: Vec<Coord>,
    /// Distance to keep from the anchor.
    pub clear: f64,
    pub text: String,
    pub layer: Layer,
    pub of: String,
}

impl Wanted {
    /// The true size of a deviation.
    pub fn value(anchor: Coord, clear: f64, text: String, of: String) -> Self {
        let layer = Layer::Deviation;
        Wanted {
            anchor,
            or: Vec::new(),
            clear,
            text,
            layer,
            of,
        }
    }

    pub fn moved(anchor: Coord, clear: f64, text: String, of: String) -> Self {
        Wanted {
            layer: Layer::Move,
            ..Self::value(anchor, clear, text, of)
        }
    }

    /// The cut length of a piece, at its middle or anywhere along it.
    pub fn cut((from, to): (Coord, Coord), clear: f64, text: String, of: String) -> Self {
        let at = |share: f64| from + (to - from) * share;
        Wanted {
            layer: Layer::Blocking,
            or: [0.35, 0.65, 0.2, 0.8, 0.05, 0.95].map(at).to_vec(),
            ..Self::value(at(0.5), clear, text, of)
        }
    }
}

/// Places everything: values first, as they must stand close; then badges, gravest first; then the
/// lights' ids and the rooms' names.
pub fn draw(
    plan: &Plan,
    findings: &[Finding],
    wanted: Vec<Wanted>,
    reaches: &[f64],
    frame: &Frame,
    ground: &mut Ground,
    marks: &mut Vec<Mark>,
) {
    let cap = frame.text;
    for w in wanted {
        text(&w, cap, ground, marks);
    }
    let mut order: Vec<&Finding> = findings.iter().filter(|f| finite(f.at)).collect();
    order.sort_by_key(|f| (std::cmp::Reverse(f.severity), f.id));
    for f in order {
        let at_light = f
            .lights
            .iter()
            .filter_map(|l| Some((plan.lights.get(l.0)?.at, *reaches.get(l.0)?)))
            .find(|(at, _)| finite(*at) && (*at - f.at).x.hypot((*at - f.at).y) < 1.0);
        let clear = at_light.map_or(0.5 * cap, |(_, reach)| reach + 0.4 * cap);
        let id = f.id.to_string();
        let (w, h) = size(&id, cap);
        let spot = ground.place(f.at, clear, w, h);
        if let Some((a, b)) = spot.leader {
            let start = at_light.map_or(a, |(at, reach)| toward(at, b, reach));
            marks.push(line(layer(f.severity), start, b).of(&id).style(Style::Fine));
        }
        marks.extend(badge(&id, layer(f.severity), spot.center, cap));
    }
    for (i, row) in plan.rows.iter().enumerate() {
        let d = row.from - row.to;
        let long = d.x.hypot(d.y);
        if !(finite(row.from) && long.is_finite() && long > 0.0) {
            continue;
        }
        let id = RowId(i).to_string();
        let end = Wanted {
            anchor: row.from + d * (2.2 * cap / long),
            or: Vec::new(),
            clear: 0.3 * cap,
            text: id.clone(),
            layer: Layer::RowLine,
            of: id,
        };
        text(&end, cap, ground, marks);
    }
    for (i, (l, reach)) in plan.lights.iter().zip(reaches).enumerate() {
        let id = LightId(i).to_string();
        text(
            &Wanted {
                anchor: l.at,
                or: Vec::new(),
                clear: reach + 0.3 * cap,
                text: id.clone(),
                layer: Layer::Label,
                of: id,
            },
            cap,
            ground,
            marks,
        );
    }
    names(plan, cap, ground, marks);
}

/// The point `by` from `from` on the way to `to`.
fn toward(from: Coord, to: Coord, by: f64) -> Coord {
    let d = to - from;
    let long = d.x.hypot(d.y);
    if long > by { from + d * (by / long) } else { to }
}

fn text(w: &Wanted, cap: f64, ground: &mut Ground, marks: &mut Vec<Mark>) {
    if !finite(w.anchor) {
        return;
    }
    let (wide, high) = (plan_width(&w.text, cap), cap * 1.3);
    let anchors = [&[w.anchor], w.or.as_slice()].concat();
    let spot = ground.place_at(&anchors, w.clear, wide, high);
    if let Some((a, b)) = spot.leader {
        marks.push(line(w.layer, a, b).of(&w.of).style(Style::Fine));
    }
    let shape = MarkShape::Text {
        at: spot.center,
        height: cap,
        angle: 0.0,
        centred: true,
        text: w.text.clone(),
    };
    marks.push(Mark::new(w.layer, shape).of(&w.of));
}

/// The words of a name or a text as they are compared: M. BATH is M BATH, W.I.C. is WIC.
fn plain(text: &str) -> Vec<String> {
    let text = text.replace(['.', '\'', '’'], "").to_uppercase();
    let words = text.split(|c: char| !c.is_alphanumeric());
    words.filter(|w| !w.is_empty()).map(str::to_string).collect()
}

/// Names of rooms whose name the architect's own lettering does not already show in them.
fn names(plan: &Plan, cap: f64, ground: &mut Ground, marks: &mut Vec<Mark>) {
    for (i, room) in plan.rooms.iter().enumerate() {
        let (Some(name), Some(inside)) = (&room.name, Rect::of(room.outline.iter().copied())) else {
            continue;
        };
        let written: BTreeSet<String> = (plan.linework.iter())
            .filter_map(|l| match l {
                Linework::Text { at, text, .. } if inside.holds(*at) => Some(plain(text)),
                _ => None,
            })
            .flatten()
            .collect();
        let whole = name.trim().to_uppercase();
        let shown = plan.linework.iter().any(
            |l| matches!(l, Linework::Text { at, text, .. } if inside.holds(*at) && text.to_uppercase().contains(&whole)),
        );
        let words = plain(name);
        let worded = !words.is_empty() && words.iter().all(|word| written.contains(word));
        if shown || worded || name.trim().is_empty() {
            continue;
        }
        let wide = plan_width(name, cap);
        // A corner away from the lights: first try the middle, then let it slide.
        let spot = ground.place(inside.center(), 0.0, wide, cap * 1.3);
        let shape = MarkShape::Text {
            at: spot.center,
            height: cap,
            angle: 0.0,
            centred: true,
            text: name.clone(),
        };
        marks.push(Mark::new(Layer::Room, shape).of(RoomId(i)));
    }
}
