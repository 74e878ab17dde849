//! The words of the page, plain and trade side by side.

use super::Level;

macro_rules! words {
    ($($key:ident: $plain:literal | $trade:literal;)*) => {
        /// What is said, whatever the words.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub(crate) enum Word {
            $(
                #[doc = concat!("\"", $plain, "\" or \"", $trade, "\".")]
                $key,
            )*
        }

        impl Word {
            /// The words at this reading level.
            pub(crate) fn at(self, level: Level) -> &'static str {
                match (self, level) {
                    $(
                        (Self::$key, Level::Plain) => $plain,
                        (Self::$key, Level::Trade) => $trade,
                    )*
                }
            }
        }
    };
}

words! {
    // regions
    Site: "Place and sun" | "Site";
    Planes: "Roofs" | "Planes";
    Arrays: "Solar arrays" | "Arrays";
    PvInverters: "Solar inverters" | "PV inverters";
    Storage: "Storage" | "Storage";
    Running: "How storage is used" | "Running rule";
    Loads: "What uses power" | "Loads";
    Service: "Grid connection" | "Service";
    Tariff: "Prices" | "Tariff";
    // folded parts of schedules
    Losses: "more about the modules" | "losses";
    Efficiency: "efficiency" | "efficiency";
    Battery: "more about the battery" | "battery";
    InverterAndMppt: "more about the inverter" | "inverter and MPPT";
    Rule: "more about the hours" | "hours";
    Breakers: "breakers" | "breakers and busbar";
    CurrencyAndCharge: "currency and fixed charge" | "currency and fixed charge";
    DaysAndMonths: "days and months" | "days and months";
    MountingAndShade: "mounting and shade" | "mounting, horizon, shade";
    MeterFile: "from a meter file" | "interval data";
    DeviceDetails: "hours and power" | "details";
    Position: "position on the map" | "position";
    SkyAndDirt: "sky, ground, dirt" | "sky, albedo, soiling";
    WeatherFile: "from a weather file" | "weather file";
    Plane: "roof" | "plane";
    JoinedOn: "joined" | "join";
    // joins
    GridSide: "main panel" | "grid side";
    BackedUp: "backed-up panel" | "backed-up side";
}
