//! The page around the app: its title, its colour scheme, where the focus goes, leaving it, printing.

use std::cell::Cell;

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
pub use web_sys::Element;
use web_sys::{FocusOptions, HtmlElement};

use super::task;

thread_local! {
    /// Whether leaving the page now would lose something; none before the browser's question is set up.
    static WARN: Cell<Option<bool>> = const { Cell::new(None) };
}

/// Tells the browser and screen readers which language the page speaks.
pub fn set_language(tag: &str) {
    if let Some(root) = document().and_then(|document| document.document_element()) {
        // A refusal leaves the page's own language, which is no harm.
        let _ = root.set_attribute("lang", tag);
    }
}

/// The languages of the browser's user, the preferred one first.
#[must_use]
pub fn browser_languages() -> Vec<String> {
    let navigator = web_sys::window().map(|window| window.navigator());
    let all = navigator.map(|navigator| navigator.languages());
    all.into_iter()
        .flat_map(|all| all.iter().collect::<Vec<_>>())
        .filter_map(|tag| tag.as_string())
        .collect()
}

/// How dates and times are written: as the browser's user does in the language of the page, `de-CH` for a page in German.
#[must_use]
pub fn locale() -> String {
    let root = document().and_then(|document| document.document_element());
    let spoken = root
        .and_then(|root| root.get_attribute("lang"))
        .unwrap_or_else(|| "en".to_owned());
    let is_of = |tag: &String| tag.split('-').next() == Some(spoken.as_str());
    browser_languages().into_iter().find(is_of).unwrap_or(spoken)
}

/// Gives the window a title.
pub fn set_title(title: &str) {
    if let Some(document) = document() {
        document.set_title(title);
    }
}

/// Moves the focus to the screen's heading and the page to its top, as a fresh page would: a screen reader then
/// reads where it is.
pub fn focus_heading() {
    scroll_to_top();
    focus("h1");
}

/// The page goes to its top at once, and the focus to the heading once the new screen is painted: from when it can be seen the
/// page stands still. Whoever is typing into it by then goes on typing.
///
/// To be called before the old screen goes: what was tapped is left at once, since a browser that has to take the focus from
/// what it removes reckons style and layout anew in the midst of it.
pub fn focus_heading_after_paint() {
    if focused() == Focused::Control
        && let Some(tapped) = active().and_then(|element| element.dyn_into::<HtmlElement>().ok())
    {
        // A refusal leaves the focus where it is, to be lost with what has it.
        let _ = tapped.blur();
    }
    scroll_to_top();
    let before = active();
    task::spawn(async move {
        task::after_paint().await;
        let is_typing = focused() == Focused::Field && active() != before;
        if !is_typing {
            focus_where_it_is("h1");
        }
    });
}

/// The focus without the page: whoever was quick has scrolled by now, and taps where something was.
fn focus_where_it_is(selector: &str) {
    if let Some(element) = html_element(selector) {
        let options = FocusOptions::new();
        options.set_prevent_scroll(true);
        // A refusal leaves the focus where it was, which is no harm.
        let _ = element.focus_with_options(&options);
    }
}

fn scroll_to_top() {
    if let Some(window) = web_sys::window() {
        window.scroll_to_with_x_and_y(0.0, 0.0);
    }
}

/// An element that stands nowhere yet.
#[must_use]
pub fn loose(name: &str) -> Option<HtmlElement> {
    document()?.create_element(name).ok()?.dyn_into().ok()
}

/// Puts elements made elsewhere into this one, in place of what it has.
pub fn hold(place: Element, held: Vec<Element>) {
    let held: js_sys::Array = held.iter().collect();
    place.replace_children_with_node(&held);
}

fn active() -> Option<web_sys::Element> {
    document()?.active_element()
}

/// Moves the focus to the first element that a selector finds. The element must be focusable.
pub fn focus(selector: &str) {
    if let Some(element) = html_element(selector) {
        // A refusal leaves the focus where it was, which is no harm.
        let _ = element.focus();
    }
}

/// The first element that a selector finds.
fn html_element(selector: &str) -> Option<HtmlElement> {
    document()?.query_selector(selector).ok()??.dyn_into().ok()
}

/// The same, once the new screen is painted.
pub fn focus_after_paint(selector: &'static str) {
    task::spawn(async move {
        task::after_paint().await;
        focus(selector);
    });
}

/// Moves the focus from the element of an event to the one before (-1) or behind it (1) among its siblings that can
/// be pressed.
pub fn focus_neighbour(event: &web_sys::Event, step: i32) {
    let mut next = event
        .current_target()
        .and_then(|target| target.dyn_into::<web_sys::Element>().ok());
    loop {
        next = match next {
            Some(element) if step < 0 => element.previous_element_sibling(),
            Some(element) => element.next_element_sibling(),
            None => return,
        };
        if let Some(button) = next
            .as_ref()
            .and_then(|element| element.dyn_ref::<web_sys::HtmlButtonElement>())
        {
            // A refusal leaves the focus where it was, which is no harm.
            let _ = button.focus();
            return;
        }
    }
}

/// What has the focus.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Focused {
    /// A field that takes text.
    Field,
    /// A button, a link or whatever else takes keys.
    Control,
    /// The heading or nothing.
    Elsewhere,
}

/// What has the focus now.
#[must_use]
pub fn focused() -> Focused {
    let name = active().map(|element| element.tag_name());
    match name.as_deref() {
        Some("INPUT" | "TEXTAREA" | "SELECT") => Focused::Field,
        Some("BUTTON" | "A" | "SUMMARY") => Focused::Control,
        _ => Focused::Elsewhere,
    }
}

