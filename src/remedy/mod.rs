//! The table of remedies. One file a remedy; each is re-checked before it is offered.
//!
//! *Scope*: the part of the plan that a change can touch. *Clean*: a change after which no finding
//! is new and none has got worse ([`judge`]).

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

use geo::Coord;

use crate::check::{Finding, Kind};
use crate::plan::{FindingId, LightId, Member, MemberId, MemberKind, MemberSource, Plan, RemedyId};
use crate::recognise::relate;
use crate::rules::Rules;

pub mod bars;
mod blocking;
pub mod cutlist;
pub mod facing;
pub mod joint;
mod judge;
pub mod keep;
mod relay;
pub mod set_out;
mod shift;
mod still;
pub(crate) mod words;

#[cfg(test)]
mod tests;

use judge::{Change, Scope};
use keep::Keep;
use set_out::{SetOut, set_out};

#[derive(Clone, Debug, PartialEq)]
pub struct Remedy {
    pub id: RemedyId,
    /// Findings that go away; none for [`Action::None`].
    pub mends: Vec<FindingId>,
    pub lights: Vec<LightId>,
    pub action: Action,
    /// One sentence: what to do, with lengths to 1/16.
    pub message: String,
    /// Of lights that move: how a tape finds their new places.
    pub set_out: Vec<SetOut>,
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
    /// Lights whose bars hang from it, or from what it carries.
    pub serves: Vec<LightId>,
}

impl Piece {
    /// The member that it is once it is nailed in.
    fn as_member(&self) -> Member {
        Member {
            from: self.from,
            to: self.to,
            thickness: self.thickness,
            kind: MemberKind::Block,
            source: MemberSource::Rules,
            plies: 1,
            handle: None,
        }
    }
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

/// What a remedy's file finds for one light: an action and its sentence.
#[derive(Clone, Debug)]
pub(crate) struct Offer {
    lights: Vec<LightId>,
    action: Action,
    message: String,
}

/// One row of the table: the kinds it mends, and how.
struct Row {
    kinds: &'static [Kind],
    find: fn(&mut Bench<'_>, LightId, &[usize]) -> Offer,
}

const TABLE: [Row; 2] = [
    Row {
        kinds: &[
            Kind::OffLine,
            Kind::HitsMember,
            Kind::HousingClash,
            Kind::NearCombustible,
            Kind::NarrowBay,
            Kind::DeviceClash,
        ],
        find: shift::find,
    },
    Row {
        kinds: &blocking::KINDS,
        find: blocking::find,
    },
];

/// What all remedies work on.
pub(crate) struct Bench<'a> {
    /// The plan less its linework.
    pub plan: &'a Plan,
    pub rules: &'a Rules,
    pub findings: &'a [Finding],
    /// Groups of lights for which no change as a whole was found, and why not where that is proved.
    pub stuck: BTreeMap<Vec<LightId>, Option<String>>,
    /// Places of lights that rows and grids laid anew have looked at.
    pub looked: Cell<usize>,
    pub keep: &'a Keep,
    /// All of the plan, to judge changes on.
    pub whole: &'a Scope,
    /// By finding: whether a remedy is there.
    pub settled: Vec<bool>,
    /// Blocking found for each light, with its bay's others.
    pub blocked: BTreeMap<LightId, Offer>,
    /// The part of the plan that was asked for last: findings of one room follow each other.
    pub last: RefCell<Option<Rc<Scope>>>,
}

impl Bench<'_> {
    /// The part of the plan that some lights' changes can touch.
    pub fn around(&self, lights: &[LightId]) -> Rc<Scope> {
        let kept = Scope::lights_around(self.plan, lights);
        let mut last = self.last.borrow_mut();
        match last.as_ref().filter(|scope| scope.is_of(&kept)) {
            Some(scope) => scope.clone(),
            None => {
                let scope = Rc::new(Scope::around(self.plan, kept, self.rules));
                *last = Some(scope.clone());
                scope
            }
        }
    }
}

/// Whether a kind of finding is mended by moving lights.
pub fn is_moved(kind: Kind) -> bool {
    TABLE[0].kinds.contains(&kind)
}

