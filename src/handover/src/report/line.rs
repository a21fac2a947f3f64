//! A sentence or a cell in the making: words, what somebody else wrote, and numbers that bear the id of their figure.
//!
//! Every number of a report goes in through [`Line::fig`], so that it can be recomputed and a changed digit named.

/// Text of several parts.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Line(Vec<Piece>);

#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Piece {
    /// The report's own words, without digits.
    Words(String),
    /// Somebody else's words or names, kept as they are: typed texts, dates, serials, texts of the knowledge base.
    Said(String),
    /// A number as it is shown, with the id of its figure.
    Figure { id: String, shown: String },
}

/// A line of words.
pub(super) fn w(words: &str) -> Line {
    Line::default().w(words)
}

/// A line of somebody else's words.
pub(super) fn said(text: impl Into<String>) -> Line {
    Line::default().said(text)
}

/// A line of one number.
pub(super) fn fig(id: impl Into<String>, shown: impl Into<String>) -> Line {
    Line::default().fig(id, shown)
}

impl Line {
    pub(super) fn w(mut self, words: &str) -> Self {
        self.0.push(Piece::Words(words.to_owned()));
        self
    }

    pub(super) fn said(mut self, text: impl Into<String>) -> Self {
        self.0.push(Piece::Said(text.into()));
        self
    }

    pub(super) fn fig(mut self, id: impl Into<String>, shown: impl Into<String>) -> Self {
        self.0.push(Piece::Figure {
            id: id.into(),
            shown: shown.into(),
        });
        self
    }

    /// A whole number.
    pub(super) fn n(self, id: impl Into<String>, number: usize) -> Self {
        self.fig(id, super::numbers::whole(number))
    }

    /// A number of things: `1 box`, `412 boxes`.
    pub(super) fn of(self, id: impl Into<String>, number: usize, one: &str, many: &str) -> Self {
        self.n(id, number)
            .w(if number == 1 { " " } else { "\u{a0}" })
            .w(if number == 1 { one } else { many })
    }

    pub(super) fn add(mut self, other: Self) -> Self {
        self.0.extend(other.0);
        self
    }

    pub(super) fn pieces(&self) -> &[Piece] {
        &self.0
    }

    pub(super) fn is_empty(&self) -> bool {
        self.plain().is_empty()
    }

    /// The text alone.
    pub(super) fn plain(&self) -> String {
        let text = |piece: &Piece| match piece {
            Piece::Words(text) | Piece::Said(text) | Piece::Figure { shown: text, .. } => text.clone(),
        };
        self.0.iter().map(text).collect()
    }
}

impl From<&str> for Line {
    fn from(words: &str) -> Self {
        w(words)
    }
}
