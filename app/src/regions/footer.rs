//! Cautions, credits and where the data is.

use leptos::prelude::*;

/// The cautions that stand under every result, and where the page's data comes from.
#[component]
pub(crate) fn Footer() -> impl IntoView {
    view! {
        <footer class="page-foot">
            <section aria-labelledby="cautions-title">
                <h2 id="cautions-title" class="label">"Cautions"</h2>
                <ul class="cautions">
                    <li>
                        "These are estimates for planning, not a permit set. Local codes, the utility and the authority having jurisdiction decide."
                    </li>
                    <li>"Work on PV, batteries and panels is for licensed people."</li>
                    <li>"PV conductors are live in daylight."</li>
                    <li>"Backfeed and battery fault current can kill."</li>
                    <li>"A battery\u{2019}s place and clearances follow its listing."</li>
                </ul>
            </section>
            <section aria-labelledby="sources-title">
                <h2 id="sources-title" class="label">"Data"</h2>
                <p>
                    "Everything is computed in this browser; nothing is sent anywhere. Households are saved only in this browser: export a file to keep a copy elsewhere."
                </p>
                <p>
                    "Place names from GeoNames (geonames.org), CC BY 4.0. The climate grid is coarse (1\u{b0}): for a better year, give a weather file or monthly values. Built-in equipment is generic and invented."
                </p>
            </section>
        </footer>
    }
    .into_any()
}
