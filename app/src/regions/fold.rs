//! A region that is computed only while it is open, and the tables that such regions show.

use leptos::prelude::*;

use crate::parts::not_yet;

/// A heading that opens a region; `open` follows it.
#[component]
pub(crate) fn Fold(
    /// Names the region in the page.
    id: &'static str,
    /// Its heading.
    #[prop(into)]
    title: Signal<String>,
    /// Whether it is open.
    open: RwSignal<bool>,
    /// Whether what it shows is being computed.
    #[prop(into)]
    stale: Signal<bool>,
    /// What is shown while it is open.
    children: ChildrenFn,
) -> impl IntoView {
    let not_yet = not_yet();
    let busy = move || (open.get() && stale.get()).to_string();
    view! {
        <details
            id=id
            class="fold"
            prop:open=open
            aria-busy=busy
            on:toggle=move |event| {
                let now = event_target::<web_sys::Element>(&event).has_attribute("open");
                if now != open.get_untracked() {
                    open.set(now);
                }
            }
        >
            <summary>
                <h2>{title}</h2>
                <span class="fold-state">{move || (open.get() && stale.get()).then(|| not_yet.get())}</span>
            </summary>
            {move || open.get().then(|| view! { <div class="fold-body">{children()}</div> })}
        </details>
    }
    .into_any()
}

/// A table under its heads. Each row begins with what it is of; its cells are figures.
pub(crate) fn fold_table<H: IntoView + 'static>(
    heads: &[&'static str],
    rows: impl IntoIterator<Item = (H, Vec<String>)>,
) -> AnyView {
    let heads = heads
        .iter()
        .map(|head| view! { <th scope="col">{*head}</th> })
        .collect_view();
    let rows = rows
        .into_iter()
        .map(|(head, cells)| {
            let cells = cells
                .into_iter()
                .map(|cell| view! { <td class="figure">{cell}</td> })
                .collect_view();
            view! {
                <tr>
                    <th scope="row">{head}</th>
                    {cells}
                </tr>
            }
        })
        .collect_view();
    view! {
        <div class="fold-frame">
            <table class="fold-table">
                <thead>
                    <tr>{heads}</tr>
                </thead>
                <tbody>{rows}</tbody>
            </table>
        </div>
    }
    .into_any()
}
