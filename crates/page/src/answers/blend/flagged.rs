//! What is flagged on tiles, for a terminal.

use glost_core::rules::{Finding, Level};
use glost_core::tiles::blend::ShareOf;

use super::BlendPage;
use crate::layout::indented;
use crate::words::finding::{range, told};

impl BlendPage<'_> {
    pub(super) fn limits(&self) -> String {
        let mut text = String::new();
        for crossing in &self.plan.crossings {
            let how = if crossing.goes_out {
                "goes outside"
            } else {
                "comes inside"
            };
            text.push_str(&indented(
                "Limit: ",
                &format!(
                    "{} {how} {} between {} and {}.",
                    crossing.subject,
                    range(crossing.low, crossing.high),
                    crossing.before,
                    crossing.after
                ),
            ));
        }
        text
    }

    pub(super) fn lab(&self) -> String {
        let lab = &self.plan.lab;
        let Some(first) = lab.first() else {
            return String::new();
        };
        let shown: Vec<String> = lab
            .iter()
            .take(3)
            .map(|tile| {
                let metals: Vec<String> = tile
                    .metals
                    .iter()
                    .map(|metal| format!("{:.1} % {}", metal.2, metal.0))
                    .collect();
                let of = match tile.share_of {
                    ShareOf::Fired => "",
                    ShareOf::Batch => " of the dry batch",
                };
                format!("{} ({}{of})", tile.code, metals.join(", "))
            })
            .collect();
        let metals: Vec<&str> = first.metals.iter().map(|metal| metal.1).collect();
        indented(
            "For the laboratory: ",
            &format!(
                "{} of {} tiles hold {}: not tested for food contact. The most first: {}.",
                lab.len(),
                self.plan.tiles.len(),
                metals.join(", "),
                shown.join(", ")
            ),
        )
    }

    /// One line for each thing flagged; where the tiles differ only in how
    /// much, the heaviest speaks for all.
    pub(super) fn findings(&self) -> String {
        let mut said: Vec<(&Finding, Vec<&str>)> = Vec::new();
        for tile in &self.plan.tiles {
            for finding in tile
                .findings
                .iter()
                .filter(|finding| finding.level > Level::NothingFound)
            {
                match said.iter_mut().find(|known| same_flag(known.0, finding)) {
                    Some((heaviest, codes)) => {
                        codes.retain(|code| *code != tile.code);
                        if weight(finding) > weight(heaviest) {
                            *heaviest = finding;
                            codes.insert(0, &tile.code);
                        } else {
                            codes.push(&tile.code);
                        }
                    }
                    None => said.push((finding, vec![&tile.code])),
                }
            }
        }
        let flags = said.into_iter().map(|(finding, codes)| {
            let (first, others) = codes
                .split_first()
                .map_or(("", &[][..]), |(first, others)| (*first, others));
            let differ = !others.is_empty() && self.says_otherwise(finding);
            let codes = if differ {
                format!("{first}; likewise {}", others.join(", "))
            } else {
                codes.join(", ")
            };
            (finding, codes)
        });
        let alone = |finding: &Finding, codes: &str| {
            format!("{}: {} ({codes}; {})", finding.subject, told(finding), finding.script)
        };
        // What one script says of several things in the same words stands in one line.
        let mut lines: Vec<(&Finding, String, Vec<String>)> = Vec::new();
        for (finding, codes) in flags {
            let (head, tail) = parted(finding);
            let begun = format!("{}: {head} ({codes})", finding.subject);
            let same = |known: &&mut (&Finding, String, Vec<String>)| {
                known.0.script == finding.script && !tail.is_empty() && parted(known.0).1 == tail
            };
            match lines.iter_mut().find(same) {
                Some((_, _, heads)) => heads.push(begun),
                None => lines.push((finding, alone(finding, &codes), vec![begun])),
            }
        }
        let flag = |(finding, alone, heads): &(&Finding, String, Vec<String>)| match heads.as_slice() {
            [_] => indented("Flag: ", alone),
            heads => {
                let told = format!("{}: {} ({})", heads.join("; "), parted(finding).1, finding.script);
                indented("Flag: ", &told)
            }
        };
        lines.iter().map(flag).collect()
    }
}

/// A message's beginning, of the thing itself, and what it says of all such.
fn parted(finding: &Finding) -> (String, String) {
    let message = told(finding);
    let parts = message.split_once(": ");
    parts.map_or_else(
        || (message.to_string(), String::new()),
        |(head, tail)| (head.to_owned(), tail.to_owned()),
    )
}

impl BlendPage<'_> {
    /// Whether some tile is flagged alike in other words.
    fn says_otherwise(&self, finding: &Finding) -> bool {
        let mut findings = self.plan.tiles.iter().flat_map(|tile| &tile.findings);
        findings.any(|other| same_flag(finding, other) && told(other) != told(finding))
    }
}

/// The same words, or one script on one subject and one side of its bounds.
fn same_flag(one: &Finding, other: &Finding) -> bool {
    one.subject == other.subject
        && (told(one) == told(other)
            || (one.script == other.script
                && one.level == other.level
                && one.value.is_some() == other.value.is_some()
                && is_below(one) == is_below(other)))
}

fn is_below(finding: &Finding) -> bool {
    finding.value.zip(finding.low).is_some_and(|(value, low)| value < low)
}

/// How far out a finding is: the more of it the heavier, below a bound the less.
fn weight(finding: &Finding) -> f64 {
    let value = finding.value.unwrap_or_default();
    if is_below(finding) { -value } else { value }
}
