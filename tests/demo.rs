//! The demo plans through the whole tool: every planted fault is found with its value, twins agree.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde_json::Value;

fn reports() -> &'static BTreeMap<String, Value> {
    static REPORTS: std::sync::OnceLock<BTreeMap<String, Value>> = std::sync::OnceLock::new();
    REPORTS.get_or_init(|| {
        let out = tempfile::tempdir().unwrap();
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        assert_cmd::Command::cargo_bin("bayline")
            .unwrap()
            .args(["audit", "fixtures/demo/plans", "--out"])
            .arg(out.path())
            .current_dir(root)
            .assert()
            .code(1);
        let mut reports = BTreeMap::new();
        let mut files: Vec<PathBuf> = std::fs::read_dir(out.path())
            .unwrap()
            .map(|e| e.unwrap().path())
            .collect();
        files.sort();
        for file in files {
            let name = file.file_name().unwrap().to_str().unwrap();
            if let Some(plan) = name.strip_suffix(".report.json") {
                let text = std::fs::read_to_string(&file).unwrap();
                reports.insert(plan.to_string(), serde_json::from_str(&text).unwrap());
                for other in ["redline.svg", "redline.dxf"] {
                    assert!(
                        out.path().join(format!("{plan}.{other}")).is_file(),
                        "{plan}.{other}"
                    );
                }
            }
        }
        assert_eq!(reports.len(), 8, "demo plans");
        reports
    })
}

#[path = "held/sheets.rs"]
mod sheets;

fn of<'a>(report: &'a Value, kind: &str) -> Vec<&'a Value> {
    report["findings"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|f| f["kind"] == kind)
        .collect()
}

fn counts(report: &Value) -> BTreeMap<String, usize> {
    let mut counts = BTreeMap::new();
    for finding in report["findings"].as_array().unwrap() {
        *counts
            .entry(finding["kind"].as_str().unwrap().to_string())
            .or_default() += 1;
    }
    counts
}

fn twins(word: &str) -> Vec<(&'static String, &'static Value)> {
    reports().iter().filter(|(name, _)| name.contains(word)).collect()
}

fn rooms(report: &Value) -> Vec<&str> {
    let mut names: Vec<_> = report["rooms"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|r| r["name"].as_str())
        .collect();
    names.sort_unstable();
    names
}

#[test]
fn counts_add_up_and_nothing_is_dropped() {
    for (name, report) in reports() {
        let c = &report["counts"];
        let [entities, claimed, unclaimed, dropped] =
            ["entities", "claimed", "unclaimed", "dropped"].map(|k| c[k].as_u64().unwrap());
        assert!(entities > 0, "{name}");
        assert_eq!(entities, claimed + unclaimed + dropped, "{name}");
        assert_eq!(dropped, 0, "{name}");
    }
}

#[test]
fn herons_show_their_planted_faults() {
    let twins = twins("heron");
    assert_eq!(twins.len(), 3);
    for (name, report) in twins {
        assert_eq!(
            report["luminaires"].as_array().unwrap().len(),
            13 + 12 + 6 + 6 + 6 + 6 + 8 + 2,
            "{name}"
        );
        assert_eq!(
            rooms(report),
            [
                "BATH",
                "BEDROOM 2",
                "BEDROOM 3",
                "DINING",
                "GREAT ROOM",
                "HALL",
                "KITCHEN",
                "PRIMARY BEDROOM"
            ],
            "{name}"
        );
        // 40 joists, whose two spans meet over the hall's wall, and two plies beside them.
        assert_eq!(report["members"].as_array().unwrap().len(), 42, "{name}");
        let off = of(report, "off-line");
        assert_eq!(off.len(), 1, "{name}");
        assert!(
            (off[0]["measured"].as_f64().unwrap() - 0.375).abs() < 0.001,
            "{name}"
        );
        let hits = of(report, "hits-member");
        assert_eq!(hits.len(), 1, "{name}");
        // The opening, 6 3/8 in, laps the joist's far face by 3 3/16 + 3/4.
        assert!(
            (hits[0]["measured"].as_f64().unwrap() - 3.9375).abs() < 0.001,
            "{name}"
        );
        let wide = of(report, "wide-bay");
        assert_eq!(wide.len(), 3, "{name}");
        for finding in wide {
            // Two bays of 16 in, less one thickness of 1 1/2.
            assert!(
                (finding["measured"].as_f64().unwrap() - 30.5).abs() < 0.001,
                "{name}"
            );
            assert!(!finding["remedies"].as_array().unwrap().is_empty(), "{name}");
        }
        assert!(of(report, "no-support").is_empty(), "{name}");
        assert!(of(report, "stacked").is_empty(), "{name}");
    }
}

