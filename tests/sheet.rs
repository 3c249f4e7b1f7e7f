//! The redline sheet: labels that never overlap, a legend that is complete, and SVG that is sound.

use bayline::check::{Finding, Kind, check};
use bayline::plan::{Linework, Plan, RemedyId, notation};
use bayline::recognise::relate;
use bayline::remedy::{Action, Remedy, remedy};
use bayline::rules::{Luminaire, Rules};
use bayline::sheet::measure::{Rect, extent, text_box, width};
use bayline::sheet::{Anchor, Item, Layer, Mark, MarkShape, Sheet, sheet};
use bayline::write::svg::svg;
use geo::Coord;

fn rules() -> Rules {
    Rules {
        luminaires: vec![Luminaire {
            tag: "R6".into(),
            ..Luminaire::default()
        }],
        ..Rules::default()
    }
}

fn judged(text: &str) -> (Plan, Vec<Finding>, Vec<Remedy>) {
    let rules = rules();
    let mut plan = notation::parse(text).expect("a sound plan");
    for l in &mut plan.lights {
        l.schedule = Some(0);
    }
    relate(&mut plan, &rules);
    let mut findings = check(&plan, &rules);
    // Seeking moves for a whole grid takes long, and it is the sheet that is held here: there every
    // light on a joist is moved off it by hand.
    let remedies = if plan.lights.len() < 20 {
        remedy(&plan, &mut findings, &rules)
    } else {
        findings
            .iter()
            .enumerate()
            .filter_map(clear_of_joist(&plan))
            .collect()
    };
    (plan, findings, remedies)
}

/// A move of 8 in, as one clear of a joist would be, for each finding about one light.
fn clear_of_joist(plan: &Plan) -> impl Fn((usize, &Finding)) -> Option<Remedy> + '_ {
    |(i, f)| {
        let [id] = f.lights[..] else { return None };
        let to = plan.light(id).at + Coord { x: 8.0, y: 0.0 };
        (f.kind == Kind::HitsMember).then(|| Remedy {
            set_out: Vec::new(),
            id: RemedyId(i),
            mends: vec![f.id],
            lights: vec![id],
            action: Action::Move {
                to: vec![to],
                by: 8.0,
            },
            message: format!("Move {id} 8\" to the right."),
        })
    }
}

/// A room of 5 × 8 lights, each on or hard by a joist, many off their lines both ways.
fn grid() -> String {
    let mut text = String::from("room \"GREAT ROOM\" (0,0) (384,0) (384,240) (0,240)\n");
    for k in 0..26 {
        let x = 16 * k - 8;
        text.push_str(&format!("member joist ({x},0) ({x},240)\n"));
    }
    for r in 0..5 {
        for c in 0..8 {
            let dy = [0.0, 0.0, 0.375, -0.25, 0.0, 0.5, 0.0, -0.1875][(c + 3 * r) % 8];
            let dx = [0.0, 0.3, 0.0, 0.0, -0.4][(r + 2 * c) % 5];
            let (x, y) = (24.0 + 48.0 * c as f64 + dx, 24.0 + 48.0 * r as f64 + dy);
            text.push_str(&format!("light ({x},{y}) tag=R6\n"));
        }
    }
    text
}

/// A hall of 13 with its fifth light 3/8 in off and a joist left out beside the eighth.
fn hall() -> String {
    let mut text = String::from("room \"HALL\" hall (0,0) (624,0) (624,42) (0,42)\n");
    for x in (13..624).step_by(16).filter(|x| !(330..350).contains(x)) {
        text.push_str(&format!("member joist ({x},0) ({x},42)\n"));
    }
    for k in 0..13 {
        let y = if k == 4 { 21.375 } else { 21.0 };
        text.push_str(&format!("light ({},{y}) tag=R6\n", 24 + 48 * k));
    }
    text
}

fn drawn(text: &str) -> (Plan, Vec<Finding>, Sheet) {
    let (plan, findings, remedies) = judged(text);
    let s = sheet("demo.dxf", &plan, &findings, &remedies, &rules());
    (plan, findings, s)
}

fn is_badge(m: &Mark) -> bool {
    let graded = matches!(m.layer, Layer::Must | Layer::Should | Layer::Note);
    graded
        && matches!(
            m.shape,
            MarkShape::Path {
                closed: true,
                filled: true,
                ..
            }
        )
}

/// Boxes of our own words on the plan: badges whole, other text by its width.
fn labels(marks: &[Mark]) -> Vec<(String, Rect)> {
    marks
        .iter()
        .filter(|m| m.layer != Layer::Architect)
        .filter_map(|m| {
            let badge = is_badge(m);
            let inside_badge = matches!(m.layer, Layer::Must | Layer::Should | Layer::Note) && !badge;
            let r = if badge {
                extent(&m.shape)
            } else if inside_badge {
                None
            } else {
                text_box(&m.shape)
            };
            let name = match &m.shape {
                MarkShape::Text { text, .. } => text.clone(),
                _ => m.of.clone().unwrap_or_default(),
            };
            Some((name, r?))
        })
        .collect()
}

