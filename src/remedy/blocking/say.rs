//! What is said of blocking that several lights share.

use geo::Vector2DOps;

use super::bay::{BayWork, Spot};
use super::ladder::Ladder;
use super::rail::Rail;
use super::{THICKNESS, care, cuts, nailed_between};
use crate::length::feet_inches;
use crate::remedy::Piece;

/// `L1, L2 and L5`.
pub fn names(lights: &[Spot]) -> String {
    list(lights.iter().map(|s| s.id.to_string()).collect())
}

pub fn list(mut names: Vec<String>) -> String {
    let Some(last) = names.pop() else {
        return String::new();
    };
    match names.is_empty() {
        true => last,
        false => format!("{} and {last}", names.join(", ")),
    }
}

/// Pieces across the bay that neighbours share.
pub fn ladder(work: &BayWork<'_>, lights: &[Spot], ladder: &Ladder, pieces: &[Piece]) -> String {
    let mut next = 0;
    let mut fields = Vec::new();
    let faces = ladder.stations.iter().zip(ladder.stations.iter().skip(1));
    for ((a, b), &count) in faces.zip(&ladder.fields) {
        let within = lights.get(next..next + count).unwrap_or_default();
        next += count;
        let Some(first) = within.first() else { continue };
        fields.push(format!(
            "{} clear at {}, with one face {} from {}'s centre",
            feet_inches(b - a - THICKNESS),
            names(within),
            feet_inches(first.station - a - THICKNESS / 2.0),
            first.id,
        ));
    }
    let shared: Vec<String> = pieces
        .iter()
        .filter(|p| p.serves.len() > 1)
        .map(|p| list(p.serves.iter().map(ToString::to_string).collect()))
        .collect();
    let shared = match shared.len() {
        0 => String::new(),
        1 => format!(" One piece serves {}.", shared.join("; ")),
        n => format!(" {n} pieces serve two fields each: {}.", shared.join("; ")),
    };
    format!(
        "Blocking for {}: {}, nail them square {}: {}; hang the bars between them.{shared}{}",
        names(lights),
        cuts(pieces),
        nailed_between(pieces),
        fields.join("; "),
        care(work.plan, pieces),
    )
}

/// Nailers between two pieces across the bay.
pub fn rail(work: &BayWork<'_>, lights: &[Spot], rail: &Rail) -> String {
    let (nailers, across) = rail.pieces.split_at(rail.nailers.min(rail.pieces.len()));
    let (Some(long), Some(first), Some(spot)) = (nailers.first(), across.first(), lights.first()) else {
        return String::new();
    };
    let along = work.line.along;
    let before = spot.station - work.line.station(long.from);
    let offset = |p: &Piece| work.line.offset(p.from);
    let middle = format!(
        "Blocking for {}: {}, nail them square {}, {} clear between them and the first face {} from {}'s centre; {}",
        names(lights),
        cuts(across),
        nailed_between(across),
        feet_inches((long.to - long.from).dot_product(along)),
        feet_inches(before),
        spot.id,
        cuts(nailers),
    );
    let care = care(work.plan, std::slice::from_ref(first));
    match nailers {
        [a, b] => format!(
            "{middle} and nail them between these, along the bay, {} clear, one face {} from {}'s centre; hang the bars between them.{care}",
            feet_inches((offset(a) - offset(b)).abs() - THICKNESS),
            feet_inches((offset(a) - spot.offset).abs() - THICKNESS / 2.0),
            spot.id,
        ),
        _ => format!(
            "{middle} and nail it between these, along the bay, its face {} from {}'s centre; hang the bars between the members and it.{care}",
            feet_inches((offset(long) - spot.offset).abs() - THICKNESS / 2.0),
            spot.id,
        ),
    }
}

/// Nailers along a wall, on its plate.
pub fn wall(work: &BayWork<'_>, lights: &[Spot], rail: &Rail) -> String {
    let (Some(first), Some(last), Some(piece)) = (lights.first(), lights.last(), rail.pieces.first()) else {
        return String::new();
    };
    let (count, hang) = match rail.pieces.len() {
        1 => ("it along the wall", "between the member and it"),
        _ => ("one along each wall", "between them"),
    };
    format!(
        "Blocking for {}: {} and nail {count} on its plate, level with the members, flush with the wall's face, its ends {} before {}'s centre and {} past {}'s; hang the bars {hang}.",
        names(lights),
        cuts(&rail.pieces),
        feet_inches(first.station - work.line.station(piece.from)),
        first.id,
        feet_inches(work.line.station(piece.to) - last.station),
        last.id,
    )
}
