//! Findings that their maker accepted: shown as ever with the reason, but weighing no
//! more, for as long as what they were accepted of stays as it was.

use std::fmt::Write;

use glost_chemistry::glaze::{Accepted, Atmosphere, Glaze, Portion, Use};
use glost_chemistry::quantity::{Celsius, Date};
use glost_chemistry::read::folded;
use sha2::{Digest, Sha256};

use crate::evidence::ware::Clay;

use super::{Finding, Level};

/// Why a finding doesn't weigh.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Acceptance {
    /// Its maker's reason.
    pub because: String,
    /// The last day on which it holds.
    pub until: Option<Date>,
}

/// What a finding was accepted of, and what may be another one since.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aspect {
    /// Names and shares of the parts.
    Recipe,
    /// The lots, and what the materials leave in the fired glaze.
    Lot,
    /// Cone, firing, atmosphere and peak.
    Firing,
    /// What the glaze is for.
    Use,
    /// The clay, and what is known of it.
    Clay,
    /// The rule's text and its options.
    Rule,
}

impl Aspect {
    /// All, in the order in which an entry's `of` has them.
    const ALL: [Aspect; 6] = [
        Aspect::Recipe,
        Aspect::Lot,
        Aspect::Firing,
        Aspect::Use,
        Aspect::Clay,
        Aspect::Rule,
    ];

    /// Its word in answers.
    pub fn word(self) -> &'static str {
        match self {
            Aspect::Recipe => "recipe",
            Aspect::Lot => "lot",
            Aspect::Firing => "firing",
            Aspect::Use => "use",
            Aspect::Clay => "clay",
            Aspect::Rule => "rule",
        }
    }
}

/// Why what a glaze's file accepts isn't accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhyNot {
    /// It doesn't say yet of what it was accepted.
    NotYet,
    /// These are other ones; none named: one of them is, and nobody knows which.
    Changed(Vec<Aspect>),
    /// Its day is past.
    Past(Date),
    /// A *fail* can't be accepted.
    Fail,
    /// What wasn't checked can't be accepted.
    NotChecked,
    /// The rule finds no such thing any more.
    Gone,
    /// The rule is turned off.
    Off,
    /// No rule has that name; the nearest that one has.
    NoSuchRule(Option<String>),
}

/// What a glaze's file accepts and what isn't accepted, with the reason.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotAccepted {
    /// As the file has it.
    pub entry: Accepted,
    /// Why.
    pub why: WhyNot,
}

/// What a finding is of, as text: equal texts, equal circumstances.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Circumstances {
    told: String,
    /// The same by aspect, in the order of [`Aspect::ALL`]; each finding has a rule of its own.
    aspects: [String; 5],
}

impl Circumstances {
    /// Those of a glaze on a clay (its name, and what is known of it), for a use.
    pub fn of(glaze: &Glaze, clay: (Option<&str>, Option<&Clay>), usage: Option<Use>) -> Circumstances {
        let about = &glaze.about;
        let mut of = Circumstances::default();
        for (key, portions) in [("part", &glaze.base), ("addition", &glaze.additions)] {
            for portion in portions.iter().filter(|portion| portion.percent > 0.0) {
                let (share, material) = weighed(portion);
                of.tell(Aspect::Recipe, key, &share);
                of.tell(Aspect::Lot, key, &material);
                tell(&mut of.told, key, &[share, material].concat());
            }
        }
        for (aspect, key, word) in [
            (Aspect::Firing, "cone", about.cone.as_deref()),
            (Aspect::Firing, "firing", about.firing.as_deref()),
            (Aspect::Firing, "atmosphere", about.atmosphere.map(Atmosphere::word)),
            (Aspect::Use, "use", usage.map(Use::word)),
            (Aspect::Clay, "clay", clay.0),
        ] {
            of.line(aspect, key, &word.map_or_else(String::new, folded));
        }
        of.line(Aspect::Firing, "peak", &thousandths(about.peak.map(Celsius::celsius)));
        if let Some(clay) = clay.1 {
            let printed = clay.expansion.as_ref();
            let absorption = thousandths(clay.absorption_percent);
            for (key, value) in [
                ("clay's cone", clay.cone.as_deref().unwrap_or("")),
                ("clay's expansion", printed.map_or("", |expansion| &expansion.printed)),
                ("clay's absorption", &absorption),
            ] {
                of.line(Aspect::Clay, key, value);
            }
        }
        of
    }

    fn line(&mut self, aspect: Aspect, key: &str, value: &str) {
        tell(&mut self.told, key, value);
        self.tell(aspect, key, value);
    }

    fn tell(&mut self, aspect: Aspect, key: &str, value: &str) {
        for (_, own) in Aspect::ALL
            .iter()
            .zip(&mut self.aspects)
            .filter(|(one, _)| **one == aspect)
        {
            tell(own, key, value);
        }
    }

    /// What an entry's `of` says: the first 12 hex digits of SHA-256 of these with the
    /// rule's own text and options, then three of each aspect by itself.
    pub fn hash(&self, finding: &Finding) -> String {
        let mut rule = format!("rule {} ", finding.script);
        if let Some(signed) = finding.signed.as_deref() {
            let _ = write!(rule, "{} {}", signed.hash, signed.set_words());
        }
        let mut of = digits(&[self.told.as_str(), &rule].concat(), 12);
        for text in self.aspects.iter().chain([&rule]) {
            of.push('-');
            of.push_str(&digits(text, 3));
        }
        of
    }
}

