//! Which rules hold for which plan: given ones, or the nearest `bayline.toml` above it.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::rules::{self, Rules, UnitChoice};

use super::jobs::{Job, absolute};
use super::{Config, files};

/// Name of a rules file.
const NAME: &str = "bayline.toml";

/// Rules by the folder of a plan, each file read once.
pub struct Rulebook {
    given: Option<Arc<Rules>>,
    folders: BTreeMap<PathBuf, Result<Arc<Rules>, String>>,
}

impl Rulebook {
    /// Finds and reads the rules of every job.
    pub fn open(config: &Config, jobs: &[Job]) -> Rulebook {
        let mut book = Rulebook {
            given: config
                .rules
                .as_ref()
                .map(|r| Arc::new(with_units(r, config.units))),
            folders: BTreeMap::new(),
        };
        if book.given.is_some() {
            return book;
        }
        let mut read_files: BTreeMap<Option<PathBuf>, Result<Arc<Rules>, String>> = BTreeMap::new();
        for job in jobs {
            let folder = folder(&job.path);
            if book.folders.contains_key(&folder) {
                continue;
            }
            let file = folder.ancestors().map(|f| f.join(NAME)).find(|f| f.is_file());
            let rules = read_files.entry(file).or_insert_with_key(|file| {
                let rules = match file {
                    Some(file) => read(file)?,
                    None => Rules::default(),
                };
                Ok(Arc::new(with_units(&rules, config.units)))
            });
            book.folders.insert(folder, rules.clone());
        }
        book
    }

    /// The rules for a plan, or why its rules file cannot be used.
    pub fn rules(&self, plan: &Path) -> Result<Arc<Rules>, String> {
        if let Some(given) = &self.given {
            return Ok(Arc::clone(given));
        }
        match self.folders.get(&folder(plan)) {
            Some(rules) => rules.clone(),
            None => Err(format!("no rules were looked up for {}", plan.display())),
        }
    }
}

/// Reads a rules file. The error names it, and the line.
pub fn read(path: &Path) -> Result<Rules, String> {
    let cannot = |why: &str| format!("{}: cannot be read: {why}", path.display());
    let bytes = fs::read(path).map_err(|e| cannot(&files::plainly(&e)))?;
    let text = String::from_utf8(bytes).map_err(|_| cannot("it is not UTF-8 text"))?;
    rules::parse(&text, Some(path.to_path_buf()))
}

fn with_units(rules: &Rules, units: Option<UnitChoice>) -> Rules {
    let mut rules = rules.clone();
    if let Some(units) = units {
        rules.units = units;
    }
    rules
}

fn folder(plan: &Path) -> PathBuf {
    let mut path = absolute(plan);
    path.pop();
    path
}
