//! What is assumed: the list, one value, and what is kept with what.

use costing::{Assumptions, Entry, Kind as EntryKind, Range, Value, catalogue};
use leptos::prelude::*;
use survey::{Command, Subject};
use tape::Answer;

use crate::route::{Journey, Route};
use crate::store::{Store, use_store};
use crate::texts::{assume, common, takes as text};
use crate::ui::{Button, ChoiceList, ChoiceOption, Kind, Link, NumberStepper, Page, Section, TextField};

fn to(at: &[&str]) -> Route {
    Route::to(use_store().state.get_untracked().survey, Journey::Results, at)
}

/// Keeps a set as the survey's answer; a set that is not sound is given back in words.
fn keep(store: Store, set: &Assumptions) -> Result<(), String> {
    set.check().map_err(|error| text::refused(&error))?;
    let json = analysis::outlook::write(set)?;
    store.send(Command::Answer {
        subject: Subject::Survey,
        question: analysis::outlook::ASSUMPTIONS.to_owned(),
        value: Answer::Text(json),
    });
    Ok(())
}

fn in_force(store: Store) -> Assumptions {
    store
        .state
        .with_untracked(|state| analysis::outlook::assumptions(state))
}

/// Everything that can be assumed, with its value.
#[component]
pub fn List() -> impl IntoView {
    let store = use_store();
    let set = in_force(store);
    let currency = RwSignal::new(set.currency.clone());
    let (refused, set_refused) = signal(None::<String>);
    let keep_currency = Callback::new(move |typed: String| {
        let mut set = in_force(store);
        set.currency = typed.trim().to_owned();
        set_refused.set(keep(store, &set).err());
    });
    let lines = move |money: bool| {
        let set = in_force(store);
        catalogue()
            .iter()
            .filter(|entry| (entry.kind == EntryKind::Money) == money)
            .map(|entry| {
                let label = text::line(entry, set.range(entry.key), &set.currency);
                let href = to(&["assume", entry.key]).href();
                view! {
                    <li>
                        <Link label tap=format!("assume-{}", entry.key) href=href />
                    </li>
                }
            })
            .collect_view()
    };
    view! {
        <Page
            title=text::assume_title().to_owned()
            here=common::journey(Journey::Results).to_owned()
            lead=text::assume_lead().to_owned()
            action=move || {
                view! { <Link label=text::back().to_owned() tap="assume-back" kind=Kind::Primary href=to(&["takes"]).href() /> }
            }
        >
            <Link label=text::keeping().to_owned() tap="assume-keeping" href=to(&["assume", "keeping"]).href() />
            <Section title=text::prices().to_owned()>
                <TextField
                    label=text::currency()
                    hint=text::currency_hint()
                    error=Signal::derive(move || refused.get())
                    value=currency
                    tap="assume-currency"
                    on_input=move |typed| currency.set(typed)
                    on_done=keep_currency
                />
                <ul class="plain-list">{lines(true)}</ul>
            </Section>
            <Section title=text::times().to_owned()>
                <ul class="plain-list">{lines(false)}</ul>
            </Section>
        </Page>
    }
}

/// One value: three numbers, where they come from, and the day.
#[component]
pub fn One(entry: &'static Entry) -> impl IntoView {
    let store = use_store();
    let set = in_force(store);
    let own = set.values.get(entry.key).cloned();
    let start = set.range(entry.key);
    let field = |value: Option<f64>| RwSignal::new(value.map(text::plain).unwrap_or_default());
    let (low, likely, high) = (
        field(start.map(|range| range.low)),
        field(start.map(|range| range.likely)),
        field(start.map(|range| range.high)),
    );
    let source = RwSignal::new(own.as_ref().map(|value| value.source.clone()).unwrap_or_default());
    let date = RwSignal::new(own.as_ref().map(|value| value.date.clone()).unwrap_or_default());
    let (refused, set_refused) = signal(None::<String>);
    let done = move |set: Assumptions| match keep(store, &set) {
        Ok(()) => to(&["assume"]).go(),
        Err(why) => set_refused.set(Some(why)),
    };
    let take = move || {
        let number = |typed: RwSignal<String>| super::number(&typed.get_untracked());
        let (Some(low), Some(likely), Some(high)) = (number(low), number(likely), number(high)) else {
            set_refused.set(Some(text::not_a_number().to_owned()));
            return;
        };
        let mut set = in_force(store);
        let value = Value {
            range: Range::of(low, likely, high),
            source: source.get_untracked().trim().to_owned(),
            date: date.get_untracked().trim().to_owned(),
        };
        set.values.insert(entry.key.to_owned(), value);
        done(set);
    };
    let clear = move || {
        let mut set = in_force(store);
        set.values.remove(entry.key);
        done(set);
    };
    let number = move |label: &'static str, value: RwSignal<String>, tap: &'static str| {
        view! { <TextField label=label value=value tap=tap on_input=move |typed| value.set(typed) /> }
    };
    let lead = format!(
        "{} {}",
        text::unit(entry, &set.currency),
        text::in_force(entry, own.as_ref())
    );
    let is_own = own.is_some();
    view! {
        <Page
            title=assume::label(entry).to_owned()
            here=common::journey(Journey::Results).to_owned()
            lead=lead
            action=move || view! { <Button label=text::keep() tap="assume-keep" kind=Kind::Primary on_press=take /> }
        >
            <p class="error" role="alert">
                {move || refused.get()}
            </p>
            {number(text::low(), low, "assume-low")}
            {number(text::likely(), likely, "assume-likely")}
            {number(text::high(), high, "assume-high")}
            <TextField
                label=text::source()
                hint=text::source_hint()
                value=source
                tap="assume-source"
                on_input=move |typed| source.set(typed)
            />
            <TextField label=text::date() value=date tap="assume-date" on_input=move |typed| date.set(typed) />
            {is_own.then(|| view! { <Button label=text::clear() tap="assume-clear" on_press=clear /> })}
            <Link label=text::back_to_list().to_owned() tap="assume-list" href=to(&["assume"]).href() />
        </Page>
    }
}

