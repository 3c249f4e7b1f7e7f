//! Text of a rules file to [`Rules`]: defaults filled in, every value judged.

use std::ops::Range;
use std::path::PathBuf;

use toml::Spanned;

use super::plain::{as_several, plainly};
use super::raw::{self, Length};
use super::{
    FramingRules, Luminaire, Patterns, Place, RoomRule, Rules, Spacing, Tolerance, UnitChoice, WallRules,
    glob_fault, schedule,
};

/// Reads a rules file. `file` is where it lies: it is kept, and named in messages. The error is
/// one message with file and line: `bayline.toml:12: …`.
pub fn parse(text: &str, file: Option<PathBuf>) -> Result<Rules, String> {
    let name = match &file {
        Some(path) => path.display().to_string(),
        None => "rules".to_string(),
    };
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let raw: raw::File = toml::from_str(text).map_err(|e| {
        if let Some((at, said)) = as_several(text) {
            return located(&name, text, Some(at..at), &said);
        }
        let at = e.span().map_or("", |span| line_at(text, span.start));
        located(&name, text, e.span(), &plainly(e.message(), at))
    })?;
    whole(raw, file).map_err(|Fault { span, message }| located(&name, text, Some(span), &message))
}

/// What is wrong with a value, and where it stands.
pub(super) struct Fault {
    pub span: Range<usize>,
    pub message: String,
}

impl Fault {
    pub fn new(span: Range<usize>, message: impl Into<String>) -> Self {
        Fault {
            span,
            message: message.into(),
        }
    }
}

/// The line that a place in a text is on.
fn line_at(text: &str, at: usize) -> &str {
    let mut from = 0;
    for line in text.split_inclusive('\n') {
        if at < from + line.len() {
            return line;
        }
        from += line.len();
    }
    text.lines().last().unwrap_or_default()
}

fn located(name: &str, text: &str, span: Option<Range<usize>>, message: &str) -> String {
    match span {
        Some(span) => {
            let start = span.start.min(text.len());
            let line = text.as_bytes()[..start].iter().filter(|&&b| b == b'\n').count() + 1;
            format!("{name}:{line}: {message}")
        }
        None => format!("{name}: {message}"),
    }
}

fn whole(raw: raw::File, file: Option<PathBuf>) -> Result<Rules, Fault> {
    let mut rules = Rules {
        file,
        units: match raw.units {
            None | Some(raw::Unit::Auto) => UnitChoice::Auto,
            Some(raw::Unit::In) => UnitChoice::In,
            Some(raw::Unit::Ft) => UnitChoice::Ft,
            Some(raw::Unit::Mm) => UnitChoice::Mm,
            Some(raw::Unit::Cm) => UnitChoice::Cm,
            Some(raw::Unit::M) => UnitChoice::M,
        },
        framing: framing(&raw.framing)?,
        tolerance: tolerance(&raw.tolerance)?,
        spacing: spacing(&raw.spacing)?,
        walls: walls(&raw.walls)?,
        keep: super::keep::keep(&raw.keep)?,
        ..Rules::default()
    };
    for (class, given) in [
        (&mut rules.read.lights, raw.read.lights),
        (&mut rules.read.framing, raw.read.framing),
        (&mut rules.read.walls, raw.read.walls),
        (&mut rules.read.rooms, raw.read.rooms),
        (&mut rules.read.devices, raw.read.devices),
        (&mut rules.read.ignore, raw.read.ignore),
    ] {
        if let Some(given) = given {
            let (more_layers, more_blocks) = (globs(&given.more_layers)?, globs(&given.more_blocks)?);
            // What is only more of a class leaves the rest of it to names and to what is drawn.
            let only_more = !(more_layers.is_empty() && more_blocks.is_empty());
            if !only_more || given.layers.is_some() || given.blocks.is_some() {
                *class = Patterns {
                    layers: globs(given.layers.as_deref().unwrap_or_default())?,
                    blocks: globs(given.blocks.as_deref().unwrap_or_default())?,
                    given: true,
                    ..Patterns::default()
                };
            }
            (class.more_layers, class.more_blocks) = (more_layers, more_blocks);
        }
    }
    for entry in &raw.luminaire {
        let made = schedule::luminaire(entry)?;
        unlike(
            &rules.luminaires,
            |l: &Luminaire| &l.tag,
            &entry.get_ref().tag,
            "[[luminaire]] tag",
        )?;
        rules.luminaires.push(made);
    }
    for entry in &raw.room {
        let room = entry.get_ref();
        unlike(&rules.rooms, |r: &RoomRule| &r.name, &room.name, "[[room]] name")?;
        rules.rooms.push(RoomRule {
            name: room.name.get_ref().trim().to_string(),
            ceiling: room
                .ceiling
                .as_ref()
                .map(|v| positive(v, "ceiling"))
                .transpose()?,
            insulated: room.insulated,
            hall: room.hall,
        });
    }
    Ok(rules)
}

