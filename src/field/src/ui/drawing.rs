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
    view! {
        <svg class="drawing" viewBox="0 0 120 80" width="90" height="60" aria-hidden="true" focusable="false">
            {strokes.iter().filter_map(|stroke| one(stroke)).collect_view()}
        </svg>
    }
}

/// A stroke; one that cannot be read is left out.
fn one(stroke: &'static str) -> Option<AnyView> {
    let (letter, shape) = stroke.split_once(' ')?;
    let Manner(class) = Manner::read(letter)?;
    let Some(circle) = shape.strip_prefix('c') else {
        return Some(view! { <path class=class d=shape /> }.into_any());
    };
    let mut numbers = circle.split(' ');
    let (x, y, r) = (numbers.next()?, numbers.next()?, numbers.next()?);
    Some(view! { <circle class=class cx=x cy=y r=r /> }.into_any())
}
