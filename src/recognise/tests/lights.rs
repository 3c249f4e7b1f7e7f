//! Lights, and what only looks like them.

use super::{Sheet, has_note, patterns, xy};
use crate::flatten::Prim;
use crate::rules::{Luminaire, Rules, parse};

#[test]
fn the_centre_is_the_circle_not_the_insertion_point() {
    let mut sheet = Sheet::default();
    sheet.light("LT-R6", (100.0, 50.0));
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights.len(), 1);
    let light = &plan.lights[0];
    assert_eq!((light.at, light.drawn_radius), (xy(100.0, 50.0), 4.0));
    assert_eq!((light.schedule, light.tag.as_deref()), (Some(0), Some("R6")));
    assert_eq!(
        (light.block.as_deref(), light.handle.as_deref()),
        (Some("LT-R6"), Some("10"))
    );
    assert_eq!(plan.counts.unclaimed, 0);
    assert!(plan.linework.is_empty());
}

#[test]
fn heads_of_one_housing_are_one_light_in_their_middle() {
    let mut sheet = Sheet::default();
    let symbol = sheet.insert("E-LITE", "LT-R6", (50.0, 50.0));
    for x in [46.0, 54.0] {
        let circle = sheet.circle("0", (x, 50.0), 2.5);
        sheet.put(circle, symbol);
    }
    let (plan, _) = sheet.read();
    assert_eq!((plan.lights.len(), plan.lights[0].at), (1, super::xy(50.0, 50.0)));
    // One with a mark in it is a tag.
    sheet.attrib(symbol, "TYPE", "R6");
    if let crate::flatten::Prim::Symbol(s) = &mut sheet.flat.items[symbol].prim {
        s.attribs[0].at = super::xy(54.0, 50.0);
    }
    assert_eq!(sheet.read().0.lights[0].at, super::xy(46.0, 50.0));
}

#[test]
fn without_a_circle_the_centre_is_the_middle_of_what_is_drawn() {
    let mut sheet = Sheet::default();
    let symbol = sheet.insert("E-LITE", "SQUARE", (0.0, 0.0));
    let square = sheet.path(
        "0",
        &[(10.0, 10.0), (18.0, 10.0), (18.0, 18.0), (10.0, 18.0)],
        true,
    );
    sheet.put(square, symbol);
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights[0].at, xy(14.0, 14.0));
    assert_eq!(plan.lights[0].schedule, None);
}

#[test]
fn an_empty_block_is_a_light_at_its_insertion_point_with_a_note() {
    let mut sheet = Sheet::default();
    sheet.insert("E-LITE", "LT-R6", (7.0, 8.0));
    let (plan, notes) = sheet.read();
    assert_eq!(plan.lights[0].at, xy(7.0, 8.0));
    assert!(has_note(&notes, "light-empty"));
}

#[test]
fn bodies_that_are_not_read_are_told_of_and_a_block_of_them_is_a_light() {
    let mut sheet = Sheet::default();
    let can = sheet.insert("E-LITE", "LT-R6", (7.0, 8.0));
    let body = sheet.item("0", "MESH", Prim::Opaque);
    sheet.put(body, can);
    let (plan, notes) = sheet.read();
    assert_eq!(plan.lights[0].at, xy(7.0, 8.0));
    assert!(has_note(&notes, "light-unread") && !has_note(&notes, "light-hidden"));
    assert!(!has_note(&notes, "not-read"), "{notes:#?}");
    for (layer, entity, what) in [
        ("E-LITE", "POLYLINE", "(lights)"),
        ("E-LITE", "POINT", "(lights)"),
        ("A-WALL", "MESH", "(walls)"),
        ("E-LITE-CLNG", "SHAPE", "(lights)"),
        ("A-WALL", "ACAD_PROXY_ENTITY", "(walls)"),
        ("A-WALL", "BLDG_WALL", "(walls)"),
    ] {
        let mut sheet = Sheet::default();
        sheet.light("LT-R6", (0.0, 0.0));
        let drawn = match entity {
            "POINT" => Prim::Point(xy(60.0, 0.0)),
            _ => Prim::Opaque,
        };
        sheet.item(layer, entity, drawn);
        let (_, notes) = sheet.read();
        let told = notes.iter().find(|n| n.code == "not-read").unwrap();
        assert!(
            told.message.starts_with(&format!("1 {entity}")) && told.message.contains(what),
            "{told:?}"
        );
        // A line that would take the light too is not offered.
        assert_eq!(
            told.message.contains("ignore = "),
            layer != "E-LITE-CLNG",
            "{told:?}"
        );
    }
    // A point on walls or in a light's middle, and what is nothing's, says nothing.
    let mut sheet = Sheet::default();
    sheet.light("LT-R6", (0.0, 0.0));
    sheet.item("E-LITE", "POINT", Prim::Point(xy(0.0, 0.0)));
    sheet.item("A-WALL", "POINT", Prim::Point(xy(60.0, 0.0)));
    sheet.item("9", "MESH", Prim::Opaque);
    sheet.item("A-WALL", "VIEWPORT", Prim::Opaque);
    sheet.item("A-WALL", "ACAD_TABLE", Prim::Opaque);
    assert!(!has_note(&sheet.read().1, "not-read"));
}

