//! Reading a drawing: sniff, index, decode names, tell what was odd.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::clip;
use super::family;
use super::index::{Index, Indexer, RawBlock, RawLayer, Remark};
use super::tag::{Cursor, Damage, DamageKind, SENTINEL};
use super::{
    Block, Drawing, Format, Layer, MlineStyle, ReadError, Space, Structure, Version, encoding, number, sniff,
    true_name,
};
use crate::note::{Level, Note, Place};

/// Notes of one kind that are told one by one; the rest are told as a number.
const TOLD: usize = 20;

/// Zero bytes from which on a part of the file is lost, not one text cut short.
const LOST: usize = 8;

/// Reads a drawing: a result with notes wherever anything is usable.
///
/// # Errors
/// [`ReadError`] where nothing is: an empty file, a file of another kind, a file that
/// ends before any section.
pub fn read(source: &[u8]) -> Result<(Drawing<'_>, Vec<Note>), ReadError> {
    let start = sniff::start(source)?;
    let declared = sniff::declared(source, &start);
    let mut notes = Vec::new();
    let version = declared.version.and_then(sniff::version);
    let encoding = encoding::choose(source, version, declared.code_page, &mut notes);
    if version.is_none() {
        let why = match declared.version {
            Some(text) => format!("the version `{}` is not known", String::from_utf8_lossy(text)),
            None => "the drawing names no version".into(),
        };
        notes.push(Note::info("version", format!("{why}; it is read as R12")));
    }
    let cursor = Cursor::new(source, start.layout, start.offset, source.len());
    let (index, cursor) = Indexer::new(cursor).run();
    refuse_hopeless(source, &index, &cursor.damage)?;

    let mut drawing = Drawing {
        source,
        format: start.layout.format,
        version: version.unwrap_or(Version::R12),
        header: Vec::new(),
        layers: Vec::new(),
        blocks: Vec::new(),
        mline_styles: Vec::new(),
        clips: BTreeMap::new(),
        entities: Vec::new(),
        structure: Structure::default(),
        encoding,
        as_text: encoding.whole(source),
        layout: start.layout,
        layouts: Vec::new(),
        spaces: BTreeMap::new(),
        layout_blocks: Vec::new(),
        lines: OnceLock::new(),
    };
    tell_damage(&drawing, &cursor.damage, &mut notes);
    tell_zeros(&drawing, &index, &mut notes);
    tell_end(&drawing, &index, &mut notes);
    tell_remarks(&drawing, &index.remarks, &mut notes);
    fill(&mut drawing, index, &mut notes);
    Ok((drawing, notes))
}

fn refuse_hopeless(source: &[u8], index: &Index, damage: &[Damage]) -> Result<(), ReadError> {
    if index.structure.sections.is_empty() {
        let what = match damage.first() {
            Some(d) if d.offset == 0 => "it does not begin with a group code, and has no SECTION",
            _ => "it has no SECTION",
        };
        return Err(ReadError::NotDxf(what.into()));
    }
    let nothing = index.entities.is_empty() && index.blocks.is_empty() && index.layers.is_empty();
    if let (true, false, Some(name)) = (nothing, index.structure.complete, &index.open_section) {
        let section = if name.is_empty() {
            "its first section"
        } else {
            name
        };
        let what = format!("the file ends inside {section}, before anything that is drawn");
        if source.starts_with(SENTINEL) {
            return Err(ReadError::BrokenBinary(what));
        }
        let line = memchr::memchr_iter(b'\n', source).count() + 1;
        return Err(ReadError::Broken { line, what });
    }
    Ok(())
}

