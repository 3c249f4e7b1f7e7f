//! Writing files so that none is ever half there, and none is an input.

use std::collections::BTreeSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::report::summary::Outputs;

/// Makes the output folder and tries whether it can be written to.
pub fn prepare(out: &Path) -> Result<(), String> {
    let cannot = |e: io::Error| format!("cannot write to the folder {}: {}", out.display(), plainly(&e));
    fs::create_dir_all(out).map_err(cannot)?;
    let probe = temporary(&out.join("probe"));
    fs::write(&probe, b"")
        .and_then(|()| fs::remove_file(&probe))
        .map_err(cannot)
}

/// Writes to a temporary name in the same folder, then renames.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), String> {
    let part = temporary(path);
    let written = match path.parent() {
        Some(folder) => fs::create_dir_all(folder),
        None => Ok(()),
    }
    .and_then(|()| fs::write(&part, bytes))
    .and_then(|()| fs::rename(&part, path));
    written.map_err(|e| {
        // The part may not exist; the write's own error is the one to tell.
        let _ = fs::remove_file(&part);
        format!("cannot write {}: {}", path.display(), plainly(&e))
    })
}

/// Refuses an output whose path is one of the inputs (canonical paths).
pub fn overwrites_none(path: &Path, inputs: &BTreeSet<PathBuf>) -> Result<(), String> {
    match path.canonicalize() {
        Ok(real) if inputs.contains(&real) => Err(format!(
            "{} is an input and would be overwritten; choose another --out",
            path.display()
        )),
        _ => Ok(()),
    }
}

/// Removes an output of an earlier run, unless it is an input of this one.
pub fn remove(path: &Path, inputs: &BTreeSet<PathBuf>) {
    if overwrites_none(path, inputs).is_ok() {
        // Usually there is none.
        let _ = fs::remove_file(path);
    }
}

/// Removes what an earlier run wrote for a plan that now came to nothing.
pub fn remove_stale(out: &Path, stem: &str, inputs: &BTreeSet<PathBuf>) {
    let outputs = Outputs::of(stem);
    for name in [outputs.report, outputs.svg, outputs.dxf, outputs.mended] {
        remove(&out.join(name), inputs);
    }
    remove_stale_parts(out, stem, 0, inputs);
}

/// Removes the files of plans that an earlier run found in a drawing and this one did not, from the `from`th on.
pub fn remove_stale_parts(out: &Path, stem: &str, from: usize, inputs: &BTreeSet<PathBuf>) {
    for part in from.. {
        let Outputs { report, svg, dxf, .. } = Outputs::part(stem, part);
        let mut any = false;
        for path in [report, svg, dxf].map(|name| out.join(name)) {
            any |= overwrites_none(&path, inputs).is_ok() && fs::remove_file(path).is_ok();
        }
        if !any {
            return;
        }
    }
}

/// An error of the system in a few words, without its number.
pub fn plainly(e: &io::Error) -> String {
    match e.kind() {
        io::ErrorKind::NotFound => "there is no such file".to_string(),
        io::ErrorKind::PermissionDenied => "permission denied".to_string(),
        io::ErrorKind::IsADirectory => "it is a folder".to_string(),
        io::ErrorKind::NotADirectory => "a part of the path is a file, not a folder".to_string(),
        io::ErrorKind::AlreadyExists => "a file of that name is in the way".to_string(),
        io::ErrorKind::StorageFull => "the disk is full".to_string(),
        _ => {
            let text = e.to_string();
            text.split(" (os error").next().unwrap_or(&text).to_lowercase()
        }
    }
}

fn temporary(path: &Path) -> PathBuf {
    let name = path
        .file_name()
        .map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    path.with_file_name(format!(".{name}.{}.part", std::process::id()))
}
