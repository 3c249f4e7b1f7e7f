//! The exact answer against members laid at many phases and the checks themselves.

use geo::Coord;
use proptest::prelude::*;

use super::*;
use crate::check::check;
use crate::plan::notation::parse;
use crate::plan::{Member, MemberSource};
use crate::recognise::relate;
use crate::rules::{Bars, Luminaire, Mount, Rules};

/// The plan with a room's members laid at a phase, far past the room every way.
pub fn laid(plan: &Plan, found: &Phases, phase: f64) -> Plan {
    let mut laid = plan.clone();
    let (field, callout) = (found.field, &plan.callouts[found.callout]);
    let count = (400.0 / field.spacing) as i32;
    for k in -count..=count {
        let at = field.origin + field.across() * (phase + f64::from(k) * field.spacing);
        laid.members.push(Member {
            from: at - field.along * 600.0,
            to: at + field.along * 600.0,
            thickness: callout.thickness,
            kind: callout.kind,
            source: MemberSource::Rules,
            plies: 1,
            handle: None,
        });
    }
    laid
}

/// The kinds that the checks find of each light of a room, members laid at a phase.
pub fn fired(plan: &Plan, rules: &Rules, found: &Phases, phase: f64) -> Vec<Vec<Kind>> {
    let mut laid = laid(plan, found, phase);
    relate(&mut laid, rules);
    let findings = check(&laid, rules);
    let of = |l: &LightPhases| {
        let own = findings.iter().filter(|f| f.lights.first() == Some(&l.light));
        let kinds = own.map(|f| f.kind).filter(|k| light::KINDS.contains(k));
        let mut kinds: Vec<Kind> = kinds.collect();
        kinds.dedup();
        kinds
    };
    found.lights.iter().map(of).collect()
}

fn told(found: &Phases, phase: f64) -> Vec<Vec<Kind>> {
    let at = |l: &LightPhases| {
        let kinds = l.kinds.iter();
        kinds
            .filter(|(_, spans)| spans.iter().any(|s| s.has(phase)))
            .map(|k| k.0)
            .collect()
    };
    found.lights.iter().map(at).collect()
}

/// All rooms of a plan, at `samples` phases and at every end of a span.
fn agree(plan: &Plan, rules: &Rules, samples: usize) -> Result<Vec<Phases>, TestCaseError> {
    let (all, _) = phases(plan, rules);
    for found in &all {
        let spacing = found.field.spacing;
        let ends: Vec<f64> = found
            .lights
            .iter()
            .flat_map(|l| &l.kinds)
            .flat_map(|(_, spans)| spans)
            .flat_map(|s| [s.from, s.to])
            .filter(|p| *p < spacing)
            .collect();
        let near_end = |p: f64| ends.iter().any(|e| (p - e).abs() < 2e-6);
        let lattice = (0..samples).map(|i| (i as f64 + 0.37) / samples as f64 * spacing);
        let lattice: Vec<f64> = lattice.filter(|p| !near_end(*p)).collect();
        // At each light's own ends; those of another may lie within the checks' slack of them.
        for (i, light) in found.lights.iter().enumerate() {
            let own = light.kinds.iter().flat_map(|(_, spans)| spans);
            for phase in own.flat_map(|s| [s.from, s.to]).filter(|p| *p < spacing) {
                let want = fired(plan, rules, found, phase);
                prop_assert_eq!(
                    &told(found, phase)[i],
                    &want[i],
                    "at {} of {:?}",
                    phase,
                    light.light
                );
            }
        }
        let mut counts = [0usize; 6];
        let (mut hits, mut clean) = ((usize::MAX, 0), 0);
        for &phase in &lattice {
            let want = fired(plan, rules, found, phase);
            prop_assert_eq!(&told(found, phase), &want, "phase {} of {:?}", phase, found.room);
            let n = |kinds: &[Kind]| {
                want.iter()
                    .filter(|w| w.iter().any(|k| kinds.contains(k)))
                    .count()
            };
            let must = want.iter().filter(|w| w.iter().any(|k| is_must(*k))).count();
            prop_assert!((found.best.must..=found.worst.must).contains(&must));
            counts[0] += usize::from(must == 0);
            clean += usize::from(want.iter().all(Vec::is_empty));
            let h = n(&[Kind::HitsMember]);
            counts[1] += h;
            hits = (hits.0.min(h), hits.1.max(h));
            counts[2] += n(&[
                Kind::HousingClash,
                Kind::NearCombustible,
                Kind::NarrowBay,
                Kind::DeviceClash,
            ]);
            counts[3] += n(&[Kind::HardAgainst]);
            counts[4] += n(&[Kind::WideBay, Kind::NoSupport]);
            counts[5] += n(&[Kind::TrimBars]);
        }
        // Each end of a span can throw a count off by one sample of one light.
        let (m, slack) = (
            lattice.len() as f64,
            (ends.len() + 2) as f64 / lattice.len() as f64,
        );
        for (exact, sampled) in [
            (found.works, counts[0]),
            (found.clean, clean),
            (found.hits.expected, counts[1]),
            (found.clashes.expected, counts[2]),
            (found.hard_against.expected, counts[3]),
            (found.blocking.expected, counts[4]),
            (found.trims.expected, counts[5]),
        ] {
            prop_assert!(
                (exact - sampled as f64 / m).abs() <= slack,
                "{} {} ± {}",
                exact,
                sampled as f64 / m,
                slack
            );
        }
        prop_assert!(found.hits.least <= hits.0 && found.hits.most >= hits.1);
        for run in [found.best, found.worst] {
            let at = fired(plan, rules, found, run.phase);
            let must = at.iter().filter(|w| w.iter().any(|k| is_must(*k))).count();
            let any = at.iter().filter(|w| !w.is_empty()).count();
            prop_assert_eq!((must, any), (run.must, run.any));
        }
    }
    Ok(all)
}

