//! The table of checks. One file a check; to add one is to add a file and a row here.
//!
//! What a check may say is fixed in `docs/checks/`. A limit that is met exactly is kept: a check
//! fires only past it, by more than [`EPSILON`].

use geo::Coord;
use serde::{Serialize, Serializer};

use crate::plan::{FindingId, LightId, MemberId, Plan, RemedyId, RoomId, RowId};
use crate::rules::Rules;

pub(crate) mod device_clash;
mod hard_against;
mod hits_member;
mod housing_clash;
mod insulation;
mod narrow_bay;
mod near_combustible;
mod no_schedule;
mod no_support;
mod off_line;
mod outside;
mod row_skew;
mod stacked;
mod trim_bars;
mod uneven_pitch;
pub(crate) mod wall_gap;
mod wide_bay;
mod wide_gap;

pub(crate) mod footprint;
pub(crate) mod spacing;
pub(crate) mod work;

#[cfg(test)]
mod tests;

use work::{Ground, Work};

/// Inches by which a limit must be passed before a check fires: far below anything a tape can
/// tell, far above what rounding does at coordinates of millions of inches.
pub const EPSILON: f64 = 1e-6;

/// A row further than this from the room's axis is meant to lie across it, degrees.
pub const SKEW_LIMIT: f64 = 15.0;

/// One row of the table.
struct Check {
    kind: Kind,
    name: &'static str,
    severity: Severity,
    run: fn(&Work<'_>, &mut Vec<Finding>),
}

/// Every check, in the order of [`Kind`].
#[rustfmt::skip]
const TABLE: [Check; 18] = {
    use Severity::{Must, Note, Should};
    [
        Check { kind: Kind::OffLine, name: "off-line", severity: Should, run: off_line::run },
        Check { kind: Kind::UnevenPitch, name: "uneven-pitch", severity: Note, run: uneven_pitch::run },
        Check { kind: Kind::RowSkew, name: "row-skew", severity: Should, run: row_skew::run },
        Check { kind: Kind::HitsMember, name: "hits-member", severity: Must, run: hits_member::run },
        Check { kind: Kind::HousingClash, name: "housing-clash", severity: Must, run: housing_clash::run },
        Check { kind: Kind::HardAgainst, name: "hard-against", severity: Note, run: hard_against::run },
        Check { kind: Kind::NearCombustible, name: "near-combustible", severity: Must, run: near_combustible::run },
        Check { kind: Kind::Insulation, name: "insulation", severity: Must, run: insulation::run },
        Check { kind: Kind::WideBay, name: "wide-bay", severity: Must, run: wide_bay::run },
        Check { kind: Kind::TrimBars, name: "trim-bars", severity: Note, run: trim_bars::run },
        Check { kind: Kind::NarrowBay, name: "narrow-bay", severity: Must, run: narrow_bay::run },
        Check { kind: Kind::NoSupport, name: "no-support", severity: Must, run: no_support::run },
        Check { kind: Kind::DeviceClash, name: "device-clash", severity: Must, run: device_clash::run },
        Check { kind: Kind::WideGap, name: "wide-gap", severity: Should, run: wide_gap::run },
        Check { kind: Kind::WallGap, name: "wall-gap", severity: Should, run: wall_gap::run },
        Check { kind: Kind::Stacked, name: "stacked", severity: Should, run: stacked::run },
        Check { kind: Kind::NoSchedule, name: "no-schedule", severity: Should, run: no_schedule::run },
        Check { kind: Kind::Outside, name: "outside", severity: Note, run: outside::run },
    ]
};

/// How grave a finding is, gravest last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    Note,
    Should,
    Must,
}

/// A check's permanent name. Names are never reused or renamed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    OffLine,
    UnevenPitch,
    RowSkew,
    HitsMember,
    HousingClash,
    HardAgainst,
    NearCombustible,
    Insulation,
    WideBay,
    TrimBars,
    NarrowBay,
    NoSupport,
    DeviceClash,
    WideGap,
    WallGap,
    Stacked,
    NoSchedule,
    Outside,
}

