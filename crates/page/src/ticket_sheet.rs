//! The weighing ticket as a page to print: what is read at the scales in big
//! type, a box to tick for each weighing, the running total beside it.

use glost_core::weigh::to_step;

use crate::number;
use crate::sheet;
use crate::weigh::{WeighPage, volume};

impl WeighPage<'_> {
    /// The whole page.
    pub fn html(&self) -> String {
        sheet::document(&self.glaze.name, &self.html_ticket())
    }

    /// The ticket as a part of a page.
    pub fn html_ticket(&self) -> String {
        let ticket = self.ticket;
        let mut body = format!(
            "<section class=\"ticket\">\n<h1>{}</h1>\n",
            sheet::escape(&self.glaze.name)
        );
        match self.batch {
            Some(_) => {
                body.push_str(&sheet::paragraph(self.batch_line().trim_end()));
                if self.booked.is_none() {
                    body.push_str(&sheet::blanks(&["Date", "By"]));
                }
            }
            None => body.push_str(&sheet::blanks(&["Date", "By", "Batch"])),
        }
        body.push_str("<table>\n<tr><th></th><th>weigh, g</th><th>running</th></tr>\n");
        for line in &ticket.lines {
            let mut running = line.running - line.grams;
            for (index, grams) in line.weighings.iter().enumerate() {
                running = to_step(running + grams, self.step_grams);
                let mut rest = Vec::new();
                if line.weighings.len() > 1 {
                    rest.push(format!("{} of {}", index + 1, line.weighings.len()));
                }
                rest.extend(line.is_addition.then(|| "on top".to_owned()));
                rest.extend(line.material.lot.as_ref().map(|lot| format!("lot {lot}")));
                body.push_str(&format!(
                    "<tr><td><span class=\"box\"></span>{} <span class=\"small\">{}</span></td><td class=\"number\">{}</td><td class=\"running\">{}</td></tr>\n",
                    sheet::escape(&line.material.name),
                    sheet::escape(&rest.join(", ")),
                    number::grams(*grams, self.step_grams),
                    number::grams(running, self.step_grams)
                ));
            }
        }
        body.push_str("</table>\n");
        body.push_str(&sheet::tick(&format!(
            "Water: {} in all, about {} of it first; powder into it, let it soak; the rest to rinse sieve and bowl.",
            self.water_words(),
            volume(ticket.first_water_millilitres)
        )));
        body.push_str(&sheet::paragraph(&format!(
            "Expect {} at {:.2} g/ml ({:.2} to {:.2}). The weighed jar decides.",
            volume(ticket.volume_millilitres),
            ticket.density,
            ticket.density_between.0,
            ticket.density_between.1
        )));
        body.push_str(&sheet::blanks(&["Jar, ml", "Jar, g"]));
        body.push_str(&sheet::paragraph(
            "If interrupted: tick each box as its powder goes in. A tick missing? Weigh the bowl: the running total it comes to is the last line done.",
        ));
        for coarse in &ticket.cannot_weigh {
            body.push_str(&sheet::paragraph(&format!(
                "These scales can't weigh {}: half a step is {:.0} % of it. The screen's ticket says the ways out.",
                coarse.material, coarse.error_percent
            )));
        }
        body.push_str("<div class=\"warning\">\n");
        for caution in &ticket.cautions {
            body.push_str(&format!("<p class=\"small\">{}.</p>\n", sheet::escape(caution)));
        }
        body.push_str("</div>\n</section>\n");
        body
    }
}
