//! New records: layers and entities, as the source's version writes them.
//!
//! Source for codes and their order: DXF reference, from memory; held to an independent auditor.

use super::look::{Look, table};
use super::{NewShape, close};
use crate::drawing::Drawing;
use crate::drawing::encode::Writer;
use crate::drawing::types::Version;

/// Writes records and hands out handles.
pub(super) struct Pen<'a> {
    drawing: &'a Drawing<'a>,
    look: &'a Look,
    next: u64,
    /// Handle of the LAYER table, the source's or the one to be made.
    layer_table: Option<u64>,
    /// Names of the new blocks.
    blocks: Vec<String>,
}

impl<'a> Pen<'a> {
    pub(super) fn new(drawing: &'a Drawing<'a>, look: &'a Look, blocks: Vec<String>) -> Self {
        let greatest = drawing.structure.greatest_handle;
        // A seed near the end of the range is a fault of the file and no guide.
        let seed = drawing.structure.hand_seed.filter(|seed| seed >> 60 == 0);
        let mut pen = Pen {
            drawing,
            look,
            next: greatest.saturating_add(1).max(seed.unwrap_or(1)),
            layer_table: look.layer_table,
            blocks,
        };
        if look.classes && table(drawing, "LAYER").is_none() {
            pen.layer_table = Some(pen.fresh());
        }
        pen
    }

    /// The handle after the last one used; `None` where the source goes without.
    pub(super) fn next_handle(&self) -> Option<u64> {
        self.look.handles.then_some(self.next)
    }

    /// Whether records have subclass markers and owners.
    pub(super) fn classes(&self) -> bool {
        self.look.classes
    }

    pub(super) fn version(&self) -> Version {
        self.drawing.version
    }

    pub(super) fn writer(&self) -> Writer {
        Writer::new(self.drawing.format, self.look.page)
    }

    /// The handle that [`Pen::fresh`] will give.
    pub(super) fn peek(&self) -> u64 {
        self.next
    }

    pub(super) fn fresh(&mut self) -> u64 {
        let handle = self.next;
        self.next = self.next.saturating_add(1);
        handle
    }

    /// Layer records, one behind the other.
    pub(super) fn layers(&mut self, layers: &[(&str, i16)]) -> Vec<u8> {
        let mut w = self.writer();
        for (name, color) in layers {
            w.name(0, "LAYER");
            if self.look.layer_handles {
                w.handle(5, self.fresh());
            }
            if self.look.classes {
                if let Some(owner) = self.layer_table {
                    w.handle(330, owner);
                }
                w.name(100, "AcDbSymbolTableRecord");
                w.name(100, "AcDbLayerTableRecord");
            }
            w.name(2, name);
            w.integer(70, 0);
            w.integer(62, (*color).into());
            w.name(
                6,
                if self.look.classes {
                    "Continuous"
                } else {
                    "CONTINUOUS"
                },
            );
            if self.drawing.version >= Version::R2000 {
                // Line weight: the default.
                w.integer(370, -3);
                if let Some(style) = self.look.plot_style {
                    w.handle(390, style);
                }
            }
        }
        w.out
    }

    /// Head and end of a LAYER table around its records.
    pub(super) fn layer_table(&self, records: &[u8], count: usize) -> Vec<u8> {
        let mut w = self.writer();
        w.name(0, "TABLE");
        w.name(2, "LAYER");
        if let Some(own) = self.layer_table {
            w.handle(5, own);
            w.handle(330, 0);
            w.name(100, "AcDbSymbolTable");
        }
        w.integer(70, i64::try_from(count).unwrap_or(i64::MAX));
        w.out.extend(records);
        w.name(0, "ENDTAB");
        w.out
    }

    /// A section around what it holds.
    pub(super) fn section(&self, name: &str, held: &[u8]) -> Vec<u8> {
        let mut w = self.writer();
        w.name(0, "SECTION");
        w.name(2, name);
        w.out.extend(held);
        w.name(0, "ENDSEC");
        w.out
    }

