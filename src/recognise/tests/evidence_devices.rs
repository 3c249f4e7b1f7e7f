//! Ceiling devices whose names say nothing: letters, shapes and places tell them, and furniture stays out.

use std::f64::consts::TAU;

use geo::Coord;

use super::{Sheet, inches, recognise, xy};
use crate::check::{Kind, check};
use crate::flatten::Prim;
use crate::note::Note;
use crate::plan::{Plan, Units};
use crate::recognise::readings;
use crate::rules::{Rules, parse};

pub(super) fn read(sheet: &Sheet) -> (Plan, Vec<Note>) {
    sheet.read_by(&Rules::default())
}

pub(super) fn named(plan: &Plan) -> Vec<&str> {
    plan.obstacles.iter().map(|o| &*o.name).collect()
}

pub(super) fn asked(notes: &[Note]) -> Vec<&str> {
    let asks = notes.iter().filter(|n| n.code == "evidence-asks");
    asks.map(|n| &*n.message)
        .filter(|m| m.contains("may be ceiling devices"))
        .collect()
}

const ROOMS: [&str; 4] = ["KITCHEN", "BEDROOM", "BATH", "DEN"];

/// So many rooms of 20 by 12 ft side by side, named, on layer 3, their walls on layer 4.
pub(super) fn house(rooms: usize) -> Sheet {
    let mut sheet = Sheet::default();
    for (k, name) in ROOMS[..rooms].iter().enumerate() {
        let left = 246.0 * k as f64;
        let ring = [
            (left, 0.0),
            (left + 240.0, 0.0),
            (left + 240.0, 144.0),
            (left, 144.0),
        ];
        sheet.path("3", &ring, true);
        for (i, &p) in ring.iter().enumerate() {
            sheet.line("4", p, ring[(i + 1) % 4]);
        }
        sheet.text("9", (left + 190.0, 100.0), name);
    }
    sheet
}

/// Something in a room, about a point.
type Shape = fn(&mut Sheet, (f64, f64)) -> Vec<usize>;

/// Something that is no device, where it stands.
type Decoy = (&'static str, &'static [(f64, f64)], Shape);

/// A text of 2 in lettering whose middle is there.
pub(super) fn letters(sheet: &mut Sheet, at: (f64, f64), text: &str) -> usize {
    let n = sheet.text("0", at, text);
    if let Prim::Text { height, centred, .. } = &mut sheet.flat.items[n].prim {
        (*height, *centred) = (2.0, true);
    }
    n
}

pub(super) fn square(sheet: &mut Sheet, at: (f64, f64), side: f64) -> usize {
    let h = side / 2.0;
    let ring = [
        (at.0 - h, at.1 - h),
        (at.0 + h, at.1 - h),
        (at.0 + h, at.1 + h),
        (at.0 - h, at.1 + h),
    ];
    sheet.path("0", &ring, true)
}

/// From corner to corner of a square, from `from` to `to` half sides from the middle.
fn corner_lines(sheet: &mut Sheet, at: (f64, f64), from: f64, to: f64) -> Vec<usize> {
    [(1.0, 1.0), (-1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)]
        .map(|(x, y)| {
            sheet.line(
                "0",
                (at.0 + x * from, at.1 + y * from),
                (at.0 + x * to, at.1 + y * to),
            )
        })
        .to_vec()
}

pub(super) fn four_way(sheet: &mut Sheet, at: (f64, f64)) -> Vec<usize> {
    let mut items = vec![
        square(sheet, at, 12.0),
        square(sheet, at, 8.0),
        square(sheet, at, 4.0),
    ];
    items.extend(corner_lines(sheet, at, 2.0, 6.0));
    items
}

fn crossed(sheet: &mut Sheet, at: (f64, f64)) -> Vec<usize> {
    let mut items = vec![square(sheet, at, 12.0)];
    items.extend(corner_lines(sheet, at, 0.0, 6.0));
    items
}

fn slashed(sheet: &mut Sheet, at: (f64, f64)) -> Vec<usize> {
    let h = 10.0;
    vec![
        square(sheet, at, 20.0),
        sheet.line("0", (at.0 - h, at.1 - h), (at.0 + h, at.1 + h)),
    ]
}

