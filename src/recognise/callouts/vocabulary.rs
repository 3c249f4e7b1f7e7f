//! Words of framing and sizes of lumber.

use crate::length::INCHES_PER_MM;
use crate::plan::MemberKind;

use super::words::Part;

/// Words for "on centre" beside the abbreviations.
pub const CENTRES: [&str; 8] = [
    "CENTER", "CENTERS", "CENTRE", "CENTRES", "CTR", "CTRS", "CRS", "CNTRS",
];

/// Words that a spacing follows (French, Spanish, German; from memory).
pub const APART: [&str; 7] = [
    "ENTRAXE",
    "ENTREAXE",
    "CADA",
    "ABSTAND",
    "ACHSABSTAND",
    "SEPARACION",
    "PITCH",
];

/// What a word calls the member. English trade words; French, Spanish, German, Portuguese, Chinese, Japanese and
/// Korean from memory.
pub fn kind(word: &str) -> Option<MemberKind> {
    Some(match word {
        "JOIST" | "JOISTS" | "JST" | "JSTS" | "CJ" | "CJS" | "FJ" | "FJS" | "IJOIST" | "IJOISTS"
        | "RAFTER" | "RAFTERS" | "RFTR" | "RFTRS" | "RR" | "SOLIVE" | "SOLIVES" | "VIGUETA" | "VIGUETAS"
        | "BALKEN" | "BALKENLAGE" | "DECKENBALKEN" | "SPARREN" | "VIGOTA" | "VIGOTAS" | "BARROTE"
        | "BARROTES" | "CAIBRO" | "CAIBROS" | "根太" | "天井根太" | "床根太" | "垂木" | "搁栅" | "장선"
        | "서까래" => MemberKind::Joist,
        "TRUSS" | "TRUSSES" | "FERME" | "FERMES" | "CERCHA" | "CERCHAS" => MemberKind::Truss,
        "BEAM" | "BEAMS" | "VIGA" | "VIGAS" => MemberKind::Beam,
        _ => return None,
    })
}

/// Whether a member is called so where sizes are written in centimetres.
pub fn in_centimetres(word: &str) -> bool {
    let foreign = [
        "SOLIVE",
        "VIGUETA",
        "VIGA",
        "BALKEN",
        "BALKENLAGE",
        "DECKENBALKEN",
        "SPARREN",
        "VIGOTA",
        "BARROTE",
        "CAIBRO",
        "FERME",
        "CERCHA",
    ];
    foreign.contains(&word) || word.strip_suffix('S').is_some_and(|one| foreign.contains(&one))
}

/// Whether a word is one for battens that ceilings hang from, or studs: told of, and not taken for members (野縁
/// battens below the ceiling's joists, 木龙骨 timber battens and studs; from memory).
pub fn may_be(word: &str) -> bool {
    matches!(
        word,
        "野縁" | "野縁受" | "木龙骨" | "木龍骨" | "龙骨" | "龍骨" | "吊顶龙骨" | "吊頂龍骨"
    )
}

/// Depths that I-joists are made in, inches (common practice, from memory).
const FLANGED: [f64; 10] = [9.25, 9.5, 11.25, 11.875, 14.0, 16.0, 18.0, 20.0, 22.0, 24.0];
/// Words with an I or a J that stand after a depth and are no maker's mark.
const NO_MARKS: [&str; 22] = [
    "RIM", "RIGID", "TIE", "TIES", "CLIP", "CLIPS", "PIN", "PINS", "PIPE", "TILE", "MIN", "JAMB", "BRICK",
    "WIDE", "HIGH", "RISER", "FIRE", "SIDE", "LINE", "PINE", "GIRT", "STRIP",
];

/// Whether a depth is one that only I-joists have: not a spacing, not a width.
pub fn flanged_alone(depth: f64) -> bool {
    FLANGED
        .iter()
        .any(|d| d.fract() != 0.0 && (d - depth).abs() < 0.01)
}

