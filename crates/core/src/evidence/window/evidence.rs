//! From the notebook to witnesses: which notes are pooled for one clay and one firing, and
//! why the others aren't.

use crate::evidence::notes::{Note, Notes, Story, TEST_KEYS, Version, Versions, stories};
use glost_chemistry::diagnostic::nearest;
use glost_chemistry::glaze::{FluxList, Glaze};
use glost_chemistry::quantity::Date;
use glost_chemistry::read::folded;

use super::belief::{GlazeBelief, glaze_belief};
use super::kiln::Kiln;
use super::look::{Believed, Edge, Look, Witness};
use super::settings::WindowSettings;

/// A note this much thicker or thinner than the glaze's usual, as a share of it, is listed
/// and not pooled.
const THICKNESS_OFF: f64 = 0.5;

/// Where notes and recipes come from.
#[derive(Debug, Clone, Copy)]
pub struct Notebook<'a> {
    /// The notes.
    pub notes: &'a Notes,
    /// What versions of glazes were.
    pub versions: &'a Versions,
    /// Today's recipes.
    pub glazes: &'a [Glaze],
    /// What counts as flux.
    pub fluxes: &'a FluxList,
    /// Priors and assumptions.
    pub settings: &'a WindowSettings,
}

/// One look as the notebook has it, pooled or set aside.
#[derive(Debug, Clone, PartialEq)]
pub struct EvidenceLine {
    /// Its line in the notebook, from 1.
    pub line: usize,
    /// When it was noted.
    pub on: Date,
    /// The glaze's name, or the tile's code.
    pub glaze: String,
    /// The version as noted.
    pub version: Option<String>,
    /// The firing.
    pub kiln: Kiln,
    /// The batch.
    pub batch: Option<String>,
    /// Days since the kiln, as noted.
    pub age_days: Option<f64>,
    /// How many pieces.
    pub pieces: Option<u32>,
    /// How many had crazed.
    pub crazed: Option<u32>,
    /// How many had shivered.
    pub shivered: Option<u32>,
    /// The witness it belongs to.
    pub witness: Option<usize>,
    /// Why it isn't counted; `None` where it is.
    pub why_not: Option<String>,
}

/// What the notebook says about one clay at one firing.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// The firing.
    pub kiln: Kiln,
    /// Glazes whose pieces were looked at.
    pub witnesses: Vec<Witness>,
    /// The place of the asked glaze's own pieces among them.
    pub own: Option<usize>,
    /// Every look at this clay, in the notebook's order.
    pub lines: Vec<EvidenceLine>,
    /// Notes that can't all be right, a sentence each.
    pub contradictions: Vec<String>,
    /// Sentences that go with it.
    pub said: Vec<String>,
}

