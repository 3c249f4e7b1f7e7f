//! `--framing`: a second drawing that the framing is taken from.

use std::fmt::Write;

use crate::plans::Scene;

pub type Line = [f64; 4];

/// A house of 40 by 30 ft, walls as single faces, lopsided on purpose.
pub const WALLS: [Line; 8] = [
    [0.0, 0.0, 480.0, 0.0],
    [480.0, 0.0, 480.0, 360.0],
    [480.0, 360.0, 0.0, 360.0],
    [0.0, 360.0, 0.0, 0.0],
    [150.0, 0.0, 150.0, 360.0],
    [150.0, 140.0, 480.0, 140.0],
    [340.0, 140.0, 340.0, 320.0],
    [0.0, 270.0, 150.0, 270.0],
];

/// The house mirrored left to right and set aside; its own mirror image is no part of it.
pub fn mirrored([x, y, u, v]: Line) -> Line {
    [2000.0 - x, y + 300.0, 2000.0 - u, v + 300.0]
}

pub fn drawing(walls: &[Line], joists: &[Line], lights: &[(f64, f64)]) -> String {
    let mut s = String::from(
        "0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1015\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n",
    );
    let mut handle = 0x100;
    let mut lines = |s: &mut String, layer: &str, lines: &[Line]| {
        for [x, y, u, v] in lines {
            handle += 1;
            let _ = write!(
                s,
                "0\nLINE\n5\n{handle:X}\n100\nAcDbEntity\n8\n{layer}\n100\nAcDbLine\n10\n{x}\n20\n{y}\n30\n0\n11\n{u}\n21\n{v}\n31\n0\n"
            );
        }
    };
    lines(&mut s, "A-WALL", walls);
    lines(&mut s, "S-JOIS", joists);
    for (i, (x, y)) in lights.iter().enumerate() {
        let _ = write!(
            s,
            "0\nCIRCLE\n5\n{:X}\n100\nAcDbEntity\n8\nE-LITE\n100\nAcDbCircle\n10\n{x}\n20\n{y}\n30\n0\n40\n4\n",
            0x1000 + i
        );
    }
    s + "0\nENDSEC\n0\nEOF\n"
}

/// Joists 16 in on centre, two faces each, over the room at the lower right.
pub fn joists() -> Vec<Line> {
    let line = |i: i32, side: f64| {
        let x = 160.0 + 16.0 * f64::from(i) + side * 0.75;
        [x, 3.0, x, 137.0]
    };
    (0..20).flat_map(|i| [line(i, -1.0), line(i, 1.0)]).collect()
}

/// The fourth stands on a joist.
pub const LIGHTS: [(f64, f64); 4] = [(200.0, 70.0), (248.0, 70.0), (296.0, 70.0), (336.0, 70.0)];

pub fn plan() -> String {
    drawing(&WALLS, &[], &LIGHTS)
}

pub fn framing() -> String {
    let joists: Vec<Line> = joists().into_iter().map(mirrored).collect();
    drawing(&WALLS.map(mirrored), &joists, &[])
}

pub fn notes(report: &serde_json::Value, code: &str) -> Vec<String> {
    let notes = report["notes"].as_array().unwrap();
    let with = notes.iter().filter(|n| n["code"] == code);
    with.map(|n| n["message"].as_str().unwrap().to_string()).collect()
}

#[test]
fn joists_of_a_mirrored_drawing_are_checked_against() {
    let s = Scene::new();
    s.put("plan.dxf", plan());
    s.put("joists.dxf", framing());
    let without = s.run("audit plan.dxf --out none");
    assert_eq!(without.code, Some(0), "{without:#?}");
    assert_eq!(
        s.json("none/plan.report.json")["framing"],
        serde_json::Value::Null
    );

    let ran = s.run("audit plan.dxf --framing joists.dxf --out out");
    assert_eq!(ran.code, Some(1), "{ran:#?}");
    let report = s.json("out/plan.report.json");
    let framing = &report["framing"];
    assert_eq!(
        (&framing["source"], &framing["how"]),
        (&"joists.dxf".into(), &"walls".into())
    );
    assert_eq!(
        (&framing["mirrored"], &framing["matched"]["walls"]),
        (&true.into(), &8.into())
    );
    assert_eq!(
        (&framing["scale"], &framing["members"]),
        (&1.0.into(), &20.into())
    );
    assert!(framing["worst"].as_f64().unwrap() < 1e-6, "{framing}");
    let placings = framing["placings"].as_array().unwrap();
    assert!(
        placings.len() == 1 && placings[0]["plan"].is_null() && placings[0]["members"] == 20,
        "{framing}"
    );
    let members = report["members"].as_array().unwrap();
    assert_eq!(members.len(), 20);
    assert!(
        members
            .iter()
            .all(|m| m["source"] == "second" && m["thickness"] == 1.5)
    );
    let on = report["findings"]
        .as_array()
        .unwrap()
        .iter()
        .find(|f| f["kind"] == "hits-member");
    assert_eq!(
        on.expect("the light on a joist")["luminaires"],
        serde_json::json!(["L4"])
    );
    // 16 in on centre less half of 1 1/2 thick, the light midway (derived).
    assert_eq!(report["luminaires"][0]["left"], 7.25);
    assert_eq!(notes(&report, "framing-placed").len(), 1);
    let svg = String::from_utf8(s.read("out/plan.redline.svg")).unwrap();
    assert!(
        svg.contains("joists.dxf"),
        "the sheet says where the framing is from"
    );
}

