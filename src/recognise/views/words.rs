//! Titles of sections, elevations and site plans, told from notes and levels.
//!
//! English: trade usage. The other languages are from memory, in the form that [`folded`] gives.

use crate::rules::folded;

/// A title is no sentence.
const WORDS: usize = 8;
const LETTERS: usize = 20;
/// Words of views from the side; `*` stands for the rest of a word.
const VIEWS: &str = "
    SECTION SECTIONS ELEVATION ELEVATIONS SECC SECCION SECCIONES CORTE CORTES ALZADO ALZADOS ELEVACION ELEVACIONES
    FACHADA FACHADAS COUPE COUPES FACADE FACADES ELEVACAO ELEVACOES SCHNITT SCHNITTE *SCHNITT ANSICHT ANSICHTEN
    *ANSICHT";
/// The same where words are not told apart by spaces.
const UNSPACED: [&str; 14] = [
    "剖面图",
    "剖面圖",
    "剖面",
    "立面图",
    "立面圖",
    "立面",
    "断面図",
    "立面図",
    "展開図",
    "矩計図",
    "단면도",
    "입면도",
    "전개도",
    "측면도",
];
/// Plans of the ground around a house.
const SITES: [&[&str]; 13] = [
    &["SITE", "PLAN"],
    &["PLOT", "PLAN"],
    &["LOCATION", "PLAN"],
    &["LOCATION", "MAP"],
    &["VICINITY", "MAP"],
    &["KEY", "MAP"],
    &["LANDSCAPE", "PLAN"],
    &["PLAN", "DE", "MASSE"],
    &["PLAN", "DE", "SITUATION"],
    &["PLANO", "DE", "SITUACION"],
    &["PLANTA", "DE", "SITUACAO"],
    &["PLANTA", "DE", "IMPLANTACAO"],
    &["PLANO", "DE", "EMPLAZAMIENTO"],
];
const SITES_IN_ONE: &str = "LAGEPLAN FREIFLACHENPLAN FREIFLAECHENPLAN IMPLANTACAO EMPLAZAMIENTO";
const UNSPACED_SITES: [&str; 5] = ["总平面", "總平面", "配置図", "案内図", "배치도"];
/// Words of plans and of sentences: what has one is no title of a view from the side.
const NEVER: &str = "
    PLAN PLANS PLANTA GRUNDRISS DECKENANSICHT UNTERANSICHT DECKENUNTERSICHT RCP REFLECTED CEILING SEE PER REFER VERIFY
    SHALL VER VEA SIEHE VOIR MATCH MATCHES CUT AT ABOVE BELOW FROM TO FOR FIN FINISH FINISHED FFE TOP BOTTOM SLAB GRADE
    OPTION OPT SWITCH MARK TAG";

/// Whether a text is the title of what is no plan of a ceiling.
pub fn is_view(text: &str) -> bool {
    // A level: ELEVATION +9'-0", ELEV. 100.50
    if text.contains(['\'', '"', '+', '±', '=', '@', '’', '”']) {
        return false;
    }
    let name = folded(text);
    let words: Vec<&str> = (name.split(|c: char| !c.is_alphanumeric()))
        .filter(|w| !w.is_empty())
        .collect();
    if words.is_empty() || words.len() > WORDS {
        return false;
    }
    let short = name.chars().count() <= LETTERS;
    let has_part = |list: &[&str]| short && list.iter().any(|w| name.contains(w));
    let listed = |list: &str, word: &str| {
        list.split_whitespace()
            .any(|entry| match entry.strip_prefix('*') {
                Some(end) => word.ends_with(end),
                None => entry == word,
            })
    };
    let run = |run: &[&str]| words.windows(run.len()).any(|w| w == run);
    if SITES.iter().any(|s| run(s))
        || words.iter().any(|w| listed(SITES_IN_ONE, w))
        || has_part(&UNSPACED_SITES)
    {
        return true;
    }
    let number = |w: &&str| w.len() > 2 && w.bytes().all(|b| b.is_ascii_digit());
    let never = words.iter().any(|w| listed(NEVER, w)) || words.iter().any(number);
    !never && (words.iter().any(|w| listed(VIEWS, w)) || has_part(&UNSPACED))
}

#[cfg(test)]
mod tests {
    use super::is_view;

    #[test]
    fn titles_of_views_and_what_only_speaks_of_them() {
        for title in [
            "BUILDING SECTION A-A",
            "SECTION 1",
            "FRONT ELEVATION",
            "KITCHEN ELEVATIONS",
            "SITE PLAN",
            "Plot plan",
            "CORTE A-A'".trim_end_matches('\''),
            "COUPE AA",
            "Querschnitt",
            "NORDANSICHT",
            "Lageplan",
            "Façade sud",
            "1-1剖面图",
            "南立面図",
            "단면도",
            "总平面图",
        ] {
            assert!(is_view(title), "{title}");
        }
        for text in [
            "FIRST FLOOR PLAN",
            "REFLECTED CEILING PLAN",
            "PLAN SECTION 2",
            "SEE SECTION A",
            "ELEVATION +9'-0\"",
            "ELEVATION 100.50",
            "FINISHED FLOOR ELEVATION",
            "DECKENANSICHT",
            "1階平面図",
            "KITCHEN",
            "SELECTION",
            "",
        ] {
            assert!(!is_view(text), "{text}");
        }
    }
}
