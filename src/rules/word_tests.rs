//! The built-in words against names as offices write them.

use super::*;

#[test]
fn built_in_words_are_whole_words() {
    let r = Rules::default().read;
    for name in [
        "E-LITE-CLNG",
        "LIGHTS",
        "x$0$E-LITE",
        "Recessed Cans",
        "RecessedLights",
        "E_LTG",
        "DOWNLIGHTS",
        "E-V21-M-Downlighters",
        "LIGHT6",
        "EL-LUM",
    ] {
        assert!(r.lights.layer_matches(name), "{name}");
    }
    for name in [
        "E-LITE-SWCH",
        "LIGHT SWITCHES",
        "SKYLIGHT",
        "SCANNER",
        "ELITE",
        "LIGHT-GRAY",
        "AMERICAN",
        "TRASH CAN",
        "E-ANNO-LITE",
        "VOLUME",
        "SPLITE",
    ] {
        assert!(!r.lights.layer_matches(name), "{name}");
    }
    assert!(r.lights.block_matches("LT-R6"));
    assert!(r.lights.block_matches("RECESSED_CAN_6IN"));
    assert!(r.lights.block_excluded("PENDANT-LIGHT"));
    assert!(!r.lights.block_matches("PENDANT-LIGHT"));
    assert!(!r.lights.block_matches("BELT"));
    // A wall washer is a recessed light (trade use), a washer and a wall light are none.
    for name in [
        "WALL WASHER",
        "LT-WALL-WASH-6",
        "WallWasher",
        "WALLWASH_4",
        "LED WALL WASH",
    ] {
        assert!(
            r.lights.block_matches(name) && !r.ignore.block_matches(name),
            "{name}"
        );
    }
    assert!(r.lights.layer_matches("E-LITE-WALL-WASH") && !r.walls.layer_matches("WALL WASHERS"));
    for name in [
        "WALL WASHER SWITCH",
        "WASHER",
        "WASHER WALL BOX",
        "WALL LIGHT",
        "WASHER-DRYER WALL",
    ] {
        assert!(!r.lights.block_matches(name), "{name}");
    }
    assert!(r.ignore.block_matches("WASHER DRYER"));
    assert_eq!(
        r.lights.block_reason("WALL WASHER").map(said_word).as_deref(),
        Some("the word WALL WASHER in its name")
    );
}

#[test]
fn built_in_words_know_framing_walls_rooms_and_devices() {
    let r = Rules::default().read;
    for name in [
        "S-JOIS",
        "S-TRUS",
        "CEIL-JST",
        "Ceiling Joists",
        "FRAMING",
        "S-BEAM",
        "ROOF-RAFTERS",
    ] {
        assert!(r.framing.layer_matches(name), "{name}");
    }
    // FRAM is a braced or moment frame in the US National CAD Standard.
    for name in [
        "S-FRAM",
        "WINDOW FRAMING",
        "GRADE BEAM",
        "S-JOIS-ANNO",
        "MOONBEAM",
    ] {
        assert!(!r.framing.layer_matches(name), "{name}");
    }
    // What walls are framed of, or carry, tells more of the walls.
    for name in [
        "2X4 FRAMING WALLS",
        "FRAMING CONTRACTOR WALLS",
        "BEAM WALLS",
        "S-FRAMING-WALLS-2",
        "Timber Frame Walls",
    ] {
        assert!(
            !r.framing.layer_matches(name) && r.walls.layer_matches(name),
            "{name}"
        );
    }
    for name in [
        "FRAMING & WALLS",
        "FRAMING AND WALLS",
        "BEAM OVER WALLS",
        "WALLS FRAMING",
        "BEAMS",
    ] {
        assert!(r.framing.layer_matches(name), "{name}");
    }
    for name in ["S-ROOF-FRAM", "CLNG-FRAM", "HEAVY TIMBER", "TIMBER FRAME"] {
        assert!(r.framing.layer_matches(name), "{name}");
    }
    for name in ["ROOF", "TIMBER CLADDING", "TIMBER DECK", "TIMBER FRAME WALL"] {
        assert!(!r.framing.layer_matches(name), "{name}");
    }
    assert!(r.walls.layer_matches("AI-WALL-FULL-N"));
    assert!(r.walls.layer_matches("PARTITIONS"));
    assert!(!r.walls.layer_matches("E-LITE-WALL"));
    assert!(!r.walls.layer_matches("WALLPAPER"));
    assert!(r.rooms.layer_matches("A-AREA"));
    assert!(!r.rooms.layer_matches("A-AREA-IDEN"));
    assert!(!r.rooms.layer_matches("BATHROOM-FIXT"));
    assert!(r.devices.layer_matches("M-HVAC-CDFF"));
    assert!(r.devices.layer_matches("F-SPKL"));
    assert!(r.devices.block_matches("SMOKE_ALARM"));
    for name in [
        "F-SPRN-HEAD",
        "MECHANICAL",
        "AIR TERMINALS",
        "CEILING CASSETTE",
        "MINI SPLIT",
        "FP HEADS",
        "FIRE PROTECTION",
        "SECURITY",
        "MOTION SENSORS",
        "SMOKES",
        "M-RETN",
        "E-LITE-SPKR",
        "HEAT LAMPS",
    ] {
        assert!(
            r.devices.layer_matches(name) && !r.lights.layer_matches(name),
            "{name}"
        );
    }
    for name in ["E-LITE-CTRL", "CAN WASH", "LITE KIT", "MECHANICAL ROOM"] {
        assert!(
            !r.devices.layer_matches(name) && !r.lights.layer_matches(name),
            "{name}"
        );
    }
    // SMOK is smoke extraction in the same standard.
    assert!(!r.devices.layer_matches("M-SMOK"));
    assert!(r.ignore.layer_matches("A-FURN"));
    assert!(r.ignore.layer_matches("E-ANNO-REDL-MUST"));
    assert!(r.ignore.block_matches("ROUND-TABLE"));
    assert!(!r.ignore.block_matches("TABLE-LIGHT"));
}

