//! One entity, without INSERTs, to one primitive in plan and in inches.

use std::f64::consts::PI;
use std::sync::Arc;

use geo::Coord;

use super::conic::{conic, sweep, turn};
use super::matrix::{Affine, Vec3, cross, sin_cos_degrees};
use super::path::path;
use super::{Prim, conic, ocs, text};
use crate::drawing::{Entity, Shape, Vertex};

/// Inches beyond which a coordinate is no building any more: its squares would not fit a number's
/// precision, and everything near it would be lost in rounding.
pub const FARTHEST: f64 = 1e12;

/// What stood in the way of a primitive, or was put right for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Odd {
    /// Dropped: a coordinate is no number or too far away.
    Beyond,
    /// Kept as opaque: no vertex, or a face of fewer than three corners.
    Empty,
    /// Kept: the extrusion direction had no length; z was taken.
    Extrusion,
    /// Kept: a negative radius was taken as positive.
    NegativeRadius,
    /// Kept: a bulge was no number; the run was taken as straight.
    Bulge,
}

/// The primitive of an entity that is no INSERT, and what was odd. `None` where it is dropped.
pub fn primitive(entity: &Entity<'_>, map: &Affine) -> (Option<Prim>, Option<Odd>) {
    part(&entity.shape, entity.extrusion, map)
}

/// The same of one of the shapes that an entity draws.
pub fn part(drawn: &Shape<'_>, extrusion: Vec3, map: &Affine) -> (Option<Prim>, Option<Odd>) {
    let (to_world, straight) = ocs::to_world(extrusion);
    let mut odd = (!straight).then_some(Odd::Extrusion);
    let prim = shape(drawn, map, &to_world, &mut odd);
    if within_reach(&prim) {
        (Some(prim), odd)
    } else {
        (None, Some(Odd::Beyond))
    }
}

fn shape(shape: &Shape<'_>, world: &Affine, to_world: &Affine, odd: &mut Option<Odd>) -> Prim {
    let object = world.after(to_world);
    match shape {
        Shape::Line { from, to } => Prim::Segment {
            from: world.plan(level(*from)),
            to: world.plan(level(*to)),
        },
        Shape::Point { at } => Prim::Point(world.plan(level(*at))),
        Shape::Circle { center, radius } => round(&object, *center, *radius, None, odd),
        Shape::Arc {
            center,
            radius,
            start,
            end,
        } => round(&object, *center, *radius, Some((*start, *end)), odd),
        Shape::Ellipse {
            center,
            major,
            ratio,
            start,
            end,
        } => {
            let normal = to_world.vector([0.0, 0.0, 1.0]);
            let minor = cross(normal, level(*major)).map(|c| c * ratio);
            let (u, v) = (world.plan_vector(level(*major)), world.plan_vector(minor));
            conic(
                world.plan(level(*center)),
                u,
                v,
                turn(*start),
                sweep(*start, *end),
            )
        }
        Shape::Polyline {
            vertices,
            closed,
            elevation,
            world: in_world,
        } => {
            let Some(_) = vertices.first() else {
                *odd = Some(Odd::Empty);
                return Prim::Opaque;
            };
            let (map, height) = if *in_world {
                (world, None)
            } else {
                (&object, Some(*elevation))
            };
            let vertices: Vec<Vertex> = vertices.iter().map(|v| sound(v, height, odd)).collect();
            path(&vertices, *closed, map)
        }
        Shape::Text {
            at,
            align,
            halign,
            valign,
            height,
            angle,
            text,
        } => text::line(
            &text::Line {
                at: level(*at),
                align: align.map(level),
                halign: *halign,
                valign: *valign,
                height: *height,
                angle: *angle,
                text,
            },
            &object,
        ),
        Shape::MText {
            at,
            height,
            angle,
            width,
            attachment,
            text,
        } => text::paragraphs(
            &text::Paragraphs {
                at: level(*at),
                height: *height,
                angle: *angle,
                width: *width,
                attachment: *attachment,
                text,
            },
            world,
        ),
        Shape::Dimension {
            kind,
            text_at,
            p1,
            p2,
            angle,
            measured,
            text,
            ..
        } => dimension(
            world,
            *kind,
            [*text_at, *p1, *p2].map(level),
            *angle,
            *measured,
            text,
        ),
        Shape::Face {
            corners,
            world: in_world,
        } => {
            if corners.len() < 3 {
                *odd = Some(Odd::Empty);
                return Prim::Opaque;
            }
            let map = if *in_world { world } else { &object };
            Prim::Face(corners.iter().map(|c| map.plan(level(*c))).collect())
        }
        Shape::Hatch {
            loops,
            elevation,
            curved,
        } => Prim::Region {
            loops: (loops.iter())
                .map(|ring| {
                    (ring.iter())
                        .map(|p| object.plan(level([p[0], p[1], *elevation])))
                        .collect()
                })
                .collect(),
            curved: *curved > 0,
        },
        Shape::Insert(_) | Shape::MultiLeader(_) | Shape::Parts(_) | Shape::Other => Prim::Opaque,
    }
}

