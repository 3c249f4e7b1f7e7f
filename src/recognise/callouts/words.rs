//! What words on a drawing say of framing: `2x10 C.J. @ 16" O.C.`, `38x235 @ 400 c/c`.
//!
//! Strict: every word has to be known. What looks like framing and is not understood whole is
//! doubtful, and is told of.

use super::tokens::{Token, tokens};
use crate::length::INCHES_PER_MM;
use crate::plan::MemberKind;

/// Spacings outside of this are of something else, inches.
const SPACINGS: std::ops::RangeInclusive<f64> = 6.0..=96.0;
/// A bare spacing above this is millimetres, below it inches where nothing is metric.
const METRIC: f64 = 200.0;
/// Sawn members this deep and less may be studs where no word says what they are, inches.
const STUD: f64 = 6.0;
/// A laminated veneer member is made this thick, inches (common practice, from memory).
const VENEER: f64 = 1.75;

/// Which part of the house the words name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    Ceiling,
    Floor,
    Roof,
}

/// What the words say; lengths are inches, actual sizes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Said {
    pub kind: Option<MemberKind>,
    pub part: Option<Part>,
    /// Across one member, its plies summed.
    pub thickness: Option<f64>,
    pub depth: Option<f64>,
    pub spacing: Option<f64>,
    /// Members with flanges, whose width the words seldom tell.
    pub flanged: bool,
}

/// What a text is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Words {
    /// Members and their spacing.
    Framing(Said),
    /// One of the two; the other may stand in the next line.
    Partly(Said),
    /// Speaks of framing in words that are not all understood.
    Doubtful,
    Other,
}

/// Reads a text. In a `metric` drawing a small bare spacing may be centimetres and is not taken.
pub fn read(text: &str, metric: bool) -> Words {
    let tokens = tokens(text);
    let mut reader = Reader {
        tokens: &tokens,
        at: 0,
        said: Said::default(),
        plies: 1.0,
        metric,
        veneer: false,
    };
    let understood = reader.all();
    let said = reader.said;
    let named = said.kind.is_some();
    let sized = said.depth.is_some_and(|d| d > STUD) && said.thickness.is_some();
    if understood {
        match (named || sized, said.spacing) {
            (true, Some(s)) if SPACINGS.contains(&s) && said.thickness.is_none_or(|t| t < s) => {
                return Words::Framing(Said {
                    kind: said.kind.or(Some(MemberKind::Joist)),
                    ..said
                });
            }
            (_, None) if named || said.thickness.is_some() => return Words::Partly(said),
            (false, Some(s)) if said.thickness.is_none() && SPACINGS.contains(&s) => {
                return Words::Partly(said);
            }
            _ => {}
        }
    }
    if speaks(&tokens) {
        Words::Doubtful
    } else {
        Words::Other
    }
}

/// Whether a spacing is told of something that may be framing.
fn speaks(tokens: &[Token]) -> bool {
    let number = tokens.iter().any(|t| matches!(t, Token::Number(..)));
    let spaced = |t: &Token| match t {
        Token::At => true,
        Token::Word(w) => matches!(&**w, "OC" | "CC" | "CTRS" | "CRS" | "CENTERS" | "CENTRES"),
        _ => false,
    };
    // Studs, ties and nails have spacings too: only a member's word, or a size of lumber alone, counts.
    let named = |t: &Token| matches!(t, Token::Word(w) if kind(w).is_some());
    let other_words = tokens.iter().any(|t| matches!(t, Token::Word(w) if w.len() > 2));
    let size = tokens
        .windows(3)
        .any(|w| matches!(w, [Token::Number(..), Token::By, Token::Number(..)]));
    let centres = tokens.windows(3).any(|w| {
        matches!(w, [Token::Word(a), Token::Slash | Token::Dash, Token::Word(b)]
            if matches!(&**a, "O" | "C") && b == "C")
    });
    number && (centres || tokens.iter().any(spaced)) && (tokens.iter().any(named) || (size && !other_words))
}

struct Reader<'a> {
    tokens: &'a [Token],
    at: usize,
    said: Said,
    plies: f64,
    metric: bool,
    veneer: bool,
}

