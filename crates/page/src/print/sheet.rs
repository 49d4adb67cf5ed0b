//! Pages to print: self-contained HTML or SVG, black on white, no script and
//! nothing from outside. Each page is one drawing, in millimetres.

use glost_chemistry::diagnostic::Diagnostic;
pub use glost_desk::PageFormat;

use glost_desk::card::CardPaper;

use crate::paper::{MARGIN_MM, Paper};
use crate::svg::FILE_HEAD;

/// How pages lie on paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Setting {
    /// Inside the margins of whatever paper the printer holds, A4 or Letter.
    AnyPaper,
    /// To the edges of this paper: sheets of labels.
    Exact(Paper),
    /// To the edges of a card, which keeps margins of its own.
    Card(CardPaper),
}

/// Pages to print.
#[derive(Debug, Clone)]
pub struct Pages {
    /// The title of the document.
    pub title: String,
    /// How they lie on paper.
    pub setting: Setting,
    /// Each page's drawing.
    pub drawings: Vec<String>,
}

impl Pages {
    /// The file's text.
    ///
    /// # Errors
    /// More than one page for one drawing.
    pub fn file(&self, format: PageFormat) -> Result<String, Diagnostic> {
        match (format, self.drawings.as_slice()) {
            (PageFormat::Html, _) => Ok(self.html()),
            (PageFormat::Svg, [one]) => Ok(format!("{FILE_HEAD}{one}")),
            (PageFormat::Svg, pages) => Err(Diagnostic::error(
                "too-many-pages",
                format!("this takes {} pages, and an .svg file holds one", pages.len()),
            )
            .help("nothing was written; end the file's name in .html")),
        }
    }

    /// A whole document.
    pub fn html(&self) -> String {
        let body: String = self
            .drawings
            .iter()
            .map(|drawing| format!("<div class=\"page\">\n{drawing}</div>\n"))
            .collect();
        format!(
            "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{}</title>\n\
             <style>\n{}</style>\n</head>\n<body>\n{body}</body>\n</html>\n",
            escape(&self.title),
            self.style()
        )
    }

    fn style(&self) -> String {
        let page = match self.setting {
            Setting::AnyPaper => format!("@page {{ margin: {MARGIN_MM}mm; }}\n"),
            Setting::Card(paper) => {
                let (width, height) = paper.size_mm();
                format!("@page {{ size: {width}mm {height}mm; margin: 0; }}\n")
            }
            // A hair lower than the sheet, so that rounding starts no further page.
            Setting::Exact(paper) => format!(
                "@page {{ size: {} portrait; margin: 0; }}\n@media print {{ .page {{ height: {}mm; overflow: hidden; }} }}\n",
                paper.name(),
                paper.height_mm() - 0.1
            ),
        };
        format!(
            "{page}\
             body {{ margin: 0; color: #000; background: #fff; }}\n\
             .page {{ break-after: page; break-inside: avoid; }}\n\
             .page:last-child {{ break-after: auto; }}\n\
             svg {{ display: block; }}\n\
             @media screen {{ body {{ margin: 4mm; }} .page {{ margin-bottom: 8mm; }} svg {{ max-width: 100%; height: auto; outline: 1px dotted #888; }} }}\n"
        )
    }
}

/// Text as HTML text, also inside quotes.
pub fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            // Control characters have no place in HTML.
            control if control.is_control() && control != '\n' => safe.push(' '),
            // What is read must be what stands there, in its order.
            turning if crate::plain::turns(turning) => safe.push('\u{fffd}'),
            other => safe.push(other),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::svg::{Anchor, Svg};

    fn pages(count: usize) -> Pages {
        let mut drawing = Svg::new(10.0, 10.0);
        drawing.text(0.0, 5.0, 4.0, Anchor::Start, "\"5 > 4\" & <b>'x'</b>\u{1b}");
        Pages {
            title: "<script>".to_owned(),
            setting: Setting::AnyPaper,
            drawings: vec![drawing.finish(); count],
        }
    }

    #[test]
    fn names_cannot_break_out_of_the_page() {
        let page = pages(1).html();
        assert!(!page.contains("<script>") && !page.contains("<b>") && !page.contains('\u{1b}'));
        assert!(page.contains("&quot;5 &gt; 4&quot; &amp; &lt;b&gt;"));
    }

    #[test]
    fn nothing_comes_from_outside() {
        let page = pages(2).html();
        for word in ["src=", "href=", "url(", "@import", "<script", "<link"] {
            assert!(!page.contains(word), "{word}");
        }
    }

    #[test]
    fn a_drawing_is_one_page() {
        assert!(pages(1).file(PageFormat::Svg).is_ok());
        assert!(pages(2).file(PageFormat::Svg).is_err());
    }
}
