//! Jobs, threads, files, progress: the only place with threads and file output.
//!
//! Words: a *job* is one plan and the name of its outputs; an *outcome* is what became of it.
//! Each plan is read, audited and written by one worker, so that no more plans than workers are
//! held at a time. Outcomes keep the order of the jobs.

use std::collections::BTreeSet;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use rayon::prelude::*;

use crate::check::Severity;
use crate::report::Status;
use crate::report::summary::{Judged, Outputs, PlanLine, Summary};
use crate::rules::{Rules, UnitChoice};
use crate::write;

pub mod audit;
mod files;
pub mod framing;
mod jobs;
pub mod legend;
mod panics;
mod progress;
mod rulebook;

use framing::Framings;
use jobs::Job;
use rulebook::Rulebook;

/// What a batch is to do; made once, at the door.
#[derive(Clone, Debug)]
pub struct Config {
    /// Plans and folders, as given.
    pub inputs: Vec<PathBuf>,
    /// Folder for everything written; made where it is not there.
    pub out: PathBuf,
    /// Rules for every plan; `None`: each plan's `bayline.toml`, beside it or above it.
    pub rules: Option<Arc<Rules>>,
    /// Overrides the unit of rules and drawings.
    pub units: Option<UnitChoice>,
    /// A second drawing to take framing from, or a folder of them, named as the plans are.
    pub framing: Option<PathBuf>,
    /// Write each plan mended too: its lights moved as the remedies say.
    pub apply: bool,
    /// Findings at least this grave give [`Status::Findings`].
    pub fail_on: Severity,
    /// Worker threads; `None`: one a core.
    pub threads: Option<NonZeroUsize>,
    /// Draw a progress bar on standard error, where that is a terminal.
    pub progress: bool,
}

/// Audits every plan and writes every output. The error says why the batch could not be run at
/// all; what goes wrong with one plan is that plan's result.
pub fn run(config: &Config) -> Result<Summary, String> {
    let jobs::Jobs {
        mut jobs,
        mut remarks,
    } = jobs::find(&config.inputs);
    let given = config.framing.as_deref().filter(|p| !is_only(p, &jobs));
    if given.is_none() && config.framing.is_some() {
        remarks.push("--framing is the plan itself: its own plans are laid over one another".to_string());
    }
    let framing = given.and_then(|p| p.canonicalize().ok());
    let mut inputs: BTreeSet<PathBuf> = jobs.iter().filter_map(|j| j.path.canonicalize().ok()).collect();
    if let Some(framing) = &framing {
        inputs.extend(framings_of(framing, &jobs));
        // In a folder of plans it is found with them, but is none of them.
        jobs.retain(|job| {
            let is_framing = job.path.canonicalize().is_ok_and(|p| p == *framing);
            if is_framing {
                remarks.push(format!("{}: the framing drawing, not audited itself", job.name));
            }
            !is_framing
        });
    }
    let rulebook = Rulebook::open(config, &jobs);
    let framings = Framings::open(given, &jobs, &rulebook)?;
    files::prepare(&config.out)?;
    let bar = progress::bar(jobs.len(), config.progress);
    let pool = rayon::ThreadPoolBuilder::new()
        .num_threads(config.threads.map_or(0, NonZeroUsize::get))
        // Deeply nested blocks recurse; the default of a worker is a fourth of this.
        .stack_size(8 << 20)
        .build()
        .map_err(|e| format!("cannot start worker threads: {e}; try --threads 1"))?;
    panics::remember();
    let plans = pool.install(|| {
        jobs.par_iter()
            .map(|job| {
                let line = outcome(job, config, (&rulebook, &framings), &inputs);
                bar.inc(1);
                line
            })
            .collect()
    });
    bar.finish_and_clear();
    let summary = Summary { plans, remarks };
    for (name, text) in [
        ("summary.json", write::json::summary(&summary)),
        ("summary.csv", write::csv::summary(&summary)),
        ("summary.html", write::html::summary(&summary)),
    ] {
        let path = config.out.join(name);
        files::overwrites_none(&path, &inputs)?;
        files::write(&path, text.as_bytes())?;
    }
    Ok(summary)
}

