//! The page beside exported tables: what their columns are.

use glost_desk::export::{RowIs, Written};

/// The page beside the tables.
pub fn readme(tables: &[Written]) -> String {
    let mut text = String::from(
        "A studio as tables, written by `glost export`.\n\n\
         Comma-separated, UTF-8, decimal points. `glost import` with this folder makes\n\
         the same studio again. A blank cell says nothing. A cell with several values\n\
         holds a list, [a, b], or names with values, { a: 1, b: 2 }. A text that a\n\
         spreadsheet would run as a formula has an apostrophe before it, which `import`\n\
         takes off again. Comments in the studio's files aren't in the tables.\n",
    );
    for table in tables {
        text.push_str(&format!("\n{}\n{}", table.file, columns(table)));
    }
    text.push_str("\nFolders beside the tables (plans, scripts, firings, clays) hold files as they are.\n");
    text
}

fn columns(table: &Written) -> &'static str {
    match table.row {
        RowIs::Setting => "  A row a key of studio.yaml.\n  key    its name\n  value  its value\n",
        RowIs::Material => {
            "  A row a material.\n  \
               material          its name, as recipes use it\n  \
               file              the file of the studio that it stands in\n  \
               SiO2, Al2O3, ...  its analysis, wt % on its basis; `<0.05` and such as on its sheet\n  \
               tolerance SiO2    one standard deviation of that line, wt %\n  \
               analysis          `unknown`, where it is\n  \
               loss on ignition  wt %\n  \
               basis             as supplied, dried or fired\n  \
               recipe            of a pre-mix: parts by weight\n  \
               price, stock      with their units\n  \
               density           g/ml\n  \
               free silica       wt % crystalline silica\n  \
               and every other key of its entry under the key's own name\n"
        }
        RowIs::Clay => {
            "  A row a clay.\n  clay  its name\n  file  its file\n  and every other key under its own name\n"
        }
        RowIs::Glaze => {
            "  A row a glaze, its recipe in recipes.csv.\n  \
               glaze  its name\n  file   its file\n  cone, peak, firing, atmosphere, clay, use, water (per dry weight),\n  \
               density (g/ml), notes and every other key under its own name\n"
        }
        RowIs::RecipeLine => {
            "  A row a line of a recipe.\n  \
               glaze     the glaze\n  role      base, or addition on top of it\n  material  the material\n  \
               amount    base: parts by weight of any total, or weights with units;\n            addition: per cent on the base\n"
        }
        RowIs::JournalLine => {
            "  A row a line of the journal, in its order; columns are its keys. `json:` before a\n  \
               value, quotes, brackets and braces are as in the journal itself.\n"
        }
    }
}
