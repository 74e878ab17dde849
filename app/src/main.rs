//! Couplet's page, and the worker behind it: one WebAssembly file serves both.

mod work;

use leptos::prelude::*;

use crate::work::worker::{CalcWorker, Reply};

/// Mounts the page. In the worker there is no window, and nothing is mounted: the worker only answers requests.
fn main() {
    console_error_panic_hook::set_once();
    if web_sys::window().is_some() {
        leptos::mount::mount_to_body(Page);
    }
}

#[component]
fn Page() -> impl IntoView {
    let (state, set_state) = signal("asked".to_owned());
    let worker = CalcWorker::start(move |trouble| set_state.set(trouble));
    let asked = worker.ask(b"ready".to_vec(), move |reply| {
        set_state.set(match reply {
            Reply::Progress { share, .. } => format!("{share}"),
            Reply::Answer(bytes) => String::from_utf8_lossy(&bytes).into_owned(),
            Reply::Failed(reason) => reason,
        });
    });
    on_cleanup({
        let worker = StoredValue::new_local(worker);
        move || worker.with_value(|worker| worker.stop(asked))
    });
    view! {
        <main>
            <h1>"Couplet"</h1>
            <p>"calculation worker: " {state}</p>
        </main>
    }
}
