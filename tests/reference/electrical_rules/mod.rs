//! The electrical rules against the codes' own tables (`values/README.md`, section 12) and worked examples. The source stands beside
//! each check; tolerances are the rounding of the printed figure.

mod conductors;
mod loads;
mod panels;
mod strings;

use couplet_core::rules::{Code, NecEdition};

const NEC_2023: Code = Code::Nec(NecEdition::Of2023);
