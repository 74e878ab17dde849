//! The study drawn: fewer points than steps, and no peak lost.

use serde::{Deserialize, Serialize};

/// Which part of the day is drawn, and how finely.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct TraceSpan {
    /// Start, s from midnight.
    pub from_s: f64,
    /// Length, s.
    pub length_s: f64,
    /// Time between two points, s.
    pub point_s: f64,
}

impl TraceSpan {
    /// The whole day in minutes.
    pub const DAY: Self = Self {
        from_s: 0.0,
        length_s: 86_400.0,
        point_s: 60.0,
    };
}

/// Curves of a study; powers are means over the time of a point, W, unless said otherwise.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct ExportTrace {
    /// Start of the first point, s from midnight.
    pub from_s: f64,
    /// Time between two points, s.
    pub point_s: f64,
    /// At the meter, positive when bought.
    pub meter_w: Vec<f64>,
    /// Greatest export within the time of a point.
    pub peak_export_w: Vec<f64>,
    /// All loads.
    pub load_w: Vec<f64>,
    /// AC power of all PV inverters.
    pub ac_pv_w: Vec<f64>,
    /// What they could give.
    pub ac_pv_offered_w: Vec<f64>,
    /// DC PV taken by storage units, at their DC buses.
    pub dc_pv_w: Vec<f64>,
    /// What it could be, at their DC buses.
    pub dc_pv_offered_w: Vec<f64>,
    /// AC power of all storage inverters, positive toward AC.
    pub storage_w: Vec<f64>,
    /// What an instant control would permit the commanded inverters, margin kept; their rating where nothing holds them back.
    pub permitted_w: Vec<f64>,
    /// State of charge of all batteries, 0 to 1.
    pub soc: Vec<f64>,
}

/// What one step adds to a trace.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct StepTrace {
    pub(super) meter_w: f64,
    pub(super) peak_export_w: f64,
    pub(super) load_w: f64,
    pub(super) ac_pv_w: f64,
    pub(super) ac_pv_offered_w: f64,
    pub(super) dc_pv_w: f64,
    pub(super) dc_pv_offered_w: f64,
    pub(super) storage_w: f64,
    pub(super) permitted_w: f64,
    pub(super) soc: f64,
}

/// More points than this are not drawn.
const MOST_POINTS: f64 = 100_000.0;

impl ExportTrace {
    pub(super) fn with_room(span: &TraceSpan, step_s: f64) -> Self {
        let point_s = span.point_s.max(step_s);
        let points = whole((span.length_s / point_s).ceil().min(MOST_POINTS));
        let room = || vec![0.0; points];
        Self {
            from_s: span.from_s,
            point_s,
            meter_w: room(),
            peak_export_w: room(),
            load_w: room(),
            ac_pv_w: room(),
            ac_pv_offered_w: room(),
            dc_pv_w: room(),
            dc_pv_offered_w: room(),
            storage_w: room(),
            permitted_w: room(),
            soc: room(),
        }
    }

    /// Adds a step; steps that begin outside the span are passed over.
    pub(super) fn add(&mut self, at_s: f64, step_s: f64, step: &StepTrace) {
        let place = (at_s - self.from_s) / self.point_s;
        if place < 0.0 {
            return;
        }
        let index = whole(place + 1e-9);
        let share = step_s / self.point_s;
        for (series, value) in [
            (&mut self.meter_w, step.meter_w),
            (&mut self.load_w, step.load_w),
            (&mut self.ac_pv_w, step.ac_pv_w),
            (&mut self.ac_pv_offered_w, step.ac_pv_offered_w),
            (&mut self.dc_pv_w, step.dc_pv_w),
            (&mut self.dc_pv_offered_w, step.dc_pv_offered_w),
            (&mut self.storage_w, step.storage_w),
            (&mut self.permitted_w, step.permitted_w),
            (&mut self.soc, step.soc),
        ] {
            if let Some(mean) = series.get_mut(index) {
                *mean += share * value;
            }
        }
        if let Some(peak_w) = self.peak_export_w.get_mut(index) {
            *peak_w = peak_w.max(step.peak_export_w);
        }
    }
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a place on the trace, at least 0; one beyond it is looked up and not found"
)]
fn whole(place: f64) -> usize {
    place.max(0.0) as usize
}
