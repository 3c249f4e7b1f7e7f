//! Batch summary as text: one line a plan, findings in a table, what to do next.

use std::fmt::Write;

use crate::check::Severity;
use crate::note::Level;
use crate::report::summary::{FindingLine, Judged, Summary};

/// What belongs on every sheet and every summary.
pub const CAUTIONS: [&str; 3] = [
    "Local code and the inspector govern; a licensed electrician answers for the work. Nothing here is a structural design.",
    "Never cut, notch or bore a truss, an I-joist or engineered lumber without its designer.",
    "Power off and tested before work.",
];

/// Findings shown at most; the rest is counted and stands in the reports.
const SHOWN: usize = 60;

/// How to lay the text out.
#[derive(Clone, Copy, Debug)]
pub struct Style {
    /// Characters a line, at least 60.
    pub width: usize,
    pub color: bool,
}

/// The summary of a batch; `out` is the folder to point to.
pub fn summary(summary: &Summary, out: &str, style: Style) -> String {
    let mut text = String::new();
    plans(&mut text, summary, style);
    findings(&mut text, summary, style);
    for remark in &summary.remarks {
        let _ = writeln!(text, "{remark}");
    }
    let _ = writeln!(text, "\n{}", totals(summary));
    next(&mut text, summary, out, style);
    text.push('\n');
    for line in wrap(&CAUTIONS.join(" "), style.width.max(60)) {
        let _ = writeln!(text, "{line}");
    }
    text
}

/// What went wrong, one line a matter: `plan: message`. Plans that fail for the same reason share
/// a line.
pub fn failures(summary: &Summary) -> Vec<String> {
    let mut matters: Vec<(String, Vec<&str>)> = Vec::new();
    let mut tell = |message: String, plan| match matters.iter_mut().find(|(m, _)| *m == message) {
        Some((_, plans)) => plans.push(plan),
        None => matters.push((message, vec![plan])),
    };
    for plan in &summary.plans {
        match &plan.result {
            Err(message) => tell(message.clone(), &plan.name),
            Ok(j) => {
                for note in j.notes.iter().filter(|n| n.level == Level::Loss) {
                    tell(note.to_string(), &plan.name);
                }
            }
        }
    }
    matters
        .into_iter()
        .map(|(message, plans)| match plans.as_slice() {
            [a, b, c, more @ ..] if !more.is_empty() => {
                format!("{a}, {b}, {c} and {} more: {message}", more.len())
            }
            plans => format!("{}: {message}", plans.join(", ")),
        })
        .collect()
}

/// One sentence of totals.
pub fn totals(summary: &Summary) -> String {
    let failed = summary.plans.iter().filter(|p| p.result.is_err()).count();
    let mut text = format!(
        "{}: {}, {}; {}",
        plural(summary.plans.len(), "plan"),
        plural(summary.total(|j| j.lights), "light"),
        plural(summary.total(|j| j.rows), "row"),
        severities(|s| summary.total(|j| j.count(s)))
    );
    if failed > 0 {
        let _ = write!(text, "; {} could not be audited", plural(failed, "plan"));
    }
    text.push('.');
    text
}

fn plans(text: &mut String, summary: &Summary, style: Style) {
    let name_width = summary
        .plans
        .iter()
        .map(|p| p.name.chars().count())
        .max()
        .unwrap_or(0)
        .min(40);
    for plan in &summary.plans {
        match &plan.result {
            Ok(j) => {
                let _ = write!(
                    text,
                    "{:name_width$}  {:>4} lights {:>3} rows {:>4} members  {}",
                    plan.name,
                    j.lights,
                    j.rows,
                    j.members,
                    paint(&severities(|s| j.count(s)), worst(j), style)
                );
                let doubts = j.notes.iter().filter(|n| n.level == Level::Warning).count();
                if doubts > 0 {
                    let _ = write!(text, ", {}", plural(doubts, "warning"));
                }
                if j.notes.iter().any(|n| n.level == Level::Loss) {
                    let _ = write!(
                        text,
                        ", {}",
                        paint("not wholly understood", Some(Severity::Must), style)
                    );
                }
                text.push('\n');
            }
            Err(_) => {
                let _ = writeln!(
                    text,
                    "{:name_width$}  {}",
                    plan.name,
                    paint("not audited", Some(Severity::Must), style)
                );
            }
        }
    }
}

