//! What is said of an INSERT itself, whatever it draws.

use super::Walk;
use crate::drawing::Insert;
use crate::flatten::blocks::Ready;
use crate::flatten::insert::Placing;
use crate::flatten::notes::tell;
use crate::flatten::primitive::Odd;
use crate::note::Note;

impl<'a> Walk<'_, 'a> {
    /// Notes on the INSERT itself, whatever it draws.
    pub(super) fn tell_of(
        &mut self,
        ready: &Ready<'a>,
        insert: &Insert<'a>,
        placing: &Placing,
        block: Option<usize>,
    ) {
        let name = &insert.block;
        match block.and_then(|b| self.blocks.list.get(b)) {
            None if ready.entity.name == "ACAD_TABLE" => {
                let message = format!(
                    "a table's block \"{name}\" is not in this file: what is written in the table is not known"
                );
                self.note(Note::warning("no-table", message), ready);
            }
            None => {
                let message = format!(
                    "block \"{name}\" is inserted but not defined in this file: only its place is known; export \
                     the plan again with its blocks"
                );
                self.note(Note::loss("no-block", message), ready);
            }
            Some(definition) if definition.is_missing() => {
                let message = format!(
                    "\"{name}\" is an external reference and its drawing is not in this file: bind it and export again"
                );
                self.note(Note::warning("xref", message), ready);
            }
            Some(_) => {}
        }
        if placing.scale_mended {
            let message = format!("an INSERT of block \"{name}\" has scale 0: 1 is taken");
            self.note(Note::warning("zero-scale", message), ready);
        }
        if placing.extrusion_mended {
            let (level, code, message) = tell(Odd::Extrusion, &ready.entity.name);
            self.note(Note::new(level, code, message), ready);
        }
    }
}
