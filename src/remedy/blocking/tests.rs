//! Blocking that lights of one bay share: against trying everything, and turned, mirrored and shifted.

use std::collections::BTreeMap;

use approx::assert_abs_diff_eq;
use geo::{Coord, Vector2DOps};
use proptest::prelude::*;

use super::bay::BayWork;
use super::ladder::{Cost, ladders};
use super::shared::{Group, Total, Way, part};
use super::{CLEAR, STEP, THICKNESS};
use crate::check::{Kind, check};
use crate::plan::notation::parse;
use crate::plan::{LightId, Plan};
use crate::recognise::relate;
use crate::remedy::bars::bars;
use crate::remedy::cutlist::cut_list;
use crate::remedy::{Action, Piece, Remedy, apply, remedy};
use crate::rules::Rules;

struct Worked {
    plan: Plan,
    findings: Vec<crate::check::Finding>,
    remedies: Vec<Remedy>,
}

fn worked(text: &str) -> Worked {
    let rules = Rules::default();
    let mut plan = parse(text).unwrap();
    relate(&mut plan, &rules);
    let mut findings = check(&plan, &rules);
    let remedies = remedy(&plan, &mut findings, &rules);
    Worked {
        plan,
        findings,
        remedies,
    }
}

fn joists(xs: &[f64]) -> String {
    let each = xs
        .iter()
        .map(|x| format!("member joist ({x},-300) ({x},300) t=1 1/2\n"));
    each.collect()
}

fn lights(points: &[(f64, f64)]) -> String {
    points.iter().map(|(x, y)| format!("light ({x},{y})\n")).collect()
}

fn pieces(remedy: &Remedy) -> &[Piece] {
    match &remedy.action {
        Action::Block { pieces } => pieces,
        _ => &[],
    }
}

/// All blocking put in at once: the wide bays and bare sides that remedies mend are gone, nothing is new, no two pieces
/// lie in one place, and every light that is served has its bars.
fn hold(w: &Worked) {
    let rules = Rules::default();
    let mut all: Vec<Piece> = Vec::new();
    for r in w.remedies.iter().filter(|r| r.action.name() == "block") {
        let after = apply(&w.plan, r, &rules);
        let left = check(&after, &rules);
        for id in &r.mends {
            let f = &w.findings[id.0];
            assert!(
                !left.iter().any(|l| (l.kind, &l.lights) == (f.kind, &f.lights)),
                "{}",
                r.message
            );
        }
        let served: std::collections::BTreeSet<LightId> =
            pieces(r).iter().flat_map(|p| p.serves.iter().copied()).collect();
        assert_eq!(served.into_iter().collect::<Vec<_>>(), r.lights, "{}", r.message);
        all.extend(pieces(r).iter().cloned());
    }
    let counted: usize = cut_list(&w.remedies).cuts.iter().map(|c| c.count).sum();
    assert_eq!(counted, all.len());
    let told = bars(&w.plan, &w.remedies, &rules);
    // One that a remedy moves too is measured where it goes.
    let moves = |l: &LightId| {
        w.remedies
            .iter()
            .any(|r| r.action.name() == "move" && r.lights.contains(l))
    };
    for r in w.remedies.iter().filter(|r| r.action.name() == "block") {
        for light in r.lights.iter().filter(|l| !moves(l)) {
            let bars = told.iter().find(|b| b.light == *light);
            assert!(
                bars.is_some_and(|b| b.blocked && b.clear <= 24.0 + 1e-6),
                "{light}: {bars:?}"
            );
        }
    }
}

fn blocked(w: &Worked) -> (usize, f64) {
    let all = w.remedies.iter().flat_map(pieces);
    (all.clone().count(), all.map(|p| p.cut).sum())
}

