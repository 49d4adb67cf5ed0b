//! Which firing a piece had: another firing is another clay. Firings to one cone count
//! together, whatever their names, but for one whose cones missed or that is set apart.

use std::fmt::Write;

use glost_chemistry::quantity::Cone;
use glost_chemistry::read::folded;
use serde::Serialize;

use crate::evidence::firings::Firing;
use crate::evidence::notes::Note;

use super::said::FitSaid;

/// What pieces of one firing count with.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kiln {
    /// With those of that name alone.
    Named(String),
    /// With all firings to a cone.
    Cone(String),
    /// Not said.
    Unsaid,
}

/// A cone's text for comparing: `cone 6` is `6`, `04` isn't `4`.
pub(super) fn bare_cone(text: &str) -> String {
    // As notes have it; a large notebook asks for each line.
    if text.bytes().all(|sign| sign.is_ascii_digit()) {
        return text.to_owned();
    }
    if let Ok(cone) = Cone::parse(text) {
        return cone.name().to_owned();
    }
    let folded = folded(text);
    let bare = folded
        .trim_start_matches("cone")
        .trim_start_matches(['^', 'Δ', '△', 'δ']);
    bare.trim().to_owned()
}

impl Kiln {
    /// From what is said: firings to one cone count together, so the cone goes before the name.
    pub fn of(firing: Option<&str>, cone: Option<&str>) -> Kiln {
        match (firing, cone) {
            (_, Some(cone)) => Kiln::Cone(bare_cone(cone)),
            (Some(name), None) => Kiln::Named(name.trim().to_owned()),
            (None, None) => Kiln::Unsaid,
        }
    }

    /// A firing of its own: one whose cones missed, or that is set apart. One without a name
    /// goes by its record's id.
    fn alone(name: Option<&str>, id: Option<&str>, cone: Option<&str>, missed: bool) -> Kiln {
        let mut own = match (name, id) {
            (Some(name), _) => name.trim().to_owned(),
            (None, Some(id)) => format!("firing {id}"),
            (None, None) => return Kiln::of(None, cone),
        };
        if let Some(cone) = cone {
            let _ = write!(own, ", cone {}", bare_cone(cone));
            own.push_str(if missed { " bent" } else { "" });
        }
        Kiln::Named(own)
    }

    /// Of a note's pieces.
    pub fn of_note(note: &Note) -> Kiln {
        let (firing, cone) = (note.firing.as_deref(), note.cone.as_deref());
        let missed = note.missed_cones().is_some();
        match missed || note.is_apart() {
            true => Kiln::alone(firing, note.kiln_id(), cone, missed),
            false => Kiln::of(firing, cone),
        }
    }

    /// Of a firing in the kiln's book.
    pub fn of_firing(firing: &Firing) -> Kiln {
        let (name, cone) = (firing.firing.as_deref(), firing.cone());
        let missed = firing.missed().is_some();
        match missed || firing.is_apart() {
            true => Kiln::alone(name, Some(&firing.id), cone, missed),
            false => Kiln::of(name, cone),
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

    /// The firing of a glaze of which only its file speaks: by cone where notes are of it; else
    /// by name; else the notes that say none; else the one firing that all notes name. With what
    /// is said of it where it isn't what the file says first.
    pub fn usual(firing: Option<&str>, cone: Option<&str>, noted: &[Kiln]) -> (Kiln, Option<FitSaid>) {
        let first = Kiln::of(firing, cone);
        let mut ways = vec![first.clone()];
        ways.extend(firing.map(|name| Kiln::of(Some(name), None)));
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
    fn a_cone_goes_before_a_name_and_no_cones_are_mixed() {
        let spring = Kiln::of(Some("spring glost"), None);
        let six = Kiln::of(None, Some("cone 6"));
        assert!(Kiln::of(Some("spring glost"), Some("6")).is(&six));
        assert!(spring.is(&Kiln::Named("Spring  Glost".to_owned())) && !spring.is(&six));
        assert!(!Kiln::of(None, Some("04")).is(&Kiln::of(None, Some("4"))));
        let noted = [six.clone(), six.clone()];
        assert_eq!(
            Kiln::usual(Some("spring glost"), Some("6"), &noted),
            (six.clone(), None)
        );
        assert_eq!(Kiln::usual(None, None, &noted).0, six);
        assert_eq!(Kiln::usual(None, Some("04"), &noted).0, Kiln::Cone("04".to_owned()));
        let both = [six.clone(), spring.clone()];
        assert_eq!(Kiln::usual(Some("spring glost"), Some("6"), &both).0, six);
        assert_eq!(Kiln::usual(Some("spring glost"), Some("9"), &both).0, spring);
        assert_eq!(Kiln::usual(None, None, &both).0, Kiln::Unsaid);
    }
}
