//! What a year comes to.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::flows::Flows;
use super::ledger::Ledger;
use super::plant::Plant;
use super::ways::WaysAccount;
use crate::bill::Bill;
use crate::outage::OffGridFigures;

/// Figures of one option over a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Figures {
    /// Energy used by all loads, Wh; without a grid: by those that were served.
    pub load_wh: f64,
    /// Energy bought, Wh.
    pub import_wh: f64,
    /// Energy sold, Wh; unpermitted export is part of it.
    pub export_wh: f64,
    /// Energy sent out above the export limit, Wh.
    pub unpermitted_export_wh: f64,
    /// PV that could not be used: AC PV cut, dropped or (without a grid) idle, DC PV throttled, Wh.
    pub throttled_wh: f64,
    /// PV refused because a converter was at its rating, Wh.
    pub clipped_wh: f64,
    /// Highest power bought in any step, W.
    pub peak_import_w: f64,
    /// Highest power sold in any step, W.
    pub peak_export_w: f64,
    /// Highest power through the transfer switch in any step, either way, W.
    pub peak_transfer_w: f64,
    /// Share of the PV energy produced that loads used, directly or stored first, 0 to 1 (Luthander et al. 2015).
    pub self_consumption: Option<f64>,
    /// Share of the loads' energy that came from PV, directly or stored first, 0 to 1 (Luthander et al. 2015).
    pub self_sufficiency: Option<f64>,
    /// Energy out of the batteries over their usable energy.
    pub equivalent_full_cycles: Option<f64>,
    /// The bill; none where there is no utility, or for a run that is not of a whole year.
    pub bill: Option<Bill>,
    /// Its total, currency.
    pub bill_cur: Option<f64>,
    /// Ways the energy went, with the efficiency that came out.
    pub ways: Ways,
    /// What a year without a grid comes to; none: there is a utility.
    pub off_grid: Option<OffGridFigures>,
}

impl Figures {
    /// What flows and ledger of a run come to, without a bill.
    pub(super) fn of(plant: &Plant, flows: &Flows, ledger: &Ledger, ways: &WaysAccount) -> Self {
        let usable_wh: f64 = plant
            .units
            .iter()
            .map(|unit| unit.battery.usable_wh())
            .sum();
        let taken_wh = ledger.battery_discharge_wh + ledger.battery_discharge_loss_wh;
        let produced_wh = ledger.pv_inverter_ac_wh + ledger.dc_pv_taken_wh;
        let share = |part: f64, whole: f64| (whole > 0.0).then(|| part / whole);
        let peak = |series: &[f64], sign: f64| {
            series
                .iter()
                .fold(0.0_f64, |most, power| most.max(sign * power))
        };
        Self {
            load_wh: ledger.load_wh,
            import_wh: ledger.import_wh,
            export_wh: ledger.export_wh,
            unpermitted_export_wh: ledger.unpermitted_export_wh,
            throttled_wh: ledger.ac_pv_cut_wh + ledger.dc_pv_throttled_wh,
            clipped_wh: ledger.pv_inverter_clipped_wh + ledger.mppt_clipped_wh,
            peak_import_w: peak(&flows.meter_w, 1.0),
            peak_export_w: peak(&flows.meter_w, -1.0),
            peak_transfer_w: peak(&flows.transfer_w, 1.0).max(peak(&flows.transfer_w, -1.0)),
            self_consumption: share(ways.pv_to_loads_wh(), produced_wh),
            self_sufficiency: share(ways.pv_to_loads_wh(), ledger.load_wh),
            equivalent_full_cycles: share(taken_wh, usable_wh),
            bill: None,
            bill_cur: None,
            ways: ways.ways(),
            off_grid: None,
        }
    }
}

/// Efficiencies from array to load or meter as they came out, share of the array's energy; none: less than 1 Wh went that way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Ways {
    /// AC-joined PV used or sold as it is made.
    pub ac_pv_as_made: Way,
    /// AC-joined PV stored first.
    pub ac_pv_stored: Way,
    /// DC-joined PV used or sold as it is made.
    pub dc_pv_as_made: Way,
    /// DC-joined PV stored first.
    pub dc_pv_stored: Way,
    /// Grid energy stored first; without a grid: the generator's.
    pub grid_stored: Way,
}

/// One way from source to use.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Way {
    /// Energy at the source (array, or meter for the grid), Wh.
    pub source_wh: f64,
    /// Energy that reached loads or meter on AC, Wh.
    pub delivered_wh: f64,
    /// Delivered over source; none if less than 1 Wh went that way.
    pub efficiency: Option<f64>,
}
