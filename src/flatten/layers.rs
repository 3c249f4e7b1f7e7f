//! Layers and colours: names folded, states looked up, inheritance from INSERTs.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::drawing::Layer;

/// Group 62: the entity takes its layer's colour.
pub const BY_LAYER: i16 = 256;
/// Group 62: the entity takes the colour of the INSERT it stands in.
pub const BY_BLOCK: i16 = 0;
/// Foreground: black on white, white on black.
pub const FOREGROUND: i16 = 7;

/// Index of a layer in [`Layers`].
pub type LayerId = usize;

/// State of one layer.
#[derive(Clone, Debug)]
pub struct State {
    /// As the layer table spells it, or as the first entity does where the table lacks it.
    pub name: Arc<str>,
    pub color: i16,
    pub off: bool,
    pub frozen: bool,
    pub plotted: bool,
    /// Layer `0`: inside a block, it stands for the INSERT's layer.
    pub zero: bool,
}

/// All layers of the drawing, by name, letter case aside.
#[derive(Debug, Default)]
pub struct Layers {
    list: Vec<State>,
    /// Folded name to index.
    folded: BTreeMap<String, LayerId>,
    /// Spelling as met to index, so that folding is done once a spelling.
    spelled: BTreeMap<String, LayerId>,
}

impl Layers {
    /// The first of several table entries of one name counts.
    pub fn new(table: &[Layer]) -> Self {
        let mut layers = Layers::default();
        for layer in table {
            let folded = fold(&layer.name);
            if layers.folded.contains_key(&folded) {
                continue;
            }
            let id = layers.push(folded, &layer.name, layer.color, layer.off, layer.frozen);
            layers.list[id].plotted &= layer.plotted;
        }
        layers
    }

    fn push(&mut self, folded: String, name: &str, color: i16, off: bool, frozen: bool) -> LayerId {
        let id = self.list.len();
        self.list.push(State {
            name: Arc::from(name),
            // A negative colour marks a layer as off; its magnitude is the colour.
            color: match color.saturating_abs() {
                0 | BY_LAYER => FOREGROUND,
                c => c,
            },
            off: off || color < 0,
            frozen,
            // What is on it is never plotted.
            plotted: !name.eq_ignore_ascii_case("DEFPOINTS"),
            zero: name == "0",
        });
        self.folded.insert(folded, id);
        id
    }

    /// Names of layers on which nothing is plotted.
    pub fn unplotted(&self) -> BTreeSet<Arc<str>> {
        (self.list.iter())
            .filter(|state| !state.plotted)
            .map(|state| state.name.clone())
            .collect()
    }

    /// The layer of this name; one that the table lacks is on, thawed and of foreground colour.
    pub fn id(&mut self, name: &str) -> LayerId {
        let name = if name.is_empty() { "0" } else { name };
        if let Some(&id) = self.spelled.get(name) {
            return id;
        }
        let folded = fold(name);
        let id = match self.folded.get(&folded) {
            Some(&id) => id,
            None => self.push(folded, name, FOREGROUND, false, false),
        };
        self.spelled.insert(name.to_owned(), id);
        id
    }

    pub fn state(&self, id: LayerId) -> &State {
        // Ids are only made by this table, and it never shrinks.
        &self.list[id]
    }
}

/// What an INSERT hands down to the entities of its block.
#[derive(Clone, Copy, Debug)]
pub struct Inherited {
    /// The INSERT's own effective layer and colour.
    pub layer: LayerId,
    pub color: i16,
    /// The INSERT, or one around it, is frozen or invisible: nothing inside shows.
    pub hidden: bool,
}

/// Effective properties of one entity.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Effective {
    pub layer: LayerId,
    pub color: i16,
    /// It shows.
    pub visible: bool,
    /// What stands inside it is hidden (matters for an INSERT only).
    pub hides: bool,
}

/// Resolves layer, colour and visibility of an entity inside `from` (`None` in model space).
///
/// A frozen INSERT hides its contents; one on a layer that is off hides only what takes that layer.
pub fn resolve(
    layers: &Layers,
    own: LayerId,
    color: i16,
    invisible: bool,
    from: Option<Inherited>,
) -> Effective {
    let layer = match from {
        Some(from) if layers.state(own).zero => from.layer,
        _ => own,
    };
    let state = layers.state(layer);
    let color = match color {
        BY_LAYER => state.color,
        BY_BLOCK => from.map_or(FOREGROUND, |from| from.color),
        c => c.saturating_abs(),
    };
    let hidden = from.is_some_and(|from| from.hidden) || invisible || state.frozen;
    Effective {
        layer,
        color,
        visible: !hidden && !state.off,
        hides: hidden,
    }
}

/// Folds a layer or block name: letter case aside.
pub fn fold(name: &str) -> String {
    name.to_lowercase()
}
