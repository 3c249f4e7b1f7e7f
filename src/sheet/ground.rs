//! The quiet part of the plan: the architect's lines, rooms, members, lights and row lines.

use std::collections::BTreeSet;

use geo::Coord;

use super::frame::Frame;
use super::measure::Rect;
use super::place::Ground;
use super::{Layer, Mark, MarkShape, Style};
use crate::check::{Finding, Severity};
use crate::geom::finite;
use crate::plan::{Light, LightId, Linework, Member, MemberId, MemberKind, Plan, RoomId, RowId};
use crate::remedy::facing::Facing;
use crate::rules::Rules;

/// Radius a light is drawn at: half its opening, kept to what a ceiling can hold.
pub fn radius(light: &Light, rules: &Rules) -> f64 {
    let r = rules.luminaire(light).opening / 2.0;
    if r.is_finite() { r.clamp(0.5, 24.0) } else { 3.0 }
}

pub fn path(layer: Layer, points: Vec<Coord>, closed: bool, filled: bool) -> Mark {
    Mark::new(
        layer,
        MarkShape::Path {
            points,
            closed,
            filled,
        },
    )
}

pub fn line(layer: Layer, from: Coord, to: Coord) -> Mark {
    path(layer, vec![from, to], false, false)
}

/// Corners of a bar: a centreline and a thickness. `None` where it has no length.
pub fn bar(from: Coord, to: Coord, thickness: f64) -> Option<Vec<Coord>> {
    let d = to - from;
    let long = d.x.hypot(d.y);
    if !(long.is_finite() && long > 0.0 && thickness.is_finite()) {
        return None;
    }
    let side = Coord { x: -d.y, y: d.x } * (thickness / 2.0 / long);
    Some(vec![from + side, from - side, to - side, to + side])
}

/// How far the mark of a junction box stands out from the opening, as a share of its radius.
const BOX: f64 = 0.45;

/// How far from its centre each light and the rings around it reach. Labels keep off that.
pub fn reaches(plan: &Plan, findings: &[Finding], rules: &Rules, frame: &Frame) -> Vec<f64> {
    let mut worst: Vec<Option<Severity>> = vec![None; plan.lights.len()];
    for f in findings {
        for l in &f.lights {
            if let Some(w) = worst.get_mut(l.0) {
                *w = (*w).max(Some(f.severity));
            }
        }
    }
    let ring = |w: Option<Severity>| match w {
        Some(Severity::Must) => 0.75,
        Some(Severity::Should) => 0.45,
        Some(Severity::Note) | None => 0.1,
    };
    let lights = plan.lights.iter().zip(worst);
    lights
        .map(|(l, w)| radius(l, rules) * (1.0 + BOX) + ring(w) * frame.text)
        .collect()
}

#[allow(clippy::too_many_arguments)]
pub fn draw(
    plan: &Plan,
    facings: &[Facing],
    rules: &Rules,
    frame: &Frame,
    reaches: &[f64],
    ground: &mut Ground,
    marks: &mut Vec<Mark>,
) {
    rooms(plan, marks);
    let lettering = architect(plan, frame, ground, marks);
    for (i, m) in plan.members.iter().enumerate() {
        marks.extend(member(m).map(|mark| mark.of(MemberId(i))));
        ground.avoid(m.from, m.to, 0.3);
    }
    // The architect's words stay legible where members run through them.
    marks.extend(lettering);
    for (i, row) in plan.rows.iter().enumerate() {
        if !(finite(row.from) && finite(row.to)) {
            continue;
        }
        let d = row.to - row.from;
        let long = d.x.hypot(d.y);
        let over = if long > 0.0 {
            d * (frame.text * 2.2 / long)
        } else {
            Coord { x: 0.0, y: 0.0 }
        };
        let (from, to) = (row.from - over, row.to + over);
        marks.push(line(Layer::RowLine, from, to).of(RowId(i)).style(Style::Dashed));
        ground.avoid(from, to, 2.0);
    }
    let lights = plan.lights.iter().zip(reaches).enumerate();
    for (i, (l, reach)) in lights.filter(|(_, (l, _))| finite(l.at)) {
        light(l, radius(l, rules), LightId(i), marks);
        ground.take_disc(l.at, *reach);
    }
    for facing in facings {
        marks.extend(junction_box(plan, rules, facing));
    }
}

/// A tab on the edge of the opening, on the side where the junction box goes.
fn junction_box(plan: &Plan, rules: &Rules, facing: &Facing) -> Option<Mark> {
    let light = plan.lights.get(facing.light.0).filter(|l| finite(l.at))?;
    let r = radius(light, rules);
    let (from, to) = (
        light.at + facing.toward * r,
        light.at + facing.toward * (r * (1.0 + BOX)),
    );
    let corners = bar(from, to, r * 0.7)?;
    Some(path(Layer::JunctionBox, corners, true, true).of(facing.light))
}

