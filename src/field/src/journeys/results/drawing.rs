//! Something that is worked out while the person waits: how far it is, then what came of it, or why it did not.

use std::future::Future;

use leptos::prelude::*;

use super::super::unable::{Stop, Unable};
use crate::capability::heavy::{self, Fault};
use crate::capability::task;
use crate::texts::{heavy as work, takes as text};
use crate::ui::Progress;

/// Where work says how many of all draws are made.
pub(super) type Far = WriteSignal<(usize, usize)>;

/// Hears it, as long as somebody waits.
pub(super) fn hear(far: Far) -> impl Fn(usize, usize) + 'static {
    move |done, all| {
        let _ = far.try_set((done, all));
    }
}

/// Asks, shows how far it is with `waits`, then what was answered with `show`, or why the answer is none with `refuse`.
pub(super) fn drawn<T, E, F, V>(
    ask: impl Fn(Far) -> F + Send + Sync + 'static,
    waits: impl Fn(ReadSignal<(usize, usize)>) -> V + Send + 'static,
    show: impl Fn(T) -> AnyView + Send + 'static,
    refuse: impl Fn(E) -> AnyView + Send + 'static,
) -> impl IntoView
where
    T: Clone + Send + Sync + 'static,
    E: Clone + Send + Sync + 'static,
    F: Future<Output = Result<T, Fault<E>>> + 'static,
    V: IntoView + 'static,
{
    let (made, set_made) = signal(None::<Result<T, Fault<E>>>);
    let (far, set_far) = signal((0, 0));
    let draw = move || {
        set_made.set(None);
        let answer = ask(set_far);
        task::spawn(async move {
            // The person may have gone elsewhere meanwhile.
            let _ = set_made.try_set(Some(answer.await));
        });
    };
    draw();
    // Nobody waits for it any more: the next question is not to wait behind it.
    on_cleanup(move || {
        if made.try_with_untracked(Option::is_none) == Some(true) {
            heavy::stop();
        }
    });
    let on_again = Callback::new(move |()| draw());
    move || match made.get() {
        None => waits(far).into_any(),
        Some(Ok(answer)) => show(answer),
        Some(Err(fault)) => match fault.apart() {
            Ok(error) => refuse(error),
            Err(fault) => view! { <Unable fault on_again /> }.into_any(),
        },
    }
}

/// How far the draws are.
#[component]
pub(super) fn Drawing(far: ReadSignal<(usize, usize)>) -> impl IntoView {
    let said = Signal::derive(move || {
        let (done, all) = far.get();
        work::drawn(done, all)
    });
    view! {
        <p class="opening" role="status">
            {text::working()}
        </p>
        <Progress
            text=said
            done=Signal::derive(move || far.get().0)
            all=Signal::derive(move || far.get().1)
        />
        <Stop />
    }
}
