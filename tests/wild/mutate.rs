//! Changes to a drawing: of bytes, of groups, of whole entities. The same generator gives the same.

use fastrand::Rng;

/// Values that readers have stumbled over: ends of ranges, no numbers at all, wrong forms.
const VALUES: [&[u8]; 24] = [
    b"0",
    b"-1",
    b"1e308",
    b"-1e308",
    b"1e-320",
    b"NaN",
    b"inf",
    b"1e999",
    b"2147483647",
    b"-2147483648",
    b"99999999999999999999",
    b"1000000000",
    b"32767",
    b"65536",
    b"",
    b" ",
    b"0x10",
    b"1,5",
    b"%%d",
    b"\\U+FFFF",
    b"\\M+5FFFF",
    b"*U1",
    b"{ACAD_REACTORS",
    b"\xff\xfe\x00",
];

/// Group codes that open, close or multiply things.
const CODES: [&[u8]; 20] = [
    b"0", b"1", b"2", b"3", b"5", b"10", b"20", b"11", b"40", b"41", b"42", b"62", b"66", b"67", b"70",
    b"71", b"90", b"210", b"1001", b"-5",
];

/// Types whose fields take each other's place.
const TYPES: [&[u8]; 18] = [
    b"LINE",
    b"INSERT",
    b"ATTRIB",
    b"SEQEND",
    b"POLYLINE",
    b"VERTEX",
    b"LWPOLYLINE",
    b"CIRCLE",
    b"ARC",
    b"ELLIPSE",
    b"SPLINE",
    b"HATCH",
    b"MTEXT",
    b"DIMENSION",
    b"BLOCK",
    b"ENDBLK",
    b"ENDSEC",
    b"SECTION",
];

/// One to eight changes to a copy of `seed`; parts of `other` may be put in.
pub fn mutate(rng: &mut Rng, seed: &[u8], other: &[u8]) -> Vec<u8> {
    let mut bytes = seed.to_vec();
    for _ in 0..rng.u8(1..=8) {
        if bytes.is_empty() {
            break;
        }
        match rng.u8(0..3) {
            0 => change_bytes(rng, &mut bytes, other),
            _ => change_lines(rng, &mut bytes, other),
        }
    }
    bytes
}

fn part(rng: &mut Rng, len: usize, most: usize) -> std::ops::Range<usize> {
    let from = rng.usize(0..len.max(1)).min(len);
    from..(from + rng.usize(0..=most)).min(len)
}

fn change_bytes(rng: &mut Rng, bytes: &mut Vec<u8>, other: &[u8]) {
    let range = part(rng, bytes.len(), 64);
    match rng.u8(0..6) {
        0 => bytes[range.start] = rng.u8(..),
        1 => bytes[range.start] ^= 1 << rng.u8(0..8),
        2 => drop(bytes.drain(range)),
        3 => bytes.insert(range.start, rng.u8(..)),
        4 => {
            let put = part(rng, other.len(), 256);
            bytes.splice(range, other[put].iter().copied());
        }
        // Cut short: seldom, since what follows is then never looked at.
        _ if rng.u8(0..4) == 0 => bytes.truncate(range.start),
        _ => bytes[range].fill(0),
    }
}

/// Changes whole lines, so that the drawing stays well enough formed to reach the deeper stages.
/// A binary drawing has few line ends, and gets the rest of its bytes changed alike.
fn change_lines(rng: &mut Rng, bytes: &mut Vec<u8>, other: &[u8]) {
    let at = rng.usize(0..bytes.len());
    let line = line_at(bytes, at);
    match rng.u8(0..8) {
        0 | 1 => put(bytes, line, VALUES[rng.usize(0..VALUES.len())]),
        2 => put(bytes, line, CODES[rng.usize(0..CODES.len())]),
        3 => put(bytes, line, TYPES[rng.usize(0..TYPES.len())]),
        4 => {
            // A run of lines twice over.
            let end = (line.start + rng.usize(1..400)).min(bytes.len());
            let run = line.start..line_at(bytes, end.saturating_sub(1)).end;
            let again = bytes[run.clone()].to_vec();
            bytes.splice(run.end..run.end, again);
        }
        5 => {
            let end = (line.start + rng.usize(1..200)).min(bytes.len());
            drop(bytes.drain(line.start..end));
        }
        6 => {
            // A name for a name: blocks come to hold themselves.
            let from = rng.usize(0..bytes.len());
            let taken = bytes[line_at(bytes, from)].to_vec();
            bytes.splice(line, taken);
        }
        _ => {
            let from = line_at(other, rng.usize(0..other.len().max(1))).start;
            let end = (from + rng.usize(1..400)).min(other.len());
            bytes.splice(line.start..line.start, other[from..end].iter().copied());
        }
    }
}

/// The line that holds a place, its line end included.
fn line_at(bytes: &[u8], at: usize) -> std::ops::Range<usize> {
    let at = at.min(bytes.len());
    let start = bytes[..at].iter().rposition(|&b| b == b'\n').map_or(0, |i| i + 1);
    let end = bytes[at..]
        .iter()
        .position(|&b| b == b'\n')
        .map_or(bytes.len(), |i| at + i + 1);
    start..end
}

fn put(bytes: &mut Vec<u8>, line: std::ops::Range<usize>, value: &[u8]) {
    let ending: &[u8] = match &bytes[line.clone()] {
        [.., b'\r', b'\n'] => b"\r\n",
        [.., b'\n'] => b"\n",
        _ => b"",
    };
    let value = [value, ending].concat();
    bytes.splice(line, value);
}
