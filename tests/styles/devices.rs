//! What else is in the ceilings: a diffuser and an alarm in each room, a fan in every other plan.

use std::f64::consts::TAU;

use geo::Coord;

use super::draw::{Random, Told};
use super::pen::{Pen, at};
use super::symbols::block;
use super::writer::{int, text};

/// How a device is called in findings by its kind, how far it reaches from its middle, and its names.
#[derive(Clone, Copy)]
struct Kind {
    kind: &'static str,
    reach: f64,
    given: &'static str,
    trade: &'static str,
}

const KINDS: [Kind; 3] = [
    Kind {
        kind: "diffuser",
        reach: 6.0 * std::f64::consts::SQRT_2,
        given: "ZK-D1",
        trade: "DIFFUSER-12",
    },
    Kind {
        kind: "smoke alarm",
        reach: 3.0,
        given: "ZK-D2",
        trade: "SMOKE-ALARM",
    },
    Kind {
        kind: "ceiling fan",
        // The corner of a blade.
        reach: 18.172_782,
        given: "ZK-D3",
        trade: "CEILING-FAN-36",
    },
];

const BLADE: (f64, f64) = (18.0, 2.5);

/// A device as it truly stands, in inches of the world.
pub struct Device {
    pub at: Coord,
    /// From its middle to what is furthest.
    pub reach: f64,
    /// How a finding's name of it begins: with its block's where that says what it is, else with its kind.
    pub called: &'static str,
}

/// The devices' habits in one plan.
pub struct Ceiling {
    told: Told,
    /// Each in a shape of its own.
    crossed: bool,
    letters: usize,
    blades: Option<usize>,
    pub devices: Vec<Device>,
}

impl Ceiling {
    /// A chance of its own, so that nothing else of a plan depends on its devices.
    pub fn new(seed: u64, told: Told) -> Self {
        let mut r = Random(seed ^ 0x00de_71ce);
        Ceiling {
            told,
            crossed: r.below(2) == 0,
            letters: r.below(3),
            blades: [None, None, Some(3), Some(4), Some(5)][r.below(5)],
            devices: Vec::new(),
        }
    }

    fn name(&self, k: usize) -> &'static str {
        match self.told {
            Told::Given => KINDS[k].given,
            Told::Words => KINDS[k].trade,
            Told::Nothing => ["A$C2D01", "A$C2D02", "A$C2D03"][k],
        }
    }

    /// What maps them in a rules file.
    pub fn rules(&self) -> String {
        let names: Vec<String> = KINDS.iter().map(|k| format!("{:?}", k.given)).collect();
        format!("devices = {{ blocks = [{}] }}\n", names.join(", "))
    }

    /// The devices of a room, between its rows of lights. `put` is from the room to the plan, `world` from there on.
    pub fn room(
        &mut self,
        pen: &mut Pen,
        (width, height): (f64, f64),
        put: impl Fn(Coord) -> Coord,
        world: impl Fn(Coord) -> Coord,
    ) {
        for (k, share) in [0.22, 0.78, 0.5].into_iter().enumerate() {
            if k == 2 && self.blades.is_none() {
                continue;
            }
            let p = put(at(share * width, 0.5 * height));
            let more = [int(66, 1)];
            let held = k == 1 && self.letters == 1;
            pen.insert("0", self.name(k), p, false, if held { &more } else { &[] });
            if held {
                pen.attribute("0", p + at(-1.0, -1.0), "SD");
            }
            if k == 1 && self.letters == 2 {
                // Lettering stands upright, however the plan is turned.
                let (s, c) = pen.place.map_or(0.0, |place| place.turn).sin_cos();
                let middle = at(1.4, 1.0);
                let start = p - at(c * middle.x + s * middle.y, c * middle.y - s * middle.x);
                pen.words("A-ANNO-TEXT", start, 2.0, "SD");
            }
            self.devices.push(Device {
                at: world(p),
                reach: KINDS[k].reach,
                called: match self.told {
                    Told::Words => KINDS[k].trade,
                    _ => KINDS[k].kind,
                },
            });
        }
    }

    pub fn blocks(&self, pen: &mut Pen) {
        for k in 0..KINDS.len() {
            let start = block(self.name(k), &[]);
            pen.out.extend(start);
            match k {
                0 => self.diffuser(pen),
                1 => {
                    pen.circle("0", at(0.0, 0.0), KINDS[1].reach);
                    if self.letters == 0 {
                        pen.words("0", at(-1.4, -1.0), 2.0, "SD");
                    }
                }
                _ => self.fan(pen),
            }
            pen.out.extend([text(0, "ENDBLK"), text(8, "0")]);
        }
    }

    fn diffuser(&self, pen: &mut Pen) {
        let corner = |k: usize, half: f64| {
            let (x, y) = [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)][k % 4];
            at(x * half, y * half)
        };
        let ring = |half: f64| [0, 1, 2, 3].map(|k| corner(k, half));
        pen.path("0", &ring(6.0), true, 0.0, 0.0);
        if self.crossed {
            pen.line("0", corner(0, 6.0), corner(2, 6.0));
            pen.line("0", corner(1, 6.0), corner(3, 6.0));
            return;
        }
        for k in 0..4 {
            pen.line("0", corner(k, 3.0), corner(k + 1, 3.0));
            pen.line("0", corner(k, 3.0), corner(k, 6.0));
        }
    }

    fn fan(&self, pen: &mut Pen) {
        let blades = self.blades.unwrap_or(4);
        pen.circle("0", at(0.0, 0.0), 3.5);
        for k in 0..blades {
            let (s, c) = (TAU * k as f64 / blades as f64).sin_cos();
            let put = |x: f64, y: f64| at(c * x - s * y, s * x + c * y);
            let (tip, half) = BLADE;
            let ring = [put(4.0, -half), put(tip, -half), put(tip, half), put(4.0, half)];
            pen.path("0", &ring, true, 0.0, 0.0);
        }
    }
}
