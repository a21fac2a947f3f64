//! What is assumed: the list, one value, and what is kept with what.

use costing::{Assumptions, Entry, Kind as EntryKind, Range, Value, catalogue};
use leptos::prelude::*;

use super::whole;
use super::whose::{self, Whose, keep_plan};
use crate::capability::navigation;
use crate::route::Journey;
use crate::store::use_store;
use crate::texts::{assume, common, scenarios, takes as text};
use crate::ui::{Button, ChoiceList, ChoiceOption, Kind, Link, NumberStepper, Page, Section, TextField};

/// Everything that can be assumed, with its value.
#[component]
pub(super) fn List(
    /// Whose values.
    whose: Whose,
) -> impl IntoView {
    let store = use_store();
    let set = whose.in_force(store);
    let is_plan = whose == Whose::Plan;
    let lines = |money: bool| {
        catalogue()
            .iter()
            .filter(|entry| (entry.kind == EntryKind::Money) == money)
            .map(|entry| {
                let line = text::line(entry, set.range(entry.key), &set.currency);
                let is_own = !is_plan && whose.own(store, entry.key).is_some();
                let label = if is_own { scenarios::value_own(line) } else { line };
                view! {
                    <li>
                        <Link label tap=format!("assume-{}", entry.key) href=whose.at(&[entry.key]) />
                    </li>
                }
            })
            .collect_view()
    };
    let (prices, times) = (lines(true), lines(false));
    let (here, lead, back, label) = match &whose {
        Whose::Plan => (
            text::assume_title().to_owned(),
            text::assume_lead(),
            super::to(&["takes"]),
            text::back().to_owned(),
        ),
        Whose::Way(name) => (
            name.clone(),
            scenarios::values_text(),
            super::to(&["scenarios", &super::scenarios::in_address(name)]),
            scenarios::open(name),
        ),
    };
    view! {
        <Page
            title=here
            here=common::journey(Journey::Results).to_owned()
            lead=lead.to_owned()
            action=move || {
                view! { <Link label=label.clone() tap="assume-back" kind=Kind::Primary href=back.clone() /> }
            }
        >
            {is_plan
                .then(|| {
                    view! { <Link label=text::keeping().to_owned() tap="assume-keeping" href=super::to(&["assume", "keeping"]) /> }
                })}
            <Section title=text::prices().to_owned()>
                {is_plan.then(|| view! { <Currency /> })} <ul class="plain-list">{prices}</ul>
            </Section>
            <Section title=text::times().to_owned()>
                <ul class="plain-list">{times}</ul>
            </Section>
        </Page>
    }
}

/// The currency of all money.
#[component]
fn Currency() -> impl IntoView {
    let store = use_store();
    let currency = RwSignal::new(whose::plan(store).currency);
    let (refused, set_refused) = signal(None::<String>);
    let keep = Callback::new(move |typed: String| {
        let mut set = whose::plan(store);
        typed.trim().clone_into(&mut set.currency);
        set_refused.set(keep_plan(store, &set).err());
    });
    view! {
        <TextField
            label=text::currency()
            hint=text::currency_hint()
            error=Signal::derive(move || refused.get())
            value=currency
            tap="assume-currency"
            on_input=move |typed| currency.set(typed)
            on_done=keep
        />
    }
}

/// One value: three numbers, where they come from, and the day.
#[component]
pub(super) fn One(
    /// What.
    entry: &'static Entry,
    /// Whose value of it.
    whose: Whose,
) -> impl IntoView {
    let store = use_store();
    let set = whose.in_force(store);
    let own = whose.own(store, entry.key);
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
    let list = whose.at(&[]);
    let clear_label = match &whose {
        Whose::Plan => text::clear(),
        Whose::Way(_) => scenarios::value_clear(),
    };
    let whose = StoredValue::new(whose);
    let done = move |value: Option<Value>| {
        let kept = whose.with_value(|whose| whose.set(store, entry.key, value));
        match kept {
            Ok(()) => navigation::go(whose.with_value(|whose| whose.at(&[])).trim_start_matches('#')),
            Err(why) => set_refused.set(Some(why)),
        }
    };
    let take = move || {
        let number = |typed: RwSignal<String>| super::number(&typed.get_untracked());
        let (Some(low), Some(likely), Some(high)) = (number(low), number(likely), number(high)) else {
            set_refused.set(Some(text::not_a_number().to_owned()));
            return;
        };
        done(Some(Value {
            range: Range::of(low, likely, high),
            source: source.get_untracked().trim().to_owned(),
            date: date.get_untracked().trim().to_owned(),
        }));
    };
    let clear = move || done(None);
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
            {is_own.then(|| view! { <Button label=clear_label tap="assume-clear" on_press=clear /> })}
            <Link label=text::back_to_list().to_owned() tap="assume-list" href=list />
        </Page>
    }
}

/// What is kept of the sound, and who and what there is.
#[component]
pub(super) fn Keeping() -> impl IntoView {
    let store = use_store();
    let (refused, set_refused) = signal(None::<String>);
    let set = Memo::new(move |_| store.state.with(|state| analysis::outlook::assumptions(state)));
    let change = move |change: &dyn Fn(&mut Assumptions)| {
        let mut set = whose::plan(store);
        change(&mut set);
        set_refused.set(keep_plan(store, &set).err());
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
                    <Link label=text::back_to_list().to_owned() tap="assume-list" kind=Kind::Primary href=super::to(&["assume"]) />
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
