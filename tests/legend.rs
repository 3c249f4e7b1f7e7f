//! What a plan was read as, and that the rules written from a reading give that reading again.

use std::path::{Path, PathBuf};

use bayline::batch::legend::{Legend, legend_bytes};
use bayline::plan::Plan;
use bayline::recognise::{Became, Named};
use bayline::rules::{Rules, parse};

fn plans() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo/plans");
    let mut plans: Vec<PathBuf> = (std::fs::read_dir(folder).unwrap())
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "dxf"))
        .collect();
    plans.sort();
    assert!(plans.len() >= 8, "demo plans");
    plans
}

fn demo_rules() -> Rules {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo/bayline.toml");
    parse(&std::fs::read_to_string(file).unwrap(), None).unwrap()
}

fn read(path: &Path, rules: &Rules) -> Legend {
    legend_bytes("plan.dxf", &std::fs::read(path).unwrap(), rules)
        .unwrap_or_else(|e| panic!("{}: {e}", path.display()))
}

/// The reason for the unit aside: the written rules give as a choice what was weighed before.
fn same(mut plan: Plan, why: &str) -> Plan {
    plan.units.why = why.to_string();
    plan
}

#[test]
fn written_rules_give_the_same_plan_again() {
    for path in plans() {
        for rules in [demo_rules(), Rules::default()] {
            let first = read(&path, &rules);
            assert!(!first.plan.lights.is_empty(), "{}", path.display());
            let written = parse(&first.rules, None).unwrap_or_else(|e| panic!("{e}\n{}", first.rules));
            let again = read(&path, &written);
            assert!(
                same(first.plan.clone(), "") == same(again.plan, ""),
                "{}:\n{}",
                path.display(),
                first.rules
            );
            assert_eq!(written.luminaires, rules.luminaires);
            assert!(first.notes.iter().all(|n| n.code != "starter-differs"));
        }
    }
}

/// A drawing of one circle in each of some blocks, all on a light layer, 5 ft apart.
fn on_a_light_layer(blocks: &[&str]) -> String {
    let mut text = "0\nSECTION\n2\nBLOCKS\n".to_string();
    for block in blocks {
        text += &format!(
            "0\nBLOCK\n8\n0\n2\n{block}\n70\n0\n10\n0\n20\n0\n0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n3\n0\nENDBLK\n"
        );
    }
    text += "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n";
    for (i, block) in blocks.iter().enumerate() {
        text += &format!("0\nINSERT\n8\nE-LITE-CLNG\n2\n{block}\n10\n{}\n20\n0\n", 60 * i);
    }
    text + "0\nENDSEC\n0\nEOF\n"
}

/// Fixtures that are no recessed lights are obstacles where they hang from the ceiling: the written rules say so.
#[test]
fn what_is_kept_clear_of_is_kept_clear_of_by_the_written_rules() {
    let drawing = on_a_light_layer(&[
        "LT-R6",
        "LT-R4",
        "PENDANT",
        "CHANDELIER",
        "TROFFER",
        "EXIT",
        "SCONCE",
        "DOOR",
    ]);
    let rules = parse("units = \"in\"\n", None).unwrap();
    let first = legend_bytes("plan.dxf", drawing.as_bytes(), &rules).unwrap();
    assert_eq!((first.plan.lights.len(), first.plan.obstacles.len()), (2, 4));
    assert!(first.notes.iter().all(|n| n.code != "starter-differs"));
    let written = parse(&first.rules, None).unwrap();
    let again = legend_bytes("plan.dxf", drawing.as_bytes(), &written).unwrap();
    assert!(same(again.plan, "") == same(first.plan, ""), "{}", first.rules);
}

