//! The report and the summaries of a plan written by hand.

use std::collections::BTreeMap;

use geo::Coord;
use serde_json::{Value, json};

use crate::check::{Finding, Kind};
use crate::note::Note;
use crate::plan::{FindingId, LightId, MemberId, RemedyId, RowId, notation};
use crate::recognise::{Became, Named, Reading};
use crate::remedy::{Action, Piece, Remedy, bars::Bars, cutlist};
use crate::report::summary::{Judged, Outputs, PlanLine, Summary};
use crate::report::{Report, Status};
use crate::rules::Luminaire;

fn report() -> Report {
    let plan = notation::parse(
        r#"
        units mm
        room "HALL" hall (0,0) (195,0) (195,40) (0,40)
        member joist (0,0) (0,120) t=1 1/2 handle=2F
        callout joist "2x10 @ 16 O.C." (90,20) t=1 1/2 spacing=16 along=(0,1) room=R1 handle=31
        light (24,20) tag=R4 schedule=0 room=R1 handle=30
        light (72,20) room=R1
        bay L1 along=(0,1) left=7 1/4,M1 right=inf
        counts entities=5 claimed=4 unclaimed=1 dropped=0
        unclaimed "A-FURN" "LINE" 1
        "#,
    )
    .unwrap();
    // The same without its joist: the callout is all that is known of the framing.
    let mut unknown = plan.clone();
    unknown.members.clear();
    let at = Coord { x: 24.0, y: 20.0 };
    let finding = |id, kind: Kind, measured, remedies| Finding {
        id: FindingId(id),
        kind,
        severity: kind.severity(),
        lights: vec![LightId(0)],
        members: vec![MemberId(0)],
        row: None,
        room: plan.lights[0].room,
        at,
        measured,
        limit: 24.0,
        mend: Coord { x: 0.0, y: 0.0 },
        message: "A \"message\".".into(),
        remedies,
    };
    let findings = vec![
        finding(0, Kind::OffLine, 0.375, vec![]),
        finding(1, Kind::NoSupport, f64::INFINITY, vec![RemedyId(0)]),
        finding(2, Kind::WideBay, f64::NAN, vec![RemedyId(1)]),
    ];
    let remedy = |id, action| Remedy {
        set_out: Vec::new(),
        id: RemedyId(id),
        mends: vec![FindingId(1)],
        lights: vec![LightId(0)],
        action,
        message: "Do it.".into(),
    };
    let piece = Piece {
        from: at,
        to: Coord { x: 25.4, y: 20.0 },
        thickness: 1.5,
        cut: 14.5,
        between: vec![MemberId(0)],
        serves: vec![LightId(0)],
    };
    let why = "No way.".into();
    let remedies = vec![
        remedy(0, Action::Block { pieces: vec![piece] }),
        remedy(1, Action::None { why }),
    ];
    let phases = crate::phase::phases(&unknown, &crate::rules::Rules::default()).0;
    let reading = Reading {
        named: Named::Block,
        name: "LT".into(),
        count: 2,
        class: Became::Light,
        why: "the word LT in its name".into(),
        confidence: Some(0.9234),
        seen: None,
        may_be: None,
        became: BTreeMap::from([(Became::Light, 2)]),
    };
    Report {
        readings: vec![reading],
        phases,
        applied: None,
        framing: None,
        parts: Vec::new(),
        shares: crate::report::share::Shares::default(),
        name: "n/unit.dxf".into(),
        facings: Vec::new(),
        bars: Vec::new(),
        cut_list: cutlist::cut_list(&remedies),
        schedule: vec![Luminaire {
            aperture: 4.0,
            ..Luminaire::default()
        }],
        plan,
        findings,
        remedies,
        notes: vec![Note::warning("odd", "Odd."), Note::info("fine", "Fine.")],
    }
}

#[test]
fn a_report_has_inches_and_points_in_drawing_units() {
    let text = super::json::report(&report());
    assert!(text.ends_with("}\n"));
    let r: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(r["units"]["inches_per_unit"], json!(1.0 / 25.4));
    // 24 in is 609.6 mm, 20 in is 508 mm, by the definition of the inch.
    assert_eq!(r["luminaires"][0]["at"], json!([609.6, 508.0]));
    assert_eq!(r["luminaires"][0]["aperture"], 4.0, "the schedule's");
    assert_eq!(r["luminaires"][1]["aperture"], 6.0, "the default light's");
    assert_eq!(r["luminaires"][0]["left"], 7.25);
    assert_eq!(r["luminaires"][0]["right"], Value::Null, "nothing there");
    assert_eq!(r["luminaires"][1]["left"], Value::Null, "framing not known");
    assert_eq!(r["members"][0]["to"], json!([0.0, 3048.0]));
    assert_eq!(r["members"][0]["thickness"], 1.5);
    assert_eq!(r["findings"][1]["measured"], Value::Null);
    assert_eq!(r["findings"][2]["measured"], Value::Null);
    assert_eq!(r["findings"][0]["at"], json!([609.6, 508.0]));
    assert_eq!(r["remedies"][0]["pieces"][0]["to"], json!([645.16, 508.0]));
    assert_eq!(
        r["remedies"][1],
        json!({"id": "A2", "kind": "none", "mends": ["F2"], "luminaires": ["L1"], "why": "No way.", "message": "Do it."})
    );
    assert_eq!(r["notes"].as_array().unwrap().len(), 2);
    assert_eq!(
        r["readings"][0],
        json!({"named": "block", "name": "LT", "count": 2, "read_as": "light", "confidence": 0.92,
               "why": "the word LT in its name", "seen": null})
    );
}

