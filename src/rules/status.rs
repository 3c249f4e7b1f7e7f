//! The status of what is on a layer, by the words of its name: to be demolished, existing, future, not in contract.
//!
//! *NCS*: the status codes DEMO, EXST, FUTR, NICN, RELO, ABND, TEMP of the US National CAD Standard, and its one-letter
//! field (D, E, F, X, T, N), from memory; so are the letters of the field of ISO 13567 (N new, E existing to remain,
//! R to be removed, T temporary, O where a thing that is moved stood). The words beside them are common practice, those of
//! other languages from memory.

use super::Patterns;
use super::iso13567::coded;
use super::patterns::{base_name, last_part};

/// What a layer's name says of the state of what is on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    Demolished,
    Existing,
    Future,
    NotInContract,
    Abandoned,
    Temporary,
    /// An alternate or an option of the bid.
    Alternate,
    /// Of an earlier state of the drawing, and void since.
    Superseded,
    /// Superseded, or standing since long.
    Old,
    /// Not to be built; said of a hollow too.
    Void,
    /// At its new place.
    Moved,
    Above,
    Below,
    Foundation,
}

const TABLE: [(Status, &str); 14] = [
    (
        Status::Demolished,
        "DEMO DEMOLISH DEMOLISHED DEMOLITION REMOVE REMOVED REMOVAL TO_BE_REMOVED DEMOLIR DEMOLICION DEMOLICAO ABBRUCH
         ABRISS RUCKBAU RUECKBAU *拆除* *撤去* *철거*",
    ),
    (
        Status::NotInContract,
        "NICN NIC N_I_C NOT_IN_CONTRACT BY_OTHERS BY_OWNER OFOI",
    ),
    (
        Status::Existing,
        "EXST EXIST EXISTING EXISTG EXG EXSTG BESTAND EXISTANT EXISTANTE EXISTENTE EXISTENTES *既存* *既有* *原有* *기존*",
    ),
    (Status::Future, "FUTR FUTURE FUTUR FUTURO FUTURA ZUKUNFTIG ZUKUENFTIG"),
    (Status::Abandoned, "ABND ABANDONED"),
    (Status::Temporary, "TEMP TEMPORARY"),
    (
        Status::Alternate,
        "ALT ALTS ALTERNATE ALTERNATES OPTION OPTIONS OPTIONAL OPT",
    ),
    (
        Status::Superseded,
        "SUPERSEDED DELETE DELETED OMIT OMITTED OBSOLETE VOIDED ENTFALLT ENTFAELLT ENTFALLEN ANULADO ANULADA ANNULE ANNULLATO",
    ),
    (Status::Old, "OLD"),
    (Status::Void, "VOID"),
    (Status::Moved, "RELO RELOC RELOCATE RELOCATED"),
    (Status::Above, "ABOV ABOVE ABV OVHD OVERHEAD"),
    (Status::Below, "BELOW BELO BLW"),
    (
        Status::Foundation,
        "FNDN FOUNDATION FOUNDATIONS FOOTING FOOTINGS FTG FTGS STEM_WALL STEM_WALLS STEMWALL STEMWALLS",
    ),
];

/// The words of every status, ready to be asked.
pub struct Statuses(Vec<(Status, Patterns)>);

impl Default for Statuses {
    fn default() -> Self {
        let patterns = |words: &str| Patterns {
            layers: words.split_whitespace().map(|w| w.replace('_', " ")).collect(),
            ..Patterns::default()
        };
        Statuses(TABLE.iter().map(|(s, words)| (*s, patterns(words))).collect())
    }
}

