//! HTML, written so that no text can become a tag.

use std::fmt::Write;

/// HTML in the making; every text is escaped on its way in.
#[derive(Default)]
pub(super) struct Page(pub(super) String);

impl Page {
    pub(super) fn raw(&mut self, html: &str) {
        self.0.push_str(html);
    }

    fn text(&mut self, text: &str) {
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

    pub(super) fn element(&mut self, name: &str, text: &str) {
        // Writing to a String cannot fail.
        let _ = write!(self.0, "<{name}>");
        self.text(text);
        let _ = writeln!(self.0, "</{name}>");
    }

    pub(super) fn note(&mut self, text: &str) {
        self.raw("<p class=\"note\">");
        self.text(text);
        self.raw("</p>\n");
    }

    /// The first column names the row.
    pub(super) fn table(&mut self, caption: &str, header: &[&str], rows: &[Vec<String>]) {
        self.raw("<table>\n");
        self.element("caption", caption);
        self.raw("<tr>");
        for name in header {
            self.raw("<th scope=\"col\">");
            self.text(name);
            self.raw("</th>");
        }
        self.raw("</tr>\n");
        for row in rows {
            self.raw("<tr>");
            for (index, cell) in row.iter().enumerate() {
                self.raw(if index == 0 {
                    "<th scope=\"row\">"
                } else {
                    "<td class=\"n\">"
                });
                self.text(cell);
                self.raw(if index == 0 { "</th>" } else { "</td>" });
            }
            self.raw("</tr>\n");
        }
        self.raw("</table>\n");
    }
}
