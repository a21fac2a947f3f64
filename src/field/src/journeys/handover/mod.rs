//! Hand over: carry the survey file away, check one, take in a colleague's.

mod also;
mod check_file;
mod differ;
mod papers;

use handover::{Day, Elsewhere, FileError, Parts, short_name};
use leptos::prelude::*;

use self::check_file::CheckFile;
use self::differ::Differ;
use super::beside::{ShowCodes, What};
use super::differs::Differs;
use super::folder::Folder;
use super::locking::Lock;
use super::unable::{PhotosDone, RawLog, Stop};
use super::unseal::Sealing;
use super::{keeping, take_in::TakeIn};
use crate::capability::heavy::Fault;
use crate::capability::held::Held;
use crate::capability::share::{self, Parcel, Shared};
use crate::capability::{clock, download, heavy, task};
use crate::route::{Journey, Route};
use crate::store::use_store;
use crate::texts::{
    beside as hands, common, folder, handover as text, heavy as work, papers as paper_text,
    review as review_text,
};
use crate::ui::{Button, Kind, Link, Page, Panel, Section, Tone};

const ZIP: &str = "application/zip";
const SEALED: &str = "application/octet-stream";

/// How far the file is.
#[derive(Clone, PartialEq)]
enum Saving {
    Idle,
    Working,
    Saved {
        name: String,
        /// Its size.
        bytes: u64,
        /// How many photographs that the log names are not in it.
        n_missing: usize,
        parcel: Option<Parcel>,
    },
    Failed(String),
}

/// The screens.
#[component]
pub fn View(
    /// Where in it.
    #[prop(into)]
    at: Signal<Vec<String>>,
) -> impl IntoView {
    let first = Memo::new(move |_| at.with(|at| at.first().cloned().unwrap_or_default()));
    let second = Memo::new(move |_| at.with(|at| at.get(1).cloned()));
    move || match first.get().as_str() {
        "beside" => view! { <ShowCodes what=What::Entries /> }.into_any(),
        "differ" => view! { <Differ /> }.into_any(),
        "folder" => view! { <Folder /> }.into_any(),
        "papers" => (move || match second.get() {
            Some(key) => view! { <papers::Words key /> }.into_any(),
            None => view! { <papers::Papers /> }.into_any(),
        })
        .into_any(),
        "have" => view! { <ShowCodes what=What::Known /> }.into_any(),
        _ => view! { <Files /> }.into_any(),
    }
}

/// Files, and the ways to the other ways.
#[component]
fn Files() -> impl IntoView {
    let store = use_store();
    let saving = RwSignal::new(Saving::Idle);
    let (far, set_far) = signal((0, 0));
    let save_with = move |passphrase: Option<String>| {
        saving.set(Saving::Working);
        set_far.set((0, 0));
        task::spawn(async move {
            let hear = move |done, all| {
                let _ = set_far.try_set((done, all));
            };
            // A person who has gone elsewhere finds the file among the downloads.
            let _ = saving.try_set(save_file(store, passphrase, hear).await);
        });
    };
    let save = move || save_with(None);
    let passphrase = RwSignal::new(heavy::passphrase().unwrap_or_default());
    let on_seal = Callback::new(move |()| save_with(Some(passphrase.get_untracked().trim().to_owned())));
    let is_working = Signal::derive(move || saving.with(|saving| *saving == Saving::Working));
    let said = move || match saving.get() {
        Saving::Idle => view! {
            <Panel title=text::only_here().to_owned()>
                <p>{text::only_here_text()}</p>
            </Panel>
        }
        .into_any(),
        Saving::Working => view! {
            <p role="status">{text::working()}</p>
            <PhotosDone far />
            <Stop />
        }
        .into_any(),
        Saving::Saved {
            name,
            bytes,
            n_missing,
            parcel,
        } => view! {
            <Panel title=text::saved_title().to_owned() at_once=true>
                <p data-saved=name.clone()>{text::saved(&name, kilobytes(bytes))}</p>
                {(n_missing > 0).then(|| view! { <p>{text::without_photos(n_missing)}</p> })}
                {parcel.map(|parcel| view! { <Send parcel /> })}
            </Panel>
        }
        .into_any(),
        Saving::Failed(why) => view! {
            <Panel tone=Tone::Caution title=text::could_not_save().to_owned() at_once=true>
                <p>{why}</p>
            </Panel>
        }
        .into_any(),
    };
    let size = move || {
        let state = store.state.get();
        text::entries(store.log().entries().len(), state.writers.len())
    };
    view! {
        <Page
            title=text::title().to_owned()
            here=common::journey(Journey::HandOver).to_owned()
            lead=text::lead().to_owned()
            action=move || {
                view! {
                    <Button
                        label=text::save().to_owned()
                        tap="handover-save"
                        kind=Kind::Primary
                        disabled=is_working
                        on_press=save
                    />
                }
            }
        >
            {said} <Section title=text::contents().to_owned()>
                <p>{size}</p>
                <ul class="bullets">{text::contents_lines().map(|line| view! { <li>{line}</li> }).collect_view()}</ul>
            </Section> <details class="more">
                <summary data-tap="handover-seal">{text::seal_it()}</summary>
                <Sealing passphrase disabled=is_working on_seal />
            </details> <Papers /> <OtherWays /> <RawLog /> <Differs /> <Section title=text::check_it().to_owned()>
                <p>{text::check_text()}</p>
                <CheckFile />
                <p>
                    <Link label=review_text::link() tap="handover-to-review" href=Route::Review.href() />
                </p>
            </Section> <Section title=text::take_in().to_owned()>
                <p>{text::take_in_text()}</p>
                <TakeIn label=text::open() tap="handover-take-in" />
            </Section> <Section title=text::on_this_device().to_owned()>
                <Lock />
                <keeping::Delete />
            </Section>
        </Page>
    }
}