impl Statuses {
    /// The status a layer's name gives, and the word for it. `lettered`: the drawing's names end in the one-letter field.
    pub fn of(&self, layer: &str, lettered: bool) -> Option<(Status, String)> {
        let word =
            |(status, words): &(Status, Patterns)| Some((*status, words.layer_reason(layer)?.to_string()));
        if let Some(found) = self.0.iter().find_map(word) {
            return Some((found.0, found.1.replace('*', "")));
        }
        let name = base_name(last_part(layer.trim()));
        let letter = match coded(name) {
            Some(_) => name.get(10..11).and_then(|c| match c {
                "R" | "r" | "O" | "o" => Some("D"),
                "E" | "e" => Some("E"),
                "T" | "t" => Some("T"),
                _ => None,
            }),
            None if lettered => status_letter(name),
            None => None,
        }?;
        let status = match letter {
            "D" | "d" => Status::Demolished,
            "E" | "e" => Status::Existing,
            "F" | "f" => Status::Future,
            "X" | "x" => Status::NotInContract,
            "T" | "t" => Status::Temporary,
            _ => return None,
        };
        Some((status, name.rsplit('-').next().unwrap_or(name).to_string()))
    }
}

/// Whether a layer's name says *new work* by the one-letter field (`A-WALL-FULL-N`): then other letters there are
/// statuses too, and no types of lights.
pub fn says_new(layer: &str) -> bool {
    status_letter(base_name(last_part(layer.trim()))).is_some_and(|l| l.eq_ignore_ascii_case("N"))
}

/// The last field of `A-WALL-FULL-N`: one letter, after groups of four.
fn status_letter(name: &str) -> Option<&str> {
    let fields: Vec<&str> = name.split('-').collect();
    let [discipline, groups @ .., last] = &fields[..] else {
        return None;
    };
    let letters = |s: &str| s.bytes().all(|b| b.is_ascii_alphabetic());
    let sound = (1..=2).contains(&discipline.len())
        && letters(discipline)
        && !groups.is_empty()
        && groups.iter().all(|g| g.len() == 4)
        && last.len() == 1
        && letters(last);
    sound.then_some(*last)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn statuses_by_word_letter_and_field() {
        let statuses = Statuses::default();
        let of = |name, lettered| statuses.of(name, lettered).map(|s| s.0);
        for (name, status) in [
            ("E-LITE-DEMO", Status::Demolished),
            ("LIGHTS TO BE REMOVED", Status::Demolished),
            ("E-LITE-N.I.C.", Status::NotInContract),
            ("NIC LIGHTS", Status::NotInContract),
            ("x$0$EXISTING LIGHTS", Status::Existing),
            ("LIGHTS (FUTURE)", Status::Future),
            ("ALT LIGHTS", Status::Alternate),
            ("E-LITE-SUPERSEDED", Status::Superseded),
            ("E-LITE-REV1-OLD", Status::Old),
            ("LIGHTS VOID", Status::Void),
            ("WALLS ABOVE", Status::Above),
            ("A-WALL-OVHD", Status::Above),
            ("S-FNDN-WALL", Status::Foundation),
            ("S-STEM-WALL", Status::Foundation),
            ("Leuchten Bestand", Status::Existing),
            // ISO 13567: the field behind the presentation.
            ("E-63----E-R", Status::Demolished),
            ("E-63____E-E01", Status::Existing),
        ] {
            assert_eq!(of(name, false), Some(status), "{name}");
        }
        for name in [
            "E-LITE-CLNG",
            "A-WALL-FULL-N",
            "E-63____E-N01",
            "E-LITE-CLNG-D",
            "MEMO",
            "PICNIC",
            "GOLD LIGHTS",
            "E-LITE-REV1",
            "A-WALL-MOVE",
        ] {
            assert_eq!(of(name, false), None, "{name}");
        }
        // A letter is a status only where the drawing uses the field.
        assert_eq!(of("E-LITE-CLNG-D", true), Some(Status::Demolished));
        assert_eq!(of("A-WALL-FULL-N", true), None);
        assert_eq!(of("E-LITE-6IN-D", true), None);
        assert!(says_new("A-WALL-FULL-N") && says_new("E-LITE-N") && !says_new("LIGHTS-N"));
    }
}
