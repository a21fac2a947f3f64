//! Cautions at the moment they matter: in full when an answer has just called for them, one line each afterwards.

use leptos::prelude::*;
use tape::Caution;

use crate::texts::{check as text, worded};
use crate::ui::{Panel, Tone};

/// The caution that goes with every other.
const GENERAL: &str = "general";

/// Cautions, those in `fresh` in full.
#[component]
pub fn Cautions(all: Vec<&'static Caution>, fresh: Vec<&'static str>) -> impl IntoView {
    // What holds of all of them is said once, below them.
    let each = all.into_iter().filter(|caution| caution.key != GENERAL);
    let (now, before): (Vec<_>, Vec<_>) = each.partition(|caution| fresh.contains(&caution.key));
    let for_people = now.iter().any(|caution| caution.for_people);
    let full = now.into_iter().map(|caution| {
        let tone = if caution.for_people {
            Tone::Stop
        } else {
            Tone::Caution
        };
        view! {
            <Panel tone title=worded(caution.title).to_owned() at_once=true>
                <p>{worded(caution.text)}</p>
            </Panel>
        }
    });
    let brief = before.into_iter().map(|caution| {
        view! {
            <details class="caution-again">
                <summary data-tap=format!("check-caution-{}", caution.key)>{format!("{}: {}", text::caution(), worded(caution.title))}</summary>
                <p>{worded(caution.text)}</p>
            </details>
        }
    });
    view! {
        {full.collect_view()}
        {for_people.then(|| view! { <p class="hint">{text::general()}</p> })}
        {brief.collect_view()}
    }
}
