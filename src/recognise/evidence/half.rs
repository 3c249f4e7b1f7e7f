//! Names that tell half: no word of any class in them, and none of anything else either (`S-FRAM`, `RCP`,
//! `STRUCTURAL`, `REFEND`).
//!
//! Such layers and blocks are judged by what is drawn as those are whose names say nothing, after them and only for
//! what is still open. They are asked about; taken only where the evidence is at its fullest and nothing else looks
//! the same, for a word nobody knows may mean anything.

use super::super::classes::{Class, Classes};
use super::super::round::rounds;
use super::{ASKED, Basis, Blank, Judged, Open, framing, lights, rooms, says_nothing, settle};
use crate::flatten::{Flat, Prim};
use crate::rules::{Patterns, Rules, listed};

/// Words of what is none of the classes, lines and circles of it though (common practice, from memory; other languages
/// as in the built-in words). `*` stands for the rest of a word.
const ELSEWHERE: &str = "
    DECK DECKS DECKING TREAD TREADS STAIR STAIRS STRS STEP STEPS TILE TILES PAVER PAVERS PAVING ROOF ROOFING SHINGLE
    SHINGLES SIDING HATCH PATT PATTERN PATTERNS FLOR FLOORING PLANK PLANKS BOARDS GRID GRIDS AXIS AXES ACT DIM DIMS
    DIMENSION DIMENSIONS LOUVER LOUVERS BLIND BLINDS SLAT SLATS BATTEN BATTENS FENCE RAIL RAILS RAILING RAILINGS GUARD
    HANDRAIL HANDR BALUSTER BALUSTERS PERGOLA TRELLIS ARBOR PARKING STRIPE STRIPES STALL STALLS SITE LAND CONTOUR
    CONTOURS TOPO ELEV ELEVATION ELEVATIONS SECT SECTION SECTIONS DETL DETAIL DETAILS DOOR DOORS WINDOW WINDOWS GLAZ
    GLAZING GLASS MULLION MULLIONS CASE CASEWORK CABINET CABINETS MILLWORK COUNTER COUNTERS SHELF SHELVES SHELVING
    CLOSET ROD PLUMB PLUMBING PLBG PLUM PIPE PIPES PIPING SANI SANR WATER GAS DRAIN DRAINS WASTE VENT VENTS SEWER HVAC
    MECH REV REVC REVISION REVISIONS CLOUD CLOUDS MATCHLINE MATCHLINES MATCH_LINE MATC SHEET NPLT NOPLOT NONPLOT DEMO DEMOLITION FOOTING FOOTINGS FOUNDATION FNDN SLAB
    REBAR FOOTER FOOTERS BOLT BOLTS ANCHOR ANCHORS HANGER HANGERS STRAP STRAPS HOLDOWN HOLDOWNS NAIL NAILS SCREW SCREWS PILE PILES
    PIER PIERS POST POSTS COLUMN COLUMNS COLS DESK DESKS CHAIR CHAIRS SEAT SEATS STOOL STOOLS TABLE TABLES BED BEDS
    SOFA FURN FURNITURE RUG CARPET TREE TREES PLANT PLANTS PLANTING CAR CARS VEHICLE PEOPLE NORTH SCALE KEY ARROW
    LEADER LEADERS BUBBLE BUBBLES FIRE SPRINKLER SPRINKLERS HEADS PLUG PLUGS OUTLET OUTLETS RECEPTACLE RECEPTACLES
    RECEP RCPT SWITCH SWITCHES DATA PHONE TELEPHONE TV SENSOR SENSORS CAMERA SECURITY HOLE HOLES SLEEVE SLEEVES KNOB
    DOWNSPOUT DOWNSPOUTS POT_FILLER POT_FILLERS P_FIXT GPO GPOS UPLIGHT UPLIGHTS MATCHLINE MATCHLINES
    FURRING FURR STRAPPING LATH SLEEPER SLEEPERS SOLAR PV BASE BASEBOARD CROWN TRIM MOLDING MOULDING CORNICE COVE
    EQPM EQUIPMENT APPL APPLIANCE APPLIANCES REFERENCE TEMP SCRAP INSULATION INSUL
    DACH *DACH TREPPE TREPPEN STUFEN *FLIESEN FLIESEN FLIESE BODEN *BODEN FUSSBODEN *BELAG PARKETT PFLASTER ZAUN
    GELANDER GELAENDER RASTER ACHSE ACHSEN TUR TUER TUREN TUEREN FENSTER SCHNITT ANSICHT
    ESCALERA ESCALERAS PELDANOS TEJA TEJAS TEJADO CUBIERTA PAVIMENTO SUELO PUERTA PUERTAS VENTANA VENTANAS BALDOSA
    BALDOSAS CERAMICA CERAMICO BARANDA BARANDAS EJE EJES CORTE CORTES
    ESCALIER ESCALIERS MARCHES TOITURE TOIT CARRELAGE PARQUET DALLAGE PORTE PORTES FENETRE FENETRES AXE COUPE COUPES
    ESCADA ESCADAS DEGRAUS TELHA TELHAS TELHADO COBERTURA PORTA PORTAS JANELA JANELAS AZULEJO AZULEJOS EIXO EIXOS
    *楼梯* *樓梯* *瓦* *屋面* *屋顶* *屋頂* *地砖* *瓷砖* *地板* *铺装* *门* *門* *窗* *栏杆* *階段* *屋根* *床* *タイル*
    FINESTRA FINESTRE INFISSI SERRAMENTI FONSTER DORR DORRAR RAAM DEUR DEUREN KOZIJN KOZIJNEN OKNO OKNA DRZWI
    VIDRIO VIDRIOS VITRAGE VITRAGES VENTANAL VENTANALES CAIXILHO CAIXILHOS ESQUADRIA ESQUADRIAS
    *デッキ* *フローリング* *手摺* *畳* *窓* *建具* *サッシ* *ドア* *扉* *계단* *지붕* *타일* *바닥* *데크* *난간* *창호* *창문* *창틀*
    *출입문* *방문* 창 문";

