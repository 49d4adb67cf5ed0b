//! `glost check`.

use glost_chemistry::diagnostic::did_you_mean;
use glost_core::rules::{Aspect, Finding, Level, NotAccepted, WhyNot};
use glost_desk::check::{Answer, NotForThis, Seen};
use glost_desk::clay::ClayWords;

use super::fit::headline_of;
use crate::diagnostic::beneath;
use crate::layout::capital;
use crate::layout::{Style, indented, paragraph};
use crate::number;
use crate::words::clay::clay_words;
use crate::words::finding::told as told_by;
use crate::words::laboratory::sentence;
use crate::words::say;
use crate::words::signed::{signed, signed_briefly};
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "findings")
    }

    fn text(&self, style: Style) -> String {
        let mut text = String::new();
        let chemistry = paragraph(&headline(self), 0);
        match &self.seen {
            Some(seen) => text.push_str(&format!("{}\n{chemistry}", seen_first(seen, style))),
            None => text.push_str(&format!("{}\n", style.bold(chemistry.trim_end()))),
        }
        for level in [Level::Fail, Level::NotChecked, Level::Caution, Level::Note] {
            for together in told_together(self, told_alike(self, level)) {
                text.push('\n');
                text.push_str(&match together.as_slice() {
                    [alike] => finding_text(self, alike),
                    several => several_text(level, several),
                });
            }
        }
        text.push_str(&about_accepted(self));
        let quiet: Vec<String> = self
            .findings
            .iter()
            .filter(|finding| finding.level == Level::NothingFound)
            .map(|finding| match &finding.signed {
                Some(signature) => signed_briefly(signature),
                None => finding.script.to_string(),
            })
            .collect();
        text.push('\n');
        for reading in self.findings.iter().filter(|finding| is_reading(finding)) {
            text.push_str(&indented(
                &format!("{}: ", reading.subject),
                &format!("{}.", told_by(reading)),
            ));
        }
        if !quiet.is_empty() {
            text.push_str(&indented("Nothing found by: ", &format!("{}.", quiet.join(", "))));
        }
        text.push_str(&what_ran(self));
        if let Some(laboratory) = &self.laboratory {
            text.push_str(&indented("Laboratory: ", &capital(&sentence(laboratory))));
        }
        if let Some(said) = self.iron() {
            text.push_str(&indented("Iron: ", &say(&said)));
        }
        for on_iron in self.hangs_on_iron.iter().filter(|on_iron| !on_iron.found) {
            let told = format!(
                "{} ({}): nothing here, but with iron as FeO there is; it hangs on how iron is counted.",
                on_iron.subject, on_iron.script
            );
            text.push_str(&indented("Iron: ", &told));
        }
        let seen = matches!(&self.seen, Some(Seen::OnClay(_)));
        let fit = if self.looked_at_pieces || seen {
            ""
        } else {
            "fit on your clay, "
        };
        text.push_str(&indented(
            "Not covered: ",
            &format!(
                "{fit}the firing itself, leaching. Numbers from a recipe can't clear a piece for food: only a laboratory's leach test on the fired piece can answer that."
            ),
        ));
        text
    }
}

/// Against what it was held, and what wasn't asked.
fn what_ran(answer: &Answer) -> String {
    let mut text = String::new();
    if let Some(limits) = &answer.limits {
        text.push_str(&indented("Limits: ", &limits_words(limits)));
    }
    if !answer.off.is_empty() {
        text.push_str(&indented("Turned off: ", &format!("{}.", answer.off.join(", "))));
    }
    if !answer.not_for_this.is_empty() {
        let others: Vec<String> = answer.not_for_this.iter().map(not_for_this).collect();
        text.push_str(&indented("Not for this glaze: ", &format!("{}.", others.join("; "))));
    }
    text
}

/// A script for other firings, and which.
fn not_for_this(other: &NotForThis) -> String {
    if other.cones.is_empty() {
        other.script.clone()
    } else {
        format!("{} ({})", other.script, other.cones)
    }
}

/// What was seen comes before what is computed.
fn seen_first(seen: &Seen, style: Style) -> String {
    let Seen::OnClay(seen) = seen else {
        let words = "What was seen can't be looked up: no clay is known. Name one with --clay, or write `clay: ...` in the \
                     glaze's file.";
        return format!("{}\n", style.bold(paragraph(words, 0).trim_end()));
    };
    let fit = &seen.fit.fit;
    let heading = format!(
        "On {} ({}): {}",
        fit.clay,
        fit.evidence.kiln.words(),
        headline_of(&seen.fit)
    );
    let mut text = format!("{}\n", style.bold(paragraph(&heading, 0).trim_end()));
    let takes_up = match seen.absorption_percent {
        Some(percent) => format!("This clay soaks up {} %. ", number::percent(percent)),
        None => String::new(),
    };
    if let Some(frost) = &seen.frost {
        let words = |said: ClayWords| clay_words(&said);
        text.push_str(&indented(
            "Frost: ",
            &format!(
                "{}. {takes_up}{}. {} ({})",
                frost.standing.words(),
                capital(&words(ClayWords::Why(frost.why))),
                words(ClayWords::OwnFrostTest),
                words(ClayWords::SourceOf(frost.why))
            ),
        ));
    }
    text
}