    /// Entities, one behind the other.
    pub(super) fn entities<'m>(&mut self, marks: impl Iterator<Item = (&'m str, &'m NewShape)>) -> Vec<u8> {
        let mut w = self.writer();
        for (layer, shape) in marks {
            self.entity(&mut w, layer, shape, self.look.model);
        }
        w.out
    }

    /// What every entity begins with; gives its handle.
    pub(super) fn begin(
        &mut self,
        w: &mut Writer,
        name: &str,
        layer: &str,
        owner: Option<u64>,
    ) -> Option<u64> {
        w.name(0, name);
        let handle = self.look.handles.then(|| self.fresh());
        if let Some(handle) = handle {
            w.handle(5, handle);
        }
        if self.look.classes {
            if let Some(owner) = owner {
                w.handle(330, owner);
            }
            w.name(100, "AcDbEntity");
        }
        w.name(8, layer);
        handle
    }

    pub(super) fn class(&self, w: &mut Writer, name: &str) {
        if self.look.classes {
            w.name(100, name);
        }
    }

    pub(super) fn entity(&mut self, w: &mut Writer, layer: &str, shape: &NewShape, model: Option<u64>) {
        match shape {
            NewShape::Line { from, to } => {
                self.begin(w, "LINE", layer, model);
                self.class(w, "AcDbLine");
                point(w, 10, *from);
                point(w, 11, *to);
            }
            NewShape::Circle { center, radius } => {
                self.begin(w, "CIRCLE", layer, model);
                self.class(w, "AcDbCircle");
                point(w, 10, *center);
                w.real(40, *radius);
            }
            // LWPOLYLINE came with R14.
            NewShape::Polyline { points, closed } if self.drawing.version >= Version::R14 => {
                self.begin(w, "LWPOLYLINE", layer, model);
                self.class(w, "AcDbPolyline");
                w.integer(90, i64::try_from(points.len()).unwrap_or(i64::MAX));
                w.integer(70, (*closed).into());
                for [x, y] in points {
                    w.real(10, *x);
                    w.real(20, *y);
                }
            }
            NewShape::Polyline { points, closed } => self.polyline(w, layer, points, *closed, model),
            NewShape::Insert { block, at, angle } => {
                let Some(name) = self.blocks.get(*block).cloned() else {
                    return;
                };
                self.begin(w, "INSERT", layer, model);
                self.class(w, "AcDbBlockReference");
                w.name(2, &name);
                point(w, 10, *at);
                if *angle != 0.0 {
                    w.real(50, *angle);
                }
            }
            NewShape::Text {
                at,
                height,
                angle,
                centred,
                text,
            } => {
                self.begin(w, "TEXT", layer, model);
                self.class(w, "AcDbText");
                point(w, 10, *at);
                w.real(40, *height);
                w.text(1, text);
                if *angle != 0.0 {
                    w.real(50, *angle);
                }
                if let Some(style) = &self.look.style {
                    w.raw(7, self.drawing.source.get(style.clone()).unwrap_or_default());
                }
                if *centred {
                    w.integer(72, 1);
                    point(w, 11, *at);
                }
                self.class(w, "AcDbText");
                if *centred {
                    w.integer(73, 2);
                }
            }
        }
    }

    fn polyline(
        &mut self,
        w: &mut Writer,
        layer: &str,
        points: &[[f64; 2]],
        closed: bool,
        model: Option<u64>,
    ) {
        let own = self.begin(w, "POLYLINE", layer, model);
        self.class(w, "AcDb2dPolyline");
        w.integer(66, 1);
        point(w, 10, [0.0, 0.0]);
        w.integer(70, closed.into());
        for at in points {
            self.begin(w, "VERTEX", layer, own);
            self.class(w, "AcDbVertex");
            self.class(w, "AcDb2dVertex");
            point(w, 10, *at);
        }
        self.begin(w, "SEQEND", layer, own);
    }

    /// The end of a drawing that stops short: what is open is closed, then `0 EOF`.
    pub(super) fn closing(&self, open: close::Open, before_end: &[u8]) -> Vec<u8> {
        let mut w = self.writer();
        if open.sequence {
            w.name(0, "SEQEND");
            self.class(&mut w, "AcDbEntity");
            w.name(8, "0");
        }
        if open.block {
            w.name(0, "ENDBLK");
            self.class(&mut w, "AcDbEntity");
            w.name(8, "0");
            self.class(&mut w, "AcDbBlockEnd");
        }
        if open.table {
            w.name(0, "ENDTAB");
        }
        if open.section {
            w.name(0, "ENDSEC");
        }
        w.out.extend(before_end);
        w.name(0, "EOF");
        w.out
    }
}

fn point(w: &mut Writer, code: i16, [x, y]: [f64; 2]) {
    w.point(code, x, y);
}
