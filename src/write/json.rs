//! `report.json` (schema in `docs/report.schema.json`) and `summary.json`.
//!
//! Lengths are inches; points are in drawing units. One item a line, so that two reports compare
//! line by line. A number that is not finite is written as null.

use std::collections::BTreeMap;

use geo::{Coord, Vector2DOps};
use serde::{Serialize, Serializer};
use serde_json::{Map, Value, json};

use crate::check::{Finding, Severity};
use crate::plan::{LightId, Side};
use crate::recognise::register::{How, Registration};
use crate::recognise::{Named, Placed};
use crate::remedy::Action;
use crate::remedy::bars::Bars;
use crate::remedy::cutlist::{Cut, CutList};
use crate::remedy::facing::Way;
use crate::remedy::joint::Settled;
use crate::remedy::set_out::{Datum, SetOut};
use crate::report::Report;
use crate::write::legend::word;

mod part;
mod phases;
mod summary;

pub use part::part;
pub use summary::summary;

/// One plan's report, design §7; points in drawing units. Ends with a newline.
pub fn report(report: &Report) -> String {
    lines(&top(report))
}

fn top(report: &Report) -> Map<String, Value> {
    let plan = &report.plan;
    let scale = Scale(plan.units.inches_per_unit);
    let mut top = Map::new();
    top.insert("schema".into(), json!("bayline.report/1"));
    top.insert("plan".into(), json!(report.name));
    top.insert(
        "units".into(),
        json!({
            "name": plan.units.name,
            "inches_per_unit": plan.units.inches_per_unit,
            "why": plan.units.why,
        }),
    );
    top.insert("readings".into(), readings(report));
    top.insert("framing".into(), json!(report.framing.as_ref().map(framing)));
    top.insert("plans".into(), parts(report, scale));
    top.insert("luminaires".into(), luminaires(report, scale));
    top.insert(
        "members".into(),
        list(&plan.members, |i, m| {
            json!({
                "id": format!("M{}", i + 1),
                "from": scale.point(m.from),
                "to": scale.point(m.to),
                "thickness": inches(m.thickness),
                "kind": m.kind,
                "source": m.source,
                "plies": m.plies,
                "handle": m.handle,
            })
        }),
    );
    top.insert("callouts".into(), callouts(report, scale));
    top.insert(
        "rooms".into(),
        list(&plan.rooms, |i, r| {
            json!({
                "id": format!("R{}", i + 1),
                "name": r.name,
                "class": r.class,
                "outline": scale.points(&r.outline),
                "hall": r.hall,
                "insulated": r.insulated,
                "ceiling": r.ceiling.map(inches),
                "drawn": r.drawn,
            })
        }),
    );
    top.insert(
        "openings".into(),
        list(&plan.openings, |i, o| {
            json!({
                "id": format!("O{}", i + 1),
                "kind": o.kind,
                "from": scale.point(o.from),
                "to": scale.point(o.to),
                "width": inches(o.width()),
                "rooms": [o.left, o.right],
            })
        }),
    );
    top.insert(
        "rows".into(),
        list(&plan.rows, |i, w| {
            json!({
                "id": format!("W{}", i + 1),
                "room": w.room,
                "luminaires": w.lights,
                "from": scale.point(w.from),
                "to": scale.point(w.to),
                "pitch": inches(w.pitch),
                "straightness": inches(w.straightness),
                "offsets": all_inches(&w.offsets),
                "stations": all_inches(&w.stations),
                "along": all_inches(&w.along),
            })
        }),
    );
    top.insert(
        "obstacles".into(),
        list(
            &plan.obstacles,
            |_, o| json!({"name": o.name, "outline": scale.points(&o.outline)}),
        ),
    );
    top.insert("findings".into(), findings(&report.findings, scale));
    top.insert("remedies".into(), remedies(report, scale));
    top.insert("phases".into(), phases::phases(report, scale));
    top.insert(
        "applied".into(),
        report.applied.as_ref().map_or(Value::Null, |s| applied(s, scale)),
    );
    top.insert("cut_list".into(), cut_list(&report.cut_list));
    top.insert("notes".into(), list(&report.notes, |_, n| json!(n)));
    top.insert(
        "unclaimed".into(),
        list(
            &plan.unclaimed,
            |_, u| json!({"layer": u.layer, "entity": u.entity, "count": u.count}),
        ),
    );
    top.insert("counts".into(), json!(plan.counts));
    top
}

fn findings(findings: &[Finding], scale: Scale) -> Value {
    list(findings, |_, f| {
        json!({
            "id": f.id,
            "kind": f.kind,
            "severity": f.severity,
            "luminaires": f.lights,
            "members": f.members,
            "row": f.row,
            "room": f.room,
            "at": scale.point(f.at),
            "measured": inches(f.measured),
            "limit": inches(f.limit),
            "unit": "in",
            "message": f.message,
            "remedies": f.remedies,
        })
    })
}