fn ringed(sheet: &mut Sheet, at: (f64, f64)) -> Vec<usize> {
    vec![square(sheet, at, 20.0), square(sheet, at, 14.0)]
}

pub(super) fn marked(sheet: &mut Sheet, at: (f64, f64), text: &str) -> Vec<usize> {
    vec![sheet.circle("0", at, 4.0), letters(sheet, at, text)]
}

/// Blades of 5 in about a hub of 10.
fn fan_of(sheet: &mut Sheet, at: (f64, f64), blades: usize, wide: f64, reach: f64) -> Vec<usize> {
    let mut items = vec![sheet.circle("0", at, 5.0)];
    for k in 0..blades {
        let (s, c) = (TAU * (k as f64 / blades as f64 + 0.07)).sin_cos();
        let put = |x: f64, y: f64| (at.0 + c * x - s * y, at.1 + s * x + c * y);
        let blade = [
            put(6.0, -wide / 2.0),
            put(reach, -wide / 2.0),
            put(reach, wide / 2.0),
            put(6.0, wide / 2.0),
        ];
        items.push(sheet.path("0", &blade, true));
    }
    items
}

/// The shape as a block whose name says nothing, at each place.
pub(super) fn blocks(
    sheet: &mut Sheet,
    block: &str,
    at: &[(f64, f64)],
    shape: impl Fn(&mut Sheet, (f64, f64)) -> Vec<usize>,
) {
    for &p in at {
        let insert = sheet.insert("0", block, p);
        for item in shape(sheet, p) {
            sheet.put(item, insert);
        }
    }
}

/// In the middle of each of so many rooms.
pub(super) fn middles(rooms: usize) -> Vec<(f64, f64)> {
    (0..rooms).map(|k| (120.0 + 246.0 * k as f64, 70.0)).collect()
}

/// Two rows of four lights in the first room.
pub(super) fn lights(sheet: &mut Sheet) {
    let row = |y: f64| (0..4).map(move |i| (30.0 + 60.0 * f64::from(i), y));
    let at: Vec<(f64, f64)> = row(36.0).chain(row(108.0)).collect();
    blocks(sheet, "A$C1234", &at, |s, p| vec![s.circle("0", p, 3.0)]);
}

#[test]
fn letters_in_a_frame_tell_a_device() {
    for (text, kind) in [
        ("SD", "smoke alarm"),
        ("S/CO", "smoke and carbon monoxide alarm"),
        ("EF", "exhaust fan"),
        ("SPK", "speaker"),
        ("R/A", "return grille"),
    ] {
        let mut sheet = house(1);
        lights(&mut sheet);
        blocks(&mut sheet, "A$C9", &middles(1), |s, p| marked(s, p, text));
        let (plan, notes) = read(&sheet);
        assert_eq!(named(&plan), [format!("{kind} (A$C9)")], "{text}: {notes:?}");
        assert_eq!(plan.lights.len(), 8, "{text}: {notes:?}");
        let said = notes
            .iter()
            .find(|n| n.code == "by-evidence" && n.message.contains("A$C9"));
        let said = &said.unwrap().message;
        assert!(
            said.contains(&format!(
                "marked {text} ({kind}), 1 in 1 room(s), 1 clear of walls"
            )) && said.contains("devices = { more_blocks = ["),
            "{said}"
        );
    }
}

#[test]
fn letters_that_mean_something_else_too_are_asked_about_unless_most_rooms_have_one() {
    for text in ["S", "CO", "HD"] {
        let mut one = house(3);
        blocks(&mut one, "A$C9", &middles(1), |s, p| marked(s, p, text));
        let (plan, notes) = read(&one);
        assert!(plan.obstacles.is_empty(), "{text}");
        assert_eq!(asked(&notes).len(), 1, "{text}: {notes:?}");
        let mut most = house(3);
        blocks(&mut most, "A$C9", &middles(3), |s, p| marked(s, p, text));
        assert_eq!(read(&most).0.obstacles.len(), 3, "{text}");
    }
}

