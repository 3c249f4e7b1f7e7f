//! Remarks of the flattening, equal ones folded.

use std::collections::BTreeMap;

use super::primitive::Odd;
use crate::note::{Level, Note};

/// The remark on an entity, called by its type name, that was odd.
pub fn tell(odd: Odd, name: &str) -> (Level, &'static str, String) {
    match odd {
        Odd::Beyond => (
            Level::Loss,
            "coordinate",
            format!("{name} left out: a coordinate is no number or farther away than any building"),
        ),
        Odd::Empty => (
            Level::Warning,
            "empty-shape",
            format!("{name} has too few points to draw anything"),
        ),
        Odd::Extrusion => (
            Level::Warning,
            "extrusion",
            format!("{name} has no usable extrusion direction: z is taken"),
        ),
        Odd::NegativeRadius => (
            Level::Warning,
            "negative-radius",
            format!("{name} has a negative radius: its size is taken"),
        ),
        Odd::Bulge => (
            Level::Warning,
            "bulge",
            format!("{name} has a bulge that is no number: that run is taken as straight"),
        ),
    }
}

/// Notes with equal ones folded: the first place is kept, the times are counted.
#[derive(Debug, Default)]
pub struct Notes {
    list: Vec<Note>,
    known: BTreeMap<(Level, &'static str, String), usize>,
}

impl Notes {
    /// Counts the note once more if one like it is there.
    pub fn again(&mut self, note: &Note) -> bool {
        let known = self.known.get(&(note.level, note.code, note.message.clone()));
        match known.and_then(|i| self.list.get_mut(*i)) {
            Some(first) => {
                first.times = first.times.saturating_add(note.times);
                true
            }
            None => false,
        }
    }

    pub fn add(&mut self, note: Note) {
        if self.again(&note) {
            return;
        }
        self.known
            .insert((note.level, note.code, note.message.clone()), self.list.len());
        self.list.push(note);
    }

    pub fn into_vec(self) -> Vec<Note> {
        self.list
    }
}
