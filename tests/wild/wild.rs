//! Feeds the reader and the stages after it mutated drawings, millions of them, and says what went
//! wrong: a panic, an input that took too long or too much memory, a count that does not add up.
//!
//! `wild [--inputs N] [--minutes M] [--from K] [--seed S] [--keep FOLDER] [--styles N] DRAWING|FOLDER…`
//!
//! `--styles` adds N plans of the drafting styles to the drawings that are mutated. The same seed gives the same inputs,
//! from the `--from`th on; `--minutes` (of the processor's time) ends a run before all are done. What fails is written to
//! `--keep`, to become a fixture.

mod mutate;
#[path = "../styles/mod.rs"]
mod styles;

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use bayline::flatten::{Flat, Prim, flatten};
use bayline::plan::Units;
use bayline::rules::Rules;
use bayline::{check, drawing, recognise, remedy};
use fastrand::Rng;
use peak_alloc::PeakAlloc;

#[global_allocator]
static MEMORY: PeakAlloc = PeakAlloc;

/// Longest a file of a few hundred kilobytes may take, of the processor's time where the system tells it.
const SLOW: Duration = Duration::from_secs(2);
/// When an input counts as a hang, and the run ends; other work on the machine may hold it up for long.
const HANG: Duration = Duration::from_secs(180);
/// Bytes of memory a byte of input may cost, on top of [`FLOOR`].
const TIMES: usize = 20;
/// What any drawing may cost: tables, the first blocks of growing lists, the rules, and what INSERTs may draw in any.
const FLOOR: usize = 16 << 20;
/// Bytes of memory an item may cost in the stages after flattening.
const ITEM: usize = 1_600;
/// What the search for a row's new place may keep besides, however small the plan: some 100,000 shifts and
/// pitches of 16 bytes, twice as many while the list grows, and 40,000 places that were judged.
const SEARCH: usize = 8 << 20;
/// Every so many inputs go through recognition, checks and remedies too.
const FAR: u64 = 8;

struct Asked {
    inputs: u64,
    from: u64,
    end: Duration,
    seed: u64,
    keep: PathBuf,
    seeds: Vec<Vec<u8>>,
}

fn main() -> ExitCode {
    let asked = match asked() {
        Ok(asked) => asked,
        Err(e) => {
            eprintln!("wild: {e}");
            return ExitCode::from(2);
        }
    };
    std::panic::set_hook(Box::new(|_| {}));
    let current = Arc::new(AtomicU64::new(0));
    watch(current.clone());
    let rules = Rules::default();
    let begun = Instant::now();
    let (mut failures, mut read, mut bytes, mut most) = (0, 0_u64, 0_u64, 0);
    let mut done = 0;
    for input in asked.from..asked.from.saturating_add(asked.inputs) {
        if worked(begun) > asked.end {
            break;
        }
        done += 1;
        current.store(input, Ordering::Relaxed);
        let mut rng = Rng::with_seed(asked.seed.wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add(input));
        let (seed, other) = (rng.usize(0..asked.seeds.len()), rng.usize(0..asked.seeds.len()));
        let source = mutate::mutate(&mut rng, &asked.seeds[seed], &asked.seeds[other]);
        bytes += source.len() as u64;
        let before = MEMORY.current_usage();
        MEMORY.reset_peak_usage();
        let far = input % FAR == 0;
        let start = worked(begun);
        let result = std::panic::catch_unwind(|| stages(&source, &rules, far));
        let took = worked(begun).saturating_sub(start);
        let used = MEMORY.peak_usage().saturating_sub(before);
        let fault = match result {
            Err(panic) => Some(format!("panic: {}", said(panic.as_ref()))),
            Ok(Err(e)) => Some(e),
            Ok(Ok(_)) if took > SLOW => Some(format!("took {:.1} s", took.as_secs_f64())),
            Ok(Ok(drawn)) if used > allowed(source.len(), drawn, far) => Some(format!(
                "{used} bytes of memory for {} of input and {drawn} items",
                source.len()
            )),
            Ok(Ok(drawn)) => {
                read += u64::from(drawn > 0);
                most = most.max(drawn);
                None
            }
        };
        if let Some(fault) = fault {
            failures += 1;
            let path = asked.keep.join(format!("wild-{}-{input}.dxf", asked.seed));
            let kept = std::fs::create_dir_all(&asked.keep).and_then(|()| std::fs::write(&path, &source));
            println!(
                "{}: {fault}{}",
                path.display(),
                if kept.is_err() { " (not written)" } else { "" }
            );
        }
    }
    println!(
        "{done} inputs, {} MB, of {} seeds in {:.0} s, {:.0} s of the processor's: {read} read, the rest empty or \
         refused with a reason; most items drawn: {most}; {failures} failures",
        bytes / 1_000_000,
        asked.seeds.len(),
        begun.elapsed().as_secs_f64(),
        worked(begun).as_secs_f64(),
    );
    if failures == 0 {
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    }
}

/// What this thread has had of the processor, where the system tells it in the first number of a file; else the time
/// since the start.
fn worked(begun: Instant) -> Duration {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanoseconds = told.and_then(|t| t.split_whitespace().next()?.parse().ok());
    nanoseconds.map_or_else(|| begun.elapsed(), Duration::from_nanos)
}

/// Bytes of memory that an input may take.
fn allowed(input: usize, drawn: usize, far: bool) -> usize {
    let (search, item) = if far { (SEARCH, ITEM) } else { (0, 0) };
    FLOOR + search + TIMES * input + item * drawn
}