#[test]
fn two_neighbours_share_the_piece_between_them() {
    // 24 in apart in a bay of 46 1/2: a piece half way leaves 11 1/4 to each, which is within the bars' 24 in.
    let w = worked(&(joists(&[-24.0, 24.0]) + &lights(&[(0.0, 0.0), (0.0, 24.0)])));
    assert_eq!(w.remedies.len(), 1, "{:#?}", w.remedies);
    let r = &w.remedies[0];
    assert_eq!((r.lights.len(), r.mends.len()), (2, 2));
    let three = pieces(r);
    assert_eq!(three.len(), 3, "{}", r.message);
    assert!(three.iter().all(|p| p.cut == 46.5));
    let serves: Vec<usize> = three.iter().map(|p| p.serves.len()).collect();
    assert_eq!(serves, [1, 2, 1]);
    assert_abs_diff_eq!(three[1].from.y, 12.0, epsilon = 1e-9);
    assert!(r.message.contains("One piece serves L1 and L2."), "{}", r.message);
    // Three equal pieces: one line, each light named.
    let list = cut_list(&w.remedies);
    assert_eq!((list.cuts.len(), list.cuts[0].count), (1, 3));
    hold(&w);
}

#[test]
fn lights_too_far_apart_for_the_bars_share_nothing() {
    // Each side of the housing wants 5 in at least (4 1/2 and what tabs gain), so bars of 24 in reach 19 in beyond a light: no piece
    // serves two lights more than 38 in and its own thickness apart. A nailer of 59 in is more lumber than two pieces of 46 1/2.
    for (apart, count) in [(39.5, 3), (40.0, 4)] {
        let w = worked(&(joists(&[-24.0, 24.0]) + &lights(&[(0.0, 0.0), (0.0, apart)])));
        assert_eq!(blocked(&w).0, count, "{apart}: {:#?}", w.remedies);
        hold(&w);
    }
}

#[test]
fn a_nailer_along_the_bay_serves_a_row_near_a_joist() {
    // 10 in from one joist's face in a bay of 58 1/2; 48 in apart, too far to share a piece across: each alone wants two of
    // 58 1/2. One nailer between two pieces across: three pieces, 2 × 58 1/2 and the nailer's 48 + 9 + 2 × 2.
    let w = worked(&(joists(&[-30.0, 30.0]) + &lights(&[(-19.25, 0.0), (-19.25, 48.0)])));
    assert_eq!(w.remedies.len(), 1, "{:#?}", w.remedies);
    let r = &w.remedies[0];
    let cuts: Vec<f64> = pieces(r).iter().map(|p| p.cut).collect();
    assert_eq!(cuts, [61.0, 58.5, 58.5], "{}", r.message);
    let nailer = &pieces(r)[0];
    assert_eq!(nailer.serves, [LightId(0), LightId(1)]);
    assert!(nailer.between.is_empty() && (nailer.from.x - nailer.to.x).abs() < 1e-9);
    // Clear of the joist by the light's 10 in and the 5 in that its other side wants.
    assert_abs_diff_eq!(nailer.from.x, -29.25 + 15.0 + 0.75, epsilon = 1e-9);
    hold(&w);
}

#[test]
fn a_long_row_in_the_middle_hangs_between_two_nailers() {
    // Five lights 20 in apart: a ladder wants six pieces, two nailers of 93 in and two pieces across carry them all.
    let row: Vec<(f64, f64)> = (0..5).map(|i| (0.0, f64::from(i) * 20.0)).collect();
    let w = worked(&(joists(&[-24.0, 24.0]) + &lights(&row)));
    assert_eq!(w.remedies.len(), 1, "{:#?}", w.remedies);
    let cuts: Vec<f64> = pieces(&w.remedies[0]).iter().map(|p| p.cut).collect();
    assert_eq!(cuts, [93.0, 93.0, 46.5, 46.5], "{}", w.remedies[0].message);
    let told = bars(&w.plan, &w.remedies, &Rules::default());
    assert!(told.iter().all(|b| b.clear == CLEAR), "{told:?}");
    hold(&w);
}

