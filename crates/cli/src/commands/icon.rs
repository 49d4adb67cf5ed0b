//! `glost open --icon`: a starter on the desktop, so that nobody types a command to open
//! the bench.

use std::path::{Path, PathBuf};

use glost_chemistry::diagnostic::Diagnostic;
use glost_studio::{Workplace, create_or_renew, make_folder};
use glost_web::{ICON, Program};

use crate::outcome::{Answer, Outcome};

/// How a starter of ours begins: anything else of its name stays as it is.
const HEAD: &str = "[Desktop Entry]\n# A starter of Glost's.\n";
/// Lines of `user-dirs.dirs` begin with it (xdg-user-dirs).
const DESKTOP: &str = "XDG_DESKTOP_DIR=";

/// Puts the starter on the desktop; elsewhere than on Linux says how it is made by hand.
pub(super) fn put(folder: &Path, program: &Program) -> Outcome {
    if !cfg!(target_os = "linux") {
        let call = call(program, folder);
        let text = format!(
            "Here a starter is made by hand. {}\n",
            if cfg!(windows) {
                format!("Right-click the desktop, New, Shortcut, and type: {call}")
            } else {
                format!(
                    "Save these two lines as \"Glost.command\" on the desktop and make it executable (chmod +x):\n#!/bin/sh\nexec {call}"
                )
            }
        );
        return Ok(Answer::yes(text, serde_json::json!({ "file": null })));
    }
    let home = home()?;
    let (place, icon) = (place(&home), picture(&home));
    let called = called(folder);
    let file = place.join(format!("glost-{}.desktop", stem(&called)));
    make_folder(&place)?;
    make_folder(icon.parent().unwrap_or(&home))?;
    create_or_renew(&icon, ICON, "<svg")?;
    create_or_renew(&file, &entry(&called, folder, program, &icon), HEAD)?;
    executable(&file)?;
    let text = format!(
        "{} opens the bench. Some desktops ask once whether it may be started: allow it.\n",
        file.display()
    );
    Ok(Answer::yes(
        text,
        serde_json::json!({ "file": file.display().to_string() }),
    ))
}

/// The studio's name, else its folder's.
fn called(folder: &Path) -> String {
    let named = Workplace::open(Some(folder), &[], folder).map(|workplace| workplace.settings().name.clone());
    // One that can't be read yet is called as its folder.
    let named = named.ok().filter(|name| !name.trim().is_empty());
    let folder = || folder.file_name().map(|name| name.to_string_lossy().into_owned());
    named.or_else(folder).unwrap_or_else(|| "studio".to_owned())
}

fn stem(name: &str) -> String {
    let plain = |sign: char| {
        if sign.is_ascii_alphanumeric() {
            sign.to_ascii_lowercase()
        } else {
            '-'
        }
    };
    name.chars().take(40).map(plain).collect()
}

fn home() -> Result<PathBuf, Diagnostic> {
    let home = std::env::var_os("HOME")
        .map(PathBuf::from)
        .filter(|home| home.is_absolute());
    home.ok_or_else(|| {
        Diagnostic::error("no-own-folder", "there is no folder of your own with a desktop in it").help("set HOME")
    })
}

fn set_folder(name: &str) -> Option<PathBuf> {
    std::env::var_os(name)
        .map(PathBuf::from)
        .filter(|path| path.is_absolute())
}

/// The desktop as the user's own file says, else its usual place.
fn desktop(home: &Path) -> PathBuf {
    let config = set_folder("XDG_CONFIG_HOME").unwrap_or_else(|| home.join(".config"));
    // Without the file, the usual place.
    let said = std::fs::read_to_string(config.join("user-dirs.dirs")).unwrap_or_else(|_| String::new());
    let said = said.lines().find_map(|line| line.trim().strip_prefix(DESKTOP));
    let said = said.map(|path| path.trim_matches('"'));
    match said.map(|path| (path, path.strip_prefix("$HOME/"))) {
        Some((_, Some(below))) => home.join(below),
        Some((path, None)) if path.starts_with('/') => PathBuf::from(path),
        _ => home.join("Desktop"),
    }
}

/// Where a starter is found: on the desktop, else in the menu.
fn place(home: &Path) -> PathBuf {
    let desktop = desktop(home);
    if desktop.is_dir() {
        desktop
    } else {
        data(home).join("applications")
    }
}

fn data(home: &Path) -> PathBuf {
    set_folder("XDG_DATA_HOME").unwrap_or_else(|| home.join(".local/share"))
}

fn picture(home: &Path) -> PathBuf {
    data(home).join("icons/hicolor/scalable/apps/glost.svg")
}

/// The entry as the Desktop Entry Specification 1.5 has it.
fn entry(called: &str, folder: &Path, program: &Program, icon: &Path) -> String {
    format!(
        "{HEAD}Type=Application\nName={}\nComment=The bench in a browser; closing this window closes it\nExec={}\nIcon={}\nTerminal=true\nCategories=Education;Science;\n",
        escaped(&format!("Glost: {called}")),
        escaped(&call(program, folder).replace('%', "%%")),
        escaped(&icon.to_string_lossy()),
    )
}

/// A value's text: one line, backslashes doubled.
fn escaped(text: &str) -> String {
    let line: String = text
        .chars()
        .map(|sign| if sign.is_control() { ' ' } else { sign })
        .collect();
    line.replace('\\', "\\\\")
}

/// The call that opens the bench, each word in quotes.
fn call(program: &Program, folder: &Path) -> String {
    let before = program.before.iter().map(|word| quoted(&word.to_string_lossy()));
    let own = std::iter::once(quoted(&program.file.to_string_lossy())).chain(before);
    let words = own.chain(["open".to_owned(), quoted(&folder.to_string_lossy())]);
    words.collect::<Vec<_>>().join(" ")
}

/// A word in quotes, four signs behind a backslash: as a shell and `Exec` read it.
fn quoted(word: &str) -> String {
    let mut quoted = String::from("\"");
    for sign in word.chars() {
        if matches!(sign, '"' | '`' | '$' | '\\') {
            quoted.push('\\');
        }
        quoted.push(sign);
    }
    quoted.push('"');
    quoted
}

#[cfg(unix)]
fn executable(file: &Path) -> Result<(), Diagnostic> {
    let mode = std::os::unix::fs::PermissionsExt::from_mode(0o755);
    std::fs::set_permissions(file, mode).map_err(|why| {
        Diagnostic::error(
            "cannot-write",
            format!("`{}` can't be made to start: {why}", file.display()),
        )
    })
}

#[cfg(not(unix))]
fn executable(_: &Path) -> Result<(), Diagnostic> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_of_a_starter_is_quoted_as_the_specification_says() {
        assert_eq!(quoted("/home/a b/studio"), "\"/home/a b/studio\"");
        let program = Program {
            file: PathBuf::from("/a\"$%/x"),
            before: vec!["-m".into()],
        };
        let entry = entry("two\nlines", Path::new("/s t"), &program, Path::new("/i.svg"));
        let exec = r#"Exec="/a\\"\\$%%/x" "-m" open "/s t""#;
        assert!(entry.contains(exec), "{entry}");
        assert_eq!(escaped("two\nlines"), "two lines");
        assert_eq!(stem("Quillbeck Pottery"), "quillbeck-pottery");
    }
}
