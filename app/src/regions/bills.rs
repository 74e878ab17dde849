//! The bills of all options side by side: month by month, and line by line over the year.

use couplet_core::bill::{Bill, Line, LineKind, Tariff};
use couplet_core::household::OptionId;
use couplet_core::money::{MinorUnit, Money};
use leptos::prelude::*;

use super::compare::Compared;
use super::fold::Fold;
use crate::desk::Desk;
use crate::format;
use crate::parts::focus;
use crate::words::Word;

/// The bills.
#[component]
pub(crate) fn Bills(
    desk: Desk,
    /// All options, "As it stands" first.
    #[prop(into)]
    options: Signal<Vec<Compared>>,
    /// The open option.
    #[prop(into)]
    open: Signal<OptionId>,
) -> impl IntoView {
    let is_open = RwSignal::new(false);
    let stale =
        Memo::new(move |_| options.with(|options| options.iter().any(|option| option.stale)));
    let tariff = Memo::new(move |_| desk.household.with(|household| household.tariff.clone()));
    // The month whose lines are shown; none: the whole year.
    let month = RwSignal::new(None);
    let table = move || {
        let (options, tariff) = (options.get(), tariff.get());
        tables(&options, &tariff, open, month)
    };
    view! {
        <Fold id="bills" title=Signal::derive(move || desk.word(Word::Bills).to_owned()) open=is_open stale>
            <p class="note">{move || desk.word(Word::BillsNote)}</p>
            {table}
        </Fold>
    }
    .into_any()
}

fn tables(
    options: &[Compared],
    tariff: &Tariff,
    open: Signal<OptionId>,
    month: RwSignal<Option<usize>>,
) -> AnyView {
    let unit = tariff.minor_unit();
    let bills: Vec<Option<&Bill>> = options
        .iter()
        .map(|option| {
            option
                .figures
                .as_deref()
                .and_then(|figures| figures.bill.as_ref())
        })
        .collect();
    if bills.iter().all(Option::is_none) {
        return view! { <p class="note">"No bill yet."</p> }.into_any();
    }
    let heads = |_: ()| {
        options
            .iter()
            .map(|option| {
                let id = option.id;
                view! { <th scope="col" data-open=move || (open.get() == id).then_some("true")>{option.name.clone()}</th> }
            })
            .collect_view()
    };
    let cells = |amounts: Vec<Option<Cell>>| {
        let to = amounts
            .first()
            .and_then(|cell| cell.as_ref().map(|cell| cell.amount));
        options
            .iter()
            .zip(amounts)
            .enumerate()
            .map(|(place, (option, cell))| {
                let id = option.id;
                let amount = cell.as_ref().map(|cell| cell.amount);
                let difference = match (amount, to) {
                    (Some(amount), Some(to)) if place > 0 => exact_difference(amount - to, unit),
                    _ => String::new(),
                };
                view! {
                    <td class="figure" data-open=move || (open.get() == id).then_some("true") data-state=option.stale.then_some("stale")>
                        <span class="compare-value">{amount.map_or_else(|| format::NONE.to_owned(), |amount| exact(amount, unit))}</span>
                        {cell.and_then(|cell| cell.quantity).map(|quantity| view! { <span class="bill-quantity">{quantity}</span> })}
                        <span class="difference">{difference}</span>
                    </td>
                }
            })
            .collect_view()
    };
    let row = |head: String, amounts: Vec<Option<Cell>>, sum: bool| {
        view! {
            <tr class:bill-sum=sum>
                <th scope="row">{head}</th>
                {cells(amounts)}
            </tr>
        }
    };
    let total = |bill: &&Bill| Cell::of(bill.total);
    let year = || row("Year".to_owned(), each(&bills, total), true);
    let of_month = |month: usize| -> Vec<Option<Cell>> {
        bills
            .iter()
            .map(|bill| bill.and_then(|bill| bill.month_total(month)).map(Cell::of))
            .collect()
    };
    let months = (0..12)
        .map(|month| row(format::month_short(month), of_month(month), false))
        .collect_view();
    let shown = month.get();
    let lines: Vec<Option<Vec<Line>>> = bills
        .iter()
        .map(|bill| bill.and_then(|bill| lines_of(bill, shown)))
        .collect();
    let sum = match shown {
        None => year(),
        Some(month) => row(format::month_short(month), of_month(month), true),
    };
    let by_line = kinds(&lines)
        .into_iter()
        .map(|kind| {
            row(
                line_words(kind, tariff),
                each(&lines, |lines| line_cell(lines, kind, shown.is_none())),
                false,
            )
        })
        .collect_view();
    view! {
        <div class="compare-frame" tabindex="0" role="region" aria-label="Bills by month">
            <table class="compare bill-table" id="bills-by-month">
                <caption>{format!("By month, {}", tariff.currency)}</caption>
                <thead>
                    <tr>
                        <td></td>
                        {heads(())}
                    </tr>
                </thead>
                <tbody>{months} {year()}</tbody>
            </table>
        </div>
        <div class="compare-frame" tabindex="0" role="region" aria-label="Bills by line">
            <table class="compare bill-table" id="bills-by-line">
                <caption>
                    <label for="bill-month">{format!("By line, {}", tariff.currency)}</label>
                    <select
                        id="bill-month"
                        on:change=move |event| {
                            month.set(event_target_value(&event).parse().ok());
                            // The table is drawn anew around it.
                            request_animation_frame(|| focus("bill-month"));
                        }
                    >
                        <option value="" selected=shown.is_none()>"the whole year"</option>
                        {(0..12)
                            .map(|place| {
                                view! {
                                    <option value=place.to_string() selected=shown == Some(place)>{format::month_short(place)}</option>
                                }
                            })
                            .collect_view()}
                    </select>
                </caption>
                <thead>
                    <tr>
                        <td></td>
                        {heads(())}
                    </tr>
                </thead>
                <tbody>{by_line} {sum}</tbody>
            </table>
        </div>
    }
    .into_any()
}

