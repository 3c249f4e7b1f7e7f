//! Arguments, messages and the terminal summary.

use crate::plans::{Draw, Scene, WHOLE, plan};

#[test]
fn wrong_arguments_are_told_with_status_2() {
    let s = Scene::new();
    s.put("plan.dxf", plan(WHOLE));
    for (args, part) in [
        ("audit plan.dxf --out out --treads 2", "--threads"),
        ("audit plan.dxf", "--out"),
        ("audit --out out", "PLAN|FOLDER"),
        ("audit plan.dxf --out out --threads 0", "--threads"),
        ("audit plan.dxf --out out --units inch", "--units"),
        ("audit plan.dxf --out out --fail-on never", "--fail-on"),
        ("audit plan.dxf --out out --framing other.dxf", "--framing"),
        ("adit plan.dxf", "audit"),
        ("", "audit"),
    ] {
        let ran = s.run(args);
        assert_eq!(ran.code, Some(2), "{args}: {ran:#?}");
        assert!(ran.err.contains(part), "{args}: {ran:#?}");
        assert!(!s.exists("out"), "{args}");
    }
    let help = s.run("audit --help");
    assert_eq!(help.code, Some(0));
    assert!(help.out.contains("Exit status"), "{}", help.out);
}

#[test]
fn a_missing_path_is_told_and_the_others_go_on() {
    let s = Scene::new();
    s.put("plan.dxf", plan(WHOLE));
    s.run("audit gone.dxf plan.dxf --out out")
        .says(2, &["gone.dxf: there is no such file"]);
    assert!(s.exists("out/plan.report.json"));
}

#[test]
fn an_empty_folder_is_told() {
    let s = Scene::new();
    std::fs::create_dir_all(s.path("in/below")).unwrap();
    s.put("in/readme.txt", "nothing");
    s.run("audit in --out out").says(2, &["in: ", "no .dxf plan"]);
}

#[test]
fn a_folder_that_cannot_be_written_is_told_before_anything_is_read() {
    let s = Scene::new();
    s.put("plan.dxf", plan(WHOLE));
    s.put("file", "in the way");
    // Holds for the superuser too: a file cannot have anything below it.
    s.run("audit plan.dxf --out file/out")
        .says(2, &["cannot write to the folder file/out"]);
    s.run("audit plan.dxf --out file")
        .says(2, &["cannot write to the folder file"]);
}

#[test]
fn one_output_that_cannot_be_written_is_its_plans_error() {
    let s = Scene::new();
    s.put("in/a.dxf", plan(WHOLE));
    s.put("in/b.dxf", plan(WHOLE));
    std::fs::create_dir_all(s.path("out/a.redline.svg/in-the-way")).unwrap();
    s.run("audit in --out out")
        .says(2, &["a.dxf: cannot write", "a.redline.svg"]);
    assert!(s.exists("out/b.report.json"));
    let left: Vec<String> = s
        .files("out")
        .into_keys()
        .filter(|n| n.contains("part"))
        .collect();
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_bad_rules_file_is_told_with_its_line() {
    let s = Scene::new();
    s.put("plan.dxf", plan(WHOLE));
    s.put("mine.toml", "units = 'in'\n\n[tolerances]\nacross = 1\n");
    s.run("audit plan.dxf --out out --rules mine.toml").says(
        2,
        &["mine.toml:3: unknown key `tolerances`; did you mean `tolerance`?"],
    );
    s.run("audit plan.dxf --out out --rules none.toml")
        .says(2, &["none.toml", "no such file"]);
    s.put("latin.toml", b"# caf\xe9\n");
    s.run("audit plan.dxf --out out --rules latin.toml")
        .says(2, &["latin.toml", "UTF-8"]);
}

#[test]
fn the_terminal_has_a_line_a_plan_a_table_and_what_to_do_next() {
    let s = Scene::new();
    s.put("in/a.dxf", plan(WHOLE));
    s.put("in/b.dxf", plan(Draw { off: 0.375, ..WHOLE }));
    let ran = s.run("audit in --out out --fail-on should");
    assert_eq!(ran.code, Some(1), "{ran:#?}");
    let a = ran
        .out
        .lines()
        .find(|l| l.starts_with("a.dxf"))
        .expect("a line for a.dxf");
    assert!(
        a.contains("5 lights") && a.contains("1 row ") && a.contains("16 members"),
        "{a}"
    );
    let found = ran
        .out
        .lines()
        .find(|l| l.contains("off-line"))
        .expect("a table line");
    assert!(
        found.starts_with("b.dxf") && found.contains("L2") && found.contains("3/8\""),
        "{found}"
    );
    assert!(ran.out.contains("> Open out/summary.html"), "{}", ran.out);
    assert!(ran.out.contains("licensed electrician"), "{}", ran.out);
    assert!(
        !ran.out.contains('\u{1b}'),
        "no colour where there is no terminal"
    );
    assert!(ran.out.lines().all(|l| l.chars().count() <= 120), "{}", ran.out);

    let quiet = s.run("audit in --out out --quiet");
    assert_eq!((quiet.out.as_str(), quiet.err.as_str()), ("", ""));
}

#[test]
fn names_are_escaped_in_summaries() {
    let s = Scene::new();
    s.put("in/=a,<b>&\"c\".dxf", plan(WHOLE));
    let ran = s.run("audit in --out out");
    assert_eq!(ran.code, Some(0), "{ran:#?}");
    let html = String::from_utf8(s.read("out/summary.html")).unwrap();
    assert!(html.contains("=a,&lt;b&gt;&amp;&quot;c&quot;.dxf"), "{html}");
    assert!(html.contains("./%3Da%2C%3Cb%3E%26%22c%22.redline.svg"), "{html}");
    let csv = String::from_utf8(s.read("out/summary.csv")).unwrap();
    let line = csv.lines().nth(1).unwrap();
    assert!(line.starts_with("\"'=a,<b>&\"\"c\"\".dxf\",0,"), "{line}");
}
