//! The shelf: materials, lots, prices, stock; one value changed, one material added.

use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use glost_page::bench::tables;
use glost_page::bench::{Html, amounts, fields, in_address, prose};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::names::Names;
use super::{Bench, Said};
use crate::door::{Form, Refusal};
use crate::keeping::hex;

const HEADING: &str = "The shelf";
/// What can be changed here, with how it is written.
const KEYS: [(&str, &str); 4] = [
    ("stock", "stock: 12 kg"),
    ("price", "price: 1.60 EUR/kg"),
    ("lot", "lot: 14"),
    ("buyable", "can it be bought: yes or no"),
];
const KINDS: [&str; 10] = [
    "mineral",
    "clay",
    "frit",
    "chemical",
    "colourant",
    "stain",
    "gum",
    "powder",
    "glass",
    "textbook",
];

#[derive(Deserialize)]
struct List {
    materials: Vec<Material>,
}

#[derive(Deserialize)]
struct Material {
    name: String,
    kind: String,
    price: Option<Price>,
    stock_grams: Option<f64>,
    lot: Option<String>,
    source: String,
    shipped: bool,
    toxic: bool,
    hazards: Vec<String>,
    cautions: Vec<String>,
}

#[derive(Deserialize)]
struct Price {
    per_kg: f64,
    currency: String,
}

#[derive(Deserialize)]
struct Set {
    name: String,
    file: String,
    changes: Vec<Change>,
}

#[derive(Deserialize)]
struct Change {
    key: String,
    before: Option<serde_json::Value>,
    after: Option<serde_json::Value>,
}

/// All materials; or one with a form to change it.
pub(crate) async fn shelf(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(HEADING).trouble(&trouble),
    };
    match said.text("material") {
        Some(name) => one(&bench, &names, name).await,
        None => all(&bench, &names).await,
    }
}

async fn all(bench: &Bench, names: &Names) -> Page {
    let asking = Asking::of("materials");
    let page = Page::of(HEADING).in_studio(names).same(bench.line(&asking));
    let list: List = match bench.ask(&asking).await {
        Ok(list) => list,
        Err(trouble) => return page.trouble(&trouble),
    };
    let (shipped, own): (Vec<&Material>, Vec<&Material>) = list.materials.iter().partition(|material| material.shipped);
    page.with(table("On your shelf", &own))
        .with(to_add(bench, &Form::nothing()))
        .with(tables::to_bring(&bench.seal()))
        .with(html!(
            "<details class=\"section\"><summary>Known without a bag of yours: {}</summary>{}</details>",
            shipped.len(),
            table("From handbooks", &shipped)
        ))
}

fn table(heading: &str, materials: &[&Material]) -> Html {
    let row = |material: &&Material| {
        let price = material
            .price
            .as_ref()
            .map_or_else(String::new, |price| format!("{:.2} {}", price.per_kg, price.currency));
        let stock = material.stock_grams.map_or_else(String::new, amounts::weight);
        let care = material.toxic.then(|| "poisonous".to_owned());
        let about = [material.lot.as_ref().map(|lot| format!("lot {lot}")), care];
        let about: Vec<String> = about.into_iter().flatten().collect();
        html!(
            "<tr><th scope=\"row\"><a href=\"/shelf?material={}\">{}</a> <span class=\"aside\">{}</span></th><td class=\"number\">{}</td><td class=\"number\">{}</td></tr>",
            in_address(&material.name),
            material.name,
            about.join(", "),
            stock,
            price
        )
    };
    let rows: Html = materials.iter().map(row).collect();
    html!(
        "<h2>{}</h2><div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"{}\"><table><thead><tr><th scope=\"col\">Material</th>\
         <th scope=\"col\" class=\"number\">Stock</th><th scope=\"col\" class=\"number\">A kilo</th></tr></thead><tbody>{}</tbody></table></div>",
        heading,
        heading,
        rows
    )
}

