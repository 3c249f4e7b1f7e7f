//! The architect's own lines, for the background of the sheets.

use super::classes::Claim;
use super::shape::{chords, finite};
use crate::flatten::{Flat, Prim};
use crate::plan::Linework;

/// Everything visible that is neither light nor member, curves as chords.
pub fn linework(flat: &Flat, claims: &[Claim]) -> Vec<Linework> {
    let mut drawn = Vec::new();
    for (item, claim) in flat.items.iter().zip(claims) {
        if !item.visible || matches!(claim, Claim::Light | Claim::Member) {
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
