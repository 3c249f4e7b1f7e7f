//! Batch summary as one self-contained page.

use std::fmt::Write;

use crate::check::Severity;
use crate::length::feet_inches;
use crate::phase::{percent, range};
use crate::report::summary::{Judged, Outputs, Summary};
use crate::write::text::CAUTIONS;

const STYLE: &str = "body{font:15px/1.4 sans-serif;margin:2em;color:#222}table{border-collapse:collapse}\
th,td{padding:.25em .7em;border-bottom:1px solid #ccc;text-align:left;vertical-align:top}\
td.n,th.n{text-align:right}tr.failed td{background:#f6f0e4}.small{color:#555;font-size:13px}";

/// The summary as a page that links to the outputs beside it.
pub fn summary(summary: &Summary) -> String {
    let mut out = String::new();
    // Writing to a String cannot fail.
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>Ceiling plans audited</title>\n\
         <style>{STYLE}</style>\n</head>\n<body>\n<h1>Ceiling plans audited</h1>\n<p>{}</p>\n<table>\n<tr><th>Plan</th>",
        escape(&super::text::totals(summary))
    );
    for head in ["Lights", "Rows", "Members", "Must", "Should", "Note"] {
        let _ = write!(out, "<th class=\"n\">{head}</th>");
    }
    out.push_str("<th>Sheets</th><th>Remarks</th></tr>\n");
    for plan in &summary.plans {
        match &plan.result {
            Ok(j) => row(&mut out, &plan.name, j),
            Err(message) => {
                let _ = writeln!(
                    out,
                    "<tr class=\"failed\"><td>{}</td><td colspan=\"8\">{}</td></tr>",
                    escape(&plan.name),
                    escape(message)
                );
            }
        }
    }
    out.push_str("</table>\n");
    phases(&mut out, summary);
    for remark in &summary.remarks {
        let _ = writeln!(out, "<p class=\"small\">{}</p>", escape(remark));
    }
    for caution in CAUTIONS {
        let _ = writeln!(out, "<p class=\"small\">{}</p>", escape(caution));
    }
    out.push_str("</body>\n</html>\n");
    out
}

fn row(out: &mut String, name: &str, j: &Judged) {
    let counts = [Severity::Must, Severity::Should, Severity::Note].map(|s| j.count(s));
    let notes: Vec<String> = j.notes.iter().map(|n| escape(&n.to_string())).collect();
    let name = escape(name);
    line(
        out,
        &name,
        [j.lights, j.rows, j.members],
        counts,
        &j.outputs,
        &notes.join("<br>"),
    );
    for part in &j.parts {
        let title = format!("– {}", escape(&part.title));
        let numbers = [part.lights, part.rows, part.members];
        line(out, &title, numbers, part.counts, &part.outputs, "");
    }
}

/// Rooms whose framing is only written of: what to bid on, and what to ask.
fn phases(out: &mut String, summary: &Summary) {
    let judged = summary
        .plans
        .iter()
        .filter_map(|p| Some((&p.name, p.result.as_ref().ok()?)));
    let rooms: Vec<_> = judged
        .flat_map(|(name, j)| j.phases.iter().map(move |p| (name, p)))
        .collect();
    if rooms.is_empty() {
        return;
    }
    out.push_str(
        "<h2>Framing whose place is not known</h2>\n<p class=\"small\">Spacing and direction are written on the drawing, the place is \
         not. Lights that hit a member, want blocking, or whose bars are to be cut: fewest to most over all places the framing may \
         stand at, and the mean where they differ.</p>\n<table>\n<tr><th>Plan</th><th>Room</th><th class=\"n\">On centre</th>\
         <th class=\"n\">Works at</th><th>Hits</th><th>Blocking</th><th>Bars to cut</th><th>To ask the architect</th></tr>\n",
    );
    for (name, p) in rooms {
        let _ = writeln!(
            out,
            "<tr><td>{}</td><td>{}</td><td class=\"n\">{}</td><td class=\"n\">{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td></tr>",
            escape(name),
            escape(&p.room),
            escape(&feet_inches(p.spacing)),
            percent(p.works),
            range(p.hits),
            range(p.blocking),
            range(p.trims),
            p.question.as_deref().map(escape).unwrap_or_default(),
        );
    }
    out.push_str("</table>\n");
}

/// A line of the table; `name` and `notes` are escaped.
fn line(
    out: &mut String,
    name: &str,
    numbers: [usize; 3],
    counts: [usize; 3],
    outputs: &Outputs,
    notes: &str,
) {
    let _ = write!(out, "<tr><td>{name}</td>");
    for n in numbers.into_iter().chain(counts) {
        let _ = write!(out, "<td class=\"n\">{n}</td>");
    }
    let _ = writeln!(
        out,
        "<td><a href=\"{}\">redline</a> <a href=\"{}\">DXF</a> <a href=\"{}\">report</a></td><td>{notes}</td></tr>",
        link(&outputs.svg),
        link(&outputs.dxf),
        link(&outputs.report),
    );
}

fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

/// A relative path as a link: everything but plain characters percent-encoded. The leading `./`
/// keeps a name with a colon from passing for a scheme.
fn link(path: &str) -> String {
    let mut out = String::from("./");
    for b in path.bytes() {
        if b.is_ascii_alphanumeric() || b"-._~/".contains(&b) {
            out.push(char::from(b));
        } else {
            let _ = write!(out, "%{b:02X}");
        }
    }
    out
}
