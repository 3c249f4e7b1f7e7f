//! What rooms are for, and the openings between them.

use std::fmt;
use std::str::FromStr;

use geo::Coord;
use serde::{Serialize, Serializer};

use super::RoomId;

/// What a room is for, as its name says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RoomClass {
    Hall,
    Entry,
    Stair,
    Closet,
    Pantry,
    Storage,
    Bath,
    /// Laundry, utility and mechanical rooms.
    Utility,
    Kitchen,
    Dining,
    Living,
    Bedroom,
    Office,
    Garage,
    /// Porches, decks, balconies, terraces.
    Porch,
    /// Several names of different classes with no wall between them.
    OpenPlan,
}

/// How an opening is closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum OpeningKind {
    /// A swing is drawn in it, or sliding panels between rooms, or a door by name.
    Door,
    /// A line of glass or a sill is drawn in it, or a window by name.
    Window,
    /// Neither is seen in it.
    Cased,
    /// Drawn under a word that means doors and windows alike, with no swing and no glass.
    Joinery,
}

/// A gap in a wall that was closed to find the rooms on both sides of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Opening {
    pub kind: OpeningKind,
    /// Its ends, in the middle of the wall's thickness.
    pub from: Coord,
    pub to: Coord,
    /// To the left and to the right of `from` → `to`; `None`: outdoors, or no room was found there.
    pub left: Option<RoomId>,
    pub right: Option<RoomId>,
}

impl Opening {
    /// Between the wall's ends, inches.
    pub fn width(&self) -> f64 {
        let run = self.to - self.from;
        run.x.hypot(run.y)
    }
}

/// One word for each value: what reports and the notation write.
macro_rules! words {
    ($name:ident, $($value:ident $word:literal),+) => {
        impl $name {
            pub const ALL: &'static [$name] = &[$($name::$value),+];
        }
        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(match self { $($name::$value => $word),+ })
            }
        }
        impl FromStr for $name {
            type Err = String;
            /// The error lists the words there are.
            fn from_str(word: &str) -> Result<Self, String> {
                match word {
                    $($word => Ok($name::$value),)+
                    _ => Err(format!("`{word}` is none of {}", [$($word),+].join(", "))),
                }
            }
        }
        impl Serialize for $name {
            fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
                s.collect_str(self)
            }
        }
    };
}
words!(
    RoomClass, Hall "hall", Entry "entry", Stair "stair", Closet "closet", Pantry "pantry", Storage "storage",
    Bath "bath", Utility "utility", Kitchen "kitchen", Dining "dining", Living "living", Bedroom "bedroom",
    Office "office", Garage "garage", Porch "porch", OpenPlan "open-plan"
);
words!(OpeningKind, Door "door", Window "window", Cased "cased", Joinery "joinery");
