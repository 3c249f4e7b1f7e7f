//! Letters that stand in the symbols of lights (common practice on house plans).

use crate::rules::folded;

/// Of a recessed light, whatever layer the circle is on.
const RECESSED: [&str; 8] = ["R", "RL", "RD", "RC", "REC", "DL", "LED", "CAN"];
/// Of a light where the layer says that it is one: a D by itself may be a dryer or a door, WP a receptacle.
const ON_LIGHT_LAYERS: [&str; 6] = ["D", "L", "LT", "PL", "WP", "TYP"];
/// The aperture behind the letters, inches: R6, DL4.
const SIZES: std::ops::RangeInclusive<u32> = 2..=8;

/// Whether a text is of a recessed light by itself.
pub fn recessed(text: &str) -> bool {
    let (letters, figures) = parted(text);
    let sized = figures.is_empty() || figures.parse().is_ok_and(|n: u32| SIZES.contains(&n));
    sized && RECESSED.contains(&letters.as_str())
}

/// Whether it is of a light on a layer of lights, a number behind it aside.
pub fn of_a_light(text: &str) -> bool {
    let (letters, _) = parted(text);
    RECESSED.contains(&letters.as_str()) || ON_LIGHT_LAYERS.contains(&letters.as_str())
}

/// Letters and the figures behind them.
fn parted(text: &str) -> (String, String) {
    let plain: String = folded(text).chars().filter(|c| c.is_alphanumeric()).collect();
    let letters = plain.trim_end_matches(|c: char| c.is_ascii_digit());
    (letters.to_string(), plain[letters.len()..].to_string())
}

#[cfg(test)]
mod tests {
    use super::{of_a_light, recessed};

    #[test]
    fn letters_of_lights() {
        for text in ["R", "r", "RL", "R6", "DL-4", "LED", " R "] {
            assert!(recessed(text) && of_a_light(text), "{text}");
        }
        for text in ["D", "L", "PL", "WP", "R12", "D1"] {
            assert!(!recessed(text) && of_a_light(text), "{text}");
        }
        for text in ["SD", "3", "S", "J", ""] {
            assert!(!recessed(text) && !of_a_light(text), "{text}");
        }
    }
}
