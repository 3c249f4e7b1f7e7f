//! Files and folders to jobs: found, sorted, and named so that no two outputs share a name.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Component, Path, PathBuf};

use super::files::plainly;

/// One plan to audit.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    pub path: PathBuf,
    /// What reports call it: file name, with as many folders as tell it from the others, `/` between.
    pub name: String,
    /// Name of its outputs under the output folder, without their endings.
    pub stem: String,
    /// Why there is nothing to audit (no such file, an empty folder).
    pub fault: Option<String>,
}

/// The jobs in order, and what was passed over.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Jobs {
    pub jobs: Vec<Job>,
    pub remarks: Vec<String>,
}

/// Finds the plans: files as given, folders with all below them, sorted. A plan found twice is
/// audited once; a DWG in a folder is one that cannot be read, unless its DXF is beside it. What an earlier run drew (`*.redline.dxf`, `*.mended.dxf`) in a folder is passed over.
pub fn find(inputs: &[PathBuf]) -> Jobs {
    let mut found: Vec<(PathBuf, Option<String>)> = Vec::new();
    let mut remarks = Vec::new();
    for input in inputs {
        match fs::metadata(input) {
            Err(e) => found.push((input.clone(), Some(plainly(&e)))),
            Ok(m) if m.is_dir() => {
                let mut walk = Walk::default();
                walk.folder(input);
                if walk.plans.is_empty() && walk.faults.is_empty() {
                    let fault = match walk.redlines + walk.mended {
                        0 => "there is no .dxf plan in this folder",
                        _ => "there is no .dxf plan in this folder but what an earlier run drew",
                    };
                    walk.faults.push((input.clone(), fault.to_string()));
                }
                if walk.mended > 0 {
                    remarks.push(format!(
                        "{}: {} mended by an earlier run passed over (*.mended.dxf); name the files to audit them",
                        input.display(),
                        if walk.mended == 1 {
                            "1 plan".to_string()
                        } else {
                            format!("{} plans", walk.mended)
                        }
                    ));
                }
                if walk.redlines > 0 {
                    remarks.push(format!(
                        "{}: {} of an earlier run passed over (*.redline.dxf)",
                        input.display(),
                        if walk.redlines == 1 {
                            "1 redline".to_string()
                        } else {
                            format!("{} redlines", walk.redlines)
                        }
                    ));
                }
                if walk.exported > 0 {
                    remarks.push(format!(
                        "{}: {} passed over for the DXF of the same name beside {}",
                        input.display(),
                        match walk.exported {
                            1 => "1 DWG".to_string(),
                            n => format!("{n} DWGs"),
                        },
                        if walk.exported == 1 { "it" } else { "them" }
                    ));
                }
                found.extend(walk.plans.into_iter().map(|p| (p, None)));
                found.extend(walk.faults.into_iter().map(|(p, fault)| (p, Some(fault))));
            }
            Ok(_) => found.push((input.clone(), None)),
        }
    }
    let mut seen = BTreeSet::new();
    found.retain(|(path, _)| seen.insert(absolute(path)));
    let names = names(&found.iter().map(|(path, _)| absolute(path)).collect::<Vec<_>>());
    let jobs = found
        .into_iter()
        .zip(names)
        .map(|((path, fault), (name, stem))| Job {
            path,
            name,
            stem,
            fault,
        })
        .collect();
    Jobs { jobs, remarks }
}

#[derive(Default)]
struct Walk {
    plans: Vec<PathBuf>,
    faults: Vec<(PathBuf, String)>,
    redlines: usize,
    mended: usize,
    /// DWG files that have a DXF of their name beside them.
    exported: usize,
    /// Canonical folders on the way or done: a link back up ends here.
    visited: BTreeSet<PathBuf>,
}

impl Walk {
    fn folder(&mut self, folder: &Path) {
        let listed = folder.canonicalize().and_then(|real| {
            if !self.visited.insert(real) {
                return Ok(Vec::new());
            }
            fs::read_dir(folder)?
                .map(|entry| entry.map(|e| e.path()))
                .collect()
        });
        let mut paths = match listed {
            Ok(paths) => paths,
            Err(e) => {
                self.faults.push((folder.to_path_buf(), plainly(&e)));
                return;
            }
        };
        paths.sort();
        let mut dwgs = Vec::new();
        for path in paths {
            let name = path
                .file_name()
                .map_or_else(String::new, |n| n.to_string_lossy().to_lowercase());
            if name.starts_with('.') {
                continue;
            }
            if path.is_dir() {
                self.folder(&path);
            } else if name.ends_with(".redline.dxf") {
                self.redlines += 1;
            } else if name.ends_with(".mended.dxf") {
                self.mended += 1;
            } else if name.ends_with(".dxf") {
                self.plans.push(path);
            } else if name.ends_with(".dwg") {
                dwgs.push(path);
            }
        }
        // A drawing of which there is no export is a plan that cannot be read, and says what to do.
        let here: BTreeSet<String> = self.plans.iter().map(|p| unended(p)).collect();
        for dwg in dwgs {
            match here.contains(&unended(&dwg)) {
                true => self.exported += 1,
                false => self.plans.push(dwg),
            }
        }
        self.plans.sort();
    }
}