/// What is kept of the sound, and who and what there is.
#[component]
pub fn Keeping() -> impl IntoView {
    let store = use_store();
    let (refused, set_refused) = signal(None::<String>);
    let set = Memo::new(move |_| store.state.with(|state| analysis::outlook::assumptions(state)));
    let change = move |change: &dyn Fn(&mut Assumptions)| {
        let mut set = in_force(store);
        change(&mut set);
        set_refused.set(keep(store, &set).err());
    };
    let quality =
        Signal::derive(move || set.with(|set| Some(format!("{}/{}", set.storage.rate_hz, set.storage.bits))));
    let qualities: Vec<ChoiceOption> = text::qualities()
        .into_iter()
        .map(|(key, label)| ChoiceOption::new(key, label))
        .collect();
    let choose = move |key: String| {
        let parts = key
            .split_once('/')
            .and_then(|(rate, bits)| Some((rate.parse().ok()?, bits.parse().ok()?)));
        if let Some((rate, bits)) = parts {
            change(&|set| (set.storage.rate_hz, set.storage.bits) = (rate, bits));
        }
    };
    let stepper = move |label: &'static str,
                        tap: &'static str,
                        (least, most): (u32, u32),
                        read: fn(&Assumptions) -> f64,
                        write: fn(&mut Assumptions, u32)| {
        view! {
            <NumberStepper
                label=label
                value=Signal::derive(move || set.with(|set| whole(read(set))))
                least=least
                most=most
                tap=tap
                less=text::less(label)
                more=text::more(label)
                on_change=move |n| change(&|set| write(set, n))
            />
        }
    };
    view! {
        <Page
            title=text::keeping().to_owned()
            here=common::journey(Journey::Results).to_owned()
            action=move || {
                view! {
                    <Link label=text::back_to_list().to_owned() tap="assume-list" kind=Kind::Primary href=to(&["assume"]).href() />
                }
            }
        >
            <p class="error" role="alert">
                {move || refused.get()}
            </p>
            <ChoiceList legend=text::quality() options=qualities chosen=quality tap="assume-quality" on_choose=choose />
            {stepper(text::copies(), "assume-copies", (1, 10), |s| f64::from(s.storage.copies), |s, n| s.storage.copies = n)}
            {stepper(
                text::access(),
                "assume-access",
                (0, 5),
                |s| f64::from(s.storage.access_copies),
                |s, n| s.storage.access_copies = n,
            )}
            {stepper(text::years(), "assume-years", (1, 100), |s| s.storage.years, |s, n| s.storage.years = f64::from(n))}
            {stepper(
                text::machines(),
                "assume-machines",
                (1, 100),
                |s| s.capacity.machines,
                |s, n| s.capacity.machines = f64::from(n),
            )}
            {stepper(
                text::machine_hours(),
                "assume-machine-hours",
                (1, 168),
                |s| s.capacity.machine_hours_week,
                |s, n| s.capacity.machine_hours_week = f64::from(n),
            )}
            {stepper(
                text::people(),
                "assume-people",
                (1, 100),
                |s| s.capacity.people,
                |s, n| s.capacity.people = f64::from(n),
            )}
            {stepper(
                text::people_hours(),
                "assume-people-hours",
                (1, 80),
                |s| s.capacity.people_hours_week,
                |s, n| s.capacity.people_hours_week = f64::from(n),
            )}
        </Page>
    }
}

#[allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "rounded, and between 0 and 10,000"
)]
fn whole(number: f64) -> Option<u32> {
    (0.0..=10_000.0)
        .contains(&number)
        .then_some(number.round() as u32)
}
