//! Names that the studio knows: materials, glazes, clays, libraries.

use glost_script::{Named, Offer, What};
use glost_studio::{WhereMade, Workplace};

use super::told::Made;
use crate::names;

/// All of a sort.
pub(super) fn of(named: Named, workplace: &Workplace) -> Vec<Offer> {
    match named {
        Named::Materials => {
            let all = workplace.library().iter();
            all.map(|material| Offer {
                shape: material.kind.word().to_owned(),
                about: material.provenance.clone(),
                ..Offer::plain(&material.name, What::Word)
            })
            .collect()
        }
        Named::Glazes => {
            let names = names::glazes(workplace);
            names.map(|name| Offer::plain(name, What::Word)).collect()
        }
        Named::Clays => {
            let names = names::clays(workplace);
            names.map(|name| Offer::plain(name, What::Word)).collect()
        }
        Named::Libraries => {
            let files = workplace.scripts().iter().filter(|file| file.name.starts_with("lib/"));
            files.map(|file| Offer::plain(&file.name, What::Library)).collect()
        }
    }
}

/// Where one was made; `None` of what came with Glost.
pub(super) fn made(named: Named, name: &str, workplace: &Workplace) -> Option<Made> {
    let found = match named {
        Named::Materials => workplace.sheet_of(name),
        Named::Glazes => workplace.file_of_glaze(name),
        Named::Clays => workplace.file_of_clay(name),
        // Libraries are found beside the script that imports them.
        Named::Libraries => None,
    };
    found.map(|WhereMade { file, mark, width }| Made { file, mark, width })
}
