//! The weighing ticket as a page to print: what is read at the scales in big
//! type, a box to tick for each weighing, the running total beside it.

use glost_core::workshop::scales::to_step;
use glost_desk::weigh::Answer;

use crate::flow::{Flow, Row};
use crate::number;
use crate::sheet::{Pages, Setting};
use crate::words::say;
use crate::words::ticket::{about_line, batch_line, sieve_line, volume, water_words};

/// The pages to print.
pub(crate) fn pages(answer: &Answer) -> Pages {
    let mut flow = Flow::new();
    draw(answer, &mut flow);
    Pages {
        title: answer.glaze.clone(),
        setting: Setting::AnyPaper,
        drawings: flow.finish(),
    }
}

/// The ticket, from where the pages stand.
fn draw(answer: &Answer, flow: &mut Flow) {
    flow.title(&answer.glaze);
    if let Some(about) = about_line(answer) {
        flow.paragraph(&about);
    }
    match (&answer.batch, &answer.booking) {
        (None, _) => flow.blanks(&["Date", "By", "Batch"]),
        (Some(_), booked) => {
            flow.paragraph(batch_line(answer).trim_end());
            if booked.is_none() {
                flow.blanks(&["Date", "By"]);
            }
        }
    }
    draw_weighings(answer, flow);
    draw_water(answer, flow);
    flow.paragraph(
        "If interrupted: tick each box as its powder goes in. A tick missing? Weigh the bowl: the running total it comes to is the last line done.",
    );
    for coarse in &answer.cannot_weigh {
        flow.paragraph(&format!(
            "These scales can't weigh {}: half a step is {:.0} % of it. The screen's ticket says the ways out.",
            coarse.material, coarse.error_percent
        ));
    }
    let cautions: Vec<String> = answer.cautions.iter().map(|caution| sentence(&say(caution))).collect();
    flow.warning(&cautions);
}

fn draw_weighings(answer: &Answer, flow: &mut Flow) {
    flow.table_head();
    for line in &answer.lines {
        let mut running = line.running - line.grams;
        for (index, grams) in line.weighings.iter().enumerate() {
            running = to_step(running + grams, answer.step.grams());
            let mut rest = Vec::new();
            if line.weighings.len() > 1 {
                rest.push(format!("{} of {}", index + 1, line.weighings.len()));
            }
            rest.extend(line.addition.then(|| "on top".to_owned()));
            rest.extend(line.lot.as_ref().map(|lot| format!("lot {lot}")));
            flow.table_row(&Row {
                name: &line.material,
                rest: &rest.join(", "),
                figure: &number::grams(*grams, answer.step.grams()),
                running: &number::grams(running, answer.step.grams()),
            });
        }
    }
    flow.gap(3.0);
}

fn draw_water(answer: &Answer, flow: &mut Flow) {
    let first = 10.0 * (answer.water_first_millilitres / 10.0).round();
    flow.tick(&format!(
        "Water: {} in all, {} of it first; powder into it, let it soak; the rest to rinse sieve and bowl.",
        water_words(answer),
        volume(first)
    ));
    if let Some(sieve) = &answer.sieve {
        flow.tick(&format!("Sieve: {}", sieve_line(sieve)));
    }
    flow.paragraph(&format!(
        "Expect {} at {:.2} g/ml ({:.2} to {:.2}). The weighed jar decides.",
        volume(answer.volume_millilitres),
        answer.density,
        answer.density_low,
        answer.density_high
    ));
    flow.blanks(&["Jar, ml", "Jar, g"]);
}

/// A caution as a sentence.
fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => format!("{}{}.", first.to_uppercase(), letters.as_str()),
        None => String::new(),
    }
}
