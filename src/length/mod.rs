//! Lengths as the trade writes them: feet, inches and sixteenths.
//!
//! Words: a *quantity* is a number, a fraction or both (`3`, `3/8`, `3 1/2`, `3-1/2`);
//! a length is a quantity with a unit, or feet followed by inches.

#[cfg(test)]
mod tests;
mod within;

pub use within::{Written, WrittenUnit, unit_named, within};

/// Inches in a millimetre: the inch is 25.4 mm exactly (international yard and pound, 1959).
pub const INCHES_PER_MM: f64 = 1.0 / 25.4;

const HOW: &str = "write it like 5' 3 1/2\", 3 1/2 or 90mm";

/// Reads a length in inches from text such as `5' 3 1/2"`, `3 1/2`, `6 3/8"`,
/// `12'`, `5'-3 1/2"`, `90mm`, `2.4 m`, `30cm`, `0.375`. A bare number is inches.
///
/// # Errors
/// One sentence that says what was wrong: nothing there, an unknown mark or unit, numbers that do
/// not fit together, a fraction over nothing, or a value too great for a number.
pub fn parse(text: &str) -> Result<f64, String> {
    let fail = |what: &str| format!("\"{}\" is not a length: {what}; {HOW}", text.trim());
    let (negative, body) = split_sign(text.trim());
    let mut tokens = tokens(body).map_err(|what| fail(&what))?.into_iter().peekable();
    let mut total = 0.0;
    let mut last_unit = None;
    let mut any = false;
    while tokens.peek().is_some() {
        if any {
            // Only feet may be followed by something, and only by inches; `5'-3"` joins them by a dash.
            if last_unit != Some(Unit::Foot) {
                return Err(fail("only inches after feet may follow"));
            }
            tokens.next_if_eq(&Token::Dash);
        }
        let quantity = match (tokens.next(), tokens.peek()) {
            (Some(Token::Fraction(value)), _) => value,
            (Some(Token::Number(whole)), Some(Token::Fraction(part))) => {
                let part = *part;
                tokens.next();
                whole + part
            }
            (Some(Token::Number(whole)), Some(Token::Dash)) => {
                tokens.next();
                match tokens.next() {
                    Some(Token::Fraction(part)) => whole + part,
                    _ => {
                        return Err(fail(
                            "a dash must stand before a fraction or between feet and inches",
                        ));
                    }
                }
            }
            (Some(Token::Number(whole)), _) => whole,
            _ => return Err(fail("a number is missing")),
        };
        let unit = match tokens.peek() {
            Some(Token::Unit(unit)) => {
                let unit = *unit;
                tokens.next();
                unit
            }
            _ => Unit::Inch,
        };
        if any && unit != Unit::Inch {
            return Err(fail("only inches after feet may follow"));
        }
        total += quantity * unit.inches();
        last_unit = Some(unit);
        any = true;
    }
    match (any, total.is_finite()) {
        (false, _) => Err(fail("there is no number")),
        (_, false) => Err(fail("the number is too great")),
        (true, true) => Ok(if negative { -total } else { total }),
    }
}

