//! What the page weighs: each file as it is, and as a server would send it.

use std::io::Write;
use std::path::Path;

use crate::{Error, files_under, read};

/// Sizes of one file, in bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Weight {
    /// Path within the page's folder.
    pub file: String,
    /// As it lies in the folder.
    pub raw: usize,
    /// After gzip, level 9.
    pub gzip: usize,
    /// After brotli, quality 11, window 22.
    pub brotli: usize,
}

/// Weighs every file in `folder`.
///
/// Errors: a file that cannot be read.
pub fn weigh(folder: &Path) -> Result<Vec<Weight>, Error> {
    files_under(folder)?
        .into_iter()
        .map(|file| weight(folder, file))
        .collect()
}

fn weight(folder: &Path, file: String) -> Result<Weight, Error> {
    let path = folder.join(&file);
    let bytes = read(&path)?;
    let gzip = gzipped(&bytes).map_err(|reason| Error::at(&path, reason))?;
    let brotli = brotlied(&bytes).map_err(|reason| Error::at(&path, reason))?;
    Ok(Weight {
        file,
        raw: bytes.len(),
        gzip: gzip.len(),
        brotli: brotli.len(),
    })
}

fn gzipped(bytes: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut packed = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::best());
    packed.write_all(bytes)?;
    packed.finish()
}

fn brotlied(bytes: &[u8]) -> std::io::Result<Vec<u8>> {
    let mut packed = Vec::new();
    brotli::CompressorWriter::new(&mut packed, 4096, 11, 22).write_all(bytes)?;
    Ok(packed)
}
