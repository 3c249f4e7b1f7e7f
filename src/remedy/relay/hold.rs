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
use crate::check::spacing::greatest_of;
use crate::check::wall_gap::at_end;
use crate::check::work::{Ground, direction};
use crate::check::{Finding, Kind, along_rows};
use crate::geom::{FUZZ, unit};
use crate::plan::{LightId, Plan, Room, RoomId, Row, RowId};
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
    ground: Ground,
    was: Vec<Row>,
    before: Vec<Finding>,
    /// By stretch; `None` where no choice with it holds.
    stretched: BTreeMap<i16, Option<Stretched>>,
}

/// The rows at a stretch and no shift. A shift carries them along as they are, so that it changes nothing but how far the walls
/// stand that they face.
struct Stretched {
    rows: Vec<Row>,
    ends: Vec<End>,
    /// What shifts came to.
    known: BTreeMap<i16, bool>,
}

/// An end of a row that faces a wall which is as far off wherever in the room the row lies.
struct End {
    row: RowId,
    light: LightId,
    room: RoomId,
    foot: Coord,
    outward: Coord,
    /// The greatest spacing for the light, inches.
    rule: f64,
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
        let ground = Ground::of(&there);
        Hold {
            before: along_rows(&there, bench.rules, &ground),
            was: there.rows.clone(),
            stretched: BTreeMap::new(),
            ground,
            bench,
            seated,
            axis,
            rows,
            there,
        }
    }

    /// False where it is sure that no pair with this choice is clean.
    pub fn may(&mut self, choice: &Choice) -> bool {
        let (shift, stretch) = (choice.shift, choice.stretch);
        if !self.stretched.contains_key(&stretch) {
            let rows = self.stretch(stretch);
            self.stretched.insert(stretch, rows);
        }
        let by = self.shifted(shift);
        let Some(Some(stretched)) = self.stretched.get_mut(&stretch) else {
            return false;
        };
        if let Some(&may) = stretched.known.get(&shift) {
            return may;
        }
        let may = (stretched.ends.iter()).all(|end| {
            let room = self.there.rooms.get(end.room.0);
            let Some((gap, limit)) = at_end(
                &[],
                room,
                (end.foot + by, end.outward),
                end.rule,
                self.bench.rules,
            ) else {
                return true;
            };
            let found = Finding {
                lights: vec![end.light],
                row: Some(end.row),
                room: Some(end.room),
                ..Finding::new(Kind::WallGap, end.foot + by, gap, limit, String::new())
            };
            let after = (stretched.rows.as_slice(), [found]);
            compare((&self.was, &self.before), (after.0, &after.1))
                .1
                .is_empty()
        });
        stretched.known.insert(shift, may);
        may
    }

    /// The rows at a stretch; `None` where one is no longer the row it was, or something that no shift changes is new.
    fn stretch(&mut self, stretch: i16) -> Option<Stretched> {
        self.stand(stretch)?;
        self.there.rows = self.rows_there()?;
        let mut found = along_rows(&self.there, self.bench.rules, &self.ground);
        found.retain(|f| f.kind != Kind::WallGap);
        let (_, new) = compare((&self.was, &self.before), (&self.there.rows, &found));
        new.is_empty().then(|| Stretched {
            ends: self.ends(),
            rows: self.there.rows.clone(),
            known: BTreeMap::new(),
        })
    }

    /// The ends of the rows as they stand that face one wall.
    fn ends(&self) -> Vec<End> {
        let mut ends = Vec::new();
        for (i, row) in self.there.rows.iter().enumerate() {
            let (Some(room), Some(d)) = (row.room, direction(row)) else {
                continue;
            };
            if !self.faces_one_wall(room) {
                continue;
            }
            for (light, foot, outward) in [
                (row.lights.first(), row.from, d * -1.0),
                (row.lights.last(), row.to, d),
            ] {
                let Some((&light, it)) = light.and_then(|l| Some((l, self.there.lights.get(l.0)?))) else {
                    continue;
                };
                let housing = self.bench.rules.housing(it);
                ends.push(End {
                    row: RowId(i),
                    light,
                    room,
                    foot,
                    outward,
                    rule: greatest_of(self.bench.rules, &housing, self.there.rooms.get(room.0)),
                });
            }
        }
        ends
    }

    /// Puts each light where a stretch brings it.
    fn stand(&mut self, stretch: i16) -> Option<()> {
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
            *place += f64::from(i32::from(stretch) * k) * STEP;
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
    fn faces_one_wall(&self, room: RoomId) -> bool {
        let room = self.there.rooms.get(room.0);
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

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;
    use std::fmt::Write;

    use proptest::prelude::*;

    use super::super::layout::layout;
    use super::super::search::{Cost, Track, choices};
    use super::*;
    use crate::check::check;
    use crate::plan::notation::parse;
    use crate::recognise::relate;
    use crate::remedy::judge::Scope;
    use crate::remedy::keep::Keep;
    use crate::rules::Rules;

    /// What a choice does, with all rows at their new places and checked there.
    fn plain(hold: &mut Hold<'_>, choice: &Choice) -> bool {
        hold.stand(choice.stretch).unwrap();
        let Some(rows) = hold.rows_there() else {
            return false;
        };
        let by = hold.shifted(choice.shift);
        let carried = |row: Row| Row {
            from: row.from + by,
            to: row.to + by,
            ..row
        };
        hold.there.rows = rows.into_iter().map(carried).collect();
        let mut found = along_rows(&hold.there, hold.bench.rules, &hold.ground);
        found.retain(|f| f.kind != Kind::WallGap || f.room.is_some_and(|r| hold.faces_one_wall(r)));
        compare((&hold.was, &hold.before), (&hold.there.rows, &found))
            .1
            .is_empty()
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 40, ..ProptestConfig::default() })]

        #[test]
        fn a_choice_holds_where_checking_the_rows_at_their_places_says_so(
            (west, east, south, north) in (8.0..60.0_f64, 8.0..60.0_f64, 8.0..50.0_f64, 8.0..50.0_f64),
            (pitch, across) in (prop_oneof![Just(48.0), 30.0..80.0_f64], 30.0..60.0_f64),
            (drawn, notched) in (any::<bool>(), any::<bool>()),
            off in prop::collection::vec((-2..3_i32, -2..3_i32), 8..=8),
            grid in any::<bool>(),
            turned in prop_oneof![Just(0.0), 0.0..0.01_f64],
        ) {
            let rules = Rules::default();
            let (x, y) = (3.0 * pitch + east, if grid { across } else { 0.0 } + north);
            let notch = if notched { format!(" ({x},{0}) ({0},{y})", y - 1.0) } else { format!(" ({x},{y})") };
            let mut text = format!("room {}({},{}) ({x},{}){notch} ({},{y})\n",
                if drawn { "" } else { "inferred " }, -west, -south, -south, -west);
            for (k, (dx, dy)) in off.into_iter().enumerate().take(if grid { 8 } else { 4 }) {
                let (i, j) = ((k % 4) as f64, (k / 4) as f64);
                let (dx, dy) = (f64::from(dx) / 4.0, f64::from(dy) / 16.0 + turned * i * pitch);
                writeln!(text, "light ({},{})", i * pitch + dx, j * across + dy).unwrap();
            }
            let mut plan = parse(&text).unwrap();
            relate(&mut plan, &rules);
            let findings = check(&plan, &rules);
            let lights: BTreeSet<LightId> = (0..plan.lights.len()).map(LightId).collect();
            let Some(seated) = layout(&plan, &lights) else { return Ok(()) };
            let bench = Bench {
                plan: &plan,
                rules: &rules,
                findings: &findings,
                stuck: Default::default(),
                looked: Default::default(),
                keep: &Keep::default(),
                whole: &Scope::whole(&plan, &rules),
                settled: Vec::new(),
                blocked: Default::default(),
                last: Default::default(),
            };
            let open = Track { step: 0, places: vec![Some(Cost::NONE); 801] };
            for axis in [Axis::Along, Axis::Across] {
                let (mut hold, mut other) = (Hold::new(&bench, &seated, axis), Hold::new(&bench, &seated, axis));
                for choice in choices(std::slice::from_ref(&open), 400, 6).iter().step_by(37) {
                    let holds = hold.may(choice);
                    prop_assert_eq!(holds, plain(&mut other, choice), "{:?} {:?}", axis, choice);
                    prop_assert_eq!(holds, hold.may(choice), "asked again");
                }
            }
        }
    }
}