#[test]
fn wrens_show_their_planted_faults() {
    let twins = twins("wren");
    assert_eq!(twins.len(), 3);
    for (name, report) in twins {
        assert_eq!(
            report["luminaires"].as_array().unwrap().len(),
            20 + 12 + 10 + 8 + 8,
            "{name}"
        );
        // 14 trusses, one shortened, one doubled; and a beam.
        let members = report["members"].as_array().unwrap();
        assert_eq!(members.len(), 15, "{name}");
        let doubled = members
            .iter()
            .filter(|m| (m["thickness"].as_f64().unwrap() - 3.0).abs() < 1e-6);
        assert_eq!(doubled.count(), 1, "{name}");
        let skew = of(report, "row-skew");
        assert_eq!(skew.len(), 1, "{name}");
        assert!(
            (skew[0]["measured"].as_f64().unwrap() - 0.75).abs() < 0.001,
            "{name}"
        );
        let wide = of(report, "wide-bay");
        assert!(!wide.is_empty(), "{name}");
        for finding in wide {
            assert!(
                (finding["measured"].as_f64().unwrap() - 46.5).abs() < 0.001,
                "{name}"
            );
        }
        // The short end, 4 1/2 in, has 3 1/4 to the beam.
        let clash = of(report, "housing-clash");
        assert_eq!(clash.len(), 3, "{name}");
        for finding in clash {
            assert!(
                (finding["measured"].as_f64().unwrap() - 1.25).abs() < 0.001,
                "{name}"
            );
        }
    }
}

#[test]
fn the_sound_plan_is_clean_of_faults_and_its_twin_shows_one() {
    let (_, clean) = twins("plover-mirrored")[0];
    assert_eq!(clean["luminaires"].as_array().unwrap().len(), 40);
    assert_eq!(clean["rows"].as_array().unwrap().len(), 13);
    assert_eq!(counts(clean), BTreeMap::new());
    let faulty = &reports()["lot-07-plover"];
    let off = of(faulty, "off-line");
    assert_eq!(off.len(), 2, "one light off both of its rows");
    for finding in off {
        assert!((finding["measured"].as_f64().unwrap() - 0.1875).abs() < 0.001);
    }
}

#[test]
fn mirrored_and_turned_twins_have_the_same_findings() {
    for word in ["heron", "wren"] {
        let twins = twins(word);
        let first = counts(twins[0].1);
        for (name, report) in &twins[1..] {
            assert_eq!(counts(report), first, "{name}");
        }
    }
}

#[test]
fn every_sheet_is_legible_at_a_quarter_inch_to_the_foot() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    let rules = bayline::batch::read_rules(&root.join("bayline.toml")).unwrap();
    let (mut sheets, mut cuts, mut moves) = (0, 0, 0);
    for file in std::fs::read_dir(root.join("plans")).unwrap() {
        let path = file.unwrap().path();
        if path.extension().is_none_or(|e| e != "dxf") {
            continue;
        }
        let bytes = std::fs::read(&path).unwrap();
        let audited = bayline::batch::audit::audit_bytes("plan", &bytes, &rules).unwrap();
        let report = &audited.report;
        let sheet = bayline::sheet::sheet("plan", &report.plan, &report.findings, &report.remedies, &rules);
        let labels =
            sheets::legible(&sheet, &report.plan, &rules).unwrap_or_else(|e| panic!("{path:?}: {e}"));
        assert!(labels >= report.plan.lights.len() + report.findings.len());
        let says = |start: &str| {
            let text = |m: &&bayline::sheet::Mark| matches!(&m.shape, bayline::sheet::MarkShape::Text { text, .. } if text.starts_with(start));
            sheet.plan.iter().filter(text).count()
        };
        assert_eq!(
            says("cut "),
            report.cut_list.pieces(),
            "a length at each piece, once"
        );
        cuts += says("cut ");
        moves += says("move ");
        sheets += 1;
    }
    assert!(sheets == 8 && cuts > 20 && moves > 5, "{sheets} {cuts} {moves}");
}
