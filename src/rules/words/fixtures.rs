//! Fixtures and devices of a house plan that are no recessed lights, by the words and abbreviations of their blocks.
//!
//! Common practice, from memory. They keep a block out of lights whatever layer it stands on, and say whether lights
//! keep clear of it. A word that also stands in names of recessed lights, or in a legend's words for other things
//! (STEP BAFFLE, PORCELAIN TILE, LINEAR DRAIN), is held to whole names (`=`) or to what stands beside it.

/// They take up room at the ceiling.
pub const AT_THE_CEILING: &str = "
    PENDANT PENDANTS PEND PENDS PNDT CHANDELIER CHANDELIERS CHAND CHANDS FAN FANS TRACK FLUORESCENT FLUOR TROFFER
    TROFFERS STRIP EXIT EMERGENCY EMER EMERG =EM BUGEYE BUGEYES BUG_EYE BUG_EYES KEYLESS LAMPHOLDER PULL_CHAIN
    PULLCHAIN =PORCELAIN PORCELAIN_LAMP PORCELAIN_LIGHT PORCELAIN_LT PORCELAIN_FIXTURE PORCELAIN_LAMPHOLDER
    SURFACE SURF SURFMTD =FLUSH FLUSH_MOUNT FLUSH_MOUNTED FLUSH_MTD FLUSHMOUNT FLUSH_LIGHT FLUSH_LT SEMI_FLUSH
    SEMIFLUSH CEILING_MOUNT CEILING_MOUNTED CEILING_MTD CLG_MOUNT CLG_MOUNTED CLG_MTD CLNG_MOUNT CLNG_MTD
    =HANGING HANGING_LIGHT HANGING_LIGHTS HANGING_LT HANGING_FIXTURE
    =LINEAR LINEAR_LIGHT LINEAR_LT LINEAR_LED LED_LINEAR LINEAR_FIXTURE LINEAR_SLOT RECESSED_LINEAR
    =1_X_4 =2_X_2 =2_X_4 LAY_IN LAYIN =WRAP =WRAPAROUND =WRAP_AROUND WRAP_LIGHT WRAP_LT WRAP_FIXTURE WRAPAROUND_LIGHT
    WRAPAROUND_FIXTURE =CYLINDER =CYLINDERS CYLINDER_LIGHT CYLINDER_LT CYLINDER_DOWNLIGHT LED_CYLINDER
    HEAT_LAMP HEAT_LAMPS HEATLAMP HEATLAMPS =HEAD =HEADS =EF =CF =CO_2 =SUPPLY =RETURN EF_LIGHT EF_LT VENT_LIGHT
    VENT_LT VENT_FAN PROJECTOR PROJECTORS STROBE STROBES =HORN =HORNS
    COLGANTE PENDENTE SUSPENSION LUSTRE PLAFON PLAFONNIER VENTILADOR EMERGENCIA SALIDA SAIDA SECOURS SORTIE
    *PENDELLEUCHTE *HANGELEUCHTE *HAENGELEUCHTE KRONLEUCHTER AUFBAULEUCHTE ANBAULEUCHTE *NOTLEUCHTE
    RETTUNGSZEICHENLEUCHTE
    *吊灯* *吊燈* *日光灯* *荧光灯* *灯带* *吸顶灯* *应急* *應急* *疏散* *ペンダント* *シャンデリア* *シーリングライト*
    *非常* *誘導* *蛍光* *펜던트* *비상* *유도등* *형광*";

/// They hang on walls, stand on floors, lie in coves and under cabinets, or are wired and no light.
pub const ELSEWHERE: &str = "
    SCONCE SCONCES =COACH COACH_LIGHT COACH_LIGHTS COACH_LT COACHLIGHT =CARRIAGE CARRIAGE_LIGHT CARRIAGE_LIGHTS
    CARRIAGE_LT =BRACKET BRACKET_LIGHT BRACKET_LIGHTS BRACKET_LT STEP_LIGHT STEP_LIGHTS STEP_LT STEP_LTS STEP_LITE
    STEPLIGHT STEPLIGHTS TOE_KICK TOEKICK LANDSCAPE BOLLARD BOLLARDS UPLIGHT UPLIGHTS =COVE COVE_LIGHT COVE_LIGHTS
    COVE_LIGHTING COVE_LT COVE_LED LED_COVE BATH_BAR BATHBAR LIGHT_BAR =PICTURE PICTURE_LIGHT PICTURE_LIGHTS PICTURE_LT
    =PUCK PUCK_LIGHT PUCK_LIGHTS PUCK_LT NIGHT_LIGHT NIGHT_LIGHTS NIGHT_LT NIGHTLIGHT NIGHTLITE UCL UC_LIGHT UC_LIGHTS
    UC_LT UNDER_CABINET UNDER_CAB UNDERCAB UNDERCABINET
    KEYPAD KEYPADS =220_V =240_V =CABLE =CABLES CABLE_TV CATV HOME_RUN HOME_RUNS HOMERUN HOMERUNS =OCC =JB =JBS";

