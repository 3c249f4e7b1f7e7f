//! Batches: what is found, what is written, what a bad plan does to the others, exit status.

use crate::plans::{Draw, Scene, WHOLE, plan};

/// Outputs of one plan, in a folder `out`.
fn outputs(stem: &str) -> [String; 3] {
    ["report.json", "redline.svg", "redline.dxf"].map(|end| format!("out/{stem}.{end}"))
}

#[test]
fn a_clean_plan_gives_its_files_and_status_0() {
    let s = Scene::new();
    s.put("plan.dxf", plan(WHOLE));
    let ran = s.run("audit plan.dxf --out out");
    assert_eq!(ran.code, Some(0), "{ran:#?}");
    assert_eq!(ran.err, "");
    let names: Vec<String> = s.files("out").into_keys().collect();
    let wanted = [
        "plan.redline.dxf",
        "plan.redline.svg",
        "plan.report.json",
        "summary.csv",
        "summary.html",
        "summary.json",
    ];
    assert_eq!(names, wanted, "all outputs, and no part left behind");
    let report = s.json("out/plan.report.json");
    assert_eq!(report["plan"], "plan.dxf");
    assert_eq!(report["luminaires"].as_array().unwrap().len(), 5);
    assert_eq!(report["members"].as_array().unwrap().len(), 16);
    assert_eq!(report["rows"].as_array().unwrap().len(), 1);
    assert_eq!(report["luminaires"][0]["at"], serde_json::json!([24.0, 30.0]));
    // 16 in on centre less half of 1 1/2 thick, the light midway (derived).
    assert_eq!(report["luminaires"][0]["left"], 7.25);
}

#[test]
fn findings_give_status_1_where_they_are_grave_enough() {
    let s = Scene::new();
    let off = Draw { off: 0.375, ..WHOLE };
    s.put("plan.dxf", plan(off));
    for (flag, code) in [
        ("", 0),
        ("--fail-on must", 0),
        ("--fail-on should", 1),
        ("--fail-on note", 1),
    ] {
        let ran = s.run(&format!("audit plan.dxf --out out {flag}"));
        assert_eq!(ran.code, Some(code), "{flag}: {ran:#?}");
    }
    let report = s.json("out/plan.report.json");
    let off_line = report["findings"]
        .as_array()
        .unwrap()
        .iter()
        .find(|f| f["kind"] == "off-line");
    let off_line = off_line.expect("an off-line finding");
    assert!(
        (off_line["measured"].as_f64().unwrap().abs() - 0.375).abs() < 1e-3,
        "{off_line}"
    );
    assert_eq!(off_line["luminaires"], serde_json::json!(["L2"]));
}

#[test]
fn points_are_in_drawing_units() {
    let s = Scene::new();
    let mm = |text: String| {
        // The same numbers, taken as millimetres, are a plan 25.4 times as small.
        text.replace("$INSUNITS\n70\n1\n", "$INSUNITS\n70\n4\n")
    };
    s.put("plan.dxf", mm(plan(WHOLE)));
    s.run("audit plan.dxf --out out --units in");
    let report = s.json("out/plan.report.json");
    assert_eq!(report["units"]["name"], "in", "--units overrides the header");
    assert_eq!(report["luminaires"][1]["at"], serde_json::json!([72.0, 30.0]));
}

/// A plan whose lines have no size that is known of any house: lights, and their room alone.
fn telling_nothing(units: Option<i32>) -> String {
    let bare = Draw {
        units,
        framing: false,
        ..WHOLE
    };
    plan(bare).replace("\n40\n4\n", "\n40\n1.5\n")
}

#[test]
fn each_bad_plan_gives_one_clear_message_and_the_others_results() {
    let whole = plan(WHOLE);
    let jpeg: Vec<u8> = [0xFF, 0xD8, 0xFF, 0xE0, 0, 16]
        .into_iter()
        .chain(*b"JFIF\0\x01\x01\0\0")
        .chain(0..200)
        .collect();
    // name, bytes, what the message must hold, whether a report is written all the same
    let cases: [(&str, Vec<u8>, &[&str], bool); 6] = [
        ("empty", Vec::new(), &["empty.dxf: ", "empty"], false),
        ("photo", jpeg, &["photo.dxf: ", "DXF"], false),
        (
            "cut",
            whole.as_bytes()[..whole.len() * 2 / 3].to_vec(),
            &["cut.dxf: "],
            true,
        ),
        (
            "unitless",
            telling_nothing(None).into(),
            &["unitless.dxf: ", "--units"],
            false,
        ),
        (
            "zero-units",
            telling_nothing(Some(0)).into(),
            &["zero-units.dxf: ", "--units"],
            false,
        ),
        (
            "dark",
            plan(Draw {
                lights: false,
                ..WHOLE
            })
            .into(),
            &["dark.dxf: ", "lights"],
            true,
        ),
    ];
    for (name, bytes, parts, reported) in cases {
        let s = Scene::new();
        s.put("in/a-good.dxf", &whole);
        s.put(&format!("in/{name}.dxf"), bytes);
        s.put("in/z-good.dxf", &whole);
        let ran = s.run("audit in --out out");
        ran.says(2, parts);
        for file in outputs("a-good").iter().chain(&outputs("z-good")) {
            assert!(s.exists(file), "{name}: {file} is missing");
        }
        for file in outputs(name) {
            assert_eq!(s.exists(&file), reported, "{name}: {file}");
        }
        let summary = s.json("out/summary.json");
        let plans = summary["plans"].as_array().unwrap();
        assert_eq!(plans.len(), 3, "{name}");
        let bad = plans.iter().find(|p| p["plan"] == format!("{name}.dxf")).unwrap();
        assert_eq!(bad["status"], 2);
        assert_eq!(bad.get("error").is_some(), !reported, "{bad}");
    }
}

