//! Numbers as drawings write them: fast where they are plain, patient where not.

/// A number and whether it was written as it should be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Real {
    pub(crate) value: f64,
    /// Written with a decimal comma, a Fortran exponent or the like.
    pub(crate) odd: bool,
}

/// Powers of ten that `f64` holds exactly.
const POWERS: [f64; 16] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
];

/// Reads a real number. `1.#QNAN` and its like give NaN; text that is no number gives `None`.
#[inline]
pub(crate) fn real(text: &[u8]) -> Option<Real> {
    let text = text.trim_ascii();
    plain(text)
        .map(|value| Real { value, odd: false })
        .or_else(|| patient(text))
}

/// At most 15 digits and one point, no exponent: an integer below 2^53 divided by an
/// exact power of ten is rounded correctly.
#[inline]
fn plain(text: &[u8]) -> Option<f64> {
    let (negative, digits) = match text {
        [b'-', rest @ ..] => (true, rest),
        _ => (false, text),
    };
    if digits.len() > 16 {
        return None;
    }
    let mut mantissa = 0_u64;
    let mut point = None;
    for (i, &b) in digits.iter().enumerate() {
        match b {
            b'0'..=b'9' => mantissa = mantissa * 10 + u64::from(b - b'0'),
            b'.' if point.is_none() => point = Some(i),
            _ => return None,
        }
    }
    let count = digits.len() - usize::from(point.is_some());
    if count == 0 || count > 15 {
        return None;
    }
    let decimals = point.map_or(0, |i| digits.len() - i - 1);
    let value = mantissa as f64 / POWERS.get(decimals)?;
    Some(if negative { -value } else { value })
}

fn patient(text: &[u8]) -> Option<Real> {
    let text = std::str::from_utf8(text).ok()?;
    if let Ok(value) = text.parse::<f64>() {
        return Some(Real { value, odd: false });
    }
    if text.contains('#') && text.starts_with(['-', '+', '1', '0']) {
        return Some(Real {
            value: f64::NAN,
            odd: true,
        });
    }
    let mended = text.replace(',', ".").replace(['d', 'D'], "e");
    if mended.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '.')) {
        return mended.parse().ok().map(|value| Real { value, odd: true });
    }
    None
}

/// Reads a whole number; a real number without a fraction will do. Values beyond
/// 64 bits are clamped.
#[inline]
pub(crate) fn integer(text: &[u8]) -> Option<i64> {
    let text = text.trim_ascii();
    if (1..=18).contains(&text.len()) && text.iter().all(u8::is_ascii_digit) {
        return Some(text.iter().fold(0, |n, b| n * 10 + i64::from(b - b'0')));
    }
    let text = std::str::from_utf8(text).ok()?;
    if let Ok(n) = text.parse::<i64>() {
        return Some(n);
    }
    let value = real(text.as_bytes())?.value;
    (value.is_finite() && value.fract() == 0.0).then_some(value as i64)
}

/// Reads a handle: up to 16 hexadecimal digits.
#[inline]
pub(crate) fn handle(text: &[u8]) -> Option<u64> {
    let text = text.trim_ascii();
    if text.is_empty() || text.len() > 16 {
        return None;
    }
    let mut value = 0_u64;
    for &b in text {
        let digit = match b {
            b'0'..=b'9' => b - b'0',
            b'A'..=b'F' => b - b'A' + 10,
            b'a'..=b'f' => b - b'a' + 10,
            _ => return None,
        };
        value = value << 4 | u64::from(digit);
    }
    Some(value)
}
