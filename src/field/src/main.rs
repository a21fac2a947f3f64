//! Starts the app. Everything else is in the library beside it, so that its pure parts are tested natively.

fn main() {
    field::start();
}
