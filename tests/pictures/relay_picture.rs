//! The picture in `docs/solver.md`: a row whose lights meet joists, where each could stand, and the row laid anew.
//!
//! `cargo run --example relay_picture -- docs/relay.svg`. What it shows is worked out by the checks and the remedies
//! themselves; the gate fails where the picture in `docs` is another one.

use bayline::check::{Severity, check};
use bayline::geom::finite;
use bayline::plan::notation::parse;
use bayline::plan::{LightId, Plan};
use bayline::recognise::relate;
use bayline::remedy::{Action, remedy};
use bayline::rules::Rules;
use geo::Coord;
use svg::node::element::{Circle, Group, Line, Rectangle, Style, Text};

/// Pixels an inch, and the page.
const SCALE: f64 = 3.2;
const WIDTH: f64 = 250.0;
const MARGIN: f64 = 24.0;
/// Joists 24 in on centre from here, lights 46 in apart.
const FIRST: f64 = 5.0;
const JOISTS: usize = 11;
const LIGHTS: [f64; 5] = [30.0, 76.0, 122.0, 168.0, 214.0];
const REACH: i32 = 24 * 16;

fn main() -> Result<(), String> {
    let path = std::env::args()
        .nth(1)
        .ok_or("where is the picture to be written?")?;
    let rules = Rules::default();
    let plan = plan(&rules);
    let mut findings = check(&plan, &rules);
    let remedies = remedy(&plan, &mut findings, &rules);
    let laid = remedies
        .iter()
        .find(|r| r.lights.len() > 1)
        .ok_or("no row was laid anew")?;
    let Action::Move { to, .. } = &laid.action else {
        return Err("the remedy is no move".into());
    };
    let mut after: Vec<Coord> = plan.lights.iter().map(|l| l.at).collect();
    for (light, to) in laid.lights.iter().zip(to) {
        after[light.0] = *to;
    }
    assert!(after.iter().all(|&p| finite(p)));
    let hit: Vec<LightId> = (findings.iter())
        .filter(|f| f.severity == Severity::Must)
        .flat_map(|f| f.lights.clone())
        .collect();
    let mut page = Group::new();
    for i in 0..JOISTS {
        let x = FIRST + 24.0 * i as f64;
        page = page.add(band("joist", x - 0.75, 34.0, 1.5 * SCALE, 262.0));
    }
    page = page.add(said(
        "head",
        MARGIN,
        22.0,
        "As drawn: 46 in apart, over joists 24 in on centre",
    ));
    for (i, l) in plan.lights.iter().enumerate() {
        let class = if hit.contains(&LightId(i)) {
            "must"
        } else {
            "light"
        };
        page = page.add(opening(class, l.at.x, 60.0));
        page = page.add(said("name", x(l.at.x) - 8.0, 88.0, &LightId(i).to_string()));
    }
    page = page.add(said(
        "head",
        MARGIN,
        112.0,
        "Where each could stand within 24 in, by itself",
    ));
    for (i, l) in plan.lights.iter().enumerate() {
        let y = 124.0 + 22.0 * i as f64;
        page = page.add(said("name", 2.0, y + 9.0, &LightId(i).to_string()));
        page = page.add(band("reach", l.at.x - 24.0, y, 48.0 * SCALE, 10.0));
        for (from, to) in open(&plan, i, &rules) {
            page = page.add(band("open", from, y, (to - from) * SCALE, 10.0));
        }
        page = page.add(mark("old", l.at.x, y)).add(mark("new", after[i].x, y));
    }
    let pitch = after[1].x - after[0].x;
    let head = format!(
        "Laid anew: {} apart, {} lights moved, by {} at most",
        bayline::length::feet_inches(pitch),
        laid.lights.len(),
        bayline::length::feet_inches(to_most(&plan, &after))
    );
    page = page.add(said("head", MARGIN, 252.0, &head));
    for p in &after {
        page = page.add(opening("light", p.x, 276.0));
    }
    let key = [
        ("open", "clear of framing"),
        ("reach", "in framing's way"),
        ("old", "where it stands"),
        ("new", "where it goes"),
    ];
    for (i, (class, words)) in key.into_iter().enumerate() {
        let at = i as f64 * 52.0;
        page = match class {
            "old" | "new" => page.add(mark(class, at + 4.0, 308.0)),
            _ => page.add(band(class, at, 308.0, 18.0, 10.0)),
        };
        page = page.add(said("name", x(at) + 24.0, 317.0, words));
    }
    let (wide, high) = (WIDTH * SCALE + 2.0 * MARGIN, 330.0);
    let style = ".joist{fill:#e8e4d8;stroke:#8c7f6a;stroke-width:.6}.light{fill:#fff3c4;stroke:#20242a}\
         .must{fill:#fff3c4;stroke:#a01010;stroke-width:3}.reach{fill:#d9dcdf}.open{fill:#5aa469}\
         .old{stroke:#20242a;stroke-width:1.5;stroke-dasharray:2 2}.new{stroke:#5b3a9e;stroke-width:3}\
         text{font-family:sans-serif;fill:#20242a}.head{font-size:13px;font-weight:bold;paint-order:stroke;stroke:#fff;stroke-width:6px;stroke-linejoin:round}.name{font-size:11px}";
    let document = svg::Document::new()
        .set("viewBox", (0, 0, wide.round() as i32, high as i32))
        .add(Style::new(style))
        .add(
            Rectangle::new()
                .set("width", "100%")
                .set("height", "100%")
                .set("fill", "#ffffff"),
        )
        .add(page);
    svg::save(&path, &document).map_err(|e| format!("{path}: {e}"))
}