/// What each layer and block was taken for.
fn readings(report: &Report) -> Value {
    list(&report.readings, |_, r| {
        json!({
            "named": if r.named == Named::Layer { "layer" } else { "block" },
            "name": r.name,
            "count": r.count,
            "read_as": word(r.class),
            "confidence": r.confidence.map(|c| (100.0 * c).round() / 100.0),
            "why": r.why,
            "seen": r.seen,
        })
    })
}

/// Framing that is only written of.
fn callouts(report: &Report, scale: Scale) -> Value {
    list(&report.plan.callouts, |_, c| {
        json!({
            "text": c.text,
            "at": c.at.map(|at| scale.point(at)),
            "handle": c.handle,
            "kind": c.kind,
            "thickness": inches(c.thickness),
            "depth": c.depth.map(inches),
            "spacing": inches(c.spacing),
            "direction": c.along.y.atan2(c.along.x).to_degrees(),
            "room": c.room,
        })
    })
}

fn luminaires(report: &Report, scale: Scale) -> Value {
    let ways: BTreeMap<LightId, Way> = report.facings.iter().map(|f| (f.light, f.way)).collect();
    let bars: BTreeMap<LightId, Value> = report.bars.iter().map(|b| (b.light, bars_of(b))).collect();
    list(&report.plan.lights, |i, l| {
        let side = |side: fn(&crate::plan::Bay) -> Side| l.bay.as_ref().map(|b| inches(side(b).room));
        json!({
            "id": LightId(i),
            "at": scale.point(l.at),
            "tag": l.tag,
            "block": l.block,
            "aperture": inches(report.luminaire(l).aperture),
            "scheduled": l.schedule.is_some(),
            "room": l.room,
            "handle": l.handle,
            "offset": l.offset,
            "rows": l.rows,
            "box": ways.get(&LightId(i)),
            "left": side(|b| b.left),
            "right": side(|b| b.right),
            "bars": bars.get(&LightId(i)),
            "stacked": scale.points(&l.stacked),
        })
    })
}

/// The plans of the drawing where it holds several, each with what was found in it.
fn parts(report: &Report, scale: Scale) -> Value {
    let counts = [Severity::Must, Severity::Should, Severity::Note].map(|s| report.part_counts(s));
    list(&report.parts, |i, p| {
        let [must, should, note] = counts.each_ref().map(|c| c.get(i));
        json!({
            "title": p.title.as_ref().map(|t| &t.1),
            "low": scale.point(p.low),
            "high": scale.point(p.high),
            "luminaires": p.lights,
            "must": must,
            "should": should,
            "note": note,
        })
    })
}

/// How the second drawing was placed; its points times scale, mirrored, turned and shifted are the
/// plan's, all in inches.
fn framing(placed: &Placed) -> Value {
    let mut value = placing(&placed.source, placed.members, &placed.registration);
    let each = placed.placings.iter().map(|p| {
        let mut value = placing(&p.source, p.members, &p.registration);
        value["plan"] = json!(p.plan);
        value
    });
    value["placings"] = each.collect();
    value
}

fn placing(source: &str, members: usize, r: &Registration) -> Value {
    let how = match r.how {
        How::ByOrigin => "origin",
        How::ByWalls => "walls",
    };
    let shift = [inches(r.matrix.shift.x), inches(r.matrix.shift.y)];
    json!({
        "source": source,
        "how": how,
        "mirrored": r.matrix.mirrored,
        "turn": inches(r.matrix.turn_degrees()),
        "scale": inches(r.matrix.scale()),
        "shift": shift,
        "residual": inches(r.rms),
        "worst": inches(r.worst),
        "matched": {
            "walls": r.walls,
            "length": inches(r.length),
            "of_plan": inches(r.of_plan),
            "of_second": inches(r.of_second),
        },
        "members": members,
    })
}

fn bars_of(b: &Bars) -> Value {
    json!({
        "clear": inches(b.clear),
        "set": inches(b.set),
        "cut": b.cut.map(inches),
        "extend": inches(b.extend),
        "blocked": b.blocked,
    })
}

fn cut_list(cut_list: &CutList) -> Value {
    let serves = |c: &Cut| {
        list(
            &c.serves,
            |_, s| json!({"remedy": s.remedy, "luminaires": s.lights, "findings": s.findings, "count": s.count}),
        )
    };
    json!({
        "cuts": list(&cut_list.cuts, |_, c| {
            json!({
                "length": inches(c.length),
                "thickness": inches(c.thickness),
                "count": c.count,
                "serves": serves(c),
            })
        }),
        "sticks": list(&cut_list.sticks, |_, s| {
            json!({
                "stock": inches(s.stock),
                "thickness": inches(s.thickness),
                "count": s.count,
                "cuts": all_inches(&s.cuts),
                "left": inches(s.left),
            })
        }),
        "order": order(&cut_list.order()),
        "total": inches(cut_list.stock()),
        "at_least": inches(cut_list.at_least),
        "too_long": all_inches(&cut_list.too_long),
    })
}