#[test]
fn the_legend_takes_it_too() {
    let s = Scene::new();
    s.put("plan.dxf", plan());
    s.put("joists.dxf", framing());
    let ran = s.run("legend plan.dxf --framing joists.dxf --write bayline.toml");
    assert_eq!(ran.code, Some(0), "{ran:#?}");
    assert!(
        ran.out.contains("20 members")
            && ran
                .out
                .contains("framing from joists.dxf, placed by common walls"),
        "{}",
        ran.out
    );
    assert!(!ran.out.contains("need a look"), "{}", ran.out);
}

#[test]
fn a_drawing_that_cannot_be_read_is_told_before_anything_is_written() {
    let s = Scene::new();
    s.put("plan.dxf", plan());
    s.put("bad.dxf", "no drawing");
    for name in ["gone.dxf", "bad.dxf"] {
        s.run(&format!("audit plan.dxf --framing {name} --out out"))
            .says(2, &["--framing", name]);
        s.run(&format!("legend plan.dxf --framing {name}"))
            .says(2, &["--framing", name]);
    }
    assert!(!s.exists("out"));
}

#[test]
fn another_houses_framing_is_refused_and_the_plan_judged_without() {
    let s = Scene::new();
    let other = WALLS.map(|[x, y, u, v]| [x * 1.37, y * 0.83, u * 1.37, v * 0.83]);
    s.put("plan.dxf", plan());
    s.put("other.dxf", drawing(&other, &joists(), &[]));
    let ran = s.run("audit plan.dxf --framing other.dxf --out out");
    assert_eq!(ran.code, Some(2), "{ran:#?}");
    let report = s.json("out/plan.report.json");
    assert_eq!(report["framing"], serde_json::Value::Null);
    assert!(report["members"].as_array().unwrap().is_empty());
    let said = notes(&report, "framing-not-placed");
    assert!(
        said.len() == 1 && said[0].contains("not the plan's") && said[0].contains('%'),
        "{said:?}"
    );
}

#[test]
fn plans_side_by_side_are_listed_with_their_lights_and_findings() {
    let s = Scene::new();
    let beside = |[x, y, u, v]: Line| [x + 800.0, y, u + 800.0, v];
    let walls: Vec<Line> = WALLS.into_iter().chain(WALLS.map(beside)).collect();
    let framing: Vec<Line> = joists()
        .into_iter()
        .chain(joists().into_iter().map(beside))
        .collect();
    let lights: Vec<(f64, f64)> = LIGHTS[..3]
        .iter()
        .copied()
        .chain(LIGHTS.map(|(x, y)| (x + 800.0, y)))
        .collect();
    let title =
        |x: f64, text: &str| format!("0\nTEXT\n8\nA-ANNO\n10\n{x}\n20\n-60\n30\n0\n40\n12\n1\n{text}\n");
    let titles = title(100.0, "FIRST FLOOR PLAN") + &title(900.0, "SECOND FLOOR PLAN");
    let end = "0\nENDSEC\n0\nEOF\n";
    let text = drawing(&walls, &framing, &lights);
    s.put(
        "plan.dxf",
        text.strip_suffix(end).unwrap().to_string() + &titles + end,
    );
    let ran = s.run("audit plan.dxf --out out");
    // The summary tells them apart, and says in which a finding is.
    assert!(ran.out.contains("  FIRST FLOOR PLAN: 3 lights, "), "{}", ran.out);
    assert!(
        ran.out.contains("  SECOND FLOOR PLAN: 4 lights, 1 must"),
        "{}",
        ran.out
    );
    let report = s.json("out/plan.report.json");
    let told: Vec<_> = (report["plans"].as_array().unwrap().iter())
        .map(|p| {
            (
                p["title"].as_str().unwrap(),
                p["luminaires"].as_array().unwrap().len(),
            )
        })
        .collect();
    assert_eq!(told, [("FIRST FLOOR PLAN", 3), ("SECOND FLOOR PLAN", 4)]);
    // The light on a joist is in the second alone.
    let on = |f: &&serde_json::Value| f["kind"] == "hits-member";
    assert_eq!(
        report["findings"].as_array().unwrap().iter().filter(on).count(),
        1
    );
    assert_eq!(
        (&report["plans"][0]["must"], &report["plans"][1]["must"]),
        (&0.into(), &1.into())
    );
    assert_eq!(notes(&report, "several-plans").len(), 1);
    // Each has a sheet of its own, with its lights and findings and no others.
    let sheet = |n: u8| String::from_utf8(s.read(&format!("out/plan.plan-{n}.redline.svg"))).unwrap();
    let (first, second) = (sheet(1), sheet(2));
    assert!(first.contains("FIRST FLOOR PLAN, plan.dxf") && second.contains("SECOND FLOOR PLAN, plan.dxf"));
    let shows = |sheet: &str, id: &str| sheet.contains(&format!(">{id}<"));
    let must = |sheet: &str| sheet.contains("Must be put right (1)");
    assert!(
        shows(&first, "L3") && !shows(&first, "L4") && !must(&first),
        "{first}"
    );
    assert!(
        shows(&second, "L4") && !shows(&second, "L3") && must(&second),
        "{second}"
    );
    assert!(!first.contains("NaN") && !second.contains("NaN"));
    // Without titles they are told apart by their places.
    s.put("plan.dxf", text);
    let ran = s.run("audit plan.dxf --out out");
    assert!(
        ran.out.contains("  plan 2 without a title: 4 lights, 1 must"),
        "{}",
        ran.out
    );
    s.put("plan.dxf", drawing(&WALLS, &joists(), &LIGHTS));
    s.run("audit plan.dxf --out out");
    assert!(!s.exists("out/plan.plan-1.redline.svg") && !s.exists("out/plan.plan-2.redline.svg"));
}

