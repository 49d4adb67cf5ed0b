//! Recipes that are proposed: I've run out, and Change a glaze.

use glost_chemistry::quantity::trimmed;
use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use glost_page::bench::proposal::{Adjusted, Amounts, Swapped};
use glost_page::bench::{Html, fields};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::names::Names;
use super::{Bench, Said};
use crate::door::{Form, Refusal};

const MISSING: &str = "I’ve run out";
const CHANGE: &str = "Change a glaze";
/// Wishes that a form can hold.
const WISHES: [(&str, &str); 8] = [
    ("expansion <= ", "craze less: expansion at most"),
    ("expansion >= ", "flake less: expansion at least"),
    ("SiO2 >= ", "more silica: at least, in moles"),
    ("Al2O3 >= ", "more alumina: at least, in moles"),
    ("cost <= ", "cheaper: a kilo for at most"),
    ("loss on ignition <= ", "fewer pinholes: burns off at most, %"),
    ("no ", "without this material"),
    ("keep ", "no less of this material"),
];
/// So many wishes at a time.
const ROWS: usize = 3;

#[derive(Deserialize)]
struct Affected {
    glazes: Vec<Touched>,
    retest_order: Vec<String>,
}

#[derive(Deserialize)]
struct Touched {
    glaze: String,
    touched_percent: f64,
    trouble: Option<serde_json::Value>,
}

#[derive(Deserialize)]
struct Card {
    parts: Amounts,
}

/// Which material, in which glaze.
pub(crate) async fn missing(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    match bench.names().await {
        Ok(names) => Page::of(MISSING)
            .in_studio(&names)
            .with(which_is_gone(&bench, &names, &said))
            .with(fields::answer(Html::default()))
            .with(new_lot(&bench, &names, &Form::nothing()))
            .same("glost affected --help".to_owned()),
        Err(trouble) => Page::of(MISSING).trouble(&trouble),
    }
}

fn which_is_gone(bench: &Bench, names: &Names, said: &Form) -> Html {
    let inside = [
        names.pick_material("out", "What is gone?", Some("choose it"), said.text("out")),
        fields::choice(
            "glaze",
            "In which glaze?",
            Some("all of mine"),
            &names.glazes,
            said.text("glaze"),
        ),
        names.pick_material(
            "with",
            "Use this instead",
            Some("whatever serves best"),
            said.text("with"),
        ),
    ];
    fields::doing_live(&bench.seal(), "/missing", "", inside.into_iter().collect(), "What now?")
}

/// A form for a new lot of a material.
fn new_lot(bench: &Bench, names: &Names, said: &Form) -> Html {
    let typed = |name| said.text(name).unwrap_or("");
    let inside = [
        names.pick_material("of", "A new lot of what?", Some("choose it"), said.text("of")),
        fields::needed("lot", "Which lot?", typed("lot"), "as on the bag"),
        fields::line("stock", "How much?", typed("stock"), "25 kg"),
    ];
    html!(
        "<details class=\"section\"{}><summary>A new lot came</summary>{}</details>",
        if said.text("lot").is_some() {
            html!(" open")
        } else {
            Html::default()
        },
        fields::doing(
            &bench.seal(),
            "/missing/lot",
            inside.into_iter().collect(),
            "Open it, and show what to test"
        )
    )
}

/// Opens a lot, and shows every glaze that it touches.
pub(crate) async fn lot(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(MISSING).trouble(&trouble),
    };
    let page = Page::of(MISSING).in_studio(&names);
    let (Some(of), Some(lot)) = (said.text("of"), said.text("lot")) else {
        return page
            .with(html!("<p>Of what, or which lot, wasn’t said.</p>"))
            .with(new_lot(&bench, &names, &said));
    };
    let asking = Asking::of("add")
        .with("sort", "lot")
        .with("name", of)
        .with("lot", lot)
        .maybe("stock", said.text("stock"));
    let opened: Result<serde_json::Value, Trouble> = bench.do_once(&asking, said.text("request")).await;
    let page = page.same(bench.line(&asking));
    match opened {
        Ok(_) => {
            let (answer, line) = touched(&bench, of, None).await;
            page.with(html!(
                "<p class=\"answer\" role=\"status\">Lot {} of {} is open. Test these with it before you sell any:</p>",
                lot,
                of
            ))
            .with(answer)
            .same(line)
        }
        Err(trouble) => page.trouble(&trouble).with(new_lot(&bench, &names, &said)),
    }
}

