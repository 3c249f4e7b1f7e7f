//! Plans with known truth: two rooms, lights in rows, joists over both, decoys, in every style.

use bayline::plan::OpeningKind;
use geo::{Coord, Vector2DOps};

use super::bound::{bound_names, records, reference};
use super::decoys::{decoys, on_a_layer_that_is_off, upon_their_layers};
use super::devices::{Ceiling, Device};
use super::framing::{Area, BOUND, UNREACHED, area};
use super::houses::{HOUSES, Kind, house};
use super::pen::{Pen, Place, at};
use super::shell::Frame;
use super::sticks::sticks;
use super::symbols::{BOUND as BOUND_LIGHTS, LED, NESTED_ARRAY, block, light, light_blocks};
use super::writer::{Dress, Group, bytes, int, real, text};

pub const LIGHTS: [&str; 16] = [
    "block with attribute",
    "block with offset origin",
    "nested block",
    "mirrored block",
    "arrayed block",
    "bare circle",
    "exploded circle and cross",
    "bulge circle",
    "anonymous block, true name in extended data",
    "plain block, tag as loose text",
    "bare circle, tag as loose text",
    "array nested in a mirrored block",
    "mirrored block nested in one mirrored the other way",
    "bare circle, tag at a leader",
    "solid dot",
    "block in a bound reference",
];

pub const FRAMING: [&str; 19] = [
    "double lines",
    "closed outlines",
    "half-open outlines",
    "wide polylines",
    "centrelines",
    "solids",
    "nested blocks",
    "double lines broken at walls",
    "doubled members",
    "arrayed block",
    "hatched strips",
    "flanges and webs of I-joists",
    "words beside an arrow",
    "hip with jacks on both sides",
    "block that no layout shows",
    "joists, beams, headers and rims",
    "joists askew to the walls",
    "multilines",
    "bound reference",
];

pub const HEADERS: [&str; 4] = ["right", "absent", "unitless", "another unit"];

const UNITS: [(&str, i16, f64); 5] = [
    ("in", 1, 1.0),
    ("ft", 2, 12.0),
    ("mm", 4, 1.0 / 25.4),
    ("cm", 5, 1.0 / 2.54),
    ("m", 6, 1.0 / 0.0254),
];

const VERSIONS: [&str; 7] = [
    "AC1009", "AC1015", "AC1018", "AC1021", "AC1024", "AC1027", "AC1032",
];

/// Code pages, and what plans written in them are labelled with.
const PAGES: [(&str, Names, [&str; 2]); 3] = [
    (
        "ANSI_1252",
        Names(["Q1-É", "Q2", "Q3", "Q4", "ZK-Ø6", "Q5"]),
        ["SALÓN", "ESCRITÓRIO"],
    ),
    (
        "ANSI_1250",
        Names(["Q1", "Q2-Ř", "Q3", "Q4", "ZK-Ž6", "Q5"]),
        ["BÜRO", "KÜCHE"],
    ),
    (
        "ANSI_932",
        Names(["Q1", "Q2", "Q3", "Q4表", "ZK-6ソ", "Q5"]),
        ["居間", "和室"],
    ),
];

/// splitmix64 (Steele, Lea and Flood 2014; constants from memory).
pub struct Random(pub u64);

impl Random {
    pub fn below(&mut self, n: usize) -> usize {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) % n as u64) as usize
    }
}

/// A drawing and what it truly shows, in inches of the world.
pub struct Sample {
    pub lights_style: usize,
    pub framing_style: usize,
    pub house: usize,
    pub header: usize,
    pub bytes: Vec<u8>,
    pub rules: String,
    pub unit: &'static str,
    pub dress: Dress,
    /// The block that holds framing and that no layout shows, where there is one.
    pub upper: String,
    pub lights: Vec<Coord>,
    /// Whether each light is marked with the type A.
    pub tagged: bool,
    /// Ends of the centreline and thickness.
    pub members: Vec<(Coord, Coord, f64)>,
    /// What is written of members: along them, on centre, and the room's name.
    pub written: Vec<(Coord, f64, String)>,
    pub rooms: Vec<(String, Ring)>,
    pub openings: Vec<Opening>,
    /// The lights of each row, by their places in `lights`.
    pub rows: Vec<Vec<usize>>,
    pub devices: Vec<Device>,
}

/// Corners, and the bulge of the wall that begins at each.
pub type Ring = Vec<(Coord, f64)>;

/// A gap in a wall, from jamb to jamb in its middle, and the rooms on its sides.
pub struct Opening {
    pub kind: OpeningKind,
    pub ends: (Coord, Coord),
    pub rooms: Vec<String>,
}

