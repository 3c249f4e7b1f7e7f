//! What must stay where it is: the one question that every search for a move asks.

use std::collections::BTreeMap;

use geo::Coord;

use crate::plan::{LightId, Plan};
use crate::rules::Rules;

/// Lights that may not move, and why not. Worked out once, on the plan as drawn: rows are numbered
/// anew when lights move, lights are not.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Keep {
    fixed: BTreeMap<LightId, String>,
}

impl Keep {
    /// What the rules say of this plan.
    pub fn of(_plan: &Plan, _rules: &Rules) -> Keep {
        Keep::default()
    }

    /// Keeps one more light in its place; `why` goes on after "it may not move:".
    pub fn fix(&mut self, light: LightId, why: impl Into<String>) {
        self.fixed.entry(light).or_insert_with(|| why.into());
    }

    /// Why a light may not move at all; `None` where it may.
    pub fn why(&self, light: LightId) -> Option<&str> {
        self.fixed.get(&light).map(String::as_str)
    }

    /// Whether a light may move to a place.
    pub fn may_move(&self, light: LightId, _from: Coord, _to: Coord) -> bool {
        !self.fixed.contains_key(&light)
    }

    /// The lights of these that may not go everywhere.
    pub fn held(&self, light: LightId) -> bool {
        self.fixed.contains_key(&light)
    }
}
