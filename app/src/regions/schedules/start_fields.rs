//! A start that takes more than running does: of the base use, and of a device.

use couplet_core::household::Start;
use couplet_core::limits;
use leptos::prelude::*;

use super::row::Row;
use crate::words::Word;

/// Whether something starts hard, and with what power for how long. `key` begins the ids of the fields.
pub(super) fn start_fields<T: Clone + PartialEq + Send + Sync + 'static>(
    row: &Row<T>,
    key: &'static str,
    get: fn(&T) -> &Option<Start>,
    get_mut: fn(&mut T) -> &mut Option<Start>,
) -> AnyView {
    let starts = row.read(move |part| get(part).is_some());
    let (numbers, ticked) = (row.clone(), row.clone());
    let desk = row.desk;
    let fields = move || {
        starts.get().then(|| {
            view! {
                {numbers.quantity_at(
                    &limits::START_POWER_W,
                    &format!("{key}-power_w"),
                    None,
                    move |part| get(part).map_or(limits::START_POWER_W.default, |start| start.power_w),
                    move |part, power_w| if let Some(start) = get_mut(part) { start.power_w = power_w },
                )}
                {numbers.quantity_at(
                    &limits::START_DURATION_S,
                    &format!("{key}-duration_s"),
                    None,
                    move |part| get(part).map_or(limits::START_DURATION_S.default, |start| start.duration_s),
                    move |part, duration_s| if let Some(start) = get_mut(part) { start.duration_s = duration_s },
                )}
            }
        })
    };
    view! {
        <crate::parts::Tick
            id=row.id(key)
            label=Signal::derive(move || desk.word(Word::HardStart).to_owned())
            value=starts
            on_change=Callback::new(move |starts: bool| {
                ticked.change(None, "start", |part| {
                    *get_mut(part) = starts.then_some(Start {
                        power_w: limits::START_POWER_W.default,
                        duration_s: limits::START_DURATION_S.default,
                    });
                });
            })
        />
        {fields}
    }
    .into_any()
}