/// Trade words as American offices use them (trade use, from memory), and their false friends.
#[test]
fn trade_words_and_their_false_friends() {
    let r = Rules::default().read;
    for name in [
        "FRMG",
        "S-FRMG",
        "S-RIM",
        "RIM",
        "RIM BOARD",
        "LEDGER",
        "S-LVL",
        "LVL",
        "GLB",
        "Gebälk",
        "MADEIRAMENTO",
    ] {
        assert!(r.framing.layer_matches(name), "{name}");
    }
    // Levels, a light's rim, rafters as well as a raft of concrete, a ledger of stone.
    for name in [
        "LVL 1",
        "A-FLOR-LVL2",
        "FIRST LVL",
        "RIM LIGHT",
        "TRIM",
        "S-RAFT",
        "PRIMARY",
        "LEDGER STONE",
        "GLBX",
    ] {
        assert!(!r.framing.layer_matches(name), "{name}");
    }
    for name in ["REFEND", "A-PARTN", "8 CMU", "Mauern"] {
        assert!(r.walls.layer_matches(name), "{name}");
    }
    for name in ["EXTERIOR", "INT", "Ziegel", "CMUX"] {
        assert!(!r.walls.layer_matches(name), "{name}");
    }
    for name in [
        "LED6",
        "6LED",
        "DOWNLITE",
        "LTG",
        "EYEBALL",
        "GIMBAL-4",
        "DNLT",
        "LED WALL WASH",
    ] {
        assert!(r.lights.block_matches(name), "{name}");
    }
    for name in [
        "POT",
        "POT FILLER",
        "LEDGE",
        "LED TV",
        "LED TAPE",
        "LED MIRROR",
        "ELEDEN",
        "LT-JBOX",
    ] {
        assert!(!r.lights.block_matches(name), "{name}");
    }
    for name in ["SD", "SD-CO", "CO DET", "SMOKE", "CFAN"] {
        assert!(r.devices.block_matches(name), "{name}");
    }
    assert!(r.devices.layer_matches("E-FIRE-ALRM"));
    for name in ["SD MANHOLE", "STORM SD", "SDX", "CO", "DET"] {
        assert!(!r.devices.block_matches(name), "{name}");
    }
    assert!(!r.devices.layer_matches("C-SD"));
    for name in [
        "RECEPTACLE",
        "THERMOSTAT",
        "JBOX",
        "GFCI",
        "TV",
        "CAMERA",
        "SECTION MARK",
        "DUPLEX",
        "METER",
    ] {
        assert!(r.lights.block_excluded(name), "{name}");
    }
    assert_eq!(
        r.framing.layer_reason("S-RIM").map(said_word).as_deref(),
        Some("the word RIM in its name")
    );
}

