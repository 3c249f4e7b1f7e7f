//! MULTILEADERs: words and lines, nested groups whose codes mean other things elsewhere.

use super::*;

/// One with words and two lines, as an independent writer nests its groups.
const WORDS: &str = "0 MULTILEADER\n5 8A\n330 17\n100 AcDbEntity\n8 A-ANNO\n100 AcDbMLeader\n270 2\n300 CONTEXT_DATA{\n40 1\n\
    10 38\n20 18\n30 0\n41 4\n290 1\n304 {\\fArial;2x10 C.J.}\\P@ 16\" O.C.\n11 0\n21 0\n31 1\n12 40\n22 20\n32 0\n13 1\n23 0\n33 0\n\
    42 0\n43 90\n170 1\n171 2\n172 1\n296 0\n302 LEADER{\n290 1\n291 1\n10 30\n20 18\n30 0\n11 1\n21 0\n31 0\n90 0\n40 8\n\
    304 LEADER_LINE{\n10 0\n20 0\n30 0\n91 0\n305 }\n304 LEADER_LINE{\n10 0\n20 10\n30 0\n10 5\n20 12\n30 0\n91 1\n305 }\n\
    303 }\n272 9\n273 9\n301 }\n340 2C\n170 1\n171 -2\n172 2\n10 1\n20 1\n30 1\n43 0";

fn parts(source: &str) -> (Vec<Shape<'static>>, Vec<&'static str>) {
    let source: &'static [u8] = ascii(&plan(source)).leak();
    let (entities, notes) = view(source);
    let codes = notes.iter().filter(|n| n.level > Level::Info).map(|n| n.code);
    let codes = codes.collect();
    assert_eq!(entities.len(), 1);
    match &entities[0].shape {
        Shape::MultiLeader(parts) => (parts.clone(), codes),
        Shape::Other => (Vec::new(), codes),
        other => panic!("{other:?}"),
    }
}

fn points(shape: &Shape<'_>) -> Vec<[f64; 2]> {
    match shape {
        Shape::Polyline {
            vertices,
            closed: false,
            world: true,
            ..
        } => vertices.iter().map(|v| [v.at[0], v.at[1]]).collect(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn its_words_and_its_lines_are_read_from_their_heads_to_the_words() {
    let (found, notes) = parts(WORDS);
    assert!(notes.is_empty(), "{notes:?}");
    let [words, first, second] = &found[..] else {
        panic!("{found:?}")
    };
    assert_eq!(
        *words,
        Shape::MText {
            at: [40.0, 20.0, 0.0],
            height: 4.0,
            angle: 0.0,
            width: 90.0,
            attachment: 2,
            text: "2x10 C.J.\n@ 16\" O.C.".into(),
        }
    );
    assert_eq!(points(first), [[0.0, 0.0], [30.0, 18.0], [38.0, 18.0]]);
    assert_eq!(
        points(second),
        [[0.0, 10.0], [5.0, 12.0], [30.0, 18.0], [38.0, 18.0]]
    );
    // Its own name, layer and handle, and those of the older name.
    let source = ascii(&plan(&WORDS.replace("0 MULTILEADER", "0 MLEADER")));
    let entity = one(&source);
    assert_eq!(
        (entity.layer.as_ref(), entity.handle.as_deref()),
        ("A-ANNO", Some("8A"))
    );
    assert!(matches!(&entity.shape, Shape::MultiLeader(parts) if parts.len() == 3));
}

#[test]
fn lines_that_are_not_drawn_are_none() {
    let hidden = WORDS.replace("340 2C\n170 1", "340 2C\n170 0");
    assert_eq!(parts(&hidden).0.len(), 1, "the words alone");
    let one = WORDS.replace("91 1\n305 }", "91 1\n170 0\n305 }");
    assert_eq!(parts(&one).0.len(), 2);
}

#[test]
fn of_a_block_the_words_are_read_and_the_rest_is_told() {
    let block = WORDS
        .replace("290 1\n304 {\\fArial;2x10 C.J.}\\P@ 16\" O.C.", "290 0")
        .replace(
            "296 0",
            "296 1\n341 8B\n14 0\n24 0\n34 1\n15 60\n25 21\n35 0\n16 1\n26 1\n36 1",
        );
    let (found, notes) = parts(&format!("{block}\n330 8F\n177 0\n44 1\n302 R6\n294 0"));
    assert_eq!(notes, ["multileader-block"]);
    assert!(
        matches!(&found[0], Shape::MText { at, text, attachment: 5, .. } if *at == [60.0, 21.0, 0.0] && text == "R6"),
        "{found:?}"
    );
    assert_eq!(found.len(), 3);
    // Without words its lines are still there.
    assert_eq!(parts(&block).0.len(), 2);
}

#[test]
fn one_that_holds_nothing_is_not_interpreted() {
    for empty in [
        "0 MULTILEADER\n8 A\n100 AcDbMLeader",
        "0 MULTILEADER\n8 A\n100 AcDbMLeader\n300 CONTEXT_DATA{\n304  \n302 LEADER{\n304 LEADER_LINE{\n10 4\n20 5",
    ] {
        assert_eq!(parts(empty).0, []);
    }
    // What is no number is a loss.
    let (found, notes) = parts(&WORDS.replace("12 40", "12 forty"));
    assert_eq!((found, notes), (Vec::new(), vec!["bad-number"]));
}
