//! Tickets that were begun: what is ticked is kept when the phone sleeps.

use glost_page::bench::{Asked, in_address};
use serde::{Deserialize, Serialize};

use super::Bench;
use crate::door::Form;

/// The file that they are kept in, outside the studio's folder.
const FILE: &str = "begun.json";
/// Older ones give way.
const MOST: usize = 12;

/// One that was begun.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub(crate) struct Begun {
    pub(crate) glaze: String,
    pub(crate) dry: String,
    pub(crate) into: String,
    /// Lines that are in the bowl, by their places.
    pub(crate) ticked: Vec<String>,
    /// Half cups of water added since the first.
    pub(crate) half_cups: String,
}

impl Begun {
    /// As a form says it.
    pub(crate) fn of(said: &Form) -> Option<Begun> {
        Some(Begun {
            glaze: said.text("glaze")?.to_owned(),
            dry: said.text("dry")?.to_owned(),
            into: said.text("into").unwrap_or("").to_owned(),
            ticked: said.all("ticked").map(str::to_owned).collect(),
            half_cups: said.text("half_cups").unwrap_or("0").to_owned(),
        })
    }

    fn is(&self, asked: &Asked) -> bool {
        self.glaze == asked.glaze && self.dry == asked.dry && self.into == asked.into
    }

    /// Its page.
    pub(crate) fn address(&self) -> String {
        address(&self.glaze, &self.dry, &self.into)
    }
}

/// The page of a ticket.
pub(crate) fn address(glaze: &str, dry: &str, into: &str) -> String {
    let (glaze, dry, into) = (in_address(glaze), in_address(dry), in_address(into));
    format!("/mix?glaze={glaze}&dry={dry}&into={into}")
}

impl Bench {
    /// All that were begun, the latest first.
    pub(crate) fn begun(&self) -> Vec<Begun> {
        // Ticks that can't be read are ticks to make again, as on paper.
        let kept = self.keeping.kept(FILE);
        kept.and_then(|kept| serde_json::from_slice(&kept).ok())
            .unwrap_or_default()
    }

    /// The one that a ticket was begun as.
    pub(crate) fn begun_as(&self, asked: &Asked) -> Option<Begun> {
        self.begun().into_iter().find(|begun| begun.is(asked))
    }

    /// Keeps one; `None` where it is done.
    pub(crate) fn keep_begun(
        &self,
        asked: &Asked,
        now: Option<Begun>,
    ) -> Result<(), glost_chemistry::diagnostic::Diagnostic> {
        let mut all = self.begun();
        all.retain(|begun| !begun.is(asked));
        if let Some(now) = now.filter(|now| !now.ticked.is_empty() || now.half_cups != "0") {
            all.insert(0, now);
        }
        all.truncate(MOST);
        let bytes = serde_json::to_vec(&all).map_err(|why| {
            glost_chemistry::diagnostic::Diagnostic::error("our-fault", format!("ticks can't be kept: {why}"))
        })?;
        self.keeping.keep(FILE, &bytes)
    }
}
