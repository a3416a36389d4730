//! The `lampwalk` command. Everything is in the library; see [`lampwalk::cli`].

use std::process::ExitCode;

fn main() -> ExitCode {
    lampwalk::cli::run()
}
