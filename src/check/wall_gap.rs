//! `wall-gap`: the end light of a row too far from the wall it faces, or too near.
//!
//! Half a space at each end keeps the row even to the eye and the wall lit.

use geo::Coord;

use super::spacing::greatest;
use super::work::{Work, direction};
use super::{EPSILON, Finding, Kind};
use crate::length::feet_inches;
use crate::plan::Room;
use crate::rules::Rules;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    for (id, row) in work.rows() {
        let Some(d) = direction(row) else { continue };
        let ends = [
            (row.lights.first(), row.from, d * -1.0),
            (row.lights.last(), row.to, d),
        ];
        for (light, foot, outward) in ends {
            let Some(&light) = light else { continue };
            let Some(at) = work.plan.lights.get(light.0).map(|l| l.at) else {
                continue;
            };
            let room = row.room.and_then(|r| work.plan.rooms.get(r.0));
            let Some(rule) = greatest(work, light, row.room) else {
                continue;
            };
            let Some((gap, limit)) = at_end(&work.plan.walls, room, (foot, outward), rule, work.rules) else {
                continue;
            };
            let word = if gap > limit { "at most" } else { "at least" };
            let message = work.say(|| {
                format!(
                    "{light} at the end of row {id} stands {} from the wall it faces; keep {word} {}.",
                    feet_inches(gap),
                    feet_inches(limit)
                )
            });
            findings.push(Finding {
                lights: vec![light],
                row: Some(id),
                room: row.room,
                ..Finding::new(Kind::WallGap, at, gap, limit, message)
            });
        }
    }
}

/// Distance from the wall that a row's end faces, and the limit that it is past; `None` where it keeps within them.
/// `rule`: the greatest spacing for the light there, inches.
pub fn at_end(
    walls: &[(Coord, Coord)],
    room: Option<&Room>,
    (foot, outward): (Coord, Coord),
    rule: f64,
    rules: &Rules,
) -> Option<(f64, f64)> {
    let gap = to_wall(walls, room, foot, outward)?;
    let (least, most) = (rules.walls.least, rule / 2.0 + rules.walls.slack);
    if gap > most + EPSILON {
        Some((gap, most))
    } else if gap < least - EPSILON {
        Some((gap, least))
    } else {
        None
    }
}

/// Distance from the row's end along its line to the room's outline. Where that was taken from the walls it
/// closes doors and other openings, and a wall that stands in the room is nearer; in no room the first wall counts.
fn to_wall(walls: &[(Coord, Coord)], room: Option<&Room>, foot: Coord, outward: Coord) -> Option<f64> {
    let ring = room.into_iter().flat_map(|r| {
        let next = r.outline.iter().cycle().skip(1);
        r.outline.iter().zip(next).map(|(a, b)| (*a, *b))
    });
    let walls: &[(Coord, Coord)] = match room {
        Some(room) if room.drawn => &[],
        _ => walls,
    };
    ring.chain(walls.iter().copied())
        .filter_map(|(a, b)| cast(foot, outward, a, b))
        .reduce(f64::min)
}

