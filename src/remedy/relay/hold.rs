//! What a choice on one axis does to the rows along it, whatever the other axis does: gaps, walls faced, pitch.
//!
//! Rows are fitted and checked by the functions that check a plan. A choice that fails here fails in every pair, so
//! that no pair of it needs to be looked at.

use std::collections::BTreeMap;

use geo::{Coord, Vector2DOps};

use super::layout::Layout;
use super::past::Axis;
use super::search::Choice;
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
    /// The rows at each stretch and no shift: a shift carries them along as they are. `None` where one is no
    /// longer the row it was.
    stretched: BTreeMap<i16, Option<Vec<Row>>>,
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
            openings: Vec::new(),
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
            stretched: BTreeMap::new(),
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
        if !self.stretched.contains_key(&choice.stretch) {
            self.stand(0, choice.stretch)?;
            let rows = self.rows_there();
            self.stretched.insert(choice.stretch, rows);
        }
        let Some(rows) = self.stretched.get(&choice.stretch)? else {
            return Some(false);
        };
        let by = self.shifted(choice.shift);
        self.there.rows = (rows.iter())
            .map(|row| Row {
                from: row.from + by,
                to: row.to + by,
                ..row.clone()
            })
            .collect();
        self.stand(choice.shift, choice.stretch)?;
        let after: Vec<Finding> = (along_rows(&self.there, self.bench.rules).into_iter())
            .filter(|f| f.kind != Kind::WallGap || self.faces_one_wall(f))
            .collect();
        let (_, new) = compare((&self.was, &self.before), (&self.there, &after));
        Some(new.is_empty())
    }

    /// Puts each light where a shift and a stretch bring it.
    fn stand(&mut self, shift: i16, stretch: i16) -> Option<()> {
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
            *place += f64::from(i32::from(shift) + i32::from(stretch) * k) * STEP;
            self.there.lights.get_mut(seat.light.0)?.at = seated.world(to);
        }
        Some(())
    }

    /// How far a shift carries everything.
    fn shifted(&self, shift: i16) -> Coord {
        let by = f64::from(shift) * STEP;
        let to = match self.axis {
            Axis::Along => Coord { x: by, y: 0.0 },
            Axis::Across => Coord { x: 0.0, y: by },
        };
        self.seated.world(to) - self.seated.world(Coord { x: 0.0, y: 0.0 })
    }

    /// The rows of the lights as they stand; `None` where one is no longer the row it was.
    fn rows_there(&self) -> Option<Vec<Row>> {
        (self.rows.iter())
            .map(|row| {
                let stand = |l: &LightId| Some((*l, self.there.lights.get(l.0)?.at));
                let places = row.lights.iter().map(stand).collect::<Option<Vec<_>>>()?;
                let fitted = row_of(self.bench.plan, &places, row.room, self.bench.rules)?;
                same_row_again(&fitted, row).then_some(fitted)
            })
            .collect()
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