impl Reader<'_> {
    fn peek(&self, ahead: usize) -> Option<&Token> {
        self.tokens.get(self.at + ahead)
    }

    fn word(&self, ahead: usize) -> Option<&str> {
        match self.peek(ahead) {
            Some(Token::Word(w)) => Some(w),
            _ => None,
        }
    }

    /// Takes everything; false where something is not understood or is said twice.
    fn all(&mut self) -> bool {
        while self.at < self.tokens.len() {
            if !(self.plies() || self.size() || self.spacing() || self.depth() || self.words()) {
                return false;
            }
        }
        if self.veneer && self.said.thickness.is_none() {
            self.said.thickness = Some(VENEER);
        }
        if self.plies > 1.0 {
            // Plies of what is not known make no thickness.
            let Some(one) = self.said.thickness else {
                return false;
            };
            self.said.thickness = Some(one * self.plies);
        }
        true
    }

    /// `(2) 2x10`, `2-2x10`, `DBL 2x10`.
    fn plies(&mut self) -> bool {
        let counted = |n: f64| (2.0..=4.0).contains(&n) && n.fract() == 0.0;
        let (taken, plies) = match (self.peek(0), self.peek(1), self.peek(2), self.peek(3)) {
            (Some(Token::Open), Some(&Token::Number(n, false)), Some(Token::Close), _) if counted(n) => {
                (3, n)
            }
            (Some(&Token::Number(n, false)), Some(Token::Dash), Some(Token::Number(..)), Some(Token::By))
                if counted(n) =>
            {
                (2, n)
            }
            (Some(Token::Word(w)), ..) if matches!(&**w, "DBL" | "DOUBLE" | "DOUBLED") => (1, 2.0),
            (Some(Token::Word(w)), ..) if matches!(&**w, "TPL" | "TRIPLE") => (1, 3.0),
            _ => return false,
        };
        if self.plies > 1.0 {
            return false;
        }
        self.at += taken;
        self.plies = plies;
        true
    }

    /// A number with its mark: the number, whether it has a fraction, whether it is marked as
    /// millimetres, and how many tokens it takes.
    fn side(&self, ahead: usize) -> Option<(f64, bool, bool, usize)> {
        let Some(&Token::Number(n, fraction)) = self.peek(ahead) else {
            return None;
        };
        Some(match self.peek(ahead + 1) {
            Some(Token::Inch) => (n, fraction, false, 2),
            Some(Token::Word(w)) if &**w == "MM" => (n, fraction, true, 2),
            _ => (n, fraction, false, 1),
        })
    }

    /// `2x10`, `1 3/4" x 11 7/8"`, `38x235`.
    fn size(&mut self) -> bool {
        let Some((a, a_part, a_mm, first)) = self.side(0) else {
            return false;
        };
        if self.peek(first) != Some(&Token::By) {
            return false;
        }
        let Some((b, b_part, b_mm, second)) = self.side(first + 1) else {
            return false;
        };
        let Some((thickness, depth)) = actual(a, b, a_part || b_part, a_mm || b_mm) else {
            return false;
        };
        if self.said.thickness.is_some() || self.said.depth.is_some() {
            return false;
        }
        self.metric |= a >= 19.0;
        self.said.thickness = Some(thickness);
        self.said.depth = Some(depth);
        self.at += first + 1 + second;
        true
    }

    /// `@ 16" O.C.`, `@ 400`, `24" O.C.`, `c/c 600`.
    fn spacing(&mut self) -> bool {
        let marked = usize::from(self.peek(0) == Some(&Token::At));
        let before = self.centres(marked);
        let start = marked + before;
        let Some((inches, taken)) = self.length(start) else {
            return false;
        };
        let after = self.centres(start + taken);
        if start == 0 && after == 0 || self.said.spacing.is_some() {
            return false;
        }
        let Some(inches) = inches else { return false };
        self.said.spacing = Some(inches);
        self.at += start + taken + after;
        true
    }

    /// How many tokens from `ahead` say "on centre".
    fn centres(&self, ahead: usize) -> usize {
        match (self.word(ahead), self.peek(ahead + 1), self.word(ahead + 2)) {
            (Some("O" | "C"), Some(Token::Slash | Token::Dash), Some("C")) => 3,
            (Some("ON"), Some(Token::Word(w)), _) if CENTRES.contains(&&**w) => 2,
            (Some("OC" | "CC" | "CTC"), ..) => 1,
            (Some(w), ..) if CENTRES.contains(&w) => 1,
            _ => 0,
        }
    }

    /// A length of a spacing; `None` inside where its unit is not told.
    fn length(&self, ahead: usize) -> Option<(Option<f64>, usize)> {
        let Some(&Token::Number(n, fraction)) = self.peek(ahead) else {
            return None;
        };
        Some(match (self.peek(ahead + 1), self.peek(ahead + 2)) {
            (Some(Token::Inch), _) => (Some(n), 2),
            (Some(Token::Foot), next) => {
                // `1'-4"`: a dash may join the two.
                let dash = usize::from(next == Some(&Token::Dash));
                match (self.peek(ahead + 2 + dash), self.peek(ahead + 3 + dash)) {
                    (Some(&Token::Number(inches, _)), Some(Token::Inch)) => {
                        (Some(12.0 * n + inches), 4 + dash)
                    }
                    _ => (Some(12.0 * n), 2),
                }
            }
            (Some(Token::Word(w)), _) if &**w == "MM" => (Some(n * INCHES_PER_MM), 2),
            (Some(Token::Word(w)), _) if &**w == "CM" => (Some(10.0 * n * INCHES_PER_MM), 2),
            (Some(Token::Word(w)), _) if &**w == "M" => (Some(1000.0 * n * INCHES_PER_MM), 2),
            (Some(Token::Word(w)), _) if matches!(&**w, "IN" | "INCH" | "INCHES") => (Some(n), 2),
            _ if n >= METRIC => (Some(n * INCHES_PER_MM), 1),
            _ if (!self.metric || fraction) && SPACINGS.contains(&n) => (Some(n), 1),
            _ => (None, 1),
        })
    }

    /// `11 7/8" I-JOISTS`, `18" DEEP TRUSSES`, `300mm JOISTS`.
    fn depth(&mut self) -> bool {
        let Some((n, fraction, mm, taken)) = self.side(0) else {
            return false;
        };
        let inch = taken == 2 && !mm;
        let inches = if mm { n * INCHES_PER_MM } else { n };
        let told = mm || inch || fraction;
        if !told || !(3.0..=48.0).contains(&inches) || self.said.depth.is_some() {
            return false;
        }
        self.said.depth = Some(inches);
        self.at += taken;
        true
    }

    fn words(&mut self) -> bool {
        match (self.peek(0), self.peek(1), self.peek(2)) {
            (Some(Token::Hash), Some(Token::Number(..)), _) => self.at += 2,
            (Some(Token::Word(w)), Some(Token::Number(n, false)), _) if &**w == "NO" && *n <= 3.0 => {
                self.at += 2;
            }
            (Some(Token::Word(i)), Some(Token::Dash), Some(Token::Word(w)))
                if &**i == "I" && kind(w) == Some(MemberKind::Joist) =>
            {
                self.said.flanged = true;
                self.at += 2;
            }
            (Some(Token::Word(i)), Some(Token::Word(w)), _)
                if &**i == "I" && kind(w) == Some(MemberKind::Joist) =>
            {
                self.said.flanged = true;
                self.at += 1;
            }
            (Some(Token::Word(w)), ..) => {
                let w = w.clone();
                return self.one_word(&w);
            }
            (Some(Token::Dash | Token::Open | Token::Close | Token::Comma | Token::Slash), ..) => {
                self.at += 1
            }
            _ => return false,
        }
        true
    }

    fn one_word(&mut self, word: &str) -> bool {
        if let Some(found) = kind(word) {
            if self.said.kind.is_some_and(|k| k != found) {
                return false;
            }
            self.said.kind = Some(found);
            self.said.flanged |= word.starts_with("IJ");
        }
        if let Some(part) = part(word) {
            if self.said.part.is_some_and(|p| p != part) {
                return false;
            }
            self.said.part = Some(part);
        }
        self.veneer |= matches!(word, "LVL" | "LSL");
        let known = kind(word).is_some() || part(word).is_some() || FILLERS.contains(&word);
        self.at += usize::from(known);
        known
    }
}

