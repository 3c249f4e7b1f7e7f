//! Words for directions and places on the sheet.

use geo::{Coord, Vector2DOps};

use crate::length::feet_inches;
use crate::plan::LightId;

/// Within this of an axis a direction is named after it: sin 1°.
const NEARLY: f64 = 0.01745;

/// `toward +x (right on the sheet)`, or the angle where it is along no axis.
pub fn toward(way: Coord) -> String {
    let length = way.magnitude();
    if way.y.abs() <= NEARLY * length {
        let (sign, word) = if way.x >= 0.0 {
            ('+', "right")
        } else {
            ('-', "left")
        };
        format!("toward {sign}x ({word} on the sheet)")
    } else if way.x.abs() <= NEARLY * length {
        let (sign, word) = if way.y >= 0.0 { ('+', "up") } else { ('-', "down") };
        format!("toward {sign}y ({word} on the sheet)")
    } else {
        let degrees = way.y.atan2(way.x).to_degrees().rem_euclid(360.0);
        let upright = if way.y > 0.0 { "up" } else { "down" };
        let level = if way.x > 0.0 { "right" } else { "left" };
        format!("toward {degrees:.1}° ({upright} and to the {level} on the sheet)")
    }
}

/// `x 12' 3 1/2", y 8' 0"`.
pub fn place(at: Coord) -> String {
    format!("x {}, y {}", feet_inches(at.x), feet_inches(at.y))
}

/// `L1`, `L1 and L2`, `L1, L2 and L3`; of more than four the first and the last.
pub fn names(lights: &[LightId]) -> String {
    match lights {
        [] => String::new(),
        [one] => one.to_string(),
        [first, .., last] if lights.len() > 4 => format!("{first} to {last}, {} lights,", lights.len()),
        [head @ .., last] => {
            let head: Vec<String> = head.iter().map(ToString::to_string).collect();
            format!("{} and {last}", head.join(", "))
        }
    }
}