/// Refuses an empty name and one that an earlier entry has, letter case aside.
fn unlike<T>(earlier: &[T], name: fn(&T) -> &String, new: &Spanned<String>, what: &str) -> Result<(), Fault> {
    let text = new.get_ref().trim();
    if text.is_empty() {
        return Err(Fault::new(new.span(), format!("{what} is empty")));
    }
    if earlier
        .iter()
        .any(|e| name(e).to_uppercase() == text.to_uppercase())
    {
        return Err(Fault::new(
            new.span(),
            format!("{what} \"{text}\" is given twice"),
        ));
    }
    Ok(())
}

pub(super) fn globs(patterns: &[Spanned<String>]) -> Result<Vec<String>, Fault> {
    patterns
        .iter()
        .map(|p| match glob_fault(p.get_ref()) {
            Some(fault) => Err(Fault::new(
                p.span(),
                format!("pattern \"{}\": {fault}", p.get_ref()),
            )),
            None => Ok(p.get_ref().trim().to_string()),
        })
        .collect()
}

/// A finite length above zero, inches.
pub(super) fn positive(v: &Spanned<Length>, key: &str) -> Result<f64, Fault> {
    above_zero(v.get_ref().0, v.span(), key)
}

/// A finite length of zero or more, inches.
pub(super) fn not_negative(v: &Spanned<Length>, key: &str) -> Result<f64, Fault> {
    let value = v.get_ref().0;
    if value.is_finite() && value >= 0.0 {
        return Ok(value);
    }
    Err(Fault::new(
        v.span(),
        format!("{key} must not be below zero, and is {value}"),
    ))
}

pub(super) fn above_zero(value: f64, span: Range<usize>, key: &str) -> Result<f64, Fault> {
    if value.is_finite() && value > 0.0 {
        return Ok(value);
    }
    Err(Fault::new(
        span,
        format!("{key} must be above zero, and is {value}"),
    ))
}

fn set(target: &mut f64, value: Option<Result<f64, Fault>>) -> Result<(), Fault> {
    if let Some(value) = value {
        *target = value?;
    }
    Ok(())
}

