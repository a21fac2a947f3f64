//! A picture from the camera: turned upright, made small, written anew as a JPEG without what the camera wrote beside it;
//! and pictures on the screen.

use js_sys::{Array, Promise, Uint8Array};
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{Blob, BlobPropertyBag, CanvasRenderingContext2d, HtmlCanvasElement, HtmlImageElement, Url};

use super::words;

/// The largest picture that is taken from the camera, bytes: the largest sensors give less.
pub const MOST_BYTES: u64 = 64 << 20;

/// How good the kept JPEG is: writing stays legible, a picture has a few hundred kB.
pub const QUALITY: f64 = 0.8;

/// The address of a picture in this page, for an `img`. It is good until [`give_back`].
///
/// # Errors
/// What the browser says.
pub fn address(bytes: &[u8]) -> Result<String, String> {
    let parts = Array::of1(&Uint8Array::from(bytes));
    let options = BlobPropertyBag::new();
    options.set_type("image/jpeg");
    let blob = Blob::new_with_u8_array_sequence_and_options(&parts, &options).map_err(|e| words(&e))?;
    Url::create_object_url_with_blob(&blob).map_err(|e| words(&e))
}

/// Gives an [`address`] back.
pub fn give_back(address: &str) {
    // An address that cannot be given back is given back with the page.
    let _ = Url::revoke_object_url(address);
}

/// Draws a picture anew, upright, no side longer than `most` pixels, as a JPEG of this quality (0 to 1).
///
/// # Errors
/// It cannot be read as a picture, or the browser refuses to draw.
pub async fn shrink(bytes: &[u8], most: u32, quality: f64) -> Result<Vec<u8>, String> {
    let parts = Array::of1(&Uint8Array::from(bytes));
    let blob = Blob::new_with_u8_array_sequence(&parts).map_err(|e| words(&e))?;
    let address = Url::create_object_url_with_blob(&blob).map_err(|e| words(&e))?;
    let drawn = draw(&address, most).await;
    give_back(&address);
    jpeg_of(&drawn?, quality).await
}

/// An `img` turns a picture as the camera held it (CSS Images 3, `image-orientation: from-image`), and so does drawing one.
async fn draw(address: &str, most: u32) -> Result<HtmlCanvasElement, String> {
    let image = HtmlImageElement::new().map_err(|e| words(&e))?;
    image.set_src(address);
    JsFuture::from(image.decode()).await.map_err(|e| words(&e))?;
    let (width, height) = (image.natural_width(), image.natural_height());
    let longest = width.max(height);
    if longest == 0 {
        return Err("no picture".to_owned());
    }
    let (width, height) = if longest > most {
        (scaled(width, most, longest), scaled(height, most, longest))
    } else {
        (width, height)
    };
    let canvas: HtmlCanvasElement = web_sys::window()
        .and_then(|window| window.document())
        .ok_or("no document")?
        .create_element("canvas")
        .map_err(|e| words(&e))?
        .dyn_into()
        .map_err(|_| "no canvas")?;
    canvas.set_width(width);
    canvas.set_height(height);
    let context: CanvasRenderingContext2d = canvas
        .get_context("2d")
        .map_err(|e| words(&e))?
        .ok_or("no drawing")?
        .dyn_into()
        .map_err(|_| "no drawing")?;
    context
        .draw_image_with_html_image_element_and_dw_and_dh(
            &image,
            0.0,
            0.0,
            f64::from(width),
            f64::from(height),
        )
        .map_err(|e| words(&e))?;
    Ok(canvas)
}

/// A side of at least one pixel, rounded down, so that the longest has `most`.
fn scaled(side: u32, most: u32, longest: u32) -> u32 {
    let scaled = u64::from(side) * u64::from(most) / u64::from(longest);
    u32::try_from(scaled).unwrap_or(most).max(1)
}

async fn jpeg_of(canvas: &HtmlCanvasElement, quality: f64) -> Result<Vec<u8>, String> {
    let promise = Promise::new(&mut |resolve, reject| {
        let made = Closure::once_into_js(move |blob: JsValue| {
            // The promise takes whatever comes.
            let _ = resolve.call1(&JsValue::NULL, &blob);
        });
        let asked = canvas.to_blob_with_type_and_encoder_options(
            made.unchecked_ref(),
            "image/jpeg",
            &JsValue::from_f64(quality),
        );
        if let Err(thrown) = asked {
            let _ = reject.call1(&JsValue::NULL, &thrown);
        }
    });
    let blob = JsFuture::from(promise).await.map_err(|e| words(&e))?;
    let blob: Blob = blob.dyn_into().map_err(|_| "no picture was made")?;
    let buffer = JsFuture::from(blob.array_buffer()).await.map_err(|e| words(&e))?;
    Ok(Uint8Array::new(&buffer).to_vec())
}
