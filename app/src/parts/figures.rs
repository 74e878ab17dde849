//! Figures with what each is.

use leptos::prelude::*;

/// The entries of a list of figures, in order: words and the figure itself.
pub(crate) fn figures<W: Into<Oco<'static, str>>>(
    rows: impl IntoIterator<Item = (W, String)>,
) -> AnyView {
    rows.into_iter()
        .map(|(words, figure)| {
            let words: Oco<'static, str> = words.into();
            view! {
                <div class="day-entry">
                    <dt>{words}</dt>
                    <dd>{figure}</dd>
                </div>
            }
        })
        .collect_view()
        .into_any()
}