/// What stands in a cell.
struct Cell {
    amount: Money,
    quantity: Option<String>,
}

impl Cell {
    fn of(amount: Money) -> Self {
        Self {
            amount,
            quantity: None,
        }
    }
}

fn each<T>(items: &[Option<T>], cell: impl Fn(&T) -> Cell) -> Vec<Option<Cell>> {
    items.iter().map(|item| item.as_ref().map(&cell)).collect()
}

/// Every kind of line that any of the bills has, in the order of a bill.
fn kinds(bills: &[Option<Vec<Line>>]) -> Vec<LineKind> {
    let mut kinds: Vec<LineKind> = bills
        .iter()
        .flatten()
        .flatten()
        .map(|line| line.kind)
        .collect();
    kinds.sort_unstable();
    kinds.dedup();
    kinds
}

/// The lines of a month of the calendar, or of the whole year.
fn lines_of(bill: &Bill, month: Option<usize>) -> Option<Vec<Line>> {
    let Some(month) = month else {
        return Some(bill.year_lines());
    };
    let found = bill.months.iter().find(|bill| bill.month == month)?;
    let mut lines = found.lines.clone();
    lines.sort_by_key(|line| line.kind);
    Some(lines)
}

/// A bill without the line has nothing there. Of a year the highest power of all months stands.
fn line_cell(lines: &[Line], kind: LineKind, of_year: bool) -> Cell {
    let found = lines.iter().find(|line| line.kind == kind);
    let quantity = found.and_then(|line| match kind {
        LineKind::Energy { .. } | LineKind::Export(_) | LineKind::CashOut(_) => {
            Some(format::energy(line.quantity).text())
        }
        LineKind::Demand(_) if of_year => {
            Some(format!("at most {}", format::power(line.quantity).text()))
        }
        LineKind::Demand(_) => Some(format::power(line.quantity).text()),
        _ => None,
    });
    Cell {
        amount: found.map_or(Money::ZERO, |line| line.amount),
        quantity,
    }
}

