//! Members beyond the house.

use super::evidence_more::{house, joists, read};
use super::has_note;

#[test]
fn a_truss_from_the_side_beside_the_plan_is_told_of_and_a_porch_is_not() {
    // The house is 733.5 in long from -4.5; a porch of 5 ft, a truss 10 ft off.
    for (left, told) in [(740.0, false), (850.0, true)] {
        let mut sheet = house("A-WALL");
        joists(&mut sheet, "S-JOIS", 0.0);
        let corners = [(0.0, 0.0), (60.0, 0.0), (30.0, 40.0)].map(|(x, y)| (left + x, y));
        for (i, &(x, y)) in corners.iter().enumerate() {
            let (u, v) = corners[(i + 1) % 3];
            sheet.line("S-JOIS", (x, y), (u, v));
            sheet.line("S-JOIS", (x, y + 3.5), (u, v + 3.5));
        }
        let (plan, notes) = read(&sheet);
        assert_eq!(plan.members.len(), 17, "{notes:#?}");
        assert_eq!(has_note(&notes, "members-outside"), told, "{left} {notes:#?}");
    }
}
