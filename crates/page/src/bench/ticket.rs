//! A weighing ticket on a page.

use glost_chemistry::quantity::trimmed;
use serde::Deserialize;

use super::{Html, amounts, capital, fields, for_page};
use crate::html;

/// As the contract has it.
#[derive(Debug, Deserialize)]
pub struct Ticket {
    /// Of which glaze.
    pub glaze: String,
    cone: Option<String>,
    clay: Option<String>,
    version: Option<String>,
    lines: Vec<Line>,
    base_grams: f64,
    dry_grams: f64,
    water_millilitres: f64,
    water_first_millilitres: f64,
    volume_millilitres: f64,
    density: f64,
    cautions: Vec<String>,
    assumptions: Vec<String>,
    cannot_weigh: Vec<Coarse>,
    cost: Cost,
    /// Its batch, where it is booked.
    pub batch: Option<String>,
    stock: Vec<Stock>,
    into: Option<Filled>,
}

#[derive(Debug, Deserialize)]
struct Line {
    material: String,
    grams: f64,
    running: f64,
    weighings: Vec<f64>,
    addition: bool,
    lot: Option<String>,
}

#[derive(Debug, Deserialize)]
struct Coarse {
    material: String,
}

#[derive(Debug, Deserialize)]
struct Cost {
    amount: Option<f64>,
    currency: Option<String>,
    unknown: Vec<String>,
}

#[derive(Debug, Deserialize)]
struct Stock {
    material: String,
    short_grams: f64,
}

#[derive(Debug, Deserialize)]
struct Filled {
    count: u32,
    one: String,
    each_millilitres: f64,
}

/// What a ticket was asked with.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    /// Which glaze.
    pub glaze: String,
    /// How much powder, as typed.
    pub dry: String,
    /// Into what, as typed.
    pub into: String,
}

impl Ticket {
    /// What it would be asked with again.
    pub fn asked(&self) -> Asked {
        Asked {
            glaze: self.glaze.clone(),
            dry: format!("{} g", trimmed(self.base_grams, 1)),
            into: self
                .into
                .as_ref()
                .map_or_else(String::new, |into| format!("{} {}s", into.count, into.one)),
        }
    }

    /// The ticket, lines that are in the bowl already ticked.
    pub fn shown(&self, cup_millilitres: f64, with_prices: bool, ticked: &[String]) -> Html {
        let about = [
            self.cone.as_ref().map(|cone| format!("cone {cone}")),
            self.clay.as_ref().map(|clay| format!("on {clay}")),
            self.version.as_ref().map(|version| format!("version {version}")),
            self.batch.as_ref().map(|batch| format!("batch {batch}")),
        ];
        let about: Vec<String> = about.into_iter().flatten().collect();
        html!(
            "<section class=\"ticket\" data-ticket><h2>{}: {}</h2><p>{}</p>{}{}{}{}{}</section>",
            self.glaze,
            amounts::weight(self.dry_grams),
            about.join(", "),
            self.on_top(),
            self.table(ticked),
            self.water(cup_millilitres),
            self.filled(),
            self.said(with_prices),
        )
    }

    /// Why it is more than was asked for: additions come on top.
    fn on_top(&self) -> Html {
        let more = self.dry_grams - self.base_grams;
        if more < 0.05 {
            return Html::default();
        }
        html!(
            "<p>{} of base, and {} of additions on top.</p>",
            amounts::weight(self.base_grams),
            amounts::weight(more)
        )
    }

    /// Of slurry.
    pub fn volume_millilitres(&self) -> f64 {
        self.volume_millilitres
    }

    /// The water that the powder goes into.
    pub fn water_first_millilitres(&self) -> f64 {
        self.water_first_millilitres
    }

    /// Grams a millilitre.
    pub fn density(&self) -> f64 {
        self.density
    }

    /// What is weighed, a line a powder: by this a form knows whether the recipe is still
    /// the one that was weighed by.
    pub fn weighed(&self) -> String {
        let line = |line: &Line| format!("{} {:.1} g", line.material, line.grams);
        self.lines.iter().map(line).collect::<Vec<_>>().join("; ")
    }

    /// So much water on a kilogram of its powder, in millilitres.
    pub fn per_kilo(&self, millilitres: f64) -> f64 {
        millilitres / self.dry_grams * 1000.0
    }

