//! Pages that ask one command and show its answer as it reads.

use std::sync::Arc;

use axum::extract::State;
use glost_page::bench::{Html, clocks, fields, in_address, prose};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::names::Names;
use super::{Bench, Said};
use crate::door::Form;

const KINDS: [(&str, &str); 5] = [
    ("line", "a line between two"),
    ("triaxial", "a triangle between three"),
    ("grid", "a square between four"),
    ("first", "a first plan to learn from"),
    ("series", "more and more of something"),
];

#[derive(Deserialize)]
struct Cost {
    glaze: String,
    currency: Option<String>,
    per_kg: Option<f64>,
    per_litre: Option<f64>,
    per_square_metre: Option<f64>,
    per_piece: Option<f64>,
    at_least: bool,
    lines: Vec<CostLine>,
    assumptions: Vec<String>,
}

#[derive(Deserialize)]
struct CostLine {
    material: String,
    in_a_kg: Option<f64>,
    share: Option<f64>,
}

/// A page with a form; and its answer, where something is asked.
async fn sheet(bench: &Bench, heading: &str, names: &Names, asking: Option<Asking>, form: Html, command: &str) -> Page {
    let page = Page::of(heading).in_studio(names);
    let Some(asking) = asking else {
        return page
            .with(form)
            .with(fields::answer(Html::default()))
            .same(format!("glost {command}"));
    };
    let line = bench.line(&asking);
    match bench.ask_text(&asking).await {
        Ok(text) => page
            .with(fields::answer(html!("<div role=\"status\">{}</div>", prose(&text))))
            .with(form)
            .same(line),
        Err(trouble) => page.trouble_in_answer(&trouble).with(form).same(line),
    }
}

/// What it costs.
pub(crate) async fn cost(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("What it costs").trouble(&trouble),
    };
    let typed = |name| said.text(name).unwrap_or("");
    let inside = [
        fields::choice("glaze", "Which glaze?", None, &names.glazes, said.text("glaze")),
        fields::line("pieces", "How many pieces?", typed("pieces"), "or leave it empty"),
        fields::line(
            "per_piece",
            "Dry glaze on one piece?",
            typed("per_piece"),
            "40 g; weigh a piece before and after",
        ),
    ];
    let form = fields::asking_live("/cost", "", inside.into_iter().collect(), "What does it cost?");
    let page = Page::of("What it costs").in_studio(&names);
    let Some(glaze) = said.text("glaze") else {
        return page
            .with(form)
            .with(fields::answer(Html::default()))
            .same("glost cost --help".to_owned());
    };
    let asking = Asking::of("cost")
        .with("glaze", glaze)
        .maybe("pieces", said.text("pieces"))
        .maybe("per-piece", said.text("per_piece"));
    let page = page.same(bench.line(&asking));
    match bench.ask::<Cost>(&asking).await {
        Ok(cost) => page.with(fields::answer(cost.shown())).with(form),
        Err(trouble) => page.trouble_in_answer(&trouble).with(form),
    }
}

impl Cost {
    fn shown(&self) -> Html {
        let currency = self.currency.as_deref().unwrap_or("");
        let least = if self.at_least { "at least " } else { "" };
        let whole = [
            ("A kilo of powder", self.per_kg, 2),
            ("A litre of slurry", self.per_litre, 2),
            ("A square metre", self.per_square_metre, 2),
            ("A piece", self.per_piece, 3),
        ];
        let whole: Html = whole
            .into_iter()
            .filter_map(|(what, cost, digits)| Some((what, cost?, digits)))
            .map(|(what, cost, digits)| {
                html!(
                    "<tr><th scope=\"row\">{}</th><td class=\"number\">{}{} {}</td></tr>",
                    what,
                    least,
                    format!("{cost:.digits$}"),
                    currency
                )
            })
            .collect();
        let line = |line: &CostLine| {
            let number = |number: Option<f64>, digits: usize| {
                number.map_or_else(|| "not known".to_owned(), |number| format!("{number:.digits$}"))
            };
            html!(
                "<tr><th scope=\"row\">{}</th><td class=\"number\">{}</td><td class=\"number\">{}</td></tr>",
                line.material,
                number(line.in_a_kg, 2),
                number(line.share.map(|share| share * 100.0), 0)
            )
        };
        let assumed: Html = self.assumptions.iter().map(|line| html!("<li>{}</li>", line)).collect();
        html!(
            "<h2>{}</h2><div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"What it costs in all\"><table><caption>Materials only: kiln, labour and pieces that fail come on top.</caption><tbody>{}</tbody></table></div>\
             <div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"By material\"><table><thead><tr><th scope=\"col\">Material</th><th scope=\"col\" class=\"number\">In a kilo</th><th scope=\"col\" class=\"number\">Of the cost, %</th></tr></thead>\
             <tbody>{}</tbody></table></div><details><summary>Taken for granted</summary><ul>{}</ul></details>",
            self.glaze,
            whole,
            self.lines.iter().map(line).collect::<Html>(),
            assumed
        )
    }
}

