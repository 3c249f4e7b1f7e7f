//! The table of checks. One file a check; to add one is to add a file and a row here.

use geo::Coord;
use serde::{Serialize, Serializer};

use crate::plan::{FindingId, LightId, MemberId, Plan, RemedyId, RoomId, RowId};
use crate::rules::Rules;

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
    WideBay,
    TrimBars,
    NarrowBay,
    NoSupport,
    WideGap,
    WallGap,
    Stacked,
    NoSchedule,
    Outside,
}

impl Kind {
    pub const ALL: [Kind; 16] = [
        Kind::OffLine,
        Kind::UnevenPitch,
        Kind::RowSkew,
        Kind::HitsMember,
        Kind::HousingClash,
        Kind::HardAgainst,
        Kind::NearCombustible,
        Kind::WideBay,
        Kind::TrimBars,
        Kind::NarrowBay,
        Kind::NoSupport,
        Kind::WideGap,
        Kind::WallGap,
        Kind::Stacked,
        Kind::NoSchedule,
        Kind::Outside,
    ];

    pub fn name(self) -> &'static str {
        match self {
            Kind::OffLine => "off-line",
            Kind::UnevenPitch => "uneven-pitch",
            Kind::RowSkew => "row-skew",
            Kind::HitsMember => "hits-member",
            Kind::HousingClash => "housing-clash",
            Kind::HardAgainst => "hard-against",
            Kind::NearCombustible => "near-combustible",
            Kind::WideBay => "wide-bay",
            Kind::TrimBars => "trim-bars",
            Kind::NarrowBay => "narrow-bay",
            Kind::NoSupport => "no-support",
            Kind::WideGap => "wide-gap",
            Kind::WallGap => "wall-gap",
            Kind::Stacked => "stacked",
            Kind::NoSchedule => "no-schedule",
            Kind::Outside => "outside",
        }
    }

    pub fn severity(self) -> Severity {
        match self {
            Kind::HitsMember
            | Kind::HousingClash
            | Kind::NearCombustible
            | Kind::WideBay
            | Kind::NarrowBay
            | Kind::NoSupport => Severity::Must,
            Kind::OffLine
            | Kind::RowSkew
            | Kind::WideGap
            | Kind::WallGap
            | Kind::Stacked
            | Kind::NoSchedule => Severity::Should,
            Kind::UnevenPitch | Kind::HardAgainst | Kind::TrimBars | Kind::Outside => Severity::Note,
        }
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
    let _ = (plan, rules);
    todo!("check helper")
}
