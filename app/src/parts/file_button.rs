//! A button through which the reader gives a file.

use leptos::prelude::*;

/// A button through which the reader gives a file.
#[component]
pub(crate) fn FileButton(
    /// Names the field in the page.
    #[prop(into)]
    id: String,
    /// Kinds of file that the browser offers first.
    accept: &'static str,
    /// Takes the file.
    on_file: Callback<web_sys::File>,
    children: Children,
) -> impl IntoView {
    view! {
        <label class="file-button">
            {children()}
            <input
                id=id
                type="file"
                class="spoken"
                accept=accept
                on:change=move |event| {
                    let input: web_sys::HtmlInputElement = event_target(&event);
                    let file = input.files().and_then(|files| files.get(0));
                    // The same file can be given again.
                    input.set_value("");
                    if let Some(file) = file {
                        on_file.run(file);
                    }
                }
            />
        </label>
    }
    .into_any()
}
