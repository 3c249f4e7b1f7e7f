//! Reads a sample through every stage and compares it with its truth, style by style.

use bayline::{drawing, flatten, plan::Plan, recognise, rules};
use geo::{Coord, Vector2DOps};

use super::draw::{FRAMING, HEADERS, LIGHTS, Sample, Told, told};
use super::framing::{UNREACHED, WRITTEN};
use super::houses::HOUSES;
use super::shell::Arc;

/// Things drawn, things read, and those that are both.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Score {
    pub true_: usize,
    pub read: usize,
    pub both: usize,
}

impl Score {
    fn add(&mut self, o: Score) {
        self.true_ += o.true_;
        self.read += o.read;
        self.both += o.both;
    }

    pub fn perfect(&self) -> bool {
        self.true_ == self.both && self.read == self.both
    }

    fn cells(&self) -> String {
        let part = |n: usize| if n == 0 { 1.0 } else { self.both as f64 / n as f64 };
        format!("{:.3} / {:.3}", part(self.true_), part(self.read))
    }
}

#[derive(Clone, Debug, Default)]
pub struct Outcome {
    /// What was asked, where the plan was not read.
    pub asked: Option<String>,
    /// What was taken or asked about by evidence, and what was offered.
    pub said: Vec<String>,
    /// Framing in a block that no layout shows was offered by its name and not taken.
    pub offered: bool,
    pub lights: Score,
    pub members: Score,
    pub written: Score,
    pub rooms: Score,
    pub openings: Score,
    pub devices: Score,
    pub rows: bool,
    pub units: bool,
}

impl Outcome {
    /// Framing was asked about and not taken, all else read right.
    pub fn asks_framing(&self) -> bool {
        let asks = self.said.iter().any(|m| m.starts_with("layer 2 may be framing"));
        let ceiling = self.lights.perfect() && self.devices.perfect();
        let house = self.rooms.perfect() && self.openings.perfect();
        let rest = ceiling && house && self.rows && self.units;
        asks && rest && self.written.perfect() && self.members.read == 0
    }

    /// What is not read as drawn, with how many things are true, read, and both.
    pub fn wrong(&self) -> Vec<String> {
        let scores = [
            ("lights", self.lights),
            ("members", self.members),
            ("written", self.written),
            ("rooms", self.rooms),
            ("openings", self.openings),
            ("devices", self.devices),
        ];
        let not = scores.into_iter().filter(|(_, s)| !s.perfect());
        let mut all: Vec<String> = not
            .map(|(what, s)| format!("{what} {}/{}/{}", s.true_, s.read, s.both))
            .collect();
        let rest = [("rows", self.rows), ("units", self.units)];
        all.extend(rest.iter().filter(|r| !r.1).map(|r| r.0.to_string()));
        all
    }

    pub fn perfect(&self) -> bool {
        let framing = match self.offered {
            true => self.members.read == 0,
            false => self.members.perfect() && self.written.perfect(),
        };
        let ceiling = self.lights.perfect() && self.devices.perfect();
        let house = self.rooms.perfect() && self.openings.perfect();
        ceiling && framing && house && self.rows && self.units
    }
}

/// Nearer than this, inches, is the same.
const SAME: f64 = 1e-3;

fn near(a: Coord, b: Coord) -> bool {
    (a.x - b.x).hypot(a.y - b.y) <= SAME
}

/// Whether every corner is one of the outline, and all that it has besides lies on the rounded walls. Those are read as chords
/// that stray by 1/20 in, and a corner between two of them may lie between two of theirs.
fn outlined(t: &[(Coord, f64)], outline: &[Coord]) -> bool {
    let arcs: Vec<Arc> = (0..t.len())
        .filter_map(|i| Arc::of(t[i].0, t[(i + 1) % t.len()].0, t[i].1))
        .collect();
    let corners = t.iter().all(|&(p, _)| outline.iter().any(|&q| near(p, q)));
    let on = |q: &Coord| {
        arcs.iter()
            .any(|a| ((*q - a.center).magnitude() - a.radius).abs() <= SAME)
    };
    let rest = (outline.iter()).filter(|&&q| !t.iter().any(|&(p, _)| near(p, q)));
    let (count, round) = rest.fold((0, true), |(n, all), q| (n + 1, all && on(q)));
    // A wall that bulges by as much as these do has chords in plenty.
    corners && round && (if arcs.is_empty() { count == 0 } else { count >= 4 })
}