/// Clay bars, weighed dry, soaked, boiled.
pub(crate) async fn clay(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("Clay bars").trouble(&trouble),
    };
    let typed = |name| said.text(name).unwrap_or("");
    let inside = [
        fields::choice(
            "clay",
            "Which clay?",
            Some("a new one"),
            &names.clays,
            said.text("clay"),
        ),
        fields::line("dry", "Dry, grams", typed("dry"), "from the oven, cold"),
        fields::line(
            "soaked",
            "Soaked, grams",
            typed("soaked"),
            "after 24 hours in cold water, wiped",
        ),
        fields::line(
            "boiled",
            "Boiled, grams",
            typed("boiled"),
            "after 5 hours boiling and a night in the same water, wiped",
        ),
    ];
    let form = fields::asking_live("/clay", "", inside.into_iter().collect(), "What does it tell?");
    let weights: Vec<String> = ["dry", "soaked", "boiled"]
        .iter()
        .filter_map(|name| Some(format!("{name} {} g", said.text(name)?.trim_end_matches('g').trim())))
        .collect();
    let weigh = (!weights.is_empty()).then(|| weights.join(", "));
    let is_asked = said.text("clay").is_some() || weigh.is_some();
    let asking = is_asked.then(|| {
        Asking::of("clay")
            .maybe("clay", said.text("clay"))
            .maybe("weigh", weigh.as_deref())
    });
    let page = sheet(&bench, "Clay bars", &names, asking, form, "clay").await;
    let page = page.with(bench.clocks_shown()).with(clocks::to_start(
        &bench.seal(),
        said.text("clay").unwrap_or("clay bars"),
        &clocks::FOR_BARS,
        "/clay",
    ));
    page.with(html!(
        "<p>Hot water scalds: tongs, and let the pot cool. Weigh to 0.1 g or finer.</p>"
    ))
}

/// A bucket that was mis-weighed, or half used.
pub(crate) async fn rescue(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("Rescue a bucket").trouble(&trouble),
    };
    let typed = |name| said.text(name).unwrap_or("");
    let inside = [
        fields::choice("glaze", "Which glaze?", None, &names.glazes, said.text("glaze")),
        fields::needed(
            "jar",
            "What does a jar of it weigh?",
            typed("jar"),
            "500 ml = 735 g, the jar’s own weight taken off",
        ),
        fields::line(
            "volume",
            "How much is in the bucket?",
            typed("volume"),
            "6.4 l; else per litre",
        ),
        fields::line(
            "suspect",
            "What may have gone wrong?",
            typed("suspect"),
            "silica 10x, or: whiting left out",
        ),
        fields::line(
            "to",
            "Which density should it have?",
            typed("to"),
            "1.45; or leave it empty",
        ),
        fields::line("add", "Something to add?", typed("add"), "0.4 % cobalt carbonate"),
    ];
    let form = fields::asking_live("/rescue", "", inside.into_iter().collect(), "What is in it?");
    let asking = said.text("jar").map(|jar| {
        Asking::of("slurry")
            .maybe("glaze", said.text("glaze"))
            .list("jar", [jar])
            .list("volume", said.text("volume"))
            .list("add", said.text("add"))
            .maybe("suspect", said.text("suspect"))
            .maybe("to", said.text("to"))
    });
    sheet(&bench, "Rescue a bucket", &names, asking, form, "slurry --help").await
}