fn read(text: &str) -> Plan {
    let mut plan = parse(text).unwrap();
    relate(&mut plan, &Rules::default());
    plan
}

fn only(text: &str) -> (Plan, Phases, Vec<Note>) {
    let plan = read(text);
    let (mut all, notes) = phases(&plan, &Rules::default());
    assert_eq!(all.len(), 1);
    agree(&plan, &Rules::default(), 200).unwrap();
    (plan, all.remove(0), notes)
}

const ROOM: &str = "room \"KITCHEN\" (0,0) (144,0) (144,120) (0,120)\n\
                    callout joist \"2x10 @ 16 O.C.\" (90,20) t=1 1/2 spacing=16 along=(0,1) room=R1\n";

#[test]
fn one_light_over_sixteen_inches() {
    let (_, found, notes) = only(&format!("{ROOM}light (60,60)"));
    // Derived by hand: the opening of 6 3/8 and the joist's 1 1/2 forbid 7 7/8 of 16 in; a bay of 14 1/2
    // leaves the housing (4 1/2 and 6 1/2) 3 1/2 over: with tabs bent it hangs where both sides have 4.
    let kinds: Vec<Kind> = found.lights[0].kinds.iter().map(|k| k.0).collect();
    assert_eq!(kinds, [Kind::HitsMember, Kind::HousingClash, Kind::HardAgainst]);
    assert!((found.hits.expected - 7.875 / 16.0).abs() < 1e-12);
    // Faces from 4 to 10 1/2 in off: 6 1/2 of 16 in work; from 5 to 9 1/2 nothing is found at all.
    assert!((found.works - 6.5 / 16.0).abs() < 1e-12);
    assert!((found.clean - 4.5 / 16.0).abs() < 1e-12);
    // Phases grow to the left of the joists: from the right wall, 84 in from the light; best is half way
    // between two joists, 84 - 8 = 76 = 4 × 16 + 12.
    assert_eq!(found.field.origin, Coord { x: 144.0, y: 0.0 });
    assert_eq!(
        (found.best.phase, found.best.width, found.best.any),
        (12.0, 4.5, 0)
    );
    // Worst is on the joist: 84 = 5 × 16 + 4.
    assert_eq!(
        (found.worst.phase, found.worst.width, found.worst.must),
        (4.0, 9.5, 1)
    );
    assert_eq!((found.hits.least, found.hits.most), (0, 1));
    assert_eq!(
        (found.blocking, found.trims),
        (Range::default(), Range::default())
    );
    assert_eq!(notes.len(), 1);
    let said = &notes[0].message;
    assert!(
        said.contains("KITCHEN (R1)") && said.contains("work at 41 % of all places"),
        "{said}"
    );
    assert!(
        said.contains("a centreline 1' 0\" from x 12' 0\", y 0\" toward -x (left on the sheet)"),
        "{said}"
    );
}

