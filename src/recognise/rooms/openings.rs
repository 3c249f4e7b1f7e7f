//! Openings between rooms: the gaps that were closed in the walls, what stands in each, and the rooms it joins.

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::super::classes::{Class, Classes};
use super::super::shape::{cross, distance, dot, left_of, point_to_segment, unit};
use super::from_walls::Shown;
use super::gaps::{Gap, HINGE, JAMBS};
use super::room_of;
use crate::flatten::{Flat, Prim};
use crate::plan::{Opening, OpeningKind, Room, RoomId};
use crate::rules::{folded, last_part};

/// A room is sought so far beyond the wall's face, inches: outlines may be drawn on a finish, or a little inside.
pub const BEYOND: [f64; 3] = [2.0, 6.0, 12.0];

/// Narrowest leaf, inches.
const LEAF: f64 = 10.0;
/// A line of glass or a sill is at least so much of the opening's width, and each of two sliding panels so much, and they lie so far
/// within the wall's faces, inches: a line at a face is the edge of what is above.
const SPANS: f64 = 0.7;
const PANEL: f64 = 0.4;
const WITHIN: f64 = 0.25;
/// Where only one face of a wall stops at an opening, the other is this far off at most, inches.
const OTHER_FACE: f64 = 8.0;
/// Sine of the greatest angle between lines taken as parallel here (1°).
const PARALLEL: f64 = 0.0175;

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
pub fn openings(
    (flat, classes): (&Flat, &Classes),
    gaps: &[Gap],
    drawn: &[Shown],
    rooms: &[Room],
) -> Vec<Opening> {
    if gaps.is_empty() {
        return Vec::new();
    }
    let shapes = Shapes::new(flat, classes);
    let mut found: Vec<Opening> = (gaps.iter())
        .filter_map(|gap| opening(gap, &shapes, drawn, rooms))
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

/// What is drawn beside walls, whatever its layer is called: swings by their centres, lines by their middles.
struct Shapes {
    swings: RTree<GeomWithData<[f64; 2], f64>>,
    lines: RTree<GeomWithData<[f64; 2], (Coord, Coord)>>,
}

impl Shapes {
    fn new(flat: &Flat, classes: &Classes) -> Shapes {
        let (mut swings, mut lines) = (Vec::new(), Vec::new());
        for (item, class) in flat.items.iter().zip(&classes.of) {
            if !item.visible || !matches!(class, Class::Other | Class::Ignore) {
                continue;
            }
            match item.prim {
                Prim::Arc { center, radius, .. } if center.x.is_finite() && center.y.is_finite() => {
                    swings.push(GeomWithData::new([center.x, center.y], radius));
                }
                Prim::Segment { from, to } if from.x.is_finite() && to.x.is_finite() => {
                    let middle = (from + to) * 0.5;
                    if middle.x.is_finite() && middle.y.is_finite() {
                        lines.push(GeomWithData::new([middle.x, middle.y], (from, to)));
                    }
                }
                _ => {}
            }
        }
        Shapes {
            swings: RTree::bulk_load(swings),
            lines: RTree::bulk_load(lines),
        }
    }

    /// A door by its swing, or between two rooms by its sliding panels; a window by lines of glass or a sill. A line right
    /// across between two rooms is where floors meet.
    fn shown(&self, gap: &Gap, along: Coord, between: bool) -> Option<OpeningKind> {
        let width = distance(gap.from, gap.to);
        let reach = gap.thickness / 2.0 + HINGE;
        let leaf =
            |radius: f64| radius >= LEAF && [width, width / 2.0].iter().any(|w| (radius - w).abs() <= JAMBS);
        let swings = [gap.from, gap.to].into_iter().any(|end| {
            (self.swings)
                .locate_within_distance([end.x, end.y], reach * reach)
                .any(|swing| leaf(swing.data))
        });
        if swings {
            return Some(OpeningKind::Door);
        }
        let middle = (gap.from + gap.to) * 0.5;
        // Between rooms what lies beside a wall of one line may be anything.
        let half = match gap.thickness > 0.0 || between {
            true => gap.thickness / 2.0,
            false => OTHER_FACE,
        };
        let near = width / 4.0 + 2.0 * half;
        let (least, most, kind) = match between {
            true => (PANEL * width, SPANS * width, OpeningKind::Door),
            false => (PANEL * width, width + 2.0 * JAMBS, OpeningKind::Window),
        };
        (self.lines)
            .locate_within_distance([middle.x, middle.y], near * near)
            .any(|line| {
                let (a, b) = line.data;
                let run = b - a;
                let inside = |p: Coord| cross(along, p - middle).abs() <= half - WITHIN;
                let long = dot(run, along).abs();
                let square = cross(along, run).abs() <= PARALLEL * long;
                square && inside(a) && inside(b) && (least..=most).contains(&long)
            })
            .then_some(kind)
    }
}

fn opening(gap: &Gap, shapes: &Shapes, drawn: &[Shown], rooms: &[Room]) -> Option<Opening> {
    let along = unit(gap.to - gap.from)?;
    let middle = (gap.from + gap.to) * 0.5;
    let side = |across: Coord| {
        let off = |d: &f64| middle + across * (gap.thickness / 2.0 + d);
        BEYOND.iter().find_map(|d| room_of(rooms, off(d))).map(RoomId)
    };
    let (left, right) = (side(left_of(along)), side(left_of(along) * -1.0));
    // Doors tell more than windows, and those more than the word for an opening.
    // A swing that is hinged elsewhere is another opening's.
    let hinged = |p: &Coord| point_to_segment(*p, gap.from, gap.to) <= gap.thickness / 2.0 + HINGE;
    let kind = (gap.drawn.iter())
        .filter_map(|&i| match drawn.get(i) {
            Some(shown) => shown.hinge.as_ref().is_none_or(hinged).then_some(shown.kind),
            None => Some(OpeningKind::Window),
        })
        .chain(shapes.shown(gap, along, left.is_some() && right.is_some()))
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
    fn glass_is_found_where_only_one_face_stops() {
        let at = |x: f64, y: f64| Coord { x, y };
        let gap = |thickness: f64| Gap {
            from: at(0.0, 0.0),
            to: at(72.0, 0.0),
            thickness,
            drawn: Vec::new(),
        };
        let pane = |y: f64| {
            let spot = GeomWithData::new([18.0, y], (at(0.0, y), at(36.0, y)));
            Shapes {
                swings: RTree::new(),
                lines: RTree::bulk_load(vec![spot]),
            }
        };
        let along = at(1.0, 0.0);
        for (thickness, y, between, kind) in [
            (0.0, 3.5, false, Some(OpeningKind::Window)),
            (0.0, 9.0, false, None),
            (0.0, 3.5, true, None),
            (6.0, 1.0, true, Some(OpeningKind::Door)),
            (6.0, 3.5, false, None),
        ] {
            assert_eq!(
                pane(y).shown(&gap(thickness), along, between),
                kind,
                "{thickness} {y}"
            );
        }
    }

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
