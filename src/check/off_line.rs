//! `off-line`: a light that stands beside the line of its row.
//!
//! From the floor a row is one line, and 1/4 in sideways is seen; along it, an inch is not.

use geo::Coord;

use super::work::{Work, direction, looking};
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    let limit = work.rules.tolerance.across;
    for (id, row) in work.rows() {
        let Some(d) = direction(row) else { continue };
        let left = Coord { x: -d.y, y: d.x };
        for (&light, &offset) in row.lights.iter().zip(&row.offsets) {
            let off = offset.abs();
            let Some(at) = work.plan.lights.get(light.0).map(|l| l.at) else {
                continue;
            };
            if off <= limit + EPSILON {
                continue;
            }
            let (side, back) = if offset > 0.0 {
                ("left", "right")
            } else {
                ("right", "left")
            };
            let message = work.say(|| {
                let (by, looking) = (feet_inches(off), looking(row));
                format!("{light} stands {by} off row {id} ({side}, {looking}); move it {by} to the {back}.")
            });
            findings.push(Finding {
                lights: vec![light],
                row: Some(id),
                room: row.room,
                mend: left * -offset,
                ..Finding::new(Kind::OffLine, at, off, limit, message)
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use geo::Coord;

    use crate::check::tests::{check_of, only};
    use crate::check::{Kind, Severity};

    fn row(offset: f64) -> String {
        format!(
            "light (0,0)\nlight (48,{offset})\nlight (96,0)\n\
             row lights=L1,L2,L3 (0,0) (96,0) offsets=0,{offset},0 stations=0,48,96 pitch=48 along=0,0,0"
        )
    }

    #[test]
    fn three_eighths_to_the_left() {
        // Seen from below, 1/4 to 1/2 in sideways must be put right (common practice).
        let f = only(&row(0.375), Kind::OffLine);
        assert_eq!(
            (f.measured, f.limit, f.severity),
            (0.375, 0.125, Severity::Should)
        );
        assert_eq!(f.mend, Coord { x: 0.0, y: -0.375 });
        assert!(
            f.message.contains("(left, looking from L1 to L3)"),
            "{}",
            f.message
        );
        assert!(f.message.ends_with("to the right."), "{}", f.message);
    }

    #[test]
    fn to_the_right_it_moves_left() {
        let f = only(&row(-0.25), Kind::OffLine);
        assert_eq!((f.measured, f.mend), (0.25, Coord { x: 0.0, y: 0.25 }));
        assert!(f.message.ends_with("to the left."), "{}", f.message);
    }

    #[test]
    fn at_the_limit_it_is_in_line() {
        assert!(check_of(&row(0.125), Kind::OffLine).is_empty());
        assert!(check_of(&row(0.1250000001), Kind::OffLine).is_empty());
        assert_eq!(check_of(&row(0.12501), Kind::OffLine).len(), 1);
    }
}
