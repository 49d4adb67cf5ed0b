//! HTML with every word escaped: a text can't become markup by being forgotten.

use std::fmt::{self, Display, Formatter};

use crate::plain::turns;
use crate::sheet::escape;

/// Markup that may stand in a page as it is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Html(String);

impl Html {
    /// Markup from a template of ours, its values put in by [`html!`](crate::html).
    pub fn from_template(markup: String) -> Html {
        Html(markup)
    }

    /// Adds more.
    pub fn push(&mut self, more: Html) {
        self.0.push_str(&more.0);
    }

    /// Whether nothing stands in it.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The markup.
    pub fn into_string(self) -> String {
        self.0
    }
}

impl Display for Html {
    fn fmt(&self, to: &mut Formatter<'_>) -> fmt::Result {
        to.write_str(&self.0)
    }
}

impl FromIterator<Html> for Html {
    fn from_iter<I: IntoIterator<Item = Html>>(pieces: I) -> Html {
        let mut all = Html::default();
        for piece in pieces {
            all.push(piece);
        }
        all
    }
}

/// What can stand in a template.
pub trait InHtml {
    /// As it stands in a page.
    fn in_html(&self) -> String;
}

impl InHtml for Html {
    fn in_html(&self) -> String {
        self.0.clone()
    }
}

impl InHtml for str {
    fn in_html(&self) -> String {
        escape(self)
    }
}

impl InHtml for String {
    fn in_html(&self) -> String {
        escape(self)
    }
}

/// A value that a form sends back: as it is, letter by letter, though nothing of it is seen.
#[derive(Debug, Clone, Copy)]
pub struct Exact<'a>(pub &'a str);

impl InHtml for Exact<'_> {
    fn in_html(&self) -> String {
        let sign = |sign: char| match turns(sign) {
            true => format!("&#{};", u32::from(sign)),
            false => escape(sign.encode_utf8(&mut [0; 4])),
        };
        self.0.chars().map(sign).collect()
    }
}

impl<T: InHtml + ?Sized> InHtml for &T {
    fn in_html(&self) -> String {
        (**self).in_html()
    }
}

macro_rules! numbers {
    ($($kind:ty),*) => { $(impl InHtml for $kind {
        fn in_html(&self) -> String {
            self.to_string()
        }
    })* };
}
numbers!(usize, u32, i64);

/// Whether a template has nothing but empty places: a name inside braces would be put in
/// as it is.
pub const fn only_empty_places(template: &str) -> bool {
    let bytes = template.as_bytes();
    let mut at = 0;
    while at < bytes.len() {
        if bytes[at] == b'{' {
            if at + 1 >= bytes.len() || bytes[at + 1] != b'}' {
                return false;
            }
            at += 1;
        }
        at += 1;
    }
    true
}

/// A template with values in its places, each escaped unless it is
/// [`Html`](crate::bench::Html).
#[macro_export]
macro_rules! html {
    ($template:literal $(, $value:expr)* $(,)?) => {{
        const _: () = assert!($crate::bench::only_empty_places($template), "a template has empty places only");
        $crate::bench::Html::from_template(format!($template $(, $crate::bench::InHtml::in_html(&$value))*))
    }};
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_comes_from_outside_is_escaped() {
        let name = "<script>alert(1)</script> \"q\" 'a' & \u{202e}x 🏺";
        let made = html!("<p title=\"{}\">{} {}</p>", name, html!("<b>{}</b>", "a<b"), 3_usize).into_string();
        assert!(!made.contains("<script>") && made.contains("&lt;script&gt;alert(1)"));
        assert!(made.contains("&quot;q&quot; &#39;a&#39; &amp; \u{fffd}x 🏺"));
        let kept = html!("<i value=\"{}\">", Exact("\u{202e}<\"")).into_string();
        assert_eq!(kept, "<i value=\"&#8238;&lt;&quot;\">");
        assert!(made.ends_with("<b>a&lt;b</b> 3</p>"), "{made}");
    }

    #[test]
    fn a_name_inside_a_template_is_no_place() {
        assert!(only_empty_places("<p>{}</p>"));
        assert!(!only_empty_places("<p>{name}</p>") && !only_empty_places("{"));
    }
}
