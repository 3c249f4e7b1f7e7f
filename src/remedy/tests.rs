//! Remedies on small plans: what is offered, and that applying it leaves nothing new.

use std::collections::BTreeSet;

use approx::assert_abs_diff_eq;
use geo::{Coord, Vector2DOps};
use proptest::prelude::*;

use super::{Action, Piece, Remedy, apply, remedy};
use crate::check::{Finding, Kind, check};
use crate::plan::notation::parse;
use crate::plan::{LightId, MemberId, Plan};
use crate::recognise::relate;
use crate::rules::{Luminaire, Rules};

fn worked(text: &str, rules: &Rules) -> (Plan, Vec<Finding>, Vec<Remedy>) {
    let mut plan = parse(text).unwrap();
    relate(&mut plan, rules);
    let mut findings = check(&plan, rules);
    let remedies = remedy(&plan, &mut findings, rules);
    (plan, findings, remedies)
}

/// A finding by what it is about: kind, lights, members, and the lights of its row.
type Subject = (Kind, Vec<LightId>, Vec<MemberId>, Vec<LightId>);

fn subjects(plan: &Plan, findings: &[Finding]) -> BTreeSet<Subject> {
    let row = |f: &Finding| f.row.map_or_else(Vec::new, |r| plan.row(r).lights.clone());
    // An uneven pitch is the row's, whichever of its lights show it.
    let lights = |f: &Finding| match f.kind {
        Kind::UnevenPitch => Vec::new(),
        _ => f.lights.clone(),
    };
    findings
        .iter()
        .map(|f| (f.kind, lights(f), f.members.clone(), row(f)))
        .collect()
}

/// Applies each remedy to the plan as it was: what it mends is gone and nothing is new.
fn hold(plan: &Plan, findings: &[Finding], remedies: &[Remedy], rules: &Rules) {
    let before = subjects(plan, findings);
    for (i, remedy) in remedies.iter().enumerate() {
        assert_eq!(remedy.id.0, i);
        let after_plan = apply(plan, remedy, rules);
        let after = subjects(&after_plan, &check(&after_plan, rules));
        let new: Vec<_> = after.difference(&before).collect();
        assert!(new.is_empty(), "{} brings {new:?}", remedy.message);
        if let Action::None { why } = &remedy.action {
            assert!(!why.is_empty() && remedy.mends.is_empty());
            continue;
        }
        assert!(!remedy.mends.is_empty());
        for id in &remedy.mends {
            let subject = subjects(plan, &findings[id.0..=id.0]);
            assert!(
                after.is_disjoint(&subject),
                "{} leaves {subject:?}",
                remedy.message
            );
            assert!(findings[id.0].remedies.contains(&remedy.id));
        }
    }
    for finding in findings {
        let owed = matches!(
            finding.kind,
            Kind::OffLine
                | Kind::HitsMember
                | Kind::HousingClash
                | Kind::NearCombustible
                | Kind::WideBay
                | Kind::NarrowBay
                | Kind::NoSupport
                | Kind::DeviceClash
        );
        assert!(
            !owed || !finding.remedies.is_empty(),
            "nothing said of {}",
            finding.message
        );
    }
}

/// Joists along y, 1 1/2 thick, on these x.
fn joists(xs: &[f64]) -> String {
    xs.iter()
        .map(|x| format!("member joist ({x},-200) ({x},200) t=1 1/2\n"))
        .collect()
}

fn lights(points: &[(f64, f64)]) -> String {
    points.iter().map(|(x, y)| format!("light ({x},{y})\n")).collect()
}

fn of(findings: &[Finding], kind: Kind) -> Vec<&Finding> {
    findings.iter().filter(|f| f.kind == kind).collect()
}