#[test]
fn ends_belong_where_a_limit_met_is_kept() {
    let (_, found, _) = only(&format!("{ROOM}light (60,60)"));
    let hits = &found.lights[0].kinds[0].1;
    // 4 ± 3 15/16: touching is clear. Round the end of the spacing nothing is left of it.
    assert_eq!(hits.len(), 1);
    assert_eq!((hits[0].from, hits[0].to), (0.0625, 7.9375));
    assert!(!hits[0].from_in && !hits[0].to_in);
    // Short by the tabs' gain exactly: hard against, not a clash.
    let hard = &found.lights[0].kinds[2].1;
    assert!(hard.iter().any(|s| s.from_in != s.to_in), "{hard:?}");
}

#[test]
fn lights_a_multiple_of_the_spacing_apart_stand_or_fall_together() {
    let (_, together, _) = only(&format!("{ROOM}light (28,60)\nlight (60,60)\nlight (92,60)"));
    assert!((together.works - 6.5 / 16.0).abs() < 1e-12);
    assert!((together.hits.expected - 3.0 * 7.875 / 16.0).abs() < 1e-12);
    // Half a spacing apart no phase suits both.
    let (_, apart, _) = only(&format!("{ROOM}light (36,60)\nlight (60,60)"));
    assert_eq!((apart.works, apart.best.must), (0.0, 1));
}

#[test]
fn wide_bays_and_walls_ask_for_blocking() {
    let wide = ROOM.replace("spacing=16", "spacing=32");
    let (_, found, _) = only(&format!("{wide}light (60,60)"));
    // 30 1/2 clear is past 24 in wherever the light is clear of the joist.
    assert_eq!((found.blocking.least, found.blocking.most), (0, 1));
    assert!((found.blocking.expected - (32.0 - 7.875) / 32.0).abs() < 1e-12);
    // 5 in from the wall: with the one face 3 3/16 (the opening clear) to 5 in off, the other one of a bay of
    // 14 1/2 is 9 1/2 in off or more: past the wall and the 4 1/2 in of its plate (derived).
    let (_, wall, _) = only(&format!("{ROOM}light (5,60)"));
    assert!((wall.blocking.expected - 1.8125 / 16.0).abs() < 1e-12);
}

#[test]
fn joists_beyond_the_wall_are_another_rooms() {
    // The light is 24 in from the wall, and 34 in from the next room's first joist.
    let light = "light (120,60)\n";
    let beyond = "member joist (154,0) (154,120) t=1.5\nmember joist (170,0) (170,120) t=1.5\n";
    let (_, alone, _) = only(&format!("{ROOM}{light}"));
    let plan = read(&format!("{ROOM}{light}{beyond}"));
    let (found, notes) = phases(&plan, &Rules::default());
    assert!(notes.iter().all(|n| n.code != "phase-drawn"), "{notes:?}");
    assert_eq!(found, [alone]);
    assert!(plan.lights[0].bay.is_none());
    // Where one of them runs through the room, they are its framing.
    let (found, notes) = phases(
        &read(&format!("{ROOM}{light}{}", beyond.replace("154", "140"))),
        &Rules::default(),
    );
    assert!(found.is_empty() && notes[0].code == "phase-drawn");
}

