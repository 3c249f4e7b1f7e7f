//! Places a house on a drawing and writes it with the `dxf` crate.

use std::io::Cursor;

use chrono::TimeZone;
use dxf::entities::{
    Arc, Attribute, Circle, Entity, EntityType, Insert, Line, LwPolyline, Polyline, Text, Vertex,
};
use dxf::enums::{AcadVersion, Units};
use dxf::tables::Layer;
use dxf::{Block, Color, Drawing, LwPolylineVertex};

use crate::house::{Draw, House, Point};

#[derive(Clone, Copy)]
pub enum Unit {
    Inch,
    Millimetre,
}

/// Mirrored about the y axis, then turned (degrees), then shifted (inches).
#[derive(Clone, Copy)]
pub struct Placing {
    pub mirror: bool,
    pub turn: f64,
    pub shift: (f64, f64),
}

pub struct Sheet {
    version: AcadVersion,
    unit: Unit,
    placing: Placing,
    binary: bool,
}

const LAYERS: [(&str, u8); 10] = [
    ("A-AREA", 253),
    ("A-AREA-IDEN", 7),
    ("A-DOOR", 3),
    ("A-FURN", 8),
    ("A-WALL", 7),
    ("A-WALL-EXTR", 7),
    ("E-LITE", 2),
    ("S-BEAM", 1),
    ("S-JOIS", 5),
    ("S-TRUS", 5),
];

/// Where the symbol's centre lies from its insertion point: drafters often pick a corner.
const SYMBOL_CENTRE: Point = (4.0, 4.0);

impl Sheet {
    pub fn new(version: AcadVersion, unit: Unit, placing: Placing) -> Self {
        Sheet {
            version,
            unit,
            placing,
            binary: false,
        }
    }

    pub fn binary(version: AcadVersion, unit: Unit, placing: Placing) -> Self {
        Sheet {
            binary: true,
            ..Sheet::new(version, unit, placing)
        }
    }

    pub fn draw(&self, house: &House) -> Result<Vec<u8>, Box<dyn std::error::Error>> {
        let mut drawing = Drawing::new();
        drawing.header.version = self.version;
        drawing.header.default_drawing_units = match self.unit {
            Unit::Inch => Units::Inches,
            Unit::Millimetre => Units::Millimeters,
        };
        // The same bytes whenever it is drawn: no clock, no chance.
        let drawn = chrono::Utc
            .with_ymd_and_hms(2026, 1, 5, 12, 0, 0)
            .single()
            .ok_or("no such day")?;
        let local = chrono::Local
            .from_local_datetime(&drawn.naive_utc())
            .single()
            .ok_or("no such hour")?;
        drawing.header.creation_date = local;
        drawing.header.creation_date_universal = drawn;
        drawing.header.update_date = local;
        drawing.header.update_date_universal = drawn;
        drawing.header.fingerprint_guid = Default::default();
        drawing.header.version_guid = Default::default();
        for (name, color) in LAYERS {
            drawing.add_layer(Layer {
                name: name.to_string(),
                color: Color::from_index(color),
                ..Default::default()
            });
        }
        for (tag, radius) in [("R6", 3.0), ("R4", 2.0)] {
            drawing.add_block(self.symbol(tag, radius));
        }
        for (layer, shape) in &house.shapes {
            for specific in self.shape(shape, &mut drawing) {
                drawing.add_entity(on(layer, specific));
            }
        }
        for light in &house.lights {
            let insert = self.light(light.tag, light.at, &mut drawing);
            drawing.add_entity(on("E-LITE", EntityType::Insert(insert)));
        }
        drawing.normalize();
        let mut out = Cursor::new(Vec::new());
        if self.binary {
            drawing.save_binary(&mut out)?;
        } else {
            drawing.save(&mut out)?;
        }
        Ok(bayline::drawing::mend(&out.into_inner())?)
    }

    fn scale(&self) -> f64 {
        match self.unit {
            Unit::Inch => 1.0,
            Unit::Millimetre => 25.4,
        }
    }

    fn point(&self, (x, y): Point) -> dxf::Point {
        let x = if self.placing.mirror { -x } else { x };
        let (sin, cos) = self.placing.turn.to_radians().sin_cos();
        let k = self.scale();
        let (dx, dy) = self.placing.shift;
        dxf::Point::new((x * cos - y * sin + dx) * k, (x * sin + y * cos + dy) * k, 0.0)
    }

