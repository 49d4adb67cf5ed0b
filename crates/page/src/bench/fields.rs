//! Controls of forms, each with its label.

use super::{Exact, Html};
use crate::html;

/// What a form that does something carries: that it is one of ours, and which it is.
#[derive(Debug, Clone)]
pub struct Seal {
    /// Tells that the form is one of the bench's own.
    pub token: String,
    /// The id under which it is done once.
    pub request: String,
}

/// One line to write.
pub fn line(name: &str, label: &str, value: &str, hint: &str) -> Html {
    html!(
        "<p class=\"field\"><label for=\"{}\">{}</label><input id=\"{}\" name=\"{}\" value=\"{}\" autocomplete=\"off\">{}</p>",
        name,
        label,
        name,
        name,
        Exact(value),
        hinted(hint),
    )
}

/// One line that must be there.
pub fn needed(name: &str, label: &str, value: &str, hint: &str) -> Html {
    needed_at(name, name, label, value, hint)
}

/// The same on a page with several of that name.
pub fn needed_at(id: &str, name: &str, label: &str, value: &str, hint: &str) -> Html {
    html!(
        "<p class=\"field\"><label for=\"{}\">{}</label><input id=\"{}\" name=\"{}\" value=\"{}\" required autocomplete=\"off\">{}</p>",
        id,
        label,
        id,
        name,
        Exact(value),
        hinted(hint),
    )
}

/// Several lines to write.
pub fn lines(name: &str, label: &str, value: &str, hint: &str) -> Html {
    html!(
        "<p class=\"field\"><label for=\"{}\">{}</label><textarea id=\"{}\" name=\"{}\" rows=\"4\">{}</textarea>{}</p>",
        name,
        label,
        name,
        name,
        Exact(value),
        hinted(hint),
    )
}

/// A count with keys beside it, for a thumb.
pub fn count(id: &str, name: &str, label: &str, value: &str) -> Html {
    html!(
        "<p class=\"field count\"><label for=\"{}\">{}</label>\
         <input id=\"{}\" name=\"{}\" type=\"number\" inputmode=\"numeric\" min=\"0\" step=\"1\" value=\"{}\" data-count></p>",
        id,
        label,
        id,
        name,
        value,
    )
}

/// A count that can't be more than another of its form.
pub fn count_of(id: &str, name: &str, label: &str, value: &str, of: &str) -> Html {
    html!(
        "<p class=\"field count\"><label for=\"{}\">{}</label>\
         <input id=\"{}\" name=\"{}\" type=\"number\" inputmode=\"numeric\" min=\"0\" step=\"1\" value=\"{}\" data-count data-of=\"{}\"></p>",
        id,
        label,
        id,
        name,
        Exact(value),
        of,
    )
}

/// One of several.
pub fn choice(name: &str, label: &str, none: Option<&str>, all: &[String], chosen: Option<&str>) -> Html {
    select(name, label, none, options(all, chosen))
}

fn options(all: &[String], chosen: Option<&str>) -> Html {
    all.iter().map(|one| option(one, one, chosen == Some(one))).collect()
}

/// What is chosen from, below the words for none of it.
fn select(name: &str, label: &str, none: Option<&str>, options: Html) -> Html {
    let none = none.map_or_else(Html::default, |none| html!("<option value=\"\">{}</option>", none));
    html!(
        "<p class=\"field\"><label for=\"{}\">{}</label><select id=\"{}\" name=\"{}\">{}{}</select></p>",
        name,
        label,
        name,
        name,
        none,
        options,
    )
}

/// One of several that stand in groups, each with its heading.
pub fn grouped(
    name: &str,
    label: &str,
    none: Option<&str>,
    groups: &[(&str, &[String])],
    chosen: Option<&str>,
) -> Html {
    let filled = groups.iter().filter(|group| !group.1.is_empty());
    let groups =
        filled.map(|(heading, all)| html!("<optgroup label=\"{}\">{}</optgroup>", *heading, options(all, chosen)));
    select(name, label, none, groups.collect())
}

/// One of several, each with its own words.
pub fn worded(name: &str, label: &str, all: &[(&str, &str)], chosen: Option<&str>) -> Html {
    let options: Html = all
        .iter()
        .map(|(value, words)| option(value, words, chosen == Some(value)))
        .collect();
    html!(
        "<p class=\"field\"><label for=\"{}\">{}</label><select id=\"{}\" name=\"{}\">{}</select></p>",
        name,
        label,
        name,
        name,
        options,
    )
}

fn option(value: &str, words: &str, is_chosen: bool) -> Html {
    let chosen = if is_chosen { html!(" selected") } else { Html::default() };
    html!("<option value=\"{}\"{}>{}</option>", Exact(value), chosen, words)
}

/// A box to tick.
pub fn tick(id: &str, name: &str, value: &str, label: &str, is_ticked: bool) -> Html {
    let ticked = if is_ticked { html!(" checked") } else { Html::default() };
    html!(
        "<p class=\"tick\"><input type=\"checkbox\" id=\"{}\" name=\"{}\" value=\"{}\"{}><label for=\"{}\">{}</label></p>",
        id,
        name,
        value,
        ticked,
        id,
        label,
    )
}

fn hinted(hint: &str) -> Html {
    if hint.is_empty() {
        Html::default()
    } else {
        html!("<small>{}</small>", hint)
    }
}

/// What goes along unseen.
pub fn hidden(name: &str, value: &str) -> Html {
    html!("<input type=\"hidden\" name=\"{}\" value=\"{}\">", name, Exact(value))
}

/// A form that asks: its answer has an address of its own.
pub fn asking(to: &str, inside: Html, key: &str) -> Html {
    html!(
        "<form method=\"get\" action=\"{}\">{}<p><button>{}</button></p></form>",
        to,
        inside,
        key,
    )
}

/// A form that does something, once, and may bring a file along.
pub fn doing_with_file(seal: &Seal, to: &str, inside: Html, key: &str) -> Html {
    done(seal, to, html!(" enctype=\"multipart/form-data\""), inside, key)
}

/// A form whose answer comes while it is filled in, where a script runs; what is kept by
/// its key alone is left out until then.
pub fn doing_live(seal: &Seal, to: &str, left_out: &str, inside: Html, key: &str) -> Html {
    done(seal, to, html!(" data-live=\"{}\"", left_out), inside, key)
}

/// As [`asking`], its answer coming while it is filled in, where a script runs.
pub fn asking_live(to: &str, place: &str, inside: Html, key: &str) -> Html {
    html!(
        "<form method=\"get\" action=\"{}\" data-live=\"\" data-place=\"{}\">{}<p><button>{}</button></p></form>",
        to,
        place,
        inside,
        key,
    )
}

/// Where such an answer stands.
pub fn answer(inside: Html) -> Html {
    answer_at("", inside)
}

/// The same on a page with several of them.
pub fn answer_at(place: &str, inside: Html) -> Html {
    html!("<div data-answer=\"{}\">{}</div>", place, inside)
}

/// A form that does something, once.
pub fn doing(seal: &Seal, to: &str, inside: Html, key: &str) -> Html {
    done(seal, to, Html::default(), inside, key)
}

fn done(seal: &Seal, to: &str, how: Html, inside: Html, key: &str) -> Html {
    html!(
        "<form method=\"post\" action=\"{}\"{}>{}{}{}<p><button>{}</button></p></form>",
        to,
        how,
        hidden("token", &seal.token),
        hidden("request", &seal.request),
        inside,
        key,
    )
}
