//! What uses power: the use that bill or meter tell, the share that is backed up, and devices on top.

use couplet_core::household::{BaseUse, LoadProfile, Loads};
use couplet_core::limits;
use leptos::prelude::*;

use super::devices::Devices;
use super::interval_file::IntervalFile;
use super::row::Row;
use super::start_fields::start_fields;
use super::{Details, MONTHS, Schedule};
use crate::desk::Desk;
use crate::inquiry::Inquiry;
use crate::words::Word;

/// How the base use is told, without its numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum BaseKind {
    #[default]
    Yearly,
    Monthly,
    Intervals,
}

impl BaseKind {
    fn of(base: &BaseUse) -> Self {
        match base {
            BaseUse::Yearly { .. } => Self::Yearly,
            BaseUse::Monthly { .. } => Self::Monthly,
            BaseUse::Intervals(_) => Self::Intervals,
        }
    }
}

/// The schedule of loads.
#[component]
pub(super) fn LoadSchedule(desk: Desk, inquiry: Inquiry) -> impl IntoView {
    let row: Row<Loads> = Row::new(
        desk,
        "loads",
        "loads",
        |household| Some(&household.loads),
        |household| Some(&mut household.loads),
    );
    let kind = row.read(|loads| BaseKind::of(&loads.base));
    let base = {
        let row = row.clone();
        move || {
            match kind.get() {
            BaseKind::Yearly => view! {
                {row.quantity_at(
                    &limits::BASE_YEARLY_WH,
                    "energy_wh",
                    None,
                    |loads| match loads.base {
                        BaseUse::Yearly { energy_wh, .. } => energy_wh,
                        _ => 0.0,
                    },
                    |loads, value| if let BaseUse::Yearly { energy_wh, .. } = &mut loads.base { *energy_wh = value },
                )}
                {profile(&row)}
            }
            .into_any(),
            BaseKind::Monthly => view! {
                <fieldset class="twelve">
                    <legend>"use of each month"</legend>
                    {MONTHS
                        .into_iter()
                        .enumerate()
                        .map(|(month, name)| {
                            row.quantity_at(
                                &limits::BASE_MONTHLY_WH,
                                &format!("energy_wh-{month}"),
                                Some(name.to_owned()),
                                move |loads| match &loads.base {
                                    BaseUse::Monthly { energy_wh, .. } => energy_wh.get(month).copied().unwrap_or_default(),
                                    _ => 0.0,
                                },
                                move |loads, value| if let BaseUse::Monthly { energy_wh, .. } = &mut loads.base
                                    && let Some(energy_wh) = energy_wh.get_mut(month)
                                {
                                    *energy_wh = value;
                                },
                            )
                        })
                        .collect_view()}
                </fieldset>
                {profile(&row)}
            }
            .into_any(),
            BaseKind::Intervals => {
                let source = row.read(|loads| match &loads.base {
                    BaseUse::Intervals(metered) => format!("{}, every {} min", metered.source, metered.interval_s / 60),
                    _ => String::new(),
                });
                view! { <p class="value-line">{move || source.get()}</p> }.into_any()
            }
        }
        }
    };
    view! {
        <Schedule clone:row desk name="loads" title=Word::Loads>
            {row.choice(
                "base",
                "use is known",
                &[(BaseKind::Yearly, "for a year"), (BaseKind::Monthly, "for each month"), (BaseKind::Intervals, "from a meter file")],
                |loads| BaseKind::of(&loads.base),
                set_kind,
            )}
            {base}
            {row.quantity(&limits::LOADS_BACKED_UP_SHARE, |loads| loads.backed_up_share, |loads, value| loads.backed_up_share = value)}
            {start_fields(&row, "base_start", |loads| &loads.base_start, |loads| &mut loads.base_start)}
            <Details clone:row desk title=Word::MeterFile>
                <IntervalFile row=row.clone() inquiry />
            </Details>
            <Devices desk />
        </Schedule>
    }
    .into_any()
}

fn profile(row: &Row<Loads>) -> AnyView {
    row.choice(
        "profile",
        "shape of the day",
        &[
            (LoadProfile::BdewH25, "household (BDEW H25)"),
            (LoadProfile::BdewH0, "household (BDEW H0)"),
            (LoadProfile::Steady, "the same all day"),
        ],
        |loads| match loads.base {
            BaseUse::Yearly { profile, .. } | BaseUse::Monthly { profile, .. } => profile,
            BaseUse::Intervals(_) => LoadProfile::BdewH25,
        },
        |loads, chosen| match &mut loads.base {
            BaseUse::Yearly { profile, .. } | BaseUse::Monthly { profile, .. } => *profile = chosen,
            BaseUse::Intervals(_) => {}
        },
    )
}

/// Tells the same energy in another way. A meter file cannot be made up: that is chosen by giving one.
fn set_kind(loads: &mut Loads, kind: BaseKind) {
    let months: [f64; 12] = match &loads.base {
        BaseUse::Yearly { energy_wh, .. } => [energy_wh / 12.0; 12],
        BaseUse::Monthly { energy_wh, .. } => *energy_wh,
        BaseUse::Intervals(metered) => {
            [metered.power_w.iter().sum::<f64>() * f64::from(metered.interval_s) / 3600.0 / 12.0;
                12]
        }
    };
    let profile = match loads.base {
        BaseUse::Yearly { profile, .. } | BaseUse::Monthly { profile, .. } => profile,
        BaseUse::Intervals(_) => LoadProfile::BdewH25,
    };
    match kind {
        BaseKind::Yearly => {
            loads.base = BaseUse::Yearly {
                energy_wh: months.iter().sum(),
                profile,
            }
        }
        BaseKind::Monthly => {
            loads.base = BaseUse::Monthly {
                energy_wh: months,
                profile,
            }
        }
        BaseKind::Intervals => {}
    }
}