fn plan(rules: &Rules) -> Plan {
    let mut text = format!("room (0,0) ({WIDTH},0) ({WIDTH},96) (0,96)\n");
    for i in 0..JOISTS {
        let x = FIRST + 24.0 * i as f64;
        text += &format!("member joist ({x},-10) ({x},106)\n");
    }
    for x in LIGHTS {
        text += &format!("light ({x},48)\n");
    }
    let mut plan = parse(&text).expect("the plan is sound");
    relate(&mut plan, rules);
    plan
}

/// Runs of places along the row, by sixteenths, at which the checks find nothing that must be put right at a light.
fn open(plan: &Plan, light: usize, rules: &Rules) -> Vec<(f64, f64)> {
    let mut runs: Vec<(f64, f64)> = Vec::new();
    for k in -REACH..=REACH {
        let mut there = plan.clone();
        there.lights = vec![plan.lights[light].clone()];
        there.lights[0].at.x += f64::from(k) / 16.0;
        let x = there.lights[0].at.x;
        relate(&mut there, rules);
        if check(&there, rules).iter().any(|f| f.severity == Severity::Must) {
            continue;
        }
        match runs.last_mut() {
            Some(run) if x - run.1 < 0.1 => run.1 = x,
            _ => runs.push((x, x)),
        }
    }
    runs
}

fn to_most(plan: &Plan, after: &[Coord]) -> f64 {
    let by = |i: usize| (after[i].x - plan.lights[i].at.x).hypot(after[i].y - plan.lights[i].at.y);
    (0..after.len()).map(by).fold(0.0, f64::max)
}

fn x(inches: f64) -> f64 {
    MARGIN + inches * SCALE
}

/// Hundredths are enough on paper.
fn short(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

fn band(class: &str, from: f64, y: f64, wide: f64, high: f64) -> Rectangle {
    let rect = Rectangle::new()
        .set("class", class)
        .set("x", short(x(from)))
        .set("y", y);
    rect.set("width", short(wide)).set("height", high)
}

fn opening(class: &str, at: f64, y: f64) -> Circle {
    let circle = Circle::new()
        .set("class", class)
        .set("cx", short(x(at)))
        .set("cy", y);
    circle.set("r", short(3.1875 * SCALE))
}

fn mark(class: &str, at: f64, y: f64) -> Line {
    let line = Line::new()
        .set("class", class)
        .set("x1", short(x(at)))
        .set("x2", short(x(at)));
    line.set("y1", y - 3.0).set("y2", y + 13.0)
}

fn said(class: &str, x: f64, y: f64, words: &str) -> Text {
    Text::new(words)
        .set("class", class)
        .set("x", short(x))
        .set("y", y)
}