/// Words of ceilings and of what is wired: equal symbols in rows under them may well be lights.
const OF_CEILINGS: &str = "
    ELEC ELECTRICAL ELECTRIC RCP CLNG CLG CEILING CEILINGS FIXT FIXTURE FIXTURES DECKE TECHO PLAFOND FORRO *天花*
    *天井* *천장*";

/// Shown where a name tells half and the evidence is not beyond doubt: below [`super::TAKEN`].
pub const HELD: f64 = 0.8;
/// The most that evidence adds up to, rounding aside: framing and walls, and lights without marks of a schedule.
const FULLEST: f64 = 0.995;
const FULLEST_LIGHTS: f64 = 0.945;
/// Round shapes on a layer of framing from here on are something else's.
const ROUND: usize = 3;

/// Which names tell half.
pub struct Half {
    elsewhere: Patterns,
    ceilings: Patterns,
}

impl Half {
    pub fn new() -> Self {
        Half {
            elsewhere: listed(ELSEWHERE),
            ceilings: listed(OF_CEILINGS),
        }
    }

    /// Whether a name that is of no class tells half.
    pub fn tells(&self, name: &str) -> bool {
        !says_nothing(name) && !self.elsewhere.layer_matches(name)
    }

    /// Whether a name speaks of a ceiling or of wiring.
    pub fn of_ceilings(&self, name: &str) -> bool {
        self.ceilings.layer_matches(name)
    }

    /// The confidence in lights of which a name tells half.
    pub fn held_lights(confidence: f64, alone: bool, of_ceilings: bool) -> f64 {
        match alone && of_ceilings && confidence >= FULLEST_LIGHTS {
            true => confidence,
            false => confidence.min(HELD),
        }
    }
}

/// What is sought among names that tell half.
fn sought(open: &Open) -> bool {
    open.framing || open.light || open.wall && open.room
}

/// Layers whose names tell half, and what is on them, where anything is sought there.
pub fn layers(flat: &Flat, classes: &Classes, open: &Open) -> Blank {
    let half = Half::new();
    match sought(open) {
        true => super::gathered(flat, classes, &|name| half.tells(name)),
        false => Blank::default(),
    }
}

