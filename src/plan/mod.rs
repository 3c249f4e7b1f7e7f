//! A plan as the tool understands it: types only. `docs/plan.md` states the normal form.
//!
//! All lengths are inches, all points world coordinates of the drawing times
//! [`Units::inches_per_unit`]. Ids are dense: `L1` is `lights[0]`.

use std::fmt;

use geo::Coord;
use serde::{Serialize, Serializer};

use crate::length::inches_only;

pub mod notation;
mod space;

pub use space::{Opening, OpeningKind, RoomClass};

macro_rules! id {
    ($name:ident, $letter:literal) => {
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub usize);
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, concat!($letter, "{}"), self.0 + 1)
            }
        }
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
                s.collect_str(self)
            }
        }
    };
}
id!(LightId, "L");
id!(MemberId, "M");
id!(RoomId, "R");
id!(RowId, "W");
id!(FindingId, "F");
id!(RemedyId, "A");

/// The drawing's unit and what decided it.
#[derive(Clone, Debug, PartialEq)]
pub struct Units {
    /// `in`, `ft`, `mm`, `cm`, `m`.
    pub name: String,
    pub inches_per_unit: f64,
    pub why: String,
}

/// A unit's name in full, as words after "in": `inches`; a name that is none of a unit stays as it is.
pub fn in_full(unit: &str) -> &str {
    match unit {
        "in" => "inches",
        "ft" => "feet",
        "mm" => "millimetres",
        "cm" => "centimetres",
        "m" => "metres",
        other => other,
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    pub units: Units,
    pub lights: Vec<Light>,
    pub members: Vec<Member>,
    /// Framing that is only written of: its spacing and direction are known, its phase is not.
    pub callouts: Vec<Callout>,
    pub rooms: Vec<Room>,
    /// Gaps in the walls beside rooms, by their places.
    pub openings: Vec<Opening>,
    /// Wall faces as segments.
    pub walls: Vec<(Coord, Coord)>,
    /// Unit vector of the commonest wall direction, angle in (-45°, 45°]; for rows in no room.
    pub axis: Option<Coord>,
    pub obstacles: Vec<Obstacle>,
    pub rows: Vec<Row>,
    /// The architect's lines that are neither light nor member, for the sheets.
    pub linework: Vec<Linework>,
    /// What no class claimed, by layer and entity type.
    pub unclaimed: Vec<Unclaimed>,
    pub counts: Counts,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    pub entities: usize,
    pub claimed: usize,
    pub unclaimed: usize,
    pub dropped: usize,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Unclaimed {
    pub layer: String,
    pub entity: String,
    pub count: usize,
}

/// A recessed light.
#[derive(Clone, Debug, PartialEq)]
pub struct Light {
    /// Centre of the symbol's geometry: where the aperture goes.
    pub at: Coord,
    pub tag: Option<String>,
    pub block: Option<String>,
    pub handle: Option<String>,
    pub offset: usize,
    /// Radius the symbol is drawn at; says nothing of the aperture.
    pub drawn_radius: f64,
    /// Index into `Rules::luminaires`; `None`: no schedule entry, defaults hold.
    pub schedule: Option<usize>,
    /// Centres of further symbols on this spot (within 1 in), counted once.
    pub stacked: Vec<Coord>,
    // Filled in by `recognise::relate`:
    pub room: Option<RoomId>,
    pub rows: Vec<RowId>,
    pub bay: Option<Bay>,
}

/// Clear space beside a light, seen along the members. `None` on a light means no member
/// direction is known there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bay {
    /// Unit vector along the members, angle in (-90°, 90°]; bars run square to it.
    pub along: Coord,
    /// On the side of `along` turned +90°.
    pub left: Side,
    /// On the side of `along` turned −90°.
    pub right: Side,
}

/// One side of a bay, measured square to the members over the housing's half-width band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    /// Aperture centre to the nearest member face; infinite where there is none. Negative or
    /// zero where the member covers the centre.
    pub room: f64,
    pub member: Option<MemberId>,
    /// Aperture centre to the room's wall on that side, if the light stands in a room; a member
    /// beyond it does not carry a bar.
    pub wall: Option<f64>,
}