fn assert_apart(boxes: &[(String, Rect)]) {
    for (i, (name, a)) in boxes.iter().enumerate() {
        for (other, b) in &boxes[i + 1..] {
            assert!(!a.overlaps(b), "{name} {a:?} over {other} {b:?}");
        }
    }
}

#[test]
fn no_label_overlaps_another_or_a_light_on_a_dense_plan() {
    for text in [grid(), hall()] {
        let (plan, findings, s) = drawn(&text);
        let boxes = labels(&s.plan);
        let badges = s.plan.iter().filter(|m| is_badge(m)).count();
        assert_eq!(badges, findings.len(), "a badge a finding");
        assert!(boxes.len() >= findings.len() + plan.lights.len());
        assert_apart(&boxes);
        for (name, b) in &boxes {
            for l in &plan.lights {
                let near = Coord {
                    x: l.at.x.clamp(b.least.x, b.greatest.x),
                    y: l.at.y.clamp(b.least.y, b.greatest.y),
                };
                let d = (near - l.at).x.hypot((near - l.at).y);
                assert!(d >= 6.375 / 2.0 - 1e-9, "{name} over a light, {d}");
            }
            assert!(s.bounds.0.x <= b.least.x && b.greatest.x <= s.bounds.1.x);
            assert!(s.bounds.0.y <= b.least.y && b.greatest.y <= s.bounds.1.y);
        }
    }
}

#[test]
fn type_on_the_page_stays_apart_and_on_the_page() {
    for text in [grid(), hall(), String::new()] {
        let (.., s) = drawn(&text);
        let page = &s.panel.page;
        let boxes: Vec<(String, Rect)> = page
            .items
            .iter()
            .filter_map(|i| match i {
                Item::Text {
                    at,
                    size,
                    anchor,
                    bold,
                    text,
                    ..
                } => {
                    let w = width(text, *size, *bold);
                    let x = match anchor {
                        Anchor::Start => at.0,
                        Anchor::Middle => at.0 - w / 2.0,
                        Anchor::End => at.0 - w,
                    };
                    let least = Coord {
                        x,
                        y: at.1 - 0.75 * size,
                    };
                    let greatest = Coord {
                        x: x + w,
                        y: at.1 + 0.2 * size,
                    };
                    Some((text.clone(), Rect { least, greatest }))
                }
                _ => None,
            })
            .collect();
        assert!(boxes.len() > 10);
        assert_apart(&boxes);
        for (name, b) in boxes {
            let on = b.least.x >= 0.0 && b.least.y >= 0.0;
            assert!(
                on && b.greatest.x <= page.width && b.greatest.y <= page.height,
                "{name} {b:?}"
            );
        }
    }
}

#[test]
fn every_finding_is_listed_and_every_layer_explained() {
    let (_, findings, s) = drawn(&hall());
    let mut listed: Vec<&str> = s.panel.list.iter().map(|e| e.id.as_str()).collect();
    listed.sort_unstable();
    let mut found: Vec<String> = findings.iter().map(|f| f.id.to_string()).collect();
    found.sort_unstable();
    assert_eq!(listed, found);
    for m in &s.plan {
        assert!(s.panel.legend.iter().any(|(l, _)| *l == m.layer), "{:?}", m.layer);
    }
    assert!(
        s.panel
            .legend
            .iter()
            .all(|(l, _)| s.plan.iter().any(|m| m.layer == *l))
    );
    let cautions = s.panel.cautions.join(" ");
    for said in [
        "inspector",
        "licensed electrician",
        "truss",
        "Power off",
        "structural design",
    ] {
        assert!(cautions.contains(said), "{said}");
    }
}

#[test]
fn an_off_line_arrow_points_to_the_line_and_says_the_true_distance() {
    let (plan, findings, s) = drawn(&hall());
    let f = findings
        .iter()
        .find(|f| f.kind.name() == "off-line")
        .expect("the light is off line");
    let of = f.id.to_string();
    let arrow = s.plan.iter().find_map(|m| match m.shape {
        MarkShape::Arrow { from, to, .. } if m.of.as_ref() == Some(&of) => Some((from, to)),
        _ => None,
    });
    let (from, to) = arrow.expect("an arrow");
    assert_eq!(from, plan.lights[4].at);
    // The light stands above its line, so the arrow goes down, and is long enough to see.
    assert!(
        (to.x - from.x).abs() < 1e-6 && to.y < from.y - 3.0,
        "{from:?} {to:?}"
    );
    let says = |m: &Mark| matches!(&m.shape, MarkShape::Text { text, .. } if text == "3/8\"");
    assert!(s.plan.iter().any(|m| says(m) && m.layer == Layer::Deviation));
}

