//! A plan turned, mirrored, moved and rescaled has the same findings.

use std::collections::BTreeMap;

use bayline::check::{Finding, check};
use bayline::plan::Plan;
use bayline::recognise::relate;
use bayline::rules::{Luminaire, Rules};
use geo::Coord;
use proptest::prelude::*;

use super::{fixtures, read};

/// A way to put a plan elsewhere on the drawing.
#[derive(Clone, Copy, Debug)]
struct Pose {
    degrees: f64,
    mirror: bool,
    by: Coord,
}

impl Pose {
    fn turn(&self, p: Coord) -> Coord {
        let (sin, cos) = self.degrees.to_radians().sin_cos();
        let x = if self.mirror { -p.x } else { p.x };
        Coord {
            x: x * cos - p.y * sin,
            y: x * sin + p.y * cos,
        }
    }

    fn at(&self, p: Coord) -> Coord {
        self.turn(p) + self.by
    }

    /// The facts of `plan` moved; what follows from them is to be worked out anew.
    fn moved(&self, plan: &Plan) -> Plan {
        let mut moved = plan.clone();
        for light in &mut moved.lights {
            light.at = self.at(light.at);
            light.stacked.iter_mut().for_each(|p| *p = self.at(*p));
            (light.room, light.bay) = (None, None);
            light.rows.clear();
        }
        moved.rows.clear();
        for member in &mut moved.members {
            (member.from, member.to) = (self.at(member.from), self.at(member.to));
        }
        for room in &mut moved.rooms {
            room.axis = upward(self.turn(room.axis));
            room.outline.iter_mut().for_each(|p| *p = self.at(*p));
            if self.mirror {
                // Counter-clockwise again.
                room.outline.reverse();
            }
        }
        for (a, b) in &mut moved.walls {
            (*a, *b) = (self.at(*a), self.at(*b));
        }
        for device in &mut moved.obstacles {
            device.outline.iter_mut().for_each(|p| *p = self.at(*p));
        }
        moved.axis = moved.axis.map(|a| {
            // Of the four directions of the walls' axis the one in (-45°, 45°].
            let mut a = self.turn(a);
            while !(a.x > 0.0 && a.y > -a.x && a.y <= a.x) {
                a = Coord { x: -a.y, y: a.x };
            }
            a
        });
        moved
    }
}

/// The same line's direction in (-90°, 90°].
fn upward(d: Coord) -> Coord {
    if d.x < 0.0 || (d.x == 0.0 && d.y < 0.0) {
        d * -1.0
    } else {
        d
    }
}

/// Findings without what turning may change: ids of rows, which side is left, and the order.
fn told(findings: &[Finding]) -> BTreeMap<String, Vec<(f64, f64)>> {
    let mut told: BTreeMap<String, Vec<(f64, f64)>> = BTreeMap::new();
    for f in findings {
        let (mut lights, mut members) = (f.lights.clone(), f.members.clone());
        lights.sort();
        members.sort();
        let subject = format!(
            "{} {:?} {:?} {:?} {:?}",
            f.kind.name(),
            f.severity,
            lights,
            members,
            f.room
        );
        told.entry(subject).or_default().push((f.measured, f.limit));
    }
    for values in told.values_mut() {
        values.sort_by(|a, b| a.0.total_cmp(&b.0));
    }
    told
}

fn agree(plan: &Plan, rules: &Rules, pose: Pose) -> Result<(), TestCaseError> {
    let before = check(plan, rules);
    let mut moved = pose.moved(plan);
    relate(&mut moved, rules);
    let after = check(&moved, rules);
    let (was, is) = (told(&before), told(&after));
    prop_assert_eq!(
        was.keys().collect::<Vec<_>>(),
        is.keys().collect::<Vec<_>>(),
        "{:?}",
        pose
    );
    for (subject, values) in &was {
        let now = &is[subject];
        prop_assert_eq!(values.len(), now.len(), "{}", subject);
        for (a, b) in values.iter().zip(now) {
            let near = |a: f64, b: f64| a == b || (a - b).abs() < 1e-6;
            prop_assert!(near(a.0, b.0) && near(a.1, b.1), "{}: {:?} {:?}", subject, a, b);
        }
    }
    // What mends an off-line light turns with the plan.
    for f in before.iter().filter(|f| f.mend != Coord::zero()) {
        let mend = pose.turn(f.mend);
        let found = after.iter().any(|g| {
            g.kind == f.kind && g.lights == f.lights && (g.mend - mend).x.hypot((g.mend - mend).y) < 1e-6
        });
        prop_assert!(found, "{:?} is mended another way", f);
    }
    Ok(())
}

fn pose() -> impl Strategy<Value = Pose> {
    let degrees = prop_oneof![
        Just(0.0),
        Just(90.0),
        Just(180.0),
        Just(270.0),
        Just(17.0),
        Just(211.5),
        0.0..360.0f64
    ];
    let by = prop_oneof![Just((0.0, 0.0)), Just((2e6, -2e6)), (-1e4..1e4f64, -1e4..1e4f64)];
    (degrees, any::<bool>(), by).prop_map(|(degrees, mirror, by)| Pose {
        degrees,
        mirror,
        by: by.into(),
    })
}