/// Gathers what bears on `asked` on a clay. `firing`: as the call names it.
pub fn gather(book: &Notebook<'_>, asked: &Glaze, clay: &str, firing: Option<&str>) -> Evidence {
    let looks: Vec<&Note> = book.notes.standing().filter(|note| looks_at_fit(note)).collect();
    let here: Vec<&Note> = looks.iter().copied().filter(|note| is_on(note, clay)).collect();
    let kilns: Vec<Kiln> = here.iter().map(|note| kiln_of(note)).collect();
    let at_its_cone = |note: &&&Note| {
        let cones = (asked.about.cone.as_deref(), note.cone.as_deref());
        matches!(cones, (Some(asked), Some(noted)) if Kiln::of(None, Some(asked)).is(&Kiln::of(None, Some(noted))))
    };
    let mut said = Vec::new();
    let kiln = match firing {
        Some(text) => {
            let kiln = Kiln::asked(text, &kilns);
            if !kilns.is_empty() && !kilns.iter().any(|other| other.is(&kiln)) {
                said.push(format!("no note on this clay is of {}", kiln.words()));
            }
            kiln
        }
        None => {
            let (kiln, how) = Kiln::usual(asked.about.firing.as_deref(), asked.about.cone.as_deref(), &kilns);
            // A file that names a cone only, where every note of that cone names one firing.
            let named: Vec<Kiln> = here.iter().filter(at_its_cone).map(|note| kiln_of(note)).collect();
            let of_cone = (how.is_none() && !kilns.contains(&kiln))
                .then(|| Kiln::only(&named))
                .flatten();
            if let Some(only) = &of_cone {
                said.push(format!(
                    "the glaze's file names a cone only; all notes of that cone are of {}: those were taken",
                    only.words()
                ));
            }
            said.extend(how);
            of_cone.unwrap_or(kiln)
        }
    };
    let homeless = looks.iter().filter(|note| note.clay.is_none()).count();
    if homeless > 0 {
        said.push(match homeless {
            1 => "one look names no clay and was left out".to_owned(),
            several => format!("{several} looks name no clay and were left out"),
        });
    }
    let mut gatherer = Gatherer {
        book,
        asked,
        kiln,
        stories: stories(here.iter().copied()),
        witnesses: Vec::new(),
        keys: Vec::new(),
        unversioned: Vec::new(),
        said,
    };
    let mut lines: Vec<EvidenceLine> = here.into_iter().map(|note| gatherer.line(note)).collect();
    let Gatherer {
        kiln,
        stories,
        witnesses,
        keys,
        unversioned,
        mut said,
        ..
    } = gatherer;
    if !unversioned.is_empty() {
        said.push(format!(
            "notes without a version count for today's recipe ({})",
            unversioned.join(", ")
        ));
    }
    for line in lines.iter_mut().filter(|line| line.why_not.is_none()) {
        let still_counts = line
            .witness
            .and_then(|index| witnesses.get(index))
            .is_some_and(|witness| {
                let counts = |edge: &Edge| witness.latest(*edge).iter().any(|look| look.line == line.line);
                Edge::BOTH.iter().any(counts)
            });
        if !still_counts {
            line.why_not = Some("a later look at the same pieces counts".to_owned());
        }
    }
    if kiln == Kiln::Unsaid {
        said.extend(several_firings(book, asked, &witnesses));
    }
    let pooled = |story: &&Story<'_>| {
        let of = |line: &EvidenceLine| line.witness.is_some() && story.looks.iter().any(|note| note.line == line.line);
        lines.iter().any(of)
    };
    let odd = stories.iter().filter(pooled).flat_map(Story::contradictions);
    let mut contradictions: Vec<String> = odd
        .map(|sentence| format!("{sentence}; the later look counts"))
        .collect();
    contradictions.extend(stories.iter().filter_map(|story| two_recipes(story, &lines)));
    contradictions.extend(super::contradiction::contradictions(&witnesses, book.settings));
    let own_key = (folded(&asked.name), None);
    Evidence {
        own: keys.iter().position(|key| *key == own_key),
        kiln,
        witnesses,
        lines,
        contradictions,
        said,
    }
}

/// Where notes say no firing and the glazes' files say several: they are pooled all the same.
fn several_firings(book: &Notebook<'_>, asked: &Glaze, witnesses: &[Witness]) -> Option<String> {
    let mut firings: Vec<String> = Vec::new();
    for witness in witnesses {
        let mut glazes = std::iter::once(asked).chain(book.glazes);
        let known = glazes.find(|glaze| folded(&glaze.name) == folded(&witness.glaze))?;
        let words = Kiln::of(known.about.firing.as_deref(), known.about.cone.as_deref()).words();
        if !firings.contains(&words) {
            firings.push(words);
        }
    }
    (firings.len() > 1).then(|| {
        format!(
            "these notes say no firing, and their glazes' files say several ({}): they are taken as one; \
             say firing or cone in the notes to part them",
            firings.join(", ")
        )
    })
}

/// A batch that is noted under two recipes: somebody used its name again, or a later look
/// was noted under today's recipe.
fn two_recipes(story: &Story<'_>, lines: &[EvidenceLine]) -> Option<String> {
    let of = |line: &&EvidenceLine| line.witness.is_some() && story.looks.iter().any(|note| note.line == line.line);
    let mut pooled = lines.iter().filter(of);
    let first = pooled.next()?;
    let other = pooled.find(|line| line.witness != first.witness)?;
    Some(format!(
        "lines {} and {} note one batch under two recipes: counted as different pieces; if they are the same ones, \
         say the version they were made of",
        first.line, other.line
    ))
}

