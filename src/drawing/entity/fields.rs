//! The groups of one entity, gathered by code.

use std::ops::Range;

use super::{Trouble, embedded};
use crate::drawing::read::clamp;
use crate::drawing::tag::Cursor;
use crate::drawing::types::Tag;

/// What every entity has, and the numbered groups of the simple ones. Where a group
/// occurs twice the last one stands.
#[derive(Debug, Default)]
pub(super) struct Fields {
    pub(super) handle: Option<Range<usize>>,
    pub(super) layer: Option<Range<usize>>,
    pub(super) linetype: Option<Range<usize>>,
    pub(super) owner: Option<Range<usize>>,
    pub(super) layout: Option<Range<usize>>,
    pub(super) paper: Option<bool>,
    pub(super) invisible: bool,
    color: Option<i64>,
    extrusion: Option<[f64; 3]>,
    /// Groups 10–18, 20–28 and 30–37 by their last digit.
    points: [[f64; 3]; 9],
    /// Groups 38 to 59.
    reals: [f64; 22],
    /// Groups 66 and 70 to 79, by code less 66.
    ints: [i64; 14],
    /// Codes below 128 that occurred.
    seen: u128,
    /// Groups 1 and 2.
    pub(super) text: Option<Range<usize>>,
    pub(super) name: Option<Range<usize>>,
    /// Inside a `102 {…}` group, whose handles are not its owner's.
    in_group: bool,
    /// Subclass markers passed that are not the common ones.
    subclasses: u8,
}

impl Fields {
    /// Gathers everything to the end of the cursor or the next `0`.
    pub(super) fn gather(&mut self, cursor: &mut Cursor<'_>, trouble: &mut Trouble) {
        while let Some(tag) = cursor.next() {
            if tag.code == 0 || embedded(&tag) {
                return;
            }
            self.take(cursor, &tag, trouble);
        }
    }

    /// Gathers the common groups only, and stops where they end.
    pub(super) fn gather_common(&mut self, cursor: &mut Cursor<'_>, trouble: &mut Trouble) {
        while let Some(tag) = cursor.next() {
            if tag.code == 0 || self.subclasses > 0 || tag.code >= 1000 {
                return;
            }
            self.common(cursor, &tag, trouble);
        }
    }

    /// Takes one group.
    #[inline]
    pub(super) fn take(&mut self, cursor: &Cursor<'_>, tag: &Tag, trouble: &mut Trouble) {
        let code = usize::from(tag.code.unsigned_abs());
        match tag.code {
            10..=18 => self.number(cursor, tag, trouble, |f, v| f.points[code - 10][0] = v),
            20..=28 => self.number(cursor, tag, trouble, |f, v| f.points[code - 20][1] = v),
            30..=37 => self.height(cursor, tag, trouble, |f, v| f.points[code - 30][2] = v),
            38 => self.height(cursor, tag, trouble, |f, v| f.reals[0] = v),
            40..=59 => self.number(cursor, tag, trouble, |f, v| f.reals[code - 38] = v),
            66 | 70..=79 => self.whole(cursor, tag, trouble, |f, v| f.ints[code - 66] = v),
            1 => self.text = Some(tag.value.clone()),
            2 => self.name = Some(tag.value.clone()),
            _ => self.common(cursor, tag, trouble),
        }
    }

    /// Takes one group if it is a common one.
    #[inline]
    pub(super) fn common(&mut self, cursor: &Cursor<'_>, tag: &Tag, trouble: &mut Trouble) {
        match tag.code {
            5 => self.handle = Some(tag.value.clone()),
            6 => self.linetype = Some(tag.value.clone()),
            8 => self.layer = Some(tag.value.clone()),
            60 => self.invisible = cursor.integer(tag) == Some(1),
            62 => self.color = cursor.integer(tag),
            67 => self.paper = cursor.integer(tag).map(|n| n == 1),
            100 => {
                let own = !matches!(cursor.bytes(tag).trim_ascii(), b"AcDbEntity" | b"");
                self.subclasses = self.subclasses.saturating_add(u8::from(own));
            }
            102 => self.in_group = cursor.bytes(tag).trim_ascii().starts_with(b"{"),
            210 | 220 | 230 => {
                let vector = self.extrusion.get_or_insert([0.0, 0.0, 1.0]);
                match cursor.real(tag).filter(|r| r.value.is_finite()) {
                    Some(real) => vector[usize::from(tag.code.unsigned_abs() - 210) / 10] = real.value,
                    None => bad_number(cursor, tag, trouble),
                }
            }
            330 if !self.in_group => self.owner = Some(tag.value.clone()),
            410 => self.layout = Some(tag.value.clone()),
            _ => {}
        }
    }

    /// Takes one group if it is a common one that stands among them, or the extrusion direction.
    pub(super) fn common_or_normal(&mut self, cursor: &Cursor<'_>, tag: &Tag, trouble: &mut Trouble) {
        if self.subclasses == 0 || matches!(tag.code, 210 | 220 | 230) {
            self.common(cursor, tag, trouble);
        }
    }

