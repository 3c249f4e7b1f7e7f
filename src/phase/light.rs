//! One light under framing of unknown phase: at which phases it has which finding.
//!
//! What fires at one phase is asked of the checks' own functions; where that can change is worked out
//! from their limits. Between two such places nothing changes, so one look decides.

use geo::Coord;

use super::{Field, Span};
use crate::check::device_clash::in_the_way;
use crate::check::footprint::Devices;
use crate::check::work::{Hung, UPON_WALL, hole, outline_distance, unsupported};
use crate::check::{EPSILON, Kind};
use crate::plan::{Bay, Light, LightId, MemberId, Plan, Side};
use crate::recognise::bays::{Near, nearest_of, wall};
use crate::recognise::outline;
use crate::rules::{Luminaire, Mount, Rules};

/// The kinds that may depend on the phase, in the order of [`Kind`].
pub const KINDS: [Kind; 9] = [
    Kind::HitsMember,
    Kind::HousingClash,
    Kind::HardAgainst,
    Kind::NearCombustible,
    Kind::WideBay,
    Kind::TrimBars,
    Kind::NarrowBay,
    Kind::NoSupport,
    Kind::DeviceClash,
];

/// Places nearer than this are one, inches: less than the checks' own slack, so that what they say at
/// one of them holds at the other.
pub const SAME: f64 = 5e-7;

/// Which of [`KINDS`] fire.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fires(u16);

impl Fires {
    fn set(&mut self, kind: Kind, fires: bool) {
        if let Some(i) = KINDS.iter().position(|k| *k == kind) {
            self.0 |= u16::from(fires) << i;
        }
    }

    pub fn has(self, kind: Kind) -> bool {
        KINDS
            .iter()
            .position(|k| *k == kind)
            .is_some_and(|i| self.0 >> i & 1 == 1)
    }

    pub fn any(self) -> bool {
        self.0 != 0
    }

    pub fn kinds(self) -> impl Iterator<Item = Kind> {
        KINDS.into_iter().filter(move |k| self.has(*k))
    }
}

/// A light and what is around it but for the members of unknown phase.
pub struct Lone<'a> {
    field: Field,
    light: &'a Light,
    id: LightId,
    housing: Luminaire,
    /// Distance of the light from the field's origin, across the members.
    place: f64,
    /// To the nearest drawn member's outline; infinite where there is none.
    drawn: f64,
    /// To the nearest drawn member on the left and on the right, over the housing's half-width band.
    beside: [f64; 2],
    walls: [Option<f64>; 2],
    /// Whether the housing stands in a device: hung between the members, and as a round body alone.
    device: [bool; 2],
    tab_gain: f64,
    combustible: f64,
}

/// What of a plan stays the same for all its lights.
pub struct Around<'a> {
    plan: &'a Plan,
    near: Near,
    devices: Devices,
    outlines: Vec<Vec<Coord>>,
}

impl<'a> Around<'a> {
    pub fn new(plan: &'a Plan) -> Around<'a> {
        Around {
            plan,
            near: Near::new(plan),
            devices: Devices::new(&plan.obstacles),
            outlines: plan.members.iter().map(outline).collect(),
        }
    }

    /// A light of the plan, set at `light.at`.
    pub fn lone<'l>(&self, field: Field, (id, light): (LightId, &'l Light), rules: &Rules) -> Lone<'l> {
        let housing = rules.luminaire(light);
        let (at, along, across) = (light.at, field.along, field.across());
        let beside = |way: Coord| {
            let rings = self.outlines.iter().enumerate().map(|(i, r)| (i, r.as_slice()));
            nearest_of(rings, at, along, way, housing.half_width).0
        };
        let to_wall = |way: Coord| wall(self.plan, &self.near, light, way);
        let hung = (housing.mount == Mount::NewWork).then_some(along);
        let stands = |along| !in_the_way(&self.devices, at, &housing, along).is_empty();
        let to_member = self.plan.members.iter().map(|m| outline_distance(m, at));
        Lone {
            place: field.place(at),
            drawn: to_member.fold(f64::INFINITY, f64::min),
            beside: [beside(across), beside(across * -1.0)],
            walls: [to_wall(across), to_wall(across * -1.0)],
            device: [stands(hung), stands(None)],
            tab_gain: rules.tolerance.tab_gain,
            combustible: rules.tolerance.combustible,
            field,
            light,
            id,
            housing,
        }
    }
}

/// The phases that the members alone take from a light, at no wall and no device: with the light's place they
/// only shift.
pub struct Bare {
    must: Vec<(f64, f64)>,
    any: Vec<(f64, f64)>,
}

