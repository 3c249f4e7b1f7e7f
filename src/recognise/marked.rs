//! Lights that a mark, an attribute or a cross says are not new: `(E)` or `VOID` beside the symbol, STATUS = EXISTING.
//!
//! They are counted, since no line of the rules could count them again, and told of one by one. A layer's name that says so
//! leaves its lights out ([`super::status`]). The marks are common practice, from memory.

use std::collections::{BTreeMap, BTreeSet};

use geo::Coord;
use rstar::RTree;
use rstar::primitives::GeomWithData;

use super::classes::Claim;
use super::devices::kinds::text_middle;
use super::shape::finite;
use super::struck;
use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::{LightId, Plan};

/// A mark belongs to the nearest light within this distance, inches.
const REACH: f64 = 18.0;
/// An attribute belongs to the light of its own symbol, whose middle is this near to its origin, inches.
const OWN: f64 = 12.0;
/// Most lights that one note names.
const MOST_NAMED: usize = 12;

/// What a mark by itself says of the thing beside it.
const MARKS: &[(&str, &str)] = &[
    ("(E)", "existing"),
    ("(EX)", "existing"),
    ("(EXIST)", "existing"),
    ("(EXISTING)", "existing"),
    ("EXIST.", "existing"),
    ("EXISTING", "existing"),
    ("EX.", "existing"),
    ("EXG", "existing"),
    ("EXG.", "existing"),
    ("EXISTANT", "existing"),
    ("EXISTENTE", "existing"),
    ("BESTAND", "existing"),
    ("ETR", "existing to remain"),
    ("(ETR)", "existing to remain"),
    ("E.T.R.", "existing to remain"),
    ("(R)", "removed or relocated"),
    ("(ER)", "existing and removed or relocated"),
    ("RELOCATE", "relocated"),
    ("RELOCATED", "relocated"),
    ("TO BE RELOCATED", "relocated"),
    ("REMOVED", "to be demolished"),
    ("TO BE REMOVED", "to be demolished"),
    ("(D)", "to be demolished"),
    ("(DEMO)", "to be demolished"),
    ("DEMO", "to be demolished"),
    ("REMOVE", "to be demolished"),
    ("(F)", "of the future"),
    ("(FUTURE)", "of the future"),
    ("FUTURE", "of the future"),
    ("N.I.C.", "not in contract"),
    ("(NIC)", "not in contract"),
    ("(N.I.C.)", "not in contract"),
    ("NOT IN CONTRACT", "not in contract"),
    ("VOID", "void or superseded"),
    ("(VOID)", "void or superseded"),
    ("VOIDED", "void or superseded"),
    ("OLD", "void or superseded"),
    ("(OLD)", "void or superseded"),
    ("OLD LOCATION", "void or superseded"),
    ("SUPERSEDED", "void or superseded"),
    ("(SUPERSEDED)", "void or superseded"),
    ("OMIT", "void or superseded"),
    ("(OMIT)", "void or superseded"),
    ("OMITTED", "void or superseded"),
    ("DELETE", "void or superseded"),
    ("(DELETE)", "void or superseded"),
    ("DELETED", "void or superseded"),
    ("NOT USED", "void or superseded"),
];

/// Names of attributes whose bare word says the same.
const STATUS_TAGS: [&str; 4] = ["STATUS", "PHASE", "CONDITION", "STATE"];

/// Says which lights are marked as anything but new.
pub fn told(flat: &Flat, claims: &[Claim], plan: &Plan, notes: &mut Vec<Note>) {
    let tree = RTree::bulk_load(
        (plan.lights.iter().enumerate())
            .filter(|(_, l)| finite(l.at))
            .map(|(l, light)| GeomWithData::new([light.at.x, light.at.y], l))
            .collect(),
    );
    let mut found: BTreeMap<(&str, String), BTreeSet<usize>> = BTreeMap::new();
    let mut mark = |at: Coord, reach: f64, meaning, how: String| {
        let near = finite(at).then(|| tree.nearest_neighbor([at.x, at.y])).flatten();
        if let Some(near) = near {
            let [x, y] = *near.geom();
            if (x - at.x).hypot(y - at.y) <= reach {
                found.entry((meaning, how)).or_default().insert(near.data);
            }
        }
    };
    for item in flat.items.iter().filter(|i| i.visible) {
        match &item.prim {
            Prim::Text { text, .. } => {
                if let (Some(meaning), Some(at)) = (meaning(text), text_middle(&item.prim)) {
                    mark(
                        at,
                        REACH,
                        meaning,
                        format!("{} beside", text.trim().to_uppercase()),
                    );
                }
            }
            Prim::Symbol(symbol) => {
                for a in &symbol.attribs {
                    let tag = a.tag.trim().to_uppercase();
                    let status = STATUS_TAGS.contains(&&*tag);
                    let said = meaning(&a.text)
                        .or_else(|| meaning(&format!("({})", a.text.trim())).filter(|_| status));
                    if let Some(meaning) = said {
                        mark(symbol.at, OWN, meaning, format!("{tag} = {}", a.text.trim()));
                    }
                }
            }
            _ => {}
        }
    }
    let struck = struck::struck(flat, claims, plan);
    if !struck.is_empty() {
        found.insert(("void or superseded", "a cross drawn over".into()), struck);
    }
    for ((meaning, how), lights) in found {
        let mut names: Vec<String> = lights
            .iter()
            .take(MOST_NAMED)
            .map(|l| LightId(*l).to_string())
            .collect();
        if lights.len() > MOST_NAMED {
            names.push("…".into());
        }
        let (are, they) = match lights.len() {
            1 => ("is", "it is"),
            _ => ("are", "they are"),
        };
        notes.push(Note::warning(
            "lights-marked",
            format!(
                "{} light(s) {are} marked as {meaning} ({how}), and counted as new: {}; where {they} none to rough in, put them on \
                 a layer that says so, such as E-LITE-EXST, or tell the architect",
                lights.len(),
                names.join(", "),
            ),
        ));
    }
}

fn meaning(text: &str) -> Option<&'static str> {
    let text = text.trim().to_uppercase();
    MARKS
        .iter()
        .find(|(mark, _)| *mark == text)
        .map(|(_, meaning)| *meaning)
}
