//! What can go wrong, as errors that programs can pass on.

use std::error::Error;
use std::fmt;

use crate::diagnostic::Diagnostic;
use crate::glass::CurveTrouble;
use crate::glaze::{NoAnalysis, UnknownWord};
use crate::oxides::FormulaError;
use crate::quantity::NumberTrouble;

impl fmt::Display for NumberTrouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        with_help(f, &self.message, self.help.as_deref())
    }
}

impl fmt::Display for FormulaError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        with_help(f, &self.message, self.help.as_deref())
    }
}

/// `file:line:column: what is wrong (what to do)`.
impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(place) = &self.place {
            write!(f, "{}:{}:{}: ", place.file, place.mark.line, place.mark.column)?;
        }
        with_help(f, &self.message, self.help.as_deref())
    }
}

impl fmt::Display for NoAnalysis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NoAnalysis::Unknown(names) => write!(f, "nobody tells what is in {}", names.join(" and ")),
            NoAnalysis::NothingLeft => write!(f, "nothing is left after firing"),
        }
    }
}

impl fmt::Display for CurveTrouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CurveTrouble::TooFew => write!(f, "a curve has at least two points"),
            CurveTrouble::NotRising(index) => write!(f, "point {} isn't hotter than the one before", index + 1),
            CurveTrouble::NotFinite(index) => write!(f, "point {} holds no usable number", index + 1),
        }
    }
}

fn with_help(f: &mut fmt::Formatter<'_>, message: &str, help: Option<&str>) -> fmt::Result {
    match help {
        Some(help) => write!(f, "{message} ({help})"),
        None => write!(f, "{message}"),
    }
}

impl fmt::Display for UnknownWord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let message = format!("`{}` is unknown here", self.typed);
        with_help(f, &message, self.help.as_deref())
    }
}

impl Error for UnknownWord {}
impl Error for NumberTrouble {}
impl Error for FormulaError {}
impl Error for Diagnostic {}
impl Error for NoAnalysis {}
impl Error for CurveTrouble {}

#[cfg(test)]
mod tests {
    use crate::oxides::Formula;
    use crate::quantity::parse_number;

    /// A program that only prints its errors says what is wrong, and the cure.
    #[test]
    fn an_error_says_what_is_wrong_and_the_cure() {
        let said = Formula::parse("Si02").unwrap_err().to_string();
        assert!(said.contains("Si0") && said.contains('('), "{said}");
        let said = parse_number("1,5,0").unwrap_err().to_string();
        assert!(said.contains("1,5,0"), "{said}");
    }
}
