//! Tariff, bills and meter files on the page.

use couplet_core::bill::{CarryOver, Export, TariffKind};
use couplet_core::document;
use couplet_core::household::{BaseUse, Household, IntervalUse};
use couplet_tests::page::{Outcome, Visit, Visitor, visit};

use crate::editing::{fill, wait_for_figures};
use crate::keeping::give_file;

type Fallible<T> = Result<T, Box<dyn std::error::Error + Send + Sync>>;

/// Chooses an item of a menu by its text.
async fn choose(page: &Visitor, css: &str, text: &str) -> Outcome {
    page.find(css).await?;
    page.evaluate_with(
        "(() => {
           const menu = document.querySelector(given[0]);
           const item = [...menu.options].find((item) => item.text === given[1]);
           if (!item) throw new Error(`${given[1]} is not among ${[...menu.options].map((one) => one.text)}`);
           menu.value = item.value;
           menu.dispatchEvent(new Event('change', { bubbles: true }));
         })()",
        vec![css.into(), text.into()],
    )
    .await?;
    Ok(())
}

/// The household as it is kept in the browser, once this holds of it (in JavaScript).
async fn kept(page: &Visitor, holds: &str) -> Fallible<Household> {
    let text = "localStorage.getItem('couplet.household.' + JSON.parse(localStorage.getItem('couplet.index')).open)";
    page.wait_until(&format!(
        "(() => {{ const household = JSON.parse({text}).household; return {holds}; }})()"
    ))
    .await?;
    let text = page.evaluate(text).await?;
    Ok(document::read(text.as_str().ok_or("nothing is kept")?)?.household)
}

/// Opens the part of the schedule that takes a meter's file, and gives it one.
async fn give_meter_file(page: &Visitor, text: &str) -> Outcome {
    page.find("#meter-file").await?;
    page.evaluate("document.getElementById('meter-file').closest('details').open = true")
        .await?;
    give_file(page, "meter-file", "street.csv", text).await
}

/// Takes what was read, as soon as that can be done, and tells the use that is then kept.
async fn taken(page: &Visitor) -> Fallible<IntervalUse> {
    page.wait_until("document.querySelector('#meter-take')?.disabled === false")
        .await?;
    page.evaluate("document.querySelector('#meter-take').click()")
        .await?;
    let household = kept(page, "'intervals' in household.loads.base").await?;
    match household.loads.base {
        BaseUse::Intervals(used) => Ok(used),
        _ => Err("the use is not from the meter".into()),
    }
}

/// A table of 365 days of hours: 0.5 kWh each, and at noon 1 kWh sent out.
fn meter_table() -> String {
    let mut text = "time,import kWh,export kWh\n".to_owned();
    for day in 0..365_u32 {
        let month = couplet_core::sky::month_of_day(day);
        let date = day - couplet_core::sky::first_day_of_month(month) + 1;
        for hour in 0..24 {
            let sold = if hour == 12 { "1.0" } else { "0" };
            text.push_str(&format!(
                "2025-{:02}-{date:02} {hour:02}:00,0.5,{sold}\n",
                month + 1
            ));
        }
    }
    text
}

#[test]
fn a_tariff_is_filled_in_from_a_bill() {
    visit(Visit::default(), async |page| {
        wait_for_figures(page).await?;
        // One price first: the hours go, the strip has one price.
        choose(page, "#tariff-kind", "the same at all hours").await?;
        fill(page, "#tariff-period-0-tier-0-cur_per_kwh", "0.25").await?;
        page.wait_for_text("#tariff-strip", "0.25").await?;
        // Then tiers, with an end of the first.
        choose(page, "#tariff-kind", "by how much you use in a month").await?;
        fill(page, "#tariff-period-0-tier-1-cur_per_kwh", "0.4").await?;
        choose(
            page,
            "#tariff-export",
            "is taken off what you draw, over a year",
        )
        .await?;
        choose(page, "#tariff-first_month", "Apr").await?;
        choose(page, "#tariff-clock", "North America, Eastern (here)").await?;
        let household = kept(page, "household.tariff.clock_rule !== null").await?;
        let tariff = &household.tariff;
        assert_eq!(tariff.kind(), TariffKind::Tiers);
        let prices: Vec<f64> = tariff.periods[0]
            .tiers
            .iter()
            .map(|tier| tier.cur_per_kwh)
            .collect();
        assert_eq!(prices, [0.25, 0.4]);
        assert!(matches!(
            tariff.export,
            Export::NetMetering {
                carry_over: CarryOver::Yearly { first_month: 3 },
                ..
            }
        ));
        wait_for_figures(page).await?;
        page.screenshot("tariff").await
    });
}

