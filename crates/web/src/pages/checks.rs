//! Checks: what rules say of a glaze, with rule and source; the list of all rules.

use std::sync::Arc;

use axum::extract::{Path, State};
use glost_page::bench::{Html, fields, in_address};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::{Bench, Said};

#[derive(Deserialize)]
struct Checked {
    #[serde(rename = "findings")]
    said: Vec<Line>,
}

/// What one rule says.
#[derive(Debug, Deserialize)]
pub(crate) struct Line {
    pub(crate) script: String,
    pub(crate) level: String,
    pub(crate) subject: String,
    pub(crate) message: String,
    pub(crate) source: Option<String>,
    /// Whether the recipe before hadn't it.
    #[serde(default)]
    pub(crate) new: bool,
}

#[derive(Deserialize)]
struct Rules {
    scripts: Vec<Rule>,
    broken: Vec<serde_json::Value>,
}

#[derive(Deserialize)]
struct Rule {
    name: String,
    kind: String,
    title: String,
    source: String,
    whose: String,
    off: bool,
}

/// Names of what a rule is for, in the order of the list.
const KINDS: [(&str, &str); 6] = [
    ("check", "Look at a glaze"),
    ("limits", "Ranges that makers keep to"),
    ("blend", "Designs of test tiles"),
    ("swap", "When a material is gone"),
    ("fault", "Why a glaze fails"),
    ("run", "Over the whole studio"),
];

impl Line {
    /// Whether there is something to read in it.
    pub(crate) fn speaks(&self) -> bool {
        self.level != "nothing found"
    }

    /// What it says, with its rule and source.
    pub(crate) fn shown(&self) -> Html {
        html!(
            "<li><strong>{}</strong>: {} <span class=\"aside\">{} (<a href=\"/rule/{}\">{}</a>{})</span></li>",
            glost_page::bench::capital(&self.level),
            self.message,
            self.subject,
            self.script,
            self.script,
            self.source
                .as_ref()
                .map_or_else(String::new, |source| format!("; {source}")),
        )
    }
}

/// What all rules that apply say of a glaze.
pub(crate) async fn of(bench: &Bench, glaze: &str) -> Html {
    let asking = Asking::of("check").with("glaze", glaze);
    let checked: Checked = match bench.ask(&asking).await {
        Ok(checked) => checked,
        Err(trouble) => return trouble.shown(),
    };
    let (speak, silent): (Vec<&Line>, Vec<&Line>) = checked.said.iter().partition(|line| line.speaks());
    let said: Html = speak.iter().map(|line| line.shown()).collect();
    let said = if said.is_empty() {
        html!("<p>No rule has anything to say.</p>")
    } else {
        html!("<ul>{}</ul>", said)
    };
    let silent: Html = silent.iter().map(|line| html!("<li>{}</li>", line.subject)).collect();
    html!(
        "<h2>Checks</h2>{}<details><summary>Nothing found by</summary><ul>{}</ul></details>\
         <p>Not covered: fit on your clay, the firing itself, leaching. Numbers from a recipe can’t clear a piece: \
         only a laboratory’s leach test on the fired piece can answer that.</p><p class=\"same\">At a terminal: <code>{}</code></p>",
        said,
        silent,
        bench.line(&asking)
    )
}

/// All rules, by what they are for.
pub(crate) async fn rules(State(bench): State<Arc<Bench>>) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("Checks").trouble(&trouble),
    };
    let asking = Asking::of("script/list");
    let page = Page::of("Checks").in_studio(&names).same(bench.line(&asking));
    let rules: Rules = match bench.ask(&asking).await {
        Ok(rules) => rules,
        Err(trouble) => return page.trouble(&trouble),
    };
    let known = |kind: &str| KINDS.iter().any(|(known, _)| *known == kind);
    let groups = KINDS
        .iter()
        .map(|(kind, heading)| group(heading, rules.scripts.iter().filter(|rule| rule.kind == *kind)));
    let others = group("Others", rules.scripts.iter().filter(|rule| !known(&rule.kind)));
    let mut page = page.with(html!(
        "<p>Every rule with its source. Those of yours lie in the folder <code>scripts</code>; open one to read it.</p>"
    ));
    if !rules.broken.is_empty() {
        page.push(html!(
            "<p class=\"wrong\">{} of yours can’t be read: <code>glost script list</code> says why.</p>",
            rules.broken.len()
        ));
    }
    page.with(groups.collect()).with(others)
}

fn group<'a>(heading: &str, rules: impl Iterator<Item = &'a Rule>) -> Html {
    let row = |rule: &Rule| {
        let off = if rule.off { ", off" } else { "" };
        html!(
            "<li><a href=\"/rule/{}\">{}</a> <span class=\"aside\">{}{}; {}; {}</span></li>",
            rule.name,
            rule.title,
            rule.whose,
            off,
            rule.name,
            rule.source
        )
    };
    let rows: Html = rules.map(row).collect();
    if rows.is_empty() {
        rows
    } else {
        html!("<h2>{}</h2><ul class=\"list\">{}</ul>", heading, rows)
    }
}

/// One rule: what it does, its text; those over the whole studio can be run.
pub(crate) async fn rule(State(bench): State<Arc<Bench>>, Path(name): Path<String>) -> Page {
    shown(&bench, &name, Html::default()).await
}

/// The same after it was run.
pub(crate) async fn run(State(bench): State<Arc<Bench>>, Path(name): Path<String>, Said(said): Said) -> Page {
    let set: Vec<&str> = said.text("set").map(|set| set.lines().collect()).unwrap_or_default();
    let asking = Asking::of("run").with("script", name.as_str()).list("set", set);
    let answer = match bench.ask_text(&asking).await {
        Ok(text) => html!(
            "<h2>What it says</h2><pre>{}</pre><p class=\"same\">At a terminal: <code>{}</code></p>",
            text,
            bench.line(&asking)
        ),
        Err(trouble) => trouble.shown(),
    };
    shown(&bench, &name, answer).await
}

async fn shown(bench: &Bench, name: &str, answer: Html) -> Page {
    let asking = Asking::of("script/show").with("name", name);
    let about = bench.ask_text(&asking).await;
    let text = bench
        .ask_text(&Asking::of("script/show").with("name", name).with("text", true))
        .await;
    let page = Page::of(name).same(bench.line(&asking));
    let about = match about {
        Ok(about) => html!("<pre>{}</pre>", about),
        Err(trouble) => return page.trouble(&trouble),
    };
    let text = text.map_or_else(
        |trouble: Trouble| trouble.shown(),
        |text| {
            html!(
                "<details class=\"section\"><summary>Its text</summary><pre>{}</pre></details>",
                text
            )
        },
    );
    let to_run = if name.starts_with("run/") {
        let options = fields::lines("set", "Its options, a line each", "", "name=value; or leave it empty");
        fields::doing(
            &bench.seal(),
            &format!(
                "/rule/{}",
                name.split('/').map(in_address).collect::<Vec<_>>().join("/")
            ),
            options,
            "Run it",
        )
    } else {
        Html::default()
    };
    page.with(answer)
        .with(about)
        .with(to_run)
        .with(text)
        .with(html!("<p><a href=\"/rules\">All checks</a></p>"))
}