#[test]
fn the_outermost_symbol_is_the_light() {
    let mut sheet = Sheet::default();
    let outer = sheet.insert("0", "LT-R4-ASSEMBLY", (0.0, 0.0));
    let inner = sheet.insert("E-LITE", "LT-R6", (0.0, 0.0));
    let circle = sheet.circle("0", (30.0, 40.0), 3.0);
    sheet.put(inner, outer);
    sheet.put(circle, inner);
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights.len(), 1);
    assert_eq!(plan.lights[0].at, xy(30.0, 40.0));
    assert_eq!(
        plan.lights[0].tag.as_deref(),
        Some("R4"),
        "the tag is a word of the block's name"
    );
}

#[test]
fn a_block_of_many_lights_is_many_lights() {
    let mut sheet = Sheet::default();
    let holder = sheet.insert("E-LITE", "LIGHTING-PLAN", (0.0, 0.0));
    for x in [0.0, 48.0, 96.0] {
        let symbol = sheet.light("LT-R6", (x, 0.0));
        sheet.put(symbol, holder);
    }
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights.len(), 3);
    // And where they are bare circles in the block.
    let mut sheet = Sheet::default();
    let holder = sheet.insert("E-LITE", "LIGHTING-PLAN", (0.0, 0.0));
    for x in [0.0, 48.0, 96.0] {
        let circle = sheet.circle("E-LITE", (x, 0.0), 3.0);
        sheet.put(circle, holder);
    }
    assert_eq!(sheet.read().0.lights.len(), 3);
}

#[test]
fn attributes_tell_the_tag() {
    let mut sheet = Sheet::default();
    let marked = sheet.light("FIXTURE", (0.0, 0.0));
    sheet.attrib(marked, "TYPE", " r4 ");
    let other = sheet.light("FIXTURE", (50.0, 0.0));
    sheet.attrib(other, "WATTS", "R6");
    let unknown = sheet.light("FIXTURE", (100.0, 0.0));
    sheet.attrib(unknown, "TAG", "Z9");
    let doubtful = sheet.light("LT-R6", (150.0, 0.0));
    sheet.attrib(doubtful, "TAG", "Z9");
    let (plan, notes) = sheet.read();
    let tags: Vec<_> = plan
        .lights
        .iter()
        .map(|l| (l.tag.as_deref(), l.schedule))
        .collect();
    assert_eq!(
        tags,
        [
            (Some("R4"), Some(1)),
            (Some("R6"), Some(0)),
            (Some("Z9"), None),
            (Some("R6"), Some(0))
        ]
    );
    assert!(has_note(&notes, "tag-unknown"));
}

#[test]
fn bare_circles_and_exploded_symbols_are_one_light_each() {
    let mut sheet = Sheet::default();
    sheet.circle("E-LITE", (0.0, 0.0), 3.0);
    // Exploded: outer circle, inner circle, cross that reaches a little beyond.
    sheet.circle("E-LITE", (60.0, 0.0), 2.0);
    sheet.circle("E-LITE", (60.0, 0.0), 4.0);
    sheet.line("E-LITE", (55.0, 0.0), (65.0, 0.0));
    sheet.line("E-LITE", (60.0, -5.0), (60.0, 5.0));
    // Drawn as two half circles.
    for start in [0.0, std::f64::consts::PI] {
        let sweep = std::f64::consts::PI;
        sheet.item(
            "E-LITE",
            "ARC",
            Prim::Arc {
                center: xy(120.0, 0.0),
                radius: 4.0,
                start,
                sweep,
            },
        );
    }
    // A circle under slightly unequal scale.
    sheet.item(
        "E-LITE",
        "ELLIPSE",
        Prim::Ellipse {
            center: xy(180.0, 0.0),
            major: xy(4.0, 0.0),
            minor: xy(0.0, 3.6),
            start: 0.0,
            sweep: std::f64::consts::TAU,
        },
    );
    let (plan, _) = sheet.read();
    let at: Vec<f64> = plan.lights.iter().map(|l| l.at.x).collect();
    assert_eq!(at, [0.0, 60.0, 120.0, 180.0]);
    assert_eq!(plan.lights[1].drawn_radius, 4.0);
    assert!(plan.linework.is_empty(), "crosses belong to their lights");
}

