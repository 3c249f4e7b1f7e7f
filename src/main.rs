//! Parse, run, exit.

fn main() -> std::process::ExitCode {
    bayline::cli::run(std::env::args_os())
}
