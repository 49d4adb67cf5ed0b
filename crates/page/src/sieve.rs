//! `glost sieve`.

use glost_core::workshop::slurry::Sieve;
use serde_json::{Value, json};

use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;

/// What to say of sieves.
#[derive(Debug, Clone, Copy)]
pub struct SievePage {
    /// The sieve asked for, or the nearest.
    pub sieve: Option<Sieve>,
    /// A mesh number that the standard doesn't have.
    pub odd_mesh: Option<u32>,
    /// An opening asked for, in micrometres.
    pub opening: Option<f64>,
}

fn sieve_json(sieve: &Sieve) -> Value {
    json!({
        "mesh": sieve.mesh,
        "micrometres": sieve.micrometres,
        "wire_micrometres": sieve.wire_micrometres,
        "openings_per_inch": sieve.openings_per_inch(),
        "openings_per_cm": sieve.openings_per_centimetre(),
        "openings_per_cm2": sieve.openings_per_square_centimetre(),
        "standing": if sieve.found_in_print { "found in print" } else { "from memory, cross-checked" },
    })
}

impl SievePage {
    /// The sieve's own keys, and the whole table.
    pub fn json(&self) -> Value {
        let mut answer = self.sieve.as_ref().map_or_else(|| json!({}), sieve_json);
        if let Some(map) = answer.as_object_mut() {
            map.insert("standard".to_owned(), json!("ASTM E11"));
            map.insert("exact".to_owned(), json!(self.sieve.is_some() && self.is_exact()));
            map.insert("table".to_owned(), Sieve::all().iter().map(sieve_json).collect());
        }
        answer
    }

    fn is_exact(&self) -> bool {
        let opening = |size: f64| self.sieve.is_some_and(|sieve| sieve.micrometres == size);
        self.odd_mesh.is_none() && self.opening.is_none_or(opening)
    }

    /// For a terminal.
    pub fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&self.headline(), 0).trim_end());
        text.push_str("\n\n");
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right]);
        table.row(["", "mesh", "micrometres", "per cm", "per cm2"]);
        for sieve in Sieve::all() {
            let here = self.sieve == Some(*sieve);
            table.row([
                if here { "->".to_owned() } else { String::new() },
                sieve.mesh.to_string(),
                number::plain(sieve.micrometres),
                format!("{:.1}", sieve.openings_per_centimetre()),
                format!("{:.0}", sieve.openings_per_square_centimetre()),
            ]);
        }
        text.push_str(&table.text());
        text.push('\n');
        text.push_str(&paragraph(
            "Mesh counts openings along one inch, wires and all; the opening depends on the wire, so ask for the micrometres. Openings and wires: ASTM E11.",
            0,
        ));
        text.push_str(&indented(
            "Common practice: ",
            "30 to 35 to take rubbish out of a used bucket, 50 to 80 for most glazes, 80 to 120 for clears, sprayed glazes and fine colours.",
        ));
        text
    }

    fn headline(&self) -> String {
        let described = |sieve: &Sieve| {
            format!(
                "{} mesh is {} micrometres: {:.0} openings per linear inch, {:.0} per cm.",
                sieve.mesh,
                number::plain(sieve.micrometres),
                sieve.openings_per_inch(),
                sieve.openings_per_centimetre()
            )
        };
        match (&self.sieve, self.odd_mesh, self.opening) {
            (Some(sieve), None, None) => described(sieve),
            (Some(sieve), None, Some(size)) if self.is_exact() => {
                format!("{} micrometres is {} mesh.", number::plain(size), sieve.mesh)
            }
            (Some(sieve), None, Some(size)) => format!(
                "{} micrometres is no standard opening; the nearest: {}",
                number::plain(size),
                described(sieve)
            ),
            (_, Some(mesh), _) => {
                let beside: Vec<String> = <[Option<Sieve>; 2]>::from(Sieve::beside(mesh))
                    .iter()
                    .flatten()
                    .map(|sieve| format!("{} ({} micrometres)", sieve.mesh, number::plain(sieve.micrometres)))
                    .collect();
                format!(
                    "{mesh} mesh is no standard sieve; beside it: {}. Ask the seller for the micrometres.",
                    beside.join(" and ")
                )
            }
            _ => "Sieves and their openings, the coarsest first.".to_owned(),
        }
    }
}
