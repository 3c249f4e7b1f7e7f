//! Where a light is to stand, as a tape finds it: from the face of a member and from a wall.
//!
//! A light between members is measured square to them from the nearer member's face, and along them from the nearer wall.
//! Without members about it, from the nearer wall each way. What is not there is left out.

use geo::{Coord, Vector2DOps};

use crate::geom::unit;
use crate::length::feet_inches;
use crate::plan::RoomId;
use crate::plan::{LightId, MemberId, Plan};
use crate::recognise::bays::{Near, bay, wall};
use crate::recognise::room_of;
use crate::rules::Rules;

/// What a tape is held to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Datum {
    /// The face of this member.
    Member(MemberId),
    /// A wall's face as drawn.
    Wall,
}

/// One measure: from the light's centre square to a face.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    pub from: Datum,
    /// Inches.
    pub distance: f64,
    /// Where the tape meets the face.
    pub at: Coord,
}

/// The measures of a light.
#[derive(Clone, Debug, PartialEq)]
pub struct SetOut {
    pub light: LightId,
    /// Where its centre is to stand.
    pub at: Coord,
    /// At most two, square to each other: from a member first.
    pub measures: Vec<Measure>,
}

impl SetOut {
    /// `L3: 6 1/4" from the face of M1, 2' 6" from the wall`; nothing where there is nothing to measure from.
    pub fn words(&self) -> Option<String> {
        let said = |m: &Measure| match m.from {
            Datum::Member(id) => format!("{} from the face of {id}", feet_inches(m.distance)),
            Datum::Wall => format!("{} from the wall", feet_inches(m.distance)),
        };
        let all: Vec<String> = self.measures.iter().map(said).collect();
        (!all.is_empty()).then(|| format!("{}: {}", self.light, all.join(", ")))
    }
}

/// Measures of lights at places they are to stand at.
pub fn set_out(plan: &Plan, places: &[(LightId, Coord)], rules: &Rules) -> Vec<SetOut> {
    let near = Near::new(plan);
    places
        .iter()
        .filter_map(|&(id, at)| {
            let mut light = plan.lights.get(id.0)?.clone();
            light.at = at;
            light.room = room_of(&plan.rooms, at).map(RoomId);
            let mut measures = Vec::new();
            let mut way = None;
            if let Some(bay) = bay(plan, &near, &light, rules) {
                let left = bay.along.left();
                let sides = [(bay.left, left), (bay.right, left * -1.0)];
                measures.extend(nearest(sides.into_iter().filter_map(|(side, d)| {
                    Some(Measure {
                        from: Datum::Member(side.member?),
                        distance: side.room,
                        at: at + d * side.room,
                    })
                })));
                way = Some(bay.along);
            }
            let walls = |d: Coord| {
                let each = [d, d * -1.0].into_iter().filter_map(|d| {
                    let distance = wall(plan, &near, &light, d)?;
                    Some(Measure {
                        from: Datum::Wall,
                        distance,
                        at: at + d * distance,
                    })
                });
                nearest(each)
            };
            let room = light.room.and_then(|r| plan.rooms.get(r.0)).map(|r| r.axis);
            let along = way.or(room).or(plan.axis).and_then(unit)?;
            measures.extend(walls(along));
            if measures.first().is_none_or(|m| m.from == Datum::Wall) {
                measures.extend(walls(along.left()));
            }
            Some(SetOut {
                light: id,
                at,
                measures,
            })
        })
        .collect()
}

/// The shortest that is one; of equals the first.
fn nearest(measures: impl Iterator<Item = Measure>) -> Option<Measure> {
    let sound = measures.filter(|m| m.distance.is_finite() && m.distance > 0.0);
    sound.min_by(|a, b| a.distance.total_cmp(&b.distance))
}

#[cfg(test)]
mod tests {
    use approx::assert_abs_diff_eq;

    use super::*;
    use crate::plan::notation::parse;
    use crate::recognise::relate;

    fn measured(text: &str, at: (f64, f64)) -> Vec<(Datum, f64, Coord)> {
        let rules = Rules::default();
        let mut plan = parse(text).unwrap();
        relate(&mut plan, &rules);
        let at = Coord { x: at.0, y: at.1 };
        let all = set_out(&plan, &[(LightId(0), at)], &rules);
        assert_eq!((all.len(), all[0].light, all[0].at), (1, LightId(0), at));
        all[0]
            .measures
            .iter()
            .map(|m| (m.from, m.distance, m.at))
            .collect()
    }

    #[test]
    fn between_joists_from_the_nearer_face_and_the_nearer_wall() {
        // Joists 1 1/2 thick at 40 and 56: the left one's face is at 40 3/4.
        let text = "room (0,0) (120,0) (120,96) (0,96)\nlight (48,48)\n\
             member joist (40,-4) (40,100) t=1.5\nmember joist (56,-4) (56,100) t=1.5";
        let all = measured(text, (47.0, 30.0));
        assert_eq!(all[0].0, Datum::Member(MemberId(0)));
        assert_abs_diff_eq!(all[0].1, 6.25, epsilon = 1e-9);
        assert_abs_diff_eq!(all[0].2.x, 40.75, epsilon = 1e-9);
        assert_eq!((all[1].0, all[1].1), (Datum::Wall, 30.0));
        assert_abs_diff_eq!(all[1].2.y, 0.0, epsilon = 1e-9);
        assert_eq!(all.len(), 2);
    }

    #[test]
    fn without_framing_from_two_walls() {
        let all = measured("room (0,0) (120,0) (120,96) (0,96)\nlight (48,48)", (100.0, 90.0));
        assert_eq!(
            all.iter().map(|m| (m.0, m.1)).collect::<Vec<_>>(),
            [(Datum::Wall, 20.0), (Datum::Wall, 6.0)]
        );
    }

    #[test]
    fn with_nothing_about_there_is_nothing_to_measure_from() {
        assert_eq!(measured("axis (1,0)\nlight (48,48)", (48.0, 48.0)), []);
    }
}
