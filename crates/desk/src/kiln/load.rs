//! A kiln is loaded: the list of what stands in it.

use glost_chemistry::diagnostic::Diagnostic;
use glost_chemistry::glaze::{ATMOSPHERES, Atmosphere, OneOf};
use glost_chemistry::quantity::{Celsius, Cone, Date};
use glost_chemistry::read::folded;
use glost_core::evidence::firings::{Firing, FiringKind};
use glost_core::workshop::hazards::{InKiln, kiln_cautions};

use super::beside_glazes::{atmosphere_of, beside_glazes, is_reduced};
use super::put::{Found, Lookup};
use super::{KilnSaid, Loaded, SaidEntry, cone, day, parse_put};
use crate::words::{bad_option, one_line};
use crate::{Desk, Failure, Said, Words};

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// The firing's name.
    pub firing: Option<String>,
    /// What it is for.
    pub kind: FiringKind,
    /// The cone that is meant.
    pub cone: Option<String>,
    /// Its atmosphere.
    pub atmosphere: Option<Atmosphere>,
    /// The day; none: today.
    pub on: Option<Date>,
    /// What stands in it.
    pub load: Vec<SaidEntry>,
    /// Anything else.
    pub text: Option<String>,
    /// Whether names that no file has are taken.
    pub unlisted: bool,
}