/// A plan `k` times as large, judged by rules `k` times as large.
fn grown(plan: &Plan, rules: &Rules, k: f64) -> (Plan, Rules) {
    let mut large = Pose {
        degrees: 0.0,
        mirror: false,
        by: Coord::zero(),
    }
    .moved(plan);
    for light in &mut large.lights {
        light.at = light.at * k;
        light.stacked.iter_mut().for_each(|p| *p = *p * k);
    }
    for member in &mut large.members {
        (member.from, member.to) = (member.from * k, member.to * k);
        member.thickness *= k;
    }
    for room in &mut large.rooms {
        room.outline.iter_mut().for_each(|p| *p = *p * k);
    }
    large
        .walls
        .iter_mut()
        .for_each(|(a, b)| (*a, *b) = (*a * k, *b * k));
    for device in &mut large.obstacles {
        device.outline.iter_mut().for_each(|p| *p = *p * k);
    }

    let mut by = rules.clone();
    let t = &mut by.tolerance;
    for length in [
        &mut t.across,
        &mut t.along,
        &mut t.capture,
        &mut t.tab_gain,
        &mut t.combustible,
        &mut t.stacked,
    ] {
        *length *= k;
    }
    by.walls.least *= k;
    by.walls.slack *= k;
    for l in &mut by.luminaires {
        let Luminaire {
            aperture,
            opening,
            body,
            short_side,
            box_side,
            half_width,
            bars,
            clip,
            ..
        } = l;
        let sizes = [aperture, opening, body, short_side, box_side, half_width, clip];
        for length in sizes
            .into_iter()
            .chain([&mut bars.least, &mut bars.greatest, &mut bars.trimmed])
        {
            *length *= k;
        }
    }
    relate(&mut large, &by);
    (large, by)
}

/// A house made by chance: a hall's row, a grid in a room, framing over both, lights out of
/// place by whole sixteenths and a bit, so that no limit is met to the last digit.
///
/// Where it is not `covered`, framing may end before the house does.
fn house(covered: bool) -> impl Strategy<Value = String> {
    let off = || (-12..=12i32).prop_map(|n| f64::from(n) / 16.0 + 0.0123);
    (
        prop::collection::vec(off(), 9),
        prop::collection::vec(off(), 9),
        prop::sample::select(vec![16.0, 19.2, 24.0]),
        prop::option::of(0..12usize),
        40.3..80.7f64,
        any::<bool>(),
    )
        .prop_map(move |(dx, dy, spacing, missing, pitch, ic)| {
            let wide = pitch * 4.0 + 60.0;
            let mut text = format!(
                "#: [[luminaire]]\n#: tag = \"R6\"\n#: aperture = 6\n#: ic = {ic}\n#: body = 8\n\
                 room \"HALL\" hall (0,0) ({wide},0) ({wide},42.7) (0,42.7)\n\
                 room \"DEN\" (0,50) ({wide},50) ({wide},170) (0,170)\n\
                 wall (0,-4) ({wide},-4)\nwall (-4,-4) (-4,174)\naxis (1,0)\n"
            );
            let last = if covered {
                (wide / spacing).ceil() as usize
            } else {
                12
            };
            for i in 0..last {
                if missing != Some(i) {
                    let x = 3.1 + spacing * i as f64;
                    text += &format!("member joist ({x},-4) ({x},174)\n");
                }
            }
            for (i, (x, y)) in dx.iter().zip(&dy).enumerate() {
                let (column, base) = if i < 5 { (i, 21.3) } else { (i - 5, 0.0) };
                let x = x * 2.0;
                let at = if i < 5 {
                    (30.0 + pitch * column as f64 + x, base + y)
                } else {
                    (
                        40.0 + pitch * (column % 2) as f64 + x,
                        85.0 + 49.1 * (column / 2) as f64 + y,
                    )
                };
                text += &format!("light ({},{}) tag=R6\n", at.0, at.1);
                if i == 2 {
                    let (x, y) = (at.0 + 2.1, at.1 - 5.3);
                    text += &format!("device \"ALARM\" ({x},{y}) ({},{y}) ({x},{})\n", x + 6.0, y + 9.0);
                }
            }
            text
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_fixture_in_any_pose(pose in pose()) {
        // Limits met exactly are kept by an epsilon far above this rounding.
        for path in fixtures() {
            let (plan, rules) = read(&std::fs::read_to_string(&path).unwrap()).unwrap();
            agree(&plan, &rules, pose)?;
        }
    }

    #[test]
    fn a_house_in_any_pose(text in house(false), pose in pose()) {
        let (plan, rules) = read(&text).unwrap();
        agree(&plan, &rules, pose)?;
    }

    #[test]
    fn a_house_grown_with_its_rules(text in house(true), k in 0.6..1.8f64) {
        let (plan, rules) = read(&text).unwrap();
        let (large, by) = grown(&plan, &rules, k);
        let (was, is) = (told(&check(&plan, &rules)), told(&check(&large, &by)));
        prop_assert_eq!(was.keys().collect::<Vec<_>>(), is.keys().collect::<Vec<_>>());
        for (subject, values) in &was {
            for (a, b) in values.iter().zip(&is[subject]) {
                prop_assert!(a.0 == b.0 || (a.0 * k - b.0).abs() < 1e-6, "{}: {:?} {:?}", subject, a, b);
            }
        }
    }
}

/// The houses above are not all sound: else the properties would say little.
#[test]
fn houses_have_faults_of_many_kinds() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let mut kinds = std::collections::BTreeSet::new();
    for _ in 0..40 {
        let text = house(false).new_tree(&mut runner).unwrap().current();
        let (plan, rules) = read(&text).unwrap();
        kinds.extend(check(&plan, &rules).iter().map(|f| f.kind.name()));
    }
    for kind in [
        "off-line",
        "uneven-pitch",
        "row-skew",
        "hits-member",
        "near-combustible",
        "wide-bay",
        "no-support",
        "device-clash",
        "wide-gap",
    ] {
        assert!(kinds.contains(kind), "{kind} is not among {kinds:?}");
    }
}
