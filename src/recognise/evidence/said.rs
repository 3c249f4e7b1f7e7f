//! Judgements in words: what was taken, what is asked about, what a legend decided.

use std::sync::Arc;

use super::super::classes::Class;
use super::super::pens;
use super::super::reading::Named;
use super::{Basis, Judged, MOST};
use crate::note::Note;
use crate::rules::Rules;
use crate::rules::line::{with_block, with_layer};

/// What may be of a class and is not taken for it, to name where nothing of it was found: `; it may be layer 7 (8
/// equal symbols)`. The surest first, and of equals the most.
pub fn candidates(judged: &[Judged], class: Class) -> String {
    let mut asked: Vec<&Judged> = judged.iter().filter(|j| j.class == class && !j.taken()).collect();
    asked.sort_by(|a, b| b.confidence.total_cmp(&a.confidence).then(b.count.cmp(&a.count)));
    let names: Vec<String> = asked
        .into_iter()
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

/// The line of the rules that takes something for what it may be, and leaves what is taken already.
fn line(j: &Judged, rules: &Rules) -> String {
    line_of(j, j.class, rules)
}

/// The same for a class it is not taken for.
fn line_of(j: &Judged, class: Class, rules: &Rules) -> String {
    let (key, patterns) = class.section(&rules.read);
    match j.named {
        Named::Layer => with_layer(key, patterns, &j.name),
        Named::Block => with_block(key, patterns, &j.name),
    }
}

pub fn told(judged: &[Judged], crowded: &[Arc<str>], rules: &Rules, notes: &mut Vec<Note>) {
    let asks = |j: &Judged| !j.taken() && matches!(j.basis, Basis::Nothing | Basis::Half);
    let same =
        |j: &Judged, o: &Judged| asks(o) && (o.named, &o.name) == (j.named, &j.name) && o.class != j.class;
    for (k, j) in judged.iter().enumerate() {
        let named = named(j);
        let what = word(j.class);
        let rivals: Vec<&Judged> = match asks(j) {
            true => judged.iter().filter(|o| same(j, o)).collect(),
            false => Vec::new(),
        };
        // One question for both, with the first of them.
        if judged[..k].iter().any(|o| asks(j) && same(j, o)) {
            continue;
        }
        let though = match j.basis {
            Basis::Nothing => "says nothing",
            Basis::Half => "is no word for it",
            Basis::Legend | Basis::LegendOverName => {
                notes.push(by_legend(j, &named, rules));
                continue;
            }
        };
        let message = if j.taken() {
            // A layer that is named as a whole leaves nothing of it to be sought.
            let lumber = pens::lumber_of(&j.name);
            let part = judged.iter().find(|o| o.taken() && *o.name == *lumber);
            let with = part.map_or(String::new(), |o| format!(" with {}", line(o, rules)));
            format!(
                "{named} is taken for {what} though its name {though}: {} (confidence {:.2}); write under [read] in \
                 bayline.toml {}{with} to be sure, or {} if it is none of them",
                j.why,
                j.confidence,
                line(j, rules),
                line_of(j, Class::Ignore, rules)
            )
        } else if rivals.is_empty() {
            format!(
                "{named} may be {what}: {} (confidence {:.2}); it is not taken for it: if it is, write under [read] in \
                 bayline.toml {}",
                j.why,
                j.confidence,
                line(j, rules)
            )
        } else {
            let each = |say: &dyn Fn(&Judged) -> String| -> String {
                let all: Vec<String> = [j].into_iter().chain(rivals.iter().copied()).map(say).collect();
                all.join(", or ")
            };
            format!(
                "{named} may be {}; it is taken for neither: write under [read] in bayline.toml {}",
                each(&|j| format!("{}: {} (confidence {:.2})", word(j.class), j.why, j.confidence)),
                each(&|j| format!("if it is {}: {}", word(j.class), line(j, rules))),
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
fn by_legend(j: &Judged, named: &str, rules: &Rules) -> Note {
    let why = &j.why;
    let what = match j.class {
        Class::Light => "taken for a recessed light",
        Class::Device => "kept clear of as a ceiling device",
        _ => "left alone: no recessed light, and nothing at the ceiling",
    };
    if !j.taken() {
        let message = format!(
            "{named} would be {what} by its words in the legend, and its name says otherwise: {why}; the name holds: \
             if the legend is right, write under [read] in bayline.toml {}",
            line(j, rules)
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
