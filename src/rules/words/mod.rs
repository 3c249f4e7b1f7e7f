//! The built-in words by class, and where they come from.
//!
//! The English ones stand here, those of other languages in [`others`], fixtures that are no recessed lights in
//! [`fixtures`].
//!
//! *NCS*: major codes of the US National CAD Standard (LITE, CLNG, JOIS, TRUS, BEAM, WALL, SPKL);
//! its minor codes (SWCH, CIRC, CDFF, …) are given from memory. Everything else is common
//! practice: words that drafters use for these things. A leading `!` keeps a name out; `_` joins
//! words that have to follow each other; [`super::patterns`] says what `*`, `+`, `=`, `~` and `#` are.
//!
//! Left to what is drawn are words that are as common for something else: LVL (lumber, a level; as the whole name
//! it is lumber), RAFT (rafters, a foundation), POT, POWER, CLNG, FIXT.
//!
//! Two NCS codes are left out on purpose: FRAM is a braced or moment frame, not framing in general (after ROOF or a
//! ceiling it is that),
//! and SMOK is smoke extraction, not smoke alarms. A plan that uses them so needs a rules file.

use super::{Patterns, ReadRules};

mod elsewhere;
pub mod fixtures;
mod others;

pub use elsewhere::Elsewhere;

/// Elements of ISO 13567 layer names by the CI/SfB table (63 lighting; 21 and 22 external and internal walls;
/// 57 ventilation and air conditioning), from memory. 28 (building frames) holds columns too and is left out.
const ISO_LIGHTS: &str = "#63";
const ISO_WALLS: &str = "#21 #22";
const ISO_DEVICES: &str = "#57";

/// What is written beside things, not the things.
const WRITING: &str = "
    !ANNO !TEXT !TXT !NOTE !NOTES !DIM !DIMS !IDEN !NUMB !TAG !TAGS !LABEL !LABELS !KEYN !SYMB
    !LEGEND !LEGN !PATT !HATCH !TTLB !REDL !#WRITING";

/// NCS LITE; its minors EMER, EXIT, SWCH, CIRC, JBOX, WALL, FLOR, ROOF are no ceiling lights.
const LIGHT_LAYERS: &str = "
    LITE LITES LIGHT LIGHTS LIGHTING LTG LTNG LUM LUMS LUMINAIRE LUMINAIRES DOWNLIGHT DOWNLIGHTS
    DOWNLIGHTING DOWNLIGHTER DOWNLIGHTERS RECESSED CAN CANS POTLIGHT POTLIGHTS DOWNLITE DOWNLITES DNLT DNLTS CANLIGHT CANLIGHTS
    +WALL_WASH +WALL_WASHER +WALL_WASHERS +WALL_WASHES WALLWASH WALLWASHER WALLWASHERS
    HIGH_HAT HIGH_HATS HI_HAT HI_HATS HIHAT HIHATS RECSD RCSD CANLESS WAFER_LIGHT WAFER_LIGHTS =WAFER =WAFERS
    !HAT_CHANNEL !HAT_CHANNELS !PENDANT_LIGHT !PENDANT_LIGHTS !PENDANT_LIGHTING !LITE_PEND !LITE_PNDT !LITE_SURF
    !SURFACE_LIGHT !SURFACE_LIGHTS !SURFACE_LIGHTING !COVE_LIGHT !COVE_LIGHTS !COVE_LIGHTING !COACH_LIGHT !COACH_LIGHTS
    !STEP_LIGHT !STEP_LIGHTS !STEP_LIGHTING !UNDERCABINET !UNDER_CABINET !VANITY_LIGHT !VANITY_LIGHTS
    !LIGHTNING !LTNG_PROT !LTNG_PROTECTION !LIGHTNING_PROTECTION !SWITCH !SWITCHES !SWITCHING !SWCH !SW !CIRC !CIRCUIT !CIRCUITS !CONTROL !CONTROLS !JBOX !EMER
    !EXIT !WALL !FLOR !ROOF !SITE !POLE !STREET !LANDSCAPE !SKY !WINDOW !DOOR !GLAZ !GAUGE !WEIGHT
    !WELL !LINE !LINES !LINEWEIGHT !PEN !TRASH !GARBAGE !WASTE !GRAY !GREY !RED !GREEN !BLUE !YELLOW
    !CYAN !MAGENTA !BROWN !PINK !ORANGE !PURPLE";