/// Names that merely hold a word, and words that mean something else.
#[test]
fn false_friends_of_other_tongues_are_left_alone() {
    let r = Rules::default().read;
    for name in [
        // A clear span; a roof window; clear height; a shaft; exposure.
        "LUZ LIBRE",
        "LUZ_VENTANA",
        "OBERLICHT",
        "LICHTE HÖHE",
        "Lichtschacht",
        "BELICHTUNG",
        "TAGESLICHT",
        // Switches, walls, emergency, what hangs and stands.
        "Lichtschalter",
        "LUZ-PARED",
        "LUCES DE EMERGENCIA",
        "Wandleuchten",
        "Stehleuchte",
        "APLIQUES LUMINARIAS",
        "照明开关",
        "壁灯",
        "应急照明",
        "照明回路",
        "非常照明",
        "비상조명",
        // Fitted wardrobes; heights.
        "ARMARIOS EMPOTRADOS",
        "PLACARDS ENCASTRES",
        "SPOT LEVELS",
        "LUMINARIAS TEXTO",
        "Leuchtenbeschriftung",
        "HOTSPOTS",
        "幻灯片",
        "灯油",
        // Writing by ISO 13567, and what is no such name.
        "E-63----T-",
        "E-63----D-",
        "E-63ABCDE-",
        "63",
        "ROOM 63",
    ] {
        assert!(!r.lights.layer_matches(name), "{name}");
    }
    for name in [
        "SPOT ELEVATION",
        "SPOT-LEVEL",
        "Lámpara de pie",
        "Schreibtischleuchte",
        "FOUR ENCASTRE",
        "PLAFONNIER LUMIERE",
        "Kronleuchter",
        "格栅",
        "吊灯",
        "シーリングライト照明",
        "유도등기구",
    ] {
        assert!(!r.lights.block_matches(name), "{name}");
    }
    for name in [
        // A scale bar, a carrier of data, contrast, trust, a frame of a house, a bridge, footings.
        "Maßstabsbalken",
        "Titelbalken",
        "Datenträger",
        "コントラスト",
        "트러스트",
        "房屋架构",
        "桥梁",
        "基礎梁",
        "地梁",
        "LONGRINES POUTRE LONGRINE",
        "VIGA CIMENTACION",
        "CHEVRON",
        "ROAD CHEVRONS",
        // A boiler, a security line, a packing line.
        "보일러",
        "보안",
        "포장선",
        "ARMADURA",
        "BALKENDIAGRAMM",
        "SPARRENBURG",
        "NAVIGATION",
    ] {
        assert!(!r.framing.layer_matches(name), "{name}");
    }
    for name in [
        "Leinwand",
        "Aufwand",
        "Duschtrennwand",
        "Wandleuchte",
        "MUR DE SOUTÈNEMENT",
        "MURO DE CONTENCION",
        "墙纸",
        "壁灯",
        "壁柜",
        "擁壁",
        "벽지",
        "벽난로",
        "새벽",
        "MURAL",
        "MURPHY BED",
        "A-22----H-",
    ] {
        assert!(!r.walls.layer_matches(name), "{name}");
    }
    for name in [
        "SALAD",
        "Hohlraum",
        "TRAUMA",
        "室外",
        "방수",
        "방화",
        "실리콘",
        "AREAL",
    ] {
        assert!(!r.rooms.layer_matches(name), "{name}");
    }
    for name in ["プロダクト", "프로덕트", "환경보호", "RESPIRADOR", "FANTASIA"] {
        assert!(!r.devices.layer_matches(name), "{name}");
    }
    for name in [
        "Architektur",
        "Struktur",
        "automatisch",
        "厦门",
        "CORREA-RESIDENCE",
        "BAUM",
        "MESA",
    ] {
        assert!(
            !r.ignore.block_matches(name) && !r.framing.block_matches(name),
            "{name}"
        );
    }
    // Nothing in another tongue keeps English names out.
    for name in ["LIGHTING LEVEL 2", "CAN LIGHTS FOUR INCH", "LIGHTS CLOSET"] {
        assert!(r.lights.layer_matches(name), "{name}");
    }
    assert!(r.lights.block_matches("DOWNLIGHT - 6IN - LEVEL 1"));
    assert!(r.lights.block_matches("Downlighter 150mm"));
    assert!(r.framing.layer_matches("FLOOR JOISTS"));
    assert!(r.framing.layer_matches("VIGAMENTO"));
}

/// Common practice, from memory.
#[test]
fn boxes_called_beams_hang_below_and_a_storey_in_a_name_keeps_no_light_out() {
    let r = words::read_rules();
    for name in ["FAUX BEAMS", "BOX BEAMS", "DECORATIVE BEAMS", "COFFERED BEAMS"] {
        assert!(
            !r.framing.layer_matches(name) && r.devices.layer_matches(name),
            "{name}"
        );
    }
    assert!(!r.framing.layer_matches("WOOD BEAMS (NON STRUCT)"));
    assert!(r.framing.layer_matches("BEAMS") && r.framing.layer_matches("FLUSH BEAM"));
    assert!(r.lights.block_matches("RL-6 FIRST FLOOR"));
    for name in ["FLOOR LAMP", "FLOOR LIGHT", "LIGHT IN FLOOR", "FLOOR BOX LIGHT"] {
        assert!(!r.lights.block_matches(name), "{name}");
    }
    assert!(!r.lights.layer_matches("E-LTNG-PROT") && r.lights.layer_matches("E-LTNG"));
}
