//! The answers that a household is started from.

/// The six answers.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// Where the household stands.
    pub place: Place,
    /// What it uses.
    pub energy: EnergyUse,
    /// What PV stands; none: nothing.
    pub standing: Option<StandingPv>,
    /// What must run in an outage.
    pub outage: OutageNeed,
    /// What energy costs and earns.
    pub prices: Prices,
    /// What they want most.
    pub wish: Wish,
}

/// Where a household stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Name of the place.
    pub name: String,
    /// ISO 3166 code of the country, two letters; empty if not known. Decides the voltage system and the currency.
    pub country: String,
    /// Latitude, °, north positive.
    pub latitude_deg: f64,
    /// Longitude, °, east positive.
    pub longitude_deg: f64,
    /// Height above sea level, m.
    pub elevation_m: f64,
    /// Offset of local standard time from UTC, h, east positive.
    pub utc_offset_h: f64,
    /// IANA name of the time zone; empty if not known.
    pub time_zone: String,
}

/// What a household uses.
#[derive(Clone, Debug, PartialEq)]
pub enum EnergyUse {
    /// Energy of a year, Wh.
    Yearly(f64),
    /// Energy of each month, Wh, January first.
    Monthly([f64; 12]),
}

/// PV that stands.
#[derive(Clone, Debug, PartialEq)]
pub struct StandingPv {
    /// Rated DC power, W.
    pub peak_w: f64,
    /// Slope from level, °.
    pub tilt_deg: f64,
    /// Direction that it faces, ° clockwise from north.
    pub azimuth_deg: f64,
}

/// What must run in an outage, or that there is no grid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum OutageNeed {
    /// Nothing.
    Nothing,
    /// Lights, cooling of food, heating controls, network: taken as 40 % of the use.
    Essential,
    /// This share of the use, 0 to 1.
    Share(f64),
    /// The whole home.
    WholeHome,
    /// There is no grid: the whole home lives off its own.
    NoGrid {
        /// Whether a generator may stand by.
        generator: bool,
    },
}

/// What energy costs and earns, currency per kWh.
#[derive(Clone, Debug, PartialEq)]
pub enum Prices {
    /// The same at all hours.
    Flat {
        /// Price of bought energy.
        buy_cur_per_kwh: f64,
        /// Price of sold energy.
        sell_cur_per_kwh: f64,
    },
    /// Dearer in some hours of every day.
    TimeOfUse {
        /// Price of bought energy outside the dear hours.
        buy_cur_per_kwh: f64,
        /// Price of bought energy in the dear hours.
        dear_buy_cur_per_kwh: f64,
        /// Hour at which the dear hours begin, 0 to 24.
        dear_from_h: f64,
        /// Hour at which they end, 0 to 24.
        dear_to_h: f64,
        /// Price of sold energy at all hours.
        sell_cur_per_kwh: f64,
    },
}

/// What a household wants most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wish {
    /// A lower bill.
    LowerBill,
    /// To run on in an outage.
    OutageCover,
    /// To send nothing to the utility, because it may not or earns nothing by it.
    NoExport,
}