#[test]
fn a_plan_without_framing_is_judged_as_far_as_it_goes_and_says_so() {
    let s = Scene::new();
    s.put(
        "plan.dxf",
        plan(Draw {
            framing: false,
            off: 0.375,
            ..WHOLE
        }),
    );
    let ran = s.run("audit plan.dxf --out out --fail-on should");
    assert_eq!((ran.code, ran.err.as_str()), (Some(1), ""), "{ran:#?}");
    let report = s.json("out/plan.report.json");
    let notes = report["notes"].as_array().unwrap();
    let no_framing = notes
        .iter()
        .find(|n| n["message"].as_str().unwrap().contains("framing"));
    assert_eq!(no_framing.expect("a note on framing")["level"], "warning");
    assert!(ran.out.contains("framing"), "{}", ran.out);
    for f in report["findings"].as_array().unwrap() {
        assert_eq!(f["members"], serde_json::json!([]), "{f}");
    }
    assert_eq!(report["luminaires"][0]["left"], serde_json::Value::Null);
}

#[test]
fn one_thread_and_two_give_the_same_bytes() {
    let s = Scene::new();
    for i in 0..7 {
        let off = f64::from(i) / 8.0;
        s.put(&format!("in/plan-{i}.dxf"), plan(Draw { off, ..WHOLE }));
    }
    s.put("in/broken.dxf", b"nonsense");
    let one = s.run("audit in --out one --threads 1");
    let two = s.run("audit in --out two --threads 2");
    assert_eq!((one.code, &one.err), (two.code, &two.err));
    assert_eq!(one.out.replace("one/", "two/"), two.out);
    let (one, two) = (s.files("one"), s.files("two"));
    assert_eq!(one.len(), 7 * 3 + 3);
    for (name, bytes) in &one {
        assert!(two.get(name) == Some(bytes), "{name} differs");
    }
    assert_eq!(one.len(), two.len());
}

#[test]
fn plans_of_one_name_keep_their_folders() {
    let s = Scene::new();
    s.put("in/north/unit.dxf", plan(WHOLE));
    s.put("in/south/unit.DXF", plan(Draw { off: 0.375, ..WHOLE }));
    s.put("in/south/deep/hall.dxf", plan(WHOLE));
    let ran = s.run("audit in --out out");
    assert_eq!(ran.code, Some(0), "{ran:#?}");
    for stem in ["north/unit", "south/unit", "hall"] {
        for file in outputs(stem) {
            assert!(s.exists(&file), "{file}");
        }
    }
    assert_ne!(
        s.read("out/north/unit.report.json"),
        s.read("out/south/unit.report.json")
    );
    let summary = s.json("out/summary.json");
    let names: Vec<&str> = summary["plans"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| p["plan"].as_str().unwrap())
        .collect();
    assert_eq!(
        names,
        ["north/unit.dxf", "hall.dxf", "south/unit.DXF"],
        "in the order found"
    );
}

#[test]
fn a_plan_named_twice_is_audited_once() {
    let s = Scene::new();
    s.put("in/a.dxf", plan(WHOLE));
    s.put("in/b.dxf", plan(WHOLE));
    let ran = s.run("audit in/b.dxf in ./in/../in/a.dxf --out out");
    assert_eq!(ran.code, Some(0), "{ran:#?}");
    let summary = s.json("out/summary.json");
    let names: Vec<&str> = summary["plans"]
        .as_array()
        .unwrap()
        .iter()
        .map(|p| p["plan"].as_str().unwrap())
        .collect();
    assert_eq!(names, ["b.dxf", "a.dxf"]);
}

#[test]
fn an_output_never_overwrites_an_input() {
    let s = Scene::new();
    s.put("a.dxf", plan(WHOLE));
    s.put("a.redline.dxf", plan(WHOLE));
    let before = s.read("a.redline.dxf");
    let ran = s.run("audit a.dxf a.redline.dxf --out .");
    ran.says(2, &["a.dxf: ", "a.redline.dxf is an input"]);
    assert_eq!(s.read("a.redline.dxf"), before);
    assert!(s.exists("a.redline.report.json"), "the other plan has its result");
}