/// Whether a note says anything about crazing or shivering.
fn looks_at_fit(note: &Note) -> bool {
    note.crazed.is_some() || note.shivered.is_some()
}

fn is_on(note: &Note, clay: &str) -> bool {
    note.clay.as_deref().is_some_and(|noted| folded(noted) == folded(clay))
}

fn kiln_of(note: &Note) -> Kiln {
    Kiln::of(note.firing.as_deref(), note.cone.as_deref())
}

/// What was done to the pieces before they were looked at, where a note says so.
fn test_of(note: &Note) -> Option<&str> {
    let named = note.other.iter().find(|(key, _)| TEST_KEYS.contains(&key.as_str()));
    named
        .and_then(|(_, value)| value.as_str())
        .filter(|test| !test.trim().is_empty())
}

/// A recipe as it was when pieces were made of it.
enum Recipe<'a> {
    Today(&'a Glaze),
    Then(&'a Version),
    /// Of a glaze, by its name, that no file describes.
    Untold(String),
}

struct Gatherer<'a> {
    book: &'a Notebook<'a>,
    asked: &'a Glaze,
    kiln: Kiln,
    /// Looks at the same pieces.
    stories: Vec<Story<'a>>,
    witnesses: Vec<Witness>,
    /// Of each witness: the glaze's folded name, and the version where it isn't today's recipe.
    keys: Vec<(String, Option<String>)>,
    /// Glazes with notes that name no version.
    unversioned: Vec<String>,
    said: Vec<String>,
}

impl<'a> Gatherer<'a> {
    fn say(&mut self, sentence: String) {
        if !self.said.contains(&sentence) {
            self.said.push(sentence);
        }
    }

    fn line(&mut self, note: &Note) -> EvidenceLine {
        let name = note.glaze.as_ref().or(note.tile.as_ref());
        let (witness, why_not) = match self.pool(note) {
            Ok(witness) => (Some(witness), None),
            Err(why) => (None, Some(why)),
        };
        EvidenceLine {
            line: note.line,
            on: note.on,
            glaze: name.cloned().unwrap_or_default(),
            version: note.version.clone(),
            kiln: kiln_of(note),
            batch: note.batch.clone(),
            age_days: note.age_days,
            pieces: note.pieces,
            crazed: note.crazed,
            shivered: note.shivered,
            witness,
            why_not,
        }
    }

    /// The witness that a note's look was given to, or why it is set aside.
    fn pool(&mut self, note: &Note) -> Result<usize, String> {
        let kiln = kiln_of(note);
        if !kiln.is(&self.kiln) {
            return Err(format!("another firing ({}) is another clay", kiln.words()));
        }
        let Some(name) = note.glaze.as_deref() else {
            return Err("a tile whose recipe the notebook doesn't name".to_owned());
        };
        if let Some(test) = test_of(note) {
            return Err(format!(
                "after {}: evidence of its own, not of time on the shelf",
                test.trim()
            ));
        }
        let recipe = self.recipe(name, note.version.as_deref())?;
        let Some(pieces) = note.pieces.filter(|pieces| *pieces > 0) else {
            return Err("nobody said how many pieces were looked at".to_owned());
        };
        if let Some(usual) = self.usual_thickness(name)
            && let Some(own) = note.thickness_mm
            && (own - usual).abs() > THICKNESS_OFF * usual
        {
            return Err(format!("{own} mm thick where {usual} mm is usual"));
        }
        let age_days = self.age(note);
        let witness = self.witness(name, recipe);
        self.witnesses[witness].looks.push(Look {
            age_days,
            pieces,
            crazed: note.crazed,
            shivered: note.shivered,
            batch: note.batch.as_deref().map(folded),
            line: note.line,
            noted_on: note.on.to_string(),
        });
        Ok(witness)
    }