/// Every line of the bills of a year with its amount on each of them, and their totals.
pub(crate) fn lines_in_words(bills: &[&Bill], tariff: &Tariff) -> Vec<(String, Vec<String>)> {
    let unit = tariff.minor_unit();
    let lines: Vec<Option<Vec<Line>>> = bills.iter().map(|bill| Some(bill.year_lines())).collect();
    let mut rows: Vec<(String, Vec<String>)> = kinds(&lines)
        .into_iter()
        .map(|kind| {
            let amounts = lines
                .iter()
                .flatten()
                .map(|lines| exact(line_cell(lines, kind, true).amount, unit))
                .collect();
            (line_words(kind, tariff), amounts)
        })
        .collect();
    let totals = bills.iter().map(|bill| exact(bill.total, unit)).collect();
    rows.push(("Year".to_owned(), totals));
    rows
}

/// What a line is for, with the names of the tariff.
fn line_words(kind: LineKind, tariff: &Tariff) -> String {
    let period = |place: usize| {
        tariff
            .periods
            .get(place)
            .map_or("", |period| period.name.as_str())
    };
    match kind {
        LineKind::Fixed => "Fixed charge".to_owned(),
        LineKind::Energy {
            period: place,
            tier,
        } => {
            let tiers = tariff
                .periods
                .get(place)
                .map_or(1, |period| period.tiers.len());
            if tiers > 1 {
                format!("Bought, {}, tier {}", period(place), tier + 1)
            } else {
                format!("Bought, {}", period(place))
            }
        }
        LineKind::Demand(place) => {
            let name = tariff
                .demand
                .get(place)
                .map_or("", |charge| charge.name.as_str());
            format!("Highest power of each month, {name}")
        }
        LineKind::Minimum => "Up to the minimum charge".to_owned(),
        LineKind::Export(place) => format!("Sold, {}", period(place)),
        LineKind::CashOut(place) => format!("Paid out, left over, {}", period(place)),
        LineKind::CreditUsed => "Credit of earlier months".to_owned(),
        LineKind::CreditKept => "Credit kept for later".to_owned(),
        LineKind::CreditLost => "Credit lost".to_owned(),
        LineKind::Tax => "Tax".to_owned(),
    }
}

/// An amount with all decimals of its currency.
fn exact(amount: Money, unit: MinorUnit) -> String {
    format::number(unit.cur(amount), unit.decimals)
}

fn exact_difference(amount: Money, unit: MinorUnit) -> String {
    format::difference(unit.cur(amount), unit.decimals)
}

#[cfg(test)]
mod tests {
    use super::*;
    use couplet_core::document::demo;

    #[test]
    fn a_line_has_the_names_of_the_tariff() {
        let tariff = demo().tariff;
        let energy = LineKind::Energy { period: 1, tier: 0 };
        assert_eq!(line_words(energy, &tariff), "Bought, Night");
        assert_eq!(
            line_words(LineKind::Export(2), &tariff),
            "Sold, Other hours"
        );
    }

    #[test]
    fn a_bill_without_a_line_has_nothing_there() {
        let line = |kind, minor| Line {
            kind,
            quantity: 1000.0,
            amount: Money::from_minor(minor),
        };
        let bills = [
            Some(vec![line(LineKind::Fixed, 900), line(LineKind::Tax, 60)]),
            None,
            Some(vec![
                line(LineKind::Fixed, 900),
                line(LineKind::Export(0), -200),
            ]),
        ];
        assert_eq!(
            kinds(&bills),
            [LineKind::Fixed, LineKind::Export(0), LineKind::Tax]
        );
        let cell = line_cell(bills[0].as_ref().unwrap(), LineKind::Export(0), true);
        assert_eq!((cell.amount, cell.quantity), (Money::ZERO, None));
    }
}
