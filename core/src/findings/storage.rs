//! Findings of storage units: energy and place, battery circuit, charging.

use super::finding::{Head, against, figure};
use super::quantity::{length, short_length, temperature};
use super::{Context, Finding, Missing, StorageDetails, Topic};
use crate::coupling::{BatteryPlace, StorageUnit};
use crate::drawing::Part;
use crate::limits::Unit;
use crate::rules::{Clause, Code, SPACING_M, Source, StorageRoom, UNIT_WH};
use crate::units::UnitSystem;

/// Clear depth before equipment of up to 150 V to ground, m: 3 ft.
///
/// Source: NEC 110.26(A)(1) (from memory).
const CLEAR_DEPTH_M: f64 = 0.914;

/// Least width and height of that space, m: 30 in and 6.5 ft.
///
/// Source: NEC 110.26(A)(2) and (3) (from memory).
const CLEAR_WIDTH_M: f64 = 0.762;
const CLEAR_HEIGHT_M: f64 = 1.981;

/// Battery voltage in a dwelling above which live parts must not be within reach, V.
///
/// Source: NEC 706.20(B) (from memory).
const OPEN_BATTERY_V: f64 = 100.0;

/// Findings of every storage unit.
pub(super) fn judge(context: &Context<'_>, found: &mut Vec<Finding>) {
    for stored in stored(context) {
        found.extend(stored.energy());
        found.push(stored.place());
        found.extend(stored.voltage());
        found.push(stored.charging_temperature());
        found.push(stored.rate());
        found.extend(stored.dc_pv_power());
        stored.facts(found);
    }
    found.extend(aggregate(context));
}

/// A storage unit as the rules see it.
#[derive(Clone, Copy)]
struct Stored<'a> {
    context: &'a Context<'a>,
    unit: &'a StorageUnit,
    details: &'a StorageDetails,
}

/// Every storage unit of the option.
fn stored<'a>(context: &'a Context<'a>) -> impl Iterator<Item = Stored<'a>> {
    context.option.storage.iter().filter_map(|unit| {
        Some(Stored {
            context,
            unit,
            details: context.details.storage(unit.id)?,
        })
    })
}

