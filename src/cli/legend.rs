//! `bayline legend`: what was understood of one plan, and rules that say so.

use std::io::Write;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use super::audit::{Unit, width};
use crate::batch::{self, Config, legend};
use crate::check::Severity;
use crate::report::Status;
use crate::write;

/// Tell what each layer and block of a plan was taken for and why; write rules to correct it by.
#[derive(Debug, clap::Args)]
#[command(after_help = STATUS)]
pub struct Args {
    /// A DXF plan.
    #[arg(value_name = "PLAN")]
    plan: PathBuf,
    /// Folder to write a picture to (PLAN.legend.svg), every class in its own mark.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Rules file [default: bayline.toml beside the plan or above it].
    #[arg(long, value_name = "FILE")]
    rules: Option<PathBuf>,
    /// Second drawing to take the framing from, placed by the walls both show.
    #[arg(long, value_name = "DXF")]
    framing: Option<PathBuf>,
    /// Unit the plan is drawn in, whatever it says.
    #[arg(long)]
    units: Option<Unit>,
    /// Write a rules file that reads the plan just as it was read.
    #[arg(long, value_name = "FILE")]
    write: Option<PathBuf>,
    /// Write over files that are there.
    #[arg(long)]
    force: bool,
}

const STATUS: &str =
    "Exit status: 0 understood; 2 something could not be read, written or understood, or no light was found.";

pub fn run(args: Args) -> ExitCode {
    let result = args
        .rules
        .map(|p| batch::read_rules(&p).map(Arc::new))
        .transpose();
    let result = result.and_then(|rules| {
        let config = Config {
            apply: false,
            inputs: vec![args.plan],
            out: args.out.clone().unwrap_or_default(),
            rules,
            units: args.units.map(Into::into),
            framing: args.framing,
            fail_on: Severity::Must,
            threads: None,
            progress: false,
        };
        legend::run(&config, args.out.as_deref(), args.write.as_deref(), args.force)
    });
    match result {
        Err(message) => {
            eprintln!("bayline: {message}");
            ExitCode::from(Status::Failed.code())
        }
        Ok(l) => {
            let mut stdout = std::io::stdout();
            let terminal = std::io::IsTerminal::is_terminal(&stdout);
            let text = write::legend::legend(&l.name, &l.plan, &l.readings, &l.notes, width(terminal));
            // A reader that has gone away (`| head`) is no fault of the plan.
            let _ = stdout.write_all(text.as_bytes());
            if let Some(placed) = &l.framing {
                let _ = writeln!(stdout, "framing from {}, {}", placed.source, placed.registration);
            }
            ExitCode::from(l.status().code())
        }
    }
}