#[test]
fn every_entity_is_told_of_once_by_its_layer() {
    for path in plans() {
        let legend = read(&path, &Rules::default());
        let by_layer = legend.readings.iter().filter(|r| r.named == Named::Layer);
        let (mut all, mut unclaimed) = (0, 0);
        for r in by_layer {
            assert_eq!(r.became.values().sum::<usize>(), r.count, "{}", r.name);
            all += r.count;
            let of = |b| r.became.get(&b).copied().unwrap_or(0);
            unclaimed += of(Became::Unclaimed) + of(Became::Hidden);
        }
        let counts = legend.plan.counts;
        assert_eq!(all + counts.dropped, counts.entities, "{}", path.display());
        assert_eq!(unclaimed, counts.unclaimed, "{}", path.display());
    }
}

#[test]
fn every_unknown_type_is_proposed_in_a_comment_that_can_be_taken_out() {
    let path = &plans()[0];
    let legend = read(path, &Rules::default());
    let mut live = String::new();
    for line in legend.rules.lines() {
        let bare = line.strip_prefix("# ").unwrap_or(line);
        let entry = bare.starts_with("[[luminaire]]") || bare.contains(" = ");
        live += if entry && line.starts_with("# ") {
            bare
        } else {
            line
        };
        live.push('\n');
    }
    let rules = parse(&live, None).unwrap_or_else(|e| panic!("{e}\n{live}"));
    assert!(!rules.luminaires.is_empty());
    let again = read(path, &rules);
    assert!(again.plan.lights.iter().all(|l| l.schedule.is_some()));
}

/// What is written on a picture, lines run together.
fn words(svg: &str) -> String {
    let mut text = String::new();
    for piece in svg.split('<').filter_map(|piece| piece.split_once('>')) {
        text.push(' ');
        text += piece.1;
    }
    text.split_whitespace().collect::<Vec<&str>>().join(" ")
}

#[test]
fn the_picture_shows_every_light_and_explains_every_mark() {
    let legend = read(&plans()[0], &demo_rules());
    let shown = legend.svg.matches("<circle class=\"light filled\"").count();
    // One more stands beside the explanation.
    assert_eq!(shown, legend.plan.lights.len() + 1);
    for (class, words) in [
        ("wall", "Wall, as drawn"),
        ("member", "Framing member"),
        ("room", "Room: "),
    ] {
        assert!(legend.svg.contains(&format!("class=\"{class}")), "{class}");
        assert!(legend.svg.contains(words), "{words}");
    }
    let words = words(&legend.svg);
    assert!(words.contains("Drawn in inches: "), "{words}");
    // These rules name every class.
    assert!(words.contains("its names sure 1.00"), "{words}");
    let by_names = self::words(&read(&plans()[0], &Rules::default()).svg);
    assert!(
        by_names.contains("its names sure 0.9") && !by_names.contains("sure 1.00"),
        "{by_names}"
    );
    assert!(!by_names.contains("Doubtful"), "{by_names}");
}

#[test]
fn a_file_that_is_there_is_kept_unless_forced() {
    let out = tempfile::tempdir().unwrap();
    let file = out.path().join("bayline.toml");
    std::fs::write(&file, "mine").unwrap();
    let run = |force: &[&str]| {
        assert_cmd::Command::cargo_bin("bayline")
            .unwrap()
            .arg("legend")
            .arg(&plans()[0])
            .arg("--out")
            .arg(out.path())
            .arg("--write")
            .arg(&file)
            .args(force)
            .assert()
    };
    let told = run(&[]).code(2).get_output().stderr.clone();
    assert!(String::from_utf8_lossy(&told).contains("--force"));
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
    assert_eq!(
        std::fs::read_dir(out.path()).unwrap().count(),
        1,
        "nothing written"
    );
    let table = run(&["--force"]).code(0).get_output().stdout.clone();
    assert!(String::from_utf8_lossy(&table).contains("E-LITE"));
    assert!(std::fs::read_to_string(&file).unwrap().contains("[read.lights]"));
    assert!(out.path().join("lot-01-heron.legend.svg").is_file());
}