#[test]
fn a_mark_in_an_attribute_tells_and_a_switch_or_a_mark_of_the_schedule_does_not() {
    let sheet = |tag: &str, text: &str| {
        let mut sheet = house(1);
        let insert = sheet.insert("0", "A$C9", (120.0, 70.0));
        let circle = sheet.circle("0", (120.0, 70.0), 3.0);
        sheet.put(circle, insert);
        sheet.attrib(insert, tag, text);
        sheet
    };
    assert_eq!(named(&read(&sheet("TYPE", "SD")).0), ["smoke alarm (A$C9)"]);
    assert_eq!(named(&read(&sheet("CFM", "110")).0), ["diffuser (A$C9)"]);
    for (tag, text) in [("SWITCH", "SD"), ("TYPE", "R6"), ("CFM", "-")] {
        let (plan, notes) = read(&sheet(tag, text));
        assert!(
            plan.obstacles.is_empty() && asked(&notes).is_empty(),
            "{tag} {text}"
        );
    }
    let rules = parse("[[luminaire]]\ntag = 'SD'\naperture = 6\n", None).unwrap();
    assert!(sheet("TYPE", "SD").read_by(&rules).0.obstacles.is_empty());
}

#[test]
fn squares_crossed_as_diffusers_are() {
    let cases: [(&str, Shape, usize, Option<&str>); 7] = [
        ("four ways", four_way, 1, Some("diffuser (A$C9)")),
        // A chase or a cabinet is a square with both diagonals too: most rooms have one, or it is asked.
        ("crossed", crossed, 1, None),
        ("crossed in most rooms", crossed, 3, Some("diffuser (A$C9)")),
        ("one diagonal", slashed, 1, None),
        ("one diagonal in most rooms", slashed, 3, None),
        ("square in square", ringed, 1, None),
        ("square in square in most rooms", ringed, 3, None),
    ];
    for (what, shape, rooms, kind) in cases {
        let mut sheet = house(rooms);
        blocks(&mut sheet, "A$C9", &middles(rooms), shape);
        let (plan, notes) = read(&sheet);
        let want: Vec<&str> = kind
            .into_iter()
            .cycle()
            .take(rooms * usize::from(kind.is_some()))
            .collect();
        assert_eq!(named(&plan), want, "{what}: {notes:?}");
        assert_eq!(
            asked(&notes).len(),
            usize::from(kind.is_none()),
            "{what}: {notes:?}"
        );
        assert!(plan.obstacles.iter().all(|o| o.outline.len() == 4), "{what}");
    }
}

#[test]
fn a_square_against_a_wall_or_bare_is_no_diffuser() {
    // A tall cabinet, an appliance, a chase.
    let mut cabinet = house(3);
    let by_walls: Vec<(f64, f64)> = (0..3).map(|k| (6.0 + 246.0 * f64::from(k), 6.5)).collect();
    blocks(&mut cabinet, "A$C9", &by_walls, crossed);
    let (plan, notes) = read(&cabinet);
    assert!(plan.obstacles.is_empty());
    assert_eq!(asked(&notes).len(), 1, "{notes:?}");
    let mut bare = house(3);
    blocks(&mut bare, "A$C9", &middles(3), |s, p| vec![square(s, p, 12.0)]);
    let (plan, notes) = read(&bare);
    assert!(plan.obstacles.is_empty() && asked(&notes).is_empty(), "{notes:?}");
}

#[test]
fn blades_about_a_hub_are_a_fan() {
    for blades in [3, 4, 5] {
        let mut sheet = house(1);
        blocks(&mut sheet, "A$C9", &middles(1), |s, p| {
            fan_of(s, p, blades, 5.0, 26.0)
        });
        let (plan, notes) = read(&sheet);
        assert_eq!(named(&plan), ["ceiling fan (A$C9)"], "{blades}: {notes:?}");
    }
    for (what, blades, wide, reach, asks) in [
        ("spokes may be a plant", 5, 0.0, 26.0, true),
        ("a star of six", 6, 5.0, 26.0, false),
        ("two blades", 2, 5.0, 26.0, false),
        ("a chair's foot", 5, 2.5, 13.0, false),
        ("a merry-go-round", 5, 5.0, 60.0, false),
        ("chairs about a table", 4, 18.0, 34.0, false),
    ] {
        let mut sheet = house(1);
        blocks(&mut sheet, "A$C9", &middles(1), |s, p| {
            fan_of(s, p, blades, wide, reach)
        });
        let (plan, notes) = read(&sheet);
        assert!(plan.obstacles.is_empty(), "{what}");
        assert_eq!(!asked(&notes).is_empty(), asks, "{what}: {notes:?}");
    }
}

