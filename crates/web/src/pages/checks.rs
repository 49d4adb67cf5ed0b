//! Checks: what rules say of a glaze, with rule and source; the list of all rules.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use glost_page::bench::proposal::Line;
use glost_page::bench::rules::{self, Kind, Rule};
use glost_page::bench::{Html, prose};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::names::Names;
use super::{Bench, Said};
use crate::door::{Form, Refusal};

const HEADING: &str = "Checks";

#[derive(Deserialize)]
struct Checked {
    #[serde(rename = "findings")]
    said: Vec<Line>,
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
        Err(trouble) => return Page::of(HEADING).trouble(&trouble),
    };
    let asking = Asking::of("script/list");
    let page = Page::of(HEADING).in_studio(&names).same(bench.line(&asking));
    match bench.ask::<rules::List>(&asking).await {
        Ok(list) => page.with(list.shown()),
        Err(trouble) => page.trouble(&trouble),
    }
}

/// One rule: what it does, its options, its text.
pub(crate) async fn rule(State(bench): State<Arc<Bench>>, Path(name): Path<String>, Said(said): Said) -> Page {
    match known(&bench, &name).await {
        Ok((names, rule)) => shown(&bench, &names, &rule, &said, Html::default()).await,
        Err(page) => *page,
    }
}

/// The same after it was run.
pub(crate) async fn run(State(bench): State<Arc<Bench>>, Path(name): Path<String>, Said(said): Said) -> Page {
    let (names, rule) = match known(&bench, &name).await {
        Ok(known) => known,
        Err(page) => return *page,
    };
    let asking = to_ask(&rule, &said);
    let answer = match bench.ask_text(&asking).await {
        Ok(text) => html!(
            "<h2>What it says</h2><div role=\"status\">{}</div><p class=\"same\">At a terminal: <code>{}</code></p>",
            prose(&text),
            bench.line(&asking)
        ),
        Err(trouble) => trouble.shown(),
    };
    shown(&bench, &names, &rule, &said, answer).await
}

/// The command that runs a rule of its kind, with the options that were set.
fn to_ask(rule: &Rule, said: &Form) -> Asking {
    let name = rule.name.as_str();
    let set = rule.changed(&|name| said.text(name).map(str::to_owned));
    let glaze = said.text("glaze");
    let asking = match rule.kind {
        Kind::Check | Kind::Limits => Asking::of("check").maybe("glaze", glaze).list("script", [name]),
        Kind::Swap => Asking::of("swap")
            .maybe("glaze", glaze)
            .list("out", said.text("out"))
            .with("script", name),
        Kind::Fault => Asking::of("fault")
            .maybe("fault", said.text("seen"))
            .maybe("glaze", glaze)
            .with("script", name),
        Kind::Blend | Kind::Run => Asking::of("run").with("script", name),
    };
    asking.list("set", set.iter().map(String::as_str))
}

/// A rule and the names around it; else the page that says why not.
async fn known(bench: &Bench, name: &str) -> Result<(Names, Rule), Box<Page>> {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Err(Box::new(Page::of(name).trouble(&trouble))),
    };
    let asking = Asking::of("script/show").with("name", name);
    match bench.ask(&asking).await {
        Ok(rule) => Ok((names, rule)),
        Err(trouble) => {
            let page = Page::of(name).in_studio(&names).trouble(&trouble);
            Err(Box::new(
                page.with(html!("<p><a href=\"/rules\">All checks</a></p>")).missing(),
            ))
        }
    }
}

async fn shown(bench: &Bench, names: &Names, rule: &Rule, said: &Form, answer: Html) -> Page {
    let asking = Asking::of("script/show").with("name", rule.name.as_str());
    let text = bench.ask_text(&asking.clone().with("text", true)).await;
    let text = text.map_or_else(
        |trouble: Trouble| trouble.shown(),
        |text| {
            html!(
                "<details class=\"section\"><summary>Its text</summary><pre>{}</pre></details>",
                text
            )
        },
    );
    let said = |name: &str| said.text(name).map(str::to_owned);
    let materials = names.pick_material("out", "What is gone?", None, said("out").as_deref());
    Page::of(rule.title.as_str())
        .in_studio(names)
        .with(answer)
        .with(rule.about())
        .with(rule.to_run(&bench.seal(), &names.glazes, materials, &said))
        .with(rule.to_settle(&bench.seal(), &bench.version_of_settings()))
        .with(text)
        .with(html!("<p><a href=\"/rules\">All checks</a></p>"))
        .same(bench.line(&asking))
}

/// Turns a rule on, softer or off.
pub(crate) async fn settled(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let page = Page::of(HEADING);
    let set = said.text("name").zip(said.text("state"));
    let setting = set.and_then(|(name, state)| Some((name, rules::setting(name, state, said.text("because"))?)));
    let Some((name, setting)) = setting else {
        return page.with(html!(
            "<p>What it shall be wasn’t said. <a href=\"/rules\">All checks</a></p>"
        ));
    };
    if said.text("made_from").is_none() {
        return page.trouble(&Trouble::Refused(super::shelf::unversioned()));
    }
    if bench.is_outdated(&said, &bench.version_of_settings()) {
        let refusal = Refusal::new(
            StatusCode::CONFLICT,
            "changed-meanwhile",
            "studio.yaml was changed elsewhere since this page was made",
        );
        let refusal = Trouble::Refused(refusal.help("open the rule again and look, then set it"));
        return page.trouble(&refusal).with(html!(
            "<p>You wanted: {}. <a href=\"{}\">The rule as it is now</a></p>",
            setting.split_once('=').map_or("", |(_, wanted)| wanted),
            rules::address(name)
        ));
    }
    if said.text("state") == Some("off") && said.text("because").is_none() {
        let refusal = Refusal::new(StatusCode::BAD_REQUEST, "no-reason", "say why it shall be so");
        let refusal = Trouble::Refused(refusal.help("a few words after “because”, so that you still know in a year"));
        return page.trouble(&refusal).with(html!(
            "<p>Nothing was written. <a href=\"{}\">Back to it</a></p>",
            rules::address(name)
        ));
    }
    let asking = Asking::of("set")
        .with("name", "studio")
        .list("setting", [setting.as_str()]);
    let done: Result<serde_json::Value, Trouble> = bench.do_once(&asking, said.text("request")).await;
    let page = page.same(bench.line(&asking));
    let (_, written) = setting.split_once('=').unwrap_or(("", ""));
    let (state, because) = written.split_at(written.find(',').unwrap_or(written.len()));
    match done {
        Ok(_) => page.with(html!(
            "<p class=\"answer\" role=\"status\">{} is {} now{}.</p><p><a href=\"{}\">Look at it</a> · <a href=\"/rules\">All checks</a></p>",
            name,
            state,
            because,
            rules::address(name)
        )),
        Err(trouble) => page.trouble(&trouble).with(html!(
            "<p>Nothing was written. <a href=\"{}\">Back to it</a></p>",
            rules::address(name)
        )),
    }
}