fn findings(text: &mut String, summary: &Summary, style: Style) {
    let mut all: Vec<(&str, &FindingLine)> = summary
        .plans
        .iter()
        .filter_map(|p| p.result.as_ref().ok().map(|j| (p.name.as_str(), j)))
        .flat_map(|(name, j)| j.findings.iter().map(move |f| (name, f)))
        .collect();
    if all.is_empty() {
        return;
    }
    // Gravest first over all plans; what is as grave stays in the order of the plans.
    all.sort_by_key(|(_, f)| std::cmp::Reverse(f.severity));
    let left_out = all.len().saturating_sub(SHOWN);
    all.truncate(SHOWN);
    let head = ["plan", "id", "", "what", "lights", "where", "value", "what to do"];
    let rows: Vec<[String; 8]> = all
        .iter()
        .map(|(name, f)| {
            [
                (*name).to_string(),
                f.id.clone(),
                severity_name(f.severity).to_string(),
                f.kind.name().to_string(),
                shorten(&f.lights, 16),
                shorten(&f.place, 20),
                f.value.clone(),
                f.action.clone(),
            ]
        })
        .collect();
    let mut widths = head.map(|h| h.chars().count());
    for row in &rows {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = (*width).max(cell.chars().count());
        }
    }
    let before: usize = widths[..7].iter().map(|w| w + 2).sum();
    let last = style.width.saturating_sub(before);
    // Too narrow for the last column: what to do goes under each line.
    let beside = last >= 24;
    text.push('\n');
    table_line(
        text,
        &head.map(String::from),
        &widths,
        if beside { last } else { usize::MAX },
        true,
        None,
        style,
    );
    for (row, (_, f)) in rows.iter().zip(&all) {
        table_line(text, row, &widths, last, beside, Some(f.severity), style);
    }
    if left_out > 0 {
        let _ = writeln!(text, "… and {} more in the reports", plural(left_out, "finding"));
    }
}

fn table_line(
    text: &mut String,
    row: &[String; 8],
    widths: &[usize; 8],
    last: usize,
    beside: bool,
    severity: Option<Severity>,
    style: Style,
) {
    let mut line = String::new();
    for (i, (cell, width)) in row.iter().zip(widths).take(7).enumerate() {
        let padded = format!("{cell:width$}  ");
        line.push_str(&if i == 2 {
            paint(&padded, severity, style)
        } else {
            padded
        });
    }
    let indent = if beside {
        widths[..7].iter().map(|w| w + 2).sum()
    } else {
        4
    };
    let room = if beside { last } else { style.width.max(60) - 4 };
    let mut wrapped = wrap(&row[7], room).into_iter();
    if beside && let Some(first) = wrapped.next() {
        line.push_str(&first);
    }
    let _ = writeln!(text, "{}", line.trim_end());
    for more in wrapped {
        let _ = writeln!(text, "{:indent$}{more}", "");
    }
}

fn next(text: &mut String, summary: &Summary, out: &str, style: Style) {
    let mut steps = Vec::new();
    if summary.judged().next().is_some() {
        steps.push(format!(
            "Open {out}/summary.html, or each plan's .redline.svg and .redline.dxf there."
        ));
    }
    if summary.total(|j| j.count(Severity::Must)) > 0 {
        steps.push(
            "Settle every \"must\" before rough-in: move lights as shown, and cut the blocking listed."
                .to_string(),
        );
    }
    let lost = summary
        .judged()
        .any(|j| j.notes.iter().any(|n| n.level == Level::Loss));
    if lost || summary.plans.iter().any(|p| p.result.is_err()) {
        steps.push(
            "Mend what could not be read, then run again: those plans are not, or not wholly, judged."
                .to_string(),
        );
    }
    if summary
        .judged()
        .any(|j| j.notes.iter().any(|n| n.code == "no-framing"))
    {
        steps.push("Where no framing was found, nothing about bays and members was checked.".to_string());
    }
    for step in steps {
        for (i, line) in wrap(&step, style.width.max(60) - 2).into_iter().enumerate() {
            let _ = writeln!(text, "{}{line}", if i == 0 { "> " } else { "  " });
        }
    }
}

fn worst(j: &Judged) -> Option<Severity> {
    j.findings.iter().map(|f| f.severity).max()
}

fn severities(count: impl Fn(Severity) -> usize) -> String {
    let parts: Vec<String> = [Severity::Must, Severity::Should, Severity::Note]
        .into_iter()
        .map(|s| (count(s), severity_name(s)))
        .filter(|(n, _)| *n > 0)
        .map(|(n, name)| format!("{n} {name}"))
        .collect();
    if parts.is_empty() {
        "no findings".to_string()
    } else {
        parts.join(", ")
    }
}

fn severity_name(severity: Severity) -> &'static str {
    match severity {
        Severity::Must => "must",
        Severity::Should => "should",
        Severity::Note => "note",
    }
}

fn plural(n: usize, word: &str) -> String {
    format!("{n} {word}{}", if n == 1 { "" } else { "s" })
}

fn paint(text: &str, severity: Option<Severity>, style: Style) -> String {
    let code = match severity {
        Some(Severity::Must) => "31",
        Some(Severity::Should) => "33",
        Some(Severity::Note) | None => "",
    };
    if !style.color || code.is_empty() {
        return text.to_string();
    }
    format!("\u{1b}[{code}m{text}\u{1b}[0m")
}

fn shorten(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_string();
    }
    let mut short: String = text.chars().take(most.saturating_sub(1)).collect();
    short.push('…');
    short
}

/// Breaks at blanks into lines of at most `width` characters; a longer word stands alone.
fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for word in text.split_whitespace() {
        let length = word.chars().count();
        if used > 0 && used + 1 + length > width {
            lines.push(std::mem::take(&mut line));
            used = 0;
        }
        if used > 0 {
            line.push(' ');
            used += 1;
        }
        line.push_str(word);
        used += length;
    }
    if used > 0 {
        lines.push(line);
    }
    lines
}
