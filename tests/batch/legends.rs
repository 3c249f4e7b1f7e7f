//! What is left out of the count is said on the terminal and in the report, with the heading it stands under.

use std::fmt::Write as _;

use crate::plans::{Scene, WHOLE, plan};

/// The hall with its five lights, and a legend of two below it.
fn drawing(heading: &str) -> String {
    let mut more = format!("0\nTEXT\n8\nA-ANNO\n10\n20\n20\n-40\n40\n6\n1\n{heading}\n");
    for (y, words) in [(-60, "RECESSED DOWNLIGHT"), (-80, "RECESSED WALL WASH")] {
        write!(more, "0\nCIRCLE\n8\nE-LITE\n10\n24\n20\n{y}\n40\n4\n").unwrap();
        write!(
            more,
            "0\nTEXT\n8\nA-ANNO\n10\n36\n20\n{}\n40\n5\n1\n{words}\n",
            y - 2
        )
        .unwrap();
    }
    plan(WHOLE).replace("0\nENDSEC\n0\nEOF\n", &format!("{more}0\nENDSEC\n0\nEOF\n"))
}

/// The words of an output, however its lines are broken.
fn plain(out: &str) -> String {
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_summary_the_reading_and_the_report_name_the_heading() {
    let s = Scene::new();
    s.put("plan.dxf", drawing("LIGHTING LEGEND"));
    let said = "2 light symbol(s) under \"LIGHTING LEGEND\" explain the drawing and are not counted";
    let ran = s.run("audit plan.dxf --out out");
    assert!(
        ran.out.contains(said) && ran.out.contains("5 lights"),
        "{}",
        ran.out
    );
    let report = s.json("out/plan.report.json");
    assert_eq!(report["luminaires"].as_array().unwrap().len(), 5);
    let notes = report["notes"].as_array().unwrap();
    assert!(notes.iter().any(|n| n["message"] == said), "{notes:#?}");
    let ran = s.run("legend plan.dxf");
    assert!(plain(&ran.out).contains(said), "{}", ran.out);
}

#[test]
fn lights_of_no_plan_are_told_of() {
    let s = Scene::new();
    // The words of the second light repeat those of the first: a note, and no legend.
    s.put(
        "plan.dxf",
        drawing("NORTH SIDE").replace("RECESSED WALL WASH", "RECESSED DOWNLIGHT"),
    );
    let ran = s.run("audit plan.dxf --out out");
    assert!(plain(&ran.out).contains("7 lights"), "{}", ran.out);
    let report = s.json("out/plan.report.json");
    let outside = report["findings"].as_array().unwrap().iter();
    assert_eq!(outside.filter(|f| f["kind"] == "outside").count(), 2);
}