#[test]
fn redlines_of_an_earlier_run_are_passed_over_and_told() {
    let s = Scene::new();
    s.put("in/a.dxf", plan(WHOLE));
    assert_eq!(s.run("audit in --out in").code, Some(0));
    let ran = s.run("audit in --out in");
    assert_eq!(ran.code, Some(0), "{ran:#?}");
    assert!(
        ran.out.contains("1 redline of an earlier run passed over"),
        "{}",
        ran.out
    );
    assert_eq!(s.json("in/summary.json")["plans"].as_array().unwrap().len(), 1);
}

#[test]
fn what_an_earlier_run_wrote_does_not_pass_for_a_failed_plans_result() {
    let s = Scene::new();
    s.put("a.dxf", plan(WHOLE));
    assert_eq!(s.run("audit a.dxf --out out").code, Some(0));
    s.put("a.dxf", b"");
    assert_eq!(s.run("audit a.dxf --out out").code, Some(2));
    for file in outputs("a") {
        assert!(!s.exists(&file), "{file} is stale");
    }
}

#[test]
fn a_mended_plan_of_an_earlier_run_does_not_pass_for_this_runs() {
    let s = Scene::new();
    s.put("a.dxf", plan(WHOLE));
    assert_eq!(s.run("audit a.dxf --out out --apply").code, Some(0));
    assert!(s.exists("out/a.mended.dxf"));
    // As an input it stays.
    assert_eq!(s.run("audit a.dxf out/a.mended.dxf --out out").code, Some(0));
    assert!(s.exists("out/a.mended.dxf"), "it is an input");
    assert_eq!(s.run("audit a.dxf --out out").code, Some(0));
    assert!(!s.exists("out/a.mended.dxf"), "it is stale");
    assert!(s.exists("out/a.redline.dxf"));
}

#[test]
fn a_dwg_in_a_folder_is_a_plan_that_cannot_be_read() {
    // The first bytes of a DWG, its version and a byte that is no letter (format notes, from memory).
    let dwg = "AC1032\0\0\0\0\0\u{3}";
    let s = Scene::new();
    s.put("in/a.dxf", plan(WHOLE));
    s.put("in/b.DWG", dwg);
    let ran = s.run("audit in --out out");
    assert_eq!(ran.code, Some(2), "{ran:#?}");
    assert!(ran.err.contains("b.DWG") && ran.err.contains("DXF"), "{ran:#?}");
    let summary = s.json("out/summary.json");
    assert!(summary["plans"].to_string().contains("b.DWG"), "{summary}");
    assert!(s.exists("out/a.report.json"));
    // Of which there is an export beside it is told and passed over.
    s.put("in/b.dxf", plan(WHOLE));
    let ran = s.run("audit in --out out");
    assert_eq!(ran.code, Some(0), "{ran:#?}");
    assert!(ran.out.contains("1 DWG passed over"), "{ran:#?}");
}

#[cfg(unix)]
#[test]
fn a_folder_that_links_to_itself_ends() {
    let s = Scene::new();
    s.put("in/a.dxf", plan(WHOLE));
    std::os::unix::fs::symlink(s.path("in"), s.path("in/again")).unwrap();
    let ran = s.run("audit in --out out");
    assert_eq!(ran.code, Some(0), "{ran:#?}");
    assert_eq!(s.json("out/summary.json")["plans"].as_array().unwrap().len(), 1);
}

#[test]
fn rules_are_found_beside_a_plan_or_above_it() {
    let s = Scene::new();
    let capture = "[[luminaire]]\ntag = 'C'\naperture = 4\n";
    s.put("in/bayline.toml", "units = 'ft'");
    s.put("in/near/bayline.toml", format!("units = 'in'\n{capture}"));
    s.put("in/near/deep/a.dxf", plan(Draw { units: None, ..WHOLE }));
    s.put("in/far/b.dxf", plan(Draw { units: None, ..WHOLE }));
    s.run("audit in --out out");
    assert_eq!(s.json("out/a.report.json")["units"]["name"], "in");
    assert_eq!(s.json("out/b.report.json")["units"]["name"], "ft");
    s.put("cm.toml", "units = 'cm'");
    s.run("audit in --out out --rules cm.toml");
    assert_eq!(s.json("out/a.report.json")["units"]["name"], "cm");
}

#[test]
fn a_bad_rules_file_above_some_plans_stops_those_alone() {
    let s = Scene::new();
    s.put("in/bad/bayline.toml", "[tolerance]\nacros = 1\n");
    s.put("in/bad/a.dxf", plan(WHOLE));
    s.put("in/bad/b.dxf", plan(WHOLE));
    s.put("in/good/c.dxf", plan(WHOLE));
    let ran = s.run("audit in --out out");
    ran.says(
        2,
        &[
            "a.dxf, b.dxf: ",
            "bayline.toml:2: unknown key `acros`; did you mean `across`?",
        ],
    );
    assert!(s.exists("out/c.report.json"));
}
