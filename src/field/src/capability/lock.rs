//! A lock on a survey on this device: its entries and photographs lie in the database sealed under a key that a
//! passphrase gives, and that is in memory only while the survey is open.
//!
//! The browser's own `WebCrypto` does the work. PBKDF2 with HMAC-SHA-256 (RFC 8018) makes two keys of the passphrase, so
//! that neither can be read back by a script: one for AES-256 in GCM (NIST SP 800-38D), one for the mark of what is
//! sealed. The nonce is the first 96 bits of HMAC-SHA-256 over a record's name and bytes: the same bytes of the same
//! record are sealed alike, so that the storage finds an entry that it has, and no two others share a nonce.
//!
//! What is sealed says by itself how: a byte that begins no entry and no JPEG, the salt, the rounds, the nonce, and what
//! was encrypted with its tag. A salt in a place of its own could be lost.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use js_sys::{Array, Object, Promise, Reflect, Uint8Array};
use survey::SurveyId;
use survey::store::StoreError;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{CryptoKey, SubtleCrypto};

use super::random;

/// The first byte of what is sealed.
const SEALED: u8 = 1;
const SALT: usize = 16;
const NONCE: usize = 12;
/// The byte, the salt, the rounds and the nonce.
const HEAD: usize = 1 + SALT + 4 + NONCE;
/// Rounds of PBKDF2 with HMAC-SHA-256: what OWASP's Password Storage Cheat Sheet asks for (600,000, as of 2023; from memory).
const ROUNDS: u32 = 600_000;
/// More rounds than this are not ours: they would only hold the phone up.
const MOST_ROUNDS: u32 = 10_000_000;

/// Why something stays locked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LockError {
    /// The browser has no `WebCrypto` here: the address is neither https nor this computer.
    NotHere,
    /// The passphrase is another, or the bytes were damaged.
    Wrong,
    /// What the browser says.
    Failed(String),
}

/// What opens and seals one survey.
#[derive(Debug)]
pub struct Key {
    salt: [u8; SALT],
    rounds: u32,
    cipher: CryptoKey,
    mark: CryptoKey,
}

thread_local! {
    static KEYS: RefCell<BTreeMap<SurveyId, Rc<Key>>> = const { RefCell::new(BTreeMap::new()) };
}

/// Whether this browser can lock at all.
pub fn is_available() -> bool {
    subtle().is_ok()
}

/// Whether bytes are sealed.
pub fn is_sealed(bytes: &[u8]) -> bool {
    bytes.first() == Some(&SEALED)
}

/// The name of something of a survey, to which its sealed bytes are bound.
pub fn record_name(survey: SurveyId, of: impl std::fmt::Display) -> String {
    format!("{survey}/{of}")
}

/// The key of a survey that is locked, and open in this page.
pub fn key(survey: SurveyId) -> Option<Rc<Key>> {
    KEYS.with_borrow(|keys| keys.get(&survey).cloned())
}

/// From now on this survey is opened and sealed with this key; none forgets it.
pub fn hold(survey: SurveyId, key: Option<Rc<Key>>) {
    KEYS.with_borrow_mut(|keys| match key {
        Some(key) => drop(keys.insert(survey, key)),
        None => drop(keys.remove(&survey)),
    });
}

impl From<LockError> for StoreError {
    fn from(error: LockError) -> Self {
        match error {
            LockError::NotHere => Self::Failed("no WebCrypto at this address".to_owned()),
            LockError::Wrong => Self::Failed("a sealed record does not open with the key".to_owned()),
            LockError::Failed(why) => Self::Failed(why),
        }
    }
}

impl Key {
    /// A new key of a passphrase.
    ///
    /// # Errors
    /// [`LockError`].
    pub async fn make(passphrase: &str) -> Result<Self, LockError> {
        let salt = random::bits128().map_err(LockError::Failed)?;
        Self::derive(passphrase, salt, ROUNDS).await
    }

    /// The key that these bytes were sealed with, which is shown by opening them.
    ///
    /// # Errors
    /// [`LockError`].
    pub async fn of(passphrase: &str, name: &str, sealed: &[u8]) -> Result<Self, LockError> {
        let head: &[u8; HEAD] = sealed.first_chunk().ok_or(LockError::Wrong)?;
        let mut salt = [0; SALT];
        salt.copy_from_slice(&head[1..=SALT]);
        let mut rounds = [0; 4];
        rounds.copy_from_slice(&head[1 + SALT..5 + SALT]);
        let rounds = u32::from_be_bytes(rounds);
        if !(1..=MOST_ROUNDS).contains(&rounds) {
            return Err(LockError::Wrong);
        }
        let key = Self::derive(passphrase, salt, rounds).await?;
        key.open(name, sealed).await?;
        Ok(key)
    }

