//! `no-schedule`: a tag or block that the rules file's schedule does not know.
//!
//! Every check on such lights goes by default sizes. One finding a tag or block, not one a light.

use std::collections::BTreeMap;

use super::work::Work;
use super::{Finding, Kind};

pub fn run(work: &Work<'_>, findings: &mut Vec<Finding>) {
    let mut groups: BTreeMap<(Option<&str>, Option<&str>), Vec<_>> = BTreeMap::new();
    for (id, light, ..) in work.lights() {
        if light.schedule.is_none() {
            let tag = light.tag.as_deref();
            // Under one tag the block no longer matters.
            let block = if tag.is_some() {
                None
            } else {
                light.block.as_deref()
            };
            groups.entry((tag, block)).or_default().push((id, light));
        }
    }
    for ((tag, block), lights) in groups {
        let Some((_, first)) = lights.first() else {
            continue;
        };
        let message = work.say(|| {
            let what = match (tag, block) {
                (Some(tag), _) => format!("Tag {tag}"),
                (None, Some(block)) => format!("Block {block}"),
                (None, None) => "A symbol without tag or block".into(),
            };
            let count = match lights.len() {
                1 => "1 light goes".into(),
                n => format!("{n} lights go"),
            };
            format!("{what} has no entry in the light schedule: {count} by default sizes.")
        });
        findings.push(Finding {
            lights: lights.iter().map(|(id, _)| *id).collect(),
            ..Finding::new(Kind::NoSchedule, first.at, 0.0, 0.0, message)
        });
    }
}

#[cfg(test)]
mod tests {
    use crate::check::Kind;
    use crate::check::tests::check_of;
    use crate::plan::LightId;

    #[test]
    fn one_finding_a_tag_or_block() {
        let found = check_of(
            "light (0,0) tag=R6 block=A\nlight (50,0) tag=R6 block=B\nlight (90,0) block=B\nlight (130,0)\nlight (180,0) schedule=0",
            Kind::NoSchedule,
        );
        let lights: Vec<_> = found.iter().map(|f| f.lights.clone()).collect();
        assert_eq!(
            lights,
            [vec![LightId(0), LightId(1)], vec![LightId(2)], vec![LightId(3)]]
        );
        assert!(
            found[0].message.starts_with("Tag R6 has no entry"),
            "{}",
            found[0].message
        );
        assert!(
            found[1].message.starts_with("Block B has no entry"),
            "{}",
            found[1].message
        );
    }
}