/// So short that they may as well be the type of a light: a sensor, a switch, an access point.
pub const MAY_BE_OTHER: &str = "=AP =OS =S =S_3 =S_4 =SM SM_1 SM_2 SM_3 =T =J =WP =GD";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rules::words::{listed, read_rules};

    /// Common practice, from memory.
    #[test]
    fn fixtures_that_are_no_recessed_lights_and_their_false_friends() {
        let r = read_rules();
        let ceiling = listed(AT_THE_CEILING);
        for name in [
            "SURF MTD",
            "FLUSH MOUNT",
            "SEMI-FLUSH",
            "CEILING MOUNT",
            "CLG MTD LIGHT",
            "LINEAR",
            "1X4",
            "2X2",
            "2X4 LAY-IN",
            "WRAP",
            "CHAND",
            "HANGING",
            "PORCELAIN",
            "PULL CHAIN",
            "EM",
            "EMERG LT",
            "BUGEYE",
            "CF",
            "EF",
            "EF-LIGHT",
            "VENT LIGHT",
            "HEATLAMP",
            "HEAD",
            "SUPPLY",
            "PROJECTOR",
            "CYLINDER",
            "STROBE",
            "CO2",
        ] {
            assert!(r.lights.block_excluded(name), "{name}");
            assert!(
                ceiling.block_matches(name) || r.devices.block_matches(name),
                "{name}"
            );
        }
        for name in [
            "COACH LIGHT",
            "CARRIAGE",
            "BRACKET",
            "STEP LIGHT",
            "TOE KICK",
            "LANDSCAPE",
            "BOLLARD",
            "COVE",
            "BATH BAR",
            "PICTURE LIGHT",
            "PUCK",
            "NIGHT LIGHT",
            "OCC",
            "JB",
            "KEYPAD",
            "220V",
            "CABLE",
            "HOME RUN",
            "UCL",
            "UNDER CABINET LIGHT",
        ] {
            assert!(
                r.lights.block_excluded(name) && !ceiling.block_matches(name),
                "{name}"
            );
        }
        for name in [
            "SPKR",
            "SKYLIGHT",
            "SCUTTLE",
            "EF-LIGHT",
            "FAN LIGHT",
            "SUN TUNNEL",
        ] {
            assert!(
                r.devices.block_matches(name) && !r.lights.block_matches(name),
                "{name}"
            );
        }
        // Trims and housings of recessed lights, and words that are no fixtures at all.
        for name in [
            "DOWNLIGHT STEP BAFFLE",
            "DL-FLUSH-TRIM",
            "LED-2X",
            "RECESSED-EM-BALLAST",
            "CAN 2",
            "LT-CF2",
            "DOWNLIGHT RETURN AIR TIGHT",
            "LED HEAD ADJUSTABLE",
        ] {
            assert!(r.lights.block_matches(name), "{name}");
        }
        for name in [
            "COACH HOUSE",
            "PORCELAIN TILE",
            "LINEAR DRAIN",
            "2X4 STUD",
            "PICTURE WINDOW",
        ] {
            assert!(!ceiling.block_matches(name), "{name}");
        }
    }

    /// Trade words for recessed lights and what is no light (from memory).
    #[test]
    fn recessed_lights_by_trade_words() {
        let r = read_rules();
        for name in [
            "RECESS", "RECSD", "HIGH HAT", "HI-HAT", "HiHat", "WAFER", "WAFER-4", "CANLESS", "D/L", "D_L_6",
            "RECESS 6",
        ] {
            assert!(r.lights.block_matches(name), "{name}");
        }
        for name in [
            "HAT",
            "TOP HAT",
            "HAT CHANNEL",
            "HIGH HAT CHANNEL",
            "WAFERBOARD",
            "WAFER BOARD",
            "WAFER HEAD SCREW",
            "DOOR RECESS",
            "SLAB RECESS",
            "RECESSION",
            "D",
            "L",
            "DOWNLOAD",
        ] {
            assert!(!r.lights.block_matches(name), "{name}");
        }
        for name in ["HIGH HATS", "E-HIHATS", "WAFER LIGHTS", "WAFERS"] {
            assert!(r.lights.layer_matches(name), "{name}");
        }
        // As layers: a hollow in a slab, a dead load, a floor's sheathing.
        for name in [
            "RECESS",
            "D-L",
            "WAFER BOARD",
            "HAT CHANNEL",
            "COVE LIGHTING",
            "STEP LIGHTS",
            "E-LITE-PEND",
        ] {
            assert!(!r.lights.layer_matches(name), "{name}");
        }
    }

    /// Layers of what stands in a ceiling, and names that hold a word of them.
    #[test]
    fn layers_of_devices_and_their_false_friends() {
        let r = read_rules();
        for name in [
            "A-CLNG-SOFF",
            "FURRDOWN",
            "SKYLIGHT",
            "A-ROOF-SKLT",
            "ATTIC STAIR",
            "ATTIC HATCH",
            "SCUTTLE",
            "A-CLNG-ACCS",
            "E-ACCS PANEL",
            "FLUE",
            "CHIMNEY",
            "CHASE",
            "E-SOUN",
            "E-SMOK",
            "FIRE",
            "E-FIRE",
            "HVAC",
            "M-HVAC",
            "SUPPLY AIR",
            "RETURN AIR",
            "PENDANTS",
            "CHANDELIER",
            "F-HEADS",
            "COFFER",
            "TRAY",
            "Claraboya",
            "Oberlicht",
            "天窗",
        ] {
            assert!(r.devices.layer_matches(name), "{name}");
        }
        for name in [
            "M-SMOK",
            "ATTIC",
            "ATTIC JOISTS",
            "FIRE WALLS",
            "FIREPLACE",
            "FIRE PLACE",
            "CABLE TRAY",
            "CHASE WALLS",
            "CHASE RESIDENCE",
            "P-SUPPLY",
            "HVAC EQUIPMENT",
            "HVAC-TSTAT",
            "SKY",
            "PURCHASE",
            "INFLUENCE",
            "OFFSOFF",
            "PENDANT SWITCH",
            "CO",
        ] {
            assert!(!r.devices.layer_matches(name), "{name}");
        }
        assert!(r.walls.layer_matches("CHIMNEY WALLS") && !r.walls.layer_matches("CHIMNEY"));
    }
}
