//! Laying a row or a grid anew: its place, its start and its pitch, both ways, on a lattice of 1/16 in.
//!
//! Every light keeps its seat: so many pitches along, so many across. What is sought is the cheapest layout in
//! this order: fewest pieces of blocking, fewest lights moved, least greatest move, least moves in all; with no
//! light where a check of severity `must` fires, and none further than [`REACH`] from where it stands.
//! The search is exact on the lattice ([`search`]); each light's place is judged by the checks themselves, and
//! the whole layout is judged on the plan before it is taken.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::hash::{BuildHasherDefault, DefaultHasher};

use geo::{Coord, Vector2DOps};

use super::judge::Change;
use super::{Action, Bench, Offer, words};
use crate::check::Kind;
use crate::geom::FUZZ;
use crate::length::feet_inches;
use crate::plan::LightId;

mod hold;
mod layout;
mod past;
mod search;
mod spot;

#[cfg(test)]
mod tests;

use hold::Hold;
use layout::{Layout, Seat, layout};
use past::{Axis, Past};
use search::{Choice, Cost, Found, Track, choices, least};
use spot::Spot;

/// Furthest move of a light, inches.
const REACH: f64 = super::shift::REACH;
/// Lattice, inches.
const STEP: f64 = 1.0 / 16.0;
/// Places on either side of a line's own that are looked at: the reach, and how far a light may be from its line.
const PLACES: i16 = 576;
/// A pitch changes by no more than this share, or the row is another one.
const STRETCH: f64 = 0.1;
/// Most pairs of choices that are looked at, places judged by themselves, those of them kept, and layouts judged on the plan.
const WORK: u64 = 400_000;
const LOOKED: usize = 200_000;
const SPOTS: usize = 40_000;
const JUDGED: usize = 24;
/// After so many places on one plan, each further row or grid may look at fewer: most need a few hundred, and many
/// that need all they may would take for ever.
const LOOKED_IN_ALL: usize = 1_000_000;
const LOOKED_THEN: usize = 20_000;

/// Pieces of blocking at the places that were looked at, by seat and lattice place; it is asked millions of times, and
/// its order never matters.
type Known = HashMap<(u32, i32, i32), Option<u32>, BuildHasherDefault<DefaultHasher>>;

/// What came of it.
#[derive(Debug)]
pub(super) enum Laid {
    /// The cheapest layout that is clean, or one that is where its message says so.
    Out(Offer),
    /// No layout works; why.
    Never(String),
    /// The lights are no row or grid of even pitch, or the work allowed was done first.
    Unknown,
}

