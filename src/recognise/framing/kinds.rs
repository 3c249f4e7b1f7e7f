//! What a member is called: by its layer, else by a block around it; without a word it is a joist.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::flatten::{Flat, Prim};
use crate::plan::MemberKind;
use crate::rules::{Patterns, last_part};

/// Usual words of other languages for each kind, the most telling first (common practice, from memory). What
/// is none of these (Balken, Sparren, solive, vigueta, 根太) goes as a joist.
const OTHERS: [(MemberKind, &str); 4] = [
    (
        MemberKind::Header,
        "DINTEL DINTELES LINTEAU LINTEAUX STURZ FENSTERSTURZ TURSTURZ TUERSTURZ VERGA VERGAS *过梁* *過梁* *まぐさ* \
         인방 인방보",
    ),
    (
        MemberKind::Truss,
        "CERCHA CERCHAS FERMETTE FERMETTES FERMES TESOURA TESOURAS TRELICA TRELICAS BINDER *DACHBINDER *NAGELBINDER \
         *FACHWERKBINDER *桁架* *屋架* *トラス* *트러스*",
    ),
    (MemberKind::Joist, "*托梁* *小梁* *次梁*"),
    (
        MemberKind::Beam,
        "VIGA VIGAS POUTRE POUTRES *UNTERZUG *UNTERZUGE *UNTERZUEGE *TRAGER *TRAEGER *梁* *樑* *大引* *대들보* 보 \
         큰보 작은보 철골보 목재보",
    ),
];

/// The words, ready to be asked.
pub struct Kinds {
    others: Vec<(MemberKind, Patterns)>,
    /// What each name asked so far says.
    known: BTreeMap<Arc<str>, Option<MemberKind>>,
}

impl Kinds {
    pub fn new() -> Self {
        let patterns = |words: &str| Patterns {
            layers: words.split_whitespace().map(str::to_string).collect(),
            ..Patterns::default()
        };
        Kinds {
            others: OTHERS.iter().map(|(kind, w)| (*kind, patterns(w))).collect(),
            known: BTreeMap::new(),
        }
    }

    /// What an item's layer or an enclosing block calls it.
    pub fn kind(&mut self, flat: &Flat, item: usize) -> MemberKind {
        let mut at = Some(item);
        let mut found = self.of(&flat.items[item].layer);
        while let (None, Some(i)) = (found, at) {
            if let Prim::Symbol(s) = &flat.items[i].prim {
                found = self.of(&s.true_name);
            }
            at = flat.items[i].within.filter(|&w| w < i);
        }
        found.unwrap_or(MemberKind::Joist)
    }

    fn of(&mut self, name: &Arc<str>) -> Option<MemberKind> {
        if let Some(known) = self.known.get(name) {
            return *known;
        }
        let kind = self.told(name);
        self.known.insert(name.clone(), kind);
        kind
    }

    /// Trade words and the National CAD Standard's codes, then those of other languages.
    fn told(&self, name: &str) -> Option<MemberKind> {
        let upper = name.to_uppercase();
        let last = last_part(&upper);
        let has = |words: &[&str]| words.iter().any(|w| last.contains(w));
        if has(&["BLOCKING", "BLKG", "BRIDGING"]) || last.ends_with("BLOCK") {
            Some(MemberKind::Block)
        } else if has(&["HEADER", "HDR", "HEAD"]) {
            Some(MemberKind::Header)
        } else if has(&["BEAM", "GIRD", "GLULAM", "GLB"]) {
            Some(MemberKind::Beam)
        } else if has(&["TRUS"]) {
            Some(MemberKind::Truss)
        } else if has(&["JOIS", "JST"]) {
            Some(MemberKind::Joist)
        } else {
            let mut others = self.others.iter();
            others.find(|(_, words)| words.layer_matches(name)).map(|o| o.0)
        }
    }
}