impl Kind {
    pub const ALL: [Kind; 18] = {
        let mut all = [Kind::OffLine; 18];
        let mut i = 0;
        while i < all.len() {
            all[i] = TABLE[i].kind;
            i += 1;
        }
        all
    };

    pub fn name(self) -> &'static str {
        TABLE[self as usize].name
    }

    pub fn severity(self) -> Severity {
        TABLE[self as usize].severity
    }
}

impl Serialize for Kind {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(self.name())
    }
}

/// One thing wrong, or worth saying.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    pub id: FindingId,
    pub kind: Kind,
    pub severity: Severity,
    pub lights: Vec<LightId>,
    pub members: Vec<MemberId>,
    pub row: Option<RowId>,
    pub room: Option<RoomId>,
    /// Where to point, inches.
    pub at: Coord,
    /// Inches (may be infinite where there is nothing to measure to; reports write null).
    pub measured: f64,
    pub limit: f64,
    /// What would mend an `off-line`: the vector from the light to the row line. Zero elsewhere.
    pub mend: Coord,
    /// One sentence in trade words, lengths in feet and inches to 1/16.
    pub message: String,
    pub remedies: Vec<RemedyId>,
}

/// Runs every check. Findings are ordered by kind, then subject, and numbered in that order.
pub fn check(plan: &Plan, rules: &Rules) -> Vec<Finding> {
    checked(&Work::new(plan, rules, &Ground::of(plan)))
}

/// The same without their messages, on a plan whose members and devices are those of `ground`: to compare with what
/// was found before a change. Most of what checking costs is the words.
pub(crate) fn check_in_short(plan: &Plan, rules: &Rules, ground: &Ground) -> Vec<Finding> {
    checked(&Work::in_short(plan, rules, ground))
}

fn checked(work: &Work<'_>) -> Vec<Finding> {
    let mut findings = Vec::new();
    for check in &TABLE {
        (check.run)(work, &mut findings);
    }
    findings.sort_by(|a, b| {
        (a.kind.cmp(&b.kind))
            .then_with(|| a.lights.cmp(&b.lights))
            .then(a.row.cmp(&b.row))
            .then_with(|| a.members.cmp(&b.members))
            .then(a.at.x.total_cmp(&b.at.x))
            .then(a.at.y.total_cmp(&b.at.y))
    });
    for (i, finding) in findings.iter_mut().enumerate() {
        finding.id = FindingId(i);
    }
    findings
}

/// What the checks say of rows alone: evenness, line, turn, gaps, walls faced. In the order of the table, not numbered,
/// without messages.
pub(crate) fn along_rows(plan: &Plan, rules: &Rules, ground: &Ground) -> Vec<Finding> {
    let work = Work::in_short(plan, rules, ground);
    let mut findings = Vec::new();
    for run in [
        off_line::run,
        uneven_pitch::run,
        row_skew::run,
        wide_gap::run,
        wall_gap::run,
    ] {
        run(&work, &mut findings);
    }
    findings
}

impl Finding {
    /// Whether it speaks of the same lights: those of a row come in its direction, which may turn round.
    pub(crate) fn is_of_the_lights_of(&self, other: &Finding) -> bool {
        let sorted = |f: &Finding| {
            let mut lights = f.lights.clone();
            lights.sort_unstable();
            lights
        };
        self.lights == other.lights
            || self.lights.len() == other.lights.len() && sorted(self) == sorted(other)
    }

    /// A finding of `kind` with no subject yet; its number comes with the ordering.
    pub(crate) fn new(kind: Kind, at: Coord, measured: f64, limit: f64, message: String) -> Self {
        Finding {
            id: FindingId(0),
            kind,
            severity: kind.severity(),
            lights: Vec::new(),
            members: Vec::new(),
            row: None,
            room: None,
            at,
            measured,
            limit,
            mend: Coord::zero(),
            message,
            remedies: Vec::new(),
        }
    }
}
