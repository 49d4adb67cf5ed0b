//! `glost init`.

use glost_desk::init::Answer;

use crate::Shown;
use crate::layout::{Style, indented};

impl Shown for Answer {
    /// What was made, and what to do next.
    fn text(&self, style: Style) -> String {
        let mut text = style.bold(&format!("Made a studio in {}.", self.dir));
        text.push_str("\n\n");
        for file in &self.files {
            text.push_str(&format!("  {file}\n"));
        }
        text.push('\n');
        let next = if self.example {
            "cd into it and run `glost swap \"Lamplight clear\" --out \"feldspar A\"`, then put your own materials and glazes in place of these."
        } else {
            "put your suppliers' sheets into materials/, one glaze a file into glazes/, then `glost unity` and the glaze's name."
        };
        text.push_str(&indented("Next: ", next));
        text
    }
}
