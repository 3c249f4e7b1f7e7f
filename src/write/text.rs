//! Batch summary as text: one line a plan, findings in a table, what to do next.

use std::fmt::Write;

use crate::check::Severity;
use crate::note::Level;
use crate::remedy::cutlist::order_in_words;
use crate::report::summary::{FindingLine, Judged, LEFT_OUT, Summary};

use super::table::{Row, shorten, table, wrap};

/// What belongs on every sheet and every summary.
pub const CAUTIONS: [&str; 3] = [
    "Local code and the inspector govern; a licensed electrician answers for the work. Nothing here is a structural design.",
    "Never cut, notch or bore a truss, an I-joist or engineered lumber without its designer.",
    "Power off and tested before work.",
];

/// Findings shown at most; the rest is counted and stands in the reports.
const SHOWN: usize = 60;

/// Warnings of one plan shown at most; the rest is counted.
const WARNINGS: usize = 6;

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

/// What went wrong, one line a plan: `plan: message`. Plans that fail for the same reason share a
/// line.
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
                let mut losses = j.notes.iter().filter(|n| n.level == Level::Loss);
                if let Some(first) = losses.next() {
                    // What follows is mostly a consequence of the first, and stands in the report.
                    tell(
                        match losses.count() {
                            0 => first.to_string(),
                            more => format!("{first} ({more} more in its report)"),
                        },
                        &plan.name,
                    );
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
    let pieces = summary.total(|j| j.blocking);
    if pieces > 0 {
        let _ = write!(text, " Blocking: {}", plural(pieces, "piece"));
        let order = order_in_words(&summary.order());
        if !order.is_empty() {
            let _ = write!(text, ", order {order}");
        }
        text.push('.');
    }
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
                    "{:name_width$}  {:>4} {:6} {:>3} {:4} {:>4} {:7}  {}",
                    plan.name,
                    j.lights,
                    word(j.lights, "light"),
                    j.rows,
                    word(j.rows, "row"),
                    j.members,
                    word(j.members, "member"),
                    paint(&severities(|s| j.count(s)), worst(j), style)
                );
                let doubts = j.notes.iter().filter(|n| n.level == Level::Warning).count();
                if doubts > 0 {
                    let _ = write!(text, ", {}", plural(doubts, "warning"));
                }
                if j.notes.iter().any(|n| n.level == Level::Loss) {
                    let what = if j.lights == 0 {
                        "not judged"
                    } else {
                        "not wholly understood"
                    };
                    let _ = write!(text, ", {}", paint(what, Some(Severity::Must), style));
                }
                text.push('\n');
                for note in j.notes.iter().filter(|n| LEFT_OUT.contains(&n.code)) {
                    for line in wrap(&note.message, style.width.max(60) - 2) {
                        let _ = writeln!(text, "  {line}");
                    }
                }
                warnings(text, j, style);
                for part in &j.parts {
                    let [must, should, note] = part.counts;
                    let counts = severities(|s| match s {
                        Severity::Must => must,
                        Severity::Should => should,
                        Severity::Note => note,
                    });
                    let lights = plural(part.lights, "light");
                    let _ = writeln!(text, "  {}: {lights}, {counts}", part.title);
                }
                for line in j
                    .phases
                    .iter()
                    .flat_map(|p| wrap(&p.said, style.width.max(60) - 2))
                {
                    let _ = writeln!(text, "  {line}");
                }
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

/// One line for each thing that wants a look before the figures are believed.
fn warnings(text: &mut String, j: &Judged, style: Style) {
    let all: Vec<&str> = (j.notes.iter())
        .filter(|n| n.level == Level::Warning && !LEFT_OUT.contains(&n.code))
        .map(|n| n.message.as_str())
        .collect();
    let width = style.width.max(60) - 4;
    for message in all.iter().take(WARNINGS) {
        let line = message.split_whitespace().collect::<Vec<_>>().join(" ");
        let _ = writeln!(text, "  ! {}", shorten(&line, width));
    }
    if all.len() > WARNINGS {
        let _ = writeln!(text, "  ! and {} more in its report", all.len() - WARNINGS);
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
    let mut all = alike(all);
    let left_out: usize = all.iter().skip(SHOWN).map(|(_, fs)| fs.len()).sum();
    all.truncate(SHOWN);
    let many = summary.plans.len() > 1;
    let rows: Vec<Row> = all
        .iter()
        .filter_map(|(name, fs)| {
            let (first, last) = (fs.first()?, fs.last()?);
            let lights: Vec<&str> = fs.iter().map(|f| f.lights.as_str()).collect();
            Some(Row {
                cells: vec![
                    if many { shorten(name, 32) } else { String::new() },
                    if fs.len() > 1 {
                        format!("{}–{}", first.id, last.id)
                    } else {
                        first.id.clone()
                    },
                    severity_name(first.severity).to_string(),
                    first.kind.name().to_string(),
                    shorten(&lights.join(" "), 20),
                    shorten(&first.place, 20),
                    first.value.clone(),
                    first.action.clone(),
                ],
                paint: color(Some(first.severity), style),
            })
        })
        .collect();
    let head = [
        "plan",
        "id",
        "",
        "what",
        "lights",
        "where",
        "found / limit",
        "what to do",
    ];
    text.push('\n');
    text.push_str(&table(&head, &rows, 2, style.width.max(60)));
    if left_out > 0 {
        let _ = writeln!(text, "… and {} more in the reports", plural(left_out, "finding"));
    }
}

/// Puts findings together that follow each other in number and say the same of one light after another.
fn alike<'a>(all: Vec<(&'a str, &'a FindingLine)>) -> Vec<(&'a str, Vec<&'a FindingLine>)> {
    let mut groups: Vec<(&str, Vec<&FindingLine>)> = Vec::new();
    for (plan, f) in all {
        let same = |g: &FindingLine| {
            (g.severity, g.kind, &g.place, &g.value, &g.action)
                == (f.severity, f.kind, &f.place, &f.value, &f.action)
        };
        match groups.last_mut() {
            Some((name, group)) if *name == plan && group.last().is_some_and(|g| same(g)) => group.push(f),
            _ => groups.push((plan, vec![f])),
        }
    }
    groups
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
    format!("{n} {}", self::word(n, word))
}

fn word(n: usize, word: &str) -> String {
    format!("{word}{}", if n == 1 { "" } else { "s" })
}

fn paint(text: &str, severity: Option<Severity>, style: Style) -> String {
    color(severity, style).map_or_else(|| text.to_string(), |code| super::table::paint(text, code))
}

fn color(severity: Option<Severity>, style: Style) -> Option<&'static str> {
    match severity {
        Some(Severity::Must) if style.color => Some("31"),
        Some(Severity::Should) if style.color => Some("33"),
        _ => None,
    }
}
