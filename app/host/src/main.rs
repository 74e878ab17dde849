//! `cargo host`: builds the page, serves it, weighs it.

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use couplet_host::{Error, Profile};

const USAGE: &str = "\
cargo host build [--profile release|draft] [--out DIR]                build the page into DIR (dist)
cargo host serve [--profile release|draft] [--out DIR] [--port N] [--prefix PATH]
                                                                      build it, then serve it on localhost (port 8080)
cargo host show  [--out DIR] [--port N] [--prefix PATH]               serve what DIR holds already
cargo host weigh [--out DIR]                                          print the size of each file in DIR, packed and not
cargo host finish DIR                                                 the last step of a build; Trunk calls it
";

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let done = match Order::read(&words) {
        Some(order) => order.carry_out(),
        None => {
            say(std::io::stderr(), USAGE);
            return ExitCode::from(2);
        }
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            say(std::io::stderr(), &format!("{error}\n"));
            ExitCode::FAILURE
        }
    }
}

/// What was asked for on the command line.
struct Order {
    task: String,
    profile: Profile,
    folder: PathBuf,
    port: u16,
    prefix: String,
}

impl Order {
    fn read(words: &[String]) -> Option<Self> {
        let (task, rest) = words.split_first()?;
        let mut order = Self {
            task: task.clone(),
            profile: Profile::default(),
            folder: couplet_host::workspace().join("dist"),
            port: 8080,
            prefix: "/".to_owned(),
        };
        if task == "finish" {
            let [folder] = rest else { return None };
            return Some(Self {
                folder: PathBuf::from(folder),
                ..order
            });
        }
        for pair in rest.chunks(2) {
            let [name, value] = pair else { return None };
            match name.as_str() {
                "--profile" => order.profile = Profile::named(value)?,
                "--out" => order.folder = std::path::absolute(value).ok()?,
                "--port" => order.port = value.parse().ok()?,
                "--prefix" => order.prefix = value.clone(),
                _ => return None,
            }
        }
        ["build", "serve", "show", "weigh"]
            .contains(&task.as_str())
            .then_some(order)
    }

    fn carry_out(&self) -> Result<(), Error> {
        match self.task.as_str() {
            "build" => self.build(),
            "finish" => couplet_host::finish(&self.folder),
            "weigh" => weigh(&self.folder),
            "show" => self.serve(),
            _ => self.build().and_then(|()| self.serve()),
        }
    }

    fn build(&self) -> Result<(), Error> {
        couplet_host::build(self.profile, &self.folder)?;
        say(
            std::io::stdout(),
            &format!("built {}\n", self.folder.display()),
        );
        Ok(())
    }

    fn serve(&self) -> Result<(), Error> {
        let served = couplet_host::serve(&self.folder, self.port, &self.prefix)?;
        let how_to_end = if std::io::stdin().is_terminal() {
            "   (Ctrl+C ends it)"
        } else {
            ""
        };
        say(
            std::io::stdout(),
            &format!("Couplet is at {}{how_to_end}\n", served.address()),
        );
        served.wait();
        Ok(())
    }
}

fn weigh(folder: &Path) -> Result<(), Error> {
    let weights = couplet_host::weigh(folder)?;
    let mut table = format!("{:>10} {:>10} {:>10}  file\n", "bytes", "gzip", "brotli");
    let mut total = (0, 0, 0);
    for weight in &weights {
        table.push_str(&format!(
            "{:>10} {:>10} {:>10}  {}\n",
            weight.raw, weight.gzip, weight.brotli, weight.file
        ));
        total = (
            total.0 + weight.raw,
            total.1 + weight.gzip,
            total.2 + weight.brotli,
        );
    }
    table.push_str(&format!(
        "{:>10} {:>10} {:>10}  in all\n",
        total.0, total.1, total.2
    ));
    say(std::io::stdout(), &table);
    Ok(())
}

/// Writes to the terminal. A reader who closed the pipe is no reason to fail.
fn say(mut to: impl Write, text: &str) {
    to.write_all(text.as_bytes()).and_then(|()| to.flush()).ok();
}
