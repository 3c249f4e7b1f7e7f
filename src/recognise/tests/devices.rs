//! Other things in the ceiling, as blocks and as loose lines.

use super::{Sheet, has_note, rules};
use crate::note::Note;
use crate::recognise::shape::{area, bounds};
use crate::rules::Rules;

/// Names and sizes of the obstacles: name, left, bottom, right, top.
fn obstacles(sheet: &Sheet, rules: &Rules) -> Vec<(String, [i64; 4])> {
    let (plan, _) = sheet.read_by(rules);
    let boxed = |o: &crate::plan::Obstacle| {
        let (low, high) = bounds(o.outline.iter().copied()).unwrap();
        (
            o.name.clone(),
            [low.x, low.y, high.x, high.y].map(|c| c.round() as i64),
        )
    };
    plan.obstacles.iter().map(boxed).collect()
}

fn rectangle(sheet: &mut Sheet, layer: &str, [l, b, r, t]: [f64; 4]) {
    sheet.line(layer, (l, b), (r, b));
    sheet.line(layer, (r, b), (r, t));
    sheet.line(layer, (r, t), (l, t));
    sheet.line(layer, (l, t), (l, b));
}

#[test]
fn loose_lines_that_touch_are_one_device() {
    let mut sheet = Sheet::default();
    rectangle(&mut sheet, "M-HVAC", [0.0, 0.0, 24.0, 24.0]);
    sheet.line("M-HVAC", (0.0, 0.0), (24.0, 24.0));
    sheet.line("M-HVAC", (0.0, 24.0), (24.0, 0.0));
    // A square within the square touches nothing of it.
    sheet.path("M-HVAC", &box_at(6.0, 6.0, 18.0, 18.0), true);
    sheet.circle("M-HVAC", (60.0, 12.0), 3.0);
    sheet.line("M-HVAC", (58.0, 12.0), (62.0, 12.0));
    let found = obstacles(&sheet, &rules());
    assert_eq!(
        found,
        [
            ("M-HVAC".to_string(), [0, 0, 24, 24]),
            ("M-HVAC".to_string(), [57, 9, 63, 15])
        ]
    );
    let (plan, notes) = sheet.read();
    assert!((area(&plan.obstacles[0].outline) - 576.0).abs() < 1e-9);
    assert!(!notes.iter().any(|n| n.code.starts_with("device")), "{notes:?}");
}

/// A mistake in the drawing, as a radius with a digit too many is; what is long and narrow may be a duct.
#[test]
fn a_device_wider_than_any_is_told_and_in_no_ones_way() {
    let mut sheet = Sheet::default();
    sheet.circle("M-HVAC", (0.0, 0.0), 60.5);
    sheet.circle("M-HVAC", (400.0, 0.0), 59.5);
    sheet.path("M-HVAC", &box_at(0.0, 100.0, 300.0, 124.0), true);
    let found = obstacles(&sheet, &rules());
    let across: Vec<i64> = found.iter().map(|(_, [l, _, r, _])| r - l).collect();
    assert_eq!(across, [119, 300]);
    let (_, notes) = sheet.read();
    let told: Vec<_> = notes.iter().filter(|n| n.code == "device-large").collect();
    let [note] = told[..] else { panic!("{notes:?}") };
    assert!(
        note.message
            .starts_with("1 device(s) M-HVAC is up to 10' 0 7/8\""),
        "{}",
        note.message
    );
}

#[test]
fn a_leader_does_not_make_a_device_longer() {
    let mut sheet = Sheet::default();
    rectangle(&mut sheet, "M-HVAC", [0.0, 0.0, 12.0, 12.0]);
    sheet.line("M-HVAC", (12.0, 12.0), (30.0, 30.0));
    sheet.line("M-HVAC", (30.0, 30.0), (40.0, 30.0));
    assert_eq!(
        obstacles(&sheet, &rules()),
        [("M-HVAC".to_string(), [0, 0, 12, 12])]
    );
    // A cross alone is all there is of a symbol.
    let mut cross = Sheet::default();
    cross.line("M-HVAC", (0.0, 0.0), (4.0, 4.0));
    cross.line("M-HVAC", (0.0, 4.0), (4.0, 0.0));
    assert_eq!(
        obstacles(&cross, &rules()),
        [("M-HVAC".to_string(), [0, 0, 4, 4])]
    );
}

