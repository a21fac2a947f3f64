//! The worker: hears what the page asks, has it done, tells. `public/labour.js` starts it and hands it every message.

use std::cell::RefCell;

use js_sys::{Array, Function, Reflect, Uint8Array};
use labour::{Asked, Hand, Told, What};
use serde::Serialize;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};

/// Where `public/labour.js` finds the function that does what a message asks.
const PERFORM: &str = "quarterlightPerform";
/// Where it finds what a panic said.
const PANIC: &str = "quarterlightPanic";

fn main() {
    std::panic::set_hook(Box::new(|info| leave(PANIC, &info.to_string().into())));
    let hand = RefCell::new(Hand::default());
    let perform = Closure::<dyn Fn(Array, Function)>::new(move |parts: Array, post: Function| {
        answer(&mut hand.borrow_mut(), &parts, &post);
    });
    leave(PERFORM, perform.as_ref());
    // It is called as long as the worker lives.
    perform.forget();
}

fn leave(name: &str, value: &JsValue) {
    // A property of the worker's own global can always be set.
    let _ = Reflect::set(&js_sys::global(), &JsValue::from_str(name), value);
}

fn answer(hand: &mut Hand, parts: &Array, post: &Function) {
    let mut parts = parts
        .iter()
        .map(|part| part.unchecked_into::<Uint8Array>().to_vec());
    let asked: Asked = match serde_json::from_slice(&parts.next().unwrap_or_default()) {
        Ok(asked) => asked,
        Err(error) => return tell(post, 0, What::Refused(error.to_string()), Vec::new()),
    };
    let id = asked.id;
    let mut told = |done, all| tell(post, id, What::Progress { done, all }, Vec::new());
    match hand.perform(asked, parts.collect(), &mut told) {
        Ok((answer, bytes)) => {
            let bytes = std::iter::once(answer).chain(bytes).collect();
            tell(post, id, What::Done, bytes);
        }
        Err(why) => tell(post, id, What::Refused(why), Vec::new()),
    }
}

/// Posts a message whose bytes are handed over, not copied again.
fn tell(post: &Function, id: u32, what: What, bytes: Vec<Vec<u8>>) {
    let parts: Array = std::iter::once(json(&Told { id, what }))
        .chain(bytes)
        .map(|bytes| Uint8Array::from(bytes.as_slice()))
        .collect();
    let buffers: Array = parts
        .iter()
        .map(|part| part.unchecked_into::<Uint8Array>().buffer())
        .collect();
    // A page that is gone hears nothing.
    let _ = post.call2(&JsValue::NULL, &parts, &buffers);
}

fn json(value: &impl Serialize) -> Vec<u8> {
    // Numbers and texts: there is nothing in it that JSON cannot hold.
    serde_json::to_vec(value).unwrap_or_default()
}
