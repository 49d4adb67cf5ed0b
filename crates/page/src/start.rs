//! `glost start`: what was made, the first ticket, the label, what is next.

use glost_core::quantity::Millilitres;
use glost_core::start::{Slop, in_cups};
use serde_json::{Value, json};

use crate::label::LabelPage;
use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;
use crate::sheet;

/// One line to weigh.
#[derive(Debug, Clone)]
pub struct WeighLine {
    /// The material.
    pub material: String,
    /// Grams to the scales' step.
    pub grams: f64,
    /// In how many weighings.
    pub weighings: usize,
}

/// The first day.
#[derive(Debug)]
pub struct StartPage<'a> {
    /// The folder that was made.
    pub dir: &'a str,
    /// Its files.
    pub files: &'a [String],
    /// What to weigh.
    pub lines: &'a [WeighLine],
    /// Powder and water.
    pub slop: &'a Slop,
    /// The scales' step in grams.
    pub step: f64,
    /// The label.
    pub label: LabelPage<'a>,
    /// What is uncertain about a recipe that was read.
    pub doubts: &'a [String],
    /// The page that was written.
    pub page: Option<&'a str>,
}

impl StartPage<'_> {
    /// As JSON, with the names that tickets have.
    pub fn json(&self) -> Value {
        let slop = self.slop;
        json!({
            "dir": self.dir,
            "files": self.files,
            "ticket": {
                "glaze": self.label.label.glaze,
                "lines": self.lines.iter().map(|line| json!({
                    "material": line.material, "grams": line.grams, "weighings": line.weighings,
                })).collect::<Vec<_>>(),
                "dry_grams": slop.dry_grams,
                "water_millilitres": slop.water_millilitres,
                "volume_millilitres": slop.volume_millilitres.value,
                "volume_low": slop.volume_millilitres.low,
                "volume_high": slop.volume_millilitres.high,
                "density": slop.density.value,
                "density_low": slop.density.low,
                "density_high": slop.density.high,
                "powder_density": slop.powder_density.0,
                "powder_density_plus_minus": slop.powder_density.1,
            },
            "label": self.label.json(None),
            "doubts": self.doubts,
            "page": self.page,
        })
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(&format!("Your studio is in {}. Here is the first ticket.", self.dir));
        text.push_str("\n\n");
        text.push_str(&format!("TICKET  {}, {}\n\n", self.label.label.glaze, self.weight()));
        let mut table = Table::new(&[Align::Left, Align::Left, Align::Right, Align::Left]);
        for line in self.lines {
            table.row([
                "[ ]".to_owned(),
                line.material.clone(),
                format!("{} g", number::grams(line.grams, self.step)),
                weighings(line),
            ]);
        }
        table.row(["[ ]".to_owned(), "water".to_owned(), self.water(), String::new()]);
        text.push_str(&table.text());
        text.push('\n');
        for step in self.steps() {
            text.push_str(&indented("[ ] ", &step));
        }
        text.push('\n');
        text.push_str(&paragraph(&self.outcome(), 0));
        text.push_str("\nLABEL\n\n");
        text.push_str(&self.label.text(style));
        text.push('\n');
        for doubt in self.doubts {
            text.push_str(&indented("Doubt: ", doubt));
        }
        for next in self.next() {
            text.push_str(&indented("Next: ", &next));
        }
        text
    }

    /// Ticket and label to print.
    pub fn html(&self) -> String {
        let glaze = &self.label.label.glaze;
        let mut body = format!(
            "<section class=\"ticket\">\n<h1>{}, {}</h1>\n",
            sheet::escape(glaze),
            sheet::escape(&self.weight())
        );
        body.push_str(&sheet::blanks(&["Date", "By"]));
        body.push_str("<table>\n");
        let mut row = |name: &str, amount: &str, rest: &str| {
            body.push_str(&format!(
                "<tr><td><span class=\"box\"></span>{} <span class=\"small\">{}</span></td><td class=\"number\">{}</td></tr>\n",
                sheet::escape(name),
                sheet::escape(rest),
                sheet::escape(amount)
            ));
        };
        for line in self.lines {
            let grams = format!("{} g", number::grams(line.grams, self.step));
            row(&line.material, &grams, &weighings(line));
        }
        row("water", &self.water(), "");
        body.push_str("</table>\n");
        for step in self.steps() {
            body.push_str(&sheet::tick(&step));
        }
        body.push_str(&sheet::paragraph(&self.outcome()));
        body.push_str(&sheet::blanks(&["Jar volume, ml", "Jar weight, g"]));
        body.push_str("</section>\n");
        body.push_str(&self.label.html_label());
        sheet::document(glaze, &body)
    }

    fn weight(&self) -> String {
        let grams = self.slop.dry_grams;
        if grams >= 1000.0 {
            format!("{} kg dry", number::plain(grams / 1000.0))
        } else {
            format!("{} g dry", number::plain(grams))
        }
    }

    fn water(&self) -> String {
        water_words(self.slop.water_millilitres, self.label.cup)
    }

    fn steps(&self) -> Vec<String> {
        let most = water_words(self.slop.water_millilitres * 2.0 / 3.0, self.label.cup);
        vec![
            format!("Water first: about {most} into the bucket; keep the rest to rinse cup and sieve."),
            "Respirator on. Powder into the water, not water onto the powder. Let it soak, then stir.".to_owned(),
            "Through the sieve; rinse with the rest of the water; lid and label on.".to_owned(),
            "If interrupted: tick what is in, cover it, and note the time here.".to_owned(),
        ]
    }

    fn outcome(&self) -> String {
        let slop = self.slop;
        let (volume, density) = (slop.volume_millilitres, slop.density);
        format!(
            "Makes about {:.1} l ({:.2} to {:.2}) at about {:.2} g/ml ({:.2} to {:.2}), if the powder's own density is {} +/- {} g/ml (common practice). Weigh a jar of it: grams over millilitres is its density.",
            volume.value / 1000.0,
            volume.low / 1000.0,
            volume.high / 1000.0,
            density.value,
            density.low,
            density.high,
            number::plain((slop.powder_density.0 * 100.0).round() / 100.0),
            number::plain(slop.powder_density.1)
        )
    }

    fn next(&self) -> Vec<String> {
        let dir = self.dir;
        let print = match self.page {
            Some(page) => format!("open {page} in a browser and print it."),
            None => format!(
                "cd {dir}, then `glost label \"{}\" --page label.html` makes a label to print.",
                self.label.label.glaze
            ),
        };
        vec![
            print,
            "dip a tile, fire it as always, look at it after a day, a month and half a year, and write down what you see."
                .to_owned(),
            "weigh three fired bars of your clay dry, soaked and boiled, and put the weights into its file in clays/."
                .to_owned(),
        ]
    }
}

fn weighings(line: &WeighLine) -> String {
    if line.weighings > 1 {
        format!("in {} weighings", line.weighings)
    } else {
        String::new()
    }
}

fn water_words(millilitres: f64, cup: Millilitres) -> String {
    match in_cups(millilitres, cup) {
        Some(cups) => format!("{cups} ({millilitres:.0} ml)"),
        None => format!("{millilitres:.0} ml"),
    }
}
