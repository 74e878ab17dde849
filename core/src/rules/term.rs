//! Words that the trade says otherwise under each family of codes: the one table of them.

use super::{Code, Metal};

/// Something that is called otherwise under the IEC than under the NEC.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Term {
    /// What everything that can be touched is joined with.
    Earth,
    /// The same over a column.
    EarthHeading,
    /// The conductor that joins a circuit with it.
    EarthConductor,
    /// What leads to the soil, which no list of parts holds.
    EarthElectrodes,
    /// The metal.
    Aluminium,
    /// Title of the rule of faults of PV DC.
    DcFaults,
    /// What a PV input detects.
    DcFaultDetection,
    /// The question whether it does.
    DcFaultsDetected,
    /// Title of the rule of the one bond in an outage.
    NeutralInOutage,
    /// Title of the rule of the one bond of a home without a service.
    NeutralOfHome,
    /// Title of the rule of the one bond at a generator.
    NeutralOfGenerator,
    /// What is not known of the one bond of a home without a service.
    BondOfTheHome,
    /// The caution about the one bond.
    BondCaution,
}

impl Term {
    /// Every term.
    pub const ALL: [Self; 13] = [
        Self::Earth,
        Self::EarthHeading,
        Self::EarthConductor,
        Self::EarthElectrodes,
        Self::Aluminium,
        Self::DcFaults,
        Self::DcFaultDetection,
        Self::DcFaultsDetected,
        Self::NeutralInOutage,
        Self::NeutralOfHome,
        Self::NeutralOfGenerator,
        Self::BondOfTheHome,
        Self::BondCaution,
    ];

    /// What it is called under a code.
    ///
    /// Source: NEC article 100 (ground, grounding conductor, equipment); IEC 60050-195 (earth, protective conductor) (from memory).
    #[must_use]
    pub fn under(self, code: Code) -> &'static str {
        let (iec, nec) = match self {
            Self::Earth => ("earth", "ground"),
            Self::EarthHeading => ("Earth", "Ground"),
            Self::EarthConductor => ("protective conductor", "equipment grounding conductor"),
            Self::EarthElectrodes => (
                "earth electrodes and bonding of frames and cases",
                "grounding electrodes and bonding of frames and cases",
            ),
            Self::Aluminium => ("aluminium", "aluminum"),
            Self::DcFaults => (
                "faults to earth on the DC side",
                "ground faults on the DC side",
            ),
            Self::DcFaultDetection => (
                "earth-fault detection of the PV input",
                "ground-fault detection of the PV input",
            ),
            Self::DcFaultsDetected => (
                "earth faults of PV are detected",
                "ground faults of PV are detected",
            ),
            Self::NeutralInOutage => (
                "neutral and earth in an outage",
                "neutral and ground in an outage",
            ),
            Self::NeutralOfHome => (
                "neutral and earth of the home",
                "neutral and ground of the home",
            ),
            Self::NeutralOfGenerator => (
                "neutral and earth of the generator",
                "neutral and ground of the generator",
            ),
            Self::BondOfTheHome => (
                "where the home's one bond between neutral and earth is",
                "where the home's one bond between neutral and ground is",
            ),
            Self::BondCaution => (
                "A wrong bond between neutral and earth puts voltage on cases: a licensed electrician verifies it.",
                "A wrong bond between neutral and ground puts voltage on cases: a licensed electrician verifies it.",
            ),
        };
        match code {
            Code::Nec(_) => nec,
            Code::Iec => iec,
        }
    }
}

impl Metal {
    /// What it is called under a code.
    #[must_use]
    pub fn under(self, code: Code) -> &'static str {
        match self {
            Self::Copper => "copper",
            Self::Aluminium => Term::Aluminium.under(code),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_family_says_what_the_other_does() {
        for term in Term::ALL {
            let iec = term.under(Code::Iec).to_lowercase();
            assert!(
                !iec.contains("ground") && !iec.contains("aluminum"),
                "{iec}"
            );
            for code in Code::ALL.into_iter().filter(|code| *code != Code::Iec) {
                let nec = term.under(code).to_lowercase();
                assert!(
                    !nec.contains("earth") && !nec.contains("aluminium"),
                    "{nec}"
                );
            }
        }
    }
}
