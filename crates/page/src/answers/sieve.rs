//! `glost sieve`.

use glost_core::workshop::slurry::Sieve;
use glost_desk::sieve::Answer;

use crate::layout::{Align, Style, Table, indented, paragraph};
use crate::number;
use crate::{Csv, Shown};

impl Shown for Answer {
    fn csv(&self) -> Option<Csv> {
        Csv::of_json(self, "table")
    }

    fn text(&self, style: Style) -> String {
        let mut text = style.bold(paragraph(&headline(self), 0).trim_end());
        text.push_str("\n\n");
        let mut table = Table::new(&[Align::Left, Align::Right, Align::Right, Align::Right, Align::Right]);
        table.row(["", "mesh", "micrometres", "per cm", "per cm2"]);
        for row in &self.table {
            let (sieve, here) = (row.0, self.sieve == Some(*row));
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
}

fn headline(answer: &Answer) -> String {
    let described = |sieve: &Sieve| {
        format!(
            "{} mesh is {} micrometres: {:.0} openings per linear inch, {:.0} per cm.",
            sieve.mesh,
            number::plain(sieve.micrometres),
            sieve.openings_per_inch(),
            sieve.openings_per_centimetre()
        )
    };
    match (
        answer.sieve.as_ref().map(|sieve| &sieve.0),
        answer.odd_mesh,
        answer.opening,
    ) {
        (Some(sieve), None, None) => described(sieve),
        (Some(sieve), None, Some(size)) if answer.exact => {
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
