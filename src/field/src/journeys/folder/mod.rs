//! A team's folder: an exchange at each tap, and never by itself.

mod exchange;

use leptos::prelude::*;
use transfer::folder;

use self::exchange::{Door, exchange};
use crate::capability::{preferences, task};
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{common, folder as t, handover};
use crate::ui::{
    Button, ChoiceList, ChoiceOption, Kind, Link, Page, Panel, Progress, Section, TextField, Tone,
};

pub use self::exchange::{Broke, Came};

const KEEP: &str = "keep";
const FORGET: &str = "forget";

/// The password, while the page lives, from context: nothing else remembers it unless it is asked to.
#[derive(Clone, Copy)]
pub struct Password(pub RwSignal<String>);

impl Password {
    /// The one that was kept, if any was.
    #[must_use]
    pub fn new() -> Self {
        Self(RwSignal::new(preferences::folder_password()))
    }
}

impl Default for Password {
    fn default() -> Self {
        Self::new()
    }
}

/// How far it is.
#[derive(Clone, PartialEq)]
enum Going {
    Idle,
    Working(usize, usize),
    Over(Came),
}

/// The screen.
#[component]
pub fn Folder() -> impl IntoView {
    let store = use_store();
    let Password(password) = expect_context();
    let address = RwSignal::new(preferences::folder_address());
    let user = RwSignal::new(preferences::folder_user());
    let is_kept = RwSignal::new(!preferences::folder_password().is_empty());
    let (address_error, set_address_error) = signal(None::<String>);
    let going = RwSignal::new(Going::Idle);
    let is_working = Signal::derive(move || matches!(going.get(), Going::Working(..)));
    let go = move || {
        let checked = match folder::address(&address.get_untracked()) {
            Ok(checked) => checked,
            Err(error) => return set_address_error.set(Some(t::address_error(error))),
        };
        set_address_error.set(None);
        preferences::set_folder(&checked, user.get_untracked().trim());
        preferences::set_folder_password(&if is_kept.get_untracked() {
            password.get_untracked()
        } else {
            String::new()
        });
        let door = Door {
            address: checked,
            user: user.get_untracked().trim().to_owned(),
            password: password.get_untracked(),
        };
        going.set(Going::Working(0, 0));
        task::spawn(async move {
            let came = exchange(store, &door, |done, all| {
                let _ = going.try_set(Going::Working(done, all));
            })
            .await;
            // A person who has gone elsewhere finds what came in the survey, and what is left at the next exchange.
            let _ = going.try_set(Going::Over(came));
        });
    };
    let survey = move || store.state.with(|state| state.survey);
    let action = move || {
        view! {
            <Button label=t::exchange() tap="folder-exchange" kind=Kind::Primary disabled=is_working on_press=go />
            <Link
                label=t::back()
                tap="folder-back"
                kind=Kind::Secondary
                href=Signal::derive(move || Route::to(survey(), Journey::HandOver, &[]).href())
            />
        }
    };
    let keeping = [
        ChoiceOption::new(FORGET, t::forget()).hint(t::forget_hint()),
        ChoiceOption::new(KEEP, t::keep()).hint(t::keep_hint()),
    ];
    view! {
        <Page title=t::title() here=common::journey(Journey::HandOver).to_owned() lead=t::lead() action>
            {move || said(going.get())}
            <Section title=t::the_folder().to_owned()>
                <TextField
                    label=t::address()
                    hint=t::address_hint()
                    error=Signal::derive(move || address_error.get())
                    value=address
                    tap="folder-address"
                    on_input=move |typed| address.set(typed)
                />
                <TextField label=t::user() value=user tap="folder-user" on_input=move |typed| user.set(typed) />
                <TextField
                    label=t::password()
                    hint=t::password_hint()
                    value=password
                    tap="folder-password"
                    is_secret=true
                    on_input=move |typed| password.set(typed)
                />
                <ChoiceList
                    legend=t::keeping().to_owned()
                    options=Signal::derive(move || keeping.to_vec())
                    chosen=Signal::derive(move || Some(if is_kept.get() { KEEP } else { FORGET }.to_owned()))
                    tap="folder-password"
                    on_choose=move |key: String| is_kept.set(key == KEEP)
                />
            </Section>
            <ul class="bullets">{t::lines().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
        </Page>
    }
}

/// What came of it.
fn said(going: Going) -> AnyView {
    let came = match going {
        Going::Idle => return ().into_any(),
        Going::Working(_, 0) => return view! { <p role="status">{t::asking()}</p> }.into_any(),
        Going::Working(done, all) => {
            return view! { <Progress text=t::working(done, all) done=done all=all /> }.into_any();
        }
        Going::Over(came) => came,
    };
    let (tone, title) = match &came.broke {
        None => (Tone::Note, t::over()),
        Some(_) => (Tone::Caution, t::broke_off()),
    };
    let why = came.broke.as_ref().map(t::broke);
    let refused: Vec<String> = came
        .refused
        .iter()
        .map(|(name, why)| t::refused_part(name, why))
        .collect();
    let n_refused = refused.len();
    let end = if came.broke.is_some() { "broke" } else { "over" };
    view! {
        <Panel tone title at_once=true>
            <p data-folder=end data-left=came.n_left.to_string()>{t::came(&came)}</p>
            {why.map(|why| view! { <p>{why}</p> })}
            {(n_refused > 0).then(|| view! {
                <p>{t::refused()}</p>
                <ul class="bullets">{refused.into_iter().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
                <p>{handover::nothing_lost()}</p>
            })}
        </Panel>
    }
    .into_any()
}
