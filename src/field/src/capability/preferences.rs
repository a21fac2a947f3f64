//! Small things this device remembers for its owner. Losing them costs a few taps and never an answer.
//!
//! They live in memory while the page lives, so that views read them at once, and in the store `device` of
//! [`super::database`], a record a name. Local storage is not used: a browser writes it to the disk when it likes, and
//! a device killed within seconds of its first start would come back as another one.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use survey::store::StoreError;
use survey::{DeviceId, SurveyId};
use transfer::folder::PartName;
use wasm_bindgen::JsValue;

use super::database::{self, DEVICE, Durability};
use super::{random, task};

/// Where the device's id is kept: the first name that is written.
const ID: &str = "device";

/// What a colour scheme is called in the preferences and on the root element.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Scheme {
    /// As the device is set.
    #[default]
    Device,
    /// Dark on light.
    Light,
    /// Light on dark.
    Dark,
    /// Deep red and amber on black: keeps eyes used to the dark.
    Cellar,
}

impl Scheme {
    /// Every scheme, in the order it is offered.
    pub const ALL: [Self; 4] = [Self::Device, Self::Light, Self::Dark, Self::Cellar];

    /// Its name for the style sheet; `None` follows the device.
    #[must_use]
    pub fn name(self) -> Option<&'static str> {
        match self {
            Self::Device => None,
            Self::Light => Some("light"),
            Self::Dark => Some("dark"),
            Self::Cellar => Some("cellar"),
        }
    }

    fn from_name(name: &str) -> Self {
        Self::ALL
            .into_iter()
            .find(|scheme| scheme.name() == Some(name))
            .unwrap_or_default()
    }
}

/// The hand whose thumb taps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Hand {
    /// The main action stands at the right.
    #[default]
    Right,
    /// The main action stands at the left.
    Left,
}

impl Hand {
    /// Both, in the order they are offered.
    pub const ALL: [Self; 2] = [Self::Right, Self::Left];

    /// Its name in the preferences and for the style sheet.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }

    /// The hand of that name; the right one for any other.
    #[must_use]
    pub fn from_name(name: &str) -> Self {
        if name == Self::Left.name() {
            Self::Left
        } else {
            Self::Right
        }
    }
}

/// What lengths are measured in. What is written down is always millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Lengths {
    /// Millimetres.
    #[default]
    Millimetres,
    /// Inches of 25.4 mm.
    Inches,
}

impl Lengths {
    /// Both, in the order they are offered.
    pub const ALL: [Self; 2] = [Self::Millimetres, Self::Inches];

    /// Its name in the preferences.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Millimetres => "mm",
            Self::Inches => "in",
        }
    }

    /// The unit of that name; millimetres for any other.
    #[must_use]
    pub fn from_name(name: &str) -> Self {
        if name == Self::Inches.name() {
            Self::Inches
        } else {
            Self::Millimetres
        }
    }
}

/// Reads what is remembered, and makes the device's id at its first start. To be waited for before anything else.
///
/// # Errors
/// The browser has no randomness.
pub async fn load() -> Result<Loaded, String> {
    // Made before the database is asked, since a transaction ends while it is not used.
    let fresh = DeviceId(random::bits128()?);
    let loaded = match read_all(Some(fresh)).await {
        Ok(kept) => {
            KEPT.set(kept);
            Loaded::Whole
        }
        Err(StoreError::Interrupted(why)) => Loaded::Held(why),
        Err(StoreError::Newer(why)) => Loaded::Newer(why),
        // A browser that keeps nothing: the device is a new one at each start, and the shell says so at the first tap.
        Err(_) => {
            let mut kept = of_local_storage();
            kept.entry(ID.to_owned())
                .or_insert_with(|| json(&fresh.to_string()));
            KEPT.set(kept);
            Loaded::InMemory
        }
    };
    Ok(loaded)
}

/// What [`load`] found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Loaded {
    /// Everything.
    Whole,
    /// This browser keeps nothing; the app works in memory.
    InMemory,
    /// The database does not answer, and why. Nothing may be written under a new id meanwhile.
    Held(String),
    /// The database belongs to a newer version of the app than this one.
    Newer(String),
}

