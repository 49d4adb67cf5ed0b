//! A saved plan of tiles: its map to grade on, and what the grades teach.

use std::sync::Arc;

use axum::extract::State;
use glost_chemistry::quantity::trimmed;
use glost_page::bench::{Html, fields, in_address, prose};
use glost_page::html;
use serde::Deserialize;
use serde_json::{Map, Value};

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::{Bench, Said};
use crate::door::Form;

/// What is graded unless another word is said.
const PROPERTY: &str = "gloss";

#[derive(Deserialize)]
struct List {
    plans: Vec<Named>,
}

#[derive(Deserialize)]
struct Named {
    plan: String,
}

#[derive(Deserialize)]
struct Plan {
    call: String,
    kind: String,
    rows: Vec<usize>,
    ends: Vec<String>,
    properties: Vec<String>,
    tiles: Vec<Tile>,
}

#[derive(Deserialize)]
struct Tile {
    code: String,
    shares: Vec<f64>,
    parts: Map<String, Value>,
    additions: Map<String, Value>,
    latest: Map<String, Value>,
}

/// A plan drawn up again by its call.
#[derive(Deserialize)]
struct DrawnUp {
    tiles: Vec<Drawn>,
}

#[derive(Deserialize)]
struct Drawn {
    code: String,
    parts: Map<String, Value>,
    additions: Map<String, Value>,
}

/// All saved plans, each a link.
pub(crate) async fn so_far(bench: &Bench) -> Html {
    let list: List = match bench.ask(&Asking::of("plan")).await {
        Ok(list) => list,
        Err(trouble) => return trouble.shown(),
    };
    let row = |named: &Named| {
        html!(
            "<li><a href=\"/plan?plan={}\">{}</a></li>",
            in_address(&named.plan),
            named.plan
        )
    };
    let rows: Html = list.plans.iter().map(row).collect();
    if rows.is_empty() {
        html!("<h2>Plans so far</h2><p>None is kept yet. One that has a name can be graded here.</p>")
    } else {
        html!("<h2>Plans so far</h2><ul class=\"list\">{}</ul>", rows)
    }
}

/// The map with a grade to choose on each tile.
pub(crate) async fn plan(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    shown(&bench, &said, Html::default()).await
}

async fn shown(bench: &Bench, said: &Form, before: Html) -> Page {
    let name = said.text("plan").unwrap_or("");
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of("Test tiles").trouble(&trouble),
    };
    let asking = Asking::of("plan").with("plan", name);
    if name.is_empty() {
        return Page::of("Test tiles")
            .in_studio(&names)
            .with(so_far(bench).await)
            .same(bench.line(&Asking::of("plan")));
    }
    let page = Page::of(format!("Tiles of {name}"))
        .in_studio(&names)
        .with(before)
        .same(bench.line(&asking));
    let plan: Plan = match bench.ask(&asking).await {
        Ok(plan) => plan,
        Err(trouble) => {
            let page = page.trouble(&trouble).with(so_far(bench).await);
            return page.missing();
        }
    };
    let property = said
        .text("property")
        .or(plan.properties.first().map(String::as_str))
        .unwrap_or(PROPERTY);
    let ends: Html = plan.ends.iter().map(|end| html!("<li>{}</li>", end)).collect();
    let inside = [
        fields::hidden("plan", name),
        fields::needed(
            "property",
            "What do you grade?",
            property,
            "gloss, colour, runs: any word, from 0 to 5",
        ),
        plan.map(property),
        fields::line(
            "age",
            "How old are the tiles?",
            said.text("age").unwrap_or("fresh"),
            "fresh, 30d, 6 months",
        ),
    ];
    page.with(html!("<p>Between</p><ol>{}</ol>", ends))
        .with(fields::doing(
            &bench.seal(),
            "/plan",
            inside.into_iter().collect(),
            "Note the grades",
        ))
        .with(taught(bench, name, &plan, property).await)
        .with(fields::doing(
            &bench.seal(),
            "/plan/sheet",
            fields::hidden("plan", name),
            "Show what to weigh",
        ))
        .with(html!("<p><a href=\"/tiles\">Test tiles</a></p>"))
}

impl Plan {
    fn map(&self, property: &str) -> Html {
        let mut tiles = self.tiles.iter();
        let rows = self.rows.iter().map(|length| {
            let row: Html = tiles
                .by_ref()
                .take(*length)
                .map(|tile| tile.to_grade(property))
                .collect();
            html!("<div class=\"row\">{}</div>", row)
        });
        let rows: Html = rows.collect();
        // Tiles of a plan without rows stand one after the other.
        let rest: Html = tiles.map(|tile| tile.to_grade(property)).collect();
        html!("<div class=\"map\">{}<div class=\"row\">{}</div></div>", rows, rest)
    }
}

