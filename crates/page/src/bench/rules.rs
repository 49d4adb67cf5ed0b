//! Checks: the list of all rules, and a page for each with its options and its text.

use serde::Deserialize;

use super::{Html, Seal, capital, fields, in_address};
use crate::html;

/// Before the name of an option in a form.
pub const SET: &str = "set-";

/// Names of what a rule is for, in the order of the list.
const KINDS: [(Kind, &str); 6] = [
    (Kind::Check, "Look at a glaze"),
    (Kind::Limits, "Ranges that makers keep to"),
    (Kind::Blend, "Designs of test tiles"),
    (Kind::Swap, "When a material is gone"),
    (Kind::Fault, "Why a glaze fails"),
    (Kind::Run, "Over the whole studio"),
];

/// What a rule may be made to weigh, as `studio.yaml` has it.
const STATES: [(&str, &str); 5] = [
    ("on", "on, as it comes"),
    ("note", "softer: what it says is a note"),
    ("caution", "what it says is a caution"),
    ("fail", "stricter: what it says is a fail"),
    ("off", "off"),
];

/// What a rule is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    /// It looks at a glaze.
    Check,
    /// It compares one with ranges.
    Limits,
    /// It designs tiles.
    Blend,
    /// It finds what to use instead.
    Swap,
    /// It tells why a glaze fails.
    Fault,
    /// It works over the whole studio.
    Run,
}

/// The list, as the contract has it.
#[derive(Debug, Deserialize)]
pub struct List {
    scripts: Vec<Rule>,
    broken: Vec<Broken>,
}

#[derive(Debug, Deserialize)]
struct Broken {
    name: String,
    error: Why,
}

#[derive(Debug, Deserialize)]
struct Why {
    message: String,
    #[serde(default)]
    line: Option<u32>,
}

/// One rule, as the contract has it.
#[derive(Debug, Deserialize)]
pub struct Rule {
    /// Its name.
    pub name: String,
    /// What it is for.
    pub kind: Kind,
    /// Its title.
    pub title: String,
    source: String,
    purpose: String,
    meant_for: String,
    whose: String,
    path: Option<String>,
    off: bool,
    level: Option<String>,
    because: Option<String>,
    options: Vec<Setting>,
    tables: Vec<Table>,
}

#[derive(Debug, Deserialize)]
struct Setting {
    name: String,
    value: String,
    unit: Option<String>,
    min: Option<f64>,
    max: Option<f64>,
    help: String,
}

#[derive(Debug, Deserialize)]
struct Table {
    name: String,
}

impl List {
    /// All of them, by what they are for.
    pub fn shown(&self) -> Html {
        let groups: Html = KINDS.iter().map(|(kind, heading)| self.group(*kind, heading)).collect();
        let broken: Html = self.broken.iter().map(Broken::shown).collect();
        let broken = if broken.is_empty() {
            broken
        } else {
            html!(
                "<section class=\"wrong\" role=\"alert\"><h2>Can’t be read</h2><ul>{}</ul><p>All others work.</p></section>",
                broken
            )
        };
        html!(
            "<p>Every rule with its source. Those of yours lie in the folder <code>scripts</code>; open one to read it, to set it, to turn it off.</p>{}{}",
            broken,
            groups
        )
    }

    fn group(&self, kind: Kind, heading: &str) -> Html {
        let rows: Html = self
            .scripts
            .iter()
            .filter(|rule| rule.kind == kind)
            .map(Rule::row)
            .collect();
        if rows.is_empty() {
            rows
        } else {
            html!("<h2>{}</h2><ul class=\"list\">{}</ul>", heading, rows)
        }
    }
}

impl Broken {
    fn shown(&self) -> Html {
        let line = self
            .error
            .line
            .map_or_else(String::new, |line| format!(", line {line}"));
        html!("<li>{}{}: {}</li>", self.name, line, self.error.message)
    }
}

impl Rule {
    /// Its page.
    pub fn address(&self) -> String {
        address(&self.name)
    }

    /// How the studio has it: on, off, softer.
    fn state(&self) -> &str {
        if self.off {
            "off"
        } else {
            self.level.as_deref().unwrap_or("on")
        }
    }

    fn standing(&self) -> String {
        let because = self
            .because
            .as_ref()
            .map_or_else(String::new, |because| format!(", because {because}"));
        let as_it_comes = !self.off && self.level.is_none() && because.is_empty();
        if as_it_comes {
            return String::new();
        }
        format!("{}{because}; ", self.state())
    }

    fn row(&self) -> Html {
        html!(
            "<li><a href=\"{}\">{}</a> <span class=\"aside\">{}{}; {}; {}</span></li>",
            self.address(),
            self.title,
            self.standing(),
            self.whose,
            self.name,
            self.source
        )
    }

