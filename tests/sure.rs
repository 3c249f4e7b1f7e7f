//! Names that are right are not doubted: no plan of the demo and no style of drafting has a doubtful name.

use std::path::Path;

use bayline::batch::legend::legend_bytes;
use bayline::rules::{Rules, parse};
use bayline::{drawing, flatten, recognise};

#[path = "styles/mod.rs"]
mod styles;

use styles::draw;

/// These meet every one of the 143 pairs of styles of lights and framing.
const SEEDS: u64 = 143;

#[test]
fn no_name_is_doubted_in_any_style() {
    let (mut wrong, mut read) = (Vec::new(), 0);
    let mut lowest = f64::INFINITY;
    for seed in 0..SEEDS {
        for told in [draw::Told::Words, draw::Told::Given] {
            let s = draw::told(seed, told);
            let rules = parse(&s.rules, None).unwrap();
            let (drawing, _) = drawing::read(&s.bytes).unwrap();
            // Plans whose unit is asked about are not read.
            let Ok((units, _)) = recognise::units::decide(&drawing, &rules) else {
                continue;
            };
            let (flat, _) = flatten::flatten(&drawing, &units);
            let found = recognise::readings(&flat, &units, &rules, None);
            read += 1;
            let doubts = found.notes.iter().filter(|n| n.code == "name-doubtful");
            wrong.extend(doubts.map(|n| {
                format!(
                    "seed {seed}, {}, {}: {}",
                    draw::LIGHTS[s.lights_style],
                    draw::FRAMING[s.framing_style],
                    n.message
                )
            }));
            let sure = found.readings.iter().filter_map(|r| r.confidence);
            lowest = sure.fold(lowest, f64::min);
        }
    }
    assert!(wrong.is_empty(), "{} doubted:\n{}", wrong.len(), wrong.join("\n"));
    assert!(read as u64 >= SEEDS * 19 / 10, "{read} read");
    assert!(lowest >= 0.6, "{lowest}");
}

#[test]
fn no_name_is_doubted_in_the_demo() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fixtures/demo/plans");
    let mut plans = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|e| e != "dxf") {
            continue;
        }
        plans += 1;
        let bytes = std::fs::read(&path).unwrap();
        let legend = legend_bytes("plan.dxf", &bytes, &Rules::default()).unwrap();
        let name = path.display();
        assert!(legend.notes.iter().all(|n| n.code != "name-doubtful"), "{name}");
        for r in legend.readings.iter().filter(|r| r.confidence.is_some()) {
            assert!(r.confidence >= Some(0.75), "{name}: {r:?}");
        }
        assert!(
            legend
                .readings
                .iter()
                .any(|r| r.confidence.is_some_and(|c| c > 0.95)),
            "{name}"
        );
    }
    assert!(plans >= 8, "demo plans");
}