#[test]
fn a_circle_in_a_small_block_takes_the_blocks_name() {
    let mut sheet = Sheet::default();
    let symbol = sheet.insert("0", "CEILING R4", (0.0, 0.0));
    let circle = sheet.circle("E-LITE", (5.0, 5.0), 3.0);
    let part = sheet.line("E-LITE", (0.0, 5.0), (10.0, 5.0));
    sheet.put(circle, symbol);
    sheet.put(part, symbol);
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights.len(), 1);
    assert_eq!(plan.lights[0].tag.as_deref(), Some("R4"));
    assert_eq!(plan.lights[0].handle.as_deref(), Some("10"));
}

#[test]
fn two_symbols_on_one_spot_are_one_light() {
    let mut sheet = Sheet::default();
    sheet.light("LT-R6", (0.0, 0.0));
    sheet.light("LT-R6", (0.6, 0.0));
    sheet.light("LT-R6", (3.0, 0.0));
    sheet.circle("E-LITE", (60.0, 0.0), 3.0);
    sheet.circle("E-LITE", (60.0, 0.0), 3.0);
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights.len(), 3);
    assert_eq!(plan.lights[0].stacked, [xy(0.6, 0.0)]);
    assert_eq!(plan.lights[2].stacked, [xy(60.0, 0.0)], "a circle drawn twice");
}

#[test]
fn decoys_are_no_lights() {
    let mut sheet = Sheet::default();
    sheet.circle("A-FURN", (0.0, 0.0), 4.0);
    sheet.circle("A-COLS", (50.0, 0.0), 4.0);
    let sink = sheet.insert("P-FIXT", "SINK", (0.0, 0.0));
    let bowl = sheet.circle("P-FIXT", (100.0, 0.0), 4.0);
    sheet.put(bowl, sink);
    // On the light layer, but no light: a switch leg, a note, a dot, a great circle.
    sheet.line("E-LITE", (0.0, 0.0), (40.0, 30.0));
    sheet.text("E-LITE", (0.0, 0.0), "SEE NOTE 4");
    sheet.circle("E-LITE", (150.0, 0.0), 0.5);
    sheet.circle("E-LITE", (150.0, 0.0), 60.0);
    let (plan, notes) = sheet.read();
    assert!(plan.lights.is_empty(), "{:?}", plan.lights);
    assert!(has_note(&notes, "no-lights") && has_note(&notes, "light-too-large"));
    assert_eq!(plan.counts.claimed, 5, "light layer linework and what is ignored");
}

#[test]
fn built_in_words_keep_switches_out() {
    let mut sheet = Sheet::default();
    let switch = sheet.insert("E-LITE", "SWITCH-3WAY", (0.0, 0.0));
    let circle = sheet.circle("E-LITE", (0.0, 0.0), 3.0);
    sheet.put(circle, switch);
    assert_eq!(sheet.read().0.lights.len(), 1, "the user's patterns alone decide");
    let rules = Rules::default();
    assert!(sheet.read_by(&rules).0.lights.is_empty());
}

#[test]
fn a_tag_written_beside_a_bare_light_is_its_tag() {
    let mut sheet = Sheet::default();
    sheet.circle("E-LITE", (0.0, 0.0), 3.0);
    sheet.text("E-LITE", (5.0, 4.0), "R4");
    sheet.circle("E-LITE", (100.0, 0.0), 3.0);
    let (plan, _) = sheet.read();
    assert_eq!(plan.lights[0].schedule, Some(1));
    assert_eq!(plan.lights[1].schedule, None);
}

#[test]
fn hidden_symbols_are_no_lights() {
    let mut sheet = Sheet::default();
    let symbol = sheet.light("LT-R6", (0.0, 0.0));
    for item in symbol..symbol + 3 {
        sheet.flat.items[item].visible = false;
    }
    let (plan, notes) = sheet.read();
    assert!(plan.lights.is_empty());
    assert_eq!(plan.counts.unclaimed, 3);
    assert!(has_note(&notes, "hidden"));
}

