//! What words on a drawing say of framing: `2x10 C.J. @ 16" O.C.`, `38x235 @ 400 c/c`.
//!
//! Strict: every word has to be known. What looks like framing and is not understood whole is
//! doubtful, and is told of.

use super::tokens::{Token, tokens};
use super::vocabulary::{
    APART, CENTRES, FILLERS, actual, flanged_alone, in_centimetres, is_mark, kind, may_be, part,
};
use crate::length::INCHES_PER_MM;
use crate::plan::MemberKind;

/// Spacings outside of this are of something else, inches.
const SPACINGS: std::ops::RangeInclusive<f64> = 6.0..=96.0;
/// A bare spacing above this is millimetres, below it inches where nothing is metric.
const METRIC: f64 = 200.0;
/// A bare spacing between these is centimetres where sizes are.
const CENTIMETRES: std::ops::RangeInclusive<f64> = 25.0..=150.0;
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
    /// They are known by an unknown word after a depth, taken for a maker's mark.
    pub marked: bool,
    /// The spacing is the greatest they may have.
    pub most: bool,
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
    let mut tokens = tokens(text);
    let centimetres = tokens
        .iter()
        .any(|t| matches!(t, Token::Word(w) if in_centimetres(w)))
        && !tokens.iter().any(|t| matches!(t, Token::Inch | Token::Foot));
    if centimetres {
        tokens = super::tokens::tokens(&crossed(text));
    }
    let mut reader = Reader {
        tokens: &tokens,
        at: 0,
        said: Said::default(),
        plies: 1.0,
        metric,
        centimetres,
        veneer: false,
        both: false,
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
    let named = |t: &Token| matches!(t, Token::Word(w) if kind(w).is_some() || may_be(w));
    let other_words = tokens.iter().any(|t| matches!(t, Token::Word(w) if w.len() > 2));
    let size = tokens
        .windows(3)
        .any(|w| matches!(w, [Token::Number(..), Token::By, Token::Number(..)]));
    let centres = tokens.windows(3).any(|w| {
        matches!(w, [Token::Word(a), Token::Slash | Token::Dash, Token::Word(b)]
            if matches!(&**a, "O" | "C") && b == "C")
    });
    // `2X8-16`: the spacing stands behind the size.
    let behind = tokens.windows(5).any(|w| {
        matches!(
            w,
            [
                Token::Number(..),
                Token::By,
                Token::Number(..),
                Token::Dash,
                Token::Number(..)
            ]
        )
    });
    let stepped = tokens.windows(2).any(|w| {
        matches!(w, [Token::Word(a), Token::Equals] if matches!(&**a, "E" | "A") || APART.contains(&&**a))
    });
    let marked = depths_of_flanged(tokens);
    let foreign = size
        && tokens
            .iter()
            .any(|t| matches!(t, Token::Word(w) if in_centimetres(w)));
    let members = tokens.iter().any(named) || (size && !other_words) || marked;
    number && (((centres || stepped || behind || tokens.iter().any(spaced)) && members) || foreign)
}

/// Whether a depth stands there that only I-joists have, or one that they may have and a mark of theirs.
fn depths_of_flanged(tokens: &[Token]) -> bool {
    tokens.windows(2).any(|w| match w {
        [Token::Number(n, _), Token::Inch] => {
            flanged_alone(*n)
                || tokens
                    .iter()
                    .any(|t| matches!(t, Token::Word(w) if is_mark(w, *n)))
        }
        _ => false,
    })
}

/// A number with its unit.
struct Side {
    number: f64,
    /// Written with a fraction.
    fraction: bool,
    /// Millimetres to a unit, where it is marked as metric.
    mm: Option<f64>,
    /// Tokens.
    taken: usize,
}

struct Reader<'a> {
    tokens: &'a [Token],
    at: usize,
    said: Said,
    plies: f64,
    metric: bool,
    /// Small sizes and spacings without a unit are centimetres.
    centimetres: bool,
    veneer: bool,
    /// Members of two parts of the house are named together.
    both: bool,
}

