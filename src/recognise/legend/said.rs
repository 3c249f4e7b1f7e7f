//! What a legend's own words say of the symbol beside them.

use std::sync::LazyLock;

use geo::Coord;

use super::super::devices::at_the_ceiling;
use super::super::shape::dot;
use super::lines::Line;
use super::rows::{Row, seen};
use super::words::tells;
use crate::rules::{Patterns, ReadRules, listed, read_words};

/// Words for lights that are built into a ceiling (trade words; other languages from memory, folded). One of them by
/// itself says it.
const BUILT_IN: &str = "
    DOWNLIGHT DOWNLIGHTS DOWNLITE DOWNLITES CANLIGHT CANLIGHTS POTLIGHT POTLIGHTS POT_LIGHT POT_LIGHTS CAN_LIGHT
    CAN_LIGHTS HIGH_HAT HIGH_HATS HI_HAT HI_HATS HIHAT WAFER_LIGHT WAFER_LIGHTS WALL_WASHER WALL_WASHERS WALLWASHER WALLWASHERS
    SPOT_ENCASTRE SPOTS_ENCASTRES OJO_DE_BUEY *EINBAULEUCHTE *EINBAULEUCHTEN *EINBAUSTRAHLER *EINBAUSPOT *EINBAUSPOTS
    *筒灯* *筒燈* *嵌灯* *嵌燈* *崁燈* *ダウンライト* *埋込灯* *매입등* *다운라이트*";
/// These say so where a word for a light stands beside: a cabinet is recessed too.
const RECESSED: &str = "
    RECESSED RECESS RECSD RCSD CAN CANS CANLESS WAFER EMPOTRADO EMPOTRADA EMPOTRADOS EMPOTRADAS EMPOTRABLE ENCASTRE ENCASTREE EMBUTIDO EMBUTIDA";
const A_LIGHT: &str = "
    LIGHT LIGHTS LIGHTING LITE FIXTURE FIXTURES LUMINAIRE LUMINAIRES LED LAMP EYEBALL GIMBAL WALL_WASH
    LUMINARIA LUMINARIAS LUZ FOCO LAMPARA LUMINAIRE SPOT";
/// Of a light that is none of them.
const ON_THE_CEILING: &str =
    "FLUSH FLUSHMOUNT SEMIFLUSH SEMI_FLUSH CEILING_MOUNT CEILING_MOUNTED HANGING SUSPENDED";
/// What a recessed light is not, though its words stand beside it: the box, the control, the heater.
const NO_LIGHT: &str = "
    BOX BOXES HEATER HEATERS SPEAKER SPEAKERS PANEL PANELS NICHE SHELF SHADE SHADES OUTLET SENSOR SENSORS CONTROL
    CONTROLS CONTROLLED DIMMED LEG CIRCUIT HOMERUN TRANSFORMER CABLE CONDUIT STEP STEPS BOLLARD";
/// Of what hangs at the ceiling elsewhere: a SURFACE SCONCE, a SWITCH for a FAN.
const ON_THE_WALL: &str =
    "WALL SCONCE VANITY SWITCH SWITCHES FLOOR OUTLET RECEPTACLE UNDERCABINET PARED MURALE PAREDE";

/// What words mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Meaning {
    /// A recessed light.
    Recessed,
    /// Something else at the ceiling that lights keep clear of.
    AtTheCeiling,
    /// Something that neither is a recessed light nor takes up room at the ceiling: a switch, a sconce.
    Elsewhere,
}

/// The word lists, made once for all texts.
struct Lists {
    read: ReadRules,
    at_the_ceiling: Patterns,
    built_in: Patterns,
    recessed: Patterns,
    a_light: Patterns,
    on_the_ceiling: Patterns,
    no_light: Patterns,
    on_the_wall: Patterns,
}

static LISTS: LazyLock<Lists> = LazyLock::new(|| Lists {
    read: read_words(),
    at_the_ceiling: at_the_ceiling(),
    built_in: listed(BUILT_IN),
    recessed: listed(RECESSED),
    a_light: listed(A_LIGHT),
    on_the_ceiling: listed(ON_THE_CEILING),
    no_light: listed(NO_LIGHT),
    on_the_wall: listed(ON_THE_WALL),
});

