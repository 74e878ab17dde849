//! What a command is given: the household of a file, the options that were named, the climate that this program carries.

use std::io::Read;

use couplet_core::check::{Checked, check};
use couplet_core::climate::ClimateGrid;
use couplet_core::coupling::CouplingOption;
use couplet_core::document::read;
use couplet_core::household::Household;
use flate2::read::GzDecoder;

use crate::failure::Failure;

const CLIMATE: &[u8] = include_bytes!("../../../public/data/climate.bin.gz");

/// The household of a file; `-` is standard input.
pub(crate) fn household(file: &str) -> Result<Checked<Household>, Failure> {
    let failure = |wrong: String| Failure::File {
        file: file.to_owned(),
        wrong,
    };
    let mut bytes = Vec::new();
    if file == "-" {
        std::io::stdin().lock().read_to_end(&mut bytes)
    } else {
        std::fs::File::open(file).and_then(|mut file| file.read_to_end(&mut bytes))
    }
    .map_err(|error| failure(format!("cannot be read: {error}")))?;
    let text = String::from_utf8(bytes).map_err(|_| failure("not a text in UTF-8".to_owned()))?;
    let found = read(&text).map_err(|problem| failure(problem.to_string()))?;
    check(found.household).map_err(|problems| Failure::Household {
        file: file.to_owned(),
        problems,
    })
}

/// The options of this name; without a name, all.
pub(crate) fn options<'h>(
    household: &'h Household,
    name: Option<&str>,
) -> Result<Vec<&'h CouplingOption>, Failure> {
    let Some(name) = name else {
        return Ok(household.options.iter().collect());
    };
    let named: Vec<_> = household
        .options
        .iter()
        .filter(|option| option.name == name)
        .collect();
    if named.is_empty() {
        let names: Vec<_> = household
            .options
            .iter()
            .map(|option| format!("`{}`", option.name))
            .collect();
        return Err(Failure::Usage(format!(
            "the household has no option `{name}`; give one of {}",
            names.join(", ")
        )));
    }
    Ok(named)
}

/// The world's monthly climate that this program carries.
pub(crate) fn climate() -> Result<ClimateGrid, Failure> {
    let mut bytes = Vec::new();
    GzDecoder::new(CLIMATE)
        .read_to_end(&mut bytes)
        .map_err(|error| Failure::Damaged(error.to_string()))?;
    ClimateGrid::decode(&bytes).map_err(|error| Failure::Damaged(error.to_string()))
}
