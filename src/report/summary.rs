//! The summary of a batch: one line a plan, and its findings in words.

use crate::check::{Finding, Kind, Severity};
use crate::length;
use crate::note::{Level, Note};
use crate::phase::{self, Phases, Range};
use crate::recognise::plans::Part;
use crate::remedy::Action;

use super::{Report, Status};

/// Notes of symbols that are not counted, or nearly were not: a bid hangs on them, so they are said with the counts.
pub const LEFT_OUT: [&str; 3] = ["legend-symbols", "legend-in-room", "detail-lights"];

/// What a batch came to, plans in the order given.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Summary {
    pub plans: Vec<PlanLine>,
    /// Files passed over, and why: one sentence each.
    pub remarks: Vec<String>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct PlanLine {
    /// The plan's file name, with as many of its folders as tell it from the others.
    pub name: String,
    pub status: Status,
    /// What it came to, or why it came to nothing.
    pub result: Result<Judged, String>,
}

/// A room whose framing is only written of: what to bid on. Counts are of lights: at the best place of the framing, at the
/// worst, and the mean over all places.
#[derive(Clone, Debug, PartialEq)]
pub struct PhaseLine {
    pub room: String,
    /// On centre, inches.
    pub spacing: f64,
    /// Share of places at which the lights work as drawn.
    pub works: f64,
    /// Openings that hit a member.
    pub hits: Range,
    /// Lights that want blocking.
    pub blocking: Range,
    /// Lights whose bars are to be cut.
    pub trims: Range,
    /// All of that in a sentence.
    pub said: String,
    /// What to ask the architect; `None` where the answer does not matter.
    pub question: Option<String>,
}

impl PhaseLine {
    fn of(report: &Report, p: &Phases) -> PhaseLine {
        PhaseLine {
            room: phase::room(&report.plan, p.room),
            spacing: p.field.spacing,
            works: p.works,
            hits: p.hits,
            blocking: p.blocking,
            trims: p.trims,
            said: phase::summed_up(&report.plan, p),
            question: p.asks().then(|| phase::question(&report.plan, p)),
        }
    }
}

/// One of several plans in a drawing.
#[derive(Clone, Debug, PartialEq)]
pub struct PartLine {
    /// Its title, or that it has none.
    pub title: String,
    pub lights: usize,
    pub rows: usize,
    pub members: usize,
    /// Findings that must be put right, that should be, that are worth knowing.
    pub counts: [usize; 3],
    /// Its own files.
    pub outputs: Outputs,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// The plans of the drawing where it holds several, from left to right.
    pub parts: Vec<PartLine>,
    pub units: String,
    pub lights: usize,
    pub rows: usize,
    pub members: usize,
    pub rooms: usize,
    /// Pieces of blocking to cut.
    pub blocking: usize,
    /// Sticks to order of each stock length (inches), the longest first.
    pub order: Vec<(f64, usize)>,
    /// Rooms whose framing is only written of, over every place it may stand at.
    pub phases: Vec<PhaseLine>,
    /// Gravest first, then in the report's order.
    pub findings: Vec<FindingLine>,
    /// Warnings, losses, and what is left out of the count.
    pub notes: Vec<Note>,
    pub outputs: Outputs,
}

/// Paths under the output folder, with `/` between their parts.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Outputs {
    pub report: String,
    pub svg: String,
    pub dxf: String,
    /// Written where it is asked for.
    pub mended: String,
}

/// A finding, ready for a table.
#[derive(Clone, Debug, PartialEq)]
pub struct FindingLine {
    pub id: String,
    pub kind: Kind,
    pub severity: Severity,
    /// Lights, as `L1 L2`.
    pub lights: String,
    /// Room by name, or the row.
    pub place: String,
    /// Measured / limit, as the trade writes them.
    pub value: String,
    /// What to do about it.
    pub action: String,
}

/// What a report's name ends in.
const REPORT: &str = ".report.json";

