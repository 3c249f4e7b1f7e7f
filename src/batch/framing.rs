//! The second drawing that framing is taken from: one for the whole batch, or one a plan.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::audit::drawn;
use super::jobs::Job;
use super::rulebook::Rulebook;
use super::{files, panics};
use crate::recognise::{self, Second};
use crate::rules::{Rules, UnitChoice};

/// What was asked for of one plan: its second drawing, or why it cannot be used.
pub type Found = Result<Arc<Second>, String>;

/// Second drawings by plan.
pub enum Framings {
    None,
    /// Read once; understood once for each rules file, told by its path.
    One(BTreeMap<Option<PathBuf>, Arc<Second>>),
    /// Files named as the plans are.
    Folder(PathBuf),
}

impl Framings {
    /// Reads the one drawing by the rules of every job. The error names it.
    pub fn open(given: Option<&Path>, jobs: &[Job], rulebook: &Rulebook) -> Result<Framings, String> {
        let Some(path) = given else {
            return Ok(Framings::None);
        };
        let about = |e: String| format!("--framing {}: {e}", path.display());
        let cannot = |e: std::io::Error| about(format!("cannot be read: {}", files::plainly(&e)));
        if fs::metadata(path).map_err(cannot)?.is_dir() {
            return Ok(Framings::Folder(path.to_path_buf()));
        }
        let bytes = fs::read(path).map_err(cannot)?;
        let mut by_rules = BTreeMap::new();
        for job in jobs {
            // Rules that cannot be read are that plan's error, told when it is audited.
            let Ok(rules) = rulebook.rules(&job.path) else {
                continue;
            };
            if !by_rules.contains_key(&rules.file) {
                let second = understood(&name(path), &bytes, &rules).map_err(about)?;
                by_rules.insert(rules.file.clone(), Arc::new(second));
            }
        }
        Ok(Framings::One(by_rules))
    }

    /// The second drawing of a plan; `None` where none was asked for.
    pub fn of(&self, plan: &Path, rules: &Rules) -> Option<Found> {
        match self {
            Framings::None => None,
            Framings::One(by_rules) => Some(match by_rules.get(&rules.file) {
                Some(second) => Ok(Arc::clone(second)),
                None => Err("the framing drawing was not read by this plan's rules".to_string()),
            }),
            Framings::Folder(folder) => {
                let path = folder.join(plan.file_name()?);
                let second = fs::read(&path)
                    .map_err(|e| format!("cannot be read: {}", files::plainly(&e)))
                    .and_then(|bytes| understood(&name(&path), &bytes, rules));
                Some(
                    second
                        .map(Arc::new)
                        .map_err(|e| format!("the framing drawing {}: {e}", path.display())),
                )
            }
        }
    }
}

fn name(path: &Path) -> String {
    path.file_name()
        .map_or_else(String::new, |n| n.to_string_lossy().into_owned())
}

fn understood(name: &str, bytes: &[u8], rules: &Rules) -> Result<Second, String> {
    panics::remember();
    panics::caught(|| second_bytes(name, bytes, rules))
        .map_err(|what| format!("bayline itself failed on this drawing ({what}); please report it"))?
}

/// Reads the bytes of a second drawing. Its unit is decided by its own evidence; what the rules or
/// `--units` say is of the plan, and holds for it only where its own evidence decides nothing.
pub fn second_bytes(name: &str, bytes: &[u8], rules: &Rules) -> Result<Second, String> {
    let own = Rules {
        units: UnitChoice::Auto,
        ..rules.clone()
    };
    let drawn = match drawn(bytes, &own) {
        Err(e) if rules.units != UnitChoice::Auto => drawn(bytes, rules).map_err(|_| e)?,
        other => other?,
    };
    let (plan, more) = recognise::recognise(&drawn.flat, &drawn.units, &own);
    let mut notes = drawn.notes;
    notes.extend(more);
    let mut second = Second::new(name, &plan, notes);
    second.plans = recognise::plans::titled(&drawn.flat, &plan);
    second.written = recognise::written_of(&drawn.flat, &drawn.units, &own);
    Ok(second)
}