#[test]
fn furniture_columns_axes_and_trees_stay_out() {
    let cases: [Decoy; 9] = [
        ("a round table with chairs", &[(120.0, 70.0)], |s, p| {
            let mut items = vec![s.circle("0", p, 24.0)];
            for (x, y) in [(30.0, 0.0), (-30.0, 0.0), (0.0, 30.0), (0.0, -30.0)] {
                items.push(square(s, (p.0 + x, p.1 + y), 16.0));
            }
            items
        }),
        ("a water closet", &[(20.0, 20.0)], |s, p| {
            vec![square(s, p, 16.0), s.circle("0", (p.0, p.1 + 10.0), 7.0)]
        }),
        (
            "a column with a letter",
            &[(40.0, 40.0), (100.0, 40.0), (160.0, 40.0)],
            |s, p| {
                let mut items = crossed(s, p);
                items.push(letters(s, p, "B"));
                items
            },
        ),
        ("a pair of sinks", &[(60.0, 12.0)], |s, p| {
            vec![
                square(s, p, 14.0),
                square(s, (p.0 + 16.0, p.1), 14.0),
                s.circle("0", p, 1.5),
                s.circle("0", (p.0 + 16.0, p.1), 1.5),
            ]
        }),
        ("a shower", &[(60.0, 60.0)], |s, p| {
            let mut items = crossed(s, p);
            items.push(s.circle("0", p, 2.0));
            items
        }),
        ("burners", &[(60.0, 14.0)], |s, p| {
            let mut items = vec![square(s, p, 24.0)];
            for (x, y) in [(6.0, 6.0), (-6.0, 6.0), (-6.0, -6.0), (6.0, -6.0)] {
                items.push(s.circle("0", (p.0 + x, p.1 + y), 4.0));
            }
            items
        }),
        (
            "marks of axes",
            &[(30.0, -40.0), (90.0, -40.0), (150.0, -40.0)],
            |s, p| marked(s, p, "A"),
        ),
        ("a north arrow", &[(400.0, -90.0)], |s, p| {
            let mut items = fan_of(s, p, 4, 0.0, 24.0);
            items.push(letters(s, (p.0, p.1 + 30.0), "N"));
            items
        }),
        ("a tree", &[(-90.0, -90.0), (300.0, -120.0)], |s, p| {
            fan_of(s, p, 5, 0.0, 30.0)
        }),
    ];
    for (what, at, shape) in cases {
        let mut sheet = house(1);
        lights(&mut sheet);
        blocks(&mut sheet, "A$C9", at, shape);
        let (plan, notes) = read(&sheet);
        assert!(plan.obstacles.is_empty(), "{what}: {:?}", named(&plan));
        assert!(asked(&notes).is_empty(), "{what}: {notes:?}");
        assert_eq!(plan.lights.len(), 8, "{what}: {notes:?}");
    }
}

/// Four joists at each side of a light, a diffuser, an alarm and a fan: nothing has a name.
fn ceiling() -> Sheet {
    let mut sheet = house(1);
    lights(&mut sheet);
    for i in 0..14 {
        sheet.upright("2", 16.0 + 16.0 * f64::from(i), 1.5, (0.0, 144.0));
    }
    // 8 in from the light at (90, 36) to the diffuser's middle.
    blocks(&mut sheet, "A$C7", &[(90.0, 44.0)], four_way);
    blocks(&mut sheet, "A$C8", &[(200.0, 72.0)], |s, p| marked(s, p, "SD"));
    blocks(&mut sheet, "A$C9", &[(120.0, 72.0)], |s, p| {
        fan_of(s, p, 5, 5.0, 26.0)
    });
    sheet
}

