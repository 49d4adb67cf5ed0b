//! Checks and limits on a glaze; on many with [`over`].

mod accepting;
mod for_many;
mod on_clays;
pub mod over;
pub mod part;
mod seen;
mod turns;

pub use accepting::{Accept, AcceptedHere};
pub(crate) use for_many::ForMany;
use on_clays::OnClays;
pub use seen::{Seen, SeenOnClay};

use std::sync::Arc;

use glost_chemistry::diagnostic::{Diagnostic, suggestion};
use glost_chemistry::glaze::{Additions, FiredChemistry, FluxList, Glaze, IronCount, OneOf, USES, Use};
use glost_core::evidence::ware::Clay;
use glost_core::rules::{Circumstances, Finding, Level, NotAccepted};
use glost_script::{Broken, Checked, Kind, OfKind, Scene, Script, Suits};
use glost_studio::{FoundGlaze, Workplace};
use serde::{Serialize, Serializer};

use accepting::NotAcceptedJson;

use crate::pieces::Pieces;
use crate::rulebook::{Rulebook, scene};
use crate::unity::{self, IronReading, UnitySaid};
use crate::wire::FindingJson;
use crate::{Desk, Failure, Said, Words, lab};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The glaze's name or file.
    pub glaze: String,
    /// Which checks, and on what.
    pub checks: Checks,
    /// A finding to be accepted.
    pub accept: Option<Accept>,
}

/// Which checks run, and on what.
#[derive(Debug, Clone, PartialEq)]
pub struct Checks {
    /// Scripts by name or file; none: every check that says it applies.
    pub scripts: Vec<String>,
    /// What the glaze is for, one of the known uses.
    pub usage: Option<Use>,
    /// The clay it goes on, a file or a name.
    pub clay: Option<String>,
    /// Options of the scripts, `name=value`.
    pub set: Vec<String>,
}

impl Checks {
    fn from_words(words: &Words) -> Result<Checks, Diagnostic> {
        Ok(Checks {
            usage: words.text("use").map(usage).transpose()?,
            scripts: words.list("script").to_vec(),
            clay: words.owned("clay"),
            set: words.list("set").to_vec(),
        })
    }

    /// The scripts asked for, else every check that says it applies and every limits
    /// script that names its cones. What doesn't load is an error only where it was named.
    fn scripts(
        &self,
        workplace: &Workplace,
        book: &Rulebook,
        usage: Option<Use>,
        scene: &Scene,
    ) -> Result<OfKind, Failure> {
        if !self.scripts.is_empty() {
            let found: Result<Vec<_>, _> = self.scripts.iter().map(|name| book.script(workplace, name)).collect();
            return Ok(OfKind {
                scripts: found?,
                ..OfKind::default()
            });
        }
        if !self.set.is_empty() {
            let error = Diagnostic::error("bad-option", "--set needs the --script whose option it sets");
            return Err(error.help("or set it for good in studio.yaml under `scripts:`").into());
        }
        let mut found = book.store.of_kind(Kind::CHECK);
        let limits = book.store.of_kind(Kind::LIMITS);
        let with_cones = limits.scripts.into_iter().filter(|script| script.about.cones.is_some());
        found.scripts.extend(with_cones);
        found.scripts.retain(|script| script.applies_to(usage, scene));
        // One that doesn't even say its kind is among both.
        for broken in limits.broken {
            if found.broken.iter().all(|known| known.name != broken.name) {
                found.broken.push(broken);
            }
        }
        found.off.extend(limits.off);
        Ok(found)
    }
}

fn usage(word: &str) -> Result<Use, Diagnostic> {
    Use::of_word(word).ok_or_else(|| {
        Diagnostic::error("unknown-word", format!("--use: `{word}` is not a use")).maybe_help(suggestion(word, USES))
    })
}

impl crate::Question for Question {
    type Answer = Answer;

    fn from_words(words: &Words) -> Result<Question, Diagnostic> {
        Ok(Question {
            checks: Checks::from_words(words)?,
            accept: Accept::from_words(words)?,
            glaze: words.required("glaze")?.to_owned(),
        })
    }

    fn ask(&self, desk: &Desk) -> Result<Answer, Failure> {
        let found = desk.one_glaze(&self.glaze)?;
        let answer = self.judged(desk, &found, None)?;
        let laboratory = lab::latest(desk, &found, None)?;
        Ok(Answer { laboratory, ..answer })
    }
}

