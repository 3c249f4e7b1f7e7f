//! What the words of a schedule's line say that a fixture is.

use crate::rules::{Means, listed};

use super::super::legend::{Meaning, meaning};

/// What a line's words say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Recessed,
    Other(Means),
    /// They name a recessed light and another: a DOWNLIGHT may hang on a stem.
    Both,
    Unknown,
}

/// Words of a description that make a light a recessed one.
const RECESSED: [&str; 15] = [
    "RECESSED",
    "RECESS",
    "RECSD",
    "RCSD",
    "EMPOTRADO",
    "EMPOTRADA",
    "EMPOTRABLE",
    "EMBUTIDO",
    "EMBUTIDA",
    "EINBAULEUCHTE",
    "EINBAUSTRAHLER",
    "EINBAUDOWNLIGHT",
    "ENCASTRE",
    "ENCASTREE",
    "POTLIGHT",
];
/// These do where nothing says otherwise.
const USUALLY: [&str; 5] = ["DOWNLIGHT", "DOWNLIGHTS", "CAN", "筒灯", "ダウンライト"];
/// Fixtures at the ceiling that are no recessed lights (trade words; other languages from memory).
const AT_THE_CEILING: &str = "
    PENDANT PENDANTS PEND CHANDELIER CHANDELIERS CHAND FAN FANS TRACK FLUORESCENT TROFFER TROFFERS STRIP SURFACE SURF
    FLUSH_MOUNT FLUSH_MOUNTED FLUSHMOUNT SEMI_FLUSH SEMIFLUSH CEILING_MOUNT CEILING_MOUNTED CEILING_MTD CLG_MOUNT
    CLG_MOUNTED CLG_MTD HANGING SUSPENDED KEYLESS LAMPHOLDER WRAPAROUND WRAP LINEAR CYLINDER EXIT_SIGN SMOKE_DETECTOR
    COLGANTE PENDENTE SUSPENSION LUSTRE PLAFON PLAFONNIER VENTILADOR *PENDELLEUCHTE *HANGELEUCHTE KRONLEUCHTER
    AUFBAULEUCHTE ANBAULEUCHTE *吊灯* *吊燈* *吸顶灯* *ペンダント* *シャンデリア* *シーリングライト* *펜던트*";
/// Fixtures on walls, under cabinets and on the floor (likewise).
const ELSEWHERE: &str = "
    SCONCE SCONCES WALL_MOUNT WALL_MOUNTED WALL_MTD WALL_LIGHT WALL_BRACKET WALL_LANTERN VANITY BATH_BAR UNDER_CABINET
    UNDERCABINET UNDER_CAB UNDERCAB UCL COACH_LIGHT STEP_LIGHT STEP_LIGHTS BOLLARD BOLLARDS LANDSCAPE UPLIGHT COVE TOE_KICK
    TOEKICK PICTURE_LIGHT PUCK PUCK_LIGHT PUCK_LIGHTS NIGHT_LIGHT APLIQUE ARANDELA APPLIQUE *WANDLEUCHTE *壁灯* *壁燈*
    *ブラケット* *벽등*";

/// Whether folded words speak of a recessed light.
pub fn recessed(words: &str) -> bool {
    said(words, &RECESSED) || said(words, &USUALLY)
}

fn said(words: &str, list: &[&str]) -> bool {
    let mut each = words.split(|c: char| !c.is_alphanumeric());
    each.any(|w| list.contains(&w)) || list.iter().any(|r| !r.is_ascii() && words.contains(r))
}

/// What a line's folded words say.
pub fn kind(words: &str) -> Kind {
    let other = if listed(ELSEWHERE).block_matches(words) {
        Some(Means::Elsewhere)
    } else if listed(AT_THE_CEILING).block_matches(words) {
        Some(Means::AtTheCeiling)
    } else {
        None
    };
    match other {
        _ if said(words, &RECESSED) => Kind::Recessed,
        Some(_) if said(words, &USUALLY) => Kind::Both,
        Some(means) => Kind::Other(means),
        None if said(words, &USUALLY) || meaning(words) == Some(Meaning::Recessed) => Kind::Recessed,
        None => Kind::Unknown,
    }
}

#[cfg(test)]
mod tests {
    use super::{Kind, kind};
    use crate::rules::Means;

    #[test]
    fn words_of_schedules() {
        for (words, is) in [
            ("6\" RECESSED LED DOWNLIGHT", Kind::Recessed),
            ("RECESSED WALL WASH, SURFACE TRIM", Kind::Recessed),
            ("4\" CANLESS WAFER LIGHT", Kind::Recessed),
            ("PENDANT, BY OWNER 3", Kind::Other(Means::AtTheCeiling)),
            ("SURFACE MOUNTED LED", Kind::Other(Means::AtTheCeiling)),
            ("52\" CEILING FAN W/ LIGHT", Kind::Other(Means::AtTheCeiling)),
            ("WALL SCONCE", Kind::Other(Means::Elsewhere)),
            ("SURFACE MOUNTED WALL SCONCE", Kind::Other(Means::Elsewhere)),
            ("UNDER CABINET LED STRIP", Kind::Other(Means::Elsewhere)),
            ("PENDANT DOWNLIGHT", Kind::Both),
            // What a light has beside itself says nothing of it.
            ("LED WITH EMERGENCY BATTERY, SHOWER RATED", Kind::Unknown),
            ("LED", Kind::Unknown),
        ] {
            assert_eq!(kind(words), is, "{words}");
        }
    }
}
