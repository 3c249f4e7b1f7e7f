//! One plan through all stages: bytes in, bytes out, nothing else touched.

use std::borrow::Cow;
use std::sync::Arc;

use super::framing::Found;
use crate::drawing::Drawing;
use crate::flatten::Flat;
use crate::note::{Level, Note};
use crate::plan::{Plan, Units};
use crate::report::{self, Report, fold};
use crate::rules::Rules;
use crate::write;
use crate::{check, drawing, flatten, mended, phase, recognise, remedy, sheet};

/// A plan that was audited, and its files' contents.
#[derive(Clone, Debug, PartialEq)]
pub struct Audited {
    pub report: Report,
    pub json: String,
    pub svg: String,
    /// The files of each plan of the drawing, where it holds several.
    pub parts: Vec<PartFiles>,
    pub dxf: Vec<u8>,
    /// The mended plan, where it was asked for.
    pub mended: Option<Vec<u8>>,
}

/// What is written of one plan of a drawing that holds several.
#[derive(Clone, Debug, PartialEq)]
pub struct PartFiles {
    pub json: String,
    pub svg: String,
    /// The whole drawing with this plan's marks.
    pub dxf: Vec<u8>,
}

/// A drawing that was read, its unit decided and its blocks resolved: what every command starts from.
pub(super) struct Drawn<'a> {
    pub drawing: Drawing<'a>,
    pub units: Units,
    pub flat: Flat,
    pub notes: Vec<Note>,
}

/// Reads and flattens the bytes of one plan. The error is one sentence.
pub(super) fn drawn<'a>(bytes: &'a [u8], rules: &Rules) -> Result<Drawn<'a>, String> {
    let (drawing, mut notes) = drawing::read(bytes).map_err(|e| e.to_string())?;
    let (units, more) = recognise::units::decide(&drawing, rules)?;
    notes.extend(more);
    let (flat, more) = flatten::flatten(&drawing, &units);
    notes.extend(more);
    Ok(Drawn {
        drawing,
        units,
        flat,
        notes,
    })
}

/// The rules with the schedule that is drawn on the plan, where they have none of their own.
pub(super) fn scheduled<'r>(
    (drawing, units): (&Drawing<'_>, &Units),
    flat: &Flat,
    rules: &'r Rules,
    notes: &mut Vec<Note>,
) -> Cow<'r, Rules> {
    let mut drawn = recognise::drawn_schedule::drawn_schedule(flat);
    if rules.luminaires.is_empty() && drawn.entries.is_empty() && flat.paper > 0 {
        let on_sheets = recognise::layouts::schedule(&flatten::papers(drawing, units));
        recognise::layouts::schedule_told(&on_sheets, notes);
        drawn.join(on_sheets);
    }
    let used = rules.luminaires.is_empty() && !drawn.entries.is_empty();
    notes.extend(recognise::drawn_schedule::told(
        &drawn,
        used,
        !rules.luminaires.is_empty(),
    ));
    let explained = drawn.explained(rules);
    if !used && explained.is_empty() {
        return Cow::Borrowed(rules);
    }
    let mut rules = rules.clone();
    if used {
        rules.luminaires = drawn.entries;
    }
    rules.explained = explained;
    Cow::Owned(rules)
}

