//! The walls of a house in many habits: faces as lines, closed outlines, wide polylines, hatched, in a block.

use geo::{Coord, Vector2DOps};

use super::pen::{Pen, at};
use super::symbols::block;
use super::writer::text;

/// Thickness of outer walls, inches.
pub const OUTER: f64 = 6.0;

/// Where a part of a house stands in the plan.
#[derive(Clone, Copy)]
pub struct Frame {
    pub about: Coord,
    /// Degrees.
    pub turn: f64,
}

impl Frame {
    pub const PLAN: Frame = Frame {
        about: Coord { x: 0.0, y: 0.0 },
        turn: 0.0,
    };

    pub fn turned(&self, v: Coord) -> Coord {
        let (s, c) = self.turn.to_radians().sin_cos();
        at(c * v.x - s * v.y, s * v.x + c * v.y)
    }

    pub fn put(&self, p: Coord) -> Coord {
        self.about + self.turned(p)
    }
}

/// How walls are drawn.
#[derive(Clone, Copy, PartialEq)]
pub enum Habit {
    /// Both faces as lines.
    Lines,
    /// The outer and the inner faces, each as one closed polyline.
    Rings,
    /// Each straight length of a wall as a closed polyline.
    Outlines,
    /// Polylines as wide as the wall is thick.
    Wide,
    /// Each length of wall hatched, on the walls' layer or on one of its own, and both faces as lines or not.
    Hatched(&'static str, bool),
    /// A multiline around the rooms and one between them, cut at openings.
    Multilines,
    /// Both faces as lines on the given layer, in a block in a block on the other one.
    Nested(&'static str, &'static str),
}

/// What is drawn in the gaps of windows.
#[derive(Clone, Copy, PartialEq)]
pub enum Sills {
    /// Three lines on a layer of windows, or on the given one.
    Three(Option<&'static str>),
    /// Two lines on the given layer, at the thirds of the wall.
    Thirds(&'static str),
}

/// The walls around one or two rooms that stand one above the other.
pub struct Shell {
    pub frame: Frame,
    /// Inner corners of the outer walls, counter-clockwise.
    pub inner: Vec<Coord>,
    /// Of the wall that begins at each corner; none: all are straight. Rounded walls stand in the lower room alone.
    pub bulges: Vec<f64>,
    /// Lower and upper face of the wall between, and its door's jambs.
    pub between: Option<([f64; 2], [f64; 2])>,
    /// On the inner faces, along them.
    pub windows: Vec<(Coord, Coord)>,
}

impl Shell {
    fn bulge(&self, i: usize) -> f64 {
        self.bulges.get(i).copied().unwrap_or(0.0)
    }

    /// The outer walls' corners and bulges, so far outward.
    fn around(&self, far: f64) -> Vec<(Coord, f64)> {
        let n = self.inner.len();
        let side = |i: usize| (self.inner[i % n], self.inner[(i + 1) % n]);
        let out = |i: usize| outward(side(i).0, side(i).1);
        let arc = |i: usize| Arc::of(side(i).0, side(i).1, self.bulge(i % n));
        let corner = |i: usize| {
            let p = self.inner[i];
            let (before, after) = (i + n - 1, i);
            let (straight, round) = match (arc(before), arc(after)) {
                (None, Some(round)) => (before, round),
                (Some(round), None) => (after, round),
                _ => {
                    let (a, b) = (out(before), out(after));
                    return p + (a + b) * (far / (1.0 + a.dot_product(b)));
                }
            };
            // Where the straight face meets the rounded one, the nearer of the two places.
            let (from, way) = (p + out(straight) * far, out(straight).left());
            let (off, r) = (from - round.center, round.radius + far);
            let along = off.dot_product(way);
            let root = (along * along - off.dot_product(off) + r * r).max(0.0).sqrt();
            let t = if along > 0.0 { root - along } else { -root - along };
            from + way * t
        };
        let corners: Vec<Coord> = (0..n).map(corner).collect();
        let bulge = |i: usize| match arc(i) {
            Some(round) => round.bulge(corners[i], corners[(i + 1) % n]),
            None => 0.0,
        };
        (0..n).map(|i| (corners[i], bulge(i))).collect()
    }

    /// The width at the wall between.
    fn width(&self) -> f64 {
        self.inner.iter().map(|p| p.x).fold(0.0, f64::max)
    }

    /// Inner faces as one ring: around one room, through the door and around the other.
    fn faces(&self) -> Vec<(Coord, f64)> {
        let Some(([one, two], [low, high])) = self.between else {
            return self.around(0.0);
        };
        let right = self.width();
        let mut ring = Vec::new();
        for (i, &p) in self.inner.iter().enumerate() {
            ring.push((p, self.bulge(i)));
            let q = self.inner[(i + 1) % self.inner.len()];
            let corners = if p.y < one && q.y > two {
                [at(right, one), at(high, one), at(high, two), at(right, two)]
            } else if p.y > two && q.y < one {
                [at(0.0, two), at(low, two), at(low, one), at(0.0, one)]
            } else {
                continue;
            };
            ring.extend(corners.map(|p| (p, 0.0)));
        }
        ring
    }

    /// Windows on a run from `p` to `q`, so far out from the inner faces, in order.
    fn breaks(&self, p: Coord, q: Coord) -> Vec<(Coord, Coord)> {
        let length = (q - p).magnitude();
        let along = (q - p) / length;
        let mut found: Vec<(f64, Coord, Coord)> = Vec::new();
        for &(a, b) in &self.windows {
            for far in [0.0, OUTER / 2.0, OUTER] {
                let (a, b) = (a + outward(a, b) * far, b + outward(a, b) * far);
                let s = along.dot_product(a - p);
                let on = along.wedge_product(a - p).abs() < 1e-9 && along.wedge_product(b - p).abs() < 1e-9;
                if on && s > 0.0 && s < length {
                    found.push((s, a, b));
                }
            }
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0));
        found.into_iter().map(|(_, a, b)| (a, b)).collect()
    }

    /// What windows leave of a run.
    fn pieces(&self, p: Coord, q: Coord) -> Vec<(Coord, Coord)> {
        let mut from = p;
        let mut pieces = Vec::new();
        for (a, b) in self.breaks(p, q) {
            pieces.push((from, a));
            from = b;
        }
        pieces.push((from, q));
        pieces
    }

    /// Each straight length of wall.
    fn bodies(&self) -> Vec<[Coord; 4]> {
        let outer = points(&self.around(OUTER));
        let n = self.inner.len();
        let mut bodies = Vec::new();
        for i in 0..n {
            let k = (i + 1) % n;
            let inside = self.pieces(self.inner[i], self.inner[k]);
            let outside = self.pieces(outer[i], outer[k]);
            for ((a, b), (c, d)) in inside.into_iter().zip(outside) {
                bodies.push([a, b, d, c]);
            }
        }
        if let Some(([one, two], [low, high])) = self.between {
            for (a, b) in [(0.0, low), (high, self.width())] {
                bodies.push([at(a, one), at(b, one), at(b, two), at(a, two)]);
            }
        }
        bodies
    }

    /// Centrelines of the outer walls as one ring, or as what windows leave of it.
    fn centrelines(&self) -> Vec<Vec<Coord>> {
        let ring = points(&self.around(OUTER / 2.0));
        let mut runs = vec![Vec::new()];
        for (i, &p) in ring.iter().enumerate() {
            for (a, b) in self.pieces(p, ring[(i + 1) % ring.len()]) {
                if a != p {
                    runs.push(Vec::new());
                }
                runs.last_mut().expect("never empty").extend([a, b]);
            }
        }
        // The ring runs on into the first length.
        if runs.len() > 1 {
            let mut last = runs.pop().expect("more than one");
            last.append(&mut runs[0]);
            runs[0] = last;
        }
        for run in &mut runs {
            run.dedup();
        }
        runs
    }

    pub fn draw(&self, pen: &mut Pen, blocks: &mut Pen, habit: Habit, layer: &'static str, name: &str) {
        match habit {
            Habit::Lines => self.lines(pen, layer),
            Habit::Rings => {
                for ring in [self.around(OUTER), self.faces()] {
                    pen.bulged(layer, &self.put(&ring), true, 0.0);
                }
            }
            Habit::Outlines => {
                for body in self.bodies() {
                    self.path(pen, layer, &body, true, 0.0);
                }
            }
            Habit::Wide => {
                let open = self.windows.is_empty();
                let round = !self.bulges.is_empty();
                if round {
                    let ring = self.put(&self.around(OUTER / 2.0));
                    pen.bulged(layer, &ring, true, OUTER);
                }
                for run in if round { Vec::new() } else { self.centrelines() } {
                    let run = if open { &run[..run.len() - 1] } else { &run[..] };
                    self.path(pen, layer, run, open, OUTER);
                }
                if let Some(([one, two], [low, high])) = self.between {
                    let y = (one + two) / 2.0;
                    for (a, b) in [(-OUTER / 2.0, low), (high, self.width() + OUTER / 2.0)] {
                        self.path(pen, layer, &[at(a, y), at(b, y)], false, two - one);
                    }
                }
            }
            Habit::Hatched(of, outlined) => {
                if outlined {
                    self.lines(pen, layer);
                }
                for body in self.bodies() {
                    let ring = body.map(|p| self.frame.put(p));
                    // R12 has no hatches.
                    if pen.r12 {
                        pen.solid(of, ring);
                    } else {
                        pen.hatch(of, &ring);
                    }
                }
            }
            Habit::Multilines if pen.r12 => self.lines(pen, layer),
            Habit::Multilines => {
                let put = |p: &Coord| self.frame.put(*p);
                let ring: Vec<Coord> = self.inner.iter().map(put).collect();
                let both = |&(a, b): &(Coord, Coord)| {
                    let out = outward(a, b) * OUTER;
                    [(a, b), (a + out, b + out)].map(|(a, b)| (put(&a), put(&b)))
                };
                let gaps: Vec<_> = self.windows.iter().flat_map(both).collect();
                pen.multiline(layer, &ring, true, &[0.0, -OUTER], &gaps);
                self.jambs(pen, layer);
                if let Some(([one, two], [low, high])) = self.between {
                    let y = (one + two) / 2.0;
                    let gaps = [one, two].map(|y| (put(&at(low, y)), put(&at(high, y))));
                    let ends = [at(0.0, y), at(self.width(), y)].map(|p| put(&p));
                    let half = (two - one) / 2.0;
                    pen.multiline(layer, &ends, false, &[half, -half], &gaps);
                    for x in [low, high] {
                        self.line(pen, layer, at(x, one), at(x, two));
                    }
                }
            }
            Habit::Nested(lines, holder) => {
                let (outer, inner) = (format!("HOUSE{name}"), format!("WALLS{name}"));
                let end = [text(0, "ENDBLK"), text(8, "0")];
                let start = block(blocks.called(&inner), &[]);
                blocks.out.extend(start);
                self.lines(blocks, lines);
                blocks.out.extend(end.clone());
                let start = block(blocks.called(&outer), &[]);
                blocks.out.extend(start);
                blocks.insert("0", &inner, at(0.0, 0.0), false, &[]);
                blocks.out.extend(end);
                pen.insert(holder, &outer, at(0.0, 0.0), false, &[]);
            }
        }
    }

    fn path(&self, pen: &mut Pen, layer: &str, points: &[Coord], closed: bool, width: f64) {
        let points: Vec<Coord> = points.iter().map(|&p| self.frame.put(p)).collect();
        pen.path(layer, &points, closed, 0.0, width);
    }

    fn line(&self, pen: &mut Pen, layer: &str, a: Coord, b: Coord) {
        pen.line(layer, self.frame.put(a), self.frame.put(b));
    }

    fn put(&self, ring: &[(Coord, f64)]) -> Vec<(Coord, f64)> {
        ring.iter()
            .map(|&(p, bulge)| (self.frame.put(p), bulge))
            .collect()
    }

    fn lines(&self, pen: &mut Pen, layer: &str) {
        for ring in [self.around(OUTER), self.faces()] {
            for (i, &(p, bulge)) in ring.iter().enumerate() {
                let q = ring[(i + 1) % ring.len()].0;
                if let Some(arc) = Arc::of(p, q, bulge) {
                    let angle = |p: Coord| (p - arc.center).y.atan2((p - arc.center).x).to_degrees();
                    let (from, to) = (angle(p) + self.frame.turn, angle(q) + self.frame.turn);
                    pen.arc(layer, self.frame.put(arc.center), arc.radius, from, to);
                    continue;
                }
                for (a, b) in self.pieces(p, q) {
                    self.line(pen, layer, a, b);
                }
            }
        }
        self.jambs(pen, layer);
    }

    fn jambs(&self, pen: &mut Pen, layer: &str) {
        for &(a, b) in &self.windows {
            for p in [a, b] {
                self.line(pen, layer, p, p + outward(a, b) * OUTER);
            }
        }
    }

    pub fn sills(&self, pen: &mut Pen, sills: Sills) {
        let (layer, at): (_, &[f64]) = match sills {
            Sills::Three(layer) => (layer.unwrap_or("A-GLAZ"), &[0.0, OUTER / 2.0, OUTER]),
            Sills::Thirds(layer) => (layer, &[OUTER / 3.0, OUTER * 2.0 / 3.0]),
        };
        for &(a, b) in &self.windows {
            for &far in at {
                let out = outward(a, b) * far;
                self.line(pen, layer, a + out, b + out);
            }
        }
    }
}

/// To the right of the way from `a` to `b`, one inch.
pub fn outward(a: Coord, b: Coord) -> Coord {
    (b - a).right() / (b - a).magnitude()
}

fn points(ring: &[(Coord, f64)]) -> Vec<Coord> {
    ring.iter().map(|p| p.0).collect()
}

/// A rounded wall's face, counter-clockwise.
#[derive(Clone, Copy)]
pub struct Arc {
    pub center: Coord,
    pub radius: f64,
}

impl Arc {
    /// `None` where it does not bulge. The centre lies (1 − b²)/(4b) chords to the left (derived).
    pub fn of(a: Coord, b: Coord, bulge: f64) -> Option<Arc> {
        let chord = b - a;
        let off = (1.0 - bulge * bulge) / (4.0 * bulge);
        let center = (a + b) / 2.0 + chord.left() * off;
        (bulge > 0.0).then(|| Arc {
            center,
            radius: (a - center).magnitude(),
        })
    }

    /// From one point on it to another: the tangent of a quarter of the angle.
    fn bulge(&self, a: Coord, b: Coord) -> f64 {
        let (u, v) = (a - self.center, b - self.center);
        let angle = u
            .wedge_product(v)
            .atan2(u.dot_product(v))
            .rem_euclid(std::f64::consts::TAU);
        (angle / 4.0).tan()
    }
}
