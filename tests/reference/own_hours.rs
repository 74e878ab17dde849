//! A day of own hours, worked by hand: hourly steps, a battery and converters without losses.
//!
//! A battery of 10 kWh that begins with 2 kWh, 5 kW either way; loads of 1 kW at all hours, AC PV of 4 kW from 10:00 to 14:00.
//! The hours: 2:00 to 4:00 charge from the grid to 60 %, 6:00 to 10:00 hold, 12:00 to 13:00 give (before the next one, so it counts),
//! 12:00 to 14:00 hold, 17:00 to 19:00 sell. At all other hours the meter reads zero where the battery can make it so.

use couplet_core::battery::BatteryLaw;
use couplet_core::bill::{Clock, DayKind, Window};
use couplet_core::converter::LossLaw;
use couplet_core::coupling::{
    Battery, BatteryAgeing, BatteryCosts, BatteryPlace, DcOrder, OwnHours, PowerLimiting,
    RunningRule, WindowAim,
};
use couplet_core::household::{AcSide, PvInverterId, StorageId};
use couplet_core::running::{Limits, PriceRank};
use couplet_core::sky::TimeGrid;
use couplet_core::year::{Drive, Plant, PlantInverter, PlantUnit, run_plant};
use couplet_tests::assert_near;

/// At the meter, kW, positive when bought. The sell hours end with what is left: 2 kWh give 1 kW to the load and 1 kW out.
const METER_KW: [f64; 24] = [
    0.0, 0.0, 6.0, 2.0, 0.0, 0.0, 1.0, 1.0, 1.0, 1.0, 0.0, 0.0, -3.0, -3.0, 0.0, 0.0, 0.0, -4.0,
    -1.0, 1.0, 1.0, 1.0, 1.0, 1.0,
];
/// In the battery at the end of each hour, kWh.
const STORED_KWH: [f64; 24] = [
    1.0, 0.0, 5.0, 6.0, 5.0, 4.0, 4.0, 4.0, 4.0, 4.0, 7.0, 10.0, 10.0, 10.0, 9.0, 8.0, 7.0, 2.0,
    0.0, 0.0, 0.0, 0.0, 0.0, 0.0,
];

fn lossless(rated_w: f64) -> LossLaw {
    LossLaw {
        no_load_w: 0.0,
        linear: 0.0,
        quadratic: 0.0,
        rated_w,
    }
}

fn own(from_h: f64, to_h: f64, aim: WindowAim) -> OwnHours {
    OwnHours {
        window: Window {
            months: [true; 12],
            days: DayKind::All,
            from_h,
            to_h,
        },
        aim,
    }
}

#[test]
fn a_day_of_own_hours_runs_as_worked_by_hand() {
    let battery = Battery {
        usable_wh: 10_000.0,
        charge_w: 5_000.0,
        discharge_w: 5_000.0,
        charge_efficiency: 1.0,
        discharge_efficiency: 1.0,
        taper_from_soc: 1.0,
        self_discharge_per_month: 0.0,
        least_charge_c: 0.0,
        overload_s: 10.0,
        place: BatteryPlace::Outdoors,
        initial_soc: 0.2,
        ageing: BatteryAgeing::default(),
        costs: BatteryCosts::default(),
    };
    let plant = Plant {
        inverters: vec![PlantInverter {
            id: PvInverterId(1),
            law: lossless(5_000.0),
            limiting: PowerLimiting::None,
            side: AcSide::GridSide,
        }],
        units: vec![PlantUnit {
            id: StorageId(1),
            law: lossless(5_000.0),
            side: AcSide::GridSide,
            mppt_efficiency: 1.0,
            mppt_rated_w: 0.0,
            battery: BatteryLaw::new(&battery, 3_600.0),
            place: battery.place,
            initial_wh: 2_000.0,
            reserve_wh: 0.0,
        }],
        limits: Limits {
            export_w: f64::INFINITY,
            import_w: f64::INFINITY,
            transfer_w: f64::INFINITY,
            dc_order: DcOrder::LoadsBatteryGrid,
        },
        rule: RunningRule::OwnHours {
            windows: vec![
                own(2.0, 4.0, WindowAim::Charge { to_soc: 0.6 }),
                own(6.0, 10.0, WindowAim::Hold),
                own(12.0, 13.0, WindowAim::Give),
                own(12.0, 14.0, WindowAim::Hold),
                own(17.0, 19.0, WindowAim::Sell),
            ],
        },
    };
    let pv_w: Vec<f64> = (0..24)
        .map(|hour| {
            if (10..14).contains(&hour) {
                4_000.0
            } else {
                0.0
            }
        })
        .collect();
    let drive = Drive {
        step_s: 3_600.0,
        inverter_dc_w: &[pv_w],
        unit_dc_w: &[vec![0.0; 24]],
        load_grid_side_w: &[1_000.0; 24],
        load_backed_up_w: &[0.0; 24],
        rank: &[PriceRank::Flat; 24],
        time: &Clock::standard().times(&TimeGrid::days(10, 1, 3_600, 0)),
        air_c: &[15.0; 24],
    };
    let (flows, ledger, _) = run_plant(&plant, &drive);
    for hour in 0..24 {
        let what = format!("{hour}:00");
        assert_near(flows.meter_w[hour], 1000.0 * METER_KW[hour], 1e-6, &what);
        let stored_wh = flows.units[0].stored_wh[hour];
        assert_near(stored_wh, 1000.0 * STORED_KWH[hour], 1e-6, &what);
    }
    // 8 kWh from the grid before 4:00 of which 2 kWh are the loads'; 11 kWh sent out.
    assert_near(ledger.import_wh, 17_000.0, 1e-6, "bought");
    assert_near(ledger.export_wh, 11_000.0, 1e-6, "sold");
}