/// Pairs each true thing with one read that is the same.
fn score<T, R>(truth: &[T], read: &[R], same: impl Fn(&T, &R) -> bool) -> Score {
    let mut free = vec![true; read.len()];
    let mut both = 0;
    for t in truth {
        if let Some(i) = (0..read.len()).find(|&i| free[i] && same(t, &read[i])) {
            free[i] = false;
            both += 1;
        }
    }
    let (true_, read) = (truth.len(), read.len());
    Score { true_, read, both }
}

pub fn read(s: &Sample) -> Result<(Plan, Vec<String>), String> {
    let rules = rules::parse(&s.rules, None)?;
    let (drawing, _) = drawing::read(&s.bytes).map_err(|e| e.to_string())?;
    let (units, _) = recognise::units::decide(&drawing, &rules)?;
    let (flat, _) = flatten::flatten(&drawing, &units);
    let second = recognise::blocks::from_block(&drawing, &units, &rules).transpose()?;
    let (plan, mut notes, _) = recognise::recognise_with(&flat, &units, &rules, second.as_ref());
    if second.is_none() {
        recognise::blocks::offers(&drawing, &units, &flat, &rules, &plan, &mut notes);
    }
    let said = notes
        .iter()
        .filter(|n| n.code.contains("evidence") || n.code == "block-offered");
    Ok((plan, said.map(|n| n.message.clone()).collect()))
}

pub fn judge(s: &Sample) -> Outcome {
    let read = read(s);
    let Ok((plan, said)) = read else {
        let lost = |true_| Score {
            true_,
            ..Score::default()
        };
        return Outcome {
            asked: read.err(),
            lights: lost(s.lights.len()),
            members: lost(s.members.len()),
            written: lost(s.written.len()),
            rooms: lost(s.rooms.len()),
            openings: lost(s.openings.len()),
            devices: lost(s.devices.len()),
            ..Outcome::default()
        };
    };
    let offer = format!("give from_block = {:?}", s.upper);
    let rows = (plan.rows.iter()).map(|w| (w.lights.iter()).map(|l| plan.light(*l).at).collect());
    let rows: Vec<Vec<Coord>> = rows.collect();
    Outcome {
        asked: None,
        offered: s.framing_style == UNREACHED && said.iter().any(|m| m.contains(&offer)),
        said,
        lights: score(&s.lights, &plan.lights, |t, r| {
            near(*t, r.at) && (!s.tagged || r.tag.as_deref() == Some("A"))
        }),
        members: score(&s.members, &plan.members, |t, r| {
            let ends = near(t.0, r.from) && near(t.1, r.to) || near(t.0, r.to) && near(t.1, r.from);
            ends && (t.2 - r.thickness).abs() <= SAME
        }),
        written: score(&s.written, &plan.callouts, |(along, spacing, room), r| {
            let turned = along.x * r.along.y - along.y * r.along.x;
            let in_room = r.room.and_then(|id| plan.room(id).name.as_deref()) == Some(room);
            let parallel = turned.abs() <= SAME * along.x.hypot(along.y);
            in_room && parallel && (r.spacing - spacing).abs() <= SAME
        }),
        rooms: score(&s.rooms, &plan.rooms, |(name, t), r| {
            outlined(t, &r.outline) && r.name.as_deref() == Some(name)
        }),
        openings: score(&s.openings, &plan.openings, |t, r| {
            let (a, b) = t.ends;
            let ends = near(a, r.from) && near(b, r.to) || near(a, r.to) && near(b, r.from);
            let sides = [r.left, r.right].into_iter().flatten();
            let mut names: Vec<&str> = sides.filter_map(|id| plan.room(id).name.as_deref()).collect();
            let mut truly: Vec<&str> = t.rooms.iter().map(String::as_str).collect();
            names.sort();
            truly.sort();
            ends && t.kind == r.kind && names == truly && (r.width() - (b - a).magnitude()).abs() <= SAME
        }),
        devices: score(&s.devices, &plan.obstacles, |t, r| {
            let count = r.outline.len().max(1) as f64;
            let sum = r.outline.iter().fold(Coord { x: 0.0, y: 0.0 }, |a, &p| a + p);
            let reach = r.outline.iter().map(|p| (p.x - t.at.x).hypot(p.y - t.at.y));
            r.name.starts_with(t.called)
                && near(t.at, sum / count)
                && (reach.fold(0.0, f64::max) - t.reach).abs() <= SAME
        }),
        rows: score(&s.rows, &rows, |t, r| {
            let of = |i: &usize| r.iter().any(|&p| near(p, s.lights[*i]));
            t.len() == r.len() && t.iter().all(of)
        })
        .perfect(),
        units: plan.units.name == s.unit,
    }
}

