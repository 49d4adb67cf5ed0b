//! `glost formula`.

use glost_chemistry::oxides::Oxide;
use glost_desk::formula::Answer;

use crate::Shown;
use crate::layout::{Align, Style, Table};
use crate::number;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let fired = &self.fired;
        let loss = fired.loss_on_ignition_percent;
        let change = if loss < 0.0 {
            format!("gains {:.2} % in firing", -loss)
        } else if loss == 0.0 {
            "loses nothing in firing".to_owned()
        } else {
            format!("loses {loss:.2} % in firing")
        };
        let mut text = style.bold(&format!(
            "{}: {:.3} g a mole, {change}.",
            self.formula, fired.grams_per_mole
        ));
        text.push_str("\n\n");
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right]);
        table.row(["wt %", "as it is", "fired"]);
        let percent = &self.fired_percent;
        for line in &fired.written {
            let oxide = Oxide::from_formula(&line.name);
            let after = oxide.map_or(0.0, |oxide| percent.get(oxide));
            table.row([line.name.clone(), format!("{:.2}", line.weight_percent), dash(after)]);
        }
        for (oxide, after) in percent.iter() {
            if !fired.written.iter().any(|line| line.name == oxide.formula()) {
                table.row([oxide.to_string(), "-".to_owned(), dash(after)]);
            }
        }
        text.push_str(&table.text());
        text.push_str("\nFired in air: water, carbonate, sulphate, nitrate and fluorine leave.\n");
        text
    }
}

fn dash(amount: f64) -> String {
    if amount > 0.0 {
        number::percent(amount)
    } else {
        "-".to_owned()
    }
}
