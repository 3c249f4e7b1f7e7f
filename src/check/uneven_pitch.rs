//! `uneven-pitch`: a row whose lights do not stand at even steps.
//!
//! The row keeps, for each light, its distance along from the even pitch that fits best: the one
//! whose worst light is off by least, whole multiples allowed where stations are skipped. One
//! light out of place spreads over all of them so, and the finding is of the row.

use super::work::Work;
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    let limit = work.rules.tolerance.along;
    for (id, row) in work.rows() {
        let uneven = row
            .lights
            .iter()
            .zip(&row.along)
            .filter(|(_, a)| a.abs() > limit + EPSILON);
        let (lights, off): (Vec<_>, Vec<_>) = uneven.map(|(&light, along)| (light, along.abs())).unzip();
        if lights.is_empty() {
            continue;
        }
        let worst = off.into_iter().fold(0.0, f64::max);
        let message = work.say(|| format!(
            "Row {id} is uneven along its line: at the pitch that fits best, {}, lights stand up to {} off.",
            feet_inches(row.pitch),
            feet_inches(worst),
        ));
        findings.push(Finding {
            lights,
            row: Some(id),
            room: row.room,
            ..Finding::new(
                Kind::UnevenPitch,
                (row.from + row.to) / 2.0,
                worst,
                limit,
                message,
            )
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{check_of, only};
    use crate::plan::LightId;

    fn row(along: [f64; 3]) -> String {
        let [a, b, c] = along;
        format!(
            "light (0,0)\nlight (48,0)\nlight (96,0)\n\
             row lights=L1,L2,L3 (0,0) (96,0) offsets=0,0,0 stations=0,48,96 pitch=48 along={a},{b},{c}",
        )
    }

    #[test]
    fn past_an_inch_it_is_worth_saying() {
        // 1/2 to 1 in along the row is seldom noticed (common practice).
        let f = only(&row([-1.25, 1.5, -0.5]), Kind::UnevenPitch);
        assert_eq!((f.measured, f.limit), (1.5, 1.0));
        assert_eq!(f.lights, [LightId(0), LightId(1)]);
    }

    #[test]
    fn an_inch_is_even_enough() {
        assert!(check_of(&row([-1.0, 1.0, -1.0]), Kind::UnevenPitch).is_empty());
    }
}
