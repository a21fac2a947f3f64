//! Work beside the tap that started it. One thread: a task runs when the others wait.

use std::future::{Future, poll_fn};
use std::pin::pin;
use std::task::{Context, Poll, Waker};

use js_sys::{Function, Promise};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

/// Starts a task.
pub fn spawn(task: impl Future<Output = ()> + 'static) {
    wasm_bindgen_futures::spawn_local(task);
}

/// Starts a task at once: what it does before it first waits is done when this returns.
pub fn begin(task: impl Future<Output = ()> + 'static) {
    let mut task = Box::pin(task);
    // It is asked again by the one that it is then given to, which is told when to ask.
    if task
        .as_mut()
        .poll(&mut Context::from_waker(Waker::noop()))
        .is_pending()
    {
        spawn(task);
    }
}

/// Waits, without blocking the page.
pub async fn wait_ms(ms: i32) {
    let promise = Promise::new(&mut |resolve: Function, _reject: Function| {
        let set = web_sys::window()
            .map(|window| window.set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, ms));
        if !matches!(set, Some(Ok(_))) {
            // No timer: go on at once rather than never.
            let _ = resolve.call0(&JsValue::NULL);
        }
    });
    // The promise is only ever resolved.
    let _ = JsFuture::from(promise).await;
}

/// What a piece of work gives, or nothing if it takes longer than this. Work that was too slow is dropped.
pub async fn within<T>(ms: i32, work: impl Future<Output = T>) -> Option<T> {
    let (mut work, mut late) = (pin!(work), pin!(wait_ms(ms)));
    poll_fn(|context| match work.as_mut().poll(context) {
        Poll::Ready(done) => Poll::Ready(Some(done)),
        Poll::Pending => late.as_mut().poll(context).map(|()| None),
    })
    .await
}

/// Waits until the page has nothing else to do, or a second where the browser cannot tell.
pub async fn idle() {
    let promise = Promise::new(&mut |resolve: Function, _reject: Function| {
        let window: JsValue = web_sys::window().into();
        // Web-sys has it, some browsers have not: it is called by its name.
        let ask = js_sys::Reflect::get(&window, &JsValue::from_str("requestIdleCallback"));
        let ask = ask.ok().and_then(|ask| ask.dyn_into::<Function>().ok());
        match (ask, web_sys::window()) {
            (Some(ask), _) => drop(ask.call1(&window, &resolve)),
            (None, Some(window)) => {
                drop(window.set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, 1_000));
            }
            (None, None) => drop(resolve.call0(&JsValue::NULL)),
        }
    });
    // The promise is only ever resolved.
    let _ = JsFuture::from(promise).await;
}

/// How long what is opened first is left alone, milliseconds.
const SETTLED_MS: i32 = 3_000;

/// Waits until the start is over and the page has nothing else to do.
pub async fn settled() {
    wait_ms(SETTLED_MS).await;
    idle().await;
}

/// Waits until the browser has painted what was changed so far, or 100 ms in a hidden tab, which never paints.
pub async fn after_paint() {
    let promise = Promise::new(&mut |resolve: Function, _reject: Function| {
        if let Some(window) = web_sys::window() {
            // If either fails, the other is left; a timer that fires twice resolves once.
            let _ = window.request_animation_frame(&resolve);
            let _ = window.set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, 100);
        }
    });
    let _ = JsFuture::from(promise).await;
    // An animation frame comes before its paint; the next task comes after it.
    wait_ms(0).await;
}