/// Lays these lights anew so that `wanted` (places among the findings) go away. Lights of `fixed` stay.
pub(super) fn relay(
    bench: &Bench<'_>,
    lights: &BTreeSet<LightId>,
    fixed: &BTreeSet<LightId>,
    wanted: &[usize],
) -> Laid {
    let (plan, rules) = (bench.plan, bench.rules);
    let Some(seated) = layout(plan, lights) else {
        return Laid::Unknown;
    };
    let columns = tracks(bench, &seated, fixed, Axis::Along);
    let rows = tracks(bench, &seated, fixed, Axis::Across);
    for (axis, tracks) in [(Axis::Along, &columns), (Axis::Across, &rows)] {
        if let Some((_, seats)) = tracks.iter().find(|(t, _)| t.places.iter().all(Option::is_none)) {
            let ids: Vec<LightId> = seats.clone();
            let way = if axis == Axis::Along { "along" } else { "across" };
            return Laid::Never(format!(
                "within {} {way} the row every place of {} has framing in the way",
                feet_inches(REACH),
                words::names(&ids)
            ));
        }
    }
    let only =
        |tracks: Vec<(Track, Vec<LightId>)>| -> Vec<Track> { tracks.into_iter().map(|t| t.0).collect() };
    let xs = axis_choices(&only(columns), seated.pitch.x, seated.loose);
    let ys = axis_choices(&only(rows), seated.pitch.y, 0.0);
    if xs.is_empty() || ys.is_empty() {
        return Laid::Never(format!(
            "no start and pitch within {} puts all of {} clear of the framing",
            feet_inches(REACH),
            words::names(&ids(&seated))
        ));
    }
    let mut spots: Vec<Option<Spot>> = (seated.seats.iter())
        .map(|s| Spot::new(plan, s.light, REACH, had(bench, s.light), rules))
        .collect();
    let mut known = Known::default();
    let ids = ids(&seated);
    let scope = bench.around(&ids);
    let (mut judged, mut spent) = (0, false);
    // Seats in the order in which they are asked.
    let mut turns: Vec<usize> = (0..seated.seats.len()).collect();
    let mut reasons: BTreeSet<&'static str> = BTreeSet::new();
    let (mut wide, mut high) = (
        Hold::new(bench, &seated, Axis::Along),
        Hold::new(bench, &seated, Axis::Across),
    );
    let mut looked = 0;
    let most = most_looked(bench.looked.get());
    let may = |first: bool, choice: &Choice| {
        if first { wide.may(choice) } else { high.may(choice) }
    };
    // Pairs come with one choice along for many across.
    let mut columns: (Option<Choice>, Vec<f64>) = (None, Vec::new());
    let found = least(&xs, &ys, WORK, may, |x, y, best| {
        // What ruled the last pair out most likely rules this one out: it costs least to ask that first.
        let first = turns.first().and_then(|&i| Some((i, seated.seats.get(i)?)));
        if first.is_some_and(|(i, seat)| known.get(&place_of(x, y, i, seat)) == Some(&None)) {
            return None;
        }
        if columns.0 != Some(*x) {
            columns.1.clear();
            (columns.1).extend(
                seated
                    .seats
                    .iter()
                    .map(|s| ordinate(seated.start.x, seated.pitch.x, x, s.column)),
            );
            columns.0 = Some(*x);
        }
        let beaten = |cost: &Cost| best.is_some_and(|b| cost.order(b).is_ge());
        let mut cost = Cost::NONE;
        for (seat, &along) in seated.seats.iter().zip(&columns.1) {
            let across = ordinate(seated.start.y, seated.pitch.y, y, seat.row);
            let stands = Coord { x: along, y: across };
            let by = (stands - seat.at).magnitude();
            if by > REACH + FUZZ {
                return None;
            }
            if by > FUZZ && !(bench.keep).may_move(seat.light, seated.world(seat.at), seated.world(stands)) {
                return None;
            }
            cost.moved += u32::from(by > FUZZ);
            cost.most = cost.most.max(by);
            cost.sum += by;
            // More lights make it no cheaper.
            if beaten(&cost) {
                return None;
            }
        }
        if cost.moved == 0 {
            return None;
        }
        for k in 0..turns.len() {
            let i = *turns.get(k)?;
            let seat = seated.seats.get(i)?;
            let place = place_of(x, y, i, seat);
            let pieces = match known.get(&place) {
                Some(&pieces) => pieces,
                None if looked == most => {
                    spent = true;
                    return None;
                }
                None => {
                    looked += 1;
                    let to = seated.world(stand(&seated, x, y, i)?);
                    let pieces = spots.get_mut(i)?.as_mut()?.pieces(to, rules);
                    if known.len() < SPOTS {
                        known.insert(place, pieces);
                    }
                    pieces
                }
            };
            let Some(pieces) = pieces else {
                // What rules this pair out most likely rules the next out too.
                turns[..=k].rotate_right(1);
                return None;
            };
            cost.pieces += pieces;
        }
        if beaten(&cost) {
            return None;
        }
        if judged == JUDGED {
            spent = true;
            return None;
        }
        judged += 1;
        let verdict = scope.judge(&change(&seated, x, y)?, rules);
        let mended = verdict.mended(&scope, bench.findings);
        let good = verdict.clean() && wanted.iter().all(|i| mended.contains(i));
        if !good {
            reasons.extend(verdict.new.iter().map(|k| k.name()));
        }
        good.then_some(cost)
    });
    bench.looked.set(bench.looked.get().saturating_add(looked));
    match found {
        Found::Best(x, y, _) | Found::Some(x, y, _) => {
            let proved = !spent && matches!(found, Found::Best(..));
            offer(&seated, &x, &y, proved).map_or(Laid::Unknown, Laid::Out)
        }
        Found::Nothing if !spent => Laid::Never(format!(
            "no layout of {} within {} is clear of what is in the way{}",
            words::names(&ids),
            feet_inches(REACH),
            leaving(&reasons)
        )),
        _ => Laid::Unknown,
    }
}

/// Places that a row or grid may look at, where those before it looked at so many.
fn most_looked(before: usize) -> usize {
    if before < LOOKED_IN_ALL {
        LOOKED
    } else {
        LOOKED_THEN
    }
}

/// Kinds of findings that a light has where it stands.
fn had(bench: &Bench<'_>, light: LightId) -> BTreeSet<Kind> {
    let of = bench.findings.iter().filter(|f| f.lights.contains(&light));
    of.map(|f| f.kind).collect()
}

fn leaving(reasons: &BTreeSet<&str>) -> String {
    match reasons.is_empty() {
        true => String::new(),
        false => {
            let list: Vec<&str> = reasons.iter().copied().collect();
            format!(" without {}", list.join(" or "))
        }
    }
}

fn ids(seated: &Layout) -> Vec<LightId> {
    seated.seats.iter().map(|s| s.light).collect()
}

/// `loose`: how far the rows' own pitch may be from this one. Choices past a tenth of it fall out with the rows.
fn axis_choices(tracks: &[Track], pitch: f64, loose: f64) -> Vec<Choice> {
    let last = tracks.iter().map(|t| t.step).max().unwrap_or(0);
    let stretch = match last {
        0 => 0.0,
        last => (STRETCH * pitch + loose.min(pitch)).min(2.0 * REACH / f64::from(last)) / STEP,
    };
    choices(tracks, PLACES, stretch as i16)
}

