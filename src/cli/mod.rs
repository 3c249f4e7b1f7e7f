//! Arguments to a config; one file a command.

use std::ffi::OsString;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

mod audit;
mod legend;

/// Checks recessed lights on ceiling plans: rows, framing, spacing, blocking.
#[derive(Debug, Parser)]
#[command(name = "bayline", version, after_help = STATUS, arg_required_else_help = true)]
struct Args {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Audit(audit::Args),
    Legend(legend::Args),
}

const STATUS: &str = "Exit status: 0 clean; 1 findings at or above --fail-on; 2 something could not be read, written \
or understood. The worst plan decides; every plan's result is still written.";

/// Runs the program. Bad arguments are told on standard error with status 2.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    match Args::try_parse_from(args) {
        Ok(Args {
            command: Command::Audit(args),
        }) => audit::run(args),
        Ok(Args {
            command: Command::Legend(args),
        }) => legend::run(args),
        Err(e) => {
            // Nothing better can be done where even the message cannot be printed.
            let _ = e.print();
            ExitCode::from(u8::try_from(e.exit_code()).unwrap_or(2))
        }
    }
}