/// What a legend's words mean; `None` where that is not certain: a CEILING LIGHT may be built in or not.
pub fn meaning(words: &str) -> Option<Meaning> {
    let Lists { read, .. } = &*LISTS;
    let fits = |list: &Patterns| list.block_matches(words);
    let no_light = read.lights.block_excluded(words) || fits(&LISTS.no_light);
    let built_in = fits(&LISTS.built_in) || fits(&LISTS.recessed) && fits(&LISTS.a_light);
    if built_in && !no_light && !fits(&LISTS.on_the_ceiling) {
        return match fits(&read.devices) {
            true => None,
            false => Some(Meaning::Recessed),
        };
    }
    let hung = fits(&LISTS.at_the_ceiling) || fits(&LISTS.on_the_ceiling) && fits(&LISTS.a_light);
    if fits(&read.devices) || hung && !fits(&LISTS.on_the_wall) {
        return Some(Meaning::AtTheCeiling);
    }
    (read.lights.block_excluded(words) || fits(&read.ignore)).then_some(Meaning::Elsewhere)
}

/// The words of a row: the text that begins it, and those after it up to the first that is longer than a tag. A text of
/// several lines that stands beside one symbol is taken whole.
pub fn beside(row: &Row, rows: &[Row], lines: &[Line], along: Coord) -> String {
    let first = &lines[row.line];
    let shared =
        (rows.iter()).any(|r| r.symbol != row.symbol && std::ptr::eq(lines[r.line].whole, first.whole));
    if !shared && tells(first.whole) {
        return one_line(first.whole);
    }
    let mut words = one_line(first.text);
    if tells(first.text) {
        return words;
    }
    let (x, y) = seen(first.at, along);
    let mut after: Vec<(f64, &Line)> = (lines.iter())
        .filter(|l| dot(l.along, along) > 0.99)
        .map(|l| (seen(l.at, along), l))
        .filter(|((from, up), _)| *from > x && *from <= row.to && (up - y).abs() <= 0.5 * row.height)
        .map(|((from, _), l)| (from, l))
        .collect();
    after.sort_by(|a, b| a.0.total_cmp(&b.0));
    for (_, line) in after {
        words = format!("{words} {}", one_line(line.text));
        if tells(line.text) {
            break;
        }
    }
    words
}

/// Longest that is repeated in a message, letters.
const LONGEST: usize = 60;

fn one_line(text: &str) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    match line.char_indices().nth(LONGEST) {
        Some((end, _)) => format!("{}…", line[..end].trim_end()),
        None => line,
    }
}

#[cfg(test)]
mod tests {
    use super::{Meaning, meaning};

    #[test]
    fn words_of_legends() {
        for words in [
            "6\" RECESSED DOWNLIGHT",
            "RECESSED CAN LIGHT",
            "A RECESSED LED FIXTURE",
            "RECESSED WALL WASHER",
            "ADJUSTABLE EYEBALL RECESSED LIGHT",
            "4\" LED POT LIGHT",
            "CAN LIGHT, VAPOR PROOF",
            "HI-HAT",
            "4\" CANLESS WAFER LIGHT",
            "RECSD. LED FIXTURE",
            "Luminaria empotrada",
            "Deckeneinbauleuchte",
            "嵌入式筒灯",
            "ダウンライト",
        ] {
            assert_eq!(meaning(words), Some(Meaning::Recessed), "{words}");
        }
        for words in [
            "SMOKE DETECTOR",
            "SMOKE / CARBON MONOXIDE ALARM",
            "EXHAUST FAN",
            "EXHAUST FAN WITH RECESSED LIGHT",
            "CEILING FAN W/ LIGHT",
            "SUPPLY DIFFUSER",
            "SPRINKLER HEAD",
            "PENDANT LIGHT",
            "SURFACE MOUNTED LIGHT FIXTURE",
            "FLUSH MOUNT LIGHT",
            "CHANDELIER",
            "RECESSED SPEAKER",
            "SURF. MTD. LIGHT",
            "SKYLIGHT",
            "ATTIC ACCESS",
        ] {
            assert_eq!(meaning(words), Some(Meaning::AtTheCeiling), "{words}");
        }
        for words in [
            "SINGLE POLE SWITCH",
            "SWITCH FOR RECESSED LIGHT",
            "DUPLEX RECEPTACLE",
            "WALL SCONCE",
            "WALL MOUNTED SURFACE LIGHT",
            "VANITY LIGHT",
            "STEP LIGHT",
            "COACH LIGHT",
            "UNDER CABINET LIGHT",
            "JUNCTION BOX FOR RECESSED LIGHT",
            "THERMOSTAT",
        ] {
            assert_eq!(meaning(words), Some(Meaning::Elsewhere), "{words}");
        }
        // It may be built in or not; or it is nothing known.
        for words in [
            "CEILING LIGHT",
            "LIGHT FIXTURE",
            "RECESSED HEATER",
            "RECESSED NICHE",
            "NEW WORK",
            "TYPE A",
            "PORCELAIN TILE",
            "LINEAR DRAIN",
            "2X4 STUDS",
        ] {
            assert_eq!(meaning(words), None, "{words}");
        }
    }
}
