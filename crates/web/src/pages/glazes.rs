//! My glazes: the list, and a page for each.

use std::sync::Arc;

use axum::extract::{Path, State};
use glost_page::bench::proposal::Amounts;
use glost_page::bench::{Html, amounts, fields, in_address, prose};
use glost_page::html;
use serde::Deserialize;
use serde_json::{Map, Value};

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::{Bench, Said, checks, fitting, photos};
use crate::door::{Form, Visitor};

#[derive(Deserialize)]
struct List {
    glazes: Vec<Line>,
}

#[derive(Deserialize)]
struct Line {
    glaze: String,
    cone: Option<String>,
    clay: Option<String>,
    #[serde(rename = "use")]
    usage: Option<String>,
    last_batch: Option<LastBatch>,
}

#[derive(Deserialize)]
struct LastBatch {
    batch: String,
    on: String,
}

#[derive(Deserialize)]
struct Card {
    cone: Option<String>,
    peak_celsius: Option<f64>,
    atmosphere: Option<String>,
    clay: Option<String>,
    #[serde(rename = "use")]
    usage: Option<String>,
    version: Option<String>,
    parts: Map<String, Value>,
    additions: Map<String, Value>,
    cautions: Vec<String>,
}

/// So many are listed with what they are for and what was mixed last.
const MOST_AT_LENGTH: usize = 200;

/// All glazes, and a form for one more.
pub(crate) async fn glazes(State(bench): State<Arc<Bench>>) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("My glazes").trouble(&trouble),
    };
    let asking = Asking::of("glazes");
    let page = Page::of("My glazes").in_studio(&names).same(bench.line(&asking));
    if names.glazes.len() > MOST_AT_LENGTH {
        let page = page.with(by_name(&names.glazes));
        return if bench.visitor == Visitor::Owner {
            page.with(to_add(&bench, &names.clays, &Form::nothing()))
        } else {
            page
        };
    }
    let list: Result<List, Trouble> = bench.ask(&asking).await;
    let page = match list {
        Ok(list) => page.with(html!(
            "<ul class=\"list\">{}</ul>",
            list.glazes.iter().map(row).collect::<Html>()
        )),
        Err(trouble) => page.trouble(&trouble),
    };
    if bench.visitor == Visitor::Owner {
        page.with(to_add(&bench, &names.clays, &Form::nothing()))
    } else {
        page
    }
}

/// More than one looks through: names alone, and a search before them.
fn by_name(glazes: &[String]) -> Html {
    let one = |name: &String| html!("<li><a href=\"/glaze/{}\">{}</a></li>", in_address(name), name);
    html!(
        "<form method=\"get\" action=\"/\" role=\"search\" class=\"search\">{}<button>Find</button></form><ul class=\"list\">{}</ul>",
        fields::line("q", "Find a glaze", "", ""),
        glazes.iter().map(one).collect::<Html>()
    )
}

fn row(line: &Line) -> Html {
    let about = [
        line.cone.as_ref().map(|cone| format!("cone {cone}")),
        line.clay.as_ref().map(|clay| format!("on {clay}")),
        line.usage.clone(),
        line.last_batch
            .as_ref()
            .map(|last| format!("batch {} on {}", last.batch, amounts::day(&last.on))),
    ];
    let about: Vec<String> = about.into_iter().flatten().collect();
    html!(
        "<li><a href=\"/glaze/{}\">{}</a> <span class=\"aside\">{}</span></li>",
        in_address(&line.glaze),
        line.glaze,
        about.join(", ")
    )
}

fn to_add(bench: &Bench, clays: &[String], said: &Form) -> Html {
    let typed = |name| said.text(name).unwrap_or("");
    let inside = [
        fields::needed("name", "What is it called?", typed("name"), ""),
        fields::needed(
            "recipe",
            "What is in it?",
            typed("recipe"),
            "feldspar A 38, silica 26, whiting 18, kaolin 12, + 2 rutile",
        ),
        fields::line("firing", "How hot is it fired?", typed("firing"), "cone 6, or 1060 C"),
        fields::choice("clay", "On which clay?", Some("not said"), clays, said.text("clay")),
        fields::line(
            "water",
            "Water for a kilo of powder?",
            typed("water"),
            "0.9 l, or 5 3/4 cups",
        ),
    ];
    html!(
        "<details class=\"section\"{}><summary>Add a glaze</summary>{}</details>",
        if said.text("recipe").is_some() {
            html!(" open")
        } else {
            Html::default()
        },
        fields::doing(&bench.seal(), "/glazes", inside.into_iter().collect(), "Add it")
    )
}

