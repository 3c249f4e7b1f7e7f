//! A house as the demo draws it: layers and shapes in inches, before it is placed.

pub type Point = (f64, f64);

pub enum Draw {
    Path {
        points: Vec<Point>,
        closed: bool,
    },
    Circle {
        center: Point,
        radius: f64,
    },
    /// Degrees, counter-clockwise.
    Arc {
        center: Point,
        radius: f64,
        start: f64,
        end: f64,
    },
    Text {
        at: Point,
        height: f64,
        text: String,
    },
}

pub struct LightSymbol {
    pub at: Point,
    pub tag: &'static str,
}

#[derive(Default)]
pub struct House {
    pub shapes: Vec<(&'static str, Draw)>,
    pub lights: Vec<LightSymbol>,
}

/// Half of a wall: the demo's walls are 4 1/2 in through (a 3 1/2 in stud and 1/2 in board a side).
const HALF_WALL: f64 = 2.25;

impl House {
    pub fn path(&mut self, layer: &'static str, points: &[Point], closed: bool) {
        self.shapes.push((
            layer,
            Draw::Path {
                points: points.to_vec(),
                closed,
            },
        ));
    }

    pub fn line(&mut self, layer: &'static str, from: Point, to: Point) {
        self.path(layer, &[from, to], false);
    }

    /// A room by the centrelines of its walls; `doors` are gaps in its south (`'s'`), north, west or
    /// east wall face: (side, start, width).
    pub fn room(&mut self, name: &str, least: Point, greatest: Point, doors: &[(char, f64, f64)]) {
        let (x0, y0) = (least.0 + HALF_WALL, least.1 + HALF_WALL);
        let (x1, y1) = (greatest.0 - HALF_WALL, greatest.1 - HALF_WALL);
        self.path("A-AREA", &[(x0, y0), (x1, y0), (x1, y1), (x0, y1)], true);
        let sides = [
            ('s', (x0, y0), (x1, y0)),
            ('n', (x0, y1), (x1, y1)),
            ('w', (x0, y0), (x0, y1)),
            ('e', (x1, y0), (x1, y1)),
        ];
        for (side, from, to) in sides {
            let mut at = from;
            let mut gaps: Vec<_> = doors.iter().filter(|d| d.0 == side).collect();
            gaps.sort_by(|a, b| a.1.total_cmp(&b.1));
            for (_, start, width) in gaps {
                let along = |s: f64| {
                    if matches!(side, 's' | 'n') {
                        (s, from.1)
                    } else {
                        (from.0, s)
                    }
                };
                self.line("A-WALL", at, along(*start));
                at = along(start + width);
            }
            self.line("A-WALL", at, to);
        }
        let height = if x1 - x0 < 140.0 { 7.0 } else { 9.0 };
        let width = name.len() as f64 * height * 0.6;
        let at = (
            (x0 + x1 - width) / 2.0,
            (y0 + y1) / 2.0 + if y1 - y0 > 60.0 { 6.0 } else { -17.0 },
        );
        self.shapes.push((
            "A-AREA-IDEN",
            Draw::Text {
                at,
                height,
                text: name.to_string(),
            },
        ));
    }

    pub fn outside_wall(&mut self, least: Point, greatest: Point) {
        let (x0, y0) = (least.0 - HALF_WALL, least.1 - HALF_WALL);
        let (x1, y1) = (greatest.0 + HALF_WALL, greatest.1 + HALF_WALL);
        self.path("A-WALL-EXTR", &[(x0, y0), (x1, y0), (x1, y1), (x0, y1)], true);
    }

    /// A door leaf and its swing.
    pub fn door(&mut self, hinge: Point, width: f64, start: f64) {
        let end = start.to_radians();
        let tip = (hinge.0 + width * end.cos(), hinge.1 + width * end.sin());
        self.line("A-DOOR", hinge, tip);
        let arc = Draw::Arc {
            center: hinge,
            radius: width,
            start,
            end: start + 90.0,
        };
        self.shapes.push(("A-DOOR", arc));
    }

    /// Both faces of a member that runs along y.
    pub fn member_y(&mut self, layer: &'static str, x: f64, y0: f64, y1: f64, thickness: f64) {
        for side in [-0.5, 0.5] {
            self.line(layer, (x + side * thickness, y0), (x + side * thickness, y1));
        }
    }

    /// The outline of a member that runs along x; open at its far end where `half`.
    pub fn member_x(&mut self, layer: &'static str, y: f64, x0: f64, x1: f64, thickness: f64, half: bool) {
        let h = thickness / 2.0;
        self.path(
            layer,
            &[(x1, y - h), (x0, y - h), (x0, y + h), (x1, y + h)],
            !half,
        );
    }

    pub fn light(&mut self, tag: &'static str, at: Point) {
        self.lights.push(LightSymbol { at, tag });
    }

    /// A grid of lights: first point, counts and pitches.
    pub fn grid(&mut self, tag: &'static str, first: Point, counts: (u32, u32), pitch: Point) {
        for j in 0..counts.1 {
            for i in 0..counts.0 {
                let at = (first.0 + f64::from(i) * pitch.0, first.1 + f64::from(j) * pitch.1);
                self.light(tag, at);
            }
        }
    }

    /// Moves the light that stands nearest to `at`.
    pub fn nudge(&mut self, at: Point, by: Point) {
        let far = |l: &LightSymbol| (l.at.0 - at.0).hypot(l.at.1 - at.1);
        if let Some(light) = self.lights.iter_mut().min_by(|a, b| far(a).total_cmp(&far(b))) {
            light.at = (light.at.0 + by.0, light.at.1 + by.1);
        }
    }

    pub fn furniture(&mut self, least: Point, greatest: Point) {
        let corners = [least, (greatest.0, least.1), greatest, (least.0, greatest.1)];
        self.path("A-FURN", &corners, true);
    }

    pub fn circle(&mut self, layer: &'static str, center: Point, radius: f64) {
        self.shapes.push((layer, Draw::Circle { center, radius }));
    }
}