/// Decodes names and sorts entities of layout blocks to the layouts.
fn fill(drawing: &mut Drawing<'_>, index: Index, notes: &mut Vec<Note>) {
    drawing.layers = index.layers.iter().map(|raw| layer(drawing, raw)).collect();
    drawing.mline_styles = (index.mline_styles.iter())
        .map(|raw| MlineStyle {
            name: drawing.name(raw.name.clone()).trim().to_string(),
            ..raw.style.clone()
        })
        .collect();
    drawing.clips = clip::clips(&index, |offset| drawing.line_of(offset), notes);
    let true_names = true_name::true_names(drawing, &index);
    for record in &index.records {
        let name = drawing.name(record.name.clone());
        if let (Some(handle), Some(space)) = (record.handle, layout_space(&name)) {
            drawing.layouts.push((handle, space));
            drawing.spaces.entry(handle).or_insert(space);
        }
    }
    drawing.header = index.header;
    drawing.structure = index.structure;
    let mut from_blocks = Vec::new();
    for raw in index.blocks {
        let mut block = block(drawing, &raw, &true_names);
        if let Some(space) = layout_space(&block.name) {
            drawing.layout_blocks.push((raw.range, space));
            from_blocks.append(&mut block.entities);
        }
        drawing.blocks.push(block);
    }
    family::tell(&mut drawing.blocks);
    drawing.entities = index.entities;
    if !from_blocks.is_empty() {
        drawing.entities.append(&mut from_blocks);
        drawing.entities.sort_by_key(|e| e.range.start);
    }
}

fn layer(drawing: &Drawing<'_>, raw: &RawLayer) -> Layer {
    let color = clamp(raw.color);
    Layer {
        name: drawing.name(raw.name.clone()).into_owned(),
        color: color.checked_abs().unwrap_or(i16::MAX),
        off: color < 0,
        frozen: raw.flags & 1 != 0,
        plotted: raw.plot != Some(0),
        offset: raw.offset,
    }
}

fn block(drawing: &Drawing<'_>, raw: &RawBlock, true_names: &BTreeMap<String, String>) -> Block {
    let name = drawing.name(raw.name.clone()).into_owned();
    let path = drawing.name(raw.xref.clone());
    let handle = drawing.name(raw.handle.clone());
    Block {
        true_name: true_names.get(&name.to_lowercase()).cloned(),
        family: None,
        base: raw.base,
        flags: clamp(raw.flags),
        layout: layout_space(&name).is_some(),
        entities: raw.entities.clone(),
        handle: Some(handle.trim().to_string()).filter(|h| !h.is_empty()),
        offset: raw.range.start,
        xref: Some(path.trim().to_string()).filter(|p| raw.flags & 4 != 0 && !p.is_empty()),
        name,
    }
}

/// The space a block of this name is, if it is a layout's.
fn layout_space(name: &str) -> Option<Space> {
    let name = name.to_ascii_lowercase();
    let rest = name.strip_prefix(['*', '$'])?;
    if rest == "model_space" {
        Some(Space::Model)
    } else {
        rest.starts_with("paper_space").then_some(Space::Paper)
    }
}

/// A whole number in 16 bits, the nearest where it is out of range.
pub(super) fn clamp(value: i64) -> i16 {
    value.clamp(i64::from(i16::MIN), i64::from(i16::MAX)) as i16
}

fn place(drawing: &Drawing<'_>, offset: usize) -> Place {
    Place {
        line: drawing.line_of(offset),
        offset: Some(offset),
        ..Place::default()
    }
}

fn tell_damage(drawing: &Drawing<'_>, damage: &[Damage], notes: &mut Vec<Note>) {
    for (kind, level, code, what) in [
        (
            DamageKind::Blank,
            Level::Warning,
            "blank-line",
            "a blank line where a group code belongs was skipped",
        ),
        (
            DamageKind::Doubled,
            Level::Warning,
            "doubled-line",
            "a line that stands there twice was skipped once",
        ),
        (
            DamageKind::OutOfStep,
            Level::Loss,
            "out-of-step",
            "group codes and values are out of step",
        ),
        (
            DamageKind::Cut,
            Level::Loss,
            "cut-tag",
            "the file ends in the middle of a group",
        ),
    ] {
        let mut all = damage.iter().filter(|d| d.kind == kind);
        for d in all.by_ref().take(TOLD) {
            let mut message = what.to_string();
            if kind == DamageKind::OutOfStep {
                let bytes = d.resumed.saturating_sub(d.offset);
                message.push_str(&match drawing.line_of(d.resumed) {
                    Some(line) => format!("; reading went on at line {line}, and what is near may be wrong"),
                    None => format!("; the {bytes} bytes after it are left out"),
                });
            }
            notes.push(Note::new(level, code, message).at(place(drawing, d.offset)));
        }
        let more = all.count();
        if more > 0 {
            let mut note = Note::new(level, code, format!("{what}, in further places"));
            note.times = more;
            notes.push(note);
        }
    }
}

