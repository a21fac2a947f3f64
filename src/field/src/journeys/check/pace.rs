//! How a round goes: boxes left, when it may be over, and what the rule for stopping says at its end.

use analysis::stopping::Look;
use leptos::prelude::*;
use sampling::plan::stopping::Decision;
use survey::pace::{minutes_a_box, recent_median};

use crate::capability::heavy::{self, Fault};
use crate::capability::{clock, task};
use crate::journeys::sample::condition_label;
use crate::journeys::unable::Unable;
use crate::store::use_store;
use crate::texts::pace as text;
use crate::ui::{Panel, Tone};

/// Boxes left and when it may be over. It is worked out when the screen is opened and does not tick.
#[component]
pub fn Pace(number: Memo<u32>) -> impl IntoView {
    let store = use_store();
    let now = clock::now_ms();
    let said = move || {
        let state = store.state.get();
        let progress = state.round_progress(number.get());
        let n_left = progress.n_boxes - progress.n_finished;
        if n_left == 0 || !state.rounds.contains_key(&number.get()) {
            return None;
        }
        let forecast = recent_median(minutes_a_box(&state)).map(|minutes| {
            #[allow(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                clippy::cast_precision_loss,
                reason = "minutes of a day's work"
            )]
            let ahead = (minutes * n_left as f64 * 60_000.0) as u64;
            text::pace(minutes, n_left, &clock::time(now + ahead))
        });
        Some(view! {
            <p class="hint" data-tap="check-pace">
                {text::left(n_left)} {forecast.map(|forecast| format!(" {forecast}"))}
            </p>
        })
    };
    view! { {said} }
}

/// At the end of a round: what the rule says.
#[component]
pub fn StoppingLook() -> impl IntoView {
    let store = use_store();
    let has_rule = store
        .state
        .with_untracked(|state| state.stopping_rule().is_some());
    let look = RwSignal::new(None::<Result<Look, Fault>>);
    let make = move || {
        look.set(None);
        task::spawn(async move {
            let made = heavy::stopping_look(store.log()).await;
            // The person may have gone on meanwhile.
            let _ = look.try_set(made.transpose());
        });
    };
    if has_rule {
        make();
    }
    let on_again = Callback::new(move |()| make());
    let said = move || match look.get() {
        None if has_rule => view! { <p role="status">{text::looking()}</p> }.into_any(),
        None => view! { <p class="hint">{text::not_chosen()}</p> }.into_any(),
        Some(Err(fault)) => view! { <Unable fault on_again /> }.into_any(),
        Some(Ok(look)) => {
            let tone = match look.decision {
                Decision::Next(_) => Tone::Note,
                Decision::Reached | Decision::Exhausted => Tone::Caution,
            };
            let label = condition_label(&look.condition);
            view! {
                <Panel tone title=text::look_title(&look)>
                    <p data-look=look.number.to_string()>{text::look_width(&look, &label)}</p>
                    <p>{text::look_says(&look)}</p>
                    <p class="hint">{text::width_alone()}</p>
                </Panel>
            }
            .into_any()
        }
    };
    view! { {said} }
}
