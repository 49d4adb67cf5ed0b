//! Two glazes on one piece, as the notebook has them.

use std::collections::HashSet;

use glost_chemistry::read::folded;
use glost_core::evidence::notes::{Note, Story, stories};
use serde::Serialize;

use super::Line;
use crate::pieces::Pieces;

/// One glaze over another: what was seen. No chemistry is claimed of the two.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, schemars::JsonSchema)]
pub struct Layers {
    /// What lies over.
    pub over: String,
    /// What lies under.
    pub glaze: String,
    /// How many looks.
    pub looks: usize,
    /// Pieces crazed, of those counted for it.
    pub crazed: u32,
    /// Pieces counted for crazing.
    pub pieces: u32,
    /// Pictures of them, as noted.
    pub photos: Vec<String>,
}

impl Pieces {
    /// The pairs of which both are among these glazes, or one where no pair is asked for.
    pub(super) fn layers(&self, lines: &[Line], two: Option<&(String, String)>) -> Vec<Layers> {
        let names: HashSet<String> = lines.iter().map(|line| folded(&line.glaze)).collect();
        let listed = |name: &str| names.contains(&folded(name));
        let meant = |note: &Note| match (note.over(), note.glaze.as_deref(), two) {
            (Some(over), Some(glaze), Some((above, below))) => {
                folded(over).contains(above.as_str()) && folded(glaze).contains(below.as_str())
            }
            (Some(over), Some(glaze), None) => listed(over) || listed(glaze),
            _ => false,
        };
        let noted = self.notes().standing().filter(|note| meant(note));
        let mut layers: Vec<Layers> = Vec::new();
        for story in stories(noted) {
            add(&mut layers, &story);
        }
        layers
    }
}

fn add(layers: &mut Vec<Layers>, story: &Story<'_>) {
    let first = story.first();
    let (Some(over), Some(glaze)) = (first.over(), first.glaze.as_deref()) else {
        return;
    };
    let same = |known: &Layers| folded(&known.over) == folded(over) && folded(&known.glaze) == folded(glaze);
    let at = layers.iter().position(same).unwrap_or_else(|| {
        layers.push(Layers {
            over: over.to_owned(),
            glaze: glaze.to_owned(),
            looks: 0,
            crazed: 0,
            pieces: 0,
            photos: Vec::new(),
        });
        layers.len() - 1
    });
    let known = &mut layers[at];
    known.looks += story.looks.len();
    if let Some((crazed, pieces)) = story.crazed() {
        known.crazed = known.crazed.saturating_add(crazed);
        known.pieces = known.pieces.saturating_add(pieces);
    }
    let photos = story.looks.iter().filter_map(|look| look.photo.clone());
    known.photos.extend(photos);
}