/// The lines of an axis, and the lights on each. What a line costs is what its lights cost at least.
fn tracks(
    bench: &Bench<'_>,
    seated: &Layout,
    fixed: &BTreeSet<LightId>,
    axis: Axis,
) -> Vec<(Track, Vec<LightId>)> {
    let along = axis == Axis::Along;
    let mut lines: BTreeMap<i32, (Vec<Option<Cost>>, Vec<LightId>)> = BTreeMap::new();
    let pick = |c: Coord| if along { c.x } else { c.y };
    for seat in &seated.seats {
        let step = if along { seat.column } else { seat.row };
        let base = pick(seated.start) + f64::from(step) * pick(seated.pitch);
        let (places, ids) = lines
            .entry(step)
            .or_insert_with(|| (vec![Some(Cost::NONE); 2 * PLACES as usize + 1], Vec::new()));
        ids.push(seat.light);
        let past = Past::new(
            bench.plan,
            seated,
            (seat.light, &had(bench, seat.light)),
            axis,
            REACH,
            bench.rules,
        );
        for (k, place) in places.iter_mut().enumerate() {
            let Some(cost) = place else { continue };
            let x = base + (k as f64 - f64::from(PLACES)) * STEP;
            let by = (x - pick(seat.at)).abs();
            let stays = by <= FUZZ;
            let (other, to) = if along {
                (seated.v, Coord { x, ..seat.at })
            } else {
                (seated.u, Coord { y: x, ..seat.at })
            };
            let (from, to) = (seated.world(seat.at), seated.world(to));
            let open = by <= REACH
                && bench.keep.may_slide(seat.light, other, from, to)
                && (stays || !fixed.contains(&seat.light));
            let pieces = past.as_ref().filter(|_| open).and_then(|p| p.pieces(x));
            if let Some(pieces) = pieces {
                cost.pieces += pieces;
                cost.moved += u32::from(!stays);
                cost.most = cost.most.max(by);
                cost.sum += by;
            } else {
                *place = None;
            }
        }
    }
    lines
        .into_iter()
        .map(|(step, (places, ids))| (Track { step, places }, ids))
        .collect()
}

/// A seat and the lattice place it comes to.
fn place_of(x: &Choice, y: &Choice, seat: usize, of: &Seat) -> (u32, i32, i32) {
    let place = |choice: &Choice, k: i32| i32::from(choice.shift) + i32::from(choice.stretch) * k;
    (seat as u32, place(x, of.column), place(y, of.row))
}

/// Where a seat comes to stand, in the layout's own directions.
fn stand(seated: &Layout, x: &Choice, y: &Choice, seat: usize) -> Option<Coord> {
    let s = seated.seats.get(seat)?;
    Some(Coord {
        x: ordinate(seated.start.x, seated.pitch.x, x, s.column),
        y: ordinate(seated.start.y, seated.pitch.y, y, s.row),
    })
}

/// Where a choice puts the line `k` pitches from the first, on its axis.
fn ordinate(start: f64, pitch: f64, choice: &Choice, k: i32) -> f64 {
    start + pitch * f64::from(k) + f64::from(i32::from(choice.shift) + i32::from(choice.stretch) * k) * STEP
}

/// The lights that move, and where to.
fn change(seated: &Layout, x: &Choice, y: &Choice) -> Option<Change> {
    let mut lights = Vec::new();
    let mut to = Vec::new();
    let mut most = 0.0_f64;
    for (i, seat) in seated.seats.iter().enumerate() {
        let stands = stand(seated, x, y, i)?;
        let by = (stands - seat.at).magnitude();
        if by > FUZZ {
            lights.push(seat.light);
            to.push(seated.world(stands));
            most = most.max(by);
        }
    }
    Some(Change {
        lights,
        action: Action::Move { to, by: most },
    })
}

fn offer(seated: &Layout, x: &Choice, y: &Choice, proved: bool) -> Option<Offer> {
    let Change { lights, action } = change(seated, x, y)?;
    let Action::Move { to, by } = &action else {
        return None;
    };
    let pitch = |was: f64, choice: &Choice, way: &str| {
        let now = was + f64::from(choice.stretch) * STEP;
        match choice.stretch {
            0 => String::new(),
            _ => format!(", {} apart {way} (was {})", feet_inches(now), feet_inches(was)),
        }
    };
    let (first, place) = (lights.first()?, to.first()?);
    let cheapest = if proved {
        ""
    } else {
        "; a smaller change may exist"
    };
    let message = format!(
        "Lay {} anew{}{}: {} of {} lights move, by {} at most; {first} then stands at {}{cheapest}.",
        words::names(&ids(seated)),
        pitch(seated.pitch.x, x, "along the row"),
        pitch(seated.pitch.y, y, "from row to row"),
        lights.len(),
        seated.seats.len(),
        feet_inches(*by),
        words::place(*place),
    );
    Some(Offer {
        lights,
        action,
        message,
    })
}
