//! Openings between rooms: the gaps that were closed in the walls, what stands in each, and the rooms it joins.

use geo::Coord;

use super::super::shape::{left_of, unit};
use super::gaps::Gap;
use super::room_of;
use crate::plan::{Opening, OpeningKind, Room, RoomId};
use crate::rules::{folded, last_part};

/// A room is sought so far beyond the wall's face, inches: outlines may be drawn on a finish, or a little inside.
const BEYOND: [f64; 3] = [2.0, 6.0, 12.0];

/// Words of layers and blocks that show what stands in an opening (trade words; DOOR and GLAZ are NCS; other
/// languages from memory, folded).
const DOORS: &str = "
    DOOR DOORS DR PUERTA PUERTAS PORTE PORTES TUR TUREN TUER TUEREN TURE TURBLATT PORTA PORTAS
    门 門 ドア 扉 문";
const WINDOWS: &str = "
    WINDOW WINDOWS GLAZ GLAZING WDW WIN VENTANA VENTANAS FENETRE FENETRES FENSTER JANELA JANELAS
    窗 窓 창 창문";
const CASED: &str = "OPENING OPENINGS OPNG";
/// Words for doors and windows alike.
const JOINERY: &str = "
    MENUISERIE MENUISERIES ESQUADRIA ESQUADRIAS CARPINTERIA CARPINTERIAS 门窗 門窗 建具 창호";

/// What a layer or block says stands in an opening; `None` where its name says nothing of one.
pub fn named(name: &str) -> Option<OpeningKind> {
    let name = folded(last_part(name));
    let words: Vec<&str> = name.split(|c: char| !c.is_alphabetic()).collect();
    [
        (DOORS, OpeningKind::Door),
        (WINDOWS, OpeningKind::Window),
        (CASED, OpeningKind::Cased),
        (JOINERY, OpeningKind::Joinery),
    ]
    .into_iter()
    .find(|(list, _)| list.split_whitespace().any(|known| words.contains(&known)))
    .map(|(_, kind)| kind)
}

/// The openings that a room is on one side of at least, by their places. `drawn` says what each box is that `gaps`
/// name; what is beyond it are lines of glass and sills.
pub fn openings(gaps: &[Gap], drawn: &[OpeningKind], rooms: &[Room]) -> Vec<Opening> {
    let mut found: Vec<Opening> = (gaps.iter())
        .filter_map(|gap| opening(gap, drawn, rooms))
        .collect();
    found.sort_by(|a, b| {
        let key = |o: &Opening| [o.from.x, o.from.y, o.to.x, o.to.y];
        let pairs = key(a).into_iter().zip(key(b));
        pairs
            .map(|(a, b)| a.total_cmp(&b))
            .find(|o| o.is_ne())
            .unwrap_or(std::cmp::Ordering::Equal)
    });
    found
}

fn opening(gap: &Gap, drawn: &[OpeningKind], rooms: &[Room]) -> Option<Opening> {
    let along = unit(gap.to - gap.from)?;
    let middle = (gap.from + gap.to) * 0.5;
    let side = |across: Coord| {
        let off = |d: &f64| middle + across * (gap.thickness / 2.0 + d);
        BEYOND.iter().find_map(|d| room_of(rooms, off(d))).map(RoomId)
    };
    let (left, right) = (side(left_of(along)), side(left_of(along) * -1.0));
    // Doors tell more than windows, and those more than the word for an opening.
    let kind = (gap.drawn.iter())
        .map(|&i| drawn.get(i).copied().unwrap_or(OpeningKind::Window))
        .min_by_key(|kind| match kind {
            OpeningKind::Door => 0,
            OpeningKind::Window => 1,
            OpeningKind::Joinery => 2,
            OpeningKind::Cased => 3,
        })
        .unwrap_or(OpeningKind::Cased);
    (left.is_some() || right.is_some()).then_some(Opening {
        kind,
        from: gap.from,
        to: gap.to,
        left,
        right,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn layers_and_blocks_say_what_stands_in_an_opening() {
        for (name, kind) in [
            ("A-DOOR", Some(OpeningKind::Door)),
            ("X$0$A-GLAZ", Some(OpeningKind::Window)),
            ("WIN-36", Some(OpeningKind::Window)),
            ("Türen", Some(OpeningKind::Door)),
            ("fenêtres", Some(OpeningKind::Window)),
            ("A-WALL-OPNG", Some(OpeningKind::Cased)),
            ("门窗", Some(OpeningKind::Joinery)),
            ("門", Some(OpeningKind::Door)),
            ("A-WALL", None),
            ("OUTDOOR", None),
            ("WINDING", None),
        ] {
            assert_eq!(named(name), kind, "{name}");
        }
        for word in [DOORS, WINDOWS, CASED, JOINERY]
            .iter()
            .flat_map(|l| l.split_whitespace())
        {
            assert_eq!(folded(word), word);
        }
    }
}
