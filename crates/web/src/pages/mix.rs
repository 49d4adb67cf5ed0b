//! Mix a bucket: which glaze, how much; the ticket; water; into the book.

use glost_chemistry::quantity::trimmed;
use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use glost_page::bench::{Asked, Html, Ticket, amounts, clocks, fields};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::begun::{self, Begun};
use super::frame::Page;
use super::names::Names;
use super::{Bench, Said};
use crate::door::{Form, Refusal, Visitor};

const HEADING: &str = "Mix a bucket";

#[derive(Deserialize)]
struct Slurry {
    density: f64,
    new_density: Option<f64>,
    water_to_add_millilitres: Option<f64>,
    water_to_remove_millilitres: Option<f64>,
}

/// The form, or the ticket that it asks for.
pub(crate) async fn mix(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(HEADING).trouble(&trouble),
    };
    let page = Page::of(HEADING).in_studio(&names);
    let Some(asked) = asked(&said) else {
        return page
            .with(which(&names, &said))
            .with(fields::answer(Html::default()))
            .same("glost weigh GLAZE --dry \"1 kg\"".to_owned());
    };
    let asking = weigh(&asked);
    let ticket: Ticket = match bench.ask(&asking).await {
        Ok(ticket) => ticket,
        Err(trouble) => {
            return page
                .trouble_in_answer(&trouble)
                .with(which(&names, &said))
                .same(bench.line(&asking));
        }
    };
    let begun = bench.begun_as(&asked);
    let page = page
        .with(fields::answer(at_the_scales(
            &bench,
            &names,
            &asked,
            &ticket,
            begun.as_ref(),
        )))
        .with(bench.clocks_shown())
        .with(clocks::to_start(
            &bench.seal(),
            &format!("{} soaks", asked.glaze),
            &clocks::FOR_SLAKING,
            &begun::address(&asked.glaze, &asked.dry, &asked.into),
        ))
        .with(by_the_jar(&bench, &names, &said, &asked, &ticket).await)
        .with(to_book(&bench, &asked));
    page.with(html!(
        "<p class=\"screen\"><a href=\"/mix\">Another glaze, another amount</a></p>"
    ))
    .same(bench.line(&asking))
}

fn asked(said: &Form) -> Option<Asked> {
    Some(Asked {
        glaze: said.text("glaze")?.to_owned(),
        dry: said.text("dry")?.to_owned(),
        into: said.text("into").unwrap_or("").to_owned(),
    })
}

fn weigh(asked: &Asked) -> Asking {
    Asking::of("weigh")
        .with("glaze", asked.glaze.as_str())
        .with("dry", asked.dry.as_str())
        .maybe("into", Some(asked.into.as_str()).filter(|into| !into.is_empty()))
}

/// Which glaze, how much, into what.
fn which(names: &Names, said: &Form) -> Html {
    if names.glazes.is_empty() {
        return html!("<p>There is no glaze in this studio yet. <a href=\"/glazes\">Add one.</a></p>");
    }
    let controls = [
        fields::choice("glaze", "Which glaze?", None, &names.glazes, said.text("glaze")),
        fields::needed(
            "dry",
            "How much powder?",
            said.text("dry").unwrap_or("1 kg"),
            "by weight: 1 kg, 500 g, 2 lb",
        ),
        fields::line(
            "into",
            "Into what?",
            said.text("into").unwrap_or(""),
            "5 bottles, 1 bucket; or leave it empty",
        ),
    ];
    fields::asking_live("/mix", "", controls.into_iter().collect(), "Show the ticket")
}

fn carried(asked: &Asked) -> Html {
    let all = [("glaze", &asked.glaze), ("dry", &asked.dry), ("into", &asked.into)];
    all.iter().map(|(name, value)| fields::hidden(name, value)).collect()
}

/// The ticket with its boxes, kept when the phone sleeps.
fn at_the_scales(bench: &Bench, names: &Names, asked: &Asked, ticket: &Ticket, begun: Option<&Begun>) -> Html {
    let ticked = begun.map_or(&[][..], |begun| &begun.ticked);
    let half_cups = begun.map_or("0", |begun| &begun.half_cups);
    html!(
        "<form method=\"post\" action=\"/mix/kept\" data-keep>{}{}{}<h3>Water, your way</h3>\
         <p>First the water above, then half a cup at a time until it feels right.</p>{}\
         <p><button>Keep where I am</button> <span role=\"status\" data-kept></span></p></form>",
        fields::hidden("token", &bench.token),
        carried(asked),
        ticket.shown(names.cup_millilitres, names.visitor.sees_prices(), ticked),
        fields::count("half_cups", "half_cups", "Half cups added since", half_cups),
    )
}

/// Keeps ticks and cups.
pub(crate) async fn kept(State(bench): State<Arc<Bench>>, Said(said): Said) -> Response {
    let (Some(asked), Some(now)) = (asked(&said), Begun::of(&said)) else {
        return Refusal::new(StatusCode::BAD_REQUEST, "bad-form", "the ticket isn't named").into_response();
    };
    match bench.keep_begun(&asked, Some(now)) {
        Ok(()) => mix(State(bench), Said(said)).await.into_response(),
        Err(why) => Refusal::of(StatusCode::SERVICE_UNAVAILABLE, why).into_response(),
    }
}

