//! A year and a day of several homes, computed independently after `values/energy_rule.md`.
//! Tolerance there: totals to 1e-9 relative, steps to 1e-6 W.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::BufReader;

use couplet_core::battery::BatteryLaw;
use couplet_core::bill::Clock;
use couplet_core::converter::LossLaw;
use couplet_core::coupling::{
    Battery, BatteryAgeing, BatteryCosts, BatteryPlace, DcOrder, PowerLimiting, RunningRule,
};
use couplet_core::household::{AcSide, PvInverterId, StorageId};
use couplet_core::running::{Limits, PriceRank};
use couplet_core::sky::TimeGrid;
use couplet_core::year::{Drive, Flows, Ledger, Plant, PlantInverter, PlantUnit, run_plant};
use couplet_tests::{Tolerance, assert_within, reference_path};
use serde::Deserialize;

#[derive(Deserialize)]
struct Cases {
    profiles: BTreeMap<String, Profile>,
    scenarios: Vec<Scenario>,
}

#[derive(Deserialize)]
struct Profile {
    step_h: f64,
    series: BTreeMap<String, Vec<f64>>,
}

#[derive(Deserialize)]
struct Scenario {
    parameters: Parameters,
    results: BTreeMap<String, Results>,
}

#[derive(Deserialize)]
struct Parameters {
    name: String,
    ac_arrays: Vec<String>,
    dc_arrays: Vec<String>,
    pv_inverter: Option<Converter>,
    storage_inverter: Converter,
    battery: Store,
    eta_mppt: f64,
    #[serde(rename = "export_limit_W")]
    export_limit_w: Option<f64>,
    ac_pv_commandable: bool,
}

#[derive(Deserialize)]
struct Converter {
    p0: f64,
    k1: f64,
    k2: f64,
    rating: f64,
}

#[derive(Deserialize)]
struct Store {
    #[serde(rename = "usable_Wh")]
    usable_wh: f64,
    #[serde(rename = "max_charge_W")]
    max_charge_w: f64,
    #[serde(rename = "max_discharge_W")]
    max_discharge_w: f64,
    eta_charge: f64,
    eta_discharge: f64,
    #[serde(rename = "initial_Wh")]
    initial_wh: f64,
}

#[derive(Deserialize)]
struct Results {
    totals: BTreeMap<String, f64>,
    #[serde(default)]
    steps: BTreeMap<String, Vec<f64>>,
}

impl Converter {
    fn law(&self) -> LossLaw {
        LossLaw {
            no_load_w: self.p0,
            linear: self.k1,
            quadratic: self.k2,
            rated_w: self.rating,
        }
    }
}

/// Sum of the named arrays' series.
fn arrays_w(profile: &Profile, names: &[String]) -> Vec<f64> {
    let mut sum_w = vec![0.0; profile.series["load_W"].len()];
    for name in names {
        for (sum, power) in sum_w
            .iter_mut()
            .zip(&profile.series[&format!("pv_{name}_array_W")])
        {
            *sum += power;
        }
    }
    sum_w
}

fn plant(parameters: &Parameters, step_s: f64) -> Plant {
    let store = &parameters.battery;
    let limiting = if parameters.ac_pv_commandable {
        PowerLimiting::Commanded {
            margin_w: 0.0,
            poll_s: 1.0,
            ramp_per_s: 1.0,
        }
    } else {
        PowerLimiting::None
    };
    let inverters = parameters
        .pv_inverter
        .iter()
        .filter(|_| !parameters.ac_arrays.is_empty());
    let battery = Battery {
        usable_wh: store.usable_wh,
        charge_w: store.max_charge_w,
        discharge_w: store.max_discharge_w,
        charge_efficiency: store.eta_charge,
        discharge_efficiency: store.eta_discharge,
        taper_from_soc: 1.0,
        self_discharge_per_month: 0.0,
        least_charge_c: 0.0,
        overload_s: 10.0,
        place: BatteryPlace::Indoors { room_c: 20.0 },
        initial_soc: 0.0,
        ageing: BatteryAgeing::default(),
        costs: BatteryCosts::default(),
    };
    Plant {
        inverters: inverters
            .map(|inverter| PlantInverter {
                id: PvInverterId(1),
                law: inverter.law(),
                limiting,
                side: AcSide::GridSide,
            })
            .collect(),
        units: vec![PlantUnit {
            id: StorageId(1),
            law: parameters.storage_inverter.law(),
            side: AcSide::GridSide,
            mppt_efficiency: parameters.eta_mppt,
            mppt_rated_w: f64::INFINITY,
            battery: BatteryLaw::new(&battery, step_s),
            place: battery.place,
            initial_wh: store.initial_wh,
            reserve_wh: 0.0,
        }],
        limits: Limits {
            export_w: parameters.export_limit_w.unwrap_or(f64::INFINITY),
            import_w: f64::INFINITY,
            transfer_w: f64::INFINITY,
            dc_order: DcOrder::LoadsBatteryGrid,
        },
        rule: RunningRule::SelfConsumption,
    }
}

