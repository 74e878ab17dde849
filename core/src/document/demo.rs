//! The built-in demonstration: an invented household with four options.

use crate::array::Mounting;
use crate::bill::{DayKind, Export, ExportPrice, Period, Surplus, Tariff, TaxOn, TiersBy, Window};
use crate::coupling::{
    Array, CouplingOption, DcOrder, GridCode, IslandRunning, OptionCosts, PowerLimiting,
    PvInverter, Running, RunningRule, StorageUnit, TitleNotes,
};
use crate::household::{
    AcSide, ArrayId, BaseUse, ClimateSource, Device, DeviceId, DeviceKind, Finance, Household,
    HouseholdElectrical, LoadProfile, Loads, OptionId, PlaneId, PvInverterId, RoofPlane, Service,
    Site, Start, StorageId, Supply,
};
use crate::sky::{Horizon, SkyModel};

const SOUTH_ROOF: PlaneId = PlaneId(1);
const WEST_ROOF: PlaneId = PlaneId(2);
const GARAGE_ROOF: PlaneId = PlaneId(3);
const UNIT: StorageId = StorageId(1);

/// An invented household: a place that no map shows, and figures of nobody. PV stands on one roof plane and feeds the main
/// panel; arrays on two more planes and a storage unit are to come. The last three options have the same arrays and the
/// same storage unit, so that only their joins differ.
#[must_use]
pub fn demo() -> Household {
    Household {
        name: "The house at Alder Ford".to_owned(),
        invented: true,
        site: Site {
            place: "Alder Ford (invented)".to_owned(),
            latitude_deg: 39.9,
            longitude_deg: -82.4,
            elevation_m: 290.0,
            utc_offset_h: -5.0,
            time_zone: "America/New_York".to_owned(),
            climate: ClimateSource::Grid,
            seed: 1,
            sky_model: SkyModel::Perez,
            ground_albedo: 0.2,
            soiling_share: [0.02; 12],
            record_low_c: Some(-29.0),
        },
        service: Service {
            supply: Supply::SplitPhase120V240V60Hz,
            utility: true,
            main_breaker_a: 150.0,
            busbar_a: 200.0,
            transfer_a: 100.0,
            export_limit_w: Some(3_000.0),
        },
        planes: vec![
            plane(SOUTH_ROOF, "South roof", 30.0, 172.0),
            plane(WEST_ROOF, "West roof", 30.0, 262.0),
            plane(GARAGE_ROOF, "Garage roof", 12.0, 172.0),
        ],
        loads: loads(),
        tariff: tariff(),
        electrical: HouseholdElectrical::default(),
        finance: Finance::default(),
        options: vec![
            option(1, "As it stands", vec![standing_array()], Vec::new()),
            option(2, "All on AC", all_arrays(), vec![storage_unit()]),
            option(
                3,
                "Mixed joins",
                joined_on_dc(&[ArrayId(2)]),
                vec![storage_unit()],
            ),
            option(
                4,
                "All on DC",
                joined_on_dc(&[ArrayId(1), ArrayId(2), ArrayId(3)]),
                vec![storage_unit()],
            ),
        ],
    }
}

fn plane(id: PlaneId, name: &str, tilt_deg: f64, azimuth_deg: f64) -> RoofPlane {
    RoofPlane {
        id,
        name: name.to_owned(),
        tilt_deg,
        azimuth_deg,
        mounting: Mounting::RoofStandOff,
        horizon: Horizon::default(),
        shade: None,
    }
}

fn loads() -> Loads {
    Loads {
        base: BaseUse::Yearly {
            energy_wh: 6_400_000.0,
            profile: LoadProfile::BdewH25,
        },
        backed_up_share: 0.6,
        base_start: Some(Start {
            power_w: 1_200.0,
            duration_s: 0.5,
        }),
        devices: vec![
            Device {
                id: DeviceId(1),
                name: "Heat pump".to_owned(),
                backed_up: true,
                is_added: false,
                shed_order: Some(1),
                start: Some(Start {
                    power_w: 3_000.0,
                    duration_s: 0.6,
                }),
                kind: DeviceKind::HeatPump {
                    heat_loss_w_per_k: 150.0,
                    heating_limit_c: 15.0,
                    cop_at_7c: 3.6,
                    power_w: 3_500.0,
                },
            },
            Device {
                id: DeviceId(2),
                name: "Car".to_owned(),
                backed_up: false,
                is_added: false,
                shed_order: None,
                start: None,
                kind: DeviceKind::Car {
                    energy_wh_per_day: 7_500.0,
                    power_w: 5_700.0,
                    from_h: 22.0,
                    to_h: 6.0,
                    weekends: false,
                },
            },
        ],
    }
}

