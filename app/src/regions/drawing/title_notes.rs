//! What is written into the title block by hand: revision, for whom, by whom checked.

use couplet_core::coupling::TitleNotes as Notes;
use leptos::prelude::*;

use crate::desk::Desk;
use crate::parts::Text;

/// A note's key in the page, its label, and how it is read and written.
type Note = (
    &'static str,
    &'static str,
    fn(&Notes) -> &String,
    fn(&mut Notes) -> &mut String,
);

const NOTES: [Note; 3] = [
    (
        "revision",
        "Revision",
        |notes| &notes.revision,
        |notes| &mut notes.revision,
    ),
    (
        "drawn-for",
        "Drawn for",
        |notes| &notes.drawn_for,
        |notes| &mut notes.drawn_for,
    ),
    (
        "checked-by",
        "Checked by (blank: room to sign)",
        |notes| &notes.checked_by,
        |notes| &mut notes.checked_by,
    ),
];

/// The fields of the title block that nothing else of the household tells.
#[component]
pub(crate) fn TitleNotes(
    desk: Desk,
    /// Where they stand in the page: they may stand twice.
    at: &'static str,
) -> impl IntoView {
    let fields = NOTES
        .map(|(key, label, read, write)| {
            let value = Signal::derive(move || {
                desk.option
                    .with(|option| option.as_ref().map(|option| read(&option.title).clone()))
                    .unwrap_or_default()
            });
            let change = move |text: String| {
                desk.change_option("title block", Some(key), |option| {
                    *write(&mut option.title) = text;
                });
            };
            view! {
                <Text
                    id=format!("{at}-{key}")
                    label=label
                    may_be_blank=true
                    value
                    on_change=Callback::new(change)
                    on_done=Callback::new(move |()| desk.close_merge())
                />
            }
        })
        .into_iter()
        .collect_view();
    view! {
        <details class="title-notes" id=format!("{at}-title-notes")>
            <summary>"Title block"</summary>
            <div class="title-notes-fields">{fields}</div>
        </details>
    }
    .into_any()
}
