//! HTML, written so that no text can become a tag.

use std::fmt::Write;

/// HTML in the making; every text is escaped on its way in.
#[derive(Default)]
pub(crate) struct Page(String);

const STYLE: &str = "body{font:16px/1.5 system-ui,sans-serif;max-width:52rem;margin:2rem auto;padding:0 1rem;\
color:#1b1b1b;background:#fff}h1,h2{line-height:1.2}table{border-collapse:collapse;margin:.5rem 0 1.5rem}\
caption{text-align:left;font-weight:600}th,td{border-bottom:1px solid #bbb;padding:.25rem .75rem .25rem 0;\
text-align:left;vertical-align:top}td.n{text-align:right;font-variant-numeric:tabular-nums}code{word-break:break-all}\
.note{border-left:.3rem solid #8a5a00;padding-left:.75rem}";

impl Page {
    /// A page up to its heading: it needs nothing else, and may load nothing and run nothing, whatever found its way
    /// into it.
    pub(crate) fn begun(title: &str) -> Self {
        let mut page = Self::default();
        page.raw("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
        page.raw("<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n");
        page.raw("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
        page.element("title", title);
        page.raw("<style>");
        page.raw(STYLE);
        page.raw("</style>\n</head>\n<body>\n");
        page.element("h1", title);
        page
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

    /// The first column names the row.
    pub(crate) fn table(&mut self, caption: &str, header: &[&str], rows: &[Vec<String>]) {
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
