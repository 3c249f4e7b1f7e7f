//! Members in every style: an area of parallel members at one spacing.

use geo::{Coord, Vector2DOps};

use super::pen::{Pen, at};
use super::sticks;
use super::symbols::block;
use super::writer::{int, real, text};

/// On centre, inches, and as it is written: common practice in inches and in millimetres.
pub const SPACINGS: [(f64, &str); 6] = [
    (16.0, "2x10 C.J. @ 16\" O.C."),
    (24.0, "2x10 C.J. @ 24\" O.C."),
    (12.0, "2x10 C.J. @ 12\" O.C."),
    (19.2, "2x10 C.J. @ 19.2\" O.C."),
    (400.0 / 25.4, "38x235 C.J. @ 400 c/c"),
    (600.0 / 25.4, "38x235 C.J. @ 600 c/c"),
];

/// The style in which members are only written of.
pub const WRITTEN: usize = 12;
/// Hips and jacks; a block that no layout shows; several thicknesses; askew.
pub const HIP: usize = 13;
pub const UNREACHED: usize = 14;
pub const MIXED: usize = 15;
pub const SKEW: usize = 16;
/// Multilines; in a block that was a drawing of its own.
pub const MULTI: usize = 17;
pub const BOUND: usize = 18;

/// Where members of one direction stand. `origin` is on the first one's centreline.
#[derive(Clone, Copy)]
pub struct Area {
    pub origin: Coord,
    /// Unit vectors along the members and from one to the next.
    pub along: Coord,
    pub length: f64,
    pub spacing: f64,
    pub count: usize,
    /// A wall that the members cross, from and to along them.
    pub wall: Option<(f64, f64)>,
    /// Beyond this, across, a slanted wall cuts as much off each one's start as it stands further.
    pub cut: f64,
    /// A rounded wall of this radius, tangent there, cuts instead.
    pub round: f64,
    /// From the wall before the first member to that, and to the wall opposite.
    pub edge: f64,
    pub width: f64,
    /// A beam carries the far ends, where else a rim closes them.
    pub beam: bool,
}

impl Area {
    pub fn across(&self) -> Coord {
        self.along.right()
    }

    pub fn point(&self, along: f64, across: f64) -> Coord {
        self.origin + self.along * along + self.across() * across
    }

    /// Ends of each member's centreline.
    pub fn members(&self) -> impl Iterator<Item = (Coord, Coord)> {
        (0..self.count).map(|i| {
            let x = self.spacing * i as f64;
            (self.point(self.start(x), x), self.point(self.length, x))
        })
    }

    pub fn start(&self, x: f64) -> f64 {
        let past = (x - self.cut).max(0.0);
        if self.round > 0.0 {
            self.round - (self.round * self.round - past * past).max(0.0).sqrt()
        } else {
            past
        }
    }
}

/// An I-joist's flanges, and its web in their middle (check values of the trade: 2 5/16 and 3/8 in).
const FLANGE: f64 = 2.3125;
const WEB: f64 = 0.375;

/// The true width, inches.
pub fn thickness(style: usize) -> f64 {
    match style {
        8 => 3.0,
        11 => FLANGE,
        _ => 1.5,
    }
}

