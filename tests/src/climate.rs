//! The built-in climate, as the page loads it.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use couplet_core::climate::ClimateGrid;
use flate2::read::GzDecoder;

/// A file of `public/data`, unpacked.
#[must_use]
pub fn unpacked_data(file: &str) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../public/data")
        .join(file);
    let mut bytes = Vec::new();
    GzDecoder::new(File::open(path).expect("a file of public/data"))
        .read_to_end(&mut bytes)
        .expect("gzip");
    bytes
}

/// The built-in world grid of monthly means.
#[must_use]
pub fn climate_grid() -> ClimateGrid {
    ClimateGrid::decode(&unpacked_data("climate.bin.gz")).expect("the built-in grid")
}
