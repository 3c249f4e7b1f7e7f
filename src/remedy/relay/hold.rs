//! What a choice on one axis does to the rows along it, whatever the other axis does: gaps, walls faced, pitch.
//!
//! Rows are fitted and checked by the functions that check a plan. A choice that fails here fails in every pair, so
//! that no pair of it needs to be looked at.

use std::collections::BTreeMap;

use geo::{Coord, Vector2DOps};

use super::layout::Layout;
use super::search::Choice;
use super::spot::Axis;
use super::{Bench, STEP};
use crate::check::{Finding, Kind, along_rows};
use crate::geom::{FUZZ, unit};
use crate::plan::{LightId, Plan, Room, Row};
use crate::recognise::rows::row_of;
use crate::remedy::judge::{compare, same_row_again};

/// The rows along one axis of a layout.
pub struct Hold<'a> {
    bench: &'a Bench<'a>,
    seated: &'a Layout,
    axis: Axis,
    rows: Vec<&'a Row>,
    /// Lights with their new places and rows; nothing else but rooms.
    there: Plan,
    was: Plan,
    before: Vec<Finding>,
    known: BTreeMap<(i16, i16), bool>,
}

impl<'a> Hold<'a> {
    pub fn new(bench: &'a Bench<'a>, seated: &'a Layout, axis: Axis) -> Hold<'a> {
        let way = if axis == Axis::Along { seated.u } else { seated.v };
        let plan = bench.plan;
        let level = |r: &&Row| unit(r.to - r.from).is_some_and(|d| d.wedge_product(way).abs() < 0.02);
        let inside = |r: &&Row| {
            r.lights
                .iter()
                .all(|l| seated.seats.iter().any(|s| s.light == *l))
        };
        let rows: Vec<&Row> = plan.rows.iter().filter(inside).filter(level).collect();
        let there = Plan {
            units: plan.units.clone(),
            lights: plan.lights.clone(),
            members: Vec::new(),
            callouts: Vec::new(),
            rooms: plan.rooms.clone(),
            walls: Vec::new(),
            axis: plan.axis,
            obstacles: Vec::new(),
            rows: rows.iter().map(|r| (*r).clone()).collect(),
            linework: Vec::new(),
            unclaimed: Vec::new(),
            counts: plan.counts,
        };
        Hold {
            before: along_rows(&there, bench.rules),
            was: there.clone(),
            known: BTreeMap::new(),
            bench,
            seated,
            axis,
            rows,
            there,
        }
    }

    /// False where it is sure that no pair with this choice is clean.
    pub fn may(&mut self, choice: &Choice) -> bool {
        let key = (choice.shift, choice.stretch);
        match self.known.get(&key) {
            Some(&may) => may,
            None => {
                let may = self.judge(choice).unwrap_or(false);
                self.known.insert(key, may);
                may
            }
        }
    }

    fn judge(&mut self, choice: &Choice) -> Option<bool> {
        let seated = self.seated;
        for seat in &seated.seats {
            let mut to = Coord {
                x: seated.start.x + seated.pitch.x * f64::from(seat.column),
                y: seated.start.y + seated.pitch.y * f64::from(seat.row),
            };
            let (place, k) = match self.axis {
                Axis::Along => (&mut to.x, seat.column),
                Axis::Across => (&mut to.y, seat.row),
            };
            *place += f64::from(i32::from(choice.shift) + i32::from(choice.stretch) * k) * STEP;
            self.there.lights.get_mut(seat.light.0)?.at = seated.world(to);
        }
        for (slot, row) in self.there.rows.iter_mut().zip(&self.rows) {
            let stand = |l: &LightId| Some((*l, self.there.lights.get(l.0)?.at));
            let places = row.lights.iter().map(stand).collect::<Option<Vec<_>>>()?;
            *slot = row_of(self.bench.plan, &places, row.room, self.bench.rules)?;
            if !same_row_again(slot, row) {
                return Some(false);
            }
        }
        let after: Vec<Finding> = (along_rows(&self.there, self.bench.rules).into_iter())
            .filter(|f| f.kind != Kind::WallGap || self.faces_one_wall(f))
            .collect();
        let (_, new) = compare((&self.was, &self.before), (&self.there, &after));
        Some(new.is_empty())
    }

    /// Whether the wall a row's end faces is as far off wherever in the room the row lies.
    fn faces_one_wall(&self, f: &Finding) -> bool {
        let room = f.room.and_then(|r| self.there.rooms.get(r.0));
        room.is_some_and(|r| extent(r, self.seated, self.axis).is_some())
    }
}

/// Where a room begins and ends on an axis, if it is a rectangle square to it with outlines that were drawn.
pub fn extent(room: &Room, seated: &Layout, axis: Axis) -> Option<(f64, f64)> {
    let corners: Vec<Coord> = room.outline.iter().map(|p| seated.seen(*p)).collect();
    let &[a, b, c, d] = corners.as_slice() else {
        return None;
    };
    let level = |p: Coord, q: Coord| (p.x - q.x).abs() < FUZZ || (p.y - q.y).abs() < FUZZ;
    let square = level(a, b) && level(b, c) && level(c, d) && level(d, a);
    let on = |p: &Coord| if axis == Axis::Along { p.x } else { p.y };
    let low = corners.iter().map(on).fold(f64::INFINITY, f64::min);
    let high = corners.iter().map(on).fold(f64::NEG_INFINITY, f64::max);
    (room.drawn && square && high > low).then_some((low, high))
}
