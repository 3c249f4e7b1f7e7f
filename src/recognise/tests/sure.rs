//! How sure a reading by name is, by small drawings that bear a name out or do not. The limits are the project's
//! own (common practice); the tests hold which side of them a drawing falls on.

use super::super::readings;
use super::*;
use crate::recognise::{Named, Reading, Readings};

/// A house of two rooms with lights and joists under the given names.
fn house(lights: &str, framing: &str, walls: &str, rooms: &str) -> Sheet {
    let mut s = Sheet::default();
    for x in [0.0, 200.0] {
        s.path(
            rooms,
            &[(x, 0.0), (x + 192.0, 0.0), (x + 192.0, 144.0), (x, 144.0)],
            true,
        );
        s.text("A-NOTE", (x + 60.0, 70.0), "BEDROOM 2");
        let (l, r) = (x - 4.0, x + 196.0);
        s.path(walls, &[(l, -4.0), (r, -4.0), (r, 148.0), (l, 148.0)], true);
        for i in 1..=3 {
            s.circle(lights, (x + 48.0 * f64::from(i), 36.0), 3.0);
        }
    }
    for i in 0..24 {
        s.upright(framing, 8.0 + 16.0 * f64::from(i), 1.5, (-2.0, 146.0));
    }
    s
}

fn told(s: &Sheet, rules: &Rules) -> Readings {
    readings(&s.flat, &inches(), rules, None)
}

fn layer<'a>(found: &'a Readings, name: &str) -> &'a Reading {
    let mut all = found.readings.iter();
    all.find(|r| r.named == Named::Layer && r.name == name).unwrap()
}

fn sure(found: &Readings, name: &str) -> f64 {
    layer(found, name).confidence.unwrap()
}

/// The one doubtful note, which has to be about `name`.
fn doubt<'a>(found: &'a Readings, name: &str) -> &'a str {
    let all: Vec<&Note> = found.notes.iter().filter(|n| n.code == "name-doubtful").collect();
    let [note] = all.as_slice() else {
        panic!("{all:?}\n{:#?}", found.readings);
    };
    assert!(
        note.message.starts_with(&format!("layer {name} ")),
        "{}",
        note.message
    );
    &note.message
}

#[test]
fn what_is_drawn_bears_names_out() {
    let by_code = told(&house("E-LITE", "S-JOIS", "A-WALL", "A-AREA"), &Rules::default());
    for name in ["E-LITE", "S-JOIS", "A-WALL", "A-AREA"] {
        assert!(sure(&by_code, name) > 0.95, "{:?}", layer(&by_code, name));
        assert!(layer(&by_code, name).seen.is_some(), "{name}");
    }
    let by_word = told(&house("LIGHTS", "JOISTS", "WALLS", "ROOMS"), &Rules::default());
    for name in ["LIGHTS", "JOISTS", "WALLS", "ROOMS"] {
        assert!((0.9..0.96).contains(&sure(&by_word, name)), "{name}");
    }
    let short = told(&house("CAN", "JST", "PRTN", "AREA"), &Rules::default());
    for name in ["CAN", "JST", "PRTN", "AREA"] {
        assert!(
            (0.85..0.93).contains(&sure(&short, name)),
            "{:?}",
            layer(&short, name)
        );
    }
    for found in [by_code, by_word, short] {
        assert!(!has_note(&found.notes, "name-doubtful"));
        assert_eq!((found.plan.lights.len(), found.plan.rooms.len()), (6, 2));
        // What the name says nothing of has no confidence.
        assert_eq!(layer(&found, "A-NOTE").confidence, None);
    }
}

#[test]
fn the_rules_are_the_users_own_word() {
    let mut s = Sheet::default();
    for i in 0..9 {
        s.line("A-WALL", (20.0 * f64::from(i), 0.0), (31.0 * f64::from(i), 140.0));
    }
    let found = told(&s, &rules());
    assert_eq!(sure(&found, "A-WALL"), 1.0);
    assert!(!has_note(&found.notes, "name-doubtful"));
    // By its name alone the same drawing is doubted, and read as before.
    let found = told(&s, &Rules::default());
    assert!(sure(&found, "A-WALL") < 0.5);
    assert!(doubt(&found, "A-WALL").contains("walls = { more_layers = [\"A-WALL\"] }"));
    assert_eq!(found.plan.walls.len(), 9);
}

