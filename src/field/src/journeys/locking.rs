//! The lock of a survey on this device: put on, opened, shut, taken off.

use leptos::prelude::*;
use survey::SurveyId;

use super::earlier::use_earlier;
use crate::capability::{heavy, lock, task};
use crate::route::Route;
use crate::store::use_store;
use crate::texts::{common, handover, locking as t};
use crate::ui::{Button, Kind, Link, Page, Panel, TextField, Tone};

/// In place of a survey that is locked: asks for its passphrase.
#[component]
pub fn Locked(survey: SurveyId) -> impl IntoView {
    let store = use_store();
    let passphrase = RwSignal::new(String::new());
    let (said, set_said) = signal(None::<String>);
    let (is_working, set_working) = signal(false);
    let open = move || {
        if is_working.get_untracked() {
            return;
        }
        set_working.set(true);
        set_said.set(None);
        task::spawn(async move {
            let opened = store.unlock(survey, passphrase.get_untracked().trim()).await;
            // Once it is open this screen is gone.
            let _ = set_working.try_set(false);
            let _ = set_said.try_set(opened.err().map(|error| t::error(&error)));
        });
    };
    let action = move || {
        view! {
            <Link label=common::to_all_surveys() tap="to-home" kind=Kind::Secondary href=Route::Home.href() />
            <Button label=t::open() tap="lock-open" kind=Kind::Primary disabled=is_working on_press=open />
        }
    };
    view! {
        <Page title=t::one() lead=t::locked_lead().to_owned() action=action>
            <TextField
                label=handover::passphrase()
                error=Signal::derive(move || said.get())
                value=passphrase
                tap="lock-passphrase"
                is_secret=true
                on_input=move |typed| passphrase.set(typed)
                on_enter=Callback::new(move |()| open())
            />
            <p role="status">{move || is_working.get().then_some(t::opening())}</p>
        </Page>
    }
}

/// Puts a lock on the open survey, shuts it, or takes the lock off.
#[component]
pub fn Lock() -> impl IntoView {
    let store = use_store();
    let earlier = use_earlier();
    let is_locked = move |survey| lock::key(survey).is_some();
    let (locked, set_locked) = signal(is_locked(store.state.get_untracked().survey));
    let (said, set_said) = signal(None::<String>);
    let (is_working, set_working) = signal(false);
    let done = move |failure: Option<String>| {
        // The person may have gone elsewhere meanwhile.
        let _ = set_working.try_set(false);
        let _ = set_said.try_set(failure);
        let _ = set_locked.try_set(is_locked(store.state.get_untracked().survey));
    };
    let put_on = Callback::new(move |passphrase: String| {
        set_working.set(true);
        task::spawn(async move {
            let locked = store.lock(&passphrase).await;
            done(locked.err().map(|error| t::error(&error)));
        });
    });
    let take_off = move || {
        set_working.set(true);
        task::spawn(async move {
            let opened = store.take_lock_off().await;
            done(opened.err().map(|error| error.to_string()));
        });
    };
    let shut = move || {
        task::spawn(async move {
            store.shut().await;
            earlier.forget();
            Route::Home.go();
        });
    };
    let shown = move || {
        if locked.get() {
            return view! {
                <Panel title=t::is_locked()>
                    <p>{t::is_locked_text()}</p>
                    <div class="panel-actions">
                        <Button label=t::shut() tap="lock-shut" disabled=is_working on_press=shut />
                        <Button label=t::take_off() tap="lock-take-off" kind=Kind::Quiet disabled=is_working on_press=take_off />
                    </div>
                </Panel>
            }
            .into_any();
        }
        view! {
            <details class="more">
                <summary data-tap="lock">{t::lock()}</summary>
                <NewLock is_working put_on />
            </details>
        }
        .into_any()
    };
    view! {
        {shown}
        <p role="status">
            {move || is_working.get().then_some(t::working())}
        </p>
        <p class="error" role="alert">{move || said.get()}</p>
    }
}

#[component]
fn NewLock(is_working: ReadSignal<bool>, put_on: Callback<String>) -> impl IntoView {
    if !lock::is_available() {
        return view! { <p>{t::not_available()}</p> }.into_any();
    }
    let passphrase = RwSignal::new(heavy::passphrase().unwrap_or_default());
    let none = move || passphrase.with(|typed| typed.trim().is_empty());
    view! {
        <p>{t::lock_text()}</p>
        <Panel tone=Tone::Caution title=handover::seal_warning().to_owned()>
            <p>{t::warning_text()}</p>
        </Panel>
        <TextField
            label=handover::passphrase()
            hint=handover::passphrase_made()
            value=passphrase
            tap="lock-new-passphrase"
            on_input=move |typed| passphrase.set(typed)
        />
        <Button
            label=t::lock_now()
            tap="lock-now"
            disabled=Signal::derive(move || is_working.get() || none())
            on_press=move || put_on.run(passphrase.get_untracked().trim().to_owned())
        />
    }
    .into_any()
}