const LIGHT_BLOCKS: &str = "
    LT LITE LIGHT LUM LUMINAIRE DOWNLIGHT DOWN_LIGHT RECESSED CAN POTLIGHT POT_LIGHT RL DL
    LIGHTS LITES LTG LTNG LED DOWNLITE DOWNLT DNLT DNLITE CANLIGHT POT_LT POT_LITE EYEBALL GIMBAL
    RECESS RECSD RCSD HIGH_HAT HIGH_HATS HIGHHAT HI_HAT HI_HATS HIHAT HIHATS WAFER WAFERS CANLESS D_L DOWNLIGHTS
    POTLIGHTS CANLIGHTS CANS DOWNLIGHTER DOWNLIGHTERS DOWNLIGHTING DOWNLITES DNLTS
    +WALL_WASH +WALL_WASHER WALLWASH WALLWASHER
    !HAT_CHANNEL !WAFER_BOARD !WAFER_HEAD !SLAB !MEDICINE !TOILET_PAPER
    !SWITCH !SW !SWCH !DIMMER
    !WALL !VANITY !LAMP !TABLE !FLOOR_LIGHT !FLOOR_LIGHTS !FLOOR_LT !FLOOR_LAMP !FLOOR_BOX !FLOOR_OUTLET !FLOOR_MOUNT
    !FLOOR_MOUNTED !IN_FLOOR !POLE !POST
    !STREET !PATH !FLOOD !TRAFFIC !SKY !WINDOW !DOOR !CABINET !TRASH !GARBAGE !WASTE
    !TV !DISPLAY !SCREEN !SIGN !TAPE !ROPE !MIRROR !DRIVER
    !RECEPTACLE !RECEPTACLES !RECEPT !RECEP !RCPT !DUPLEX !GFCI !GFI !AFCI !OUTLET !OUTLETS !JBOX !J_BOX
    !JUNCTION !THERMOSTAT !TSTAT !T_STAT !DATA !PHONE !TELEPHONE !WAP !CAMERA !CCTV !DOORBELL !CHIME !METER
    !PANELBOARD !TRANSFORMER !OCC_SENSOR !OCCUPANCY !MOTION !PHOTOCELL !SECTION_MARK !ELEVATION_MARK !DETAIL_MARK
    !SECTION_TAG !ELEVATION_TAG !CALLOUT !REV_CLOUD !REVISION !LOGO !BUBBLE !KEYNOTE";

const FRAMING_LAYERS: &str = "
    JOIS JOIST JOISTS JST JSTS TRUS TRUSS TRUSSES FRAMING BEAM BEAMS RAFTER RAFTERS GIRDER GIRDERS
    PURLIN PURLINS HEADER HEADERS HDR BLOCKING BLKG GLULAM GLULAMS GLB GLBS FRMG FRMNG LEDGER LEDGERS
    =RIM =RIMS RIM_BOARD RIM_BOARDS =LVL =LVLS LVL_BM LVL_BEAM LVL_HDR
    ROOF_FRAM CEILING_FRAM CEIL_FRAM CLNG_FRAM CLG_FRAM VAULT_FRAM HEAVY_TIMBER HEAVY_TIMBERS TIMBER_FRAME TIMBER_FRAMES
    EXPOSED_TIMBERS
    !FRAMING~WALLS !FRMG~WALLS !FRMNG~WALLS !FRAME~WALLS !BEAM~WALLS !JOIST~WALLS !TRUSS~WALLS !RAFTER~WALLS !GIRDER~WALLS
    !HEADER~WALLS !TIMBER~WALLS !FAUX !DECORATIVE !BOX_BEAM !BOX_BEAMS !COFFER !COFFERED !NON_STRUCT !NON_STRUCTURAL
    !WALL !STUD !STUDS !DOOR !WINDOW !GRADE !FOOTING !FOUNDATION !FNDN !TITLE !STONE !ACCOUNT";

const FRAMING_BLOCKS: &str = "
    JOIST JOISTS JST TRUSS TRUSSES FRAMING BEAM RAFTER GIRDER HEADER BLOCKING
    !WALL !STUD !DOOR !WINDOW !GRADE !TITLE";

const WALL_LAYERS: &str = "
    WALL WALLS PARTITION PARTITIONS PRTN PARTN PARTNS CMU
    !LITE !LIGHT !LIGHTS !SCONCE !SWITCH !OUTLET !POWR !CNTR !CENTER !CENTERLINE !RETAINING !SITE
    !LANDSCAPE !ELEV !CABINET !CABINETS !TILE !WALL_WASH !WALL_WASHER !WALL_WASHERS";

