//! Blocking: pieces across a bay that is too wide for the bars, or has nothing on one side.
//!
//! The pieces run square to the members, from face to face, one on either side of the light, as far
//! apart as a usual bay. The bars then hang from them, along the members. Where the wall is nearer
//! than the next member, a piece ends at the wall's line, to be nailed to its plate.
//!
//! Where a wall is all there is on a side, a piece along it may do instead ([`nailer`]): the bars then run
//! from the member to it. Of the two ways the one with fewer pieces is taken, then the one with less lumber. No piece
//! is put into a device. Lights of one bay are blocked together ([`shared`]).

use geo::{Coord, Intersects, Vector2DOps};

use super::judge::{Change, Scope};
use super::{Action, Bench, Offer, Piece};
use crate::check::Kind;
use crate::geom::{FUZZ, Line, unit};
use crate::length::feet_inches;
use crate::plan::{LightId, Member, MemberId, MemberKind, Plan};
use crate::rules::{Luminaire, Rules};

mod bay;
mod ladder;
mod nailer;
mod rail;
mod say;
mod shared;
#[cfg(test)]
mod tests;

/// What blocking mends.
pub(super) const KINDS: [Kind; 2] = [Kind::WideBay, Kind::NoSupport];

/// Two-by stock is this thick, inches (PS 20, American Softwood Lumber Standard).
const THICKNESS: f64 = 1.5;
/// Clear space between the pieces where the housing allows it, inches: that of members 16 in on centre,
/// which all bars are made for (common practice).
const CLEAR: f64 = 14.5;
/// Longest piece, inches: a stud of eight feet (common practice). What is wider wants framing.
const LONGEST: f64 = 96.0;
/// Step of the places tried, inches.
const STEP: f64 = 0.5;

/// One end of a piece: distance from the light's line along the members, and what is there.
#[derive(Clone, Copy)]
struct End {
    room: f64,
    member: Option<MemberId>,
}

/// The blocking for a light, worked out for its bay's lights together; it mends the first of `targets` (places among the
/// findings).
pub(super) fn find(bench: &mut Bench<'_>, light: LightId, targets: &[usize]) -> Offer {
    if !bench.blocked.contains_key(&light) {
        shared::plan_bay(bench, light);
    }
    match bench.blocked.get(&light) {
        Some(offer) => offer.clone(),
        None => alone(bench, light, targets),
    }
}

/// Pieces that make a bay for one light by itself.
fn alone(bench: &Bench<'_>, light: LightId, targets: &[usize]) -> Offer {
    let (plan, rules) = (bench.plan, bench.rules);
    let Some(it) = plan.lights.get(light.0) else {
        return Offer::none(light, "it is not on the plan".into());
    };
    let Some(bay) = it.bay else {
        return Offer::none(light, "no framing is known there".into());
    };
    let housing = rules.luminaire(it);
    let Some(clear) = clear_between(&housing, rules) else {
        return Offer::none(
            light,
            format!(
                "its bars reach {}, less than the housing is long",
                feet_inches(housing.bars.greatest)
            ),
        );
    };
    let (alone, scope) = (Scope::alone(plan, light, rules), bench.around(&[light]));
    // The light by itself rules out most places.
    let works = |offer: &Offer| {
        let does = |scope: &Scope, change: &Change| {
            let verdict = scope.judge(change, rules);
            let mended = verdict.mended(scope, bench.findings);
            verdict.clean() && targets.first().is_some_and(|i| mended.contains(i))
        };
        clear_of_devices(plan, pieces_of(offer))
            && Change::of(offer).is_some_and(|change| does(&alone, &change) && does(&scope, &change))
    };
    let along = nailer::offer(plan, light, it, &bay, &housing).filter(&works);
    let mut why = "pieces there would be in the way of another light or a device".to_string();
    let mut across = None;
    for (clear, shift) in places(clear, &housing, rules) {
        let ends = [shift + clear / 2.0, shift - clear / 2.0];
        let pieces: Result<Vec<Piece>, String> = ends
            .iter()
            .zip([THICKNESS / 2.0, -THICKNESS / 2.0])
            .map(|(face, half)| piece(plan, light, it.at, bay.along, face + half))
            .collect();
        let pieces = match pieces {
            Ok(pieces) => pieces,
            Err(reason) => {
                why = reason;
                continue;
            }
        };
        let offer = offer(plan, light, pieces, clear);
        if works(&offer) {
            across = Some(offer);
            break;
        }
    }
    let cost = |offer: &Offer| {
        ladder::Cost::of(
            pieces_of(offer).len(),
            pieces_of(offer).iter().map(|p| p.cut).sum(),
        )
    };
    let cheaper = along.into_iter().chain(across).min_by_key(cost);
    cheaper.unwrap_or_else(|| Offer::none(light, why))
}