/// How far a ray from `foot` along the unit vector `outward` runs to the segment `a`–`b`.
fn cast(foot: Coord, outward: Coord, a: Coord, b: Coord) -> Option<f64> {
    let cross = |p: Coord, q: Coord| p.x * q.y - p.y * q.x;
    let wall = b - a;
    let slope = cross(outward, wall);
    let far = cross(a - foot, wall) / slope;
    // Where along the wall it is met, in inches, so that a corner counts however long the wall.
    let long = wall.x.hypot(wall.y);
    let met = cross(a - foot, outward) / slope * long;
    // A wall parallel to the row gives no number here, and is not faced.
    (far >= -EPSILON && met >= -EPSILON && met <= long + EPSILON && far.is_finite()).then_some(far.max(0.0))
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{check_of, only};
    use crate::plan::LightId;

    /// Three lights on x = 0, 48, 96; walls at `left` and `right` of the ends.
    fn row(left: f64, right: f64, room: bool) -> String {
        let (x0, x1) = (-left, 96.0 + right);
        let (walls, in_room) = if room {
            (
                format!("room ({x0},-20) ({x1},-20) ({x1},20) ({x0},20)"),
                "room=R1",
            )
        } else {
            (
                format!("wall ({x0},-20) ({x0},20)\nwall ({x1},20) ({x1},-20)\nwall (500,-20) (500,20)"),
                "",
            )
        };
        format!(
            "{walls}\nlight (0,0)\nlight (48,0)\nlight (96,0)\n\
             row lights=L1,L2,L3 {in_room} (0,0) (96,0) offsets=0,0,0 stations=0,48,96 pitch=48 along=0,0,0"
        )
    }

    #[test]
    fn half_the_spacing_and_six_inches() {
        // Half of 6 ft for a 6 in housing, and 6 in of slack (common practice): 42 in.
        for room in [true, false] {
            let f = only(&row(43.0, 24.0, room), Kind::WallGap);
            assert_eq!((f.measured, f.limit, f.lights[0]), (43.0, 42.0, LightId(0)));
            let f = only(&row(24.0, 43.5, room), Kind::WallGap);
            assert_eq!((f.measured, f.limit, f.lights[0]), (43.5, 42.0, LightId(2)));
            assert!(check_of(&row(42.0, 12.0, room), Kind::WallGap).is_empty());
        }
    }

    #[test]
    fn nearer_than_a_foot() {
        let f = only(&row(11.0, 24.0, true), Kind::WallGap);
        assert_eq!((f.measured, f.limit), (11.0, 12.0));
    }

    /// The room of [`row`], taken from walls that have a door opposite the left end, and a further room behind it.
    fn beside_a_door(left: f64, right: f64, drawn: bool, more: &str) -> String {
        let (x0, x1) = (-left, 96.0 + right);
        let kind = if drawn { "" } else { "inferred " };
        let rest = row(left, right, true);
        let rest = rest.split_once("\nlight").map(|(_, r)| r).unwrap_or_default();
        format!(
            "room {kind}({x0},-20) ({x1},-20) ({x1},20) ({x0},20)\n\
             wall ({x0},-20) ({x0},-16)\nwall ({x0},16) ({x0},20)\nwall ({x1},20) ({x1},-20)\n\
             wall ({x0},20) ({x1},20)\nwall ({x0},-20) ({x1},-20)\nwall (-300,-20) (-300,20)\n{more}light{rest}"
        )
    }

    #[test]
    fn a_door_that_the_room_closes_is_not_looked_through() {
        assert!(check_of(&beside_a_door(36.0, 24.0, false, ""), Kind::WallGap).is_empty());
        let f = only(&beside_a_door(43.0, 24.0, false, ""), Kind::WallGap);
        assert_eq!((f.measured, f.limit, f.lights[0]), (43.0, 42.0, LightId(0)));
    }

    #[test]
    fn a_room_from_walls_is_judged_as_one_that_is_drawn() {
        for left in [6.0, 11.0, 12.0, 30.0, 42.0, 42.5, 90.0] {
            for right in [8.0, 12.0, 41.0, 44.0] {
                let [drawn, inferred] = [true, false].map(|drawn| {
                    let found = check_of(&beside_a_door(left, right, drawn, ""), Kind::WallGap);
                    let said = found
                        .into_iter()
                        .map(|f| (f.lights, f.measured, f.limit, f.message));
                    said.collect::<Vec<_>>()
                });
                assert_eq!(drawn, inferred, "{left} {right}");
                let off = |d: f64| usize::from(!(12.0..=42.0).contains(&d));
                assert_eq!(drawn.len(), off(left) + off(right));
            }
        }
    }

    #[test]
    fn a_wall_that_stands_in_a_room_from_walls_is_faced() {
        let pier = "wall (-8,-6) (-8,6)\n";
        let f = only(&beside_a_door(36.0, 24.0, false, pier), Kind::WallGap);
        assert_eq!((f.measured, f.limit), (8.0, 12.0));
    }

    #[test]
    fn no_wall_no_finding() {
        let walls = "wall (-20,50) (200,50)";
        let lights = row(1.0, 1.0, false)
            .split_once("light")
            .map(|(_, l)| format!("{walls}\nlight{l}"))
            .unwrap();
        assert!(check_of(&lights, Kind::WallGap).is_empty());
    }
}