/// Whether an unknown word after a depth is a maker's mark for I-joists: short, with the I or the J that such marks
/// have, after a depth they are made in.
pub fn is_mark(word: &str, depth: f64) -> bool {
    let made = FLANGED.iter().any(|d| (d - depth).abs() < 0.01);
    let short = (2..=5).contains(&word.len()) && word.chars().all(|c| c.is_ascii_uppercase());
    let unknown = kind(word).is_none() && part(word).is_none() && !NO_MARKS.contains(&word);
    let plain = FILLERS.contains(&word) || CENTRES.contains(&word) || APART.contains(&word);
    made && short && unknown && !plain && word != "IN" && word.contains(['I', 'J'])
}

pub fn part(word: &str) -> Option<Part> {
    Some(match word {
        "CLG" | "CEIL" | "CEILING" | "CJ" | "CJS" | "天井根太" => Part::Ceiling,
        "FLOOR" | "FLR" | "FL" | "FJ" | "FJS" | "床根太" => Part::Floor,
        "ROOF" | "RF" | "RAFTER" | "RAFTERS" | "RFTR" | "RFTRS" | "RR" => Part::Roof,
        _ => return None,
    })
}

/// Words that change nothing: what the members are made of and that they are usual.
pub const FILLERS: [&str; 64] = [
    "VAULTED",
    "DE",
    "MADERA",
    "MADEIRA",
    "S",
    "TYP",
    "TYPICAL",
    "UNO",
    "UON",
    "ABOVE",
    "ABV",
    "OVER",
    "FRAMING",
    "WOOD",
    "WD",
    "LUMBER",
    "SAWN",
    "DEEP",
    "DP",
    "SPACED",
    "AT",
    "NEW",
    "N",
    "E",
    "EXIST",
    "EXISTING",
    "EXG",
    "PREFAB",
    "PREFABRICATED",
    "PRE",
    "FAB",
    "ENGINEERED",
    "ENGR",
    "ENG",
    "MANUF",
    "MANUFACTURED",
    "MFR",
    "MFD",
    "SCISSOR",
    "ATTIC",
    "COMMON",
    "MONO",
    "OPEN",
    "WEB",
    "PARALLEL",
    "CHORD",
    "LVL",
    "LSL",
    "SPF",
    "DF",
    "DFL",
    "DL",
    "L",
    "HF",
    "HEM",
    "FIR",
    "SYP",
    "SP",
    "DOUGLAS",
    "KD",
    "PT",
    "OR",
    "BTR",
    "BETTER",
];

/// Actual thickness and depth, inches, of what is written as `a` by `b`; `None` where it is no size of a
/// member.
///
/// Whole inches are nominal: dry dimension lumber of American Softwood Lumber Standard PS 20 (2 is
/// 1 1/2, 3 is 2 1/2, 4 is 3 1/2 thick; the widths likewise, from 8 on 3/4 off), timbers from 5
/// thick on 1/2 off both (PS 20, from memory). Fractions and millimetres are actual (38 by 235 is the
/// 2×10 of Canadian drawings).
pub fn actual(a: f64, b: f64, fraction: bool, mm: bool) -> Option<(f64, f64)> {
    if mm || a >= 19.0 {
        let sound = (19.0..=140.0).contains(&a) && (60.0..=700.0).contains(&b) && b > a;
        return sound.then_some((a * INCHES_PER_MM, b * INCHES_PER_MM));
    }
    if b < a || b > 30.0 {
        return None;
    }
    if fraction {
        return ((0.74..=7.05).contains(&a) && b >= 2.4).then_some((a, b));
    }
    let whole = a.fract() == 0.0 && b.fract() == 0.0;
    match (a as u32, b as u32) {
        (2..=4, 3..=16) if whole => Some((a - 0.5, if b < 8.0 { b - 0.5 } else { b - 0.75 })),
        (5..=8, 6..=24) if whole => Some((a - 0.5, b - 0.5)),
        _ => None,
    }
}
