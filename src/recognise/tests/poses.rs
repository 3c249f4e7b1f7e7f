//! Turned, mirrored, shifted and rescaled, a drawing reads the same.

use geo::Coord;
use proptest::prelude::*;

use super::{Sheet, brief, xy};
use crate::flatten::Prim;
use crate::plan::Plan;
use crate::recognise::shape::{canonical, dot, left_of};

/// An invented plan: two framing fields, doubled members, a header, a room, lights on and between.
fn house() -> Sheet {
    let mut sheet = Sheet::default();
    for k in 0..8 {
        let x = 16.0 * f64::from(k);
        sheet.upright("S-JOIS", x, 1.5, (0.0, 144.0));
        sheet.line("S-JOIS", (x - 0.75, 0.0), (x + 0.75, 0.0));
        let y = 160.0 + 24.0 * f64::from(k);
        sheet.path(
            "S-TRUS",
            &[(0.0, y), (112.0, y), (112.0, y + 1.5), (0.0, y + 1.5)],
            k % 2 == 0,
        );
    }
    sheet.upright("S-JOIS", 33.5, 1.5, (0.0, 144.0));
    sheet.upright("S-JOIS", 64.0, 1.5, (150.0, 158.0));
    sheet.path(
        "S-HDR",
        &[(0.0, 150.0), (112.0, 150.0), (112.0, 153.5), (0.0, 153.5)],
        true,
    );
    sheet.line("S-RAFT", (130.0, 0.0), (180.0, 90.0));
    sheet.path(
        "A-AREA",
        &[(-6.0, -6.0), (118.0, -6.0), (118.0, 148.0), (-6.0, 148.0)],
        true,
    );
    sheet.text("A-AREA", (60.0, 60.0), "DEN");
    for x in [24.0, 56.0, 73.0] {
        sheet.light("LT-R6", (x, 70.0));
        sheet.circle("E-LITE", (x, 250.0), 3.0);
        sheet.circle("E-LITE", (x, 250.0), 2.0);
    }
    sheet.light("LT-R4", (24.3, 70.0));
    sheet
}

#[derive(Clone, Copy, Debug)]
struct Pose {
    turn: f64,
    mirror: bool,
    shift: Coord,
}

impl Pose {
    fn vector(&self, v: Coord) -> Coord {
        let v = if self.mirror { xy(-v.x, v.y) } else { v };
        let (s, c) = self.turn.sin_cos();
        xy(v.x * c - v.y * s, v.x * s + v.y * c)
    }

    fn point(&self, p: Coord) -> Coord {
        self.vector(p) + self.shift
    }

    fn back(&self, p: Coord) -> Coord {
        let (s, c) = self.turn.sin_cos();
        let q = p - self.shift;
        let v = xy(q.x * c + q.y * s, -q.x * s + q.y * c);
        if self.mirror { xy(-v.x, v.y) } else { v }
    }

    fn apply(&self, sheet: &Sheet) -> Sheet {
        let mut posed = sheet.clone();
        for item in &mut posed.flat.items {
            match &mut item.prim {
                Prim::Segment { from, to } => {
                    (*from, *to) = (self.point(*from), self.point(*to));
                }
                Prim::Circle { center, .. } => *center = self.point(*center),
                Prim::Path { vertices, .. } => {
                    for v in vertices {
                        v.at = self.point(v.at);
                    }
                }
                Prim::Text { at, .. } => *at = self.point(*at),
                Prim::Symbol(s) => {
                    s.at = self.point(s.at);
                    (s.x_axis, s.y_axis) = (self.vector(s.x_axis), self.vector(s.y_axis));
                }
                other => panic!("the house holds no {other:?}"),
            }
        }
        posed
    }
}

/// Members brought back to the first pose, each from left to right, sorted.
fn members(plan: &Plan, pose: &Pose) -> Vec<[i64; 6]> {
    let mut found: Vec<_> = plan
        .members
        .iter()
        .map(|m| {
            let mut m = m.clone();
            (m.from, m.to) = (pose.back(m.from), pose.back(m.to));
            let d = m.to - m.from;
            if dot(canonical(d), d) < 0.0 {
                (m.from, m.to) = (m.to, m.from);
            }
            brief(&m)
        })
        .collect();
    found.sort_unstable();
    found
}

/// What each light sees, sides told apart by where they lie in the first pose.
fn lights(plan: &Plan, pose: &Pose) -> Vec<Vec<i64>> {
    let h = |v: f64| {
        if v.is_finite() {
            (v * 1000.0).round() as i64
        } else {
            i64::MAX
        }
    };
    let mut found: Vec<_> = plan
        .lights
        .iter()
        .map(|l| {
            let at = pose.back(l.at);
            let mut seen = vec![h(at.x), h(at.y), l.stacked.len() as i64];
            seen.push(l.schedule.map_or(-1, |s| s as i64));
            seen.push(l.room.map_or(-1, |r| r.0 as i64));
            if let Some(bay) = l.bay {
                let towards = pose.back(l.at + left_of(bay.along)) - at;
                let (a, b) = if dot(canonical(towards), towards) > 0.0 {
                    (bay.left, bay.right)
                } else {
                    (bay.right, bay.left)
                };
                for side in [a, b] {
                    seen.push(h(side.room));
                    seen.push(side.wall.map_or(-1, h));
                }
            }
            seen
        })
        .collect();
    found.sort_unstable();
    found
}

#[test]
fn the_house_reads_as_it_was_drawn() {
    let (plan, _) = house().read();
    // Eight joists of which one doubled, the piece beyond the header, eight trusses, header, rafter.
    assert_eq!(plan.members.len(), 8 + 1 + 8 + 1 + 1 - 1, "{:#?}", plan.members);
    assert_eq!(plan.members.iter().filter(|m| m.plies == 2).count(), 1);
    assert_eq!(plan.lights.len(), 6);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn the_pose_does_not_matter(
        degrees in prop_oneof![0.0..360.0f64, Just(90.0), Just(180.0), Just(270.0), Just(17.0), Just(211.5)],
        mirror: bool,
        far in prop_oneof![Just(0.0), Just(2_000_000.0)],
    ) {
        let rest = Pose { turn: 0.0, mirror: false, shift: xy(0.0, 0.0) };
        let pose = Pose { turn: degrees.to_radians(), mirror, shift: xy(far, -far) };
        let (still, _) = house().read();
        let (posed, _) = pose.apply(&house()).read();
        prop_assert_eq!(members(&posed, &pose), members(&still, &rest));
        prop_assert_eq!(lights(&posed, &pose), lights(&still, &rest));
    }

    #[test]
    fn four_decimals_are_enough(degrees in 0.0..360.0f64) {
        let pose = Pose { turn: degrees.to_radians(), mirror: false, shift: xy(500.0, 700.0) };
        let mut sheet = pose.apply(&house());
        for item in &mut sheet.flat.items {
            let round = |p: Coord| xy((p.x * 1e4).round() / 1e4, (p.y * 1e4).round() / 1e4);
            match &mut item.prim {
                Prim::Segment { from, to } => (*from, *to) = (round(*from), round(*to)),
                Prim::Path { vertices, .. } => vertices.iter_mut().for_each(|v| v.at = round(v.at)),
                _ => {}
            }
        }
        let (rounded, _) = sheet.read();
        let (still, _) = house().read();
        prop_assert_eq!(rounded.members.len(), still.members.len());
        prop_assert_eq!(rounded.lights.len(), still.lights.len());
    }
}