#[test]
fn lines_that_enclose_nothing_are_told_of() {
    let mut sheet = Sheet::default();
    sheet.line("M-HVAC", (0.0, 0.0), (200.0, 0.0));
    sheet.line("M-HVAC", (0.0, 10.0), (20.0, 10.0));
    let (plan, notes) = sheet.read();
    assert!(plan.obstacles.is_empty());
    let note = notes.iter().find(|n| n.code == "device-open").unwrap();
    assert!(note.message.starts_with("2 line(s)"), "{}", note.message);
}

#[test]
fn a_block_of_many_devices_is_looked_into() {
    let mut sheet = Sheet::default();
    let all = sheet.insert("M-HVAC", "MECHANICAL", (0.0, 0.0));
    for x in [0.0, 200.0] {
        let one = sheet.insert("M-HVAC", "DIFF-12", (x, x));
        sheet.put(one, all);
        let ring = sheet.path("M-HVAC", &box_at(x, x, x + 12.0, x + 12.0), true);
        sheet.put(ring, one);
    }
    let found = obstacles(&sheet, &rules());
    let one = |x: i64| ("DIFF-12".to_string(), [x, x, x + 12, x + 12]);
    assert_eq!(found, [one(0), one(200)]);
}

/// Rules with a schedule and no names.
fn bare() -> Rules {
    Rules {
        luminaires: rules().luminaires,
        ..Rules::default()
    }
}

#[test]
fn fixtures_that_are_no_recessed_lights_are_counted_and_kept_clear_of() {
    let mut sheet = Sheet::default();
    for (block, x) in [
        ("PENDANT-12", 0.0),
        ("CHANDELIER", 60.0),
        ("LT-SCONCE", 120.0),
        ("LT-R6", 180.0),
    ] {
        let symbol = sheet.insert("E-LITE", block, (x, 0.0));
        let circle = sheet.circle("0", (x, 0.0), 6.0);
        sheet.flat.items[circle].layer = "E-LITE".into();
        sheet.put(circle, symbol);
    }
    let (plan, notes) = sheet.read_by(&bare());
    assert_eq!(plan.lights.len(), 1);
    assert_eq!(plan.lights[0].tag.as_deref(), Some("R6"));
    let names: Vec<&str> = plan.obstacles.iter().map(|o| o.name.as_str()).collect();
    assert_eq!(names, ["PENDANT-12", "CHANDELIER"]);
    let note = notes.iter().find(|n| n.code == "not-recessed").unwrap();
    assert!(
        note.message.starts_with("3 symbols are named")
            && note.message.contains("1 PENDANT-12 (kept clear of)")
            && note.message.contains("1 LT-SCONCE (left alone)"),
        "{}",
        note.message
    );
}

#[test]
fn a_fan_or_pendant_whose_circle_is_on_a_light_layer_is_no_light() {
    for (layer, block) in [("M-EQUIP", "CEILING-FAN-52"), ("0", "PENDANT-12")] {
        let mut sheet = Sheet::default();
        let symbol = sheet.insert(layer, block, (0.0, 0.0));
        let circle = sheet.circle("E-LITE", (0.0, 0.0), 10.0);
        sheet.put(circle, symbol);
        let (plan, _) = sheet.read_by(&bare());
        assert!(plan.lights.is_empty(), "{block}: {:?}", plan.lights);
        assert_eq!(plan.obstacles.len(), 1, "{block}");
    }
}