fn framing(raw: &raw::Framing) -> Result<FramingRules, Fault> {
    let mut framing = FramingRules::default();
    set(
        &mut framing.thickness,
        raw.thickness.as_ref().map(|v| positive(v, "thickness")),
    )?;
    framing.thickness_given = raw.thickness.is_some();
    framing.spacing = raw.spacing.as_ref().map(|v| positive(v, "spacing")).transpose()?;
    if let Some(direction) = &raw.direction {
        if !direction.get_ref().is_finite() {
            return Err(Fault::new(direction.span(), "direction is no angle in degrees"));
        }
        framing.direction = Some(*direction.get_ref());
    }
    if let (Some(spacing), Some(given)) = (framing.spacing, &raw.spacing)
        && spacing <= framing.thickness
    {
        return Err(Fault::new(
            given.span(),
            "spacing must be above the members' thickness",
        ));
    }
    if let Some(phase) = &raw.phase
        && let raw::Phase::Point(point) = phase.get_ref()
    {
        if point.iter().any(|c| !c.is_finite()) {
            return Err(Fault::new(phase.span(), "phase is no point"));
        }
        if framing.spacing.is_none() || framing.direction.is_none() {
            return Err(Fault::new(
                phase.span(),
                "phase needs spacing and direction beside it",
            ));
        }
        framing.phase = Some(*point);
    }
    for point in &raw.measured {
        if point.get_ref().iter().any(|c| !c.is_finite()) {
            return Err(Fault::new(
                point.span(),
                "measured has something that is no point",
            ));
        }
        framing.measured.push(*point.get_ref());
    }
    if let Some(name) = &raw.from_block {
        if name.get_ref().trim().is_empty() {
            return Err(Fault::new(
                name.span(),
                "from_block is empty: give a block's name",
            ));
        }
        framing.from_block = Some(name.get_ref().trim().to_string());
    }
    if let Some(raw::Place::Origin) = raw.place {
        framing.place = Place::Origin;
    }
    if let Some(turn) = &raw.turn {
        if !turn.get_ref().is_finite() {
            return Err(Fault::new(turn.span(), "turn is no angle in degrees"));
        }
        framing.turn = Some(*turn.get_ref());
    }
    framing.mirrored = raw.mirrored;
    Ok(framing)
}

fn tolerance(raw: &raw::Tolerance) -> Result<Tolerance, Fault> {
    let mut t = Tolerance::default();
    set(&mut t.across, raw.across.as_ref().map(|v| positive(v, "across")))?;
    set(&mut t.along, raw.along.as_ref().map(|v| positive(v, "along")))?;
    set(
        &mut t.capture,
        raw.capture.as_ref().map(|v| positive(v, "capture")),
    )?;
    set(
        &mut t.tab_gain,
        raw.tab_gain.as_ref().map(|v| not_negative(v, "tab_gain")),
    )?;
    set(
        &mut t.combustible,
        raw.combustible.as_ref().map(|v| not_negative(v, "combustible")),
    )?;
    set(
        &mut t.stacked,
        raw.stacked.as_ref().map(|v| not_negative(v, "stacked")),
    )?;
    if let Some(ratio) = &raw.gap_ratio {
        t.gap_ratio = above_zero(*ratio.get_ref(), ratio.span(), "gap_ratio")?;
        if t.gap_ratio < 1.0 {
            return Err(Fault::new(
                ratio.span(),
                "gap_ratio must be 1 or more: it multiplies the median gap",
            ));
        }
    }
    if let (true, Some(capture)) = (t.capture < t.across, raw.capture.as_ref().or(raw.across.as_ref())) {
        let message = "capture must not be below across: a light that far off would leave its row";
        return Err(Fault::new(capture.span(), message));
    }
    Ok(t)
}

fn spacing(raw: &raw::Spacing) -> Result<Spacing, Fault> {
    let mut spacing = Spacing::default();
    let number = |v: &Spanned<f64>, key| above_zero(*v.get_ref(), v.span(), key);
    set(
        &mut spacing.feet_per_inch,
        raw.feet_per_inch.as_ref().map(|v| number(v, "feet_per_inch")),
    )?;
    spacing.criterion = raw
        .criterion
        .as_ref()
        .map(|v| number(v, "criterion"))
        .transpose()?;
    Ok(spacing)
}

fn walls(raw: &raw::Walls) -> Result<WallRules, Fault> {
    let mut walls = WallRules::default();
    set(
        &mut walls.least,
        raw.least.as_ref().map(|v| not_negative(v, "least")),
    )?;
    set(
        &mut walls.slack,
        raw.slack.as_ref().map(|v| not_negative(v, "slack")),
    )?;
    Ok(walls)
}
