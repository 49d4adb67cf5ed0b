//! `glost add`.

use glost_desk::add::{Answer, LotAnswer, Opened, Sort, ThingAnswer};

use crate::Shown;
use crate::layout::{Style, indented};
use crate::number;
use crate::words::say;

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        match self {
            Answer::Thing(thing) => thing.text(style),
            Answer::Lot(lot) => lot.text(style),
        }
    }
}

impl Shown for LotAnswer {
    fn text(&self, style: Style) -> String {
        let LotAnswer { material, lot, .. } = self;
        let head = format!(
            "Lot {lot} of {material} is open, in {} on line {}.",
            self.file, self.line
        );
        let mut text = style.bold(&head);
        text.push('\n');
        let open = |one: &Opened| format!("{} {} kg", one.lot, number::plain(one.stock_grams / 1000.0));
        let open: Vec<String> = self.open.iter().map(open).collect();
        text.push_str(&indented(
            "Open now: ",
            &format!(
                "{}. A batch is weighed out of the first that isn't empty; glost weigh --lot \"{material}={lot}\" takes it \
                 from this one.",
                open.join(", ")
            ),
        ));
        text.push_str(&indented(
            "Test: ",
            "a tile of the new lot beside one of the old, before a bucket is mixed of it.",
        ));
        text
    }
}

impl Shown for ThingAnswer {
    fn text(&self, style: Style) -> String {
        let mut text = style.bold(&format!(
            "Added {} {}, in {}.",
            self.sort().word(),
            self.name,
            self.file
        ));
        text.push('\n');
        if self.over_shipped {
            text.push_str(&indented(
                "",
                "It goes before the one of that name that comes with Glost.",
            ));
        }
        for said in &self.said {
            text.push_str(&indented("Read: ", &say(said)));
        }
        text.push_str(&indented("Next: ", &next(self)));
        text
    }
}

fn next(answer: &ThingAnswer) -> String {
    let name = &answer.name;
    match answer.sort() {
        Sort::Glaze => format!("glost unity \"{name}\"; glost weigh \"{name}\" --dry \"1 kg\"."),
        Sort::Clay => format!(
            "name it in a glaze's file: glost set GLAZE \"clay={name}\"; weigh three fired bars of it dry, soaked and \
             boiled and put the weights into its file: glost clay \"{name}\" says what they mean."
        ),
        _ => {
            let missing: Vec<String> = ["price", "stock", "lot"]
                .into_iter()
                .filter(|key| !answer.given.iter().any(|given| given == key))
                .map(|key| format!(" \"{key}=...\""))
                .collect();
            let shows = format!("glost materials \"{name}\" shows it.");
            if missing.is_empty() {
                return shows;
            }
            format!(
                "glost set \"{name}\"{} as the bag and the invoice say; {shows}",
                missing.concat()
            )
        }
    }
}
