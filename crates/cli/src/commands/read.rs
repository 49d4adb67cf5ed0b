use std::io::{self, BufRead, IsTerminal, Read, Write};
use std::path::Path;

use glost_chemistry::diagnostic::{Diagnostic, Source};
use glost_core::intake::notebook::{Reading, Role, read_page, write_reading};
use glost_page::layout::Style;
use glost_page::notebook::ReadPage;
use glost_studio::{MOST_TEXT_BYTES, Workplace, create_new};

use crate::args::ReadOptions;
use crate::outcome::{Answer, Failure, Outcome};

/// Decimals of a written recipe.
const DECIMALS: i32 = 3;

pub(super) fn run(options: &ReadOptions, workplace: &Workplace, style: Style) -> Outcome {
    let mut source = page_of(&options.file, workplace)?;
    for change in &options.instead {
        source = replaced(&source, change)?;
    }
    let mut reading = read(&source, workplace)?;
    if options.file != "-" && io::stdin().is_terminal() && io::stderr().is_terminal() {
        (source, reading) = ask(source, reading, workplace)?;
    }
    let _ = source;
    if let Some(out) = &options.out {
        write(&reading, out)?;
    }
    let written = options.out.as_ref().map(|out| out.display().to_string());
    let page = ReadPage {
        reading: &reading,
        written: written.as_deref(),
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

/// A page from a file, or from stdin for `-`.
pub(super) fn page_of(file: &str, workplace: &Workplace) -> Result<Source, Diagnostic> {
    if file != "-" {
        return workplace.text(file);
    }
    let mut bytes = Vec::new();
    let read = io::stdin().lock().take(MOST_TEXT_BYTES + 1).read_to_end(&mut bytes);
    if let Err(error) = read {
        return Err(Diagnostic::error(
            "cannot-read",
            format!("the page can't be read: {error}"),
        ));
    }
    if bytes.len() as u64 > MOST_TEXT_BYTES {
        return Err(Diagnostic::error("file-too-large", "the page is too large"));
    }
    Source::from_bytes("stdin", &bytes)
}

pub(super) fn read(source: &Source, workplace: &Workplace) -> Result<Reading, Diagnostic> {
    read_page(source, workplace.library(), workplace.settings().cup)
}

/// The page with one wording changed: `iron 1 tablespoon=iron 12 g`.
fn replaced(source: &Source, change: &str) -> Result<Source, Diagnostic> {
    let (old, new) = change.split_once('=').ok_or_else(|| {
        Diagnostic::error("bad-option", format!("--instead: `{change}` has no `=`"))
            .help("write the words of the page, `=`, and what to read instead: \"iron 1 tablespoon=iron 12 g\"")
    })?;
    let (old, new) = (old.trim(), new.trim());
    if old.is_empty() || !source.text.contains(old) {
        return Err(Diagnostic::error(
            "bad-option",
            format!("--instead: the page doesn't say `{old}`"),
        ));
    }
    Ok(Source::from_text(&source.name, &source.text.replacen(old, new, 1)))
}

/// Asks about each open line, one after the other.
fn ask(source: Source, reading: Reading, workplace: &Workplace) -> Result<(Source, Reading), Failure> {
    let mut source = source;
    let mut asked: Vec<String> = Vec::new();
    let mut reading = reading;
    loop {
        let next = reading
            .lines
            .iter()
            .find(|line| line.role == Role::Open && !asked.contains(&line.text));
        let Some(line) = next else { return Ok((source, reading)) };
        let text = line.text.clone();
        let mut question = format!("line {}: `{text}` is open: {}\n", line.line, line.doubts.join("; "));
        if !line.suggestions.is_empty() {
            question.push_str(&format!("  meant may be: {}\n", line.suggestions.join(", ")));
        }
        question.push_str("  write it again (for example: red iron oxide 12 g), or press Enter to leave it open: ");
        crate::complain(&question);
        let _ = io::stderr().flush();
        let mut answer = String::new();
        if io::stdin().lock().read_line(&mut answer).unwrap_or(0) == 0 {
            return Ok((source, reading));
        }
        asked.push(text.clone());
        let answer = answer.trim();
        if !answer.is_empty() && source.text.contains(&text) {
            source = Source::from_text(&source.name, &source.text.replacen(&text, answer, 1));
            reading = read(&source, workplace)?;
        }
    }
}

fn write(reading: &Reading, out: &Path) -> Result<(), Diagnostic> {
    let text = write_reading(reading, DECIMALS)
        .map_err(|error| Diagnostic::error("cannot-write", format!("the glaze can't be written: {error}")))?;
    let text = text.ok_or_else(|| {
        Diagnostic::error("no-base", "no base could be read, so there is no glaze to write")
            .help("leave --out away to see what was read from each line")
    })?;
    create_new(out, &text)
}
