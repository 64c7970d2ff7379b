//! The `rigproof` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    rigproof::cli::run()
}
