//! Marks with TYP. (common practice on electrical plans: one mark with TYP. stands for all equal symbols of its room).

use super::{Sheet, xy};
use crate::note::Note;
use crate::plan::Plan;

/// Two rooms beside each other, six equal lights in the first and three in the second.
fn two_rooms() -> Sheet {
    let mut sheet = Sheet::default();
    for (x, name) in [(0.0, "KITCHEN"), (200.0, "DINING")] {
        let ring = [(x, 0.0), (x + 190.0, 0.0), (x + 190.0, 150.0), (x, 150.0)];
        sheet.path("A-AREA", &ring, true);
        sheet.text("A-AREA", (x + 90.0, 70.0), name);
    }
    for y in [40.0, 110.0] {
        for x in [30.0, 90.0, 150.0] {
            sheet.circle("E-LITE", (x, y), 3.0);
        }
    }
    for x in [230.0, 290.0, 350.0] {
        sheet.circle("E-LITE", (x, 40.0), 3.0);
    }
    sheet
}

/// A text with a leader to the light at `to`.
fn led(sheet: &mut Sheet, text: &str, to: (f64, f64)) {
    let at = (to.0 + 15.0, to.1 + 25.0);
    sheet.text("G-ANNO", at, text);
    sheet.line("G-ANNO", (to.0 + 2.0, to.1 + 2.5), (at.0 - 1.0, at.1 + 2.0));
}

fn tags(plan: &Plan) -> Vec<&str> {
    plan.lights
        .iter()
        .map(|l| l.tag.as_deref().unwrap_or_default())
        .collect()
}

fn told<'a>(notes: &'a [Note], code: &str) -> Vec<&'a str> {
    let which = notes.iter().filter(|n| n.code == code);
    which.map(|n| n.message.as_str()).collect()
}

#[test]
fn typ_stands_for_the_equal_symbols_of_its_room() {
    for text in ["R6 TYP.", "R6 (TYP. OF 6)", "TYPE R6, TYP."] {
        let mut sheet = two_rooms();
        led(&mut sheet, text, (90.0, 40.0));
        led(&mut sheet, "R4 TYP. OF 3", (290.0, 40.0));
        let (plan, notes) = sheet.read();
        assert_eq!(tags(&plan), [["R6"; 6].as_slice(), &["R4"; 3]].concat(), "{text}");
        assert!(plan.lights.iter().all(|l| l.schedule.is_some()));
        assert_eq!(told(&notes, "tags-typical").len(), 1);
        assert!(told(&notes, "typical-asked").is_empty(), "{notes:?}");
    }
}

#[test]
fn a_light_with_its_own_mark_or_another_symbol_is_none_of_them() {
    let mut sheet = two_rooms();
    let larger = sheet.circle("E-LITE", (170.0, 75.0), 5.0);
    led(&mut sheet, "R4", (150.0, 110.0));
    led(&mut sheet, "R6", (30.0, 110.0));
    led(&mut sheet, "R6\nTYP. OF 5", (30.0, 40.0));
    let (plan, notes) = sheet.read();
    let own = |x: f64, y: f64| {
        let light = plan.lights.iter().find(|l| l.at == xy(x, y));
        light.and_then(|l| l.tag.as_deref())
    };
    for at in [
        (30.0, 40.0),
        (90.0, 40.0),
        (150.0, 40.0),
        (30.0, 110.0),
        (90.0, 110.0),
    ] {
        assert_eq!(own(at.0, at.1), Some("R6"), "{at:?}");
    }
    assert_eq!(own(150.0, 110.0), Some("R4"));
    assert_eq!((own(170.0, 75.0), larger > 0), (None, true));
    // Four without a mark but for the one it stands at, which makes five with the other R6.
    assert!(told(&notes, "typical-asked").is_empty(), "{notes:?}");
}

#[test]
fn a_number_that_does_not_come_out_is_asked_about() {
    let mut sheet = two_rooms();
    led(&mut sheet, "R6 (TYP. OF 4)", (90.0, 40.0));
    let (plan, notes) = sheet.read();
    assert_eq!(tags(&plan)[1], "R6");
    assert_eq!(plan.lights.iter().filter(|l| l.tag.is_some()).count(), 1);
    let asked = told(&notes, "typical-asked");
    assert!(
        asked.len() == 1
            && asked[0]
                .contains("R6 (TYP. OF 4): it stands at L2 in KITCHEN, where L1, L3, L4, L5 and L6 are"),
        "{asked:?}"
    );
    // As many as there are in all rooms together.
    let mut sheet = two_rooms();
    led(&mut sheet, "R6 (TYP. OF 9)", (90.0, 40.0));
    assert_eq!(tags(&sheet.read().0), ["R6"; 9]);
}

#[test]
fn two_types_for_the_same_symbols_are_asked_about_and_other_rooms_told_of() {
    let mut sheet = two_rooms();
    led(&mut sheet, "R6 TYP.", (90.0, 40.0));
    led(&mut sheet, "R4 TYP.", (150.0, 110.0));
    let (plan, notes) = sheet.read();
    assert_eq!(tags(&plan), ["", "R6", "", "", "", "R4", "", "", ""]);
    assert!(told(&notes, "typical-asked")[0].contains("R6 TYP.: another mark"));
    let mut sheet = two_rooms();
    led(&mut sheet, "R6", (90.0, 40.0));
    sheet.text("G-ANNO", (105.0, 58.0), "(TYP.)");
    let (plan, notes) = sheet.read();
    assert_eq!(tags(&plan), [["R6"; 6].as_slice(), &[""; 3]].concat());
    let asked = told(&notes, "typical-asked");
    assert!(
        asked.len() == 1 && asked[0].contains("L7, L8 and L9 are"),
        "{asked:?}"
    );
}
