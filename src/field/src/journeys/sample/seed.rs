//! The seed, the size of a round, and how many tapes of a box are checked.

use leptos::prelude::*;
use survey::Command;
use survey::entry::SeedSource;

use crate::capability::random;
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{common, sample as text};
use crate::ui::{
    Button, ChoiceList, ChoiceOption, Kind, Link, NumberStepper, Page, Panel, Section, TextField,
};

/// How many tapes of a box can be asked for; 0 stands for all.
const ITEMS: [u32; 4] = [0, 4, 8, 12];

const SOURCES: [(&str, SeedSource); 3] = [
    ("dice", SeedSource::Dice),
    ("witness", SeedSource::Witness),
    ("device", SeedSource::Device),
];

/// The screen.
#[component]
pub fn Seed() -> impl IntoView {
    let store = use_store();
    let (source, set_source) = signal(SeedSource::Dice);
    let (seed, set_seed) = signal(String::new());
    let (error, set_error) = signal(None::<String>);
    let (round_size, set_round_size) = signal(5u32);
    let (items, set_items) = signal(8u32);

    let choose_source = move |key: String| {
        let Some((_, chosen)) = SOURCES.iter().find(|(known, _)| *known == key) else {
            return;
        };
        set_source.set(*chosen);
        set_error.set(None);
        match chosen {
            SeedSource::Device => set_seed.set(device_seed()),
            SeedSource::Dice | SeedSource::Witness => set_seed.set(String::new()),
        }
    };
    let draw = move || {
        if seed.with_untracked(|seed| seed.trim().is_empty()) {
            set_error.set(Some(text::seed_missing().to_owned()));
            return;
        }
        let items = items.get_untracked();
        store.send(Command::Roll {
            seed: seed.get_untracked(),
            source: source.get_untracked(),
            round_size: round_size.get_untracked(),
            items_per_box: (items > 0).then_some(items),
        });
        if store.refusal.get_untracked().is_none() {
            Route::to(store.state.get_untracked().survey, Journey::Sample, &[]).replace();
        }
    };
    let sources: Vec<ChoiceOption> = SOURCES
        .iter()
        .map(|(key, source)| {
            let (label, hint) = text::source(*source);
            ChoiceOption::new(*key, label).hint(hint)
        })
        .collect();
    let seed_hint = move || match source.get() {
        SeedSource::Dice => text::seed_dice_hint().to_owned(),
        SeedSource::Witness => text::seed_witness_hint().to_owned(),
        SeedSource::Device => text::seed_device_hint().to_owned(),
    };
    let chosen_source = move || {
        let source = source.get();
        SOURCES
            .iter()
            .find(|(_, known)| *known == source)
            .map(|(key, _)| (*key).to_owned())
    };
    let item_options: Vec<ChoiceOption> = ITEMS
        .iter()
        .map(|n| match n {
            0 => ChoiceOption::new("0", text::items_all()).hint(text::items_all_hint()),
            n => {
                let (label, hint) = text::items(*n);
                ChoiceOption::new(n.to_string(), label).hint(hint)
            }
        })
        .collect();
    let drawn_before = move || store.state.get().draw.is_some();
    let keep = move || Route::to(store.state.get().survey, Journey::Sample, &[]).href();
    view! {
        <Page
            title=text::seed_title().to_owned()
            here=common::journey(Journey::Sample).to_owned()
            lead=text::seed_lead().to_owned()
            next=common::next(text::next_check())
            action=move || {
                view! { <Button label=text::draw().to_owned() tap="sample-draw" kind=Kind::Primary on_press=draw /> }
            }
        >
            <Show when=drawn_before>
                <Panel title=text::again().to_owned()>
                    <p>{text::again_note()}</p>
                    <Link label=text::keep().to_owned() tap="sample-keep" kind=Kind::Secondary href=Signal::derive(keep) />
                </Panel>
            </Show>
            <ChoiceList
                legend=text::source_title().to_owned()
                options=sources
                chosen=Signal::derive(chosen_source)
                tap="sample-source"
                on_choose=choose_source
            />
            <TextField
                label=text::seed().to_owned()
                hint=Signal::derive(seed_hint)
                error=error
                value=seed
                tap="sample-seed"
                on_input=move |text| {
                    set_error.set(None);
                    set_seed.set(text);
                }
            />
            <Section title=text::items_title().to_owned()>
                <ChoiceList
                    legend=text::items_title().to_owned()
                    hide_legend=true
                    options=item_options
                    chosen=Signal::derive(move || Some(items.get().to_string()))
                    tap="sample-items"
                    on_choose=move |key: String| set_items.set(key.parse().unwrap_or(0))
                />
            </Section>
            <NumberStepper
                label=text::round_size().to_owned()
                hint=text::round_size_hint().to_owned()
                value=Signal::derive(move || Some(round_size.get()))
                least=4
                most=6
                tap="sample-round-size"
                less=text::fewer()
                more=text::more()
                on_change=move |n| set_round_size.set(n)
            />
        </Page>
    }
}

/// Sixteen digits and letters of the device's randomness; empty (to be typed) if it has none.
fn device_seed() -> String {
    let hex = |bytes: [u8; 16]| bytes.iter().take(8).map(|byte| format!("{byte:02x}")).collect();
    random::bits128().map(hex).unwrap_or_default()
}