#[test]
fn one_piece_along_a_wall_serves_those_beside_it() {
    // The last joist's face is 11 1/4 in left of the lights, the wall 10 in right: each alone wants a piece of 13 in.
    let room = "room \"HALL\" (-40,-100) (14,-100) (14,100) (-40,100)\n";
    let w = worked(&format!(
        "{room}{}{}",
        joists(&[-24.0, -8.0]),
        lights(&[(4.0, 0.0), (4.0, 48.0)])
    ));
    assert_eq!(w.remedies.len(), 1, "{:#?}", w.remedies);
    let all = pieces(&w.remedies[0]);
    assert_eq!((all.len(), all[0].cut), (1, 61.0), "{}", w.remedies[0].message);
    assert_abs_diff_eq!(all[0].from.x, 14.75, epsilon = 1e-9);
    hold(&w);
    // Where the wall steps back between them each has its own.
    let room = "room \"HALL\" (-40,-100) (14,-100) (14,20) (15,20) (15,28) (14,28) (14,100) (-40,100)\n";
    let w = worked(&format!(
        "{room}{}{}",
        joists(&[-24.0, -8.0]),
        lights(&[(4.0, 0.0), (4.0, 48.0)])
    ));
    assert_eq!(blocked(&w), (2, 26.0), "{:#?}", w.remedies);
    hold(&w);
}

#[test]
fn lights_side_by_side_share_both_pieces() {
    let w = worked(&(joists(&[-36.0, 36.0]) + &lights(&[(-12.0, 0.0), (12.0, 0.0)])));
    assert_eq!(blocked(&w).0, 2, "{:#?}", w.remedies);
    assert!(w.remedies.iter().flat_map(pieces).all(|p| p.serves.len() == 2));
    hold(&w);
}

#[test]
fn a_shared_piece_is_not_put_into_a_device() {
    let text = joists(&[-24.0, 24.0]) + &lights(&[(0.0, 0.0), (0.0, 24.0)]);
    // In the middle between the lights: the piece stands beside it.
    let narrow = worked(&format!(
        "{text}device \"DUCT\" (-20,11) (20,11) (20,13) (-20,13)\n"
    ));
    assert_eq!(blocked(&narrow).0, 3, "{:#?}", narrow.remedies);
    for p in narrow.remedies.iter().flat_map(pieces) {
        assert!(
            p.from.y + 0.75 <= 11.0 + 1e-6 || p.from.y - 0.75 >= 13.0 - 1e-6,
            "{p:?}"
        );
    }
    hold(&narrow);
    // As wide as what is free between the housings: nothing is shared there.
    let wide = worked(&format!(
        "{text}device \"DUCT\" (-20,5.5) (20,5.5) (20,18.5) (-20,18.5)\n"
    ));
    for p in wide.remedies.iter().flat_map(pieces) {
        let (low, high) = (p.from.y.min(p.to.y) - 0.75, p.from.y.max(p.to.y) + 0.75);
        assert!(
            high <= 5.5 + 1e-6 || low >= 18.5 - 1e-6 || (p.from.x - p.to.x).abs() < 1e-6,
            "{p:?}"
        );
    }
    hold(&wide);
}

