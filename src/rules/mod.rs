//! `bayline.toml`: mapping, schedule, tolerances. Every default with its source.

use std::borrow::Cow;
use std::path::PathBuf;

mod file;
mod fold;
mod iso13567;
mod keep;
pub mod line;
mod patterns;
mod plain;
mod raw;
mod schedule;
mod status;
mod words;

pub use file::parse;
pub use fold::folded;
pub use keep::{KeepLine, KeepRules};
pub use patterns::{Patterns, base_name, exactly, glob_fault, glob_matches, last_part, said_word};
pub use schedule::{Explained, Means};
pub use status::{Status, Statuses, says_new};
pub use words::{Elsewhere, fixtures, listed, read_words};

/// A rules file made whole: every default filled in, lengths in inches.
#[derive(Clone, Debug, PartialEq)]
pub struct Rules {
    /// Where it was read from; `None` for the built-in defaults.
    pub file: Option<PathBuf>,
    pub units: UnitChoice,
    pub read: ReadRules,
    pub framing: FramingRules,
    pub luminaires: Vec<Luminaire>,
    /// Marks that a schedule drawn on the plan explains otherwise. No rules file holds them.
    pub explained: Vec<Explained>,
    pub tolerance: Tolerance,
    pub spacing: Spacing,
    pub walls: WallRules,
    pub rooms: Vec<RoomRule>,
    pub keep: KeepRules,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitChoice {
    Auto,
    In,
    Ft,
    Mm,
    Cm,
    M,
}

/// Name patterns by class. Matching ignores case and looks at the last part of `xref$0$layer`
/// and `xref|layer`.
#[derive(Clone, Debug, PartialEq)]
pub struct ReadRules {
    pub lights: Patterns,
    pub framing: Patterns,
    pub walls: Patterns,
    pub rooms: Patterns,
    pub devices: Patterns,
    pub ignore: Patterns,
}

#[derive(Clone, Debug, PartialEq)]
pub struct FramingRules {
    /// Thickness of a member drawn as a centreline [1 1/2, PS 20].
    pub thickness: f64,
    /// Whether `[framing] thickness` was given in the file.
    pub thickness_given: bool,
    /// On-centre spacing, where framing is laid out from the rules.
    pub spacing: Option<f64>,
    /// Degrees of the members from the drawing's x.
    pub direction: Option<f64>,
    /// A point on one member's centreline, in DRAWING units; `None` is unknown.
    pub phase: Option<[f64; 2]>,
    /// Points on members' centrelines, in DRAWING units: each lays out the callout of its room.
    pub measured: Vec<[f64; 2]>,
    /// The block, shown or not, that framing is taken from.
    pub from_block: Option<String>,
    /// What places a second drawing's framing on the plan [common walls].
    pub place: Place,
    /// Degrees the second drawing is turned by, within 30; after mirroring.
    pub turn: Option<f64>,
    /// Whether the second drawing is mirrored.
    pub mirrored: Option<bool>,
}

/// What places a second drawing on the plan.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Place {
    #[default]
    Walls,
    /// Its own coordinates.
    Origin,
}

