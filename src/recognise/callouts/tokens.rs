//! The words, numbers and marks of a text about framing.

use crate::length::vulgar_fraction;

/// One piece of a text. Words are in capitals, without the points of abbreviations.
#[derive(Clone, Debug, PartialEq)]
pub enum Token {
    /// A number, and whether it was written with a fraction or a decimal point.
    Number(f64, bool),
    Word(String),
    Inch,
    Foot,
    /// Between the two sides of a size.
    By,
    At,
    Open,
    Close,
    Dash,
    Slash,
    Hash,
    Equals,
    /// Commas, semicolons, colons, points that stand alone.
    Comma,
    /// What has no meaning here.
    Odd,
}

/// A text longer than this is no callout, characters.
const LONGEST: usize = 200;

/// The pieces of a text; nothing for a text that is too long.
pub fn tokens(text: &str) -> Vec<Token> {
    let chars: Vec<char> = text
        .chars()
        .take(LONGEST + 1)
        .flat_map(char::to_uppercase)
        .collect();
    if chars.len() > LONGEST {
        return Vec::new();
    }
    let mut out = Vec::new();
    let mut i = 0;
    let at = |i: usize| chars.get(i).copied().unwrap_or(' ');
    while let Some(&c) = chars.get(i) {
        let digit = |c: char| c.is_ascii_digit();
        if c.is_whitespace() {
            i += 1;
        } else if digit(c) || (c == '.' && digit(at(i + 1))) {
            let (number, fraction, used) = number(&chars[i..]);
            out.push(Token::Number(number, fraction));
            i += used;
        } else if c.is_alphabetic() {
            let mut word = String::new();
            while at(i).is_alphabetic() || (at(i) == '.' && !digit(at(i + 1))) {
                if at(i) != '.' {
                    word.push(at(i));
                }
                i += 1;
            }
            // `NO.2`, `C/C.400`
            i += usize::from(at(i) == '.');
            out.push(match word.as_str() {
                "X" | "BY" => Token::By,
                "AT" => Token::At,
                _ => Token::Word(word),
            });
        } else {
            let doubled = c == at(i + 1) && matches!(c, '\'' | '\u{2032}' | '\u{2019}');
            out.push(match c {
                '\'' | '\u{2032}' | '\u{2019}' if doubled => Token::Inch,
                '"' | '\u{2033}' | '\u{201C}' | '\u{201D}' => Token::Inch,
                '\'' | '\u{2032}' | '\u{2018}' | '\u{2019}' => Token::Foot,
                '\u{D7}' => Token::By,
                '@' => Token::At,
                '(' | '[' => Token::Open,
                ')' | ']' => Token::Close,
                '-' | '\u{2010}'..='\u{2014}' => Token::Dash,
                '/' => Token::Slash,
                '#' => Token::Hash,
                '=' | '\u{FF1D}' => Token::Equals,
                ',' | ';' | ':' | '.' => Token::Comma,
                '&' => Token::Word("&".to_string()),
                _ => Token::Odd,
            });
            i += 1 + usize::from(doubled);
        }
    }
    plurals(out)
}

/// `2x10's`: the mark of a plural is no foot.
fn plurals(mut tokens: Vec<Token>) -> Vec<Token> {
    let mut i = 0;
    while i + 1 < tokens.len() {
        let plural = tokens[i] == Token::Foot && matches!(&tokens[i + 1], Token::Word(w) if w == "S");
        if plural {
            tokens.remove(i);
        }
        i += 1;
    }
    tokens
}

/// A number at the start: `16`, `19.2`, `11 7/8`, `11-7/8`, `7/8`, `11½`; whether it has a part, and how
/// many characters it takes.
fn number(chars: &[char]) -> (f64, bool, usize) {
    let at = |i: usize| chars.get(i).copied().unwrap_or(' ');
    let digits = |from: usize, point: bool| {
        let rest = chars.get(from..).unwrap_or_default();
        rest.iter()
            .take_while(|c| c.is_ascii_digit() || (point && **c == '.'))
            .count()
    };
    let value = |from: usize, len: usize| -> f64 {
        let text: String = chars.get(from..from + len).unwrap_or_default().iter().collect();
        text.parse().unwrap_or(f64::NAN)
    };
    // Numerator and denominator from `from` on, if they stand there.
    let fraction = |from: usize| {
        let over = digits(from, false);
        let under = digits(from + over + 1, false);
        let stroke = matches!(at(from + over), '/' | '\u{2044}');
        let (n, d) = (value(from, over), value(from + over + 1, under));
        (over > 0 && under > 0 && stroke && n < d).then_some((n / d, over + 1 + under))
    };
    if let Some((part, used)) = fraction(0) {
        return (part, true, used);
    }
    // A point that ends a sentence or an item's number is none of the number's.
    let mut used = digits(0, true);
    if used > 1 && at(used - 1) == '.' {
        used -= 1;
    }
    let whole = value(0, used);
    if let Some(part) = vulgar_fraction(at(used)) {
        return (whole + part, true, used + 1);
    }
    if matches!(at(used), ' ' | '-')
        && let Some((part, more)) = fraction(used + 1)
    {
        return (whole + part, true, used + 1 + more);
    }
    (whole, whole.fract() != 0.0, used)
}