/// The least total over every way to part the lights, without the search.
fn every_parting(count: usize, groups: &[Group], from: usize, before: Option<&Group>) -> Option<Total> {
    if from == count {
        return Some(Total::default());
    }
    let next = groups.iter().filter(|g| g.from == from);
    next.filter_map(|g| {
        let clash = before.is_some_and(|b| !b.none && !g.none && b.extent.1 > g.extent.0 + 1e-6);
        let rest = every_parting(count, groups, g.to, Some(g))?;
        let here = Total::default().and(g, usize::from(clash));
        Some(Total {
            without: here.without + rest.without,
            clashes: here.clashes + rest.clashes,
            cost: here.cost.and(rest.cost),
        })
    })
    .min()
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(200) })]

    #[test]
    fn a_parting_is_the_least_of_all(
        count in 1_usize..8,
        rows in prop::collection::vec((0_usize..7, 1_usize..5, 1_usize..7, 10.0..90.0_f64, -10.0..10.0_f64, -10.0..40.0_f64, any::<bool>()), 0..24),
    ) {
        let group = |from: usize, to: usize, pieces: usize, each: f64, low: f64, long: f64, none: bool| Group {
            from,
            to,
            cost: if none { Cost::default() } else { Cost::of(pieces, each * pieces as f64) },
            extent: (from as f64 * 20.0 + low, to as f64 * 20.0 + low + long),
            none,
            way: Way::Alone,
        };
        let mut groups: Vec<Group> = (0..count).map(|i| group(i, i + 1, 2, 46.5, -8.0, -4.0, false)).collect();
        groups.extend(rows.into_iter().map(|(from, long, n, each, low, over, none)| group(from, from + long, n, each, low, over, none && long == 1))
            .filter(|g| g.to <= count));
        let (total, chosen) = part(count, &groups);
        prop_assert_eq!(Some(total), every_parting(count, &groups, 0, None));
        let ends: Vec<usize> = chosen.iter().map(|g| g.to).collect();
        let starts: Vec<usize> = chosen.iter().map(|g| g.from).collect();
        prop_assert_eq!(starts[0], 0);
        prop_assert_eq!(&starts[1..], &ends[..ends.len() - 1]);
        prop_assert_eq!(ends.last(), Some(&count));
    }

    /// Whether a row of lights hangs from pieces with one light a field, by trying every place for every piece.
    #[test]
    fn a_ladder_has_no_more_pieces_than_any(gaps in prop::collection::vec(16.0..44.0_f64, 1..3)) {
        let mut ys = vec![0.0];
        for gap in gaps {
            ys.push(ys[ys.len() - 1] + (gap / STEP).round() * STEP);
        }
        let rules = Rules::default();
        let points: Vec<(f64, f64)> = ys.iter().map(|y| (0.0, *y)).collect();
        let mut plan = parse(&(joists(&[-24.0, 24.0]) + &lights(&points))).unwrap();
        relate(&mut plan, &rules);
        let wanted: BTreeMap<LightId, Vec<usize>> = (0..ys.len()).map(|i| (LightId(i), vec![])).collect();
        let work = BayWork::new(&plan, &wanted, &rules).unwrap();
        let found = ladders(&work, 0).into_iter().find(|l| l.0 == ys.len());
        // Reach: every piece between two lights serves both.
        let mut reach: Vec<f64> = Vec::new();
        for (i, y) in ys.iter().enumerate() {
            let spot = &work.spots[i];
            // The bars of 14 to 24 in by half inches, seen from a piece.
            let fields = || (0..=20).map(|k| 14.0 + f64::from(k) * STEP);
            let fits = |x: f64, at: f64| spot.fits(y - x - THICKNESS / 2.0, at - THICKNESS / 2.0 - y);
            let begun = |at: f64| fields().any(|w| fits(at - THICKNESS - w, at));
            reach = match ys.get(i + 1) {
                Some(next) => {
                    let steps = (-100..=100).map(|k| (y + next) / 2.0 + f64::from(k) * STEP);
                    let ends = [y + 5.75, next - 5.75, y + 24.75, next - 24.75];
                    let between = steps.chain(ends).filter(|at| at - y >= 5.75 - 1e-9 && next - at >= 5.75 - 1e-9);
                    between.filter(|&at| if i == 0 { begun(at) } else { reach.iter().any(|&x| fits(x, at)) }).collect()
                }
                None => {
                    let closed = |x: f64| fields().map(move |w| x + THICKNESS + w);
                    reach.iter().flat_map(|&x| closed(x).filter(move |&at| fits(x, at))).collect()
                }
            };
        }
        prop_assert_eq!(found.is_some(), !reach.is_empty(), "{:?}", ys);
        if let Some((_, ladder)) = found {
            prop_assert_eq!(ladder.cost.pieces, ys.len() + 1);
            prop_assert_eq!(ladder.cost.lumber, (ys.len() as u64 + 1) * 744);
        }
    }
}