    /// Days since the kiln: as noted, else from an earlier look at the same pieces.
    fn age(&mut self, note: &Note) -> f64 {
        if let Some(days) = note.age_days {
            return days;
        }
        let mut of_these = self.stories.iter();
        let story = of_these.find(|story| story.looks.iter().any(|look| look.line == note.line));
        let fired = story.and_then(|story| story.looks.iter().filter_map(|look| look.fired_on()).min());
        let days = fired.map(|day| note.on.days_since(day)).filter(|days| *days >= 0);
        days.map_or_else(
            || {
                self.say(format!(
                    "line {} says no age: its pieces count as straight from the kiln, the least that they can prove",
                    note.line
                ));
                0.0
            },
            |days| days as f64,
        )
    }

    /// The recipe that a note speaks of.
    fn recipe(&mut self, name: &str, version: Option<&str>) -> Result<Recipe<'a>, String> {
        let wanted = folded(name);
        let everywhere = std::iter::once(self.asked).chain(self.book.glazes);
        let Some(today) = everywhere.clone().find(|glaze| folded(&glaze.name) == wanted) else {
            if let Some(then) = version.and_then(|version| self.book.versions.get(name, version)) {
                return Ok(Recipe::Then(then));
            }
            let meant = nearest(name, everywhere.map(|glaze| glaze.name.as_str()))
                .map(|near| format!("; if {near} is meant, take the note back and write it anew"))
                .unwrap_or_default();
            self.say(format!(
                "no file tells what {name} is: its pieces speak for a glaze of unknown expansion{meant}"
            ));
            return Ok(Recipe::Untold(name.to_owned()));
        };
        let Some(version) = version else {
            if !self.unversioned.contains(&today.name) {
                self.unversioned.push(today.name.clone());
            }
            return Ok(Recipe::Today(today));
        };
        let Some(then) = self.book.versions.get(name, version) else {
            if self.book.versions.of(name).next().is_some() {
                return Err(format!("what version {version} was is not recorded"));
            }
            self.say(format!(
                "no version of {} is recorded: notes of {version} count for today's recipe",
                today.name
            ));
            return Ok(Recipe::Today(today));
        };
        let now = Version::of(today, version, then.on);
        if then.same_recipe(&now) {
            Ok(Recipe::Today(today))
        } else {
            Ok(Recipe::Then(then))
        }
    }

    fn witness(&mut self, name: &str, recipe: Recipe<'a>) -> usize {
        let version = match &recipe {
            Recipe::Today(_) | Recipe::Untold(_) => None,
            Recipe::Then(then) => Some(folded(&then.version)),
        };
        let key = (folded(name), version);
        if let Some(known) = self.keys.iter().position(|other| *other == key) {
            return known;
        }
        let (glaze, version, believed) = match recipe {
            Recipe::Untold(name) => (name, None, Believed::unknown(self.book.settings)),
            Recipe::Today(glaze) => (glaze.name.clone(), None, self.believed(glaze)),
            Recipe::Then(then) => {
                let glaze = then.glaze();
                self.say(format!(
                    "{} has changed since {}: those pieces speak for a glaze of their own",
                    glaze.name, then.version
                ));
                let believed = self.believed(&glaze);
                (glaze.name, Some(then.version.clone()), believed)
            }
        };
        self.keys.push(key);
        self.witnesses.push(Witness {
            glaze,
            version,
            believed,
            looks: Vec::new(),
        });
        self.witnesses.len() - 1
    }

    /// What is believed of a glaze, its sentences said.
    fn believed(&mut self, glaze: &Glaze) -> Believed {
        let GlazeBelief { believed, said, .. } = glaze_belief(glaze, self.book.fluxes, self.book.settings);
        for sentence in said {
            self.say(sentence);
        }
        believed
    }

    /// The median thickness, mm, over all notes of a glaze that tell it.
    fn usual_thickness(&self, name: &str) -> Option<f64> {
        let wanted = folded(name);
        let notes = self.book.notes.standing();
        let own = notes.filter(|note| note.glaze.as_deref().is_some_and(|other| folded(other) == wanted));
        let mut told: Vec<f64> = own
            .filter_map(|note| note.thickness_mm)
            .filter(|mm| *mm > 0.0)
            .collect();
        told.sort_by(f64::total_cmp);
        let upper = told.get(told.len() / 2)?;
        let lower = told.get((told.len() - 1) / 2)?;
        Some(0.5 * (lower + upper))
    }
}
