//! Lights on layers that are not plotted: the architect's sheet does not show them.

use std::collections::BTreeMap;

use crate::flatten::Flat;
use crate::note::Note;
use crate::plan::Light;
use crate::rules::Rules;
use crate::rules::line::with_layer;

/// Says which lights, by their layer, no sheet shows. Layers that the rules name for lights are what they are.
pub fn told(flat: &Flat, lights: &[Light], rules: &Rules, notes: &mut Vec<Note>) {
    if flat.unplotted.is_empty() {
        return;
    }
    let layers: BTreeMap<usize, usize> = (flat.items.iter().enumerate().rev())
        .filter(|(_, item)| item.within.is_none() && flat.unplotted.contains(&item.layer))
        .map(|(i, item)| (item.offset, i))
        .collect();
    let mut found: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for light in lights {
        if let Some(&i) = layers.get(&light.offset) {
            found.entry(&flat.items[i].layer).or_insert((0, i)).0 += 1;
        }
    }
    found.retain(|layer, _| rules.read.lights.layer_ruled(layer).is_none());
    for (layer, (count, first)) in found {
        notes.push(
            Note::warning(
                "not-plotted",
                format!(
                    "{count} light(s) stand on layer {layer}, which is not plotted: the sheet does not show them; if they are none, write \
                     under [read] in bayline.toml {}, if they are, {}",
                    with_layer("ignore", &rules.read.ignore, layer),
                    with_layer("lights", &rules.read.lights, layer)
                ),
            )
            .at(flat.place(first)),
        );
    }
}
