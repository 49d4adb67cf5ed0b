//! `glost export`, and the page that explains its columns.

use glost_desk::export::{Answer, RowIs};

use crate::Shown;
use crate::layout::{Align, Style, Table, indented, paragraph};

impl Shown for Answer {
    fn text(&self, style: Style) -> String {
        let headline = format!("The studio as tables, in {}:", self.folder);
        let mut text = style.bold(paragraph(&headline, 0).trim_end());
        text.push('\n');
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Left]);
        for written in &self.tables {
            table.row([
                written.file.clone(),
                written.rows.to_string(),
                row_words(written.row).to_owned(),
            ]);
        }
        text.push_str(&table.text());
        let others = self.files.len() - self.tables.len() - 1;
        if others > 0 {
            text.push_str(&format!(
                "and {others} plans, scripts and tables of clays as they are\n"
            ));
        }
        text.push_str("README.txt there says what the columns are.\n");
        text.push_str(&indented(
            "Not in it: ",
            "comments and the layout of your files. The tables are for other programmes; as a copy to keep, copy the folder itself.",
        ));
        let call = format!("glost import \"{}\" --into NEW_FOLDER", self.folder);
        text.push_str(&indented("Back again: ", &call));
        text
    }
}

fn row_words(row: RowIs) -> &'static str {
    match row {
        RowIs::Setting => "settings",
        RowIs::Material => "materials",
        RowIs::Clay => "clays",
        RowIs::Glaze => "glazes, all but their recipes",
        RowIs::RecipeLine => "lines of recipes",
        RowIs::JournalLine => "lines",
    }
}
