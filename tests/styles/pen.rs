//! Draws entities in a plan's own inches, turned, shifted and scaled to the drawing's unit.

use geo::{Coord, Vector2DOps};

use super::writer::{Group, int, long, real, text};

pub fn at(x: f64, y: f64) -> Coord {
    Coord { x, y }
}

/// Plan inches to drawing units.
#[derive(Clone, Copy)]
pub struct Place {
    pub turn: f64,
    pub shift: Coord,
    pub inches_per_unit: f64,
}

impl Place {
    /// In drawing units.
    pub fn put(&self, p: Coord) -> Coord {
        let (s, c) = self.turn.sin_cos();
        (at(c * p.x - s * p.y, s * p.x + c * p.y) + self.shift) / self.inches_per_unit
    }
}

/// What a drawing without telling names calls a layer or block.
pub fn quiet(name: &str) -> &str {
    match name {
        "A-FURN" => "11",
        "P-SANR-FIXT" => "12",
        "S-COLS" => "L13",
        "S-BOLT" => "L14",
        "A-DOOR" => "L15",
        "S-GRID" => "16",
        "A-FLOR-PATT" => "17",
        "A-FLOR-STRS" => "18",
        "A-DECK" => "Layer 19",
        "A-ANNO-DIMS" => "20",
        "A-ANNO-NAME" => "21",
        "A-ANNO-TEXT" => "22",
        "TABLE" => "A$C1A01",
        "SINK" => "A$C1A02",
        "INNER" => "A$C1A03",
        "A-GLAZ" => "23",
        "A-WALL-PATT" => "24",
        "HOUSE" => "A$C1A04",
        "WALLS" => "A$C1A05",
        "UPPER" => "A$C1A06",
        "ARRAY1" => "A$C1A07",
        "ARRAY2" => "A$C1A08",
        "ARRAY3" => "A$C1A09",
        "ARRAY4" => "A$C1A10",
        "OUTER" => "A$C1A11",
        name => name,
    }
}

/// Collects entities; `place` is `None` inside blocks, which are drawn in inches.
pub struct Pen {
    pub place: Option<Place>,
    pub r12: bool,
    /// Names of layers and blocks say nothing.
    pub quiet: bool,
    pub out: Vec<Group>,
}

impl Pen {
    pub fn new(place: Option<Place>, r12: bool) -> Self {
        Pen {
            place,
            r12,
            quiet: false,
            out: Vec::new(),
        }
    }

