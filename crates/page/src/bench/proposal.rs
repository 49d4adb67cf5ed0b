//! Recipes that are proposed, with what moves and what rules say new.

use std::collections::BTreeMap;

use glost_core::rules::Level as Rank;
use serde::Deserialize;

use super::{Html, Seal, capital, for_page, trial};
use crate::html;

/// Amounts by name, as the contract has them.
pub type Amounts = BTreeMap<String, f64>;

/// How a finding weighs, as the contract has it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
enum Level {
    #[serde(rename = "nothing found")]
    NothingFound,
    Note,
    Caution,
    #[serde(rename = "not checked")]
    NotChecked,
    Fail,
}

impl Level {
    fn words(self) -> &'static str {
        match self {
            Level::NothingFound => Rank::NothingFound,
            Level::Note => Rank::Note,
            Level::Caution => Rank::Caution,
            Level::NotChecked => Rank::NotChecked,
            Level::Fail => Rank::Fail,
        }
        .words()
    }
}

/// How near the old glaze a recipe reads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Reads {
    Near,
    Noticeable,
    Far,
}

/// What one rule says.
#[derive(Debug, Deserialize)]
pub struct Line {
    script: String,
    level: Level,
    /// What it is about.
    pub subject: String,
    message: String,
    source: Option<String>,
    /// Whether the recipe before hadn't it.
    #[serde(default)]
    new: bool,
}

impl Line {
    /// Whether there is something to read in it.
    pub fn speaks(&self) -> bool {
        self.level != Level::NothingFound
    }

    /// What it says, with its rule and source.
    pub fn shown(&self) -> Html {
        html!(
            "<li><strong>{}</strong>: {} <span class=\"aside\">{} (<a href=\"/rule/{}\">{}</a>{})</span></li>",
            capital(self.level.words()),
            self.message,
            self.subject,
            self.script,
            self.script,
            self.source
                .as_ref()
                .map_or_else(String::new, |source| format!("; {source}")),
        )
    }
}

/// What may be used instead, as the contract has it.
#[derive(Debug, Deserialize)]
pub struct Swapped {
    proposals: Vec<Proposal>,
}

/// What wishes take, as the contract has it.
#[derive(Debug, Deserialize)]
pub struct Adjusted {
    possible: bool,
    proposal: Option<Proposal>,
    #[serde(default)]
    clash: Vec<String>,
    nearest: Option<Nearest>,
    #[serde(default)]
    binding: Vec<Binding>,
}

#[derive(Debug, Deserialize)]
struct Nearest {
    parts: Option<Amounts>,
}

#[derive(Debug, Deserialize)]
struct Binding {
    aim: String,
}

#[derive(Debug, Deserialize)]
struct Proposal {
    parts: serde_json::Map<String, serde_json::Value>,
    additions: serde_json::Map<String, serde_json::Value>,
    reads: Option<Reads>,
    expansion: Option<Moved>,
    unity: Amounts,
    difference: Amounts,
    #[serde(rename = "newcomers", default)]
    come_in: Vec<String>,
    #[serde(rename = "findings", default)]
    checks: Vec<Line>,
    #[serde(default)]
    says: Vec<String>,
    #[serde(default)]
    assumptions: Vec<String>,
}

#[derive(Debug, Deserialize)]
struct Moved {
    before: f64,
    after: f64,
}

impl Swapped {
    /// The proposals, each with a form that tries it.
    pub fn shown(&self, (glaze, out): (&str, &str), is_far: bool, old: &Amounts, seal: impl Fn() -> Seal) -> Html {
        let far = if is_far {
            html!(
                "<p class=\"answer\" role=\"status\">Nothing here makes the same glaze: the nearest is another one. Try it as such.</p>"
            )
        } else {
            Html::default()
        };
        let shown: Html = self
            .proposals
            .iter()
            .enumerate()
            .map(|(index, proposal)| {
                let heading = match (index, proposal.come_in.is_empty()) {
                    (0, true) => "With what is in it already".to_owned(),
                    (_, true) => "Or with what is in it".to_owned(),
                    (0, false) => format!("Use {}", proposal.come_in.join(" and ")),
                    (_, false) => format!("Or {}", proposal.come_in.join(" and ")),
                };
                proposal.shown(
                    &heading,
                    old,
                    proposal.to_try(&seal(), index, glaze, &proposal.called(index, glaze, out)),
                )
            })
            .collect();
        let shown = if shown.is_empty() {
            html!("<p>Nothing on the list serves.</p>")
        } else {
            shown
        };
        html!("<h2>{} without {}</h2>{}{}", glaze, out, far, shown)
    }
}

impl Proposal {
    /// A name of its own among several.
    fn called(&self, index: usize, glaze: &str, out: &str) -> String {
        match (index, self.come_in.as_slice()) {
            (0, _) => format!("{glaze} without {out}"),
            (_, []) => format!("{glaze} without {out}, {}", index + 1),
            (_, come_in) => format!("{glaze} with {}", come_in.join(" and ")),
        }
    }

    /// The form that tries it.
    fn to_try(&self, seal: &Seal, index: usize, old: &str, called: &str) -> Html {
        let recipe = trial::recipe_lines(trial::numbers(&self.parts), trial::numbers(&self.additions));
        trial::form(seal, index, old, &recipe, called)
    }

