//! Randomness from the browser's cryptographic generator: ids, and seeds when nobody has dice.

/// 128 random bits.
///
/// # Errors
/// What the browser says when it has no generator; then no id can be made and nothing can be written.
pub fn bits128() -> Result<[u8; 16], String> {
    let window = web_sys::window().ok_or("no window")?;
    let crypto = window.crypto().map_err(|e| super::words(&e))?;
    let mut bytes = [0; 16];
    crypto
        .get_random_values_with_u8_array(&mut bytes)
        .map_err(|e| super::words(&e))?;
    Ok(bytes)
}