/// This device's id; `None` before [`load`].
#[must_use]
pub fn device() -> Option<DeviceId> {
    read::<String>(ID).and_then(|text| text.parse().ok())
}

/// What the owner calls the device.
#[must_use]
pub fn device_name() -> String {
    read("device_name").unwrap_or_default()
}

/// Remembers the device's name.
pub fn set_device_name(name: &str) {
    write("device_name", &name);
}

/// Who holds the device.
#[must_use]
pub fn person() -> String {
    read("person").unwrap_or_default()
}

/// Remembers who holds the device.
pub fn set_person(name: &str) {
    write("person", &name);
}

/// Who looks while the person with the device taps; empty if it is the same one.
#[must_use]
pub fn looker() -> String {
    read("looker").unwrap_or_default()
}

/// Remembers who looks.
pub fn set_looker(name: &str) {
    write("looker", &name);
}

/// Who filled in the paper sheets that are being typed in.
#[must_use]
pub fn sheet_filler() -> String {
    read("sheet_filler").unwrap_or_default()
}

/// The day on the paper sheets that are being typed in, `2026-11-25`; empty if none was given.
#[must_use]
pub fn sheet_day() -> String {
    read("sheet_day").unwrap_or_default()
}

/// Remembers whose sheets are typed in, and of which day.
pub fn set_sheet(filler: &str, day: &str) {
    write("sheet_filler", &filler);
    write("sheet_day", &day);
}

/// The colour scheme.
#[must_use]
pub fn scheme() -> Scheme {
    read::<String>("scheme")
        .map(|name| Scheme::from_name(&name))
        .unwrap_or_default()
}

/// Remembers the colour scheme.
pub fn set_scheme(scheme: Scheme) {
    write("scheme", &scheme.name().unwrap_or_default());
}

/// The tag of the language that was chosen on this device; `None` follows the browser.
#[must_use]
pub fn language() -> Option<String> {
    read("language")
}

/// Remembers the language that was chosen.
pub fn set_language(tag: &str) {
    write("language", &tag);
}

/// The hand that taps.
#[must_use]
pub fn hand() -> Hand {
    read::<String>("hand").map_or(Hand::Right, |name| Hand::from_name(&name))
}

/// Remembers the hand that taps.
pub fn set_hand(hand: Hand) {
    write("hand", &hand.name());
}

/// What lengths are measured in.
#[must_use]
pub fn lengths() -> Lengths {
    read::<String>("lengths").map_or(Lengths::Millimetres, |name| Lengths::from_name(&name))
}

/// Remembers what lengths are measured in.
pub fn set_lengths(lengths: Lengths) {
    write("lengths", &lengths.name());
}

/// Where the person was last, as it stands behind `#`.
#[must_use]
pub fn last_place() -> Option<String> {
    read("last_place")
}

/// Remembers where the person is.
pub fn set_last_place(hash: &str) {
    write("last_place", &hash);
}

/// The titles of the surveys on this device, so that a list of two hundred opens without reading two hundred logs.
/// A copy for convenience: the logs are what counts.
#[must_use]
pub fn titles() -> BTreeMap<SurveyId, String> {
    named(TITLE)
}

/// The texts of every survey under names that begin so.
fn named(prefix: &str) -> BTreeMap<SurveyId, String> {
    KEPT.with_borrow(|all| {
        let found = all.iter().filter_map(|(name, text)| {
            let survey = name.strip_prefix(prefix)?.parse().ok()?;
            Some((survey, serde_json::from_str(text).ok()?))
        });
        found.collect()
    })
}

/// Remembers a survey's title.
pub fn set_title(survey: SurveyId, title: &str) {
    write(&title_of(survey), &title);
}

/// How many things do not agree in the surveys on this device, as they were when they were last open.
#[must_use]
pub fn differs() -> BTreeMap<SurveyId, usize> {
    let all = named(DIFFERS).into_iter();
    all.filter_map(|(survey, n)| Some((survey, n.parse().ok().filter(|n| *n > 0)?)))
        .collect()
}

/// Remembers how many things do not agree in a survey.
pub fn set_differs(survey: SurveyId, n: usize) {
    if differs().get(&survey).copied().unwrap_or(0) != n {
        write(&format!("{DIFFERS}{survey}"), &n.to_string());
    }
}

