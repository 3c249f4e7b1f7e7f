//! The placing of a second drawing in words.

use std::fmt;

use super::{How, Refusal, Registration, Similarity, WORST};
use crate::length::feet_inches;

/// `turned 90°, mirrored`; what is not done is not said.
fn way(t: &Similarity) -> String {
    let mut parts = Vec::new();
    let turn = t.turn_degrees();
    if turn.abs() >= 0.005 {
        parts.push(format!("turned {}°", number(turn, 2)));
    }
    if t.mirrored {
        parts.push("mirrored".to_string());
    }
    if (t.scale() - 1.0).abs() > 1e-9 {
        parts.push(format!("scaled by {}", number(t.scale(), 6)));
    }
    if parts.is_empty() {
        parts.push("neither turned nor mirrored".to_string());
    }
    parts.join(", ")
}

/// Rounded, without zeros behind.
fn number(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    text.trim_end_matches('0').trim_end_matches('.').to_string()
}

fn percent(share: f64) -> String {
    format!("{:.0} %", (share * 100.0).clamp(0.0, 100.0))
}

/// To 1/64 in, or `under 1/64"`.
fn small(inches: f64) -> String {
    if inches < 1.0 / 64.0 {
        "under 1/64\"".to_string()
    } else {
        let mut parts = (inches * 64.0 - 1e-6).ceil().min(1e9) as u64;
        let mut of = 64;
        while of > 1 && parts.is_multiple_of(2) {
            (parts, of) = (parts / 2, of / 2);
        }
        match (parts / of, parts % of) {
            (whole, 0) => format!("{whole}\""),
            (0, part) => format!("{part}/{of}\""),
            (whole, part) => format!("{whole} {part}/{of}\""),
        }
    }
}

impl fmt::Display for Registration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.between("the plan's", "the second drawing's"))
    }
}

impl Registration {
    /// One clause: how the second lies on the first and how well, with what walls of each are called (`the plan's`).
    pub fn between(&self, ours: &str, theirs: &str) -> String {
        let mut said = match self.how {
            How::ByOrigin => "placed by its own coordinates".to_string(),
            How::ByWalls => format!("placed by common walls, {}", way(&self.matrix)),
        };
        if self.walls == 0 {
            return said + "; no wall tells whether that is right";
        }
        said += &format!(
            "; {} of {ours} walls agree with it, {} long ({} of {ours}, {} of {theirs}), the worst within {}",
            self.walls,
            feet_inches(self.length),
            percent(self.of_plan),
            percent(self.of_second),
            small(self.worst)
        );
        if let Some(board) = self.board {
            let (out, within) = match board > 0.0 {
                true => (theirs, ours),
                false => (ours, theirs),
            };
            said += &format!(
                " once the finish is taken off: the faces of {out} walls lie {} further in than those of {within}, alike on both \
                 sides, so that the middles of the walls agree",
                small(board.abs())
            );
        }
        if let Some(scale) = self.snapped {
            said += &format!("; the walls would have it scaled by {scale:.6}, taken as 1");
        }
        said
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const ELSE: &str =
            "or draw both on one origin and give place = \"origin\" under [framing] in bayline.toml";
        match self {
            Refusal::NoWalls { plan } => write!(
                f,
                "{} shows no walls or rooms in two directions to place it by: name their layers under [read], {ELSE}",
                if *plan { "the plan" } else { "it" }
            ),
            Refusal::Unlike { of_plan, of_second } => write!(
                f,
                "its walls are not the plan's: laid as well as can be, {} of the plan's wall length and {} of its own \
                 agree within {}; give the drawing of this house's framing, {ELSE}",
                percent(*of_plan),
                percent(*of_second),
                small(WORST)
            ),
            Refusal::Off {
                worst, length, walls, ..
            } => write!(
                f,
                "{walls} of the plan's walls agree with it, but one, over {}, is {} off: see which drawing is right, {ELSE}",
                feet_inches(*length),
                small(*worst)
            ),
            Refusal::Ambiguous { ways } => {
                write!(f, "its walls fit the plan in more than one way: ")?;
                let said: Vec<String> = ways.iter().take(4).map(way).collect();
                write!(f, "{}", said.join("; or "))?;
                if ways.len() > 4 {
                    write!(f, "; or {} more", ways.len() - 4)?;
                }
                let t = &ways[0];
                write!(
                    f,
                    ": say which under [framing] in bayline.toml, as turn = {:.0} and mirrored = {}, {ELSE}",
                    t.turn_degrees(),
                    t.mirrored
                )
            }
        }
    }
}