/// What layouts say of the plan: which lights no sheet shows, and what is drawn on sheets alone.
pub(super) fn seen_on_sheets(
    (drawing, units): (&Drawing<'_>, &Units),
    flat: &Flat,
    plan: &Plan,
    rules: &Rules,
    notes: &mut Vec<Note>,
) {
    if flat.paper == 0 {
        return;
    }
    recognise::viewports::told(drawing, units, flat, plan, notes);
    if plan.lights.is_empty() {
        recognise::layouts::told(&flatten::papers(drawing, units), rules, notes);
    }
}

/// The second drawing that was asked for, else the block that the rules take framing from.
pub(super) fn or_block(
    second: Option<Found>,
    drawing: &Drawing<'_>,
    units: &Units,
    rules: &Rules,
    notes: &mut Vec<Note>,
) -> Option<Found> {
    if second.is_some() {
        if rules.framing.from_block.is_some() {
            let said = "--framing is given, so [framing] from_block is passed over";
            notes.push(Note::info("block-passed", said));
        }
        return second;
    }
    Some(recognise::blocks::from_block(drawing, units, rules)?.map(Arc::new))
}

/// Audits the bytes of one plan. `name` is what reports and sheets call it. The error is one
/// sentence that says why nothing could be judged and what to do.
pub fn audit_bytes(name: &str, bytes: &[u8], rules: &Rules) -> Result<Audited, String> {
    audit_with(name, bytes, rules, None, false)
}

/// The same, with framing from a second drawing. Where that cannot be used the plan is audited
/// without, and a loss says so. With `apply` the mended plan is made too.
pub fn audit_with(
    name: &str,
    bytes: &[u8],
    rules: &Rules,
    second: Option<Found>,
    apply: bool,
) -> Result<Audited, String> {
    let Drawn {
        drawing,
        units,
        flat,
        mut notes,
    } = drawn(bytes, rules)?;
    let rules = &*scheduled((&drawing, &units), &flat, rules, &mut notes);
    let second = match or_block(second, &drawing, &units, rules, &mut notes) {
        Some(Err(why)) => {
            notes.push(Note::loss(
                "framing-unread",
                format!("no framing is taken over: {why}"),
            ));
            None
        }
        Some(Ok(second)) => Some(second),
        None => None,
    };
    let recognise::Readings {
        plan,
        notes: more,
        readings,
        placed,
        ..
    } = recognise::decisions(&flat, &units, rules, second.as_deref());
    notes.extend(more);
    seen_on_sheets((&drawing, &units), &flat, &plan, rules, &mut notes);
    if second.is_none() {
        recognise::blocks::offers(&drawing, &units, &flat, rules, &plan, &mut notes);
    }
    let (phases, more) = phase::phases(&plan, rules);
    notes.extend(more);
    let mut findings = check::check(&plan, rules);
    let remedies = remedy::remedy(&plan, &mut findings, rules);
    notes.extend(remedy::keep::Keep::of(&plan, rules).notes().iter().cloned());
    let remarks = framing_remark(&notes);
    let facings = remedy::facing::facings(&plan, rules);
    let parts = recognise::plans::several(&flat, &plan);
    let ranges: Vec<String> = phases.iter().map(|p| phase::on_sheet(&plan, p)).collect();
    let of_all: Vec<String> = remarks
        .iter()
        .cloned()
        .chain(parts_remark(&parts))
        .chain(ranges.clone())
        .collect();
    let redline = sheet::sheet_with(name, &plan, &findings, &remedies, &facings, rules, &of_all);
    let svg = write::svg::svg(&redline);
    let shares = report::share::shares(&plan, &parts, &findings, &remedies, &phases);
    shares.told(&mut notes);
    let split = (parts.as_slice(), &shares);
    let sheets = sheet::part::parts(
        name,
        &plan,
        split,
        &remedies,
        &facings,
        rules,
        (&remarks, &ranges),
    );
    let spliced = write::dxf::redline(&drawing, &redline, units.inches_per_unit);
    notes.extend(spliced.notes);
    let mut redlines = Vec::new();
    for sheet in &sheets {
        let spliced = write::dxf::redline(&drawing, sheet, units.inches_per_unit);
        // What holds for the drawing was said with its own redline.
        notes.extend(
            spliced
                .notes
                .into_iter()
                .filter(|n| !notes.contains(n))
                .collect::<Vec<_>>(),
        );
        redlines.push(spliced.bytes);
    }
    let mended = apply.then(|| {
        mended::mend(mended::Audit {
            drawing: &drawing,
            flat: &flat,
            plan: &plan,
            findings: &findings,
            remedies: &remedies,
            rules,
            second: second.as_deref(),
        })
    });
    let (mended, applied) = match mended {
        Some(done) => {
            notes.extend(done.notes);
            (Some(done.bytes), Some(done.settled))
        }
        None => (None, None),
    };

    if plan.lights.is_empty() {
        raise_no_lights(&mut notes);
    }
    let unused = rules.unused();
    if !unused.is_empty() {
        let message = format!(
            "given in the rules, but used by no check yet: {}",
            unused.join(", ")
        );
        notes.push(Note::info("rules-unused", message));
    }
    let report = Report {
        parts,
        shares,
        name: name.to_string(),
        facings,
        bars: remedy::bars::bars(&plan, &remedies, rules),
        cut_list: remedy::cutlist::cut_list(&remedies),
        plan,
        readings,
        framing: placed,
        schedule: rules.luminaires.clone(),
        findings,
        remedies,
        phases,
        notes: fold(notes),
        applied,
    };
    Ok(Audited {
        json: write::json::report(&report),
        svg,
        parts: (sheets.iter().zip(redlines).enumerate())
            .map(|(i, (sheet, dxf))| PartFiles {
                json: write::json::part(&report, i),
                svg: write::svg::svg(sheet),
                dxf,
            })
            .collect(),
        dxf: spliced.bytes,
        mended,
        report,
    })
}

/// What the sheet of a drawing with several plans says of them.
fn parts_remark(parts: &[recognise::plans::Part]) -> Option<String> {
    let told = format!(
        "{} plans are in this drawing; each has a sheet of its own.",
        parts.len()
    );
    (!parts.is_empty()).then_some(told)
}

/// What the sheet says of framing from a second drawing.
fn framing_remark(notes: &[Note]) -> Vec<String> {
    notes
        .iter()
        .filter(|n| matches!(n.code, "framing-placed" | "framing-not-placed" | "framing-unread"))
        .map(|n| {
            let mut said = n.message.clone();
            if let Some(first) = said.get_mut(..1) {
                first.make_ascii_uppercase();
            }
            said + "."
        })
        .collect()
}

/// Without a light nothing can be judged, so what a stage may call doubtful is a loss here.
fn raise_no_lights(notes: &mut Vec<Note>) {
    const CODE: &str = "no-lights";
    match notes.iter_mut().find(|n| n.code == CODE) {
        Some(note) => note.level = Level::Loss,
        None => notes.push(Note::loss(
            CODE,
            "no recessed lights were found, so nothing was judged",
        )),
    }
}
