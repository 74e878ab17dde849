//! Couplet on the command line: runs and draws saved households.

mod command;
mod draw;
mod failure;
mod given;
mod run;

use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    let arguments = std::env::args_os()
        .skip(1)
        .map(|argument| argument.to_string_lossy().into_owned());
    match command::parse(arguments).and_then(command::Command::output) {
        Ok(bytes) => {
            // A reader that closes the pipe early, such as `head`, is no failure.
            let _ = std::io::stdout().lock().write_all(&bytes);
            ExitCode::SUCCESS
        }
        Err(failure) => {
            let _ = writeln!(std::io::stderr(), "couplet: {failure}");
            failure.code()
        }
    }
}
