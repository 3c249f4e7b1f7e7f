//! A rules file that gives one reading of a plan again, with comments to correct it by.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use crate::plan::Plan;
use crate::recognise::{Became, Named, Reading};
use crate::rules::line::quoted;
use crate::rules::{Luminaire, Mount, Place, Rules, exactly};

/// Sections of `[read]`, in the order written.
const SECTIONS: [(&str, Became, &str); 6] = [
    ("lights", Became::Light, "recessed lights"),
    ("framing", Became::Framing, "joists, trusses, beams"),
    ("walls", Became::Wall, "walls"),
    ("rooms", Became::Room, "outlines of rooms"),
    ("devices", Became::Device, "what else is in the ceiling"),
    ("ignore", Became::Ignored, "what is none of these"),
];

/// The rules file. `rules` are those of the reading; entries of the schedule that they lack are
/// proposed in comments, so that a light judged by default sizes goes on saying so.
pub fn starter(name: &str, plan: &Plan, readings: &[Reading], rules: &Rules) -> String {
    let mut out = format!(
        "# Rules that read {} as it was read when this was written.\n\
         # To correct the reading, move a name to the class it belongs to; * stands for anything.\n\n",
        plain(name)
    );
    let known = ["in", "ft", "mm", "cm", "m"].contains(&plan.units.name.as_str());
    let unit = if known { plan.units.name.as_str() } else { "auto" };
    let _ = writeln!(out, "units = {}   # {}", quoted(unit), plain(&plan.units.why));
    read(&mut out, readings);
    rest(&mut out, rules);
    for l in &rules.luminaires {
        luminaire(&mut out, l);
    }
    proposed(&mut out, plan);
    for room in &rules.rooms {
        let _ = writeln!(out, "\n[[room]]\nname = {}", quoted(&room.name));
        if let Some(v) = room.ceiling {
            let _ = writeln!(out, "ceiling = {v:?}");
        }
        if let Some(v) = room.insulated {
            let _ = writeln!(out, "insulated = {v}");
        }
        if let Some(v) = room.hall {
            let _ = writeln!(out, "hall = {v}");
        }
    }
    out
}

fn read(out: &mut String, readings: &[Reading]) {
    let mut written = BTreeSet::new();
    for (key, class, meaning) in SECTIONS {
        let _ = writeln!(out, "\n[read.{key}]   # {meaning}");
        for (named, list) in [(Named::Layer, "layers"), (Named::Block, "blocks")] {
            let all = readings
                .iter()
                .filter(|r| r.named == named && !r.name.trim().is_empty());
            let of: Vec<&Reading> = all.clone().filter(|r| r.class == class).collect();
            let asked: Vec<&Reading> = all
                .filter(|r| r.class == Became::Unclaimed && r.may_be == Some(class))
                .collect();
            if of.is_empty() && asked.is_empty() {
                let _ = writeln!(out, "{list} = []");
                continue;
            }
            let _ = writeln!(out, "{list} = [");
            for r in of {
                written.insert((r.named, &r.name));
                let pattern = quoted(&exactly(&r.name));
                let sure = r.confidence.map(|c| format!("; sure {c:.2}")).unwrap_or_default();
                let seen = r.seen.iter().map(|s| format!("; {s}")).collect::<String>();
                let _ = writeln!(
                    out,
                    "  {pattern},   # {}: {}{}{sure}",
                    r.count,
                    plain(&r.why),
                    plain(&seen)
                );
            }
            if !asked.is_empty() {
                let _ = writeln!(
                    out,
                    "  # Asked about: take the mark before it out if it is one of these."
                );
            }
            for r in asked {
                written.insert((r.named, &r.name));
                let pattern = plain(&quoted(&exactly(&r.name)));
                let _ = writeln!(out, "  # {pattern},   # {}: {}", r.count, plain(&r.why));
            }
            let _ = writeln!(out, "]");
        }
    }
    let left: Vec<&Reading> = (readings.iter())
        .filter(|r| !written.contains(&(r.named, &r.name)))
        .collect();
    if !left.is_empty() {
        let _ = writeln!(out, "\n# Taken for nothing by their names:");
    }
    for r in left {
        let what = if r.named == Named::Layer { "layer" } else { "block" };
        let _ = writeln!(
            out,
            "#   {what} {}: {}",
            plain(&quoted(&exactly(&r.name))),
            r.count
        );
    }
}

