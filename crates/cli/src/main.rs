//! The program `glost`: one call of the command in `glost_cli`.

use std::process::ExitCode;

fn main() -> ExitCode {
    ExitCode::from(glost_cli::run(std::env::args_os().collect(), None))
}
