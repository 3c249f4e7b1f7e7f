//! Plans in many drafting styles, with decoys and known truth, read right through.

#[path = "styles/mod.rs"]
mod styles;

use styles::{draw, judge};

/// Seeds 0..120 meet every one of the 110 pairs of styles of lights and framing.
const SEEDS: u64 = 120;

#[test]
fn every_style_is_read_as_drawn() {
    let mut wrong = Vec::new();
    for seed in 0..SEEDS {
        for by in [draw::Told::Given, draw::Told::Words] {
            let s = draw::told(seed, by);
            let o = judge::judge(&s);
            if !o.perfect() {
                wrong.push(format!(
                    "seed {seed}, {by:?}: {}, {}, {}, header {}, {}, {:?}: {} {o:?}",
                    draw::LIGHTS[s.lights_style],
                    draw::FRAMING[s.framing_style],
                    draw::HOUSES[s.house],
                    draw::HEADERS[s.header],
                    s.unit,
                    s.dress,
                    o.asked.as_deref().unwrap_or("misread"),
                ));
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn the_table_has_every_style() {
    let table = judge::table(draw::LIGHTS.len() as u64 * draw::FRAMING.len() as u64);
    for style in draw::LIGHTS.iter().chain(&draw::FRAMING) {
        assert!(table.contains(&format!(": {style} |")), "{style}");
    }
}