/// A circle, or an arc from one angle in degrees to the other.
fn round(map: &Affine, center: Vec3, radius: f64, ends: Option<(f64, f64)>, odd: &mut Option<Odd>) -> Prim {
    if radius < 0.0 {
        *odd = Some(Odd::NegativeRadius);
    }
    let r = radius.abs();
    let (start, end) = ends.map_or((0.0, 0.0), |(a, b)| (a.to_radians(), b.to_radians()));
    let (u, v) = (map.plan_vector([r, 0.0, 0.0]), map.plan_vector([0.0, r, 0.0]));
    conic(map.plan(level(center)), u, v, turn(start), sweep(start, end))
}

/// A linear dimension. The others (angular, radius, diameter, ordinate) measure no distance between
/// two points of the plan and stay opaque.
fn dimension(
    map: &Affine,
    kind: i16,
    [text_at, p1, p2]: [Vec3; 3],
    angle: f64,
    measured: Option<f64>,
    text: &str,
) -> Prim {
    // The low bits name the kind, 0 rotated and 1 aligned; those from 32 up are flags.
    let kind = kind & 0b1111;
    if kind > 1 {
        return Prim::Opaque;
    }
    let (sin, cos) = sin_cos_degrees(if angle.is_finite() { angle } else { 0.0 });
    let along = map.plan_vector([cos, sin, 0.0]);
    let (u, v) = (map.plan_vector([1.0, 0.0, 0.0]), map.plan_vector([0.0, 1.0, 0.0]));
    let scale = conic::cross(u, v).abs().sqrt();
    Prim::Dimension {
        p1: map.plan(p1),
        p2: map.plan(p2),
        text_at: map.plan(text_at),
        // Some programs write −1 or 0 for "not measured".
        measured: measured.map(|m| m * scale).filter(|m| m.is_finite() && *m > 0.0),
        text: Arc::from(text),
        rotated: (kind == 0).then(|| half_turn(along.y.atan2(along.x))),
    }
}

/// The direction of a line, in [0, π).
fn half_turn(angle: f64) -> f64 {
    let a = angle.rem_euclid(PI);
    if a >= PI { 0.0 } else { a }
}

/// The vertex with its height settled and no number that is none in bulge or width.
fn sound(vertex: &Vertex, height: Option<f64>, odd: &mut Option<Odd>) -> Vertex {
    let [x, y, z] = vertex.at;
    if !vertex.bulge.is_finite() {
        *odd = Some(Odd::Bulge);
    }
    let finite = |n: f64| if n.is_finite() { n } else { 0.0 };
    Vertex {
        at: [x, y, finite(height.unwrap_or(z))],
        bulge: finite(vertex.bulge),
        start_width: finite(vertex.start_width).abs(),
        end_width: finite(vertex.end_width).abs(),
    }
}

/// The point with a height that cannot spoil x and y: a plan does not need it.
fn level(p: Vec3) -> Vec3 {
    [p[0], p[1], if p[2].is_finite() { p[2] } else { 0.0 }]
}

/// True where every number of the primitive is a place on a building site.
fn within_reach(prim: &Prim) -> bool {
    let near = |c: &Coord| c.x.abs() <= FARTHEST && c.y.abs() <= FARTHEST;
    let number = |n: f64| n.abs() <= FARTHEST;
    match prim {
        Prim::Segment { from, to } => near(from) && near(to),
        Prim::Point(at) => near(at),
        Prim::Circle { center, radius } => near(center) && number(*radius),
        Prim::Arc {
            center,
            radius,
            start,
            sweep,
        } => near(center) && number(*radius) && number(*start) && number(*sweep),
        Prim::Ellipse {
            center,
            major,
            minor,
            start,
            sweep,
        } => near(center) && near(major) && near(minor) && number(*start) && number(*sweep),
        Prim::Path { vertices, .. } => vertices
            .iter()
            .all(|v| near(&v.at) && number(v.start_width) && number(v.end_width)),
        Prim::Face(ring) => ring.iter().all(near),
        Prim::Text {
            at, height, angle, ..
        } => near(at) && number(*height) && number(*angle),
        Prim::Dimension { p1, p2, text_at, .. } => near(p1) && near(p2) && near(text_at),
        Prim::Symbol(s) => near(&s.at) && near(&s.x_axis) && near(&s.y_axis),
        Prim::Region { loops, .. } => loops.iter().flatten().all(near),
        Prim::Opaque => true,
    }
}

/// True where an INSERT's frame is a place on a building site.
pub fn frame_within_reach(at: Coord, x_axis: Coord, y_axis: Coord) -> bool {
    [at, x_axis, y_axis]
        .iter()
        .all(|c| c.x.abs() <= FARTHEST && c.y.abs() <= FARTHEST)
}
