//! A proposal tried: the new recipe kept as a glaze, three steps between old and new.

use std::sync::Arc;

use axum::extract::State;
use glost_page::bench::trial;
use glost_page::html;
use serde::Deserialize;
use serde_json::Value;

use super::asking::{Asking, Trouble};
use super::frame::Page;
use super::{Bench, Said};

const HEADING: &str = "Test tiles";
/// Old, half and half, new.
const STEPS: &str = "3";

#[derive(Deserialize)]
struct Old {
    cone: Option<String>,
    peak_celsius: Option<f64>,
    atmosphere: Option<String>,
    clay: Option<String>,
    #[serde(rename = "use")]
    usage: Option<String>,
    water_millilitres_per_kg: Option<f64>,
    density: Option<f64>,
}

impl Old {
    fn firing(&self) -> Option<String> {
        let cone = self.cone.as_ref().map(|cone| format!("cone {cone}"));
        cone.or_else(|| self.peak_celsius.map(|peak| format!("{peak} C")))
    }

    /// Water for a kilo, where no density says it.
    fn water(&self) -> Option<String> {
        let water = self.water_millilitres_per_kg.filter(|_| self.density.is_none())?;
        Some(format!("{water:.0} ml"))
    }
}

pub(crate) async fn tried(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(HEADING).trouble(&trouble),
    };
    let page = Page::of(HEADING).in_studio(&names);
    let (Some(old), Some(recipe), Some(name)) = (said.text("old"), said.text("recipe"), said.text("name")) else {
        return page.with(html!(
            "<p>Nothing was proposed. <a href=\"/missing\">I’ve run out</a> · <a href=\"/change\">Change a glaze</a></p>"
        ));
    };
    let request = said.text("request");
    match kept(&bench, old, recipe, name, request).await {
        Ok(()) => {}
        Err(trouble) => {
            return page
                .trouble(&trouble)
                .with(trial::form(&bench.seal(), 0, old, recipe, name));
        }
    }
    let plan = plan_name(name);
    let asking = tiles(old, name).with("save", plan.as_str());
    let page = page.same(bench.line(&asking));
    let planned: Result<Value, Trouble> = bench.do_once(&asking, step(request, "tiles").as_deref()).await;
    if let Err(trouble) = planned {
        return page.trouble(&trouble).with(html!(
            "<p>{} is among your glazes; its tiles aren’t planned. <a href=\"/tiles\">Test tiles</a></p>",
            name
        ));
    }
    let shown = bench.ask_text(&tiles(old, name)).await;
    match shown {
        Ok(tickets) => page.with(trial::planned(old, name, &plan, &tickets)),
        Err(trouble) => page.trouble(&trouble),
    }
}

fn tiles(old: &str, new: &str) -> Asking {
    Asking::of("blend")
        .with("kind", "line")
        .list("ends", [old, new])
        .with("steps", STEPS)
}

/// A plan's name has letters, digits, blanks and hyphens, 40 at most.
fn plan_name(glaze: &str) -> String {
    const BEHIND: &str = " steps";
    let letters = glaze
        .chars()
        .filter(|sign| sign.is_alphanumeric() || " -".contains(*sign));
    let short: String = letters.take(40 - BEHIND.len()).collect();
    format!("{}{BEHIND}", short.trim())
}

/// Each step of one form is done once under an id of its own.
fn step(request: Option<&str>, of: &str) -> Option<String> {
    request.map(|request| format!("{request}-{of}"))
}

/// Keeps the new recipe as a glaze that is fired and used as the old one.
async fn kept(bench: &Bench, old: &str, recipe: &str, name: &str, request: Option<&str>) -> Result<(), Trouble> {
    let about: Old = bench.ask(&Asking::of("card").with("glaze", old)).await?;
    let asking = Asking::of("add")
        .with("sort", "glaze")
        .with("name", name)
        .with("recipe", recipe)
        .maybe("firing", about.firing().as_deref())
        .maybe("clay", about.clay.as_deref())
        .maybe("use", about.usage.as_deref())
        .maybe("water", about.water().as_deref());
    let _: Value = bench.do_once(&asking, step(request, "glaze").as_deref()).await?;
    let atmosphere = about.atmosphere.as_ref().map(|air| format!("atmosphere={air}"));
    let density = about.density.map(|density| format!("density={density}"));
    let settings: Vec<String> = atmosphere.into_iter().chain(density).collect();
    if settings.is_empty() {
        return Ok(());
    }
    let asking = Asking::of("set")
        .with("name", name)
        .list("setting", settings.iter().map(String::as_str))
        .with("of", "glaze");
    let _: Value = bench.do_once(&asking, step(request, "air").as_deref()).await?;
    Ok(())
}