/// The clay, where it has a file; one that the call names must.
fn clay_there(workplace: &Workplace, clay: Option<&str>, asked: Option<&str>) -> Result<Option<Clay>, Failure> {
    Ok(match (clay, asked) {
        (Some(name), Some(_)) => Some(workplace.clay(name)?.clay),
        // A clay that only the recipe names may have no file: nothing is lost.
        (Some(name), None) => workplace.clay(name).ok().map(|found| found.clay),
        (None, _) => None,
    })
}

/// What ran, and what doesn't go with the glaze's firing.
struct Ran {
    scripts: Vec<Arc<Script>>,
    checked: Checked,
    limits: Option<Vec<String>>,
    not_for_this: Vec<Arc<Script>>,
}

impl Question {
    /// What is found of its glaze, and nothing else, where the caller asks of many glazes.
    ///
    /// # Errors
    /// As for the whole answer.
    pub(crate) fn findings(&self, desk: &Desk, many: &ForMany) -> Result<Vec<Finding>, Failure> {
        let found = desk.one_glaze(&self.glaze)?;
        Ok(self.judged(desk, &found, Some(many))?.findings)
    }

    /// The answer but for the laboratory's figures; of one of many glazes also but for what
    /// hangs on how iron is counted.
    fn judged(&self, desk: &Desk, found: &FoundGlaze, many: Option<&ForMany>) -> Result<Answer, Failure> {
        let gathered = many.and_then(|many| many.pieces.as_ref());
        let workplace = desk.workplace();
        let asked = self.checks.clay.as_deref();
        let clay = asked.or(found.glaze.about.clay.as_deref());
        let told_for = match self.checks.scripts.as_slice() {
            [] => seen::told_for(self.checks.usage),
            _ => None,
        };
        let pieces = match gathered {
            Some(_) if told_for.is_none() => None,
            _ => Pieces::on(desk, clay, told_for.is_some())?,
        };
        let seen = match (told_for, &pieces) {
            (Some(usage), Some(pieces)) => Some(Seen::look_up(desk, pieces, found, usage, asked)?),
            (Some(_), None) => Some(Seen::NoClay),
            (None, _) => None,
        };
        let clay_name = clay;
        let notebook = match (gathered, pieces, clay) {
            (_, Some(pieces), Some(clay)) => pieces.that_speak(desk, found, clay).map(Arc::new),
            (Some(gathered), None, Some(clay)) => gathered
                .speak(&found.glaze, clay, &found.settings.fluxes)
                .then(|| gathered.notebook.clone()),
            _ => None,
        };
        desk.put_away(notebook.clone());
        let clay = clay_there(workplace, clay, asked)?;
        let own;
        let book = match many.and_then(|many| many.book(found)) {
            Some(book) => book,
            None => {
                own = Rulebook::open(workplace, &found.settings)?;
                &own
            }
        };
        let glaze = Arc::new(found.glaze.clone());
        let usage = self.checks.usage;
        let purpose = usage.or(glaze.about.usage);
        let of = Circumstances::of(&glaze, (clay_name, clay.as_ref()), purpose);
        let scene = scene(&found.library, &found.settings, &found.origin, clay, usage);
        let scene = book.with_limits(Arc::new(Scene {
            notebook,
            ..Scene::clone(&scene)
        }));
        let OfKind { scripts, broken, off } = self.checks.scripts(workplace, book, purpose, &scene)?;
        desk.tell(scripts.iter().flat_map(|script| script.cautions.iter().cloned()));
        let mut ran = self.run(scripts, book, &glaze, &scene)?;
        desk.printed(book.printed.take());
        desk.broke_bounds(ran.checked.out_of_bounds.drain(..));
        let iron = iron(found);
        let hangs_on_iron = match (iron, many) {
            (Some(_), None) => self.hangs_on_iron(&ran, book, &glaze, &scene)?,
            _ => Vec::new(),
        };
        ran.checked.findings.extend(broken.iter().map(Broken::finding));
        desk.tell(broken.into_iter().map(|broken| broken.why));
        let is_it = |own: &Script, rule: &str| own.name == rule || own.name.rsplit('/').next() == Some(rule);
        let asked_for = |rule: &str| {
            let all = self.checks.scripts.is_empty();
            // A name that no rule has is a slip, whichever were asked.
            all || ran.scripts.iter().any(|own| is_it(own, rule)) || book.store.whole_name(rule).is_err()
        };
        let judged = accepting::judge(
            desk,
            found,
            self.accept.as_ref(),
            &mut ran.checked.findings,
            (&of, &asked_for),
            &book.store,
        )?;
        let looks = |script: &Arc<Script>| script.about.needs_pieces;
        desk.printed(ran.checked.printed);
        Ok(Answer {
            glaze: glaze.name.clone(),
            seen,
            findings: ran.checked.findings,
            usage: purpose,
            looked_at_pieces: scene.notebook.is_some() && ran.scripts.iter().any(looks),
            limits: ran.limits,
            not_for_this: ran.not_for_this.iter().map(|script| NotForThis::of(script)).collect(),
            iron,
            hangs_on_iron,
            ran: ran.scripts.len(),
            off,
            not_accepted: judged.not_accepted,
            accepted_here: judged.accepted_here,
            laboratory: None,
        })
    }
}

