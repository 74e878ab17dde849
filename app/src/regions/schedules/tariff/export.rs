//! What becomes of energy sent out.

use couplet_core::bill::{CarryOver, Export, ExportPrice, Surplus, Tariff, read_hourly_prices};
use couplet_core::limits;
use leptos::prelude::*;
use leptos::task::spawn_local;

use super::MONTH_ITEMS;
use crate::keep::files;
use crate::parts::FileButton;
use crate::regions::schedules::row::Row;
use crate::words::Word;

/// Ways to settle what is sent out, without their numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
enum Kind {
    #[default]
    Nothing,
    NetMonthly,
    NetYearly,
    OnePrice,
    ByPeriod,
    Hourly,
    AllSold,
}

const KINDS: [(Kind, Word); 7] = [
    (Kind::Nothing, Word::ExportNothing),
    (Kind::OnePrice, Word::ExportOnePrice),
    (Kind::ByPeriod, Word::ExportByPeriod),
    (Kind::Hourly, Word::ExportHourly),
    (Kind::NetMonthly, Word::ExportNetMonthly),
    (Kind::NetYearly, Word::ExportNetYearly),
    (Kind::AllSold, Word::ExportAllSold),
];

const SURPLUS: [(Surplus, Word); 3] = [
    (Surplus::Paid, Word::SurplusPaid),
    (Surplus::CarriedThenPaid, Word::SurplusCarriedThenPaid),
    (Surplus::CarriedThenLost, Word::SurplusCarriedThenLost),
];

const HOURS_OF_A_YEAR: usize = 8_760;

impl Kind {
    fn of(export: &Export) -> Self {
        match export {
            Export::Nothing => Self::Nothing,
            Export::NetMetering { carry_over, .. } => match carry_over {
                CarryOver::Monthly => Self::NetMonthly,
                CarryOver::Yearly { .. } => Self::NetYearly,
            },
            Export::NetBilling { price, .. } => match price {
                ExportPrice::Flat { .. } => Self::OnePrice,
                ExportPrice::ByPeriod => Self::ByPeriod,
                ExportPrice::Hourly { .. } => Self::Hourly,
            },
            Export::AllSold { .. } => Self::AllSold,
        }
    }
}

/// The fields of what is sent out.
#[component]
pub(super) fn ExportFields(row: Row<Tariff>) -> impl IntoView {
    let kind = row.read(|tariff| Kind::of(&tariff.export));
    let fields = {
        let row = row.clone();
        move || {
            match kind.get() {
            Kind::Nothing => ().into_any(),
            Kind::NetMonthly => cash_out(&row),
            Kind::NetYearly => view! {
                {row.choice("first_month", "year begins with", &MONTH_ITEMS, first_month, set_first_month)}
                {cash_out(&row)}
            }
            .into_any(),
            Kind::OnePrice => view! {
                {row.quantity(&limits::EXPORT_FLAT_CUR_PER_KWH, one_price, set_one_price)}
                {surplus(&row)}
            }
            .into_any(),
            Kind::ByPeriod => surplus(&row),
            Kind::Hourly => view! {
                <HourlyFile row=row.clone() />
                {surplus(&row)}
            }
            .into_any(),
            Kind::AllSold => {
                row.quantity(&limits::EXPORT_ALL_SOLD_CUR_PER_KWH, one_price, set_one_price)
            }
        }
        }
    };
    view! {
        <div class="part">
            {row.choice_in_words("export", "sent out", &KINDS, |tariff| Kind::of(&tariff.export), set_kind)}
            {fields}
        </div>
    }
    .into_any()
}

fn cash_out(row: &Row<Tariff>) -> AnyView {
    row.quantity(
        &limits::EXPORT_CASH_OUT_CUR_PER_KWH,
        |tariff| match tariff.export {
            Export::NetMetering {
                cash_out_cur_per_kwh,
                ..
            } => cash_out_cur_per_kwh,
            _ => 0.0,
        },
        |tariff, value| {
            if let Export::NetMetering {
                cash_out_cur_per_kwh,
                ..
            } = &mut tariff.export
            {
                *cash_out_cur_per_kwh = value;
            }
        },
    )
}

fn surplus(row: &Row<Tariff>) -> AnyView {
    row.choice_in_words(
        "surplus",
        "credit left over",
        &SURPLUS,
        |tariff| match tariff.export {
            Export::NetBilling { surplus, .. } => surplus,
            _ => Surplus::Paid,
        },
        |tariff, chosen| {
            if let Export::NetBilling { surplus, .. } = &mut tariff.export {
                *surplus = chosen;
            }
        },
    )
}

fn first_month(tariff: &Tariff) -> usize {
    match tariff.export {
        Export::NetMetering {
            carry_over: CarryOver::Yearly { first_month },
            ..
        } => first_month,
        _ => 0,
    }
}

fn set_first_month(tariff: &mut Tariff, month: usize) {
    if let Export::NetMetering {
        carry_over: CarryOver::Yearly { first_month },
        ..
    } = &mut tariff.export
    {
        *first_month = month;
    }
}