#[test]
fn a_report_says_what_to_cut_and_what_bars_are_set_to() {
    let mut report = report();
    report.bars = vec![Bars {
        light: LightId(1),
        clear: 12.03,
        set: 12.0,
        cut: Some(12.0),
        extend: 0.0,
        blocked: false,
    }];
    let r: Value = serde_json::from_str(&super::json::report(&report)).unwrap();
    assert_eq!(r["luminaires"][0]["bars"], Value::Null);
    assert_eq!(
        r["luminaires"][1]["bars"],
        json!({"clear": 12.03, "set": 12.0, "cut": 12.0, "extend": 0.0, "blocked": false})
    );
    let list = &r["cut_list"];
    assert_eq!(list["cuts"][0]["length"], 14.5);
    assert_eq!(
        list["cuts"][0]["serves"],
        json!([{"remedy": "A1", "luminaires": ["L1"], "findings": ["F2"], "count": 1}])
    );
    assert_eq!(
        list["sticks"],
        json!([{"stock": 96.0, "thickness": 1.5, "count": 1, "cuts": [14.5], "left": 81.375}])
    );
    // The schema's keys, level by level.
    let schema: Value = serde_json::from_str(include_str!("../../docs/report.schema.json")).unwrap();
    let keys = |v: &Value| v.as_object().unwrap().keys().cloned().collect::<Vec<String>>();
    let known = &schema["properties"]["cut_list"]["properties"];
    assert_eq!(keys(list), keys(known));
    for part in ["cuts", "sticks"] {
        assert_eq!(
            keys(&list[part][0]),
            keys(&known[part]["items"]["properties"]),
            "{part}"
        );
    }
    let serves = &known["cuts"]["items"]["properties"]["serves"]["items"]["properties"];
    assert_eq!(keys(&list["cuts"][0]["serves"][0]), keys(serves));
    let bars = &schema["properties"]["luminaires"]["items"]["properties"]["bars"]["properties"];
    assert_eq!(keys(&r["luminaires"][1]["bars"]), keys(bars));
}

/// A row written by hand is not derived; it is only carried through.
#[test]
fn a_row_is_written_with_one_offset_a_light() {
    let mut report = report();
    report.plan.rows = notation::parse("light (0,0)\nlight (4,0)\nlight (8,0)\nrow lights=L1,L2,L3 (0,0) (8,0) offsets=0,-0,3/8 stations=0,4,8 pitch=4 along=0,0,0 straightness=0")
        .unwrap()
        .rows;
    report.findings[0].row = Some(RowId(0));
    let r: Value = serde_json::from_str(&super::json::report(&report)).unwrap();
    assert_eq!(
        r["rows"][0]["offsets"].to_string(),
        "[0.0,0.0,0.375]",
        "no negative zero"
    );
    assert_eq!(r["findings"][0]["row"], "W1");
}

#[test]
fn a_summary_counts_what_was_judged_and_what_was_not() {
    let report = report();
    let summary = Summary {
        plans: vec![
            PlanLine {
                name: "unit.dxf".into(),
                status: Status::Findings,
                result: Ok(Judged::of(&report, Outputs::of("unit"))),
            },
            PlanLine {
                name: "bad.dxf".into(),
                status: Status::Failed,
                result: Err("Broken, \"badly\".".into()),
            },
        ],
        remarks: vec![],
    };
    assert_eq!(summary.status(), Status::Failed);
    let s: Value = serde_json::from_str(&super::json::summary(&summary)).unwrap();
    assert_eq!(
        s["totals"],
        json!({"plans": 2, "failed": 1, "luminaires": 2, "rows": 0, "members": 1, "must": 2, "should": 1, "note": 0,
            "blocking": {"pieces": 1, "order": [{"stock": 96.0, "count": 1}]}})
    );
    assert_eq!(
        s["plans"][0]["kinds"],
        json!({"off-line": 1, "wide-bay": 1, "no-support": 1})
    );
    assert_eq!(
        s["plans"][0]["notes"].as_array().unwrap().len(),
        1,
        "no mere information"
    );
    assert_eq!(
        s["plans"][1],
        json!({"plan": "bad.dxf", "status": 2, "error": "Broken, \"badly\"."})
    );

    let csv = super::csv::summary(&summary);
    let columns: Vec<usize> = csv
        .lines()
        .map(|l| l.replace("Broken, ", "").split(',').count())
        .collect();
    assert_eq!(columns, [28, 28, 28], "{csv}");
    assert!(
        csv.contains("unit.dxf,1,mm,2,0,1,1,2,1,0,1,0,unit.report.json,"),
        "{csv}"
    );
    assert!(csv.ends_with("\"Broken, \"\"badly\"\".\"\r\n"), "{csv}");

    let wide = super::text::Style {
        width: 120,
        color: false,
    };
    let text = super::text::summary(&summary, "out", wide);
    let order: Vec<usize> = ["no-support", "wide-bay", "off-line"]
        .iter()
        .map(|k| text.find(k).unwrap())
        .collect();
    assert!(order.is_sorted(), "gravest first: {text}");
    assert!(
        text.contains("2 plans: 2 lights, 0 rows; 2 must, 1 should; 1 plan could not be audited."),
        "{text}"
    );
    assert!(text.contains(" Blocking: 1 piece, order 1 × 8 ft."), "{text}");
    assert!(!text.contains("NaN") && !text.contains("inf"), "{text}");
    assert!(
        text.contains("1 warning\n  ! Odd.\n") && !text.contains("Fine."),
        "{text}"
    );
    let narrow = super::text::Style {
        width: 60,
        color: true,
    };
    assert!(super::text::summary(&summary, "out", narrow).contains("\u{1b}[31m"));
    assert_eq!(super::text::failures(&summary), ["bad.dxf: Broken, \"badly\"."]);
}

