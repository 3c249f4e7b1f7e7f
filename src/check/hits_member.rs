//! `hits-member`: the hole would be cut under a joist, a beam or a block.
//!
//! Any member counts, not only the two beside the light. For an old-work housing its clips need
//! board around the opening as well.

use super::work::{Work, hole};
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;
use crate::rules::Mount;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    for (id, light, housing, near) in work.lights() {
        let hit: Vec<_> = near
            .iter()
            .filter(|n| hole(housing) - n.distance > EPSILON)
            .collect();
        let Some(deepest) = hit.first() else { continue };
        let overlap = hole(housing) - deepest.distance;
        let what = match housing.mount {
            Mount::NewWork => "opening",
            Mount::OldWork => "opening, with its clips,",
        };
        let message = work.say(|| {
            let others: String = hit
                .iter()
                .skip(1)
                .map(|n| format!(" and {}", work.call(n.member)))
                .collect();
            format!(
                "The {} {what} of {id} overlaps {}{others} by {}; move it clear, and do not cut the framing.",
                feet_inches(housing.opening),
                work.call(deepest.member),
                feet_inches(overlap),
            )
        });
        findings.push(Finding {
            lights: vec![id],
            members: hit.iter().map(|n| n.member).collect(),
            room: light.room,
            ..Finding::new(Kind::HitsMember, light.at, overlap, 0.0, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{check_of, old_work, only, only_with};
    use crate::plan::MemberId;

    /// A joist with its face at x = 0.75 and a light `clear` from that face; the default opening
    /// is 6 3/8 in.
    fn beside(clear: f64) -> String {
        format!("member joist (0,0) (0,96)\nlight ({},48)", 0.75 + clear)
    }

    #[test]
    fn an_opening_over_a_face_overlaps_by_the_rest_of_its_radius() {
        let f = only(&beside(2.9375), Kind::HitsMember);
        assert_eq!(
            (f.measured, f.limit, f.members.as_slice()),
            (0.25, 0.0, [MemberId(0)].as_slice())
        );
        // On the centreline: the radius and half of 1 1/2 in (PS 20).
        assert_eq!(only(&beside(-0.75), Kind::HitsMember).measured, 3.1875 + 0.75);
    }

    #[test]
    fn touching_is_clear() {
        assert!(check_of(&beside(3.1875), Kind::HitsMember).is_empty());
    }

    #[test]
    fn a_block_at_the_end_of_the_bay_counts() {
        let plan = "member joist (0,0) (0,96)\nmember joist (16,0) (16,96)\nmember block (0.75,10) (15.25,10)\n\
                    light (8,13)\nbay L1 along=(0,1) left=7.25,M1 right=7.25,M2";
        let f = only(plan, Kind::HitsMember);
        assert_eq!((f.members, f.measured), (vec![MemberId(2)], 3.1875 - 2.25));
    }

    #[test]
    fn old_work_needs_its_clips_clear() {
        assert_eq!(
            only_with(&beside(3.4375), &old_work(), Kind::HitsMember).measured,
            0.25
        );
        assert!(check_of(&beside(3.4375), Kind::HitsMember).is_empty());
    }
}
