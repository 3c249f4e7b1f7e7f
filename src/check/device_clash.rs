//! `device-clash`: the housing would stand in a diffuser, alarm, sprinkler, fan or access panel.
//!
//! Where the bay is known the housing is a rectangle along its bars, tried both ways round; else it
//! is the round body alone, so that nothing is said that a turn of the housing could mend.

use geo::Coord;

use super::footprint::{Devices, Footprint, hung, round};
use super::work::Work;
use super::{Finding, Kind};
use crate::length::feet_inches;
use crate::plan::Obstacle;
use crate::rules::Luminaire;

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    let obstacles = &work.plan.obstacles;
    if obstacles.is_empty() {
        return;
    }
    let mut along: Vec<Option<Coord>> = vec![None; work.plan.lights.len()];
    for h in work.hung() {
        along[h.id.0] = Some(h.bay.along);
    }
    for (id, light, housing, _) in work.lights() {
        for (obstacle, depth) in in_the_way(work.devices(), light.at, housing, along[id.0]) {
            let Some(obstacle) = obstacles.get(obstacle) else {
                continue;
            };
            let message = work.say(|| {
                format!(
                    "The housing of {id} stands {} into {}: move one of the two.",
                    feet_inches(depth),
                    called(obstacle)
                )
            });
            findings.push(Finding {
                lights: vec![id],
                room: light.room,
                ..Finding::new(Kind::DeviceClash, light.at, depth, 0.0, message)
            });
        }
    }
}

/// The devices that a housing at a place stands in, and how far it has to move out of each. `along` is the
/// direction of the members it hangs between, where it does.
pub fn in_the_way(
    devices: &Devices,
    at: Coord,
    housing: &Luminaire,
    along: Option<Coord>,
) -> Vec<(usize, f64)> {
    match along {
        Some(along) => clear_one_way(devices, &hung(at, housing, along)),
        None => devices.under(&round(at, housing)),
    }
}

/// The devices in the way of the better way round; none where one way is clear of all.
fn clear_one_way(devices: &Devices, ways: &[Footprint; 2]) -> Vec<(usize, f64)> {
    let [left, right] = ways.each_ref().map(|shape| devices.under(shape));
    let deepest = |found: &[(usize, f64)]| found.iter().map(|f| f.1).fold(0.0, f64::max);
    if deepest(&right) < deepest(&left) {
        right
    } else {
        left
    }
}

/// `the device DIFFUSER`. A name comes from the drawing: what is no letter of a sentence is left out.
fn called(obstacle: &Obstacle) -> String {
    let name: String = obstacle
        .name
        .chars()
        .filter(|c| !c.is_control() && *c != '?')
        .collect();
    match name.trim() {
        "" => "a device".to_string(),
        name => format!("the device {name}"),
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::{bay, check_of, check_with, old_work, only, only_with};

    /// A 12 in square device with its lower left corner there.
    fn square(x: f64, y: f64) -> String {
        format!(
            "device \"DIFFUSER\" ({x},{y}) ({},{y}) ({0},{}) ({x},{1})\n",
            x + 12.0,
            y + 12.0
        )
    }

    #[test]
    fn a_housing_whose_bay_is_known_is_a_rectangle() {
        // Default housing: half_width 4 1/2 along the joists (y): 48 to 52.5. A device from 52 on.
        let plan = |y: f64| format!("{}\n{}", bay(7.25, 7.25), square(-6.0, y));
        let f = only(&plan(52.0), Kind::DeviceClash);
        assert_eq!((f.measured, f.limit), (0.5, 0.0));
        assert!(f.message.contains("DIFFUSER"), "{}", f.message);
        assert!(check_of(&plan(52.5), Kind::DeviceClash).is_empty());
    }

    #[test]
    fn what_a_turn_of_the_housing_mends_is_no_clash() {
        // 4 1/2 on the short side, 6 1/2 on the box side: a device 5 in to the left is clear of one.
        let plan = |x: f64| format!("{}\n{}", bay(7.25, 7.25), square(x - 12.0, 42.0));
        assert!(check_of(&plan(-5.0), Kind::DeviceClash).is_empty());
        assert_eq!(only(&plan(-4.25), Kind::DeviceClash).measured, 0.25);
    }

    #[test]
    fn without_framing_only_the_body_counts() {
        // Body 6 3/4: 3 3/8 from the centre.
        let plan = |x: f64| format!("light (0,0)\n{}", square(x, -6.0));
        assert_eq!(only(&plan(3.0), Kind::DeviceClash).measured, 0.375);
        assert!(check_of(&plan(3.375), Kind::DeviceClash).is_empty());
        // Corner to disc: 2.4 and 2.4 is 3.394 away, clear; 2.3 and 2.3 is not.
        let corner = |c: f64| format!("light (0,0)\n{}", square(c, c));
        assert!(check_of(&corner(2.4), Kind::DeviceClash).is_empty());
        let f = only(&corner(2.3), Kind::DeviceClash);
        assert!((f.measured - (3.375 - 2.3 * 2f64.sqrt())).abs() < 1e-9, "{f:?}");
    }

    #[test]
    fn old_work_is_the_opening_and_its_clips() {
        // Opening 6 3/8, clips 1/2: 3 11/16 from the centre.
        let plan = |x: f64| format!("{}\n{}", bay(7.25, 7.25), square(x, 42.0));
        assert!(check_with(&plan(3.75), &old_work(), Kind::DeviceClash).is_empty());
        let f = only_with(&plan(3.5), &old_work(), Kind::DeviceClash);
        assert!((f.measured - 0.1875).abs() < 1e-9, "{f:?}");
    }

    #[test]
    fn a_light_in_the_middle_of_a_device_clashes_with_it_alone() {
        let plan = format!("light (0,0)\n{}{}", square(-6.0, -6.0), square(40.0, 40.0));
        assert_eq!(only(&plan, Kind::DeviceClash).measured, 6.0 + 3.375);
    }
}