/// The one price of what is sold, or what is nearest to it.
fn one_price(tariff: &Tariff) -> f64 {
    match &tariff.export {
        Export::AllSold { cur_per_kwh }
        | Export::NetBilling {
            price: ExportPrice::Flat { cur_per_kwh },
            ..
        } => *cur_per_kwh,
        Export::NetBilling {
            price: ExportPrice::ByPeriod,
            ..
        } => tariff
            .periods
            .last()
            .map_or(0.0, |period| period.sell_cur_per_kwh),
        Export::NetMetering {
            cash_out_cur_per_kwh,
            ..
        } => *cash_out_cur_per_kwh,
        _ => limits::EXPORT_FLAT_CUR_PER_KWH.default,
    }
}

fn set_one_price(tariff: &mut Tariff, value: f64) {
    if let Export::AllSold { cur_per_kwh }
    | Export::NetBilling {
        price: ExportPrice::Flat { cur_per_kwh },
        ..
    } = &mut tariff.export
    {
        *cur_per_kwh = value;
    }
}

/// Settles in another way; the price stays where it can.
fn set_kind(tariff: &mut Tariff, kind: Kind) {
    if Kind::of(&tariff.export) == kind {
        return;
    }
    let cur_per_kwh = one_price(tariff);
    let surplus = match tariff.export {
        Export::NetBilling { surplus, .. } => surplus,
        _ => Surplus::Paid,
    };
    let net_metering = |carry_over| Export::NetMetering {
        carry_over,
        cash_out_cur_per_kwh: cur_per_kwh,
    };
    let net_billing = |price| Export::NetBilling { price, surplus };
    tariff.export = match kind {
        Kind::Nothing => Export::Nothing,
        Kind::NetMonthly => net_metering(CarryOver::Monthly),
        Kind::NetYearly => net_metering(CarryOver::Yearly { first_month: 0 }),
        Kind::OnePrice => net_billing(ExportPrice::Flat { cur_per_kwh }),
        Kind::ByPeriod => {
            for period in &mut tariff.periods {
                period.sell_cur_per_kwh = cur_per_kwh;
            }
            net_billing(ExportPrice::ByPeriod)
        }
        Kind::Hourly => net_billing(ExportPrice::Hourly {
            cur_per_kwh: vec![cur_per_kwh; HOURS_OF_A_YEAR].into(),
        }),
        Kind::AllSold => Export::AllSold { cur_per_kwh },
    };
}

/// Takes a file with a price for each hour.
#[component]
fn HourlyFile(row: Row<Tariff>) -> impl IntoView {
    let message = RwSignal::new(String::new());
    let range = row.read(|tariff| match &tariff.export {
        Export::NetBilling {
            price: ExportPrice::Hourly { cur_per_kwh },
            ..
        } => {
            let least = cur_per_kwh.iter().copied().fold(f64::INFINITY, f64::min);
            let most = cur_per_kwh
                .iter()
                .copied()
                .fold(f64::NEG_INFINITY, f64::max);
            format!(
                "{} to {} {} per kWh",
                crate::format::price(least),
                crate::format::price(most),
                tariff.currency
            )
        }
        _ => String::new(),
    });
    let take = Callback::new(move |file: web_sys::File| {
        let row = row.clone();
        spawn_local(async move {
            let name = file.name();
            let read = match files::text_of(&file).await {
                Ok(text) => read_hourly_prices(&text).map_err(|error| error.to_string()),
                Err(reason) => Err(reason),
            };
            let said = match read {
                Ok(prices) => {
                    row.change(None, "hourly prices", |tariff| {
                        if let Export::NetBilling { price, .. } = &mut tariff.export {
                            *price = ExportPrice::Hourly {
                                cur_per_kwh: prices.into(),
                            };
                        }
                    });
                    format!("{name}: a price for each hour was taken.")
                }
                Err(reason) => format!("{name} was not taken: {reason}"),
            };
            let _ = message.try_set(said);
        });
    });
    view! {
        <p class="value-line">{range}</p>
        <FileButton id="tariff-hourly-file" accept=".csv,.txt,text/csv,text/plain" on_file=take>
            "Give a file of hourly prices\u{2026}"
        </FileButton>
        <div class="message" role="status">
            {message}
        </div>
        <p class="note">"8760 rows from 1 January in standard time, the price per kWh last in each row."</p>
    }
    .into_any()
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::check::problems;
    use couplet_core::document::demo;

    #[test]
    fn every_way_to_settle_passes_the_check_and_is_what_was_chosen() {
        let mut household = demo();
        for (kind, _) in KINDS {
            set_kind(&mut household.tariff, kind);
            assert_eq!(Kind::of(&household.tariff.export), kind);
            assert_eq!(problems(&household), Vec::new());
        }
    }

    #[test]
    fn the_price_stays_where_it_can() {
        let mut tariff = demo().tariff;
        set_kind(&mut tariff, Kind::OnePrice);
        assert_eq!(one_price(&tariff), 0.06);
        set_kind(&mut tariff, Kind::AllSold);
        assert_eq!(tariff.export, Export::AllSold { cur_per_kwh: 0.06 });
    }
}
