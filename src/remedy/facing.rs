//! Box facing: which way each housing's junction box is turned.
//!
//! Boxes of a row face one way, so that the cable runs along one side of it; those of two lone rows in a
//! room face each other; a row by a wall faces the roomier side (all common practice). A box is never
//! turned where its housing does not fit.
//!
//! *Gang*: lights joined by the rows they share, under members of one direction. Of a gang's two ways the
//! one is chosen by which, in this order: fewest boxes must face against it, fewest must go hard against a
//! member, the pattern of the room is kept, more room is left at the walls, then at the members. All
//! of it is decided by looking at both ways of every gang, so the choice is exact.

use std::cmp::Ordering;
use std::collections::BTreeMap;

use geo::{Coord, Vector2DOps};
use serde::Serialize;

use crate::check::footprint::{self, Devices};
use crate::plan::{Bay, Light, LightId, Plan, RoomId, Side};
use crate::rules::{Mount, Rules};

/// A side of a light, seen along its members (see [`Bay`]).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Way {
    Left,
    Right,
}

/// Which way one light's junction box faces.
#[derive(Clone, Debug, PartialEq)]
pub struct Facing {
    pub light: LightId,
    pub way: Way,
    /// Unit vector from the aperture centre toward the box.
    pub toward: Coord,
    /// The housing fits this way only with its tabs bent, hard against the member.
    pub hard: bool,
    /// Why this way, in trade words.
    pub why: &'static str,
}

/// A light that hangs between members, and how well it fits either way.
struct Hung<'a> {
    id: LightId,
    light: &'a Light,
    bay: &'a Bay,
    fits: [Fit; 2],
}

/// Best first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    Clear,
    Hard,
    Not,
}

const WAYS: [Way; 2] = [Way::Left, Way::Right];
/// Members of one direction turn by no more than this: sin 3°.
const ONE_DIRECTION: f64 = 0.0523;
/// A row's boxes face across it where the angle between is at least 45°.
const ACROSS: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Room at walls or members that differs by less than this is alike, inches.
const ALIKE: f64 = 0.01;

/// Chooses for every light that hangs from members and fits some way; ordered by light.
pub fn facings(plan: &Plan, rules: &Rules) -> Vec<Facing> {
    let devices = Devices::new(&plan.obstacles);
    let hung: Vec<Hung> = plan
        .lights
        .iter()
        .enumerate()
        .filter_map(|(i, light)| hung(LightId(i), light, &devices, rules))
        .collect();
    let gangs = gangs(plan, &hung);
    let mut facings: Vec<Facing> = gangs
        .iter()
        .enumerate()
        .flat_map(|(i, gang)| face(plan, &hung, &gangs, i, gang))
        .collect();
    facings.sort_by_key(|f| f.light);
    facings
}

fn hung<'a>(id: LightId, light: &'a Light, devices: &Devices, rules: &Rules) -> Option<Hung<'a>> {
    let housing = rules.luminaire(light);
    let bay = light.bay.as_ref()?;
    let hits = bay.left.room.min(bay.right.room) < housing.opening / 2.0;
    if housing.mount == Mount::OldWork || hits || !(bay.along.x + bay.along.y).is_finite() {
        return None;
    }
    let fit = |boxed: &Side, short: &Side| {
        let spare = (boxed.room - housing.box_side).min(short.room - housing.short_side);
        if spare >= 0.0 {
            Fit::Clear
        } else if spare >= -rules.tolerance.tab_gain {
            Fit::Hard
        } else {
            Fit::Not
        }
    };
    let mut fits = [fit(&bay.left, &bay.right), fit(&bay.right, &bay.left)];
    // In a device both ways it has to move first, and then either may do.
    let in_device =
        footprint::hung(light.at, &housing, bay.along).map(|shape| !devices.under(&shape).is_empty());
    if in_device != [true; 2] {
        for (fit, _) in fits.iter_mut().zip(in_device).filter(|(_, clash)| *clash) {
            *fit = Fit::Not;
        }
    }
    (fits != [Fit::Not; 2]).then_some(Hung { id, light, bay, fits })
}