    fn shown(&self, heading: &str, old: &Amounts, to_try: Html) -> Html {
        let all: Vec<&String> = old.keys().filter(|name| !self.parts.contains_key(*name)).collect();
        let part = |name: &String| self.parts.get(name).and_then(serde_json::Value::as_f64);
        let most = self
            .parts
            .values()
            .filter_map(serde_json::Value::as_f64)
            .chain(old.values().copied())
            .fold(1.0, f64::max);
        let row = |name: &String| {
            let number = |amount: Option<f64>| amount.map_or_else(|| "-".to_owned(), |amount| format!("{amount:.1}"));
            html!(
                "<tr><th scope=\"row\">{}</th><td class=\"number\">{}</td><td class=\"number\">{}</td><td class=\"bars\">{}{}</td></tr>",
                name,
                number(old.get(name).copied()),
                number(part(name)),
                bar(old.get(name).copied(), most, "old"),
                bar(part(name), most, "now"),
            )
        };
        let rows: Html = self.parts.keys().chain(all).map(row).collect();
        let additions: Html = self
            .additions
            .iter()
            .filter_map(|(name, part)| Some(html!("<li>+ {} {}</li>", name, format!("{:.2}", part.as_f64()?))))
            .collect();
        html!(
            "<section class=\"proposal\"><h3>{}</h3>{}<div class=\"wide\" tabindex=\"0\" role=\"region\" aria-label=\"Old and new\"><table><thead><tr><th scope=\"col\">Material</th>\
             <th scope=\"col\" class=\"number\">Old</th><th scope=\"col\" class=\"number\">New</th><th scope=\"col\">Old above, new below</th></tr></thead>\
             <tbody>{}</tbody></table></div><ul>{}</ul>{}{}</section>",
            heading,
            self.nearness(),
            rows,
            additions,
            self.said(),
            to_try
        )
    }

    fn nearness(&self) -> Html {
        let near = self.reads.map_or("", |reads| match reads {
            Reads::Near => "So near that tiles will hardly tell them apart.",
            Reads::Noticeable => "Near, and you may notice it.",
            Reads::Far => "Far from the old glaze.",
        });
        html!("<p>{}</p>", near)
    }

    fn said(&self) -> Html {
        let moved: Vec<String> = self
            .difference
            .iter()
            .filter(|(_, by)| by.abs() >= 0.02)
            .filter_map(|(oxide, by)| {
                let now = self.unity.get(oxide)?;
                Some(format!("{oxide} {:.2}, now {now:.2}", now - by))
            })
            .collect();
        let moved = if moved.is_empty() {
            Html::default()
        } else {
            html!("<p>What moves when fired: {}.</p>", moved.join("; "))
        };
        let expansion = self.expansion.as_ref().map_or_else(Html::default, |moved| {
            html!(
                "<p>Expansion {}, now about {} (millionths a degree).</p>",
                format!("{:.1}", moved.before),
                format!("{:.1}", moved.after)
            )
        });
        let new: Html = self
            .checks
            .iter()
            .filter(|line| line.new && line.speaks())
            .map(Line::shown)
            .collect();
        let new = if new.is_empty() {
            html!("<p>No check says anything new.</p>")
        } else {
            html!("<p>New:</p><ul>{}</ul>", new)
        };
        let says: Html = self
            .says
            .iter()
            .chain(&self.assumptions)
            .map(|line| html!("<li>{}</li>", for_page(line)))
            .collect();
        html!("{}{}{}<ul class=\"aside\">{}</ul>", moved, expansion, new, says)
    }
}

/// A bar of a part, as a drawing.
fn bar(part: Option<f64>, most: f64, class: &str) -> Html {
    let Some(part) = part else { return Html::default() };
    let width = format!("{:.0}", (part / most * 100.0).clamp(0.0, 100.0));
    html!(
        "<svg class=\"bar {}\" viewBox=\"0 0 100 6\" preserveAspectRatio=\"none\" aria-hidden=\"true\"><rect width=\"{}\" height=\"6\"/></svg>",
        class,
        width
    )
}

/// A wish in words.
fn wish(aim: &str) -> String {
    const WORDS: [(&str, &str); 5] = [
        (" <= ", " at most "),
        (" >= ", " at least "),
        (" = ", " just "),
        (" < ", " below "),
        (" > ", " above "),
    ];
    match WORDS.iter().find(|(sign, _)| aim.contains(sign)) {
        Some((sign, words)) => aim.replacen(sign, words, 1),
        None => aim.to_owned(),
    }
}

impl Adjusted {
    /// The recipe, or why there is none.
    pub fn shown(&self, glaze: &str, old: &Amounts, seal: &Seal) -> Html {
        match &self.proposal {
            Some(proposal) if self.possible => {
                let held: Html = self
                    .binding
                    .iter()
                    .map(|binding| html!("<li>{}</li>", wish(&binding.aim)))
                    .collect();
                let held = if held.is_empty() {
                    held
                } else {
                    html!("<p>What has to change, changes for:</p><ul>{}</ul>", held)
                };
                html!(
                    "<h2>{}, as you wish</h2>{}{}",
                    glaze,
                    proposal.shown(
                        "The least change that does it",
                        old,
                        proposal.to_try(seal, 0, glaze, &format!("{glaze} changed"))
                    ),
                    held,
                )
            }
            _ => {
                let clash: Html = self.clash.iter().map(|aim| html!("<li>{}</li>", wish(aim))).collect();
                let near = self
                    .nearest
                    .as_ref()
                    .and_then(|nearest| nearest.parts.as_ref())
                    .map_or_else(Html::default, |parts| {
                        let parts: Html = parts
                            .iter()
                            .map(|(name, part)| html!("<li>{} {}</li>", name, format!("{part:.1}")))
                            .collect();
                        html!("<p>The nearest that there is:</p><ul>{}</ul>", parts)
                    });
                html!(
                    "<p class=\"answer\" role=\"status\">That can’t be done with these materials.</p><p>These wishes can’t hold together; \
                     without any one of them the others can:</p><ul>{}</ul>{}",
                    clash,
                    near
                )
            }
        }
    }
}