/// The way to the papers.
#[component]
fn Papers() -> impl IntoView {
    let store = use_store();
    let href = move || Route::to(store.state.get().survey, Journey::HandOver, &["papers"]).href();
    view! {
        <Section title=paper_text::section()>
            <p>{paper_text::section_text()}</p>
            <div class="beside">
                <Link
                    label=paper_text::link()
                    tap="handover-papers"
                    kind=Kind::Secondary
                    href=Signal::derive(href)
                />
            </div>
        </Section>
    }
}

/// What a file that is made now says beside its log; `None` where the device has no day.
fn parts_now() -> Option<Parts> {
    Some(Parts {
        date: Day::from_ms(clock::now_ms())?,
        app: handover::APP.to_owned(),
        organization: None,
        contact: None,
    })
}

/// The ways to hand over without a file.
#[component]
fn OtherWays() -> impl IntoView {
    let store = use_store();
    let to = move |at: &'static str| {
        let href = move || Route::to(store.state.get().survey, Journey::HandOver, &[at]).href();
        Signal::derive(href)
    };
    view! {
        <Section title=hands::section().to_owned()>
            <p>{hands::section_text()}</p>
            <div class="beside">
                <Link label=hands::show() tap="handover-beside" kind=Kind::Secondary href=to("beside") />
                <Link label=hands::read() tap="handover-read" kind=Kind::Secondary href=Route::Camera.href() />
            </div>
        </Section>
        <Section title=folder::section().to_owned()>
            <p>{folder::section_text()}</p>
            <div class="beside">
                <Link label=folder::title() tap="handover-folder" kind=Kind::Secondary href=to("folder") />
            </div>
        </Section>
    }
}

/// For people, who are told nothing smaller.
fn kilobytes(bytes: u64) -> usize {
    usize::try_from(bytes.div_ceil(1_000)).unwrap_or(usize::MAX)
}

/// Makes the file, sealed if a passphrase is given, and hands it to the browser. `hear` is told how many photographs of all
/// are in it.
async fn save_file(
    store: crate::store::Store,
    passphrase: Option<String>,
    hear: impl Fn(usize, usize),
) -> Saving {
    let now = clock::now_ms();
    let Some(parts) = parts_now() else {
        return Saving::Failed(text::could_not_save().to_owned());
    };
    let log = store.log();
    let in_file = std::sync::Arc::clone(&log);
    let name = format!("{}-{}.zip", short_name(log.survey()), clock::iso_day(now));
    let n_named = store
        .state
        .with_untracked(|state| handover::photos::named(state).len());
    heavy::begin_file(&log, &parts);
    // Where the device gives no photographs, the answers are carried away all the same, and it is said.
    let photos = match store.photos_for_a_file(&hear).await {
        Ok(photos) => photos,
        Err(fault) => return Saving::Failed(work::fault(fault, |why| text::not_held(&why))),
    };
    let n_missing = n_named.saturating_sub(photos.len());
    let made = match put_together(log, parts, photos).await {
        Ok(made) => made,
        Err(fault) => return Saving::Failed(work::fault(fault, |error| text::file_error(&error))),
    };
    hear(0, 0);
    let (name, media_type, made) = match passphrase {
        None => (name, ZIP, made),
        Some(passphrase) => match heavy::seal(&made, passphrase).await {
            Ok(sealed) => (format!("{name}.age"), SEALED, sealed),
            Err(fault) => return Saving::Failed(work::fault(fault, text::seal_error)),
        },
    };
    match download::save_held(&name, &made) {
        Ok(()) => {
            store.note_handed_over(&in_file);
            let parcel = share::parcel_of(&name, media_type, &made);
            Saving::Saved {
                name,
                bytes: made.n_bytes(),
                n_missing,
                parcel,
            }
        }
        Err(why) => Saving::Failed(why),
    }
}

/// The pieces of the file and its photographs by turns.
async fn put_together(
    log: std::sync::Arc<survey::Log>,
    parts: Parts,
    photos: Vec<(Elsewhere, Held)>,
) -> Result<Held, Fault<FileError>> {
    let (said, pictures): (Vec<Elsewhere>, Vec<Held>) = photos.into_iter().unzip();
    let pieces = heavy::write_file(log, parts, said).await?;
    let mut pictures = pictures.into_iter();
    let mut all = Vec::with_capacity(2 * pieces.len());
    for piece in pieces {
        all.push(Held::of(&piece).map_err(Fault::NoWorker)?);
        all.extend(pictures.next());
    }
    let made = Held::joined(&all, ZIP).map_err(Fault::NoWorker)?;
    made.check().await.map_err(Fault::NoWorker)?;
    Ok(made)
}

/// The device's own sheet for sending the file, where it has one.
#[component]
fn Send(parcel: Parcel) -> impl IntoView {
    let said = RwSignal::new(None::<Shared>);
    let send = move || {
        let parcel = parcel.clone();
        task::spawn(async move {
            let shared = share::send(parcel).await;
            // The person may have gone elsewhere meanwhile.
            let _ = said.try_set(Some(shared));
        });
    };
    view! {
        <div class="panel-actions">
            <Button label=text::send().to_owned() tap="handover-send" on_press=send />
        </div>
        <p role="status">{move || said.get().map(|shared| text::shared(&shared))}</p>
    }
}
