//! `bayline audit`: plans in, reports and redlines out.

use std::io::{IsTerminal, Write};
use std::num::NonZeroUsize;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use clap::ValueEnum;

use crate::batch::{self, Config};
use crate::check::Severity;
use crate::report::Status;
use crate::report::summary::Summary;
use crate::rules::UnitChoice;
use crate::write::text;

/// Check plans; write a report, a redline SVG and a redline DXF for each, and a summary of all.
#[derive(Debug, clap::Args)]
#[command(after_help = super::STATUS)]
pub struct Args {
    /// DXF plans, or folders of them (searched with all folders below).
    #[arg(required = true, value_name = "PLAN|FOLDER")]
    inputs: Vec<PathBuf>,
    /// Folder to write to; made where it is not there.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Rules file for all plans [default: bayline.toml beside each plan or above it].
    #[arg(long, value_name = "FILE")]
    rules: Option<PathBuf>,
    /// Second drawing to take the framing from, placed by the walls both show; or a folder of
    /// them, named as the plans are.
    #[arg(long, value_name = "DXF|FOLDER")]
    framing: Option<PathBuf>,
    /// Write each plan mended too (NAME.mended.dxf): the plan as it came, with the lights moved
    /// that the remedies move.
    #[arg(long)]
    apply: bool,
    /// Unit the plans are drawn in, whatever they say.
    #[arg(long)]
    units: Option<Unit>,
    /// The least severity that gives exit status 1.
    #[arg(long, value_name = "SEVERITY", default_value = "must")]
    fail_on: FailOn,
    /// Worker threads [default: one a core].
    #[arg(long, value_name = "N")]
    threads: Option<NonZeroUsize>,
    /// Print nothing but what went wrong.
    #[arg(long, short)]
    quiet: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum Unit {
    In,
    Ft,
    Mm,
    Cm,
    M,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum FailOn {
    Must,
    Should,
    Note,
}

impl From<Unit> for UnitChoice {
    fn from(unit: Unit) -> Self {
        match unit {
            Unit::In => UnitChoice::In,
            Unit::Ft => UnitChoice::Ft,
            Unit::Mm => UnitChoice::Mm,
            Unit::Cm => UnitChoice::Cm,
            Unit::M => UnitChoice::M,
        }
    }
}

impl Args {
    /// The arguments judged: rules read, names turned into what they stand for.
    fn config(self) -> Result<Config, String> {
        Ok(Config {
            inputs: self.inputs,
            out: self.out,
            rules: self
                .rules
                .map(|path| batch::read_rules(&path).map(Arc::new))
                .transpose()?,
            units: self.units.map(Into::into),
            framing: self.framing,
            apply: self.apply,
            fail_on: match self.fail_on {
                FailOn::Must => Severity::Must,
                FailOn::Should => Severity::Should,
                FailOn::Note => Severity::Note,
            },
            threads: self.threads,
            progress: !self.quiet,
        })
    }
}

pub fn run(args: Args) -> ExitCode {
    let quiet = args.quiet;
    let result = args.config().and_then(|config| {
        let summary = batch::run(&config)?;
        Ok((config, summary))
    });
    match result {
        Err(message) => {
            eprintln!("bayline: {message}");
            ExitCode::from(Status::Failed.code())
        }
        Ok((config, summary)) => {
            tell(&config, &summary, quiet);
            ExitCode::from(summary.status().code())
        }
    }
}

/// Failures to standard error, so that they are seen with `--quiet` too; the rest to standard output.
fn tell(config: &Config, summary: &Summary, quiet: bool) {
    for line in text::failures(summary) {
        eprintln!("bayline: {line}");
    }
    if quiet {
        return;
    }
    let mut stdout = std::io::stdout();
    let terminal = stdout.is_terminal();
    let style = text::Style {
        width: width(terminal),
        color: terminal && std::env::var_os("NO_COLOR").is_none_or(|v| v.is_empty()),
    };
    let out = config.out.display().to_string();
    // A reader that has gone away (`| head`) is no fault of the audit.
    let _ = stdout.write_all(text::summary(summary, out.trim_end_matches('/'), style).as_bytes());
}

/// Characters a line: the terminal's, else `COLUMNS`, else enough for a log file.
pub(super) fn width(terminal: bool) -> usize {
    let asked = std::env::var("COLUMNS").ok().and_then(|c| c.parse().ok());
    let seen = terminal.then(|| console::Term::stdout().size_checked()).flatten();
    asked
        .or(seen.map(|(_, columns)| usize::from(columns)))
        .unwrap_or(120)
        .max(60)
}
