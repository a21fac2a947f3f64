//! The camera: its picture in a `video` of the page, and single looks at it as grey values. Nothing is kept, and nothing
//! leaves the page.

use js_sys::{JSON, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    CanvasRenderingContext2d, DomException, HtmlCanvasElement, HtmlVideoElement, MediaStream,
    MediaStreamConstraints, MediaStreamTrack, MediaStreamTrackState,
};

use super::words;

/// The camera that looks away from its holder, in a resolution that every phone has.
const WANTED: &str =
    r#"{"facingMode":{"ideal":"environment"},"width":{"ideal":1280},"height":{"ideal":960}}"#;

/// Why there is no picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoCamera {
    /// The person, or the device's settings, said no.
    Refused,
    /// The device has none.
    None,
    /// Another app has it.
    Busy,
    /// This browser gives none to this page.
    NotGiven,
    /// What the browser says.
    Other(String),
}

/// A camera that is on. It is off again once this is dropped.
#[derive(Debug)]
pub struct Camera {
    stream: MediaStream,
    video: HtmlVideoElement,
    canvas: HtmlCanvasElement,
    pen: CanvasRenderingContext2d,
}

impl Camera {
    /// Asks for the camera and shows its picture in the `video` that a selector finds.
    ///
    /// # Errors
    /// [`NoCamera`].
    pub async fn on(selector: &str) -> Result<Self, NoCamera> {
        let other = |thrown: JsValue| NoCamera::Other(words(&thrown));
        let window = web_sys::window().ok_or(NoCamera::NotGiven)?;
        let document = window.document().ok_or(NoCamera::NotGiven)?;
        // Pages that are not served securely have no such property.
        let devices = window
            .navigator()
            .media_devices()
            .map_err(|_| NoCamera::NotGiven)?;
        if !devices.is_object() {
            return Err(NoCamera::NotGiven);
        }
        let wanted = MediaStreamConstraints::new();
        wanted.set_video(&JSON::parse(WANTED).map_err(other)?);
        let asked = devices.get_user_media_with_constraints(&wanted).map_err(other)?;
        let stream: MediaStream = JsFuture::from(asked)
            .await
            .map_err(|thrown| refusal(&thrown))?
            .dyn_into()
            .map_err(other)?;
        let found = document.query_selector(selector).map_err(other)?;
        let made = document.create_element("canvas").map_err(other)?;
        let parts = found
            .and_then(|video| video.dyn_into::<HtmlVideoElement>().ok())
            .zip(made.dyn_into::<HtmlCanvasElement>().ok())
            .and_then(|(video, canvas)| {
                let pen = canvas
                    .get_context("2d")
                    .ok()??
                    .dyn_into::<CanvasRenderingContext2d>()
                    .ok()?;
                Some((video, canvas, pen))
            });
        let Some((video, canvas, pen)) = parts else {
            // The person has gone elsewhere meanwhile.
            stop(&stream);
            return Err(NoCamera::NotGiven);
        };
        let camera = Self {
            stream,
            video,
            canvas,
            pen,
        };
        camera.video.set_src_object(Some(&camera.stream));
        let playing = camera.video.play().map_err(other)?;
        JsFuture::from(playing).await.map_err(other)?;
        Ok(camera)
    }

    /// Whether it still gives pictures: a phone that slept may have taken it away.
    #[must_use]
    pub fn is_on(&self) -> bool {
        let tracks = self.stream.get_video_tracks();
        let is_live = |track: JsValue| {
            let track = track.dyn_into::<MediaStreamTrack>();
            track.is_ok_and(|track| track.ready_state() == MediaStreamTrackState::Live)
        };
        self.video.is_connected() && tracks.iter().any(is_live)
    }

    /// The middle of what it sees, `side` pixels a side, grey from 0 (black) to 255; nothing before the first picture.
    #[must_use]
    pub fn look(&self, side: usize) -> Option<Vec<u8>> {
        let (width, height) = (self.video.video_width(), self.video.video_height());
        let part = f64::from(width.min(height));
        if part < 1.0 {
            return None;
        }
        let to = u32::try_from(side).ok()?;
        if self.canvas.width() != to {
            self.canvas.set_width(to);
            self.canvas.set_height(to);
        }
        let (left, top) = ((f64::from(width) - part) / 2.0, (f64::from(height) - part) / 2.0);
        let drawn = self
            .pen
            .draw_image_with_html_video_element_and_sw_and_sh_and_dx_and_dy_and_dw_and_dh(
                &self.video,
                left,
                top,
                part,
                part,
                0.0,
                0.0,
                f64::from(to),
                f64::from(to),
            );
        drawn.ok()?;
        let side = f64::from(to);
        let seen = self.pen.get_image_data(0.0, 0.0, side, side).ok()?.data().0;
        let (pixels, _) = seen.as_chunks::<4>();
        // Green is the sharpest and the least noisy of a camera's colours, red is all there is in the cellar scheme.
        let grey = |[red, green, _, _]: &[u8; 4]| u8::midpoint(*red, *green);
        Some(pixels.iter().map(grey).collect())
    }
}

impl Drop for Camera {
    fn drop(&mut self) {
        stop(&self.stream);
        self.video.set_src_object(None);
    }
}

fn stop(stream: &MediaStream) {
    for track in stream.get_tracks().iter() {
        if let Ok(track) = track.dyn_into::<MediaStreamTrack>() {
            track.stop();
        }
    }
}

/// What `getUserMedia` throws (Media Capture and Streams, section 10.2).
fn refusal(thrown: &JsValue) -> NoCamera {
    let name = thrown.dyn_ref::<DomException>().map(DomException::name);
    let name = name.or_else(|| Reflect::get(thrown, &JsValue::from_str("name")).ok()?.as_string());
    match name.as_deref() {
        Some("NotAllowedError" | "SecurityError") => NoCamera::Refused,
        Some("NotFoundError" | "OverconstrainedError") => NoCamera::None,
        Some("NotReadableError" | "AbortError") => NoCamera::Busy,
        _ => NoCamera::Other(words(thrown)),
    }
}
