//! HTML, written so that no text can become a tag.

use std::fmt::Write;

use super::line::{Line, Piece};

/// HTML in the making; every text is escaped on its way in.
#[derive(Default)]
pub(crate) struct Page(String);

const STYLE: &str = "body{font:16px/1.5 system-ui,sans-serif;max-width:52rem;margin:2rem auto;padding:0 1rem;\
color:#1b1b1b;background:#fff}h1,h2{line-height:1.2}table{border-collapse:collapse;margin:.5rem 0 1.5rem}\
caption{text-align:left;font-weight:600}th,td{border-bottom:1px solid #bbb;padding:.25rem .75rem .25rem 0;\
text-align:left;vertical-align:top}td.n{text-align:right;font-variant-numeric:tabular-nums}code{word-break:break-all}\
.note{border-left:.3rem solid #8a5a00;padding-left:.75rem}";

/// The most rows of a table that stands on one page of paper whole.
const WHOLE: usize = 14;
/// What stands in front of the JSON that says what a report was made by.
pub(super) const MADE_BY: &str = "<meta name=\"quarterlight-report\" content=\"";
/// What stands in front of the id of a figure.
pub(super) const FIGURE: &str = "<span data-figure=\"";

impl Page {
    /// A page up to its heading: it needs nothing else, and may load nothing and run nothing, whatever found its way
    /// into it.
    pub(crate) fn begun(title: &str) -> Self {
        let mut page = Self::headed(title, STYLE, None);
        page.element("h1", title);
        page
    }

    /// A page up to its body, in this style, with what it was made by as JSON for a program that checks it.
    pub(super) fn headed(title: &str, style: &str, made_by: Option<&str>) -> Self {
        let mut page = Self::default();
        page.raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
        page.raw("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n");
        page.raw("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
        if let Some(json) = made_by {
            page.raw(MADE_BY);
            page.text(json);
            page.raw("\">\n");
        }
        page.element("title", title);
        page.raw("<style>");
        page.raw(style);
        page.raw("</style>\n</head>\n<body>\n");
        page
    }

    /// A line of a report: its figures bear their ids, what others wrote is marked.
    pub(super) fn line(&mut self, line: &Line) {
        for piece in line.pieces() {
            match piece {
                Piece::Words(text) => self.text(text),
                Piece::Said(text) => {
                    // A number of a box is not broken at its hyphen.
                    let short = text.len() <= 12 && !text.contains(char::is_whitespace);
                    self.raw(if short {
                        "<span class=\"said k\">"
                    } else {
                        "<span class=\"said\">"
                    });
                    self.text(text);
                    self.raw("</span>");
                }
                Piece::Figure { id, shown } => {
                    self.raw(FIGURE);
                    self.text(id);
                    self.raw("\">");
                    self.text(shown);
                    self.raw("</span>");
                }
            }
        }
    }

    /// A line in an element, `p` or `li` say.
    pub(super) fn within(&mut self, element: &str, line: &Line) {
        let _ = write!(self.0, "<{element}>");
        self.line(line);
        let name = element.split(' ').next().unwrap_or(element);
        let _ = writeln!(self.0, "</{name}>");
    }

    /// A paragraph.
    pub(super) fn p(&mut self, line: &Line) {
        self.within("p", line);
    }

    /// Lines as a list; nothing where there are none.
    pub(super) fn lines(&mut self, lines: &[Line]) {
        if lines.is_empty() {
            return;
        }
        self.raw("<ul>\n");
        for line in lines {
            self.within("li", line);
        }
        self.raw("</ul>\n");
    }

    /// A table that scrolls by itself on a narrow screen. The first column names the row; `numbers` are the columns set to
    /// the right.
    pub(super) fn grid(&mut self, caption: &str, header: &[Line], numbers: &[usize], rows: &[Vec<Line>]) {
        if rows.is_empty() {
            return;
        }
        // A short table is not split between two pages.
        self.raw(if rows.len() <= WHOLE {
            "<div class=\"wide keep\" role=\"region\" tabindex=\"0\" aria-label=\""
        } else {
            "<div class=\"wide\" role=\"region\" tabindex=\"0\" aria-label=\""
        });
        self.text(caption);
        self.raw("\"><table>\n");
        self.element("caption", caption);
        self.raw("<thead><tr>");
        for (index, name) in header.iter().enumerate() {
            self.raw(match (name.is_empty(), numbers.contains(&index)) {
                (true, _) => "<td>",
                (false, true) => "<th scope=\"col\" class=\"n\">",
                (false, false) => "<th scope=\"col\">",
            });
            self.line(name);
            self.raw(if name.is_empty() { "</td>" } else { "</th>" });
        }
        self.raw("</tr></thead>\n<tbody>\n");
        for row in rows {
            self.raw("<tr>");
            for (index, cell) in row.iter().enumerate() {
                self.raw(match (index, numbers.contains(&index)) {
                    (0, _) => "<th scope=\"row\">",
                    (_, true) => "<td class=\"n\">",
                    (_, false) => "<td>",
                });
                self.line(cell);
                self.raw(if index == 0 { "</th>" } else { "</td>" });
            }
            self.raw("</tr>\n");
        }
        self.raw("</tbody></table></div>\n");
    }

    /// The whole page.
    pub(crate) fn ended(mut self) -> String {
        self.raw("</body>\n</html>\n");
        self.0
    }

    pub(crate) fn raw(&mut self, html: &str) {
        self.0.push_str(html);
    }

    pub(crate) fn text(&mut self, text: &str) {
        for c in text.chars() {
            match c {
                '&' => self.0.push_str("&amp;"),
                '<' => self.0.push_str("&lt;"),
                '>' => self.0.push_str("&gt;"),
                '"' => self.0.push_str("&quot;"),
                c => self.0.push(c),
            }
        }
    }

    pub(crate) fn element(&mut self, name: &str, text: &str) {
        // Writing to a String cannot fail.
        let _ = write!(self.0, "<{name}>");
        self.text(text);
        let _ = writeln!(self.0, "</{name}>");
    }

    pub(crate) fn note(&mut self, text: &str) {
        self.raw("<p class=\"note\">");
        self.text(text);
        self.raw("</p>\n");
    }

    /// Lines below what they are about; nothing where there are none.
    pub(crate) fn list(&mut self, about: &str, lines: &[String]) {
        if lines.is_empty() {
            return;
        }
        self.element("p", about);
        self.raw("<ul>\n");
        for line in lines {
            self.element("li", line);
        }
        self.raw("</ul>\n");
    }

    /// A heading and what belongs to it, a name and a text a row.
    pub(crate) fn texts(&mut self, heading: &str, rows: &[Vec<String>]) {
        self.element("h2", heading);
        self.raw("<table>\n");
        for row in rows {
            self.raw("<tr>");
            for (index, cell) in row.iter().enumerate() {
                self.raw(if index == 0 { "<th scope=\"row\">" } else { "<td>" });
                self.text(cell);
                self.raw(if index == 0 { "</th>" } else { "</td>" });
            }
            self.raw("</tr>\n");
        }
        self.raw("</table>\n");
    }
}