fn tariff() -> Tariff {
    let window = |days, from_h, to_h| Window {
        months: [true; 12],
        days,
        from_h,
        to_h,
    };
    let period = |name, windows, buy_cur_per_kwh, sell_cur_per_kwh| Period {
        sell_cur_per_kwh,
        ..Period::at_one_price(name, windows, buy_cur_per_kwh)
    };
    Tariff {
        name: "Time of use".to_owned(),
        currency: "USD".to_owned(),
        clock_rule: None,
        holidays: Vec::new(),
        fixed_cur_per_month: 12.0,
        fixed_cur_per_day: 0.0,
        minimum_cur_per_month: 0.0,
        periods: vec![
            period(
                "Evening peak",
                vec![window(DayKind::Weekdays, 16.0, 21.0)],
                0.36,
                0.11,
            ),
            period("Night", vec![window(DayKind::All, 23.0, 6.0)], 0.10, 0.04),
            period("Other hours", Vec::new(), 0.17, 0.06),
        ],
        tiers_by: TiersBy::EachPeriod,
        demand: Vec::new(),
        export: Export::NetBilling {
            price: ExportPrice::ByPeriod,
            surplus: Surplus::Paid,
        },
        tax: 0.0,
        tax_on: TaxOn::ToPay,
    }
}

fn option(id: u32, name: &str, arrays: Vec<Array>, storage: Vec<StorageUnit>) -> CouplingOption {
    let pv_inverters = arrays.iter().map(pv_inverter).collect();
    CouplingOption {
        id: OptionId(id),
        name: name.to_owned(),
        title: TitleNotes::default(),
        arrays,
        pv_inverters,
        storage,
        running: Running {
            rule: RunningRule::TimeOfUse {
                discharge_in_middle_hours: true,
                grid_charge_to_soc: None,
                sell_from_battery: false,
            },
            reserve_soc: 0.2,
            dc_order: DcOrder::LoadsBatteryGrid,
        },
        generator: None,
        island: IslandRunning::default(),
        costs: OptionCosts::default(),
    }
}

/// The PV inverter that an array feeds when it is joined on AC.
fn pv_inverter(array: &Array) -> PvInverter {
    let side = if array.standing {
        AcSide::GridSide
    } else {
        AcSide::BackedUp
    };
    let name = format!("{} inverter", array.name);
    let generic = PvInverter::generic(array.pv_inverter, name, side, array.peak_w);
    if array.standing {
        PvInverter {
            standing: true,
            limiting: PowerLimiting::None,
            grid_code: GridCode::Ieee1547Of2003,
            ..generic
        }
    } else {
        generic
    }
}

fn array(id: u32, name: &str, plane: PlaneId, peak_w: f64) -> Array {
    Array::generic(
        ArrayId(id),
        name.to_owned(),
        plane,
        peak_w,
        PvInverterId(id),
    )
}

fn standing_array() -> Array {
    Array {
        standing: true,
        age_loss: 0.04,
        ..array(1, "South roof", SOUTH_ROOF, 4_800.0)
    }
}

fn all_arrays() -> Vec<Array> {
    vec![
        standing_array(),
        array(2, "West roof", WEST_ROOF, 3_600.0),
        array(3, "Garage roof", GARAGE_ROOF, 2_400.0),
    ]
}

fn joined_on_dc(ids: &[ArrayId]) -> Vec<Array> {
    let mut arrays = all_arrays();
    for array in &mut arrays {
        if ids.contains(&array.id) {
            array.dc_unit = Some(UNIT);
        }
    }
    arrays
}

/// Three MPPT inputs stand ready in every option, so that any array can be set on DC and back.
fn storage_unit() -> StorageUnit {
    let mut unit = StorageUnit::generic(
        UNIT,
        "Storage".to_owned(),
        AcSide::BackedUp,
        7_200.0,
        15_000.0,
    );
    if let Some(mppt) = &mut unit.mppt {
        mppt.inputs = 3;
    }
    unit
}
