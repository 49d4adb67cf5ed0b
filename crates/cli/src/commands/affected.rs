use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::material::Material;
use glost_core::recipes::affected::{Affected, Event, Shelf, affected, retest_order};
use glost_page::affected::AffectedPage;
use glost_page::layout::Style;
use glost_studio::{FoundGlaze, Origin, Workplace};

use crate::args::{AffectedOptions, Common};
use crate::outcome::{Answer, Failure, Outcome};

/// Work longer than this tells how far it is.
const QUIET: Duration = Duration::from_secs(1);

pub(super) fn run(options: &AffectedOptions, common: &Common, workplace: &Workplace, style: Style) -> Outcome {
    if let Some(notice) = workplace.notice() {
        crate::complain(&format!("{notice}\n"));
    }
    let (glazes, complaints) = workplace.all_glazes();
    if glazes.is_empty() {
        return Err(if complaints.is_empty() {
            no_glazes().into()
        } else {
            complaints.into()
        });
    }
    for complaint in &complaints {
        crate::complain(&glost_page::diagnostic::text(complaint));
    }
    let (event, words) = event(options, common, workplace, &glazes)?;
    let found = all(&glazes, &event)?;
    let page = AffectedPage {
        event: words,
        order: retest_order(&found),
        found,
        glazes: glazes.len(),
        skipped: complaints.len(),
    };
    Ok(Answer::yes(page.text(style), page.json()))
}

fn no_glazes() -> Diagnostic {
    Diagnostic::error("no-glazes", "there are no glazes here").help("put recipes into glazes/, one a file")
}

fn event(
    options: &AffectedOptions,
    common: &Common,
    workplace: &Workplace,
    glazes: &[FoundGlaze],
) -> Result<(Event, String), Failure> {
    if let Some(name) = &options.out {
        let library = &glazes[0].library;
        let material = super::material(library, "out", name)?;
        let words = format!("{} is gone", material.name);
        return Ok((Event::Out(material), words));
    }
    let Some(path) = &options.new_lot else {
        return Err(no_glazes().into());
    };
    // The new sheets are read as a layer on top of everything, then compared by name.
    let mut files = common.materials.clone();
    files.push(path.clone());
    let here = std::env::current_dir().unwrap_or_default();
    let renewed = Workplace::open(common.studio.as_deref(), &files, &here)?;
    let source = workplace.text(&path.to_string_lossy())?;
    let (entries, _) = glost_chemistry::material::read_materials(&source);
    let lots: Vec<Arc<Material>> = entries
        .iter()
        .filter_map(|entry| renewed.library().find(&entry.name.text).cloned())
        .collect();
    let known = |lot: &Arc<Material>| glazes[0].library.find(&lot.name).is_some();
    if let Some(strange) = lots.iter().find(|lot| !known(lot)) {
        let message = format!(
            "no material is called `{}` so far: a new lot keeps the old name",
            strange.name
        );
        return Err(Diagnostic::error("unknown-material", message)
            .maybe_help(glazes[0].library.suggestion(&strange.name))
            .into());
    }
    let names: Vec<&str> = lots.iter().map(|lot| lot.name.as_str()).collect();
    let words = format!("new lot of {}", names.join(" and "));
    Ok((Event::NewLot(lots), words))
}

/// Every glaze that is touched, in the studio's order; worked out on all cores,
/// the same on any number of them.
#[allow(clippy::disallowed_methods, reason = "a worker that is lost is a fault")]
fn all(glazes: &[FoundGlaze], event: &Event) -> Result<Vec<Affected>, glost_desk::Failure> {
    let next = AtomicUsize::new(0);
    let started = Instant::now();
    let workers = std::thread::available_parallelism()
        .map_or(1, |count| count.get())
        .min(glazes.len().max(1));
    let work = |tells: bool| {
        let mut found = Vec::new();
        let mut told = started;
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(one) = glazes.get(index) else { return found };
            let shelf = Shelf {
                library: &one.library,
                fluxes: &one.settings.fluxes,
                shipped_may_come: one.origin == Origin::Shipped,
            };
            if let Some(affected) = affected(&one.glaze, event, &shelf) {
                found.push((index, affected));
            }
            if tells && started.elapsed() > QUIET && told.elapsed() > QUIET {
                told = Instant::now();
                crate::complain(&format!("{index} of {} glazes\n", glazes.len()));
            }
        }
    };
    let mut found: Vec<(usize, Affected)> = std::thread::scope(|scope| {
        let helpers: Vec<_> = (1..workers).map(|_| scope.spawn(|| work(false))).collect();
        let mut found = work(true);
        for helper in helpers {
            // A worker that was lost takes its glazes with it: no answer then.
            let own = helper.join();
            found.extend(own.map_err(|_| glost_desk::Failure::our_fault("affected", "a worker was lost"))?);
        }
        Ok::<_, glost_desk::Failure>(found)
    })?;
    found.sort_by_key(|(index, _)| *index);
    Ok(found.into_iter().map(|(_, affected)| affected).collect())
}
