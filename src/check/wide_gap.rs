//! `wide-gap`: neighbours in a row so far apart that the floor between them goes dark.

use super::spacing::greatest;
use super::work::Work;
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    for (id, row) in work.rows() {
        let places: Vec<_> = row.lights.iter().zip(&row.stations).collect();
        for pair in places.windows(2) {
            let [(&a, here), (&b, there)] = *pair else {
                continue;
            };
            let gap = (there - here).abs();
            let (Some(first), Some(second)) = (greatest(work, a, row.room), greatest(work, b, row.room))
            else {
                continue;
            };
            // Of two kinds of light the smaller decides.
            let limit = first.min(second);
            let (Some(la), Some(lb)) = (work.plan.lights.get(a.0), work.plan.lights.get(b.0)) else {
                continue;
            };
            if gap.is_nan() || gap <= limit + EPSILON {
                continue;
            }
            let message = work.say(|| {
                format!(
                    "{a} and {b} stand {} apart in row {id}; the spacing rule allows {}.",
                    feet_inches(gap),
                    feet_inches(limit)
                )
            });
            findings.push(Finding {
                lights: vec![a, b],
                row: Some(id),
                room: row.room,
                ..Finding::new(Kind::WideGap, (la.at + lb.at) / 2.0, gap, limit, message)
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{check_of, check_with, only, only_with};
    use crate::plan::LightId;
    use crate::rules::Rules;

    fn row(pitch: f64) -> String {
        format!(
            "room ceiling=96 (-50,-50) (300,-50) (300,50) (-50,50)\nlight (0,0)\nlight ({pitch},0)\nlight ({0},0)\n\
             row lights=L1,L2,L3 room=R1 (0,0) ({0},0) offsets=0,0,0 stations=0,{pitch},{0} pitch={pitch} along=0,0,0",
            pitch * 2.0
        )
    }

    #[test]
    fn six_inches_six_feet() {
        // As many feet as the aperture has inches (common practice): a 6 in housing, 6 ft.
        assert!(check_of(&row(72.0), Kind::WideGap).is_empty());
        let gaps = check_of(&row(73.0), Kind::WideGap);
        assert_eq!(gaps.len(), 2);
        assert_eq!((gaps[0].measured, gaps[0].limit), (73.0, 72.0));
        assert_eq!(gaps[0].lights, [LightId(0), LightId(1)]);
    }

    #[test]
    fn a_spacing_criterion_goes_by_the_height() {
        let mut rules = Rules::default();
        rules.spacing.criterion = Some(1.0);
        // An 8 ft ceiling is 66 in above a 30 in work plane (derived).
        assert_eq!(check_with(&row(67.0), &rules, Kind::WideGap).len(), 2);
        assert!(check_with(&row(66.0), &rules, Kind::WideGap).is_empty());
    }

    #[test]
    fn only_the_wide_one_of_two_gaps() {
        let plan = row(48.0).replace("stations=0,48,96", "stations=0,48,130");
        assert_eq!(only(&plan, Kind::WideGap).measured, 82.0);
        let mut rules = Rules::default();
        rules.spacing.feet_per_inch = 0.5;
        assert_eq!(
            only_with(&row(48.0).replace("0,48,96", "0,30,70"), &rules, Kind::WideGap).limit,
            36.0
        );
    }
}