    /// What it does, whose it is, where its numbers come from.
    pub fn about(&self) -> Html {
        let file = self
            .path
            .as_ref()
            .map_or_else(String::new, |path| format!(", in {path}"));
        let rows = [
            ("From", Some(self.source.clone())),
            ("Whose", Some(format!("{}{file}", self.whose))),
            ("Meant for", Some(self.meant_for.clone())),
            ("Here it is", Some(self.standing().trim_end_matches("; ").to_owned())),
        ];
        let rows: Html = rows
            .into_iter()
            .filter_map(|(what, told)| Some((what, told.filter(|told| !told.is_empty())?)))
            .map(|(what, told)| html!("<p><strong>{}</strong>: {}</p>", what, told))
            .collect();
        html!("<p>{}</p>{}", capital(&self.purpose), rows)
    }

    /// A form to run it by, with its options; none for designs, which have their own door.
    pub fn to_run(
        &self,
        seal: &Seal,
        glazes: &[String],
        materials: Html,
        said: &dyn Fn(&str) -> Option<String>,
    ) -> Html {
        let glaze = || fields::choice("glaze", "Which glaze?", None, glazes, said("glaze").as_deref());
        let first: Html = match self.kind {
            Kind::Blend => {
                return html!(
                    "<p><a href=\"/tiles?kind={}\">Plan tiles by it</a></p>",
                    in_address(&self.name)
                );
            }
            Kind::Check | Kind::Limits => glaze(),
            Kind::Swap => [glaze(), materials].into_iter().collect(),
            Kind::Fault => {
                let seen = said("seen").unwrap_or_else(|| self.name.rsplit('/').next().unwrap_or("").to_owned());
                [
                    glaze(),
                    fields::needed("seen", "What is seen?", &seen, "pinholes, crawling, cloudy"),
                ]
                .into_iter()
                .collect()
            }
            Kind::Run => Html::default(),
        };
        if let Some(table) = self.tables.first() {
            return html!(
                "<p>It reads a table, <code>{}</code>: at a terminal, <code>glost run {} --table {}=FILE.csv</code></p>",
                table.name,
                self.name,
                table.name
            );
        }
        let options: Html = self.options.iter().map(|option| option.field(said)).collect();
        html!(
            "<h2>Run it</h2>{}",
            fields::doing(seal, &self.address(), [first, options].into_iter().collect(), "Run it")
        )
    }

    /// What a form set otherwise than it is: `name=value`.
    pub fn changed(&self, said: &dyn Fn(&str) -> Option<String>) -> Vec<String> {
        let set = |option: &Setting| {
            let value = said(&format!("{SET}{}", option.name)).filter(|value| *value != option.value)?;
            Some(format!("{}={value}", option.name))
        };
        self.options.iter().filter_map(set).collect()
    }

    /// A form to turn it on, softer or off, with a reason.
    pub fn to_settle(&self, seal: &Seal, made_from: &str) -> Html {
        let finds = matches!(self.kind, Kind::Check | Kind::Limits);
        let states: Vec<(&str, &str)> = STATES
            .into_iter()
            .filter(|(state, _)| finds || ["on", "off"].contains(state))
            .collect();
        let inside = [
            fields::hidden("name", &self.name),
            fields::hidden("made_from", made_from),
            fields::worded("state", "It shall be", &states, Some(self.state())),
            fields::line(
                "because",
                "Because",
                self.because.as_deref().unwrap_or(""),
                "so that you still know in a year",
            ),
        ];
        html!(
            "<details class=\"section\"><summary>On, softer or off</summary>\
             <p>It is written into <code>studio.yaml</code>. A rule that is off still runs where it is named.</p>{}</details>",
            fields::doing(seal, "/rules/set", inside.into_iter().collect(), "Set it")
        )
    }
}

impl Setting {
    fn field(&self, said: &dyn Fn(&str) -> Option<String>) -> Html {
        let name = format!("{SET}{}", self.name);
        let number = |number: Option<f64>| number.map(|number| number.to_string());
        let range = match (number(self.min), number(self.max)) {
            (Some(min), Some(max)) => format!("{min} to {max}"),
            (Some(min), None) => format!("from {min}"),
            (None, Some(max)) => format!("up to {max}"),
            (None, None) => String::new(),
        };
        let unit = self.unit.as_deref().unwrap_or("");
        let hint = [range.as_str(), unit].join(" ");
        let value = said(&name).unwrap_or_else(|| self.value.clone());
        fields::line(&name, &capital(&self.help), &value, hint.trim())
    }
}

/// The page of a rule.
pub fn address(name: &str) -> String {
    let steps: Vec<String> = name.split('/').map(in_address).collect();
    format!("/rule/{}", steps.join("/"))
}

/// How a state with its reason is set, as `studio.yaml` has it; `None` where there is no such state.
pub fn setting(name: &str, state: &str, because: Option<&str>) -> Option<String> {
    let (state, _) = STATES.into_iter().find(|(known, _)| *known == state)?;
    let because = because.map_or_else(String::new, |because| format!(", because {because}"));
    Some(format!("scripts.{name}={state}{because}"))
}
