//! Requests to a team's folder, through the worker `folder.js`: nothing else may leave our own origin.

use js_sys::{Object, Promise, Reflect, Uint8Array};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{MessageEvent, Worker};

use super::words;

const SCRIPT: &str = "folder.js";

/// A method that a folder needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Method {
    /// Makes a folder.
    MakeFolder,
    /// Lists one.
    List,
    /// Fetches a part.
    Get,
    /// Puts a part, unless something lies there.
    PutNew,
}

/// What a server answered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The status, as in HTTP.
    pub status: u16,
    /// The body.
    pub bytes: Vec<u8>,
}

/// The worker; it ends when this is dropped.
#[derive(Debug)]
pub struct FolderWorker {
    worker: Worker,
    authorization: String,
}

impl FolderWorker {
    /// Starts the worker, for one person's name and password.
    ///
    /// # Errors
    /// What the browser says.
    pub fn start(user: &str, password: &str) -> Result<Self, String> {
        let worker = Worker::new(SCRIPT).map_err(|thrown| words(&thrown))?;
        Ok(Self {
            worker,
            authorization: format!("Basic {}", base64(format!("{user}:{password}").as_bytes())),
        })
    }

    /// Asks, and waits for the answer. One request at a time.
    ///
    /// # Errors
    /// There is no line, or the server is none that answers a web page.
    pub async fn ask(&self, method: Method, address: &str, body: Option<&[u8]>) -> Result<Answer, String> {
        let failed = |thrown: JsValue| words(&thrown);
        let (name, extra) = match method {
            Method::MakeFolder => ("MKCOL", None),
            Method::List => ("PROPFIND", Some(("Depth", "1"))),
            Method::Get => ("GET", None),
            Method::PutNew => ("PUT", Some(("If-None-Match", "*"))),
        };
        let (message, headers) = (Object::new(), Object::new());
        let set =
            |of: &Object, name: &str, value: &JsValue| Reflect::set(of, &name.into(), value).map_err(failed);
        set(&headers, "Authorization", &self.authorization.as_str().into())?;
        if let Some((name, value)) = extra {
            set(&headers, name, &value.into())?;
        }
        set(&message, "method", &name.into())?;
        set(&message, "address", &address.into())?;
        set(&message, "headers", &headers)?;
        if let Some(body) = body {
            set(&headers, "Content-Type", &"application/octet-stream".into())?;
            set(&message, "body", &Uint8Array::from(body))?;
        }
        let worker = self.worker.clone();
        let promise = Promise::new(&mut |resolve, reject| {
            let heard = Closure::once_into_js(move |event: MessageEvent| {
                // The promise takes whatever comes.
                let _ = resolve.call1(&JsValue::NULL, &event.data());
            });
            let failed = Closure::once_into_js(move |_: JsValue| {
                let why = JsValue::from_str("the worker did not start");
                let _ = reject.call1(&JsValue::NULL, &why);
            });
            worker.set_onmessage(Some(heard.unchecked_ref()));
            worker.set_onerror(Some(failed.unchecked_ref()));
        });
        self.worker.post_message(&message).map_err(failed)?;
        let answer = JsFuture::from(promise).await.map_err(failed)?;
        let field = |name: &str| Reflect::get(&answer, &name.into()).unwrap_or(JsValue::UNDEFINED);
        if let Some(fault) = field("fault").as_string() {
            return Err(fault);
        }
        #[allow(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a status has three digits"
        )]
        let status = field("status").as_f64().unwrap_or(0.0) as u16;
        Ok(Answer {
            status,
            bytes: Uint8Array::new(&field("bytes")).to_vec(),
        })
    }
}

impl Drop for FolderWorker {
    fn drop(&mut self) {
        self.worker.terminate();
    }
}

/// Base 64 (RFC 4648, section 4), as `Authorization: Basic` wants it (RFC 7617); the names of older browsers lack letters
/// beyond Latin, so it is not left to `btoa`.
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for three in bytes.chunks(3) {
        let bits = (0..3).fold(0_usize, |bits, at| {
            bits << 8 | usize::from(three.get(at).copied().unwrap_or(0))
        });
        for at in 0..4 {
            let letter = char::from(LETTERS[bits >> (18 - 6 * at) & 63]);
            text.push(if at <= three.len() { letter } else { '=' });
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn base64_is_that_of_rfc_4648() {
        // Its test vectors, section 10.
        let vectors = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (plain, coded) in vectors {
            assert_eq!(base64(plain.as_bytes()), coded);
        }
    }
}