/// Forgets all about a survey that is no longer here, the last place too if it was there.
pub fn forget(survey: SurveyId) {
    for name in [
        title_of(survey),
        format!("{HANDED}{survey}"),
        format!("{DELETED}{survey}"),
        format!("{PARTS}{survey}"),
        format!("{DIFFERS}{survey}"),
    ] {
        put(&name, None);
    }
    if last_place().is_some_and(|place| place.contains(&survey.to_string())) {
        put("last_place", None);
    }
}

/// How much of a survey was handed over: entries by writer, and when, milliseconds since 1970.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Handed {
    /// Entries of each writer, by its id.
    pub entries: BTreeMap<String, u64>,
    /// When the last file was carried away; 0 for never.
    pub at_ms: u64,
}

/// What was handed over of a survey.
#[must_use]
pub fn handed(survey: SurveyId) -> Handed {
    read(&format!("{HANDED}{survey}")).unwrap_or_default()
}

/// Remembers what was handed over of a survey.
pub fn set_handed(survey: SurveyId, handed: &Handed) {
    write(&format!("{HANDED}{survey}"), handed);
}

/// Where the team's folder is; empty if none was given.
#[must_use]
pub fn folder_address() -> String {
    read("folder_address").unwrap_or_default()
}

/// Under which name it is asked.
#[must_use]
pub fn folder_user() -> String {
    read("folder_user").unwrap_or_default()
}

/// Remembers the team's folder.
pub fn set_folder(address: &str, user: &str) {
    write("folder_address", &address);
    write("folder_user", &user);
}

/// The folder's password, if its owner had it kept; else empty.
#[must_use]
pub fn folder_password() -> String {
    read("folder_password").unwrap_or_default()
}

/// Keeps the folder's password; an empty one forgets it.
pub fn set_folder_password(password: &str) {
    put("folder_password", (!password.is_empty()).then(|| json(&password)));
}

/// The parts of a survey that are known to lie whole in the folder at this address.
#[must_use]
pub fn folder_parts(survey: SurveyId, address: &str) -> BTreeSet<PartName> {
    let kept: Option<(String, Vec<String>)> = read(&format!("{PARTS}{survey}"));
    let names = kept.filter(|(kept, _)| kept == address).map(|(_, names)| names);
    names
        .unwrap_or_default()
        .iter()
        .filter_map(|name| name.parse().ok())
        .collect()
}

/// Remembers those parts.
pub fn set_folder_parts(survey: SurveyId, address: &str, parts: &BTreeSet<PartName>) {
    let names: Vec<String> = parts.iter().map(ToString::to_string).collect();
    write(&format!("{PARTS}{survey}"), &(address, names));
}

/// The surveys that were deleted since the app was started, with their titles.
#[must_use]
pub fn deleted() -> BTreeMap<SurveyId, String> {
    named(DELETED)
}

/// Marks a survey as deleted; it goes for good at the next start. Durable when this returns.
///
/// # Errors
/// The storage refuses; the survey is not deleted then.
pub async fn set_deleted(survey: SurveyId, title: Option<&str>) -> Result<(), StoreError> {
    let name = format!("{DELETED}{survey}");
    let value = title.map(|title| json(&title));
    put_on_disk(&name, value.as_deref(), Durability::Strict).await?;
    KEPT.with_borrow_mut(|all| match value {
        Some(value) => all.insert(name, value),
        None => all.remove(&name),
    });
    Ok(())
}

/// Hears that another window deleted a survey, or brought it back.
///
/// # Errors
/// The storage refuses.
pub async fn read_again() -> Result<(), StoreError> {
    let kept = read_all(None).await?;
    KEPT.set(kept);
    Ok(())
}

const HANDED: &str = "handed:";
const PARTS: &str = "folder_parts:";
const DELETED: &str = "deleted:";
const DIFFERS: &str = "differs:";

/// One record a survey, so that two tabs do not write over each other's.
const TITLE: &str = "title:";

fn title_of(survey: SurveyId) -> String {
    format!("{TITLE}{survey}")
}

thread_local! {
    /// What is remembered, as JSON.
    static KEPT: RefCell<BTreeMap<String, String>> = const { RefCell::new(BTreeMap::new()) };
}