    fn table(&self, ticked: &[String]) -> Html {
        let row = |(index, line): (usize, &Line)| {
            let weighings: Vec<String> = line.weighings.iter().map(|grams| format!("{grams:.1}")).collect();
            let parts = if weighings.len() > 1 {
                html!("<span class=\"aside\">{}</span>", weighings.join(" + "))
            } else {
                Html::default()
            };
            let more = [
                line.addition.then(|| "on top".to_owned()),
                line.lot.as_ref().map(|lot| format!("lot {lot}")),
            ];
            let more: Vec<String> = more.into_iter().flatten().collect();
            let is_ticked = ticked.iter().any(|one| *one == index.to_string());
            html!(
                "<tr role=\"row\"><td role=\"cell\">{}<span class=\"aside\">{}</span></td><td role=\"cell\" class=\"number\">{}{}</td><td role=\"cell\" class=\"number\">{}</td></tr>",
                fields::tick(
                    &format!("line-{index}"),
                    "ticked",
                    &index.to_string(),
                    &line.material,
                    is_ticked
                ),
                more.join(", "),
                format!("{:.1}", line.grams),
                parts,
                format!("{:.1}", line.running),
            )
        };
        let rows: Html = self.lines.iter().enumerate().map(row).collect();
        html!(
            "<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"What to weigh\"><table role=\"table\"><caption>Tick each as its powder goes in. Interrupted? Weigh the bowl: \
             the running total tells the last line done.</caption>\
             <thead><tr role=\"row\"><th role=\"columnheader\" scope=\"col\">Powder</th><th role=\"columnheader\" scope=\"col\" class=\"number\">Weigh, g</th><th role=\"columnheader\" scope=\"col\" class=\"number\">Bowl, g</th></tr></thead>\
             <tbody>{}</tbody></table></div>",
            rows
        )
    }

    fn water(&self, cup_millilitres: f64) -> Html {
        let cups = |millilitres: f64| amounts::cups(millilitres, cup_millilitres);
        html!(
            "<h3>Water</h3><p><strong>{}</strong> ({} of {} ml). First {} ({}), the powder into it, let it soak; \
             the rest to rinse sieve and bowl. Expect {} at {} g/ml.</p>",
            amounts::litres(self.water_millilitres),
            cups(self.water_millilitres),
            trimmed(cup_millilitres, 0),
            amounts::litres(self.water_first_millilitres),
            cups(self.water_first_millilitres),
            amounts::litres(self.volume_millilitres),
            format!("{:.2}", self.density),
        )
    }

    fn filled(&self) -> Html {
        self.into.as_ref().map_or_else(Html::default, |into| {
            html!(
                "<p>Fill {} {}{}: {}{}.</p>",
                into.count,
                into.one,
                if into.count == 1 { "" } else { "s" },
                amounts::litres(into.each_millilitres),
                if into.count == 1 {
                    ""
                } else {
                    " in each, stirred between"
                },
            )
        })
    }

    fn said(&self, with_prices: bool) -> Html {
        let caution = |text: String| html!("<li>{}</li>", text);
        let coarse = self.cannot_weigh.iter().map(|line| {
            format!(
                "{} is too little for these scales: make more, or weigh it on finer ones.",
                line.material
            )
        });
        let short = self.stock.iter().filter(|stock| stock.short_grams > 0.0).map(|stock| {
            format!(
                "{}: {} more than the shelf says you have.",
                stock.material,
                amounts::weight(stock.short_grams)
            )
        });
        let cautions: Html = self
            .cautions
            .iter()
            .map(|text| capital(&for_page(text)))
            .chain(coarse)
            .chain(short)
            .map(caution)
            .collect();
        let assumed: Html = self
            .assumptions
            .iter()
            .map(|text| html!("<li>{}</li>", for_page(text)))
            .collect();
        let cost = match (&self.cost.amount, &self.cost.currency) {
            (Some(amount), Some(currency)) if with_prices => {
                let least = if self.cost.unknown.is_empty() { "" } else { "at least " };
                html!("<p>Costs {}{} {}.</p>", least, format!("{amount:.2}"), currency)
            }
            _ => Html::default(),
        };
        let assumed = if assumed.is_empty() {
            assumed
        } else {
            html!(
                "<details><summary>Taken for granted</summary><ul>{}</ul></details>",
                assumed
            )
        };
        html!(
            "<h3>Care</h3><ul class=\"caution\">{}</ul>{}{}",
            cautions,
            cost,
            assumed
        )
    }
}
