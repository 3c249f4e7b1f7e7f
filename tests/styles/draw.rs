//! Plans with known truth: two rooms, lights in rows, joists over both, decoys, in every style.

use geo::Coord;

use crate::pen::{Pen, Place, at};
use crate::writer::{Dress, Group, bytes, int, real, text};

pub const LIGHTS: [&str; 11] = [
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
];

pub const FRAMING: [&str; 9] = [
    "double lines",
    "closed outlines",
    "half-open outlines",
    "wide polylines",
    "centrelines",
    "solids",
    "nested blocks",
    "double lines broken at walls",
    "doubled members",
];

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
    pub bytes: Vec<u8>,
    pub rules: String,
    pub unit: &'static str,
    pub dress: Dress,
    pub lights: Vec<Coord>,
    /// Whether each light is marked with the type A.
    pub tagged: bool,
    /// Ends of the centreline and thickness.
    pub members: Vec<(Coord, Coord, f64)>,
    pub rooms: Vec<Vec<Coord>>,
    /// Lights in each row, sorted.
    pub rows: Vec<usize>,
}

/// Layer names of light, framing, wall and room, and of the light's block.
struct Names([&'static str; 5]);

const STRANGE: Names = Names(["Q1", "Q2", "Q3", "Q4", "ZK-6"]);
const TRADE: Names = Names(["E-LITE", "S-JOIS", "A-WALL", "A-AREA", "DOWNLIGHT6"]);

/// `given`: odd names and a rules file that maps them; else trade words and only a schedule.
pub fn sample(seed: u64, given: bool) -> Sample {
    let mut r = Random(seed);
    let (lights_style, framing_style) = (seed as usize % LIGHTS.len(), seed as usize % FRAMING.len());
    let (unit, code, inches_per_unit) = UNITS[r.below(UNITS.len())];
    let dress = Dress {
        version: VERSIONS[r.below(VERSIONS.len())],
        binary: r.below(4) == 0,
        crlf: r.below(2) == 0,
        page: ["ANSI_1252", "ANSI_1250", "ANSI_932"][r.below(3)],
    };
    let far = [0.0, 1e3, 1e6][r.below(3)];
    let place = Place {
        turn: (r.below(3600) as f64 / 10.0).to_radians(),
        shift: at(far * 1.25, -far),
        inches_per_unit,
    };
    let names = if given { &STRANGE } else { &TRADE }.0;
    let mut pen = Pen::new(Some(place), dress.is_r12());
    let mut blocks = Pen::new(None, dress.is_r12());
    let world = |p: Coord| place.put(p) * inches_per_unit;

    let width = 120.0 + r.below(100) as f64;
    let heights = [110.0 + r.below(60) as f64, 100.0 + r.below(60) as f64];
    let mut out = Truth::default();
    let mut low = 0.0;
    for height in heights {
        let ring = [
            at(0.0, low),
            at(width, low),
            at(width, low + height),
            at(0.0, low + height),
        ];
        pen.path(names[3], &ring, true, 0.0, 0.0);
        for i in 0..4 {
            pen.line(names[2], ring[i], ring[(i + 1) % 4]);
        }
        out.rooms.push(ring.map(world).to_vec());
        let count = 3 + r.below(2);
        let pitch = width / count as f64;
        let rise = height / 2.0;
        let first = at(pitch / 2.0, low + height / 4.0);
        for row in 0..2 {
            out.rows.push(count);
            for i in 0..count {
                let p = first + at(pitch * i as f64, rise * row as f64);
                out.lights.push(world(p));
                if lights_style != 4 {
                    light(&mut pen, lights_style, &names, p);
                }
            }
        }
        if lights_style == 4 {
            let u = inches_per_unit;
            let array = [
                int(70, count as i16),
                int(71, 2),
                real(44, pitch / u),
                real(45, rise / u),
            ];
            pen.insert(names[0], names[4], first, false, &array);
        }
        low += height + 4.5;
    }
    light_blocks(&mut blocks, lights_style, &names);
    let top = low - 4.5;
    let mut x = 5.0 + r.below(8) as f64;
    let thick = if framing_style == 8 { 3.0 } else { 1.5 };
    while x < width - 4.0 {
        out.members.push((world(at(x, 0.0)), world(at(x, top)), thick));
        member(&mut pen, framing_style, names[1], x, top, heights[0]);
        x += 16.0;
    }
    blocks.out.extend(block("J1", &[]));
    blocks.path(
        names[1],
        &[at(-0.75, 0.0), at(0.75, 0.0), at(0.75, top), at(-0.75, top)],
        true,
        0.0,
        0.0,
    );
    blocks.out.extend([text(0, "ENDBLK"), text(8, "0")]);
    blocks.out.extend(block("J2", &[]));
    blocks.insert("0", "J1", at(0.0, 0.0), false, &[]);
    blocks.out.extend([text(0, "ENDBLK"), text(8, "0")]);
    for (name, radius) in [("TABLE", 18.0), ("SINK", 7.0)] {
        blocks.out.extend(block(name, &[]));
        blocks.circle("0", at(0.0, 0.0), radius);
        blocks.out.extend([text(0, "ENDBLK"), text(8, "0")]);
    }
    decoys(&mut pen, &mut r, width, top);

    let mut all = head(dress, code, &names, lights_style == 8);
    all.extend([text(0, "SECTION"), text(2, "BLOCKS")]);
    all.extend(blocks.out);
    all.extend([text(0, "ENDSEC"), text(0, "SECTION"), text(2, "ENTITIES")]);
    all.extend(pen.out);
    all.extend([text(0, "ENDSEC"), text(0, "EOF")]);
    out.rows.sort_unstable();
    Sample {
        lights_style,
        framing_style,
        bytes: bytes(&all, dress),
        rules: rules(given, &names),
        unit,
        dress,
        lights: out.lights,
        tagged: matches!(lights_style, 0 | 9 | 10),
        members: out.members,
        rooms: out.rooms,
        rows: out.rows,
    }
}

#[derive(Default)]
struct Truth {
    lights: Vec<Coord>,
    members: Vec<(Coord, Coord, f64)>,
    rooms: Vec<Vec<Coord>>,
    rows: Vec<usize>,
}

fn rules(given: bool, n: &[&str; 5]) -> String {
    let map = format!(
        "[read]\nlights = {{ layers = [\"{}\"], blocks = [\"{}\"] }}\nframing = {{ layers = [\"{}\"] }}\n\
         walls = {{ layers = [\"{}\"] }}\nrooms = {{ layers = [\"{}\"] }}\n",
        n[0], n[4], n[1], n[2], n[3]
    );
    let schedule = "[[luminaire]]\ntag = \"A\"\naperture = 6\n";
    if given { map + schedule } else { schedule.into() }
}

fn light(pen: &mut Pen, style: usize, n: &[&str; 5], p: Coord) {
    let layer = n[0];
    match style {
        0 => {
            pen.insert(layer, n[4], p, false, &[int(66, 1)]);
            pen.attribute(layer, p + at(5.0, 5.0), "A");
        }
        // The block's circle stands at (9, 4) of its own origin.
        1 => pen.insert(layer, n[4], p - at(9.0, 4.0), false, &[]),
        3 => pen.insert(layer, n[4], p + at(9.0, -4.0), true, &[]),
        // On layer 0, so that nothing but the true name tells.
        8 => pen.insert("0", "*U7", p, false, &[]),
        5 | 10 => pen.circle(layer, p, 3.0),
        6 => {
            pen.circle(layer, p, 3.0);
            pen.line(layer, p - at(4.0, 0.0), p + at(4.0, 0.0));
            pen.line(layer, p - at(0.0, 4.0), p + at(0.0, 4.0));
        }
        7 => pen.path(layer, &[p - at(3.0, 0.0), p + at(3.0, 0.0)], true, 1.0, 0.0),
        _ => pen.insert(layer, n[4], p, false, &[]),
    }
    if style >= 9 {
        pen.words(layer, p + at(5.0, 2.0), 4.0, "A");
    }
}

fn block(name: &str, more: &[Group]) -> Vec<Group> {
    let mut out = vec![text(0, "BLOCK"), text(8, "0"), text(2, name), int(70, 0)];
    out.extend([real(10, 0.0), real(20, 0.0)]);
    out.extend(more.iter().cloned());
    out
}

fn light_blocks(pen: &mut Pen, style: usize, n: &[&str; 5]) {
    let c = if style == 1 || style == 3 {
        at(9.0, 4.0)
    } else {
        at(0.0, 0.0)
    };
    let end = [text(0, "ENDBLK"), text(8, "0")];
    let shape = |pen: &mut Pen| {
        pen.circle("0", c, 3.0);
        pen.line("0", c - at(3.0, 0.0), c + at(3.0, 0.0));
        pen.line("0", c - at(0.0, 3.0), c + at(0.0, 3.0));
    };
    if style == 2 {
        pen.out.extend(block("INNER", &[]));
        shape(pen);
        pen.out.extend(end.clone());
    }
    for name in [n[4], "*U7"] {
        pen.out.extend(block(name, &[]));
        match style {
            2 => pen.insert("0", "INNER", at(0.0, 0.0), false, &[]),
            _ => shape(pen),
        }
        pen.out.extend(end.clone());
    }
}

fn member(pen: &mut Pen, style: usize, layer: &str, x: f64, top: f64, wall: f64) {
    let (a, b) = (x - 0.75, x + 0.75);
    let lines = |pen: &mut Pen, a: f64, b: f64, low: f64, high: f64| {
        pen.line(layer, at(a, low), at(a, high));
        pen.line(layer, at(b, low), at(b, high));
    };
    let ring = [at(a, 0.0), at(b, 0.0), at(b, top), at(a, top)];
    match style {
        0 => lines(pen, a, b, 0.0, top),
        1 => pen.path(layer, &ring, true, 0.0, 0.0),
        2 => pen.path(layer, &[ring[1], ring[2], ring[3], ring[0]], false, 0.0, 0.0),
        3 => pen.path(layer, &[at(x, 0.0), at(x, top)], false, 0.0, 1.5),
        4 => pen.line(layer, at(x, 0.0), at(x, top)),
        5 => pen.solid(layer, ring),
        6 => pen.insert(layer, "J2", at(x, 0.0), false, &[]),
        7 => {
            lines(pen, a, b, 0.0, wall);
            lines(pen, a, b, wall + 4.5, top);
        }
        _ => {
            lines(pen, x - 1.5, x, 0.0, top);
            lines(pen, x, x + 1.5, 0.0, top);
        }
    }
}

/// Things of the same shapes that are neither lights nor joists, on layers of their own.
fn decoys(pen: &mut Pen, r: &mut Random, width: f64, top: f64) {
    let mut spot = || {
        at(
            10.0 + r.below(width as usize - 20) as f64,
            10.0 + r.below(top as usize - 20) as f64,
        )
    };
    pen.circle("A-FURN", spot(), 18.0);
    pen.circle("P-SANR-FIXT", spot(), 7.0);
    pen.circle("S-COLS", spot(), 3.0);
    pen.insert("0", "TABLE", spot(), false, &[]);
    pen.insert("0", "SINK", spot(), false, &[]);
    for _ in 0..4 {
        pen.circle("S-BOLT", spot(), 0.5);
    }
    pen.arc("A-DOOR", spot(), 32.0, 0.0, 90.0);
    pen.circle("S-GRID", at(-30.0, 0.0), 9.0);
    pen.line("S-GRID", at(-21.0, 0.0), at(width, 0.0));
    for i in 0..12 {
        let y = 6.0 * f64::from(i);
        pen.line("A-FLOR-PATT", at(4.0, y), at(width - 4.0, y));
        pen.line(
            "A-FLOR-STRS",
            at(20.0, 10.0 * f64::from(i)),
            at(56.0, 10.0 * f64::from(i)),
        );
        pen.line("A-DECK", at(width + 10.0 + y, 0.0), at(width + 10.0 + y, top));
    }
    pen.line("A-ANNO-DIMS", at(0.0, -20.0), at(width, -20.0));
}

fn head(dress: Dress, code: i16, n: &[&str; 5], anonymous: bool) -> Vec<Group> {
    let mut out = vec![text(0, "SECTION"), text(2, "HEADER")];
    out.extend([text(9, "$ACADVER"), text(1, dress.version)]);
    out.extend([text(9, "$DWGCODEPAGE"), text(3, dress.page)]);
    out.extend([text(9, "$INSUNITS"), int(70, code), text(0, "ENDSEC")]);
    if anonymous {
        out.extend([text(0, "SECTION"), text(2, "TABLES")]);
        out.extend([text(0, "TABLE"), text(2, "BLOCK_RECORD"), int(70, 2)]);
        out.extend([text(0, "BLOCK_RECORD"), text(5, "A1"), text(2, n[4])]);
        out.extend([text(0, "BLOCK_RECORD"), text(5, "A2"), text(2, "*U7")]);
        out.extend([text(1001, "AcDbBlockRepBTag"), int(1070, 1), text(1005, "A1")]);
        out.extend([text(0, "ENDTAB"), text(0, "ENDSEC")]);
    }
    out
}