impl Bare {
    /// From and to, inches, of the phases with a `must`, or with any finding, the light moved across the members.
    pub fn bad(&self, any: bool, by: f64) -> Vec<(f64, f64)> {
        let spans = if any { &self.any } else { &self.must };
        spans.iter().map(|(from, to)| (from + by, to + by)).collect()
    }

    /// The share of phases left without a `must`.
    pub fn share(&self, spacing: f64) -> f64 {
        1.0 - self.must.iter().map(|(from, to)| to - from).sum::<f64>() / spacing
    }
}

impl Around<'_> {
    /// What the members alone take from a light where it stands.
    pub fn bare(&self, field: Field, light: &Light, rules: &Rules) -> Bare {
        let lone = Lone {
            drawn: f64::INFINITY,
            beside: [f64::INFINITY; 2],
            walls: [None; 2],
            device: [false; 2],
            ..self.lone(field, (LightId(0), light), rules)
        };
        let pieces = lone.pieces();
        let of = |bad: fn(Fires) -> bool| {
            let parts = pieces.iter().filter(|p| bad(p.past));
            let round = |p: &Piece| if p.to > p.from { p.to } else { p.to + field.spacing };
            parts.map(|p| (p.from, round(p))).collect()
        };
        Bare {
            must: of(super::count::must),
            any: of(Fires::any),
        }
    }

    /// The phases that walls and devices take from a light besides: no support before a wall, all of them in a
    /// device.
    pub fn taken_away(&self, field: Field, light: &Light, rules: &Rules) -> Vec<(f64, f64)> {
        let housing = rules.luminaire(light);
        let hung = (housing.mount == Mount::NewWork).then_some(field.along);
        if !in_the_way(&self.devices, light.at, &housing, hung).is_empty() {
            return vec![(0.0, field.spacing)];
        }
        if hung.is_none() {
            return Vec::new();
        }
        let (place, half) = (field.place(light.at), field.thickness / 2.0);
        let sides = [(field.across(), 1.0), (field.across() * -1.0, -1.0)];
        let spans = sides.into_iter().filter_map(|(way, sign)| {
            // The nearest centreline on this side is from here on past the wall, up to one bay off.
            let past = wall(self.plan, &self.near, light, way)? + UPON_WALL + half;
            let (from, to) = (place + sign * past, place + sign * (field.spacing - half));
            (past < field.spacing - half).then_some((from.min(to), from.max(to)))
        });
        spans.collect()
    }
}

