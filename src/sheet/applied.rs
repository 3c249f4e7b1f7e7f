//! What a mended plan says of its moves: the old place struck out, an arrow, the new place, and words.

use geo::{Coord, Vector2DOps};

use super::frame::frame;
use super::ground::radius;
use super::{Layer, Mark, MarkShape, Style};
use crate::geom::unit;
use crate::length::inches_only;
use crate::plan::{LightId, Plan};
use crate::remedy::joint::Settled;
use crate::rules::Rules;

/// Marks for every light that was moved. `plan` is the plan as drawn.
pub fn applied(plan: &Plan, settled: &Settled, rules: &Rules) -> Vec<Mark> {
    let text = frame(plan).text;
    let mut marks = Vec::new();
    for m in &settled.moved {
        let Some(light) = plan.lights.get(m.light.0) else {
            continue;
        };
        let by = (m.to - m.from).magnitude();
        let Some(way) = unit(m.to - m.from) else { continue };
        let size = radius(light, rules);
        strike(m.light, m.from, size, &mut marks);
        marks.push(
            Mark::new(
                Layer::Move,
                MarkShape::Circle {
                    center: m.to,
                    radius: size,
                    filled: false,
                },
            )
            .of(m.light),
        );
        marks.push(
            Mark::new(
                Layer::Move,
                MarkShape::Arrow {
                    from: m.from,
                    to: m.to,
                    head: text.min(0.4 * by),
                },
            )
            .of(m.light),
        );
        // Beside the circles, clear of the arrow: above it, or for one that runs up or down to the right of it.
        let beside = if way.x.abs() >= way.y.abs() {
            Coord {
                x: m.to.x,
                y: m.to.y + size + text,
            }
        } else {
            Coord {
                x: m.to.x + size + 0.5 * text,
                y: m.to.y,
            }
        };
        marks.push(
            Mark::new(
                Layer::Label,
                MarkShape::Text {
                    at: beside,
                    height: text,
                    angle: 0.0,
                    centred: false,
                    text: format!("{} moved {}", m.light, inches_only(by)),
                },
            )
            .of(m.light),
        );
    }
    marks
}

/// A circle with a cross through it.
fn strike(light: LightId, at: Coord, size: f64, marks: &mut Vec<Mark>) {
    let circle = MarkShape::Circle {
        center: at,
        radius: size,
        filled: false,
    };
    marks.push(Mark::new(Layer::Move, circle).of(light).style(Style::Dashed));
    let arm = size * std::f64::consts::FRAC_1_SQRT_2;
    for sign in [1.0, -1.0] {
        let d = Coord {
            x: arm,
            y: sign * arm,
        };
        let points = vec![at - d, at + d];
        let line = MarkShape::Path {
            points,
            closed: false,
            filled: false,
        };
        marks.push(Mark::new(Layer::Move, line).of(light).style(Style::Fine));
    }
}