#[test]
fn drawn_framing_and_callouts_that_differ_are_left_alone_with_a_note() {
    let codes = |text: &str| {
        let (all, notes) = phases(&read(text), &Rules::default());
        assert!(all.is_empty());
        notes.iter().map(|n| n.code).collect::<Vec<_>>()
    };
    let light = "light (60,60)\n";
    assert_eq!(
        codes(&format!("{ROOM}{light}member joist (50,0) (50,120)")),
        ["phase-drawn"]
    );
    let other = "callout joist \"24 O.C.\" t=1.5 spacing=24 along=(0,1) room=R1\n";
    assert_eq!(codes(&format!("{ROOM}{other}{light}")), ["phase-several"]);
    assert_eq!(
        codes(&format!("{}{light}", ROOM.replace("spacing=16", "spacing=1"))),
        ["phase-unused"]
    );
    assert_eq!(
        codes(&format!("{}{light}", ROOM.replace("joist", "beam"))),
        ["phase-unused"]
    );
    assert!(codes(light).is_empty());
}

#[test]
fn a_callout_for_no_room_holds_where_no_other_does() {
    let general = "callout truss \"24 O.C.\" t=1 1/2 spacing=24 along=(1,0)\n";
    let plan = read(&format!(
        "{ROOM}room (200,0) (300,0) (300,100) (200,100)\n{general}light (60,60)\nlight (250,50)\nlight (400,50)"
    ));
    let all = agree(&plan, &Rules::default(), 60).unwrap();
    let of: Vec<_> = all.iter().map(|p| (p.room, p.callout)).collect();
    assert_eq!(of, [(Some(RoomId(0)), 0), (Some(RoomId(1)), 1), (None, 1)]);
}

#[test]
fn a_beam_in_a_room_of_joists_counts_at_every_phase() {
    let plan =
        format!("{ROOM}member beam (70,0) (70,120) t=3 1/2\nlight (62,60)\nlight (30,60)\nlight (69,90)");
    let (_, found, _) = only(&plan);
    let always = &found.lights[2].kinds[0];
    assert_eq!(always.0, Kind::HitsMember);
    assert_eq!(found.works, 0.0);
}

/// A plan of one room (drawn or not), turned, with all sorts of housings, a beam and a device.
fn plan() -> impl Strategy<Value = (Plan, Rules)> {
    let housing = (
        0usize..3,
        any::<bool>(),
        any::<bool>(),
        2.0..7.0f64,
        6.0..14.0f64,
        14.0..26.0f64,
    );
    let light = (6.0..138.0f64, 6.0..114.0f64, 0usize..2);
    (
        (
            prop::sample::select(vec![12.0, 13.7, 16.0, 19.2, 24.0, 32.0, 48.0]),
            prop::sample::select(vec![1.5, 2.3125, 3.5]),
        ),
        prop::collection::vec(light, 1..5),
        prop::collection::vec(housing, 2),
        (0usize..4, -300.0..300.0f64, any::<bool>()),
        (
            prop::option::of(10.0..130.0f64),
            prop::option::of((10.0..120.0f64, 10.0..100.0f64)),
        ),
    )
        .prop_map(
            |((spacing, thickness), lights, housings, (turn, by, drawn), (beam, device))| {
                use std::fmt::Write;
                let degrees = [0.0f64, 90.0, 30.0, -71.3][turn];
                let (sin, cos) = degrees.to_radians().sin_cos();
                let at =
                    |x: f64, y: f64| format!("({},{})", x * cos - y * sin + by, x * sin + y * cos - by / 3.0);
                let along = crate::geom::canonical(Coord { x: -sin, y: cos });
                let mut text = format!(
                    "room {} {} {} {} {}\n",
                    if drawn { "" } else { "open" },
                    at(0.0, 0.0),
                    at(144.0, 0.0),
                    at(144.0, 120.0),
                    at(0.0, 120.0)
                );
                if !drawn {
                    text = text.replace("open", "");
                    let _ = writeln!(text, "wall {} {}", at(0.0, -50.0), at(0.0, 150.0));
                }
                let _ = writeln!(
                    text,
                    "callout joist \"a\" t={thickness} spacing={spacing} along=({},{}) room=R1",
                    along.x, along.y
                );
                if let Some(x) = beam {
                    let _ = writeln!(text, "member beam {} {} t=3.5", at(x, 5.0), at(x, 90.0));
                }
                if let Some((x, y)) = device {
                    let _ = writeln!(
                        text,
                        "device \"D\" {} {} {} {}",
                        at(x, y),
                        at(x + 9.0, y),
                        at(x + 9.0, y + 9.0),
                        at(x, y + 9.0)
                    );
                }
                for (x, y, _) in &lights {
                    let _ = writeln!(text, "light {}", at(*x, *y));
                }
                let rules = Rules {
                    luminaires: housings
                        .iter()
                        .map(|&(old, ic, small, short, least, greatest)| Luminaire {
                            tag: "A".into(),
                            opening: if small { 4.25 } else { 6.375 },
                            mount: if old == 0 { Mount::OldWork } else { Mount::NewWork },
                            ic,
                            short_side: short,
                            box_side: short + 2.0,
                            bars: Bars {
                                least,
                                greatest,
                                trimmed: least - 3.0,
                            },
                            ..Luminaire::default()
                        })
                        .collect(),
                    ..Rules::default()
                };
                let mut plan = parse(&text).unwrap();
                plan.rooms[0].drawn = drawn;
                for (light, (_, _, schedule)) in plan.lights.iter_mut().zip(&lights) {
                    light.schedule = Some(*schedule);
                }
                relate(&mut plan, &rules);
                (plan, rules)
            },
        )
}

