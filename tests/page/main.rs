//! The page in headless Chromium. One module per concern; how to write a test stands in `DEVELOPERS.md`.

mod adviser;
mod best_possible;
mod bills;
mod contrast;
mod drawing;
mod editing;
mod export;
mod findings;
mod harness;
mod keeping;
mod money;
mod offline;
mod opening;
mod outage;
mod paper;
mod printed;
mod running;
mod starting;
mod storage;
mod worker;