impl Stored<'_> {
    /// Where it stands; none if that is open.
    fn room(&self) -> Option<StorageRoom> {
        self.unit.electrical.room
    }

    fn head(&self, rule: &'static str, title: &'static str, source: Source) -> Head {
        Head {
            rule,
            title,
            topic: Topic::Storage,
            part: Part::Storage(self.unit.id),
            source,
        }
    }

    fn clause(&self, clause: Clause) -> Source {
        clause.source(self.context.code)
    }

    /// A single unit in a dwelling holds no more than the fire code grants.
    fn energy(&self) -> Option<Finding> {
        if self.context.code == Code::Iec {
            return None;
        }
        let nominal_wh = self.details.nominal_wh;
        Some(
            Finding::at_most(
                self.head(
                    "unit-energy",
                    "energy of one storage unit",
                    self.clause(Clause::StorageUnitEnergy),
                ),
                nominal_wh,
                UNIT_WH,
                Unit::Wh,
                format!(
                    "{} kWh nominal {} {} kWh in one unit",
                    figure(nominal_wh / 1000.0, 1),
                    against(nominal_wh, UNIT_WH, true),
                    figure(UNIT_WH / 1000.0, 0)
                ),
            )
            .remedy("take several listed units with the distance between them that their listing asks for")
            .assuming(self.details.nominal_origin.is_generic(), "nominal energy"),
        )
    }

    fn place(&self) -> Finding {
        let head = self.head(
            "storage-place",
            "place of the battery",
            self.clause(Clause::StoragePlace),
        );
        let asks = "permitted: utility rooms, stores and basements, garages, outside walls and outdoors; not bedrooms, habitable rooms \
                    or closets that open into them";
        match self.room() {
            Some(room) => Finding::fact(
                head,
                room != StorageRoom::HabitableRoom,
                format!("stands in or on {}; {asks}", room.words()),
            )
            .remedy("set it in a permitted place"),
            None => Finding::not_judged(head, &[Missing::BatteryPlace], asks.to_owned()),
        }
    }

    fn voltage(&self) -> Option<Finding> {
        let circuit = self.details.battery.as_ref()?;
        if self.context.code == Code::Iec {
            return None;
        }
        Some(
            Finding::at_most(
                self.head(
                    "battery-voltage",
                    "voltage of the battery in a dwelling",
                    self.clause(Clause::StorageVoltage),
                ),
                circuit.voltages.highest_v,
                OPEN_BATTERY_V,
                Unit::V,
                format!(
                    "{} V {} {} V",
                    figure(circuit.voltages.highest_v, 1),
                    against(circuit.voltages.highest_v, OPEN_BATTERY_V, true),
                    figure(OPEN_BATTERY_V, 0)
                ),
            )
            .remedy("permitted only where no live part is within reach in routine maintenance: take a listed, enclosed unit")
            .assuming(circuit.origin.is_generic(), "voltage of the battery"),
        )
    }

    /// The battery does not become too cold to be charged.
    fn charging_temperature(&self) -> Finding {
        let battery = &self.unit.battery;
        let head = self.head(
            "charging-temperature",
            "charging in the cold",
            Source::COMMON_PRACTICE,
        );
        let limit_c = battery.least_charge_c;
        let coldest_c = match battery.place {
            BatteryPlace::Indoors { room_c } => Some(room_c),
            BatteryPlace::Outdoors => self.context.temperatures.low_c,
        };
        let Some(coldest_c) = coldest_c else {
            return Finding::not_judged(
                head,
                &[Missing::RecordLow],
                format!(
                    "charged above {} only",
                    temperature(self.context.units, limit_c, 1)
                ),
            );
        };
        let holds = coldest_c >= limit_c;
        Finding::fact(
            head,
            holds,
            format!(
                "{} {} {}, below which it is not charged",
                temperature(self.context.units, coldest_c, 1),
                if holds { "≥" } else { "<" },
                temperature(self.context.units, limit_c, 1)
            ),
        )
        .advised()
        .remedy("set it indoors, or take one with heating")
    }

    fn rate(&self) -> Finding {
        let battery = &self.unit.battery;
        let power_w = battery.charge_w.max(battery.discharge_w);
        let rate = power_w / battery.usable_wh;
        Finding::at_most(
            self.head("battery-rate", "rate of the battery", Source::COMMON_PRACTICE),
            rate,
            1.0,
            Unit::Ratio,
            format!(
                "{} W / {} Wh usable = {} C {} 1 C",
                figure(power_w, 0),
                figure(battery.usable_wh, 0),
                figure(rate, 2),
                against(rate, 1.0, true)
            ),
        )
        .advised()
        .remedy("see that the maker grants this rate: lithium iron phosphate is commonly charged at 0.2 C to 0.5 C")
    }

    /// The arrays on the MPPT inputs are no larger than these take.
    fn dc_pv_power(&self) -> Option<Finding> {
        let mppt = self.unit.mppt.as_ref()?;
        let peak_w: f64 = self
            .context
            .option
            .arrays_on_unit(self.unit.id)
            .map(|array| array.peak_w)
            .sum();
        (peak_w > 0.0).then(|| {
            Finding::at_most(
                self.head(
                    "dc-pv-power",
                    "DC PV against the MPPT inputs",
                    Source::COMMON_PRACTICE,
                ),
                peak_w,
                mppt.rated_w,
                Unit::W,
                format!(
                    "{} W of arrays {} {} W of all inputs",
                    figure(peak_w, 0),
                    against(peak_w, mppt.rated_w, true),
                    figure(mppt.rated_w, 0)
                ),
            )
            .advised()
            .remedy("what is above is not used; join an array elsewhere, or take larger inputs")
        })
    }

    /// What only the site or the papers can tell.
    fn facts(&self, found: &mut Vec<Finding>) {
        let given = &self.unit.electrical;
        let (code, units) = (self.context.code, self.context.units);
        found.push(known(
            self.head(
                "storage-listing",
                "listing of the storage",
                self.clause(Clause::StorageListing),
            ),
            given.listed,
            Missing::StorageListing,
            match code {
                Code::Nec(_) => {
                    "inverter and battery are listed together as an energy storage system (UL 9540)"
                }
                Code::Iec => "the battery meets IEC 62619, the installation IEC 62485",
            },
            "take a listed system",
        ));
        found.push(known(
            self.head(
                "storage-disconnect",
                "disconnect of the storage",
                self.clause(Clause::StorageDisconnect),
            ),
            given.disconnect,
            Missing::StorageDisconnect,
            match (code, units) {
                (Code::Iec, _) => "a means to part it from all circuits, within reach and lockable",
                (Code::Nec(_), UnitSystem::Metric) => {
                    "a means to part it from all circuits: in it, within sight and 3 m, or lockable"
                }
                (Code::Nec(_), UnitSystem::Us) => {
                    "a means to part it from all circuits: in it, within sight and 10 ft, or lockable"
                }
            },
            "add a disconnect",
        ));
        if let Code::Nec(edition) = code
            && edition > crate::rules::NecEdition::Of2017
        {
            found.push(known(
                self.head("storage-shutdown", "emergency shutdown outdoors", self.clause(Clause::StorageShutdown)),
                given.emergency_shutdown,
                Missing::StorageShutdown,
                "one- and two-family dwellings: a readily reached way outdoors to make the storage stop supplying",
                "add an initiation device outdoors",
            ));
        }
        let spacing = self.distance(
            self.head(
                "storage-spacing",
                "distance about the storage",
                self.clause(Clause::StorageSpacing),
            ),
            given.spacing_m,
            SPACING_M,
            Missing::StorageSpacing,
            match code {
                Code::Nec(_) => ", unless the listing documents less",
                Code::Iec => ", unless its maker documents less",
            },
        );
        found.push(match code {
            Code::Nec(_) => spacing,
            // The IEC leaves the distance to the maker: that of NFPA 855 is good practice there.
            Code::Iec => spacing.advised(),
        });
        if let Code::Nec(_) = code {
            found.push(self.distance(
                self.head(
                    "working-space",
                    "working space before the storage",
                    self.clause(Clause::WorkingSpace),
                ),
                given.clear_depth_m,
                CLEAR_DEPTH_M,
                Missing::ClearDepth,
                &format!(
                    " of clear depth, as wide as the equipment and {} at least, {} high",
                    short_length(units, CLEAR_WIDTH_M),
                    length(units, CLEAR_HEIGHT_M, 2)
                ),
            ));
        }
    }

    fn distance(
        &self,
        head: Head,
        given_m: Option<f64>,
        least_m: f64,
        missing: Missing,
        unless: &str,
    ) -> Finding {
        let units = self.context.units;
        let asks = format!("at least {}{unless}", length(units, least_m, 2));
        match given_m {
            Some(given_m) => Finding::at_least(
                head,
                given_m,
                least_m,
                Unit::M,
                format!(
                    "{} {} {}",
                    length(units, given_m, 2),
                    against(given_m, least_m, false),
                    length(units, least_m, 2)
                ),
            )
            .remedy(asks),
            None => Finding::not_judged(head, &[missing], asks),
        }
    }
}

