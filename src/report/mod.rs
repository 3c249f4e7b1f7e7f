//! The report: what a plan came to, as plain data ready to be written.

use crate::check::Finding;
use crate::note::Note;
use crate::plan::Plan;
use crate::remedy::Remedy;

/// One plan, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// File name of the plan.
    pub name: String,
    pub plan: Plan,
    pub findings: Vec<Finding>,
    pub remedies: Vec<Remedy>,
    pub notes: Vec<Note>,
}
