//! The app in parts: what is not needed to begin a check is a module of its own, which the service worker keeps from
//! the day the app is installed and the page takes up when a screen first asks for it.

mod points;

use std::cell::Cell;
use std::future::Future;
use std::pin::pin;
use std::task::{Context, Poll, Waker};

use leptos::prelude::*;

use crate::capability::{document, navigation, task};
use crate::texts::common as t;
use crate::ui::{Button, Kind, Page};
use points::Shown;
pub use points::{Apart, Before};

/// A screen of a part that is fetched later, with where in it.
#[derive(Clone, Copy)]
pub enum Screen {
    Before(Before),
    /// The screens of a check that no box needs.
    Rarer(Signal<Vec<String>>),
    Results(Signal<Vec<String>>),
    HandOver(Signal<Vec<String>>),
    Apart(Apart),
}

/// A module of its own.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Part {
    Before,
    Rarer,
    After,
    Away,
    Apart,
}

thread_local! {
    /// Which parts have been taken up.
    static HERE: [Cell<bool>; 5] = const { [const { Cell::new(false) }; 5] };
}

impl Part {
    const ALL: [Self; 5] = [Self::Before, Self::Rarer, Self::After, Self::Away, Self::Apart];

    fn is_here(self) -> bool {
        HERE.with(|here| here[self as usize].get())
    }

    /// Takes the part up; whether that went well. It may be asked for again.
    async fn fetch(self) -> bool {
        let fetched = match self {
            Self::Before => points::fetch_before().await,
            Self::Rarer => points::fetch_rarer().await,
            Self::After => points::fetch_after().await,
            Self::Away => points::fetch_away().await,
            Self::Apart => points::fetch_apart().await,
        };
        HERE.with(|here| here[self as usize].set(fetched.is_ok()));
        fetched.is_ok()
    }
}

impl Screen {
    fn part(self) -> Part {
        match self {
            Self::Before(_) => Part::Before,
            Self::Rarer(_) => Part::Rarer,
            Self::Results(_) => Part::After,
            Self::HandOver(_) => Part::Away,
            Self::Apart(_) => Part::Apart,
        }
    }

    async fn view(self) -> Shown {
        match self {
            Self::Before(screen) => points::before(screen).await,
            Self::Rarer(at) => points::rarer(at).await,
            Self::Results(at) => points::after(at).await,
            Self::HandOver(at) => points::away(at).await,
            Self::Apart(screen) => points::apart(screen).await,
        }
    }
}

/// What there is of a part.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Fetched {
    Waiting,
    Here,
    Failed,
}

/// Shows a screen of another part: at once, or as soon as the part is here.
#[component]
pub fn Later(screen: Screen) -> impl IntoView {
    let part = screen.part();
    let (fetched, set_fetched) = signal(if part.is_here() {
        Fetched::Here
    } else {
        Fetched::Waiting
    });
    let fetch = move || {
        task::spawn(async move {
            let is_here = part.fetch().await;
            // The person may have gone elsewhere meanwhile.
            let _ = set_fetched.try_set(if is_here { Fetched::Here } else { Fetched::Failed });
            if is_here {
                document::focus_heading_after_paint();
            }
        });
    };
    if !part.is_here() {
        fetch();
    }
    let fails = move || {
        let again = move || {
            set_fetched.set(Fetched::Waiting);
            fetch();
        };
        let action = move || {
            view! {
                <Button label=t::try_again() tap="part-again" kind=Kind::Primary on_press=again />
                <Button label=t::start_anew() tap="part-start" kind=Kind::Secondary on_press=navigation::reload />
            }
        };
        view! { <Page title=t::part_missing() lead=t::part_missing_why() action=action>""</Page> }.into_any()
    };
    move || match fetched.get() {
        Fetched::Waiting => view! { <p class="opening" role="status">{t::part_coming()}</p> }.into_any(),
        Fetched::Here => now(screen.view()).and_then(Result::ok).unwrap_or_else(fails),
        Fetched::Failed => fails(),
    }
}

/// What a future gives that has nothing to wait for.
fn now<T>(future: impl Future<Output = T>) -> Option<T> {
    match pin!(future).poll(&mut Context::from_waker(Waker::noop())) {
        Poll::Ready(given) => Some(given),
        Poll::Pending => None,
    }
}

/// Takes up all parts, one after the other, whenever the page has nothing else to do: a screen is then there at once.
pub fn fetch_when_idle() {
    task::spawn(async {
        task::settled().await;
        for part in Part::ALL {
            task::idle().await;
            if !part.is_here() {
                // What fails now is asked for again by the screen that needs it.
                part.fetch().await;
            }
        }
    });
}
