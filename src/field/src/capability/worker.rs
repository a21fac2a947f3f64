//! The worker that does what takes long: started when it is first needed, told of a survey once and then only of what
//! is new, ended when the person stops what it is at, and started again when it is needed again.

use std::cell::{Cell, RefCell};
use std::collections::BTreeMap;
use std::future::{Future, poll_fn};
use std::rc::Rc;
use std::task::{Poll, Waker};

use js_sys::{Array, Reflect, Uint8Array};
use labour::{Ask, Asked, Sent, Told, What};
use survey::Log;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Event, MessageEvent, Worker};

use super::{task, words};

/// Where the page says how the worker's script is called.
const SCRIPT: &str = "meta[name=quarterlight-labour]";
/// How long the module may take to arrive and start, milliseconds; after that nobody waits for it any more.
const START_MS: i32 = 30_000;

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoAnswer {
    /// The person stopped the work.
    Stopped,
    /// The worker did not start, or broke; what the browser says.
    Broken(String),
}

/// An answer as JSON, and the bytes beside it.
pub type Answer = (Vec<u8>, Vec<Vec<u8>>);

/// Hears how much of all is done.
pub type Hear = Rc<dyn Fn(usize, usize)>;

type Listener = Closure<dyn FnMut(Event)>;

/// A question that waits for its answer.
struct Waiting {
    answer: RefCell<Option<Result<Answer, NoAnswer>>>,
    waker: RefCell<Option<Waker>>,
    hear: Option<Hear>,
}

impl Waiting {
    fn end(&self, answer: Result<Answer, NoAnswer>) {
        self.answer.replace(Some(answer));
        if let Some(waker) = self.waker.take() {
            waker.wake();
        }
    }
}

/// A worker that was started.
struct Running {
    worker: Worker,
    is_ready: Cell<bool>,
    waiting: RefCell<BTreeMap<u32, Rc<Waiting>>>,
    next: Cell<u32>,
    sent: RefCell<Sent>,
    /// Kept as long as the worker may call them.
    listeners: RefCell<Vec<Listener>>,
}

thread_local! {
    static RUNNING: RefCell<Option<Rc<Running>>> = const { RefCell::new(None) };
}

/// Asks at once, telling first what is new in the log if there is one; what it gives waits for the answer and holds no log,
/// so that nothing has to be copied when the next answer is written.
///
/// # Errors
/// [`NoAnswer`].
pub fn ask(
    log: Option<&Log>,
    ask: Ask,
    bytes: Vec<Vec<u8>>,
    hear: Option<Hear>,
) -> impl Future<Output = Result<Answer, NoAnswer>> + use<> {
    let posted = running().and_then(|running| running.post(log, ask, bytes, hear));
    async {
        let waiting = posted?;
        poll_fn(|context| match waiting.answer.take() {
            Some(answer) => Poll::Ready(answer),
            None => {
                waiting.waker.replace(Some(context.waker().clone()));
                Poll::Pending
            }
        })
        .await
    }
}

/// Ends whatever the worker is at: everything that waits for it is answered with [`NoAnswer::Stopped`].
pub fn stop() {
    if let Some(running) = RUNNING.take() {
        running.end(&NoAnswer::Stopped);
    }
}

/// Forgets what the worker was told, since another log takes its place.
pub fn forget() {
    RUNNING.with_borrow(|running| {
        if let Some(running) = running {
            running.sent.replace(Sent::default());
        }
    });
}

fn running() -> Result<Rc<Running>, NoAnswer> {
    if let Some(running) = RUNNING.with_borrow(Clone::clone) {
        return Ok(running);
    }
    let running = start().map_err(NoAnswer::Broken)?;
    RUNNING.set(Some(Rc::clone(&running)));
    Ok(running)
}

fn start() -> Result<Rc<Running>, String> {
    let script = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.query_selector(SCRIPT).ok()?)
        .and_then(|element| element.get_attribute("content"))
        .ok_or("the page names no worker")?;
    let running = Rc::new(Running {
        worker: Worker::new(&script).map_err(|thrown| words(&thrown))?,
        is_ready: Cell::new(false),
        waiting: RefCell::default(),
        next: Cell::new(1),
        sent: RefCell::default(),
        listeners: RefCell::default(),
    });
    running.listen("message", |running, event| {
        let data = event.unchecked_into::<MessageEvent>().data();
        if let Err(why) = running.heard(&data) {
            running.broke(why);
        }
    });
    for broken in ["error", "messageerror"] {
        running.listen(broken, |running, event| {
            // An event of a script that did not load has no message.
            let message = Reflect::get(&event, &JsValue::from_str("message"));
            let why = message.ok().and_then(|message| message.as_string());
            running.broke(why.unwrap_or_else(|| "the worker's script was not loaded".to_owned()));
        });
    }
    let late = Rc::downgrade(&running);
    task::spawn(async move {
        task::wait_ms(START_MS).await;
        if let Some(running) = late.upgrade().filter(|running| !running.is_ready.get()) {
            running.broke(format!("it did not start within {} seconds", START_MS / 1_000));
        }
    });
    Ok(running)
}

