//! The architect's own lines, for the background of the sheets.

use super::classes::Claim;
use super::shape::{chords, finite};
use crate::flatten::{Flat, Prim, Symbol};
use crate::plan::Linework;

/// Everything visible that is neither light nor member, curves as chords, and what attributes of any symbol say.
pub fn linework(flat: &Flat, claims: &[Claim]) -> Vec<Linework> {
    let mut drawn = Vec::new();
    for (item, claim) in flat.items.iter().zip(claims) {
        if !item.visible {
            continue;
        }
        if let Prim::Symbol(symbol) = &item.prim {
            drawn.extend(attributes(symbol));
        }
        if matches!(claim, Claim::Light | Claim::Member) {
            continue;
        }
        if let Prim::Text {
            at,
            height,
            angle,
            centred,
            text,
        } = &item.prim
        {
            if finite(*at) && height.is_finite() && angle.is_finite() && !text.trim().is_empty() {
                drawn.push(Linework::Text {
                    at: *at,
                    height: *height,
                    angle: *angle,
                    centred: *centred,
                    text: text.to_string(),
                });
            }
        } else if let Some((points, closed)) = chords(&item.prim) {
            drawn.push(Linework::Path { points, closed });
        }
    }
    drawn
}

/// The attributes that show: an architect's tag is what a reader looks for.
fn attributes(symbol: &Symbol) -> impl Iterator<Item = Linework> {
    symbol.attribs.iter().filter_map(|a| {
        let l = a.lettered?;
        let sound = finite(l.at) && l.height.is_finite() && l.angle.is_finite() && !a.text.trim().is_empty();
        sound.then(|| Linework::Text {
            at: l.at,
            height: l.height,
            angle: l.angle,
            centred: l.centred,
            text: a.text.trim().to_string(),
        })
    })
}
