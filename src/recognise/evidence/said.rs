//! Judgements in words: what was taken, what is asked about, what a legend decided.

use std::sync::Arc;

use super::super::classes::Class;
use super::super::pens;
use super::super::reading::Named;
use super::{Basis, Judged, MOST};
use crate::note::Note;

/// What may be of a class and is not taken for it, to name where nothing of it was found: `; asked about: layer 7`.
pub fn candidates(judged: &[Judged], class: Class) -> String {
    let asked = judged.iter().filter(|j| j.class == class && !j.taken());
    let names: Vec<String> = asked
        .map(|j| format!("{} ({} {})", named(j), j.count, seen(class)))
        .collect();
    match names.is_empty() {
        true => String::new(),
        false => format!("; it may be {}", names.join(", or ")),
    }
}

fn seen(class: Class) -> &'static str {
    match class {
        Class::Light => "equal symbols",
        Class::Framing => "members",
        Class::Wall => "lines",
        _ => "outlines",
    }
}

/// `layer 7`, `block X`, `layer 0:3 (layer 0 in colour 3)`.
fn named(judged: &Judged) -> String {
    match judged.named {
        Named::Layer => pens::said(&judged.name),
        Named::Block => format!("block {}", judged.name),
    }
}

pub fn told(judged: &[Judged], crowded: &[Arc<str>], notes: &mut Vec<Note>) {
    for j in judged {
        let named = named(j);
        let (what, key) = (word(j.class), key(j.class));
        let though = match j.basis {
            Basis::Nothing => "says nothing",
            Basis::Half => "is no word for it",
            Basis::Legend | Basis::LegendOverName => {
                notes.push(by_legend(j, &named));
                continue;
            }
        };
        let message = if j.taken() {
            format!(
                "{named} is taken for {what} though its name {though}: {} (confidence {:.2}); name it \
                 under [read] {key} in bayline.toml to be sure, or under ignore",
                j.why, j.confidence
            )
        } else {
            format!(
                "{named} may be {what}: {} (confidence {:.2}); it is not taken for it: name it under \
                 [read] {key} in bayline.toml if it is",
                j.why, j.confidence
            )
        };
        let code = if j.taken() { "by-evidence" } else { "evidence-asks" };
        notes.push(Note::warning(code, message));
    }
    for layer in crowded {
        notes.push(Note::info(
            "evidence-crowded",
            format!(
                "{} has no known word in its name and holds more than {MOST} entities: what they are is \
                 not sought",
                pens::said(layer)
            ),
        ));
    }
}

/// Says what a legend decided, or would have.
fn by_legend(j: &Judged, named: &str) -> Note {
    let (why, key) = (&j.why, key(j.class));
    let what = match j.class {
        Class::Light => "taken for a recessed light",
        Class::Device => "kept clear of as a ceiling device",
        _ => "left alone: no recessed light, and nothing at the ceiling",
    };
    if !j.taken() {
        let message = format!(
            "{named} would be {what} by its words in the legend, and its name says otherwise: {why}; the name holds: \
             name it under [read] {key} in bayline.toml if the legend is right"
        );
        return Note::warning("legend-differs", message);
    }
    let message = format!("{named} is {what}: {why}");
    match j.basis {
        Basis::Legend => Note::info("by-legend", message),
        _ => Note::warning(
            "by-legend",
            format!(
                "{message}, and its name says otherwise; name it in bayline.toml under [read] if the legend is wrong"
            ),
        ),
    }
}

pub fn word(class: Class) -> &'static str {
    match class {
        Class::Light => "lights",
        Class::Framing => "framing",
        Class::Wall => "walls",
        Class::Device => "ceiling devices",
        _ => "outlines of rooms",
    }
}

fn key(class: Class) -> &'static str {
    match class {
        Class::Light => "lights",
        Class::Framing => "framing",
        Class::Wall => "walls",
        Class::Device => "devices",
        Class::Ignore => "ignore",
        _ => "rooms",
    }
}
