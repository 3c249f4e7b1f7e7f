//! Lights of a row or of a grid as places on two axes: so many pitches along, so many across.

use std::collections::BTreeSet;

use geo::{Coord, Vector2DOps};

use crate::check::SKEW_LIMIT;
use crate::geom::unit;
use crate::plan::{LightId, Plan, Row};

/// A light in its row or grid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Seat {
    pub light: LightId,
    /// Where it stands, along `u` and `v` from the layout's origin, inches.
    pub at: Coord,
    /// Pitches along each axis from the first.
    pub column: i32,
    pub row: i32,
}

/// A row, or rows that cross, in directions of their own.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    pub origin: Coord,
    /// Unit vectors: along the rows, parallel to the room, and to their left.
    pub u: Coord,
    pub v: Coord,
    pub seats: Vec<Seat>,
    /// First place and pitch on each axis, as most lights stand now. The pitch across is 0 for a single row.
    pub start: Coord,
    pub pitch: Coord,
    /// How far at most a row's own best pitch is from that along `u`, inches.
    pub loose: f64,
}

impl Layout {
    pub fn world(&self, seen: Coord) -> Coord {
        self.origin + self.u * seen.x + self.v * seen.y
    }

    pub fn seen(&self, p: Coord) -> Coord {
        let d = p - self.origin;
        Coord {
            x: self.u.dot_product(d),
            y: self.v.dot_product(d),
        }
    }
}

/// How far a light may stand from its place and still be of the layout, inches: what makes lights one row.
const CAPTURE: f64 = 6.0;
/// The same along its row, inches: two lights that stray from the best even pitch either way are so far from that of most.
const ALONG: f64 = 2.0 * CAPTURE;

/// The layout of these lights; `None` where they are no row or grid of one pitch each way.
pub fn layout(plan: &Plan, lights: &BTreeSet<LightId>) -> Option<Layout> {
    let rows: Vec<&Row> = (plan.rows.iter())
        .filter(|r| r.lights.iter().all(|l| lights.contains(l)))
        .collect();
    let main = rows.iter().copied().max_by(|a, b| {
        // The first of equals.
        a.lights
            .len()
            .cmp(&b.lights.len())
            .then(b.lights.first().cmp(&a.lights.first()))
    })?;
    let along = unit(main.to - main.from)?;
    let u = parallel_to_room(plan, main, along);
    let v = u.left();
    let origin = main.from;
    let frame = Layout {
        origin,
        u,
        v,
        seats: Vec::new(),
        start: Coord::zero(),
        pitch: Coord::zero(),
        loose: 0.0,
    };
    let level: Vec<&Row> = rows
        .iter()
        .copied()
        .filter(|r| {
            unit(r.to - r.from).is_some_and(|d| d.wedge_product(u).abs() <= SKEW_LIMIT.to_radians().sin())
        })
        .collect();
    // Each light stands in just one of the rows along u.
    let mut height: Vec<(LightId, Coord, f64)> = Vec::new();
    for row in &level {
        let middle = median(
            row.lights
                .iter()
                .map(|l| frame.seen(plan.light(*l).at).y)
                .collect(),
        )?;
        for &l in &row.lights {
            height.push((l, frame.seen(plan.light(l).at), middle));
        }
    }
    height.sort_by_key(|h| h.0);
    let ids: Vec<LightId> = height.iter().map(|h| h.0).collect();
    if !ids.iter().eq(lights.iter()) {
        return None;
    }
    let middle = pitch(
        level
            .iter()
            .map(|r| r.lights.iter().map(|l| frame.seen(plan.light(*l).at).x).collect()),
    )?;
    let y = pitch_across(&level, &height)?;
    // The gap that most keep; where one light stands far out, the pitch that fits all of them best.
    let even = (main.pitch * 16.0).round() / 16.0;
    let of = |x: f64| seat(&frame, &height, Coord { x, y });
    let found = of(middle).or_else(|| (even > CAPTURE).then(|| of(even)).flatten())?;
    let off = |r: &&&Row| (r.pitch - found.pitch.x).abs();
    let loose = level.iter().max_by(|a, b| off(a).total_cmp(&off(b)));
    Some(Layout {
        loose: loose.map_or(0.0, |r| off(&r)),
        ..found
    })
}

