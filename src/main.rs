//! Runs the command line and hands its exit code to the machine.

use std::process::ExitCode;

fn main() -> ExitCode {
    daywork::cli::run().into()
}