#[test]
fn what_is_wrong_in_the_tariff_is_said_and_leads_to_its_field() {
    visit(Visit::default(), async |page| {
        wait_for_figures(page).await?;
        choose(page, "#tariff-kind", "by hours and by how much").await?;
        fill(page, "#tariff-period-0-tier-0-up_to_wh", "0").await?;
        page.press(thirtyfour::Key::Tab).await?;
        page.wait_for_text("body", "give more than 0 Wh").await
    });
}

/// The bill of the year in the region is that of side by side, and the difference is that of the two bills.
#[test]
fn bills_stand_beside_each_other_to_the_cent() {
    visit(Visit::default(), async |page| {
        wait_for_figures(page).await?;
        page.find("#bills summary").await?;
        page.evaluate("document.querySelector('#bills summary').click()")
            .await?;
        page.wait_for_text("#bills", "By month, USD").await?;
        let amounts = page
            .evaluate(
                "[...document.querySelectorAll('#bills-by-month .bill-sum .compare-value')].map((cell) => Number(cell.textContent.replace(/[^0-9.\u{2212}]/g, '').replace('\u{2212}', '-')))",
            )
            .await?;
        let months = page
            .evaluate(
                "[...document.querySelectorAll('#bills-by-month tbody tr:not(.bill-sum)')].map((row) => [...row.querySelectorAll('.compare-value')].map((cell) => Number(cell.textContent.replace(/[^0-9.\u{2212}]/g, '').replace('\u{2212}', '-'))))",
            )
            .await?;
        let number = |value: &serde_json::Value| value.as_f64().unwrap_or(f64::NAN);
        let amounts: Vec<f64> = amounts
            .as_array()
            .ok_or("a list")?
            .iter()
            .map(number)
            .collect();
        let months = months.as_array().ok_or("a list")?;
        assert_eq!((amounts.len(), months.len()), (4, 12));
        for (option, amount) in amounts.iter().enumerate() {
            let sum: f64 = months.iter().map(|month| number(&month[option])).sum();
            assert!(
                (sum - amount).abs() < 0.005,
                "option {option}: {sum} {amount}"
            );
        }
        // Side by side rounds larger amounts to whole units.
        let compared = page
            .evaluate(
                "[...document.querySelectorAll('.compare tr')].find((row) => row.querySelector('th')?.textContent.trim() === 'Bill').querySelectorAll('.compare-value')[0].textContent",
            )
            .await?;
        let compared: f64 = compared
            .as_str()
            .ok_or("a text")?
            .chars()
            .filter(char::is_ascii_digit)
            .collect::<String>()
            .parse()?;
        assert!(
            (compared - amounts[0]).abs() <= 0.5,
            "{compared} {}",
            amounts[0]
        );
        page.screenshot("bills").await
    });
}

#[test]
fn a_meter_file_is_looked_at_before_it_is_taken() {
    visit(Visit::default(), async |page| {
        wait_for_figures(page).await?;
        give_meter_file(page, &meter_table()).await?;
        page.wait_for_text("#meter-preview", "2025-01-01 00:00")
            .await?;
        for said in [
            "2025-12-31 23:00",
            "60 min",
            "bought and sent out",
            "kWh in the interval",
            "none",
        ] {
            page.wait_for_text("#meter-preview", said).await?;
        }
        // 744 hours of 0.5 kWh and 31 of 1 kWh in January.
        let january = page
            .evaluate("document.querySelector('.meter-months tbody tr').innerText.split(/\\s+/).join(' ').trim()")
            .await?;
        assert_eq!(january, "Jan 372 31");
        // Nothing has changed yet. A meter that sends out stands behind the sun, unless it is said that it does not.
        choose(page, "#meter-counts", "all that is used").await?;
        let used = taken(page).await?;
        assert_eq!((used.interval_s, used.power_w[0]), (3_600, 500.0));
        wait_for_figures(page).await
    });
}

/// Another clock shows at once: in July the wall clock is an hour ahead of standard time. A wrong row is told by its line.
#[test]
fn the_clock_of_a_meter_file_can_be_set_and_shows_at_once() {
    visit(Visit::default(), async |page| {
        wait_for_figures(page).await?;
        give_meter_file(page, &meter_table()).await?;
        page.wait_for_text("#meter-preview", "2025-01-01 00:00")
            .await?;
        choose(
            page,
            "#meter-clock",
            "the clock on the wall here, with summer time",
        )
        .await?;
        page.wait_for_text("#meter-beginnings", "2025-07-01 01:00\t2025-07-01 00:00")
            .await?;
        let broken = meter_table().replace("2025-01-02 03:00,0.5", "2025-01-02 03:00,much");
        give_meter_file(page, &broken).await?;
        page.wait_for_text("#meter-refused", "line 29: \"much\" is not a number")
            .await
    });
}

