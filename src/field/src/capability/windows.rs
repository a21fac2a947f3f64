//! Several windows of the app on one device: which one writes in a survey, and what it tells the others.
//!
//! The right to write is a lock of the browser (Web Locks API) named after the survey: when the window that holds it
//! is closed or dies, the browser gives it to one that waits. It guards against two thumbs, not against loss: entries
//! of two windows never collide, since each has a writer id of its own. A browser without locks lets every window
//! write.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use js_sys::{Array, Function, Object, Promise, Reflect, Uint8Array};
use survey::SurveyId;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{AbortController, BroadcastChannel, DomException, MessageEvent};

use super::task;

const CHANNEL: &str = "quarterlight";
const OPEN_LOCK: &str = "quarterlight-open";
/// How long a page that is left may keep its lock, milliseconds.
const LEAVING_MS: i32 = 1_000;

/// What another window wrote.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum News {
    /// These entries, by their bytes.
    Entries(SurveyId, Vec<Vec<u8>>),
    /// More than is worth sending: read it again.
    Changed(SurveyId),
    /// It was deleted, or brought back.
    Listed(SurveyId),
}

thread_local! {
    static CHANNEL_OPEN: Option<BroadcastChannel> = BroadcastChannel::new(CHANNEL).ok();
    static SEAT: RefCell<Option<Rc<Seat>>> = const { RefCell::new(None) };
}

/// Tells the other windows.
pub fn tell(news: &News) {
    let (survey, what) = match news {
        News::Entries(survey, entries) => {
            let bytes: Array = entries
                .iter()
                .map(|bytes| Uint8Array::from(bytes.as_slice()))
                .collect();
            (survey, bytes.into())
        }
        News::Changed(survey) => (survey, JsValue::from_str("changed")),
        News::Listed(survey) => (survey, JsValue::from_str("listed")),
    };
    let message = Array::of2(&survey.to_string().into(), &what);
    // What is not heard is read from the disk at the next opening.
    CHANNEL_OPEN.with(|channel| channel.as_ref().map(|channel| channel.post_message(&message)));
}

/// Hears what other windows tell, until the page is closed.
pub fn hear(heard: impl Fn(News) + 'static) {
    let listener = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
        if let Some(news) = read(&event.data()) {
            heard(news);
        }
    });
    CHANNEL_OPEN.with(|channel| {
        if let Some(channel) = channel {
            channel.set_onmessage(Some(listener.as_ref().unchecked_ref()));
        }
    });
    // It listens as long as the page lives.
    listener.forget();
}

fn read(message: &JsValue) -> Option<News> {
    let parts = message.dyn_ref::<Array>()?;
    let survey = parts.get(0).as_string()?.parse().ok()?;
    let what = parts.get(1);
    match what.as_string().as_deref() {
        Some("listed") => return Some(News::Listed(survey)),
        Some(_) => return Some(News::Changed(survey)),
        None => {}
    }
    let entries = what.dyn_ref::<Array>()?.iter();
    let entries = entries.map(|bytes| bytes.dyn_into::<Uint8Array>().map(|bytes| bytes.to_vec()));
    Some(News::Entries(survey, entries.collect::<Result<_, _>>().ok()?))
}

/// This window's place at one survey: it writes, or it waits for the one that does.
struct Seat {
    name: String,
    left: Cell<bool>,
    /// How the lock is asked for next.
    ask: Cell<Ask>,
    /// Gives the lock back, while it is held.
    give_back: RefCell<Option<Function>>,
    /// Ends the waiting for it.
    waiting: RefCell<Option<AbortController>>,
    tell: Box<dyn Fn(bool)>,
}

/// How the lock is asked for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Ask {
    IfFree,
    Wait,
    Take,
}

/// Takes a place at a survey, leaving the one before; `tell` hears whether this window writes, now and at each change.
pub fn sit_at(survey: SurveyId, tell: impl Fn(bool) + 'static) {
    let name = format!("quarterlight-writes-{survey}");
    if SEAT.with_borrow(|seat| seat.as_ref().is_some_and(|seat| seat.name == name)) {
        return;
    }
    let seat = Rc::new(Seat {
        name,
        left: Cell::new(false),
        ask: Cell::new(Ask::IfFree),
        give_back: RefCell::default(),
        waiting: RefCell::default(),
        tell: Box::new(tell),
    });
    leave();
    SEAT.set(Some(Rc::clone(&seat)));
    task::spawn(async move { seat.hold().await });
}

/// Leaves the place: another window may write.
pub fn leave() {
    let Some(seat) = SEAT.take() else { return };
    seat.left.set(true);
    seat.stop_waiting();
    if let Some(give_back) = seat.give_back.take() {
        // Resolving a promise cannot fail.
        let _ = give_back.call0(&JsValue::NULL);
    }
}

