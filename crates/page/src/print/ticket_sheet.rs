//! The weighing ticket as a page to print: what is read at the scales in big
//! type, a box to tick for each weighing, the running total beside it.

use glost_core::workshop::scales::to_step;

use crate::flow::{Flow, Row};
use crate::number;
use crate::sheet::{Pages, Setting};
use crate::weigh::{WeighPage, volume};

impl WeighPage<'_> {
    /// The pages to print.
    pub fn pages(&self) -> Pages {
        let mut flow = Flow::new();
        self.draw(&mut flow);
        Pages {
            title: self.glaze.name.clone(),
            setting: Setting::AnyPaper,
            drawings: flow.finish(),
        }
    }

    /// The ticket, from where the pages stand.
    pub(crate) fn draw(&self, flow: &mut Flow) {
        flow.title(&self.glaze.name);
        match (self.batch, self.booked) {
            (None, _) => flow.blanks(&["Date", "By", "Batch"]),
            (Some(_), booked) => {
                flow.paragraph(self.batch_line().trim_end());
                if booked.is_none() {
                    flow.blanks(&["Date", "By"]);
                }
            }
        }
        self.draw_weighings(flow);
        self.draw_water(flow);
        flow.paragraph(
            "If interrupted: tick each box as its powder goes in. A tick missing? Weigh the bowl: the running total it comes to is the last line done.",
        );
        for coarse in &self.ticket.cannot_weigh {
            flow.paragraph(&format!(
                "These scales can't weigh {}: half a step is {:.0} % of it. The screen's ticket says the ways out.",
                coarse.material, coarse.error_percent
            ));
        }
        let cautions: Vec<String> = self.ticket.cautions.iter().map(|caution| sentence(caution)).collect();
        flow.warning(&cautions);
    }

    fn draw_weighings(&self, flow: &mut Flow) {
        flow.table_head();
        for line in &self.ticket.lines {
            let mut running = line.running - line.grams;
            for (index, grams) in line.weighings.iter().enumerate() {
                running = to_step(running + grams, self.step_grams);
                let mut rest = Vec::new();
                if line.weighings.len() > 1 {
                    rest.push(format!("{} of {}", index + 1, line.weighings.len()));
                }
                rest.extend(line.is_addition.then(|| "on top".to_owned()));
                rest.extend(line.material.lot.as_ref().map(|lot| format!("lot {lot}")));
                flow.table_row(&Row {
                    name: &line.material.name,
                    rest: &rest.join(", "),
                    figure: &number::grams(*grams, self.step_grams),
                    running: &number::grams(running, self.step_grams),
                });
            }
        }
        flow.gap(3.0);
    }

    fn draw_water(&self, flow: &mut Flow) {
        let ticket = self.ticket;
        let first = 10.0 * (ticket.first_water_millilitres / 10.0).round();
        flow.tick(&format!(
            "Water: {} in all, {} of it first; powder into it, let it soak; the rest to rinse sieve and bowl.",
            self.water_words(),
            volume(first)
        ));
        flow.paragraph(&format!(
            "Expect {} at {:.2} g/ml ({:.2} to {:.2}). The weighed jar decides.",
            volume(ticket.volume_millilitres),
            ticket.density,
            ticket.density_between.0,
            ticket.density_between.1
        ));
        flow.blanks(&["Jar, ml", "Jar, g"]);
    }
}

/// A caution as a sentence.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => format!("{}{}.", first.to_uppercase(), letters.as_str()),
        None => String::new(),
    }
}
