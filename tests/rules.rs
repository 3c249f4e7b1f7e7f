//! `bayline.toml`: what is accepted, what is refused, and how the refusal reads.

use std::path::PathBuf;

use proptest::prelude::*;

use bayline::rules::{Mount, Rules, UnitChoice, parse};

fn read(text: &str) -> Rules {
    parse(text, None).unwrap_or_else(|e| panic!("{e}"))
}

fn refused(text: &str) -> String {
    match parse(text, Some(PathBuf::from("bayline.toml"))) {
        Ok(_) => panic!("accepted: {text}"),
        Err(message) => message,
    }
}

/// Every key that the rules file knows.
const EVERYTHING: &str = r#"
units = "mm"

[read]
lights   = { layers = ["E-LITE*"], blocks = ["LT-*"] }
framing  = { layers = ["S-JOIS*"], blocks = [] }
walls    = { layers = ["A-WALL*"] }
rooms    = { layers = ["A-AREA*"] }
devices  = { layers = ["M-HVAC-CDFF*"], blocks = [] }
ignore   = { layers = ["A-FURN*"], blocks = [] }

[framing]
thickness = "1 3/4"
spacing = 16
direction = 90
phase = [12, 0.5]

[[luminaire]]
tag = "R6"
blocks = ["LT-R6"]
aperture = 6
opening = "6 3/8"
body = "6 3/4"
short_side = "4 1/2"
box_side = "6 1/2"
half_width = "4 1/2"
bars = { least = 14, greatest = 24, trimmed = 9 }
ic = false
mount = "new-work"
lumens = 900
beam = 90

[[luminaire]]
tag = "O4"
aperture = "4"
mount = "old-work"
clip = "3/4"
photometry = "o4.ies"

[tolerance]
across = "1/4"
along = "25.4mm"
capture = 5
tab_gain = "3/8"
combustible = 0.625
stacked = 2
gap_ratio = 3

[spacing]
feet_per_inch = 0.75
criterion = 1.2

[walls]
least = "1' 6\""
slack = 4

[[room]]
name = "HALL"
ceiling = "8'"
insulated = true
hall = true
"#;

#[test]
fn every_key_is_read() {
    let r = read(EVERYTHING);
    assert_eq!(r.units, UnitChoice::Mm);
    assert!(r.read.lights.given && r.read.ignore.given);
    assert!(r.read.lights.layer_matches("E-LITE-CLNG"));
    assert!(
        !r.read.lights.layer_matches("LIGHTS"),
        "the built-in words are replaced"
    );
    assert_eq!(r.framing.thickness, 1.75);
    assert!(r.framing.thickness_given);
    assert_eq!((r.framing.spacing, r.framing.direction), (Some(16.0), Some(90.0)));
    assert_eq!(r.framing.phase, Some([12.0, 0.5]));
    let r6 = &r.luminaires[0];
    assert_eq!(
        (r6.opening, r6.body, r6.short_side, r6.box_side),
        (6.375, 6.75, 4.5, 6.5)
    );
    assert_eq!(
        (r6.bars.least, r6.bars.greatest, r6.bars.trimmed),
        (14.0, 24.0, 9.0)
    );
    assert!(!r6.ic);
    assert_eq!((r6.lumens, r6.beam), (Some(900.0), Some(90.0)));
    let o4 = &r.luminaires[1];
    assert_eq!((o4.mount, o4.clip), (Mount::OldWork, 0.75));
    assert_eq!(o4.photometry.as_deref(), Some("o4.ies"));
    let t = r.tolerance;
    assert_eq!((t.across, t.capture, t.tab_gain), (0.25, 5.0, 0.375));
    assert!((t.along - 1.0).abs() < 1e-12);
    assert_eq!((t.combustible, t.stacked, t.gap_ratio), (0.625, 2.0, 3.0));
    assert_eq!((r.spacing.feet_per_inch, r.spacing.criterion), (0.75, Some(1.2)));
    assert_eq!((r.walls.least, r.walls.slack), (18.0, 4.0));
    assert_eq!(r.rooms[0].ceiling, Some(96.0));
    assert_eq!((r.rooms[0].insulated, r.rooms[0].hall), (Some(true), Some(true)));
    assert_eq!(r.unused().len(), 3, "keys that no check uses yet are told");
}

