//! From text to trees with places, and from trees to fields.

mod csv;
mod csv_cell;
mod edit;
mod fields;
mod indent;
mod name;
mod new_item;
mod node;
mod packed;
mod rewrite;
mod side_by_side;
mod without;

pub use csv::{Cell, CsvTable, parse_csv, parse_csv_headed};
pub use csv_cell::{guarded, push_cell, push_count_cell, push_line_cell, push_number_cell, push_row, unguarded};
pub use edit::{Edited, NewValue, Step, edited, plain_or_quoted};
pub use fields::{Fields, NumberRange, Text, amounts, entries, kind_of, number_of, text_of};
pub use name::{folded, folding, same_name};
pub use new_item::{ItemValue, NewItem, with_item};
pub use node::{Key, Node, Value, parse};
pub(crate) use packed::{packed_items, packed_texts, unpacked};
pub use rewrite::{Rewrite, rewritten};
pub use side_by_side::{each_in_parts, in_parts};
pub use without::without;
