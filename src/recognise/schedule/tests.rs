//! Marks as they stand beside lights.

use super::Schedule;
use crate::rules::{Luminaire, Rules};

/// Type over circuit is common practice on electrical plans of houses.
#[test]
fn marks_with_circuits_and_switches() {
    let mark = |tags: &[&str], text: &str| {
        let luminaires = tags.iter().map(|tag| Luminaire {
            tag: tag.to_string(),
            ..Luminaire::default()
        });
        let rules = Rules {
            luminaires: luminaires.collect(),
            ..Rules::default()
        };
        let schedule = Schedule::new(&rules);
        schedule.mark(text).map(|e| schedule.tag(e))
    };
    for text in [
        "A", "A-3", "A/3", "A3", "A.1", "A (3)", "A-12b", "A - a", "A-a", "A/a", "A a", "A (WP)", "A - DIM",
    ] {
        assert_eq!(mark(&["A", "B"], text).as_deref(), Some("A"), "{text}");
    }
    for text in ["a", "b", "A-123", "A-B", "AB", "C-3", "3", "A 1/4", "A-"] {
        let got = mark(&["A", "B"], text);
        assert_eq!(got, None, "{text}");
    }
    assert_eq!(mark(&["R6"], "R6-2").as_deref(), Some("R6"));
    assert_eq!(mark(&["R6"], "R63"), None);
    // Signs about a mark say nothing of it, a question mark does.
    for text in ["R6.", "R6-", "[R6]", "#R6", "R6*", "<R6>"] {
        assert_eq!(mark(&["R6"], text).as_deref(), Some("R6"), "{text}");
    }
    for text in ["a R6", "b-R6", "c/R6", "R6-EM", "R6 - NL"] {
        assert_eq!(mark(&["R6", "A"], text).as_deref(), Some("R6"), "{text}");
    }
    for text in ["A R6", "ab R6", "a A", "R6-XY", "EM-R6"] {
        assert_eq!(mark(&["R6", "A"], text), None, "{text}");
    }
    assert_eq!(mark(&["R6", "R6-EM"], "R6-EM").as_deref(), Some("R6-EM"));
    assert_eq!(mark(&["R6"], "R6?"), None);
    assert_eq!(mark(&["a"], "a").as_deref(), Some("a"));
    // Figures alone are of anything.
    for text in ["1", "1-3", "1/4", "1 2"] {
        assert_eq!(mark(&["1", "2"], text), None, "{text}");
    }
    assert_eq!(mark(&["1", "2"], "TYPE 1").as_deref(), Some("1"));
    // Where types are numbered a number is none of a circuit.
    assert_eq!(mark(&["A", "A1", "A2"], "A3"), None);
    assert_eq!(mark(&["A", "A1", "A2"], "A2-3").as_deref(), Some("A2"));
}