/// The jar on the scales instead.
async fn by_the_jar(bench: &Bench, names: &Names, said: &Form, asked: &Asked, ticket: &Ticket) -> Html {
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

async fn jar_says(bench: &Bench, names: &Names, asked: &Asked, ticket: &Ticket, jar: &str) -> Html {
    let asking = Asking::of("slurry")
        .with("glaze", asked.glaze.as_str())
        .list("jar", [jar])
        .list("volume", [format!("{:.0} ml", ticket.volume_millilitres()).as_str()])
        .with("to", format!("{:.3}", ticket.density()));
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
    let (add, remove) = (slurry.water_to_add_millilitres, slurry.water_to_remove_millilitres);
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

/// The form that books a batch.
pub(crate) fn to_book(bench: &Bench, asked: &Asked) -> Html {
    let controls = [
        carried(asked),
        fields::line("by", "Who mixed it?", "", "a name, or initials"),
        fields::line(
            "mark",
            "A mark on its pieces?",
            "",
            "scratched or stamped; or leave it empty",
        ),
    ];
    html!(
        "<section class=\"screen\"><h2>Mixed?</h2>{}</section>",
        fields::doing(&bench.seal(), "/mix", controls.into_iter().collect(), "Book it")
    )
}

/// Books it, once.
pub(crate) async fn booked(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(HEADING).trouble(&trouble),
    };
    let page = Page::of("Booked").in_studio(&names);
    let Some(asked) = asked(&said) else {
        return Page::of(HEADING).in_studio(&names).with(which(&names, &said));
    };
    let asking = weigh(&asked)
        .with("commit", true)
        .maybe("by", said.text("by"))
        .maybe("mark", said.text("mark"));
    let ticket: Ticket = match bench.do_once(&asking, said.text("request")).await {
        Ok(ticket) => ticket,
        Err(trouble) => {
            return page
                .trouble(&trouble)
                .with(to_book(&bench, &asked))
                .same(bench.line(&asking));
        }
    };
    let half_cups = bench.begun_as(&asked).map(|begun| begun.half_cups);
    let unforgotten = bench
        .keep_begun(&asked, None)
        .err()
        .map(|why| Trouble::Refused(Refusal::of(StatusCode::OK, why)));
    let page = page.with(after(&bench, &asked, &ticket, half_cups.as_deref()).await);
    match unforgotten {
        Some(trouble) => page.trouble(&trouble),
        None => page.same(bench.line(&asking)),
    }
}

/// What comes after: labels, and the water that felt right.
async fn after(bench: &Bench, asked: &Asked, ticket: &Ticket, half_cups: Option<&str>) -> Html {
    let batch = ticket.batch.as_deref().unwrap_or("");
    let label = Asking::of("label")
        .with("glaze", asked.glaze.as_str())
        .with("batch", batch)
        .with("kind", "bottle");
    let written = match bench.ask_text(&label).await {
        Ok(text) => html!("<pre class=\"big\">{}</pre>", text),
        Err(trouble) => trouble.shown(),
    };
    let query = format!(
        "glaze={}&batch={}",
        glost_page::bench::in_address(&asked.glaze),
        glost_page::bench::in_address(batch)
    );
    let water = [
        carried(asked),
        fields::hidden("batch", batch),
        fields::hidden("first", &trimmed(ticket.water_first_millilitres(), 0)),
        fields::count(
            "half_cups",
            "half_cups",
            "Half cups added after the first water",
            half_cups.unwrap_or("0"),
        ),
    ];
    let water = if bench.visitor == Visitor::Owner {
        html!(
            "<section><h2>Did the water feel right?</h2><p>Then it becomes this glaze’s water, on its next ticket and label.</p>{}</section>",
            fields::doing(
                &bench.seal(),
                "/mix/water",
                water.into_iter().collect(),
                "This is its water now"
            )
        )
    } else {
        Html::default()
    };
    html!(
        "<p class=\"answer\" role=\"status\">Batch {} of {} is in the book, and off the shelf.</p>\
         <section><h2>Write this on it</h2>{}<p>Or print: <a href=\"/label?{}&amp;kind=bottle\">bottle labels</a>, \
         <a href=\"/label?{}&amp;kind=bucket\">a bucket’s label</a></p></section>\
         {}\
         <p><a href=\"{}\">Mix the same again</a> · <a href=\"/\">To the bench</a></p>",
        batch,
        ticket.glaze,
        written,
        query,
        query,
        water,
        begun::address(&asked.glaze, &asked.dry, &asked.into),
    )
}

/// The water that felt right becomes the glaze's.
pub(crate) async fn water(State(bench): State<Arc<Bench>>, Said(said): Said) -> Page {
    let names = match bench.names().await {
        Ok(names) => names,
        Err(trouble) => return Page::of(HEADING).trouble(&trouble),
    };
    let page = Page::of("Its water").in_studio(&names);
    let number = |name: &str| said.text(name).and_then(|text| text.parse::<f64>().ok());
    let (Some(asked), Some(first), Some(halves)) = (asked(&said), number("first"), number("half_cups")) else {
        return page.with(html!(
            "<p>How many half cups it was wasn’t said. <a href=\"/mix\">To the tickets</a></p>"
        ));
    };
    let ticket: Ticket = match bench.ask(&weigh(&asked)).await {
        Ok(ticket) => ticket,
        Err(trouble) => return page.trouble(&trouble),
    };
    let millilitres = first + halves * names.cup_millilitres / 2.0;
    let per_kilo = ticket.per_kilo(millilitres) / names.cup_millilitres;
    let water = format!("water={} cups/kg", trimmed(per_kilo, 2));
    let asking = Asking::of("set")
        .with("name", asked.glaze.as_str())
        .list("setting", [water.as_str()])
        .with("of", "glaze");
    match bench.do_once::<serde_json::Value>(&asking, said.text("request")).await {
        Ok(_) => page
            .with(html!(
                "<p class=\"answer\" role=\"status\">{} takes {} cups of water a kilo now.</p><p><a href=\"/\">To the bench</a></p>",
                asked.glaze,
                trimmed(per_kilo, 2)
            ))
            .same(bench.line(&asking)),
        Err(trouble) => page.trouble(&trouble).same(bench.line(&asking)),
    }
}