impl Plan {
    /// Whether it is drawn up now as it was.
    fn is_still(&self, now: &DrawnUp) -> bool {
        let near = |one: &Map<String, Value>, other: &Map<String, Value>| {
            let part = |map: &Map<String, Value>, name: &str| map.get(name).and_then(Value::as_f64).unwrap_or(0.0);
            let names = one.keys().chain(other.keys());
            names
                .into_iter()
                .all(|name| (part(one, name) - part(other, name)).abs() < 1e-6)
        };
        self.tiles.len() == now.tiles.len()
            && self.tiles.iter().zip(&now.tiles).all(|(one, other)| {
                one.code == other.code && near(&one.parts, &other.parts) && near(&one.additions, &other.additions)
            })
    }

    /// The form that plans more tiles, filled in with the same ends.
    fn to_go_on(&self) -> Html {
        let ends: String = self
            .ends
            .iter()
            .map(|end| format!("&end={}", in_address(end)))
            .collect();
        html!(
            "<p><a href=\"/tiles?kind={}{}\">Plan the next tiles between these</a></p>",
            in_address(&self.kind),
            ends
        )
    }
}

impl Tile {
    fn to_grade(&self, property: &str) -> Html {
        let id = format!("grade-{}", self.code);
        let now = self
            .latest
            .get(property)
            .and_then(|latest| latest.get("grade")?.as_f64())
            .map(|grade| trimmed(grade, 1));
        let mark = now
            .as_ref()
            .map_or_else(Html::default, |now| html!("<strong class=\"grade\">{}</strong>", now));
        let options: Html = (0..=5_usize).map(|grade| html!("<option>{}</option>", grade)).collect();
        let shares: Vec<String> = self
            .shares
            .iter()
            .map(|share| format!("{:.0}", share * 100.0))
            .collect();
        html!(
            "<p class=\"tile\"><label for=\"{}\">{}</label><span class=\"aside\">{} %</span>{}<select id=\"{}\" name=\"{}\"><option value=\"\">{}</option>{}</select></p>",
            id,
            self.code,
            shares.join(" : "),
            mark,
            id,
            id,
            now.map_or_else(|| "-".to_owned(), |now| format!("was {now}")),
            options
        )
    }
}

/// Notes what was chosen, a note a tile.
pub(crate) async fn graded(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let (plan, property) = (
        said.text("plan").unwrap_or(""),
        said.text("property").unwrap_or(PROPERTY),
    );
    let mut noted = Vec::new();
    for (name, grade) in said.pairs().filter(|(_, grade)| !grade.is_empty()) {
        let Some(code) = name.strip_prefix("grade-") else {
            continue;
        };
        let (tile, grade) = (format!("{plan}/{code}"), format!("{property}={grade}"));
        let asking = Asking::of("note")
            .with("tile", tile)
            .list("grade", [grade.as_str()])
            .maybe("age", said.text("age"));
        let request = said.text("request").map(|request| format!("{request}-{code}"));
        let done: Result<Value, Trouble> = bench.do_once(&asking, request.as_deref()).await;
        if let Err(trouble) = done {
            let so_far = match noted.is_empty() {
                true => html!("<p>Nothing was noted.</p>"),
                false => html!("<p>Noted before that: {}.</p>", noted.join(", ")),
            };
            return shown(&bench, &said, html!("{}{}", trouble.shown(), so_far)).await;
        }
        noted.push(code.to_owned());
    }
    let told = if noted.is_empty() {
        html!("<p class=\"answer\" role=\"status\">No grade was chosen.</p>")
    } else {
        html!("<p class=\"answer\" role=\"status\">Noted: {}.</p>", noted.join(", "))
    };
    shown(&bench, &said, told).await
}

/// What the grades teach, where there are some.
async fn taught(bench: &Bench, name: &str, plan: &Plan, property: &str) -> Html {
    if plan.tiles.iter().all(|tile| tile.latest.is_empty()) {
        return Html::default();
    }
    let asking = Asking::of("results").list("plans", [name]).with("grade", property);
    match bench.ask_text(&asking).await {
        Ok(text) => html!(
            "<h2>What they teach</h2>{}{}{}<p class=\"same\">At a terminal: <code>{}</code></p>",
            drawn(bench, name, property).await,
            prose(&text),
            plan.to_go_on(),
            bench.line(&asking)
        ),
        Err(trouble) => trouble.shown(),
    }
}

