//! `row-skew`: a straight row that runs out of true with the room.
//!
//! Measured against the nearer of the room's two directions. Beyond [`SKEW_LIMIT`] the row was
//! meant to lie across the room, and there is nothing to say.

use super::work::{Work, direction};
use super::{EPSILON, Finding, Kind, SKEW_LIMIT};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    let limit = work.rules.tolerance.across;
    for (id, row) in work.rows() {
        let room = row.room.and_then(|r| work.plan.rooms.get(r.0));
        let Some(axis) = room.map(|r| r.axis).or(work.plan.axis) else {
            continue;
        };
        let Some(d) = direction(row) else { continue };
        // Sine and cosine of the angle to the axis; folded to the nearer of axis and its square.
        let cross = (axis.x * d.y - axis.y * d.x).abs();
        let dot = (axis.x * d.x + axis.y * d.y).abs();
        let (sin, cos) = if cross <= dot { (cross, dot) } else { (dot, cross) };
        let run = row.to - row.from;
        let differ = run.x.hypot(run.y) * sin;
        if sin.atan2(cos).to_degrees() > SKEW_LIMIT || differ.is_nan() || differ <= limit + EPSILON {
            continue;
        }
        let ends: Vec<_> = [row.lights.first(), row.lights.last()]
            .into_iter()
            .flatten()
            .copied()
            .collect();
        let against = if room.is_some() { "the room" } else { "the walls" };
        let message = work.say(|| {
            let names = ends
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join(" and ");
            format!(
                "Row {id} is out of true with {against} by {} between its ends {names}.",
                feet_inches(differ)
            )
        });
        findings.push(Finding {
            lights: ends,
            row: Some(id),
            room: row.room,
            ..Finding::new(Kind::RowSkew, row.from + run / 2.0, differ, limit, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{check_of, only};

    fn row(x: f64, y: f64, room: bool) -> String {
        format!(
            "{}\nlight (0,0)\nlight ({},{})\nlight ({x},{y})\n\
             row lights=L1,L2,L3 {} (0,0) ({x},{y}) offsets=0,0,0 stations=0,1,2 pitch=1 along=0,0,0",
            if room {
                "room (-9,-9) (200,-9) (200,200) (-9,200)"
            } else {
                "axis (0,1)"
            },
            x / 2.0,
            y / 2.0,
            if room { "room=R1" } else { "" },
        )
    }

    #[test]
    fn an_inch_over_eight_feet() {
        for (x, y) in [(96.0, 1.0), (1.0, 96.0), (-96.0, 1.0)] {
            for room in [true, false] {
                let f = only(&row(x, y, room), Kind::RowSkew);
                assert!((f.measured - 1.0).abs() < 1e-12, "{}", f.measured);
                assert_eq!(f.lights.len(), 2);
            }
        }
    }

    #[test]
    fn an_eighth_is_true_and_a_diagonal_is_meant() {
        assert!(check_of(&row(96.0, 0.125, true), Kind::RowSkew).is_empty());
        assert!(check_of(&row(96.0, 96.0, true), Kind::RowSkew).is_empty());
        assert!(
            check_of(
                &row(96.0, 96.0 * 15.01f64.to_radians().tan(), true),
                Kind::RowSkew
            )
            .is_empty()
        );
        assert_eq!(
            check_of(
                &row(96.0, 96.0 * 14.99f64.to_radians().tan(), true),
                Kind::RowSkew
            )
            .len(),
            1
        );
    }
}
