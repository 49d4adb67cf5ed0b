use glost_page::layout::Style;
use serde_json::json;

use crate::args::InitOptions;
use crate::outcome::{Answer, Outcome};

pub(super) fn run(options: &InitOptions, style: Style) -> Outcome {
    let created = glost_studio::init(&options.dir, options.example)?;
    let dir = created.dir.display().to_string();
    let files: Vec<String> = created.files.iter().map(|file| file.display().to_string()).collect();
    let text = glost_page::init::text(&dir, &files, options.example, style);
    Ok(Answer::yes(text, json!({"dir": dir, "files": files})))
}