#[test]
fn off_line_moves_straight_back_onto_the_row() {
    let mut row: Vec<(f64, f64)> = (0..13).map(|i| (f64::from(i) * 48.0, 0.0)).collect();
    row[6].1 = 0.375;
    let rules = Rules::default();
    let (plan, findings, remedies) = worked(&lights(&row), &rules);
    assert_eq!(of(&findings, Kind::OffLine).len(), 1);
    assert_eq!(remedies.len(), 1);
    let Action::Move { to, by } = &remedies[0].action else {
        panic!("{:?}", remedies[0])
    };
    assert_abs_diff_eq!(*by, 0.375, epsilon = 1e-9);
    assert_abs_diff_eq!(to[0].x, 288.0, epsilon = 1e-9);
    assert_abs_diff_eq!(to[0].y, 0.0, epsilon = 1e-9);
    let said = "Move L7 3/8\" toward -y (down on the sheet), square to row W1, to x 24' 0\", y 0\".";
    assert_eq!(remedies[0].message, said);
    hold(&plan, &findings, &remedies, &rules);
}

#[test]
fn a_light_off_both_its_rows_moves_once() {
    let mut grid: Vec<(f64, f64)> = (0..5)
        .flat_map(|j| (0..5).map(move |i| (f64::from(i) * 48.0, f64::from(j) * 60.0)))
        .collect();
    grid[12].0 += 0.25;
    grid[12].1 -= 0.1875;
    let rules = Rules::default();
    let (plan, findings, remedies) = worked(&lights(&grid), &rules);
    assert_eq!(of(&findings, Kind::OffLine).len(), 2);
    assert_eq!(remedies.len(), 1);
    assert_eq!(remedies[0].mends.len(), 2);
    let Action::Move { to, .. } = &remedies[0].action else {
        panic!("{:?}", remedies[0])
    };
    assert_abs_diff_eq!(to[0].x, 96.0, epsilon = 1e-6);
    assert_abs_diff_eq!(to[0].y, 120.0, epsilon = 1e-6);
    hold(&plan, &findings, &remedies, &rules);
}

/// Derived: a face is 3/4 in from a joist's middle; the short side wants 4 1/2 and the least spare that
/// has no note is 1/2, so the nearest clean place is 5 3/4 from it.
#[test]
fn a_lone_light_on_a_joist_moves_into_the_bay() {
    let rules = Rules::default();
    for (x, to) in [(0.5, 5.75), (-0.5, -5.75)] {
        let text = joists(&[-32.0, -16.0, 0.0, 16.0, 32.0]) + &lights(&[(x, 0.0)]);
        let (plan, findings, remedies) = worked(&text, &rules);
        assert_eq!(of(&findings, Kind::HitsMember).len(), 1);
        let Action::Move { to: points, by } = &remedies[0].action else {
            panic!("{:?}", remedies[0])
        };
        assert_abs_diff_eq!(points[0].x, to, epsilon = 1e-9);
        assert_abs_diff_eq!(*by, 5.25, epsilon = 1e-9);
        hold(&plan, &findings, &remedies, &rules);
    }
}

/// All lights of a row stand on joists alike: one shift of the row mends all, where one light's would not.
#[test]
fn a_row_on_the_joists_is_shifted_as_one() {
    let rules = Rules::default();
    let xs: Vec<f64> = (-6..30).map(|i| f64::from(i) * 16.0).collect();
    let row: Vec<(f64, f64)> = (0..6).map(|i| (f64::from(i) * 48.0 + 1.0, 0.0)).collect();
    let (plan, findings, remedies) = worked(&(joists(&xs) + &lights(&row)), &rules);
    assert_eq!(of(&findings, Kind::HitsMember).len(), 6);
    let said: Vec<&str> = remedies.iter().map(|r| r.message.as_str()).collect();
    assert_eq!(remedies.len(), 1, "{said:#?}");
    assert_eq!(remedies[0].mends.len(), 6);
    let Action::Move { to, by } = &remedies[0].action else {
        panic!("{:?}", remedies[0])
    };
    assert_eq!(to.len(), 6);
    assert_abs_diff_eq!(*by, 4.75, epsilon = 1e-9);
    assert!(
        remedies[0]
            .message
            .contains("L1 to L6, 6 lights, anew: 6 of 6 lights move, by 4 3/4\" at most"),
        "{}",
        remedies[0].message
    );
    hold(&plan, &findings, &remedies, &rules);
}