impl crate::Question for Question {
    type Answer = Loaded;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        let kinds = FiringKind::ALL.map(|kind| (kind.word(), kind));
        let (put, names): (Vec<&String>, Vec<&String>) = words.list("said").iter().partition(|text| text.contains('='));
        let load: Vec<SaidEntry> = words
            .list("put")
            .iter()
            .chain(put)
            .map(|text| parse_put(text).map_err(|bad| bad_option("put", bad)))
            .collect::<Result<_, _>>()?;
        if load.is_empty() {
            let error = Diagnostic::error("bad-call", "what stands in the kiln?");
            return Err(error.help("say each with --put: \"14 = 5 on white stoneware at top\""));
        }
        let atmosphere = match words.text("atmosphere") {
            Some(text) => Some(Atmosphere::of_word(text).ok_or_else(|| {
                let error = Diagnostic::error("bad-option", format!("--atmosphere: `{text}` is no choice here"));
                error.help(format!("there are: {}", ATMOSPHERES.join(", ")))
            })?),
            None => None,
        };
        Ok(Question {
            firing: firing_name(words, &names)?,
            kind: words.choice("kind", ("glost", FiringKind::Glost), &kinds)?,
            cone: cone(words, "cone")?,
            atmosphere,
            on: words.read("on", Date::parse)?,
            load,
            text: words.one_line("text"),
            unlisted: words.flag("unlisted"),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Loaded, Failure> {
        desk.workplace().kept_in()?;
        let on = day(self.on, desk.today()?)?;
        let lookup = Lookup::open(desk, self.kind, on, self.unlisted)?;
        let mut found = Vec::new();
        for said in &self.load {
            found.push(lookup.entry(said)?);
        }
        let (cone_meant, of_cone) = self.cone(&found);
        let of_files = atmosphere_of(&found).filter(|_| self.atmosphere.is_none() && self.kind != FiringKind::Biscuit);
        let firing = Firing {
            line: 0,
            id: String::new(),
            on,
            firing: self.firing.clone(),
            kind: self.kind,
            cone_meant,
            atmosphere: self.atmosphere.or(of_files).map(|said| said.to_string()),
            load: found.iter().map(|one| one.entry.clone()).collect(),
            text: self.text.clone(),
            opened: None,
            void: None,
        }
        .named();
        let mut loaded = desk.workplace().add_firings(|book| -> Result<_, Failure> {
            let mut loaded = Loaded::of(firing.clone());
            loaded.said.extend(
                book.standing()
                    .filter(|other| waits_under(other, &firing))
                    .filter_map(same_name),
            );
            if let Some(known) = book.all().iter().find(|other| other.id == firing.id && other.stands()) {
                loaded.firing = known.clone();
                loaded.already = true;
                return Ok((Vec::new(), loaded));
            }
            if book.has_id(&firing.id) {
                let error = Diagnostic::error("load-void", "this very load was written down and taken back");
                return Err(error.help("change what differs now, or add --text").into());
            }
            loaded.firing.line = book.line_count() + 1;
            Ok((vec![firing.to_line()], loaded))
        })?;
        loaded.assumptions.extend(of_cone.map(Said::Kiln));
        loaded.assumptions.extend(said_of(&found).into_iter().map(Said::Kiln));
        loaded
            .assumptions
            .extend(of_files.map(|atmosphere| Said::Kiln(KilnSaid::AtmosphereOfGlazes { atmosphere })));
        loaded.cautions = cautions(
            &found,
            loaded.firing.cone_meant.as_deref(),
            self.atmosphere.or(of_files),
        );
        Ok(loaded)
    }
}

/// The firing's name, by its option or by itself.
fn firing_name(words: &Words, by_itself: &[&String]) -> Result<Option<String>, Diagnostic> {
    let mut names = words
        .one_line("firing")
        .into_iter()
        .chain(by_itself.iter().filter_map(|name| one_line(name)));
    match (names.next(), names.next()) {
        (Some(one), Some(other)) => {
            let error = Diagnostic::error("bad-call", format!("`{one}` and `{other}`: a firing has one name"));
            Err(error.help(
                "quotes keep a name of several words together; what stands in it says how many: \"14 = 5 on buff\"",
            ))
        }
        (name, _) => Ok(name),
    }
}

impl Question {
    /// The cone as said, else the one that all glazes name.
    fn cone(&self, found: &[Found]) -> (Option<String>, Option<KilnSaid>) {
        if self.cone.is_some() {
            return (self.cone.clone(), None);
        }
        let read = |text: &String| Cone::parse(text).ok().map(|cone| cone.name().to_owned());
        let mut cones: Vec<String> = found
            .iter()
            .filter_map(|one| one.cone.as_ref().and_then(read))
            .collect();
        cones.dedup();
        match (self.kind, cones.as_slice()) {
            (FiringKind::Glost | FiringKind::Once, [one]) => {
                (Some(one.clone()), Some(KilnSaid::ConeOfGlazes { cone: one.clone() }))
            }
            _ => (None, Some(KilnSaid::NoCone)),
        }
    }
}

/// What is said of each entry; of those on one clay together.
fn said_of(found: &[Found]) -> Vec<KilnSaid> {
    let mut all: Vec<KilnSaid> = Vec::new();
    for said in found.iter().flat_map(|one| one.said.clone()) {
        let KilnSaid::ClayFromFile { what, clay } = said else {
            all.push(said);
            continue;
        };
        let same = all.iter_mut().find_map(|known| match known {
            KilnSaid::ClayFromFile { what, clay: known } if *known == clay => Some(what),
            _ => None,
        });
        match same {
            Some(known) => known.extend(what),
            None => all.push(KilnSaid::ClayFromFile { what, clay }),
        }
    }
    all
}

/// What a load brings.
fn cautions(found: &[Found], cone: Option<&str>, atmosphere: Option<Atmosphere>) -> Vec<Said> {
    let load: Vec<InKiln<'_>> = found.iter().map(Found::in_kiln).collect();
    let end = cone.and_then(|cone| Cone::parse(cone).ok()?.end_point(None, None));
    let peak = end.and_then(|end| Celsius::new(end.celsius));
    let reduction = is_reduced(found, atmosphere);
    let brought = kiln_cautions(&load, reduction, peak).into_iter().map(KilnSaid::Caution);
    let said = beside_glazes(found, cone, atmosphere).into_iter().chain(brought);
    said.map(Said::Kiln).collect()
}

/// What a load that was written down brings, as its batches and files say today.
pub(super) fn brought_by(desk: &Desk, firing: &Firing) -> Result<Vec<Said>, Failure> {
    let lookup = Lookup::open(desk, firing.kind, firing.on, true)?;
    let found: Vec<Found> = firing.load.iter().filter_map(|entry| lookup.again(entry)).collect();
    Ok(cautions(
        &found,
        firing.cone_meant.as_deref(),
        firing.atmosphere.as_deref().and_then(Atmosphere::of_word),
    ))
}

/// Whether another load of the same name waits to be opened.
fn waits_under(other: &Firing, firing: &Firing) -> bool {
    let name = |firing: &Firing| firing.firing.as_deref().map(folded);
    other.opened.is_none() && other.id != firing.id && name(other).is_some() && name(other) == name(firing)
}

fn same_name(other: &Firing) -> Option<Said> {
    Some(Said::Kiln(KilnSaid::SameName {
        name: other.firing.clone()?,
        id: other.id.clone(),
        on: other.on,
    }))
}