#[test]
fn an_empty_file_gives_the_defaults() {
    assert_eq!(read(""), Rules::default());
    assert_eq!(read("\u{feff}# only a remark\r\n"), Rules::default());
    assert!(read("").unused().is_empty());
}

#[test]
fn sizes_not_given_follow_from_the_aperture() {
    let r = read("[[luminaire]]\ntag = 'A'\naperture = 6\n[[luminaire]]\ntag = 'B'\naperture = 4\n");
    // The 6 in one is the schedule's own example and the default light (common practice).
    let six = &r.luminaires[0];
    let default = bayline::rules::Luminaire::default();
    assert_eq!((six.opening, six.body), (default.opening, default.body));
    assert_eq!(
        (six.short_side, six.box_side, six.half_width),
        (default.short_side, default.box_side, default.half_width)
    );
    let four = &r.luminaires[1];
    assert_eq!(
        (four.opening, four.body, four.short_side, four.box_side),
        (4.375, 4.75, 3.5, 5.5)
    );
}

#[test]
fn bars_not_given_bend_to_those_given() {
    let bars = |text: &str| {
        read(&format!("[[luminaire]]\ntag = 'A'\naperture = 6\nbars = {text}")).luminaires[0].bars
    };
    assert_eq!(bars("{ greatest = 12 }").least, 12.0);
    assert_eq!(bars("{ least = 8 }").trimmed, 8.0);
    assert_eq!(bars("{ least = 30 }").greatest, 30.0);
    assert_eq!(bars("{ trimmed = 16 }").least, 16.0);
}

#[test]
fn an_unknown_key_is_refused_with_the_nearest_one_and_its_line() {
    for (text, expected) in [
        (
            "unit = 'in'",
            "bayline.toml:1: unknown key `unit`; did you mean `units`?",
        ),
        (
            "\n\n[tolerence]\nacross = 1",
            "bayline.toml:3: unknown key `tolerence`; did you mean `tolerance`?",
        ),
        (
            "[read]\nlight = { layers = [] }",
            "bayline.toml:2: unknown key `light`; did you mean `lights`?",
        ),
        (
            "[[luminaire]]\ntag = 'A'\naperature = 6",
            "bayline.toml:3: unknown key `aperature`; did you mean `aperture`?",
        ),
        (
            "[[luminaire]]\ntag = 'A'\naperture = 6\nbars = { lest = 3 }",
            "bayline.toml:4: unknown key `lest`; did you mean `least`?",
        ),
        (
            "units = 'inn'",
            "bayline.toml:1: unknown value `inn`; did you mean `in`?",
        ),
    ] {
        assert_eq!(refused(text), expected);
    }
    let far = refused("[spacing]\nzzz = 1");
    assert_eq!(
        far,
        "bayline.toml:2: unknown key `zzz`; known here: feet_per_inch, criterion"
    );
}

