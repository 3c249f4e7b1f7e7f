//! Evidence added up, and what it comes to.

use super::Candidate;

/// What the header's own word weighs: as much as members of one pitch, and less than what people
/// wrote into dimensions.
pub const HEADER: f64 = 3.0;
/// A unit is decided where it leads the next by this much.
pub const LEAD: f64 = 1.5;
/// And where it has this much for it: the header's word, or more than lettering, symbols, settings and
/// the size of the whole come to together.
pub const LEAST: f64 = 3.0;

/// One piece of evidence: what it adds for each candidate, and how it is said where that one wins.
/// Zero means that it speaks for none, or for others.
#[derive(Clone, Debug, PartialEq)]
pub struct Evidence {
    pub scores: Vec<f64>,
    pub said: Vec<String>,
}

impl Evidence {
    /// `share` gives, for a candidate, how much of what was measured fits it (0 to 1), and the words.
    pub fn of(
        candidates: &[Candidate],
        weight: f64,
        mut share: impl FnMut(&Candidate) -> (f64, String),
    ) -> Self {
        let (scores, said) = candidates
            .iter()
            .map(|c| {
                let (share, said) = share(c);
                let share = if share.is_finite() {
                    share.clamp(0.0, 1.0)
                } else {
                    0.0
                };
                (weight * share, said)
            })
            .unzip();
        Evidence { scores, said }
    }
}

/// How much `count` like observations are to be trusted: one may be chance, three hardly.
pub fn trust(count: usize) -> f64 {
    match count {
        0 => 0.0,
        1 => 0.6,
        2 => 0.85,
        _ => 1.0,
    }
}

/// What the evidence comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// Candidates by their sum, the best first; equals in the order of the candidates.
    pub order: Vec<usize>,
    /// Sum of each candidate, without the header's word.
    pub sums: Vec<f64>,
    /// The best leads by enough.
    pub decided: bool,
}

/// Adds up. `header` is the candidate that `$INSUNITS` names and that its word counts for.
pub fn weigh(count: usize, evidence: &[Evidence], header: Option<usize>) -> Verdict {
    let sum = |i: usize| evidence.iter().filter_map(|e| e.scores.get(i)).sum::<f64>();
    let sums: Vec<f64> = (0..count).map(sum).collect();
    let total = |i: usize| sums.get(i).copied().unwrap_or(0.0) + if header == Some(i) { HEADER } else { 0.0 };
    let mut order: Vec<usize> = (0..count).collect();
    order.sort_by(|&a, &b| total(b).total_cmp(&total(a)).then(a.cmp(&b)));
    let at = |place: usize| order.get(place).map_or(0.0, |&i| total(i));
    let decided = at(0) >= LEAST && at(0) - at(1) >= LEAD;
    Verdict { order, sums, decided }
}

/// The strongest pieces for candidate `i`, in words, the strongest first.
pub fn words(evidence: &[Evidence], i: usize) -> String {
    let mut for_it: Vec<(f64, &str)> = evidence
        .iter()
        .filter_map(|e| Some((*e.scores.get(i)?, e.said.get(i)?.as_str())))
        .filter(|(score, _)| *score > 0.1)
        .collect();
    for_it.sort_by(|a, b| b.0.total_cmp(&a.0));
    let said: Vec<&str> = for_it.iter().take(4).map(|(_, said)| *said).collect();
    said.join(", ")
}

/// A number of the drawing as people would say it: three or four digits, no trailing zeros.
pub fn number(value: f64) -> String {
    let places = match value.abs() {
        v if v >= 100.0 => 1,
        v if v >= 1.0 => 2,
        _ => 4,
    };
    let text = format!("{value:.places$}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

/// The middle one of `values`; `None` of none.
pub fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}