/// Indices into `hung`, joined by shared rows and one direction of members; each sorted, and in order
/// of their first.
fn gangs(plan: &Plan, hung: &[Hung]) -> Vec<Vec<usize>> {
    let place: BTreeMap<LightId, usize> = hung.iter().enumerate().map(|(i, h)| (h.id, i)).collect();
    let mut root: Vec<usize> = (0..hung.len()).collect();
    fn find(root: &[usize], mut i: usize) -> usize {
        while root[i] != i {
            i = root[i];
        }
        i
    }
    for row in &plan.rows {
        let members: Vec<usize> = row.lights.iter().filter_map(|l| place.get(l).copied()).collect();
        for (k, &a) in members.iter().enumerate() {
            for &b in members.iter().skip(k + 1) {
                let turn = hung[a].bay.along.wedge_product(hung[b].bay.along).abs();
                let (low, high) = (
                    find(&root, a).min(find(&root, b)),
                    find(&root, a).max(find(&root, b)),
                );
                if turn <= ONE_DIRECTION && low != high {
                    root[high] = low;
                }
            }
        }
    }
    let mut gangs: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
    for i in 0..hung.len() {
        gangs.entry(find(&root, i)).or_default().push(i);
    }
    gangs.into_values().collect()
}

fn face(plan: &Plan, hung: &[Hung], gangs: &[Vec<usize>], at: usize, gang: &[usize]) -> Vec<Facing> {
    let Some(&first) = gang.first() else {
        return Vec::new();
    };
    let other = facing_row(plan, hung, gangs, at);
    let judge = |way: Way| {
        let toward = toward(&hung[first], way);
        let against = gang
            .iter()
            .filter(|&&i| fit(&hung[i], toward) == Fit::Not)
            .count();
        let hard = gang
            .iter()
            .filter(|&&i| fit(&hung[i], toward) == Fit::Hard)
            .count();
        let turned_away = other.is_some_and(|to| to.dot_product(toward) < 0.0);
        let room = |pick: fn(&Side) -> f64| {
            gang.iter()
                .map(|&i| pick(side(hung[i].bay, way_of(&hung[i], toward))))
                .filter(|r| r.is_finite())
                .fold(0.0, |sum, r| sum + r)
        };
        let walls = room(|s| s.wall.unwrap_or(f64::INFINITY));
        (against, hard, turned_away, walls, room(|s| s.room))
    };
    let [left, right] = WAYS.map(judge);
    let more = |a: f64, b: f64| {
        if (a - b).abs() <= ALIKE {
            Ordering::Equal
        } else {
            b.total_cmp(&a)
        }
    };
    let order = [
        (left.0.cmp(&right.0), "the way most of the row fits"),
        (left.1.cmp(&right.1), "the way the row fits without bent tabs"),
        (left.2.cmp(&right.2), "facing the room's other row"),
        (more(left.3, right.3), "toward the roomier side"),
        (more(left.4, right.4), "toward the wider side of the bay"),
    ];
    let decided = order.iter().find(|(o, _)| *o != Ordering::Equal);
    let (way, why) = match decided {
        Some((Ordering::Greater, why)) => (Way::Right, *why),
        Some((_, why)) => (Way::Left, *why),
        None => (Way::Left, "either way would do; one way in the row"),
    };
    let chosen = toward(&hung[first], way);
    gang.iter()
        .map(|&i| {
            let h = &hung[i];
            let (toward, why) = if fit(h, chosen) == Fit::Not {
                (chosen * -1.0, "against its row, the only way it fits")
            } else {
                (chosen, why)
            };
            let way = way_of(h, toward);
            Facing {
                light: h.id,
                way,
                toward: self::toward(h, way),
                hard: fit(h, toward) == Fit::Hard,
                why,
            }
        })
        .collect()
}

/// Where this gang and one more are the two lone rows of a room, and boxes face across them: the vector
/// to the other row.
fn facing_row(plan: &Plan, hung: &[Hung], gangs: &[Vec<usize>], at: usize) -> Option<Coord> {
    let room_of = |gang: &[usize]| gang.first().and_then(|&i| hung[i].light.room);
    let row_of = |gang: &[usize]| {
        let mut rows = gang.iter().flat_map(|&i| hung[i].light.rows.iter().copied());
        let row = rows.next()?;
        rows.all(|r| r == row).then(|| plan.rows.get(row.0)).flatten()
    };
    let room: RoomId = room_of(gangs.get(at)?)?;
    let in_room: Vec<usize> = (0..gangs.len())
        .filter(|&g| room_of(&gangs[g]) == Some(room))
        .collect();
    let [a, b] = in_room[..] else { return None };
    let (mine, other) = (row_of(&gangs[at])?, row_of(&gangs[if a == at { b } else { a }])?);
    let along = (mine.to - mine.from).try_normalize()?;
    let bars = toward(&hung[*gangs[at].first()?], Way::Left);
    if bars.dot_product(along).abs() > ACROSS {
        return None;
    }
    Some((other.from + other.to - mine.from - mine.to) / 2.0)
}