/// Runs the stages; how many items were drawn. None where the reader refuses, which is no fault.
fn stages(source: &[u8], rules: &Rules, far: bool) -> Result<usize, String> {
    let Ok((drawing, _)) = drawing::read(source) else {
        return Ok(0);
    };
    let units = Units {
        name: "in".into(),
        inches_per_unit: 1.0,
        why: "as drawn".into(),
    };
    let (flat, notes) = flatten(&drawing, &units);
    if flat.entities != flat.items.len() + flat.dropped {
        return Err(format!(
            "{} entities, but {} items and {} dropped",
            flat.entities,
            flat.items.len(),
            flat.dropped
        ));
    }
    if flat.dropped > 0 && notes.is_empty() {
        return Err("something was dropped in silence".into());
    }
    if let Some(i) = not_finite(&flat) {
        return Err(format!("item {i} holds a number that is none"));
    }
    if far {
        let (flat, units) = match recognise::units::decide(&drawing, rules) {
            Ok((units, _)) => (flatten(&drawing, &units).0, units),
            Err(_) => (flat, units),
        };
        let (plan, _) = recognise::recognise(&flat, &units, rules);
        let c = plan.counts;
        if c.entities != c.claimed + c.unclaimed + c.dropped {
            return Err(format!("the counts do not add up: {c:?}"));
        }
        let mut findings = check::check(&plan, rules);
        remedy::remedy(&plan, &mut findings, rules);
        return Ok(flat.items.len());
    }
    Ok(flat.items.len())
}

fn not_finite(flat: &Flat) -> Option<usize> {
    flat.items.iter().position(|item| match &item.prim {
        Prim::Segment { from, to } => ![from.x, from.y, to.x, to.y].iter().all(|v| v.is_finite()),
        Prim::Point(p) => !(p.x.is_finite() && p.y.is_finite()),
        Prim::Circle { center, radius } => ![center.x, center.y, *radius].iter().all(|v| v.is_finite()),
        Prim::Path { vertices, .. } => !vertices
            .iter()
            .all(|v| v.at.x.is_finite() && v.at.y.is_finite() && v.bulge.is_finite()),
        Prim::Symbol(s) => !(s.at.x.is_finite() && s.at.y.is_finite()),
        _ => false,
    })
}

/// Ends the run where one input holds it up.
fn watch(current: Arc<AtomicU64>) {
    std::thread::spawn(move || {
        let (mut last, mut since) = (u64::MAX, Instant::now());
        loop {
            std::thread::sleep(Duration::from_millis(200));
            let now = current.load(Ordering::Relaxed);
            if now != last {
                (last, since) = (now, Instant::now());
            } else if since.elapsed() > HANG {
                println!("input {now} hangs");
                std::process::exit(1);
            }
        }
    });
}

fn said(panic: &(dyn std::any::Any + Send)) -> &str {
    let text = panic.downcast_ref::<String>().map(String::as_str);
    text.or(panic.downcast_ref::<&str>().copied())
        .unwrap_or("no message")
}

fn asked() -> Result<Asked, String> {
    let mut asked = Asked {
        inputs: 100_000,
        from: 0,
        end: Duration::MAX,
        seed: 1,
        keep: "wild".into(),
        seeds: Vec::new(),
    };
    let (mut paths, mut styles) = (Vec::new(), 0_u64);
    let mut args = std::env::args().skip(1);
    while let Some(arg) = args.next() {
        let mut value = || args.next().ok_or(format!("{arg} wants a value"));
        match arg.as_str() {
            "--inputs" => asked.inputs = value()?.parse().map_err(|_| "--inputs wants a number")?,
            "--from" => asked.from = value()?.parse().map_err(|_| "--from wants a number")?,
            "--minutes" => {
                let minutes: u32 = value()?.parse().map_err(|_| "--minutes wants a whole number")?;
                asked.end = Duration::from_secs(60) * minutes;
            }
            "--seed" => asked.seed = value()?.parse().map_err(|_| "--seed wants a number")?,
            "--keep" => asked.keep = value()?.into(),
            "--styles" => styles = value()?.parse().map_err(|_| "--styles wants a number")?,
            _ => paths.push(PathBuf::from(arg)),
        }
    }
    for path in &paths {
        add(path, &mut asked.seeds).map_err(|e| format!("{}: {e}", path.display()))?;
    }
    for seed in 0..styles {
        use styles::draw::{Told, told};
        asked
            .seeds
            .extend([Told::Words, Told::Nothing].map(|by| told(seed, by).bytes));
    }
    match asked.seeds.len() {
        0 => Err("no drawing to start from".into()),
        _ => Ok(asked),
    }
}

/// A drawing, or all of a folder, each as it is and, where the `dxf` crate can, in binary form.
fn add(path: &Path, seeds: &mut Vec<Vec<u8>>) -> std::io::Result<()> {
    if path.is_dir() {
        let mut entries: Vec<PathBuf> = std::fs::read_dir(path)?
            .map(|e| e.map(|e| e.path()))
            .collect::<Result<_, _>>()?;
        entries.sort();
        for entry in entries
            .iter()
            .filter(|e| e.extension().is_some_and(|x| x == "dxf"))
        {
            add(entry, seeds)?;
        }
        return Ok(());
    }
    let bytes = std::fs::read(path)?;
    if let Ok(drawing) = dxf::Drawing::load(&mut bytes.as_slice()) {
        let mut binary = Vec::new();
        if drawing.save_binary(&mut binary).is_ok() {
            seeds.push(binary);
        }
    }
    seeds.push(bytes);
    Ok(())
}
