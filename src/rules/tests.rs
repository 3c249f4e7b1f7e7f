//! Names to classes.

use proptest::prelude::*;

use super::*;

fn given(patterns: &[&str]) -> Patterns {
    Patterns {
        layers: patterns.iter().map(|p| (*p).to_string()).collect(),
        given: true,
        ..Patterns::default()
    }
}

#[test]
fn globs_look_at_the_last_part_and_ignore_case() {
    let p = given(&["E-LITE*"]);
    for name in [
        "E-LITE",
        "e-lite-clng",
        "house$0$E-LITE-CLNG",
        "a$0$b$1$E-LITE",
        "house|E-LITE",
        "E-LITE @ 1",
    ] {
        assert!(p.layer_matches(name), "{name}");
    }
    for name in ["E-LIT", "XE-LITE", "E-LITE$0$A-WALL", "E-LITE|A-WALL", ""] {
        assert!(!p.layer_matches(name), "{name}");
    }
    assert!(given(&["A-WALL"]).layer_matches("A-WALL @ 12"));
    assert!(given(&["house|*"]).layer_matches("HOUSE|A-WALL"));
    assert!(!given(&["house|*"]).layer_matches("shed|A-WALL"));
    assert!(given(&["?-WALL", "X"]).layer_matches("a-wall"));
    assert!(given(&["[A-C]-W*L"]).layer_matches("b-wall"));
    assert!(!given(&["[!A-C]-W*L"]).layer_matches("b-wall"));
    assert!(given(&["*a*b*c"]).layer_matches("xxaxxbxxbc"));
    assert!(!given(&["*a*b*c"]).layer_matches("xxaxxbxxb"));
}

#[test]
fn a_bad_glob_is_told() {
    assert!(glob_fault("A-[WALL").is_some());
    assert!(glob_fault("  ").is_some());
    assert!(glob_fault("A-[!A-C]*").is_none());
    // Matching never panics on one either.
    assert!(!glob_matches("[", "x"));
    assert!(glob_matches("[", "["));
    assert!(!glob_matches("[]", ""));
}

#[test]
fn odd_names_do_not_trip_the_cutting() {
    assert_eq!(last_part("a$0$"), "a$0$");
    assert_eq!(last_part("$$é$0$ü"), "ü");
    assert_eq!(last_part("cost$5"), "cost$5");
    assert_eq!(base_name("@ 1"), "@ 1");
    assert_eq!(base_name("a @ b"), "a @ b");
    assert_eq!(base_name("WALL @ 1"), "WALL");
}

#[test]
fn a_light_finds_its_schedule_entry_by_tag_before_block() {
    let rules = Rules {
        luminaires: vec![
            Luminaire {
                tag: "R6".into(),
                blocks: vec!["LT-R6*".into()],
                ..Luminaire::default()
            },
            Luminaire {
                tag: "R4".into(),
                blocks: vec!["LT-R4".into()],
                ..Luminaire::default()
            },
        ],
        ..Rules::default()
    };
    assert_eq!(rules.schedule(Some("r4 "), Some("LT-R6")), Some(1));
    assert_eq!(rules.schedule(Some("Z"), Some("x$0$lt-r6-dim")), Some(0));
    assert_eq!(rules.schedule(Some(""), None), None);
    assert_eq!(rules.schedule(None, Some("LT-R5")), None);
}

/// The meaning of a glob, told by trying everything.
fn slow_glob(pattern: &[char], name: &[char]) -> bool {
    match (pattern.split_first(), name.split_first()) {
        (None, _) => name.is_empty(),
        (Some(('*', rest)), None) => slow_glob(rest, name),
        (Some(('*', rest)), Some((_, less))) => slow_glob(rest, name) || slow_glob(pattern, less),
        (Some(('?', rest)), Some((_, less))) => slow_glob(rest, less),
        (Some((p, rest)), Some((n, less))) => p == n && slow_glob(rest, less),
        (Some(_), None) => false,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn globs_agree_with_trying_everything(pattern in "[AB*?]{1,8}", name in "[AB]{0,10}") {
        let chars = |s: &str| s.chars().collect::<Vec<char>>();
        prop_assert_eq!(glob_matches(&pattern, &name), slow_glob(&chars(&pattern), &chars(&name)));
    }

    #[test]
    fn no_name_and_no_pattern_trips_the_matching(pattern in "\\PC{0,12}", name in "\\PC{0,24}") {
        glob_fault(&pattern);
        glob_matches(&pattern, &name);
        let read = Rules::default().read;
        read.lights.layer_matches(&name);
        read.ignore.block_matches(&name);
        prop_assert!(name.trim().ends_with(last_part(name.trim())));
    }
}

#[test]
fn measured_members_and_the_block_of_framing() {
    let text = "[framing]\nmeasured = [[12.5, 40], [300, 60.25]]\nfrom_block = \" UPPER \"\n";
    let rules = super::parse(text, None).expect("rules");
    assert_eq!(rules.framing.measured, [[12.5, 40.0], [300.0, 60.25]]);
    assert_eq!(rules.framing.from_block.as_deref(), Some("UPPER"));
    for bad in [
        "measured = [[inf, 0.0]]",
        "measured = [[1.0]]",
        "from_block = \" \"",
    ] {
        assert!(
            super::parse(&format!("[framing]\n{bad}\n"), None).is_err(),
            "{bad}"
        );
    }
}
