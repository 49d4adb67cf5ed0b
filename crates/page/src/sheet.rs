//! Pages to print: self-contained HTML for A4 and Letter, 14 pt for what is
//! read at the scales, black on white, no script and nothing from outside.

/// The style of every printed page. The page size is the printer's own: margins
/// and widths are given so that both A4 and Letter hold it.
const STYLE: &str = "\
@page { margin: 12mm; }
* { box-sizing: border-box; }
body { font: 14pt/1.3 sans-serif; color: #000; background: #fff; margin: 12mm; max-width: 186mm; }
@media print { body { margin: 0; } .screen-only { display: none; } }
h1 { font-size: 22pt; margin: 0 0 3mm; overflow-wrap: anywhere; }
h2 { font-size: 16pt; margin: 5mm 0 2mm; }
table { border-collapse: collapse; width: 100%; }
td, th { border-bottom: 0.3mm solid #000; padding: 1.5mm 2mm; text-align: left; vertical-align: top; }
td.number { text-align: right; white-space: nowrap; font-size: 18pt; font-weight: bold; }
td.running { text-align: right; white-space: nowrap; }
p { margin: 1.5mm 0; }
.box { display: inline-block; width: 6mm; height: 6mm; border: 0.5mm solid #000; vertical-align: -1mm; margin-right: 2mm; }
.blank { display: inline-block; border-bottom: 0.3mm solid #000; min-width: 38mm; height: 6mm; }
.small { font-size: 11pt; }
.warning { border: 0.6mm solid #000; padding: 2mm 3mm; margin: 3mm 0; }
.label { border: 0.6mm solid #000; padding: 4mm; margin: 0 0 5mm; break-inside: avoid; overflow-wrap: anywhere; }
.ticket { break-after: page; }
.ticket:last-child { break-after: auto; }
";

/// A whole document around `body`.
pub fn document(title: &str, body: &str) -> String {
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{}</title>\n\
         <style>\n{STYLE}</style>\n</head>\n<body>\n{body}</body>\n</html>\n",
        escape(title)
    )
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
            other => safe.push(other),
        }
    }
    safe
}

/// A paragraph.
pub fn paragraph(text: &str) -> String {
    format!("<p>{}</p>\n", escape(text))
}

/// A paragraph with a tick box.
pub fn tick(text: &str) -> String {
    format!("<p><span class=\"box\"></span>{}</p>\n", escape(text))
}

/// Words with a line to write on, for each.
pub fn blanks(words: &[&str]) -> String {
    let lines: Vec<String> = words
        .iter()
        .map(|word| format!("{} <span class=\"blank\"></span>", escape(word)))
        .collect();
    format!("<p>{}</p>\n", lines.join(" &nbsp; "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_cannot_break_out_of_the_page() {
        let page = document("<script>", &paragraph("\"5 > 4\" & <b>'x'</b>\u{1b}"));
        assert!(!page.contains("<script>") && !page.contains("<b>") && !page.contains('\u{1b}'));
        assert!(page.contains("&quot;5 &gt; 4&quot; &amp; &lt;b&gt;"));
        assert!(!page.contains("http"));
    }
}