/// The results over the map, where it has one: of two or three ends.
async fn drawn(bench: &Bench, name: &str, property: &str) -> Html {
    let words = ["results", &format!("--grade={property}"), "--", name];
    match bench.caller.made(&words, "page", "svg").await {
        Ok(Some(svg)) => html!(
            "<div class=\"drawing\" tabindex=\"0\" role=\"region\" aria-label=\"Results on the map\">{}</div>",
            // Drawn by our own answer, every word in it escaped.
            Html::from_template(String::from_utf8_lossy(&svg).into_owned())
        ),
        // Of four ends there is no map; the text beside this tells all.
        Ok(None) | Err(_) => Html::default(),
    }
}

/// The page with what is weighed.
pub(crate) async fn sheet(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let name = said.text("plan").unwrap_or("");
    let page = Page::of(format!("What to weigh for {name}"));
    let page = match bench.names().await {
        Ok(names) => page.in_studio(&names),
        Err(trouble) => return page.trouble(&trouble),
    };
    let asking = Asking::of("plan").with("plan", name);
    let back = html!(
        "<p><a href=\"/plan?plan={}\">Its map, to grade the tiles on</a></p>",
        in_address(name)
    );
    match bench.ask::<Plan>(&asking).await {
        Ok(plan) => page.with(to_weigh(&bench, &plan).await).with(back).same(plan.call),
        Err(trouble) => page.trouble(&trouble).missing(),
    }
}

/// What is weighed for each tile: the plan drawn up again by its own call; where recipes
/// were changed since, that is said.
async fn to_weigh(bench: &Bench, plan: &Plan) -> Html {
    let Some(call) = to_draw_up(&plan.call) else {
        return html!("<p>How it was made isn’t kept with it.</p>");
    };
    let (text, json) = tokio::join!(bench.caller.run(&call, "text"), bench.caller.run(&call, "json"));
    match (text, json) {
        (Ok(text), Ok(json)) if text.exit <= 1 => {
            let is_same = serde_json::from_slice::<DrawnUp>(&json.answer).is_ok_and(|now| plan.is_still(&now));
            let changed = if is_same {
                Html::default()
            } else {
                html!(
                    "<p class=\"caution\">A recipe was changed since this plan was made: this sheet goes by today’s.</p>"
                )
            };
            html!("{}{}", changed, prose(&String::from_utf8_lossy(&text.answer)))
        }
        (Ok(_), Ok(json)) => Trouble::of_answer(&json.answer).shown(),
        (Err(refusal), _) | (_, Err(refusal)) => Trouble::Refused(refusal).shown(),
    }
}

/// Options of a plan's call that write, or say how to answer.
const NOT_AGAIN: [&str; 6] = ["--save", "--page", "--sheet", "--format", "--studio", "--call"];

/// The words of a saved call that draw the plan up again and write nothing; `None` where
/// it is no plan's.
fn to_draw_up(call: &str) -> Option<Vec<String>> {
    let mut words = words(call).into_iter().skip(1).peekable();
    let mut kept = Vec::new();
    while let Some(word) = words.next() {
        let name = word.split('=').next().unwrap_or("");
        if NOT_AGAIN.contains(&name) {
            if name == word {
                words.next();
            }
            continue;
        }
        kept.push(word);
    }
    (kept.first()? == "blend").then_some(kept)
}

/// The words of a command line: blanks part them, but not between quotes.
fn words(line: &str) -> Vec<String> {
    let (mut all, mut word, mut quoted, mut escaped) = (Vec::new(), None::<String>, false, false);
    for sign in line.chars() {
        match (sign, escaped, quoted) {
            ('\\', false, true) => escaped = true,
            ('"', false, _) => {
                quoted = !quoted;
                word.get_or_insert_default();
            }
            (' ', _, false) => all.extend(word.take()),
            (sign, was_escaped, _) => {
                let word = word.get_or_insert_default();
                if was_escaped && sign != '"' {
                    word.push('\\');
                }
                word.push(sign);
                escaped = false;
            }
        }
    }
    all.extend(word);
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_call_is_drawn_up_again_and_writes_nothing() {
        let call = "glost --format=json blend \"--save=autumn tri\" --steps=3 -- triaxial \"A \\\"b\\\"\" C --page";
        let kept = to_draw_up(call).unwrap();
        assert_eq!(kept, ["blend", "--steps=3", "--", "triaxial", "A \"b\"", "C"]);
        let typed = to_draw_up("glost blend line A \"B c\" --save x --page y.html").unwrap();
        assert_eq!(typed, ["blend", "line", "A", "B c"]);
        assert_eq!(to_draw_up("glost weigh A --commit"), None);
        assert_eq!(to_draw_up(""), None);
    }
}