#[test]
fn a_folder_gives_each_plan_the_drawing_of_its_name() {
    let s = Scene::new();
    s.put("plans/a.dxf", plan());
    s.put("plans/b.dxf", plan());
    s.put("joists/a.dxf", framing());
    let ran = s.run("audit plans --framing joists --out out");
    assert_eq!(ran.code, Some(2), "{ran:#?}");
    assert_eq!(
        s.json("out/a.report.json")["members"].as_array().unwrap().len(),
        20
    );
    let b = s.json("out/b.report.json");
    let said = notes(&b, "framing-unread");
    assert!(said.len() == 1 && said[0].contains("no such file"), "{said:?}");
}

#[test]
fn the_framing_drawing_among_the_plans_is_no_plan_and_never_written_over() {
    let s = Scene::new();
    s.put("plans/a.dxf", plan());
    s.put("plans/joists.dxf", framing());
    let ran = s.run("audit plans --framing plans/joists.dxf --out out --threads 2");
    assert_eq!(ran.code, Some(1), "{ran:#?}");
    let summary = s.json("out/summary.json");
    assert_eq!(summary["totals"]["plans"], 1);
    assert!(
        summary["remarks"][0].as_str().unwrap().contains("joists.dxf"),
        "{summary}"
    );
    s.put("here/a.redline.dxf", framing());
    let ran = s.run("audit plans/a.dxf --framing here/a.redline.dxf --out here");
    ran.says(2, &["a.redline.dxf", "is an input"]);
    assert_eq!(s.read("here/a.redline.dxf"), framing().into_bytes());
}

#[test]
fn the_rules_may_say_how_the_drawing_lies() {
    let s = Scene::new();
    s.put("plan.dxf", plan());
    s.put("joists.dxf", framing());
    for (rules, how, code) in [
        ("place = 'origin'", "origin", 2),
        ("turn = 170\nmirrored = true", "walls", 1),
        ("turn = 45\nmirrored = false", "", 2),
        ("turn = 90", "", 2),
    ] {
        s.put("mine.toml", format!("[framing]\n{rules}\n"));
        let ran = s.run("audit plan.dxf --framing joists.dxf --rules mine.toml --out out");
        let report = s.json("out/plan.report.json");
        assert_eq!(
            report["framing"]["how"].as_str().unwrap_or_default(),
            how,
            "{rules}"
        );
        if how == "origin" {
            // It lies far away: taken as told, with a warning.
            let noted = |n: &&serde_json::Value| n["code"] == "framing-placed" && n["level"] == "warning";
            assert_eq!(
                report["notes"].as_array().unwrap().iter().filter(noted).count(),
                1
            );
        } else {
            assert_eq!(ran.code, Some(code), "{rules}: {ran:#?}");
        }
        let legend =
            s.run("legend plan.dxf --framing joists.dxf --rules mine.toml --write again.toml --force");
        assert!(!legend.out.contains("need a look"), "{rules}: {}", legend.out);
        if !how.is_empty() {
            let again = String::from_utf8(s.read("again.toml")).unwrap();
            for line in rules.replace('\'', "\"").lines() {
                let key = line.split(' ').next().unwrap();
                assert!(again.contains(&format!("\n{key} = ")), "{again}");
            }
        }
    }
    s.put("mine.toml", "[framing]\nplace = 'nowhere'\n");
    s.run("audit plan.dxf --rules mine.toml --out out")
        .says(2, &["mine.toml:2"]);
}