fn pieces_of(offer: &Offer) -> &[Piece] {
    match &offer.action {
        Action::Block { pieces } => pieces,
        _ => &[],
    }
}

/// Whether no piece lies on a device in the ceiling.
fn clear_of_devices(plan: &Plan, pieces: &[Piece]) -> bool {
    pieces.iter().all(|piece| {
        let Some(d) = unit(piece.to - piece.from) else {
            return false;
        };
        // What only touches is beside it.
        let (half, end) = (d.left() * (piece.thickness / 2.0 - FUZZ), d * FUZZ);
        let (a, b) = (piece.from + end, piece.to - end);
        let body = geo::Polygon::new(vec![a + half, b + half, b - half, a - half].into(), Vec::new());
        plan.obstacles.iter().all(|o| {
            let outline = geo::Polygon::new(o.outline.clone().into(), Vec::new());
            !body.intersects(&outline)
        })
    })
}

/// Clear space between the pieces: a usual bay's, or what the housing, the bars' least length and the distance from
/// wood want if that is more. `None` where the bars do not reach so far.
fn clear_between(housing: &Luminaire, rules: &Rules) -> Option<f64> {
    let body = if housing.ic {
        0.0
    } else {
        housing.body + 2.0 * rules.tolerance.combustible
    };
    let longer = housing.box_side.max(housing.short_side) + rules.tolerance.tab_gain;
    let clear = CLEAR.max(housing.bars.least).max(body).max(2.0 * longer);
    let clear = (clear * 16.0).ceil() / 16.0;
    (clear <= housing.bars.greatest).then_some(clear)
}

/// Clear spaces and shifts of their middle from the light, the usual one first: centred, then off centre as far
/// as the housing allows, then wider.
fn places(clear: f64, housing: &Luminaire, rules: &Rules) -> Vec<(f64, f64)> {
    let least = housing.short_side.min(housing.box_side) + rules.tolerance.tab_gain;
    let mut all = Vec::new();
    let mut wide = clear;
    while wide <= housing.bars.greatest {
        let mut shift = 0.0;
        while wide / 2.0 - shift >= least {
            all.push((wide, shift));
            if shift > 0.0 {
                all.push((wide, -shift));
            }
            shift += STEP;
        }
        wide += 1.0;
    }
    all
}

/// The piece whose centreline crosses the bay at `station` along the members from the light.
fn piece(plan: &Plan, light: LightId, at: Coord, along: Coord, station: f64) -> Result<Piece, String> {
    let line = Line {
        point: at + along * station,
        along: along.left(),
    };
    let left = end(plan, light, &line, 1.0);
    let right = end(plan, light, &line, -1.0);
    let (Some(left), Some(right)) = (left, right) else {
        return Err("there is neither member nor wall to nail a piece to on one side".into());
    };
    let clear = left.room + right.room;
    if left.room <= 0.0 || right.room <= 0.0 {
        return Err("a member is in the way of the pieces".into());
    }
    if clear > LONGEST {
        return Err(format!(
            "the space is {} wide, more than a piece of {} spans: ask for framing",
            feet_inches(clear),
            feet_inches(LONGEST)
        ));
    }
    // Rounded down to what a tape shows, but for rounding of the arithmetic.
    let cut = ((clear + 1e-6) * 16.0).floor() / 16.0;
    if left.member.is_none() && right.member.is_none() {
        return Err("there is no member on either side to carry blocking: ask for framing".into());
    }
    // The spare sixteenth is left at the wall, or on the right.
    let start = if left.member.is_none() {
        cut - right.room
    } else {
        left.room
    };
    Ok(Piece {
        from: line.at(start),
        to: line.at(start - cut),
        thickness: THICKNESS,
        cut,
        between: [left.member, right.member].into_iter().flatten().collect(),
        serves: vec![light],
    })
}

/// What a piece that runs along `line` toward `sign` ends at: the nearest member's face, or the wall if it is nearer.
fn end(plan: &Plan, light: LightId, line: &Line, sign: f64) -> Option<End> {
    let faces = plan
        .members
        .iter()
        .enumerate()
        .filter(|(_, m)| m.kind != MemberKind::Block);
    let member = faces
        .filter_map(|(i, m)| Some((face(m, line, sign)?, MemberId(i))))
        .min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let wall = wall(plan, light, line, sign);
    match (member, wall) {
        (Some((room, _)), Some(wall)) if wall < room - 1e-6 => Some(End {
            room: wall,
            member: None,
        }),
        (Some((room, id)), _) => Some(End {
            room,
            member: Some(id),
        }),
        (None, Some(wall)) => Some(End {
            room: wall,
            member: None,
        }),
        (None, None) => None,
    }
}

