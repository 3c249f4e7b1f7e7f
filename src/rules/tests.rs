//! Names to classes.

use proptest::prelude::*;

use super::*;

fn given(patterns: &[&str]) -> Patterns {
    Patterns {
        layers: patterns.iter().map(|p| (*p).to_string()).collect(),
        given: true,
        ..Patterns::default()
    }
}

#[test]
fn globs_look_at_the_last_part_and_ignore_case() {
    let p = given(&["E-LITE*"]);
    for name in [
        "E-LITE",
        "e-lite-clng",
        "house$0$E-LITE-CLNG",
        "a$0$b$1$E-LITE",
        "house|E-LITE",
        "E-LITE @ 1",
    ] {
        assert!(p.layer_matches(name), "{name}");
    }
    for name in ["E-LIT", "XE-LITE", "E-LITE$0$A-WALL", "E-LITE|A-WALL", ""] {
        assert!(!p.layer_matches(name), "{name}");
    }
    assert!(given(&["A-WALL"]).layer_matches("A-WALL @ 12"));
    assert!(given(&["house|*"]).layer_matches("HOUSE|A-WALL"));
    assert!(!given(&["house|*"]).layer_matches("shed|A-WALL"));
    assert!(given(&["?-WALL", "X"]).layer_matches("a-wall"));
    assert!(given(&["[A-C]-W*L"]).layer_matches("b-wall"));
    assert!(!given(&["[!A-C]-W*L"]).layer_matches("b-wall"));
    assert!(given(&["*a*b*c"]).layer_matches("xxaxxbxxbc"));
    assert!(!given(&["*a*b*c"]).layer_matches("xxaxxbxxb"));
}

#[test]
fn a_bad_glob_is_told() {
    assert!(glob_fault("A-[WALL").is_some());
    assert!(glob_fault("  ").is_some());
    assert!(glob_fault("A-[!A-C]*").is_none());
    // Matching never panics on one either.
    assert!(!glob_matches("[", "x"));
    assert!(glob_matches("[", "["));
    assert!(!glob_matches("[]", ""));
}

#[test]
fn odd_names_do_not_trip_the_cutting() {
    assert_eq!(last_part("a$0$"), "a$0$");
    assert_eq!(last_part("$$é$0$ü"), "ü");
    assert_eq!(last_part("cost$5"), "cost$5");
    assert_eq!(base_name("@ 1"), "@ 1");
    assert_eq!(base_name("a @ b"), "a @ b");
    assert_eq!(base_name("WALL @ 1"), "WALL");
}

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

#[test]
fn a_light_finds_its_schedule_entry_by_tag_before_block() {
    let rules = Rules {
        luminaires: vec![
            Luminaire {
                tag: "R6".into(),
                blocks: vec!["LT-R6*".into()],
                ..Luminaire::default()
            },
            Luminaire {
                tag: "R4".into(),
                blocks: vec!["LT-R4".into()],
                ..Luminaire::default()
            },
        ],
        ..Rules::default()
    };
    assert_eq!(rules.schedule(Some("r4 "), Some("LT-R6")), Some(1));
    assert_eq!(rules.schedule(Some("Z"), Some("x$0$lt-r6-dim")), Some(0));
    assert_eq!(rules.schedule(Some(""), None), None);
    assert_eq!(rules.schedule(None, Some("LT-R5")), None);
}

/// The meaning of a glob, told by trying everything.
fn slow_glob(pattern: &[char], name: &[char]) -> bool {
    match (pattern.split_first(), name.split_first()) {
        (None, _) => name.is_empty(),
        (Some(('*', rest)), None) => slow_glob(rest, name),
        (Some(('*', rest)), Some((_, less))) => slow_glob(rest, name) || slow_glob(pattern, less),
        (Some(('?', rest)), Some((_, less))) => slow_glob(rest, less),
        (Some((p, rest)), Some((n, less))) => p == n && slow_glob(rest, less),
        (Some(_), None) => false,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn globs_agree_with_trying_everything(pattern in "[AB*?]{1,8}", name in "[AB]{0,10}") {
        let chars = |s: &str| s.chars().collect::<Vec<char>>();
        prop_assert_eq!(glob_matches(&pattern, &name), slow_glob(&chars(&pattern), &chars(&name)));
    }

    #[test]
    fn no_name_and_no_pattern_trips_the_matching(pattern in "\\PC{0,12}", name in "\\PC{0,24}") {
        glob_fault(&pattern);
        glob_matches(&pattern, &name);
        let read = Rules::default().read;
        read.lights.layer_matches(&name);
        read.ignore.block_matches(&name);
        prop_assert!(name.trim().ends_with(last_part(name.trim())));
    }
}

#[test]
fn measured_members_and_the_block_of_framing() {
    let text = "[framing]\nmeasured = [[12.5, 40], [300, 60.25]]\nfrom_block = \" UPPER \"\n";
    let rules = super::parse(text, None).expect("rules");
    assert_eq!(rules.framing.measured, [[12.5, 40.0], [300.0, 60.25]]);
    assert_eq!(rules.framing.from_block.as_deref(), Some("UPPER"));
    for bad in [
        "measured = [[inf, 0.0]]",
        "measured = [[1.0]]",
        "from_block = \" \"",
    ] {
        assert!(
            super::parse(&format!("[framing]\n{bad}\n"), None).is_err(),
            "{bad}"
        );
    }
}