fn rooms(plan: &Plan, marks: &mut Vec<Mark>) {
    for (i, room) in plan.rooms.iter().enumerate() {
        let outline: Vec<Coord> = room.outline.iter().copied().filter(|p| finite(*p)).collect();
        if outline.len() > 2 {
            marks.push(path(Layer::Room, outline, true, true).of(RoomId(i)));
        }
    }
}

/// A key of a segment, whichever way round, to a thousandth of an inch.
fn key(a: Coord, b: Coord) -> [i64; 4] {
    let [a, b] = [a, b].map(|p| [(p.x * 1e3).round() as i64, (p.y * 1e3).round() as i64]);
    let (a, b) = if a <= b { (a, b) } else { (b, a) };
    [a[0], a[1], b[0], b[1]]
}

/// The architect's lines; what is lettered is given back, to be drawn over the members.
fn architect(plan: &Plan, frame: &Frame, ground: &mut Ground, marks: &mut Vec<Mark>) -> Vec<Mark> {
    let mut lettering = Vec::new();
    let near = frame.bounds.grown(frame.text * 4.0);
    let mut seen = BTreeSet::new();
    for l in &plan.linework {
        match l {
            Linework::Path { points, closed } => {
                let points: Vec<Coord> = points.iter().copied().filter(|p| finite(*p)).collect();
                if points.len() < 2 || !Rect::of(points.iter().copied()).is_some_and(|r| touches(&near, &r)) {
                    continue;
                }
                seen.extend(points.windows(2).map(|w| key(w[0], w[1])));
                if let (true, Some(a), Some(b)) = (*closed, points.last(), points.first()) {
                    seen.insert(key(*a, *b));
                }
                marks.push(path(Layer::Architect, points, *closed, false));
            }
            Linework::Text {
                at,
                height,
                angle,
                centred,
                text,
            } => {
                let sound = finite(*at) && height.is_finite() && *height > 0.0 && angle.is_finite();
                if !sound || !near.holds(*at) || text.trim().is_empty() {
                    continue;
                }
                let shape = MarkShape::Text {
                    at: *at,
                    height: *height,
                    angle: angle.to_degrees(),
                    centred: *centred,
                    text: text.clone(),
                };
                if let Some(b) = super::measure::text_box(&shape) {
                    let mid = b.center().y;
                    let (a, z) = (b.least.x, b.greatest.x);
                    ground.avoid(Coord { x: a, y: mid }, Coord { x: z, y: mid }, 1.5);
                }
                lettering.push(Mark::new(Layer::Architect, shape));
            }
        }
    }
    for &(a, b) in &plan.walls {
        let shown = finite(a) && finite(b) && Rect::of([a, b]).is_some_and(|r| touches(&near, &r));
        if shown && seen.insert(key(a, b)) {
            marks.push(line(Layer::Architect, a, b));
        }
    }
    for o in &plan.obstacles {
        let outline: Vec<Coord> = o.outline.iter().copied().filter(|p| finite(*p)).collect();
        if outline.len() > 1 {
            marks.push(path(Layer::Architect, outline, true, false).of(&o.name));
        }
    }
    lettering
}

fn touches(a: &Rect, b: &Rect) -> bool {
    a.least.x <= b.greatest.x
        && b.least.x <= a.greatest.x
        && a.least.y <= b.greatest.y
        && b.least.y <= a.greatest.y
}

pub fn member(m: &Member) -> Option<Mark> {
    let mark = path(Layer::Member, bar(m.from, m.to, m.thickness)?, true, true);
    Some(match m.kind {
        MemberKind::Beam | MemberKind::Header => mark.style(Style::Heavy),
        MemberKind::Joist | MemberKind::Truss | MemberKind::Block => mark,
    })
}

/// The opening to be cut, true to size, and the point to plumb it from.
pub fn light(l: &Light, r: f64, id: LightId, marks: &mut Vec<Mark>) {
    marks.push(
        Mark::new(
            Layer::Light,
            MarkShape::Circle {
                center: l.at,
                radius: r,
                filled: true,
            },
        )
        .of(id),
    );
    let arm = r * 0.45;
    for d in [Coord { x: arm, y: 0.0 }, Coord { x: 0.0, y: arm }] {
        marks.push(line(Layer::Light, l.at - d, l.at + d).of(id).style(Style::Fine));
    }
}
