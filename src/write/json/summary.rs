//! `summary.json`: a line a plan.

use serde_json::{Map, Value, json};

use super::phases::range;
use super::{inches, lines, list, order};
use crate::check::Severity;
use crate::report::summary::{Judged, PartLine, PhaseLine, PlanLine, Summary};

/// The summary of a batch. Ends with a newline.
pub fn summary(summary: &Summary) -> String {
    let mut top = Map::new();
    top.insert("schema".into(), json!("bayline.summary/1"));
    top.insert("status".into(), json!(summary.status().code()));
    let count = |severity| summary.total(|j| j.count(severity));
    top.insert(
        "totals".into(),
        json!({
            "plans": summary.plans.len(),
            "failed": summary.plans.iter().filter(|p| p.result.is_err()).count(),
            "luminaires": summary.total(|j| j.lights),
            "rows": summary.total(|j| j.rows),
            "members": summary.total(|j| j.members),
            "must": count(Severity::Must),
            "should": count(Severity::Should),
            "note": count(Severity::Note),
            "blocking": {"pieces": summary.total(|j| j.blocking), "order": order(&summary.order())},
        }),
    );
    top.insert("plans".into(), list(&summary.plans, |_, p| plan_line(p)));
    top.insert("remarks".into(), json!(summary.remarks));
    lines(&top)
}

fn plan_line(p: &PlanLine) -> Value {
    let mut line = Map::new();
    line.insert("plan".into(), json!(p.name));
    line.insert("status".into(), json!(p.status.code()));
    match &p.result {
        Err(message) => {
            line.insert("error".into(), json!(message));
        }
        Ok(j) => judged(j, &mut line),
    }
    Value::Object(line)
}

fn judged(j: &Judged, line: &mut Map<String, Value>) {
    let kinds: Map<String, Value> = j
        .kinds()
        .into_iter()
        .map(|(k, n)| (k.name().to_string(), json!(n)))
        .collect();
    for (key, value) in [
        ("units", json!(j.units)),
        ("luminaires", json!(j.lights)),
        ("rows", json!(j.rows)),
        ("members", json!(j.members)),
        ("rooms", json!(j.rooms)),
        ("must", json!(j.count(Severity::Must))),
        ("should", json!(j.count(Severity::Should))),
        ("note", json!(j.count(Severity::Note))),
        ("kinds", Value::Object(kinds)),
        (
            "blocking",
            json!({"pieces": j.blocking, "order": order(&j.order)}),
        ),
        ("phases", list(&j.phases, |_, p| phase_line(p))),
        ("notes", json!(j.notes)),
        ("report", json!(j.outputs.report)),
        ("redline_svg", json!(j.outputs.svg)),
        ("redline_dxf", json!(j.outputs.dxf)),
        ("plans", list(&j.parts, |_, p| part_line(p))),
    ] {
        line.insert(key.to_string(), value);
    }
}

/// A room whose framing is only written of: counts of lights at the best, the worst and the mean place of it.
fn phase_line(p: &PhaseLine) -> Value {
    json!({
        "room": p.room,
        "spacing": inches(p.spacing),
        "works": inches(p.works),
        "hits": range(p.hits),
        "blocking": range(p.blocking),
        "trims": range(p.trims),
        "question": p.question,
    })
}

/// One of the plans of a drawing that holds several.
fn part_line(p: &PartLine) -> Value {
    let [must, should, note] = p.counts;
    json!({
        "title": p.title,
        "luminaires": p.lights,
        "rows": p.rows,
        "members": p.members,
        "must": must,
        "should": should,
        "note": note,
        "report": p.outputs.report,
        "redline_svg": p.outputs.svg,
        "redline_dxf": p.outputs.dxf,
    })
}
