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
    Electrical: "Wiring and safety" | "Electrical";
    Conductors: "Wires and breakers" | "Conductor schedule";
    ConductorsNote: "What is not chosen is proposed and shown in grey. What you choose is kept, and judged above." | "Grey: proposed. A value that is typed or chosen overrides it and is judged by its findings.";
    Tariff: "Prices" | "Tariff";
    Bills: "What it costs in a year" | "Bills";
    BillsNote: "The electricity bill of each option by the prices above, to the cent. Under each amount stands its difference to the first option." | "Bill of each option from its meter series: lines rounded to the minor unit, totals are sums of lines. Under each amount its difference to the first option.";
    Drills: "Try an outage" | "Drills";
    DrillsNote: "Second by second: what stays on, what switches itself off, when it goes dark and whether it comes back." | "One outage of the backed-up bus, second by second, with passing clouds and switching loads.";
    Survival: "How long it lasts when the grid goes" | "Endurance without the grid";
    SurvivalNote: "An outage is tried from every hour of the year, to a week." | "An outage from each hour of the year, in quarter-hour steps, to 168 h.";
    OffGrid: "A year without the grid" | "Off-grid year";
    OffGridNote: "What the sun, the battery and the generator carry through a year." | "The backed-up bus alone through the year, in quarter-hour steps.";
    Money: "Money over the years" | "Money";
    TaxOnToPay: "what is to pay, after what is sold" | "the net bill";
    TaxOnBought: "what is bought, as with value added tax" | "purchases only (value added tax)";
    MoneyNote: "What this option costs and what it brings, set against the house as it stands. Each year is run with the age that panels and battery have by then." | "Cash flow of the option against the first one. Aged years are run with faded arrays and batteries; between them outcomes are interpolated.";
    MoneyOffGrid: "Without a grid there is no bill: what is paid through the years is fuel, upkeep and what has to be bought again. Each year is run with the age that panels and battery have by then." | "Cash flow of the option against the first one, with fuel in place of the bill. Aged years are run with faded arrays and batteries; between them outcomes are interpolated.";
    UnlikeService: "This option does not serve the same share as the house as it stands does. What more or less of it is worth no bill tells, so nothing is said of a payback; what a kilowatt-hour costs can be compared." | "Served shares differ by more than one per cent: saving, payback and present value against the reference would compare unlike services, and are left out. Compare the levelised cost of served energy.";
    MoneyCaution: "Reckoned from figures that were typed in or assumed. Prices, rules and rates will be others. Nothing here is promised." | "An estimate from typed and assumed figures, not an offer or a forecast. No outcome is promised.";
    MoneyReference: "This is the house as it stands. It counts as paid; the other options are set against it." | "The reference: what it has counts as bought, its replacements are set against those of the other options.";
    CostLines: "What it costs" | "Cost lines";
    CostFirst: "to buy" | "first cost";
    CostAgain: "another one later" | "replacement, today's prices";
    CostLife: "lasts" | "life";
    Assumed: "What is assumed" | "Rates and terms";
    Grants: "Money from others" | "Incentives";
    Borrowing: "A loan" | "Loan";
    Outcome: "What comes out" | "Outcomes";
    YearByYear: "Year by year" | "Cash flow by year";
    Unknowns: "What matters most" | "Sensitivity of the net present value";
    BatteryAge: "How the battery ages" | "Battery ageing";
    ExportControl: "Does the limit hold?" | "Export control";
    ExportControlNote: "The day of the cursor second by second: how much slips out above the permitted limit while controls react, and what the sun loses to it." | "The day of the cursor second by second, with clouds, load steps and controls that answer late.";
    Best: "How much more could the battery save?" | "The best possible";
    BestNote: "The year is run once more as if sun, use and prices were known beforehand. No controller can do better with this equipment, so it shows how good a rule is." | "Perfect-foresight optimum of the same hardware under the same tariff, limits and reserve, as a bound on any controller.";
    Adviser: "Which way is best?" | "Adviser";
    AdviserNote: "Every way to join the panels and to size the battery is run through the year, through outages and through the electrical rules. What breaks a rule is dropped; the rest is ranked by what it is worth." | "Every assignment of arrays to joins with storage sizes: year, outage from each hour, findings, cash flow. What breaks a rule is dropped; the rest is ranked by net present value.";
    Findings: "Does it fit?" | "Findings";
    FindingsNote: "What the electrical rules and good practice say of this option. A rule that cannot be judged yet says what it waits for." | "Each rule with clause, numbers, limit and margin. Clauses are to be checked against the edition in force; none stands for a permit.";
    // folded parts of schedules
    Losses: "more about the modules" | "losses";
    ModulesAndStrings: "modules and wiring" | "modules and strings";
    InverterInputs: "what its inputs take" | "MPPT inputs";
    StoragePlace: "place and safety" | "place, voltages, listing";
    PvSafety: "safety of the roof" | "PV: shutdown, faults, labels";
    TransferDetails: "switching over" | "transfer and neutral";
    RunDetails: "runs of wire" | "voltage drop aimed at";
    DwellingDetails: "the home" | "dwelling load";
    MainPanelDetails: "main panel" | "main panel";
    BackedUpPanelDetails: "backed-up panel" | "backed-up panel";
    Efficiency: "efficiency" | "efficiency";
    Battery: "more about the battery" | "battery";
    InverterAndMppt: "more about the inverter" | "inverter and MPPT";
    Rule: "more about the hours" | "hours";
    OwnHoursNote: "Of the hours below the first that fit count. At all other times the battery runs the house." | "The first window that holds counts; self-consumption outside them all. By the clock and holidays of the tariff.";
    OutsideOwnHours: "at all other times the battery runs the house" | "self-consumption outside these";
    AddOwnHours: "Add hours" | "Add a window";
    AimCharge: "is filled from the grid" | "is charged from the grid";
    AimHold: "keeps what it has" | "holds";
    AimGive: "runs the house" | "gives to the loads";
    AimSell: "runs the house and sells" | "gives and sells";
    Breakers: "breakers" | "breakers and busbar";
    IslandMeans: "in an outage" | "grid code and island";
    Surge: "what it bears for a while" | "surge";
    Generator: "Generator" | "Generator";
    GeneratorDetails: "more about the generator" | "starting and fuel";
    Island: "Without the grid" | "Island running";
    IslandFrequency: "frequency" | "frequency";
    HardStart: "starts hard" | "start above running power";
    ShedOrder: "may be switched off" | "has a place in the shed order";
    CurrencyAndCharge: "currency, fixed charge, charge on power" | "currency, fixed and demand charges";
    Season: "only in some months" | "season";
    SummerTime: "summer time and holidays" | "clock and holidays";
    TariffFlat: "the same at all hours" | "flat";
    TariffByHours: "by hours of the day" | "time of use";
    TariffTiers: "by how much you use in a month" | "tiers";
    TiersByMonth: "all that is used in the month" | "the month\u{2019}s total use";
    TiersByPeriod: "what is used at each price by itself" | "each period\u{2019}s own use";
    TariffHoursAndTiers: "by hours and by how much" | "time of use with tiers";
    AddHours: "Add hours with their own price" | "Add a period";
    AddWindow: "Add another time" | "Add a window";
    MeanHasNoPeaks: "The use is a mean of many homes or days, which has no peaks: this charge comes out far too small until a meter file is given." | "A mean load profile has no peaks: demand is far too low without interval data.";
    AddDemand: "Add a charge on the highest power" | "Add a demand charge";
    ExportNothing: "earns nothing" | "no credit";
    ExportOnePrice: "earns one price" | "net billing, flat";
    ExportByPeriod: "earns a price by hours" | "net billing, by period";
    ExportHourly: "earns a price for each hour, from a file" | "net billing, hourly";
    ExportNetMonthly: "is taken off what you draw, by month" | "net metering, monthly";
    ExportNetYearly: "is taken off what you draw, over a year" | "net metering, yearly carry-over";
    ExportAllSold: "all that the sun makes is sold" | "feed-in of all generation";
    SurplusPaid: "is paid out with the bill" | "paid out monthly";
    SurplusCarriedThenPaid: "waits for later months, then is paid out" | "carried, paid out yearly";
    SurplusCarriedThenLost: "waits for later months, then is lost" | "carried, lost yearly";
    MountingAndShade: "mounting and shade" | "mounting, horizon, shade";
    NetMeterNote: "Solar stands here already. A meter at the street shows only what the sun leaves over: what is used while the sun shines never passes it." | "PV stands in the first option. A net meter hides what PV feeds behind it: load = bought \u{2212} sent out + PV.";
    MeterCountsAll: "all that is used" | "the load (PV metered apart)";
    MeterCountsRest: "what the sun leaves: add the sun's part" | "net flow: add modelled PV";
    MeterCountsRestOfFile: "what the sun leaves: a file tells what the panels made" | "net flow: add metered PV from a file";
    MeterFile: "from a meter file" | "interval data";
    DeviceDetails: "hours and power" | "details";
    Position: "position on the map" | "position";
    SkyAndDirt: "sky, ground, dirt" | "sky, albedo, soiling";
    WeatherFile: "from a weather file" | "weather file";
    Plane: "roof" | "plane";
    JoinedOn: "joined" | "join";
    // grid codes of PV inverters
    CodePresent: "the rule in force here" | "in force (IEEE 1547-2018, EN 50549-1)";
    CodeNotKnown: "not known (older rule)" | "not known (older, all or nothing)";
    CodeIeee1547Of2003: "US, older" | "IEEE 1547-2003";
    CodeIeee1547aOf2014: "US, from 2014" | "IEEE 1547a-2014";
    CodeUl1741SupplementA: "US, between old and new" | "UL 1741 SA";
    CodeIeee1547Of2018: "US, new" | "IEEE 1547-2018";
    CodeEn50549: "Europe" | "EN 50549-1";
    CodeVdeArN4105: "Germany" | "VDE-AR-N 4105:2018";
    CodeUkG99: "Great Britain" | "EREC G98/G99";
    CodeAsNzs4777: "Australia, New Zealand" | "AS/NZS 4777.2:2020";
    CodeOwn: "its own numbers" | "own settings";
    // how an island holds a PV inverter back
    MeansFrequency: "by raising the frequency" | "frequency only";
    MeansCommand: "by telling it" | "command";
    MeansContactor: "by switching it off" | "contactor";
    // joins
    GridSide: "main panel" | "grid side";
    BackedUp: "backed-up panel" | "backed-up side";
}
