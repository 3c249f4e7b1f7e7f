//! Lights whose openings overlap.

use super::evidence_more::{house, lights, read, symbol};
use crate::note::Note;

fn told(notes: &[Note]) -> Vec<&str> {
    let of = notes.iter().filter(|n| n.code == "lights-overlap");
    of.map(|n| &*n.message).collect()
}

#[test]
fn one_set_drawn_by_two_offices_is_asked_about() {
    // An opening of 6 3/8 in each (common practice): 1 1/2 and 6 in apart they overlap, 6 3/8 they touch.
    for (off, overlap) in [(1.5, true), (6.0, true), (6.375, false), (12.0, false)] {
        let mut sheet = house("A-WALL");
        lights(&mut sheet, "E-LITE-CLNG", "R6", 0.0);
        lights(&mut sheet, "A-CLNG-LITE", "CAN", off);
        let (plan, notes) = read(&sheet);
        assert_eq!(plan.lights.len(), 16, "{off}");
        let said = told(&notes);
        assert_eq!(said.len(), usize::from(overlap), "{off}: {said:?}");
        if overlap {
            assert!(
                said[0].starts_with("8 of 8 lights on layer A-CLNG-LITE and 8 on layer E-LITE-CLNG"),
                "{}",
                said[0]
            );
        }
    }
}

#[test]
fn two_of_one_layer_are_named() {
    let mut sheet = house("A-WALL");
    lights(&mut sheet, "E-LITE-CLNG", "R6", 0.0);
    symbol(&mut sheet, "E-LITE-CLNG", "R6", (51.0, 48.0));
    let (plan, notes) = read(&sheet);
    assert_eq!(plan.lights.len(), 9);
    let said = told(&notes);
    assert!(
        said.len() == 1 && said[0].starts_with("L1 and L9 3\" apart"),
        "{said:?}"
    );
}
