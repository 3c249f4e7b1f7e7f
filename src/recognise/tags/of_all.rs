//! Sentences that give every light without a mark its type: `ALL RECESSED LIGHTS TYPE A U.N.O.`
//!
//! One that says nothing else, stands in no room and is the only one is used; others are told of. English (trade usage).

use geo::Coord;

use crate::flatten::{Flat, Prim};
use crate::note::Note;
use crate::plan::{Light, Room};
use crate::recognise::room_of;
use crate::recognise::schedule::Schedule;
use crate::recognise::shape::finite;
use crate::rules::{Rules, folded};

/// What lights are called.
const LIGHTS: [&str; 10] = [
    "LIGHTS",
    "LIGHT",
    "DOWNLIGHTS",
    "DOWNLIGHT",
    "FIXTURES",
    "FIXTURE",
    "LUMINAIRES",
    "CANS",
    "RECESSED",
    "LIGHTING",
];
/// What else such a sentence may hold; another word limits it.
const BESIDE: [&str; 24] = [
    "ALL",
    "CAN",
    "LED",
    "CEILING",
    "NEW",
    "THE",
    "ARE",
    "IS",
    "TO",
    "BE",
    "SHALL",
    "TYPE",
    "UNO",
    "UON",
    "NO",
    "UNLESS",
    "OTHERWISE",
    "NOTED",
    "SHOWN",
    "INDICATED",
    "SPECIFIED",
    "MARKED",
    "TAGGED",
    "NOTE",
];
/// A sentence of more words is a text.
const WORDS: usize = 16;
/// Notes after which lights without a type are open to more than one.
const OPEN: [&str; 2] = ["typical-asked", "tags-asked"];

/// Gives lights without a type the one that the drawing says all have, or tells of the sentence.
pub fn settle(
    flat: &Flat,
    rooms: &[Room],
    (schedule, rules): (&Schedule<'_>, &Rules),
    lights: &mut [Light],
    notes: &mut Vec<Note>,
) {
    let bare: Vec<usize> = (0..lights.len())
        .filter(|&l| lights[l].tag.is_none() && lights[l].schedule.is_none())
        .collect();
    if bare.is_empty() || rules.luminaires.is_empty() {
        return;
    }
    let mut found: Vec<(Said, Coord, &str)> = Vec::new();
    for item in flat.items.iter().filter(|i| i.visible) {
        if let Prim::Text { at, text, .. } = &item.prim
            && finite(*at)
        {
            let lines = text
                .lines()
                .chain(Some(&**text).filter(|t| t.lines().count() > 1));
            found.extend(lines.filter_map(|line| Some((said(line, schedule, rules)?, *at, line.trim()))));
        }
    }
    let Some((first, ..)) = found.first() else { return };
    let one = found.iter().all(|(said, ..)| said.entry == first.entry);
    let whole = found.iter().all(|(said, ..)| said.whole);
    let room = found
        .iter()
        .find_map(|(_, at, _)| Some(rooms[room_of(rooms, *at)?].name.as_deref().unwrap_or("a room")));
    let open = notes.iter().any(|n| OPEN.contains(&n.code));
    let words = || -> String {
        let mut all: Vec<String> = found.iter().map(|(.., line)| format!("{line:?}")).collect();
        all.dedup();
        all.join(", ")
    };
    let entry = first.entry;
    let count = match bare.len() {
        1 => "1 light without a mark".to_string(),
        n => format!("{n} lights without a mark"),
    };
    if one && whole && room.is_none() && !open {
        notes.push(Note::info(
            "tags-all",
            format!("{count}: type {}, as {} says", schedule.tag(entry), words()),
        ));
        for l in bare {
            lights[l].tag = Some(schedule.tag(entry).to_string());
            lights[l].schedule = Some(entry);
        }
        return;
    }
    let why = match (one, room) {
        (false, _) => "they say several types".to_string(),
        (_, Some(room)) => format!("it stands in {room} and may be of that room alone"),
        _ if open => "marks are asked about that may be of some of them".to_string(),
        _ => "it says more than which type".to_string(),
    };
    notes.push(Note::warning(
        "tags-all",
        format!(
            "{} may be said of {count}, and is not used: {why}; write the mark beside each, or the lights' block under blocks of its \
             [[luminaire]] in bayline.toml",
            words()
        ),
    ));
}

/// What a sentence says.
struct Said {
    /// Of the schedule.
    entry: usize,
    /// Nothing else is in it.
    whole: bool,
}

fn said(line: &str, schedule: &Schedule<'_>, rules: &Rules) -> Option<Said> {
    let plain = folded(line).replace("U.N.O", "UNO").replace("U.O.N", "UON");
    let words: Vec<&str> = plain
        .split(|c: char| c.is_whitespace() || ",;:()\"'=".contains(c))
        .map(|w| w.trim_matches('.'))
        .filter(|w| !w.is_empty())
        .collect();
    // `3. ALL …`: the number of the note.
    let numbered = words
        .first()
        .is_some_and(|w| w.bytes().all(|b| b.is_ascii_digit()));
    let words = &words[usize::from(numbered)..];
    if words.first() != Some(&"ALL") || words.len() > WORDS {
        return None;
    }
    let place = words.iter().position(|w| *w == "TYPE")?;
    let entry = schedule.mark(words.get(place + 1)?)?;
    let lights = words[..place].iter().any(|w| LIGHTS.contains(w));
    let known = |(k, w): (usize, &&str)| k == place + 1 || LIGHTS.contains(w) || BESIDE.contains(w);
    (lights && entry < rules.luminaires.len()).then(|| Said {
        entry,
        whole: words.iter().enumerate().all(known),
    })
}
