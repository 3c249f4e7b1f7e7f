//! Names of rooms that are set in several texts.

use super::{Sheet, xy};
use crate::flatten::Prim;

/// Two rooms of 160 by 100 in beside each other, outlined on a room layer or enclosed by walls.
fn rooms(outlined: bool) -> Sheet {
    let mut sheet = Sheet::default();
    for x in [0.0, 166.0] {
        let corners = [(x, 0.0), (x + 160.0, 0.0), (x + 160.0, 100.0), (x, 100.0)];
        for (i, &p) in corners.iter().enumerate() {
            if !outlined {
                sheet.line("A-WALL", p, corners[(i + 1) % 4]);
            }
        }
        if outlined {
            sheet.path("A-AREA", &corners, true);
        }
    }
    sheet.light("LT-R6", (80.0, 80.0));
    sheet
}

/// Lines set one under the other at a place, turned by `angle`.
fn set(sheet: &mut Sheet, at: (f64, f64), angle: f64, lines: &[&str]) {
    for (k, text) in lines.iter().enumerate() {
        let down = 10.0 * k as f64;
        let item = Prim::Text {
            at: xy(at.0 + down * angle.sin(), at.1 - down * angle.cos()),
            height: 6.0,
            angle,
            centred: true,
            text: (*text).into(),
        };
        sheet.item("A-ANNO", "TEXT", item);
    }
}

fn names(sheet: &Sheet) -> Vec<Option<String>> {
    sheet.read().0.rooms.into_iter().map(|r| r.name).collect()
}

#[test]
fn lines_one_under_the_other_are_one_name() {
    let quarter = std::f64::consts::FRAC_PI_2;
    for (lines, name) in [
        (&["BEDROOM", "2"][..], "BEDROOM 2"),
        (&["MASTER", "BEDROOM"], "MASTER BEDROOM"),
        (&["GAME", "ROOM"], "GAME ROOM"),
        (&["GUEST", "BATH", "#2"], "GUEST BATH #2"),
        (&["BEDROOM", "104"], "BEDROOM"),
        (&["BEDROOM 2", "3"], "BEDROOM 2"),
    ] {
        for outlined in [false, true] {
            for angle in [0.0, quarter, -quarter] {
                let mut sheet = rooms(outlined);
                set(&mut sheet, (80.0, 50.0), angle, lines);
                set(&mut sheet, (240.0, 50.0), 0.0, &["KITCHEN"]);
                assert_eq!(
                    names(&sheet),
                    [Some(name.to_string()), Some("KITCHEN".to_string())],
                    "{angle} {outlined}"
                );
            }
        }
    }
}

#[test]
fn numbers_of_rooms_are_no_part_of_their_names() {
    let mut sheet = rooms(false);
    set(&mut sheet, (80.0, 50.0), 0.0, &["BEDROOM", "2"]);
    set(&mut sheet, (240.0, 50.0), 0.0, &["KITCHEN", "3"]);
    assert_eq!(
        names(&sheet),
        [Some("BEDROOM".to_string()), Some("KITCHEN".to_string())]
    );
}

#[test]
fn a_figure_aside_or_of_other_height_is_none() {
    for (at, height) in [((100.0, 40.0), 6.0), ((80.0, 40.0), 3.0), ((80.0, 20.0), 6.0)] {
        let mut sheet = rooms(false);
        set(&mut sheet, (80.0, 50.0), 0.0, &["BEDROOM"]);
        let figure = Prim::Text {
            at: xy(at.0, at.1),
            height,
            angle: 0.0,
            centred: true,
            text: "2".into(),
        };
        sheet.item("A-ANNO", "TEXT", figure);
        assert_eq!(names(&sheet)[0].as_deref(), Some("BEDROOM"), "{at:?}");
    }
}
