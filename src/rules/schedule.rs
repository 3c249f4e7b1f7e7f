//! One `[[luminaire]]` of the rules file to a [`Luminaire`].
//!
//! Sizes that are not given follow from the aperture as in common new-work housings (common
//! practice, no source): a 6 in one opens 6 3/8, its body is 6 3/4, and its frame ends 4 1/2 and
//! 6 1/2 in from the centre. Other apertures add the same allowances to their half.

use toml::Spanned;

use super::file::{Fault, above_zero, globs, not_negative, positive};
use super::raw::{self, Length};
use super::{Bars, Luminaire, Mount};

/// Hole over aperture, diameters.
const OPENING: f64 = 3.0 / 8.0;
/// Recessed body over hole, diameters.
const BODY: f64 = 3.0 / 8.0;
/// Frame beyond half the aperture, away from the box and across the bars.
const FRAME: f64 = 1.5;
/// Frame and junction box beyond half the aperture.
const BOX: f64 = 3.5;

/// A mark that a schedule drawn on the plan explains and that is no entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Explained {
    pub tag: String,
    /// What the schedule says of it.
    pub words: String,
    pub means: Means,
}

/// What a line of a drawn schedule means, where it is no entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Means {
    /// A recessed light of no certain size, or what may be one.
    Light,
    /// A fixture at the ceiling that is no recessed light.
    AtTheCeiling,
    /// A fixture on a wall, under a cabinet, on the floor.
    Elsewhere,
}

impl Luminaire {
    /// An entry of which only the aperture (nominal inches) is known; the rest as where a rules file
    /// leaves it out.
    pub fn of_aperture(tag: &str, aperture: f64) -> Luminaire {
        let half = aperture / 2.0;
        Luminaire {
            tag: tag.to_string(),
            aperture,
            opening: aperture + OPENING,
            body: aperture + OPENING + BODY,
            short_side: half + FRAME,
            box_side: half + BOX,
            half_width: half + FRAME,
            ..Luminaire::default()
        }
    }
}

pub(super) fn luminaire(entry: &Spanned<raw::Luminaire>) -> Result<Luminaire, Fault> {
    let raw = entry.get_ref();
    let aperture = positive(&raw.aperture, "aperture")?;
    let or = |v: &Option<Spanned<Length>>, key: &str, default: f64| match v {
        Some(v) => positive(v, key),
        None => Ok(default),
    };
    let opening = or(&raw.opening, "opening", aperture + OPENING)?;
    let body = or(&raw.body, "body", opening + BODY)?;
    let short_side = or(&raw.short_side, "short_side", aperture / 2.0 + FRAME)?;
    let box_side = or(&raw.box_side, "box_side", aperture / 2.0 + BOX)?;
    let half_width = or(&raw.half_width, "half_width", aperture / 2.0 + FRAME)?;
    let mount = match raw.mount {
        None | Some(raw::Mount::NewWork) => Mount::NewWork,
        Some(raw::Mount::OldWork) => Mount::OldWork,
    };
    if let (Some(given), true) = (&raw.opening, opening < aperture - 0.5) {
        let message = "opening is smaller than the aperture: it is the diameter of the hole cut";
        return Err(Fault::new(given.span(), message));
    }
    if let (Some(given), true) = (
        &raw.short_side,
        mount == Mount::NewWork && short_side < body / 2.0,
    ) {
        let message =
            "short_side is less than half the body: it runs from the aperture's centre to the housing's end";
        return Err(Fault::new(given.span(), message));
    }
    if let (Some(given), true) = (&raw.box_side, box_side < short_side) {
        let message = "box_side is less than short_side: it is the longer end, with the junction box";
        return Err(Fault::new(given.span(), message));
    }
    if let (Some(bars), Mount::OldWork) = (&raw.bars, mount) {
        return Err(Fault::new(bars.span(), "bars: an old-work light has none"));
    }
    if let (Some(clip), Mount::NewWork) = (&raw.clip, mount) {
        return Err(Fault::new(
            clip.span(),
            "clip: only a light with mount = \"old-work\" has clips",
        ));
    }
    if let (Some(_), Some(photometry)) = (&raw.beam, &raw.photometry) {
        return Err(Fault::new(photometry.span(), "give beam or photometry, not both"));
    }
    let default = Luminaire::default();
    let number = |v: &Option<Spanned<f64>>, key: &str| match v {
        Some(v) => above_zero(*v.get_ref(), v.span(), key).map(Some),
        None => Ok(None),
    };
    let beam = number(&raw.beam, "beam")?;
    if let (Some(angle), Some(given)) = (beam, &raw.beam)
        && angle > 180.0
    {
        return Err(Fault::new(
            given.span(),
            "beam must be 180 degrees or less: it is a full angle",
        ));
    }
    Ok(Luminaire {
        tag: raw.tag.get_ref().trim().to_string(),
        blocks: globs(&raw.blocks)?,
        aperture,
        opening,
        body,
        short_side,
        // A long frame given on the short side alone never makes the box side the shorter one.
        box_side: box_side.max(short_side),
        half_width,
        bars: bars(raw.bars.as_ref(), default.bars)?,
        ic: raw.ic.unwrap_or(default.ic),
        mount,
        clip: match &raw.clip {
            Some(v) => not_negative(v, "clip")?,
            None => default.clip,
        },
        lumens: number(&raw.lumens, "lumens")?,
        beam,
        photometry: raw.photometry.as_ref().map(|p| p.get_ref().clone()),
    })
}

/// The bars' lengths; those not given are the default ones, bent to fit those given.
fn bars(raw: Option<&Spanned<raw::Bars>>, default: Bars) -> Result<Bars, Fault> {
    let Some(spanned) = raw else {
        return Ok(default);
    };
    let raw = spanned.get_ref();
    let given = |v: &Option<Spanned<Length>>, key: &str| v.as_ref().map(|v| positive(v, key)).transpose();
    let (least, greatest, trimmed) = (
        given(&raw.least, "bars.least")?,
        given(&raw.greatest, "bars.greatest")?,
        given(&raw.trimmed, "bars.trimmed")?,
    );
    let bars = Bars {
        greatest: greatest.unwrap_or(default.greatest.max(least.unwrap_or(0.0))),
        least: least.unwrap_or(
            default
                .least
                .min(greatest.unwrap_or(f64::INFINITY))
                .max(trimmed.unwrap_or(0.0)),
        ),
        trimmed: trimmed.unwrap_or(default.trimmed.min(least.or(greatest).unwrap_or(f64::INFINITY))),
    };
    if bars.least > bars.greatest {
        let message = "bars: least is above greatest; they reach from least to greatest";
        return Err(Fault::new(spanned.span(), message));
    }
    if bars.trimmed > bars.least {
        let message = "bars: trimmed is above least; it is the length they can be cut down to";
        return Err(Fault::new(spanned.span(), message));
    }
    Ok(bars)
}