const ROOM_LAYERS: &str = "
    AREA AREAS ROOM ROOMS SPACE SPACES
    !NAME !NAMES !SITE !PARKING !LANDSCAPE !VPORT";

/// NCS SPKL (sprinklers), HVAC-CDFF (ceiling diffusers), ROOF-SKLT (skylights), SOUN (sound). ATTIC and CO are as
/// common for a storey and a cleanout, and stand with another word or not at all.
const DEVICES: &str = "
    CDFF DIFF DIFFUSER DIFFUSERS GRILLE GRILLES REGISTER REGISTERS SPKL SPRINKLER SPRINKLERS SMOKE
    ALARM ALARMS ALRM DETECTOR DETECTORS SMOKE_DET CO_DET HEAT_DET CFAN FAN FANS SPEAKER SPEAKERS SPKR SPKRS
    ACCESS_PANEL ACCESS_PANELS ACCS_PANEL ACCS_PANELS ACCESS_DOOR +ACCESS_HATCH ATTIC_ACCESS +ATTIC_HATCH ATTIC_STAIR ATTIC_STAIRS ATTIC_LADDER
    +CEILING_HATCH CEILING_ACCESS CLG_ACCESS CLNG_ACCS CLG_ACCS SCUTTLE SCUTTLES DUCT DUCTS SUPPLY_AIR RETURN_AIR
    AIR_RETURN SKYLIGHT SKYLIGHTS SKYLITE SKYLITES SKYLT SKYLTS SKLT SUN_TUNNEL SUN_TUNNELS SUN_TUBE SUN_TUBES
    SOLAR_TUBE SOLAR_TUBES LIGHT_TUNNEL LIGHT_TUBE FLUE FLUES CHIMNEY CHIMNEYS =CHASE =CHASES MECH_CHASE HVAC_CHASE
    DUCT_CHASE PIPE_CHASE FLUE_CHASE SPRN SMOKES AIR_TERMINAL AIR_TERMINALS MINI_SPLIT MINI_SPLITS MINISPLIT MINISPLITS
    CEILING_CASSETTE CEILING_CASSETTES DUCTWORK MOTION_SENSOR MOTION_SENSORS OCC_SENSOR OCC_SENSORS HEAT_LAMP HEAT_LAMPS
    SOFFIT SOFFITS SOFF BULKHEAD BULKHEADS FURRDOWN FURRDOWNS FURR_DOWN FURR_DOWNS FURDOWN FURDOWNS FUR_DOWN
    FAUX_BEAM FAUX_BEAMS BOX_BEAM BOX_BEAMS DECORATIVE_BEAM DECORATIVE_BEAMS COFFERED_BEAM COFFERED_BEAMS COFFER_BEAM
    COFFER_BEAMS COFFER COFFERS TRAY_CEILING TRAY_CEILINGS TRAY_CLG CLG_TRAY CLNG_TRAY CEILING_TRAY =TRAY =TRAYS
    !PIPE !SWITCH !CABLE_TRAY !CHIMNEY_WALL !CHIMNEY_WALLS !WALL_CHIMNEY !FLUE_WALL";

/// Of layers alone: E-SMOK is alarms (M-SMOK is smoke extraction), FIRE their circuit, not FIRE WALLS.
const DEVICE_LAYERS: &str = "
    E_SMOK =FIRE E_FIRE F_FIRE =SOUN HVAC =MECHANICAL M_RETN M_SUPP FP_HEADS FIRE_PROTECTION FIRE_SUPPRESSION =SECURITY =PENDANT =PENDANTS PENDANT_LIGHT PENDANT_LIGHTS PENDANT_LIGHTING LITE_PEND
    LITE_PNDT LITE_SURF SURFACE_LIGHT SURFACE_LIGHTS SURFACE_LIGHTING =CHANDELIER =CHANDELIERS =HEADS =PROJECTOR
    !FIRE_WALL !FIRE_WALLS !FIRE_PLACE !EQPM !EQUIP !EQUIPMENT !UNIT !UNITS !COND !CONDENSER !CONDENSERS !TSTAT
    !THERMOSTAT !THERMOSTATS !ROOM !CLOSET";

/// As a layer's name SD is a storm drain too.
const DEVICE_BLOCKS: &str = "
    SD SD_CO SMK_DET EF_LIGHT EF_LT VENT_LIGHT VENT_LT VENT_FAN
    !MANHOLE !STORM !DRAIN !INLET !SOAP";