/// A plan drawn and read in each of the three ways.
pub type Run = [(Sample, Outcome); 3];

pub const WAYS: [Told; 3] = [Told::Given, Told::Words, Told::Nothing];

pub fn run(seed: u64) -> Run {
    WAYS.map(|by| {
        let s = told(seed, by);
        let o = judge(&s);
        (s, o)
    })
}

/// The table as Markdown, without the readings whose unit was asked about: nothing of them is read. How many those
/// are follows it.
pub fn table(runs: &[Run]) -> String {
    let mut lines = vec![
        "| style | plans | names given | schedule only | names say nothing |".to_string(),
        "|---|---|---|---|---|".to_string(),
    ];
    let mut row = |name: String, of: &dyn Fn(&Sample) -> bool, what: &dyn Fn(&Outcome) -> Score| {
        let mut sums = [Score::default(); 3];
        let mut plans = 0;
        for run in runs.iter().filter(|run| of(&run[0].0)) {
            plans += 1;
            for (sum, (_, o)) in sums.iter_mut().zip(run) {
                if o.asked.is_none() {
                    sum.add(what(o));
                }
            }
        }
        lines.push(format!(
            "| {name} | {plans} | {} | {} | {} |",
            sums[0].cells(),
            sums[1].cells(),
            sums[2].cells()
        ));
    };
    let yes = |b: bool| Score {
        true_: 1,
        read: 1,
        both: usize::from(b),
    };
    for (i, name) in LIGHTS.iter().enumerate() {
        row(format!("lights: {name}"), &|s| s.lights_style == i, &|o| o.lights);
    }
    for (i, name) in FRAMING.iter().enumerate() {
        row(
            format!("framing: {name}"),
            &|s| s.framing_style == i,
            &|o| match i {
                WRITTEN => o.written,
                _ if o.offered => yes(o.perfect()),
                _ => o.members,
            },
        );
    }
    row("devices".into(), &|_| true, &|o| o.devices);
    for (i, name) in HOUSES.iter().enumerate() {
        row(format!("rooms: {name}"), &|s| s.house == i, &|o| o.rooms);
    }
    row("openings".into(), &|s| !s.openings.is_empty(), &|o| o.openings);
    row("rows (whole plan right)".into(), &|_| true, &|o| yes(o.rows));
    for (i, name) in HEADERS.iter().enumerate() {
        row(format!("units: header {name}"), &|s| s.header == i, &|o| {
            yes(o.units)
        });
    }
    let asked = |way: usize, style: Option<usize>| {
        let of = |(s, _): &&(Sample, Outcome)| style.is_none_or(|i| s.framing_style == i);
        let readings = runs.iter().map(|run| &run[way]).filter(of);
        readings.filter(|(_, o)| o.asked.is_some()).count()
    };
    lines.push(format!(
        "\nAsked about their unit: {} of {} with names given, {} with a schedule only, {} whose names say nothing; of \
         the last {} were asked about their framing.",
        asked(0, None),
        runs.len(),
        asked(1, None),
        asked(2, None),
        runs.iter().filter(|run| run[2].1.asks_framing()).count()
    ));
    for (i, name) in FRAMING.iter().enumerate() {
        let [a, b, c] = [0, 1, 2].map(|way| asked(way, Some(i)));
        if a + b + c > 0 {
            lines.push(format!("- {name}: the unit of {a}, {b} and {c}"));
        }
    }
    lines.join("\n") + "\n"
}
