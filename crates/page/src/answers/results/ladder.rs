//! The table of a ladder.

use glost_core::tiles::mixture::LadderLesson;

use crate::layout::{Align, Table, indented};
use crate::number;
use crate::words::results::{ResultsPage, chance};

impl ResultsPage<'_> {
    pub(super) fn ladder_table(&self, lesson: &LadderLesson) -> String {
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right]);
        table.row(["", "added", &self.value, "of 100, over firings", "chance it holds"]);
        for (place, rung) in lesson.rungs.iter().enumerate() {
            let (_, seen) = self.made(place);
            let failing = &rung.failing;
            table.row([
                self.name(place).to_owned(),
                format!("{} %", number::plain((1e6 * rung.percent).round() / 1e6)),
                seen.trim_end_matches(self.value.as_str()).trim_end().to_owned(),
                format!(
                    "{} ({} to {})",
                    self.number(failing.mean),
                    self.number(failing.low),
                    self.number(failing.high)
                ),
                chance(rung.chance),
            ]);
        }
        let holds = if self.age.is_some_and(|age| !age.enough()) {
            "Holds: fewer than 1 in 10 pieces fail by that age, over many firings."
        } else {
            "Holds: fewer than 1 in 10 pieces fail, over many firings."
        };
        format!("{}{}", table.text(), indented("", holds))
    }
}
