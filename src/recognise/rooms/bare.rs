//! Gaps in walls with nothing drawn in them, closed where names of rooms tell that they are openings.
//!
//! One between a wall's end and a cross wall is an opening where each side of it has a room's name of its own; one too
//! wide for a bare opening between two ends in line (a garage's door) where it alone keeps a name out of every room.

use geo::Coord;

use super::super::classes::Classes;
use super::super::shape::{area, bounds, contains, distance, left_of, unit};
use super::super::tolerance::CORNER;
use super::from_walls::as_room;
use super::gaps::{Bare, BareKind, Closed};
use super::openings::BEYOND;
use super::tagged::tag;
use super::texts::named;
use super::within;
use crate::flatten::{Flat, Prim};
use crate::geom::faces::Network;
use crate::length::feet_inches;
use crate::note::Note;
use crate::plan::Room;

/// Most gaps that are tried.
const MOST: usize = 64;
/// A name further than this from all walls is none of a room's that walls leave open, inches (10 ft).
const NEAR: f64 = 120.0;
/// Most names that a note repeats.
const MOST_NAMES: usize = 6;

/// Names of rooms where they stand: short lines with a word for a room.
pub fn names(flat: &Flat, classes: &Classes) -> Vec<(Coord, String)> {
    let said = flat
        .items
        .iter()
        .zip(&classes.of)
        .filter(|(item, _)| item.visible);
    said.filter_map(|(item, class)| match &item.prim {
        Prim::Text { at, text, .. } => Some((*at, named(text)?)),
        _ => tag(item, *class).and_then(|t| Some((t.at, named(&t.name?)?))),
    })
    .collect()
}

/// Closes the gaps that names tell of, with notes.
pub fn close(closed: &mut Closed, names: &[(Coord, String)], notes: &mut Vec<Note>) {
    let mut open: Vec<Bare> = closed.bare.iter().filter(|b| b.closes()).cloned().collect();
    if open.is_empty() || open.len() > MOST || names.is_empty() {
        return;
    }
    let before = rooms(&closed.network);
    let nameless = |p: &Coord| !before.iter().any(|r| contains(&r.outline, *p));
    let lost = names.iter().any(|(p, _)| nameless(p));
    let shared = before.iter().any(|r| inside(r, names) > 1);
    open.retain(|b| if b.kind == BareKind::Beside { shared } else { lost });
    if open.is_empty() {
        return;
    }
    let Some(all) = with(&closed.network, &open) else {
        return;
    };
    let after = rooms(&all);
    let holds = |b: &Bare| {
        let sides = beside(b, &after);
        let named = |r: &Option<usize>| r.is_some_and(|r| inside(&after[r], names) > 0);
        match b.kind {
            BareKind::Beside => sides[0] != sides[1] && sides.iter().all(named),
            // What was a room without it stays as it was.
            BareKind::Ends | BareKind::Corner => {
                let new = |r: usize| {
                    names
                        .iter()
                        .any(|(p, _)| contains(&after[r].outline, *p) && nameless(p))
                };
                matches!(sides, [Some(r), None] | [None, Some(r)] if new(r))
            }
        }
    };
    open.retain(holds);
    let Some(network) = with(&closed.network, &open).filter(|_| !open.is_empty()) else {
        return;
    };
    let told: Vec<String> = (open.iter())
        .map(|b| {
            let at = (b.gap.from + b.gap.to) * 0.5;
            let between = |r: Option<usize>| {
                let room = &after[r?];
                let inside = names.iter().find(|(p, _)| contains(&room.outline, *p));
                Some(inside?.1.clone())
            };
            let sides: Vec<String> = beside(b, &after).into_iter().filter_map(between).collect();
            format!(
                "{} wide at ({:.1}, {:.1}) in, {} {}",
                feet_inches(distance(b.gap.from, b.gap.to)),
                at.x,
                at.y,
                if sides.len() > 1 { "between" } else { "at" },
                sides.join(" and ")
            )
        })
        .collect();
    notes.push(Note::info(
        "room-gaps",
        format!(
            "{} gap(s) in walls with nothing drawn in them were closed, as names of rooms stand beside them: {}; draw outlines \
             on a room layer where that is wrong",
            told.len(),
            told.join("; ")
        ),
    ));
    closed.network = network;
    closed.openings += open.len();
    closed.bare.retain(|b| !open.contains(b));
    let met = |p: &Coord| open.iter().flat_map(|b| &b.bridge).any(|(a, c)| a == p || c == p);
    closed.loose.retain(|p| !met(p));
    closed.gaps.extend(open.into_iter().map(|b| b.gap));
}