/// The pitch from line to line; 0 for one line.
fn pitch_across(level: &[&Row], height: &[(LightId, Coord, f64)]) -> Option<f64> {
    if level.len() == 1 {
        return Some(0.0);
    }
    let mut lines: Vec<f64> = height.iter().map(|h| h.2).collect();
    lines.sort_by(f64::total_cmp);
    lines.dedup();
    pitch([lines].into_iter())
}

/// Each light's seat at a pitch; `None` where one stands too far from any, or two in one.
fn seat(frame: &Layout, height: &[(LightId, Coord, f64)], pitch: Coord) -> Option<Layout> {
    let (columns, x) = places(height.iter().map(|h| h.1.x).collect(), pitch.x)?;
    let (rows, y) = match pitch.y {
        0.0 => (
            vec![0; height.len()],
            median(height.iter().map(|h| h.1.y).collect())?,
        ),
        q => {
            let (rows, _) = places(height.iter().map(|h| h.2).collect(), q)?;
            let start = height
                .iter()
                .zip(&rows)
                .map(|(h, r)| h.1.y - f64::from(*r) * q)
                .collect();
            (rows, median(start)?)
        }
    };
    let seats: Vec<Seat> = (height.iter().zip(columns).zip(rows))
        .map(|((&(light, at, _), column), row)| Seat {
            light,
            at,
            column,
            row,
        })
        .collect();
    let start = Coord { x, y };
    let near = |s: &Seat| {
        let off = s.at
            - start
            - Coord {
                x: pitch.x * f64::from(s.column),
                y: pitch.y * f64::from(s.row),
            };
        off.x.abs() <= ALONG && off.y.abs() <= CAPTURE
    };
    let mut taken = BTreeSet::new();
    let sound = seats.iter().all(|s| near(s) && taken.insert((s.column, s.row)));
    sound.then_some(Layout {
        seats,
        start,
        pitch,
        ..frame.clone()
    })
}

/// The room's direction nearest to the row's, where the row is meant to be parallel to it.
fn parallel_to_room(plan: &Plan, row: &Row, along: Coord) -> Coord {
    let axis = row
        .room
        .and_then(|r| plan.rooms.get(r.0))
        .map(|r| r.axis)
        .or(plan.axis);
    let Some(axis) = axis.and_then(unit) else {
        return along;
    };
    let ways = [axis, axis.left(), axis * -1.0, axis.right()];
    let best = ways
        .into_iter()
        .max_by(|a, b| a.dot_product(along).total_cmp(&b.dot_product(along)));
    best.filter(|b| b.dot_product(along) >= SKEW_LIMIT.to_radians().cos())
        .unwrap_or(along)
}

/// The middle one of the gaps between neighbours, of all lines together.
fn pitch(lines: impl Iterator<Item = Vec<f64>>) -> Option<f64> {
    let mut gaps = Vec::new();
    for mut line in lines {
        line.sort_by(f64::total_cmp);
        gaps.extend(line.windows(2).map(|w| w[1] - w[0]));
    }
    median(gaps).filter(|p| *p > CAPTURE)
}

/// How many pitches each place is from the first, and where the first one stands by most of them.
fn places(at: Vec<f64>, pitch: f64) -> Option<(Vec<i32>, f64)> {
    let first = at.iter().copied().fold(f64::INFINITY, f64::min);
    let steps: Vec<i32> = at.iter().map(|x| ((x - first) / pitch).round() as i32).collect();
    let start = median(
        at.iter()
            .zip(&steps)
            .map(|(x, k)| x - f64::from(*k) * pitch)
            .collect(),
    )?;
    Some((steps, start))
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}