fn limits_words(limits: &[String]) -> String {
    if limits.is_empty() {
        "none for this cone; `glost check GLAZE --script NAME` holds it against one you name.".to_owned()
    } else {
        format!("held against {}.", limits.join(", "))
    }
}

/// Nothing found, but a number that tells something: a reading.
fn is_reading(finding: &Finding) -> bool {
    finding.level == Level::NothingFound && finding.value.is_some()
}

/// The findings of a level, those in the same words together, in order of the first.
fn told_alike(answer: &Answer, level: Level) -> Vec<Vec<&Finding>> {
    let mut alike: Vec<Vec<&Finding>> = Vec::new();
    for finding in answer.findings.iter().filter(|finding| finding.weighs() == level) {
        let same = |known: &&mut Vec<&Finding>| {
            known
                .first()
                .is_some_and(|first| first.subject == finding.subject && told_by(first) == told_by(finding))
        };
        match alike.iter_mut().find(same) {
            Some(known) => known.push(finding),
            None => alike.push(vec![finding]),
        }
    }
    alike
}

/// What one script says of several things in the same words but for a beginning, together.
fn told_together<'a>(answer: &Answer, told: Vec<Vec<&'a Finding>>) -> Vec<Vec<Vec<&'a Finding>>> {
    let mut together: Vec<Vec<Vec<&Finding>>> = Vec::new();
    for alike in told {
        let tail = |alike: &[&'a Finding]| match alike {
            [one] if one.accepted.is_none() && !hangs_on_iron(answer, one) => {
                Some((one.script.clone(), parted(one)?.1))
            }
            _ => None,
        };
        let own = tail(&alike);
        let same =
            |known: &&mut Vec<Vec<&'a Finding>>| own.is_some() && known.first().is_some_and(|first| tail(first) == own);
        match together.iter_mut().find(same) {
            Some(known) => known.push(alike),
            None => together.push(vec![alike]),
        }
    }
    together
}

/// A message's beginning, of the thing itself, and what it says of all such.
fn parted(finding: &Finding) -> Option<(String, String)> {
    let message = told_by(finding);
    let (head, tail) = message.split_once(": ")?;
    Some((head.to_owned(), tail.to_owned()))
}

fn several_text(level: Level, several: &[Vec<&Finding>]) -> String {
    let each: Vec<&Finding> = several.iter().flatten().copied().collect();
    let heads: Vec<String> = each.iter().filter_map(|one| Some(parted(one)?.0)).collect();
    let (Some(first), Some((_, tail))) = (each.first(), each.first().and_then(|first| parted(first))) else {
        return String::new();
    };
    let mut text = indented(
        &format!("{}: ", level.words()),
        &format!("{}: {tail}", heads.join("; ")),
    );
    let said_by = if first.source.is_empty() {
        format!("({})", whose_text(first))
    } else {
        format!("({}; {})", whose_text(first), first.source)
    };
    text.push_str(&indented("    ", &said_by));
    text
}

fn headline(answer: &Answer) -> String {
    let count = |level: Level| {
        answer
            .findings
            .iter()
            .filter(|finding| finding.weighs() == level)
            .count()
    };
    let accepted = answer.findings.iter().filter(|finding| finding.accepted.is_some());
    let told = |number: usize, one: &str, many: &str| match number {
        0 => None,
        1 => Some(format!("1 {one}")),
        more => Some(format!("{more} {many}")),
    };
    let parts: Vec<String> = [
        told(count(Level::Fail), "check says no", "checks say no"),
        told(count(Level::NotChecked), "could not be checked", "could not be checked"),
        told(count(Level::Caution), "caution", "cautions"),
        told(count(Level::Note), "note", "notes"),
        told(accepted.count(), "accepted", "accepted"),
    ]
    .into_iter()
    .flatten()
    .collect();
    let as_what = answer.usage.map_or_else(String::new, |usage| format!(" as {usage}"));
    if parts.is_empty() {
        let checks = match answer.ran {
            1 => "1 check".to_owned(),
            more => format!("{more} checks"),
        };
        return format!("{}{as_what}: nothing found by {checks}.", answer.glaze);
    }
    format!("{}{as_what}: {}.", answer.glaze, parts.join(", "))
}

fn hangs_on_iron(answer: &Answer, finding: &Finding) -> bool {
    let mut on_iron = answer.hangs_on_iron.iter();
    on_iron.any(|on_iron| on_iron.found && *on_iron.script == *finding.script && *on_iron.subject == *finding.subject)
}

