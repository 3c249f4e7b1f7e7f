//! The report: what a plan came to, as plain data ready to be written.

pub mod share;
pub mod summary;

use crate::check::{Finding, Severity};
use crate::note::{Level, Note};
use crate::phase::Phases;
use crate::plan::{Light, Plan};
use crate::recognise::plans::Part;
use crate::recognise::{Placed, Reading};
use crate::remedy::Remedy;
use crate::remedy::bars::Bars;
use crate::remedy::cutlist::CutList;
use crate::remedy::facing::Facing;
use crate::remedy::joint::Settled;
use crate::rules::Luminaire;

use share::{Share, Shares};

/// One plan, judged.
#[derive(Clone, Debug, PartialEq)]
pub struct Report {
    /// File name of the plan.
    pub name: String,
    pub plan: Plan,
    /// What each layer and block was taken for, and how sure that is: layers first, by name.
    pub readings: Vec<Reading>,
    /// The plans of the drawing where it holds several, from left to right.
    pub parts: Vec<Part>,
    /// What belongs to each of them.
    pub shares: Shares,
    /// How a second drawing's framing was placed on the plan.
    pub framing: Option<Placed>,
    /// The light schedule that held; [`Light::schedule`] points into it.
    pub schedule: Vec<Luminaire>,
    pub findings: Vec<Finding>,
    pub remedies: Vec<Remedy>,
    /// Which way junction boxes face, ordered by light.
    pub facings: Vec<Facing>,
    /// What hanger bars are set to, ordered by light.
    pub bars: Vec<Bars>,
    /// Blocking to cut and lumber to order.
    pub cut_list: CutList,
    /// Rooms whose framing is only written of, over every place it may stand at.
    pub phases: Vec<Phases>,
    pub notes: Vec<Note>,
    /// What the mended plan has moved, where one was asked for.
    pub applied: Option<Settled>,
}

/// What a plan, or a batch, ends with; the worst decides. The number is the exit status.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// No finding as grave as was asked for.
    Clean = 0,
    /// Findings that grave.
    Findings = 1,
    /// Something could not be read, written or understood.
    Failed = 2,
}

impl Status {
    pub fn code(self) -> u8 {
        self as u8
    }
}

impl Report {
    /// The plan of the drawing that a finding is in, where it holds several
    /// and one of them has it alone.
    pub fn part(&self, finding: &Finding) -> Option<usize> {
        self.shares.finding(finding.id)
    }

    /// How many findings of one severity are in each plan of the drawing; none where it is one plan.
    pub fn part_counts(&self, severity: Severity) -> Vec<usize> {
        let of = |s: &Share| s.findings.iter().filter(|f| f.severity == severity).count();
        self.shares.each.iter().map(of).collect()
    }

    /// What the files of one plan of the drawing call it, counted from 0.
    pub fn part_name(&self, part: usize) -> String {
        match self.parts.get(part) {
            Some(p) => p.name(part, self.parts.len(), &self.name),
            None => self.name.clone(),
        }
    }

    /// The schedule entry that holds for a light.
    pub fn luminaire(&self, light: &Light) -> Luminaire {
        light
            .schedule
            .and_then(|i| self.schedule.get(i))
            .cloned()
            .unwrap_or_default()
    }

    /// How many findings are of one severity.
    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|f| f.severity == severity).count()
    }

    /// Something lost outweighs any finding: a plan not wholly read cannot be called judged.
    pub fn status(&self, fail_on: Severity) -> Status {
        if self.notes.iter().any(|n| n.level == Level::Loss) {
            Status::Failed
        } else if self.findings.iter().any(|f| f.severity >= fail_on) {
            Status::Findings
        } else {
            Status::Clean
        }
    }
}

/// Folds notes that say the same of different places: the first place stays, the times add up.
/// The order is that of first mention.
pub fn fold(notes: Vec<Note>) -> Vec<Note> {
    let mut seen = std::collections::BTreeMap::new();
    let mut folded: Vec<Note> = Vec::new();
    for note in notes {
        let key = (note.level, note.code, note.message.clone());
        match seen.get(&key).and_then(|&i: &usize| folded.get_mut(i)) {
            Some(first) => first.times += note.times,
            None => {
                seen.insert(key, folded.len());
                folded.push(note);
            }
        }
    }
    folded
}
