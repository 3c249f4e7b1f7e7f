//! Framing of unknown phase in the report.

use serde_json::{Value, json};

use super::{Scale, inches, list};
use crate::phase::{Phases, Range, Relay, Run, question};
use crate::report::Report;

/// Rooms over all phases. Phases are inches from the line through `from` along the members, toward `toward`.
pub fn phases(report: &Report, scale: Scale) -> Value {
    list(&report.phases, |_, p| room(report, p, scale))
}

fn room(report: &Report, p: &Phases, scale: Scale) -> Value {
    let callout = report.plan.callouts.get(p.callout);
    let (along, across) = (p.field.along, p.field.across());
    json!({
        "room": p.room,
        "callout": {
            "text": callout.map_or("", |c| c.text.as_str()),
            "at": callout.and_then(|c| c.at).map(|at| scale.point(at)),
            "handle": callout.and_then(|c| c.handle.as_ref()),
            "kind": callout.map(|c| c.kind),
            "thickness": inches(p.field.thickness),
            "spacing": inches(p.field.spacing),
        },
        "from": scale.point(p.field.origin),
        "along": [inches(along.x), inches(along.y)],
        "toward": [inches(across.x), inches(across.y)],
        "works": inches(p.works),
        "clean": inches(p.clean),
        "best": run(&p.best),
        "worst": run(&p.worst),
        "hits": range(p.hits),
        "clashes": range(p.clashes),
        "hard_against": range(p.hard_against),
        "blocking": range(p.blocking),
        "trims": range(p.trims),
        "at_most": p.at_most.map(inches),
        "relay": p.relay.as_ref().map(|r| relay(r, scale)),
        "luminaires": list(&p.lights, |_, l| {
            let kinds = list(&l.kinds, |_, (kind, spans)| {
                let spans = list(spans, |_, s| {
                    json!({"from": inches(s.from), "to": inches(s.to), "closed": [s.from_in, s.to_in]})
                });
                json!({"kind": kind, "phases": spans})
            });
            json!({"id": l.light, "kinds": kinds})
        }),
        "question": p.asks().then(|| question(&report.plan, p)),
    })
}

fn relay(relay: &Relay, scale: Scale) -> Value {
    let lights: Vec<_> = relay.moves.iter().map(|m| m.0).collect();
    let to: Vec<_> = relay.moves.iter().map(|m| m.1).collect();
    json!({
        "luminaires": lights,
        "to": scale.points(&to),
        "by": inches(relay.most),
        "works": inches(relay.works),
        "clean": inches(relay.clean),
        "proved": relay.proved,
    })
}

fn run(run: &Run) -> Value {
    json!({"phase": inches(run.phase), "width": inches(run.width), "must": run.must, "any": run.any})
}

pub fn range(r: Range) -> Value {
    json!({"least": r.least, "most": r.most, "expected": inches(r.expected)})
}
