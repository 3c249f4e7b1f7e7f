//! Hanger bars: what each light's are set to, and whether they must be cut down first.
//!
//! Bars hang between the faces beside the light: the members of its bay, or the pieces of blocking that
//! remedies put there, all of them together. A light that a remedy moves is measured where it then stands.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;

use super::{Action, Piece, Remedy, put};
use crate::check::work::unsupported;
use crate::plan::{Light, LightId, Plan};
use crate::recognise::{relate, relate_bays};
use crate::rules::{Luminaire, Mount, Rules};

/// Rounding of the arithmetic, inches.
const EPSILON: f64 = 1e-6;

/// The hanger bars of one light; all lengths inches.
#[derive(Clone, Debug, PartialEq)]
pub struct Bars {
    pub light: LightId,
    /// Clear space between the faces they hang from.
    pub clear: f64,
    /// What to set them to: the clear space, to 1/16 below.
    pub set: f64,
    /// What to cut them down to, where they do not close so far.
    pub cut: Option<f64>,
    /// How far to draw them out from their shortest; zero where they are cut.
    pub extend: f64,
    /// They hang from blocking that a remedy puts in, on a side or on both.
    pub blocked: bool,
}

/// The bars of every light that hangs from members or blocking within their reach, by light. Left out: old-work housings, lights
/// in a member, without known framing, without support on a side, or in a bay that the bars do not fit.
pub fn bars(plan: &Plan, remedies: &[Remedy], rules: &Rules) -> Vec<Bars> {
    let mut pieces: Vec<Piece> = Vec::new();
    let mut blocked: BTreeSet<LightId> = BTreeSet::new();
    let mut moved: BTreeMap<LightId, Coord> = BTreeMap::new();
    for remedy in remedies {
        match &remedy.action {
            Action::Block { pieces: some } => {
                pieces.extend(some.iter().cloned());
                blocked.extend(&remedy.lights);
            }
            Action::Move { to, .. } => {
                for (&light, &to) in remedy.lights.iter().zip(to) {
                    // A light of several remedies goes by the first.
                    moved.entry(light).or_insert(to);
                }
            }
            Action::None { .. } => {}
        }
    }
    let mended = (!moved.is_empty()).then(|| after(plan, &moved, rules));
    let stands = mended.as_ref().unwrap_or(plan);
    let nailed = (!pieces.is_empty()).then(|| {
        let mut nailed = lean(stands);
        put(&mut nailed, &[], &Action::Block { pieces });
        relate_bays(&mut nailed, rules);
        nailed
    });
    let own = stands.members.len();
    stands
        .lights
        .iter()
        .enumerate()
        .filter_map(|(i, light)| {
            let id = LightId(i);
            let housing = rules.luminaire(light);
            // Of others' blocking a light has no need.
            let with = nailed.as_ref().filter(|_| blocked.contains(&id));
            let light = with.and_then(|plan| plan.lights.get(i)).unwrap_or(light);
            let sides = light.bay.iter().flat_map(|b| [b.left.member, b.right.member]);
            let hangs = sides.flatten().any(|m| m.0 >= own);
            of(id, &housing, in_bay(light, &housing)?, hangs)
        })
        .collect()
}

fn lean(plan: &Plan) -> Plan {
    Plan {
        linework: Vec::new(),
        unclaimed: Vec::new(),
        ..plan.clone()
    }
}

fn after(plan: &Plan, moved: &BTreeMap<LightId, Coord>, rules: &Rules) -> Plan {
    let mut plan = lean(plan);
    for (&light, &to) in moved {
        put(
            &mut plan,
            &[light],
            &Action::Move {
                to: vec![to],
                by: 0.0,
            },
        );
    }
    relate(&mut plan, rules);
    plan
}

fn in_bay(light: &Light, housing: &Luminaire) -> Option<f64> {
    let bay = light.bay.as_ref()?;
    let hit = bay.left.room.min(bay.right.room) < housing.opening / 2.0 - EPSILON;
    (!hit && !unsupported(&bay.left) && !unsupported(&bay.right)).then_some(bay.left.room + bay.right.room)
}