#[test]
fn only_the_edges_of_a_soffit_are_in_the_way() {
    let mut sheet = Sheet::default();
    sheet.path("A-CLNG-SOFFIT", &box_at(0.0, 0.0, 48.0, 100.0), true);
    let found = obstacles(&sheet, &bare());
    assert_eq!(found.len(), 4);
    assert_eq!(found[0].1, [0, -1, 48, 1]);
    let (plan, _) = sheet.read_by(&bare());
    for o in &plan.obstacles {
        let a = area(&o.outline).abs();
        assert!((a - 1.5 * 48.0).abs() < 1e-9 || (a - 150.0).abs() < 1e-9, "{a}");
    }
}

#[test]
fn lights_within_a_soffit_are_told_of_however_its_edges_are_drawn() {
    let (l, b, r, t) = (0.0, 0.0, 48.0, 100.0);
    let sides = [
        ((l, b), (r, b)),
        ((r, t), (r, b)),
        ((l, t), (r, t)),
        ((l, b), (l, t)),
    ];
    for loose in [true, false] {
        let mut sheet = Sheet::default();
        match loose {
            true => sides.iter().for_each(|(a, b)| {
                sheet.line("A-CLNG-SOFFIT", *a, *b);
            }),
            false => {
                sheet.path("A-CLNG-SOFFIT", &box_at(l, b, r, t), true);
            }
        }
        sheet.light("LT-R6", (24.0, 50.0));
        sheet.light("LT-R6", (100.0, 50.0));
        let (plan, notes) = sheet.read_by(&bare());
        assert_eq!((plan.lights.len(), plan.obstacles.len()), (2, 4));
        let told: Vec<&Note> = notes.iter().filter(|n| n.code == "soffit-lights").collect();
        assert!(told.len() == 1 && told[0].message.contains("(L1)"), "{notes:#?}");
    }
}

#[test]
fn a_circle_on_a_layer_of_soffits_is_its_edge_and_of_a_lights_size_asked_about() {
    for (radius, asks) in [(3.0, true), (24.0, false)] {
        let mut sheet = Sheet::default();
        sheet.circle("A-CLNG-SOFFIT", (50.0, 50.0), radius);
        let (plan, notes) = sheet.read_by(&bare());
        assert!(plan.obstacles.len() > 6, "{:?}", plan.obstacles);
        assert_eq!(has_note(&notes, "soffit-circles"), asks, "{notes:#?}");
    }
    let mut sheet = Sheet::default();
    sheet.circle("A-CLNG-SOFFIT", (50.0, 50.0), 3.0);
    let line = "[read]\nlights = { more_blocks = [\"A-CLNG-SOFFIT:circle 6\"] }\n";
    let (plan, notes) = sheet.read_by(&crate::rules::parse(line, None).unwrap());
    assert_eq!((plan.lights.len(), plan.obstacles.len()), (1, 0), "{notes:#?}");
}

#[test]
fn ducts_and_panels_drawn_closed_are_in_the_way() {
    let mut sheet = Sheet::default();
    sheet.path("M-HVAC-DUCT", &box_at(0.0, 0.0, 14.0, 300.0), true);
    let panel = sheet.insert("A-CLNG", "ACCESS-PANEL-14", (100.0, 0.0));
    let ring = sheet.path("A-CLNG", &box_at(100.0, 0.0, 114.0, 14.0), true);
    sheet.put(ring, panel);
    let found = obstacles(&sheet, &bare());
    assert_eq!(found[0], ("M-HVAC-DUCT".to_string(), [0, 0, 14, 300]));
    assert_eq!(found[1], ("ACCESS-PANEL-14".to_string(), [100, 0, 114, 14]));
}

#[test]
fn drawings_over_themselves_end() {
    let mut sheet = Sheet::default();
    for n in 0..3000 {
        let x = f64::from(n) * 0.001;
        sheet.line("M-HVAC", (x, 0.0), (x + 10.0, 10.0));
    }
    let (_, notes) = sheet.read();
    assert!(notes.iter().any(|n| n.code == "device-crowded"), "{notes:?}");
}

fn box_at(l: f64, b: f64, r: f64, t: f64) -> [(f64, f64); 4] {
    [(l, b), (r, b), (r, t), (l, t)]
}