/// Layer names of light, framing, wall and room, of the light's block, and of lights that are off.
#[derive(Clone, Copy)]
struct Names([&'static str; 6]);

/// Names that say nothing.
const QUIET: Names = Names(["1", "2", "L3", "4", "A$C0B5F", "5"]);

/// What tells layers and blocks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Told {
    /// Odd names and a rules file that maps them.
    Given,
    /// Trade words and only a schedule.
    Words,
    /// Names that say nothing and only a schedule.
    Nothing,
}

const TRADE: Names = Names(["E-LITE", "S-JOIS", "A-WALL", "A-AREA", "DOWNLIGHT6", "E-LITE-OLD"]);

/// Everything of a sample while it is drawn.
pub struct Sheet {
    pub pen: Pen,
    pub blocks: Pen,
    /// Of a block that no layout shows.
    upper: Pen,
    /// Of the drawings that are bound into this one: of lights and of framing.
    bound: [Pen; 2],
    bound_names: [[String; 6]; 2],
    place: Place,
    pub names: [&'static str; 6],
    lights: Vec<Coord>,
    pub members: Vec<(Coord, Coord, f64)>,
    pub written: Vec<(Coord, f64, String)>,
    rooms: Vec<(String, Ring)>,
    openings: Vec<Opening>,
    rows: Vec<Vec<usize>>,
    ceiling: Ceiling,
}

impl Sheet {
    pub fn world(&self, p: Coord) -> Coord {
        self.place.put(p) * self.place.inches_per_unit
    }

    pub fn room(&mut self, name: &str, ring: &[(Coord, f64)], drawn: bool) {
        if drawn {
            self.pen.bulged(self.names[3], ring, true, 0.0);
            for (i, &(p, _)) in ring.iter().enumerate() {
                self.pen.line(self.names[2], p, ring[(i + 1) % ring.len()].0);
            }
        }
        let ring = ring.iter().map(|&(p, bulge)| (self.world(p), bulge)).collect();
        self.rooms.push((name.to_string(), ring));
    }

    pub fn opening(&mut self, kind: OpeningKind, a: Coord, b: Coord, rooms: &[&str]) {
        self.openings.push(Opening {
            kind,
            ends: (self.world(a), self.world(b)),
            rooms: rooms.iter().map(|r| r.to_string()).collect(),
        });
    }

    /// An opening in which a door's arc is hinged by chance has a door.
    fn hinged(&mut self, hinge: Coord) {
        let hinge = self.world(hinge);
        for opening in &mut self.openings {
            let (a, b) = opening.ends;
            let along = (b - a) / (b - a).magnitude();
            let off = (hinge - a).wedge_product(along).abs();
            let on = (hinge - a).dot_product(along);
            // Half the wall, and 4 in.
            let near = off <= 6.25 && (0.0..=(b - a).magnitude()).contains(&on);
            if near && opening.kind == OpeningKind::Cased {
                opening.kind = OpeningKind::Door;
            }
        }
    }

    /// Puts what was drawn in drawings of their own into blocks, as binding does, and those into the plan.
    fn bind(&mut self) {
        for (pen, names) in self.bound.iter_mut().zip(&self.bound_names) {
            if pen.out.is_empty() {
                continue;
            }
            let name = reference(&names[0]);
            self.blocks.out.extend(block(name, &[]));
            self.blocks.out.append(&mut pen.out);
            self.blocks.out.extend([text(0, "ENDBLK"), text(8, "0")]);
            let place = pen.place.expect("a drawing has a place");
            let scale = place.inches_per_unit;
            self.pen
                .insert_scaled("0", name, -place.shift, (scale, scale), 0.0);
        }
    }

    /// Two rows of lights in a rectangle, and devices between them.
    pub fn rows(&mut self, style: usize, frame: Frame, width: f64, height: f64, count: usize) {
        let (pitch, rise) = (width / count as f64, height / 2.0);
        let first = at(pitch / 2.0, height / 4.0);
        for row in 0..2 {
            let from = self.lights.len();
            self.rows.push((from..from + count).collect());
            for i in 0..count {
                let p = frame.put(first + at(pitch * i as f64, rise * f64::from(row)));
                self.lights.push(self.world(p));
                if style == BOUND_LIGHTS {
                    let names = self.bound_names[0].each_ref().map(|n| &n[..]);
                    light(&mut self.bound[0], style, &names, p);
                } else if !matches!(style, 4 | NESTED_ARRAY) {
                    light(&mut self.pen, style, &self.names, p);
                }
            }
        }
        let array = |u: f64| {
            [
                int(70, count as i16),
                int(71, 2),
                real(44, pitch / u),
                real(45, rise / u),
            ]
        };
        let (layer, symbol) = (self.names[0], self.names[4]);
        if style == 4 {
            let array = array(self.place.inches_per_unit);
            let first = frame.put(first);
            self.pen.insert_turned(layer, symbol, first, frame.turn, &array);
        } else if style == NESTED_ARRAY {
            // Seen from the last light the array runs the other way.
            let name = format!("ARRAY{}", self.rows.len());
            let start = block(self.blocks.called(&name), &[]);
            self.blocks.out.extend(start);
            self.blocks
                .insert(layer, symbol, at(0.0, 0.0), false, &array(1.0));
            self.blocks.out.extend([text(0, "ENDBLK"), text(8, "0")]);
            let last = frame.put(first + at(pitch * (count - 1) as f64, 0.0));
            self.pen.insert_scaled("0", &name, last, (-1.0, 1.0), frame.turn);
        }
        let (place, put) = (self.place, |p| frame.put(p));
        let world = |p| place.put(p) * place.inches_per_unit;
        self.ceiling.room(&mut self.pen, (width, height), put, world);
    }

    pub fn framing(&mut self, style: usize, over: &Area, name: &str) {
        let (pen, layer) = match style {
            UNREACHED => (&mut self.upper, self.names[1]),
            BOUND => (&mut self.bound[1], &self.bound_names[1][1][..]),
            _ => (&mut self.pen, self.names[1]),
        };
        area(pen, &mut self.blocks, style, layer, over, name);
        for (a, b, thick) in sticks(style, over) {
            self.members.push((self.world(a), self.world(b), thick));
        }
    }

    /// A member by itself, as an outline.
    pub fn member(&mut self, style: usize, low: Coord, high: Coord) {
        let ring = [low, at(high.x, low.y), high, at(low.x, high.y)];
        let (pen, layer) = match style {
            UNREACHED => (&mut self.upper, self.names[1]),
            BOUND => (&mut self.bound[1], &self.bound_names[1][1][..]),
            _ => (&mut self.pen, self.names[1]),
        };
        pen.path(layer, &ring, true, 0.0, 0.0);
        let y = (low.y + high.y) / 2.0;
        let ends = (self.world(at(low.x, y)), self.world(at(high.x, y)));
        self.members.push((ends.0, ends.1, high.y - low.y));
    }
}

pub fn told(seed: u64, by: Told) -> Sample {
    let mut r = Random(seed);
    let (lights_style, framing_style) = (seed as usize % LIGHTS.len(), seed as usize % FRAMING.len());
    let unit = r.below(UNITS.len());
    let (page, strange, room_names) = PAGES[r.below(PAGES.len())];
    let dress = Dress {
        version: VERSIONS[r.below(VERSIONS.len())],
        binary: r.below(4) == 0,
        crlf: r.below(2) == 0,
        page,
    };
    let (house_kind, header) = (r.below(HOUSES.len()), r.below(HEADERS.len()));
    let far = [0.0, 1e3, 1e6][r.below(3)];
    let place = Place {
        turn: (r.below(3600) as f64 / 10.0).to_radians(),
        shift: at(far * 1.25, -far),
        inches_per_unit: UNITS[unit].2,
    };
    // Drawings of their own have another unit, and an origin of their own.
    let mut chance = Random(seed ^ 0xb0d);
    let other = (unit + 1 + chance.below(UNITS.len() - 1)) % UNITS.len();
    let own = Place {
        turn: 0.0,
        shift: at(chance.below(900) as f64, -(chance.below(900) as f64)),
        inches_per_unit: UNITS[other].2,
    };
    let names = match by {
        Told::Given => strange,
        Told::Words => TRADE,
        Told::Nothing => QUIET,
    }
    .0;
    let mut sheet = Sheet {
        pen: Pen::new(Some(place), dress.is_r12()),
        blocks: Pen::new(None, dress.is_r12()),
        upper: Pen::new(Some(place), dress.is_r12()),
        bound: [0, 1].map(|_| Pen::new(Some(own), dress.is_r12())),
        bound_names: bound_names(&names, by),
        place,
        names,
        lights: Vec::new(),
        members: Vec::new(),
        written: Vec::new(),
        rooms: Vec::new(),
        openings: Vec::new(),
        rows: Vec::new(),
        ceiling: Ceiling::new(seed, by),
    };
    sheet.pen.quiet = by == Told::Nothing;
    sheet.blocks.quiet = by == Told::Nothing;
    sheet.upper.quiet = by == Told::Nothing;
    let (width, top) = house(
        &mut sheet,
        &mut r,
        Kind {
            house: house_kind,
            lights: lights_style,
            framing: framing_style,
        },
        room_names,
    );
    sheet.ceiling.blocks(&mut sheet.blocks);
    let bound = sheet.bound_names[0].clone();
    let of_lights = match lights_style {
        BOUND_LIGHTS => bound.each_ref().map(|n| &n[..]),
        _ => names,
    };
    light_blocks(&mut sheet.blocks, lights_style, &of_lights);
    sheet.bind();
    if framing_style == UNREACHED {
        let start = block(sheet.blocks.called("UPPER"), &[]);
        sheet.blocks.out.extend(start);
        sheet.blocks.out.append(&mut sheet.upper.out);
        sheet.blocks.out.extend([text(0, "ENDBLK"), text(8, "0")]);
    }
    for (name, radius) in [("TABLE", 18.0), ("SINK", 7.0)] {
        let start = block(sheet.blocks.called(name), &[]);
        sheet.blocks.out.extend(start);
        sheet.blocks.circle("0", at(0.0, 0.0), radius);
        sheet.blocks.out.extend([text(0, "ENDBLK"), text(8, "0")]);
    }
    let hinge = decoys(&mut sheet.pen, &mut r, width, top);
    sheet.hinged(hinge);
    upon_their_layers(&mut sheet.pen, names[0], names[1], width, top);
    on_a_layer_that_is_off(&mut sheet.pen, names[5], width);

    let upper = sheet.pen.called("UPPER").to_string();
    let code = match header {
        0 => Some(UNITS[unit].1),
        1 => None,
        2 => Some(0),
        _ => Some(UNITS[(unit + 1 + r.below(4)) % UNITS.len()].1),
    };
    let mut all = head(dress, code, &names, lights_style == 8);
    if !dress.is_r12() && (lights_style == BOUND_LIGHTS || framing_style == BOUND) {
        let at = all.len() - 1;
        all.splice(at..at, records(&sheet.bound_names, UNITS[other].1));
    }
    all.extend([text(0, "SECTION"), text(2, "BLOCKS")]);
    all.extend(sheet.blocks.out);
    all.extend([text(0, "ENDSEC"), text(0, "SECTION"), text(2, "ENTITIES")]);
    all.extend(sheet.pen.out);
    all.extend([text(0, "ENDSEC"), text(0, "EOF")]);
    Sample {
        lights_style,
        framing_style,
        house: house_kind,
        header,
        bytes: bytes(&all, dress),
        rules: rules(
            (by == Told::Given).then(|| sheet.ceiling.rules()),
            &names,
            framing_style,
        ),
        unit: UNITS[unit].0,
        dress,
        upper,
        lights: sheet.lights,
        tagged: matches!(lights_style, 0 | 9 | 10 | LED),
        members: sheet.members,
        written: sheet.written,
        rooms: sheet.rooms,
        openings: sheet.openings,
        rows: sheet.rows,
        devices: sheet.ceiling.devices,
    }
}

fn rules(given: Option<String>, n: &[&str; 6], framing: usize) -> String {
    let map = format!(
        "[read]\nlights = {{ layers = [\"{}\"], blocks = [\"{}\"] }}\nframing = {{ layers = [\"{}\"] }}\n\
         walls = {{ layers = [\"{}\"] }}\nrooms = {{ layers = [\"{}\"] }}\n",
        n[0], n[4], n[1], n[2], n[3]
    );
    let schedule = "[[luminaire]]\ntag = \"A\"\naperture = 6\n";
    match (given, framing) {
        (Some(devices), UNREACHED) => map + &devices + "[framing]\nfrom_block = \"UPPER\"\n" + schedule,
        (Some(devices), _) => map + &devices + schedule,
        (None, _) => schedule.into(),
    }
}

fn head(dress: Dress, code: Option<i16>, n: &[&str; 6], anonymous: bool) -> Vec<Group> {
    let mut out = vec![text(0, "SECTION"), text(2, "HEADER")];
    out.extend([text(9, "$ACADVER"), text(1, dress.version)]);
    out.extend([text(9, "$DWGCODEPAGE"), text(3, dress.page)]);
    if let Some(code) = code {
        out.extend([text(9, "$INSUNITS"), int(70, code)]);
    }
    out.push(text(0, "ENDSEC"));
    out.extend([text(0, "SECTION"), text(2, "TABLES")]);
    out.extend([text(0, "TABLE"), text(2, "LAYER"), int(70, 1)]);
    // A colour below zero: off.
    out.extend([
        text(0, "LAYER"),
        text(2, n[5]),
        int(70, 0),
        int(62, -7),
        text(6, "CONTINUOUS"),
    ]);
    out.push(text(0, "ENDTAB"));
    if anonymous {
        out.extend([text(0, "TABLE"), text(2, "BLOCK_RECORD"), int(70, 2)]);
        out.extend([text(0, "BLOCK_RECORD"), text(5, "A1"), text(2, n[4])]);
        out.extend([text(0, "BLOCK_RECORD"), text(5, "A2"), text(2, "*U7")]);
        out.extend([text(1001, "AcDbBlockRepBTag"), int(1070, 1), text(1005, "A1")]);
        out.push(text(0, "ENDTAB"));
    }
    out.push(text(0, "ENDSEC"));
    out
}