impl Outputs {
    /// The files of a plan whose outputs are named `stem`.
    pub fn of(stem: &str) -> Outputs {
        Outputs {
            report: format!("{stem}{REPORT}"),
            svg: format!("{stem}.redline.svg"),
            dxf: format!("{stem}.redline.dxf"),
            mended: format!("{stem}.mended.dxf"),
        }
    }
}

impl Outputs {
    /// The files of one plan, counted from 0, of a drawing that holds several; it is never mended by itself.
    pub fn part(stem: &str, part: usize) -> Outputs {
        let stem = format!("{stem}.plan-{}", part + 1);
        Outputs {
            report: format!("{stem}.json"),
            mended: String::new(),
            ..Outputs::of(&stem)
        }
    }
}

impl Judged {
    pub fn of(report: &Report, outputs: Outputs) -> Judged {
        let mut findings: Vec<FindingLine> = report.findings.iter().map(|f| line(report, f)).collect();
        findings.sort_by_key(|f| std::cmp::Reverse(f.severity));
        Judged {
            parts: parts(report, &outputs),
            units: report.plan.units.name.clone(),
            lights: report.plan.lights.len(),
            rows: report.plan.rows.len(),
            members: report.plan.members.len(),
            rooms: report.plan.rooms.len(),
            blocking: report.cut_list.pieces(),
            order: report.cut_list.order(),
            phases: report.phases.iter().map(|p| PhaseLine::of(report, p)).collect(),
            findings,
            notes: report
                .notes
                .iter()
                .filter(|n| n.level > Level::Info || LEFT_OUT.contains(&n.code))
                .cloned()
                .collect(),
            outputs,
        }
    }

    /// Counts of rooms whose framing is only written of, added up: what each is at its own best and worst.
    pub fn ranged(&self, of: impl Fn(&PhaseLine) -> Range) -> Range {
        self.phases.iter().map(of).fold(Range::default(), |a, b| Range {
            least: a.least + b.least,
            most: a.most + b.most,
            expected: a.expected + b.expected,
        })
    }

    pub fn count(&self, severity: Severity) -> usize {
        self.findings.iter().filter(|f| f.severity == severity).count()
    }

    /// How many findings of each kind there are, kinds in their fixed order, none left out that has any.
    pub fn kinds(&self) -> Vec<(Kind, usize)> {
        Kind::ALL
            .into_iter()
            .map(|k| (k, self.findings.iter().filter(|f| f.kind == k).count()))
            .filter(|(_, n)| *n > 0)
            .collect()
    }
}

impl Summary {
    /// The worst plan decides; nothing to audit is a failure.
    pub fn status(&self) -> Status {
        self.plans
            .iter()
            .map(|p| p.status)
            .max()
            .unwrap_or(Status::Failed)
    }

    pub fn judged(&self) -> impl Iterator<Item = &Judged> {
        self.plans.iter().filter_map(|p| p.result.as_ref().ok())
    }

    /// Sticks to order for all plans, each plan's by itself: lots are built one by one.
    pub fn order(&self) -> Vec<(f64, usize)> {
        let mut all: Vec<(f64, usize)> = self.judged().flat_map(|j| j.order.iter().copied()).collect();
        all.sort_by(|a, b| b.0.total_cmp(&a.0));
        let mut order: Vec<(f64, usize)> = Vec::new();
        for (stock, n) in all {
            match order.last_mut() {
                Some((last, count)) if *last == stock => *count += n,
                _ => order.push((stock, n)),
            }
        }
        order
    }

    /// A count over all judged plans.
    pub fn total(&self, of: impl Fn(&Judged) -> usize) -> usize {
        self.judged().map(of).sum()
    }
}