/// Tells of names that stand in no room though walls stand about them, and of the gap that leaves them out.
pub fn told(
    closed: &Closed,
    rooms: &[Room],
    names: &[(Coord, String)],
    lights: &[Coord],
    notes: &mut Vec<Note>,
) {
    let known = |name: &str| {
        let whole = |r: &Room| {
            r.name
                .as_deref()
                .is_some_and(|n| n.split(" / ").any(|n| n == name))
        };
        rooms.iter().any(whole)
    };
    let around = bounds(closed.network.nodes.iter().copied());
    let slack = Coord { x: NEAR, y: NEAR };
    let around = around.map(|(low, high)| (low - slack, high + slack));
    let out = |(p, name): &&(Coord, String)| {
        within(around, *p) && !rooms.iter().any(|r| contains(&r.outline, *p)) && !known(name)
    };
    let mut out: Vec<&(Coord, String)> = names.iter().filter(out).collect();
    out.sort_by(|a, b| a.1.cmp(&b.1));
    out.dedup_by(|a, b| a.1 == b.1);
    if out.is_empty() {
        return;
    }
    let mut all: Vec<String> = out.iter().take(MOST_NAMES).map(|n| n.1.clone()).collect();
    if out.len() > MOST_NAMES {
        all.push(format!("{} more", out.len() - MOST_NAMES));
    }
    let unlit: Vec<Coord> = (lights.iter().copied())
        .filter(|l| !rooms.iter().any(|r| contains(&r.outline, *l)))
        .collect();
    let lit = out
        .iter()
        .any(|(p, _)| unlit.iter().any(|l| distance(*l, *p) <= NEAR));
    let text = format!(
        "{} stand{} in no room that outlines or walls close{}: draw its outline on a room layer, or a line across the gap on the \
         walls' layer",
        all.join(", "),
        if out.len() == 1 { "s" } else { "" },
        widest(closed, &out)
    );
    notes.push(match lit {
        true => Note::warning("room-unclosed", text),
        false => Note::info("room-unclosed", text),
    });
}

/// The gap that would bring the first of the names into a room.
fn widest(closed: &Closed, out: &[&(Coord, String)]) -> String {
    for bare in closed.bare.iter().take(MOST) {
        let Some(network) = with(&closed.network, std::slice::from_ref(bare)) else {
            continue;
        };
        let rooms = rooms(&network);
        let brought = out
            .iter()
            .find(|(p, _)| rooms.iter().any(|r| contains(&r.outline, *p)));
        if let Some((_, name)) = brought {
            let middle = (bare.gap.from + bare.gap.to) * 0.5;
            return format!(
                " (a gap {} wide at ({:.1}, {:.1}) in leaves {name} open)",
                feet_inches(distance(bare.gap.from, bare.gap.to)),
                middle.x,
                middle.y
            );
        }
    }
    String::new()
}

fn rooms(network: &Network) -> Vec<Room> {
    network.faces().iter().filter_map(as_room).collect()
}

/// Names of different rooms in one.
fn inside(room: &Room, names: &[(Coord, String)]) -> usize {
    let mut found: Vec<&str> = (names.iter())
        .filter(|(p, _)| contains(&room.outline, *p))
        .map(|(_, name)| &**name)
        .collect();
    found.sort_unstable();
    found.dedup();
    found.len()
}

/// The rooms on the left and on the right of a gap.
fn beside(bare: &Bare, rooms: &[Room]) -> [Option<usize>; 2] {
    let Some(along) = unit(bare.gap.to - bare.gap.from) else {
        return [None, None];
    };
    let middle = (bare.gap.from + bare.gap.to) * 0.5;
    let side = |across: Coord| {
        let off = |d: &f64| middle + across * (bare.gap.thickness / 2.0 + d);
        BEYOND.iter().find_map(|d| {
            (0..rooms.len())
                .filter(|&r| contains(&rooms[r].outline, off(d)))
                .min_by(|&a, &b| area(&rooms[a].outline).total_cmp(&area(&rooms[b].outline)))
        })
    };
    [side(left_of(along)), side(left_of(along) * -1.0)]
}

/// The linework with gaps closed.
fn with(network: &Network, bares: &[Bare]) -> Option<Network> {
    let edges = network
        .edges
        .iter()
        .map(|&(a, b)| (network.nodes[a], network.nodes[b]));
    let bridges = bares.iter().flat_map(|b| b.bridge.iter().copied());
    let all: Vec<_> = edges
        .chain(bridges.filter(|(a, b)| distance(*a, *b) > CORNER))
        .collect();
    Network::new(&all, CORNER)
}
