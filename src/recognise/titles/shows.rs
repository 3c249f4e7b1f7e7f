//! Titles of plans that show something else than the ceiling to rough in.

use super::{has_part, is_enlarged, split};
use crate::rules::folded;

/// Words for what is taken out, for what stands, and for new work (trade words; other languages from memory).
const REMOVED: [&str; 9] = [
    "DEMO",
    "DEMOLITION",
    "REMOVAL",
    "REMOVALS",
    "DEMOLICION",
    "DEMOLICAO",
    "DEMOLIZIONE",
    "ABBRUCH",
    "RUCKBAU",
];
const UNSPACED_REMOVED: [&str; 3] = ["拆除", "解体", "철거"];
const STANDING: [&str; 8] = [
    "EXISTING",
    "EXIST",
    "ASBUILT",
    "EXISTANT",
    "EXISTENTE",
    "BESTAND",
    "BESTANDSPLAN",
    "ACTUAL",
];
const UNSPACED_STANDING: [&str; 4] = ["既存", "既设", "现状", "기존"];
const NEW_WORK: [&str; 22] = [
    "NEW",
    "PROPOSED",
    "ADDITION",
    "REMODEL",
    "REMODELED",
    "REMODELING",
    "RENOVATION",
    "RENOVATED",
    "CONVERSION",
    "ALTERATION",
    "ALTERATIONS",
    "CONSTRUCTION",
    "NUEVO",
    "NUEVA",
    "PROPUESTO",
    "PROPUESTA",
    "NOVO",
    "NOVA",
    "PROPOSTA",
    "PROJET",
    "NEUBAU",
    "UMBAU",
];

/// What a plan shows by its title, where that is not the ceiling to rough in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shows {
    /// What is taken out.
    Removed,
    /// What is there already.
    Existing,
    /// A part of another plan, drawn larger.
    Enlarged,
}

/// What a title says that a plan shows; `None` where it speaks of new work too, or of nothing else.
pub fn shows(title: &str) -> Option<Shows> {
    let name = folded(title);
    let words = split(&name);
    let has = |list: &[&str]| words.iter().any(|w| list.contains(w));
    if is_of_new_work(title) {
        None
    } else if has(&REMOVED) || has_part(&name, &UNSPACED_REMOVED) {
        Some(Shows::Removed)
    } else if has(&STANDING)
        || words.windows(2).any(|w| w == ["AS", "BUILT"])
        || has_part(&name, &UNSPACED_STANDING)
    {
        Some(Shows::Existing)
    } else {
        is_enlarged(title).then_some(Shows::Enlarged)
    }
}

/// Whether a title speaks of what is built anew.
pub fn is_of_new_work(title: &str) -> bool {
    let name = folded(title);
    split(&name).iter().any(|w| NEW_WORK.contains(w))
}

#[cfg(test)]
mod tests {
    use super::{Shows, shows};

    #[test]
    fn what_titles_say() {
        for (title, said) in [
            ("DEMOLITION PLAN", Some(Shows::Removed)),
            ("EXISTING LIGHTING PLAN - DEMO", Some(Shows::Removed)),
            ("EXISTING FLOOR PLAN", Some(Shows::Existing)),
            ("AS-BUILT PLAN", Some(Shows::Existing)),
            ("PLANTA EXISTENTE", Some(Shows::Existing)),
            ("ENLARGED KITCHEN RCP", Some(Shows::Enlarged)),
            ("DEMOLITION AND NEW WORK PLAN", None),
            ("EXISTING HOUSE REMODEL PLAN", None),
            ("FIRST FLOOR PLAN", None),
        ] {
            assert_eq!(shows(title), said, "{title}");
        }
    }
}