/// A path in small letters up to its ending.
fn unended(path: &Path) -> String {
    path.with_extension("").to_string_lossy().to_lowercase()
}

/// The path from the root, without `.` and `..` where they can be taken out by name alone.
pub fn absolute(path: &Path) -> PathBuf {
    let path = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
    let mut clean = PathBuf::new();
    for part in path.components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir => {
                clean.pop();
            }
            other => clean.push(other),
        }
    }
    clean
}

/// Display name and output stem of each path. Plans whose stems are equal, letter case aside, take
/// one more folder each until they differ; what differs only in its ending gets a number.
fn names(paths: &[PathBuf]) -> Vec<(String, String)> {
    let parts: Vec<Vec<String>> = paths
        .iter()
        .map(|p| {
            p.components()
                .filter_map(|c| match c {
                    Component::Normal(part) => Some(part.to_string_lossy().into_owned()),
                    _ => None,
                })
                .collect()
        })
        .collect();
    let mut depth: Vec<usize> = vec![1; paths.len()];
    let tail = |i: usize, depth: &[usize]| parts[i][parts[i].len().saturating_sub(depth[i])..].join("/");
    loop {
        let mut groups: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for i in 0..paths.len() {
            let stem = without_ending(&tail(i, &depth)).to_lowercase();
            groups.entry(stem).or_default().push(i);
        }
        let mut changed = false;
        for i in groups.into_values().filter(|g| g.len() > 1).flatten() {
            if depth[i] < parts[i].len() {
                depth[i] += 1;
                changed = true;
            }
        }
        if !changed {
            break;
        }
    }
    let mut taken = BTreeSet::new();
    let plains: BTreeSet<String> = (0..paths.len())
        .map(|i| without_ending(&tail(i, &depth)).to_lowercase())
        .collect();
    (0..paths.len())
        .map(|i| {
            let name = tail(i, &depth);
            let plain = without_ending(&name).to_string();
            let mut stem = plain.clone();
            let mut number = 2;
            while is_part(&stem, &plains) || !taken.insert(stem.to_lowercase()) {
                stem = format!("{plain}-{number}");
                number += 1;
            }
            (name, stem)
        })
        .collect()
}

/// Whether outputs so named could be those of one of the plans in another drawing: `house.plan-2` beside `house`.
fn is_part(stem: &str, plains: &BTreeSet<String>) -> bool {
    let stem = stem.to_lowercase();
    stem.rsplit_once(".plan-").is_some_and(|(of, number)| {
        !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit()) && plains.contains(of)
    })
}

fn without_ending(name: &str) -> &str {
    match name.len().checked_sub(4).and_then(|at| name.split_at_checked(at)) {
        Some((stem, ending))
            if ending.eq_ignore_ascii_case(".dxf") && !stem.is_empty() && !stem.ends_with('/') =>
        {
            stem
        }
        _ => name,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stems(paths: &[&str]) -> Vec<String> {
        let paths: Vec<PathBuf> = paths.iter().map(PathBuf::from).collect();
        names(&paths).into_iter().map(|(_, stem)| stem).collect()
    }

    #[test]
    fn plans_of_one_name_keep_enough_of_their_folders() {
        assert_eq!(stems(&["/a/unit.dxf", "/a/hall.dxf"]), ["unit", "hall"]);
        assert_eq!(
            stems(&["/a/n/unit.dxf", "/a/s/unit.dxf", "/a/x.dxf"]),
            ["n/unit", "s/unit", "x"]
        );
        assert_eq!(stems(&["/a/1/n/u.dxf", "/a/2/n/U.DXF"]), ["1/n/u", "2/n/U"]);
        assert_eq!(stems(&["/u.dxf", "/n/u.dxf"]), ["u", "n/u"]);
    }

    #[test]
    fn plans_that_differ_in_letter_case_or_ending_alone_get_numbers() {
        let stems = stems(&["/a/u.dxf", "/a/u.DXF", "/a/u", "/a/.dxf"]);
        let lower: BTreeSet<String> = stems.iter().map(|s| s.to_lowercase()).collect();
        assert_eq!(lower.len(), 4, "{stems:?}");
        let two = names(&[
            PathBuf::from("/u-2.dxf"),
            PathBuf::from("/u.dxf"),
            PathBuf::from("/u.DXF"),
        ]);
        let two: BTreeSet<String> = two.into_iter().map(|(_, s)| s).collect();
        assert_eq!(two.len(), 3, "{two:?}");
    }

    #[test]
    fn a_plan_named_as_a_part_of_another_gets_a_number() {
        assert_eq!(
            stems(&["/a/u.dxf", "/a/U.plan-1.dxf", "/a/u.plan-b.dxf"]),
            ["u", "U.plan-1-2", "u.plan-b"]
        );
        assert_eq!(stems(&["/a/v.dxf", "/a/u.plan-1.dxf"]), ["v", "u.plan-1"]);
    }

    #[test]
    fn a_name_is_cut_at_its_own_ending_only() {
        assert_eq!(without_ending("a.dxf.DXF"), "a.dxf");
        assert_eq!(without_ending("é.dxf"), "é");
        assert_eq!(without_ending("ddé"), "ddé");
        assert_eq!(without_ending(".dxf"), ".dxf");
    }
}
