//! An island that is timed: PV inverters on droop against batteries that are full by noon, so that frequency works for hours.

use couplet_core::coupling::{
    Array, CouplingOption, DcOrder, IslandRunning, OptionCosts, PvInverter, Running, RunningRule,
    StorageUnit, TitleNotes,
};
use couplet_core::household::{
    AcSide, ArrayId, OptionId, PlaneId, PvInverterId, Service, StorageId, Supply,
};
use couplet_core::island::{IslandDrive, IslandLoad, IslandPlant};

const INVERTER_W: f64 = 2_000.0;

/// A plant with this many PV inverters and two storage units, and this many hours from midnight in steps of one second.
pub(crate) fn island(inverters: u32, hours: u32) -> Option<(IslandPlant, IslandDrive)> {
    let pv_w = f64::from(inverters) * INVERTER_W;
    let side = AcSide::BackedUp;
    let unit = |number: u32| {
        let id = StorageId(number);
        let mut unit =
            StorageUnit::generic(id, format!("Storage {number}"), side, 0.6 * pv_w, pv_w);
        unit.battery.initial_soc = 0.5;
        unit
    };
    let option = CouplingOption {
        id: OptionId(1),
        name: "Island".to_owned(),
        title: TitleNotes::default(),
        arrays: (1..=inverters)
            .map(|number| {
                let (id, name) = (ArrayId(number), format!("Roof {number}"));
                let inverter = PvInverterId(number);
                Array::generic(id, name, PlaneId(1), 1.2 * INVERTER_W, inverter)
            })
            .collect(),
        pv_inverters: (1..=inverters)
            .map(|number| {
                let (id, name) = (PvInverterId(number), format!("PV inverter {number}"));
                PvInverter::generic(id, name, side, 1.2 * INVERTER_W)
            })
            .collect(),
        storage: vec![unit(1), unit(2)],
        running: Running {
            rule: RunningRule::SelfConsumption,
            reserve_soc: 0.2,
            dc_order: DcOrder::LoadsBatteryGrid,
        },
        generator: None,
        island: IslandRunning::default(),
        costs: OptionCosts::default(),
    };
    let service = Service {
        supply: Supply::SplitPhase120V240V60Hz,
        utility: true,
        main_breaker_a: 200.0,
        busbar_a: 200.0,
        transfer_a: 200.0,
        export_limit_w: None,
    };
    let plant = IslandPlant::new(&service, &option, &[]).ok()?;
    let seconds = || 0..hours * 3_600;
    let share = |second: u32| {
        let hour = f64::from(second) / 3_600.0 % 24.0;
        let height = (core::f64::consts::PI * (hour - 6.0) / 12.0).sin().max(0.0);
        // A cloud for three minutes out of twenty.
        height * if second % 1_200 < 180 { 0.3 } else { 1.0 }
    };
    let sun_w: Vec<f64> = seconds().map(|second| INVERTER_W * share(second)).collect();
    let load_w = seconds().map(|second| {
        let kettle = if second % 5_400 < 150 { 2_000.0 } else { 0.0 };
        0.05 * pv_w + kettle
    });
    let steps = sun_w.len();
    let drive = IslandDrive {
        step_s: 1.0,
        inverter_ac_w: vec![sun_w; plant.inverters.len()],
        unit_dc_w: vec![vec![0.0; steps]; plant.units.len()],
        loads: vec![IslandLoad {
            name: "Base use".to_owned(),
            shed_order: None,
            power_w: load_w.collect(),
        }],
        starts: Vec::new(),
        air_c: vec![20.0; steps],
        grid_back_s: None,
    };
    Some((plant, drive))
}
