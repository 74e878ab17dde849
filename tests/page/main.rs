//! The page in headless Chromium. One module per concern; how to write a test stands in `DEVELOPERS.md`.

mod contrast;
mod harness;
mod offline;
mod opening;
mod storage;
mod worker;