/// Zero bytes in a drawing of text: a part of the file was never written, or is lost. Few of them are a slip of a program.
fn tell_zeros(drawing: &Drawing<'_>, index: &Index, notes: &mut Vec<Note>) {
    if matches!(drawing.format, Format::Binary { .. }) {
        return;
    }
    let read = drawing.source.get(..index.end).unwrap_or(drawing.source);
    let end = read.iter().rposition(|b| *b != 0).map_or(0, |last| last + 1);
    let mut zeros = memchr::memchr_iter(0, &read[..end]);
    let Some(first) = zeros.next() else { return };
    let count = 1 + zeros.count();
    let (level, lost) = match count >= LOST {
        true => (
            Level::Loss,
            "what stood there is lost, and what is near may be wrong: get the file again",
        ),
        false => (Level::Warning, "a text or a value may be cut short there"),
    };
    let message = format!("{count} bytes of the drawing are zero, the first at this place: {lost}");
    notes.push(Note::new(level, "zero-bytes", message).at(place(drawing, first)));
}

fn tell_remarks(drawing: &Drawing<'_>, remarks: &[Remark], notes: &mut Vec<Note>) {
    let mut told: BTreeMap<&str, usize> = BTreeMap::new();
    for remark in remarks {
        let times = told.entry(remark.code).or_default();
        *times += 1;
        if *times <= TOLD {
            let note = Note::new(remark.level, remark.code, remark.message.clone());
            notes.push(note.at(remark.place(drawing.line_of(remark.offset))));
        }
    }
    for (code, times) in told.into_iter().filter(|(_, times)| *times > TOLD) {
        if let Some(remark) = remarks.iter().rfind(|r| r.code == code) {
            let mut note = Note::new(
                remark.level,
                code,
                format!("{}; and so in further places", remark.message),
            );
            note.times = times - TOLD;
            notes.push(note);
        }
    }
}

/// What the end of the source tells: cut short, no EOF, or something after it.
fn tell_end(drawing: &Drawing<'_>, index: &Index, notes: &mut Vec<Note>) {
    let end = drawing.source.len();
    if index.structure.complete {
        let rest = drawing.source.get(index.end..).unwrap_or_default();
        if !rest
            .iter()
            .all(|b| b.is_ascii_whitespace() || matches!(b, 0 | 0x1A))
        {
            let message = format!("{} bytes after the end of the drawing are not read", rest.len());
            notes.push(Note::warning("after-eof", message).at(place(drawing, index.end)));
        }
        return;
    }
    let where_to = match drawing.line_of(end) {
        Some(line) => format!("line {line}"),
        None => format!("byte {end}"),
    };
    let Some(section) = &index.open_section else {
        let message = format!("the drawing ends at {where_to} without EOF; its sections are whole");
        notes.push(Note::warning("no-eof", message).at(place(drawing, end)));
        return;
    };
    let missing = match section.as_str() {
        "OBJECTS" | "THUMBNAILIMAGE" | "ACDSDATA" => "nothing that is drawn is missing",
        "ENTITIES" => "entities after that are missing",
        _ => "blocks and entities after that are missing",
    };
    let most = at_most_missing(drawing, index).map_or(String::new(), |most| {
        format!("; by the handles it counts, at most {most} objects, what is not drawn included")
    });
    let message = format!("the drawing is truncated at {where_to}, inside {section}: {missing}{most}");
    notes.push(Note::loss("truncated", message).at(place(drawing, end)));
}

/// Handles the header counts that are greater than those of all entities that are there. None where the
/// drawing counts no handles, or its entities have none.
fn at_most_missing(drawing: &Drawing<'_>, index: &Index) -> Option<u64> {
    let in_blocks = index.blocks.iter().flat_map(|b| &b.entities);
    let handles = index.entities.iter().chain(in_blocks).filter_map(|e| {
        let (entity, _) = drawing.entity(e);
        entity.handle.and_then(|h| number::handle(h.as_bytes()))
    });
    let seed = index.structure.hand_seed?;
    handles
        .max()
        .map(|last| seed.saturating_sub(1).saturating_sub(last))
}
