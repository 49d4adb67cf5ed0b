//! What people see: the text of every command and of every error, pinned.

/// Screens of calls outside a studio, each with the exit code that it ends with.
macro_rules! screens {
    ($($name:ident: $exit:literal, [$($word:expr),+ $(,)?];)+) => {
        $(#[test]
        fn $name() {
            let screen = crate::bench::Bench::empty().screen(&[$($word),+]);
            assert!(screen.ends_with(concat!("--- exit ", $exit, "\n")), "{screen}");
            insta::assert_snapshot!(stringify!($name), screen);
        })+
    };
}

mod accepted;
mod amiss;
mod batches;
mod bench;
mod broken_off;
mod buckets;
mod cards;
mod changed;
mod clay;
mod conversions;
mod costs;
mod day_one;
mod diagnostics;
mod editor;
mod effects;
mod errors;
mod evidence;
mod exercises;
mod finding;
mod fired;
mod fit;
mod fit_aims;
mod half_read;
mod handed;
mod judged;
mod kiln;
mod laboratory;
mod lots;
mod lsp;
mod lsp_places;
mod made_up;
mod manners;
mod notes;
mod notes_kept;
mod over;
mod packages;
mod plans;
mod plugins;
mod proposals;
mod readme;
mod refused;
mod renamed;
mod results;
mod said_first;
mod sallow_lane;
mod schemas;
mod screens;
mod script_bounds;
mod script_folders;
mod script_pieces;
mod script_tests;
mod scripts;
mod tables;
mod whole_studio;
mod year;
