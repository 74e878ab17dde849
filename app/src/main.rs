//! Couplet's page, and the worker behind it: one WebAssembly file serves both.

#![allow(
    unreachable_pub,
    reason = "the component macro writes pub items; a program exports nothing"
)]

mod advising;
mod bench;
mod chart;
mod desk;
mod format;
mod inquiry;
mod judged;
mod keep;
mod page;
mod parts;
mod place_list;
mod regions;
mod study;
mod words;
mod work;

/// Mounts the page. In the worker there is no window, and nothing is mounted: the worker only answers requests.
fn main() {
    console_error_panic_hook::set_once();
    if web_sys::window().is_some() {
        leptos::mount::mount_to_body(page::Page);
    }
}