/// Round things that are no lights stand on these: tables, sinks, columns, trees; and what this
/// program drew itself into an earlier redline (REDL).
const IGNORED_LAYERS: &str = "
    REDL FURN FURNITURE PLUMBING PFIX SANR EQPM EQUIPMENT APPLIANCE APPLIANCES COLS COLUMN COLUMNS
    GRID TTLB TITLEBLOCK BORDER LEGEND LEGN VPORT VIEWPORT DEFPOINTS TREE TREES PLNT PLANTING
    LANDSCAPE
    !LITE !LIGHT !LIGHTS !LIGHTING !LTG !LTNG !LUM !LUMINAIRE !LUMINAIRES !DOWNLIGHT !DOWNLIGHTS !RECESSED";

const IGNORED_BLOCKS: &str = "
    TABLE CHAIR SOFA BED SINK LAVATORY LAV TOILET WC TUB BATHTUB SHOWER RANGE COOKTOP REFRIGERATOR
    WASHER DRYER COLUMN DOOR WINDOW TREE PLANT NORTH TITLEBLOCK BORDER LEGEND
    !LITE !LIGHT !LT !DOWNLIGHT !RECESSED !CAN !WALL_WASH !WALL_WASHER !WALLWASHER";

/// The words of every class, for names of layers and blocks.
pub fn read_rules() -> ReadRules {
    of_all(&[WRITING, others::WRITING])
}

/// The same for words in a text: a SMOKE ALARM, SEE NOTE 3 is one.
pub fn read_words() -> ReadRules {
    of_all(&[])
}

/// `written` keeps names out of lights, framing, walls, rooms and devices.
fn of_all(written: &[&str]) -> ReadRules {
    // What is called a light is no wall and no furniture, in whatever language.
    let no_light = barred(&[others::LIGHT_LAYERS, others::LIGHT_BLOCKS]);
    let no_recessed = barred(&[fixtures::AT_THE_CEILING, fixtures::ELSEWHERE]);
    let class = |layers: &[&str], blocks: &[&str], out: &[&str]| Patterns {
        layers: entries(layers, out),
        blocks: entries(blocks, out),
        ..Patterns::default()
    };
    ReadRules {
        lights: class(
            &[
                LIGHT_LAYERS,
                ISO_LIGHTS,
                others::LIGHT_LAYERS,
                &elsewhere::lights(),
            ],
            &[LIGHT_BLOCKS, others::LIGHT_BLOCKS, &no_recessed],
            written,
        ),
        framing: class(
            &[FRAMING_LAYERS, others::FRAMING, &elsewhere::framing()],
            &[FRAMING_BLOCKS, others::FRAMING],
            written,
        ),
        walls: class(
            &[
                WALL_LAYERS,
                ISO_WALLS,
                others::WALL_LAYERS,
                &no_light,
                &elsewhere::walls(),
            ],
            &[],
            written,
        ),
        rooms: class(
            &[ROOM_LAYERS, others::ROOM_LAYERS, &elsewhere::rooms()],
            &[],
            written,
        ),
        devices: class(
            &[DEVICES, DEVICE_LAYERS, ISO_DEVICES, others::DEVICES],
            &[DEVICES, DEVICE_BLOCKS, others::DEVICES],
            written,
        ),
        ignore: class(
            &[IGNORED_LAYERS, others::IGNORED_LAYERS, &no_light],
            &[IGNORED_BLOCKS, others::IGNORED_BLOCKS, &no_light],
            &[],
        ),
    }
}

/// The words that say what is of the class, each as one that keeps a name out.
fn barred(lists: &[&str]) -> String {
    let words = lists.iter().flat_map(|list| list.split_whitespace());
    let own = words.filter(|w| !w.starts_with('!'));
    own.map(|w| format!("!{} ", w.trim_start_matches('+'))).collect()
}

/// `out` is added where there are entries at all.
fn entries(lists: &[&str], out: &[&str]) -> Vec<String> {
    let out = if lists.is_empty() { &[] } else { out };
    let words = lists.iter().chain(out).flat_map(|list| list.split_whitespace());
    words.map(|w| w.replace('_', " ")).collect()
}

/// Words of one list as patterns for names of layers and blocks.
pub fn listed(words: &str) -> Patterns {
    let all = entries(&[words], &[]);
    Patterns {
        layers: all.clone(),
        blocks: all,
        ..Patterns::default()
    }
}
