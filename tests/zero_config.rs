//! Plans in every style whose names say nothing, read by what is drawn.

#[path = "styles/mod.rs"]
mod styles;

use styles::framing::WRITTEN;
use styles::{draw, houses, judge};

/// These meet every one of the 304 pairs of styles of lights and framing.
const SEEDS: u64 = 304;

#[test]
fn names_that_say_nothing_are_read_right_or_asked_about() {
    let mut wrong = Vec::new();
    let (mut whole, mut asked, mut refused) = (0, 0, 0);
    for seed in 0..SEEDS {
        let s = draw::told(seed, draw::Told::Nothing);
        let o = judge::judge(&s);
        let centrelines = draw::FRAMING[s.framing_style] == "centrelines";
        let style = format!(
            "seed {seed}: {}, {}, {}, header {}: {o:?}",
            draw::LIGHTS[s.lights_style],
            draw::FRAMING[s.framing_style],
            houses::HOUSES[s.house],
            draw::HEADERS[s.header],
        );
        // Nothing but lights (in one block or two), framing, walls, their hatches, rooms and devices is taken for
        // anything.
        let truly = [
            "layer 1 ",
            "layer 2 ",
            "layer L3 ",
            "layer 4 ",
            "layer 24 ",
            "layer 2207$0$1 ",
            "layer 2208$0$2 ",
            "block A$C0B5F ",
            "block 2207$0$A$C0B5F ",
            "block A$C1A11 ",
            "block A$C2D01 is taken for ceiling devices",
            "block A$C2D02 is taken for ceiling devices",
            "block A$C2D03 is taken for ceiling devices",
        ];
        let taken = o.said.iter().filter(|m| m.contains(" is taken for "));
        for what in taken.filter(|m| !truly.iter().any(|t| m.starts_with(t))) {
            wrong.push(format!("{what}: {style}"));
        }
        if o.asked.is_some() {
            // A header that states the unit is never asked about.
            refused += 1;
            if draw::HEADERS[s.header] == "right" {
                wrong.push(style);
            }
        } else if o.perfect() {
            whole += 1;
            if centrelines {
                wrong.push(style);
            }
        } else {
            // Single lines might be boards, and a beam stands in no step: everything else is read, and
            // they are asked about.
            asked += 1;
            let alone = s.framing_style == WRITTEN;
            if !((centrelines || alone) && o.asks_framing()) {
                wrong.push(style);
            }
        }
    }
    assert!(wrong.is_empty(), "{} wrong:\n{}", wrong.len(), wrong.join("\n"));
    assert_eq!(whole + asked + refused, SEEDS);
    assert!(
        whole >= SEEDS * 4 / 5 && refused <= SEEDS / 15,
        "{whole} read, {asked} asked about, {refused} refused"
    );
}
