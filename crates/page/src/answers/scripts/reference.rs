//! `glost script reference`.

use glost_desk::scripts::reference::{Answer, Entry, FormCard, Found, KeyCard, KindCard, PointCard, Reference};

use crate::Shown;
use crate::layout::{Style, indented, paragraph, width};

impl Shown for Answer {
    fn is_verbatim(&self) -> bool {
        true
    }

    fn text(&self, style: Style) -> String {
        match self {
            Answer::Reference(reference) => whole(reference, style),
            Answer::Found(found) => part(found, style),
            Answer::Definitions { file } => format!("Definitions for editors are in {file}.\n"),
        }
    }
}

fn whole(reference: &Reference, style: Style) -> String {
    let mut text = style.bold("Everything that a script may use.");
    text.push_str("\n\n");
    text.push_str(&paragraph(
        "`glost script new KIND NAME` writes a script that works, with tests; `glost script test NAME` runs them. In the examples `u` is `glaze.unity` and `t` the tester of a `fn test_...(t)`.",
        0,
    ));
    text.push_str(&format!(
        "\n{}\n",
        style.bold(paragraph("The kinds of scripts, and the function of each that is called", 0).trim_end())
    ));
    kinds(&mut text, &reference.kinds);
    text.push_str(&format!("\n{}\n", style.bold("The language")));
    points(&mut text, &reference.language);
    text.push_str(&format!(
        "\n{}\n",
        style.bold(paragraph("What a script says of itself: const ABOUT = #{ ... };", 0).trim_end())
    ));
    keys(&mut text, &reference.about);
    text.push_str(&format!("\n{}\n", style.bold("An option in ABOUT")));
    keys(&mut text, &reference.option);
    text.push_str(&format!(
        "\n{}\n",
        style.bold("What a script may use up, and what isn't there")
    ));
    for bound in &reference.bounds {
        text.push_str(&indented("  ", &format!("{bound}.")));
    }
    text.push_str(&indented("  ", reference.sealed));
    text.push_str(&format!("\n{}\n", style.bold("Around a script")));
    for told in &reference.around {
        text.push_str(&indented("  ", told));
    }
    for group in reference.groups {
        let entries: Vec<&Entry> = reference.entries.iter().filter(|entry| entry.group == *group).collect();
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

/// What has the word, in the order of the whole.
fn part(found: &Found, style: Style) -> String {
    let mut text = String::new();
    kinds(&mut text, &found.kinds);
    points(&mut text, &found.language);
    keys(&mut text, &found.keys);
    let mut group = "";
    for entry in &found.entries {
        if entry.group != group {
            group = entry.group;
            text.push_str(&format!("{}\n", style.bold(group)));
        }
        text.push_str(&shown(&[entry]));
    }
    text
}

fn kinds(text: &mut String, kinds: &[KindCard]) {
    for KindCard {
        entry,
        about,
        gives,
        asked_by,
        ..
    } in kinds
    {
        text.push_str(&format!("  {entry}\n"));
        text.push_str(&indented("      ", &format!("{about} Asked by `{asked_by}`.")));
        text.push_str(&indented("      Gives back: ", gives));
    }
}

fn points(text: &mut String, points: &[PointCard]) {
    for point in points {
        text.push_str(&indented("  ", &format!("{}. {}", point.title, point.about)));
        text.push_str(&indented("      ", point.example));
    }
}

fn keys(text: &mut String, keys: &[KeyCard]) {
    for key in keys {
        let needed = if key.needed { " (needed)" } else { "" };
        text.push_str(&format!("  {}{needed}\n", key.key));
        text.push_str(&indented("      ", key.about));
        text.push_str(&indented("      such as ", &format!("{}: {}", key.key, key.example)));
    }
}

fn shown(entries: &[&Entry]) -> String {
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
                line.chars().take(width()).collect::<String>() + "\n"
            })
            .collect()
    };
    text.push_str(&indented("      ", first.about));
    if !matches!(first.form, FormCard::Property | FormCard::Name) {
        text.push_str(&indented("      such as ", &first.example));
    }
    text
}