fn tell(told: &mut String, key: &str, value: &str) {
    // Lengths keep two lines from reading as one.
    let _ = writeln!(told, "{key} {} {value}", value.len());
}

/// The first hex digits of a text's SHA-256, 12 at most.
fn digits(text: &str, count: usize) -> String {
    let mut digits = String::new();
    for byte in Sha256::digest(text.as_bytes()).iter().take(6) {
        let _ = write!(digits, "{byte:02x}");
    }
    digits.truncate(count);
    digits
}

/// What differs between what an entry was accepted of and what is now: `None` where nothing
/// does, none named where the entry holds the whole alone.
fn changed(was: &str, now: &str) -> Option<Vec<Aspect>> {
    let (was, now) = (folded(was), folded(now));
    let (mut was, mut now) = (was.split('-'), now.split('-'));
    if was.next() == now.next() {
        return None;
    }
    let each = Aspect::ALL.iter().zip(was.zip(now));
    Some(
        each.filter(|(_, (was, now))| was != now)
            .map(|(aspect, _)| *aspect)
            .collect(),
    )
}

/// A figure to three decimals; empty where there is none.
fn thousandths(figure: Option<f64>) -> String {
    figure.map_or_else(String::new, |figure| format!("{figure:.3}"))
}

/// A material with its share of 100; its lot and what it leaves in the fired glaze.
fn weighed(portion: &Portion) -> (String, String) {
    let material = &portion.material;
    let lot = material.lot.as_deref().unwrap_or("");
    // Shares are rounded: parts of any total that say the same are the same.
    let mut share = folded(&material.name);
    let _ = write!(share, " {:.6}", portion.percent);
    let mut text = format!(" lot {} {lot}", lot.len());
    if let Some(fired) = &material.fired {
        let _ = write!(text, " loss {:.4}", fired.loss_grams);
        for (oxide, grams) in fired.oxides.iter() {
            let _ = write!(text, " {oxide} {grams:.4}");
        }
    }
    (share, text)
}

/// Whether an entry's rule is this one: by its whole name or by the last word of it.
fn is_rule(entry: &str, rule: &str) -> bool {
    let (entry, rule) = (folded(entry), folded(rule));
    entry == rule || rule.rsplit('/').next() == Some(entry.as_str())
}

impl Finding {
    /// Whether it is of this rule, named by its whole name or by the last word of it.
    pub fn is_of(&self, rule: &str) -> bool {
        is_rule(rule, &self.script)
    }
}

/// The findings that an entry is about: a rule's, on one subject. What the rule merely
/// read isn't among them.
pub fn findings_of<'a>(script: &str, subject: &str, findings: &'a mut [Finding]) -> Vec<&'a mut Finding> {
    let subject = folded(subject);
    let is_it = |finding: &&mut Finding| {
        finding.level > Level::NothingFound && is_rule(script, &finding.script) && folded(&finding.subject) == subject
    };
    findings.iter_mut().filter(is_it).collect()
}

/// Marks the findings that are accepted, and gives the entries that aren't with the
/// reason. Rules that `ran` doesn't name weren't asked: nothing is said of them.
pub fn accept(
    findings: &mut [Finding],
    entries: &[Accepted],
    of: &Circumstances,
    today: Date,
    ran: impl Fn(&str) -> bool,
) -> Vec<NotAccepted> {
    let mut not_accepted = Vec::new();
    for entry in entries.iter().filter(|entry| ran(&entry.script)) {
        let unchecked =
            |finding: &Finding| finding.level == Level::NotChecked && is_rule(&entry.script, &finding.script);
        let without = if findings.iter().any(unchecked) {
            WhyNot::NotChecked
        } else {
            WhyNot::Gone
        };
        let own = findings_of(&entry.script, &entry.subject, findings);
        let mut why = own.is_empty().then_some(without);
        for finding in own {
            match why_not(finding, entry, of, today) {
                Some(reason) => why = Some(reason),
                None => {
                    finding.accepted = Some(Acceptance {
                        because: entry.because.clone(),
                        until: entry.until,
                    });
                }
            }
        }
        not_accepted.extend(why.map(|why| NotAccepted {
            entry: entry.clone(),
            why,
        }));
    }
    not_accepted
}

fn why_not(finding: &Finding, entry: &Accepted, of: &Circumstances, today: Date) -> Option<WhyNot> {
    match (finding.level, &entry.of, entry.until) {
        (Level::Fail, ..) => Some(WhyNot::Fail),
        (Level::NotChecked, ..) => Some(WhyNot::NotChecked),
        (_, _, Some(until)) if until < today => Some(WhyNot::Past(until)),
        (_, None, _) => Some(WhyNot::NotYet),
        (_, Some(was), _) => changed(was, &of.hash(finding)).map(WhyNot::Changed),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_finding_was_accepted_of_has_a_word() {
        let words = Aspect::ALL.map(Aspect::word);
        assert_eq!(words, ["recipe", "lot", "firing", "use", "clay", "rule"]);
    }
}
