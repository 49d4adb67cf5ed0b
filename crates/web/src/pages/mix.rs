//! Mix a bucket: which glaze, how much; the ticket; water; into the book.

use glost_chemistry::quantity::trimmed;
use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use glost_page::bench::{Asked, Html, Ticket, clocks, fields, in_address};
use glost_page::html;
use serde::Deserialize;

use super::asking::{Asking, Trouble};
use super::begun::{self, Begun};
use super::frame::Page;
use super::jar::{by_jar, by_the_jar};
use super::names::Names;
use super::{Bench, Said};
use crate::door::{Form, Refusal, Visitor};

const HEADING: &str = "Mix a bucket";

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
            .same("glost weigh --help".to_owned());
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
        .with(to_book(&bench, &asked, &ticket.weighed()));
    let page = match said.text("jar") {
        Some(jar) => page.same(bench.line(&by_jar(&asked, &ticket, jar))),
        None => page,
    };
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

pub(super) fn carried(asked: &Asked) -> Html {
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

/// The form that books a batch, with the weights that it was mixed by.
pub(crate) fn to_book(bench: &Bench, asked: &Asked, weighed: &str) -> Html {
    booking(bench, asked, weighed, &Form::nothing(), Html::default())
}

fn booking(bench: &Bench, asked: &Asked, weighed: &str, said: &Form, more: Html) -> Html {
    let typed = |name| said.text(name).unwrap_or("");
    let controls = [
        carried(asked),
        fields::hidden("made_from", weighed),
        more,
        fields::line("by", "Who mixed it?", typed("by"), "a name, or initials"),
        fields::line(
            "mark",
            "A mark on its pieces?",
            typed("mark"),
            "scratched or stamped; or leave it empty",
        ),
    ];
    html!(
        "<section class=\"screen\"><h2>Mixed?</h2>{}</section>",
        fields::doing(&bench.seal(), "/mix", controls.into_iter().collect(), "Book it")
    )
}

/// A note of the water that felt right.
async fn noted_water(bench: &Bench, said: &Form, asked: &Asked, per_kilo: f64) -> Result<(), Trouble> {
    let text = format!("water that felt right: {} cups a kilo", trimmed(per_kilo, 2));
    let note = Asking::of("note")
        .with("glaze", asked.glaze.as_str())
        .maybe("batch", said.text("batch"))
        .with("text", text);
    let request = said.text("request").map(|request| format!("{request}-note"));
    let _: serde_json::Value = bench.do_once(&note, request.as_deref()).await?;
    Ok(())
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
    if let Some((refusal, both)) = reweighed(&bench, &names, &asked, &said).await {
        return page.trouble(&refusal).with(both).same(bench.line(&weigh(&asked)));
    }
    let asking = weigh(&asked)
        .with("commit", true)
        .maybe("by", said.text("by"))
        .maybe("mark", said.text("mark"))
        .maybe("batch", said.text("batch"));
    let ticket: Ticket = match bench.do_once(&asking, said.text("request")).await {
        Ok(ticket) => ticket,
        Err(trouble) => {
            let number = number(&bench, &said).await;
            let weighed = said.text("made_from").unwrap_or("");
            return page
                .trouble(&trouble)
                .with(booking(&bench, &asked, weighed, &said, number))
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

/// Both tickets, where the recipe changed since the page was made that she weighed by.
async fn reweighed(bench: &Bench, names: &Names, asked: &Asked, said: &Form) -> Option<(Trouble, Html)> {
    let weighed = said.text("made_from")?;
    let ticket: Ticket = bench.ask(&weigh(asked)).await.ok()?;
    let now = ticket.weighed();
    if !bench.is_outdated(said, &now) {
        return None;
    }
    let message = format!("the recipe of {} was changed since this ticket was made", asked.glaze);
    let refusal = Refusal::new(StatusCode::CONFLICT, "changed-meanwhile", message)
        .help("nothing was booked: if it was weighed by the old ticket, put the recipe back first, then book it");
    let lines: Html = weighed.split("; ").map(|line| html!("<li>{}</li>", line)).collect();
    let both = html!(
        "<h2>Weighed by</h2><ul>{}</ul><h2>The ticket is now</h2>{}<h2>Weighed by the new one?</h2>{}",
        lines,
        ticket.shown(names.cup_millilitres, names.visitor.sees_prices(), &[]),
        booking(bench, asked, &now, said, Html::default())
    );
    Some((Trouble::Refused(refusal), both))
}

#[derive(Deserialize)]
struct Book {
    batches: Vec<Batch>,
}

#[derive(Deserialize)]
struct Batch {
    batch: String,
}

/// A number to book a second bucket of one day by: one more than the highest in the book.
async fn number(bench: &Bench, said: &Form) -> Html {
    let book: Result<Book, Trouble> = bench.ask(&Asking::of("batches")).await;
    // Where the book can't be read, no number is proposed.
    let numbers = book.into_iter().flat_map(|book| book.batches);
    let highest = numbers.filter_map(|batch| batch.batch.parse::<u32>().ok()).max();
    let next = highest.map_or_else(String::new, |highest| (highest + 1).to_string());
    fields::line(
        "batch",
        "Its number",
        said.text("batch").unwrap_or(&next),
        "a second bucket of the same, on one day, has a number of its own",
    )
}

/// What comes after: labels, and the water that felt right.
async fn after(bench: &Bench, asked: &Asked, ticket: &Ticket, half_cups: Option<&str>) -> Html {
    let batch = ticket.batch.as_deref().unwrap_or("");
    let label = Asking::of("label")
        .with("glaze", asked.glaze.as_str())
        .with("batch", batch)
        .with("kind", "bottle");
    let written = match bench.ask_text(&label).await {
        Ok(text) => by_hand(&text),
        Err(trouble) => trouble.shown(),
    };
    let query = format!("glaze={}&batch={}", in_address(&asked.glaze), in_address(batch));
    let water = [
        carried(asked),
        fields::hidden("batch", batch),
        fields::hidden("made_from", &bench.version("glazes", &asked.glaze)),
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

/// Lines of a label to write by hand, so many big; what else a label says, below.
fn by_hand(text: &str) -> Html {
    const BIG: usize = 5;
    let lines: Vec<&str> = text.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    let (big, more) = lines.split_at(lines.len().min(BIG));
    let big: Html = big.iter().map(|line| html!("<li>{}</li>", *line)).collect();
    html!("<ol class=\"big\">{}</ol><p>{}</p>", big, more.join(" "))
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
    if bench.is_outdated(&said, &bench.version("glazes", &asked.glaze)) {
        let message = "a glaze’s file was changed since this page was made";
        let refusal = Refusal::new(StatusCode::CONFLICT, "changed-meanwhile", message);
        let refusal = Trouble::Refused(refusal.help("look at the glaze, then at its next ticket set the water again"));
        return page.trouble(&refusal).with(html!(
            "<p>You wanted: {} half cups after the first water. <a href=\"/glaze/{}\">{} as it is now</a></p>",
            trimmed(halves, 1),
            in_address(&asked.glaze),
            asked.glaze
        ));
    }
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
        Ok(_) => {
            let page = page.same(bench.line(&asking)).with(html!(
                "<p class=\"answer\" role=\"status\">{} takes {} cups of water a kilo now.</p><p><a href=\"/\">To the bench</a></p>",
                asked.glaze,
                trimmed(per_kilo, 2)
            ));
            match noted_water(&bench, &said, &asked, per_kilo).await {
                Ok(()) => page,
                Err(trouble) => page.trouble(&trouble),
            }
        }
        Err(trouble) => page.trouble(&trouble).same(bench.line(&asking)),
    }
}
