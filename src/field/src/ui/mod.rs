//! Parts of screens that know nothing of surveys. Whatever can be tapped takes a `tap`, which becomes `data-tap`:
//! stable, unique on its screen, the handle of the browser tests.

mod button;
mod chip;
mod choice;
mod drawing;
mod field;
mod file_button;
mod fullness;
mod icon;
mod interval_plot;
mod number;
mod page;
mod panel;
mod progress;
mod reel;
mod undo_bar;

pub use button::{Button, Kind, Link};
pub use chip::Chip;
pub use choice::{ChoiceList, ChoiceOption, MultiChoice};
pub use drawing::{Drawing, Manner};
pub use field::{TextArea, TextField};
pub use file_button::FileButton;
pub use fullness::{Fullness, FullnessGlyph};
pub use icon::{Glyph, Icon};
pub use interval_plot::{IntervalPlot, PlotRow};
pub use number::{NumberPad, NumberStepper};
pub use page::{Page, Section};
pub use panel::{Panel, Tone};
pub use progress::Progress;
pub use reel::Reel;
pub use undo_bar::UndoBar;

use std::sync::atomic::{AtomicU32, Ordering};

/// An id for an element that another one must name: unique in this page, without meaning.
fn element_id(what: &str) -> String {
    static NEXT: AtomicU32 = AtomicU32::new(1);
    format!("{what}-{}", NEXT.fetch_add(1, Ordering::Relaxed))
}
