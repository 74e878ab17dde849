//! How the storage of the open option is run while there is no grid.

use couplet_core::coupling::IslandRunning;
use couplet_core::household::AcSide;
use couplet_core::limits;
use leptos::prelude::*;

use super::arrays::option_mut;
use super::row::Row;
use super::{Details, Schedule};
use crate::desk::Desk;
use crate::words::Word;

/// The schedule of island running; nothing is shown where no storage stands on the backed-up side.
#[component]
pub(super) fn IslandSchedule(desk: Desk) -> impl IntoView {
    let islands = Memo::new(move |_| {
        let id = desk.option_id.get();
        let islands = desk.option.with(|option| {
            option.as_ref().is_some_and(|option| {
                option
                    .storage
                    .iter()
                    .any(|unit| unit.side == AcSide::BackedUp)
            })
        });
        islands.then_some(id)
    });
    let fields = move || {
        islands.get().map(|id| {
            let row: Row<IslandRunning> = Row::new(
                desk,
                format!("option-{}-island", id.0),
                "island running",
                move |household| household.option(id).map(|option| &option.island),
                move |household| option_mut(household, id).map(|option| &mut option.island),
            );
            view! {
                <Schedule desk name="island" title=Word::Island>
                    {row.quantity(&limits::ISLAND_SHED_SOC, |island| island.shed_soc, |island, value| island.shed_soc = value)}
                    {row.quantity(&limits::ISLAND_SHUT_DOWN_SOC, |island| island.shut_down_soc, |island, value| island.shut_down_soc = value)}
                    {row.quantity(&limits::ISLAND_RESTART_SOC, |island| island.restart_soc, |island, value| island.restart_soc = value)}
                    <Details clone:row desk title=Word::IslandFrequency>
                        {row.quantity(&limits::ISLAND_IDLE_OFFSET_HZ, |island| island.idle_offset_hz, |island, value| island.idle_offset_hz = value)}
                        {row.quantity(&limits::ISLAND_RISE_HZ, |island| island.rise_hz, |island, value| island.rise_hz = value)}
                    </Details>
                </Schedule>
            }
        })
    };
    fields.into_any()
}