    async fn derive(passphrase: &str, salt: [u8; SALT], rounds: u32) -> Result<Self, LockError> {
        let subtle = subtle()?;
        let secret = Uint8Array::from(passphrase.as_bytes());
        let material = subtle.import_key_with_str("raw", &secret, "PBKDF2", false, &usages(&["deriveBits"]));
        let material: CryptoKey = wait(material).await?.unchecked_into();
        let how = object(&[
            ("name", "PBKDF2".into()),
            ("hash", "SHA-256".into()),
            ("salt", Uint8Array::from(salt.as_slice()).into()),
            ("iterations", rounds.into()),
        ]);
        let bits = Uint8Array::new(&wait(subtle.derive_bits_with_object(&how, &material, 512)).await?);
        let (cipher, mark) = (bits.subarray(0, 32), bits.subarray(32, 64));
        let of_cipher =
            subtle.import_key_with_str("raw", &cipher, "AES-GCM", false, &usages(&["encrypt", "decrypt"]));
        let hmac = object(&[("name", "HMAC".into()), ("hash", "SHA-256".into())]);
        let of_mark = subtle.import_key_with_object("raw", &mark, &hmac, false, &usages(&["sign"]));
        Ok(Self {
            salt,
            rounds,
            cipher: wait(of_cipher).await?.unchecked_into(),
            mark: wait(of_mark).await?.unchecked_into(),
        })
    }

    /// Seals a record's bytes. Its name is bound to them: under another they do not open.
    ///
    /// # Errors
    /// [`LockError::Failed`].
    pub async fn seal(&self, name: &str, plain: &[u8]) -> Result<Vec<u8>, LockError> {
        let subtle = subtle()?;
        let mut marked = name.as_bytes().to_vec();
        // No name holds a zero, so no other name and bytes are the same.
        marked.push(0);
        marked.extend_from_slice(plain);
        let signed =
            subtle.sign_with_str_and_buffer_source("HMAC", &self.mark, &Uint8Array::from(marked.as_slice()));
        let mark = Uint8Array::new(&wait(signed).await?).to_vec();
        let nonce = mark.get(..NONCE).ok_or(LockError::Wrong)?;
        let bytes = Uint8Array::from(plain);
        let sealed = subtle.encrypt_with_object_and_buffer_source(
            &of_record(name, &Uint8Array::from(nonce)),
            &self.cipher,
            &bytes,
        );
        let sealed = Uint8Array::new(&wait(sealed).await?);
        let mut out = vec![SEALED];
        out.extend_from_slice(&self.salt);
        out.extend_from_slice(&self.rounds.to_be_bytes());
        out.extend_from_slice(nonce);
        out.extend_from_slice(&sealed.to_vec());
        Ok(out)
    }

    /// Opens a record's bytes.
    ///
    /// # Errors
    /// [`LockError::Wrong`] for another key's, another record's or damaged bytes.
    pub async fn open(&self, name: &str, sealed: &[u8]) -> Result<Vec<u8>, LockError> {
        let opened = self.open_all(&[(name.to_owned(), sealed)]).await?;
        opened.into_iter().next().ok_or(LockError::Wrong)
    }

    /// Opens many records at once: the browser works on them side by side.
    ///
    /// # Errors
    /// As [`Key::open`], if one of them does not open.
    pub async fn open_all(&self, records: &[(String, &[u8])]) -> Result<Vec<Vec<u8>>, LockError> {
        let subtle = subtle()?;
        let promises = Array::new();
        for (name, sealed) in records {
            let (head, rest) = sealed.split_at_checked(HEAD).ok_or(LockError::Wrong)?;
            let how = of_record(name, &Uint8Array::from(&head[HEAD - NONCE..]));
            let bytes = Uint8Array::from(rest);
            let opened = subtle.decrypt_with_object_and_buffer_source(&how, &self.cipher, &bytes);
            let opened: Promise = opened.map_err(failed)?;
            promises.push(&opened);
        }
        // GCM tells nothing but that a tag does not fit.
        let opened = JsFuture::from(Promise::all(&promises)).await;
        let opened = Array::from(&opened.map_err(|_| LockError::Wrong)?);
        Ok(opened
            .iter()
            .map(|bytes| Uint8Array::new(&bytes).to_vec())
            .collect())
    }
}

fn subtle() -> Result<SubtleCrypto, LockError> {
    let window = web_sys::window().ok_or(LockError::NotHere)?;
    let crypto = window.crypto().map_err(|_| LockError::NotHere)?;
    // Where the address is not a secure one the property is missing, whatever its type says.
    let subtle = Reflect::get(&crypto, &JsValue::from_str("subtle")).unwrap_or(JsValue::UNDEFINED);
    subtle.dyn_into().map_err(|_| LockError::NotHere)
}

fn of_record(name: &str, nonce: &Uint8Array) -> Object {
    let name = Uint8Array::from(name.as_bytes());
    object(&[
        ("name", "AES-GCM".into()),
        ("iv", nonce.into()),
        ("additionalData", name.into()),
    ])
}

fn object(fields: &[(&str, JsValue)]) -> Object {
    let object = Object::new();
    for (name, value) in fields {
        // Setting a property of a fresh object cannot fail.
        let _ = Reflect::set(&object, &JsValue::from_str(name), value);
    }
    object
}

fn usages(names: &[&str]) -> JsValue {
    names
        .iter()
        .map(|name| JsValue::from_str(name))
        .collect::<Array>()
        .into()
}

async fn wait(promise: Result<Promise, JsValue>) -> Result<JsValue, LockError> {
    JsFuture::from(promise.map_err(failed)?).await.map_err(failed)
}

fn failed(thrown: JsValue) -> LockError {
    LockError::Failed(super::words(&thrown))
}
