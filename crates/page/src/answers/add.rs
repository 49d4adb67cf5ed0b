//! `glost add`.

use glost_desk::add::{Answer, Sort};

use crate::Shown;
use crate::layout::{Style, indented};
use crate::words::say;

impl Shown for Answer {
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

fn next(answer: &Answer) -> String {
    let name = &answer.name;
    match answer.sort() {
        Sort::Glaze => format!("glost unity \"{name}\"; glost weigh \"{name}\" --dry \"1 kg\"."),
        Sort::Clay => format!(
            "name it in a glaze's file: glost set GLAZE \"clay={name}\"; weigh three fired bars of it dry, soaked and \
             boiled and put the weights into its file: glost clay \"{name}\" says what they mean."
        ),
        _ => format!(
            "glost set \"{name}\" \"price=...\" \"stock=...\" \"lot=...\" as the bag and the invoice say; glost materials \"{name}\" shows it."
        ),
    }
}