/// One line of the light schedule.
#[derive(Clone, Debug, PartialEq)]
pub struct Luminaire {
    pub tag: String,
    pub blocks: Vec<String>,
    /// Nominal inches.
    pub aperture: f64,
    /// Diameter of the hole cut.
    pub opening: f64,
    /// Diameter of the recessed body.
    pub body: f64,
    pub short_side: f64,
    pub box_side: f64,
    pub half_width: f64,
    pub bars: Bars,
    pub ic: bool,
    pub mount: Mount,
    /// Old-work: how far the clips need the board clear around the opening.
    pub clip: f64,
    pub lumens: Option<f64>,
    /// Beam angle, degrees.
    pub beam: Option<f64>,
    /// Photometric file, as written; beside the rules file where relative.
    pub photometry: Option<String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mount {
    NewWork,
    OldWork,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bars {
    pub least: f64,
    pub greatest: f64,
    pub trimmed: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tolerance {
    /// [1/8]
    pub across: f64,
    /// [1]
    pub along: f64,
    /// [6]
    pub capture: f64,
    /// What bending the tabs gains [1/2]
    pub tab_gain: f64,
    /// Body to combustibles, not Type IC [1/2, NFPA 70 410.116(A)(1)]
    pub combustible: f64,
    /// Two symbols nearer than this are one light [1]
    pub stacked: f64,
    /// Longest gap in a row, as a multiple of the median gap [2.5]
    pub gap_ratio: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spacing {
    /// [1.0]: as many feet as the aperture has inches (common practice).
    pub feet_per_inch: f64,
    /// Spacing criterion: greatest spacing over the height above the work plane (IES).
    pub criterion: Option<f64>,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WallRules {
    /// End light to the wall it faces, at least [12].
    pub least: f64,
    /// Added to half of the spacing rule for the greatest [6].
    pub slack: f64,
}

#[derive(Clone, Debug, PartialEq)]
pub struct RoomRule {
    pub name: String,
    pub ceiling: Option<f64>,
    pub insulated: Option<bool>,
    pub hall: Option<bool>,
}

impl ReadRules {
    /// The same without what is called more of a class; `None` where nothing is.
    pub fn without_more(&self) -> Option<ReadRules> {
        let mut read = self.clone();
        let all = [
            &mut read.lights,
            &mut read.framing,
            &mut read.walls,
            &mut read.rooms,
            &mut read.devices,
            &mut read.ignore,
        ];
        let mut any = false;
        for patterns in all {
            any |= !(patterns.more_layers.is_empty() && patterns.more_blocks.is_empty());
            patterns.more_layers.clear();
            patterns.more_blocks.clear();
        }
        any.then_some(read)
    }
}

impl Rules {
    /// The schedule entry that holds for a light, the default one where it has none.
    pub fn luminaire(&self, light: &crate::plan::Light) -> Luminaire {
        self.housing(light).into_owned()
    }

    /// The same, lent where it is an entry of the schedule.
    pub fn housing(&self, light: &crate::plan::Light) -> Cow<'_, Luminaire> {
        let entry = light.schedule.and_then(|i| self.luminaires.get(i));
        entry.map_or_else(|| Cow::Owned(Luminaire::default()), Cow::Borrowed)
    }

    /// Keys that were given and that no check uses yet, so that they are not passed over in silence.
    pub fn unused(&self) -> Vec<String> {
        let mut keys = Vec::new();
        for (key, given) in [
            ("lumens", self.luminaires.iter().any(|l| l.lumens.is_some())),
            ("beam", self.luminaires.iter().any(|l| l.beam.is_some())),
            (
                "photometry",
                self.luminaires.iter().any(|l| l.photometry.is_some()),
            ),
        ] {
            if given {
                keys.push(format!("[[luminaire]] {key}"));
            }
        }
        keys
    }

    /// The schedule entry of a light: by its tag, letter case aside, else by its block's name.
    pub fn schedule(&self, tag: Option<&str>, block: Option<&str>) -> Option<usize> {
        let by_tag = tag.map(str::trim).filter(|t| !t.is_empty()).and_then(|tag| {
            let tag = tag.to_uppercase();
            self.luminaires
                .iter()
                .position(|l| l.tag.trim().to_uppercase() == tag)
        });
        by_tag.or_else(|| {
            let block = block?;
            self.luminaires
                .iter()
                .position(|l| l.blocks.iter().any(|p| glob_matches(p, block)))
        })
    }
}

impl Default for Luminaire {
    /// A 6 in new-work housing (common practice; the sizes of the schedule's example).
    fn default() -> Self {
        Luminaire {
            tag: String::new(),
            blocks: Vec::new(),
            aperture: 6.0,
            opening: 6.375,
            body: 6.75,
            short_side: 4.5,
            box_side: 6.5,
            half_width: 4.5,
            bars: Bars {
                least: 14.0,
                greatest: 24.0,
                trimmed: 9.0,
            },
            ic: true,
            mount: Mount::NewWork,
            clip: 0.5,
            lumens: None,
            beam: None,
            photometry: None,
        }
    }
}

impl Default for Tolerance {
    fn default() -> Self {
        Tolerance {
            across: 0.125,
            along: 1.0,
            capture: 6.0,
            tab_gain: 0.5,
            combustible: 0.5,
            stacked: 1.0,
            gap_ratio: 2.5,
        }
    }
}

impl Default for FramingRules {
    fn default() -> Self {
        FramingRules {
            thickness: 1.5,
            thickness_given: false,
            spacing: None,
            direction: None,
            phase: None,
            measured: Vec::new(),
            from_block: None,
            place: Place::Walls,
            turn: None,
            mirrored: None,
        }
    }
}

impl Default for Spacing {
    fn default() -> Self {
        Spacing {
            feet_per_inch: 1.0,
            criterion: None,
        }
    }
}

impl Default for WallRules {
    fn default() -> Self {
        WallRules {
            least: 12.0,
            slack: 6.0,
        }
    }
}

impl Default for Rules {
    fn default() -> Self {
        Rules {
            file: None,
            units: UnitChoice::Auto,
            read: words::read_rules(),
            framing: FramingRules::default(),
            luminaires: Vec::new(),
            explained: Vec::new(),
            tolerance: Tolerance::default(),
            spacing: Spacing::default(),
            walls: WallRules::default(),
            rooms: Vec::new(),
            keep: KeepRules::default(),
        }
    }
}

#[cfg(test)]
mod tests;
#[cfg(test)]
mod word_tests;
