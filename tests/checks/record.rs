//! What the checks compared, line by line: a name and the bits of our figure.

use std::cell::RefCell;
use std::fmt::Write as _;

thread_local! {
    static TEXT: RefCell<String> = const { RefCell::new(String::new()) };
}

/// The lines to come are a module's.
pub(crate) fn module(name: &str) {
    TEXT.with_borrow_mut(|text| {
        let _ = writeln!(text, "module {name}");
    });
}

/// A figure that was compared with its source.
pub(crate) fn compared(what: &str, ours: f64) {
    TEXT.with_borrow_mut(|text| {
        let _ = writeln!(text, "{what} {:016x}", ours.to_bits());
    });
}

/// Prints the lines, or leaves them in memory for good; the marks are put together here alone, so that they are nowhere else in it.
pub(crate) fn finish() {
    let text = TEXT.take();
    if cfg!(target_arch = "wasm32") {
        let mut marked = String::with_capacity(text.len() + 64);
        for part in ["figures", "-begin\n", &text, "figures", "-end\n"] {
            marked.push_str(part);
        }
        std::hint::black_box(Box::leak(marked.into_boxed_str()));
    } else {
        print!("{text}");
    }
}