/// L2 stands on a joist; walls a foot away hold the row where it is, and its pitch holds L2 in the row.
#[test]
fn where_nothing_is_clean_it_says_why() {
    let rules = Rules::default();
    let xs: Vec<f64> = (-3..10).map(|i| f64::from(i) * 16.0).collect();
    let room = "room (-4.5,-60) (100.5,-60) (100.5,60) (-4.5,60)\n";
    let row = [(8.0, 0.0), (48.0, 0.0), (88.0, 0.0)];
    let (plan, findings, remedies) = worked(&format!("{room}{}{}", joists(&xs), lights(&row)), &rules);
    assert_eq!(of(&findings, Kind::HitsMember).len(), 1);
    assert_eq!(remedies.len(), 1);
    let Action::None { why } = &remedies[0].action else {
        panic!("{:?}", remedies[0])
    };
    assert!(remedies[0].message.contains(why.as_str()));
    // The short side's 4 1/2 + 1/2 of spare + 3/4 of joist.
    assert!(why.contains("5 3/4\"") && why.contains("uneven-pitch"), "{why}");
    hold(&plan, &findings, &remedies, &rules);
}

/// Joists 8 in on centre leave no bay that any housing fits.
#[test]
fn where_framing_is_everywhere_it_says_so() {
    let rules = Rules::default();
    let xs: Vec<f64> = (-9..9).map(|i| f64::from(i) * 8.0).collect();
    let (plan, findings, remedies) = worked(&(joists(&xs) + &lights(&[(1.0, 0.0)])), &rules);
    let Action::None { why } = &remedies[0].action else {
        panic!("{:?}", remedies[0])
    };
    assert!(why.contains("framing in the way"), "{why}");
    hold(&plan, &findings, &remedies, &rules);
}

fn pieces(remedy: &Remedy) -> &[Piece] {
    match &remedy.action {
        Action::Block { pieces } => pieces,
        other => panic!("{other:?}"),
    }
}

/// Blocking cut length is spacing less thickness (common practice): 48 - 1 1/2.
#[test]
fn a_wide_bay_gets_two_pieces_between_its_faces() {
    let rules = Rules::default();
    let text = joists(&[-24.0, 24.0]) + &lights(&[(3.0, 0.0), (3.0, 48.0)]);
    let (plan, findings, remedies) = worked(&text, &rules);
    assert_eq!(of(&findings, Kind::WideBay).len(), 2);
    assert_eq!(remedies.len(), 2);
    for (remedy, y) in remedies.iter().zip([0.0, 48.0]) {
        let pieces = pieces(remedy);
        assert_eq!(pieces.len(), 2);
        for piece in pieces {
            assert_eq!((piece.cut, piece.thickness), (46.5, 1.5));
            assert_eq!(piece.between, [MemberId(0), MemberId(1)]);
            assert_abs_diff_eq!((piece.to - piece.from).magnitude(), 46.5, epsilon = 1e-9);
            // 14 1/2 clear about the light.
            assert_abs_diff_eq!((piece.from.y - y).abs(), 7.25 + 0.75, epsilon = 1e-9);
        }
        assert!(remedy.message.contains("3' 10 1/2\""), "{}", remedy.message);
    }
    hold(&plan, &findings, &remedies, &rules);
    let blocked = apply(&plan, &remedies[0], &rules);
    let bay = blocked.lights[0].bay.unwrap();
    assert_abs_diff_eq!(bay.left.room + bay.right.room, 14.5, epsilon = 1e-9);
    assert_eq!(bay.along, Coord { x: 1.0, y: 0.0 });
}