/// Whether a framing drawing is the one plan there is.
fn is_only(framing: &Path, jobs: &[Job]) -> bool {
    let [job] = jobs else {
        return false;
    };
    let real = |p: &Path| p.canonicalize().ok();
    real(framing).is_some_and(|f| real(&job.path) == Some(f))
}

/// The framing drawing, or those of a folder that jobs may be given.
fn framings_of(framing: &Path, jobs: &[Job]) -> Vec<PathBuf> {
    if !framing.is_dir() {
        return vec![framing.to_path_buf()];
    }
    jobs.iter()
        .filter_map(|job| framing.join(job.path.file_name()?).canonicalize().ok())
        .collect()
}

fn outcome(
    job: &Job,
    config: &Config,
    books: (&Rulebook, &Framings),
    inputs: &BTreeSet<PathBuf>,
) -> PlanLine {
    let result = match panics::caught(|| one(job, config, books, inputs)) {
        Ok(result) => result,
        Err(what) => Err(format!(
            "bayline itself failed on this plan ({what}); please report it, with the plan if you may; the other plans are not affected"
        )),
    };
    let (status, result) = match result {
        Ok((status, judged)) => (status, Ok(judged)),
        Err(message) => (Status::Failed, Err(message)),
    };
    if result.is_err() {
        // What an earlier run wrote would pass for this run's.
        files::remove_stale(&config.out, &job.stem, inputs);
    }
    PlanLine {
        name: job.name.clone(),
        status,
        result,
    }
}

fn one(
    job: &Job,
    config: &Config,
    (rulebook, framings): (&Rulebook, &Framings),
    inputs: &BTreeSet<PathBuf>,
) -> Result<(Status, Judged), String> {
    if let Some(fault) = &job.fault {
        return Err(fault.clone());
    }
    let outputs = Outputs::of(&job.stem);
    let [report, svg, dxf, mended] =
        [&outputs.report, &outputs.svg, &outputs.dxf, &outputs.mended].map(|name| config.out.join(name));
    for path in [&report, &svg, &dxf]
        .into_iter()
        .chain(config.apply.then_some(&mended))
    {
        files::overwrites_none(path, inputs)?;
    }
    let rules = rulebook.rules(&job.path)?;
    let bytes = std::fs::read(&job.path).map_err(|e| format!("cannot be read: {}", files::plainly(&e)))?;
    let audited = audit::audit_with(
        &job.name,
        &bytes,
        &rules,
        framings.of(&job.path, &rules),
        config.apply,
    )?;
    files::write(&report, audited.json.as_bytes())?;
    files::write(&svg, audited.svg.as_bytes())?;
    files::write(&dxf, &audited.dxf)?;
    for (i, part) in audited.parts.iter().enumerate() {
        let names = Outputs::part(&job.stem, i);
        for (name, bytes) in [
            (&names.report, part.json.as_bytes()),
            (&names.svg, part.svg.as_bytes()),
            (&names.dxf, &part.dxf),
        ] {
            let path = config.out.join(name);
            files::overwrites_none(&path, inputs)?;
            files::write(&path, bytes)?;
        }
    }
    files::remove_stale_parts(&config.out, &job.stem, audited.parts.len(), inputs);
    match &audited.mended {
        Some(bytes) => files::write(&mended, bytes)?,
        // One of an earlier run with `--apply` would pass for the mended plan of this one.
        None => files::remove(&mended, inputs),
    }
    let status = audited.report.status(config.fail_on);
    Ok((status, Judged::of(&audited.report, outputs)))
}

/// Reads a rules file from disk.
pub fn read_rules(path: &Path) -> Result<Rules, String> {
    rulebook::read(path)
}
