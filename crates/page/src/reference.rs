//! `glost script reference`.

use serde_json::{Value, json};

use crate::layout::{Style, WIDTH, indented, paragraph};

/// One thing that a script may use.
#[derive(Debug, Clone)]
pub struct EntryView {
    /// The heading it stands under.
    pub group: &'static str,
    /// property, method, function, operator, index or name.
    pub form: &'static str,
    /// Its name.
    pub name: &'static str,
    /// How it is written.
    pub signature: String,
    /// What it gives, in a word.
    pub returns: &'static str,
    /// One line about it.
    pub about: &'static str,
    /// An example that works.
    pub example: String,
}

/// The page.
#[derive(Debug, Clone)]
pub struct ReferencePage<'a> {
    /// The kinds of scripts with their entry functions.
    pub kinds: Vec<(String, String)>,
    /// The headings, in order.
    pub groups: &'a [&'a str],
    /// Everything, in the order of the shelf.
    pub entries: Vec<EntryView>,
}

impl ReferencePage<'_> {
    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold("Everything that a script may use.");
        text.push_str("\n\n");
        text.push_str(&paragraph(
            "A script holds `const ABOUT = #{ api: 1, kind: \"...\", title: \"...\", source: \"...\" };`, functions and constants. Its kind names the function that is called:",
            0,
        ));
        for (_, entry) in &self.kinds {
            text.push_str(&format!("  {entry}\n"));
        }
        text.push_str(&paragraph(
            "`glost script new KIND NAME` writes one that works, with tests. In the examples `u` is `glaze.unity` and `t` the tester of a `fn test_...(t)`.",
            0,
        ));
        for group in self.groups {
            let entries: Vec<&EntryView> = self.entries.iter().filter(|entry| entry.group == *group).collect();
            if entries.is_empty() {
                continue;
            }
            text.push_str(&format!("\n{}\n", style.bold(group)));
            let mut index = 0;
            while index < entries.len() {
                // Names of which the same is said stand together: the oxides.
                let alike = entries[index..]
                    .iter()
                    .take_while(|other| other.about == entries[index].about && other.form == entries[index].form)
                    .count();
                text.push_str(&shown(&entries[index..index + alike]));
                index += alike;
            }
        }
        text
    }

    /// For programs.
    pub fn json(&self) -> Value {
        json!({
            "kinds": self.kinds.iter().map(|(kind, entry)| json!({"kind": kind, "entry": entry})).collect::<Vec<_>>(),
            "entries": self.entries.iter().map(|entry| json!({
                "group": entry.group,
                "form": entry.form,
                "name": entry.name,
                "signature": entry.signature,
                "returns": entry.returns,
                "about": entry.about,
                "example": entry.example,
            })).collect::<Vec<_>>(),
        })
    }
}

fn shown(entries: &[&EntryView]) -> String {
    let Some(first) = entries.first() else {
        return String::new();
    };
    let mut text = if entries.len() > 2 {
        let more: Vec<&str> = entries[1..].iter().map(|entry| entry.name).collect();
        indented("  ", &format!("{}, {}", first.signature, more.join(", ")))
    } else {
        entries
            .iter()
            .map(|entry| {
                let line = format!("  {} -> {}", entry.signature, entry.returns);
                line.chars().take(WIDTH).collect::<String>() + "\n"
            })
            .collect()
    };
    text.push_str(&indented("      ", first.about));
    if first.form != "property" && first.form != "name" {
        text.push_str(&indented("      such as ", &first.example));
    }
    text
}