impl Lone<'_> {
    /// What fires at a phase, inches from the origin.
    pub fn at(&self, phase: f64) -> Fires {
        let mut fires = Fires::default();
        let (housing, half) = (&self.housing, self.field.thickness / 2.0);
        let [left, right] = self.rooms(phase);
        // To the nearest centreline on either side.
        let to_left = (phase - self.place).rem_euclid(self.field.spacing);
        let nearest = (to_left.min(self.field.spacing - to_left) - half).min(self.drawn);
        let hit = hole(housing) - nearest > EPSILON;
        fires.set(Kind::HitsMember, hit);
        let gap = (nearest - housing.body / 2.0).max(0.0);
        fires.set(
            Kind::NearCombustible,
            !housing.ic && gap < self.combustible - EPSILON,
        );
        let hung = housing.mount == Mount::NewWork && !hit;
        fires.set(Kind::DeviceClash, self.device[usize::from(!hung)]);
        if !hung {
            return fires;
        }
        let side = |room, wall| Side {
            room,
            member: Some(MemberId(0)),
            wall,
        };
        let bay = Bay {
            along: self.field.along,
            left: side(left, self.walls[0]),
            right: side(right, self.walls[1]),
        };
        let hung = Hung {
            id: self.id,
            light: self.light,
            housing,
            bay: &bay,
        };
        let (spare, clear, gain) = (hung.spare(), hung.clear(), self.tab_gain);
        let clash = spare < -gain - EPSILON;
        fires.set(Kind::HousingClash, clash);
        fires.set(Kind::HardAgainst, !clash && spare < gain - EPSILON);
        if unsupported(&bay.left) || unsupported(&bay.right) {
            fires.set(Kind::NoSupport, true);
            return fires;
        }
        let bars = &housing.bars;
        let narrow = clear < bars.trimmed - EPSILON;
        fires.set(Kind::WideBay, clear > bars.greatest + EPSILON);
        fires.set(Kind::NarrowBay, narrow);
        fires.set(Kind::TrimBars, !narrow && clear < bars.least - EPSILON);
        fires
    }

    /// Clear room to the left and to the right of the light, as a bay has it: a member counts on a side
    /// where a part of it lies there.
    fn rooms(&self, phase: f64) -> [f64; 2] {
        let (spacing, half) = (self.field.spacing, self.field.thickness / 2.0);
        let to_left = (phase - self.place).rem_euclid(spacing);
        let laid = |to: f64| if to - spacing > -half { to - spacing } else { to } - half;
        [
            laid(to_left).min(self.beside[0]),
            laid(spacing - to_left).min(self.beside[1]),
        ]
    }

    /// The phases at which anything may begin or cease to fire, rising, in [0, spacing).
    fn breaks(&self) -> Vec<f64> {
        let (housing, gain) = (&self.housing, self.tab_gain);
        let half = self.field.thickness / 2.0;
        let mut both = vec![hole(housing), 0.0, -half];
        if !housing.ic {
            both.extend([housing.body / 2.0 + self.combustible, housing.body / 2.0]);
        }
        for side in [housing.short_side, housing.box_side] {
            both.extend([side + gain, side - gain]);
        }
        let mut places = Vec::new();
        for (here, other, sign) in [(0, 1, 1.0), (1, 0, -1.0)] {
            let bars = [housing.bars.least, housing.bars.greatest, housing.bars.trimmed];
            let with_other = bars.map(|b| b - self.beside[other]);
            let own = [Some(self.beside[here]), self.walls[here].map(|w| w + UPON_WALL)];
            let faces = both
                .iter()
                .copied()
                .chain(with_other)
                .chain(own.into_iter().flatten());
            // A face that far off on this side is the edge of a member half its thickness further.
            places.extend(faces.map(|face| self.place + sign * (face + half)));
        }
        round(places, self.field.spacing)
    }

    /// The pieces of [0, spacing): at each break, and between it and the next, what fires. Never empty.
    pub fn pieces(&self) -> Vec<Piece> {
        let breaks = self.breaks();
        let spacing = self.field.spacing;
        let n = breaks.len();
        (breaks.iter().enumerate())
            .map(|(i, &from)| {
                let to = breaks.get(i + 1).copied().unwrap_or(breaks[0] + spacing);
                Piece {
                    from,
                    to: if i + 1 == n { breaks[0] } else { to },
                    on: self.at(from),
                    past: self.at(((from + to) / 2.0).rem_euclid(spacing)),
                }
            })
            .collect()
    }
}

/// A place where something may change, and what holds on it and from it to the next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Piece {
    pub from: f64,
    /// The next place; round the end of the spacing it is the first.
    pub to: f64,
    pub on: Fires,
    pub past: Fires,
}

/// Places brought into [0, spacing), rising, none twice. One at least.
pub fn round(places: Vec<f64>, spacing: f64) -> Vec<f64> {
    let mut places: Vec<f64> = places
        .into_iter()
        .map(|p| p.rem_euclid(spacing))
        .filter(|p| p.is_finite())
        .map(|p| if spacing - p <= SAME { 0.0 } else { p })
        .collect();
    places.sort_by(f64::total_cmp);
    places.dedup_by(|next, kept| *next - *kept <= SAME);
    if places.is_empty() {
        places.push(0.0);
    }
    places
}

/// The phases at which `fires` says so, as spans that rise and do not touch, within [0, spacing].
pub fn spans(pieces: &[Piece], spacing: f64, fires: impl Fn(Fires) -> bool) -> Vec<Span> {
    // From 0 on: the last piece comes round to the first break.
    let mut parts: Vec<Span> = Vec::new();
    let mut add = |from: f64, to: f64, closed: (bool, bool)| {
        match parts.last_mut() {
            Some(last) if last.to == from && (last.to_in || closed.0) => {
                (last.to, last.to_in) = (to, closed.1)
            }
            _ => parts.push(Span {
                from,
                to,
                from_in: closed.0,
                to_in: closed.1,
            }),
        };
    };
    if let (Some(first), Some(last)) = (pieces.first(), pieces.last())
        && first.from > 0.0
        && fires(last.past)
    {
        add(0.0, first.from, (true, false));
    }
    for (i, piece) in pieces.iter().enumerate() {
        if fires(piece.on) {
            add(piece.from, piece.from, (true, true));
        }
        let to = if i + 1 == pieces.len() { spacing } else { piece.to };
        if fires(piece.past) {
            add(piece.from, to, (false, false));
        }
    }
    parts
}