/// Whatever of the other tables is not the default.
fn rest(out: &mut String, rules: &Rules) {
    let usual = Rules::default();
    let mut lines: Vec<String> = Vec::new();
    let f = &rules.framing;
    if f.thickness_given {
        lines.push(format!("thickness = {:?}", f.thickness));
    }
    lines.extend(f.spacing.map(|v| format!("spacing = {v:?}")));
    lines.extend(f.direction.map(|v| format!("direction = {v:?}")));
    lines.extend(f.phase.map(|[x, y]| format!("phase = [{x:?}, {y:?}]")));
    lines.extend(
        f.from_block
            .as_ref()
            .map(|v| format!("from_block = {}", quoted(v))),
    );
    if !f.measured.is_empty() {
        lines.push(format!("measured = {:?}", f.measured));
    }
    if f.place == Place::Origin {
        lines.push("place = \"origin\"".to_string());
    }
    lines.extend(f.turn.map(|v| format!("turn = {v:?}")));
    lines.extend(f.mirrored.map(|v| format!("mirrored = {v}")));
    section(out, "framing", lines);

    let (t, d) = (&rules.tolerance, &usual.tolerance);
    let differing = |all: &[(&str, f64, f64)]| -> Vec<String> {
        (all.iter())
            .filter(|(_, v, d)| v != d)
            .map(|(k, v, _)| format!("{k} = {v:?}"))
            .collect()
    };
    let lines = differing(&[
        ("across", t.across, d.across),
        ("along", t.along, d.along),
        ("capture", t.capture, d.capture),
        ("tab_gain", t.tab_gain, d.tab_gain),
        ("combustible", t.combustible, d.combustible),
        ("stacked", t.stacked, d.stacked),
        ("gap_ratio", t.gap_ratio, d.gap_ratio),
    ]);
    section(out, "tolerance", lines);

    let (s, d) = (&rules.spacing, &usual.spacing);
    let mut lines = differing(&[("feet_per_inch", s.feet_per_inch, d.feet_per_inch)]);
    lines.extend(s.criterion.map(|v| format!("criterion = {v:?}")));
    section(out, "spacing", lines);

    let (w, d) = (&rules.walls, &usual.walls);
    let lines = differing(&[("least", w.least, d.least), ("slack", w.slack, d.slack)]);
    section(out, "walls", lines);
}

fn section(out: &mut String, name: &str, lines: Vec<String>) {
    if !lines.is_empty() {
        let _ = writeln!(out, "\n[{name}]\n{}", lines.join("\n"));
    }
}

/// An entry in force. A size that follows from the aperture stands in a comment: given outright it
/// could contradict another that was given.
fn luminaire(out: &mut String, l: &Luminaire) {
    let a = l.aperture;
    let blocks: Vec<String> = l.blocks.iter().map(|b| quoted(b)).collect();
    let _ = writeln!(
        out,
        "\n[[luminaire]]\ntag = {}\nblocks = [{}]\naperture = {a:?}",
        quoted(&l.tag),
        blocks.join(", ")
    );
    for (key, v, usual) in [
        ("opening", l.opening, a + 0.375),
        ("body", l.body, l.opening + 0.375),
        ("short_side", l.short_side, a / 2.0 + 1.5),
        ("box_side", l.box_side, (a / 2.0 + 3.5).max(l.short_side)),
        ("half_width", l.half_width, a / 2.0 + 1.5),
    ] {
        let (mark, why) = if v == usual {
            ("# ", "   # the default: confirm from the housing's sheet")
        } else {
            ("", "")
        };
        let _ = writeln!(out, "{mark}{key} = {v:?}{why}");
    }
    match l.mount {
        Mount::NewWork => {
            let b = &l.bars;
            let _ = writeln!(
                out,
                "bars = {{ least = {:?}, greatest = {:?}, trimmed = {:?} }}",
                b.least, b.greatest, b.trimmed
            );
        }
        Mount::OldWork => {
            let _ = writeln!(out, "mount = \"old-work\"\nclip = {:?}", l.clip);
        }
    }
    let _ = writeln!(out, "ic = {}", l.ic);
    for (key, v) in [("lumens", l.lumens), ("beam", l.beam)] {
        if let Some(v) = v {
            let _ = writeln!(out, "{key} = {v:?}");
        }
    }
    if let Some(p) = &l.photometry {
        let _ = writeln!(out, "photometry = {}", quoted(p));
    }
}

/// Entries the schedule lacks, in comments: the sizes are guesses until somebody confirms them.
fn proposed(out: &mut String, plan: &Plan) {
    let mut types: BTreeMap<&str, (usize, BTreeSet<&str>)> = BTreeMap::new();
    for l in plan.lights.iter().filter(|l| l.schedule.is_none()) {
        let tag = l.tag.as_deref().map(str::trim).filter(|t| !t.is_empty());
        let key = tag.or(l.block.as_deref()).unwrap_or("LIGHT");
        let entry = types.entry(key).or_default();
        entry.0 += 1;
        entry.1.extend(l.block.as_deref());
    }
    if types.is_empty() {
        return;
    }
    let usual = Luminaire::default();
    out.push_str(
        "\n# Lights in no schedule. They are judged by the default sizes below, and said to be, until\n\
         # their entry stands here: confirm each size from the housing's sheet, then take out the marks.\n",
    );
    for (tag, (count, blocks)) in types {
        let blocks: Vec<String> = blocks.into_iter().map(|b| plain(&quoted(&exactly(b)))).collect();
        let b = &usual.bars;
        let _ = writeln!(
            out,
            "\n# [[luminaire]]   # {count} on this plan\n# tag = {}\n# blocks = [{}]\n# aperture = {}\n\
             # opening = {}\n# body = {}\n# short_side = {}\n# box_side = {}\n# half_width = {}\n\
             # bars = {{ least = {}, greatest = {}, trimmed = {} }}\n# ic = {}",
            plain(&quoted(tag)),
            blocks.join(", "),
            usual.aperture,
            usual.opening,
            usual.body,
            usual.short_side,
            usual.box_side,
            usual.half_width,
            b.least,
            b.greatest,
            b.trimmed,
            usual.ic
        );
    }
}

/// One line of comment: nothing in it can end it.
fn plain(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect()
}
