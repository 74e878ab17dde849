//! What was asked for.

use couplet_core::document::{demo, schema, write};
use couplet_core::drawing::Paper;

use crate::draw::{Draw, Format};
use crate::failure::Failure;
use crate::run::Run;

const HELP: &str = "\
couplet: how a home's PV is joined to its storage, and what follows

usage:
  couplet run HOUSEHOLD.json [--option NAME] [--intervals OUT.csv]
      run a year of every option, or of one, in steps of 15 min and print figures, ledger and warnings as JSON;
      `-` reads the household from standard input; --intervals writes every step of every option that was run
  couplet draw HOUSEHOLD.json [--option NAME] [--format svg|dxf] [--paper a4|letter] [--date DATE] [--revision NAME]
      print the drawing sheet of an option, or of the first: the diagram with its tables, key and title block
  couplet demo
      print the demonstration household as such a file
  couplet schema
      print the JSON Schema of such a file
  couplet --help | --version

exit codes:
  0 done
  1 this program is damaged
  2 wrong usage, or no option of that name
  3 the file cannot be read, or is no saved household
  4 the household cannot be run: each problem with its field, its value and what would be right
  5 the intervals cannot be written

Estimates for planning, not a permit set.
";

/// What was asked for.
#[derive(Debug, PartialEq)]
pub(crate) enum Command {
    /// How to use it.
    Help,
    /// Its version.
    Version,
    /// The demonstration household.
    Demo,
    /// The schema of a saved file.
    Schema,
    /// Results of a household.
    Run(Run),
    /// The drawing sheet of an option.
    Draw(Draw),
}

/// Understands the words after the program's name.
pub(crate) fn parse(words: impl Iterator<Item = String>) -> Result<Command, Failure> {
    let words: Vec<String> = words.collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    if words.iter().any(|word| matches!(*word, "--help" | "-h")) {
        return Ok(Command::Help);
    }
    match words.as_slice() {
        ["help"] => Ok(Command::Help),
        ["--version" | "-V"] => Ok(Command::Version),
        ["demo"] => Ok(Command::Demo),
        ["schema"] => Ok(Command::Schema),
        ["run", rest @ ..] => parse_run(rest).map(Command::Run),
        ["draw", rest @ ..] => parse_draw(rest).map(Command::Draw),
        [] => Err(Failure::Usage("say what to do".to_owned())),
        ["demo" | "schema" | "help", word, ..] | [word, ..] => Err(not_understood(word)),
    }
}

/// The file that is named, and the value after each of `flags`, in their order; flags may stand anywhere.
fn parse_file_and_flags<const N: usize>(
    command: &str,
    words: &[&str],
    flags: [&str; N],
) -> Result<(String, [Option<String>; N]), Failure> {
    let mut file = None;
    let mut values = [const { None }; N];
    let mut words = words.iter();
    while let Some(word) = words.next() {
        let named = flags.iter().position(|flag| flag == word);
        let Some(place) = named.and_then(|at| values.get_mut(at)) else {
            if word.starts_with("--") || file.replace((*word).to_owned()).is_some() {
                return Err(not_understood(word));
            }
            continue;
        };
        let value = words
            .next()
            .ok_or_else(|| Failure::Usage(format!("`{word}` needs a value after it")))?;
        if place.replace((*value).to_owned()).is_some() {
            return Err(Failure::Usage(format!("`{word}` is there twice")));
        }
    }
    let file =
        file.ok_or_else(|| Failure::Usage(format!("`{command}` needs the file of a household")))?;
    Ok((file, values))
}

fn parse_run(words: &[&str]) -> Result<Run, Failure> {
    let (file, [option, intervals]) =
        parse_file_and_flags("run", words, ["--option", "--intervals"])?;
    Ok(Run {
        file,
        option,
        intervals,
    })
}

fn parse_draw(words: &[&str]) -> Result<Draw, Failure> {
    let flags = ["--option", "--format", "--paper", "--date", "--revision"];
    let (file, [option, format, paper, date, revision]) =
        parse_file_and_flags("draw", words, flags)?;
    Ok(Draw {
        file,
        option,
        format: match format.as_deref() {
            None | Some("svg") => Format::Svg,
            Some("dxf") => Format::Dxf,
            Some(other) => return Err(not_understood(other)),
        },
        paper: match paper.as_deref() {
            None | Some("a4") => Paper::A4,
            Some("letter") => Paper::Letter,
            Some(other) => return Err(not_understood(other)),
        },
        date: date.unwrap_or_default(),
        revision,
    })
}

fn not_understood(word: &str) -> Failure {
    Failure::Usage(format!("`{word}` is not understood here"))
}

impl Command {
    /// Does what was asked; what is to be printed.
    pub(crate) fn output(self) -> Result<Vec<u8>, Failure> {
        match self {
            Self::Help => Ok(HELP.as_bytes().to_vec()),
            Self::Version => Ok(format!("couplet {}\n", env!("CARGO_PKG_VERSION")).into_bytes()),
            Self::Demo => Ok(write(&demo()).into_bytes()),
            Self::Schema => Ok(format!("{:#}\n", schema()).into_bytes()),
            Self::Run(run) => run.output().map(String::into_bytes),
            Self::Draw(draw) => draw.output(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parsed(line: &str) -> Result<Command, Failure> {
        parse(line.split_whitespace().map(str::to_owned))
    }

    #[test]
    fn flags_of_a_run_may_stand_anywhere() {
        let run = Run {
            file: "a.json".to_owned(),
            option: Some("X".to_owned()),
            intervals: Some("b.csv".to_owned()),
        };
        for line in [
            "run a.json --option X --intervals b.csv",
            "run --intervals b.csv --option X a.json",
        ] {
            assert_eq!(parsed(line), Ok(Command::Run(run.clone())), "{line}");
        }
    }

    #[test]
    fn what_is_not_understood_is_named() {
        for (line, named) in [
            ("", "say what to do"),
            ("walk", "`walk`"),
            ("demo x", "`x`"),
            ("run", "needs the file"),
            ("run a b", "`b`"),
            ("run a --option", "`--option` needs"),
            ("run a --option x --option y", "twice"),
            ("run a --steps 3", "`--steps`"),
            ("draw", "needs the file"),
            ("draw a --format png", "`png`"),
            ("draw a --paper a5", "`a5`"),
        ] {
            let failure = parsed(line).unwrap_err().to_string();
            assert!(failure.contains(named), "{line}: {failure}");
        }
    }
}