/// Presses the `index`-th element that a selector finds, as a tap would; whether there was one.
pub fn press(selector: &str, index: usize) -> bool {
    let found = document().and_then(|document| document.query_selector_all(selector).ok());
    let element = found
        .and_then(|found| found.get(u32::try_from(index).ok()?))
        .and_then(|node| node.dyn_into::<HtmlElement>().ok());
    element.inspect(HtmlElement::click).is_some()
}

/// Writes into the field an event came from.
pub fn set_value(event: &web_sys::Event, text: &str) {
    let input = event
        .target()
        .and_then(|target| target.dyn_into::<web_sys::HtmlInputElement>().ok());
    if let Some(input) = input {
        input.set_value(text);
    }
}

/// Names the colour scheme on the root element, where the style sheet looks for it; `None` follows the device.
pub fn set_scheme(name: Option<&str>) {
    mark_root("data-scheme", name);
    // The browser's own bar takes the paper's colour: a white one would spoil what the cellar scheme is for.
    let paper = name.and_then(|_| token("--paper"));
    set_bar_colour(paper.as_deref());
    leave_for_next_start(name);
}

/// Leaves the scheme where `look.js` finds it before the first paint; the preference itself is kept elsewhere.
fn leave_for_next_start(name: Option<&str>) {
    let Some(Ok(Some(storage))) = web_sys::window().map(|window| window.local_storage()) else {
        return;
    };
    // A browser that refuses starts in the device's own scheme.
    let _ = match name {
        Some(name) => storage.set_item("quarterlight.look", name),
        None => storage.remove_item("quarterlight.look"),
    };
}

/// Names the hand that taps on the root element.
pub fn set_hand(name: &str) {
    mark_root("data-hand", Some(name));
}

fn mark_root(attribute: &str, value: Option<&str>) {
    let Some(root) = document().and_then(|document| document.document_element()) else {
        return;
    };
    // Setting an attribute fails only for a malformed name, and these are fixed.
    let _ = match value {
        Some(value) => root.set_attribute(attribute, value),
        None => root.remove_attribute(attribute),
    };
}

/// What the style sheet says of one of its tokens.
fn token(name: &str) -> Option<String> {
    let window = web_sys::window()?;
    let root = window.document()?.document_element()?;
    let style = window.get_computed_style(&root).ok()??;
    let value = style.get_property_value(name).ok()?;
    Some(value.trim().to_owned()).filter(|value| !value.is_empty())
}

/// Sets the colour of the browser's bar; without one it follows the page's own two for light and dark.
fn set_bar_colour(colour: Option<&str>) -> Option<()> {
    let document = document()?;
    let own = document.query_selector("meta[data-own]").ok()?;
    let Some(colour) = colour else {
        if let Some(own) = own {
            own.remove();
        }
        return Some(());
    };
    let own = match own {
        Some(own) => own,
        None => {
            let head = document.query_selector("head").ok()??;
            let meta = document.create_element("meta").ok()?;
            meta.set_attribute("data-own", "").ok()?;
            meta.set_attribute("name", "theme-color").ok()?;
            // The first that fits counts.
            head.prepend_with_node_1(&meta).ok()?;
            meta
        }
    };
    own.set_attribute("content", colour).ok()
}

/// Whether questions are large and answers numbered: one person reads them at arm's length and calls out a number.
pub fn set_scribe(is_on: bool) {
    mark_root("data-scribe", is_on.then_some(""));
}

/// Whether the browser should ask before the page is closed: something is not on the disk yet.
pub fn warn_before_leaving(warn: bool) {
    let Some(window) = web_sys::window() else { return };
    if WARN.replace(Some(warn)).is_some() {
        return;
    }
    let asked = Closure::<dyn FnMut(web_sys::Event)>::new(|event: web_sys::Event| {
        if WARN.get() == Some(true) {
            event.prevent_default();
        }
    });
    // Adding a listener to the window cannot fail.
    let _ = window.add_event_listener_with_callback("beforeunload", asked.as_ref().unchecked_ref());
    // It lives as long as the page.
    asked.forget();
}

/// Calls this each time the page is hidden: another app or window is before it, or it is about to be closed.
pub fn when_hidden(hidden: impl Fn() + 'static) {
    let Some(document) = document() else { return };
    let of_page = document.clone();
    let changed = Closure::<dyn FnMut()>::new(move || {
        if of_page.hidden() {
            hidden();
        }
    });
    // Adding a listener to the document cannot fail.
    let _ = document.add_event_listener_with_callback("visibilitychange", changed.as_ref().unchecked_ref());
    // It lives as long as the page.
    changed.forget();
}

/// Whether nobody sees the page.
#[must_use]
pub fn is_hidden() -> bool {
    document().is_some_and(|document| document.hidden())
}

/// Opens the browser's print dialogue.
pub fn print() {
    if let Some(window) = web_sys::window() {
        // Refused where there is no printer; the page stays as it is.
        let _ = window.print();
    }
}

/// Whether the app runs from the home screen, without the browser's frame.
#[must_use]
pub fn is_installed() -> bool {
    let query =
        web_sys::window().and_then(|window| window.match_media("(display-mode: standalone)").ok().flatten());
    query.is_some_and(|query| query.matches())
}

fn document() -> Option<web_sys::Document> {
    web_sys::window()?.document()
}
