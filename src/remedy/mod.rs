//! The table of remedies. One file a remedy; each is re-checked before it is offered.

use geo::Coord;

use crate::check::Finding;
use crate::plan::{FindingId, LightId, MemberId, Plan, RemedyId};
use crate::rules::Rules;

#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    pub id: RemedyId,
    /// Findings that go away.
    pub mends: Vec<FindingId>,
    pub lights: Vec<LightId>,
    pub action: Action,
    /// One sentence: what to do, with lengths to 1/16.
    pub message: String,
}

#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// Put each light at the new point.
    Move { to: Vec<Coord>, by: f64 },
    /// Nail in these pieces; bars then hang from them.
    Block { pieces: Vec<Piece> },
    /// Nothing clean was found: says why, so that it is never silent.
    None { why: String },
}

/// A piece of blocking: a centreline, between faces, square cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    pub from: Coord,
    pub to: Coord,
    pub thickness: f64,
    /// Cut length, to 1/16 in, never longer than the clear width.
    pub cut: f64,
    /// Members it is nailed to.
    pub between: Vec<MemberId>,
}

impl Action {
    pub fn name(&self) -> &'static str {
        match self {
            Action::Move { .. } => "move",
            Action::Block { .. } => "block",
            Action::None { .. } => "none",
        }
    }
}

/// Works out what to do about findings. Applying one remedy leaves no new finding.
/// Fills in each finding's `remedies`.
pub fn remedy(plan: &Plan, findings: &mut [Finding], rules: &Rules) -> Vec<Remedy> {
    let _ = (plan, findings, rules);
    todo!("remedy helper")
}

/// The plan as it is after a remedy: lights moved or blocking added as members, and related anew.
pub fn apply(plan: &Plan, remedy: &Remedy, rules: &Rules) -> Plan {
    let _ = (plan, remedy, rules);
    todo!("remedy helper")
}
