//! Batch summary as comma-separated values (RFC 4180), one line a plan.

use crate::check::Severity;
use crate::note::Level;
use crate::phase::Range;
use crate::remedy::cutlist::order_in_words;
use crate::report::summary::{PhaseLine, Summary};

/// From `rooms_framing_unknown` on: counts of lights at the best place of the framing, the mean and the worst, added up over the rooms whose framing is only written of; empty where there are none.
const HEAD: [&str; 28] = [
    "plan",
    "status",
    "units",
    "luminaires",
    "rows",
    "members",
    "rooms",
    "must",
    "should",
    "note",
    "warnings",
    "losses",
    "report",
    "redline_svg",
    "redline_dxf",
    "blocking_pieces",
    "lumber_order",
    "rooms_framing_unknown",
    "hits_best",
    "hits_expected",
    "hits_worst",
    "blocking_best",
    "blocking_expected",
    "blocking_worst",
    "trims_best",
    "trims_expected",
    "trims_worst",
    "error",
];

/// The summary, head line first.
pub fn summary(summary: &Summary) -> String {
    let mut out = HEAD.join(",");
    out.push_str("\r\n");
    for plan in &summary.plans {
        let status = plan.status.code().to_string();
        let cells: Vec<String> = match &plan.result {
            Ok(j) => {
                let notes = |level| j.notes.iter().filter(|n| n.level == level).count().to_string();
                let mut cells = vec![
                    text(&plan.name),
                    status,
                    text(&j.units),
                    j.lights.to_string(),
                    j.rows.to_string(),
                    j.members.to_string(),
                    j.rooms.to_string(),
                    j.count(Severity::Must).to_string(),
                    j.count(Severity::Should).to_string(),
                    j.count(Severity::Note).to_string(),
                    notes(Level::Warning),
                    notes(Level::Loss),
                    text(&j.outputs.report),
                    text(&j.outputs.svg),
                    text(&j.outputs.dxf),
                    j.blocking.to_string(),
                    text(&order_in_words(&j.order)),
                    j.phases.len().to_string(),
                ];
                let ranges: [fn(&PhaseLine) -> Range; 3] = [|p| p.hits, |p| p.blocking, |p| p.trims];
                for range in ranges.map(|of| j.ranged(of)) {
                    let expected = format!("{:.2}", range.expected);
                    let all = [range.least.to_string(), expected, range.most.to_string()];
                    cells.extend(all.map(|n| if j.phases.is_empty() { String::new() } else { n }));
                }
                cells.push(String::new());
                cells
            }
            Err(message) => {
                let mut cells = vec![text(&plan.name), status];
                cells.resize(HEAD.len() - 1, String::new());
                cells.push(text(message));
                cells
            }
        };
        out.push_str(&cells.join(","));
        out.push_str("\r\n");
    }
    out
}

/// A cell of text. One that a spreadsheet would take for a formula gets an apostrophe before it.
fn text(cell: &str) -> String {
    let guard = if cell.starts_with(['=', '+', '-', '@', '\t', '\r']) {
        "'"
    } else {
        ""
    };
    let cell = format!("{guard}{cell}");
    if cell.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell
    }
}
