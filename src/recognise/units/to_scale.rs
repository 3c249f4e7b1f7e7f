//! Plans that are drawn smaller than the house, as on paper: a quarter of an inch to the foot, 1:50.
//!
//! No unit makes such a plan as large as the house. Its lumber, doors and written lengths say so together; it is refused with
//! what to do, since all that is found would be of the wrong size. The scales are those of printed plans (common practice).

use super::Candidate;
use super::weigh::{Evidence, LEAD, LEAST, weigh, words};

/// Inches of the house in a unit of the drawing that is an inch of paper.
const OF_INCHES: [Candidate; 8] = [
    paper("3\" = 1'-0\"", 4.0),
    paper("1 1/2\" = 1'-0\"", 8.0),
    paper("3/4\" = 1'-0\"", 16.0),
    paper("1/2\" = 1'-0\"", 24.0),
    paper("3/8\" = 1'-0\"", 32.0),
    paper("1/4\" = 1'-0\"", 48.0),
    paper("3/16\" = 1'-0\"", 64.0),
    paper("1/8\" = 1'-0\"", 96.0),
];

/// The same where it is a millimetre of paper, or a centimetre.
const OF_METRES: [Candidate; 5] = [
    paper("1:20", 20.0 / 25.4),
    paper("1:50", 50.0 / 25.4),
    paper("1:100", 100.0 / 25.4),
    paper("1:20", 20.0 / 2.54),
    paper("1:50", 50.0 / 2.54),
];

/// As a share: a scale nearer than this to a unit cannot be told from it.
const NEAR: f64 = 0.03;
/// The longer side of what is drawn, feet of the house.
const HOUSE: std::ops::RangeInclusive<f64> = 20.0..=300.0;

const fn paper(name: &'static str, inches: f64) -> Candidate {
    Candidate { name, inches }
}

/// Why the drawing cannot be in any unit; `None` where one of the `units` does as well. `best` is what the best of them comes to,
/// `gather` the evidence of sizes and written lengths for other candidates.
pub fn refused(
    long: Option<f64>,
    units: &[Candidate],
    (unit, best, seen): (Candidate, f64, String),
    gather: impl FnOnce(&[Candidate]) -> Vec<Evidence>,
) -> Option<String> {
    let long = long?;
    let scales: Vec<Candidate> = (OF_INCHES.iter().chain(&OF_METRES))
        .filter(|s| HOUSE.contains(&(long * s.inches / 12.0)))
        .filter(|s| units.iter().all(|u| (s.inches / u.inches - 1.0).abs() > NEAR))
        .copied()
        .collect();
    if scales.is_empty() {
        return None;
    }
    let evidence = gather(&scales);
    let verdict = weigh(scales.len(), &evidence, None);
    let first = *verdict.order.first()?;
    let (scale, sum) = (scales.get(first)?, *verdict.sums.get(first)?);
    (sum >= LEAST && sum >= best + LEAD).then(|| {
        let factor = match scale.inches * 25.4 {
            _ if OF_INCHES.iter().any(|s| s == scale) => scale.inches,
            mm if mm >= 199.0 => mm / 10.0,
            mm => mm,
        };
        format!(
            "the drawing is {factor:.0} times smaller than the house, as on paper at {} ({}), and fits no unit as well: scale it up by \
             {factor:.0} in the CAD program, or export its model space instead of a sheet{}",
            scale.name,
            words(&evidence, first),
            if best >= LEAST {
                format!("; if it is in {name} ({seen}), give --units {name}", name = unit.name)
            } else {
                String::new()
            },
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    const UNITS: [Candidate; 3] = [paper("in", 1.0), paper("ft", 12.0), paper("m", 1.0 / 0.0254)];

    fn asked(long: f64, best: f64, fits: &str, weight: f64) -> Option<String> {
        refused(
            Some(long),
            &UNITS,
            (UNITS[2], best, "doors 0.8 wide".into()),
            |scales| {
                vec![Evidence::of(scales, weight, |s| {
                    (f64::from(u8::from(s.name == fits)), "members 0.0312 thick".into())
                })]
            },
        )
    }

    #[test]
    fn a_scale_of_paper_is_told_where_no_unit_does_as_well() {
        // A house of 28 ft 4 in is 7.08 in long at a quarter of an inch to the foot.
        let told = asked(7.08, 4.0, "1/4\" = 1'-0\"", 6.0).unwrap_or_default();
        assert!(
            told.starts_with("the drawing is 48 times smaller than the house, as on paper at 1/4\" = 1'-0\" (members 0.0312 thick)"),
            "{told}"
        );
        assert!(
            told.ends_with("; if it is in m (doors 0.8 wide), give --units m"),
            "{told}"
        );
        let told = asked(7.08, 1.0, "1/4\" = 1'-0\"", 6.0).unwrap_or_default();
        assert!(!told.is_empty() && !told.contains("--units"), "{told}");
        assert_eq!(asked(7.08, 5.0, "1/4\" = 1'-0\"", 6.0), None);
        // No house is so long at that scale.
        assert_eq!(asked(340.0, 0.0, "1/4\" = 1'-0\"", 6.0), None);
        // 1:50 in millimetres, and in centimetres.
        for (long, factor) in [(172.0, 50), (17.2, 50)] {
            let told = asked(long, 0.0, "1:50", 6.0).unwrap_or_default();
            assert!(
                told.starts_with(&format!("the drawing is {factor} times smaller")),
                "{told}"
            );
        }
    }
}
