//! What sources and uses are called, and a step of the day in words.

use couplet_core::household::DeviceId;
use couplet_core::year::{DayBalance, DayTrace, Source, Use};

use crate::format;

/// Name of a source.
pub(crate) fn source(source: Source) -> &'static str {
    match source {
        Source::AcPv => "AC-joined PV",
        Source::DcPv => "DC-joined PV",
        Source::Battery => "from battery",
        Source::Generator => "generator",
        Source::Grid => "bought",
        Source::AcPvThrottled => "AC PV throttled",
        Source::DcPvThrottled => "DC PV throttled",
    }
}

/// Name of a use; devices have the names that the household gave them.
pub(crate) fn used(party: Use, devices: &[(DeviceId, String)]) -> String {
    match party {
        Use::Base => "house".to_owned(),
        Use::Device(id) => devices
            .iter()
            .find(|(device, _)| *device == id)
            .map_or_else(|| format!("device {}", id.0), |(_, name)| name.clone()),
        Use::Battery => "into battery".to_owned(),
        Use::Sold => "sold".to_owned(),
        Use::Unpermitted => "over the limit".to_owned(),
        Use::Converted => "inverter loss".to_owned(),
        Use::Throttled => "throttled".to_owned(),
        Use::Unserved => "not served".to_owned(),
    }
}

/// A step in words: the time, what supplies, what uses, the state of charge. What would read as 0.0 kW is left out.
pub(crate) fn spoken(
    trace: &DayTrace,
    balance: &DayBalance,
    devices: &[(DeviceId, String)],
    step: usize,
    minute: u32,
) -> String {
    let shown = |name: &str, power_w: f64| {
        (power_w >= 50.0).then(|| format!("{name} {}\u{a0}kW", format::number(power_w / 1000.0, 1)))
    };
    let at = |power_w: &[f64]| power_w.get(step).copied().unwrap_or(0.0);
    let sources: Vec<String> = balance
        .sources
        .iter()
        .filter_map(|flow| shown(source(flow.party), at(&flow.power_w)))
        .collect();
    let uses: Vec<String> = balance
        .uses
        .iter()
        .filter_map(|flow| shown(&used(flow.party, devices), at(&flow.power_w)))
        .collect();
    let list = |names: Vec<String>| {
        if names.is_empty() {
            "nothing".to_owned()
        } else {
            names.join(", ")
        }
    };
    let mut spoken = format!(
        "{}: {}; used: {}",
        format::time(minute),
        list(sources),
        list(uses)
    );
    if at(&trace.dark_share) > 0.0 {
        spoken += "; dark";
    }
    if !trace.storage.is_empty() {
        spoken += &format!("; battery {}", format::percent(at(&trace.soc), 0).text());
    }
    spoken
}