/// Works out what to do about findings. Applying one remedy leaves no new finding.
/// Fills in each finding's `remedies`.
pub fn remedy(plan: &Plan, findings: &mut [Finding], rules: &Rules) -> Vec<Remedy> {
    remedy_keeping(plan, findings, rules, &Keep::of(plan, rules))
}

/// The same, with what must stay where it is.
pub fn remedy_keeping(plan: &Plan, findings: &mut [Finding], rules: &Rules, keep: &Keep) -> Vec<Remedy> {
    let lean = Plan {
        linework: Vec::new(),
        unclaimed: Vec::new(),
        ..plan.clone()
    };
    let whole = Scope::whole(&lean, rules);
    let mut remedies: Vec<Remedy> = Vec::new();
    let found: Vec<Finding> = findings.to_vec();
    let mut bench = Bench {
        plan: &lean,
        rules,
        findings: &found,
        stuck: BTreeMap::new(),
        looked: Cell::new(0),
        keep,
        whole: &whole,
        settled: vec![false; findings.len()],
        blocked: BTreeMap::new(),
        last: RefCell::default(),
    };
    for (i, finding) in found.iter().enumerate() {
        let row = TABLE.iter().find(|row| row.kinds.contains(&finding.kind));
        let (Some(row), Some(&light), Some(false)) = (row, finding.lights.first(), bench.settled.get(i))
        else {
            continue;
        };
        // This one first, then what else its kind of remedy may mend of the light.
        let mut targets = vec![i];
        targets.extend((0..found.len()).filter(|&j| {
            let other = &found[j];
            j != i
                && !bench.settled[j]
                && row.kinds.contains(&other.kind)
                && other.lights.first() == Some(&light)
        }));
        let mut offer = (row.find)(&mut bench, light, &targets);
        let id = RemedyId(remedies.len());
        let mut mended = Vec::new();
        if let Some(change) = Change::of(&offer) {
            let verdict = whole.judge(&change, rules);
            if verdict.clean() {
                mended = verdict.mended(&whole, &found);
            }
            if !mended.contains(&i) {
                let why = "what mends it here brings a new finding elsewhere on the plan".to_string();
                offer = Offer::none(light, why);
                mended.clear();
            }
        }
        for j in mended.iter().copied().chain(mended.is_empty().then_some(i)) {
            bench.settled[j] = true;
            findings[j].remedies.push(id);
        }
        let set_out = match &offer.action {
            Action::Move { to, .. } => {
                let places: Vec<(LightId, Coord)> =
                    offer.lights.iter().copied().zip(to.iter().copied()).collect();
                set_out(&lean, &places, rules)
            }
            _ => Vec::new(),
        };
        if let Some(words) = set_out.first().and_then(SetOut::words) {
            offer.message += &format!(" By tape, {words}.");
        }
        remedies.push(Remedy {
            id,
            set_out,
            mends: mended.into_iter().map(|j| found[j].id).collect(),
            lights: offer.lights,
            action: offer.action,
            message: offer.message,
        });
    }
    remedies
}

impl Offer {
    fn none(light: LightId, why: String) -> Offer {
        Offer {
            lights: vec![light],
            message: format!("No clean remedy for {light}: {why}."),
            action: Action::None { why },
        }
    }
}

/// The plan as it is after a remedy: lights moved or blocking added as members, and related anew.
pub fn apply(plan: &Plan, remedy: &Remedy, rules: &Rules) -> Plan {
    let mut plan = plan.clone();
    put(&mut plan, &remedy.lights, &remedy.action);
    relate(&mut plan, rules);
    plan
}

/// Changes lights and members only.
fn put(plan: &mut Plan, lights: &[LightId], action: &Action) {
    match action {
        Action::Move { to, .. } => {
            for (id, &to) in lights.iter().zip(to) {
                if let Some(light) = plan.lights.get_mut(id.0) {
                    light.at = to;
                }
            }
        }
        Action::Block { pieces } => plan.members.extend(pieces.iter().map(Piece::as_member)),
        Action::None { .. } => {}
    }
}