/// Distance along `line` toward `sign` to the nearest part of a member over a piece's thickness. `None` where it has no
/// part ahead.
fn face(member: &Member, line: &Line, sign: f64) -> Option<f64> {
    let along = unit(member.to - member.from)?;
    let half = along.left() * (member.thickness / 2.0);
    let ring = [
        member.from + half,
        member.to + half,
        member.to - half,
        member.from - half,
    ];
    let local: Vec<Coord> = ring
        .iter()
        .map(|&p| Coord {
            x: line.station(p) * sign,
            y: line.offset(p),
        })
        .collect();
    // A face that only touches the edge of the piece is beside it.
    let edge = THICKNESS / 2.0 - 1e-6;
    let sides = local.iter().zip(local.iter().cycle().skip(1));
    let part: Vec<f64> = sides.flat_map(|(&a, &b)| within(a, b, edge)).collect();
    let far = part.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let near = part.iter().copied().fold(f64::INFINITY, f64::min);
    (far > 0.0).then_some(near)
}

/// The x of both ends of the part of `a`–`b` whose |y| is at most `edge`.
fn within(a: Coord, b: Coord, edge: f64) -> Vec<f64> {
    let rise = b.y - a.y;
    let (mut low, mut high) = (0.0_f64, 1.0_f64);
    if rise.abs() < 1e-12 {
        if a.y.abs() > edge {
            return Vec::new();
        }
    } else {
        let (s, t) = ((-edge - a.y) / rise, (edge - a.y) / rise);
        low = low.max(s.min(t));
        high = high.min(s.max(t));
    }
    if low > high {
        return Vec::new();
    }
    vec![a.x + (b.x - a.x) * low, a.x + (b.x - a.x) * high]
}

/// Distance along `line` toward `sign` to the room's outline, or to the nearest wall of a roomless light. At either
/// edge of the piece, whichever is nearer.
fn wall(plan: &Plan, light: LightId, line: &Line, sign: f64) -> Option<f64> {
    let room = plan.lights.get(light.0)?.room.and_then(|r| plan.rooms.get(r.0));
    let ring: Vec<(Coord, Coord)> = match room {
        Some(room) => {
            let next = room.outline.iter().cycle().skip(1);
            room.outline.iter().copied().zip(next.copied()).collect()
        }
        None => plan.walls.clone(),
    };
    let local = |p: Coord| Coord {
        x: line.station(p) * sign,
        y: line.offset(p),
    };
    ring.into_iter()
        .flat_map(|(a, b)| within(local(a), local(b), THICKNESS / 2.0))
        .filter(|&x| x > 0.0)
        .min_by(f64::total_cmp)
}

fn offer(plan: &Plan, light: LightId, pieces: Vec<Piece>, clear: f64) -> Offer {
    let message = format!(
        "Blocking for {light}: {}, nail them square {}, {} clear, one on either side of the light; hang the bars between them.{}",
        cuts(&pieces),
        nailed_between(&pieces),
        feet_inches(clear),
        care(plan, &pieces),
    );
    Offer {
        lights: vec![light],
        action: Action::Block { pieces },
        message,
    }
}

/// `cut two pieces of two-by to 3' 10 1/2"`, the equal ones counted.
fn cuts(pieces: &[Piece]) -> String {
    let mut lengths: Vec<(String, usize)> = Vec::new();
    for piece in pieces {
        let length = feet_inches(piece.cut);
        match lengths.iter_mut().find(|l| l.0 == length) {
            Some(known) => known.1 += 1,
            None => lengths.push((length, 1)),
        }
    }
    match lengths.as_slice() {
        [(length, 1)] => format!("cut a piece of two-by to {length}"),
        [(length, 2)] => format!("cut two pieces of two-by to {length}"),
        [(length, n)] => format!("cut {n} pieces of two-by to {length}"),
        _ => {
            let each = lengths.iter().map(|(length, n)| match n {
                1 => length.clone(),
                n => format!("{length} ({n})"),
            });
            format!("cut pieces of two-by to {}", say::list(each.collect()))
        }
    }
}

/// `between M1 and M2`, or with the wall where a piece ends there.
fn nailed_between(pieces: &[Piece]) -> String {
    let mut names: Vec<String> = Vec::new();
    for id in pieces.iter().flat_map(|p| &p.between) {
        let name = id.to_string();
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let to_wall = pieces.iter().any(|p| p.between.len() == 1);
    match (names.as_slice(), to_wall) {
        ([one], true) => format!("between {one} and the wall's plate"),
        _ => format!("between {}", names.join(" and ")),
    }
}

/// A sentence on trusses where pieces are nailed to one, with a blank before it.
fn care(plan: &Plan, pieces: &[Piece]) -> &'static str {
    let nailed = pieces.iter().flat_map(|p| &p.between);
    let mut nailed = nailed.filter_map(|m| plan.members.get(m.0));
    match nailed.any(|m| m.kind == MemberKind::Truss) {
        true => " Nail to a truss's chord only; do not cut or notch it.",
        false => "",
    }
}
