//! `insulation`: a housing that is not Type IC under insulation.

use super::work::Work;
use super::{Finding, Kind};

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    for (id, light, housing, _) in work.lights() {
        let room = light.room.and_then(|r| work.plan.rooms.get(r.0));
        if housing.ic || !room.is_some_and(|r| r.insulated) {
            continue;
        }
        let message = work.say(|| format!(
            "{id} is not Type IC and its room is insulated above: take a Type IC housing, or keep insulation 3\" off it (NFPA 70, 410.116(B))."
        ));
        findings.push(Finding {
            lights: vec![id],
            room: light.room,
            ..Finding::new(Kind::Insulation, light.at, 0.0, 0.0, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{check_with, housing};
    use crate::plan::LightId;
    use crate::rules::Luminaire;

    #[test]
    fn only_lights_that_are_not_type_ic_in_insulated_rooms() {
        let rules = |ic| {
            housing(Luminaire {
                ic,
                ..Luminaire::default()
            })
        };
        let plan = "room \"DEN\" insulated (0,0) (90,0) (90,90) (0,90)\n\
                    room \"BED\" (100,0) (190,0) (190,90) (100,90)\n\
                    light (40,40) room=R1\nlight (140,40) room=R2\nlight (300,40)";
        let found = check_with(plan, &rules(false), Kind::Insulation);
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].lights, [LightId(0)]);
        assert!(check_with(plan, &rules(true), Kind::Insulation).is_empty());
    }
}