#[test]
fn pieces_are_never_longer_than_the_bay() {
    let rules = Rules::default();
    let text = joists(&[-17.33, 24.0]) + &lights(&[(0.0, 0.0)]);
    let (plan, findings, remedies) = worked(&text, &rules);
    // 39.83 clear: 39 13/16.
    assert_eq!(pieces(&remedies[0])[0].cut, 39.8125);
    hold(&plan, &findings, &remedies, &rules);
}

#[test]
fn with_no_member_before_the_wall_a_piece_ends_at_the_wall() {
    let rules = Rules::default();
    let room = "room \"BATH\" (-40,-100) (20,-100) (20,100) (-40,100)\n";
    for beyond in ["", "member joist (30,-200) (30,200) t=1 1/2\n"] {
        let text = format!(
            "{room}{}{beyond}{}",
            joists(&[-24.0, -8.0]),
            lights(&[(4.0, 0.0)])
        );
        let (plan, findings, remedies) = worked(&text, &rules);
        assert_eq!(of(&findings, Kind::NoSupport).len(), 1);
        for piece in pieces(&remedies[0]) {
            assert_eq!(
                (piece.cut, piece.between.as_slice()),
                (27.25, [MemberId(1)].as_slice())
            );
            assert_abs_diff_eq!(piece.from.x.min(piece.to.x), -7.25, epsilon = 1e-9);
            assert_abs_diff_eq!(piece.from.x.max(piece.to.x), 20.0, epsilon = 1e-9);
        }
        assert!(
            remedies[0].message.contains("wall's plate"),
            "{}",
            remedies[0].message
        );
        hold(&plan, &findings, &remedies, &rules);
    }
}

#[test]
fn where_the_bars_reach_the_wall_one_piece_along_it_is_less_lumber() {
    // The last joist's face is 11 1/4 in left of the light, the wall 10 in right of it: 21 1/4, within the bars' 24.
    let rules = Rules::default();
    let room = "room \"BATH\" (-40,-100) (14,-100) (14,100) (-40,100)\n";
    let text = format!("{room}{}{}", joists(&[-24.0, -8.0]), lights(&[(4.0, 0.0)]));
    let (plan, findings, remedies) = worked(&text, &rules);
    assert_eq!(of(&findings, Kind::NoSupport).len(), 1);
    let all = pieces(&remedies[0]);
    assert_eq!(all.len(), 1, "{}", remedies[0].message);
    // A 6 in housing is 9 in wide, and 2 in over at each end.
    assert_eq!((all[0].cut, all[0].between.len()), (13.0, 0));
    for end in [all[0].from, all[0].to] {
        // Behind the wall's face, on the plate.
        assert_abs_diff_eq!(end.x, 14.75, epsilon = 1e-9);
        assert_abs_diff_eq!(end.y.abs(), 6.5, epsilon = 1e-9);
    }
    hold(&plan, &findings, &remedies, &rules);
}

#[test]
fn a_piece_is_not_put_into_a_device() {
    // Centred pieces would stand 8 in above and below the light; a duct takes the place below.
    let rules = Rules::default();
    let text = joists(&[-24.0, 24.0]) + &lights(&[(0.0, 0.0)]);
    let duct = "device \"DUCT\" (-20,-9) (20,-9) (20,-7) (-20,-7)\n";
    let centred = worked(&text, &rules).2;
    let (plan, findings, remedies) = worked(&format!("{text}{duct}"), &rules);
    let rows = |r: &Remedy| pieces(r).iter().map(|p| p.from.y).collect::<Vec<_>>();
    assert_eq!(rows(&centred[0]), [8.0, -8.0]);
    assert_eq!(pieces(&remedies[0]).len(), 2, "{}", remedies[0].message);
    for y in rows(&remedies[0]) {
        assert!(y - 0.75 >= -7.0 || y + 0.75 <= -9.0, "{y}");
    }
    hold(&plan, &findings, &remedies, &rules);
}

