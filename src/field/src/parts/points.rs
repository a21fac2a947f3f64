//! Where the app is cut: a function a part, and the module of its own in which the build puts what only it needs.
//!
//! The attribute's first word names that module; the sibling that it makes fetches the module and shows nothing.
#![allow(
    unsafe_code,
    reason = "the attribute writes the import and the export of each function"
)]
#![allow(
    improper_ctypes_definitions,
    reason = "both ends are of one build: nobody else calls them"
)]

use leptos::prelude::*;
use leptos::wasm_split::{SplitLoaderError, wasm_split};
use survey::SurveyId;

use crate::journeys::{beside, check, device, handover, locking, results, review, sample, setup};

/// A view, or that its part could not be fetched.
pub(super) type Shown = Result<AnyView, SplitLoaderError>;

/// A screen before the first round, by where in it.
#[derive(Clone, Copy)]
pub enum Before {
    Setup(Signal<Vec<String>>),
    Sample(Signal<Vec<String>>),
}

#[wasm_split(before, wasm_split_path = leptos::wasm_split, preload(fetch_before), fallible)]
pub(super) fn before(screen: Before) -> Shown {
    Ok(match screen {
        Before::Setup(at) => view! { <setup::View at /> }.into_any(),
        Before::Sample(at) => view! { <sample::View at /> }.into_any(),
    })
}

#[wasm_split(rarer, wasm_split_path = leptos::wasm_split, preload(fetch_rarer), fallible)]
pub(super) fn rarer(at: Signal<Vec<String>>) -> Shown {
    Ok(view! { <check::Rarer at /> }.into_any())
}

#[wasm_split(after, wasm_split_path = leptos::wasm_split, preload(fetch_after), fallible)]
pub(super) fn after(at: Signal<Vec<String>>) -> Shown {
    Ok(view! { <results::View at /> }.into_any())
}

#[wasm_split(away, wasm_split_path = leptos::wasm_split, preload(fetch_away), fallible)]
pub(super) fn away(at: Signal<Vec<String>>) -> Shown {
    Ok(view! { <handover::View at /> }.into_any())
}

/// A screen that belongs to no part of the day.
#[derive(Clone, Copy)]
pub enum Apart {
    Device,
    Camera,
    Review,
    Locked(SurveyId),
}

#[wasm_split(apart, wasm_split_path = leptos::wasm_split, preload(fetch_apart), fallible)]
pub(super) fn apart(screen: Apart) -> Shown {
    Ok(match screen {
        Apart::Device => view! { <device::View /> }.into_any(),
        Apart::Camera => view! { <beside::Read /> }.into_any(),
        Apart::Review => view! { <review::View /> }.into_any(),
        Apart::Locked(survey) => view! { <locking::Locked survey /> }.into_any(),
    })
}
