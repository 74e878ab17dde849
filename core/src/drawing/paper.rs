//! Paper that a drawing sheet is made for.

/// A family of paper in landscape: every size of it has the same proportions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Paper {
    /// A4, A3 and so on (ISO 216).
    A4,
    /// Letter, and the sizes of twice and four times its sides (ANSI/ASME Y14.1: A, C, E).
    Letter,
}

impl Paper {
    /// Names and widths in mm, from the smallest.
    ///
    /// Source: ISO 216; ANSI/ASME Y14.1 (Letter is 11 in by 8.5 in).
    fn sizes(self) -> &'static [(&'static str, f64)] {
        match self {
            Self::A4 => &[
                ("A4", 297.0),
                ("A3", 420.0),
                ("A2", 594.0),
                ("A1", 841.0),
                ("A0", 1189.0),
            ],
            Self::Letter => &[
                ("Letter", 279.4),
                ("17 × 22 in", 558.8),
                ("34 × 44 in", 1117.6),
            ],
        }
    }

    /// Width over height.
    #[must_use]
    pub fn proportion(self) -> f64 {
        match self {
            Self::A4 => 297.0 / 210.0,
            Self::Letter => 279.4 / 215.9,
        }
    }

    /// Name and width in mm of the smallest size on which a sheet of this width can be read.
    pub(super) fn size_for(self, width: f64) -> (&'static str, f64) {
        /// Least length of a unit of the sheet: table words are then 1.9 mm high from line to line.
        const LEAST_MM_PER_UNIT: f64 = 0.19;
        let sizes = self.sizes();
        sizes
            .iter()
            .find(|(_, width_mm)| width_mm / width >= LEAST_MM_PER_UNIT)
            .or(sizes.last())
            .copied()
            .unwrap_or(("A4", 297.0))
    }
}
