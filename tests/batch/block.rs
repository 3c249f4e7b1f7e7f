//! Framing in a block that no layout shows.

use crate::framing::{WALLS, drawing, framing, joists, notes, plan};
use crate::plans::Scene;

/// The entities of a drawing.
fn entities(drawing: &str) -> &str {
    let (_, rest) = drawing.split_once("ENTITIES\n").expect("entities");
    rest.split_once("0\nENDSEC").expect("their end").0
}

/// The plan with the entities of another drawing in a block that nothing inserts.
fn holding(block: &str) -> String {
    let blocks = format!(
        "0\nSECTION\n2\nBLOCKS\n0\nBLOCK\n5\nA0\n100\nAcDbEntity\n8\n0\n100\nAcDbBlockBegin\n2\nUPPER\n70\n0\n\
         10\n0\n20\n0\n30\n0\n3\nUPPER\n1\n\n{}0\nENDBLK\n5\nA1\n100\nAcDbEntity\n8\n0\n100\nAcDbBlockEnd\n\
         0\nENDSEC\n0\nSECTION\n2\nENTITIES\n",
        entities(block)
    );
    plan().replace("0\nSECTION\n2\nENTITIES\n", &blocks)
}

#[test]
fn a_block_of_joists_is_offered_by_name_and_taken_where_it_is_named() {
    let s = Scene::new();
    s.put("plan.dxf", holding(&framing()));
    let ran = s.run("audit plan.dxf --out out");
    assert_eq!(ran.code, Some(0), "{ran:#?}");
    let report = s.json("out/plan.report.json");
    assert_eq!(report["members"].as_array().map(Vec::len), Some(0));
    let offered = notes(&report, "block-offered");
    assert_eq!(offered.len(), 1, "{offered:?}");
    assert!(
        offered[0].contains("from_block = \"UPPER\"") && offered[0].contains("20 joists"),
        "{offered:?}"
    );
    assert!(notes(&report, "block-unreached").is_empty(), "said once");

    s.put("bayline.toml", "[framing]\nfrom_block = \"upper\"\n");
    let ran = s.run("audit plan.dxf --out taken");
    assert_eq!(ran.code, Some(1), "{ran:#?}");
    let report = s.json("taken/plan.report.json");
    assert_eq!(report["framing"]["source"], "block upper");
    assert_eq!(report["framing"]["mirrored"], true);
    assert_eq!(report["members"].as_array().map(Vec::len), Some(20));
    // 16 in on centre less half of 1 1/2 thick, the light midway (derived).
    assert_eq!(report["luminaires"][0]["left"], 7.25);
    assert!(notes(&report, "block-offered").is_empty());

    let ran = s.run("legend plan.dxf --write again.toml");
    assert_eq!(ran.code, Some(0), "{ran:#?}");
    let written = String::from_utf8(s.read("again.toml")).expect("text");
    assert!(written.contains("from_block = \"upper\""), "{written}");
}

#[test]
fn joists_on_a_layer_without_a_word_are_offered_for_their_pitch() {
    let block = drawing(&WALLS, &joists(), &[]).replace("S-JOIS", "LAYER7");
    let s = Scene::new();
    s.put("plan.dxf", holding(&block));
    s.run("audit plan.dxf --out out");
    let offered = notes(&s.json("out/plan.report.json"), "block-offered");
    assert_eq!(offered.len(), 1, "{offered:?}");
    s.put("bayline.toml", "[framing]\nfrom_block = \"UPPER\"\n");
    s.run("audit plan.dxf --out taken");
    let report = s.json("taken/plan.report.json");
    assert_eq!(report["members"].as_array().map(Vec::len), Some(20));
    assert_eq!(report["framing"]["how"], "origin");
}

#[test]
fn a_block_without_walls_stands_by_its_own_coordinates_and_says_so() {
    let s = Scene::new();
    s.put("plan.dxf", holding(&drawing(&[], &joists(), &[])));
    s.put("bayline.toml", "[framing]\nfrom_block = \"UPPER\"\n");
    let ran = s.run("audit plan.dxf --out out");
    assert_eq!(ran.code, Some(1), "{ran:#?}");
    let report = s.json("out/plan.report.json");
    assert_eq!(report["luminaires"][0]["left"], 7.25);
    let placed = report["notes"]
        .as_array()
        .expect("notes")
        .iter()
        .find(|n| n["code"] == "framing-placed");
    assert_eq!(placed.expect("told")["level"], "warning");
}

#[test]
fn a_block_that_is_not_there_or_holds_no_framing_is_a_loss() {
    let walls = drawing(&WALLS, &[], &[]);
    for (rules, why) in [
        ("[framing]\nfrom_block = \"LOWER\"\n", "no block"),
        ("[framing]\nfrom_block = \"UPPER\"\n", "holds nothing"),
    ] {
        let s = Scene::new();
        s.put("plan.dxf", holding(&walls));
        s.put("bayline.toml", rules);
        let ran = s.run("audit plan.dxf --out out");
        assert_eq!(ran.code, Some(2), "{ran:#?}");
        let told = notes(&s.json("out/plan.report.json"), "framing-unread");
        assert!(told.len() == 1 && told[0].contains(why), "{told:?}");
    }
}

#[test]
fn callouts_of_the_framing_drawing_hold_where_it_is_laid() {
    // An arrow with heads and the words beside it, in the mirrored drawing's coordinates; the room at the
    // lower right is 150 to 480 by 0 to 140 on the plan.
    let mut lines = vec![[1700.0, 310.0, 1700.0, 430.0]];
    for (y, s) in [(310.0, 1.0), (430.0, -1.0)] {
        lines.push([1700.0, y, 1702.0, y + 5.0 * s]);
        lines.push([1700.0, y, 1698.0, y + 5.0 * s]);
    }
    let walls = WALLS.map(crate::framing::mirrored);
    let words = "0\nTEXT\n5\nF00\n100\nAcDbEntity\n8\nS-ANNO\n100\nAcDbText\n10\n1706\n20\n370\n30\n0\n40\n6\n1\n\
                 2x10 C.J. @ 16\" O.C.\n0\nENDSEC\n0\nEOF\n";
    let second = drawing(&walls, &lines, &[])
        .replace("S-JOIS", "S-ANNO")
        .replace("0\nENDSEC\n0\nEOF\n", words);
    let s = Scene::new();
    s.put("plan.dxf", plan());
    s.put("joists.dxf", second);
    s.run("audit plan.dxf --framing joists.dxf --out out");
    let report = s.json("out/plan.report.json");
    let callouts = report["callouts"].as_array().expect("callouts");
    assert_eq!(callouts.len(), 1, "{:?}", report["notes"]);
    assert_eq!(
        (&callouts[0]["spacing"], &callouts[0]["direction"]),
        (&16.0.into(), &90.0.into())
    );
    assert_eq!(report["framing"]["members"], 0);
}