fn of(light: LightId, housing: &Luminaire, clear: f64, blocked: bool) -> Option<Bars> {
    let reach = housing.bars;
    let fits = clear >= reach.trimmed - EPSILON && clear <= reach.greatest + EPSILON;
    if housing.mount == Mount::OldWork || !fits {
        return None;
    }
    let set = ((clear + EPSILON) * 16.0).floor() / 16.0;
    // To the sixteenth, so that a bay that is as wide as the bars are long is no reason to cut them.
    let short = clear < reach.least - EPSILON;
    Some(Bars {
        light,
        clear,
        set,
        cut: short.then_some(set),
        extend: if short { 0.0 } else { (set - reach.least).max(0.0) },
        blocked,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::check;
    use crate::plan::notation::parse;
    use crate::remedy::remedy;

    fn worked(text: &str, rules: &Rules) -> Vec<Bars> {
        let mut plan = parse(text).unwrap();
        relate(&mut plan, rules);
        let remedies = remedy(&plan, &mut check(&plan, rules), rules);
        bars(&plan, &remedies, rules)
    }

    /// A light between two joists that leave it `clear`, their faces at 0 and `clear`.
    fn bay(clear: f64, light: f64) -> String {
        format!(
            "member joist (-0.75,0) (-0.75,144)\nmember joist ({0},0) ({0},144)\nlight ({light},72)\n",
            clear + 0.75
        )
    }

    #[test]
    fn bars_are_set_to_the_clear_bay() {
        // Clear bays of 16 and 19.2 in spacing, 1 1/2 in stock (derived: spacing less thickness).
        for (clear, set) in [(14.5, 14.5), (17.7, 17.6875), (22.5, 22.5), (14.0, 14.0)] {
            let all = worked(&bay(clear, clear / 2.0), &Rules::default());
            let [b] = all.as_slice() else { panic!("{all:?}") };
            assert!((b.clear - clear).abs() < 1e-9);
            assert_eq!((b.set, b.cut, b.blocked), (set, None, false));
            assert_eq!(b.extend, set - 14.0, "from the shortest, 14 in");
        }
    }

    #[test]
    fn in_a_tight_bay_they_are_cut_down() {
        // 12 in on centre leaves 10 1/2 (derived); bars need shortening in such bays (common practice).
        let rules = Rules {
            luminaires: vec![Luminaire {
                tag: "S".into(),
                short_side: 3.0,
                box_side: 4.0,
                ..Luminaire::default()
            }],
            ..Rules::default()
        };
        let text = bay(10.5, 5.25).replace(",72)", ",72) tag=S schedule=0");
        let all = worked(&text, &rules);
        let [b] = all.as_slice() else { panic!("{all:?}") };
        assert_eq!((b.clear, b.set, b.cut, b.extend), (10.5, 10.5, Some(10.5), 0.0));
    }

    #[test]
    fn in_a_wide_bay_they_hang_from_the_blocking() {
        // 30 1/2 clear is past the bars' 24; the pieces stand 14 1/2 apart.
        let all = worked(&bay(30.5, 15.25), &Rules::default());
        let [b] = all.as_slice() else { panic!("{all:?}") };
        assert!(b.blocked);
        assert!((b.clear - 14.5).abs() < 1e-9);
        assert_eq!((b.set, b.cut), (14.5, None));
    }

    #[test]
    fn a_light_that_is_moved_is_measured_where_it_goes() {
        // On the joist between a bay of 14 1/2 and one of 22 1/2: it moves into one of them.
        let text = "member joist (0,0) (0,144)\nmember joist (16,0) (16,144)\nmember joist (40,0) (40,144)\nlight (17,72)\n";
        let all = worked(text, &Rules::default());
        let [b] = all.as_slice() else { panic!("{all:?}") };
        assert_eq!(b.set, 22.5);
    }

    #[test]
    fn what_hangs_from_nothing_has_no_bars() {
        assert_eq!(worked("light (0,0)\n", &Rules::default()), []);
        assert_eq!(
            bars(&parse(&bay(14.5, 7.25)).unwrap(), &[], &Rules::default()),
            [],
            "not related"
        );
    }
}
