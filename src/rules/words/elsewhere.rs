//! Words that say of what is called a light, a wall, framing or a room that it is something else: POOL LIGHTS, WALL OVEN,
//! JOIST HANGERS, AREA RUG. Common practice; EXTR, FLUR, OTLN, PRHT from memory of the US National CAD Standard.
//!
//! Layers that only these words keep out are told of, unlike those of notes, switches or dimensions.

use super::{
    FRAMING_LAYERS, ISO_LIGHTS, ISO_WALLS, LIGHT_LAYERS, ROOM_LAYERS, WALL_LAYERS, WRITING, entries, others,
};
use crate::rules::Patterns;

/// Lights that are not recessed into this ceiling.
const LIGHTS: &str = "
    UNDERCABINET UNDER_CABINET UNDERCAB UNDER_CAB UC CABINET CABINETS POOL POOLS SPA HOT_TUB EXTERIOR EXTR OUTDOOR
    TRACK TRACKS COVE COVES EMERGENCY POLES FLUR FLUORESCENT OTLN PENDANT PENDANTS CHANDELIER CHANDELIERS SCONCE
    SCONCES VANITY VANITIES BATH_BAR STEP STEPS TOE_KICK TOEKICK BOLLARD BOLLARDS FLOOD FLOODS SURFACE FLUSH STRIP
    STRIPS TAPE ROPE LINEAR PICTURE DECORATIVE GARDEN YARD PATH PATHWAY FACADE SIGN SIGNS SIGNAGE FLAG WALL_SCONCE PUCK
    PUCKS NIGHT SECURITY FAN_LIGHT FAN_LIGHTS FAN_LITE FAN_LTS KIT KITS CTRL CTRLS SENSOR SENSORS SPKR SPKRS SPEAKER SPEAKERS
    CAN_WASH";
/// Lights that are not recessed, in names without a word for a light.
const LIGHTS_ALONE: &str =
    "SCONCE SCONCES UCL UPLIGHT UPLIGHTS LED_STRIP LED_STRIPS LED_TAPE STRIP_LED TAPE_LED";
/// Those that other entries keep out already, told of likewise.
const LIGHTS_BEFORE: &str = "WALL EMER EXIT SITE LANDSCAPE POLE STREET FLOR ROOF";

/// What is at, on or in walls, marks over them (where they are braced), and walls that do not reach the ceiling.
const WALLS: &str = "
    CAB CABS CASE CASEWORK MILLWORK OVEN OVENS MARK MARKS SECTION SECTIONS FINISH FINISHES BASE COVERING PAPER PONY KNEE
    HALF LOW SHOWER PARAPET BRACKET BRACKETS UNIT_HEATER HUNG MOUNTED SHEAR BRACED BRACING INSULATION INSUL BLOCKING
    SHEATHING SHTG HOLDOWN HOLDOWNS HEIGHT HEIGHTS STEM CRIPPLE PRHT";

/// What holds members, or marks them.
const FRAMING: &str = "
    HANGER HANGERS BEARING POCKET POCKETS TAIL TAILS SYMBOL SYMBOLS MARK MARKS SECTION SECTIONS DUCT DUCTS PIPE PIPES
    STRAP STRAPS CLIP CLIPS CONNECTOR CONNECTORS HOLDOWN HOLDOWNS SCHEDULE ANCHOR ANCHORS SEAT SEATS DIRECTION ARROW
    ARROWS SPAN SPANS CALLOUT CALLOUTS PENETRATION PENETRATIONS HOLE HOLES BRACING BRACES";

/// What stands in rooms, or marks them.
const ROOMS: &str = "
    NUMBER NUMBERS RUG RUGS DRAIN DRAINS WORK EQUIP EQUIPMENT EQPM MARK MARKS ELEVATION ELEVATIONS FIXTURE FIXTURES
    FINISH FINISHES SIGN SIGNS SIGNAGE SCHEDULE DIVIDER DIVIDERS HEATER HEATERS";

pub fn lights() -> String {
    barring(LIGHTS)
}

pub fn walls() -> String {
    barring(WALLS)
}

pub fn framing() -> String {
    barring(FRAMING)
}

pub fn rooms() -> String {
    barring(ROOMS)
}

fn barring(words: &str) -> String {
    words.split_whitespace().map(|w| format!("!{w} ")).collect()
}

/// What only these words keep out of a class.
pub struct Elsewhere {
    pub lights: KeptOut,
    pub walls: KeptOut,
    pub framing: KeptOut,
    pub rooms: KeptOut,
}

pub struct KeptOut {
    /// The class's words without those that keep out.
    class: Patterns,
    words: Patterns,
    /// What says so without a word of the class.
    alone: Patterns,
}

impl KeptOut {
    /// The word that keeps a layer out of the class, where it is of it else.
    pub fn by<'a>(&'a self, layer: &str) -> Option<&'a str> {
        let kept = (self.words.layer_reason(layer)).filter(|_| self.class.layer_matches(layer));
        kept.or_else(|| self.alone.layer_reason(layer))
    }
}

impl Elsewhere {
    /// Whether a word leaves no doubt that a light is not recessed into the ceiling of a room.
    pub fn plain(word: &str) -> bool {
        let word = word.replace(' ', "_");
        let mut all = LIGHTS_BEFORE
            .split_whitespace()
            .chain(LIGHTS_ALONE.split_whitespace());
        all.any(|w| w == word)
    }
}

