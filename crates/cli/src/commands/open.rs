//! `glost open`: the bench in a browser, answered by this same program.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command as Process, Stdio};

use glost_chemistry::diagnostic::Diagnostic;
use glost_studio::find_studio;
use glost_web::{Addresses, ForPhones, Keeping, Opening, Program};

use crate::args::{Common, Format, OpenOptions};
use crate::asked::commands;
use crate::outcome::{Failure, Outcome};

pub(super) fn run(options: &OpenOptions, common: &Common) -> Outcome {
    let folder = folder(options, common)?;
    let program = program()?;
    if options.icon {
        return super::icon::put(&folder, &program);
    }
    let opening = Opening {
        folder,
        program,
        commands: commands(),
        port: options.port,
        until_stdin: options.until_stdin,
        phones: (options.phone.is_some() || options.class).then(|| ForPhones {
            address: options.phone.flatten(),
            with_class: options.class,
        }),
    };
    glost_web::open(opening, |addresses, keeping| told(options, common, addresses, keeping))?;
    Err(Failure::Written(0))
}

/// How this same program is called again.
fn program() -> Result<Program, glost_desk::Failure> {
    if let Some(program) = crate::PROGRAM.get() {
        return Ok(program.clone());
    }
    let own = std::env::current_exe();
    let own = own.map_err(|why| glost_desk::Failure::our_fault("finding the program's own file", why))?;
    Ok(Program {
        file: own,
        before: Vec::new(),
    })
}

/// The folder said, else the studio that the call stands in, else where it stands.
fn folder(options: &OpenOptions, common: &Common) -> Result<PathBuf, Diagnostic> {
    let here = std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
    let said = options.dir.as_ref().or(common.studio.as_ref());
    let folder = match said {
        Some(said) => here.join(said),
        None => find_studio(&here).unwrap_or(here),
    };
    if folder.is_dir() {
        return Ok(folder);
    }
    let message = format!("there is no folder {}", folder.display());
    Err(Diagnostic::error("no-folder", message)
        .help("make it first: an empty one is asked the five questions of the first day"))
}

fn told(options: &OpenOptions, common: &Common, addresses: &Addresses, keeping: &Keeping) -> Result<(), Diagnostic> {
    let text = match common.format {
        Format::Json => serde_json::to_string(addresses)
            .map_err(|why| Diagnostic::error("our-fault", format!("the address can't be told: {why}")))?,
        _ if options.no_browser => format!("The bench is open; the way in, once: {}", addresses.open),
        _ => format!("The bench is open: {} (Ctrl-C closes it)", addresses.address),
    };
    if let Some(phones) = &addresses.phones {
        crate::complain(&format!(
            "Phones come in at {phones} by plain http: only in a network you trust. Pair them on the page Phones. School networks often keep phones apart; the firewall may ask.\n"
        ));
    }
    let mut stdout = std::io::stdout().lock();
    // Whoever started it may not read what it says.
    let _ = writeln!(stdout, "{text}").and_then(|()| stdout.flush());
    if !options.no_browser {
        show(&keeping.way_in(&addresses.open)?, addresses);
    }
    Ok(())
}

/// Sends the browser to a file that leads in.
fn show(way_in: &Path, addresses: &Addresses) {
    let opener = if cfg!(target_os = "macos") {
        "open"
    } else if cfg!(windows) {
        "explorer"
    } else {
        "xdg-open"
    };
    let started = Process::new(opener)
        .arg(way_in)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn();
    if started.is_err() {
        crate::complain(&format!(
            "no browser could be started; open this, once: {}\n",
            addresses.open
        ));
    }
}
