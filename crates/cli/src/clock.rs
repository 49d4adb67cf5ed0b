//! Today, by the wall clock where the user stands.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::quantity::Date;

/// Tells another day, for tests and rehearsals.
const TODAY: &str = "GLOST_TODAY";

/// The day today, in the machine's own time zone.
///
/// # Errors
/// The day that `GLOST_TODAY` tells is none.
pub fn today() -> Result<Date, Diagnostic> {
    let told = std::env::var(TODAY).ok().filter(|text| !text.is_empty());
    let text = told.unwrap_or_else(|| jiff::ZonedDateTime::now().date().to_string());
    Date::parse(&text).map_err(|bad| {
        Diagnostic::error("no-date", format!("the day today can't be told: {}", bad.message))
            .help(format!("set this machine's clock, or say the day: {TODAY}=2026-11-25"))
    })
}