impl Running {
    fn listen(self: &Rc<Self>, event: &str, heard: impl Fn(&Rc<Self>, Event) + 'static) {
        let running = Rc::downgrade(self);
        let listener = Listener::new(move |event: Event| {
            if let Some(running) = running.upgrade() {
                heard(&running, event);
            }
        });
        // Adding a listener to a worker cannot fail.
        let _ = self
            .worker
            .add_event_listener_with_callback(event, listener.as_ref().unchecked_ref());
        self.listeners.borrow_mut().push(listener);
    }

    fn post(
        &self,
        log: Option<&Log>,
        ask: Ask,
        bytes: Vec<Vec<u8>>,
        hear: Option<Hear>,
    ) -> Result<Rc<Waiting>, NoAnswer> {
        let id = self.next.replace(self.next.get().wrapping_add(1));
        let (known, lines) = log.and_then(|log| self.sent.borrow_mut().news(log)).unzip();
        let asked = serde_json::to_vec(&Asked { id, known, ask })
            .map_err(|error| NoAnswer::Broken(error.to_string()))?;
        let parts: Array = std::iter::once(asked)
            .chain(lines)
            .chain(bytes)
            .map(|bytes| Uint8Array::from(bytes.as_slice()))
            .collect();
        // The buffers change hands: they are not copied again.
        let buffers: Array = parts
            .iter()
            .map(|part| part.unchecked_into::<Uint8Array>().buffer())
            .collect();
        let waiting = Rc::new(Waiting {
            answer: RefCell::default(),
            waker: RefCell::default(),
            hear,
        });
        self.waiting.borrow_mut().insert(id, Rc::clone(&waiting));
        if let Err(thrown) = self.worker.post_message_with_transfer(&parts, &buffers) {
            self.broke(words(&thrown));
        }
        Ok(waiting)
    }

    /// A message of the worker: that it is ready, what is told of a question, or a fault.
    fn heard(&self, data: &JsValue) -> Result<(), String> {
        let Some(parts) = data.dyn_ref::<Array>() else {
            if data.as_string().is_some() {
                self.is_ready.set(true);
                return Ok(());
            }
            let fault = Reflect::get(data, &JsValue::from_str("fault"));
            return Err(fault.ok().and_then(|fault| fault.as_string()).unwrap_or_default());
        };
        let mut parts = parts
            .iter()
            .map(|part| part.unchecked_into::<Uint8Array>().to_vec());
        let told: Told =
            serde_json::from_slice(&parts.next().unwrap_or_default()).map_err(|error| error.to_string())?;
        match told.what {
            What::Progress { done, all } => {
                let waiting = self.waiting.borrow().get(&told.id).cloned();
                if let Some(hear) = waiting.and_then(|waiting| waiting.hear.clone()) {
                    hear(done, all);
                }
            }
            What::Done => self.answered(told.id, Ok((parts.next().unwrap_or_default(), parts.collect()))),
            What::Refused(why) => return Err(why),
        }
        Ok(())
    }

    fn answered(&self, id: u32, answer: Result<Answer, NoAnswer>) {
        let waiting = self.waiting.borrow_mut().remove(&id);
        if let Some(waiting) = waiting {
            waiting.end(answer);
        }
    }

    /// It is of no use any more: whoever waits is told, and the next question starts another.
    fn broke(&self, why: String) {
        RUNNING.with_borrow_mut(|running| {
            if running
                .as_ref()
                .is_some_and(|running| std::ptr::eq(&raw const **running, self))
            {
                *running = None;
            }
        });
        self.end(&NoAnswer::Broken(why));
    }

    fn end(&self, why: &NoAnswer) {
        self.worker.terminate();
        let waiting = self.waiting.take();
        for waiting in waiting.into_values() {
            waiting.end(Err(why.clone()));
        }
    }
}