/// A charge on power may count at several times.
#[test]
fn a_demand_charge_has_as_many_times_as_the_bill_says() {
    visit(Visit::default(), async |page| {
        wait_for_figures(page).await?;
        page.find("#tariff-kind").await?;
        page.evaluate(
            "(() => { const add = [...document.querySelectorAll('button.add')].find((one) => one.textContent.includes('charge on the highest power')); add.closest('details').open = true; add.click(); })()",
        )
        .await?;
        page.find("#tariff-demand-0-some-hours").await?;
        page.evaluate("document.querySelector('#tariff-demand-0-some-hours').click()")
            .await?;
        page.find("#tariff-demand-0-window-0-from_h").await?;
        page.evaluate(
            "[...document.querySelector('#tariff-demand-0-name').closest('.part').querySelectorAll('button.add')].pop().click()",
        )
        .await?;
        page.find("#tariff-demand-0-window-1-from_h").await?;
        fill(page, "#tariff-demand-0-window-1-from_h", "6").await?;
        fill(page, "#tariff-demand-0-window-1-to_h", "9").await?;
        let household = kept(page, "household.tariff.demand[0]?.windows[1]?.to_h === 9").await?;
        let windows = &household.tariff.demand[0].windows;
        assert_eq!((windows.len(), windows[1].from_h), (2, 6.0));
        Ok(())
    });
}

/// Behind a net meter the sun's part is added: use = bought less sent out plus what the model makes, which at midnight is nothing.
#[test]
fn what_a_net_meter_hides_is_added_back() {
    visit(Visit::default(), async |page| {
        wait_for_figures(page).await?;
        give_meter_file(page, &meter_table()).await?;
        page.wait_for_text("#meter-preview", "Solar stands here already")
            .await?;
        page.wait_for_text("#meter-preview", "in the model; the use behind the meter")
            .await?;
        let used = taken(page).await?;
        assert_eq!(used.power_w[0], 500.0);
        let hours = 3_600.0 / f64::from(used.interval_s);
        let used_wh: f64 = used.power_w.iter().sum::<f64>() / hours;
        // 4,380 kWh bought, 365 kWh sent out, and what 4.8 kW make in a year.
        assert!(used_wh > 4_380_000.0 - 365_000.0 + 3_000_000.0, "{used_wh}");
        Ok(())
    });
}

/// What the panels made may come from a file: 2 kW at noon, of which 1 kWh was sent out.
#[test]
fn what_the_panels_made_is_added_from_a_file() {
    visit(Visit::default(), async |page| {
        wait_for_figures(page).await?;
        give_meter_file(page, &meter_table()).await?;
        choose(
            page,
            "#meter-counts",
            "what the sun leaves: a file tells what the panels made",
        )
        .await?;
        page.wait_until("document.querySelector('#meter-take').disabled")
            .await?;
        let made: String = meter_table()
            .lines()
            .skip(1)
            .map(|line| {
                let stamp = line.split(',').next().unwrap_or_default();
                let kwh = if stamp.ends_with("12:00") { 2.0 } else { 0.0 };
                format!("{stamp},{kwh}\n")
            })
            .collect();
        give_file(
            page,
            "pv-file",
            "made.csv",
            &format!("time,made kWh\n{made}"),
        )
        .await?;
        page.wait_for_text("#meter-preview", "The sun made 730")
            .await?;
        let used = taken(page).await?;
        // 0.5 kWh bought, 1 kWh sent out, 2 kWh made.
        assert_eq!((used.power_w[0], used.power_w[12]), (500.0, 1_500.0));
        Ok(())
    });
}

#[test]
fn a_bad_meter_file_is_refused_with_its_line() {
    visit(Visit::default(), async |page| {
        wait_for_figures(page).await?;
        let broken = meter_table().replacen("2025-01-02 03:00,0.5", "2025-01-02 03:00,much", 1);
        give_meter_file(page, &broken).await?;
        page.wait_for_text("#schedules", "street.csv was not taken")
            .await?;
        page.wait_for_text("#schedules", "line 29: \"much\" is not a number")
            .await
    });
}
