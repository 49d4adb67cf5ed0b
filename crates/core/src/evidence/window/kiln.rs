//! Which firing a piece had: another firing is another clay.

use glost_chemistry::diagnostic::{Diagnostic, did_you_mean, nearest};
use glost_chemistry::read::folded;
use serde::Serialize;

use super::said::FitSaid;

/// A firing as notes name it.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kiln {
    /// By its name.
    Named(String),
    /// By a cone alone.
    Cone(String),
    /// Not said.
    Unsaid,
}

/// A cone's text for comparing: `cone 6` is `6`, `04` isn't `4`.
fn bare_cone(text: &str) -> String {
    let folded = folded(text);
    let bare = folded
        .trim_start_matches("cone")
        .trim_start_matches(['^', 'Δ', '△', 'δ']);
    bare.trim().to_owned()
}

impl Kiln {
    /// From what is said: the name goes before the cone.
    pub fn of(firing: Option<&str>, cone: Option<&str>) -> Kiln {
        match (firing, cone) {
            (Some(name), _) => Kiln::Named(name.trim().to_owned()),
            (None, Some(cone)) => Kiln::Cone(bare_cone(cone)),
            (None, None) => Kiln::Unsaid,
        }
    }

    /// Whether it is the same firing.
    pub fn is(&self, other: &Kiln) -> bool {
        match (self, other) {
            (Kiln::Named(one), Kiln::Named(other)) => folded(one) == folded(other),
            (Kiln::Cone(one), Kiln::Cone(other)) => one == other,
            (Kiln::Unsaid, Kiln::Unsaid) => true,
            _ => false,
        }
    }

    /// In words: `spring glost`, `cone 6`, `no firing said`.
    pub fn words(&self) -> String {
        match self {
            Kiln::Named(name) => name.clone(),
            Kiln::Cone(cone) => format!("cone {cone}"),
            Kiln::Unsaid => "no firing said".to_owned(),
        }
    }

    /// The firing asked for in a call, by name or by cone, among those that are known.
    ///
    /// # Errors
    /// None of them, with the nearest: a slip of the pen must not answer for no piece at all.
    pub fn asked(text: &str, known: &[Kiln]) -> Result<Kiln, Diagnostic> {
        let ways = [Kiln::Named(text.trim().to_owned()), Kiln::Cone(bare_cone(text))];
        let found = ways.into_iter().find_map(|way| known.iter().find(|kiln| kiln.is(&way)));
        if let Some(kiln) = found {
            return Ok(kiln.clone());
        }
        let names: Vec<String> = known
            .iter()
            .filter(|kiln| **kiln != Kiln::Unsaid)
            .map(Kiln::words)
            .collect();
        let near = nearest(text, names.iter().map(String::as_str)).map(did_you_mean);
        let all = match names.as_slice() {
            [] => "no note and no glaze names a firing or a cone yet".to_owned(),
            names => format!("known here: {}", names.join(", ")),
        };
        let error = Diagnostic::error("unknown-firing", format!("nothing here was fired to `{}`", text.trim()));
        Err(error.help(near.map_or(all.clone(), |near| format!("{near} {all}"))))
    }

    /// The firing of a glaze of which only its file speaks: by name where notes name it; else
    /// by cone; else the notes that say none; else the one firing that all notes name. With what
    /// is said of it where it isn't what the file says first.
    pub fn usual(firing: Option<&str>, cone: Option<&str>, noted: &[Kiln]) -> (Kiln, Option<FitSaid>) {
        let first = Kiln::of(firing, cone);
        let mut ways = vec![first.clone()];
        ways.extend(cone.map(|cone| Kiln::of(None, Some(cone))));
        ways.push(Kiln::Unsaid);
        let found = ways.into_iter().find(|kiln| noted.iter().any(|other| other.is(kiln)));
        if let Some(kiln) = found {
            let said = (!kiln.is(&first)).then(|| FitSaid::OtherFiring {
                wanted: first,
                taken: kiln.clone(),
            });
            return (kiln, said);
        }
        match Kiln::only(noted) {
            Some(only) if first == Kiln::Unsaid => (only.clone(), Some(FitSaid::OnlyFiring(only))),
            _ => (first, None),
        }
    }

    /// The one firing that all of these are; `None` where they are several or none.
    pub fn only(noted: &[Kiln]) -> Option<Kiln> {
        let (first, others) = noted.split_first()?;
        others.iter().all(|other| other.is(first)).then(|| first.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_goes_before_a_cone_and_nothing_is_mixed() {
        let spring = Kiln::of(Some("spring glost"), Some("6"));
        let six = Kiln::of(None, Some("cone 6"));
        assert!(spring.is(&Kiln::Named("Spring  Glost".to_owned())) && !spring.is(&six));
        assert!(!Kiln::of(None, Some("04")).is(&Kiln::of(None, Some("4"))));
        let noted = [six.clone(), six.clone()];
        assert_eq!(Kiln::usual(Some("spring glost"), Some("6"), &noted).0, six);
        assert_eq!(Kiln::usual(None, None, &noted).0, six);
        assert_eq!(Kiln::usual(None, Some("04"), &noted).0, Kiln::Cone("04".to_owned()));
        let both = [six.clone(), spring.clone()];
        assert_eq!(Kiln::usual(Some("spring glost"), Some("6"), &both).0, spring);
        assert_eq!(Kiln::usual(None, None, &both).0, Kiln::Unsaid);
        assert_eq!(
            (Kiln::asked("6", &both), Kiln::asked("Spring Glost", &both)),
            (Ok(six), Ok(spring))
        );
        let slip = Kiln::asked("sprng glost", &both).map_err(|error| error.help);
        assert_eq!(
            slip,
            Err(Some(
                "did you mean `spring glost`? known here: cone 6, spring glost".to_owned()
            ))
        );
        assert!(Kiln::asked("con 9", &both).is_err() && Kiln::asked("cone 9", &both).is_err());
    }
}