/// Takes the right to write from the window that has it.
pub fn take_over() {
    SEAT.with_borrow(|seat| {
        if let Some(seat) = seat {
            seat.ask.set(Ask::Take);
            seat.stop_waiting();
        }
    });
}

impl Seat {
    /// Asks for the lock, holds it and, when another window takes it, waits for it again; until the seat is left.
    async fn hold(self: Rc<Self>) {
        while !self.left.get() {
            let ask = self.ask.replace(Ask::Wait);
            let Some(asked) = self.ask(ask) else {
                return (self.tell)(true);
            };
            match JsFuture::from(asked).await {
                // Not free: wait for it.
                Ok(said) if said == JsValue::FALSE => self.tell_unless_given_soon(),
                // Given back by us: the seat was left.
                Ok(_) => return,
                // Taken by another window, or our waiting was ended to take it.
                Err(thrown) if is_abort(&thrown) => {
                    self.give_back.take();
                    if !self.left.get() {
                        (self.tell)(false);
                    }
                }
                // Locks are refused, as storage is: there is nothing to guard.
                Err(_) => return (self.tell)(true),
            }
        }
    }

    /// Asks once. The promise ends when the lock is given back, is taken, or was not to be had; none without locks.
    fn ask(self: &Rc<Self>, ask: Ask) -> Option<Promise> {
        let locks = locks()?;
        let options = Object::new();
        match ask {
            Ask::IfFree => set(&options, "ifAvailable", &JsValue::TRUE),
            Ask::Take => set(&options, "steal", &JsValue::TRUE),
            Ask::Wait => {
                let controller = AbortController::new().ok()?;
                set(&options, "signal", &controller.signal());
                self.waiting.replace(Some(controller));
            }
        }
        let seat = Rc::clone(self);
        let given = Closure::once_into_js(move |lock: JsValue| -> JsValue {
            if lock.is_null() {
                return JsValue::FALSE;
            }
            if seat.left.get() {
                return JsValue::TRUE;
            }
            (seat.tell)(true);
            Promise::new(&mut |resolve, _| drop(seat.give_back.replace(Some(resolve)))).into()
        });
        request(&locks, &self.name, &options, &given)
    }

    /// A page that was just left may hold the lock for a moment yet: nobody is to be refused a tap for that.
    fn tell_unless_given_soon(self: &Rc<Self>) {
        let seat = Rc::clone(self);
        task::spawn(async move {
            task::wait_ms(LEAVING_MS).await;
            if !seat.left.get() && seat.give_back.borrow().is_none() {
                (seat.tell)(false);
            }
        });
    }

    fn stop_waiting(&self) {
        if let Some(waiting) = self.waiting.take() {
            waiting.abort();
        }
    }
}

/// Whether this is the only window of the app, asked once when it starts. `None` where the browser has no locks.
pub async fn is_only_window() -> Option<bool> {
    let locks = locks()?;
    let options = Object::new();
    set(&options, "ifAvailable", &JsValue::TRUE);
    let given = Closure::once_into_js(|lock: JsValue| JsValue::from_bool(!lock.is_null()));
    let alone = JsFuture::from(request(&locks, OPEN_LOCK, &options, &given)?)
        .await
        .ok()?;
    // From now on this window shares the lock until it is closed.
    let options = Object::new();
    set(&options, "mode", &JsValue::from_str("shared"));
    let given = Closure::once_into_js(|_lock: JsValue| Promise::new(&mut |_, _| ()));
    let _held = request(&locks, OPEN_LOCK, &options, &given);
    alone.as_bool()
}

fn is_abort(thrown: &JsValue) -> bool {
    thrown
        .dyn_ref::<DomException>()
        .is_some_and(|exception| exception.name() == "AbortError")
}

/// Web-sys has locks only behind an unstable flag, so they are called by name.
fn locks() -> Option<JsValue> {
    let navigator = web_sys::window()?.navigator();
    let locks = Reflect::get(&navigator, &JsValue::from_str("locks")).ok()?;
    locks.is_object().then_some(locks)
}

fn request(locks: &JsValue, name: &str, options: &Object, given: &JsValue) -> Option<Promise> {
    let request: Function = Reflect::get(locks, &JsValue::from_str("request"))
        .ok()?
        .dyn_into()
        .ok()?;
    let asked = request
        .call3(locks, &JsValue::from_str(name), options, given)
        .ok()?;
    asked.dyn_into().ok()
}

fn set(object: &Object, name: &str, value: &JsValue) {
    // Setting a property of a fresh object cannot fail.
    let _ = Reflect::set(object, &JsValue::from_str(name), value);
}