impl Question {
    fn run(
        &self,
        mut scripts: Vec<Arc<Script>>,
        book: &Rulebook,
        glaze: &Arc<Glaze>,
        scene: &Arc<Scene>,
    ) -> Result<Ran, Failure> {
        let named = !self.checks.scripts.is_empty();
        let (mut not_for_this, mut limits) = (Vec::new(), None);
        if !named {
            (scripts, not_for_this) = scripts
                .into_iter()
                .partition(|script| script.about.suits(&glaze.about) == Suits::Yes);
            let of_limits = scripts.iter().filter(|script| script.about.kind == Kind::LIMITS);
            limits = Some(of_limits.map(|script| script.name.clone()).collect());
        }
        let mut checked = Checked::default();
        for script in &scripts {
            let settings = book.settings_of(script, &self.checks.set)?;
            let one = script.check_among_others(glaze, scene, &settings)?;
            // Limits without a range for this glaze have nothing to say unless they were named.
            let says_nothing = !named
                && script.about.kind == Kind::LIMITS
                && script
                    .limits(glaze, scene, &settings)
                    .is_ok_and(|set| set.ranges.is_empty());
            if says_nothing {
                not_for_this.push(script.clone());
                continue;
            }
            checked.findings.extend(one.findings);
            checked.printed.extend(one.printed);
            checked.out_of_bounds.extend(one.out_of_bounds);
        }
        Ok(Ran {
            scripts,
            checked,
            limits,
            not_for_this,
        })
    }
}

impl Question {
    /// Findings of our own checks that would be others with all iron as FeO; limits keep
    /// their author's count.
    fn hangs_on_iron(
        &self,
        ran: &Ran,
        book: &Rulebook,
        glaze: &Arc<Glaze>,
        scene: &Arc<Scene>,
    ) -> Result<Vec<OnIron>, Failure> {
        let as_feo = Arc::new(Scene {
            fluxes: Arc::new(FluxList::clone(&scene.fluxes).with_iron(IronCount::FEO)),
            ..Scene::clone(scene)
        });
        let mut others = Vec::new();
        let own = ran.scripts.iter().filter(|script| script.about.kind == Kind::CHECK);
        for script in own {
            let settings = book.settings_of(script, &self.checks.set)?;
            others.extend(script.check_among_others(glaze, &as_feo, &settings)?.findings);
        }
        let ours = |finding: &Finding| {
            ran.scripts
                .iter()
                .any(|own| *own.name == *finding.script && own.is_shipped())
        };
        Ok(on_iron(&ran.checked.findings, &others)
            .into_iter()
            .filter(|(finding, _)| ours(finding))
            .map(|(finding, found)| OnIron {
                script: finding.script.to_string(),
                subject: finding.subject.to_string(),
                found,
            })
            .collect())
    }
}

/// Findings from the mildest caution up that stand on one side only; `true`: found as
/// iron is counted, `false`: only with iron as FeO.
fn on_iron<'a>(now: &'a [Finding], as_feo: &'a [Finding]) -> Vec<(&'a Finding, bool)> {
    let lacks = |others: &[Finding], finding: &Finding| {
        let same = |other: &Finding| {
            (&other.script, &other.subject, other.level) == (&finding.script, &finding.subject, finding.level)
        };
        finding.level >= Level::Caution && !others.iter().any(same)
    };
    let of_checks = |finding: &&Finding| as_feo.iter().any(|other| other.script == finding.script);
    let here = now.iter().filter(of_checks).filter(|finding| lacks(as_feo, finding));
    let there = as_feo.iter().filter(|finding| lacks(now, finding));
    here.map(|finding| (finding, true))
        .chain(there.map(|finding| (finding, false)))
        .collect()
}