/// One quantity of every step, by the name it has in the file; none: not a quantity of a step.
fn step_quantity(name: &str, index: usize, run: &Run) -> Option<f64> {
    let (flows, unit) = (&run.flows, &run.flows.units[0]);
    let inverter = |series: fn(&couplet_core::year::InverterFlows) -> &Vec<f64>| -> f64 {
        flows
            .inverters
            .iter()
            .map(|inverter| series(inverter)[index])
            .sum()
    };
    let law = run.plant.units[0].law;
    let battery_w = unit.battery_w[index];
    let unit_laws = &run.parameters.battery;
    Some(match name {
        "load_W" => run.load_w[index],
        "pv_ac_array_W" => run.ac_array_w[index],
        "pv_dc_array_W" => run.dc_array_w[index],
        "import_W" => flows.meter_w[index].max(0.0),
        "export_W" => (-flows.meter_w[index]).max(0.0),
        "pv_inverter_ac_W" => inverter(|one| &one.ac_w),
        "pv_inverter_loss_W" => {
            run.ac_array_w[index]
                - inverter(|one| &one.ac_w)
                - inverter(|one| &one.cut_w)
                - inverter(|one| &one.clipped_w)
        }
        "pv_inverter_clip_W" => inverter(|one| &one.clipped_w),
        "ac_pv_curtailed_W" => inverter(|one| &one.cut_w),
        "mppt_loss_W" => unit.dc_pv_w[index] * (1.0 / run.parameters.eta_mppt - 1.0),
        "dc_pv_throttled_W" => unit.throttled_w[index],
        "dc_pv_bus_used_W" => unit.dc_pv_w[index],
        "storage_ac_out_W" => unit.ac_w[index].max(0.0),
        "storage_ac_in_W" => (-unit.ac_w[index]).max(0.0),
        "storage_ac_power_W" => unit.ac_w[index],
        "storage_inverter_loss_W" => law.loss_w(unit.ac_w[index]),
        "battery_charge_W" => (-battery_w).max(0.0),
        "battery_discharge_W" => battery_w.max(0.0),
        "battery_charge_loss_W" => (-battery_w).max(0.0) * (1.0 - unit_laws.eta_charge),
        "battery_discharge_loss_W" => battery_w.max(0.0) * (1.0 / unit_laws.eta_discharge - 1.0),
        "unpermitted_export_W" => {
            let limit_w = run.parameters.export_limit_w.unwrap_or(f64::INFINITY);
            (-flows.meter_w[index] - limit_w).max(0.0)
        }
        "battery_energy_end_Wh" => unit.stored_wh[index],
        _ => return None,
    })
}

