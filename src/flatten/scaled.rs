//! Everything shown, `factor` times as great.

use super::{Flat, Item, PathVertex, Prim, Symbol};

impl Flat {
    /// The same drawing as if one of its units were `factor` times as long. Angles, bulges, handles and
    /// counts stay.
    pub fn scaled(&self, factor: f64) -> Flat {
        Flat {
            items: (self.items.iter())
                .map(|item| Item {
                    prim: item.prim.scaled(factor),
                    height: item.height * factor as f32,
                    ..item.clone()
                })
                .collect(),
            ..Flat {
                items: Vec::new(),
                unreached: self.unreached.clone(),
                unplotted: self.unplotted.clone(),
                ..*self
            }
        }
    }
}

impl Prim {
    fn scaled(&self, by: f64) -> Prim {
        match self {
            Prim::Segment { from, to } => Prim::Segment {
                from: *from * by,
                to: *to * by,
            },
            Prim::Point(at) => Prim::Point(*at * by),
            Prim::Circle { center, radius } => Prim::Circle {
                center: *center * by,
                radius: radius * by,
            },
            Prim::Arc {
                center,
                radius,
                start,
                sweep,
            } => Prim::Arc {
                center: *center * by,
                radius: radius * by,
                start: *start,
                sweep: *sweep,
            },
            Prim::Ellipse {
                center,
                major,
                minor,
                start,
                sweep,
            } => Prim::Ellipse {
                center: *center * by,
                major: *major * by,
                minor: *minor * by,
                start: *start,
                sweep: *sweep,
            },
            Prim::Path { vertices, closed } => Prim::Path {
                vertices: (vertices.iter())
                    .map(|v| PathVertex {
                        at: v.at * by,
                        bulge: v.bulge,
                        start_width: v.start_width * by,
                        end_width: v.end_width * by,
                    })
                    .collect(),
                closed: *closed,
            },
            Prim::Face(ring) => Prim::Face(ring.iter().map(|p| *p * by).collect()),
            Prim::Region { loops, curved } => Prim::Region {
                loops: (loops.iter())
                    .map(|ring| ring.iter().map(|p| *p * by).collect())
                    .collect(),
                curved: *curved,
            },
            Prim::Text {
                at,
                height,
                angle,
                centred,
                text,
            } => Prim::Text {
                at: *at * by,
                height: height * by,
                angle: *angle,
                centred: *centred,
                text: text.clone(),
            },
            Prim::Dimension {
                p1,
                p2,
                text_at,
                measured,
                text,
                rotated,
            } => Prim::Dimension {
                p1: *p1 * by,
                p2: *p2 * by,
                text_at: *text_at * by,
                measured: measured.map(|m| m * by),
                text: text.clone(),
                rotated: *rotated,
            },
            Prim::Symbol(symbol) => {
                let mut symbol: Symbol = (**symbol).clone();
                symbol.at = symbol.at * by;
                symbol.x_axis = symbol.x_axis * by;
                symbol.y_axis = symbol.y_axis * by;
                for a in &mut symbol.attribs {
                    a.at = a.at * by;
                    if let Some(l) = &mut a.lettered {
                        (l.at, l.height) = (l.at * by, l.height * by);
                    }
                }
                Prim::Symbol(Box::new(symbol))
            }
            Prim::Opaque => Prim::Opaque,
        }
    }
}