/// A finding that hangs on how iron is counted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct OnIron {
    /// The script.
    pub script: String,
    /// What it is about.
    pub subject: String,
    /// Whether it is found as iron is counted here; else only with iron as FeO.
    pub found: bool,
}

/// The glaze with its iron as FeO, where its firing leaves that open.
fn iron(found: &FoundGlaze) -> Option<IronReading> {
    // A glaze whose analysis nobody tells has no reading: its checks say so.
    let analysis = FiredChemistry::of(&found.glaze, &found.settings.fluxes, Additions::In).ok()?;
    unity::as_feo(found, &analysis.moles)
}

/// What checks found on a glaze.
#[derive(Debug, Clone)]
pub struct Answer {
    /// The glaze's name.
    pub glaze: String,
    /// What was seen of its pieces, where a use is named that hangs on it.
    pub seen: Option<Seen>,
    /// What the checks say, in their order.
    pub findings: Vec<Finding>,
    /// What the glaze is for, where that is known.
    pub usage: Option<Use>,
    /// Whether a check among them looked at the pieces on the glaze's clay.
    pub looked_at_pieces: bool,
    /// The limits for the glaze's firing; `None` where scripts were named.
    pub limits: Option<Vec<String>>,
    /// Scripts for other firings.
    pub not_for_this: Vec<NotForThis>,
    /// The other way of counting iron, where the firing leaves it open.
    pub iron: Option<IronReading>,
    /// Findings that hang on it.
    pub hangs_on_iron: Vec<OnIron>,
    /// How many checks ran.
    pub ran: usize,
    /// Scripts that the studio turned off.
    pub off: Vec<String>,
    /// What the glaze's file accepts and what isn't accepted.
    pub not_accepted: Vec<NotAccepted>,
    /// Where the call's own finding was written as accepted.
    pub accepted_here: Option<AcceptedHere>,
    /// The latest laboratory's report, where one is kept.
    pub laboratory: Option<lab::Brief>,
}

/// A script for other firings.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct NotForThis {
    /// The script.
    pub script: String,
    /// What it is for.
    pub cones: String,
}

impl NotForThis {
    fn of(script: &Script) -> NotForThis {
        NotForThis {
            script: script.name.clone(),
            cones: script.about.meant_for(),
        }
    }
}

impl Answer {
    /// What hangs on the way of counting iron.
    pub fn iron(&self) -> Option<Said> {
        self.iron.map(UnitySaid::ChecksHangOnIron).map(Said::Unity)
    }

    /// The heaviest level; what is accepted doesn't count.
    pub fn worst(&self) -> Level {
        let levels = self.findings.iter().map(Finding::weighs);
        levels.max().unwrap_or(Level::NothingFound)
    }
}

impl crate::Answer for Answer {
    fn says_no(&self) -> bool {
        self.worst().says_no() || self.seen.as_ref().is_some_and(Seen::says_no)
    }
}

#[derive(Serialize, schemars::JsonSchema)]
struct AnswerJson<'a> {
    glaze: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    seen: Option<&'a Seen>,
    findings: Vec<FindingJson<'a>>,
    worst: &'static str,
    limits: Option<&'a [String]>,
    not_for_this: &'a [NotForThis],
    iron: Option<Said>,
    off: &'a [String],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_accepted: Vec<NotAcceptedJson<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    accepted_here: Option<&'a AcceptedHere>,
    #[serde(skip_serializing_if = "Option::is_none")]
    laboratory: Option<&'a lab::Brief>,
}

impl Serialize for Answer {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        AnswerJson {
            glaze: &self.glaze,
            seen: self.seen.as_ref(),
            findings: self.findings.iter().map(FindingJson).collect(),
            worst: self.worst().words(),
            limits: self.limits.as_deref(),
            not_for_this: &self.not_for_this,
            iron: self.iron(),
            off: &self.off,
            not_accepted: self.not_accepted.iter().map(NotAcceptedJson).collect(),
            accepted_here: self.accepted_here.as_ref(),
            laboratory: self.laboratory.as_ref(),
        }
        .serialize(to)
    }
}

crate::wire::written_as!(Answer: AnswerJson<'_>);