    /// Whether the drawing's version knows LWPOLYLINE.
    fn lightweight(&self) -> bool {
        self.version >= AcadVersion::R14
    }

    fn symbol(&self, tag: &str, radius: f64) -> Block {
        let k = self.scale();
        let (cx, cy) = (SYMBOL_CENTRE.0 * k, SYMBOL_CENTRE.1 * k);
        let at = |dx: f64, dy: f64| dxf::Point::new(cx + dx * radius * k, cy + dy * radius * k, 0.0);
        let mut block = Block {
            name: format!("LT-{tag}"),
            ..Default::default()
        };
        block
            .entities
            .push(on("0", EntityType::Circle(Circle::new(at(0.0, 0.0), radius * k))));
        for (dx, dy) in [(1.3, 0.0), (0.0, 1.3)] {
            block
                .entities
                .push(on("0", EntityType::Line(Line::new(at(-dx, -dy), at(dx, dy)))));
        }
        block
    }

    fn light(&self, tag: &str, centre: Point, drawing: &mut Drawing) -> Insert {
        // The insertion point, so that the symbol's centre comes to stand on `centre`.
        let corner = (centre.0 - SYMBOL_CENTRE.0, centre.1 - SYMBOL_CENTRE.1);
        let mut insert = Insert {
            name: format!("LT-{tag}"),
            location: self.point(corner),
            x_scale_factor: if self.placing.mirror { -1.0 } else { 1.0 },
            rotation: self.placing.turn,
            ..Default::default()
        };
        let attribute = Attribute {
            attribute_tag: "TYPE".to_string(),
            value: tag.to_string(),
            location: self.point((centre.0 + 4.5, centre.1 + 3.0)),
            text_height: 3.0 * self.scale(),
            rotation: self.placing.turn,
            ..Default::default()
        };
        insert.add_attribute(drawing, attribute);
        insert
    }

    fn shape(&self, shape: &Draw, drawing: &mut Drawing) -> Vec<EntityType> {
        let k = self.scale();
        match shape {
            Draw::Path {
                points,
                closed: false,
            } if points.len() == 2 => {
                vec![EntityType::Line(Line::new(
                    self.point(points[0]),
                    self.point(points[1]),
                ))]
            }
            Draw::Path { points, closed } if self.lightweight() => {
                let vertices = points.iter().map(|p| self.point(*p));
                let vertices = vertices.map(|p| LwPolylineVertex {
                    x: p.x,
                    y: p.y,
                    ..Default::default()
                });
                let flags = i32::from(*closed);
                vec![EntityType::LwPolyline(LwPolyline {
                    flags,
                    vertices: vertices.collect(),
                    ..Default::default()
                })]
            }
            Draw::Path { points, closed } => {
                let mut line = Polyline {
                    flags: i32::from(*closed),
                    ..Default::default()
                };
                for p in points {
                    line.add_vertex(drawing, Vertex::new(self.point(*p)));
                }
                vec![EntityType::Polyline(line)]
            }
            Draw::Circle { center, radius } => {
                vec![EntityType::Circle(Circle::new(self.point(*center), radius * k))]
            }
            Draw::Arc {
                center,
                radius,
                start,
                end,
            } => {
                let (start, end) = if self.placing.mirror {
                    (180.0 - end, 180.0 - start)
                } else {
                    (*start, *end)
                };
                let turn = self.placing.turn;
                let (start, end) = ((start + turn).rem_euclid(360.0), (end + turn).rem_euclid(360.0));
                vec![EntityType::Arc(Arc::new(
                    self.point(*center),
                    radius * k,
                    start,
                    end,
                ))]
            }
            Draw::Text { at, height, text } => vec![EntityType::Text(self.text(*at, *height, text))],
        }
    }

    fn text(&self, at: Point, height: f64, text: &str) -> Text {
        // A mirrored plan keeps its texts readable: they start at what was their far end.
        let width = if self.placing.mirror {
            text.len() as f64 * height * 0.6
        } else {
            0.0
        };
        Text {
            location: self.point((at.0 + width, at.1)),
            text_height: height * self.scale(),
            value: text.to_string(),
            rotation: self.placing.turn,
            ..Default::default()
        }
    }
}

fn on(layer: &str, specific: EntityType) -> Entity {
    let mut entity = Entity::new(specific);
    entity.common.layer = layer.to_string();
    entity
}