fn split_sign(text: &str) -> (bool, &str) {
    match text.strip_prefix(['-', '\u{2212}']) {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Token {
    Number(f64),
    Fraction(f64),
    Unit(Unit),
    Dash,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Unit {
    Inch,
    Foot,
    Mm,
    Cm,
    Metre,
}

impl Unit {
    fn inches(self) -> f64 {
        match self {
            Unit::Inch => 1.0,
            Unit::Foot => 12.0,
            Unit::Mm => INCHES_PER_MM,
            Unit::Cm => 10.0 * INCHES_PER_MM,
            Unit::Metre => 1000.0 * INCHES_PER_MM,
        }
    }

    fn named(word: &str) -> Option<Unit> {
        Some(match word.to_ascii_lowercase().as_str() {
            "in" | "inch" | "inches" => Unit::Inch,
            "ft" | "foot" | "feet" => Unit::Foot,
            "mm" => Unit::Mm,
            "cm" => Unit::Cm,
            "m" => Unit::Metre,
            _ => return None,
        })
    }
}

fn tokens(text: &str) -> Result<Vec<Token>, String> {
    let mut out = Vec::new();
    let mut rest = text.trim_start();
    while let Some(first) = rest.chars().next() {
        let used = match first {
            '0'..='9' | '.' => {
                let (token, used) = number(rest)?;
                out.push(token);
                used
            }
            '-' | '\u{2010}'..='\u{2013}' => {
                out.push(Token::Dash);
                first.len_utf8()
            }
            '"' | '\u{2033}' | '\u{201C}' | '\u{201D}' => {
                out.push(Token::Unit(Unit::Inch));
                first.len_utf8()
            }
            '\'' | '\u{2032}' | '\u{2018}' | '\u{2019}' => {
                // Two single marks side by side are one inch mark.
                let mark = first.len_utf8();
                let doubled = rest.get(mark..).is_some_and(|after| after.starts_with(first));
                out.push(Token::Unit(if doubled { Unit::Inch } else { Unit::Foot }));
                if doubled { 2 * mark } else { mark }
            }
            c if c.is_alphabetic() => {
                let used = rest.find(|c: char| !c.is_alphabetic()).unwrap_or(rest.len());
                let word = &rest[..used];
                out.push(Token::Unit(Unit::named(word).ok_or_else(|| {
                    format!("\"{word}\" is no unit known here (in, ft, mm, cm, m)")
                })?));
                // `12 ft.` and `3 in.` carry an abbreviation's point.
                match rest.get(used..).and_then(|after| after.strip_prefix('.')) {
                    Some(after) if !after.starts_with(|c: char| c.is_ascii_digit()) => used + 1,
                    _ => used,
                }
            }
            c => match vulgar_fraction(c) {
                Some(value) => {
                    out.push(Token::Fraction(value));
                    c.len_utf8()
                }
                None => return Err(format!("\"{c}\" has no meaning there")),
            },
        };
        rest = rest.get(used..).unwrap_or("").trim_start();
    }
    Ok(out)
}

/// A number or a fraction at the start of `text`, and how many bytes it takes.
fn number(text: &str) -> Result<(Token, usize), String> {
    let end = |t: &str, decimal: bool| {
        t.find(|c: char| !(c.is_ascii_digit() || (decimal && c == '.')))
            .unwrap_or(t.len())
    };
    let read = |t: &str| t.parse::<f64>().map_err(|_| format!("\"{t}\" is no number"));
    let used = end(text, true);
    let over = text[..used].parse::<f64>();
    let Some(below) = text[used..].strip_prefix(['/', '\u{2044}']) else {
        return Ok((Token::Number(read(&text[..used])?), used));
    };
    let digits = end(below, false);
    let over = over.map_err(|_| format!("\"{}\" is no number", &text[..used]))?;
    let under = read(&below[..digits])?;
    if under == 0.0 {
        return Err("a fraction has nothing below its stroke".into());
    }
    Ok((Token::Fraction(over / under), text.len() - below.len() + digits))
}

/// The value of a sign that is a fraction of its own; `None` for any other.
pub(crate) fn vulgar_fraction(c: char) -> Option<f64> {
    Some(match c {
        '\u{BC}' => 0.25,
        '\u{BD}' => 0.5,
        '\u{BE}' => 0.75,
        '\u{215B}' => 0.125,
        '\u{215C}' => 0.375,
        '\u{215D}' => 0.625,
        '\u{215E}' => 0.875,
        _ => return None,
    })
}

/// Inches as feet, inches and the nearest 1/16: `5' 3 1/2"`, `3/8"`, `0"`, `-1' 0"`.
/// Below one foot the feet are left out. What is no number is shown as `?`.
pub fn feet_inches(inches: f64) -> String {
    if !inches.is_finite() {
        return "?".into();
    }
    let sixteenths = sixteenths(inches);
    let feet = (sixteenths / 192.0).floor();
    let sign = if inches < 0.0 && sixteenths > 0.0 { "-" } else { "" };
    // After feet a zero is written out, `1' 0 1/2"`, lest the half be read as feet.
    let rest = whole_and_part(sixteenths - feet * 192.0, feet > 0.0);
    if feet > 0.0 {
        format!("{sign}{}' {rest}\"", whole(feet))
    } else {
        format!("{sign}{rest}\"")
    }
}

/// Inches only, to the nearest 1/16: `63 1/2"`. What is no number is shown as `?`.
pub fn inches_only(inches: f64) -> String {
    if !inches.is_finite() {
        return "?".into();
    }
    let sixteenths = sixteenths(inches);
    let sign = if inches < 0.0 && sixteenths > 0.0 { "-" } else { "" };
    format!("{sign}{}\"", whole_and_part(sixteenths, false))
}

/// The nearest whole number of sixteenths in the magnitude of `inches`.
fn sixteenths(inches: f64) -> f64 {
    let scaled = inches.abs() * 16.0;
    // Beyond the range of sixteenths the number itself is whole already.
    if scaled.is_finite() {
        scaled.round()
    } else {
        f64::MAX
    }
}

/// `3 1/2`, `1/2` (`0 1/2` where asked), `3` or `0` from a whole number of sixteenths.
fn whole_and_part(sixteenths: f64, keep_zero: bool) -> String {
    let inches = (sixteenths / 16.0).floor();
    let part = (sixteenths - inches * 16.0) as u32;
    if part == 0 {
        return whole(inches);
    }
    let shared = 1 << part.trailing_zeros().min(4);
    let fraction = format!("{}/{}", part / shared, 16 / shared);
    if inches == 0.0 && !keep_zero {
        fraction
    } else {
        format!("{} {fraction}", whole(inches))
    }
}

/// A whole number that is not negative. Those that fit are written as such, at a tenth of the cost.
fn whole(number: f64) -> String {
    match number < 1e15 {
        true => (number as u64).to_string(),
        false => format!("{number:.0}"),
    }
}

/// The nearest multiple of 1/16 in.
pub fn to_sixteenth(inches: f64) -> f64 {
    // Adding zero turns a negative zero into zero.
    (inches * 16.0).round() / 16.0 + 0.0
}
