//! What the source is like, as far as new records must be like it.

use std::ops::Range;

use crate::drawing::encoding::{self, CodePage};
use crate::drawing::types::{Tag, Version};
use crate::drawing::{Drawing, Space, number};

/// Habits of the source.
#[derive(Debug, Default)]
pub(super) struct Look {
    /// Entities have handles.
    pub(super) handles: bool,
    /// Records in the LAYER table have handles.
    pub(super) layer_handles: bool,
    /// Subclass markers and owners (R13 on).
    pub(super) classes: bool,
    /// Handle of model space's block record.
    pub(super) model: Option<u64>,
    /// Handle of the LAYER table.
    pub(super) layer_table: Option<u64>,
    /// The plot style (390) that a layer of the source names.
    pub(super) plot_style: Option<u64>,
    /// The code page for text; `None` where every reader may take another.
    pub(super) page: Option<CodePage>,
    /// Name, as written, of a text style to use where there is none called STANDARD.
    pub(super) style: Option<Range<usize>>,
}

pub(super) fn look(drawing: &Drawing<'_>) -> Look {
    let classes = drawing.version >= Version::R13;
    let mut look = Look {
        handles: classes,
        layer_handles: classes,
        classes,
        model: drawing
            .layouts
            .iter()
            .find(|(_, space)| *space == Space::Model)
            .map(|(handle, _)| *handle),
        page: page(drawing),
        style: style(drawing),
        ..Look::default()
    };
    let handle_of = |tag: &Tag| number::handle(drawing.source.get(tag.value.clone()).unwrap_or_default());
    if let Some(range) = table(drawing, "LAYER") {
        let mut records = 0;
        for tag in drawing.tags(range) {
            match tag.code {
                0 => records += 1,
                5 if records == 1 => look.layer_table = handle_of(&tag).filter(|h| *h != 0),
                5 => look.layer_handles = true,
                390 if look.plot_style.is_none() => look.plot_style = handle_of(&tag).filter(|h| *h != 0),
                _ => {}
            }
        }
    }
    if !classes {
        let all = || {
            let held = drawing.blocks.iter().flat_map(|b| &b.entities);
            drawing.entities.iter().chain(held)
        };
        let theirs = match all().next() {
            Some(e) => drawing.entity(e).0.handle.is_some_and(|h| !h.trim().is_empty()),
            None => drawing.header_integer("$HANDLING") == Some(1),
        };
        // Objects have handles, and a reader that deals its own to what has none may deal
        // theirs: what is new must not shift that.
        let objects = drawing.structure.greatest_handle > 0
            && drawing
                .structure
                .sections
                .iter()
                .any(|(name, _)| name == "OBJECTS");
        look.handles = theirs || objects;
        look.layer_handles = look.handles && (look.layer_handles || objects);
    }
    look
}

/// The page that text is written in: UTF-8 from R2007 on, but for a drawing that is not what it
/// should be; before, the page that is named.
fn page(drawing: &Drawing<'_>) -> Option<CodePage> {
    if drawing.version >= Version::R2007 {
        let pure = drawing.source.is_ascii();
        return Some(if pure {
            CodePage::Standard(encoding_rs::UTF_8)
        } else {
            drawing.encoding
        });
    }
    let tag = drawing.header_var("$DWGCODEPAGE")?.tags.first()?;
    let name = drawing.name(tag.value.clone());
    encoding::by_name(name.trim()).map(|_| drawing.encoding)
}

/// The range of a table by its name.
pub(super) fn table(drawing: &Drawing<'_>, name: &str) -> Option<Range<usize>> {
    let tables = &drawing.structure.tables;
    tables
        .iter()
        .find(|(n, _)| n == name)
        .map(|(_, range)| range.clone())
}

/// The first style's name where the table has no STANDARD.
fn style(drawing: &Drawing<'_>) -> Option<Range<usize>> {
    let mut first = None;
    for tag in drawing.tags(table(drawing, "STYLE")?).iter().skip(2) {
        let name = drawing
            .source
            .get(tag.value.clone())
            .unwrap_or_default()
            .trim_ascii();
        if tag.code != 2 || name.is_empty() {
            continue;
        }
        if name.eq_ignore_ascii_case(b"STANDARD") {
            return None;
        }
        first = first.or(Some(tag.value.clone()));
    }
    first
}