    /// A name as this drawing has it.
    pub fn called<'a>(&self, name: &'a str) -> &'a str {
        if self.quiet { quiet(name) } else { name }
    }

    pub fn put(&self, p: Coord) -> Coord {
        self.place.map_or(p, |place| place.put(p))
    }

    pub fn inches_per_unit(&self) -> f64 {
        self.place.map_or(1.0, |p| p.inches_per_unit)
    }

    fn scale(&self) -> f64 {
        self.place.map_or(1.0, |p| 1.0 / p.inches_per_unit)
    }

    fn degrees(&self) -> f64 {
        self.place.map_or(0.0, |p| p.turn.to_degrees())
    }

    fn head(&mut self, kind: &str, layer: &str) {
        let layer = self.called(layer);
        self.out.extend([text(0, kind), text(8, layer)]);
    }

    fn point(&mut self, code: i16, p: Coord) {
        let p = self.put(p);
        self.out.extend([real(code, p.x), real(code + 10, p.y)]);
    }

    pub fn line(&mut self, layer: &str, a: Coord, b: Coord) {
        self.head("LINE", layer);
        self.point(10, a);
        self.point(11, b);
    }

    pub fn circle(&mut self, layer: &str, c: Coord, radius: f64) {
        self.head("CIRCLE", layer);
        self.point(10, c);
        self.out.push(real(40, radius * self.scale()));
    }

    pub fn arc(&mut self, layer: &str, c: Coord, radius: f64, from: f64, to: f64) {
        self.head("ARC", layer);
        self.point(10, c);
        let (scale, turn) = (self.scale(), self.degrees());
        self.out.extend([
            real(40, radius * scale),
            real(50, from + turn),
            real(51, to + turn),
        ]);
    }

    pub fn solid(&mut self, layer: &str, corners: [Coord; 4]) {
        self.head("SOLID", layer);
        // The third and fourth corners of a SOLID stand crosswise.
        for (code, i) in [(10, 0), (11, 1), (12, 3), (13, 2)] {
            self.point(code, corners[i]);
        }
    }

    pub fn words(&mut self, layer: &str, p: Coord, height: f64, words: &str) {
        self.head("TEXT", layer);
        self.point(10, p);
        let height = height * self.scale();
        self.out.extend([real(40, height), text(1, words)]);
    }

    /// A polyline of the version's own kind.
    pub fn path(&mut self, layer: &str, points: &[Coord], closed: bool, bulge: f64, width: f64) {
        let flag = int(70, i16::from(closed));
        let width = width * self.scale();
        if self.r12 {
            self.head("POLYLINE", layer);
            self.out
                .extend([int(66, 1), flag, real(40, width), real(41, width)]);
            for &p in points {
                self.head("VERTEX", layer);
                self.point(10, p);
                self.out.push(real(42, bulge));
            }
            self.head("SEQEND", layer);
        } else {
            self.head("LWPOLYLINE", layer);
            self.out.extend([long(90, points.len()), flag, real(43, width)]);
            for &p in points {
                self.point(10, p);
                self.out.push(real(42, bulge));
            }
        }
    }

    /// A polyline whose runs bulge each by its own.
    pub fn bulged(&mut self, layer: &str, ring: &[(Coord, f64)], closed: bool, width: f64) {
        let flag = int(70, i16::from(closed));
        let width = width * self.scale();
        if self.r12 {
            self.head("POLYLINE", layer);
            self.out
                .extend([int(66, 1), flag, real(40, width), real(41, width)]);
        } else {
            self.head("LWPOLYLINE", layer);
            self.out.extend([long(90, ring.len()), flag, real(43, width)]);
        }
        for &(p, bulge) in ring {
            if self.r12 {
                self.head("VERTEX", layer);
            }
            self.point(10, p);
            self.out.push(real(42, bulge));
        }
        if self.r12 {
            self.head("SEQEND", layer);
        }
    }

    /// A multiline whose elements lie so far to the left of its way each, cut between each pair of points of `gaps` that
    /// an element runs through; R12 has none.
    pub fn multiline(
        &mut self,
        layer: &str,
        points: &[Coord],
        closed: bool,
        elements: &[f64],
        gaps: &[(Coord, Coord)],
    ) {
        self.head("MLINE", layer);
        self.out.push(text(100, "AcDbMline"));
        self.out.extend([text(2, "STANDARD"), real(40, 1.0), int(70, 1)]);
        let (flags, count) = (1 + 2 * i16::from(closed), points.len());
        self.out.extend([
            int(71, flags),
            int(72, count as i16),
            int(73, elements.len() as i16),
        ]);
        self.point(10, points[0]);
        let way = |i: usize| {
            let run = points[(i + 1) % count] - points[i];
            run / run.magnitude()
        };
        let scale = self.scale();
        let turned = |pen: &Pen, v: Coord| (pen.put(v) - pen.put(at(0.0, 0.0))) / scale;
        for (i, &p) in points.iter().enumerate() {
            let (before, after) = match (closed, i) {
                (true, _) => (way((i + count - 1) % count), way(i)),
                (false, 0) => (way(0), way(0)),
                (false, _) if i + 1 == count => (way(i - 1), way(i - 1)),
                (false, _) => (way(i - 1), way(i)),
            };
            let sum = before.left() + after.left();
            let mitre = sum / sum.magnitude();
            let longer = 1.0 / mitre.dot_product(after.left());
            self.point(11, p);
            for (code, v) in [(12, after), (13, mitre)] {
                let v = turned(self, v);
                self.out.extend([real(code, v.x), real(code + 10, v.y)]);
            }
            for &element in elements {
                let from = p + mitre * (element * longer);
                let mut cuts = vec![element * longer, 0.0];
                let on = |q: Coord| after.wedge_product(q - from).abs() < 1e-9;
                let length = (points[(i + 1) % count] - p).magnitude();
                let mut gaps: Vec<[f64; 2]> = (gaps.iter())
                    .filter(|g| on(g.0) && on(g.1))
                    .map(|g| [g.0, g.1].map(|q| after.dot_product(q - from)))
                    .filter(|g| g[0] > 0.0 && g[0] < length && (closed || i + 1 < count))
                    .collect();
                gaps.sort_by(|a, b| a[0].total_cmp(&b[0]));
                cuts.extend(gaps.into_iter().flatten());
                self.out.push(int(74, cuts.len() as i16));
                self.out.extend(cuts.into_iter().map(|v| real(41, v * scale)));
                self.out.push(int(75, 0));
            }
        }
    }

    /// A solid fill of a circle, bounded by one arc or by two bulges.
    pub fn disc(&mut self, layer: &str, c: Coord, radius: f64, bulges: bool) {
        // R12 has no hatches: a ring as wide as its radius.
        if self.r12 {
            let half = at(radius / 2.0, 0.0);
            return self.path(layer, &[c - half, c + half], true, 1.0, radius);
        }
        self.head("HATCH", layer);
        self.out.extend([real(10, 0.0), real(20, 0.0), real(30, 0.0)]);
        self.out.extend([real(210, 0.0), real(220, 0.0), real(230, 1.0)]);
        self.out
            .extend([text(2, "SOLID"), int(70, 1), int(71, 0), long(91, 1)]);
        if bulges {
            self.out
                .extend([long(92, 3), int(72, 1), int(73, 1), long(93, 2)]);
            for p in [c - at(radius, 0.0), c + at(radius, 0.0)] {
                self.point(10, p);
                self.out.push(real(42, 1.0));
            }
        } else {
            self.out.extend([long(92, 1), long(93, 1), int(72, 2)]);
            self.point(10, c);
            let radius = radius * self.scale();
            self.out.extend([real(40, radius), real(50, 0.0)]);
            self.out.extend([real(51, 360.0), int(73, 1)]);
        }
        self.out
            .extend([long(97, 0), int(75, 0), int(76, 1), long(98, 0)]);
    }

    /// An INSERT of a block drawn in inches; `mirror` turns its x over.
    pub fn insert(&mut self, layer: &str, block: &str, p: Coord, mirror: bool, more: &[Group]) {
        self.placed(layer, block, p, (if mirror { -1.0 } else { 1.0 }, 1.0, 0.0), more);
    }

    /// An INSERT turned by degrees.
    pub fn insert_turned(&mut self, layer: &str, block: &str, p: Coord, turn: f64, more: &[Group]) {
        self.placed(layer, block, p, (1.0, 1.0, turn), more);
    }

    /// An INSERT whose x and y are scaled, turned by degrees.
    pub fn insert_scaled(&mut self, layer: &str, block: &str, p: Coord, (x, y): (f64, f64), turn: f64) {
        self.placed(layer, block, p, (x, y, turn), &[]);
    }

    fn placed(
        &mut self,
        layer: &str,
        block: &str,
        p: Coord,
        (x, y, turned): (f64, f64, f64),
        more: &[Group],
    ) {
        self.head("INSERT", layer);
        self.out.push(text(2, self.called(block)));
        self.point(10, p);
        let s = self.scale();
        let turn = self.degrees() + turned;
        self.out
            .extend([real(41, x * s), real(42, y * s), real(43, s), real(50, turn)]);
        self.out.extend(more.iter().cloned());
    }

    pub fn attribute(&mut self, layer: &str, p: Coord, tag: &str) {
        self.head("ATTRIB", layer);
        self.point(10, p);
        let height = 4.0 * self.scale();
        self.out
            .extend([real(40, height), text(1, tag), text(2, "TYPE"), int(70, 0)]);
        self.head("SEQEND", layer);
    }

    /// A solid fill; R12 has none.
    pub fn hatch(&mut self, layer: &str, ring: &[Coord]) {
        self.head("HATCH", layer);
        self.out.extend([real(10, 0.0), real(20, 0.0), real(30, 0.0)]);
        self.out.extend([real(210, 0.0), real(220, 0.0), real(230, 1.0)]);
        self.out
            .extend([text(2, "SOLID"), int(70, 1), int(71, 0), long(91, 1), long(92, 3)]);
        self.out.extend([int(72, 0), int(73, 1), long(93, ring.len())]);
        for &p in ring {
            self.point(10, p);
        }
        self.out
            .extend([long(97, 0), int(75, 0), int(76, 1), long(98, 0)]);
    }

    /// An aligned dimension without the block that draws it.
    pub fn dimension(&mut self, layer: &str, a: Coord, b: Coord, text_at: Coord) {
        self.head("DIMENSION", layer);
        self.point(10, text_at);
        self.point(11, text_at);
        self.point(13, a);
        self.point(14, b);
        let measured = (b - a).x.hypot((b - a).y) * self.scale();
        self.out.extend([int(70, 1), text(1, ""), real(42, measured)]);
    }

    pub fn paragraph(&mut self, layer: &str, p: Coord, height: f64, words: &str) {
        if self.r12 {
            return self.words(layer, p, height, words);
        }
        self.head("MTEXT", layer);
        self.point(10, p);
        let height = height * self.scale();
        self.out
            .extend([real(40, height), text(1, &format!("{{\\H1.2x;{words}}}"))]);
    }
}