#[test]
fn walls_as_single_lines_are_not_doubted() {
    let mut s = Sheet::default();
    let corners = [(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)];
    for i in 0..4 {
        s.line("WALL", corners[i], corners[(i + 1) % 4]);
    }
    // An open end, so that no room closes: it stands away from all.
    s.line("WALL", (120.0, 0.0), (120.0, 90.0));
    let found = told(&s, &Rules::default());
    assert!(
        (0.7..0.96).contains(&sure(&found, "WALL")),
        "{:?}",
        layer(&found, "WALL")
    );
    assert!(!has_note(&found.notes, "name-doubtful"));
}

#[test]
fn lines_on_a_layer_called_light_may_be_glass() {
    let mut s = house("E-LITE", "S-JOIS", "A-WALL", "A-AREA");
    for i in 0..8 {
        s.line(
            "CAN",
            (30.0 * f64::from(i), -2.0),
            (30.0 * f64::from(i) + 24.0, -2.0),
        );
    }
    let found = told(&s, &Rules::default());
    assert!(doubt(&found, "CAN").contains("none of its 8 line(s)"));
    assert!(sure(&found, "E-LITE") > 0.95);
    assert_eq!(found.plan.lights.len(), 6, "the note changes nothing");
}

#[test]
fn headers_of_a_table_are_no_framing() {
    let mut s = house("E-LITE", "S-JOIS", "A-WALL", "A-AREA");
    for i in 0..7 {
        let (at, end) = (9.0 * f64::from(i), 54.0);
        s.line("HEADER", (600.0 + at, 0.0), (600.0 + at, end));
        s.line("HEADER", (600.0, at), (600.0 + end, at));
    }
    let found = told(&s, &Rules::default());
    doubt(&found, "HEADER");
    assert!(sure(&found, "S-JOIS") > 0.95);
}

#[test]
fn an_area_that_closes_nothing_is_no_room() {
    let mut s = house("E-LITE", "S-JOIS", "A-WALL", "ROOMS");
    for i in 0..5 {
        let x = 100.0 * f64::from(i);
        s.line("AREA", (x, -300.0), (x + 90.0, -340.0));
    }
    let found = told(&s, &Rules::default());
    assert!(doubt(&found, "AREA").contains("none of its 5 line(s) is a closed outline"));
}

#[test]
fn marks_of_the_schedule_stand_on_no_tree() {
    let mut s = house("E-LITE", "S-JOIS", "A-WALL", "A-AREA");
    for i in 1..=4 {
        let symbol = s.insert("A-NOTE", "TREE-6", (0.0, 0.0));
        let circle = s.circle("0", (36.0 * f64::from(i), 100.0), 3.0);
        s.put(circle, symbol);
        s.attrib(symbol, "TYPE", "R6");
    }
    let schedule = Rules {
        luminaires: rules().luminaires,
        ..Rules::default()
    };
    let found = told(&s, &schedule);
    let note = found.notes.iter().find(|n| n.code == "name-doubtful").unwrap();
    assert!(note.message.starts_with("block TREE-6 "), "{}", note.message);
    assert!(note.message.contains("mark of the schedule"), "{}", note.message);
    // Without a schedule there is nothing that contradicts the name.
    assert!(!has_note(&told(&s, &Rules::default()).notes, "name-doubtful"));
}

#[test]
fn a_beam_across_all_joists_makes_no_grid() {
    let mut s = house("E-LITE", "S-JOIS", "A-WALL", "A-AREA");
    s.line("S-BEAM", (-2.0, 70.0), (394.0, 70.0));
    s.line("S-BEAM", (-2.0, 73.5), (394.0, 73.5));
    let found = told(&s, &Rules::default());
    assert!(sure(&found, "S-JOIS") > 0.95, "{:?}", layer(&found, "S-JOIS"));
    assert!(sure(&found, "S-BEAM") > 0.9, "{:?}", layer(&found, "S-BEAM"));
}

#[test]
fn confidence_is_a_number_whatever_is_drawn() {
    let mut s = house("E-LITE", "S-JOIS", "A-WALL", "A-AREA");
    for bad in [f64::NAN, f64::INFINITY, 1e308, -1e308] {
        s.circle("E-LITE", (bad, 0.0), 3.0);
        s.line("S-JOIS", (bad, 0.0), (0.0, bad));
        s.line("A-WALL", (0.0, bad), (bad, bad));
        s.path("A-AREA", &[(0.0, 0.0), (bad, 0.0), (bad, 9.0)], true);
    }
    let found = told(&s, &Rules::default());
    for r in found.readings.iter().filter_map(|r| r.confidence) {
        assert!((0.0..=1.0).contains(&r), "{r}");
    }
}