/// Adds one.
pub(crate) async fn added(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let asking = ["name", "recipe", "firing", "clay", "water"]
        .iter()
        .fold(Asking::of("add").with("sort", "glaze"), |asking, key| {
            asking.maybe(key, said.text(key))
        });
    let done: Result<Value, Trouble> = bench.do_once(&asking, said.text("request")).await;
    let page = Page::of("Add a glaze").same(bench.line(&asking));
    match done {
        Ok(_) => {
            let name = said.text("name").unwrap_or("");
            page.with(html!(
                "<p class=\"answer\" role=\"status\">{} is among your glazes.</p><p><a href=\"/glaze/{}\">To its page</a></p>",
                name,
                in_address(name)
            ))
        }
        Err(trouble) => {
            // Where the studio can't be read there are no clays to choose.
            let clays = bench.names().await.map_or_else(|_| Vec::new(), |names| names.clays);
            page.trouble(&trouble).with(to_add(&bench, &clays, &said)).with(html!(
                "<p>Nothing was written. <a href=\"/glazes\">Back to my glazes</a></p>"
            ))
        }
    }
}

/// One glaze: what was seen of it, its recipe, what it is when fired.
pub(crate) async fn glaze(State(bench): State<Arc<Bench>>, Path(name): Path<String>) -> Page {
    one(&bench, &name, None).await
}

/// The same after its checks were run.
pub(crate) async fn checked(State(bench): State<Arc<Bench>>, Path(name): Path<String>) -> Page {
    let checks = checks::of(&bench, &name).await;
    one(&bench, &name, Some(checks)).await
}

async fn one(bench: &Bench, name: &str, checks: Option<Html>) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(name).trouble(&trouble),
    };
    let asking = Asking::of("card").with("glaze", name);
    let page = Page::of(name).in_studio(&names).same(bench.line(&asking));
    let card: Card = match bench.ask(&asking).await {
        Ok(card) => card,
        Err(trouble) => {
            let is_known = names.glazes.iter().any(|known| known == name);
            let page = page
                .trouble(&trouble)
                .with(html!("<p><a href=\"/glazes\">My glazes</a></p>"));
            return if is_known { page } else { page.missing() };
        }
    };
    let token = &bench.seal();
    let is_owner = bench.visitor == Visitor::Owner;
    let to_check = checks.unwrap_or_else(|| {
        if !is_owner {
            return Html::default();
        }
        let to = format!("/glaze/{}", in_address(name));
        html!(
            "<section class=\"screen\"><h2>Checks</h2><p>Every rule that applies to it.</p>{}</section>",
            fields::doing(token, &to, Html::default(), "Check it")
        )
    });
    // Two at a time: others ask, too.
    let of = |command| Asking::of(command).with("glaze", name);
    let (seen, photos) = tokio::join!(
        folded(bench, "What was seen of it", of("notes"), true),
        photos::of(bench, name)
    );
    let (fit, versions) = tokio::join!(
        fitting::of(bench, name),
        folded(bench, "Versions", of("history"), false)
    );
    let (fired, chart) = tokio::join!(fired(bench, name), chart(bench, name));
    page.with(about(&card))
        .with(seen)
        .with(photos)
        .with(recipe(&card))
        .with(to_do(name, is_owner))
        .with(fit)
        .with(versions)
        .with(fired)
        .with(chart)
        .with(to_check)
}

/// What one does with it next.
fn to_do(name: &str, is_owner: bool) -> Html {
    let all = [
        ("/mix", "Mix it", false),
        ("/look", "Note what it did", false),
        ("/change", "Change it", true),
        ("/missing", "Something in it is gone", true),
    ];
    let links: Html = all
        .iter()
        .filter(|(_, _, at_the_machine)| is_owner || !at_the_machine)
        .map(|(to, words, _)| html!("<li><a href=\"{}?glaze={}\">{}</a></li>", to, in_address(name), words))
        .collect();
    html!("<ul class=\"links\">{}</ul>", links)
}

fn about(card: &Card) -> Html {
    let about = [
        card.cone.as_ref().map(|cone| format!("cone {cone}")),
        card.peak_celsius.map(|peak| format!("{peak:.0} C")),
        card.atmosphere.clone(),
        card.clay.as_ref().map(|clay| format!("on {clay}")),
        card.usage.clone(),
        card.version.as_ref().map(|version| format!("version {version}")),
    ];
    let about: Vec<String> = about.into_iter().flatten().collect();
    html!("<p>{}</p>", glost_page::bench::capital(&about.join(", ")))
}