async fn one(bench: &Bench, names: &Names, name: &str) -> Page {
    let asking = Asking::of("materials").with("name", name);
    let page = Page::of(name).in_studio(names).same(bench.line(&asking));
    let material: Material = match bench.ask(&asking).await {
        Ok(material) => material,
        Err(trouble) => {
            let is_known = names.materials.iter().any(|known| known == name);
            let page = page
                .trouble(&trouble)
                .with(html!("<p><a href=\"/shelf\">The shelf</a></p>"));
            return if is_known { page } else { page.missing() };
        }
    };
    let care: Html = material
        .hazards
        .iter()
        .chain(&material.cautions)
        .map(|line| html!("<li>{}</li>", line))
        .collect();
    let text = bench
        .ask_text(&asking)
        .await
        .map_or_else(|trouble| trouble.shown(), |text| prose(&text));
    let to_set = if material.shipped {
        html!("<p>It comes from a handbook. To keep a price, a stock or a lot, add your own bag of it.</p>")
    } else {
        to_set(bench, name)
    };
    page.with(html!(
        "<p>{}; {}</p><ul class=\"caution\">{}</ul>",
        glost_page::bench::capital(&material.kind),
        material.source,
        care
    ))
    .with(to_set)
    .with(text)
    .with(html!(
        "<p><a href=\"/missing?out={}\">It is gone</a> · <a href=\"/shelf\">The shelf</a></p>",
        in_address(name)
    ))
}

fn to_set(bench: &Bench, name: &str) -> Html {
    let inside = [
        fields::hidden("name", name),
        fields::hidden("made_from", &bench.version("materials", name)),
        fields::worded("key", "What changed?", &KEYS, None),
        fields::needed("value", "It is now", "", "written as beside what you chose"),
    ];
    html!(
        "<h2>Change one value</h2>{}",
        fields::doing(&bench.seal(), "/shelf/set", inside.into_iter().collect(), "Change it")
    )
}

fn to_add(bench: &Bench, said: &Form) -> Html {
    let typed = |name| said.text(name).unwrap_or("");
    let kinds: Vec<String> = KINDS.iter().map(|kind| (*kind).to_owned()).collect();
    let inside = [
        fields::needed("name", "What stands on the bag?", typed("name"), ""),
        fields::needed(
            "analysis",
            "What is in it?",
            typed("analysis"),
            "SiO2 67.0, Al2O3 18.0, K2O 10.5, Na2O 3.0, loss 0.4; or CaCO3; or unknown",
        ),
        fields::choice("kind", "What is it?", None, &kinds, said.text("kind")),
        fields::line("price", "Price?", typed("price"), "1.60 EUR/kg"),
        fields::line("stock", "How much have you?", typed("stock"), "12 kg"),
        fields::line("lot", "Lot?", typed("lot"), ""),
        fields::needed(
            "source",
            "Where do the figures come from?",
            typed("source"),
            "bag label, 2026-03",
        ),
    ];
    html!(
        "<details class=\"section\"{}><summary>Add a material from its bag</summary>{}</details>",
        if said.text("kind").is_some() || said.text("source").is_some() {
            html!(" open")
        } else {
            Html::default()
        },
        fields::doing(&bench.seal(), "/shelf", inside.into_iter().collect(), "Add it")
    )
}

/// Adds a material.
pub(crate) async fn added(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let asking = ["name", "analysis", "kind", "price", "stock", "lot", "source"]
        .iter()
        .fold(Asking::of("add").with("sort", "material"), |asking, key| {
            asking.maybe(key, said.text(key))
        });
    let needed = ["name", "analysis", "source"]
        .iter()
        .all(|name| said.text(name).is_some());
    if !needed {
        let refusal = Refusal::new(
            StatusCode::BAD_REQUEST,
            "half-said",
            "something that must be known is missing",
        );
        let refusal = refusal.help("say its name, what is in it, and where the figures come from");
        let page = Page::of("Add a material").trouble(&Trouble::Refused(refusal));
        return page.with(to_add(&bench, &said)).with(back());
    }
    let done: Result<serde_json::Value, Trouble> = bench.do_once(&asking, said.text("request")).await;
    let page = Page::of("Add a material").same(bench.line(&asking));
    match done {
        Ok(_) => page.with(html!(
            "<p class=\"answer\" role=\"status\">{} is on the shelf.</p><p><a href=\"/shelf\">The shelf</a></p>",
            said.text("name").unwrap_or("")
        )),
        Err(trouble) => page.trouble(&trouble).with(to_add(&bench, &said)).with(back()),
    }
}

fn back() -> Html {
    html!("<p>Nothing was written. <a href=\"/shelf\">Back to the shelf</a></p>")
}