/// A bay of a width, lights in it, some devices; turned, mirrored, shifted.
fn drawn(wide: f64, points: &[(f64, f64)], duct: Option<f64>, turn: (f64, bool, f64)) -> String {
    let (degrees, mirror, by) = turn;
    let (sin, cos) = degrees.to_radians().sin_cos();
    let put = |x: f64, y: f64| {
        let x = if mirror { -x } else { x };
        format!("({},{})", x * cos - y * sin + by, x * sin + y * cos - 3.0 * by)
    };
    let mut text = String::new();
    for x in [-16.0, 0.0, wide + 1.5, wide + 17.5] {
        text += &format!(
            "member joist {} {} t=1 1/2\n",
            put(x - 0.75, -300.0),
            put(x - 0.75, 300.0)
        );
    }
    if let Some(y) = duct {
        let corners = [(4.0, y), (wide - 4.0, y), (wide - 4.0, y + 3.0), (4.0, y + 3.0)];
        text += &format!("device \"DUCT\" {}\n", corners.map(|(x, y)| put(x, y)).join(" "));
    }
    for &(x, y) in points {
        text += &format!("light {}\n", put(x, y));
    }
    text
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(24) })]

    #[test]
    fn sharing_does_not_depend_on_how_the_plan_lies(
        wide in prop::sample::select(vec![30.5, 46.5, 58.5, 70.5]),
        share in 0.2..0.8_f64,
        pitch in 14.0..50.0_f64,
        count in 2_usize..6,
        duct in prop::option::of(-20.0..100.0_f64),
        turn in (prop::sample::select(vec![0.0, 90.0, 180.0, 37.0]), any::<bool>(), prop::sample::select(vec![0.0, 1000.0])),
    ) {
        let x = (share * wide * 16.0).round() / 16.0;
        let points: Vec<(f64, f64)> = (0..count).map(|i| (x, i as f64 * (pitch * 16.0).round() / 16.0)).collect();
        let as_drawn = worked(&drawn(wide, &points, duct, (0.0, false, 0.0)));
        hold(&as_drawn);
        let wide_bays = as_drawn.findings.iter().filter(|f| f.kind == Kind::WideBay).count();
        prop_assert!(blocked(&as_drawn).0 <= 2 * wide_bays);
        let turned = worked(&drawn(wide, &points, duct, turn));
        hold(&turned);
        let ((n, lumber), (turned_n, turned_lumber)) = (blocked(&as_drawn), blocked(&turned));
        prop_assert_eq!(n, turned_n);
        prop_assert!((lumber - turned_lumber).abs() < 0.26, "{} {}", lumber, turned_lumber);
    }
}

#[test]
fn pieces_reach_from_face_to_face_of_members_that_are_not_parallel() {
    // The bay is wider by 2 in over 200 in; the cut is each piece's own, rounded down.
    let text =
        "member joist (-24,-100) (-24,100) t=1 1/2\nmember joist (22,-100) (24,100) t=1 1/2\n".to_string();
    let w = worked(&(text + &lights(&[(0.0, -12.0), (0.0, 12.0)])));
    assert_eq!(blocked(&w).0, 3, "{:#?}", w.remedies);
    for p in w.remedies.iter().flat_map(pieces) {
        let long = (p.to - p.from).magnitude();
        assert!((long - p.cut).abs() < 1e-6 && (p.cut * 16.0).fract() == 0.0);
        let face = |at: Coord| 23.0 + at.y / 100.0 - 0.75;
        let right = if p.from.x > p.to.x { p.from } else { p.to };
        assert!(right.x <= face(right) + 1e-3, "{p:?}");
    }
    hold(&w);
}
