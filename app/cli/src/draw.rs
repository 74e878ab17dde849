//! The drawing sheet of an option, as a file.

use couplet_core::drawing::{Imprint, Paper, dxf, full_sheet, svg};
use couplet_core::findings::{DesignTemperatures, Details};

use crate::failure::Failure;
use crate::given::{climate, household, options};

/// What a sheet is drawn as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Format {
    /// SVG.
    Svg,
    /// DXF.
    Dxf,
}

/// Which sheet to draw, and how.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Draw {
    /// File of the household; `-` is standard input.
    pub(crate) file: String,
    /// Name of the option; none: the first.
    pub(crate) option: Option<String>,
    /// What it is drawn as.
    pub(crate) format: Format,
    /// Paper.
    pub(crate) paper: Paper,
    /// Date in the title block.
    pub(crate) date: String,
    /// Revision in the title block; none: the one of the option.
    pub(crate) revision: Option<String>,
}

impl Draw {
    /// The sheet as a file.
    pub(crate) fn output(self) -> Result<Vec<u8>, Failure> {
        let household = household(&self.file)?;
        let named = options(&household, self.option.as_deref())?;
        let Some(mut option) = named.into_iter().next().cloned() else {
            return Err(Failure::Usage("the household has no option".to_owned()));
        };
        if let Some(revision) = self.revision {
            option.title.revision = revision;
        }
        let climate = climate()?;
        let temperatures = DesignTemperatures::of(&household.site, Some(&climate));
        let details = Details::of(&household, &option, &temperatures);
        let imprint = Imprint { date: &self.date };
        let sheet = full_sheet(&household, &option, &details, self.paper, imprint);
        Ok(match self.format {
            Format::Svg => svg(&sheet, "").into_bytes(),
            Format::Dxf => dxf(&sheet),
        })
    }
}
