//! A jar of slurry on the scales: too thick, too thin, or right.

use glost_page::bench::{Asked, Html, Ticket, amounts, fields};
use glost_page::html;
use serde::Deserialize;

use super::Bench;
use super::asking::Asking;
use super::mix::carried;
use super::names::Names;
use crate::door::Form;

#[derive(Deserialize)]
struct Slurry {
    density: f64,
    new_density: Option<f64>,
    water_to_add_millilitres: Option<f64>,
    water_to_remove_millilitres: Option<f64>,
}

/// The jar on the scales instead.
pub(super) async fn by_the_jar(bench: &Bench, names: &Names, said: &Form, asked: &Asked, ticket: &Ticket) -> Html {
    let jar = said.text("jar");
    let controls = [
        carried(asked),
        fields::needed(
            "jar",
            "What does a jar of it weigh?",
            jar.unwrap_or(""),
            "500 ml = 735 g, the jar’s own weight taken off",
        ),
    ];
    let form = fields::asking_live("/mix", "jar", controls.into_iter().collect(), "Too thick or too thin?");
    let answer = match jar {
        Some(jar) => jar_says(bench, names, asked, ticket, jar).await,
        None => Html::default(),
    };
    html!(
        "<section class=\"screen\"><h2>Or by the jar</h2>{}{}</section>",
        fields::answer_at("jar", answer),
        form
    )
}

/// What a jar’s weight asks.
pub(super) fn by_jar(asked: &Asked, ticket: &Ticket, jar: &str) -> Asking {
    Asking::of("slurry")
        .with("glaze", asked.glaze.as_str())
        .list("jar", [jar])
        .list("volume", [format!("{:.0} ml", ticket.volume_millilitres()).as_str()])
        .with("to", format!("{:.3}", ticket.density()))
}

async fn jar_says(bench: &Bench, names: &Names, asked: &Asked, ticket: &Ticket, jar: &str) -> Html {
    let asking = by_jar(asked, ticket, jar);
    let slurry: Slurry = match bench.ask(&asking).await {
        Ok(slurry) => slurry,
        Err(trouble) => return trouble.shown(),
    };
    let water = |millilitres: f64| {
        format!(
            "{} ({})",
            amounts::litres(millilitres),
            amounts::cups(millilitres, names.cup_millilitres)
        )
    };
    let (is, yours) = (
        format!("{:.2}", slurry.density),
        format!("{:.2}", slurry.new_density.unwrap_or(ticket.density())),
    );
    // A jar tells no more than two digits: equal in them is right.
    let is_near = is == yours;
    let differs = |water: Option<f64>| water.filter(|_| !is_near);
    let (add, remove) = (
        differs(slurry.water_to_add_millilitres),
        differs(slurry.water_to_remove_millilitres),
    );
    match (add.filter(|water| *water > 1.0), remove.filter(|water| *water > 1.0)) {
        (Some(add), _) => html!(
            "<p class=\"answer\" role=\"status\">Too thick: {}, yours is {}. Add {}.</p>",
            is,
            yours,
            water(add)
        ),
        (None, Some(remove)) => html!(
            "<p class=\"answer\" role=\"status\">Too thin: {}, yours is {}. Let it settle and take {} off the top.</p>",
            is,
            yours,
            water(remove)
        ),
        (None, None) => html!("<p class=\"answer\" role=\"status\">Right: {}.</p>", is),
    }
}