#[test]
fn blocking_keeps_clear_of_the_next_light() {
    let rules = Rules::default();
    // 12 in apart along the bay: a piece centred between would be under a neighbour's opening.
    let text = joists(&[-24.0, 24.0]) + &lights(&[(0.0, 0.0), (0.0, 14.0)]);
    let (plan, findings, remedies) = worked(&text, &rules);
    hold(&plan, &findings, &remedies, &rules);
}

#[test]
fn nothing_to_nail_to_is_said() {
    let rules = Rules::default();
    let text = joists(&[-8.0]) + &lights(&[(0.0, 0.0)]);
    let (plan, findings, remedies) = worked(&text, &rules);
    assert_eq!(of(&findings, Kind::NoSupport).len(), 1);
    let Action::None { why } = &remedies[0].action else {
        panic!("{:?}", remedies[0])
    };
    assert!(why.contains("neither member nor wall"), "{why}");
    hold(&plan, &findings, &remedies, &rules);
}

#[test]
fn a_housing_that_is_not_type_ic_moves_off_the_wood() {
    // 410.116(A)(1): 1/2 in from combustibles; 6 3/4 body in a 22 1/2 bay.
    let rules = Rules {
        luminaires: vec![Luminaire {
            ic: false,
            short_side: 3.0,
            ..Luminaire::default()
        }],
        ..Rules::default()
    };
    let text = joists(&[-24.0, 0.0, 24.0, 48.0]) + "light (4.3,0) schedule=0\n";
    let (plan, findings, remedies) = worked(&text, &rules);
    assert_eq!(of(&findings, Kind::NearCombustible).len(), 1);
    let Action::Move { to, .. } = &remedies[0].action else {
        panic!("{:?}", remedies[0])
    };
    // 3/4 + 3 3/8 + 1/2 = 4 5/8 at least; in sixteenths from 4.3 that is 4.675.
    assert_abs_diff_eq!(to[0].x, 4.675, epsilon = 1e-9);
    hold(&plan, &findings, &remedies, &rules);
}

