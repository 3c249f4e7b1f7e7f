//! What a plan's notes say of the schedule that is drawn on it.

use super::{DrawnSchedule, WhyLeft};
use crate::length;
use crate::note::{Level, Note};
use crate::rules::Luminaire;

/// What a plan's own notes say of it: `used` where it is the schedule the plan is judged by, `given` where the rules have one.
pub fn told(schedule: &DrawnSchedule, used: bool, given: bool) -> Vec<Note> {
    let mut notes = Vec::new();
    if !schedule.entries.is_empty() {
        let list: Vec<String> = (schedule.entries.iter())
            .map(
                |e| match (e.opening - Luminaire::of_aperture("", e.aperture).opening).abs() > 1e-9 {
                    true => {
                        let (size, cut) = (length::inches_only(e.aperture), length::inches_only(e.opening));
                        format!("{} {size}, cutout {cut}", e.tag)
                    }
                    false => format!("{} {}", e.tag, length::inches_only(e.aperture)),
                },
            )
            .collect();
        let what = match used {
            true => {
                "the rules have no schedule, so it is used; housings and bars are usual sizes: confirm them under \
                 [[luminaire]] in bayline.toml"
            }
            false => "the rules' schedule is used instead",
        };
        let message = format!("a light schedule is drawn here ({}); {what}", list.join(", "));
        notes.push(Note::new(
            if used { Level::Warning } else { Level::Info },
            "schedule-drawn",
            message,
        ));
    }
    let unrated: Vec<&str> = (schedule.unrated.iter())
        .filter(|mark| schedule.entries.iter().any(|e| e.tag == **mark))
        .map(String::as_str)
        .collect();
    if used && !unrated.is_empty() {
        let message = format!(
            "the light schedule that is drawn here does not say whether {} may touch insulation and framing: taken as Type IC, \
             which is usual; write ic = false under [[luminaire]] in bayline.toml where it is not",
            unrated.join(", ")
        );
        notes.push(Note::warning("schedule-ic", message));
    }
    // Where the rules say what the lights are nothing hangs on it.
    let doubt = if given { Level::Info } else { Level::Warning };
    for (mark, one, other) in &schedule.twice {
        let message = format!(
            "{mark} stands twice in the light schedule that is drawn here, with {} and with {}: neither is used; give its size \
             under [[luminaire]] in bayline.toml",
            length::inches_only(*one),
            length::inches_only(*other)
        );
        notes.push(Note::new(doubt, "schedule-twice", message));
    }
    for heading in &schedule.unread {
        let message = format!(
            "the table under \"{heading}\" has no head over its marks (TYPE, TAG, MARK) and is not read: give its lights under \
             [[luminaire]] in bayline.toml"
        );
        notes.push(Note::new(doubt, "schedule-unread", message));
    }
    left_told(schedule, doubt, &mut notes);
    notes
}

/// Of lines that are no entries, those whose size is not certain are asked about.
fn left_told(schedule: &DrawnSchedule, doubt: Level, notes: &mut Vec<Note>) {
    let mut others = Vec::new();
    for left in &schedule.left {
        match left.why {
            WhyLeft::Other(_) => others.push(format!("{} (no recessed light)", left.mark)),
            WhyLeft::Unclear => others.push(format!(
                "{} (its words do not say that it is recessed)",
                left.mark
            )),
            WhyLeft::Size(why) => {
                let message = format!(
                    "the aperture of {} in the light schedule that is drawn here is not certain: {why} (\"{}\"); it is not used: \
                     write [[luminaire]] with tag = \"{}\" and its aperture in bayline.toml",
                    left.mark, left.words, left.mark
                );
                notes.push(Note::new(doubt, "schedule-size", message));
            }
        }
    }
    if !others.is_empty() {
        let message = format!(
            "of the light schedule that is drawn here these are not used: {}",
            others.join(", ")
        );
        notes.push(Note::info("schedule-left", message));
    }
}
