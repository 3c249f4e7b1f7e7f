//! The demo plans mended: what was mended is gone when they are audited again, and nothing is new.

use std::path::Path;

use assert_cmd::Command;
use serde_json::Value;

fn audit(plan: &Path, out: &Path, apply: bool) -> Value {
    let rules = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/demo/bayline.toml");
    let mut command = Command::cargo_bin("bayline").unwrap();
    command
        .arg("audit")
        .arg(plan)
        .args(["--rules", rules, "--quiet", "--out"])
        .arg(out);
    if apply {
        command.arg("--apply");
    }
    let run = command.output().unwrap();
    assert!(matches!(run.status.code(), Some(0 | 1)), "{run:?}");
    let stem = plan.file_stem().unwrap().to_str().unwrap();
    serde_json::from_slice(&std::fs::read(out.join(format!("{stem}.report.json"))).unwrap()).unwrap()
}

/// Findings by kind and lights.
fn findings(report: &Value) -> Vec<(String, String, String)> {
    let all = report["findings"].as_array().unwrap().iter();
    all.map(|f| {
        (
            f["id"].to_string(),
            f["kind"].to_string(),
            f["luminaires"].to_string(),
        )
    })
    .collect()
}

#[test]
fn mended_demo_plans_have_none_of_the_mended_findings() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo/plans");
    let scratch = tempfile::tempdir().unwrap();
    let (mut plans, mut mended) = (0, 0);
    for plan in std::fs::read_dir(folder).unwrap().map(|p| p.unwrap().path()) {
        plans += 1;
        let before = audit(&plan, scratch.path(), true);
        let stem = plan.file_stem().unwrap().to_str().unwrap();
        let file = scratch.path().join(format!("{stem}.mended.dxf"));
        let after = audit(&file, &scratch.path().join("again"), false);
        let (old, new) = (findings(&before), findings(&after));
        let gone: Vec<String> = before["applied"]["mended"]
            .as_array()
            .unwrap()
            .iter()
            .map(Value::to_string)
            .collect();
        for (_, kind, lights) in old.iter().filter(|f| gone.contains(&f.0)) {
            mended += 1;
            assert!(
                !new.iter().any(|n| n.1 == *kind && n.2 == *lights),
                "{stem}: {kind} of {lights} is still there"
            );
        }
        for (_, kind, lights) in &new {
            assert!(
                old.iter().any(|o| o.1 == *kind && o.2 == *lights),
                "{stem}: {kind} of {lights} is new"
            );
        }
        // Lights are where the report says, all others where they were.
        let moved = before["applied"]["moved"].as_array().unwrap();
        let pairs = before["luminaires"]
            .as_array()
            .unwrap()
            .iter()
            .zip(after["luminaires"].as_array().unwrap());
        for (was, is) in pairs {
            let to = moved
                .iter()
                .find(|m| m["luminaire"] == was["id"])
                .map_or(&was["at"], |m| &m["to"]);
            for i in 0..2 {
                let far = (is["at"][i].as_f64().unwrap() - to[i].as_f64().unwrap()).abs();
                assert!(far < 1e-6, "{stem}: {is:#}");
            }
        }
    }
    assert!(plans >= 8 && mended >= 10, "{plans} plans, {mended} findings");
}
