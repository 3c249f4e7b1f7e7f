//! One ceiling drawn in offices of many tongues: other names, the same plan.
//!
//! The words are those in use for these things, from memory.

use super::{Sheet, inches, recognise};
use crate::plan::{MemberKind, Plan};
use crate::rules::Rules;

/// Layers of light, joist, beam, wall, room and device, blocks of light, pendant and switch, furniture's layer.
type Names = [&'static str; 10];

const ENGLISH: Names = [
    "LIGHTS",
    "JOISTS",
    "BEAMS",
    "WALLS",
    "ROOMS",
    "DIFFUSERS",
    "DOWNLIGHT",
    "PENDANT",
    "SWITCH",
    "FURNITURE",
];

const OTHERS: [(&str, Names); 24] = [
    (
        "National CAD Standard",
        [
            "A-CLNG-LITE",
            "S-JOIS",
            "S-BEAM",
            "A-WALL",
            "A-AREA",
            "M-HVAC-CDFF",
            "LITE",
            "PENDANT",
            "SWCH",
            "A-FURN",
        ],
    ),
    (
        "National CAD Standard, electrical",
        [
            "E-LITE",
            "S-JOIS-N",
            "S-BEAM-WOOD",
            "A-WALL-FULL",
            "A-AREA-OTLN",
            "M-HVAC-CDFF",
            "LITE",
            "PENDANT",
            "SWCH",
            "I-FURN",
        ],
    ),
    (
        "ISO 13567 by CI/SfB",
        [
            "E-63----E-",
            "JOISTS",
            "BEAMS",
            "A-22----E-N01",
            "ROOMS",
            "M-57____E_",
            "DOWNLIGHT",
            "PENDANT",
            "SWITCH",
            "FURNITURE",
        ],
    ),
    (
        "Spanish",
        [
            "Iluminación",
            "Viguetas",
            "VIGAS",
            "MUROS",
            "HABITACIONES",
            "Difusores",
            "Luminaria_empotrada",
            "COLGANTE",
            "Apagador",
            "MOBILIARIO",
        ],
    ),
    (
        "Spanish, singular",
        [
            "A-LUZ",
            "A-VIGUETA",
            "A-VIGA",
            "TABIQUERÍA",
            "A-ÁREA",
            "REJILLA",
            "FOCO",
            "LUMINARIA COLGANTE",
            "INTERRUPTOR",
            "MUEBLES",
        ],
    ),
    (
        "Spanish, decomposed accents",
        [
            "ILUMINACIO\u{301}N",
            "VIGUETAS",
            "VIGAS",
            "PAREDES",
            "CUARTOS",
            "VENTILADOR",
            "LÁMPARA",
            "COLGANTE",
            "APAGADOR",
            "SANITARIOS",
        ],
    ),
    (
        "French",
        [
            "Éclairage",
            "Solives",
            "Poutres",
            "Murs",
            "Pièces",
            "Diffuseurs",
            "Spot encastré",
            "Suspension",
            "Interrupteur",
            "Mobilier",
        ],
    ),
    (
        "French, capitals without accents",
        [
            "LUMIERES",
            "SOLIVAGE",
            "POUTRE",
            "CLOISONS",
            "LOCAUX",
            "DETECTEURS",
            "LUMIERE_ENCASTRE",
            "SUSPENSION",
            "INTERRUPTEUR",
            "SANITAIRE",
        ],
    ),
    (
        "German",
        [
            "Beleuchtung",
            "Deckenbalken",
            "Unterzüge",
            "Wände",
            "Räume",
            "Luftauslass",
            "Einbauleuchte",
            "Pendelleuchte",
            "Lichtschalter",
            "Möbel",
        ],
    ),
    (
        "German, umlauts written out",
        [
            "E_LEUCHTEN",
            "S_BALKENLAGE",
            "S_UNTERZUEGE",
            "A_WAENDE",
            "A_RAEUME",
            "Deckenventilator",
            "Einbaustrahler",
            "HAENGELEUCHTE",
            "Schalter",
            "SANITAER",
        ],
    ),
    (
        "German, compounds",
        [
            "EG-Einbauleuchten",
            "EG-Dachsparren",
            "EG-Stahlträger",
            "EG-Innenwände",
            "EG-Raumflächen",
            "EG-Rauchmelder",
            "LED-Deckenleuchte",
            "LED-Pendelleuchte",
            "Wechselschalter",
            "EG-Möblierung",
        ],
    ),
    (
        "Portuguese",
        [
            "ILUMINAÇÃO",
            "Barrotes",
            "Vigas",
            "Paredes",
            "Cômodos",
            "Grelhas",
            "Luminária embutida",
            "Pendente",
            "Interruptor",
            "Mobília",
        ],
    ),
    (
        "Portuguese, others",
        [
            "LUMINÁRIAS",
            "CAIBROS",
            "VIGA",
            "ALVENARIA",
            "AMBIENTES",
            "EXAUSTOR",
            "EMBUTIDO",
            "PENDENTE",
            "INTERRUPTOR",
            "MÓVEIS",
        ],
    ),
    (
        "Chinese",
        [
            "照明",
            "搁栅",
            "木梁",
            "墙体",
            "房间",
            "散流器",
            "筒灯",
            "吊灯",
            "单联开关",
            "家具",
        ],
    ),
    (
        "Chinese, compounds",
        [
            "A-天花灯具",
            "S-木搁栅",
            "S-主梁",
            "A-内墙",
            "A-房间轮廓",
            "M-出风口",
            "LED嵌灯",
            "装饰吊灯",
            "开关",
            "I-固定家具",
        ],
    ),
    (
        "Chinese, traditional",
        [
            "燈具",
            "擱柵",
            "大樑",
            "隔間牆",
            "房間",
            "出風口",
            "崁燈",
            "吊燈",
            "開關",
            "家具",
        ],
    ),
    (
        "Japanese",
        [
            "照明器具",
            "根太",
            "大梁",
            "内壁",
            "部屋",
            "吹出口",
            "ダウンライト",
            "ペンダントライト",
            "スイッチ",
            "家具",
        ],
    ),
    (
        "Japanese, half-width Kana and full-width Latin",
        [
            "Ｅ－照明",
            "垂木",
            "小屋梁",
            "間仕切壁",
            "居室",
            "換気扇",
            "ﾀﾞｳﾝﾗｲﾄ",
            "ﾍﾟﾝﾀﾞﾝﾄ",
            "ｽｲｯﾁ",
            "植栽",
        ],
    ),
    (
        "Korean",
        [
            "조명",
            "장선",
            "보",
            "벽체",
            "방",
            "디퓨저",
            "매입등",
            "펜던트등",
            "스위치",
            "가구",
        ],
    ),
    (
        "Korean, others",
        [
            "A-조명기구",
            "S-서까래",
            "S-큰보",
            "A-내벽",
            "A-실",
            "M-환풍기",
            "LED다운라이트",
            "펜던트",
            "전등스위치",
            "A-가구",
        ],
    ),
    (
        "Korean, jamo written apart",
        [
            "\u{110C}\u{1169}\u{1106}\u{1167}\u{11BC}",
            "천장장선",
            "대들보",
            "벽",
            "면적",
            "감지기",
            "다운라이트",
            "펜던트",
            "스위치",
            "기둥",
        ],
    ),
    (
        "from references",
        [
            "haus|Beleuchtung",
            "x$0$SOLIVES",
            "x$0$VIGAS",
            "casa$1$MUROS",
            "x|部屋",
            "m$0$DIFUSORES",
            "x$0$EINBAULEUCHTE",
            "x$0$SUSPENSION",
            "SCHALTER",
            "x$0$MOBILIER",
        ],
    ),
    (
        "tongues mixed",
        [
            "LIGHTING-照明",
            "SOLIVES-JOISTS",
            "VIGA BEAM",
            "MUR-WALL",
            "ROOM RAUM",
            "DIFUSOR-CDFF",
            "筒灯 DOWNLIGHT",
            "吊灯 PENDANT",
            "开关 SWITCH",
            "FURN-家具",
        ],
    ),
    (
        "camel case",
        [
            "ElektroBeleuchtung",
            "HolzBalken",
            "StahlTräger",
            "InnenWand",
            "NettoRaum",
            "DeckenLüfter",
            "DeckenSpot",
            "PendelLeuchte PENDEL PENDANT",
            "LichtSchalter",
            "BadSanitär",
        ],
    ),
];

fn ceiling(n: &Names) -> Sheet {
    let mut sheet = Sheet::default();
    let [
        light,
        joist,
        beam,
        wall,
        room,
        device,
        downlight,
        pendant,
        switch,
        furniture,
    ] = *n;
    let corners = [(0.0, 0.0), (160.0, 0.0), (160.0, 120.0), (0.0, 120.0)];
    for (i, &p) in corners.iter().enumerate() {
        sheet.line(wall, p, corners[(i + 1) % 4]);
    }
    sheet.path(room, &corners, true);
    for i in 0..9 {
        sheet.upright(joist, 16.0 + 16.0 * f64::from(i), 1.5, (0.0, 120.0));
    }
    sheet.path(
        beam,
        &[(0.0, 122.0), (160.0, 122.0), (160.0, 125.5), (0.0, 125.5)],
        true,
    );
    let mut symbol = |layer: &str, block: &str, at: (f64, f64), radius: f64| {
        let insert = sheet.insert(layer, block, at);
        let circle = sheet.circle("0", at, radius);
        sheet.put(circle, insert);
    };
    for x in [24.0, 72.0, 120.0] {
        symbol(light, downlight, (x, 40.0), 3.0);
        // Nothing but its name tells.
        symbol("0", downlight, (x, 80.0), 3.0);
    }
    symbol(light, pendant, (136.0, 104.0), 6.0);
    symbol(light, switch, (4.0, 60.0), 2.0);
    sheet.circle(device, (60.0, 104.0), 7.0);
    sheet.circle(furniture, (40.0, 20.0), 8.0);
    sheet
}

/// The plan without what the names alone make different.
fn plan(n: &Names) -> Plan {
    let (mut plan, _) = recognise(&ceiling(n).flat, &inches(), &Rules::default());
    plan.lights.iter_mut().for_each(|l| l.block = None);
    plan.obstacles.iter_mut().for_each(|o| o.name.clear());
    plan.unclaimed.iter_mut().for_each(|u| u.layer.clear());
    plan
}

#[test]
fn a_plan_reads_the_same_in_every_tongue() {
    let english = plan(&ENGLISH);
    assert_eq!(english.lights.len(), 6);
    assert_eq!(english.members.len(), 10);
    let beams = english.members.iter().filter(|m| m.kind == MemberKind::Beam);
    assert_eq!(beams.count(), 1);
    assert_eq!((english.rooms.len(), english.walls.len()), (1, 4));
    assert_eq!(english.obstacles.len(), 2, "diffuser and pendant");
    let mut wrong = Vec::new();
    for (tongue, names) in OTHERS {
        let found = plan(&names);
        if found != english {
            let kinds: Vec<_> = found.members.iter().map(|m| m.kind).collect();
            wrong.push(format!(
                "{tongue}: {} lights, {} rooms, {} walls, {} obstacles, {kinds:?}, {:?}",
                found.lights.len(),
                found.rooms.len(),
                found.walls.len(),
                found.obstacles.len(),
                found.unclaimed,
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
