//! Notes: what was repaired, doubtful or left out, and where.
//!
//! Messy input yields a value plus notes. A note that tells of something lost
//! is a [`Level::Loss`]; a plan that carries one ends with exit status 2.

use std::fmt;

use serde::Serialize;

/// How much a note weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Level {
    /// Worth knowing: a default taken, a decision made.
    Info,
    /// Something odd was tolerated or repaired; nothing is missing.
    Warning,
    /// Something that was in the file could not be used.
    Loss,
}

/// Where in the source a note points. All parts are optional.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Place {
    /// Line number, from 1 (ASCII drawings).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line: Option<usize>,
    /// Byte offset, from 0.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub offset: Option<usize>,
    /// Entity handle as written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub handle: Option<String>,
    /// Names of the blocks passed through, outermost first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub path: Vec<String>,
}

/// One remark about the input.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Note {
    pub level: Level,
    /// Permanent kebab-case name of the matter, such as `truncated`.
    pub code: &'static str,
    /// One sentence: what was found and what to do about it.
    pub message: String,
    pub place: Place,
    /// How many times it occurred (equal notes are folded).
    pub times: usize,
}

impl Note {
    pub fn new(level: Level, code: &'static str, message: impl Into<String>) -> Self {
        Note {
            level,
            code,
            message: message.into(),
            place: Place::default(),
            times: 1,
        }
    }

    pub fn info(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(Level::Info, code, message)
    }

    pub fn warning(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(Level::Warning, code, message)
    }

    pub fn loss(code: &'static str, message: impl Into<String>) -> Self {
        Self::new(Level::Loss, code, message)
    }

    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = place;
        self
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut parts = Vec::new();
        if let Some(line) = self.line {
            parts.push(format!("line {line}"));
        } else if let Some(offset) = self.offset {
            parts.push(format!("byte {offset}"));
        }
        if let Some(handle) = &self.handle {
            parts.push(format!("handle {handle}"));
        }
        if !self.path.is_empty() {
            parts.push(format!("in {}", self.path.join(" > ")));
        }
        f.write_str(&parts.join(", "))
    }
}

impl fmt::Display for Note {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = self.place.to_string();
        if !place.is_empty() {
            write!(f, "{place}: ")?;
        }
        f.write_str(&self.message)?;
        if self.times > 1 {
            write!(f, " ({} times)", self.times)?;
        }
        Ok(())
    }
}