/// Joists at odd spacings, lights in a row or anywhere, some in a room.
fn some_plan() -> impl Strategy<Value = String> {
    let gaps = prop::collection::vec(
        prop::sample::select(vec![12.0, 16.0, 16.0, 19.2, 24.0, 40.0]),
        3..9,
    );
    let row = (2_u8..6, 24.0..60.0_f64, -60.0..60.0_f64, -20.0..20.0_f64);
    let loose = prop::collection::vec((-60.0..200.0_f64, -80.0..80.0_f64), 0..3);
    let stray = prop::sample::select(vec![0.0, 0.0, 0.1875, 0.375, 2.0]);
    (gaps, row, loose, stray, any::<bool>(), 0.0..90.0_f64).prop_map(
        |(gaps, (count, pitch, x0, y0), mut points, stray, room, degrees)| {
            let mut xs = vec![-80.0];
            for gap in gaps {
                xs.push(xs[xs.len() - 1] + gap);
            }
            points.extend(
                (0..count).map(|i| (x0 + f64::from(i) * pitch, y0 + if i == 1 { stray } else { 0.0 })),
            );
            let (sin, cos) = degrees.to_radians().sin_cos();
            let turned = |x: f64, y: f64| format!("({},{})", x * cos - y * sin, x * sin + y * cos);
            let mut text = String::new();
            if room {
                let corners = [(-90.0, -90.0), (210.0, -90.0), (210.0, 90.0), (-90.0, 90.0)];
                text += &format!("room {}\n", corners.map(|(x, y)| turned(x, y)).join(" "));
            }
            for x in xs {
                text += &format!(
                    "member joist {} {} t=1 1/2\n",
                    turned(x, -200.0),
                    turned(x, 200.0)
                );
            }
            for (x, y) in points {
                text += &format!("light {}\n", turned(x, y));
            }
            text
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn no_remedy_brings_a_new_finding(text in some_plan()) {
        let rules = Rules::default();
        let (plan, findings, remedies) = worked(&text, &rules);
        hold(&plan, &findings, &remedies, &rules);
    }
}

#[test]
fn an_uneven_row_does_not_stand_for_another_that_shares_lights_with_it() {
    // Five lights in an even row; two loose ones make a slanting row with the last two, uneven as it is. Moving
    // the four together would make the even row uneven.
    let rules = Rules::default();
    let row = [-51.667_666, -22.271_219, 7.125_227, 36.521_674, 65.918_12].map(|x| (x, 2.659_933));
    let loose = [(72.775_338, -4.142_169), (-25.083_93, 28.344_195)];
    let text = joists(&[-80.0, -56.0, -40.0, -24.0]) + &lights(&[&loose[..], &row[..]].concat());
    let (plan, findings, remedies) = worked(&text, &rules);
    hold(&plan, &findings, &remedies, &rules);
}

#[test]
fn a_light_does_not_pass_its_neighbour() {
    // L5 stands on a joist, L1 7 in beside it on the same line: past L1 there would be room, but then
    // the row's lights would stand in another order.
    let rules = Rules::default();
    let text = joists(&[-80.0, -64.0, -40.0, -24.0, -4.8, 35.2, 75.2, 115.2, 139.2])
        + &lights(&[
            (133.43667625432553, 0.0),
            (-14.742866040461452, 0.0),
            (36.994013134911974, 0.0),
            (88.7308923102854, 0.0),
            (140.46777148565883, 0.0),
            (192.20465066103225, 0.0),
        ]);
    let (plan, findings, remedies) = worked(&text, &rules);
    hold(&plan, &findings, &remedies, &rules);
}

#[test]
fn a_light_in_a_device_moves_clear_of_it_by_the_least() {
    // Body 6 3/4: the square ends 3 in right of the light, so it is 3/8 in short on that side.
    let rules = Rules::default();
    let device = "device \"DIFFUSER\" (3,-6) (15,-6) (15,6) (3,6)\n";
    let (plan, findings, remedies) = worked(&format!("{}{device}", lights(&[(0.0, 0.0)])), &rules);
    assert_eq!(of(&findings, Kind::DeviceClash).len(), 1);
    let Action::Move { to, by } = &remedies[0].action else {
        panic!("{:?}", remedies[0])
    };
    assert_abs_diff_eq!(*by, 0.375, epsilon = 1e-9);
    assert_abs_diff_eq!(to[0].x, -0.375, epsilon = 1e-9);
    hold(&plan, &findings, &remedies, &rules);
}

#[test]
fn a_light_between_two_devices_is_moved_clear_of_both() {
    // Joists along y: the housing reaches 4 1/2 in along them. The devices leave 8 in, so it has to go round.
    let rules = Rules::default();
    let devices = "device \"A\" (-6,4) (6,4) (6,10) (-6,10)\ndevice \"B\" (-6,-10) (6,-10) (6,-4) (-6,-4)\n";
    let text = format!("{}{}{devices}", joists(&[-8.0, 8.0]), lights(&[(0.0, 0.0)]));
    let (plan, findings, remedies) = worked(&text, &rules);
    assert_eq!(of(&findings, Kind::DeviceClash).len(), 2);
    assert_eq!(remedies.len(), 1);
    assert_eq!(remedies[0].mends.len(), 2);
    let Action::Move { by, .. } = &remedies[0].action else {
        panic!("{:?}", remedies[0])
    };
    // Past the far end of a device and half the housing: 10 + 4 1/2.
    assert_abs_diff_eq!(*by, 14.5, epsilon = 1e-9);
    hold(&plan, &findings, &remedies, &rules);
}
