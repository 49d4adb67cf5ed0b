//! `glost man DIR`: a manual page for each command, as `man` reads them.

use std::path::Path;

use clap::{Command, CommandFactory};
use clap_mangen::Man;
use glost_studio::{create_or_renew, make_folder};

use crate::args::Arguments;
use crate::outcome::{Answer, Failure, Outcome};

/// How a page begins; a file of that name that begins otherwise stays as it is.
const HEAD: &str = ".ie \\n(.g";

/// Writes the pages into a folder.
pub(crate) fn write(folder: &Path) -> Outcome {
    make_folder(folder)?;
    let mut command = Arguments::command();
    command.build();
    let mut names = Vec::new();
    pages(&command, "glost", folder, &mut names)?;
    let text = format!(
        "{} pages in {}: man {}\n",
        names.len(),
        folder.display(),
        folder.join("glost.1").display()
    );
    Ok(Answer::yes(
        text,
        serde_json::json!({ "folder": folder.display().to_string(), "files": names }),
    ))
}

fn pages(command: &Command, name: &str, folder: &Path, written: &mut Vec<String>) -> Result<(), Failure> {
    let mut page = Vec::new();
    let titled = command.clone().name(name.to_owned()).display_name(name.to_owned());
    Man::new(titled)
        .render(&mut page)
        .map_err(|why| Failure::from(glost_desk::Failure::our_fault("a manual page", why)))?;
    let file = format!("{name}.1");
    create_or_renew(&folder.join(&file), &String::from_utf8_lossy(&page), HEAD)?;
    written.push(file);
    for inner in command
        .get_subcommands()
        .filter(|inner| !inner.is_hide_set() && inner.get_name() != "help")
    {
        pages(inner, &format!("{name}-{}", inner.get_name()), folder, written)?;
    }
    Ok(())
}