impl Default for Elsewhere {
    fn default() -> Self {
        let kept_out = |class: &[&str], words: &[&str], alone: &str| {
            let layers = |lists: &[&str], out: &[&str]| Patterns {
                layers: entries(lists, out),
                ..Patterns::default()
            };
            let words = layers(words, &[]);
            let mut class = layers(class, &[WRITING, others::WRITING]);
            class.layers.retain(|entry| {
                let barred = entry.strip_prefix('!');
                let ours = |b: &str| {
                    words
                        .layers
                        .iter()
                        .any(|w| w == b || b.split(' ').any(|part| part == w))
                };
                !barred.is_some_and(ours)
            });
            let alone = layers(&[alone], &[WRITING, others::WRITING]);
            KeptOut { class, words, alone }
        };
        Elsewhere {
            lights: kept_out(
                &[LIGHT_LAYERS, ISO_LIGHTS, others::LIGHT_LAYERS],
                &[LIGHTS, LIGHTS_BEFORE],
                LIGHTS_ALONE,
            ),
            walls: kept_out(&[WALL_LAYERS, ISO_WALLS, others::WALL_LAYERS], &[WALLS], ""),
            framing: kept_out(&[FRAMING_LAYERS, others::FRAMING], &[FRAMING], ""),
            rooms: kept_out(&[ROOM_LAYERS, others::ROOM_LAYERS], &[ROOMS], ""),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::Rules;

    #[test]
    fn layers_of_other_things_are_of_no_class_and_told() {
        let (read, elsewhere) = (Rules::default().read, Elsewhere::default());
        for name in [
            "UNDERCABINET LIGHTING",
            "UC LIGHTS",
            "POOL LIGHTS",
            "EXTERIOR LIGHTS",
            "E-LITE-EXTR",
            "TRACK LIGHTS",
            "COVE LIGHTING",
            "EMERGENCY LIGHTING",
            "LIGHT POLES",
            "E-LITE-FLUR",
            "E-LITE-OTLN",
            "E-LITE-EMER",
            "SITE LIGHTING",
            "PENDANT LIGHTS",
            "PUCK LIGHTS",
            "NIGHT LIGHTS",
            "SECURITY LIGHTS",
            "FAN LIGHTS",
            "SCONCES",
            "UCL",
            "LED TAPE",
            "E-LED-STRIP",
            "UPLIGHTS",
        ] {
            assert!(
                !read.lights.layer_matches(name) && elsewhere.lights.by(name).is_some(),
                "{name}"
            );
        }
        for name in [
            "WALL CAB",
            "A-CASE-WALL",
            "WALL OVEN",
            "WALL SECTION MARKS",
            "WALL FINISH",
            "PONY WALL",
            "HALF WALL",
            "LOW WALL",
            "SHOWER WALL GLASS",
            "SHEAR WALLS",
            "BRACED WALL LINES",
            "WALL INSULATION",
        ] {
            assert!(
                !read.walls.layer_matches(name) && elsewhere.walls.by(name).is_some(),
                "{name}"
            );
        }
        for name in [
            "JOIST HANGERS",
            "FRAMING ANCHORS",
            "JOIST SPAN",
            "TRUSS BRACING",
            "JOIST BEARING",
            "BEAM POCKETS",
            "RAFTER TAILS",
            "FRAMING SYMBOLS",
            "DUCT HEADER",
        ] {
            assert!(
                !read.framing.layer_matches(name) && elsewhere.framing.by(name).is_some(),
                "{name}"
            );
        }
        for name in [
            "ROOM NUMBERS",
            "AREA RUG",
            "AREA DRAIN",
            "AREA OF WORK",
            "LAUNDRY ROOM EQUIP",
            "ROOM ELEVATION MARKS",
        ] {
            assert!(
                !read.rooms.layer_matches(name) && elsewhere.rooms.by(name).is_some(),
                "{name}"
            );
        }
    }

    #[test]
    fn what_is_of_the_class_stays_and_other_layers_are_not_told() {
        let (read, elsewhere) = (Rules::default().read, Elsewhere::default());
        for name in [
            "E-LITE-CLNG",
            "SOFFIT LIGHTS",
            "FANS AND LIGHTS",
            "ACCENT LIGHTS",
            "CLOSET LIGHTS",
            "KITCHEN LIGHTING",
        ] {
            assert!(read.lights.layer_matches(name), "{name}");
        }
        for name in ["A-WALL-FULL", "FIRE WALL", "CURTAIN WALL", "INTERIOR WALLS"] {
            assert!(read.walls.layer_matches(name), "{name}");
        }
        for name in ["S-JOIS", "STAIR HEADER", "FLUSH BEAM", "LOWER JOISTS"] {
            assert!(read.framing.layer_matches(name), "{name}");
        }
        for name in ["A-AREA", "ROOMS", "LIVING SPACES"] {
            assert!(read.rooms.layer_matches(name), "{name}");
        }
        // Writing, switches and things of other names.
        for name in [
            "LIGHTING TAGS",
            "LIGHT SWITCHES",
            "E-LITE-CLNG",
            "POOL",
            "WALL NOTES",
        ] {
            assert!(elsewhere.lights.by(name).is_none(), "{name}");
        }
        for name in ["WALL TAGS", "A-WALL", "OVEN", "KNEE BRACE"] {
            assert!(elsewhere.walls.by(name).is_none(), "{name}");
        }
    }
}
