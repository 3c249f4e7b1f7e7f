//! `uneven-pitch`: a light that stands before or beyond its even place along the row.
//!
//! The row keeps, for each light, the distance from the even pitch that fits best (its worst
//! light is off by least), whole multiples allowed where stations are skipped.

use super::work::{Work, looking};
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    let limit = work.rules.tolerance.along;
    for (id, row) in work.rows() {
        for (&light, &along) in row.lights.iter().zip(&row.along) {
            let off = along.abs();
            let Some(at) = work.plan.lights.get(light.0).map(|l| l.at) else {
                continue;
            };
            if off <= limit + EPSILON {
                continue;
            }
            let way = if along > 0.0 { "beyond" } else { "short of" };
            let (by, pitch, looking) = (feet_inches(off), feet_inches(row.pitch), looking(row));
            let message = format!(
                "{light} stands {by} {way} its place in row {id} at an even pitch of {pitch}, {looking}."
            );
            findings.push(Finding {
                lights: vec![light],
                row: Some(id),
                room: row.room,
                ..Finding::new(Kind::UnevenPitch, at, off, limit, message)
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{check_of, only};

    fn row(along: f64) -> String {
        format!(
            "light (0,0)\nlight ({},0)\nlight (96,0)\n\
             row lights=L1,L2,L3 (0,0) (96,0) offsets=0,0,0 stations=0,{0},96 pitch=48 along=0,{along},0",
            48.0 + along
        )
    }

    #[test]
    fn past_an_inch_it_is_worth_saying() {
        // 1/2 to 1 in along the row is seldom noticed (common practice).
        let f = only(&row(1.5), Kind::UnevenPitch);
        assert_eq!((f.measured, f.limit), (1.5, 1.0));
        assert!(f.message.contains("beyond its place"), "{}", f.message);
        assert!(
            only(&row(-1.5), Kind::UnevenPitch)
                .message
                .contains("short of its place")
        );
    }

    #[test]
    fn an_inch_is_even_enough() {
        assert!(check_of(&row(1.0), Kind::UnevenPitch).is_empty());
        assert!(check_of(&row(-1.0), Kind::UnevenPitch).is_empty());
    }
}
