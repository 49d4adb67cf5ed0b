//! Ways in: the owner's, by the address that is printed once; the phones', by what is on
//! the screen.

use std::sync::Arc;

use super::phones::Phones;
use super::secrets::{Once, same};
use super::visitor::Visitor;

/// How one comes in by an address.
#[derive(Debug)]
pub(crate) enum Ways {
    /// At the machine: a secret that works once, and the cookie that it becomes.
    Owner {
        /// The secret.
        once: Once,
        /// The cookie, for as long as the server runs.
        cookie: String,
    },
    /// From the local network.
    Phones(Arc<Phones>),
}

impl Ways {
    /// Whether a secret opens, before it is spent.
    pub(crate) fn know(&self, said: &str) -> bool {
        match self {
            Ways::Owner { once, .. } => once.is(said),
            Ways::Phones(phones) => phones.whose(said).is_some(),
        }
    }

    /// The cookie for whoever has the secret, and how many seconds it lasts where that is
    /// longer than the browser is open.
    pub(crate) fn let_in(&self, said: &str) -> Option<(String, Option<u64>)> {
        match self {
            Ways::Owner { once, cookie } => once.spend(said).then(|| (cookie.clone(), None)),
            Ways::Phones(phones) => phones.pair(said).map(|(cookie, lasts)| (cookie, Some(lasts))),
        }
    }

    /// Whose cookie this is.
    pub(crate) fn visitor(&self, said: &str) -> Option<Visitor> {
        match self {
            Ways::Owner { cookie, .. } => same(cookie, said).then_some(Visitor::Owner),
            Ways::Phones(phones) => phones.of_cookie(said),
        }
    }
}