#[test]
fn a_nameless_diffuser_beside_a_nameless_light_is_a_clash() {
    let sheet = ceiling();
    let told = readings(&sheet.flat, &inches(), &Rules::default(), None);
    let plan = &told.plan;
    assert_eq!((plan.lights.len(), plan.members.len()), (8, 14));
    assert_eq!(
        named(plan),
        ["diffuser (A$C7)", "smoke alarm (A$C8)", "ceiling fan (A$C9)"]
    );
    let findings = check(plan, &Rules::default());
    let clashes: Vec<&str> = (findings.iter())
        .filter(|f| f.kind == Kind::DeviceClash)
        .map(|f| &*f.message)
        .collect();
    assert_eq!(clashes.len(), 1, "{clashes:?}");
    assert!(
        clashes[0].contains("into the device diffuser (A$C7)"),
        "{clashes:?}"
    );
    // Rules that name the blocks give the plan again.
    let units = Units {
        name: "in".into(),
        ..inches()
    };
    let written = crate::write::starter::starter("p", plan, &told.readings, &Rules::default());
    let again = recognise(&sheet.flat, &units, &parse(&written, None).unwrap());
    assert!(written.contains("A$C7") && again.0 == *plan, "{written}");
    assert!(again.1.iter().all(|n| n.code != "by-evidence"));
}

/// The drawing with every point moved, and lengths multiplied.
fn moved(sheet: &Sheet, by: impl Fn(Coord) -> Coord, mirrored: bool) -> Sheet {
    let mut sheet = sheet.clone();
    let zero = by(xy(0.0, 0.0));
    let turn = by(xy(1.0, 0.0)) - zero;
    for item in &mut sheet.flat.items {
        match &mut item.prim {
            Prim::Segment { from, to } => (*from, *to) = (by(*from), by(*to)),
            Prim::Circle { center, .. } => *center = by(*center),
            Prim::Path { vertices, .. } => vertices.iter_mut().for_each(|v| v.at = by(v.at)),
            Prim::Text { at, angle, .. } => {
                *at = by(*at);
                // Mirrored lettering is given as unmirrored.
                let back = if mirrored { TAU / 2.0 } else { 0.0 };
                *angle += turn.y.atan2(turn.x) + back;
            }
            Prim::Symbol(s) => {
                s.x_axis = by(s.x_axis) - zero;
                s.y_axis = by(s.y_axis) - zero;
                s.at = by(s.at);
            }
            _ => {}
        }
    }
    sheet
}

#[test]
fn turned_mirrored_far_off_and_rescaled_it_is_judged_the_same() {
    let judged = |sheet: &Sheet| {
        let (plan, notes) = read(sheet);
        let mut said: Vec<String> = (notes.iter())
            .filter(|n| n.code.contains("evidence") && n.message.starts_with("block"))
            .map(|n| n.message.clone())
            .collect();
        said.sort();
        (plan.lights.len(), named(&plan).join(", "), said)
    };
    let mut sheet = ceiling();
    blocks(&mut sheet, "A$C11", &[(160.0, 20.0)], crossed);
    let as_drawn = judged(&sheet);
    assert_eq!((as_drawn.0, as_drawn.2.len()), (8, 5), "{as_drawn:?}");
    for degrees in [7.0_f64, 45.0, 90.0, 133.3, 251.0] {
        for mirror in [1.0, -1.0] {
            let (s, c) = degrees.to_radians().sin_cos();
            let by = |p: Coord| {
                let x = mirror * p.x;
                xy(c * x - s * p.y + 1.0e6, s * x + c * p.y - 3.0e5)
            };
            let turned = moved(&sheet, by, mirror < 0.0);
            assert_eq!(judged(&turned), as_drawn, "{degrees} {mirror}");
        }
    }
    for by in [25.4, 1.0 / 12.0, 0.0254] {
        let rescaled = Sheet {
            flat: sheet.flat.scaled(by).scaled(1.0 / by),
        };
        assert_eq!(judged(&rescaled), as_drawn, "{by}");
    }
}
