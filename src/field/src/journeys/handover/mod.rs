//! Not built yet: the address is there, the screen is not.

use leptos::prelude::*;

use crate::route::Journey;
use crate::texts::common as t;
use crate::ui::Page;

/// The screens of this part of the day.
#[component]
pub fn View(#[prop(into)] at: Signal<Vec<String>>) -> impl IntoView {
    let _ = at;
    view! { <Page title=t::journey(Journey::HandOver)>""</Page> }
}