/// A straight framing member. Doubled members are one member of summed thickness.
#[derive(Clone, Debug, PartialEq)]
pub struct Member {
    /// Centreline.
    pub from: Coord,
    pub to: Coord,
    pub thickness: f64,
    pub kind: MemberKind,
    pub source: MemberSource,
    /// Laminations: 1 single, 2 doubled.
    pub plies: u8,
    pub handle: Option<String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MemberKind {
    Joist,
    Truss,
    Beam,
    Header,
    Block,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MemberSource {
    /// Two parallel faces or an outline on the drawing.
    Drawn,
    /// A centreline on the drawing; thickness from the rules or a default.
    Centreline,
    /// Laid out from the rules file.
    Rules,
    /// Taken over from a second drawing.
    Second,
}

/// Framing of unknown phase: members stand `spacing` on centre along `along`, but where the first
/// one stands is not known. From a text on the drawing, or from `[framing]` without a phase.
#[derive(Clone, Debug, PartialEq)]
pub struct Callout {
    /// The words it was read from; `[framing]` where it is the rules file's.
    pub text: String,
    /// Where the words stand; `None` for the rules file.
    pub at: Option<Coord>,
    pub handle: Option<String>,
    pub kind: MemberKind,
    /// Across one member, inches.
    pub thickness: f64,
    /// Height of a member where the words tell it, inches; actual, not nominal.
    pub depth: Option<f64>,
    /// On centre, inches.
    pub spacing: f64,
    /// Unit vector along the members, angle in (-90°, 90°].
    pub along: Coord,
    /// The room it holds for; `None`: wherever no other callout holds.
    pub room: Option<RoomId>,
}

impl Callout {
    /// Says it in one line: words, spacing, width and direction of the members. The room is left to the reader.
    pub fn said(&self) -> String {
        let degrees = self.along.y.atan2(self.along.x).to_degrees();
        format!(
            "{}: {} on centre, {} wide, at {}°, phase not known",
            self.text,
            inches_only(self.spacing),
            inches_only(self.thickness),
            (degrees * 10.0).round() / 10.0 + 0.0
        )
    }
}

#[derive(Clone, Debug, PartialEq)]
pub struct Room {
    pub name: Option<String>,
    /// What it is for; `None` where its name says nothing.
    pub class: Option<RoomClass>,
    /// Ring without the closing point, counter-clockwise.
    pub outline: Vec<Coord>,
    /// At least three times as long as wide, or named a hall.
    pub hall: bool,
    /// Unit vector along the room's axis: its longest wall direction, angle in (-90°, 90°].
    pub axis: Coord,
    pub insulated: bool,
    /// Ceiling height where known.
    pub ceiling: Option<f64>,
    /// False where drawn outlines were not found and this is the whole plan's hull or the like.
    pub drawn: bool,
}

/// Something else in the ceiling.
#[derive(Clone, Debug, PartialEq)]
pub struct Obstacle {
    pub name: String,
    pub outline: Vec<Coord>,
}

/// Lights meant to stand in one line.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// In order along the row.
    pub lights: Vec<LightId>,
    pub room: Option<RoomId>,
    /// The row line: feet of the first and last light's perpendiculars on it.
    pub from: Coord,
    pub to: Coord,
    /// Signed perpendicular distance of each light; positive is left of `from` → `to`.
    pub offsets: Vec<f64>,
    /// Distance along the line from `from`, one a light.
    pub stations: Vec<f64>,
    /// Best even pitch (minimax over whole multiples).
    pub pitch: f64,
    /// Distance along of each light from the best even pitch.
    pub along: Vec<f64>,
    /// Width of the minimum zone of the lights the line keeps.
    pub straightness: f64,
}

/// Quiet background for the sheets.
#[derive(Clone, Debug, PartialEq)]
pub enum Linework {
    Path {
        points: Vec<Coord>,
        closed: bool,
    },
    Text {
        at: Coord,
        height: f64,
        angle: f64,
        centred: bool,
        text: String,
    },
}

impl Plan {
    pub fn light(&self, id: LightId) -> &Light {
        &self.lights[id.0]
    }
    pub fn member(&self, id: MemberId) -> &Member {
        &self.members[id.0]
    }
    pub fn room(&self, id: RoomId) -> &Room {
        &self.rooms[id.0]
    }
    pub fn row(&self, id: RowId) -> &Row {
        &self.rows[id.0]
    }
}
