//! One plan read and explained: what each layer and block was taken for.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use crate::note::{Level, Note};
use crate::plan::Plan;
use crate::recognise::{Placed, Reading, Readings, readings};
use crate::report::{Status, fold};
use crate::rules::{self, Rules};
use crate::{flatten, recognise, sheet, write};

use super::audit::{Drawn, drawn, or_block, scheduled, seen_on_sheets};
use super::framing::{Found, Framings};
use super::{Config, files, jobs, panics, rulebook};

/// A plan as understood, and the files' contents.
#[derive(Clone, Debug, PartialEq)]
pub struct Legend {
    pub name: String,
    pub plan: Plan,
    pub readings: Vec<Reading>,
    pub notes: Vec<Note>,
    /// How a second drawing's framing was placed.
    pub framing: Option<Placed>,
    pub svg: String,
    /// A rules file that gives this reading again.
    pub rules: String,
}

impl Legend {
    /// As for an audit: something lost, or no light at all, is a failure.
    pub fn status(&self) -> Status {
        let lost = self.notes.iter().any(|n| n.level == Level::Loss);
        if lost || self.plan.lights.is_empty() {
            Status::Failed
        } else {
            Status::Clean
        }
    }
}

/// Reads the bytes of one plan and explains the reading. A rules file that would not give the
/// same plan again has a warning in the notes.
pub fn legend_bytes(name: &str, bytes: &[u8], rules: &Rules) -> Result<Legend, String> {
    legend_with(name, bytes, rules, None)
}

/// The same, with framing from a second drawing.
pub fn legend_with(name: &str, bytes: &[u8], rules: &Rules, second: Option<Found>) -> Result<Legend, String> {
    let Drawn {
        drawing,
        units,
        flat,
        mut notes,
    } = drawn(bytes, rules)?;
    let rules = &*scheduled((&drawing, &units), &flat, rules, &mut notes);
    let second = match or_block(second, &drawing, &units, rules, &mut notes) {
        None => None,
        Some(Ok(second)) => Some(second),
        Some(Err(e)) => return Err(e),
    };
    let second = second.as_deref();
    let Readings {
        plan,
        notes: more,
        readings,
        shown,
        placed,
    } = readings(&flat, &units, rules, second);
    notes.extend(more);
    seen_on_sheets((&drawing, &units), &flat, &plan, rules, &mut notes);
    if second.is_none() {
        recognise::blocks::offers(&drawing, &units, &flat, rules, &plan, &mut notes);
    }
    let text = write::starter::starter(name, &plan, &readings, rules);
    let again = rules::parse(&text, None).and_then(|rules| {
        let (units, _) = recognise::units::decide(&drawing, &rules)?;
        let (flat, _) = flatten::flatten(&drawing, &units);
        let (mut again, ..) = recognise::recognise_with(&flat, &units, &rules, second);
        // The written rules give as a choice what was weighed before.
        again.units.why.clone_from(&plan.units.why);
        Ok(again)
    });
    let differs = match again {
        Ok(again) => (again != plan).then(|| "they do not give just this reading again".to_string()),
        Err(e) => Some(e),
    };
    notes.extend(differs.map(|e| {
        let message = format!("the rules that --write gives need a look before they are used: {e}");
        Note::warning("starter-differs", message)
    }));
    let sheet = sheet::legend::legend(name, &plan, &readings, &shown, rules);
    Ok(Legend {
        name: name.to_string(),
        svg: write::svg::svg(&sheet),
        plan,
        framing: placed,
        readings,
        notes: fold(notes),
        rules: text,
    })
}

/// Reads the one plan of `config`, writes the picture to `out` and the rules to `write`, each only
/// where given and, without `force`, where no file is in the way.
pub fn run(config: &Config, out: Option<&Path>, write: Option<&Path>, force: bool) -> Result<Legend, String> {
    let found = jobs::find(&config.inputs).jobs;
    let [job] = found.as_slice() else {
        return Err("give one plan: a legend is of one drawing".to_string());
    };
    let about = |e: String| format!("{}: {e}", job.name);
    if let Some(fault) = &job.fault {
        return Err(about(fault.clone()));
    }
    let picture = out.map(|o| o.join(format!("{}.legend.svg", job.stem)));
    let inputs: BTreeSet<PathBuf> = std::iter::once(&job.path)
        .chain(&config.framing)
        .filter_map(|p| p.canonicalize().ok())
        .collect();
    for path in picture.iter().map(PathBuf::as_path).chain(write) {
        files::overwrites_none(path, &inputs)?;
        if !force && path.symlink_metadata().is_ok() {
            return Err(format!(
                "{} is there already; give --force to write over it",
                path.display()
            ));
        }
    }
    let rulebook = rulebook::Rulebook::open(config, &found);
    let rules = rulebook.rules(&job.path)?;
    // A drawing that is its own framing needs no second one: its plans are laid over one another.
    let given = config.framing.as_deref().filter(|p| !super::is_only(p, &found));
    let second = Framings::open(given, &found, &rulebook)?.of(&job.path, &rules);
    let bytes =
        std::fs::read(&job.path).map_err(|e| about(format!("cannot be read: {}", files::plainly(&e))))?;
    panics::remember();
    let legend = panics::caught(|| legend_with(&job.name, &bytes, &rules, second.clone()))
        .map_err(|what| {
            about(format!(
                "bayline itself failed on this plan ({what}); please report it"
            ))
        })?
        .map_err(about)?;
    if let Some(path) = picture {
        files::write(&path, legend.svg.as_bytes())?;
    }
    if let Some(path) = write {
        files::write(path, legend.rules.as_bytes())?;
    }
    Ok(legend)
}