#[test]
fn values_that_cannot_be_are_refused_with_their_line() {
    let light = "[[luminaire]]\ntag = 'A'\n";
    for (text, expected) in [
        (
            format!("{light}aperture = 0"),
            "bayline.toml:3: aperture must be above zero",
        ),
        (
            format!("{light}aperture = nan"),
            "bayline.toml:3: aperture must be above zero",
        ),
        (
            format!("{light}aperture = -6"),
            "bayline.toml:3: aperture must be above zero",
        ),
        (
            format!("{light}aperture = 6\nopening = 5"),
            "bayline.toml:4: opening is smaller",
        ),
        (
            format!("{light}aperture = 6\nshort_side = 3"),
            "bayline.toml:4: short_side is less than half",
        ),
        (
            format!("{light}aperture = 6\nbox_side = 4"),
            "bayline.toml:4: box_side is less",
        ),
        (
            format!("{light}aperture = 6\nbars = {{ least = 20, greatest = 16 }}"),
            "bayline.toml:4: bars: least is above greatest",
        ),
        (
            format!("{light}aperture = 6\nbars = {{ least = 12, trimmed = 13 }}"),
            "bayline.toml:4: bars: trimmed is above least",
        ),
        (
            format!("{light}aperture = 6\nmount = 'old-work'\nbars = {{}}"),
            "bayline.toml:5: bars: an old-work",
        ),
        (
            format!("{light}aperture = 6\nclip = 1"),
            "bayline.toml:4: clip: only",
        ),
        (
            format!("{light}aperture = 6\nbeam = 0"),
            "bayline.toml:4: beam must be above zero",
        ),
        (
            format!("{light}aperture = 6\nbeam = 200"),
            "bayline.toml:4: beam must be 180",
        ),
        (
            format!("{light}aperture = 6\nbeam = 90\nphotometry = 'a.ies'"),
            "bayline.toml:5: give beam or",
        ),
        (
            format!("{light}aperture = 6\n{light}aperture = 6")
                .replace("'A'\naperture = 6\n[[", "'a'\naperture = 6\n[["),
            "bayline.toml:5: [[luminaire]] tag \"A\" is given twice",
        ),
        (
            "[[luminaire]]\naperture = 6".to_string(),
            "bayline.toml:1: [[luminaire]] needs tag, such as tag = \"A\"",
        ),
        (
            "[[luminaire]]\ntag = ' '\naperture = 6".to_string(),
            "bayline.toml:2: [[luminaire]] tag is empty",
        ),
        (
            "[tolerance]\nacross = -0.1".to_string(),
            "bayline.toml:2: across must be above zero",
        ),
        (
            "[tolerance]\ncapture = 0.01".to_string(),
            "bayline.toml:2: capture must not be below across",
        ),
        (
            "[tolerance]\ngap_ratio = 0.5".to_string(),
            "bayline.toml:2: gap_ratio must be 1 or more",
        ),
        (
            "[walls]\nleast = -1".to_string(),
            "bayline.toml:2: least must not be below zero",
        ),
        (
            "[framing]\nspacing = 1".to_string(),
            "bayline.toml:2: spacing must be above",
        ),
        (
            "[framing]\nphase = [0, 0]".to_string(),
            "bayline.toml:2: phase needs spacing",
        ),
        (
            "[framing]\nphase = [0]".to_string(),
            "bayline.toml:2: phase must be \"unknown\" or a point",
        ),
        (
            "[framing]\ndirection = inf".to_string(),
            "bayline.toml:2: direction is no angle",
        ),
        (
            "[read]\nlights = { layers = ['A[B'] }".to_string(),
            "bayline.toml:2: pattern \"A[B\"",
        ),
        (
            "[[room]]\nname = 'HALL'\nceiling = 0".to_string(),
            "bayline.toml:3: ceiling must be above zero",
        ),
        (
            "[[room]]\nname = 'HALL'\n[[room]]\nname = 'hall'".to_string(),
            "bayline.toml:4: [[room]] name \"hall\"",
        ),
        ("[tolerance]\nacross = 'a bit'".to_string(), "bayline.toml:2: "),
        ("units = \n".to_string(), "bayline.toml:1: "),
        ("a\n".to_string(), "bayline.toml:1: "),
    ] {
        let message = refused(&text);
        assert!(
            message.starts_with(expected),
            "{text}\n{message}\nwanted {expected}"
        );
        assert!(!message.contains('\n'), "one line: {message}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// A rules file with a piece cut out and another put in is read or refused with a line, and
    /// never trips the reader.
    #[test]
    fn a_damaged_file_is_read_or_refused(at in 0usize..1200, cut in 0usize..8, put in "\\PC{0,4}") {
        let mut chars: Vec<char> = EVERYTHING.chars().collect();
        let at = at.min(chars.len());
        let end = (at + cut).min(chars.len());
        chars.splice(at..end, put.chars());
        let text: String = chars.into_iter().collect();
        if let Err(message) = parse(&text, Some(PathBuf::from("bayline.toml"))) {
            prop_assert!(message.starts_with("bayline.toml:"), "{}", message);
            prop_assert!(!message.contains('\n'), "{}", message);
        }
    }
}