/// Every glaze it touches; for one, what to use instead.
pub(crate) async fn gone(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(MISSING).trouble(&trouble),
    };
    let page = Page::of(MISSING).in_studio(&names);
    let Some(out) = said.text("out") else {
        return page.with(which_is_gone(&bench, &names, &said));
    };
    let (answer, line) = match said.text("glaze") {
        Some(glaze) => instead(&bench, glaze, out, said.text("with")).await,
        None => touched(&bench, out, said.text("with")).await,
    };
    page.with(fields::answer(answer))
        .with(html!("<h2>Something else</h2>"))
        .with(which_is_gone(&bench, &names, &said))
        .same(line)
}

async fn touched(bench: &Bench, out: &str, with: Option<&str>) -> (Html, String) {
    let asking = Asking::of("affected").list("out", [out]);
    let line = bench.line(&asking);
    let affected: Affected = match bench.ask(&asking).await {
        Ok(affected) => affected,
        Err(trouble) => return (trouble.shown(), line),
    };
    let place = |touched: &Touched| affected.retest_order.iter().position(|name| *name == touched.glaze);
    let mut glazes: Vec<&Touched> = affected.glazes.iter().collect();
    glazes.sort_by_key(|touched| place(touched).unwrap_or(usize::MAX));
    let with_said = with;
    let row = |touched: &&Touched| {
        let with = with.map_or_else(Html::default, |with| fields::hidden("with", with));
        let inside = [
            fields::hidden("out", out),
            fields::hidden("glaze", &touched.glaze),
            with,
        ];
        let trouble = if touched.trouble.is_some() {
            ": nothing on the list serves"
        } else {
            ""
        };
        html!(
            "<li><strong>{}</strong>, {} % of it{}{}</li>",
            touched.glaze,
            trimmed(touched.touched_percent, 1),
            trouble,
            fields::doing(
                &bench.seal(),
                "/missing",
                inside.into_iter().collect(),
                &instead_of_it(with_said, &touched.glaze)
            )
        )
    };
    let rows: Html = glazes.iter().map(row).collect();
    let answer = if rows.is_empty() {
        html!(
            "<p class=\"answer\" role=\"status\">None of your glazes holds {}.</p>",
            out
        )
    } else {
        html!(
            "<h2>Without {}</h2><p>In the order to test them again:</p><ol class=\"list\">{}</ol>",
            out,
            rows
        )
    };
    (answer, line)
}

/// The words of a key that asks for one glaze.
fn instead_of_it(with: Option<&str>, glaze: &str) -> String {
    with.map_or_else(
        || format!("Without it: {glaze}"),
        |with| format!("{with} instead: {glaze}"),
    )
}

async fn instead(bench: &Bench, glaze: &str, out: &str, with: Option<&str>) -> (Html, String) {
    let asking = Asking::of("swap")
        .with("glaze", glaze)
        .list("out", [out])
        .list("with", with);
    let line = bench.line(&asking);
    let (swapped, old) = tokio::join!(bench.ask_whether::<Swapped>(&asking), parts_of(bench, glaze));
    let (is_far, swapped) = match swapped {
        Ok(answer) => answer,
        Err(trouble) => return (trouble.shown(), line),
    };
    (swapped.shown((glaze, out), is_far, &old, || bench.seal()), line)
}

async fn parts_of(bench: &Bench, glaze: &str) -> Amounts {
    let card: Result<Card, Trouble> = bench.ask(&Asking::of("card").with("glaze", glaze)).await;
    // Without its old parts the new ones are shown alone.
    card.map_or_else(|_| Amounts::new(), |card| card.parts)
}

/// Which glaze, which wishes.
pub(crate) async fn change(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    match bench.names().await {
        Ok(names) => Page::of(CHANGE)
            .in_studio(&names)
            .with(wishes(&bench, &names, &said))
            .with(fields::answer(Html::default()))
            .same("glost adjust --help".to_owned()),
        Err(trouble) => Page::of(CHANGE).trouble(&trouble),
    }
}