/// `8/16` as `8x16` and `62,5` as `62.5`: where sizes are written so, the stroke is no fraction's.
fn crossed(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let digit = |i: Option<usize>| i.and_then(|i| chars.get(i)).is_some_and(char::is_ascii_digit);
    let between = |i: usize| digit(i.checked_sub(1)) && digit(Some(i + 1));
    (chars.iter().enumerate())
        .map(|(i, &c)| match c {
            '/' if between(i) => 'x',
            ',' if between(i) => '.',
            c => c,
        })
        .collect()
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

    fn side(&self, ahead: usize) -> Option<Side> {
        let Some(&Token::Number(number, fraction)) = self.peek(ahead) else {
            return None;
        };
        let (mm, taken) = match self.peek(ahead + 1) {
            Some(Token::Inch) => (None, 2),
            Some(Token::Word(w)) if &**w == "MM" => (Some(1.0), 2),
            Some(Token::Word(w)) if &**w == "CM" => (Some(10.0), 2),
            _ => (None, 1),
        };
        Some(Side {
            number,
            fraction,
            mm,
            taken,
        })
    }

    /// `2x10`, `1 3/4" x 11 7/8"`, `38x235`, `10x20 cm`.
    fn size(&mut self) -> bool {
        let Some(a) = self.side(0) else {
            return false;
        };
        if self.peek(a.taken) != Some(&Token::By) {
            return false;
        }
        let Some(b) = self.side(a.taken + 1) else {
            return false;
        };
        let small = self.centimetres && (4.0..19.0).contains(&a.number) && b.number >= 8.0 && b.number < 60.0;
        let mm = (b.mm.or(a.mm)).or(small.then_some(10.0));
        let scale = mm.unwrap_or(1.0);
        let fraction = a.fraction || b.fraction;
        let found = actual(scale * a.number, scale * b.number, fraction, mm.is_some());
        let Some((thickness, depth)) = found else {
            return false;
        };
        if self.said.thickness.is_some() || self.said.depth.is_some() {
            return false;
        }
        self.metric |= scale * a.number >= 19.0;
        self.said.thickness = Some(thickness);
        self.said.depth = Some(depth);
        self.at += a.taken + 1 + b.taken;
        true
    }

    /// How many tokens from here say that a spacing follows.
    fn apart(&self) -> usize {
        match (self.peek(0), self.peek(1), self.peek(2)) {
            (Some(Token::At), ..) => 1,
            (Some(Token::Word(w)), Some(Token::Equals), _) if matches!(&**w, "E" | "A" | "C") => 2,
            (Some(Token::Word(w)), Some(Token::Slash), Some(Token::Number(..))) if &**w == "C" => 2,
            (Some(Token::Word(w)), Some(Token::Equals), _) if APART.contains(&&**w) => 2,
            (Some(Token::Word(w)), ..) if APART.contains(&&**w) => 1,
            _ => 0,
        }
    }

    /// `@ 16" O.C.`, `@ 400`, `24" O.C.`, `c/c 600`.
    fn spacing(&mut self) -> bool {
        let marked = self.apart();
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
            _ if self.centimetres && CENTIMETRES.contains(&n) => (Some(10.0 * n * INCHES_PER_MM), 1),
            _ if (!self.metric || fraction) && SPACINGS.contains(&n) => (Some(n), 1),
            _ => (None, 1),
        })
    }

    /// `11 7/8" I-JOISTS`, `18" DEEP TRUSSES`, `300mm JOISTS`.
    fn depth(&mut self) -> bool {
        let Some(side) = self.side(0) else {
            return false;
        };
        let inch = side.taken == 2 && side.mm.is_none();
        let inches = side.mm.map_or(side.number, |mm| side.number * mm * INCHES_PER_MM);
        let told = side.mm.is_some() || inch || side.fraction;
        if !told || !(3.0..=48.0).contains(&inches) || self.said.depth.is_some() {
            return false;
        }
        self.said.depth = Some(inches);
        self.at += side.taken;
        if self.said.kind.is_none() && self.word(0).is_some_and(|w| is_mark(w, inches)) {
            self.said.kind = Some(MemberKind::Joist);
            (self.said.flanged, self.said.marked) = (true, true);
            self.at += 1;
            self.series();
        }
        true
    }

    /// The series after a maker's mark: `230`, `/L65`, `5000s-1.8`.
    fn series(&mut self) {
        loop {
            match (self.peek(0), self.peek(1)) {
                (Some(Token::Number(..)), Some(Token::Inch | Token::Foot | Token::By)) => return,
                (Some(Token::Number(..)), _) if self.centres(1) == 0 => {}
                (Some(Token::Slash | Token::Dash), Some(Token::Number(..) | Token::Word(_))) => {}
                (Some(Token::Word(w)), _) if w.len() == 1 && self.centres(0) == 0 => {}
                _ => return,
            }
            self.at += 1;
        }
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
            // `(BY OTHERS)` says who, not what.
            (Some(Token::By), Some(Token::Word(w)), _)
                if matches!(&**w, "OTHERS" | "MFR" | "MANUF" | "MANUFACTURER" | "SUPPLIER") =>
            {
                self.at += 2;
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
            self.said.part = match self.said.part {
                // What is said of rafters and of ceiling joists is said of the ceiling.
                Some(p) if p != part && self.both && (p == Part::Ceiling || part == Part::Ceiling) => {
                    Some(Part::Ceiling)
                }
                Some(p) if p != part => return false,
                _ => Some(part),
            };
        }
        self.both |= matches!(word, "&" | "AND");
        self.said.most |= matches!(word, "MAX" | "MAXIMUM");
        self.veneer |= matches!(word, "LVL" | "LSL");
        let plain = FILLERS.contains(&word) || matches!(word, "&" | "AND" | "MAX" | "MAXIMUM");
        let known = kind(word).is_some() || part(word).is_some() || plain;
        self.at += usize::from(known);
        known
    }
}