    /// Takes the tags up to the next entity's `0` tag, which is returned.
    pub(super) fn take_head(&mut self, cursor: &mut Cursor<'_>, trouble: &mut Trouble) -> Option<Tag> {
        while let Some(tag) = cursor.next() {
            if tag.code == 0 {
                return Some(tag);
            }
            if !embedded(&tag) {
                self.take(cursor, &tag, trouble);
            }
        }
        None
    }

    /// Marks the group as seen, and reads its number; `None` where it is not finite.
    #[inline]
    fn finite(&mut self, cursor: &Cursor<'_>, tag: &Tag, trouble: &mut Trouble) -> Option<f64> {
        self.seen |= 1 << (tag.code.unsigned_abs() & 127);
        let real = cursor.real(tag).filter(|real| real.value.is_finite())?;
        if real.odd {
            odd_number(cursor, tag, trouble);
        }
        Some(real.value)
    }

    /// A number the shape depends on: one that is not finite loses the entity.
    #[inline]
    fn number(
        &mut self,
        cursor: &Cursor<'_>,
        tag: &Tag,
        trouble: &mut Trouble,
        set: impl FnOnce(&mut Self, f64),
    ) {
        match self.finite(cursor, tag, trouble) {
            Some(value) => set(self, value),
            // Line type scale and the angles nobody draws by.
            None if matches!(tag.code, 48 | 49) => {}
            None => bad_number(cursor, tag, trouble),
        }
    }

    /// A height above the plan: one that is not finite becomes 0, as plans are flat.
    #[inline]
    fn height(
        &mut self,
        cursor: &Cursor<'_>,
        tag: &Tag,
        trouble: &mut Trouble,
        set: impl FnOnce(&mut Self, f64),
    ) {
        match self.finite(cursor, tag, trouble) {
            Some(value) => set(self, value),
            None => trouble.warning(
                "bad-height",
                format!(
                    "has `{}` for a height (group {}); it is taken as 0",
                    shown(cursor, tag),
                    tag.code
                ),
            ),
        }
    }

    #[inline]
    fn whole(
        &mut self,
        cursor: &Cursor<'_>,
        tag: &Tag,
        trouble: &mut Trouble,
        set: impl FnOnce(&mut Self, i64),
    ) {
        match cursor.integer(tag) {
            Some(n) => {
                self.seen |= 1 << (tag.code.unsigned_abs() & 127);
                if i64::from(clamp(n)) != n {
                    trouble.warning(
                        "big-integer",
                        format!("has {n} in group {}, which is out of range", tag.code),
                    );
                }
                set(self, n);
            }
            None => trouble.warning(
                "bad-integer",
                format!(
                    "has `{}` in group {}, which is no whole number",
                    shown(cursor, tag),
                    tag.code
                ),
            ),
        }
    }

    pub(super) fn has(&self, code: u8) -> bool {
        self.seen >> (code & 127) & 1 == 1
    }

    /// The point whose x is group `code` (10 to 18), zero where absent.
    pub(super) fn point(&self, code: u8) -> [f64; 3] {
        self.points
            .get(usize::from(code.saturating_sub(10)))
            .copied()
            .unwrap_or_default()
    }

    /// A real group (38, 40 to 59).
    pub(super) fn real(&self, code: u8) -> Option<f64> {
        self.has(code)
            .then(|| self.reals.get(usize::from(code.saturating_sub(38))).copied())
            .flatten()
    }

    /// A whole group (66, 70 to 79).
    pub(super) fn int(&self, code: u8) -> Option<i64> {
        self.has(code)
            .then(|| self.ints.get(usize::from(code.saturating_sub(66))).copied())
            .flatten()
    }

    pub(super) fn small(&self, code: u8) -> i16 {
        clamp(self.int(code).unwrap_or(0))
    }

    pub(super) fn color(&self) -> i16 {
        clamp(self.color.unwrap_or(256))
    }

    pub(super) fn extrusion(&self) -> [f64; 3] {
        // A zero vector points nowhere; the plain direction is what programs fall back to.
        self.extrusion
            .filter(|v| v.iter().any(|c| *c != 0.0))
            .unwrap_or([0.0, 0.0, 1.0])
    }
}

/// A value as it stands in the file, short enough to show.
pub(super) fn shown(cursor: &Cursor<'_>, tag: &Tag) -> String {
    match cursor.real(tag) {
        Some(real) if !real.odd => real.value.to_string(),
        _ => String::from_utf8_lossy(cursor.bytes(tag).trim_ascii())
            .chars()
            .take(24)
            .collect(),
    }
}

#[cold]
pub(super) fn bad_number(cursor: &Cursor<'_>, tag: &Tag, trouble: &mut Trouble) {
    trouble.loss(
        "bad-number",
        format!(
            "is left out: `{}` in group {} is no finite number",
            shown(cursor, tag),
            tag.code
        ),
    );
}

#[cold]
pub(super) fn odd_number(cursor: &Cursor<'_>, tag: &Tag, trouble: &mut Trouble) {
    let value = cursor.real(tag).map_or(f64::NAN, |r| r.value);
    trouble.warning(
        "odd-number",
        format!(
            "has `{}` in group {}, which is read as {value}",
            shown(cursor, tag),
            tag.code
        ),
    );
}