fn json(value: &impl Serialize) -> String {
    // Texts and maps of texts cannot fail.
    serde_json::to_string(value).unwrap_or_default()
}

fn read<T: DeserializeOwned>(name: &str) -> Option<T> {
    KEPT.with_borrow(|all| serde_json::from_str(all.get(name)?).ok())
}

fn write<T: Serialize>(name: &str, value: &T) {
    put(name, Some(json(value)));
}

/// Remembers at once, and on the disk a moment later. What cannot be kept is asked for again at the next start; the
/// state of storage is shown elsewhere.
fn put(name: &str, value: Option<String>) {
    let before = KEPT.with_borrow_mut(|all| match &value {
        Some(value) => all.insert(name.to_owned(), value.clone()),
        None => all.remove(name),
    });
    if before == value {
        return;
    }
    let name = name.to_owned();
    task::spawn(async move { drop(put_on_disk(&name, value.as_deref(), Durability::Relaxed).await) });
}

async fn put_on_disk(name: &str, value: Option<&str>, durability: Durability) -> Result<(), StoreError> {
    let writing = database::transaction(&[DEVICE], durability).await?;
    let (store, key) = (writing.store(DEVICE)?, JsValue::from_str(name));
    match value {
        Some(text) => drop(store.put(&text.into(), Some(&key)).map_err(database::of_idb)?),
        None => drop(store.delete(key).map_err(database::of_idb)?),
    }
    writing.done().await
}

/// Everything on the disk, with an id if one is handed in. One transaction, so that two tabs at the first start agree on the id.
async fn read_all(fresh: Option<DeviceId>) -> Result<BTreeMap<String, String>, StoreError> {
    let writing = database::transaction(&[DEVICE], Durability::Strict).await?;
    let store = writing.store(DEVICE)?;
    let names = store.get_all_keys(None, None).map_err(database::of_idb)?;
    let values = store.get_all(None, None).map_err(database::of_idb)?;
    let names = names.await.map_err(database::of_idb)?;
    let values = values.await.map_err(database::of_idb)?;
    let mut kept: BTreeMap<String, String> = names
        .iter()
        .zip(&values)
        .filter_map(|(name, value)| Some((name.as_string()?, value.as_string()?)))
        .collect();
    let fresh = fresh.filter(|_| !kept.contains_key(ID));
    if let Some(fresh) = fresh {
        kept = of_local_storage();
        kept.entry(ID.to_owned()).or_insert(json(&fresh.to_string()));
        for (name, value) in &kept {
            let put = store.put(&value.into(), Some(&JsValue::from_str(name)));
            drop(put.map_err(database::of_idb)?);
        }
    }
    writing.done().await?;
    if fresh.is_some() {
        clear_local_storage();
    }
    Ok(kept)
}

/// What older versions of the app left in local storage: taken over once.
fn of_local_storage() -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    let Some(local) = local_storage() else {
        return found;
    };
    let item = |name: &str| local.get_item(&old_key(name)).ok().flatten();
    for name in OLD_NAMES {
        if let Some(value) = item(name) {
            found.insert(name.to_owned(), value);
        }
    }
    let titles = found
        .remove("titles")
        .and_then(|text| serde_json::from_str(&text).ok());
    let titles: BTreeMap<String, String> = titles.unwrap_or_default();
    found.extend(
        titles
            .iter()
            .map(|(survey, title)| (format!("{TITLE}{survey}"), json(title))),
    );
    // An id that is none must not stay in the way of a new one.
    let id = found
        .get(ID)
        .and_then(|text| serde_json::from_str::<String>(text).ok());
    if id.is_none_or(|text| text.parse::<DeviceId>().is_err()) {
        found.remove(ID);
    }
    found
}

fn clear_local_storage() {
    if let Some(local) = local_storage() {
        for name in OLD_NAMES {
            // What stays behind is never read again.
            let _ = local.remove_item(&old_key(name));
        }
    }
}

/// The names that were in local storage before version 2 of the database.
const OLD_NAMES: [&str; 6] = [ID, "device_name", "person", "scheme", "last_place", "titles"];

fn old_key(name: &str) -> String {
    format!("quarterlight.{name}")
}

fn local_storage() -> Option<web_sys::Storage> {
    web_sys::window()?.local_storage().ok()?
}
