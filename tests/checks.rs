//! Every check fires where it should and is silent where it should be: the plans in
//! `fixtures/checks`, found at run time, and plans turned, mirrored, moved and rescaled.
//!
//! A fixture is a plan in the notation. `#:` lines are its rules file; each `# expect KIND IDS
//! MEASURED` line is one finding, and together they are all of them. `KIND.….plan` must show its
//! kind, `KIND.….clean.plan` must not.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use bayline::check::{Finding, Kind, check};
use bayline::plan::{Plan, notation};
use bayline::recognise::relate;
use bayline::rules::{self, Rules};

#[path = "checks/moved.rs"]
mod moved;

fn fixtures() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/checks");
    let mut files: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap_or_else(|e| panic!("{}: {e}", folder.display()))
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|e| e == "plan"))
        .collect();
    files.sort();
    assert!(!files.is_empty(), "no fixture in {}", folder.display());
    files
}

/// A fixture's plan, related under its own rules, and those rules.
fn read(text: &str) -> Result<(Plan, Rules), String> {
    let toml: Vec<&str> = text.lines().filter_map(|l| l.strip_prefix("#:")).collect();
    let rules = rules::parse(&toml.join("\n"), None)?;
    let mut plan = notation::parse(text)?;
    for light in &mut plan.lights {
        light.schedule = rules.schedule(light.tag.as_deref(), light.block.as_deref());
    }
    relate(&mut plan, &rules);
    Ok((plan, rules))
}

/// `off-line L3 W1`: a finding by its kind and subjects.
fn subject(finding: &Finding) -> String {
    let mut words = vec![finding.kind.name().to_string()];
    words.extend(finding.lights.iter().map(ToString::to_string));
    let mut members = finding.members.clone();
    members.sort();
    words.extend(members.iter().map(ToString::to_string));
    words.extend(finding.row.iter().map(ToString::to_string));
    words.join(" ")
}

/// What a fixture expects, in order: subjects as [`subject`] writes them, and the value.
fn expected(text: &str) -> Result<Vec<(String, f64)>, String> {
    let mut wanted = Vec::new();
    for line in text.lines().filter_map(|l| l.strip_prefix("# expect ")) {
        let (subject, value) = line.rsplit_once(' ').ok_or(line)?;
        wanted.push((
            subject.to_string(),
            value.parse::<f64>().map_err(|e| format!("{line}: {e}"))?,
        ));
    }
    wanted.sort_by(|a, b| a.0.cmp(&b.0));
    Ok(wanted)
}

fn same(a: f64, b: f64) -> bool {
    a == b || (a - b).abs() <= 1e-6
}

fn run(path: &Path) -> Result<Kind, String> {
    let text = std::fs::read_to_string(path).map_err(|e| e.to_string())?;
    let name = path.file_name().and_then(|n| n.to_str()).ok_or("no name")?;
    let kind = name.split('.').next().unwrap_or_default();
    let kind = Kind::ALL
        .into_iter()
        .find(|k| k.name() == kind)
        .ok_or(format!("`{kind}` is no check"))?;
    let wanted = expected(&text)?;
    let (plan, rules) = read(&text)?;
    let findings = check(&plan, &rules);

    let fires = findings.iter().any(|f| f.kind == kind);
    if fires == name.ends_with(".clean.plan") {
        return Err(format!("fires: {fires}; {findings:#?}"));
    }
    let mut got: Vec<(String, f64)> = findings.iter().map(|f| (subject(f), f.measured)).collect();
    got.sort_by(|a, b| a.0.cmp(&b.0));
    let agree =
        got.len() == wanted.len() && got.iter().zip(&wanted).all(|(g, w)| g.0 == w.0 && same(g.1, w.1));
    if !agree {
        return Err(format!("expected {wanted:?}\n     got {got:?}"));
    }
    for f in &findings {
        if f.severity != f.kind.severity() || f.message.contains('?') || !f.message.ends_with('.') {
            return Err(format!("{f:?}"));
        }
    }
    Ok(kind)
}

#[test]
fn fixtures_fire_as_they_say() {
    let mut failures = Vec::new();
    let mut fired = BTreeSet::new();
    let mut clean = BTreeSet::new();
    for path in fixtures() {
        match run(&path) {
            Ok(kind) if path.to_string_lossy().ends_with(".clean.plan") => clean.insert(kind),
            Ok(kind) => fired.insert(kind),
            Err(e) => {
                failures.push(format!("{}: {e}", path.file_name().unwrap().to_string_lossy()));
                continue;
            }
        };
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    let all: BTreeSet<Kind> = Kind::ALL.into_iter().collect();
    assert_eq!((&fired, &clean), (&all, &all), "a kind without a fixture");
}

#[test]
fn a_related_plan_dumps_and_reads_back() {
    for path in fixtures() {
        let (plan, _) = read(&std::fs::read_to_string(&path).unwrap()).unwrap();
        assert_eq!(
            notation::parse(&notation::dump(&plan)),
            Ok(plan),
            "{}",
            path.display()
        );
    }
}
