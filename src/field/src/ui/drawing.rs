//! A line drawing, in the colour of the scheme. It says nothing that the words beside it do not say.

use leptos::prelude::*;

use crate::drawings::Strokes;

/// How a stroke is drawn: its class in the style sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Manner(&'static str);

impl Manner {
    /// By the letter a drawing uses for it.
    #[must_use]
    pub fn read(letter: &str) -> Option<Self> {
        Some(Self(match letter {
            "l" => "line",
            "t" => "thin",
            "d" => "dash",
            "o" => "dots",
            "w" => "wound",
            "s" => "solid",
            "y" => "lit",
            "g" => "gap",
            _ => return None,
        }))
    }
}

/// The drawing.
#[component]
pub fn Drawing(strokes: Strokes) -> impl IntoView {
    // A screen has up to seventy strokes: the browser reads a drawing's as one text sooner than it is told them singly.
    let inside: String = strokes.iter().filter_map(|stroke| one(stroke)).collect();
    view! {
        <svg
            class="drawing"
            viewBox="0 0 120 80"
            width="90"
            height="60"
            aria-hidden="true"
            focusable="false"
            inner_html=inside
        ></svg>
    }
}

/// A stroke; one that cannot be read is left out. Nothing in it comes from outside this program.
fn one(stroke: &'static str) -> Option<String> {
    let (letter, shape) = stroke.split_once(' ')?;
    let Manner(class) = Manner::read(letter)?;
    let Some(circle) = shape.strip_prefix('c') else {
        return Some(format!("<path class=\"{class}\" d=\"{shape}\"/>"));
    };
    let mut numbers = circle.split(' ');
    let (x, y, r) = (numbers.next()?, numbers.next()?, numbers.next()?);
    Some(format!(
        "<circle class=\"{class}\" cx=\"{x}\" cy=\"{y}\" r=\"{r}\"/>"
    ))
}