/// A piece that came back.
pub(crate) async fn recall(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("A piece came back").trouble(&trouble),
    };
    let typed = said.text("what");
    let field = fields::needed(
        "what",
        "What stands on it?",
        typed.unwrap_or(""),
        "a mark, a batch, a lot, a firing",
    );
    let form = fields::asking_live("/recall", "", field, "Find its sisters");
    let asking = typed.map(|what| Asking::of("recall").with("what", what));
    sheet(&bench, "A piece came back", &names, asking, form, "recall --help").await
}

fn tiles_form(bench: &Bench, names: &Names, said: &Form) -> Html {
    let typed = |name| said.text(name).unwrap_or("");
    let ends: Vec<&str> = said.all("end").collect();
    let end = |index: usize| {
        let id = format!("end-{index}");
        let value = ends.get(index).copied().unwrap_or("");
        html!(
            "<p class=\"field\"><label for=\"{}\">End {}</label><input id=\"{}\" name=\"end\" value=\"{}\" list=\"glazes\" autocomplete=\"off\"></p>",
            id,
            index + 1,
            id,
            value
        )
    };
    let glazes: Html = names
        .glazes
        .iter()
        .map(|name| html!("<option value=\"{}\"></option>", name))
        .collect();
    let inside = [
        fields::worded("kind", "Which plan?", &KINDS, said.text("kind")),
        (0..4).map(end).collect(),
        html!(
            "<datalist id=\"glazes\">{}</datalist><small>A glaze’s name, or with more: NAME + 3 % rutile. A line needs two, a triangle three.</small>",
            glazes
        ),
        fields::line(
            "steps",
            "How many steps?",
            typed("steps"),
            "3 for a first look; 5 unless you say",
        ),
        fields::line(
            "more",
            "More and more of what?",
            typed("more"),
            "silica 0, 3, 6, 9 %; only for the last plan",
        ),
        fields::line(
            "save",
            "Keep it under a name?",
            typed("save"),
            "then its tiles can be graded; or leave it empty",
        ),
    ];
    fields::doing_live(
        &bench.seal(),
        "/tiles",
        "save",
        inside.into_iter().collect(),
        "Plan the tiles",
    )
}

/// Plans of tiles: a form.
pub(crate) async fn tiles(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    match bench.names().await {
        Ok(names) => {
            let form = tiles_form(&bench, &names, &said);
            let page = sheet(&bench, "Test tiles", &names, None, form, "blend --help").await;
            page.with(super::plans::so_far(&bench).await)
        }
        Err(trouble) => Page::of("Test tiles").trouble(&trouble),
    }
}

/// A plan: drawn up, and kept where a name is said.
pub(crate) async fn planned(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("Test tiles").trouble(&trouble),
    };
    let asking = Asking::of("blend")
        .maybe("kind", said.text("kind"))
        .list("ends", said.all("end"))
        .maybe("steps", said.text("steps"))
        .list("add", said.text("more"));
    let form = tiles_form(&bench, &names, &said);
    let kept = match said.text("save") {
        Some(name) => kept(&bench, &asking, name, &said).await,
        None => Html::default(),
    };
    let page = sheet(&bench, "Test tiles", &names, Some(asking), form, "blend").await;
    page.with(kept).with(super::plans::so_far(&bench).await)
}

/// Keeps a plan under a name, once.
async fn kept(bench: &Bench, asking: &Asking, name: &str, said: &Form) -> Html {
    let asking = asking.clone().with("save", name);
    let saved: Result<serde_json::Value, Trouble> = bench.do_once(&asking, said.text("request")).await;
    match saved {
        Ok(_) => html!(
            "<p class=\"answer\" role=\"status\">The plan is kept as {}. <a href=\"/plan?plan={}\">Its map, to grade the tiles on</a></p>",
            name,
            in_address(name)
        ),
        Err(trouble) => trouble.shown(),
    }
}
