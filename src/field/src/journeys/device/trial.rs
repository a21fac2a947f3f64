//! What is tried at home besides: the home screen, the clock, room for photographs, the camera.

use leptos::prelude::*;
use survey::photo::MAX_SIDE;

use crate::capability::pick_file::{Chosen, PickError};
use crate::capability::storage_state::{self, Room};
use crate::capability::{clock, document, photo, second, task};
use crate::texts::{device as t, handover, photos};
use crate::ui::FileButton;

/// Less than this is little room: a hundred photographs and what a day writes besides.
const LITTLE_ROOM_BYTES: f64 = 60_000_000.0;
/// The clock of a device that has lost its battery starts long before this: 2026-01-01 UTC.
const NOT_BEFORE_MS: u64 = 1_767_225_600_000;

/// The lines, and a trial photograph that is kept nowhere.
#[component]
pub fn Trial() -> impl IntoView {
    let room = RwSignal::new(None::<Room>);
    let copied = RwSignal::new(None::<bool>);
    let said = RwSignal::new(None::<String>);
    task::spawn(async move {
        // The screen may be gone by then.
        let _ = room.try_set(storage_state::room().await);
        let _ = copied.try_set(Some(second::works().await));
    });
    let now = clock::now_ms();
    let clock_line = if now < NOT_BEFORE_MS {
        t::clock_wrong(clock::day_and_time(now))
    } else {
        t::clock(clock::day_and_time(now))
    };
    let home = if document::is_installed() {
        t::on_home_screen()
    } else {
        t::not_on_home_screen()
    };
    let room_line = move || {
        let room = room.get()?;
        let free = (room.all - room.used).max(0.0);
        Some(if free < LITTLE_ROOM_BYTES {
            t::little_room()
        } else {
            t::enough_room()
        })
    };
    let copy_line = move || {
        copied.get().map(|copied| match second::fault() {
            Some(why) if copied => t::copy_behind(why),
            _ if copied => t::copied().to_owned(),
            _ => t::not_copied().to_owned(),
        })
    };
    let take = move |chosen: Chosen| {
        task::spawn(async move {
            let _ = said.try_set(Some(photos::keeping().to_owned()));
            let _ = said.try_set(try_camera(chosen).await);
        });
    };
    view! {
        <ul class="lines" aria-live="polite">
            <li data-tap="trial-home">{home}</li>
            <li data-tap="trial-clock">{clock_line}</li>
            {move || room_line().map(|line| view! { <li data-tap="trial-room">{line}</li> })}
            {move || copy_line().map(|line| view! { <li data-tap="trial-copy">{line}</li> })}
        </ul>
        <FileButton
            label=t::try_camera().to_owned()
            tap="trial-photo"
            accept="image/*"
            capture="environment"
            on_choose=take
        />
        <p class="hint" role="status" data-tap="trial-said">
            {move || said.get().unwrap_or_else(|| t::try_camera_hint().to_owned())}
        </p>
    }
}

/// What came of it in words; nothing if no picture was chosen.
async fn try_camera(chosen: Chosen) -> Option<String> {
    let file = match chosen.read(photo::MOST_BYTES).await {
        Ok(file) => file,
        Err(PickError::Nothing) => return None,
        Err(error) => return handover::pick_error(&error),
    };
    Some(match photo::shrink(&file.bytes, MAX_SIDE, photo::QUALITY).await {
        Ok(jpeg) => match crate::store::bare(&jpeg).await {
            Ok((_, bytes)) => t::camera_works(bytes.len()),
            Err(error) => t::camera_fails(error.to_string()),
        },
        Err(why) => photos::not_a_picture(&why),
    })
}