fn toward(hung: &Hung, way: Way) -> Coord {
    let along = hung.bay.along;
    let left = Coord {
        x: -along.y,
        y: along.x,
    };
    match way {
        Way::Left => left,
        Way::Right => left * -1.0,
    }
}

/// The side of this light that looks toward `v`.
fn way_of(hung: &Hung, v: Coord) -> Way {
    if toward(hung, Way::Left).dot_product(v) >= 0.0 {
        Way::Left
    } else {
        Way::Right
    }
}

fn fit(hung: &Hung, v: Coord) -> Fit {
    hung.fits[way_of(hung, v) as usize]
}

fn side(bay: &Bay, way: Way) -> &Side {
    match way {
        Way::Left => &bay.left,
        Way::Right => &bay.right,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::notation;
    use crate::recognise::relate;

    fn ways(text: &str) -> Vec<(usize, Way, &'static str)> {
        let mut plan = notation::parse(text).unwrap();
        let rules = Rules::default();
        relate(&mut plan, &rules);
        facings(&plan, &rules)
            .iter()
            .map(|f| (f.light.0 + 1, f.way, f.why))
            .collect()
    }

    fn joists(at: &[f64]) -> String {
        at.iter()
            .map(|x| format!("member joist ({x},0) ({x},96)\n"))
            .collect()
    }

    #[test]
    fn a_row_faces_one_way_toward_the_roomier_side() {
        // Members along y: left is toward -x. The row stands nearer to the room's left wall.
        let plan = format!(
            "room \"HALL\" (0,0) (120,0) (120,96) (0,96)\n{}light (14,48)\nlight (46,48)\nlight (78,48)\n",
            joists(&[6.0, 22.0, 38.0, 54.0, 70.0, 86.0, 102.0])
        );
        let ways = ways(&plan);
        assert_eq!(ways.iter().map(|w| w.1).collect::<Vec<_>>(), [Way::Right; 3]);
        assert_eq!(ways[0].2, "toward the roomier side");
    }

    #[test]
    fn a_box_that_does_not_fit_faces_against_its_row() {
        // At the third light a joist stands 5 in to the left: only the short end fits there.
        let plan = format!(
            "room \"HALL\" (0,0) (120,0) (120,96) (0,96)\n{}light (14,48)\nlight (46,48)\nlight (78,48)\n",
            joists(&[6.0, 22.0, 38.0, 54.0, 72.25, 90.0])
        );
        let mut against = ways(&plan);
        against.retain(|w| w.0 == 3);
        assert_eq!(against[0].1, Way::Right, "the joist on its left leaves 5 in");
    }

    #[test]
    fn two_rows_of_a_room_face_each_other() {
        let mut plan = String::from("room \"BED\" (0,0) (192,0) (192,96) (0,96)\n");
        for y in [12.0, 36.0, 60.0, 84.0] {
            plan += &format!("member truss (0,{y}) (192,{y})\n");
        }
        for y in [24.0, 72.0] {
            for x in [36.0, 96.0, 156.0] {
                plan += &format!("light ({x},{y})\n");
            }
        }
        let ways = ways(&plan);
        // Members along x: left is toward +y.
        let expected = [
            Way::Left,
            Way::Left,
            Way::Left,
            Way::Right,
            Way::Right,
            Way::Right,
        ];
        assert_eq!(ways.iter().map(|w| w.1).collect::<Vec<_>>(), expected);
        assert!(ways.iter().all(|w| w.2 == "facing the room's other row"));
    }

    #[test]
    fn a_box_does_not_face_into_a_device() {
        // Members along y, left is toward -x: a device from 5 in left of the light leaves the short end alone.
        let light = format!("{}light (8,48)\n", joists(&[0.0, 16.0]));
        assert_eq!(ways(&light)[0].1, Way::Left);
        let beside = format!("{light}device \"DIFFUSER\" (1,42) (3,42) (3,54) (1,54)\n");
        assert_eq!(ways(&beside)[0].1, Way::Right);
        let over = format!("{light}device \"DIFFUSER\" (2,42) (14,42) (14,54) (2,54)\n");
        assert_eq!(ways(&over)[0].1, Way::Left, "in it both ways: to be moved first");
    }

    #[test]
    fn where_it_fits_no_way_or_hangs_from_nothing_no_way_is_given() {
        let tight = format!("{}light (6,48)\n", joists(&[0.0, 12.0]));
        assert_eq!(ways(&tight), []);
        assert_eq!(ways("light (6,48)\n"), []);
    }
}
