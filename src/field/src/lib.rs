//! The app in the browser.
//!
//! Reading order: [`app`] (the shell and its routes), [`route`] (what the address says), [`store`] (the one handle
//! through which views read and write a survey), [`ui`] (parts that know nothing of surveys), [`capability`] (the
//! browser, a file a capability), [`drawings`] (of what is looked for), then a folder a journey under [`journeys`].
//!
//! # Adding a screen to a journey
//! 1. The address is `#/s/<survey>/<journey>/<at...>`. The journey's `mod.rs` has a `View` component that is given
//!    `at` (the rest of the address) and matches it to a screen; add an arm. An address that is not known shows the
//!    journey's first screen.
//! 2. Write the screen as a component in a file of its own. Take the store with [`store::use_store`]: read
//!    `store.state` (an `Arc<State>`; project what you need with a `Memo`), send with `store.send(Command)`. A view
//!    holds a local signal only for what nobody would miss after a reload. Whatever a person decides is an answer in
//!    the log: `Command::Answer { subject, question, value }`.
//! 3. Put it in a [`ui::Page`]: title (the `h1`, which gets the focus on arrival), `here` (where in the day),
//!    `lead` (what to do now), `next` (what comes next), and one big primary action in `action`.
//! 4. Every sentence is a message in `public/text/en/<journey>.ftl` (and in every other language's folder); the build
//!    makes a function of it, `texts::<journey>::next_box()`. What needs the app's types, such as a sentence for each
//!    variant of an error, is a function in `texts/<journey>.rs`. No text literals in views, and no sentence in a
//!    constant or in a store: it would stay in the language it was first said in.
//! 5. Everything that can be tapped has a `tap` (it becomes `data-tap`), unique on its screen and never changed
//!    without the browser tests: `<journey>-<what>` and, for choices, `<journey>-<question>-<key>`.
//! 6. Go elsewhere with `route::Route::...go()` or a [`ui::Link`]; never touch the address otherwise.
//! 7. Whatever takes long (figures, files) is an asynchronous function of [`capability::heavy`], awaited in a
//!    [`capability::task::spawn`]; set signals with `try_set` afterwards, since the person may have gone elsewhere.
//! 8. Classes, never `style="..."`: the content security policy refuses inline styles.
#![allow(
    unreachable_pub,
    reason = "the component macro writes pub items, whatever the component's visibility"
)]

pub mod app;
pub mod capability;
pub mod drawings;
pub mod journeys;
pub mod parts;
pub mod route;
pub mod store;
pub mod texts;
pub mod ui;

/// Reads what the device remembers, then mounts the app into the page.
pub fn start() {
    capability::panic::install();
    capability::task::spawn(async {
        let loaded = capability::preferences::load().await;
        leptos::mount::mount_to_body(move || app::App(app::AppProps { loaded }));
        parts::fetch_when_idle();
    });
}