/// A rule that is met, broken or open as an answer says.
pub(super) fn known(
    head: Head,
    answer: Option<bool>,
    missing: Missing,
    asks: &str,
    remedy: &str,
) -> Finding {
    match answer {
        Some(holds) => Finding::fact(head, holds, asks.to_owned()).remedy(remedy),
        None => Finding::not_judged(head, &[missing], asks.to_owned()),
    }
}

/// All units at one place hold no more than the fire code grants there.
fn aggregate(context: &Context<'_>) -> Vec<Finding> {
    let units: Vec<_> = stored(context).collect();
    let Some(first) = units.first() else {
        return Vec::new();
    };
    if context.code == Code::Iec {
        return Vec::new();
    }
    let head = |unit: &Stored<'_>| {
        unit.head(
            "storage-energy",
            "energy of all storage at one place",
            unit.clause(Clause::StorageEnergy),
        )
    };
    let remedy = "spread the storage over several places, or follow the rules for larger systems";
    let judged = |units: &[Stored<'_>], room: StorageRoom, limit_wh: f64| {
        let total_wh: f64 = units.iter().map(|unit| unit.details.nominal_wh).sum();
        let formula = format!(
            "{} kWh nominal {} {} kWh in or on {}",
            figure(total_wh / 1000.0, 1),
            against(total_wh, limit_wh, true),
            figure(limit_wh / 1000.0, 0),
            room.words()
        );
        let generic = units
            .iter()
            .any(|unit| unit.details.nominal_origin.is_generic());
        units.first().map(|unit| {
            Finding::at_most(head(unit), total_wh, limit_wh, Unit::Wh, formula)
                .remedy(remedy)
                .assuming(generic, "nominal energy")
                .assuming(
                    units.iter().any(|unit| unit.room().is_none()),
                    "place of the battery",
                )
        })
    };
    if units.iter().all(|unit| unit.room().is_some()) {
        return StorageRoom::ALL
            .into_iter()
            .filter_map(|room| {
                let here: Vec<_> = units
                    .iter()
                    .copied()
                    .filter(|unit| unit.room() == Some(room))
                    .collect();
                judged(&here, room, room.most_wh()?)
            })
            .collect();
    }
    // Where the place is open, what is within the strictest limit is within all, and what is beyond the widest is beyond all.
    let (strict_wh, wide_wh) = (40_000.0, 80_000.0);
    let total_wh: f64 = units.iter().map(|unit| unit.details.nominal_wh).sum();
    if total_wh <= strict_wh {
        judged(&units, StorageRoom::UtilityRoom, strict_wh)
            .into_iter()
            .collect()
    } else if total_wh > wide_wh {
        judged(&units, StorageRoom::Outdoors, wide_wh)
            .into_iter()
            .collect()
    } else {
        vec![Finding::not_judged(
            head(first),
            &[Missing::BatteryPlace],
            format!(
                "{} kWh nominal: 40 kWh in utility rooms, 80 kWh in garages and outdoors",
                figure(total_wh / 1000.0, 1)
            ),
        )]
    }
}
