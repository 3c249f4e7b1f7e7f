//! Words with a line that leads from them: as MULTILEADER they tell what they tell as TEXT and LEADER.

use bayline::batch::audit::audit_bytes;
use bayline::plan::Plan;
use bayline::rules::{Luminaire, Rules};

use crate::framing::{LIGHTS, Line, WALLS, drawing};

/// Words at their lower left, 4 high, and the line that leads from them, its head first.
struct Lead<'w> {
    words: &'w str,
    at: (f64, f64),
    line: &'w [(f64, f64)],
}

fn points(of: &[(f64, f64)]) -> String {
    of.iter()
        .map(|(x, y)| format!("10\n{x}\n20\n{y}\n30\n0\n"))
        .collect()
}

fn old(lead: &Lead<'_>) -> String {
    let (x, y) = lead.at;
    let text = format!(
        "0\nTEXT\n8\nA-ANNO\n100\nAcDbText\n10\n{x}\n20\n{y}\n30\n0\n40\n4\n1\n{}\n100\nAcDbText\n",
        lead.words
    );
    text + &format!(
        "0\nLEADER\n8\nA-ANNO\n100\nAcDbLeader\n71\n1\n76\n{}\n{}",
        lead.line.len(),
        points(lead.line)
    )
}

fn new(lead: &Lead<'_>) -> String {
    let ((x, y), (last, line)) = (lead.at, lead.line.split_last().unwrap());
    let (y, last) = (y + 4.0, points(&[*last]));
    format!(
        "0\nMULTILEADER\n8\nA-ANNO\n100\nAcDbMLeader\n300\nCONTEXT_DATA{{\n41\n4\n290\n1\n304\n{}\n12\n{x}\n22\n{y}\n32\n0\n13\n1\n23\n0\n\
         33\n0\n171\n1\n302\nLEADER{{\n290\n1\n291\n0\n{last}11\n1\n21\n0\n31\n0\n40\n0\n304\nLEADER_LINE{{\n{}91\n0\n305\n}}\n303\n}}\n301\n}}\n170\n1\n",
        lead.words,
        points(line)
    )
}

/// The words as TEXT, and a SPLINE through the line's points, from the words on.
fn curved(lead: &Lead<'_>) -> String {
    let text = old(lead);
    let (words, _) = text.split_once("0\nLEADER").unwrap();
    let through: Vec<_> = lead.line.iter().rev().copied().collect();
    let through = points(&through).replace("10\n", "11\n").replace("20\n", "21\n");
    format!(
        "{words}0\nSPLINE\n8\nA-ANNO\n100\nAcDbSpline\n70\n0\n71\n3\n74\n{}\n{through}",
        lead.line.len()
    )
}

/// The house with its lights, a line with arrowheads in the lower right room, and the words.
fn plan(leads: &[Lead<'_>], written: fn(&Lead<'_>) -> String) -> Plan {
    let arrow: [Line; 5] = [
        [210.0, 110.0, 330.0, 110.0],
        [210.0, 110.0, 214.0, 112.0],
        [210.0, 110.0, 214.0, 108.0],
        [330.0, 110.0, 326.0, 112.0],
        [330.0, 110.0, 326.0, 108.0],
    ];
    let mut text = drawing(&WALLS, &[], &LIGHTS);
    let end = "0\nENDSEC\n0\nEOF\n";
    text.truncate(text.len() - end.len());
    for [x, y, u, v] in arrow {
        text += &format!("0\nLINE\n8\nA-ANNO\n10\n{x}\n20\n{y}\n30\n0\n11\n{u}\n21\n{v}\n31\n0\n");
    }
    text.extend(leads.iter().map(written));
    let mut rules = Rules::default();
    for tag in ["R4", "R6"] {
        rules.luminaires.push(Luminaire {
            tag: tag.to_string(),
            ..Luminaire::default()
        });
    }
    audit_bytes("plan.dxf", (text + end).as_bytes(), &rules)
        .unwrap()
        .report
        .plan
}

#[test]
fn a_multileader_tells_tags_and_framing_as_a_text_with_a_leader() {
    // The second light's mark stands nearer to the third.
    let tag = Lead {
        words: "R6",
        at: (290.0, 84.0),
        line: &[(251.0, 73.0), (270.0, 88.0), (289.0, 86.0)],
    };
    let framing = Lead {
        words: "2x10 C.J. @ 16\" O.C.",
        at: (360.0, 200.0),
        line: &[(320.0, 110.0), (358.0, 202.0)],
    };
    let leads = [tag, framing];
    let (old, new) = (plan(&leads, old), plan(&leads, new));
    let tags = |p: &Plan| p.lights.iter().map(|l| l.tag.clone()).collect::<Vec<_>>();
    assert_eq!(tags(&new), tags(&old));
    assert_eq!(tags(&new)[1].as_deref(), Some("R6"), "{:?}", tags(&new));
    let told = |p: &Plan| {
        let all = p.callouts.iter();
        all.map(|c| (c.text.clone(), c.spacing, c.along, c.room, c.depth))
            .collect::<Vec<_>>()
    };
    assert_eq!(told(&new), told(&old));
    let [c] = &new.callouts[..] else {
        panic!("{:?}", new.callouts)
    };
    assert_eq!((c.spacing, c.along.x.abs(), c.along.y), (16.0, 1.0, 0.0));
    // Nothing of it is lost, and no wall, joist or light was made of its lines.
    assert_eq!(
        (new.members.len(), new.lights.len(), new.walls.len()),
        (0, 4, old.walls.len())
    );
    assert_eq!(new.counts.entities, old.counts.entities);
}

#[test]
fn a_curve_from_a_tag_to_a_light_tells_what_a_leader_tells() {
    let tag = |line| Lead {
        words: "R6",
        at: (291.5, 84.5),
        line,
    };
    let bent = [tag(&[(251.5, 73.5), (271.5, 88.5), (289.5, 86.5)][..])];
    let (straight, curve) = (plan(&bent, old), plan(&bent, curved));
    let tags = |p: &Plan| p.lights.iter().map(|l| l.tag.clone()).collect::<Vec<_>>();
    assert_eq!(tags(&curve), tags(&straight));
    assert_eq!(tags(&curve)[1].as_deref(), Some("R6"), "{:?}", tags(&curve));
    // One that ends in the middle of the room leads to no light: the tag is the one's it stands nearer to.
    let short = plan(&[tag(&[(265.5, 80.5), (271.5, 88.5), (289.5, 86.5)][..])], curved);
    assert_eq!(tags(&short)[1], None);
}