/// Findings in the same words are told once, with every script that says so.
fn finding_text(answer: &Answer, alike: &[&Finding]) -> String {
    let Some(finding) = alike.first() else {
        return String::new();
    };
    let lead = match finding.accepted {
        Some(_) => format!("accepted {}: ", finding.level.words()),
        None => format!("{}: ", finding.level.words()),
    };
    let told = told_by(finding);
    let told = if told.starts_with(&*finding.subject) {
        told.into_owned()
    } else {
        format!("{}: {told}", finding.subject)
    };
    let told = if hangs_on_iron(answer, finding) {
        format!("{told} (hangs on how iron is counted)")
    } else {
        told
    };
    let mut text = indented(&lead, &told);
    if let Some(broke) = &finding.broke {
        text.push_str(&beneath(broke));
    }
    let indent = " ".repeat(4);
    let said_by = match alike {
        [one] if one.source.is_empty() => format!("({})", whose_text(one)),
        [one] => format!("({}; {})", whose_text(one), one.source),
        several => {
            let each: Vec<String> = several.iter().map(|one| whose_text(one)).collect();
            format!("({})", each.join("; "))
        }
    };
    text.push_str(&indented(&indent, &said_by));
    text
}

/// What is accepted, with the reason; what the file accepts and what isn't accepted; where
/// it was written.
fn about_accepted(answer: &Answer) -> String {
    let mut text = String::new();
    for finding in &answer.findings {
        let Some(accepted) = &finding.accepted else { continue };
        let until = accepted.until.map_or_else(String::new, |day| format!(", until {day}"));
        text.push('\n');
        text.push_str(&finding_text(answer, &[finding]));
        text.push_str(&indented(
            "    ",
            &format!("accepted because: {}{until}", accepted.because),
        ));
    }
    for not_accepted in &answer.not_accepted {
        text.push('\n');
        text.push_str(&indented("not accepted: ", &why_not(answer, not_accepted)));
    }
    if let Some(here) = &answer.accepted_here {
        let stands = if here.written {
            "written"
        } else {
            "it stands there already"
        };
        text.push('\n');
        text.push_str(&indented(
            "Accepted: ",
            &format!("{} ({}:{}, {stands}).", here.finding, here.file, here.line),
        ));
    }
    text
}

fn why_not(answer: &Answer, not_accepted: &NotAccepted) -> String {
    let entry = &not_accepted.entry;
    let anew = format!(
        "`glost check \"{}\" --accept \"{}\" --because \"{}\"`",
        answer.glaze,
        entry.finding(),
        entry.because
    );
    let why = match &not_accepted.why {
        WhyNot::NotYet => format!("its entry doesn't say yet of what it was accepted (`of:`); {anew} writes that"),
        WhyNot::Changed(aspects) => format!(
            "{} changed since; look at it anew, then {anew} accepts it",
            changed_words(aspects)
        ),
        WhyNot::Past(day) => format!("it was accepted until {day}; {anew} accepts it anew, with --until DAY"),
        WhyNot::Fail => "a *fail* can't be accepted".to_owned(),
        WhyNot::NotChecked => "it could not be checked, and what isn't checked can't be accepted".to_owned(),
        WhyNot::Gone => "no check finds it any more; its entry can go from the glaze's file".to_owned(),
        WhyNot::Off => "its rule is turned off in studio.yaml, so nobody knows whether it is still found".to_owned(),
        WhyNot::NoSuchRule(Some(near)) => {
            format!(
                "no script has that name; mend it in the glaze's file: {}",
                did_you_mean(near)
            )
        }
        WhyNot::NoSuchRule(None) => {
            "no script has that name; see `glost script list`, and mend the name in the glaze's file".to_owned()
        }
    };
    let end = if why.ends_with('?') { "" } else { "." };
    format!("{} ({}): {why}{end}", entry.finding(), entry.because)
}

/// `the recipe and the clay have`; all that may, where none is known.
fn changed_words(aspects: &[Aspect]) -> String {
    let each: Vec<&str> = aspects.iter().map(|one| aspect_words(*one)).collect();
    match each.as_slice() {
        [] => "the recipe, a lot, the clay, the firing, the use or the rule has".to_owned(),
        [one] => format!("{one} has"),
        [first @ .., last] => format!("{} and {last} have", first.join(", ")),
    }
}

fn aspect_words(aspect: Aspect) -> &'static str {
    match aspect {
        Aspect::Recipe => "the recipe",
        Aspect::Lot => "a lot or an analysis",
        Aspect::Firing => "the firing",
        Aspect::Use => "the use",
        Aspect::Clay => "the clay",
        Aspect::Rule => "the rule",
    }
}

/// The script with what it is signed with.
fn whose_text(finding: &Finding) -> String {
    match &finding.signed {
        Some(signature) => signed(signature),
        None => finding.script.to_string(),
    }
}
