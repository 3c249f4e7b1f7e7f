//! Rooms as faces of the wall linework, where no outlines of rooms are drawn.

use geo::Coord;

use super::super::classes::{Class, Classes};
use super::super::shape::{bounds, chords, corners, distance, rectangle};
use super::super::tolerance::CORNER;
use super::super::walls::faces;
use super::gaps;
use super::room;
use crate::flatten::{Flat, Item, Prim};
use crate::geom::faces::Face;
use crate::note::Note;
use crate::plan::Room;
use crate::rules::{folded, last_part};

/// Smallest face that is a room, square inches (6 sq ft).
const SMALLEST: f64 = 864.0;
/// Area over perimeter of the thinnest room: half its width where it is long. Walls' bodies are below.
const THINNEST: f64 = 6.0;
/// Least width of a room.
const NARROWEST: f64 = 18.0;
/// Greatest radius of a door's swing: 4 ft with slack.
const LARGEST_SWING: f64 = 50.0;
/// Words of layers and blocks that show what stands in an opening (trade words; DOOR and GLAZ are NCS; other
/// languages from memory, folded).
const OPENING: [&str; 50] = [
    "DOOR",
    "DOORS",
    "OPENING",
    "OPENINGS",
    "WINDOW",
    "WINDOWS",
    "GLAZ",
    "GLAZING",
    "OPNG",
    "DR",
    "WDW",
    "WIN",
    "PUERTA",
    "PUERTAS",
    "VENTANA",
    "VENTANAS",
    "PORTE",
    "PORTES",
    "FENETRE",
    "FENETRES",
    "MENUISERIE",
    "MENUISERIES",
    "TUR",
    "TUREN",
    "TUER",
    "TUEREN",
    "FENSTER",
    "PORTA",
    "PORTAS",
    "JANELA",
    "JANELAS",
    "ESQUADRIA",
    "ESQUADRIAS",
    "门",
    "窗",
    "门窗",
    "門",
    "門窗",
    "ドア",
    "窓",
    "扉",
    "建具",
    "문",
    "창",
    "창호",
    "창문",
    "TURE",
    "TURBLATT",
    "CARPINTERIA",
    "CARPINTERIAS",
];

type Segment = (Coord, Coord);

/// Rooms that the walls enclose, nameless yet, by their lower left corners.
pub fn from_walls(flat: &Flat, classes: &Classes, notes: &mut Vec<Note>) -> Vec<Room> {
    with_openings(flat, classes, notes).0
}

/// The same, and how many openings were bridged for them.
pub fn with_openings(flat: &Flat, classes: &Classes, notes: &mut Vec<Note>) -> (Vec<Room>, usize) {
    let (walls, openings) = linework(flat, classes);
    if walls.is_empty() {
        return (Vec::new(), 0);
    }
    let Some(closed) = gaps::close(&walls, &openings) else {
        notes.push(Note::warning(
            "rooms-too-many-walls",
            format!(
                "{} wall lines are too many to seek rooms among: draw outlines of rooms",
                walls.len()
            ),
        ));
        return (Vec::new(), 0);
    };
    let mut rooms: Vec<Room> = closed.network.faces().iter().filter_map(as_room).collect();
    rooms.sort_by(|a, b| corner(a).total_cmp(&corner(b)));
    if !rooms.is_empty() {
        notes.push(Note::info(
            "rooms-from-walls",
            format!(
                "{} room(s) were taken from the wall lines, {} opening(s) bridged: draw closed outlines on a room \
                 layer where that is wrong",
                rooms.len(),
                closed.openings
            ),
        ));
    }
    if let Some(first) = closed.loose.first() {
        notes.push(Note::warning(
            "walls-open",
            format!(
                "{} wall line(s) end where nothing meets them, the first at ({:.1}, {:.1}) in: rooms beside them \
                 may be missing",
                closed.loose.len(),
                first.x,
                first.y
            ),
        ));
    }
    (rooms, closed.openings)
}

/// Sorting key: lower left corner, then the second ordinate.
fn corner(room: &Room) -> Key {
    bounds(room.outline.iter().copied()).map_or(Key(0.0, 0.0), |(low, _)| Key(low.x, low.y))
}

struct Key(f64, f64);

impl Key {
    fn total_cmp(&self, other: &Key) -> std::cmp::Ordering {
        self.0.total_cmp(&other.0).then(self.1.total_cmp(&other.1))
    }
}

fn as_room(face: &Face) -> Option<Room> {
    let (area, around) = (face.area(), face.perimeter());
    if area < SMALLEST || area < THINNEST * around {
        return None;
    }
    let outline = corners(&face.outline, true);
    let (_, width) = rectangle(&outline);
    (outline.len() >= 3 && width >= NARROWEST).then(|| Room {
        drawn: false,
        ..room(outline)
    })
}

/// Wall lines without what stands in openings, and the boxes of that.
fn linework(flat: &Flat, classes: &Classes) -> (Vec<Segment>, Vec<Segment>) {
    let (mut walls, mut openings) = (Vec::new(), Vec::new());
    let swings: Vec<(Coord, f64)> = (flat.items.iter().filter(|i| i.visible))
        .filter_map(|item| match item.prim {
            Prim::Arc { center, radius, .. } if radius <= LARGEST_SWING => Some((center, radius)),
            _ => None,
        })
        .collect();
    for (item, class) in flat.items.iter().zip(&classes.of) {
        if !item.visible {
            continue;
        }
        let Some((points, _)) = chords(&item.prim) else {
            continue;
        };
        let in_opening = named_opening(flat, item);
        if in_opening || (*class == Class::Wall && swing(item, &swings)) {
            openings.extend(bounds(points));
        } else if *class == Class::Wall {
            let faces = faces(&item.prim).unwrap_or_default();
            walls.extend(faces.into_iter().filter(|(a, b)| distance(*a, *b) > CORNER));
        }
    }
    (walls, openings)
}

/// An arc of a door's size, or the leaf that goes with one.
fn swing(item: &Item, swings: &[(Coord, f64)]) -> bool {
    match item.prim {
        Prim::Arc { radius, .. } => radius <= LARGEST_SWING,
        Prim::Segment { from, to } => swings.iter().any(|&(center, radius)| {
            (distance(from, to) - radius).abs() <= 0.5
                && (distance(from, center) <= 0.5 || distance(to, center) <= 0.5)
        }),
        _ => false,
    }
}

fn named_opening(flat: &Flat, item: &Item) -> bool {
    let mut at = Some(item);
    let mut steps = 0;
    while let Some(item) = at {
        let block = match &item.prim {
            Prim::Symbol(s) => opening_word(&s.true_name) || opening_word(&s.block),
            _ => false,
        };
        if block || opening_word(&item.layer) {
            return true;
        }
        steps += 1;
        at = item.within.filter(|_| steps < 64).and_then(|w| flat.items.get(w));
    }
    false
}

fn opening_word(name: &str) -> bool {
    let says = |name: &str, same: &dyn Fn(&str, &str) -> bool| {
        name.split(|c: char| !c.is_alphabetic())
            .any(|word| OPENING.iter().any(|o| same(o, word)))
    };
    match last_part(name) {
        plain if plain.is_ascii() => says(plain, &str::eq_ignore_ascii_case),
        name => says(&folded(name), &|a, b| a == b),
    }
}
