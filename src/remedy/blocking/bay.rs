//! The lights of one bay that want blocking, in their order along it, and where pieces can stand.
//!
//! *Station*: distance along the bay from its first light. *Offset*: distance from that light's line, to the left of it.

use std::cell::RefCell;
use std::collections::BTreeMap;

use geo::{Coord, Vector2DOps};

use super::{THICKNESS, clear_of_devices, piece};
use crate::check::work::{hole, outline_distance};
use crate::geom::{FUZZ, Line, finite};
use crate::plan::{Bay, LightId, MemberId, Plan, RoomId};
use crate::remedy::Piece;
use crate::rules::{Luminaire, Rules};

/// What lights of one bay have in common: the members beside them, their direction, and the room.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Key {
    left: Option<MemberId>,
    right: Option<MemberId>,
    room: Option<RoomId>,
    /// Of the members, to a tenth of a degree.
    degrees: i64,
}

/// One light of the bay; inches.
pub struct Spot {
    pub id: LightId,
    pub at: Coord,
    pub bay: Bay,
    pub housing: Luminaire,
    pub station: f64,
    pub offset: f64,
    /// What it wants clear between the faces its bars hang from, on the side of less and on that of more.
    pub small: f64,
    pub large: f64,
    /// Places among the findings that blocking is to mend.
    pub targets: Vec<usize>,
}

pub struct BayWork<'a> {
    pub plan: &'a Plan,
    /// Through the first light, along the members.
    pub line: Line,
    /// By station, then offset, then id.
    pub spots: Vec<Spot>,
    holes: Vec<(Coord, f64)>,
    across: RefCell<BTreeMap<(usize, i64), Option<Piece>>>,
}

/// The bay that a light hangs in.
pub fn key(plan: &Plan, light: LightId) -> Option<Key> {
    let it = plan.lights.get(light.0)?;
    let bay = it.bay?;
    Some(Key {
        left: bay.left.member,
        right: bay.right.member,
        room: it.room,
        degrees: (bay.along.y.atan2(bay.along.x).to_degrees() * 10.0).round() as i64,
    })
}

impl<'a> BayWork<'a> {
    /// Of lights with what of theirs is to be mended; `None` where one has no known bay or place.
    pub fn new(plan: &'a Plan, lights: &BTreeMap<LightId, Vec<usize>>, rules: &Rules) -> Option<BayWork<'a>> {
        let first = plan.lights.get(lights.keys().next()?.0)?;
        let line = Line {
            point: first.at,
            along: first.bay?.along,
        };
        let mut spots = Vec::new();
        for (&id, targets) in lights {
            let it = plan.lights.get(id.0).filter(|l| finite(l.at))?;
            let housing = rules.luminaire(it);
            let gain = rules.tolerance.tab_gain;
            let body = match housing.ic {
                true => 0.0,
                false => housing.body / 2.0 + rules.tolerance.combustible,
            };
            spots.push(Spot {
                id,
                at: it.at,
                bay: it.bay?,
                station: line.station(it.at),
                offset: line.offset(it.at),
                small: (housing.short_side.min(housing.box_side) + gain).max(body),
                large: (housing.short_side.max(housing.box_side) + gain).max(body),
                housing,
                targets: targets.clone(),
            });
        }
        spots.sort_by(|a, b| {
            let by = |f: fn(&Spot) -> f64| f(a).total_cmp(&f(b));
            by(|s| s.station).then(by(|s| s.offset)).then(a.id.cmp(&b.id))
        });
        let holes = plan.lights.iter().filter(|l| finite(l.at));
        let holes = holes.map(|l| (l.at, hole(&rules.luminaire(l)))).collect();
        Some(BayWork {
            plan,
            line,
            spots,
            holes,
            across: RefCell::default(),
        })
    }

    /// The piece across the bay with its middle at a station, as seen from one of the lights; `None` where none can stand.
    pub fn across(&self, spot: usize, station: f64) -> Option<Piece> {
        let seen = (spot, (station * 1e4).round() as i64);
        if let Some(known) = self.across.borrow().get(&seen) {
            return known.clone();
        }
        let from = self.spots.get(spot)?;
        let made = piece(
            self.plan,
            from.id,
            from.at,
            self.line.along,
            station - from.station,
        )
        .ok();
        let made = made.filter(|p| self.free(p));
        self.across.borrow_mut().insert(seen, made.clone());
        made
    }

    /// Whether a piece lies on no device and in no light's opening.
    pub fn free(&self, piece: &Piece) -> bool {
        let body = piece.as_member();
        let open = |(at, hole): &(Coord, f64)| outline_distance(&body, *at) >= hole - FUZZ;
        clear_of_devices(self.plan, std::slice::from_ref(piece)) && self.holes.iter().all(open)
    }

    /// A piece along the bay with its middle at an offset, from one station to another; inches.
    pub fn along(&self, from: f64, to: f64, offset: f64) -> Piece {
        let side = self.line.along.left() * offset;
        Piece {
            from: self.line.at(from) + side,
            to: self.line.at(to) + side,
            thickness: THICKNESS,
            cut: (((to - from) + FUZZ) * 16.0).floor() / 16.0,
            between: Vec::new(),
            serves: Vec::new(),
        }
    }
}

impl Spot {
    /// Whether it hangs between faces so far from it on either side; inches.
    pub fn fits(&self, one: f64, other: f64) -> bool {
        let (bars, clear) = (&self.housing.bars, one + other);
        one.min(other) >= self.small - FUZZ
            && one.max(other) >= self.large - FUZZ
            && clear >= bars.least - FUZZ
            && clear <= bars.greatest + FUZZ
    }
}

/// The extent of pieces along a bay: the least and greatest station of any.
pub fn extent(line: &Line, pieces: &[Piece]) -> (f64, f64) {
    let corners = pieces.iter().flat_map(|p| {
        let half = (p.to - p.from)
            .try_normalize()
            .map_or(Coord::zero(), |d| d.left() * (p.thickness / 2.0));
        [p.from + half, p.from - half, p.to + half, p.to - half]
    });
    corners
        .map(|c| line.station(c))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), s| {
            (low.min(s), high.max(s))
        })
}
