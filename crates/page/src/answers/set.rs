//! `glost set`.

use glost_desk::set::Answer;

use crate::Shown;
use crate::layout::{Style, paragraph};

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let head = if self.written {
            format!("Changed {} in {}:", self.name, self.file)
        } else {
            format!("Nothing to change in {}: {} says so already.", self.file, self.name)
        };
        let mut text = style.bold(&head);
        text.push('\n');
        for change in &self.changes {
            let was = match &change.before {
                Some(before) if *before == change.after => "as before".to_owned(),
                Some(before) => format!("was {before}"),
                None => "new".to_owned(),
            };
            let after = match change.after.as_str() {
                "" => "left out, since it was worked out for other water",
                after => after,
            };
            let line = format!("line {}: {}: {after}  ({was})", change.line, change.key);
            text.push_str(&format!("  {}", paragraph(&line, 4)));
        }
        text
    }
}
