//! Small things this device remembers for its owner. Losing them costs a few taps and never an answer.

use std::cell::RefCell;
use std::collections::BTreeMap;

use gloo_storage::{LocalStorage, Storage};
use serde::Serialize;
use serde::de::DeserializeOwned;
use survey::{DeviceId, SurveyId};

use super::random;

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

/// This device's id, made at its first start. A device that keeps no preferences gets a new one at each start.
///
/// # Errors
/// The browser has no randomness.
pub fn device() -> Result<DeviceId, String> {
    if let Some(known) = read::<String>("device").and_then(|text| text.parse().ok()) {
        return Ok(known);
    }
    let device = DeviceId(random::bits128()?);
    write("device", &device.to_string());
    Ok(device)
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
    let kept: BTreeMap<String, String> = read("titles").unwrap_or_default();
    kept.into_iter()
        .filter_map(|(id, title)| Some((id.parse().ok()?, title)))
        .collect()
}

/// Remembers a survey's title.
pub fn set_title(survey: SurveyId, title: &str) {
    let mut kept: BTreeMap<String, String> = read("titles").unwrap_or_default();
    if kept.get(&survey.to_string()).map(String::as_str) != Some(title) {
        kept.insert(survey.to_string(), title.to_owned());
        write("titles", &kept);
    }
}

/// Forgets a survey's title, and the last place if it was there.
pub fn forget(survey: SurveyId) {
    let mut kept: BTreeMap<String, String> = read("titles").unwrap_or_default();
    kept.remove(&survey.to_string());
    write("titles", &kept);
    if last_place().is_some_and(|place| place.contains(&survey.to_string())) {
        write("last_place", &"");
    }
}

fn key(name: &str) -> String {
    format!("quarterlight.{name}")
}

thread_local! {
    /// What was told since the page was opened, as JSON: all there is where the browser refuses local storage.
    static TOLD: RefCell<BTreeMap<String, String>> = const { RefCell::new(BTreeMap::new()) };
}

/// Whether the browser gives local storage; gloo panics where it throws instead, as it does when cookies are blocked.
fn is_given() -> bool {
    let given = web_sys::window().map(|window| window.local_storage());
    matches!(given, Some(Ok(Some(_))))
}

fn read<T: DeserializeOwned>(name: &str) -> Option<T> {
    if is_given() {
        return LocalStorage::get(key(name)).ok();
    }
    TOLD.with_borrow(|told| serde_json::from_str(told.get(name)?).ok())
}

/// A preference that cannot be kept is asked for again at the next start; the state of storage is shown elsewhere.
fn write<T: Serialize>(name: &str, value: &T) {
    if is_given() {
        let _ = LocalStorage::set(key(name), value);
    } else if let Ok(text) = serde_json::to_string(value) {
        TOLD.with_borrow_mut(|told| told.insert(name.to_owned(), text));
    }
}
