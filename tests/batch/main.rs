//! The program as it is run: arguments, files found and written, messages, exit status.

mod block;
mod cli;
mod files;
mod framing;
mod layouts;
mod leaders;
mod legends;
mod parts;
mod plans;
mod schedule;