/// Draws an area; `name` tells its blocks from another area's.
pub fn area(pen: &mut Pen, blocks: &mut Pen, style: usize, layer: &str, area: &Area, name: &str) {
    if matches!(style, HIP | MIXED | SKEW) {
        return sticks::draw(pen, layer, &sticks::sticks(style, area), area.count);
    }
    let style = if matches!(style, UNREACHED | BOUND) {
        1
    } else {
        style
    };
    let (single, nested) = (format!("J{name}"), format!("K{name}"));
    if matches!(style, 6 | 9) {
        let ring = [
            at(0.0, -0.75),
            at(area.length, -0.75),
            at(area.length, 0.75),
            at(0.0, 0.75),
        ];
        blocks.out.extend(block(&single, &[]));
        blocks.path(layer, &ring, true, 0.0, 0.0);
        blocks.out.extend([text(0, "ENDBLK"), text(8, "0")]);
        blocks.out.extend(block(&nested, &[]));
        blocks.insert("0", &single, at(0.0, 0.0), false, &[]);
        blocks.out.extend([text(0, "ENDBLK"), text(8, "0")]);
    }
    let turn = area.along.y.atan2(area.along.x).to_degrees();
    if style == 9 {
        // The array's rows run to the left of the members.
        let uncut = (0..area.count).take_while(|&i| area.start(area.spacing * i as f64) == 0.0);
        let uncut = uncut.count();
        let first = area.point(0.0, area.spacing * (uncut - 1) as f64);
        let step = area.spacing / pen.inches_per_unit();
        let array = [int(70, 1), int(71, uncut as i16), real(44, 0.0), real(45, step)];
        pen.insert_turned("0", &single, first, turn, &array);
        for i in uncut..area.count {
            member(pen, 1, layer, area, area.spacing * i as f64);
        }
        return;
    }
    for i in 0..area.count {
        let x = area.spacing * i as f64;
        if style == 6 && area.start(x) == 0.0 {
            pen.insert_turned("0", &nested, area.point(0.0, x), turn, &[]);
        } else {
            member(pen, if style == 6 { 1 } else { style }, layer, area, x);
        }
    }
}

fn member(pen: &mut Pen, style: usize, layer: &str, area: &Area, x: f64) {
    let (a, b, low, top) = (x - 0.75, x + 0.75, area.start(x), area.length);
    let p = |along, across| area.point(along, across);
    let lines = |pen: &mut Pen, a: f64, b: f64, low: f64, high: f64| {
        pen.line(layer, p(low, a), p(high, a));
        pen.line(layer, p(low, b), p(high, b));
    };
    let ring = [p(low, a), p(low, b), p(top, b), p(top, a)];
    match style {
        0 => lines(pen, a, b, low, top),
        1 => pen.path(layer, &ring, true, 0.0, 0.0),
        2 => pen.path(layer, &[ring[1], ring[2], ring[3], ring[0]], false, 0.0, 0.0),
        3 => pen.path(layer, &[p(low, x), p(top, x)], false, 0.0, 1.5),
        4 => pen.line(layer, p(low, x), p(top, x)),
        MULTI if !pen.r12 => pen.multiline(layer, &[p(low, x), p(top, x)], false, &[0.75, -0.75], &[]),
        MULTI => lines(pen, a, b, low, top),
        5 => pen.solid(layer, ring),
        // R12 has no hatches.
        10 if pen.r12 => pen.solid(layer, ring),
        10 => pen.hatch(layer, &ring),
        11 => {
            lines(pen, x - FLANGE / 2.0, x + FLANGE / 2.0, low, top);
            lines(pen, x - WEB / 2.0, x + WEB / 2.0, low, top);
        }
        7 => match area.wall {
            Some((from, to)) => {
                lines(pen, a, b, low, from);
                lines(pen, a, b, to, top);
            }
            None => lines(pen, a, b, low, top),
        },
        _ => {
            lines(pen, x - 1.5, x, low, top);
            lines(pen, x, x + 1.5, low, top);
        }
    }
}

/// Writes of the members beside a line with an arrowhead at either end that runs as they do.
pub fn written(pen: &mut Pen, words: &str, from: Coord, to: Coord) {
    const LAYER: &str = "A-ANNO-TEXT";
    pen.line(LAYER, from, to);
    let along = (to - from) / (to - from).x.hypot((to - from).y) * 5.0;
    for (tip, back) in [(from, along), (to, -along)] {
        for side in [0.3, -0.3] {
            pen.line(LAYER, tip, tip + back + back.right() * side);
        }
    }
    pen.words(LAYER, (from + to) / 2.0 + at(4.0, 4.0), 4.0, words);
}