/// The plan turned and shifted, related anew.
pub fn turned(plan: &Plan, rules: &Rules, degrees: f64, by: Coord) -> Plan {
    let (sin, cos) = degrees.to_radians().sin_cos();
    let way = |p: Coord| Coord {
        x: p.x * cos - p.y * sin,
        y: p.x * sin + p.y * cos,
    };
    let mut plan = plan.clone();
    plan.lights.iter_mut().for_each(|l| l.at = way(l.at) + by);
    for m in &mut plan.members {
        (m.from, m.to) = (way(m.from) + by, way(m.to) + by);
    }
    for room in &mut plan.rooms {
        room.outline.iter_mut().for_each(|p| *p = way(*p) + by);
        room.axis = crate::geom::canonical(way(room.axis));
    }
    plan.walls
        .iter_mut()
        .for_each(|w| *w = (way(w.0) + by, way(w.1) + by));
    for o in &mut plan.obstacles {
        o.outline.iter_mut().for_each(|p| *p = way(*p) + by);
    }
    plan.callouts
        .iter_mut()
        .for_each(|c| c.along = crate::geom::canonical(way(c.along)));
    relate(&mut plan, rules);
    plan
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_exact_answer_is_what_the_checks_say_at_every_phase((plan, rules) in plan()) {
        let all = agree(&plan, &rules, 61)?;
        prop_assert!(all.len() == 1);
    }

    #[test]
    fn turning_and_shifting_the_plan_leaves_the_answer((plan, rules) in plan(), degrees in -180.0..180.0f64, x in -1e4..1e4f64) {
        let (was, _) = phases(&plan, &rules);
        let (is, _) = phases(&turned(&plan, &rules, degrees, Coord { x, y: -x / 7.0 }), &rules);
        prop_assert_eq!(was.len(), is.len());
        for (was, is) in was.iter().zip(&is) {
            for (a, b) in [(was.works, is.works), (was.clean, is.clean), (was.best.width, is.best.width), (was.worst.width, is.worst.width)] {
                prop_assert!((a - b).abs() < 1e-6, "{} {}", a, b);
            }
            for (a, b) in [(was.hits, is.hits), (was.clashes, is.clashes), (was.hard_against, is.hard_against), (was.blocking, is.blocking), (was.trims, is.trims)] {
                prop_assert!((a.least, a.most) == (b.least, b.most) && (a.expected - b.expected).abs() < 1e-6);
            }
            prop_assert_eq!((was.best.must, was.best.any, was.worst.must, was.worst.any), (is.best.must, is.best.any, is.worst.must, is.worst.any));
        }
    }
}