fn recipe(card: &Card) -> Html {
    let row = |sign: &str, (name, part): (&String, &Value)| {
        let part = part.as_f64().map_or_else(String::new, |part| format!("{part:.2}"));
        html!(
            "<tr><th scope=\"row\">{}{}</th><td class=\"number\">{}</td></tr>",
            sign,
            name,
            part
        )
    };
    let parts: Html = card.parts.iter().map(|part| row("", part)).collect();
    let additions: Html = card.additions.iter().map(|part| row("+ ", part)).collect();
    let cautions: Html = card
        .cautions
        .iter()
        .map(|caution| html!("<li>{}</li>", caution))
        .collect();
    html!(
        "<h2>Recipe</h2><table><caption>Parts of 100; what is added comes on top.</caption><thead><tr><th scope=\"col\">Material</th>\
         <th scope=\"col\" class=\"number\">Parts</th></tr></thead><tbody>{}{}</tbody></table><ul class=\"caution\">{}</ul>",
        parts,
        additions,
        cautions
    )
}

#[derive(Deserialize)]
struct Fired {
    unity: Map<String, Value>,
    weight_percent: Amounts,
    loss_on_ignition: f64,
    silica_to_alumina: Option<f64>,
    expansion: Vec<Expansion>,
    #[serde(default)]
    assumptions: Vec<String>,
}

#[derive(Deserialize)]
struct Expansion {
    value: f64,
    plus_minus: f64,
}

/// What it is when fired: folded, for those who ask.
async fn fired(bench: &Bench, name: &str) -> Html {
    let inside = match bench.ask::<Fired>(&Asking::of("unity").with("glaze", name)).await {
        Ok(fired) => fired.shown(),
        Err(trouble) => trouble.shown(),
    };
    html!(
        "<details class=\"section\"><summary>What it is when fired</summary>{}</details>",
        inside
    )
}

#[derive(Deserialize)]
struct Chart {
    svg: String,
}

/// Where it lies among what was made here; a glaze without a place shows nothing.
async fn chart(bench: &Bench, name: &str) -> Html {
    let asking = Asking::of("chart").list("glazes", [name]);
    match bench.ask::<Chart>(&asking).await {
        Ok(chart) => html!(
            "<details class=\"section\"><summary>Where it lies</summary><div class=\"drawing\" tabindex=\"0\" role=\"region\" aria-label=\"Where it lies\">{}</div></details>",
            // Drawn by our own answer, every word in it escaped.
            Html::from_template(chart.svg)
        ),
        Err(_) => Html::default(),
    }
}

impl Fired {
    fn shown(&self) -> Html {
        let row = |(oxide, moles): (&String, &Value)| {
            let number = |number: Option<f64>| number.map_or_else(String::new, |number| format!("{number:.2}"));
            html!(
                "<tr><th scope=\"row\">{}</th><td class=\"number\">{}</td><td class=\"number\">{}</td></tr>",
                oxide,
                moles.as_f64().map_or_else(String::new, |moles| format!("{moles:.3}")),
                number(self.weight_percent.get(oxide).copied())
            )
        };
        let ratio = self
            .silica_to_alumina
            .map_or_else(String::new, |ratio| format!("Silica to alumina {ratio:.1}. "));
        let expansion = self.expansion.first().map_or_else(String::new, |expansion| {
            format!(
                "Expansion about {:.1}, give or take {:.1} (millionths a degree).",
                expansion.value, expansion.plus_minus
            )
        });
        let assumed: Html = self.assumptions.iter().map(|line| html!("<li>{}</li>", line)).collect();
        html!(
            "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Unity formula\"><table><caption>Unity formula: fluxes are one.</caption><thead><tr><th scope=\"col\">Oxide</th><th scope=\"col\" class=\"number\">Moles</th>\
             <th scope=\"col\" class=\"number\">Weight, %</th></tr></thead><tbody>{}</tbody></table></div><p>{}{} {} % burns off.</p><ul class=\"aside\">{}</ul>",
            self.unity.iter().map(row).collect::<Html>(),
            ratio,
            expansion,
            format!("{:.1}", self.loss_on_ignition),
            assumed
        )
    }
}

/// An answer as it reads, below a heading that opens it.
pub(crate) async fn folded(bench: &Bench, heading: &str, asking: Asking, is_open: bool) -> Html {
    let inside = match bench.ask_text(&asking).await {
        Ok(text) => prose(&text),
        Err(trouble) => trouble.shown(),
    };
    let open = if is_open { html!(" open") } else { Html::default() };
    html!(
        "<details class=\"section\"{}><summary>{}</summary>{}</details>",
        open,
        heading,
        inside
    )
}