/// Changes one value, where its file is still as the page showed it.
pub(crate) async fn set(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let (Some(name), Some(key), Some(value)) = (said.text("name"), said.text("key"), said.text("value")) else {
        return Page::of(HEADING).with(html!(
            "<p>What changed wasn’t said. <a href=\"/shelf\">Back to the shelf</a></p>"
        ));
    };
    let page = Page::of(name.to_owned());
    if let Some(conflict) = changed_meanwhile(&bench, &said, name, key, value).await {
        return page.trouble(&conflict.0).with(conflict.1);
    }
    let setting = format!("{key}={value}");
    let asking = Asking::of("set").with("name", name).list("setting", [setting.as_str()]);
    let set: Result<Set, Trouble> = bench.do_once(&asking, said.text("request")).await;
    let page = page.same(bench.line(&asking));
    match set {
        Ok(set) => page.with(shown(&set)),
        Err(trouble) => page.trouble(&trouble).with(to_set(&bench, name)),
    }
}

/// Both values, where somebody changed the file since the form was made.
async fn changed_meanwhile(bench: &Bench, said: &Form, name: &str, key: &str, value: &str) -> Option<(Trouble, Html)> {
    if said.text("made_from").is_none() {
        return Some((Trouble::Refused(unversioned()), to_set(bench, name)));
    }
    if !bench.is_outdated(said, &bench.version("materials", name)) {
        return None;
    }
    let text = bench.ask_text(&Asking::of("materials").with("name", name)).await;
    let now = text.map_or_else(|trouble| trouble.shown(), |text| prose(&text));
    let message = format!("{name} was changed elsewhere since this page was made");
    let refusal =
        Refusal::new(StatusCode::CONFLICT, "changed-meanwhile", message).help("look at both, then change it again");
    let both = html!(
        "<h2>You wanted</h2><p>{}: {}</p><h2>It is now</h2>{}{}",
        key,
        value,
        now,
        to_set(bench, name)
    );
    Some((Trouble::Refused(refusal), both))
}

/// A form that changes a value says what it was made from.
pub(crate) fn unversioned() -> Refusal {
    let message = "this form doesn’t say what it was made from";
    Refusal::new(StatusCode::BAD_REQUEST, "no-version", message).help("open its page again and send it from there")
}

fn shown(set: &Set) -> Html {
    let word = |value: &Option<serde_json::Value>| match value {
        None | Some(serde_json::Value::Null) => "nothing".to_owned(),
        Some(serde_json::Value::String(text)) => text.clone(),
        Some(other) => other.to_string(),
    };
    let row = |change: &Change| {
        html!(
            "<li>{}: {} is now {}</li>",
            change.key,
            word(&change.before),
            word(&change.after)
        )
    };
    html!(
        "<ul class=\"answer\" role=\"status\">{}</ul><p class=\"aside\">In <code>{}</code></p>\
         <p><a href=\"/shelf?material={}\">{}</a> · <a href=\"/shelf\">The shelf</a></p>",
        set.changes.iter().map(row).collect::<Html>(),
        set.file,
        in_address(&set.name),
        set.name
    )
}

impl Bench {
    /// Whether a form was made from another version of its file than lies there now.
    pub(crate) fn is_outdated(&self, said: &Form, now: &str) -> bool {
        // A repeat of what was done is told again, though the file is another by now.
        let is_repeat = said
            .text("request")
            .is_some_and(|request| self.keeping.request(request).is_some());
        !is_repeat && said.text("made_from").is_some_and(|made_from| made_from != now)
    }

    /// What `studio.yaml` says at this moment, in one word.
    pub(crate) fn version_of_settings(&self) -> String {
        let text = std::fs::read_to_string(self.folder.join("studio.yaml"));
        // One that can't be read is told by whoever needs it.
        hex(text.unwrap_or_else(|why| why.to_string()).as_bytes())
    }

    /// What the files of a folder, `materials` or `glazes`, say at this moment, in one word:
    /// all of them, since a name may move between them.
    pub(crate) fn version(&self, below: &str, name: &str) -> String {
        let mut text = name.to_owned();
        let Ok(entries) = std::fs::read_dir(self.folder.join(below)) else {
            return hex(text.as_bytes());
        };
        let mut paths: Vec<_> = entries.flatten().map(|entry| entry.path()).collect();
        paths.sort();
        for path in paths
            .iter()
            .filter(|path| path.extension().is_some_and(|ending| ending == "yaml"))
        {
            // One that can't be read is told by whoever needs it.
            text.push_str(&std::fs::read_to_string(path).unwrap_or_else(|why| why.to_string()));
        }
        hex(text.as_bytes())
    }
}