#[test]
fn a_block_that_only_the_schedule_names_is_a_light() {
    let mut sheet = Sheet::default();
    let mut symbol = |layer: &str, block: &str, at: (f64, f64)| {
        let insert = sheet.insert(layer, block, at);
        let circle = sheet.circle("0", at, 3.0);
        sheet.put(circle, insert);
    };
    symbol("0", "A$C1234", (0.0, 0.0));
    // Its own name says no recessed light, but the schedule knows better.
    symbol("E-LITE", "PENDANT-R4", (48.0, 0.0));
    symbol("0", "A$C1235", (96.0, 0.0));
    let scheduled = |blocks: &[&str]| {
        let blocks = blocks.iter().map(|b| b.to_string()).collect();
        let luminaires = vec![Luminaire {
            tag: "R6".into(),
            blocks,
            ..Luminaire::default()
        }];
        Rules {
            luminaires,
            ..Rules::default()
        }
    };
    let tags = |rules: &Rules| {
        let (plan, _) = sheet.read_by(rules);
        let of = |l: &crate::plan::Light| (l.at.x, l.tag.clone());
        plan.lights.iter().map(of).collect::<Vec<_>>()
    };
    let r6 = Some("R6".to_string());
    let both = [(0.0, r6.clone()), (48.0, r6.clone())];
    assert_eq!(tags(&scheduled(&["A$C1234", "PENDANT-R4"])), both);
    assert_eq!(tags(&scheduled(&["a$c*34", "*-R4"])), both);
    // A pattern for every block tells no light from a table.
    assert!(tags(&scheduled(&["*"])).is_empty());
    // What the rules ignore stays ignored.
    let mut rules = scheduled(&["A$C1234", "PENDANT-R4"]);
    rules.read.ignore = patterns(&[], &["A$C*"]);
    assert_eq!(tags(&rules), [(48.0, r6)]);
}

#[test]
fn what_attributes_say_is_drawn_where_it_shows() {
    let mut sheet = Sheet::default();
    let symbol = sheet.light("LT-R6", (50.0, 50.0));
    sheet.attrib(symbol, "TYPE", "R6");
    sheet.attrib(symbol, "CIRCUIT", "A-3");
    if let crate::flatten::Prim::Symbol(s) = &mut sheet.flat.items[symbol].prim {
        s.attribs[0].lettered = Some(crate::flatten::Lettered {
            at: super::xy(56.0, 52.0),
            height: 4.0,
            angle: 0.0,
            centred: false,
        });
    }
    let (plan, _) = sheet.read();
    let texts: Vec<&str> = (plan.linework.iter())
        .filter_map(|l| match l {
            crate::plan::Linework::Text { at, text, .. } if *at == super::xy(56.0, 52.0) => Some(&**text),
            _ => None,
        })
        .collect();
    assert_eq!((texts, plan.linework.len()), (vec!["R6"], 1));
}

#[test]
fn lights_that_no_sheet_shows_are_told_of() {
    let mut sheet = Sheet::default();
    sheet.light("LT-R6", (0.0, 0.0));
    for x in [60.0, 120.0] {
        let symbol = sheet.light("LT-R6", (x, 0.0));
        sheet.flat.items[symbol].layer = "E-LITE-STUDY".into();
    }
    sheet.flat.unplotted.insert("E-LITE-STUDY".into());
    let (plan, notes) = sheet.read_by(&Rules::default());
    assert_eq!(plan.lights.len(), 3);
    let told = notes.iter().find(|n| n.code == "not-plotted").expect("told");
    assert!(
        told.message.starts_with("2 light(s) stand on layer E-LITE-STUDY"),
        "{told:?}"
    );
    // Where the rules say what it is there is no doubt.
    let rules = parse("[read]\nlights = { more_layers = [\"E-LITE-STUDY\"] }\n", None).unwrap();
    let (plan, notes) = sheet.read_by(&rules);
    assert!(
        plan.lights.len() == 3 && !has_note(&notes, "not-plotted"),
        "{notes:#?}"
    );
}

#[test]
fn signs_of_lettering_that_may_be_lights_are_told_of() {
    for (sign, told) in [
        ("O", true),
        ("⊕", true),
        ("A", false),
        ("-", false),
        ("OO", false),
    ] {
        let mut sheet = Sheet::default();
        for x in [60.0, 120.0, 180.0] {
            sheet.text("E-LITE-CLNG", (x, 0.0), sign);
        }
        let (_, notes) = sheet.read();
        assert_eq!(has_note(&notes, "not-read"), told, "{sign}: {notes:#?}");
        // Beside lights they are marks.
        for x in [60.0, 120.0, 180.0] {
            sheet.light("LT-R6", (x, 0.0));
        }
        assert!(!has_note(&sheet.read().1, "not-read"), "{sign}");
    }
}