fn order(order: &[(f64, usize)]) -> Value {
    list(
        order,
        |_, (stock, count)| json!({"stock": inches(*stock), "count": count}),
    )
}

/// What the mended plan has moved and what not.
fn applied(settled: &Settled, scale: Scale) -> Value {
    json!({
        "moved": list(&settled.moved, |_, m| {
            let by = (m.to - m.from).magnitude();
            json!({"luminaire": m.light, "from": scale.point(m.from), "to": scale.point(m.to), "by": inches(by)})
        }),
        "left": list(&settled.left, |_, l| {
            json!({
                "luminaire": l.light,
                "finding": l.finding,
                "kind": l.kind,
                "severity": l.severity,
                "why": l.why,
            })
        }),
        "mended": settled.mended,
    })
}

fn remedies(report: &Report, scale: Scale) -> Value {
    list(&report.remedies, |_, r| {
        let mut line = Map::new();
        line.insert("id".into(), json!(r.id));
        line.insert("kind".into(), json!(r.action.name()));
        line.insert("mends".into(), json!(r.mends));
        line.insert("luminaires".into(), json!(r.lights));
        match &r.action {
            Action::Move { to, by } => {
                line.insert("to".into(), scale.points(to));
                line.insert("by".into(), json!(inches(*by)));
                line.insert("set_out".into(), set_out(&r.set_out, scale));
            }
            Action::Block { pieces } => {
                let pieces = list(pieces, |_, p| {
                    json!({
                        "from": scale.point(p.from),
                        "to": scale.point(p.to),
                        "thickness": inches(p.thickness),
                        "cut": inches(p.cut),
                        "between": p.between,
                        "serves": p.serves,
                    })
                });
                line.insert("pieces".into(), pieces);
            }
            Action::None { why } => {
                line.insert("why".into(), json!(why));
            }
        }
        line.insert("message".into(), json!(r.message));
        Value::Object(line)
    })
}

fn set_out(all: &[SetOut], scale: Scale) -> Value {
    list(all, |_, s| {
        let measures = list(&s.measures, |_, m| {
            let from = match m.from {
                Datum::Member(id) => json!(id),
                Datum::Wall => json!("wall"),
            };
            json!({"from": from, "distance": inches(m.distance), "at": scale.point(m.at)})
        });
        json!({"luminaire": s.light, "measures": measures})
    })
}

fn list<T>(items: &[T], line: impl Fn(usize, &T) -> Value) -> Value {
    Value::Array(items.iter().enumerate().map(|(i, item)| line(i, item)).collect())
}

/// Top-level keys on lines of their own; what a top-level list holds, one a line.
fn lines(top: &Map<String, Value>) -> String {
    let mut out = String::from("{\n");
    for (i, (key, value)) in top.iter().enumerate() {
        out.push_str(if i == 0 { "  " } else { ",\n  " });
        out.push_str(&Value::from(key.as_str()).to_string());
        out.push_str(": ");
        match value {
            Value::Array(items) if !items.is_empty() => {
                out.push_str("[\n    ");
                let items: Vec<String> = items.iter().map(Value::to_string).collect();
                out.push_str(&items.join(",\n    "));
                out.push_str("\n  ]");
            }
            other => out.push_str(&other.to_string()),
        }
    }
    out.push_str("\n}\n");
    out
}

/// A number as it is written: no negative zero, no digits below what an `f64` of its size tells
/// apart in practice, null where it is not finite.
#[derive(Clone, Copy)]
struct Number {
    value: f64,
    step: f64,
}

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        if !self.value.is_finite() {
            return s.serialize_none();
        }
        let steps = self.value * self.step;
        let rounded = if steps.abs() < 4e15 {
            steps.round() / self.step
        } else {
            self.value
        };
        s.serialize_f64(rounded + 0.0)
    }
}

/// Inches, to a millionth.
fn inches(value: f64) -> Number {
    Number { value, step: 1e6 }
}

fn all_inches(values: &[f64]) -> Vec<Number> {
    values.iter().copied().map(inches).collect()
}

/// Inches a drawing unit.
#[derive(Clone, Copy)]
struct Scale(f64);

impl Scale {
    /// A point in drawing units, to a hundred-millionth.
    fn point(self, c: Coord) -> Value {
        let number = |v: f64| Number {
            value: v / self.0,
            step: 1e8,
        };
        json!([number(c.x), number(c.y)])
    }

    fn points(self, points: &[Coord]) -> Value {
        Value::Array(points.iter().map(|&p| self.point(p)).collect())
    }
}