/// Words for "on centre" beside the abbreviations.
const CENTRES: [&str; 8] = [
    "CENTER", "CENTERS", "CENTRE", "CENTRES", "CTR", "CTRS", "CRS", "CNTRS",
];

/// What a word calls the member. English trade words; French, Spanish and German from memory.
fn kind(word: &str) -> Option<MemberKind> {
    Some(match word {
        "JOIST" | "JOISTS" | "JST" | "JSTS" | "CJ" | "CJS" | "FJ" | "FJS" | "IJOIST" | "IJOISTS"
        | "RAFTER" | "RAFTERS" | "RFTR" | "RFTRS" | "RR" | "SOLIVE" | "SOLIVES" | "VIGUETA" | "VIGUETAS"
        | "BALKEN" | "DECKENBALKEN" => MemberKind::Joist,
        "TRUSS" | "TRUSSES" | "FERME" | "FERMES" | "CERCHA" | "CERCHAS" => MemberKind::Truss,
        "BEAM" | "BEAMS" => MemberKind::Beam,
        _ => return None,
    })
}

fn part(word: &str) -> Option<Part> {
    Some(match word {
        "CLG" | "CEIL" | "CEILING" | "CJ" | "CJS" => Part::Ceiling,
        "FLOOR" | "FLR" | "FL" | "FJ" | "FJS" => Part::Floor,
        "ROOF" | "RF" | "RAFTER" | "RAFTERS" | "RFTR" | "RFTRS" | "RR" => Part::Roof,
        _ => return None,
    })
}

/// Words that change nothing: what the members are made of and that they are usual.
const FILLERS: [&str; 60] = [
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