#[test]
fn every_light_of_a_row_is_on_its_strip() {
    let (plan, _, s) = drawn(&hall());
    assert_eq!(s.panel.strips.len(), plan.rows.len());
    let strip = &s.panel.strips[0];
    assert_eq!(strip.points.len(), 13);
    let out: Vec<&str> = strip
        .points
        .iter()
        .filter(|p| p.3)
        .map(|p| p.0.as_str())
        .collect();
    assert_eq!(out, ["L5"]);
}

/// Numbers written in the attributes of an SVG.
fn numbers(svg: &str) -> Vec<f64> {
    let body = svg.split("</style>").nth(1).expect("a style sheet");
    body.split('<')
        .filter_map(|e| e.split('>').next())
        .filter(|e| e.starts_with("path") || e.starts_with("circle") || e.starts_with("text"))
        .flat_map(|e| e.split(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-')))
        .filter_map(|n| n.parse().ok())
        .collect()
}

#[test]
fn far_from_the_origin_the_sheet_is_the_same() {
    let (plan, findings, remedies) = judged(&hall());
    let near = svg(&sheet("x", &plan, &findings, &remedies, &rules()));
    let far_text: String = hall()
        .split('(')
        .enumerate()
        .map(|(i, part)| {
            if i == 0 {
                return part.to_string();
            }
            let (x, rest) = part.split_once(',').expect("a point");
            let (y, rest) = rest.split_once(')').expect("a point");
            let [x, y] = [x, y].map(|v| v.parse::<f64>().expect("a number") + 2_000_000.0);
            format!("({x},{y}){rest}")
        })
        .collect();
    let (.., s) = drawn(&far_text);
    let far = svg(&s);
    for svg in [&near, &far] {
        let numbers = numbers(svg);
        assert!(numbers.len() > 200);
        assert!(
            numbers.iter().all(|n| n.abs() < 5_000.0),
            "{:?}",
            numbers.iter().copied().fold(0.0, f64::max)
        );
    }
    assert_eq!(near.matches("<path").count(), far.matches("<path").count());
}

#[test]
fn the_same_plan_gives_the_same_bytes() {
    let (.., a) = drawn(&grid());
    let (.., b) = drawn(&grid());
    assert_eq!(svg(&a), svg(&b));
}

#[test]
fn a_name_that_is_written_with_points_or_on_two_lines_is_not_drawn_again() {
    let drawn = |name: &str, written: &[&str]| {
        let (mut plan, findings, remedies) = judged(&hall());
        plan.rooms[0].name = Some(name.into());
        let (low, high) = (plan.rooms[0].outline[0], plan.rooms[0].outline[2]);
        let at = (low + high) * 0.5;
        plan.linework = (written.iter())
            .map(|words| Linework::Text {
                at,
                height: 6.0,
                angle: 0.0,
                centred: true,
                text: words.to_string(),
            })
            .collect();
        let s = sheet("a.dxf", &plan, &findings, &remedies, &rules());
        let shown =
            |m: &bayline::sheet::Mark| matches!(&m.shape, MarkShape::Text { text, .. } if text == name);
        s.plan.iter().any(shown)
    };
    assert!(!drawn("M BATH", &["M. BATH"]));
    assert!(!drawn("WIC", &["W.I.C."]));
    assert!(!drawn("MASTER BATH", &["MASTER", "BATH"]));
    assert!(!drawn("DINING / KITCHEN", &["KITCHEN", "DINING"]));
    assert!(drawn("BATH", &["TUB"]));
    assert!(drawn("MASTER BATH", &["BATH"]));
}

#[test]
fn foreign_words_and_broken_numbers_make_sound_svg() {
    let (mut plan, findings, remedies) = judged(&hall());
    let text = |at, height, words: &str| Linework::Text {
        at,
        height,
        angle: 0.5,
        centred: false,
        text: words.into(),
    };
    let p = |x, y| Coord { x, y };
    plan.linework = vec![
        text(p(10.0, 10.0), 6.0, "<A & B> \u{1} \"Küche\""),
        text(p(f64::NAN, 10.0), 6.0, "lost"),
        text(p(10.0, 10.0), f64::INFINITY, "lost too"),
        Linework::Path {
            points: vec![p(0.0, 0.0), p(f64::INFINITY, 4.0), p(9.0, 9.0)],
            closed: true,
        },
    ];
    plan.lights[2].at = p(f64::NAN, f64::NAN);
    plan.rows[0].from = p(f64::NAN, 0.0);
    let out = svg(&sheet("a<b>&\u{0}.dxf", &plan, &findings, &remedies, &rules()));
    assert!(out.contains("&lt;A &amp; B&gt;") && out.contains("Küche"));
    assert!(!out.contains("NaN") && !out.contains("inf") && !out.contains("<A"));
    assert!(out.chars().all(|c| c == '\n' || !c.is_control()));
}

#[test]
fn a_plan_of_nothing_has_a_sheet() {
    let (.., s) = drawn("");
    let out = svg(&s);
    assert!(out.contains("viewBox") && out.contains("Nothing found"));
}
