//! The demo plans keep their unit when their header lies or says none.

use std::path::Path;

use bayline::drawing::{Format, read};
use bayline::recognise::units::decide;
use bayline::rules::Rules;

/// The plan with `$INSUNITS` set to `code`, put in where the plan has none.
fn saying(bytes: &[u8], code: u8) -> Vec<u8> {
    let (drawing, _) = read(bytes).unwrap();
    let binary = matches!(drawing.format, Format::Binary { .. });
    let Some(var) = drawing.header_var("$INSUNITS") else {
        assert!(!binary, "only ASCII plans are of versions without the variable");
        let text = std::str::from_utf8(bytes).unwrap();
        let put = format!("HEADER\r\n9\r\n$INSUNITS\r\n70\r\n{code}\r\n");
        assert!(text.contains("HEADER\r\n"));
        return text.replacen("HEADER\r\n", &put, 1).into_bytes();
    };
    let value = var.tags[0].value.clone();
    let new = match binary {
        true => vec![code, 0],
        false => format!("{code:>6}").into_bytes(),
    };
    let changed = [&bytes[..value.start], &new, &bytes[value.end..]].concat();
    assert_eq!(
        read(&changed).unwrap().0.header_integer("$INSUNITS"),
        Some(i64::from(code))
    );
    changed
}

#[test]
fn every_demo_plan_is_decided_right_whatever_its_header_says() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo");
    let millimetres = ["lot-03-heron-turned", "lot-04-wren", "lot-08-plover-mirrored"];
    let text = std::fs::read_to_string(folder.join("bayline.toml")).unwrap();
    let given = bayline::rules::parse(&text, None).unwrap();
    let mut plans = 0;
    for entry in std::fs::read_dir(folder.join("plans")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap().to_string();
        let unit = if millimetres.contains(&name.as_str()) {
            "mm"
        } else {
            "in"
        };
        let bytes = std::fs::read(&path).unwrap();
        // Unitless, inches, feet, miles, millimetres, centimetres, metres (DXF reference).
        let mut variants: Vec<Vec<u8>> = (0..=6).map(|code| saying(&bytes, code)).collect();
        variants.push(bytes);
        for rules in [&given, &Rules::default()] {
            for (i, bytes) in variants.iter().enumerate() {
                let (drawing, _) = read(bytes).unwrap();
                let (units, _) = decide(&drawing, rules).unwrap_or_else(|e| panic!("{name}, {i}: {e}"));
                assert_eq!(units.name, unit, "{name}, {i}: {}", units.why);
            }
        }
        plans += 1;
    }
    assert_eq!(plans, 8, "demo plans");
}