/// Judges what blanks have left open.
pub fn weigh(
    flat: &Flat,
    classes: &mut Classes,
    rules: &Rules,
    open: &Open,
    blank: &mut Blank,
    judged: &mut Vec<Judged>,
) {
    let mut half = layers(flat, classes, open);
    blank.crowded.append(&mut half.crowded);
    let names = Half::new();
    let of_block = |&i: &usize| match &flat.items[i].prim {
        Prim::Symbol(symbol) => names.tells(&symbol.true_name),
        _ => false,
    };
    if half.layers.is_empty() && !blank.layers.values().flatten().any(of_block) {
        return;
    }
    let taken = |judged: &[Judged], class| judged.iter().any(|j: &Judged| j.class == class && j.taken());
    let read = &rules.read;
    if open.wall && open.room && !taken(judged, Class::Wall) && !taken(judged, Class::Room) {
        let found = rooms::rooms(flat, &kept(&half, &read.rooms));
        let found = held(found, judged, Class::Room);
        settle(flat, found, &mut half, classes, judged);
        let found = rooms::walls(flat, classes, &kept(&half, &read.walls));
        let found = held(found, judged, Class::Wall);
        settle(flat, found, &mut half, classes, judged);
    }
    if !(open.framing || open.light) {
        return;
    }
    let house = rooms::House::new(flat, classes);
    if open.framing && !taken(judged, Class::Framing) {
        let mut found = framing::framing(flat, classes, rules, &kept(&half, &read.framing), &house);
        for j in &mut found {
            let items = half.layers.get(&j.name).map_or(&[][..], Vec::as_slice);
            if rounds(flat, items).len() >= ROUND {
                j.confidence = j.confidence.min(HELD);
            }
        }
        let found = held(found, judged, Class::Framing);
        settle(flat, found, &mut half, classes, judged);
    }
    if open.light && !taken(judged, Class::Light) {
        // With all that was looked at before, for what stands alike stands in doubt.
        let mut both = kept(&half, &read.lights);
        for (layer, items) in &blank.layers {
            both.layers.insert(layer.clone(), items.clone());
        }
        let found = lights::lights(flat, classes, rules, (&both, &house), Some(&names), &[]);
        judged.retain(|j| j.class != Class::Light);
        settle(flat, found, &mut both, classes, judged);
    }
}

/// Without the layers that a word keeps out of the class.
pub fn kept(half: &Blank, patterns: &Patterns) -> Blank {
    let kept = half
        .layers
        .iter()
        .filter(|(layer, _)| !patterns.layer_excluded(layer));
    Blank {
        layers: kept
            .map(|(layer, items)| (layer.clone(), items.clone()))
            .collect(),
        crowded: Vec::new(),
    }
}

/// Asked about, unless one alone is beyond doubt.
fn held(mut found: Vec<Judged>, judged: &[Judged], class: Class) -> Vec<Judged> {
    let before = judged
        .iter()
        .filter(|j| j.class == class && j.confidence >= ASKED);
    let rivals = before.count() + found.iter().filter(|j| j.confidence >= ASKED).count();
    for j in &mut found {
        j.basis = Basis::Half;
        if rivals > 1 || j.confidence < FULLEST {
            j.confidence = j.confidence.min(HELD);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::Half;

    #[test]
    fn names_that_tell_half() {
        let half = Half::new();
        for name in [
            "S-FRAM",
            "STRUCTURAL",
            "ELECTRICAL",
            "RCP",
            "EXTERIOR",
            "Gyp Bd",
            "S-RAFT",
            "壁芯",
            "ZEBRA",
        ] {
            assert!(half.tells(name), "{name}");
        }
        // What says nothing at all, and what says something else.
        for name in [
            "0",
            "L3",
            "Layer 2",
            "DECK",
            "A-FLOR-PATT",
            "Roof Tiles",
            "DACH",
            "タイル",
            "A-DOOR",
            "STAIRS",
            "창",
            "A-창문",
            "窓",
            "建具",
            "Infissi",
        ] {
            assert!(!half.tells(name), "{name}");
        }
        assert!(half.of_ceilings("E-CLNG") && half.of_ceilings("Electrical") && !half.of_ceilings("POWER"));
    }
}