fn wishes(bench: &Bench, names: &Names, said: &Form) -> Html {
    let (kinds, values): (Vec<&str>, Vec<&str>) = (said.all("wish").collect(), said.all("value").collect());
    let row = |index: usize| {
        let (kind, value) = (format!("wish-{index}"), format!("value-{index}"));
        let chosen = kinds.get(index).copied().unwrap_or("");
        let options: Html = WISHES
            .iter()
            .map(|(aim, words)| {
                let selected = if *aim == chosen {
                    html!(" selected")
                } else {
                    Html::default()
                };
                html!("<option value=\"{}\"{}>{}</option>", *aim, selected, *words)
            })
            .collect();
        html!(
            "<fieldset><legend>Wish {}</legend><p class=\"field\"><label for=\"{}\">I want it</label><select id=\"{}\" name=\"wish\">\
             <option value=\"\">(no wish)</option>{}</select></p><p class=\"field\"><label for=\"{}\">how much, or which material</label>\
             <input id=\"{}\" name=\"value\" value=\"{}\" data-step list=\"materials\" autocomplete=\"off\"></p></fieldset>",
            index + 1,
            kind,
            kind,
            options,
            value,
            value,
            values.get(index).copied().unwrap_or(""),
        )
    };
    let materials: Html = names
        .materials
        .iter()
        .map(|name| html!("<option value=\"{}\"></option>", name))
        .collect();
    let inside = [
        fields::choice("glaze", "Which glaze?", None, &names.glazes, said.text("glaze")),
        row(0),
        html!(
            "<details{}><summary>More wishes</summary>{}</details>",
            if kinds.iter().skip(1).any(|kind| !kind.is_empty()) {
                html!(" open")
            } else {
                Html::default()
            },
            (1..ROWS).map(row).collect::<Html>()
        ),
        html!("<datalist id=\"materials\">{}</datalist>", materials),
        names.pick_material("with", "It may also use", Some("only what is in it"), said.text("with")),
    ];
    fields::doing_live(
        &bench.seal(),
        "/change",
        "",
        inside.into_iter().collect(),
        "What would it take?",
    )
}

/// What is wrong with a wish that needs a number.
fn no_number(said: &Form) -> Option<Trouble> {
    let wishes = said.all("wish").zip(said.all("value")).enumerate();
    let wrong = |(wish, value): (&str, &str)| {
        let number = value.trim().split(' ').next().unwrap_or("").replace(',', ".");
        wish.ends_with("= ") && number.parse::<f64>().is_err()
    };
    let (index, (_, value)) = wishes.into_iter().find(|(_, wish)| wrong(*wish))?;
    let refusal = Refusal::new(
        StatusCode::OK,
        "no-number",
        format!("wish {}: “{}” is no number", index + 1, value.trim()),
    );
    Some(Trouble::Refused(refusal.help("write a number, such as 6.5")))
}

/// What the wishes take, or why they can't be met.
pub(crate) async fn changed(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(CHANGE).trouble(&trouble),
    };
    let page = Page::of(CHANGE).in_studio(&names);
    let aims: Vec<String> = said
        .all("wish")
        .zip(said.all("value"))
        .filter(|(wish, _)| !wish.is_empty())
        .map(|(wish, value)| format!("{wish}{}", value.trim()))
        .collect();
    let glaze = said.text("glaze").unwrap_or("");
    if aims.is_empty() {
        return page
            .with(fields::answer(html!(
                "<p class=\"answer\" role=\"status\">Say at least one wish.</p>"
            )))
            .with(wishes(&bench, &names, &said));
    }
    if let Some(no_number) = no_number(&said) {
        return page
            .with(fields::answer(no_number.shown()))
            .with(wishes(&bench, &names, &said));
    }
    let asking = Asking::of("adjust")
        .with("glaze", glaze)
        .list("aims", aims.iter().map(String::as_str))
        .list("with", said.text("with"));
    let (adjusted, old) = tokio::join!(bench.ask::<Adjusted>(&asking), parts_of(&bench, glaze));
    let page = page.same(bench.line(&asking));
    match adjusted {
        Ok(adjusted) => page
            .with(fields::answer(adjusted.shown(glaze, &old, &bench.seal())))
            .with(html!("<h2>Other wishes</h2>"))
            .with(wishes(&bench, &names, &said)),
        Err(trouble) => page
            .with(fields::answer(trouble.shown()))
            .with(wishes(&bench, &names, &said)),
    }
}