#[test]
fn a_summary_gives_the_range_to_bid_on_where_the_framing_stands_anywhere() {
    let report = report();
    let p = &report.phases[0];
    assert!(p.asks() && p.hits.least < p.hits.most, "{p:?}");
    let judged = Judged::of(&report, Outputs::of("unit"));
    let summary = Summary {
        plans: vec![PlanLine {
            name: "unit.dxf".into(),
            status: Status::Findings,
            result: Ok(judged),
        }],
        remarks: vec![],
    };
    let s: Value = serde_json::from_str(&super::json::summary(&summary)).unwrap();
    let said = &s["plans"][0]["phases"][0];
    assert_eq!(
        s["plans"][0]["phases"].as_array().unwrap().len(),
        report.phases.len()
    );
    assert_eq!(said["hits"]["least"], p.hits.least);
    assert_eq!(said["hits"]["most"], p.hits.most);
    assert!((said["hits"]["expected"].as_f64().unwrap() - p.hits.expected).abs() < 1e-6);
    assert!(
        said["question"]
            .as_str()
            .unwrap()
            .contains("ask where the framing of")
    );
    let csv = super::csv::summary(&summary);
    let cell = |name: &str| -> String {
        let at = csv.lines().next().unwrap().split(',').position(|h| h == name);
        csv.lines()
            .nth(1)
            .unwrap()
            .split(',')
            .nth(at.unwrap())
            .unwrap()
            .to_string()
    };
    let sum =
        |of: fn(&crate::phase::Phases) -> usize| report.phases.iter().map(of).sum::<usize>().to_string();
    assert_eq!(cell("rooms_framing_unknown"), report.phases.len().to_string());
    assert_eq!(cell("hits_best"), sum(|p| p.hits.least));
    assert_eq!(cell("hits_worst"), sum(|p| p.hits.most));
    assert_eq!(cell("blocking_worst"), sum(|p| p.blocking.most));
    assert_eq!(cell("trims_worst"), sum(|p| p.trims.most));
    let html = super::html::summary(&summary);
    assert!(html.contains("Framing whose place is not known") && html.contains(&crate::phase::range(p.hits)));
    // Where all framing is drawn there is nothing to say.
    let mut none = summary.clone();
    if let Ok(j) = &mut none.plans[0].result {
        j.phases.clear();
    }
    assert!(!super::html::summary(&none).contains("Framing whose place"));
}

/// The validator's own run over reports is among the outside checks; this holds the schema to the
/// code where no report of a test may happen to show it.
#[test]
fn the_schema_knows_every_key_kind_and_severity() {
    let schema: Value = serde_json::from_str(include_str!("../../docs/report.schema.json")).unwrap();
    let report: Value = serde_json::from_str(&super::json::report(&report())).unwrap();
    let keys = |v: &Value| v.as_object().unwrap().keys().cloned().collect::<Vec<String>>();
    assert_eq!(keys(&report), keys(&schema["properties"]));
    assert_eq!(json!(keys(&report)), schema["required"]);
    for list in ["readings", "luminaires", "members", "rooms", "findings", "phases"] {
        let item = &schema["properties"][list]["items"];
        assert_eq!(keys(&report[list][0]), keys(&item["properties"]), "{list}");
        assert_eq!(item["additionalProperties"], false, "{list}");
    }
    let finding = &schema["properties"]["findings"]["items"]["properties"];
    assert_eq!(finding["kind"]["enum"], json!(Kind::ALL));
    for kind in Kind::ALL {
        let known = finding["severity"]["enum"].as_array().unwrap();
        assert!(known.contains(&json!(kind.severity())), "{}", kind.name());
    }
}
