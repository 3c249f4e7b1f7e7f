//! Lines of a rules file, as notes and a written one give them.

use std::fmt::Write;

use super::{Patterns, exactly};

/// A text as a rules file holds it.
pub fn quoted(text: &str) -> String {
    toml::Value::String(text.to_string()).to_string()
}

/// The line under `[read]` that adds a layer to a class, all that the rules say of the class with it: put in the place
/// of theirs, or beside the others where they have none, it takes nothing away.
pub fn with_layer(key: &str, patterns: &Patterns, name: &str) -> String {
    with(key, patterns, &[name], &[])
}

/// The same of a block.
pub fn with_block(key: &str, patterns: &Patterns, name: &str) -> String {
    with(key, patterns, &[], &[name])
}

/// The same of several layers and blocks.
pub fn with(key: &str, patterns: &Patterns, layers: &[&str], blocks: &[&str]) -> String {
    let exact = |names: &[&str]| names.iter().map(|n| exactly(n)).collect::<Vec<_>>();
    with_patterns(key, patterns, &exact(layers), &exact(blocks))
}

/// The same of patterns of layers and of blocks.
pub fn with_patterns(key: &str, patterns: &Patterns, layers: &[String], blocks: &[String]) -> String {
    let mut with = patterns.clone();
    let (own_layers, own_blocks) = match with.given {
        true => (&mut with.layers, &mut with.blocks),
        false => (&mut with.more_layers, &mut with.more_blocks),
    };
    own_layers.extend_from_slice(layers);
    own_blocks.extend_from_slice(blocks);
    line(key, &with)
}

fn line(key: &str, patterns: &Patterns) -> String {
    let own = |list| if patterns.given { list } else { &[][..] };
    let mut out = String::new();
    for (name, list) in [
        ("layers", own(&patterns.layers)),
        ("blocks", own(&patterns.blocks)),
        ("more_layers", &patterns.more_layers),
        ("more_blocks", &patterns.more_blocks),
    ] {
        if !list.is_empty() {
            let names: Vec<String> = list.iter().map(|n| quoted(n)).collect();
            let comma = if out.is_empty() { "" } else { ", " };
            let _ = write!(out, "{comma}{name} = [{}]", names.join(", "));
        }
    }
    format!("{key} = {{ {out} }}")
}

#[cfg(test)]
mod tests {
    use super::{with_block, with_layer};
    use crate::rules::{Rules, parse};

    #[test]
    fn a_line_adds_to_names_and_to_what_the_rules_give() {
        let lights = |text: &str| parse(&format!("[read]\n{text}\n"), None).unwrap().read.lights;
        let none = Rules::default().read.lights;
        let text = with_layer("lights", &none, "M5 \"x\" *");
        assert_eq!(text, "lights = { more_layers = ['M5 \"x\" [*]'] }");
        let one = lights(&text);
        assert!(!one.given && one.layer_matches("M5 \"x\" *") && one.layer_matches("E-LITE"));
        // What was added before is kept.
        let two = lights(&with_block("lights", &one, "ZQ4"));
        assert!(two.layer_matches("M5 \"x\" *") && two.block_matches("zq4") && two.block_matches("CAN-6"));
        assert!(two.block_excluded("PENDANT") && !two.layer_matches("M6"));
        // A list that stands alone stays so, with one name more.
        let given = lights("lights = { layers = [\"7\"], blocks = [\"B*\"] }");
        let text = with_layer("lights", &given, "8");
        assert_eq!(text, "lights = { layers = [\"7\", \"8\"], blocks = [\"B*\"] }");
        let given = lights(&text);
        assert!(
            given.given
                && given.layer_matches("7")
                && given.layer_matches("8")
                && !given.layer_matches("E-LITE")
        );
        // Nothing at all is given too.
        assert!(lights("lights = {}").given);
        // More of a class beats a word of another one, and is beaten by none.
        let both = lights("lights = { layers = [\"7\"], more_layers = [\"8\"] }");
        assert!(both.given && both.layer_matches("7") && both.layer_matches("8"));
        assert!(parse("[read]\nlights = { more_layers = [\"\"] }\n", None).is_err());
    }
}