fn total(name: &str, run: &Run) -> Option<f64> {
    let (ledger, store) = (&run.ledger, &run.parameters.battery);
    let stored_wh = &run.flows.units[0].stored_wh;
    let peak = |sign: f64| {
        run.flows
            .meter_w
            .iter()
            .fold(0.0_f64, |most, power| most.max(sign * power))
    };
    // The independent program counts a store as full or empty within a millionth of its energy.
    let near_wh = 1e-6 * store.usable_wh;
    let count = |is: &dyn Fn(f64) -> bool| {
        u32::try_from(stored_wh.iter().filter(|energy| is(**energy)).count())
            .map(f64::from)
            .unwrap()
    };
    Some(match name {
        "load_Wh" => ledger.load_wh,
        "pv_ac_array_Wh" => ledger.ac_array_wh,
        "pv_dc_array_Wh" => ledger.dc_array_wh,
        "import_Wh" => ledger.import_wh,
        "export_Wh" => ledger.export_wh,
        "pv_inverter_ac_Wh" => ledger.pv_inverter_ac_wh,
        "pv_inverter_loss_Wh" => ledger.pv_inverter_loss_wh,
        "pv_inverter_clip_Wh" => ledger.pv_inverter_clipped_wh,
        "ac_pv_curtailed_Wh" => ledger.ac_pv_cut_wh,
        "mppt_loss_Wh" => ledger.mppt_loss_wh,
        "dc_pv_throttled_Wh" => ledger.dc_pv_throttled_wh,
        "dc_pv_bus_used_Wh" => ledger.dc_pv_taken_wh,
        "storage_ac_out_Wh" => ledger.storage_ac_out_wh,
        "storage_ac_in_Wh" => ledger.storage_ac_in_wh,
        "storage_inverter_loss_Wh" => ledger.storage_inverter_loss_wh,
        "battery_charge_Wh" => ledger.battery_charge_wh,
        "battery_discharge_Wh" => ledger.battery_discharge_wh,
        "battery_charge_loss_Wh" => ledger.battery_charge_loss_wh,
        "battery_discharge_loss_Wh" => ledger.battery_discharge_loss_wh,
        "unpermitted_export_Wh" => ledger.unpermitted_export_wh,
        "battery_initial_Wh" => store.initial_wh,
        "battery_final_Wh" => *stored_wh.last()?,
        "balance_error_relative" => ledger.error_wh() / ledger.in_wh(),
        "peak_import_W" => peak(1.0),
        "peak_export_W" => peak(-1.0),
        "self_sufficiency" => 1.0 - ledger.import_wh / ledger.load_wh,
        "equivalent_full_cycles" => {
            ledger.battery_discharge_wh / store.eta_discharge / store.usable_wh
        }
        "steps_battery_full" => count(&|energy| energy >= store.usable_wh - near_wh),
        "steps_battery_empty" => count(&|energy| energy <= near_wh),
        _ => return None,
    })
}

struct Run<'a> {
    parameters: &'a Parameters,
    plant: Plant,
    load_w: Vec<f64>,
    ac_array_w: Vec<f64>,
    dc_array_w: Vec<f64>,
    flows: Flows,
    ledger: Ledger,
}

fn run<'a>(parameters: &'a Parameters, profile: &Profile) -> Run<'a> {
    let step_s = profile.step_h * 3600.0;
    let plant = plant(parameters, step_s);
    let load_w = profile.series["load_W"].clone();
    let ac_array_w = arrays_w(profile, &parameters.ac_arrays);
    let dc_array_w = arrays_w(profile, &parameters.dc_arrays);
    let none = vec![0.0; load_w.len()];
    let inverter_dc_w: Vec<Vec<f64>> = plant.inverters.iter().map(|_| ac_array_w.clone()).collect();
    let unit_dc_w = [dc_array_w.clone()];
    // The rule of these homes goes by no clock.
    let at_midnight = Clock::standard().times(&TimeGrid::days(0, 1, 3600, 0))[0];
    let drive = Drive {
        step_s,
        inverter_dc_w: &inverter_dc_w,
        unit_dc_w: &unit_dc_w,
        load_grid_side_w: &load_w,
        load_backed_up_w: &none,
        rank: &vec![PriceRank::Flat; load_w.len()],
        time: &vec![at_midnight; load_w.len()],
        air_c: &vec![15.0; load_w.len()],
    };
    let (flows, ledger, _) = run_plant(&plant, &drive);
    Run {
        parameters,
        plant,
        load_w,
        ac_array_w,
        dc_array_w,
        flows,
        ledger,
    }
}

#[test]
fn totals_and_steps_of_every_home_agree() {
    let file = File::open(reference_path("energy_cases.json")).expect("energy_cases.json");
    let cases: Cases =
        serde_json::from_reader(BufReader::new(file)).expect("energy cases as described");
    assert!(!cases.scenarios.is_empty());
    for scenario in &cases.scenarios {
        for (profile_name, results) in &scenario.results {
            let run = run(&scenario.parameters, &cases.profiles[profile_name]);
            let home = format!("{} {profile_name}", scenario.parameters.name);
            assert!(
                run.ledger.worst_step_gap < 1e-9,
                "{home}: {:e}",
                run.ledger.worst_step_gap
            );
            for (name, expected) in &results.totals {
                let actual =
                    total(name, &run).unwrap_or_else(|| panic!("{home}: unknown total {name}"));
                assert_within(
                    actual,
                    *expected,
                    Tolerance::either(1e-9, 1e-6),
                    &format!("{home} {name}"),
                );
            }
            for (name, series) in &results.steps {
                for (index, expected) in series.iter().enumerate() {
                    let actual = step_quantity(name, index, &run)
                        .unwrap_or_else(|| panic!("{home}: unknown quantity {name}"));
                    assert_within(
                        actual,
                        *expected,
                        Tolerance::absolute(1e-6),
                        &format!("{home} {name}[{index}]"),
                    );
                }
            }
        }
    }
}