fn parts(report: &Report, outputs: &Outputs) -> Vec<PartLine> {
    let stem = outputs.report.strip_suffix(REPORT).unwrap_or(&outputs.report);
    let counts = [Severity::Must, Severity::Should, Severity::Note].map(|s| report.part_counts(s));
    let each = report.parts.iter().zip(&report.shares.each).enumerate();
    each.map(|(i, (part, share))| PartLine {
        title: title(i, part),
        lights: share.lights.len(),
        rows: share.rows.len(),
        members: share.members.len(),
        outputs: Outputs::part(stem, i),
        counts: counts.each_ref().map(|c| c.get(i).copied().unwrap_or(0)),
    })
    .collect()
}

/// Its title, or which from the left it is.
fn title(index: usize, part: &Part) -> String {
    part.title
        .as_ref()
        .map_or(format!("plan {} without a title", index + 1), |t| t.1.clone())
}

fn line(report: &Report, f: &Finding) -> FindingLine {
    let lights: Vec<String> = f.lights.iter().map(ToString::to_string).collect();
    let remedies = || report.remedies.iter().filter(|r| f.remedies.contains(&r.id));
    let action = remedies()
        .find(|r| !matches!(r.action, Action::None { .. }))
        .or_else(|| remedies().next())
        .map_or_else(|| advice(f.kind).to_string(), |r| r.message.clone());
    FindingLine {
        id: f.id.to_string(),
        kind: f.kind,
        severity: f.severity,
        lights: lights.join(" "),
        place: place(report, f),
        value: value(f),
        action,
    }
}

/// Room or row, after the title of the plan where the drawing holds several.
fn place(report: &Report, f: &Finding) -> String {
    let within = report.part(f).and_then(|i| Some((i, report.parts.get(i)?)));
    match (within, room_or_row(report, f)) {
        (Some((i, part)), place) if place.is_empty() => title(i, part),
        (Some((i, part)), place) => format!("{}: {place}", title(i, part)),
        (None, place) => place,
    }
}

fn room_or_row(report: &Report, f: &Finding) -> String {
    if let Some(room) = f.room {
        return match report.plan.rooms.get(room.0).and_then(|r| r.name.as_ref()) {
            Some(name) => format!("{name} ({room})"),
            None => room.to_string(),
        };
    }
    f.row.map_or_else(String::new, |row| format!("row {row}"))
}

fn value(f: &Finding) -> String {
    match f.kind {
        Kind::NoSchedule | Kind::Insulation | Kind::Outside => String::new(),
        _ if !f.measured.is_finite() => "none".to_string(),
        _ if !f.limit.is_finite() || matches!(f.kind, Kind::HitsMember | Kind::DeviceClash) => {
            length::feet_inches(f.measured)
        }
        _ => format!(
            "{} / {}",
            length::feet_inches(f.measured),
            length::feet_inches(f.limit)
        ),
    }
}

/// What to do about a finding that no remedy was worked out for.
fn advice(kind: Kind) -> &'static str {
    match kind {
        Kind::OffLine => "Move it onto the row line.",
        Kind::UnevenPitch => "Even the pitch out, or leave it: seldom noticed.",
        Kind::RowSkew => "Turn the row parallel to the walls.",
        Kind::HitsMember => "Move it clear of the member.",
        Kind::HousingClash => "Move it, or take a smaller housing.",
        Kind::HardAgainst => "Set it hard against the member.",
        Kind::NearCombustible => "Take a Type IC housing, or move it clear.",
        Kind::Insulation => "Take a Type IC housing, or keep insulation 3 in off it.",
        Kind::WideBay => "Nail in blocking for the bars.",
        Kind::TrimBars => "Cut the bars to fit.",
        Kind::NarrowBay => "Move it to a wider bay.",
        Kind::NoSupport => "Nail in blocking on that side.",
        Kind::DeviceClash => "Move it clear, or ask where the device goes.",
        Kind::WideGap => "Ask for one more light in the gap.",
        Kind::WallGap => "Ask about the distance to the wall.",
        Kind::Stacked => "Ask which of the symbols holds; counted once.",
        Kind::NoSchedule => "Add its tag or block to the schedule in bayline.toml.",
        Kind::Outside => "Check that it belongs to this plan.",
    }
}
