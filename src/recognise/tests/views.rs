//! Sections, elevations and site plans beside a plan.

use super::evidence_more::{house, joists, lights, read};
use super::{Sheet, has_note};

/// A house with lights and joists, and beside it what a section shows: walls, cut joists, a light.
fn beside(title: &str) -> Sheet {
    let mut sheet = house("A-WALL");
    lights(&mut sheet, "E-LITE-CLNG", "R6", 0.0);
    joists(&mut sheet, "S-JOIS", 0.0);
    let left = 900.0;
    for x in [left, left + 240.0] {
        sheet.path(
            "A-WALL",
            &[(x, 0.0), (x + 4.5, 0.0), (x + 4.5, 108.0), (x, 108.0)],
            true,
        );
    }
    for k in 0..15 {
        let x = left + 8.0 + 16.0 * k as f64;
        let ends = [(x, 108.0), (x + 1.5, 108.0), (x + 1.5, 117.25), (x, 117.25)];
        sheet.path("S-JOIS", &ends, true);
    }
    sheet.circle("E-LITE-CLNG", (left + 100.0, 112.0), 3.0);
    sheet.text("A-ANNO", (left + 60.0, 60.0), "KITCHEN");
    sheet.text("A-ANNO", (left + 60.0, -30.0), title);
    sheet
}

#[test]
fn what_stands_in_a_section_or_an_elevation_is_left_out_and_told() {
    for title in ["BUILDING SECTION A-A", "FRONT ELEVATION", "Schnitt A-A", "立面図"] {
        let (plan, notes) = read(&beside(title));
        let counts = (plan.lights.len(), plan.members.len(), plan.rooms.len());
        assert_eq!(counts, (8, 14, 3), "{title}");
        let said: Vec<&str> = (notes.iter())
            .filter(|n| n.code == "view-left-out")
            .map(|n| &*n.message)
            .collect();
        assert!(said.len() == 1 && said[0].contains(title), "{notes:?}");
        let held = "1 on layers or in blocks of lights, 15 on layers of framing, 2 on layers of walls";
        assert!(said[0].contains(held), "{}", said[0]);
    }
}

#[test]
fn without_such_a_title_it_counts_as_it_did() {
    for title in ["CASITA", "GUEST HOUSE PLAN", "SEE SECTION A-A"] {
        let (plan, notes) = read(&beside(title));
        assert_eq!(plan.lights.len(), 9, "{title}");
        assert!(!has_note(&notes, "view-left-out"));
    }
}

#[test]
fn a_sections_mark_at_the_plan_does_not_do_away_with_it() {
    let mut sheet = house("A-WALL");
    lights(&mut sheet, "E-LITE-CLNG", "R6", 0.0);
    sheet.text("A-ANNO", (100.0, -30.0), "SECTION A-A");
    let (plan, notes) = read(&sheet);
    assert_eq!((plan.lights.len(), plan.rooms.len()), (8, 3));
    assert!(!has_note(&notes, "view-left-out"));
}
